//! A title block with empty fields.
//!
//! # What it finds
//! A title block that has been begun and in which mandatory fields are empty. The approval is left to the
//! electrician and not asked for.
//!
//! # Why it matters
//! A sheet without owner, number or date cannot be told from an older one.
//!
//! # Source of the limit
//! ISO 7200:2004: mandatory fields.
//!
//! # Fires
//!
//! # Must not fire
//!
//! # Cure
//! Fill them in. Approval stays empty for the electrician who checks the drawing.

use crate::survey::rules::prelude::*;

rule! {
    id: "title-block-incomplete",
    severity: Severity::Notice,
    sets: BOTH,
    demand: "The mandatory fields of the title block are filled in.",
    source: "ISO 7200:2004",
    mark: Mark::Read,
    cure: Cure::Words("Fill them in. Approval stays empty for the electrician who checks the drawing."),
    needs_figures: false,
}

fn check(cx: &Context<'_>, report: &mut Report) {
    let block = cx.title();
    let fields = [
        ("title", &block.title),
        ("legal owner", &block.legal_owner),
        ("identification number", &block.identification_number),
        ("date of issue", &block.date_of_issue),
        ("creator", &block.creator),
        ("document type", &block.document_type),
    ];
    let empty: Vec<&str> = fields.iter().filter(|(_, v)| v.trim().is_empty()).map(|(name, _)| *name).collect();
    if !empty.is_empty() && empty.len() < fields.len() {
        report.add(INFO.finding([], format!("Empty in the title block: {}.", empty.join(", "))));
    }
}
