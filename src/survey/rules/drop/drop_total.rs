//! More than 5 % drop between the source and an appliance.
//!
//! # What it finds
//! An appliance in use at which the voltage has dropped by more than 5 % of nominal from the source's terminals, the
//! shore cord included where its data are known.
//!
//! # Why it matters
//! Motors start badly and run hot, heaters give less, and the heat is in the cable.
//!
//! # Source of the limit
//! NEC (NFPA 70) 210.19(A) and 215.2, informational notes: advice, not a requirement.
//! ABYC E-11 is quoted with 3 % for panel feeders and critical circuits and 10 % for others; the stricter advice is used.
//!
//! # Fires
//! ```csv
//! # system: 120V60Hz
//! # resistance: formula
//! tag,kind,fed_from,rating_a,run_w,conductor,length_m
//! G1,generator,,30,3000,,
//! E1,appliance,G1,,1440,14 AWG,24
//! ```
//!
//! # Must not fire
//! ```csv
//! # system: 120V60Hz
//! # resistance: formula
//! tag,kind,fed_from,rating_a,run_w,conductor,length_m
//! G1,generator,,30,3000,,
//! E1,appliance,G1,,1440,14 AWG,23
//! ```
//!
//! # Boundary
//! ```csv
//! # system: 120V60Hz
//! # resistance: formula
//! tag,kind,fed_from,rating_a,run_w,conductor,length_m
//! G1,generator,,30,3000,,
//! E1,appliance,G1,,1440,14 AWG,{23.570 -> 23.580}
//! ```
//!
//! # Cure
//! Thicker cable where most of the drop is, or a shorter way.

use super::{judged, running};
use crate::survey::rules::prelude::*;

rule! {
    id: "drop-total",
    severity: Severity::Caution,
    sets: &[RuleSet::Us],
    demand: "From the source to an appliance the voltage drops by about 5 % of nominal at most (advice).",
    source: "NEC (NFPA 70) 210.19(A) and 215.2, informational notes (advice, not law)",
    mark: Mark::Read,
    cure: Cure::Words("Fit thicker cable where most of the drop is, or take a shorter way."),
    needs_figures: true;
    edits: edits
}

/// Per cent of nominal.
const LIMIT: f64 = 5.0;

fn check(cx: &Context<'_>, report: &mut Report) {
    for (id, part) in running(cx) {
        let drop = cx.drop_percent(id, cx.leg(id));
        let found = drop.filter(|&d| above(d, LIMIT));
        if let Some(drop) = found {
            let (shown, most) = words::pair(drop, LIMIT, "%");
            let message = format!("At {} the voltage is down {shown} from the source; advice is {most}.", part.name());
            let worst = cx.upstream(id).and_then(|up| up.worst_cable);
            let cure = change::thicker_for_drop(cx, worst, cx.nominal_v(cx.leg(id)), drop, LIMIT);
            report.add(INFO.finding([id], message).measured(drop, LIMIT, "%").cured(cure));
        }
        judged(cx, report, &INFO, id, drop, found.is_some());
    }
}

fn edits(cx: &Context<'_>, finding: &Finding) -> Vec<Edit> {
    let part = finding.parts.first().copied();
    change::thicker(cx, part.and_then(|p| cx.upstream(p)).and_then(|up| up.worst_cable))
}
