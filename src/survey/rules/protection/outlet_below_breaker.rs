//! An outlet rated below its breaker.
//!
//! # What it finds
//! An outlet whose rated current is below that of the breaker that guards it. Outlets of 15 A may stand on a 20 A
//! circuit (US).
//!
//! # Why it matters
//! A load between the two ratings overheats the outlet and nothing trips.
//!
//! # Source of the limit
//! NEC (NFPA 70) 210.21(B), from memory; IEC 60364 in the same sense, from memory.
//!
//! # Fires
//! ```csv
//! # system: 120V60Hz
//! tag,kind,fed_from,rating_a,run_w,conductor,space
//! G1,generator,,40,4000,,
//! Q1,breaker,G1,25,,none,
//! X1,outlet,Q1,20,,none,
//! ```
//! ```csv
//! # system: 230V50Hz
//! tag,kind,fed_from,rating_a,run_w,conductor,space
//! G1,generator,,30,6000,,
//! Q1,breaker,G1,20,,none,
//! X1,outlet,Q1,16,,none,
//! ```
//!
//! # Must not fire
//! ```csv
//! # system: 120V60Hz
//! tag,kind,fed_from,rating_a,run_w,conductor,space
//! G1,generator,,40,4000,,
//! Q1,breaker,G1,20,,none,
//! X1,outlet,Q1,15,,none,
//! X2,outlet,Q1,20,,none,
//! ```
//! ```csv
//! # system: 230V50Hz
//! tag,kind,fed_from,rating_a,run_w,conductor,space
//! G1,generator,,30,6000,,
//! Q1,breaker,G1,16,,none,
//! X1,outlet,Q1,16,,none,
//! ```
//!
//! # Boundary
//! ```csv
//! # system: 120V60Hz
//! tag,kind,fed_from,rating_a,run_w,conductor
//! G1,generator,,30,6000,
//! Q1,breaker,G1,{30 -> 30.1},,none
//! X1,outlet,Q1,30,,none
//! ```
//! ```csv
//! # system: 230V50Hz
//! tag,kind,fed_from,rating_a,run_w,conductor
//! G1,generator,,30,6000,
//! Q1,breaker,G1,{16 -> 16.1},,none
//! X1,outlet,Q1,16,,none
//! ```
//!
//! # Cure
//! A smaller breaker, or an outlet of the circuit's rating.

use crate::survey::GuardKind;
use crate::survey::rules::prelude::*;

rule! {
    id: "outlet-below-breaker",
    severity: Severity::Caution,
    sets: BOTH,
    demand: "An outlet is rated no less than the breaker of its circuit.",
    source: "NEC (NFPA 70) 210.21(B); IEC 60364",
    mark: Mark::Memory,
    cure: Cure::Words("A smaller breaker, or an outlet of the circuit's rating."),
    needs_figures: false;
    edits: edits
}

fn check(cx: &Context<'_>, report: &mut Report) {
    for (id, part) in cx.of_kind(PartKind::Outlet) {
        let feeds = cx.arriving(id).iter().filter_map(|&c| cx.cable(c));
        let guards = feeds.flat_map(|c| cx.guards_behind(c.from)).filter(|g| g.kind == GuardKind::Breaker);
        for guard in guards {
            let (Some(outlet), Some(breaker)) = (part.rating_a, guard.rating_a) else {
                report.not_checked(&INFO, [id], "its rating or that of its breaker is not known");
                continue;
            };
            let shares = cx.rules() == RuleSet::Us && outlet >= 15.0 && breaker <= 20.0;
            if above(breaker, outlet) && !shares {
                let (shown, most) = words::pair(breaker, outlet, "A");
                let message =
                    format!("Outlet {} is rated {most} behind {} of {shown}.", part.name(), cx.tag(guard.part));
                report.add(INFO.finding([id, guard.part], message).measured(breaker, outlet, "A"));
            }
        }
    }
}

fn edits(cx: &Context<'_>, finding: &Finding) -> Vec<Edit> {
    let (Some(&breaker), Some(limit)) = (finding.parts.get(1), finding.limit) else { return Vec::new() };
    change::smaller_breaker(cx, breaker, limit)
}
