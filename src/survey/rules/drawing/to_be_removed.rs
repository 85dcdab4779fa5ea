//! Parts that are to be removed.
//!
//! # What it finds
//! Parts and cables of the drawing that are to be removed.
//!
//! # Why it matters
//! The drawing shows the installation as it will be: what is to be removed takes no part in figures and checks. Until it
//! is gone it may be live, and what is wrong with it still is.
//!
//! # Source of the limit
//! Common practice: a refit drawing judges the state after the work.
//!
//! # Fires
//! ```csv
//! # system: 120V60Hz
//! tag,kind,fed_from,rating_a,run_w,conductor,length_m,status
//! X1,shore-inlet,,30,,,,
//! Q1,breaker,X1,15,,10 AWG,2,
//! E1,appliance,Q1,,800,12 AWG,5,remove
//! ```
//! ```csv
//! # system: 230V50Hz
//! tag,kind,fed_from,rating_a,run_w,conductor,length_m,cable_status
//! X1,shore-inlet,,16,,,,
//! Q1,breaker,X1,10,,2.5 mm2,2,
//! E1,appliance,Q1,,800,1.5 mm2,5,remove
//! ```
//!
//! # Must not fire
//! ```csv
//! # system: 120V60Hz
//! tag,kind,fed_from,rating_a,run_w,conductor,length_m,status
//! X1,shore-inlet,,30,,,,existing
//! Q1,breaker,X1,15,,10 AWG,2,new
//! E1,appliance,Q1,,800,12 AWG,5,
//! ```
//! ```csv
//! # system: 230V50Hz
//! tag,kind,fed_from,rating_a,run_w,conductor,length_m
//! X1,shore-inlet,,16,,,
//! Q1,breaker,X1,10,,2.5 mm2,2
//! E1,appliance,Q1,,800,1.5 mm2,5
//! ```
//!
//! # Cure
//! Survey the installation as it is now as well; delete the part once it is gone.

use crate::installation::{CableId, Status};
use crate::survey::rules::prelude::*;

rule! {
    id: "to-be-removed",
    severity: Severity::Notice,
    sets: BOTH,
    demand: "What is to be removed is named: it may be live until it is gone, and takes no part in figures and checks.",
    source: "Common practice, no source",
    mark: Mark::CommonPractice,
    cure: Cure::Words("Survey the installation as it is now as well; delete the part once it is gone."),
    needs_figures: false,
}

fn check(cx: &Context<'_>, report: &mut Report) {
    let whole = cx.whole();
    let mut parts: Vec<PartId> =
        whole.parts.iter().filter(|(_, p)| p.status == Status::Remove).map(|(id, _)| *id).collect();
    let cables: Vec<CableId> =
        whole.cables.iter().filter(|(_, c)| c.status == Status::Remove).map(|(id, _)| *id).collect();
    if parts.is_empty() && cables.is_empty() {
        return;
    }
    let mut what = Vec::new();
    if !parts.is_empty() {
        let tags: Vec<&str> = parts.iter().map(|&p| whole.tag(p)).collect();
        what.push(words::listed(&tags));
    }
    // A cable that goes with its part needs no name of its own.
    let alone: Vec<PartId> = cables
        .iter()
        .filter_map(|id| whole.cables.get(id))
        .filter(|c| !whole.is_going(c.from) && !whole.is_going(c.to))
        .map(|c| c.to)
        .collect();
    if !alone.is_empty() {
        let tags: Vec<&str> = alone.iter().map(|&p| whole.tag(p)).collect();
        what.push(format!("{} to {}", if alone.len() == 1 { "a cable" } else { "cables" }, words::listed(&tags)));
        parts.extend(alone);
    }
    let message = format!(
        "To be removed, and not counted: {}. Until it is gone it may be live; `--as-is` surveys what stands now.",
        what.join(", and ")
    );
    report.add(INFO.finding(parts, message).on(cables));
}
