//! An inverter-charger with a bond of its own lets its input through.
//!
//! # What it finds
//! An inverter-charger that is stated to join neutral and earth and that lets another source through in this
//! condition.
//!
//! # Why it matters
//! Its joint must open while it does, or there are two. Whether its relay does cannot be seen in the drawing.
//!
//! # Source of the limit
//! ABYC E-11 and A-31, from memory.
//!
//! # Fires
//! ```csv
//! # system: 120V60Hz
//! # feeding: X1
//! tag,kind,fed_from,rating_a,run_w,bonded,conductor
//! X1,shore-inlet,,30,,no,
//! T1,inverter,X1,20,2000,yes,none
//! ```
//! ```csv
//! # system: 230V50Hz
//! # feeding: X1
//! tag,kind,fed_from,rating_a,run_w,bonded,conductor
//! X1,shore-inlet,,16,,no,
//! T1,inverter,X1,10,2000,yes,none
//! ```
//!
//! # Must not fire
//! ```csv
//! # system: 120V60Hz
//! # feeding: T1
//! tag,kind,fed_from,rating_a,run_w,bonded,conductor
//! X1,shore-inlet,,30,,no,
//! T1,inverter,X1,20,2000,yes,none
//! ```
//! ```csv
//! # system: 230V50Hz
//! # feeding: X1
//! tag,kind,fed_from,rating_a,run_w,bonded,conductor
//! X1,shore-inlet,,16,,no,
//! T1,inverter,X1,10,2000,no,none
//! ```
//!
//! # Cure
//! For the electrician: measure with shore power going through that its neutral is not joined to earth.

use super::BOND_NOT_KNOWN;
use crate::survey::rules::prelude::*;

rule! {
    id: "inverter-bond-transfer",
    severity: Severity::Notice,
    sets: BOTH,
    demand: "While an inverter-charger lets another source through, its own joint of neutral and earth is open.",
    source: "ABYC E-11; ABYC A-31",
    mark: Mark::Memory,
    cure: Cure::Words("For the electrician: measure with shore power going through that its neutral is not joined to earth."),
    needs_figures: false,
}

fn check(cx: &Context<'_>, report: &mut Report) {
    let lets_through = |id: PartId| cx.is_fed(id) && cx.upstream(id).is_some_and(|up| up.root != id);
    for (id, part) in cx.of_kind(PartKind::Inverter).filter(|(id, _)| lets_through(*id)) {
        if part.bonded.is_none() {
            report.not_checked(&INFO, [id], BOND_NOT_KNOWN);
        }
        if part.bonded == Some(true) {
            let message = format!(
                "{} joins neutral and earth by itself; while it lets its input through that joint must open. The drawing cannot show whether it does.",
                part.name()
            );
            report.add(INFO.finding([id], message));
        }
    }
}
