//! A conductor below the smallest size of the international standard.
//!
//! # What it finds
//! A conductor below 1 mm² on its own, 0.75 mm² in a sheath.
//!
//! # Why it matters
//! It breaks where it is handled and where the boat shakes.
//!
//! # Source of the limit
//! ISO 13297, from memory. IEC 60364-5-52 table 52.2 (from memory) asks for 1.5 mm² in fixed circuits ashore: the two
//! differ, and ISO 13297 is used. An AWG size is compared by area.
//!
//! # Fires
//! ```csv
//! # system: 230V50Hz
//! tag,kind,fed_from,run_w,conductor,length_m,sheathed
//! G1,generator,,1000,,,
//! E1,appliance,G1,50,0.75 mm2,3,no
//! ```
//!
//! # Must not fire
//! ```csv
//! # system: 230V50Hz
//! tag,kind,fed_from,run_w,conductor,length_m,sheathed
//! G1,generator,,1000,,,
//! E1,appliance,G1,50,1.5 mm2,3,no
//! ```
//!
//! # Boundary
//! ```csv
//! # system: 230V50Hz
//! tag,kind,fed_from,run_w,conductor,length_m,sheathed
//! G1,generator,,1000,,,
//! E1,appliance,G1,50,{0.75 mm2 -> 0.5 mm2},3,yes
//! ```
//! ```csv
//! # system: 230V50Hz
//! tag,kind,fed_from,run_w,conductor,length_m,sheathed
//! G1,generator,,1000,,,
//! E1,appliance,G1,50,{1 mm2 -> 0.75 mm2},3,no
//! ```
//!
//! # Cure
//! Fit at least that size.

use super::area_mm2;
use crate::survey::rules::prelude::*;

rule! {
    id: "conductor-thin-iso",
    severity: Severity::Caution,
    sets: &[RuleSet::International],
    demand: "A conductor is at least 1 mm² on its own, 0.75 mm² in a sheath.",
    source: "ISO 13297",
    mark: Mark::Memory,
    cure: Cure::Words("Fit at least that size."),
    needs_figures: false;
    edits: change::thicker_of
}

fn check(cx: &Context<'_>, report: &mut Report) {
    for (id, cable) in cx.cables() {
        let Some(size) = cable.data.size() else { continue };
        let (least, how) = if cable.data.sheathed { (0.75, "in a sheath") } else { (1.0, "on its own") };
        if below(area_mm2(size), least) {
            let message = format!(
                "The cable to {} is {}; {how} the least is {} mm².",
                cx.name(cable.to),
                size.to_string().replace("mm2", "mm²"),
                crate::units::trimmed(least, 2)
            );
            report.add(INFO.finding([cable.to], message).on([id]).measured(area_mm2(size), least, "mm²"));
        }
    }
}
