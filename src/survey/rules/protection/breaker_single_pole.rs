//! A single-pole breaker in a 230 V system.
//!
//! # What it finds
//! A breaker that opens one conductor where both are live to earth: the plug ashore can be turned round.
//!
//! # Why it matters
//! With line and neutral crossed a single-pole breaker opens the neutral: the circuit stays live.
//!
//! # Source of the limit
//! ISO 13297:2020 13.1.1 and 13.2.1: breakers open line and neutral together.
//!
//! # Fires
//! ```csv
//! # system: 230V50Hz
//! tag,kind,fed_from,rating_a,conductor,poles
//! X1,shore-inlet,,16,,
//! Q1,breaker,X1,16,none,1
//! ```
//!
//! # Must not fire
//! ```csv
//! # system: 230V50Hz
//! tag,kind,fed_from,rating_a,conductor,poles
//! X1,shore-inlet,,16,,
//! Q1,breaker,X1,16,none,
//! ```
//!
//! # Boundary
//! ```csv
//! # system: 230V50Hz
//! tag,kind,fed_from,rating_a,conductor,poles
//! X1,shore-inlet,,16,,
//! Q1,breaker,X1,16,none,{ -> 1}
//! ```
//!
//! # Cure
//! Fit a breaker that opens both conductors.

use crate::survey::rules::prelude::*;

rule! {
    id: "breaker-single-pole",
    severity: Severity::Warning,
    sets: &[RuleSet::International],
    demand: "A breaker opens line and neutral together.",
    source: "ISO 13297:2020 13.1.1 and 13.2.1",
    mark: Mark::Read,
    cure: Cure::Words("Fit a breaker that opens both conductors."),
    needs_figures: false;
    edits: |_: &Context<'_>, finding: &Finding| change::set(finding, Property::Poles, &["2"])
}

fn check(cx: &Context<'_>, report: &mut Report) {
    if cx.system().is_split_phase() {
        return;
    }
    for (id, part) in cx.of_kind(PartKind::Breaker) {
        if part.poles(cx.system()) == Some(1) {
            let message = format!("{} opens one conductor; line and neutral must open together.", part.name());
            report.add(INFO.finding([id], message).measured(1.0, 2.0, "poles"));
        }
    }
}
