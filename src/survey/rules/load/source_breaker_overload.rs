//! A source delivers more than its own output breaker carries.
//!
//! # What it finds
//! A generator or inverter whose current is above the rating of its own output breaker.
//!
//! # Why it matters
//! The whole boat goes dark when it trips, and motors restart together when it is closed again.
//!
//! # Source of the limit
//! UL 489 and IEC 60898-1: a breaker holds its rated current.
//!
//! # Fires
//! ```csv
//! # system: 120V60Hz
//! tag,kind,fed_from,rating_a,run_w,conductor,length_m
//! G1,generator,,10,3000,,
//! E1,appliance,G1,,1200.001,none,
//! ```
//! ```csv
//! # system: 230V50Hz
//! tag,kind,fed_from,rating_a,run_w,conductor,length_m
//! G1,inverter,,10,3000,,
//! E1,appliance,G1,,2300.001,none,
//! ```
//!
//! # Must not fire
//! ```csv
//! # system: 120V60Hz
//! tag,kind,fed_from,rating_a,run_w,conductor,length_m
//! G1,generator,,10,3000,,
//! E1,appliance,G1,,1200,none,
//! ```
//! ```csv
//! # system: 230V50Hz
//! tag,kind,fed_from,rating_a,run_w,conductor,length_m
//! G1,inverter,,10,3000,,
//! E1,appliance,G1,,2300,none,
//! ```
//!
//! # Boundary
//! ```csv
//! # system: 120V60Hz
//! tag,kind,fed_from,rating_a,run_w,conductor,length_m
//! G1,generator,,10,3000,,
//! E1,appliance,G1,,{1200 -> 1200.001},none,
//! ```
//! ```csv
//! # system: 230V50Hz
//! tag,kind,fed_from,rating_a,run_w,conductor,length_m
//! G1,inverter,,10,3000,,
//! E1,appliance,G1,,{2300 -> 2300.001},none,
//! ```
//!
//! # Cure
//! Less at once. The breaker belongs to the set and is not raised.

use super::overloaded;
use crate::survey::rules::prelude::*;

rule! {
    id: "source-breaker-overload",
    severity: Severity::Warning,
    sets: BOTH,
    demand: "A generator or inverter delivers no more than its own output breaker is rated for.",
    source: "UL 489; IEC 60898-1",
    mark: Mark::Read,
    cure: Cure::Words("Run less at once on this source. Its breaker guards the set itself and is not raised."),
    needs_figures: true,
}

fn check(cx: &Context<'_>, report: &mut Report) {
    let own = cx.parts().filter(|(_, p)| matches!(p.kind, PartKind::Generator | PartKind::Inverter));
    let own: Vec<_> = own
        .filter(|(id, _)| cx.is_fed(*id))
        .map(|(id, part)| (id, part.rating_a, cx.output(id).map(|i| i.larger())))
        .collect();
    for found in overloaded(cx, report, &INFO, own) {
        let (amps, rating) = words::pair(found.amps, found.rating_a, "A");
        let message = format!(
            "{} delivers {amps}; its own breaker is rated {rating} ({}).",
            cx.name(found.part),
            words::share(found.amps, found.rating_a)
        );
        report.add(INFO.finding([found.part], message).measured(found.amps, found.rating_a, "A"));
    }
}
