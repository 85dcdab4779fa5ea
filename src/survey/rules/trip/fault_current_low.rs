//! A short circuit that does not trip at once.
//!
//! # What it finds
//! An IEC breaker whose instantaneous trip needs more than a short circuit at the far end of its circuit can give:
//! limited by the cables (CAUTION), or by the boat's own source (NOTICE), which is taken to give no more than its
//! peak rating.
//!
//! # Why it matters
//! A short circuit then feeds on for seconds or minutes until the thermal trip or the leakage protection ends it.
//!
//! # Source of the limit
//! IEC 60898-1 table 7 for the band; nominal volts over the loop's impedance for the current, cables and cord
//! alone, so the true figure is lower. UL 489 gives no band: not checked for US breakers.
//!
//! # Fires
//! ```csv
//! # system: 230V50Hz
//! tag,kind,fed_from,rating_a,run_w,start_w,load_kind,conductor,length_m,trip
//! X1,shore-inlet,,16,,,,,,
//! Q1,breaker,X1,16,,,,none,,D
//! E1,appliance,Q1,,100,,,1.5 mm2,30,
//! ```
//! ```csv
//! # system: 230V50Hz
//! tag,kind,fed_from,rating_a,run_w,start_w,load_kind,conductor,length_m,trip
//! T1,inverter,,10,2000,2299,,,,
//! Q1,breaker,T1,1,,,,none,,C
//! E1,appliance,Q1,,100,,,none,,
//! ```
//! ```csv
//! # system: 120V60Hz
//! tag,kind,fed_from,rating_a,run_w,start_w,load_kind,conductor,length_m,trip
//! X1,shore-inlet,,16,,,,,,
//! Q1,breaker,X1,16,,,,none,,C
//! E1,appliance,Q1,,100,,,14 AWG,60,
//! ```
//!
//! # Must not fire
//! ```csv
//! # system: 230V50Hz
//! tag,kind,fed_from,rating_a,run_w,start_w,load_kind,conductor,length_m,trip
//! X1,shore-inlet,,16,,,,,,
//! Q1,breaker,X1,16,,,,none,,D
//! E1,appliance,Q1,,100,,,1.5 mm2,15,
//! ```
//! ```csv
//! # system: 230V50Hz
//! tag,kind,fed_from,rating_a,run_w,start_w,load_kind,conductor,length_m,trip
//! T1,inverter,,10,2000,2300,,,,
//! Q1,breaker,T1,1,,,,none,,C
//! E1,appliance,Q1,,100,,,none,,
//! ```
//! ```csv
//! # system: 120V60Hz
//! tag,kind,fed_from,rating_a,run_w,start_w,load_kind,conductor,length_m,trip
//! X1,shore-inlet,,16,,,,,,
//! Q1,breaker,X1,16,,,,none,,C
//! E1,appliance,Q1,,100,,,14 AWG,20,
//! ```
//!
//! # Boundary
//! ```csv
//! # system: 120V60Hz
//! tag,kind,fed_from,rating_a,run_w,start_w,conductor,length_m,trip
//! T1,inverter,,10,2000,{2400 -> 2399},,,
//! Q1,breaker,T1,2,,,none,,C
//! E1,appliance,Q1,,100,,none,,
//! ```
//! ```csv
//! # system: 230V50Hz
//! tag,kind,fed_from,rating_a,run_w,start_w,conductor,length_m,trip
//! T1,inverter,,10,2000,{2300 -> 2299},,,
//! Q1,breaker,T1,1,,,none,,C
//! E1,appliance,Q1,,100,,none,,
//! ```
//!
//! # Cure
//! A breaker of a quicker type (B) that still holds the starts, or thicker cable; on a small source rely on leakage
//! protection.

use super::{Weak, weak_faults};
use crate::installation::Trip;
use crate::survey::rules::prelude::*;
use crate::survey::short::FarEnds;
use crate::survey::trip::Band;

rule! {
    id: "fault-current-low",
    severity: Severity::Caution,
    sets: BOTH,
    demand: "A short circuit at the far end of a circuit trips its breaker at once.",
    source: "IEC 60898-1 table 7; loop impedance of the cables",
    mark: Mark::Derived,
    cure: Cure::Words("A breaker of a quicker type (B) that still holds the starts, or thicker cable; on a small source rely on leakage protection."),
    needs_figures: true;
    edits: |_: &Context<'_>, finding: &Finding| change::set(finding, Property::Trip, &["C", "B"])
}

fn check(cx: &Context<'_>, report: &mut Report) {
    let ends = FarEnds::of(cx);
    // Of what has no instantaneous band by standard the far ends do not matter.
    let banded = |b: PartId| cx.part(b).is_some_and(|p| !matches!(p.trip(cx.system()), Trip::Us | Trip::Fuse));
    for (_, parts) in ends.unknown.iter().filter(|(b, _)| banded(**b)) {
        let why = "the peak rating of the source, or a cable on the way, is not known";
        report.not_checked(&INFO, parts.iter().copied(), why);
    }
    let mut found = Vec::new();
    for (&breaker, fault) in ends.weakest.iter().filter(|(b, _)| banded(**b)) {
        let Some(part) = cx.part(breaker) else { continue };
        let Some(rating) = part.rating_a else {
            report.not_checked(&INFO, [breaker], "its rated current is not known");
            continue;
        };
        let limit = match Band::new(part.trip(cx.system()), rating) {
            // What nothing says that it ever trips at is a rule of its own.
            Ok(band) if band.trips_within_s(fault.amps).is_none() => continue,
            Ok(band) => band.at_once_a().map(|(_, trips)| trips),
            Err(why) => {
                report.not_checked(&INFO, [breaker], why);
                continue;
            }
        };
        if let Some(limit_a) = limit.filter(|&limit| below(fault.amps, limit)) {
            found.push(Weak { breaker, short: *fault, limit_a });
        }
    }
    weak_faults(cx, report, &INFO, found, |breaker, needed| format!("{breaker} needs {needed} to trip at once"));
    let us: Vec<PartId> =
        cx.of_kind(PartKind::Breaker).filter(|(id, _)| cx.is_fed(*id) && !banded(*id)).map(|(id, _)| id).collect();
    if !us.is_empty() {
        report.not_checked(&INFO, us, "no standard gives their instantaneous trip: ask for their makers' curves");
    }
}
