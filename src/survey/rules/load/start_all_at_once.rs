//! Everything at once is too much for a source.
//!
//! # What it finds
//! A source whose starting rating is not enough where all that is switched on starts together.
//!
//! # Why it matters
//! That happens when a source comes back after a trip, or the selector is turned with appliances left on.
//!
//! # Source of the limit
//! The source's own peak rating; common practice.
//!
//! # Fires
//! ```csv
//! # system: 120V60Hz
//! tag,kind,fed_from,rating_a,run_w,start_w,load_kind,cycles,conductor
//! G1,generator,,30,2000,3000,,,
//! M1,appliance,G1,,500,2000,motor,no,none
//! M2,appliance,G1,,500,1000.01,motor,no,none
//! ```
//! ```csv
//! # system: 230V50Hz
//! tag,kind,fed_from,rating_a,run_w,start_w,load_kind,cycles,conductor
//! T1,inverter,,30,2000,3000,,,
//! M1,appliance,T1,,500,2000,motor,no,none
//! M2,appliance,T1,,500,1000.01,motor,no,none
//! ```
//!
//! # Must not fire
//! ```csv
//! # system: 120V60Hz
//! tag,kind,fed_from,rating_a,run_w,start_w,load_kind,cycles,conductor
//! G1,generator,,30,2000,3000,,,
//! M1,appliance,G1,,500,2000,motor,no,none
//! M2,appliance,G1,,500,1000,motor,no,none
//! ```
//! ```csv
//! # system: 230V50Hz
//! tag,kind,fed_from,rating_a,run_w,start_w,load_kind,cycles,conductor
//! T1,inverter,,30,2000,3000,,,
//! M1,appliance,T1,,500,2000,motor,no,none
//! M2,appliance,T1,,500,1000,motor,no,none
//! ```
//!
//! # Boundary
//! ```csv
//! # system: 120V60Hz
//! tag,kind,fed_from,rating_a,run_w,start_w,load_kind,cycles,conductor
//! G1,generator,,30,2000,3000,,,
//! M1,appliance,G1,,500,2000,motor,no,none
//! M2,appliance,G1,,500,{1000 -> 1000.01},motor,no,none
//! ```
//! ```csv
//! # system: 230V50Hz
//! tag,kind,fed_from,rating_a,run_w,start_w,load_kind,cycles,conductor
//! T1,inverter,,30,2000,3000,,,
//! M1,appliance,T1,,500,2000,motor,no,none
//! M2,appliance,T1,,500,{1000 -> 1000.01},motor,no,none
//! ```
//!
//! # Cure
//! Switch off what is large before a source comes on or the selector is turned.

use super::{finding, judged, not_judged};
use crate::survey::rules::prelude::*;

rule! {
    id: "start-all-at-once",
    severity: Severity::Notice,
    sets: BOTH,
    demand: "All that is switched on can start together (advice).",
    source: "Starting rating of the source; common practice, no source",
    mark: Mark::CommonPractice,
    cure: Cure::Words("Switch off what is large before a source comes on or the selector is turned."),
    needs_figures: true,
}

fn check(cx: &Context<'_>, report: &mut Report) {
    for &source in cx.solution().sources.keys() {
        let Some((part, limit, peaks)) = judged(cx, report, &INFO, source) else { continue };
        if peaks.starts_all_at_once == Some(false) {
            let how = "if all that is switched on starts together";
            report.add(finding(&INFO, part, source, peaks.all_at_once_w, limit, how));
        } else {
            not_judged(report, &INFO, source, peaks);
        }
    }
}
