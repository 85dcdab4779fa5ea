//! NEC (NFPA 70) article 430: what a motor draws while it starts.

use crate::page::Source;
use hullwire::loads::starting::ESTIMATED_START_MULTIPLE;
use hullwire::units::Mark;

/// Horsepower, full-load and locked-rotor amperes at 115 V and at 230 V.
const MOTORS: [(&str, f64, f64, f64, f64); 9] = [
    ("1/2", 9.8, 58.8, 4.9, 29.4),
    ("3/4", 13.8, 82.8, 6.9, 41.4),
    ("1", 16., 96., 8., 48.),
    ("1 1/2", 20., 120., 10., 60.),
    ("2", 24., 144., 12., 72.),
    ("3", 34., 204., 17., 102.),
    ("5", 56., 336., 28., 168.),
    ("7 1/2", 80., 480., 40., 240.),
    ("10", 100., 600., 50., 300.),
];

/// Locked-rotor current of table 430.251(A) against our multiple of the full-load current of table 430.248.
pub fn checks() -> Source {
    let mut source = Source::new(
        "NEC (NFPA 70) tables 430.248 and 430.251(A)",
        "Our figure is the full-load current of table 430.248 times the multiple that the engine shows as an estimate where a \
         motor's start is not known.",
    );
    for (hp, full_115, locked_115, full_230, locked_230) in MOTORS {
        for (volts, full, locked) in [(115, full_115, locked_115), (230, full_230, locked_230)] {
            let ours = full * ESTIMATED_START_MULTIPLE;
            let what = format!("{hp} hp, single-phase, {volts} V, locked rotor");
            source.agree("430.251(A)", what, "A", locked, ours, 1e-9, Mark::Read);
        }
    }
    source
}
