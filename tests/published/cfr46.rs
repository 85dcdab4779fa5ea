//! 46 CFR: generators of inspected and fishing vessels, quoted as good practice.

use crate::page::Source;
use crate::rig::{Boat, direct};
use hullwire::installation::{Leg, PartKind, ResistanceBasis, System};
use hullwire::tables::{self, Series};
use hullwire::units::Mark;

/// Full-load amperes of a set, solved.
fn full_load(system: System, watts: f64, pf: f64) -> f64 {
    let mut boat =
        Boat::new(system, ResistanceBasis::Published, if system == System::TwoWire230 { 230.0 } else { 120.0 });
    let source = boat.source;
    boat.add(source, PartKind::Appliance, direct(), |p| {
        p.run_w = Some(watts);
        p.pf = Some(pf);
        p.leg = (system == System::SplitPhase).then_some(Leg::L1L2);
    });
    boat.solve().parts[&source].amps.unwrap()
}

/// 28.860(a): a generator's protection at 115 % of its full-load current at most.
pub fn checks() -> Source {
    let mut source = Source::new(
        "46 CFR 28.860(a)",
        "Our figure is the largest standard rating within 115 % of the solved full-load current; the published one was worked \
         by hand from W / V and the standard series.",
    );
    for (system, volts, watts, pf, device) in [
        (System::TwoWire120, 120.0, 2000.0, 1.0, 15.0),
        (System::TwoWire120, 120.0, 3000.0, 1.0, 25.0),
        (System::TwoWire120, 120.0, 4000.0, 1.0, 35.0),
        (System::TwoWire120, 120.0, 5000.0, 0.8, 50.0),
        (System::SplitPhase, 240.0, 6000.0, 1.0, 25.0),
        (System::SplitPhase, 240.0, 8000.0, 1.0, 35.0),
        (System::SplitPhase, 240.0, 12_000.0, 1.0, 50.0),
    ] {
        let amps = full_load(system, watts, pf);
        let what = format!("{watts} W, power factor {pf}, {volts} V: full load");
        source.agree("W / (V × pf)", what, "A", watts / (volts * pf), amps, 1e-9, Mark::Derived);
        let ours = tables::get().rating_not_above(Series::Us, 1.15 * amps).map_or(f64::NAN, |f| f.value);
        let what = format!("{watts} W, power factor {pf}, {volts} V: largest breaker");
        source.agree("28.860(a); NEC (NFPA 70) 240.6(A)", what, "A", device, ours, 1e-12, Mark::Derived);
    }
    source
}
