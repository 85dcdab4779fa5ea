//! A start that trips its breaker at once.
//!
//! # What it finds
//! An IEC breaker (type B, C, D) whose current during the largest start behind it, everything else running, is
//! above the lower edge of its instantaneous band (it may trip: NOTICE) or above the upper edge (it trips:
//! CAUTION).
//!
//! # Why it matters
//! The appliance cannot be started, or can on some days only.
//!
//! # Source of the limit
//! IEC 60898-1 table 7: B 3 to 5, C 5 to 10, D 10 to 20 times the rating. UL 489 leaves that band to the maker: for
//! a US breaker whose start is above its rating the check is not made, and the maker's curve is what to ask for.
//!
//! # Fires
//! ```csv
//! # system: 230V50Hz
//! tag,kind,fed_from,rating_a,run_w,start_w,load_kind,conductor,length_m,trip
//! G1,generator,,100,20000,,,,,
//! Q1,breaker,G1,6,,,,none,,B
//! M1,appliance,Q1,,500,6901,motor,none,,
//! ```
//! ```csv
//! # system: 230V50Hz
//! tag,kind,fed_from,rating_a,run_w,start_w,load_kind,conductor,length_m,trip
//! G1,generator,,100,20000,,,,,
//! Q1,breaker,G1,6,,,,none,,B
//! M1,appliance,Q1,,500,4141,motor,none,,
//! ```
//! ```csv
//! # system: 120V60Hz
//! # rules: us
//! tag,kind,fed_from,rating_a,run_w,start_w,load_kind,conductor,length_m,trip
//! G1,generator,,100,20000,,,,,
//! Q1,breaker,G1,6,,,,none,,C
//! M1,appliance,Q1,,500,7201,motor,none,,
//! ```
//!
//! # Must not fire
//! ```csv
//! # system: 230V50Hz
//! tag,kind,fed_from,rating_a,run_w,start_w,load_kind,conductor,length_m,trip
//! G1,generator,,100,20000,,,,,
//! Q1,breaker,G1,6,,,,none,,B
//! M1,appliance,Q1,,500,4139,motor,none,,
//! ```
//! ```csv
//! # system: 120V60Hz
//! tag,kind,fed_from,rating_a,run_w,start_w,load_kind,conductor,length_m,trip
//! G1,generator,,100,20000,,,,,
//! Q1,breaker,G1,6,,,,none,,C
//! M1,appliance,Q1,,500,3599,motor,none,,
//! ```
//!
//! # Cure
//! A breaker of a slower type (C or D), of the same rating, where the cable's loop still trips it; or a soft
//! starter.

use crate::installation::Trip;
use crate::survey::rules::prelude::*;
use crate::units::trimmed;

rule! {
    id: "start-trips-breaker",
    severity: Severity::Caution,
    sets: BOTH,
    demand: "A breaker holds the starts behind it.",
    source: "IEC 60898-1 table 7",
    mark: Mark::Read,
    cure: Cure::Words("A breaker of a slower type (C or D), of the same rating, where the cable's loop still trips it; or a soft starter."),
    needs_figures: true;
    edits: |_: &Context<'_>, finding: &Finding| change::set(finding, Property::Trip, &["C", "D"])
}

/// The instantaneous band of a breaker type, as multiples of its rating: holds up to the first, trips above the second.
const fn band(trip: Trip) -> Option<(f64, f64)> {
    match trip {
        Trip::B => Some((3.0, 5.0)),
        Trip::C => Some((5.0, 10.0)),
        Trip::D => Some((10.0, 20.0)),
        Trip::Us | Trip::Fuse => None,
    }
}

fn check(cx: &Context<'_>, report: &mut Report) {
    for (id, part) in cx.of_kind(PartKind::Breaker).filter(|(id, _)| cx.is_fed(*id)) {
        let (Some(start), Some(rating), Some(amps)) = (cx.largest_start(id), part.rating_a, cx.amps(id)) else {
            continue;
        };
        let peak = amps + start.added_a;
        let Some((holds, trips)) = band(part.trip(cx.system())) else {
            if above(peak, rating) {
                report.not_checked(&INFO, [id], "no standard gives its instantaneous trip: ask for its maker's curve");
            }
            continue;
        };
        let limit = if above(peak, trips * rating) { trips * rating } else { holds * rating };
        if above(peak, limit) {
            let surely = above(peak, trips * rating);
            let (shown, most) = words::pair(peak, limit, "A");
            let message = format!(
                "{} sees {shown} when {} starts; type {} of {} A {} {most}.",
                part.name(),
                cx.name(start.appliance),
                part.trip(cx.system()).slug(),
                trimmed(rating, 1),
                if surely { "trips at once above" } else { "may trip above" }
            );
            let severity = if surely { Severity::Caution } else { Severity::Notice };
            report.add(INFO.finding([id, start.appliance], message).measured(peak, limit, "A").at(severity));
        }
    }
}
