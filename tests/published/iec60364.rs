//! IEC 60364-5-52: voltage drop by annex G.

use crate::page::Source;
use crate::rig::{drop_at, loop_of};
use hullwire::tables;
use hullwire::units::Mark;

/// Annex G at power factor 1, b = 2, ρ1 = 0.0225 Ω·mm²/m, and its ρ1 against our working resistance.
pub fn checks() -> Source {
    let mut source = Source::new(
        "IEC 60364-5-52 annex G",
        "Our figure is the drop that the solve gives over a loop of the resistance which annex G states, or `tables`.",
    );
    for (amps, metres, area) in [
        (16.0, 20.0, 2.5),
        (10.0, 30.0, 1.5),
        (16.0, 40.0, 4.0),
        (32.0, 15.0, 6.0),
        (6.0, 12.0, 1.5),
        (25.0, 50.0, 10.0),
    ] {
        let ohms = 2.0 * 0.0225 * metres / area;
        let (_, volts, percent, loss) = drop_at(230.0, amps, loop_of(ohms));
        let what = |of: &str| format!("{amps} A, {metres} m, {area} mm², power factor 1: {of}");
        source.agree("annex G", what("drop"), "V", ohms * amps, volts, 1e-6, Mark::Derived);
        source.agree("annex G", what("drop of nominal"), "%", ohms * amps / 2.3, percent, 1e-6, Mark::Derived);
        source.agree("I²R", what("loss"), "W", ohms * amps * amps, loss, 1e-6, Mark::Derived);
    }
    for area in [1.5, 2.5, 4.0, 6.0, 10.0, 16.0] {
        let ours = tables::get().mm2_ohm_per_m(area, 70.0).unwrap() * area;
        source.differ(
            "annex G, ρ1",
            format!("{area} mm² at its working temperature"),
            "Ω·mm²/m",
            0.0225,
            ours,
            0.12,
            Mark::Read,
            "annex G takes one round figure, 1.25 times the resistivity at 20 °C, for every size; the engine takes the \
             greatest resistance of each size by IEC 60228 for tinned flexible wire at 70 °C, which is higher.",
        );
    }
    source
}
