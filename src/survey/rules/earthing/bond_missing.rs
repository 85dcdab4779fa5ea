//! The source that feeds does not join neutral and earth.
//!
//! # What it finds
//! A generator or inverter that feeds in this condition and whose neutral is stated not to be bonded to earth
//! (floating).
//!
//! # Why it matters
//! A fault to a metal case then draws no current: no breaker and no leakage device notices it, and the case stays
//! live until a second fault makes a person the path.
//!
//! # Source of the limit
//! ISO 13297:2020 6.8; 46 CFR 28.360: the neutral is earthed at the source aboard.
//!
//! # Fires
//! ```csv
//! # system: 120V60Hz
//! tag,kind,rating_a,run_w,bonded
//! G1,generator,20,2000,no
//! ```
//! ```csv
//! # system: 230V50Hz
//! tag,kind,rating_a,run_w,bonded
//! T1,inverter,10,2000,no
//! ```
//!
//! # Must not fire
//! ```csv
//! # system: 120V60Hz
//! tag,kind,rating_a,run_w,bonded
//! G1,generator,20,2000,yes
//! ```
//! ```csv
//! # system: 230V50Hz
//! tag,kind,rating_a,run_w,bonded
//! X1,shore-inlet,16,,no
//! ```
//!
//! # Cure
//! Bonding is for the electrician: measure which neutral is joined to earth, and where, before anything is changed.

use super::BOND_NOT_KNOWN;
use crate::survey::rules::prelude::*;

rule! {
    id: "bond-missing",
    severity: Severity::Danger,
    sets: BOTH,
    demand: "The neutral of the generator or inverter that feeds is joined to earth at that source.",
    source: "ISO 13297:2020 6.8; 46 CFR 28.360",
    mark: Mark::Read,
    cure: Cure::Words("Bonding is for the electrician: measure which neutral is joined to earth, and where, before anything is changed."),
    needs_figures: false,
}

fn check(cx: &Context<'_>, report: &mut Report) {
    for &source in &cx.walk().roots {
        let Some(part) = cx.part(source) else { continue };
        match part.bonded {
            _ if part.kind == PartKind::ShoreInlet => {}
            Some(true) => {}
            Some(false) => {
                let message =
                    format!("{} feeds with its neutral not joined to earth: a first fault trips nothing.", part.name());
                report.add(INFO.finding([source], message));
            }
            None => report.not_checked(&INFO, [source], BOND_NOT_KNOWN),
        }
    }
}
