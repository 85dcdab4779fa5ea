//! A source selector that leaves the neutral joined.
//!
//! # What it finds
//! A selector that opens fewer conductors than line, or lines, and neutral.
//!
//! # Why it matters
//! The neutrals of shore and boat stay joined: two joints to earth at a time, and a shore cord's pins that can be
//! live from the boat's own source.
//!
//! # Source of the limit
//! ABYC E-11, from memory; it follows from one joint of neutral and earth.
//!
//! # Fires
//! ```csv
//! # system: 120V60Hz
//! # feeding: G1
//! tag,kind,fed_from,rating_a,run_w,poles,conductor
//! G1,generator,,20,2000,,
//! X1,shore-inlet,,30,,,
//! Q1,selector,G1|X1,30,,1,none
//! ```
//! ```csv
//! # system: 120/240V60Hz
//! # feeding: G1
//! tag,kind,fed_from,rating_a,run_w,poles,conductor
//! G1,generator,,20,4000,,
//! X1,shore-inlet,,50,,,
//! Q1,selector,G1|X1,50,,2,none
//! ```
//! ```csv
//! # system: 230V50Hz
//! # feeding: G1
//! tag,kind,fed_from,rating_a,run_w,poles,conductor
//! G1,generator,,10,2000,,
//! X1,shore-inlet,,16,,,
//! Q1,selector,G1|X1,16,,1,none
//! ```
//!
//! # Must not fire
//! ```csv
//! # system: 120V60Hz
//! # feeding: G1
//! tag,kind,fed_from,rating_a,run_w,poles,conductor
//! G1,generator,,20,2000,,
//! X1,shore-inlet,,30,,,
//! Q1,selector,G1|X1,30,,2,none
//! ```
//! ```csv
//! # system: 120/240V60Hz
//! # feeding: G1
//! tag,kind,fed_from,rating_a,run_w,poles,conductor
//! G1,generator,,20,4000,,
//! X1,shore-inlet,,50,,,
//! Q1,selector,G1|X1,50,,3,none
//! ```
//! ```csv
//! # system: 230V50Hz
//! # feeding: G1
//! tag,kind,fed_from,rating_a,run_w,poles,conductor
//! G1,generator,,10,2000,,
//! X1,shore-inlet,,16,,,
//! Q1,selector,G1|X1,16,,2,none
//! ```
//!
//! # Boundary
//! ```csv
//! # system: 120/240V60Hz
//! # feeding: G1
//! tag,kind,fed_from,rating_a,run_w,poles,conductor
//! G1,generator,,20,4000,,
//! X1,shore-inlet,,50,,,
//! Q1,selector,G1|X1,50,,{3 -> 2},none
//! ```
//! ```csv
//! # system: 230V50Hz
//! # feeding: G1
//! tag,kind,fed_from,rating_a,run_w,poles,conductor
//! G1,generator,,10,2000,,
//! X1,shore-inlet,,16,,,
//! Q1,selector,G1|X1,16,,{2 -> 1},none
//! ```
//!
//! # Cure
//! For the electrician: a selector that opens lines and neutral together.

use crate::survey::rules::prelude::*;

rule! {
    id: "selector-neutral",
    severity: Severity::Danger,
    sets: BOTH,
    demand: "A source selector opens lines and neutral together.",
    source: "ABYC E-11",
    mark: Mark::Memory,
    cure: Cure::Words("For the electrician: a selector that opens lines and neutral together."),
    needs_figures: false,
}

fn check(cx: &Context<'_>, report: &mut Report) {
    let wanted = cx.live_conductors();
    for (id, part) in cx.of_kind(PartKind::Selector) {
        match part.poles {
            Some(poles) if poles < wanted => {
                let message = format!(
                    "{} opens {}; lines and neutral are {wanted}.",
                    part.name(),
                    words::count(usize::from(poles), "conductor", "conductors")
                );
                report.add(INFO.finding([id], message).measured(f64::from(poles), f64::from(wanted), "poles"));
            }
            Some(_) => {}
            None => report.not_checked(&INFO, [id], "how many conductors it opens together is not known"),
        }
    }
}
