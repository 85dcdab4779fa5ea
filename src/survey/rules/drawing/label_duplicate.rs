//! Breakers with one label.
//!
//! # What it finds
//! Two or more breakers that carry the same label.
//!
//! # Why it matters
//! Who opens the wrong one of two breakers named Galley works on a live circuit.
//!
//! # Source of the limit
//! Common practice: labels of circuits tell them apart.
//!
//! # Fires
//! ```csv
//! # system: 120V60Hz
//! tag,kind,fed_from,rating_a,run_w,label,conductor
//! G1,generator,,30,3000,,
//! Q1,breaker,G1,15,,Pump,none
//! Q2,breaker,G1,15,,pump,none
//! ```
//! ```csv
//! # system: 230V50Hz
//! tag,kind,fed_from,rating_a,run_w,label,conductor
//! G1,generator,,13,3000,,
//! Q1,breaker,G1,10,,Pump,none
//! Q2,breaker,G1,10,,Pump,none
//! ```
//!
//! # Must not fire
//! ```csv
//! # system: 120V60Hz
//! tag,kind,fed_from,rating_a,run_w,label,conductor
//! G1,generator,,30,3000,,
//! Q1,breaker,G1,15,,Pump,none
//! Q2,breaker,G1,15,,Fan,none
//! ```
//! ```csv
//! # system: 230V50Hz
//! tag,kind,fed_from,rating_a,run_w,label,conductor
//! G1,generator,,13,3000,,
//! Q1,breaker,G1,10,,Pump,none
//! E2,appliance,Q1,,100,Pump,none
//! ```
//!
//! # Cure
//! Tell them apart: Galley port, Galley starboard.

use crate::survey::rules::prelude::*;
use std::collections::BTreeMap;

rule! {
    id: "label-duplicate",
    severity: Severity::Notice,
    sets: BOTH,
    demand: "No two breakers carry the same label.",
    source: "Common practice, no source",
    mark: Mark::CommonPractice,
    cure: Cure::Words("Tell them apart: Galley port, Galley starboard."),
    needs_figures: false,
}

fn check(cx: &Context<'_>, report: &mut Report) {
    let mut by_label: BTreeMap<String, Vec<PartId>> = BTreeMap::new();
    for (id, part) in cx.of_kind(PartKind::Breaker) {
        let label = part.label.trim().to_lowercase();
        if !label.is_empty() && part.label != part.tag {
            by_label.entry(label).or_default().push(id);
        }
    }
    for (label, parts) in by_label {
        if parts.len() > 1 {
            let message = format!("{} are all labelled “{label}”.", words::tags(cx, &parts));
            report.add(INFO.finding(parts, message));
        }
    }
}
