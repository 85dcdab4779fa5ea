//! A main breaker above the inlet's rating.
//!
//! # What it finds
//! The first breaker behind a shore inlet, rated above the inlet, its plug and its cord.
//!
//! # Why it matters
//! Inlet, plug and cord may then be overloaded for hours; they burn at the contacts, and the dock's breaker need
//! not be smaller.
//!
//! # Source of the limit
//! ABYC E-11, from memory: the main breaker is no larger than inlet, plug and cord.
//!
//! # Fires
//! ```csv
//! # system: 120V60Hz
//! tag,kind,fed_from,rating_a,conductor
//! X1,shore-inlet,,30,
//! Q1,breaker,X1,30.001,none
//! ```
//! ```csv
//! # system: 230V50Hz
//! tag,kind,fed_from,rating_a,conductor
//! X1,shore-inlet,,16,
//! Q1,breaker,X1,20,none
//! ```
//!
//! # Must not fire
//! ```csv
//! # system: 120V60Hz
//! tag,kind,fed_from,rating_a,conductor
//! X1,shore-inlet,,30,
//! Q1,breaker,X1,30,none
//! Q2,breaker,Q1,40,none
//! ```
//! ```csv
//! # system: 230V50Hz
//! tag,kind,fed_from,rating_a,conductor
//! X1,shore-inlet,,16,
//! Q1,breaker,X1,16,none
//! ```
//!
//! # Boundary
//! ```csv
//! # system: 120V60Hz
//! tag,kind,fed_from,rating_a,conductor
//! X1,shore-inlet,,30,
//! Q1,breaker,X1,{30 -> 30.1},none
//! ```
//! ```csv
//! # system: 230V50Hz
//! tag,kind,fed_from,rating_a,conductor
//! X1,shore-inlet,,16,
//! Q1,breaker,X1,{16 -> 16.1},none
//! ```
//!
//! # Cure
//! Fit a main breaker of the inlet's rating.

use crate::survey::rules::prelude::*;

rule! {
    id: "main-above-inlet",
    severity: Severity::Warning,
    sets: BOTH,
    demand: "The main breaker is rated no higher than inlet, plug and cord.",
    source: "ABYC E-11; ISO 13297",
    mark: Mark::Memory,
    cure: Cure::Words("Fit a main breaker of the inlet's rating."),
    needs_figures: false,
}

fn check(cx: &Context<'_>, report: &mut Report) {
    for (inlet, part) in cx.of_kind(PartKind::ShoreInlet) {
        let mains = cx.zone(inlet).iter().filter_map(|&c| cx.cable(c)).map(|c| c.to);
        for main in mains.filter(|&m| cx.kind(m) == Some(PartKind::Breaker)) {
            let rating = cx.part(main).and_then(|m| m.rating_a);
            let (Some(rating), Some(limit)) = (rating, part.rating_a) else {
                report.not_checked(&INFO, [main], "the rating of the breaker or of the inlet is not known");
                continue;
            };
            if above(rating, limit) {
                let (shown, most) = words::pair(rating, limit, "A");
                let message =
                    format!("Main breaker {} is {shown}; inlet {} is rated {most}.", cx.name(main), cx.tag(inlet));
                report.add(INFO.finding([main, inlet], message).measured(rating, limit, "A"));
            }
        }
    }
}
