//! A breaker in a hot space.
//!
//! # What it finds
//! Breakers in an engine space.
//!
//! # Why it matters
//! A thermal breaker trips by its own warmth. In a hot space it trips below its rating; how much below only its maker
//! says.
//!
//! # Source of the limit
//! UL 489 is calibrated in open air at 25 to 40 °C, IEC 60898-1 at 30 °C; neither has a figure for an engine space.
//!
//! # Fires
//! ```csv
//! # system: 120V60Hz
//! tag,kind,fed_from,space,rating_a,run_w
//! G1,generator,,engine-space,20,2000
//! Q1,breaker,G1,engine-space,20,
//! ```
//! ```csv
//! # system: 230V50Hz
//! tag,kind,fed_from,space,rating_a,run_w
//! G1,generator,,engine-space,10,2000
//! Q1,breaker,G1,engine-space,10,
//! ```
//!
//! # Must not fire
//! ```csv
//! # system: 120V60Hz
//! tag,kind,fed_from,space,rating_a,run_w
//! G1,generator,,engine-space,20,2000
//! Q1,breaker,G1,accommodation,20,
//! ```
//! ```csv
//! # system: 230V50Hz
//! tag,kind,fed_from,space,rating_a,run_w,trip
//! G1,generator,,engine-space,10,2000,
//! Q1,breaker,G1,lazarette,10,,C
//! ```
//!
//! # Cure
//! Ask its maker for the rating at the temperature of the space, or move it out.

use crate::survey::rules::prelude::*;

rule! {
    id: "breaker-hot",
    severity: Severity::Notice,
    sets: BOTH,
    demand: "Breakers stand where it is no hotter than they were calibrated for.",
    source: "UL 489 (25 to 40 °C); IEC 60898-1 (30 °C)",
    mark: Mark::Read,
    cure: Cure::Words("Ask its maker for the rating at the temperature of the space, or move it out."),
    needs_figures: false,
}

fn check(cx: &Context<'_>, report: &mut Report) {
    let hot = cx.of_kind(PartKind::Breaker).filter(|(id, _)| cx.space(*id) == SpaceKind::EngineSpace);
    let parts: Vec<PartId> = hot.map(|(id, _)| id).collect();
    if !parts.is_empty() {
        let message =
            format!("In an engine space, where a breaker trips below its rating: {}.", words::tags(cx, &parts));
        report.add(INFO.finding(parts, message));
    }
}
