//! A start that trips its breaker at once.
//!
//! # What it finds
//! An IEC breaker (type B, C, D) whose current during the largest start behind it, everything else running, is above what
//! it must hold for the time of a start (it may trip: NOTICE) or above the upper edge of its instantaneous band (it
//! trips: CAUTION).
//!
//! # Why it matters
//! The appliance cannot be started, or can on some days only.
//!
//! # Source of the limit
//! IEC 60898-1 table 7: 2.55 times the rating holds for 1 s; B trips at once above 5, C above 10, D above 20 times (some
//! national versions of D end at 15; 20 is used). Where an appliance does not state how long its start lasts, 1 s is
//! taken: common practice, no source. UL 489 leaves the instantaneous band to the maker: for a US breaker whose start is
//! above its rating the check is not made, and the maker's curve is what to ask for.
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
//! M1,appliance,Q1,,500,3520,motor,none,,
//! ```
//! ```csv
//! # system: 120V60Hz
//! # rules: us
//! tag,kind,fed_from,rating_a,run_w,start_w,load_kind,conductor,length_m,trip
//! G1,generator,,100,20000,,,,,
//! Q1,breaker,G1,6,,,,none,,C
//! M1,appliance,Q1,,500,7201,motor,none,,
//! ```
//! ```csv
//! # system: 230V50Hz
//! tag,kind,fed_from,rating_a,run_w,start_w,start_s,load_kind,conductor,length_m,trip
//! G1,generator,,100,20000,,,,,,
//! Q1,breaker,G1,6,,,,,none,,B
//! M1,appliance,Q1,,500,3000,10,motor,none,,
//! ```
//!
//! # Must not fire
//! ```csv
//! # system: 230V50Hz
//! tag,kind,fed_from,rating_a,run_w,start_w,start_s,load_kind,conductor,length_m,trip
//! G1,generator,,100,20000,,,,,,
//! Q1,breaker,G1,6,,,,,none,,B
//! M1,appliance,Q1,,500,3520,0.1,motor,none,,
//! ```
//! ```csv
//! # system: 230V50Hz
//! tag,kind,fed_from,rating_a,run_w,start_w,load_kind,conductor,length_m,trip
//! G1,generator,,100,20000,,,,,
//! Q1,breaker,G1,6,,,,none,,B
//! M1,appliance,Q1,,500,3518,motor,none,,
//! ```
//! ```csv
//! # system: 120V60Hz
//! tag,kind,fed_from,rating_a,run_w,start_w,load_kind,conductor,length_m,trip
//! G1,generator,,100,20000,,,,,
//! Q1,breaker,G1,6,,,,none,,C
//! M1,appliance,Q1,,500,1835,motor,none,,
//! ```
//!
//! # Boundary
//! ```csv
//! # system: 120V60Hz
//! tag,kind,fed_from,rating_a,run_w,start_w,load_kind,conductor,trip
//! G1,generator,,100,20000,,,,
//! Q1,breaker,G1,6,,,,none,C
//! M1,appliance,Q1,,500,{1836 -> 1837},motor,none,
//! ```
//! ```csv
//! # system: 230V50Hz
//! tag,kind,fed_from,rating_a,run_w,start_w,load_kind,conductor,trip
//! G1,generator,,100,20000,,,,
//! Q1,breaker,G1,6,,,,none,B
//! M1,appliance,Q1,,500,{3519 -> 3520},motor,none,
//! ```
//! ```csv
//! # system: 120V60Hz
//! tag,kind,fed_from,rating_a,run_w,start_w,start_s,load_kind,conductor,trip
//! G1,generator,,100,20000,,,,,
//! Q1,breaker,G1,6,,,,,none,C
//! M1,appliance,Q1,,500,816,{1 -> 1.01},motor,none,
//! ```
//! ```csv
//! # system: 230V50Hz
//! tag,kind,fed_from,rating_a,run_w,start_w,start_s,load_kind,conductor,trip
//! G1,generator,,100,20000,,,,,
//! Q1,breaker,G1,6,,,,,none,B
//! M1,appliance,Q1,,500,1564,{1 -> 1.01},motor,none,
//! ```
//!
//! # Boundary of severity
//! ```csv
//! # system: 120V60Hz
//! tag,kind,fed_from,rating_a,run_w,start_w,load_kind,conductor,trip
//! G1,generator,,100,20000,,,,
//! Q1,breaker,G1,6,,,,none,C
//! M1,appliance,Q1,,500,{7200 -> 7201},motor,none,
//! ```
//! ```csv
//! # system: 230V50Hz
//! tag,kind,fed_from,rating_a,run_w,start_w,load_kind,conductor,trip
//! G1,generator,,100,20000,,,,
//! Q1,breaker,G1,6,,,,none,B
//! M1,appliance,Q1,,500,{6900 -> 6901},motor,none,
//! ```
//!
//! # Cure
//! A breaker of a slower type (C or D), of the same rating, where the cable's loop still trips it; or a soft
//! starter.

use super::other_band;
use crate::survey::rules::prelude::*;
use crate::survey::trip::{Band, largest_start, start_seconds, stated_words};
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

fn check(cx: &Context<'_>, report: &mut Report) {
    for (id, part) in cx.of_kind(PartKind::Breaker).filter(|(id, _)| cx.is_fed(*id)) {
        let (Some((appliance, peak)), Some(rating)) = (largest_start(cx, id), part.rating_a) else { continue };
        let trip = part.trip(cx.system());
        let band = match Band::new(trip, rating) {
            Ok(band) if band.at_once_a().is_some() => band,
            other => {
                if above(peak, rating) {
                    let why = other.err();
                    let why =
                        why.as_deref().unwrap_or("no standard gives its instantaneous trip: ask for its maker's curve");
                    report.not_checked(&INFO, [id], why);
                }
                continue;
            }
        };
        let (seconds, stated) = start_seconds(cx, appliance);
        let holds = band.holds_a(seconds);
        let trips = band.trips_a(seconds).filter(|&trips| above(peak, trips));
        let limit = trips.unwrap_or(holds);
        if above(peak, limit) {
            let (shown, most) = words::pair(peak, limit, "A");
            let message = format!(
                "{} sees {shown} when {} starts; type {} of {} A {} {most} in a start of {} s ({}).",
                part.name(),
                cx.name(appliance),
                trip.slug(),
                trimmed(rating, 1),
                if trips.is_some() { "trips above" } else { "may trip above" },
                trimmed(seconds, 2),
                stated_words(stated)
            );
            let severity = if trips.is_some() { Severity::Caution } else { Severity::Notice };
            let finding = INFO.finding([id, appliance], message).measured(peak, limit, "A").at(severity);
            report.add(finding.not_using(other_band(cx, id)));
        }
    }
}
