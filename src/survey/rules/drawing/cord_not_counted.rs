//! A shore cord that is not counted.
//!
//! # What it finds
//! A shore inlet that feeds while nothing is stated about its cord.
//!
//! # Why it matters
//! A cord is mostly the longest and thinnest run of all: its drop is missing in every figure.
//!
//! # Source of the limit
//! The computation counts what is stated.
//!
//! # Fires
//! ```csv
//! # system: 120V60Hz
//! tag,kind,rating_a
//! X1,shore-inlet,30
//! ```
//! ```csv
//! # system: 230V50Hz
//! tag,kind,rating_a
//! X1,shore-inlet,16
//! ```
//!
//! # Must not fire
//! ```csv
//! # system: 120V60Hz
//! tag,kind,rating_a,conductor,length_m
//! X1,shore-inlet,30,10 AWG,9
//! ```
//! ```csv
//! # system: 230V50Hz
//! tag,kind,rating_a,conductor,length_m
//! X1,shore-inlet,16,2.5 mm2,15
//! ```
//!
//! # Cure
//! Enter the cord's size and length with the inlet.

use crate::survey::rules::prelude::*;

rule! {
    id: "cord-not-counted",
    severity: Severity::Notice,
    sets: BOTH,
    demand: "The shore cord's size and length are stated.",
    source: "Common practice, no source",
    mark: Mark::CommonPractice,
    cure: Cure::Words("Enter the cord's size and length with the inlet."),
    needs_figures: false,
}

fn check(cx: &Context<'_>, report: &mut Report) {
    for (id, part) in cx.of_kind(PartKind::ShoreInlet) {
        if cx.is_fed(id) && !(part.cord.is_fitted() && part.cord.is_known()) {
            let message =
                format!("The shore cord of {} is not counted: its size or length is not stated.", part.name());
            report.add(INFO.finding([id], message));
        }
    }
}
