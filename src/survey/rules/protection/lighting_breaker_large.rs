//! Lighting behind more than 30 A.
//!
//! # What it finds
//! A lighting appliance whose breaker is rated above 30 A.
//!
//! # Why it matters
//! Lampholders and their thin leads burn long before such a breaker notices.
//!
//! # Source of the limit
//! 46 CFR 183.380(g), small passenger vessels; good practice elsewhere.
//!
//! # Fires
//! ```csv
//! # system: 120V60Hz
//! tag,kind,fed_from,rating_a,run_w,conductor,lighting
//! G1,generator,,60,6000,,
//! Q1,breaker,G1,35,,none,
//! E1,appliance,Q1,,100,none,yes
//! ```
//! ```csv
//! # system: 230V50Hz
//! tag,kind,fed_from,rating_a,run_w,conductor,lighting
//! G1,generator,,40,9000,,
//! Q1,breaker,G1,32,,none,
//! E1,appliance,Q1,,100,none,yes
//! ```
//!
//! # Must not fire
//! ```csv
//! # system: 120V60Hz
//! tag,kind,fed_from,rating_a,run_w,conductor,lighting
//! G1,generator,,60,6000,,
//! Q1,breaker,G1,30,,none,
//! E1,appliance,Q1,,100,none,yes
//! ```
//! ```csv
//! # system: 230V50Hz
//! tag,kind,fed_from,rating_a,run_w,conductor,lighting
//! G1,generator,,40,9000,,
//! Q1,breaker,G1,32,,none,
//! E1,appliance,Q1,,100,none,no
//! ```
//!
//! # Boundary
//! ```csv
//! # system: 120V60Hz
//! tag,kind,fed_from,rating_a,run_w,conductor,lighting
//! G1,generator,,60,6000,,
//! Q1,breaker,G1,{30 -> 30.1},,none,
//! E1,appliance,Q1,,100,none,yes
//! ```
//! ```csv
//! # system: 230V50Hz
//! tag,kind,fed_from,rating_a,run_w,conductor,lighting
//! G1,generator,,40,9000,,
//! Q1,breaker,G1,{30 -> 30.1},,none,
//! E1,appliance,Q1,,100,none,yes
//! ```
//!
//! # Cure
//! Give the lights a breaker of their own, mostly 10 to 15 A.

use crate::survey::GuardKind;
use crate::survey::rules::prelude::*;

rule! {
    id: "lighting-breaker-large",
    severity: Severity::Caution,
    sets: BOTH,
    demand: "A lighting circuit stands behind 30 A at most.",
    source: "46 CFR 183.380(g)",
    mark: Mark::Read,
    cure: Cure::Words("Give the lights a breaker of their own, mostly 10 to 15 A."),
    needs_figures: false;
    edits: edits
}

/// Amperes.
const LIMIT_A: f64 = 30.0;

fn check(cx: &Context<'_>, report: &mut Report) {
    for (id, part) in cx.of_kind(PartKind::Appliance).filter(|(_, p)| p.lighting) {
        let feeds = cx.arriving(id).iter().filter_map(|&c| cx.cable(c));
        let guards = feeds.flat_map(|c| cx.guards_behind(c.from)).filter(|g| g.kind != GuardKind::Shore);
        if let Some((guard, rating)) = guards.filter_map(|g| Some((g.part, g.rating_a?))).find(|g| above(g.1, LIMIT_A))
        {
            let message = format!(
                "{} is lighting behind {} of {}; 30 A is the most.",
                part.name(),
                cx.tag(guard),
                words::pair(rating, LIMIT_A, "A").0
            );
            report.add(INFO.finding([guard, id], message).measured(rating, LIMIT_A, "A"));
        }
    }
}

fn edits(cx: &Context<'_>, finding: &Finding) -> Vec<Edit> {
    let (Some(&breaker), Some(limit)) = (finding.parts.first(), finding.limit) else { return Vec::new() };
    change::smaller_breaker(cx, breaker, limit)
}
