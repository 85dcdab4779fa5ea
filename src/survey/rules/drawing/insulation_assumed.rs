//! Cables whose insulation rating is assumed.
//!
//! # What it finds
//! Cables of a stated size whose insulation temperature is not stated; the usual one of the system is taken.
//!
//! # Why it matters
//! What a cable may carry follows from its insulation, in an engine space by a factor of nearly two.
//!
//! # Source of the limit
//! The defaults are this program's own: 75 °C at 60 Hz, 70 °C at 50 Hz.
//!
//! # Fires
//! ```csv
//! # system: 120V60Hz
//! tag,kind,fed_from,rating_a,run_w,conductor,length_m,insulation_c
//! G1,generator,,30,3000,,,
//! E1,appliance,G1,,100,14 AWG,3,
//! ```
//! ```csv
//! # system: 230V50Hz
//! tag,kind,fed_from,rating_a,run_w,conductor,length_m,insulation_c
//! G1,generator,,13,3000,,,
//! E1,appliance,G1,,100,1.5 mm2,3,
//! ```
//!
//! # Must not fire
//! ```csv
//! # system: 120V60Hz
//! tag,kind,fed_from,rating_a,run_w,conductor,length_m,insulation_c
//! G1,generator,,30,3000,,,
//! E1,appliance,G1,,100,14 AWG,3,105
//! ```
//! ```csv
//! # system: 230V50Hz
//! tag,kind,fed_from,rating_a,run_w,conductor,length_m,insulation_c
//! G1,generator,,13,3000,,,
//! E1,appliance,G1,,100,1.5 mm2,3,70
//! ```
//!
//! # Cure
//! Read the print on the sheath and enter it.

use crate::survey::rules::prelude::*;

rule! {
    id: "insulation-assumed",
    severity: Severity::Notice,
    sets: BOTH,
    demand: "Every cable's insulation rating is stated.",
    source: "Common practice, no source",
    mark: Mark::CommonPractice,
    cure: Cure::Words("Read the print on the sheath and enter it."),
    needs_figures: false,
}

fn check(cx: &Context<'_>, report: &mut Report) {
    let bare = cx.cables().filter(|(_, c)| c.data.size().is_some() && c.data.insulation_c.is_none());
    let (cables, mut parts): (Vec<_>, Vec<PartId>) = bare.map(|(id, c)| (id, c.to)).unzip();
    parts.dedup();
    if let Some((_, first)) = cables.first().and_then(|&id| cx.cable(id)).map(|c| (c.to, c)) {
        let message = format!(
            "The insulation of {} is not stated; {} °C is taken. To {}.",
            words::count(cables.len(), "cable", "cables"),
            first.data.insulation_c(cx.system()),
            words::tags(cx, &parts)
        );
        report.add(INFO.finding(parts, message).on(cables));
    }
}
