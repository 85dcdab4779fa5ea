//! A cable of no length.
//!
//! # What it finds
//! A cable of a stated size whose length is given as 0.
//!
//! # Why it matters
//! Nothing drops over it in the figures, which is seldom meant.
//!
//! # Source of the limit
//! Common practice.
//!
//! # Fires
//! ```csv
//! # system: 120V60Hz
//! tag,kind,fed_from,rating_a,run_w,conductor,length_m
//! G1,generator,,30,3000,,
//! E1,appliance,G1,,100,14 AWG,0
//! ```
//! ```csv
//! # system: 230V50Hz
//! tag,kind,fed_from,rating_a,run_w,conductor,length_m
//! G1,generator,,13,3000,,
//! E1,appliance,G1,,100,1.5 mm2,0
//! ```
//!
//! # Must not fire
//! ```csv
//! # system: 120V60Hz
//! tag,kind,fed_from,rating_a,run_w,conductor,length_m
//! G1,generator,,30,3000,,
//! E1,appliance,G1,,100,14 AWG,0.01
//! ```
//! ```csv
//! # system: 230V50Hz
//! tag,kind,fed_from,rating_a,run_w,conductor,length_m
//! G1,generator,,13,3000,,
//! E1,appliance,G1,,100,none,0
//! ```
//!
//! # Cure
//! Enter its length, or none as its conductor where the part is bolted on.

use crate::survey::rules::prelude::*;

rule! {
    id: "length-zero",
    severity: Severity::Notice,
    sets: BOTH,
    demand: "A cable has a length.",
    source: "Common practice, no source",
    mark: Mark::CommonPractice,
    cure: Cure::Words("Enter its length, or none as its conductor where the part is bolted on."),
    needs_figures: false,
}

fn check(cx: &Context<'_>, report: &mut Report) {
    let zero = cx.cables().filter(|(_, c)| c.data.size().is_some() && c.data.length_m == Some(0.0));
    let (cables, parts): (Vec<_>, Vec<PartId>) = zero.map(|(id, c)| (id, c.to)).unzip();
    if !parts.is_empty() {
        let message = format!("A cable of length 0 m leads to {}.", words::tags(cx, &parts));
        report.add(INFO.finding(parts, message).on(cables));
    }
}
