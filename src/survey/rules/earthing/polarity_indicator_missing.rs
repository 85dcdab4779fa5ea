//! Nothing shows crossed line and neutral at shore power.
//!
//! # What it finds
//! A shore inlet without an isolation transformer, single-pole breakers behind it, and no polarity indicator.
//!
//! # Why it matters
//! With line and neutral crossed ashore a single-pole breaker opens the neutral: the circuit is off and yet live
//! throughout.
//!
//! # Source of the limit
//! ISO 13297:2020 6.10 and ABYC E-11: not needed with breakers that open line and neutral, nor behind a
//! transformer.
//!
//! # Fires
//! ```csv
//! # system: 120V60Hz
//! tag,kind,fed_from,rating_a,conductor,poles
//! X1,shore-inlet,,30,,
//! Q1,breaker,X1,15,none,1
//! ```
//! ```csv
//! # system: 230V50Hz
//! tag,kind,fed_from,rating_a,conductor,poles
//! X1,shore-inlet,,16,,
//! Q1,breaker,X1,10,none,1
//! ```
//!
//! # Must not fire
//! ```csv
//! # system: 120V60Hz
//! tag,kind,fed_from,rating_a,conductor,poles
//! X1,shore-inlet,,30,,
//! Q1,breaker,X1,15,none,1
//! P1,polarity-indicator,X1,,none,
//! ```
//! ```csv
//! # system: 230V50Hz
//! tag,kind,fed_from,rating_a,conductor,poles
//! X1,shore-inlet,,16,,
//! Q1,breaker,X1,10,none,2
//! ```
//!
//! # Cure
//! For the electrician: a polarity indicator at the panel, or breakers that open line and neutral.

use crate::survey::rules::prelude::*;
use std::collections::{BTreeMap, BTreeSet};

rule! {
    id: "polarity-indicator-missing",
    severity: Severity::Caution,
    sets: BOTH,
    demand: "Where single-pole breakers depend on it, a signal shows crossed line and neutral at shore power.",
    source: "ISO 13297:2020 6.10; ABYC E-11",
    mark: Mark::Read,
    cure: Cure::Words("For the electrician: a polarity indicator at the panel, or breakers that open line and neutral."),
    needs_figures: false,
}

fn check(cx: &Context<'_>, report: &mut Report) {
    let mut shown: BTreeSet<PartId> = BTreeSet::new();
    let mut single: BTreeMap<PartId, PartId> = BTreeMap::new();
    for (id, part) in cx.parts() {
        let inlets = || {
            cx.sources_of(id).iter().copied().filter(|&s| cx.kind(s) == Some(PartKind::ShoreInlet)).collect::<Vec<_>>()
        };
        match part.kind {
            PartKind::PolarityIndicator | PartKind::IsolationTransformer => shown.extend(inlets()),
            PartKind::Breaker if part.poles(cx.system()).is_some_and(|n| n < 2) => {
                for inlet in inlets() {
                    single.entry(inlet).or_insert(id);
                }
            }
            _ => {}
        }
    }
    for (inlet, breaker) in single {
        if !shown.contains(&inlet) {
            let message = format!(
                "Nothing shows crossed line and neutral at {}, and single-pole breakers such as {} depend on it.",
                cx.name(inlet),
                cx.tag(breaker)
            );
            report.add(INFO.finding([inlet, breaker], message));
        }
    }
}
