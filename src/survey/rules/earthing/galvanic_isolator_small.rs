//! A galvanic isolator below the shore connection.
//!
//! # What it finds
//! A galvanic isolator rated below a shore inlet whose earth runs through it.
//!
//! # Why it matters
//! It lies in the protective conductor. A fault current that is too much for it may leave the boat without an earth.
//!
//! # Source of the limit
//! ABYC A-28, from memory: rated no less than the shore connection, and closed when it fails (ISO 13297:2020 6.9).
//!
//! # Fires
//! ```csv
//! # system: 120V60Hz
//! tag,kind,fed_from,rating_a
//! X1,shore-inlet,,50
//! R1,galvanic-isolator,X1,30
//! ```
//! ```csv
//! # system: 230V50Hz
//! tag,kind,fed_from,rating_a
//! X1,shore-inlet,,32
//! R1,galvanic-isolator,X1,16
//! ```
//!
//! # Must not fire
//! ```csv
//! # system: 120V60Hz
//! tag,kind,fed_from,rating_a
//! X1,shore-inlet,,30
//! R1,galvanic-isolator,X1,50
//! ```
//! ```csv
//! # system: 230V50Hz
//! tag,kind,fed_from,rating_a
//! X1,shore-inlet,,16
//! R1,galvanic-isolator,X1,30
//! ```
//!
//! # Boundary
//! ```csv
//! # system: 120V60Hz
//! tag,kind,fed_from,rating_a
//! X1,shore-inlet,,30
//! R1,galvanic-isolator,X1,{30 -> 29.9}
//! ```
//! ```csv
//! # system: 230V50Hz
//! tag,kind,fed_from,rating_a
//! X1,shore-inlet,,16
//! R1,galvanic-isolator,X1,{16 -> 15.9}
//! ```
//!
//! # Cure
//! For the electrician: one of the inlet's rating that stays closed when it fails.

use crate::survey::rules::prelude::*;

rule! {
    id: "galvanic-isolator-small",
    severity: Severity::Caution,
    sets: BOTH,
    demand: "A galvanic isolator is rated no less than the shore inlet.",
    source: "ABYC A-28",
    mark: Mark::Memory,
    cure: Cure::Words("For the electrician: one of the inlet's rating that stays closed when it fails."),
    needs_figures: false,
}

fn check(cx: &Context<'_>, report: &mut Report) {
    for (id, part) in cx.of_kind(PartKind::GalvanicIsolator) {
        for &inlet in cx.sources_of(id) {
            let Some(shore) = cx.part(inlet).filter(|p| p.kind == PartKind::ShoreInlet) else { continue };
            let (Some(rating), Some(least)) = (part.rating_a, shore.rating_a) else {
                report.not_checked(&INFO, [id], "its rating or that of the shore inlet is not known");
                continue;
            };
            if below(rating, least) {
                let (shown, needed) = words::pair(rating, least, "A");
                let message = format!("{} is rated {shown}; {} is {needed}.", part.name(), cx.name(inlet));
                report.add(INFO.finding([id, inlet], message).measured(rating, least, "A"));
            }
        }
    }
}
