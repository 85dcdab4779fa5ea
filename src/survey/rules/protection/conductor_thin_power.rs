//! Power or lighting cable below 14 AWG.
//!
//! # What it finds
//! A cable of 16 or 18 AWG, or below 2.08 mm², in a fixed circuit.
//!
//! # Why it matters
//! On inspected vessels 14 AWG is the least for power and lighting; it is good practice on any boat.
//!
//! # Source of the limit
//! 46 CFR 183.340(c), small passenger vessels.
//!
//! # Fires
//! ```csv
//! # system: 120V60Hz
//! tag,kind,fed_from,rating_a,run_w,conductor,length_m
//! G1,generator,,30,3000,,
//! E1,appliance,G1,,100,16 AWG,3
//! ```
//!
//! # Must not fire
//! ```csv
//! # system: 120V60Hz
//! tag,kind,fed_from,rating_a,run_w,conductor,length_m
//! G1,generator,,30,3000,,
//! E1,appliance,G1,,100,14 AWG,3
//! ```
//!
//! # Boundary
//! ```csv
//! # system: 120V60Hz
//! tag,kind,fed_from,rating_a,run_w,conductor,length_m
//! G1,generator,,30,3000,,
//! E1,appliance,G1,,100,{14 AWG -> 16 AWG},3
//! ```
//!
//! # Cure
//! Fit 14 AWG or thicker when the cable is renewed.

use super::area_mm2;
use crate::installation::Size;
use crate::survey::rules::prelude::*;

rule! {
    id: "conductor-thin-power",
    severity: Severity::Notice,
    sets: &[RuleSet::Us],
    demand: "Power and lighting conductors are at least 14 AWG (inspected vessels; good practice elsewhere).",
    source: "46 CFR 183.340(c)",
    mark: Mark::Read,
    cure: Cure::Words("Fit 14 AWG or thicker when the cable is renewed."),
    needs_figures: false;
    edits: change::thicker_of
}

fn check(cx: &Context<'_>, report: &mut Report) {
    for (id, cable) in cx.cables() {
        let Some(size) = cable.data.size() else { continue };
        let least = Size::Awg(14);
        if below(area_mm2(size), area_mm2(least)) {
            let message =
                format!("The cable to {} is {size}; {least} is the least on inspected vessels.", cx.name(cable.to));
            let finding = INFO.finding([cable.to], message).on([id]);
            report.add(finding.measured(area_mm2(size), area_mm2(least), "mm²"));
        }
    }
}
