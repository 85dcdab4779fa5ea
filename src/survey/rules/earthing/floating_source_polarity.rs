//! A polarity indicator behind a floating source.
//!
//! # What it finds
//! A source that feeds with its neutral not joined to earth while a polarity indicator is fed by it.
//!
//! # Why it matters
//! The indicator compares line and neutral with earth: behind a floating source it may glow, flicker or stay dark
//! whatever the wiring.
//!
//! # Source of the limit
//! Common practice.
//!
//! # Fires
//! ```csv
//! # system: 120V60Hz
//! tag,kind,fed_from,rating_a,run_w,bonded
//! G1,generator,,20,2000,no
//! P1,polarity-indicator,G1,,,
//! ```
//! ```csv
//! # system: 230V50Hz
//! tag,kind,fed_from,rating_a,run_w,bonded
//! G1,generator,,10,2000,no
//! P1,polarity-indicator,G1,,,
//! ```
//!
//! # Must not fire
//! ```csv
//! # system: 120V60Hz
//! tag,kind,fed_from,rating_a,run_w,bonded
//! G1,generator,,20,2000,yes
//! P1,polarity-indicator,G1,,,
//! ```
//! ```csv
//! # system: 230V50Hz
//! tag,kind,fed_from,rating_a,run_w,bonded
//! X1,shore-inlet,,16,,no
//! P1,polarity-indicator,X1,,,
//! ```
//!
//! # Cure
//! Do not read the indicator while this source feeds.

use super::BOND_NOT_KNOWN;
use crate::survey::rules::prelude::*;

rule! {
    id: "floating-source-polarity",
    severity: Severity::Notice,
    sets: BOTH,
    demand: "A polarity indicator is read on a bonded source alone.",
    source: "Common practice, no source",
    mark: Mark::CommonPractice,
    cure: Cure::Words("Do not read the indicator while this source feeds."),
    needs_figures: false,
}

fn check(cx: &Context<'_>, report: &mut Report) {
    for (id, part) in cx.of_kind(PartKind::PolarityIndicator) {
        let Some(up) = cx.upstream(id).filter(|up| up.transformer.is_none()) else { continue };
        match cx.part(up.root).filter(|p| p.kind != PartKind::ShoreInlet).map(|p| p.bonded) {
            Some(Some(false)) => {
                let message =
                    format!("{} means nothing while {} feeds: its neutral floats.", part.name(), cx.tag(up.root));
                report.add(INFO.finding([id, up.root], message));
            }
            Some(None) => report.not_checked(&INFO, [up.root], BOND_NOT_KNOWN),
            Some(Some(true)) | None => {}
        }
    }
}
