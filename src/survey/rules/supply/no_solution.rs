//! A load cannot be supplied at all.
//!
//! # What it finds
//! A load of constant power behind so much resistance that no current can bring it its watts: the computation does not
//! settle, and there are no figures for the whole drawing.
//!
//! # Why it matters
//! In the boat the voltage collapses: motors stall, electronics drop out, the cable heats.
//!
//! # Source of the limit
//! Alternating-current theory: behind a resistance R from a voltage U no more than U²/(4R) can be drawn.
//!
//! # Fires
//! ```csv
//! # system: 120V60Hz
//! tag,kind,fed_from,rating_a,run_w,conductor,length_m
//! G1,generator,,30,3000,,
//! E1,appliance,G1,,3000,18 AWG,200
//! ```
//! ```csv
//! # system: 230V50Hz
//! tag,kind,fed_from,rating_a,run_w,conductor,length_m
//! G1,generator,,30,3000,,
//! E1,appliance,G1,,5000,0.5 mm2,200
//! ```
//!
//! # Must not fire
//! ```csv
//! # system: 120V60Hz
//! tag,kind,fed_from,rating_a,run_w,conductor,length_m
//! G1,generator,,30,3000,,
//! E1,appliance,G1,,300,18 AWG,100
//! ```
//! ```csv
//! # system: 230V50Hz
//! tag,kind,fed_from,rating_a,run_w,conductor,length_m
//! G1,generator,,30,3000,,
//! E1,appliance,G1,,300,0.5 mm2,100
//! ```
//!
//! # Cure
//! Thicker or shorter cable, or a smaller load.

use crate::survey::rules::prelude::*;

rule! {
    id: "no-solution",
    severity: Severity::Warning,
    sets: BOTH,
    demand: "Every load can be supplied at its cable's length and size.",
    source: "Limit of power over a resistance, U²/(4R)",
    mark: Mark::Derived,
    cure: Cure::Words("Fit thicker or shorter cable, or a smaller load; check that its watts and the length were typed right."),
    needs_figures: false,
}

fn check(cx: &Context<'_>, report: &mut Report) {
    if let Some(part) = cx.solution().no_solution {
        let message = format!(
            "{} cannot be supplied at this length and size of cable: the computation does not settle, so no figures are shown.",
            cx.name(part)
        );
        report.add(INFO.finding([part], message));
    }
}
