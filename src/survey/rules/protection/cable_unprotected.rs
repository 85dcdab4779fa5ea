//! A cable without overcurrent protection at its source end.
//!
//! # What it finds
//! A cable that leaves a shore inlet and reaches a panel with several circuits, an inverter, an outlet or an appliance with no breaker
//! on the way: the only device is ashore, and it belongs to the dock. Where a generator's or inverter's own breaker is
//! not known and no other follows, the check cannot be made and says so. Also a cable that leaves a panel for an
//! appliance or outlet without a breaker of its own, where what guards the panel is more than the cable may carry.
//!
//! # Why it matters
//! A short circuit then feeds as much as the dock can give into a cable in the boat until it burns.
//!
//! # Source of the limit
//! 33 CFR 183.455(a) and (b): a breaker or fuse in each ungrounded conductor at the source of power; 46 CFR 183.390(c):
//! a breaker for the shore connection; ISO 13297 13.2.
//!
//! # Fires
//! ```csv
//! # system: 120V60Hz
//! tag,kind,fed_from,rating_a,run_w,conductor,length_m
//! X1,shore-inlet,,30,,,
//! A1,panel,X1,,,10 AWG,2
//! Q1,breaker,A1,15,,none,
//! Q2,breaker,A1,15,,none,
//! ```
//! ```csv
//! # system: 230V50Hz
//! tag,kind,fed_from,rating_a,run_w,conductor,length_m
//! X1,shore-inlet,,16,,,
//! R1,galvanic-isolator,X1,,,2.5 mm2,1
//! E1,appliance,R1,,500,1.5 mm2,4
//! ```
//! ```csv
//! # system: 120V60Hz
//! tag,kind,fed_from,rating_a,run_w,conductor,length_m,insulation_c
//! G1,generator,,30,3000,,,
//! Q1,breaker,G1,30,,none,,
//! A1,panel,Q1,,,none,,
//! E1,appliance,A1,,100,12 AWG,3,75
//! Q2,breaker,A1,10,,none,,
//! ```
//!
//! # Must not fire
//! ```csv
//! # system: 120V60Hz
//! tag,kind,fed_from,rating_a,run_w,conductor,length_m
//! X1,shore-inlet,,30,,,
//! Q3,breaker,X1,30,,10 AWG,2
//! A1,panel,Q3,,,10 AWG,2
//! Q1,breaker,A1,15,,none,
//! Q2,breaker,A1,15,,none,
//! ```
//! ```csv
//! # system: 230V50Hz
//! tag,kind,fed_from,rating_a,run_w,conductor,length_m
//! X1,shore-inlet,,16,,,
//! A1,panel,X1,,,2.5 mm2,1
//! Q1,breaker,A1,16,,none,
//! E1,appliance,Q1,,500,1.5 mm2,4
//! ```
//! ```csv
//! # system: 120V60Hz
//! tag,kind,fed_from,rating_a,run_w,conductor,length_m
//! G1,generator,,20,2000,,
//! E1,appliance,G1,,500,14 AWG,4
//! ```
//! ```csv
//! # system: 120V60Hz
//! tag,kind,fed_from,rating_a,run_w,conductor,length_m,insulation_c
//! G1,generator,,30,3000,,,
//! Q1,breaker,G1,25,,none,,
//! A1,panel,Q1,,,none,,
//! E1,appliance,A1,,100,12 AWG,3,75
//! ```
//!
//! # Boundary
//! ```csv
//! # system: 120V60Hz
//! tag,kind,fed_from,rating_a,run_w,conductor,length_m,insulation_c
//! G1,generator,,{25 -> 25.1},3000,,,
//! A1,panel,G1,60,,none,,
//! E1,appliance,A1,,100,12 AWG,3,75
//! E2,appliance,A1,,100,12 AWG,3,75
//! ```
//! ```csv
//! # system: 230V50Hz
//! tag,kind,fed_from,rating_a,run_w,conductor,length_m,insulation_c
//! G1,generator,,{18 -> 18.1},4000,,,
//! A1,panel,G1,60,,none,,
//! E1,appliance,A1,,100,1.5 mm2,3,70
//! E2,appliance,A1,,100,1.5 mm2,3,70
//! ```
//!
//! # Cure
//! A main breaker at the source end, of the rating that the cable and the inlet carry: for the electrician.

use super::is_tap;
use crate::installation::{Cable, CableId};
use crate::survey::rules::prelude::*;
use crate::survey::{Guard, GuardKind};

rule! {
    id: "cable-unprotected",
    severity: Severity::Warning,
    sets: BOTH,
    demand: "Every cable has a breaker or fuse at its source end.",
    source: "33 CFR 183.455(a) and (b)(1); 46 CFR 183.390(c); ISO 13297:2020 13.2",
    mark: Mark::Read,
    cure: Cure::Words("For the electrician: a breaker at the source end, rated no higher than cable and inlet carry."),
    needs_figures: false,
}

/// True where more than one cable leaves a part towards something that draws or feeds on.
fn distributes(cx: &Context<'_>, id: PartId) -> bool {
    let towards = cx.leaving(id).iter().filter_map(|&c| cx.cable(c)).map(|c| cx.kind(c.to));
    towards.filter(|kind| !matches!(kind, Some(PartKind::PolarityIndicator))).nth(1).is_some()
}

/// True where current arrives at something that should already be behind a breaker.
fn wants_protection(cx: &Context<'_>, id: PartId) -> bool {
    match cx.kind(id) {
        Some(PartKind::Outlet | PartKind::Appliance | PartKind::Inverter) => true,
        Some(PartKind::Panel) => distributes(cx, id),
        _ => false,
    }
}

/// A cable straight from a busbar: guarded only by what stands ahead of the panel.
fn tap(cx: &Context<'_>, report: &mut Report, id: CableId, cable: &Cable, guard: &Guard, rating: f64) {
    let Some(allowed) = cx.ampacity(id) else {
        if cable.data.is_fitted() {
            report.not_checked(&INFO, [cable.to], cx.why_no_ampacity(id));
        }
        return;
    };
    if above(rating, allowed.amps) {
        let (shown, may) = words::pair(rating, allowed.amps, "A");
        let several = cx.guards_behind(cable.from).len() > 1;
        let on = if several { " on one of its ways to a source" } else { "" };
        let message = format!(
            "{} is joined to {} without a breaker of its own; the nearest{on} is {} of {shown}, and its cable may carry {may} ({}).",
            cx.name(cable.to),
            cx.tag(cable.from),
            cx.tag(guard.part),
            words::basis(cx, cable, allowed)
        );
        let finding = INFO.finding([cable.to, guard.part], message).on([id]).measured(rating, allowed.amps, "A");
        let finding = finding
            .by(format!("{}; {}", INFO.source, allowed.source), allowed.mark)
            .not_using(words::other_ampacity(cx, allowed));
        report.add(finding.cured(Some("For the electrician: a breaker of its own on the panel.".to_owned())));
    }
}

fn check(cx: &Context<'_>, report: &mut Report) {
    for (id, cable) in cx.cables() {
        if !wants_protection(cx, cable.to) {
            continue;
        }
        // What lies behind a panel that has its finding already needs none of its own.
        let said = cx.kind(cable.from) == Some(PartKind::Panel) && wants_protection(cx, cable.from);
        for guard in cx.guards_behind(cable.from) {
            match (guard.kind, guard.rating_a) {
                (GuardKind::Shore, _) if said => {}
                (GuardKind::Shore, _) => {
                    let message = format!(
                        "No breaker lies between {} and {}: the only device is ashore.",
                        cx.name(guard.part),
                        cx.name(cable.to)
                    );
                    report.add(INFO.finding([cable.to, guard.part], message).on([id]));
                }
                (_, Some(rating)) if is_tap(cx, cable) => tap(cx, report, id, cable, guard, rating),
                (GuardKind::Own, None) => report.not_checked(
                    &INFO,
                    [cable.to],
                    format!(
                        "whether {} has a breaker of its own is not known, and none lies between",
                        cx.tag(guard.part)
                    ),
                ),
                _ => {}
            }
        }
    }
}
