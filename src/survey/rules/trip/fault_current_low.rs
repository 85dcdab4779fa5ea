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
//! # Cure
//! A breaker of a quicker type (B) that still holds the starts, or thicker cable; on a small source rely on leakage
//! protection.

use crate::installation::Trip;
use crate::survey::rules::prelude::*;
use std::collections::BTreeMap;

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

/// Above this multiple of its rating a breaker trips at once.
const fn at_once(trip: Trip) -> Option<f64> {
    match trip {
        Trip::B => Some(5.0),
        Trip::C => Some(10.0),
        Trip::D => Some(20.0),
        Trip::Us | Trip::Fuse => None,
    }
}

/// What limits a short circuit.
#[derive(Clone, Copy)]
struct Short {
    at: PartId,
    amps: f64,
    by_source: bool,
}

/// Prospective current of a short circuit at a part.
fn fault(cx: &Context<'_>, id: PartId) -> Option<Short> {
    let up = cx.upstream(id)?;
    let source = cx.part(up.root)?;
    let volts = cx.nominal_v(cx.leg(id));
    let cable = volts / cx.loop_ohms(id)?.norm();
    let own = if source.kind == PartKind::ShoreInlet {
        f64::INFINITY
    } else {
        source.start_va.or_else(|| source.start_w(cx.system()))? / cx.nominal_v(cx.leg(up.root))
    };
    Some(Short { at: id, amps: cable.min(own), by_source: own < cable })
}

fn check(cx: &Context<'_>, report: &mut Report) {
    let mut weakest: BTreeMap<PartId, Short> = BTreeMap::new();
    for (id, part) in cx.parts().filter(|(_, p)| matches!(p.kind, PartKind::Appliance | PartKind::Outlet)) {
        let Some(breaker) = cx.upstream(id).and_then(|up| up.breaker) else { continue };
        let Some(trip) = cx.part(breaker).map(|b| b.trip(cx.system())) else { continue };
        if at_once(trip).is_none()
            || part.kind == PartKind::Appliance && cx.upstream(id).is_some_and(|u| u.outlet.is_some())
        {
            continue;
        }
        let Some(fault) = fault(cx, id) else {
            report.not_checked(&INFO, [id], "the peak rating of the source, or a cable on the way, is not known");
            continue;
        };
        let entry = weakest.entry(breaker).or_insert(fault);
        if fault.amps < entry.amps {
            *entry = fault;
        }
    }
    for (breaker, fault) in weakest {
        let Some(part) = cx.part(breaker) else { continue };
        let (Some(rating), Some(k)) = (part.rating_a, at_once(part.trip(cx.system()))) else {
            report.not_checked(&INFO, [breaker], "its rated current is not known");
            continue;
        };
        if below(fault.amps, k * rating) {
            let (shown, needed) = words::pair(fault.amps, k * rating, "A");
            let limit = if fault.by_source { "the source's peak is the limit" } else { "the cables are the limit" };
            let message = format!(
                "A short circuit at {} gives {shown} at most ({limit}); {} needs {needed} to trip at once.",
                cx.name(fault.at),
                part.name()
            );
            let severity = if fault.by_source { Severity::Notice } else { Severity::Caution };
            let finding = INFO.finding([breaker, fault.at], message).measured(fault.amps, k * rating, "A");
            report.add(finding.at(severity));
        }
    }
    let us: Vec<PartId> = cx
        .of_kind(PartKind::Breaker)
        .filter(|(id, p)| cx.is_fed(*id) && at_once(p.trip(cx.system())).is_none())
        .map(|(id, _)| id)
        .collect();
    if !us.is_empty() {
        report.not_checked(&INFO, us, "no standard gives their instantaneous trip: ask for their makers' curves");
    }
}
