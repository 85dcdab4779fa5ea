//! Parts that hang together and that no source feeds.
//!
//! # What it finds
//! A group of two or more parts joined by cables with no source among or above them, in any condition.
//!
//! # Why it matters
//! It is either a cable that was forgotten, or wiring left in the boat that may be fed from somewhere the drawing does
//! not show.
//!
//! # Source of the limit
//! Common practice: a drawing shows where everything is fed from.
//!
//! # Fires
//! ```csv
//! # system: 120V60Hz
//! tag,kind,fed_from,rating_a,run_w,conductor,length_m
//! G1,generator,,30,3000,,
//! A1,panel,,,,,
//! Q1,breaker,A1,15,,none,
//! ```
//! ```csv
//! # system: 230V50Hz
//! tag,kind,fed_from,rating_a,run_w,conductor,length_m
//! G1,generator,,16,3000,,
//! A1,panel,,,,,
//! Q1,breaker,A1,10,,none,
//! ```
//!
//! # Must not fire
//! ```csv
//! # system: 120V60Hz
//! # feeding: off
//! tag,kind,fed_from,rating_a,run_w,conductor,length_m
//! G1,generator,,30,3000,,
//! A1,panel,G1,,,10 AWG,2
//! Q1,breaker,A1,15,,none,
//! ```
//! ```csv
//! # system: 230V50Hz
//! tag,kind,fed_from,rating_a,run_w,conductor,length_m
//! G1,generator,,16,3000,,
//! A1,panel,,,,,
//! ```
//!
//! # Cure
//! Draw the cable that feeds it, or take it out.

use crate::survey::rules::prelude::*;

rule! {
    id: "island",
    severity: Severity::Caution,
    sets: BOTH,
    demand: "Every group of parts is joined to a source.",
    source: "Common practice: a drawing shows where everything is fed from",
    mark: Mark::CommonPractice,
    cure: Cure::Words("Draw the cable that feeds it. If it is left-over wiring, find both its ends and take it out."),
    needs_figures: false,
}

fn check(cx: &Context<'_>, report: &mut Report) {
    for parts in &cx.walk().islands {
        let message = format!(
            "{} hang together and no source is joined to them. What the drawing does not show may feed them.",
            words::tags(cx, parts)
        );
        report.add(INFO.finding(parts.iter().copied(), message));
    }
}
