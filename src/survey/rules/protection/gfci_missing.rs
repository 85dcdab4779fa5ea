//! An outlet in a wet or machinery space without 5 mA protection (US).
//!
//! # What it finds
//! An outlet in a head, galley or engine space or on the weather deck with no ground-fault protection of 5 mA on itself
//! or anywhere between it and the source. An appliance wired in is no outlet. 30 mA never meets a demand for 5; what
//! stands ahead of an isolation transformer does not see its secondary and does not count.
//!
//! # Why it matters
//! With wet hands on metal that is joined to the sea a fault current through the body stops the heart before a breaker
//! notices anything.
//!
//! # Source of the limit
//! ABYC E-11, read in a reprint.
//!
//! # Fires
//! ```csv
//! # system: 120V60Hz
//! tag,kind,fed_from,rating_a,run_w,conductor,space,protection
//! G1,generator,,30,3000,,,
//! Q1,breaker,G1,15,,none,,elci
//! X1,outlet,Q1,15,,none,galley,
//! ```
//! ```csv
//! # system: 120/240V60Hz
//! tag,kind,fed_from,rating_a,run_w,conductor,space,protection
//! G1,generator,,30,3000,,,
//! Q1,breaker,G1,15,,none,,
//! X1,outlet,Q1,15,,none,weather-deck,
//! ```
//!
//! # Must not fire
//! ```csv
//! # system: 120V60Hz
//! tag,kind,fed_from,rating_a,run_w,conductor,space,protection
//! G1,generator,,30,3000,,,
//! Q1,breaker,G1,15,,none,,gfci
//! X1,outlet,Q1,15,,none,galley,
//! X2,outlet,X1,15,,none,head,
//! ```
//! ```csv
//! # system: 120V60Hz
//! tag,kind,fed_from,rating_a,run_w,conductor,space,protection
//! G1,generator,,30,3000,,,
//! Q1,breaker,G1,15,,none,,
//! X1,outlet,Q1,15,,none,accommodation,
//! E1,appliance,Q1,,500,none,galley,
//! ```
//!
//! # Boundary
//! ```csv
//! # system: 120V60Hz
//! tag,kind,fed_from,rating_a,run_w,space,protection
//! G1,generator,,20,2000,,
//! X1,outlet,G1,15,,galley,{gfci -> rcd10}
//! ```
//!
//! # Cure
//! A ground-fault interrupter of 5 mA, as the outlet or as the breaker of its circuit.

use super::wet_outlets;
use crate::survey::rules::prelude::*;

rule! {
    id: "gfci-missing",
    severity: Severity::Danger,
    sets: &[RuleSet::Us],
    demand: "An outlet in a head, galley or engine space or on the weather deck has ground-fault protection of 5 mA.",
    source: "ABYC E-11",
    mark: Mark::Read,
    cure: Cure::Words("Fit a ground-fault interrupter of 5 mA (class A), as the outlet itself or as the breaker of its circuit."),
    needs_figures: false;
    edits: |_: &Context<'_>, finding: &Finding| change::set(finding, Property::Protection, &["gfci"])
}

/// Trip level asked for, mA.
const LIMIT_MA: f64 = 5.0;

fn check(cx: &Context<'_>, report: &mut Report) {
    wet_outlets(cx, report, &INFO, LIMIT_MA, "5 mA ground-fault protection");
}
