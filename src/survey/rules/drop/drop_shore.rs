//! Too much drop between shore supply and an appliance, international rules.
//!
//! # What it finds
//! On shore supply: lighting at which the voltage has dropped by more than 3 % of nominal, any other appliance in use by
//! more than 5 %.
//!
//! # Why it matters
//! Motors start badly and run hot, heaters give less, lamps dim, and the heat is in the cable.
//!
//! # Source of the limit
//! IEC 60364-5-52 Annex G, Table G.52.1 type A (fed from a public supply).
//!
//! # Fires
//! ```csv
//! # system: 230V50Hz
//! # resistance: formula
//! tag,kind,fed_from,rating_a,run_w,conductor,length_m,lighting
//! X1,shore-inlet,,16,,,,
//! E1,appliance,X1,,2300,1.5 mm2,41,
//! ```
//! ```csv
//! # system: 230V50Hz
//! # resistance: formula
//! tag,kind,fed_from,rating_a,run_w,conductor,length_m,lighting
//! X1,shore-inlet,,16,,,,
//! E1,appliance,X1,,2300,1.5 mm2,25,yes
//! ```
//!
//! # Must not fire
//! ```csv
//! # system: 230V50Hz
//! # resistance: formula
//! tag,kind,fed_from,rating_a,run_w,conductor,length_m,lighting
//! X1,shore-inlet,,16,,,,
//! E1,appliance,X1,,2300,1.5 mm2,38,
//! ```
//! ```csv
//! # system: 230V50Hz
//! # resistance: formula
//! tag,kind,fed_from,rating_a,run_w,conductor,length_m,lighting
//! X1,shore-inlet,,16,,,,
//! E1,appliance,X1,,2300,1.5 mm2,23,yes
//! ```
//! ```csv
//! # system: 230V50Hz
//! # resistance: formula
//! tag,kind,fed_from,rating_a,run_w,conductor,length_m,lighting
//! G1,generator,,16,3000,,,
//! E1,appliance,G1,,2300,1.5 mm2,41,
//! ```
//!
//! # Boundary
//! ```csv
//! # system: 230V50Hz
//! # resistance: formula
//! tag,kind,fed_from,rating_a,run_w,conductor,length_m,lighting
//! X1,shore-inlet,,16,,,,
//! E1,appliance,X1,,2300,1.5 mm2,{39.719 -> 39.729},
//! ```
//! ```csv
//! # system: 230V50Hz
//! # resistance: formula
//! tag,kind,fed_from,rating_a,run_w,conductor,length_m,lighting
//! X1,shore-inlet,,16,,,,
//! E1,appliance,X1,,2300,1.5 mm2,{24.333 -> 24.343},yes
//! ```
//!
//! # Cure
//! Thicker cable where most of the drop is, or a shorter way.

use super::{from_source, worst_cable_thicker};
use crate::survey::rules::prelude::*;

rule! {
    id: "drop-shore",
    severity: Severity::Caution,
    sets: &[RuleSet::International],
    demand: "On shore supply the voltage drops by 3 % of nominal at most for lighting, 5 % for all else.",
    source: "IEC 60364-5-52 Annex G, Table G.52.1 type A",
    mark: Mark::Read,
    cure: Cure::Words("Fit thicker cable where most of the drop is, or take a shorter way."),
    needs_figures: true;
    edits: worst_cable_thicker
}

/// The limit in per cent of nominal.
const fn limit(lighting: bool) -> f64 {
    if lighting { 3.0 } else { 5.0 }
}

fn check(cx: &Context<'_>, report: &mut Report) {
    from_source(cx, report, &INFO, |root| root == Some(PartKind::ShoreInlet), "the shore", limit);
}
