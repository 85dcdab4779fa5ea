//! A load of three hours or more above 80 % of a breaker.
//!
//! # What it finds
//! A US breaker that carries more than 80 % of its rating: a CAUTION where an appliance behind it is listed as running
//! three hours or more, a NOTICE where that is not known, nothing where all are listed as shorter.
//!
//! # Why it matters
//! In an enclosure a US thermal breaker that is not marked for 100 % warms up over hours and may trip below its rating,
//! the earlier the hotter the place. There is no such rule for IEC breakers.
//!
//! # Source of the limit
//! NEC (NFPA 70) 210.20(A) and UL 489: a breaker is 125 % of a load of three hours or more.
//!
//! # Fires
//! ```csv
//! # system: 120V60Hz
//! tag,kind,fed_from,rating_a,run_w,conductor,continuous
//! G1,generator,,30,3000,,
//! Q1,breaker,G1,10,,none,
//! E1,appliance,Q1,,960.001,none,yes
//! ```
//! ```csv
//! # system: 120V60Hz
//! tag,kind,fed_from,rating_a,run_w,conductor,continuous
//! G1,generator,,30,3000,,
//! Q1,breaker,G1,10,,none,
//! E1,appliance,Q1,,960.001,none,
//! ```
//!
//! # Must not fire
//! ```csv
//! # system: 120V60Hz
//! tag,kind,fed_from,rating_a,run_w,conductor,continuous
//! G1,generator,,30,3000,,
//! Q1,breaker,G1,10,,none,
//! E1,appliance,Q1,,960,none,yes
//! ```
//! ```csv
//! # system: 120V60Hz
//! tag,kind,fed_from,rating_a,run_w,conductor,continuous
//! G1,generator,,30,3000,,
//! Q1,breaker,G1,10,,none,
//! E1,appliance,Q1,,1100,none,no
//! ```
//! ```csv
//! # system: 120V60Hz
//! tag,kind,fed_from,rating_a,run_w,conductor,continuous,trip
//! G1,generator,,30,3000,,,
//! Q1,breaker,G1,10,,none,,C
//! E1,appliance,Q1,,1100,none,yes,
//! ```
//!
//! # Boundary
//! ```csv
//! # system: 120V60Hz
//! tag,kind,fed_from,rating_a,run_w,conductor,continuous
//! G1,generator,,30,3000,,
//! Q1,breaker,G1,10,,none,
//! E1,appliance,Q1,,{960 -> 960.001},none,yes
//! ```
//!
//! # Cure
//! Less load on the circuit, or the load split over two circuits.

use super::LOWER_BOUND;
use crate::installation::Trip;
use crate::survey::rules::prelude::*;

rule! {
    id: "continuous-load",
    severity: Severity::Caution,
    sets: &[RuleSet::Us],
    demand: "A load of three hours or more stays within 80 % of the rating of a breaker that is not marked for 100 %.",
    source: "NEC (NFPA 70) 210.20(A); UL 489",
    mark: Mark::Read,
    cure: Cure::Words("Run less at once on this circuit, or split it over two circuits."),
    needs_figures: true;
    edits: |cx: &Context<'_>, finding: &Finding| finding.parts.first().map_or_else(Vec::new, |&b| change::split(cx, b))
}

/// Share of a breaker's rating for loads of three hours or more.
const SHARE: f64 = 0.8;

fn check(cx: &Context<'_>, report: &mut Report) {
    for (id, part) in cx.of_kind(PartKind::Breaker) {
        if !cx.is_fed(id) || part.trip(cx.system()) != Trip::Us {
            continue;
        }
        let Some(rating) = part.rating_a else {
            report.not_checked(&INFO, [id], "its rated current is not known");
            continue;
        };
        let limit = SHARE * rating;
        let amps = cx.amps(id).filter(|&a| above(a, limit));
        let Some(amps) = amps else {
            if cx.unknown_loads(id) > 0 {
                report.not_checked(&INFO, [id], LOWER_BOUND);
            }
            continue;
        };
        // Above its rating it is an overload, which has a rule of its own.
        if above(amps, rating) {
            continue;
        }
        let long = cx.long_loads(id);
        let (shown, most) = words::pair(amps, limit, "A");
        let carries = format!("{} carries {shown}, more than 80 % of its rating ({most})", part.name());
        if long.listed > 0 {
            let message = format!("{carries}, and a load on it runs three hours or more.");
            report.add(INFO.finding([id], message).measured(amps, limit, "A"));
        } else if long.not_known > 0 {
            let message = format!("{carries}: it may trip if that runs three hours.");
            report.add(INFO.finding([id], message).measured(amps, limit, "A").at(Severity::Notice));
        }
    }
}
