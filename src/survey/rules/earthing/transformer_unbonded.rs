//! An isolation transformer whose secondary is not earthed.
//!
//! # What it finds
//! An isolation transformer stated not to join its secondary neutral to earth aboard.
//!
//! # Why it matters
//! Its secondary is a source of its own. Floating, a first fault trips nothing, and leakage protection behind it
//! may not work.
//!
//! # Source of the limit
//! ABYC E-11; ISO 13297:2020 6.8.
//!
//! # Fires
//! ```csv
//! # system: 120V60Hz
//! tag,kind,fed_from,rating_a,bonded,conductor
//! X1,shore-inlet,,30,no,
//! T1,isolation-transformer,X1,30,no,none
//! ```
//! ```csv
//! # system: 230V50Hz
//! tag,kind,fed_from,rating_a,bonded,conductor
//! X1,shore-inlet,,16,no,
//! T1,isolation-transformer,X1,16,no,none
//! ```
//!
//! # Must not fire
//! ```csv
//! # system: 120V60Hz
//! tag,kind,fed_from,rating_a,bonded,conductor
//! X1,shore-inlet,,30,no,
//! T1,isolation-transformer,X1,30,yes,none
//! ```
//! ```csv
//! # system: 230V50Hz
//! tag,kind,fed_from,rating_a,bonded,conductor
//! X1,shore-inlet,,16,no,
//! T1,isolation-transformer,X1,16,yes,none
//! ```
//!
//! # Cure
//! Bonding is for the electrician: measure which neutral is joined to earth, and where, before anything is changed.

use crate::survey::rules::prelude::*;

rule! {
    id: "transformer-unbonded",
    severity: Severity::Warning,
    sets: BOTH,
    demand: "The secondary of an isolation transformer is earthed aboard.",
    source: "ABYC E-11; ISO 13297:2020 6.8",
    mark: Mark::Read,
    cure: Cure::Words("Bonding is for the electrician: measure which neutral is joined to earth, and where, before anything is changed."),
    needs_figures: false,
}

fn check(cx: &Context<'_>, report: &mut Report) {
    for (id, part) in cx.of_kind(PartKind::IsolationTransformer) {
        match part.bonded {
            Some(false) => {
                let message =
                    format!("The secondary of {} is not joined to earth: a first fault trips nothing.", part.name());
                report.add(INFO.finding([id], message));
            }
            Some(true) => {}
            None => report.not_checked(&INFO, [id], "whether its secondary is joined to earth is not known"),
        }
    }
}
