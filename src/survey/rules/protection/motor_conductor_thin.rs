//! A motor's cable with too little to spare.
//!
//! # What it finds
//! The cable of a motor that may carry less than 125 % of the motor's running current.
//!
//! # Why it matters
//! A motor runs above its label when it is old, fouled or short of volts, for as long as it runs.
//!
//! # Source of the limit
//! NEC (NFPA 70) 430.22; the running current is that of the name plate here, not of the code's table, which is
//! higher.
//!
//! # Fires
//! ```csv
//! # system: 120V60Hz
//! tag,kind,fed_from,rating_a,run_w,conductor,length_m,insulation_c,space,load_kind
//! G1,generator,,60,9000,,,,,
//! M1,appliance,G1,,2400.01,12 AWG,3,75,,motor
//! ```
//!
//! # Must not fire
//! ```csv
//! # system: 120V60Hz
//! tag,kind,fed_from,rating_a,run_w,conductor,length_m,insulation_c,space,load_kind
//! G1,generator,,60,9000,,,,,
//! M1,appliance,G1,,2400,12 AWG,3,75,,motor
//! ```
//!
//! # Boundary
//! ```csv
//! # system: 120V60Hz
//! tag,kind,fed_from,rating_a,run_w,conductor,length_m,insulation_c,space,load_kind
//! G1,generator,,60,9000,,,,,
//! M1,appliance,G1,,{2400 -> 2400.01},12 AWG,3,75,,motor
//! ```
//!
//! # Cure
//! Fit the next thicker cable.

use crate::installation::LoadKind;
use crate::survey::rules::prelude::*;

rule! {
    id: "motor-conductor-thin",
    severity: Severity::Caution,
    sets: &[RuleSet::Us],
    demand: "The cable of a motor may carry 125 % of its running current.",
    source: "NEC (NFPA 70) 430.22",
    mark: Mark::Read,
    cure: Cure::Words("Fit the next thicker cable."),
    needs_figures: false;
    edits: change::thicker_of
}

/// Share of the running current.
const SHARE: f64 = 1.25;

fn check(cx: &Context<'_>, report: &mut Report) {
    let motors = cx.of_kind(PartKind::Appliance).filter(|(_, p)| p.load_kind == LoadKind::Motor);
    for (motor, part) in motors {
        for &id in cx.arriving(motor) {
            let Some(cable) = cx.cable(id).filter(|c| c.data.is_fitted()) else { continue };
            let (Some(allowed), Some(watts)) = (cx.ampacity(id), part.run_w) else {
                report.not_checked(&INFO, [motor], "its running power or what its cable may carry is not known");
                continue;
            };
            let needed = SHARE * watts / part.pf() / cx.nominal_v(cx.leg(motor));
            // Above the conductor's own limit the overload has a rule of its own.
            if above(needed, allowed.amps) {
                let (shown, may) = words::pair(needed, allowed.amps, "A");
                let message = format!(
                    "125 % of the running current of {} is {shown}; its cable may carry {may} ({}).",
                    part.name(),
                    words::basis(cx, cable, allowed)
                );
                let finding = INFO.finding([motor], message).on([id]).measured(needed, allowed.amps, "A");
                report.add(
                    finding
                        .by(format!("{}; {}", INFO.source, allowed.source), allowed.mark)
                        .not_using(words::other_ampacity(cx, allowed)),
                );
            }
        }
    }
}
