//! Neutral and earth are joined aboard on the shore side.
//!
//! # What it finds
//! A shore inlet stated to join neutral and earth aboard.
//!
//! # Why it matters
//! Part of the load current then returns through the earth conductor, the hull and the water: it corrodes the boat,
//! trips the dock's leakage protection and can put voltage into the water around swimmers.
//!
//! # Source of the limit
//! ISO 13297:2020 6.8 (clause number inferred): the shore neutral is earthed ashore and not on board.
//!
//! # Fires
//! ```csv
//! # system: 120V60Hz
//! tag,kind,rating_a,bonded
//! X1,shore-inlet,30,yes
//! ```
//! ```csv
//! # system: 230V50Hz
//! tag,kind,rating_a,bonded
//! X1,shore-inlet,16,yes
//! ```
//!
//! # Must not fire
//! ```csv
//! # system: 120V60Hz
//! tag,kind,rating_a,bonded
//! X1,shore-inlet,30,no
//! ```
//! ```csv
//! # system: 230V50Hz
//! tag,kind,rating_a,bonded
//! X1,shore-inlet,16,no
//! ```
//!
//! # Cure
//! Bonding is for the electrician: measure which neutral is joined to earth, and where, before anything is changed.

use crate::survey::rules::prelude::*;

rule! {
    id: "bond-on-shore",
    severity: Severity::Danger,
    sets: BOTH,
    demand: "On shore supply neutral and earth are joined ashore only.",
    source: "ISO 13297:2020 6.8",
    mark: Mark::Read,
    cure: Cure::Words("Bonding is for the electrician: measure which neutral is joined to earth, and where, before anything is changed."),
    needs_figures: false,
}

fn check(cx: &Context<'_>, report: &mut Report) {
    for (id, part) in cx.of_kind(PartKind::ShoreInlet) {
        match part.bonded {
            Some(true) => {
                let message = format!(
                    "Neutral and earth are joined aboard at {}; the joint ashore is the one there may be.",
                    part.name()
                );
                report.add(INFO.finding([id], message));
            }
            Some(false) => {}
            None => report.not_checked(&INFO, [id], "whether neutral and earth are joined aboard is not known"),
        }
    }
}
