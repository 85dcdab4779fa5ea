//! Two sources meet without a selector.
//!
//! # What it finds
//! Sources whose cables come together so that they can feed the same conductor at the same time. There are no figures
//! while the drawing holds them.
//!
//! # Why it matters
//! Sources that are not synchronised destroy each other, and a generator or inverter can put voltage on a shore cord
//! that someone believes unplugged.
//!
//! # Source of the limit
//! 46 CFR 183.390(d): shore power and the boat's own sources are interlocked.
//!
//! # Fires
//! ```csv
//! # system: 120V60Hz
//! # feeding: G1|X1
//! tag,kind,fed_from,rating_a,run_w,conductor,length_m
//! G1,generator,,30,3000,,
//! X1,shore-inlet,,30,,,
//! A1,panel,G1|X1,,,10 AWG,2
//! ```
//! ```csv
//! # system: 230V50Hz
//! # feeding: G1
//! tag,kind,fed_from,rating_a,run_w,conductor,length_m
//! G1,generator,,16,3000,,
//! X1,shore-inlet,,16,,,
//! A1,panel,G1|X1,,,2.5 mm2,2
//! ```
//!
//! # Must not fire
//! ```csv
//! # system: 120V60Hz
//! # feeding: G1
//! tag,kind,fed_from,rating_a,run_w,conductor,length_m
//! G1,generator,,30,3000,,
//! X1,shore-inlet,,30,,,
//! Q1,selector,G1|X1,30,,10 AWG,2
//! ```
//! ```csv
//! # system: 230V50Hz
//! # feeding: G1|X1
//! tag,kind,fed_from,rating_a,run_w,conductor,length_m
//! G1,generator,,16,3000,,
//! X1,shore-inlet,,16,,,
//! A1,panel,G1,,,2.5 mm2,2
//! A2,panel,X1,,,2.5 mm2,2
//! ```
//!
//! # Cure
//! A selector that lets one source through and breaks line and neutral: for the electrician.

use crate::network::Fault as WalkFault;
use crate::survey::rules::prelude::*;

rule! {
    id: "parallel-sources",
    severity: Severity::Danger,
    sets: BOTH,
    demand: "Shore power and the boat's own sources are interlocked, so that one alone can feed a conductor.",
    source: "46 CFR 183.390(d)",
    mark: Mark::Read,
    cure: Cure::Words("For the electrician: a selector between these sources that lets one through at a time and breaks line and neutral."),
    needs_figures: false,
}

fn check(cx: &Context<'_>, report: &mut Report) {
    for fault in &cx.walk().faults {
        if let WalkFault::Parallel { sources, at } = fault {
            let message = format!(
                "{} meet at {} without a selector between them, so no figures are shown.",
                words::tags(cx, sources),
                cx.name(*at)
            );
            let others = sources.iter().copied().filter(|s| s != at);
            report.add(INFO.finding(others.chain([*at]), message));
        }
    }
}
