//! IEC 60228: resistance of stranded conductors.

use crate::page::Source;
use crate::rig::wire;
use hullwire::installation::{ResistanceBasis, Size, System};
use hullwire::network::{conductor_ohm_per_m, conductor_ohms};
use hullwire::tables;
use hullwire::units::Mark;

/// mm², class 5 plain and class 5 metal-coated: the greatest Ω/km at 20 °C.
const CLASS_5: [(f64, f64, f64); 15] = [
    (0.5, 39.0, 40.1),
    (0.75, 26.0, 26.7),
    (1.0, 19.5, 20.0),
    (1.5, 13.3, 13.7),
    (2.5, 7.98, 8.21),
    (4.0, 4.95, 5.09),
    (6.0, 3.30, 3.39),
    (10.0, 1.91, 1.95),
    (16.0, 1.21, 1.24),
    (25.0, 0.780, 0.795),
    (35.0, 0.554, 0.565),
    (50.0, 0.386, 0.393),
    (70.0, 0.272, 0.277),
    (95.0, 0.206, 0.210),
    (120.0, 0.161, 0.164),
];

/// Class 5 figures at 20 °C, warmed, and against plain copper of the nominal area.
pub fn checks() -> Source {
    let mut source = Source::new(
        "IEC 60228",
        "Our figure is `network::conductor_ohms` of a cable of 1,000 m, brought back to 20 °C by the law that the standard gives.",
    );
    for (area, plain, coated) in CLASS_5 {
        let size = Size::Mm2(area);
        let cable = wire(size, 1000.0);
        let warm = conductor_ohms(&cable, System::TwoWire230, ResistanceBasis::Published).unwrap().re;
        // 70 °C insulation: 1 + 0.00393 × 50.
        source.agree(
            "class 5, metal-coated, 20 °C",
            format!("{area} mm²"),
            "Ω/km",
            coated,
            warm / 1.1965,
            1e-9,
            Mark::Read,
        );
        let formula =
            conductor_ohm_per_m(size, 70, System::TwoWire230, ResistanceBasis::Formula).unwrap().re * 1e3 / 1.1965;
        source.differ(
            "class 5, plain, 20 °C",
            format!("{area} mm² by the formula of solid copper"),
            "Ω/km",
            plain,
            formula,
            0.16,
            Mark::Read,
            "the standard sets the greatest resistance, with room for the lay of the strands and for a smaller area than the \
             name says; the formula takes solid copper of the nominal area and is always below it. The program says which of \
             the two a figure rests on, and takes the standard's unless told otherwise.",
        );
    }
    let t = tables::get();
    for (celsius, kt) in [(30., 0.962), (40., 0.926), (50., 0.893), (60., 0.862), (70., 0.833), (75., 0.820)] {
        let ours = t.mm2_ohm_per_m(2.5, 20.0).unwrap() / t.mm2_ohm_per_m(2.5, celsius).unwrap();
        source.differ(
            "correction of a reading to 20 °C",
            format!("factor kt at {celsius} °C"),
            "",
            kt,
            ours,
            0.004,
            Mark::Read,
            "the standard's factor rests on 0.004 per kelvin, rounded; the engine takes 0.00393.",
        );
    }
    source
}
