//! Two parts with one tag.
//!
//! # What it finds
//! Parts that share a reference designation.
//!
//! # Why it matters
//! Every list, sheet and finding names parts by tag: with two alike nobody knows which is meant.
//!
//! # Source of the limit
//! IEC 81346-1, from memory: a reference designation is unique.
//!
//! # Fires
//!
//! # Must not fire
//!
//! # Cure
//! Give one of them the next free number.

use crate::survey::rules::prelude::*;
use std::collections::BTreeMap;

rule! {
    id: "tag-duplicate",
    severity: Severity::Caution,
    sets: BOTH,
    demand: "Every part has a tag of its own.",
    source: "IEC 81346-1",
    mark: Mark::Memory,
    cure: Cure::Words("Give one of them the next free number."),
    needs_figures: false,
}

fn check(cx: &Context<'_>, report: &mut Report) {
    let mut by_tag: BTreeMap<&str, Vec<PartId>> = BTreeMap::new();
    for (id, part) in cx.parts() {
        by_tag.entry(&part.tag).or_default().push(id);
    }
    for (tag, parts) in by_tag {
        if parts.len() > 1 {
            report.add(INFO.finding(
                parts.iter().copied(),
                format!("{} share the tag {tag}.", words::count(parts.len(), "part", "parts")),
            ));
        }
    }
}
