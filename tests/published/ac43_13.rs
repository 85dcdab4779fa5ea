//! FAA AC 43.13-1B: aircraft wire as a third opinion, and its worked examples of voltage drop.

use crate::page::Source;
use crate::rig::{drop_at, loop_of};
use hullwire::tables;
use hullwire::units::Mark;

/// Table 11-9: gauge number, greatest Ω per 1,000 ft at 20 °C, tin-plated.
const TABLE_11_9: [(i8, f64); 14] = [
    (18, 6.23),
    (16, 4.81),
    (14, 3.06),
    (12, 2.02),
    (10, 1.26),
    (8, 0.70),
    (6, 0.44),
    (4, 0.28),
    (2, 0.18),
    (1, 0.15),
    (0, 0.12),
    (-1, 0.09),
    (-2, 0.07),
    (-3, 0.06),
];

/// Table 11-9 against ours at 20 °C, and drops by its rule, amperes × Ω per foot × feet.
pub fn checks() -> Source {
    let mut source = Source::new(
        "FAA AC 43.13-1B chapter 11",
        "Our figure is `tables::awg_ohm_per_m` at 20 °C, or the drop that the solve gives over a loop of the stated resistance.",
    );
    for (gauge, per_kft) in TABLE_11_9 {
        let ours = tables::get().awg_ohm_per_m(gauge, 20.0).unwrap() * 304.8;
        source.differ(
            "table 11-9",
            format!("gauge number {gauge}, tin-plated, 20 °C"),
            "Ω/1,000 ft",
            per_kft,
            ours,
            0.21,
            Mark::Read,
            "aircraft wire of a gauge number has another make-up and area than boat wire of the same number (12 AWG: 5,874 \
             circular mils instead of 6,530; 8 AWG and larger: more), and the table has two digits for the large ones.",
        );
    }
    // Two conductors, out and back, of the table's ohms.
    for (amps, feet, per_ft) in
        [(20.0, 50.0, 0.00202), (10.0, 40.0, 0.00306), (15.0, 30.0, 0.00126), (5.0, 100.0, 0.00481)]
    {
        let ohms = 2.0 * feet * per_ft;
        let (_, volts, _, _) = drop_at(120.0, amps, loop_of(ohms));
        let what = format!("{amps} A over {feet} ft out and back at {per_ft} Ω/ft");
        source.agree("drop = amperes × ohms per foot × feet", what, "V", amps * ohms, volts, 1e-6, Mark::Derived);
    }
    source
}
