//! Breakers that feed nothing.
//!
//! # What it finds
//! Breakers behind which nothing is drawn: spare positions, or circuits that were forgotten.
//!
//! # Why it matters
//! A breaker with a wire that the drawing does not show is a surprise for whoever opens the panel.
//!
//! # Source of the limit
//! Common practice.
//!
//! # Fires
//! ```csv
//! # system: 120V60Hz
//! tag,kind,fed_from,rating_a,run_w,conductor
//! G1,generator,,30,3000,
//! Q1,breaker,G1,15,,none
//! ```
//! ```csv
//! # system: 230V50Hz
//! tag,kind,fed_from,rating_a,run_w,conductor
//! G1,generator,,13,3000,
//! Q1,breaker,G1,10,,none
//! ```
//!
//! # Must not fire
//! ```csv
//! # system: 120V60Hz
//! tag,kind,fed_from,rating_a,run_w,conductor
//! G1,generator,,30,3000,
//! Q1,breaker,G1,15,,none
//! X1,outlet,Q1,15,,none
//! ```
//! ```csv
//! # system: 230V50Hz
//! tag,kind,fed_from,rating_a,run_w,conductor
//! G1,generator,,13,3000,
//! Q1,breaker,G1,10,,none
//! X1,outlet,Q1,16,,none
//! ```
//!
//! # Cure
//! Draw what it feeds, or label it as spare.

use crate::survey::rules::prelude::*;

rule! {
    id: "breaker-spare",
    severity: Severity::Notice,
    sets: BOTH,
    demand: "What a breaker feeds is drawn.",
    source: "Common practice, no source",
    mark: Mark::CommonPractice,
    cure: Cure::Words("Draw what it feeds, or label it as spare."),
    needs_figures: false,
}

fn check(cx: &Context<'_>, report: &mut Report) {
    let bare = |id: PartId, label: &str| cx.leaving(id).is_empty() && !label.to_lowercase().contains("spare");
    let parts: Vec<PartId> =
        cx.of_kind(PartKind::Breaker).filter(|(id, p)| bare(*id, &p.label)).map(|(id, _)| id).collect();
    if !parts.is_empty() {
        let message = format!("Nothing is drawn behind {}.", words::tags(cx, &parts));
        report.add(INFO.finding(parts, message));
    }
}
