//! A shore main that leaves a conductor joined.
//!
//! # What it finds
//! The first breaker behind a shore inlet that opens fewer than line and neutral together (split-phase: both
//! lines).
//!
//! # Why it matters
//! With crossed wires ashore it opens the neutral and leaves the boat live.
//!
//! # Source of the limit
//! ABYC E-11, from memory: the main shore breaker opens all live conductors. International systems have a rule of
//! their own for each breaker.
//!
//! # Fires
//! ```csv
//! # system: 120V60Hz
//! tag,kind,fed_from,rating_a,conductor,poles
//! X1,shore-inlet,,30,,
//! Q1,breaker,X1,30,none,1
//! ```
//!
//! # Must not fire
//! ```csv
//! # system: 120V60Hz
//! tag,kind,fed_from,rating_a,conductor,poles
//! X1,shore-inlet,,30,,
//! Q1,breaker,X1,30,none,2
//! Q2,breaker,Q1,15,none,1
//! ```
//!
//! # Boundary
//! ```csv
//! # system: 120V60Hz
//! tag,kind,fed_from,rating_a,poles,conductor
//! X1,shore-inlet,,30,,
//! Q1,breaker,X1,30,{2 -> 1},none
//! ```
//!
//! # Cure
//! Fit a main breaker of two poles.

use crate::survey::rules::prelude::*;

rule! {
    id: "main-single-pole",
    severity: Severity::Caution,
    sets: &[RuleSet::Us],
    demand: "The main breaker of the shore supply opens line and neutral together.",
    source: "ABYC E-11",
    mark: Mark::Memory,
    cure: Cure::Words("Fit a main breaker of two poles."),
    needs_figures: false;
    edits: |_: &Context<'_>, finding: &Finding| change::set(finding, Property::Poles, &["2"])
}

fn check(cx: &Context<'_>, report: &mut Report) {
    for (inlet, _) in cx.of_kind(PartKind::ShoreInlet) {
        let single = |&m: &PartId| {
            cx.part(m).is_some_and(|p| p.kind == PartKind::Breaker && p.poles(cx.system()).is_some_and(|n| n < 2))
        };
        let mains: Vec<PartId> =
            cx.zone(inlet).iter().filter_map(|&c| cx.cable(c)).map(|c| c.to).filter(single).collect();
        if !mains.is_empty() {
            let message = format!("Behind {} {} opens one conductor alone.", cx.name(inlet), words::tags(cx, &mains));
            report.add(INFO.finding(mains.into_iter().chain([inlet]), message).measured(1.0, 2.0, "poles"));
        }
    }
}
