//! 33 CFR 183 subpart I: what conductors carry.

use crate::page::Source;
use crate::rig::wire;
use hullwire::installation::{CableData, Installation, Leg, Part, PartKind, Place, Size, SpaceKind, System};
use hullwire::network::ampacity;
use hullwire::units::Mark;

const INSULATION: [u16; 7] = [60, 75, 80, 90, 105, 125, 200];

/// Table 5 of 183.425, amperes a conductor at 30 °C outside engine spaces.
const TABLE_5: [(&str, [f64; 7]); 15] = [
    ("18", [10., 10., 15., 20., 20., 25., 25.]),
    ("16", [15., 15., 20., 25., 25., 30., 35.]),
    ("14", [20., 20., 25., 30., 35., 40., 45.]),
    ("12", [25., 25., 35., 40., 45., 50., 55.]),
    ("10", [40., 40., 50., 55., 60., 70., 70.]),
    ("8", [55., 65., 70., 70., 80., 90., 100.]),
    ("6", [80., 95., 100., 100., 120., 125., 135.]),
    ("4", [105., 125., 130., 135., 160., 170., 180.]),
    ("3", [120., 145., 150., 155., 180., 195., 210.]),
    ("2", [140., 170., 175., 180., 210., 225., 240.]),
    ("1", [165., 195., 210., 210., 245., 265., 280.]),
    ("1/0", [195., 230., 245., 245., 285., 305., 325.]),
    ("2/0", [225., 265., 285., 285., 330., 355., 370.]),
    ("3/0", [260., 310., 330., 330., 385., 410., 430.]),
    ("4/0", [300., 360., 385., 385., 445., 475., 510.]),
];

/// Amperes that the engine gives a cable between a panel and an outlet in this space.
fn carries(gauge: &str, insulation_c: u16, bundled: u16, space: SpaceKind) -> f64 {
    let mut installation = Installation::new(System::TwoWire120);
    let from = installation.add_part(Part::new(PartKind::Panel, "A1", Place::In(SpaceKind::Other)));
    let to = installation.add_part(Part::new(PartKind::Outlet, "X1", Place::In(space)));
    let size = Size::parse(&format!("{gauge} AWG")).unwrap();
    let cable = CableData { insulation_c: Some(insulation_c), bundled: Some(bundled), ..wire(size, 1.0) };
    ampacity(&installation, &cable, Some(from), to, Leg::L1).unwrap().amps
}

/// Every figure of table 5, the factor of each bundle, and the factor of the engine space.
pub fn checks() -> Source {
    let mut source = Source::new("33 CFR 183.425 and 183.435", "Our figure is `network::ampacity` of a drawn cable.");
    for (gauge, row) in TABLE_5 {
        for (insulation, amps) in INSULATION.into_iter().zip(row) {
            let what = format!("{gauge} AWG, {insulation} °C insulation");
            let ours = carries(gauge, insulation, 2, SpaceKind::Other);
            source.agree("183.425 table 5", what, "A", amps, ours, 1e-12, Mark::Read);
        }
    }
    for (conductors, factor) in [(2, 1.0), (3, 0.7), (4, 0.6), (6, 0.6), (7, 0.5), (24, 0.5), (25, 0.4), (40, 0.4)] {
        let ours = carries("10", 75, conductors, SpaceKind::Other);
        let what = format!("10 AWG, 75 °C, {conductors} conductors in the bundle");
        source.agree("183.435(b), table 5 note 2", what, "A", 40.0 * factor, ours, 1e-12, Mark::Read);
    }
    for (insulation, amps, factor, mark) in [
        (60, 40.0, 0.58, Mark::Memory),
        (75, 40.0, 0.75, Mark::Memory),
        (90, 55.0, 0.82, Mark::Memory),
        (105, 60.0, 0.85, Mark::Read),
        (125, 70.0, 0.89, Mark::Memory),
    ] {
        let ours = carries("10", insulation, 2, SpaceKind::EngineSpace);
        let what = format!("10 AWG, {insulation} °C, in an engine space");
        source.agree("183.425(c), table 5 note 1", what, "A", amps * factor, ours, 1e-12, mark);
    }
    for (insulation, amps) in [(60, 40.0), (75, 40.0), (80, 50.0), (90, 55.0), (105, 60.0), (125, 70.0)] {
        // Heat balance: loss grows with the square of the current, and the rise that is left is Ti − 50 K instead of Ti − 30 K.
        let law = ((f64::from(insulation) - 50.0) / (f64::from(insulation) - 30.0)).sqrt();
        let ours = carries("10", insulation, 2, SpaceKind::EngineSpace);
        let what = format!("10 AWG, {insulation} °C, at 50 °C by the square-root law");
        source.agree("heat balance of a conductor", what, "A", amps * law, ours, 0.01, Mark::Derived);
    }
    source
}
