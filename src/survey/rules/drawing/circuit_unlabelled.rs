//! Circuits without a label.
//!
//! # What it finds
//! Breakers whose label is empty or repeats the tag.
//!
//! # Why it matters
//! In the dark and in a hurry the label on the panel is what finds the right breaker.
//!
//! # Source of the limit
//! 33 CFR and ISO 13297 ask for marked circuits; the clause is from memory.
//!
//! # Fires
//! ```csv
//! # system: 120V60Hz
//! tag,kind,fed_from,rating_a,run_w,label,conductor
//! G1,generator,,30,3000,,
//! Q1,breaker,G1,15,,,none
//! ```
//! ```csv
//! # system: 230V50Hz
//! tag,kind,fed_from,rating_a,run_w,label,conductor
//! G1,generator,,13,3000,,
//! Q1,breaker,G1,10,,Q1,none
//! ```
//!
//! # Must not fire
//! ```csv
//! # system: 120V60Hz
//! tag,kind,fed_from,rating_a,run_w,label,conductor
//! G1,generator,,30,3000,,
//! Q1,breaker,G1,15,,Pump,none
//! ```
//! ```csv
//! # system: 230V50Hz
//! tag,kind,fed_from,rating_a,run_w,label,conductor
//! G1,generator,,13,3000,,
//! Q1,breaker,G1,10,,Pump,none
//! ```
//!
//! # Cure
//! Write what each feeds, on the drawing and on the panel.

use crate::survey::rules::prelude::*;

rule! {
    id: "circuit-unlabelled",
    severity: Severity::Notice,
    sets: BOTH,
    demand: "Every breaker says what it feeds.",
    source: "ABYC E-11; ISO 13297",
    mark: Mark::Memory,
    cure: Cure::Words("Write what each feeds, on the drawing and on the panel."),
    needs_figures: false,
}

fn check(cx: &Context<'_>, report: &mut Report) {
    let bare = |label: &str, tag: &str| label.trim().is_empty() || label == tag;
    let parts: Vec<PartId> =
        cx.of_kind(PartKind::Breaker).filter(|(_, p)| bare(&p.label, &p.tag)).map(|(id, _)| id).collect();
    if !parts.is_empty() {
        let message = format!("No label says what they feed: {}.", words::tags(cx, &parts));
        report.add(INFO.finding(parts, message));
    }
}
