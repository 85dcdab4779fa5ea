//! Cables of unknown size or length.
//!
//! # What it finds
//! Cables whose size or length is not stated, gathered in one finding.
//!
//! # Why it matters
//! Their drop, their loss and what they may carry are not in the figures, and an electrician cannot order them.
//!
//! # Source of the limit
//! Common practice: a drawing names every cable.
//!
//! # Fires
//! ```csv
//! # system: 120V60Hz
//! tag,kind,fed_from,rating_a,run_w,conductor,length_m
//! G1,generator,,30,3000,,
//! E1,appliance,G1,,100,14 AWG,
//! ```
//! ```csv
//! # system: 230V50Hz
//! tag,kind,fed_from,rating_a,run_w,conductor,length_m
//! G1,generator,,13,3000,,
//! E1,appliance,G1,,100,,3
//! ```
//!
//! # Must not fire
//! ```csv
//! # system: 120V60Hz
//! tag,kind,fed_from,rating_a,run_w,conductor,length_m
//! G1,generator,,30,3000,,
//! E1,appliance,G1,,100,14 AWG,3
//! ```
//! ```csv
//! # system: 230V50Hz
//! tag,kind,fed_from,rating_a,run_w,conductor,length_m
//! G1,generator,,13,3000,,
//! E1,appliance,G1,,100,none,
//! ```
//!
//! # Cure
//! Measure the run and read the print on the sheath.

use crate::survey::rules::prelude::*;

rule! {
    id: "cable-data-missing",
    severity: Severity::Notice,
    sets: BOTH,
    demand: "Every cable has a size and a length.",
    source: "Common practice, no source",
    mark: Mark::CommonPractice,
    cure: Cure::Words("Measure the run and read the print on the sheath."),
    needs_figures: false,
}

fn check(cx: &Context<'_>, report: &mut Report) {
    let (cables, mut parts): (Vec<_>, Vec<PartId>) =
        cx.cables().filter(|(_, c)| !c.data.is_known()).map(|(id, c)| (id, c.to)).unzip();
    parts.dedup();
    if !parts.is_empty() {
        let message = format!(
            "Size or length not known for {}: to {}.",
            words::count(cables.len(), "cable", "cables"),
            words::tags(cx, &parts)
        );
        report.add(INFO.finding(parts, message).on(cables));
    }
}
