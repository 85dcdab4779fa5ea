//! More than 3 % drop between the last panel and an appliance.
//!
//! # What it finds
//! An appliance in use whose branch circuit, from the last panel on the way to it, drops more than 3 % of nominal.
//!
//! # Why it matters
//! Motors start badly and run hot, heaters give less, and the heat is in the cable.
//!
//! # Source of the limit
//! NEC (NFPA 70) 210.19(A), informational note: advice, not a requirement.
//! ABYC E-11 is quoted with 3 % for panel feeders and critical circuits and 10 % for others; the stricter advice is used.
//!
//! # Fires
//! ```csv
//! # system: 120V60Hz
//! # resistance: formula
//! tag,kind,fed_from,rating_a,run_w,load_kind,conductor,length_m
//! G1,generator,,30,3000,,,
//! A1,panel,G1,,,,none,
//! Q1,breaker,A1,15,,,none,
//! E1,appliance,Q1,,1440,power,14 AWG,15
//! ```
//!
//! # Must not fire
//! ```csv
//! # system: 120V60Hz
//! # resistance: formula
//! tag,kind,fed_from,rating_a,run_w,load_kind,conductor,length_m
//! G1,generator,,30,3000,,,
//! A1,panel,G1,,,,none,
//! Q1,breaker,A1,15,,,none,
//! E1,appliance,Q1,,1440,power,14 AWG,14
//! ```
//! ```csv
//! # system: 120V60Hz
//! # resistance: formula
//! tag,kind,fed_from,rating_a,run_w,load_kind,conductor,length_m
//! G1,generator,,30,3000,,,
//! A1,panel,G1,,,,14 AWG,15
//! Q1,breaker,A1,15,,,none,
//! E1,appliance,Q1,,1440,power,none,
//! ```
//!
//! # Boundary
//! ```csv
//! # system: 120V60Hz
//! # resistance: formula
//! tag,kind,fed_from,rating_a,run_w,load_kind,conductor,length_m
//! G1,generator,,30,3000,,,
//! A1,panel,G1,,,,none,
//! Q1,breaker,A1,15,,,none,
//! E1,appliance,Q1,,1440,power,14 AWG,{14.439 -> 14.449}
//! ```
//!
//! # Cure
//! The next thicker conductor, or a shorter way.

use super::{judged, running};
use crate::survey::rules::prelude::*;

rule! {
    id: "drop-branch",
    severity: Severity::Caution,
    sets: &[RuleSet::Us],
    demand: "From the last panel to an appliance the voltage drops by about 3 % of nominal at most (advice).",
    source: "NEC (NFPA 70) 210.19(A), informational note (advice, not law)",
    mark: Mark::Read,
    cure: Cure::Words("Fit thicker cable between panel and appliance, or take a shorter way."),
    needs_figures: true;
    edits: edits
}

/// Per cent of nominal.
const LIMIT: f64 = 3.0;

fn check(cx: &Context<'_>, report: &mut Report) {
    for (id, part) in running(cx) {
        let Some(panel) = cx.upstream(id).and_then(|up| up.panel) else { continue };
        let leg = cx.leg(id);
        let drop = cx.drop_percent(id, leg).zip(cx.drop_percent(panel, leg)).map(|(at, from)| at - from);
        let found = drop.filter(|&d| above(d, LIMIT));
        if let Some(drop) = found {
            let (shown, most) = words::pair(drop, LIMIT, "%");
            let message =
                format!("From {} to {} the voltage drops by {shown}; advice is {most}.", cx.tag(panel), part.name());
            let worst = cx.upstream(id).and_then(|up| up.worst_branch_cable);
            let cure = change::thicker_for_drop(cx, worst, cx.nominal_v(cx.leg(id)), drop, LIMIT);
            report.add(INFO.finding([id], message).measured(drop, LIMIT, "%").cured(cure));
        }
        judged(cx, report, &INFO, id, drop, found.is_some());
    }
}

fn edits(cx: &Context<'_>, finding: &Finding) -> Vec<Edit> {
    let part = finding.parts.first().copied();
    change::thicker(cx, part.and_then(|p| cx.upstream(p)).and_then(|up| up.worst_branch_cable))
}
