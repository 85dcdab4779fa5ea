//! No galvanic isolator and no isolation transformer.
//!
//! # What it finds
//! A shore inlet behind which neither a galvanic isolator nor an isolation transformer is drawn.
//!
//! # Why it matters
//! The earth conductor joins the boat's underwater metal to every other boat on the dock: anodes, then propellers,
//! corrode.
//!
//! # Source of the limit
//! ABYC E-11 and A-28, from memory.
//!
//! # Fires
//! ```csv
//! # system: 120V60Hz
//! tag,kind,fed_from,rating_a,conductor
//! X1,shore-inlet,,30,
//! Q1,breaker,X1,30,none
//! ```
//! ```csv
//! # system: 230V50Hz
//! tag,kind,fed_from,rating_a,conductor
//! X1,shore-inlet,,16,
//! Q1,breaker,X1,16,none
//! ```
//!
//! # Must not fire
//! ```csv
//! # system: 120V60Hz
//! tag,kind,fed_from,rating_a,conductor
//! X1,shore-inlet,,30,
//! R1,galvanic-isolator,X1,30,none
//! ```
//! ```csv
//! # system: 230V50Hz
//! tag,kind,fed_from,rating_a,conductor
//! X1,shore-inlet,,16,
//! Q1,breaker,X1,16,none
//! T1,isolation-transformer,Q1,16,none
//! ```
//!
//! # Cure
//! For the electrician: a galvanic isolator that stays closed when it fails, or an isolation transformer.

use crate::survey::rules::prelude::*;
use std::collections::BTreeSet;

rule! {
    id: "galvanic-isolation-missing",
    severity: Severity::Notice,
    sets: BOTH,
    demand: "A boat left on shore power has a galvanic isolator or an isolation transformer.",
    source: "ABYC E-11; ABYC A-28",
    mark: Mark::Memory,
    cure: Cure::Words("For the electrician: a galvanic isolator that stays closed when it fails, or an isolation transformer."),
    needs_figures: false,
}

fn check(cx: &Context<'_>, report: &mut Report) {
    let isolates = |kind| matches!(kind, PartKind::GalvanicIsolator | PartKind::IsolationTransformer);
    let isolated: BTreeSet<PartId> =
        cx.parts().filter(|(_, p)| isolates(p.kind)).flat_map(|(id, _)| cx.sources_of(id).to_vec()).collect();
    for (id, part) in cx.of_kind(PartKind::ShoreInlet).filter(|(id, _)| !isolated.contains(id)) {
        let message = format!("Behind {} is neither a galvanic isolator nor an isolation transformer.", part.name());
        report.add(INFO.finding([id], message));
    }
}
