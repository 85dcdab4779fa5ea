//! NEC (NFPA 70): conductor properties of chapter 9, standard ratings, small conductors.

use crate::page::Source;
use crate::rig::wire;
use hullwire::installation::{ResistanceBasis, Size, System};
use hullwire::network::{conductor_ohm_per_m, conductor_ohms};
use hullwire::tables::{self, Series};
use hullwire::units::Mark;

const FT_PER_KM: f64 = 3_280.839_895;

/// Gauge number, Ω per 1,000 ft at 75 °C: solid uncoated (where printed), stranded uncoated, stranded coated.
#[expect(clippy::approx_constant, reason = "3.14 is a resistance that the table prints")]
const TABLE_8: [(i8, Option<f64>, f64, f64); 15] = [
    (18, Some(7.77), 7.95, 8.45),
    (16, Some(4.89), 4.99, 5.29),
    (14, Some(3.07), 3.14, 3.26),
    (12, Some(1.93), 1.98, 2.05),
    (10, Some(1.21), 1.24, 1.29),
    (8, Some(0.764), 0.778, 0.809),
    (6, None, 0.491, 0.510),
    (4, None, 0.308, 0.321),
    (3, None, 0.245, 0.254),
    (2, None, 0.194, 0.201),
    (1, None, 0.154, 0.160),
    (0, None, 0.122, 0.127),
    (-1, None, 0.0967, 0.101),
    (-2, None, 0.0766, 0.0797),
    (-3, None, 0.0608, 0.0626),
];

/// Gauge number, Ω per 1,000 ft at 60 Hz in PVC: reactance, AC resistance.
const TABLE_9: [(i8, f64, f64); 13] = [
    (14, 0.058, 3.1),
    (12, 0.054, 2.0),
    (10, 0.050, 1.2),
    (8, 0.052, 0.78),
    (6, 0.051, 0.49),
    (4, 0.048, 0.31),
    (3, 0.047, 0.25),
    (2, 0.045, 0.19),
    (1, 0.046, 0.15),
    (0, 0.044, 0.12),
    (-1, 0.043, 0.10),
    (-2, 0.042, 0.077),
    (-3, 0.041, 0.062),
];

/// Tables 8 and 9, 240.6(A), 240.4(D).
pub fn checks() -> Source {
    let mut source = Source::new(
        "NEC (NFPA 70)",
        "Our figure is `network::conductor_ohms` of 1,000 m at 60 Hz and 75 °C, or a lookup of `tables`.",
    );
    for (gauge, solid, stranded, coated) in TABLE_8 {
        let cable = wire(Size::Awg(gauge), 1000.0);
        let ours = conductor_ohms(&cable, System::TwoWire120, ResistanceBasis::Published).unwrap().re;
        let what = |kind: &str| format!("gauge number {gauge}, {kind}");
        let per_km = coated * FT_PER_KM / 1e3;
        source.agree("chapter 9 table 8", what("stranded, coated"), "Ω/km", per_km, ours, 1e-6, Mark::Read);
        let formula =
            conductor_ohm_per_m(Size::Awg(gauge), 75, System::TwoWire120, ResistanceBasis::Formula).unwrap().re;
        if let Some(solid) = solid {
            let per_km = solid * FT_PER_KM / 1e3;
            source.agree(
                "chapter 9 table 8",
                what("solid, by the formula"),
                "Ω/km",
                per_km,
                formula * 1e3,
                0.005,
                Mark::Read,
            );
        }
        source.differ(
            "chapter 9 table 8",
            what("stranded, uncoated, by the formula"),
            "Ω/km",
            stranded * FT_PER_KM / 1e3,
            formula * 1e3,
            0.03,
            Mark::Read,
            "the formula is that of solid copper; a stranded conductor has some 2 % more for the lay of its strands (the \
             figure read for 8 AWG and larger agrees with that too).",
        );
    }
    for (gauge, x, r) in TABLE_9 {
        let ours =
            conductor_ohm_per_m(Size::Awg(gauge), 75, System::TwoWire120, ResistanceBasis::Published).unwrap() * 1e3;
        let what = |kind: &str| format!("gauge number {gauge}, {kind}");
        let (x, r) = (x * FT_PER_KM / 1e3, r * FT_PER_KM / 1e3);
        source.agree("chapter 9 table 9", what("reactance in PVC"), "Ω/km", x, ours.im, 1e-6, Mark::Read);
        source.differ(
            "chapter 9 table 9",
            what("AC resistance in PVC"),
            "Ω/km",
            r,
            ours.re,
            0.09,
            Mark::Read,
            "table 9 is for uncoated copper, three conductors in conduit, and is printed to two digits; the engine takes the \
             coated column of table 8, as boat wire is tinned.",
        );
        let at_50 =
            conductor_ohm_per_m(Size::Awg(gauge), 75, System::TwoWire230, ResistanceBasis::Published).unwrap() * 1e3;
        source.agree(
            "chapter 9 table 9",
            what("reactance at 50 Hz"),
            "Ω/km",
            x * 50.0 / 60.0,
            at_50.im,
            1e-6,
            Mark::Derived,
        );
    }
    let t = tables::get();
    let standard =
        [15., 20., 25., 30., 35., 40., 45., 50., 60., 70., 80., 90., 100., 110., 125., 150., 175., 200., 225.];
    for pair in standard.windows(2) {
        let ours = t.next_rating(Series::Us, pair[0] + 0.5).map_or(f64::NAN, |f| f.value);
        source.agree("240.6(A)", format!("next rating above {} A", pair[0]), "A", pair[1], ours, 1e-12, Mark::Read);
    }
    for (gauge, amps, mark) in [
        (18, 7., Mark::Memory),
        (16, 10., Mark::Memory),
        (14, 15., Mark::Read),
        (12, 20., Mark::Read),
        (10, 30., Mark::Read),
    ] {
        let ours = t.small_conductor_limit(gauge).map_or(f64::NAN, |f| f.value);
        source.agree("240.4(D)", format!("largest breaker of {gauge} AWG"), "A", amps, ours, 1e-12, mark);
    }
    source
}
