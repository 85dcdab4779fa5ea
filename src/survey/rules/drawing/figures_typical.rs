//! Appliances with typical figures.
//!
//! # What it finds
//! Appliances whose power still is the typical figure of the locker, or an assumption.
//!
//! # Why it matters
//! A name plate may say twice as much, and every answer that follows moves with it.
//!
//! # Source of the limit
//! Common practice: the name plate is the source.
//!
//! # Fires
//!
//! # Must not fire
//!
//! # Cure
//! Read each name plate and enter what it says.

use crate::installation::{Origin, Property};
use crate::survey::rules::prelude::*;

rule! {
    id: "figures-typical",
    severity: Severity::Notice,
    sets: BOTH,
    demand: "Appliances have the figures of their name plates.",
    source: "Common practice, no source",
    mark: Mark::CommonPractice,
    cure: Cure::Words("Read each name plate and enter what it says."),
    needs_figures: false,
}

fn check(cx: &Context<'_>, report: &mut Report) {
    let loose = |origin: &Origin| matches!(origin, Origin::Typical | Origin::Assumed);
    let parts: Vec<PartId> = cx
        .of_kind(PartKind::Appliance)
        .filter(|(_, p)| p.origins.get(&Property::RunW).is_some_and(loose))
        .map(|(id, _)| id)
        .collect();
    if !parts.is_empty() {
        let message = format!("Typical or assumed figures, not those of the name plate: {}.", words::tags(cx, &parts));
        report.add(INFO.finding(parts, message));
    }
}
