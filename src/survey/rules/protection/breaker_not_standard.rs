//! A breaker of no standard size.
//!
//! # What it finds
//! A breaker whose rating is in no published series: NEC 240.6(A) for US breakers and fuses at 60 Hz, IEC 60898-1
//! for types B, C and D.
//!
//! # Why it matters
//! It cannot be bought, so the figure is mistyped or the device is something else.
//!
//! # Source of the limit
//! NEC (NFPA 70) 240.6(A); IEC 60898-1, preferred ratings.
//!
//! # Fires
//! ```csv
//! # system: 120V60Hz
//! tag,kind,fed_from,rating_a,conductor
//! X1,shore-inlet,,30,
//! Q1,breaker,X1,8,none
//! ```
//! ```csv
//! # system: 230V50Hz
//! tag,kind,fed_from,rating_a,conductor
//! X1,shore-inlet,,16,
//! Q1,breaker,X1,15,none
//! ```
//!
//! # Must not fire
//! ```csv
//! # system: 120V60Hz
//! tag,kind,fed_from,rating_a,conductor
//! X1,shore-inlet,,30,
//! Q1,breaker,X1,10,none
//! ```
//! ```csv
//! # system: 230V50Hz
//! tag,kind,fed_from,rating_a,conductor
//! X1,shore-inlet,,16,
//! Q1,breaker,X1,16,none
//! ```
//!
//! # Cure
//! Read the rating on the breaker again.

use super::series;
use crate::survey::rules::prelude::*;
use crate::tables;
use crate::units::trimmed;

rule! {
    id: "breaker-not-standard",
    severity: Severity::Notice,
    sets: BOTH,
    demand: "A breaker is of a standard rating.",
    source: "NEC (NFPA 70) 240.6(A); IEC 60898-1",
    mark: Mark::Read,
    cure: Cure::Words("Read the rating on the breaker again."),
    needs_figures: false,
}

fn check(cx: &Context<'_>, report: &mut Report) {
    for (id, part) in cx.of_kind(PartKind::Breaker) {
        let (Some(rating), Some(series)) = (part.rating_a, series(part.trip(cx.system()), cx.system())) else {
            continue;
        };
        let tables = tables::get();
        if tables.standard_ratings(series).all(|f| (f.value - rating).abs() > 1e-9) {
            let near = [tables.rating_not_above(series, rating), tables.next_rating(series, rating)];
            let near: Vec<String> = near.iter().flatten().map(|f| format!("{} A", trimmed(f.value, 1))).collect();
            let are = if near.len() == 1 { "the nearest is" } else { "near it are" };
            let message = format!(
                "{} is rated {} A, which is no standard size; {are} {}.",
                part.name(),
                trimmed(rating, 2),
                near.join(" and ")
            );
            report.add(INFO.finding([id], message));
        }
    }
}
