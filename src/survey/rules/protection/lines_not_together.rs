//! Two lines that do not open together.
//!
//! # What it finds
//! In a split-phase system: a breaker of a circuit with both lines that opens fewer than two conductors.
//!
//! # Why it matters
//! One line stays live when the other trips: a 240 V appliance that looks off is live, and where a neutral is
//! shared the loads of the other leg may see up to 240 V.
//!
//! # Source of the limit
//! NEC (NFPA 70) 210.4(B) and 240.15, from memory: all lines of a circuit open together.
//!
//! # Fires
//! ```csv
//! # system: 120/240V60Hz
//! tag,kind,fed_from,rating_a,run_w,conductor,leg,poles
//! G1,generator,,50,12000,,,
//! Q1,breaker,G1,20,,none,L1-L2,1
//! ```
//! ```csv
//! # system: 120/240V60Hz
//! # rules: international
//! tag,kind,fed_from,rating_a,run_w,conductor,leg,poles
//! G1,generator,,50,12000,,,
//! Q1,breaker,G1,20,,none,L1-L2-N,1
//! ```
//!
//! # Must not fire
//! ```csv
//! # system: 120/240V60Hz
//! tag,kind,fed_from,rating_a,run_w,conductor,leg,poles
//! G1,generator,,50,12000,,,
//! Q1,breaker,G1,20,,none,L1-L2,2
//! Q2,breaker,G1,20,,none,L1,1
//! ```
//! ```csv
//! # system: 120/240V60Hz
//! # rules: international
//! tag,kind,fed_from,rating_a,run_w,conductor,leg,poles
//! G1,generator,,50,12000,,,
//! Q1,breaker,G1,20,,none,L1-L2-N,3
//! ```
//!
//! # Boundary
//! ```csv
//! # system: 120/240V60Hz
//! # rules: us
//! tag,kind,fed_from,rating_a,run_w,leg,poles,conductor
//! G1,generator,,30,6000,,,
//! Q1,breaker,G1,20,,L1-L2,{2 -> 1},none
//! E1,appliance,Q1,,100,L1-L2,,none
//! ```
//! ```csv
//! # system: 120/240V60Hz
//! # rules: international
//! tag,kind,fed_from,rating_a,run_w,leg,poles,conductor
//! G1,generator,,30,6000,,,
//! Q1,breaker,G1,20,,L1-L2,{2 -> 1},none
//! E1,appliance,Q1,,100,L1-L2,,none
//! ```
//!
//! # Cure
//! Fit a breaker of two poles with a common trip, three where the neutral opens too.

use crate::installation::Leg;
use crate::survey::rules::prelude::*;

rule! {
    id: "lines-not-together",
    severity: Severity::Warning,
    sets: BOTH,
    demand: "A breaker of a circuit with both lines opens them together.",
    source: "NEC (NFPA 70) 210.4(B) and 240.15",
    mark: Mark::Memory,
    cure: Cure::Words("Fit a breaker of two poles with a common trip, three where the neutral opens too."),
    needs_figures: false;
    edits: |_: &Context<'_>, finding: &Finding| change::set(finding, Property::Poles, &["2", "3"])
}

fn check(cx: &Context<'_>, report: &mut Report) {
    if !cx.system().is_split_phase() {
        return;
    }
    for (id, part) in cx.of_kind(PartKind::Breaker) {
        let both = matches!(cx.leg(id), Leg::L1L2 | Leg::L1L2N);
        if both && part.poles(cx.system()).is_some_and(|n| n < 2) {
            let message = format!("{} stands in both lines and opens one conductor.", part.name());
            report.add(INFO.finding([id], message).measured(1.0, 2.0, "poles"));
        }
    }
}
