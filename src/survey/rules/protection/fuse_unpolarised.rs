//! A fuse in an unpolarised system.
//!
//! # What it finds
//! A fuse as overcurrent device where the plug ashore can be turned round.
//!
//! # Why it matters
//! A fuse opens one conductor. When it is the neutral that opens, the circuit stays live.
//!
//! # Source of the limit
//! ISO 13297:2020 13.1.2: fuses are not allowed in unpolarised systems.
//!
//! # Fires
//! ```csv
//! # system: 230V50Hz
//! tag,kind,fed_from,rating_a,conductor,trip
//! X1,shore-inlet,,16,,
//! Q1,breaker,X1,16,none,fuse
//! ```
//!
//! # Must not fire
//! ```csv
//! # system: 230V50Hz
//! tag,kind,fed_from,rating_a,conductor,trip
//! X1,shore-inlet,,16,,
//! Q1,breaker,X1,16,none,B
//! ```
//!
//! # Cure
//! Fit a breaker that opens both conductors.

use crate::installation::Trip;
use crate::survey::rules::prelude::*;

rule! {
    id: "fuse-unpolarised",
    severity: Severity::Warning,
    sets: &[RuleSet::International],
    demand: "In an unpolarised system there are breakers, no fuses.",
    source: "ISO 13297:2020 13.1.2",
    mark: Mark::Read,
    cure: Cure::Words("Fit a breaker that opens both conductors."),
    needs_figures: false;
    edits: |_: &Context<'_>, finding: &Finding| change::set(finding, Property::Trip, &["C", "B"])
}

fn check(cx: &Context<'_>, report: &mut Report) {
    for (id, part) in cx.of_kind(PartKind::Breaker) {
        if part.trip(cx.system()) == Trip::Fuse {
            report.add(
                INFO.finding([id], format!("{} is a fuse; in this system it may leave its circuit live.", part.name())),
            );
        }
    }
}
