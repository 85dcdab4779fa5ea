//! An outlet in a wet or machinery space without 10 mA protection (230 V).
//!
//! # What it finds
//! An outlet in a head, galley or engine space or on the weather deck with no residual-current protection of 10 mA on itself
//! or anywhere between it and the source. An appliance wired in is no outlet. 30 mA never meets a demand for 10, 5 mA does; what
//! stands ahead of an isolation transformer does not see its secondary and does not count.
//!
//! # Why it matters
//! With wet hands on metal that is joined to the sea a fault current through the body stops the heart before a breaker
//! notices anything.
//!
//! # Source of the limit
//! ISO 13297, from memory.
//!
//! # Fires
//! ```csv
//! # system: 230V50Hz
//! tag,kind,fed_from,rating_a,run_w,conductor,space,protection
//! G1,generator,,30,3000,,,
//! Q1,breaker,G1,15,,none,,rcd30
//! X1,outlet,Q1,15,,none,galley,
//! ```
//! ```csv
//! # system: 230V50Hz
//! tag,kind,fed_from,rating_a,run_w,conductor,space,protection
//! G1,generator,,30,3000,,,
//! Q1,breaker,G1,15,,none,,
//! X1,outlet,Q1,15,,none,weather-deck,
//! ```
//!
//! # Must not fire
//! ```csv
//! # system: 230V50Hz
//! tag,kind,fed_from,rating_a,run_w,conductor,space,protection
//! G1,generator,,30,3000,,,
//! Q1,breaker,G1,15,,none,,rcd10
//! X1,outlet,Q1,15,,none,galley,
//! X2,outlet,X1,15,,none,head,
//! ```
//! ```csv
//! # system: 230V50Hz
//! tag,kind,fed_from,rating_a,run_w,conductor,space,protection
//! G1,generator,,30,3000,,,
//! Q1,breaker,G1,15,,none,,
//! X1,outlet,Q1,15,,none,accommodation,
//! X2,outlet,Q1,15,,none,galley,gfci
//! E1,appliance,Q1,,500,none,galley,
//! ```
//!
//! # Boundary
//! ```csv
//! # system: 230V50Hz
//! tag,kind,fed_from,rating_a,run_w,space,protection
//! G1,generator,,10,2000,,
//! X1,outlet,G1,16,,galley,{rcd10 -> rcd30}
//! ```
//!
//! # Cure
//! A residual-current device of 10 mA, as the outlet or as the breaker of its circuit.

use super::wet_outlets;
use crate::survey::rules::prelude::*;

rule! {
    id: "rcd10-missing",
    severity: Severity::Danger,
    sets: &[RuleSet::International],
    demand: "An outlet in a head, galley or engine space or on the weather deck has residual-current protection of 10 mA or less.",
    source: "ISO 13297",
    mark: Mark::Memory,
    cure: Cure::Words("Fit a residual-current device of 10 mA, as the outlet itself or as the breaker of its circuit."),
    needs_figures: false;
    edits: |_: &Context<'_>, finding: &Finding| change::set(finding, Property::Protection, &["rcd10"])
}

/// Trip level asked for, mA.
const LIMIT_MA: f64 = 10.0;

fn check(cx: &Context<'_>, report: &mut Report) {
    wet_outlets(cx, report, &INFO, LIMIT_MA, "10 mA residual-current protection");
}
