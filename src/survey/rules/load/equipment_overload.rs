//! A selector, panel, outlet, transformer, isolator or junction carries more than its rating.
//!
//! # What it finds
//! A part with a rated current that is no breaker and no source, and that carries more than that.
//!
//! # Why it matters
//! Such a part has no trip of its own: it heats until something melts.
//!
//! # Source of the limit
//! The rating on the part; for a receptacle NEC 210.21(B), from memory.
//!
//! # Fires
//! ```csv
//! # system: 120V60Hz
//! tag,kind,fed_from,rating_a,run_w,conductor,length_m
//! G1,generator,,30,3000,,
//! Q1,breaker,G1,20,,none,
//! X1,outlet,Q1,15,,none,
//! E1,appliance,X1,,1800.001,,
//! ```
//! ```csv
//! # system: 230V50Hz
//! tag,kind,fed_from,rating_a,run_w,conductor,length_m
//! G1,generator,,30,5000,,
//! A1,panel,G1,10,,none,
//! E1,appliance,A1,,2300.001,none,
//! ```
//!
//! # Must not fire
//! ```csv
//! # system: 120V60Hz
//! tag,kind,fed_from,rating_a,run_w,conductor,length_m
//! G1,generator,,30,3000,,
//! Q1,breaker,G1,20,,none,
//! X1,outlet,Q1,15,,none,
//! E1,appliance,X1,,1800,,
//! ```
//! ```csv
//! # system: 230V50Hz
//! tag,kind,fed_from,rating_a,run_w,conductor,length_m
//! G1,generator,,30,5000,,
//! A1,panel,G1,10,,none,
//! E1,appliance,A1,,2300,none,
//! ```
//!
//! # Boundary
//! ```csv
//! # system: 120V60Hz
//! tag,kind,fed_from,rating_a,run_w,conductor,length_m
//! G1,generator,,30,3000,,
//! Q1,breaker,G1,20,,none,
//! X1,outlet,Q1,15,,none,
//! E1,appliance,X1,,{1800 -> 1800.001},,
//! ```
//! ```csv
//! # system: 230V50Hz
//! tag,kind,fed_from,rating_a,run_w,conductor,length_m
//! G1,generator,,30,5000,,
//! A1,panel,G1,10,,none,
//! E1,appliance,A1,,{2300 -> 2300.001},none,
//! ```
//!
//! # Cure
//! Less at once, or a part of a higher rating.

use super::overloaded;
use crate::survey::rules::prelude::*;

rule! {
    id: "equipment-overload",
    severity: Severity::Warning,
    sets: BOTH,
    demand: "A selector, panel, outlet, transformer, galvanic isolator or junction carries no more than its rated current.",
    source: "Rating of the part",
    mark: Mark::CommonPractice,
    cure: Cure::Words("Run less at once through it, or fit one of a higher rating."),
    needs_figures: true,
}

/// Kinds with a rating that carry current and have no trip of their own.
const KINDS: [PartKind; 5] =
    [PartKind::Selector, PartKind::Panel, PartKind::Outlet, PartKind::IsolationTransformer, PartKind::Junction];

fn check(cx: &Context<'_>, report: &mut Report) {
    let parts: Vec<_> = cx
        .parts()
        .filter(|(id, p)| KINDS.contains(&p.kind) && cx.is_fed(*id))
        .map(|(id, part)| (id, part.rating_a, cx.amps(id)))
        .collect();
    for found in overloaded(cx, report, &INFO, parts) {
        let (amps, rating) = words::pair(found.amps, found.rating_a, "A");
        let message = format!(
            "{} carries {amps}; it is rated {rating} ({}), and nothing in it trips.",
            cx.name(found.part),
            words::share(found.amps, found.rating_a)
        );
        report.add(INFO.finding([found.part], message).measured(found.amps, found.rating_a, "A"));
    }
}
