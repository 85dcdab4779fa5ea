//! Tags that are not letters and a number.
//!
//! # What it finds
//! Parts whose tag is not one to three capital letters followed by a number.
//!
//! # Why it matters
//! The letter tells an electrician at a glance what kind of part it is, and a number finds it in a list.
//!
//! # Source of the limit
//! IEC 81346-2, from memory: letter codes of classes with a number.
//!
//! # Fires
//! ```csv
//! # system: 120V60Hz
//! tag,kind,run_w,rating_a
//! genset,generator,3000,30
//! ```
//! ```csv
//! # system: 230V50Hz
//! tag,kind,run_w,rating_a
//! G-1,generator,3000,13
//! ```
//!
//! # Must not fire
//! ```csv
//! # system: 120V60Hz
//! tag,kind,run_w,rating_a
//! G1,generator,3000,30
//! ```
//! ```csv
//! # system: 230V50Hz
//! tag,kind,run_w,rating_a
//! GA12,generator,3000,13
//! ```
//!
//! # Cure
//! Rename them in the form of Q3: the letter of the class, then a number.

use crate::survey::rules::prelude::*;

rule! {
    id: "tag-form",
    severity: Severity::Notice,
    sets: BOTH,
    demand: "A tag is one to three capital letters and a number.",
    source: "IEC 81346-2",
    mark: Mark::Memory,
    cure: Cure::Words("Rename them in the form of Q3: the letter of the class, then a number."),
    needs_figures: false,
}

/// True for `Q3`, `GA12`.
fn is_designation(tag: &str) -> bool {
    let letters = tag.len() - tag.trim_start_matches(|c: char| c.is_ascii_uppercase()).len();
    let number = &tag[letters..];
    (1..=3).contains(&letters) && !number.is_empty() && number.bytes().all(|b| b.is_ascii_digit())
}

fn check(cx: &Context<'_>, report: &mut Report) {
    let parts: Vec<PartId> = cx.parts().filter(|(_, p)| !is_designation(&p.tag)).map(|(id, _)| id).collect();
    if !parts.is_empty() {
        let message = format!("Not in the form letter and number: {}.", words::tags(cx, &parts));
        report.add(INFO.finding(parts, message));
    }
}
