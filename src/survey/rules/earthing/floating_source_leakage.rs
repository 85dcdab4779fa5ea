//! Leakage protection behind a floating source.
//!
//! # What it finds
//! A source that feeds with its neutral not joined to earth while ground-fault or residual-current devices behind
//! it are relied on.
//!
//! # Why it matters
//! With a floating neutral the first fault gives the leakage current no way back: the device has nothing to see,
//! though its test button works.
//!
//! # Source of the limit
//! Common practice; from memory that small portable sets often have a floating neutral.
//!
//! # Fires
//! ```csv
//! # system: 120V60Hz
//! tag,kind,fed_from,rating_a,run_w,bonded,protection,conductor
//! G1,generator,,20,2000,no,,
//! Q1,breaker,G1,15,,,gfci,none
//! ```
//! ```csv
//! # system: 230V50Hz
//! tag,kind,fed_from,rating_a,run_w,bonded,protection,conductor
//! T1,inverter,,10,2000,no,,
//! Q1,breaker,T1,10,,,rcd10,none
//! ```
//!
//! # Must not fire
//! ```csv
//! # system: 120V60Hz
//! tag,kind,fed_from,rating_a,run_w,bonded,protection,conductor
//! G1,generator,,20,2000,yes,,
//! Q1,breaker,G1,15,,,gfci,none
//! ```
//! ```csv
//! # system: 230V50Hz
//! tag,kind,fed_from,rating_a,run_w,bonded,protection,conductor
//! T1,inverter,,10,2000,no,,
//! Q1,breaker,T1,10,,,,none
//! ```
//!
//! # Cure
//! Bonding is for the electrician: measure which neutral is joined to earth, and where, before anything is changed.

use super::BOND_NOT_KNOWN;
use crate::survey::rules::prelude::*;

rule! {
    id: "floating-source-leakage",
    severity: Severity::Caution,
    sets: BOTH,
    demand: "Leakage protection has a bonded source ahead of it.",
    source: "Common practice, no source",
    mark: Mark::CommonPractice,
    cure: Cure::Words("Bonding is for the electrician: measure which neutral is joined to earth, and where, before anything is changed."),
    needs_figures: false,
}

fn check(cx: &Context<'_>, report: &mut Report) {
    for &source in &cx.walk().roots {
        let Some(part) = cx.part(source).filter(|p| p.kind != PartKind::ShoreInlet && p.bonded != Some(true)) else {
            continue;
        };
        let fed_here = |id: PartId| cx.upstream(id).is_some_and(|up| up.root == source && up.transformer.is_none());
        let devices: Vec<PartId> =
            cx.parts().filter(|(id, p)| p.protection.trip_ma().is_some() && fed_here(*id)).map(|(id, _)| id).collect();
        if !devices.is_empty() && part.bonded.is_none() {
            report.not_checked(&INFO, [source], BOND_NOT_KNOWN);
        } else if !devices.is_empty() {
            let message = format!(
                "{} feeds with a floating neutral: {} may not see a first fault.",
                part.name(),
                words::tags(cx, &devices)
            );
            report.add(INFO.finding(std::iter::once(source).chain(devices), message));
        }
    }
}
