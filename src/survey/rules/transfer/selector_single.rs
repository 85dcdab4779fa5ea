//! A selector with one source.
//!
//! # What it finds
//! A source selector into which one cable leads, or none.
//!
//! # Why it matters
//! It selects nothing; mostly the cable of the second source was forgotten.
//!
//! # Source of the limit
//! Common practice.
//!
//! # Fires
//! ```csv
//! # system: 120V60Hz
//! tag,kind,fed_from,rating_a,run_w,poles,conductor
//! G1,generator,,20,2000,,
//! Q1,selector,G1,30,,2,none
//! ```
//! ```csv
//! # system: 230V50Hz
//! tag,kind,fed_from,rating_a,run_w,poles,conductor
//! G1,generator,,10,2000,,
//! Q1,selector,G1,16,,2,none
//! ```
//!
//! # Must not fire
//! ```csv
//! # system: 120V60Hz
//! # feeding: G1
//! tag,kind,fed_from,rating_a,run_w,poles,conductor
//! G1,generator,,20,2000,,
//! X1,shore-inlet,,30,,,
//! Q1,selector,G1|X1,30,,2,none
//! ```
//! ```csv
//! # system: 230V50Hz
//! # feeding: G1
//! tag,kind,fed_from,rating_a,run_w,poles,conductor
//! G1,generator,,10,2000,,
//! X1,shore-inlet,,16,,,
//! Q1,selector,G1|X1,16,,2,none
//! ```
//!
//! # Cure
//! Draw the cable of the other source.

use crate::survey::rules::prelude::*;

rule! {
    id: "selector-single",
    severity: Severity::Notice,
    sets: BOTH,
    demand: "A source selector has two sources or more.",
    source: "Common practice, no source",
    mark: Mark::CommonPractice,
    cure: Cure::Words("Draw the cable of the other source."),
    needs_figures: false,
}

fn check(cx: &Context<'_>, report: &mut Report) {
    for (id, part) in cx.of_kind(PartKind::Selector) {
        let feeds = cx.arriving(id).len();
        if feeds < 2 {
            let message = format!("{} has {} to select from.", part.name(), words::count(feeds, "source", "sources"));
            report.add(INFO.finding([id], message));
        }
    }
}
