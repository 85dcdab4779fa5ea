//! A generator's own breaker is above 115 % of its rated current.
//!
//! # What it finds
//! A generator whose output breaker is rated above 115 % of the current that belongs to its running watts.
//!
//! # Why it matters
//! The breaker then lets the set run overloaded until its winding burns.
//!
//! # Source of the limit
//! 46 CFR 28.860(a), a US rule for fishing vessels, taken as good practice on any boat in both rule sets. There is no
//! step up to the next standard size: the next smaller is taken. ABYC E-11 is remembered with 120 % (from memory, not
//! certain): the two differ, and the 115 % that was read is used.
//!
//! # Fires
//! ```csv
//! # system: 120V60Hz
//! tag,kind,fed_from,rating_a,run_w
//! G1,generator,,23.001,2400
//! ```
//! ```csv
//! # system: 230V50Hz
//! tag,kind,fed_from,rating_a,run_w
//! G1,generator,,11.501,2300
//! ```
//! ```csv
//! # system: 120/240V60Hz
//! tag,kind,fed_from,rating_a,run_w
//! G1,generator,,23.001,4800
//! ```
//!
//! # Must not fire
//! ```csv
//! # system: 120V60Hz
//! tag,kind,fed_from,rating_a,run_w
//! G1,generator,,23,2400
//! ```
//! ```csv
//! # system: 230V50Hz
//! tag,kind,fed_from,rating_a,run_w
//! G1,generator,,11.5,2300
//! ```
//! ```csv
//! # system: 120/240V60Hz
//! tag,kind,fed_from,rating_a,run_w
//! G1,generator,,23,4800
//! ```
//!
//! # Boundary
//! ```csv
//! # system: 120/240V60Hz
//! tag,kind,fed_from,rating_a,run_w
//! G1,generator,,{23 -> 23.001},4800
//! ```
//! ```csv
//! # system: 230V50Hz
//! tag,kind,fed_from,rating_a,run_w
//! G1,generator,,{11.5 -> 11.501},2300
//! ```
//!
//! # Cure
//! The next smaller standard breaker: for the electrician.

use crate::installation::{Leg, Part, System};
use crate::survey::rules::prelude::*;

rule! {
    id: "generator-breaker-large",
    severity: Severity::Warning,
    sets: BOTH,
    demand: "A generator's own breaker is rated for 115 % of the set's rated current at most.",
    source: "46 CFR 28.860(a) (fishing vessels; good practice elsewhere)",
    mark: Mark::Read,
    cure: Cure::Words("For the electrician: fit the next standard breaker below that limit."),
    needs_figures: false,
}

/// Share of the rated current.
const SHARE: f64 = 1.15;

/// Rated current of a set per line, amperes, from its running watts and its rated power factor.
fn rated_amps(part: &Part, leg: Leg, system: System) -> Option<f64> {
    let lines = if system.is_split_phase() && matches!(leg, Leg::L1L2 | Leg::L1L2N) { 2.0 } else { 1.0 };
    part.run_w.map(|w| w / part.pf() / (lines * system.nominal_v()))
}

fn check(cx: &Context<'_>, report: &mut Report) {
    for (id, part) in cx.of_kind(PartKind::Generator) {
        let rated = rated_amps(part, cx.leg(id), cx.system());
        let (Some(breaker), Some(rated)) = (part.rating_a, rated) else {
            let what = if part.rating_a.is_none() {
                "its own breaker is not known"
            } else {
                "its running watts are not known"
            };
            report.not_checked(&INFO, [id], what);
            continue;
        };
        let limit = SHARE * rated;
        if above(breaker, limit) {
            let (shown, most) = words::pair(breaker, limit, "A");
            let message =
                format!("{}'s own breaker is {shown}; 115 % of the set's rated current is {most}.", part.name());
            report.add(INFO.finding([id], message).measured(breaker, limit, "A"));
        }
    }
}
