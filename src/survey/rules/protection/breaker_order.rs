//! A breaker larger than the one ahead of it.
//!
//! # What it finds
//! A breaker rated above the breaker that guards its own feed, in a drawn order from source to appliance.
//!
//! # Why it matters
//! The one ahead trips first and takes other circuits with it.
//!
//! # Source of the limit
//! Common practice: ratings fall from the source to the appliance.
//!
//! # Fires
//! ```csv
//! # system: 120V60Hz
//! tag,kind,fed_from,rating_a,conductor
//! X1,shore-inlet,,30,
//! Q1,breaker,X1,20,none
//! Q2,breaker,Q1,25,none
//! ```
//! ```csv
//! # system: 230V50Hz
//! tag,kind,fed_from,rating_a,conductor
//! X1,shore-inlet,,16,
//! Q1,breaker,X1,10,none
//! Q2,breaker,Q1,16,none
//! ```
//!
//! # Must not fire
//! ```csv
//! # system: 120V60Hz
//! tag,kind,fed_from,rating_a,conductor
//! X1,shore-inlet,,30,
//! Q1,breaker,X1,20,none
//! Q2,breaker,Q1,20,none
//! ```
//! ```csv
//! # system: 230V50Hz
//! tag,kind,fed_from,rating_a,conductor
//! X1,shore-inlet,,16,
//! Q1,breaker,X1,16,none
//! Q2,breaker,Q1,16,none
//! ```
//!
//! # Boundary
//! ```csv
//! # system: 120V60Hz
//! tag,kind,fed_from,rating_a,conductor
//! X1,shore-inlet,,30,
//! Q1,breaker,X1,20,none
//! Q2,breaker,Q1,{20 -> 20.1},none
//! ```
//! ```csv
//! # system: 230V50Hz
//! tag,kind,fed_from,rating_a,conductor
//! X1,shore-inlet,,16,
//! Q1,breaker,X1,10,none
//! Q2,breaker,Q1,{10 -> 10.1},none
//! ```
//!
//! # Cure
//! Know that the one ahead opens first; a smaller breaker here restores the order.

use crate::survey::GuardKind;
use crate::survey::rules::prelude::*;

rule! {
    id: "breaker-order",
    severity: Severity::Notice,
    sets: BOTH,
    demand: "Ratings of breakers in series fall from the source to the appliance.",
    source: "Common practice, no source",
    mark: Mark::CommonPractice,
    cure: Cure::Words("Know that the one ahead opens first; a smaller breaker here restores the order."),
    needs_figures: false,
}

fn check(cx: &Context<'_>, report: &mut Report) {
    for (id, part) in cx.of_kind(PartKind::Breaker) {
        let Some(rating) = part.rating_a else { continue };
        let feeds = cx.arriving(id).iter().filter_map(|&c| cx.cable(c));
        let ahead = feeds.flat_map(|c| cx.guards_behind(c.from)).filter(|g| g.kind == GuardKind::Breaker);
        if let Some((guard, limit)) = ahead.filter_map(|g| Some((g.part, g.rating_a?))).find(|g| above(rating, g.1)) {
            let (shown, most) = words::pair(rating, limit, "A");
            let message =
                format!("{} of {shown} lies behind {} of {most}, which trips first.", part.name(), cx.tag(guard));
            report.add(INFO.finding([id, guard], message).measured(rating, limit, "A"));
        }
    }
}
