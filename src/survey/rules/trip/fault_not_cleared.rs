//! A short circuit that no standard says the breaker ends.
//!
//! # What it finds
//! A breaker whose least tripping current is above what a short circuit at the far end of its circuit can give: limited
//! by the cables (CAUTION), or by the boat's own source (NOTICE), which is taken to give no more than its peak rating.
//!
//! # Why it matters
//! A small set gives hardly more in a short circuit than in work. The breaker takes it for a load and may hold it for
//! ever; the set's own protection or the leakage protection must end it.
//!
//! # Source of the limit
//! UL 489: trips at 135 % within one hour (two above 50 A). IEC 60898-1 table 7: at 145 %. The current is nominal volts
//! over the loop's impedance, cables and cord alone, so the true figure is lower.
//!
//! # Fires
//! ```csv
//! # system: 120V60Hz
//! tag,kind,fed_from,rating_a,run_w,start_w,conductor,length_m
//! G1,generator,,10,1000,1100,,
//! Q1,breaker,G1,15,,,none,
//! E1,appliance,Q1,,100,,14 AWG,3
//! ```
//! ```csv
//! # system: 230V50Hz
//! tag,kind,fed_from,rating_a,run_w,start_w,conductor,length_m
//! X1,shore-inlet,,16,,,,
//! Q1,breaker,X1,16,,,none,
//! E1,appliance,Q1,,100,,0.75 mm2,200
//! ```
//!
//! # Must not fire
//! ```csv
//! # system: 120V60Hz
//! tag,kind,fed_from,rating_a,run_w,start_w,conductor,length_m
//! G1,generator,,40,5000,9000,,
//! Q1,breaker,G1,15,,,none,
//! E1,appliance,Q1,,100,,14 AWG,3
//! ```
//! ```csv
//! # system: 230V50Hz
//! tag,kind,fed_from,rating_a,run_w,start_w,conductor,length_m
//! X1,shore-inlet,,16,,,,
//! Q1,breaker,X1,16,,,none,
//! E1,appliance,Q1,,100,,1.5 mm2,20
//! ```
//!
//! # Boundary
//! ```csv
//! # system: 120V60Hz
//! tag,kind,fed_from,rating_a,run_w,start_w,conductor,length_m
//! G1,generator,,10,1500,{1620 -> 1619},,
//! Q1,breaker,G1,10,,,none,
//! E1,appliance,Q1,,100,,none,
//! ```
//! ```csv
//! # system: 230V50Hz
//! tag,kind,fed_from,rating_a,run_w,start_w,conductor,length_m
//! T1,inverter,,10,2000,{3335 -> 3334},,
//! Q1,breaker,T1,10,,,none,
//! E1,appliance,Q1,,100,,none,
//! ```
//!
//! # Cure
//! A smaller breaker where the load allows it, or thicker cable; on a small source rely on leakage protection and on the
//! set's own protection.

use super::{Weak, weak_faults};
use crate::installation::Trip;
use crate::survey::rules::prelude::*;
use crate::survey::short::FarEnds;
use crate::survey::trip::Band;

rule! {
    id: "fault-not-cleared",
    severity: Severity::Caution,
    sets: BOTH,
    demand: "A short circuit at the far end of a circuit is above the least current that trips its breaker.",
    source: "UL 489 calibration at 135 %; IEC 60898-1 table 7 (145 %); loop impedance of the cables",
    mark: Mark::Derived,
    cure: Cure::Words("A smaller breaker where the load allows it, or thicker cable; on a small source rely on leakage protection and on the set's own."),
    needs_figures: true;
    edits: edits
}

fn check(cx: &Context<'_>, report: &mut Report) {
    let ends = FarEnds::of(cx);
    for parts in ends.unknown.values() {
        let why = "the peak rating of the source, or a cable on the way, is not known";
        report.not_checked(&INFO, parts.iter().copied(), why);
    }
    let mut found = Vec::new();
    for (&breaker, fault) in &ends.weakest {
        let Some(part) = cx.part(breaker).filter(|p| p.trip(cx.system()) != Trip::Fuse) else { continue };
        let Some(rating) = part.rating_a else {
            report.not_checked(&INFO, [breaker], "its rated current is not known");
            continue;
        };
        let limit = match Band::new(part.trip(cx.system()), rating) {
            Ok(band) => band.trips_a(f64::INFINITY),
            Err(why) => {
                report.not_checked(&INFO, [breaker], why);
                continue;
            }
        };
        if let Some(limit_a) = limit.filter(|&limit| below(fault.amps, limit)) {
            found.push(Weak { breaker, short: *fault, limit_a });
        }
    }
    weak_faults(cx, report, &INFO, found, |breaker, needed| {
        format!("below {needed} no standard says that {breaker} ever trips")
    });
}

fn edits(cx: &Context<'_>, finding: &Finding) -> Vec<Edit> {
    let (Some(&breaker), Some(amps)) = (finding.parts.first(), finding.figure) else { return Vec::new() };
    change::smaller_breaker(cx, breaker, amps / 1.45)
}
