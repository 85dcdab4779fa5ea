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

use super::{from_source, worst_cable_thicker};
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
    edits: worst_cable_thicker
}

/// The limit in per cent of nominal.
const fn limit(lighting: bool) -> f64 {
    if lighting { 6.0 } else { 8.0 }
}

fn check(cx: &Context<'_>, report: &mut Report) {
    from_source(cx, report, &INFO, |root| root != Some(PartKind::ShoreInlet), "the boat's own source", limit);
}
