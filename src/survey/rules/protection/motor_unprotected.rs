//! A motor without protection of its own.
//!
//! # What it finds
//! A motor that is wired in and shares its breaker with other appliances or outlets.
//!
//! # Why it matters
//! The breaker is sized for the circuit, not for the motor: a motor that is stuck overheats long before it trips, unless it
//! has an overload or thermal device built in, which the drawing does not show.
//!
//! # Source of the limit
//! ISO 13297:2020 13.1.4 and 46 CFR 183.380(h): each motor has its own protection, or one that is built in, unless it
//! survives being locked.
//!
//! # Fires
//! ```csv
//! # system: 120V60Hz
//! tag,kind,fed_from,rating_a,run_w,load_kind,conductor,length_m
//! G1,generator,,20,2000,,,
//! Q1,breaker,G1,20,,,none,
//! M1,appliance,Q1,,400,motor,12 AWG,3
//! E1,appliance,Q1,,100,power,12 AWG,3
//! ```
//! ```csv
//! # system: 230V50Hz
//! tag,kind,fed_from,rating_a,run_w,load_kind,conductor,length_m
//! G1,generator,,10,2000,,,
//! Q1,breaker,G1,10,,,none,
//! M1,appliance,Q1,,400,motor,1.5 mm2,3
//! X2,outlet,Q1,16,,,1.5 mm2,3
//! ```
//!
//! # Must not fire
//! ```csv
//! # system: 120V60Hz
//! tag,kind,fed_from,rating_a,run_w,load_kind,conductor,length_m
//! G1,generator,,20,2000,,,
//! Q1,breaker,G1,20,,,none,
//! M1,appliance,Q1,,400,motor,12 AWG,3
//! ```
//! ```csv
//! # system: 230V50Hz
//! tag,kind,fed_from,rating_a,run_w,load_kind,conductor,length_m
//! G1,generator,,10,2000,,,
//! Q1,breaker,G1,10,,,none,
//! E1,appliance,Q1,,400,power,1.5 mm2,3
//! X2,outlet,Q1,16,,,1.5 mm2,3
//! ```
//!
//! # Cure
//! Read on its plate whether it is thermally protected; if not, give it a breaker of its own.

use crate::installation::LoadKind;
use crate::survey::rules::prelude::*;

rule! {
    id: "motor-unprotected",
    severity: Severity::Notice,
    sets: BOTH,
    demand: "Each motor has protection of its own, drawn or built in.",
    source: "ISO 13297:2020 13.1.4; 46 CFR 183.380(h)",
    mark: Mark::Read,
    cure: Cure::Words("Read on its plate whether it is thermally protected; if not, give it a breaker of its own."),
    needs_figures: false,
}

fn check(cx: &Context<'_>, report: &mut Report) {
    let is_end = |to: PartId| matches!(cx.kind(to), Some(PartKind::Appliance | PartKind::Outlet));
    for (breaker, part) in cx.of_kind(PartKind::Breaker) {
        let ends: Vec<PartId> =
            cx.zone(breaker).iter().filter_map(|&c| cx.cable(c)).map(|c| c.to).filter(|&to| is_end(to)).collect();
        if ends.len() < 2 {
            continue;
        }
        let is_motor =
            |id: &PartId| cx.part(*id).is_some_and(|p| p.kind == PartKind::Appliance && p.load_kind == LoadKind::Motor);
        // What is plugged into an outlet has its own cord and is not wired in.
        let plugged = |id: &PartId| {
            cx.arriving(*id).iter().filter_map(|&c| cx.cable(c)).any(|c| cx.kind(c.from) == Some(PartKind::Outlet))
        };
        let motors: Vec<PartId> = ends.into_iter().filter(|id| is_motor(id) && !plugged(id)).collect();
        if !motors.is_empty() {
            let message = format!(
                "{} shares {} with other loads; whether it has overload protection of its own is not drawn.",
                words::tags(cx, &motors),
                part.name()
            );
            report.add(INFO.finding(motors.into_iter().chain([breaker]), message));
        }
    }
}
