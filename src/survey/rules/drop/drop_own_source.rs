//! Too much drop between the boat's own source and an appliance, international rules.
//!
//! # What it finds
//! On a generator or inverter: lighting at which the voltage has dropped by more than 6 % of nominal, any other
//! appliance in use by more than 8 %.
//!
//! # Why it matters
//! Motors start badly and run hot, heaters give less, lamps dim, and the heat is in the cable.
//!
//! # Source of the limit
//! IEC 60364-5-52 Annex G, Table G.52.1 type B (fed from a private supply).
//!
//! # Fires
//! ```csv
//! # system: 230V50Hz
//! # resistance: formula
//! tag,kind,fed_from,rating_a,run_w,conductor,length_m,lighting
//! G1,generator,,16,3000,,,
//! E1,appliance,G1,,2300,1.5 mm2,64,
//! ```
//! ```csv
//! # system: 230V50Hz
//! # resistance: formula
//! tag,kind,fed_from,rating_a,run_w,conductor,length_m,lighting
//! G1,generator,,16,3000,,,
//! E1,appliance,G1,,2300,1.5 mm2,49,yes
//! ```
//!
//! # Must not fire
//! ```csv
//! # system: 230V50Hz
//! # resistance: formula
//! tag,kind,fed_from,rating_a,run_w,conductor,length_m,lighting
//! G1,generator,,16,3000,,,
//! E1,appliance,G1,,2300,1.5 mm2,60,
//! ```
//! ```csv
//! # system: 230V50Hz
//! # resistance: formula
//! tag,kind,fed_from,rating_a,run_w,conductor,length_m,lighting
//! G1,generator,,16,3000,,,
//! E1,appliance,G1,,2300,1.5 mm2,46,yes
//! ```
//!
//! # Boundary
//! ```csv
//! # system: 230V50Hz
//! # resistance: formula
//! tag,kind,fed_from,rating_a,run_w,conductor,length_m,lighting
//! G1,generator,,16,3000,,,
//! E1,appliance,G1,,2300,1.5 mm2,{61.544 -> 61.554},
//! ```
//! ```csv
//! # system: 230V50Hz
//! # resistance: formula
//! tag,kind,fed_from,rating_a,run_w,conductor,length_m,lighting
//! G1,generator,,16,3000,,,
//! E1,appliance,G1,,2300,1.5 mm2,{47.162 -> 47.172},yes
//! ```
//!
//! # Cure
//! Thicker cable where most of the drop is, or a shorter way.

use super::{judged, running};
use crate::survey::rules::prelude::*;

rule! {
    id: "drop-own-source",
    severity: Severity::Caution,
    sets: &[RuleSet::International],
    demand: "On the boat's own source the voltage drops by 6 % of nominal at most for lighting, 8 % for all else.",
    source: "IEC 60364-5-52 Annex G, Table G.52.1 type B",
    mark: Mark::Read,
    cure: Cure::Words("Fit thicker cable where most of the drop is, or take a shorter way."),
    needs_figures: true;
    edits: edits
}

/// The limit in per cent of nominal.
const fn limit(lighting: bool) -> f64 {
    if lighting { 6.0 } else { 8.0 }
}

fn check(cx: &Context<'_>, report: &mut Report) {
    for (id, part) in running(cx) {
        let root = cx.upstream(id).and_then(|up| cx.kind(up.root));
        if root == Some(PartKind::ShoreInlet) {
            continue;
        }
        let limit = limit(part.lighting);
        let drop = cx.drop_percent(id, cx.leg(id));
        let found = drop.filter(|&d| above(d, limit));
        if let Some(drop) = found {
            let (shown, most) = words::pair(drop, limit, "%");
            let use_ = if part.lighting { "lighting" } else { "other uses than lighting" };
            let message = format!(
                "At {} the voltage is down {shown} from the boat's own source; {most} is the most for {use_}.",
                part.name()
            );
            let worst = cx.upstream(id).and_then(|up| up.worst_cable);
            let cure = change::thicker_for_drop(cx, worst, cx.nominal_v(cx.leg(id)), drop, limit);
            report.add(INFO.finding([id], message).measured(drop, limit, "%").cured(cure));
        }
        judged(cx, report, &INFO, id, drop, found.is_some());
    }
}

fn edits(cx: &Context<'_>, finding: &Finding) -> Vec<Edit> {
    let part = finding.parts.first().copied();
    change::thicker(cx, part.and_then(|p| cx.upstream(p)).and_then(|up| up.worst_cable))
}
