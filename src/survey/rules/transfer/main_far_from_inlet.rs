//! A main breaker too far from the inlet.
//!
//! # What it finds
//! The first breaker behind a shore inlet at more than 10 ft (3.05 m) of cable (US), or 0.5 m (international).
//!
//! # Why it matters
//! All cable before it is guarded by the dock's breaker alone, which somebody else chose.
//!
//! # Source of the limit
//! US: ABYC E-11, seen quoted in a magazine, 10 ft. International: ISO 13297:2020 13.2.2, half a metre unless the
//! run is specially enclosed, which the drawing does not say.
//!
//! # Fires
//! ```csv
//! # system: 120V60Hz
//! tag,kind,fed_from,rating_a,conductor,length_m
//! X1,shore-inlet,,30,,
//! Q1,breaker,X1,30,10 AWG,3.05
//! ```
//! ```csv
//! # system: 230V50Hz
//! tag,kind,fed_from,rating_a,conductor,length_m
//! X1,shore-inlet,,16,,
//! Q1,breaker,X1,16,2.5 mm2,0.51
//! ```
//!
//! # Must not fire
//! ```csv
//! # system: 120V60Hz
//! tag,kind,fed_from,rating_a,conductor,length_m
//! X1,shore-inlet,,30,,
//! Q1,breaker,X1,30,10 AWG,3.048
//! ```
//! ```csv
//! # system: 230V50Hz
//! tag,kind,fed_from,rating_a,conductor,length_m
//! X1,shore-inlet,,16,,
//! Q1,breaker,X1,16,2.5 mm2,0.5
//! ```
//!
//! # Boundary
//! ```csv
//! # system: 120V60Hz
//! tag,kind,fed_from,rating_a,conductor,length_m
//! X1,shore-inlet,,30,,
//! Q1,breaker,X1,30,10 AWG,{3.048 -> 3.05}
//! ```
//! ```csv
//! # system: 230V50Hz
//! tag,kind,fed_from,rating_a,conductor,length_m
//! X1,shore-inlet,,16,,
//! Q1,breaker,X1,16,2.5 mm2,{0.5 -> 0.501}
//! ```
//!
//! # Cure
//! For the electrician: move the main breaker to the inlet, or add one there.

use crate::survey::rules::prelude::*;

rule! {
    id: "main-far-from-inlet",
    severity: Severity::Caution,
    sets: BOTH,
    demand: "The main breaker is within 10 ft (US) or 0.5 m (international) of cable from the shore inlet.",
    source: "ABYC E-11; ISO 13297:2020 13.2.2",
    mark: Mark::Read,
    cure: Cure::Words("For the electrician: move the main breaker to the inlet, or add one there."),
    needs_figures: false,
}

/// Metres of cable: 10 ft in the US, half a metre elsewhere; with its source.
const fn limit(rules: RuleSet) -> (f64, &'static str) {
    match rules {
        RuleSet::Us => (3.048, "ABYC E-11 (10 ft)"),
        RuleSet::International => (0.5, "ISO 13297:2020 13.2.2"),
    }
}

fn check(cx: &Context<'_>, report: &mut Report) {
    for (inlet, part) in cx.of_kind(PartKind::ShoreInlet) {
        let mains = cx.zone(inlet).iter().filter_map(|&c| cx.cable(c)).map(|c| c.to);
        for main in mains.filter(|&m| cx.kind(m) == Some(PartKind::Breaker)) {
            let Some(way) = cx.from_guard_m(main) else {
                report.not_checked(&INFO, [main], "the length of its cable is not known");
                continue;
            };
            let (limit, source) = limit(cx.rules());
            if above(way, limit) {
                let (shown, most) = words::pair(way, limit, "m");
                let message =
                    format!("{} is {shown} of cable from {}; {most} is the limit.", cx.name(main), part.name());
                report.add(INFO.finding([main, inlet], message).measured(way, limit, "m").by(source, Mark::Read));
            }
        }
    }
}
