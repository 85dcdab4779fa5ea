//! What a motor draws while it starts: the tables of NEC (NFPA 70) article 430, and what 46 CFR 111.70-3(b) asks of motors
//! that start by themselves when a source comes back.

use crate::page::Source;
use crate::rig::{Boat, direct};
use hullwire::installation::{LoadKind, PartKind, ResistanceBasis, System};
use hullwire::loads::starting::{ESTIMATED_START_MULTIPLE, peaks};
use hullwire::tables;
use hullwire::units::Mark;
use std::sync::Arc;

/// What the engine shows as an estimate for the start of a motor of which only the running figure is known, as a multiple
/// of that: through the drawing, not from the constant.
fn estimated_multiple(watts: f64) -> f64 {
    let mut boat = Boat::new(System::TwoWire120, ResistanceBasis::Published, 120.0);
    let source = boat.source;
    boat.add(source, PartKind::Appliance, direct(), |p| {
        p.run_w = Some(watts);
        p.load_kind = LoadKind::Motor;
    });
    let solution = boat.solve();
    peaks(&boat.installation, &solution, source).estimated[0].1 / watts
}

/// Locked-rotor current of table 430.251(A), and the code letters of table 430.7(B).
pub fn checks() -> Source {
    let mut source = Source::new(
        "NEC (NFPA 70) tables 430.248, 430.251(A) and 430.7(B); 46 CFR 111.70-3(b)",
        "46 CFR has no figures of its own for the current of a start (111.70-1(a), read, names other standards); 111.70-3(b) \
         asks that motors which restart by themselves after a failure stay, all at once, within one generator. Our figure is \
         the full-load current of table 430.248 times the multiple that the engine shows as \
         an estimate where a motor's start is not known; with a code letter, what the letter allows.",
    );
    let rounding =
        "the table gives whole amperes or halves at 208 V where six times its own full-load current has tenths.";
    for motor in tables::get().motors() {
        let Some(published) = motor.locked_rotor_a else { continue };
        let watts = motor.full_load_a * motor.volts;
        let ours = motor.full_load_a * estimated_multiple(watts);
        let what = format!("{} hp, single-phase, {} V, locked rotor", motor.horsepower, motor.volts);
        if motor.volts == 208.0 {
            source.differ("430.251(A)", what, "A", published, ours, 0.011, Mark::Read, rounding);
        } else {
            source.agree("430.251(A)", what, "A", published, ours, 1e-9, Mark::Read);
        }
    }
    let letters = tables::get().code_letters();
    // By hand: kVA a horsepower × 1000 / 115 V, for one horsepower.
    for (letter, least, most) in [("A", 0.0, 27.304_348), ("G", 48.695_652, 54.695_652), ("L", 78.260_870, 86.869_565)]
    {
        let row = letters.iter().find(|l| l.letter == letter).unwrap();
        let (ours_least, ours_most) = row.locked_rotor_a(1.0, 115.0);
        let what = |end: &str| format!("1 hp, 115 V, letter {letter}: {end}");
        source.agree("430.7(B)", what("least"), "A", least, ours_least, 1e-6, Mark::Derived);
        source.agree("430.7(B)", what("most"), "A", most, ours_most.unwrap(), 1e-6, Mark::Derived);
    }
    // 111.70-3(b): motors with their rotors held, all at once; by hand, count × locked-rotor amperes × 115 V.
    for (horsepower, count, volt_amperes) in [(0.5, 3, 20_286.0), (1.0, 2, 22_080.0)] {
        let row = tables::get().motors().iter().find(|m| m.horsepower == horsepower && m.volts == 115.0).unwrap();
        let start = row.locked_rotor_a.unwrap() * row.volts;
        let what = format!("{count} motors of {horsepower} hp, 115 V, all at once");
        source.agree(
            "111.70-3(b)",
            what,
            "VA",
            volt_amperes,
            all_at_once_va(row.full_load_a, start, count),
            1e-6,
            Mark::Derived,
        );
    }
    source
}

/// The least peak volt-amperes of a source on which so many motors may start all at once, by the engine's verdict.
fn all_at_once_va(full_load_a: f64, start_va: f64, count: usize) -> f64 {
    let starts = |peak_va: f64| {
        let mut boat = Boat::new(System::TwoWire120, ResistanceBasis::Published, 120.0);
        let source = boat.source;
        for _ in 0..count {
            boat.add(source, PartKind::Appliance, direct(), |p| {
                p.run_w = Some(full_load_a * 115.0 * 0.7);
                p.pf = Some(0.7);
                // Half of the volt-amperes of a held rotor are watts: below the source's peak watts in any case.
                p.start_w = Some(start_va * 0.5);
                p.start_va = Some(start_va);
                p.load_kind = LoadKind::Motor;
            });
        }
        let rated = Arc::make_mut(boat.installation.parts.get_mut(&source).unwrap());
        (rated.run_w, rated.start_w, rated.start_va) = (Some(1e5), Some(1e5), Some(peak_va));
        let solution = boat.solve();
        peaks(&boat.installation, &solution, source).starts_all_at_once.unwrap()
    };
    let (mut low, mut high) = (0.0, 1e5);
    while high - low > 1e-4 {
        let middle = f64::midpoint(low, high);
        if starts(middle) { high = middle } else { low = middle }
    }
    high
}

/// The tables fit each other: letters follow without a gap, and the locked rotor of table 430.251(A) is six times the full
/// load of table 430.248 for every motor and voltage that both have.
#[test]
fn motor_tables_fit_each_other() {
    let t = tables::get();
    let letters = t.code_letters();
    assert_eq!(letters.len(), 19);
    for pair in letters.windows(2) {
        let gap = pair[1].least_kva - pair[0].most_kva.unwrap();
        assert!((gap - 0.01).abs() < 1e-9, "{} to {}", pair[0].letter, pair[1].letter);
    }
    let both: Vec<_> = t.motors().iter().filter(|m| m.locked_rotor_a.is_some()).collect();
    assert_eq!(both.len(), 27, "nine motors at three voltages");
    for motor in both {
        let multiple = motor.locked_rotor_a.unwrap() / motor.full_load_a;
        assert!((multiple / ESTIMATED_START_MULTIPLE - 1.0).abs() < 0.011, "{motor:?}");
    }
    assert!(t.motors().iter().all(|m| m.source.starts_with("NEC") && m.mark == Mark::Read));
}
