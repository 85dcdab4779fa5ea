//! A busbar or switch below the breaker that guards it.
//!
//! # What it finds
//! A selector, panel or junction rated below the breaker, or the source's own breaker, ahead of it.
//!
//! # Why it matters
//! It may carry more than it is built for, and nothing trips.
//!
//! # Source of the limit
//! ABYC E-11, from memory; the rating of the part.
//!
//! # Fires
//! ```csv
//! # system: 120V60Hz
//! tag,kind,fed_from,rating_a,run_w
//! G1,generator,,45,5000
//! Q1,selector,G1,30,
//! ```
//! ```csv
//! # system: 230V50Hz
//! tag,kind,fed_from,rating_a,run_w
//! X1,shore-inlet,,32,
//! Q1,breaker,X1,32,
//! A1,panel,Q1,25,
//! ```
//!
//! # Must not fire
//! ```csv
//! # system: 120V60Hz
//! tag,kind,fed_from,rating_a,run_w
//! G1,generator,,45,5000
//! Q1,selector,G1,50,
//! ```
//! ```csv
//! # system: 230V50Hz
//! tag,kind,fed_from,rating_a,run_w
//! X1,shore-inlet,,32,
//! Q1,breaker,X1,16,
//! A1,panel,Q1,25,
//! ```
//!
//! # Boundary
//! ```csv
//! # system: 120V60Hz
//! tag,kind,fed_from,rating_a,run_w
//! G1,generator,,{30 -> 30.1},5000
//! Q1,selector,G1,30,
//! ```
//! ```csv
//! # system: 230V50Hz
//! tag,kind,fed_from,rating_a,run_w
//! X1,shore-inlet,,32,
//! Q1,breaker,X1,{25 -> 25.1},
//! A1,panel,Q1,25,
//! ```
//!
//! # Cure
//! For the electrician: a smaller breaker ahead where the loads allow it, or a part of a higher rating.

use crate::survey::GuardKind;
use crate::survey::rules::prelude::*;
use std::collections::BTreeSet;

rule! {
    id: "equipment-below-breaker",
    severity: Severity::Caution,
    sets: BOTH,
    demand: "A selector, panel or junction is rated no lower than the breaker ahead of it.",
    source: "ABYC E-11",
    mark: Mark::Memory,
    cure: Cure::Words("For the electrician: a smaller breaker ahead where the loads allow it, or a part of a higher rating."),
    needs_figures: false,
}

fn check(cx: &Context<'_>, report: &mut Report) {
    let carries = |k| matches!(k, PartKind::Selector | PartKind::Panel | PartKind::Junction);
    for (id, part) in cx.parts().filter(|(_, p)| carries(p.kind)) {
        let mut said: BTreeSet<PartId> = BTreeSet::new();
        let feeds = cx.arriving(id).iter().filter_map(|&c| cx.cable(c));
        for guard in feeds.flat_map(|c| cx.guards_behind(c.from)) {
            let (Some(rating), Some(breaker)) = (part.rating_a, guard.rating_a) else {
                report.not_checked(&INFO, [id], "its rating or that of the breaker ahead of it is not known");
                continue;
            };
            if !above(breaker, rating) || said.contains(&guard.part) {
                continue;
            }
            said.insert(guard.part);
            let (shown, most) = words::pair(breaker, rating, "A");
            let device = match guard.kind {
                GuardKind::Breaker => cx.name(guard.part),
                GuardKind::Own => format!("the own breaker of {}", cx.name(guard.part)),
                GuardKind::Shore => format!("the breaker ashore of {}", cx.name(guard.part)),
            };
            let message = format!("{} is rated {most} behind {device} of {shown}.", part.name());
            report.add(INFO.finding([id, guard.part], message).measured(breaker, rating, "A"));
        }
    }
}
