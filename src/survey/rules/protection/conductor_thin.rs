//! A conductor below the least size.
//!
//! # What it finds
//! A cable below 18 AWG in a sheath, or below 16 AWG without one.
//!
//! # Why it matters
//! Thin wire breaks under vibration and at its ends.
//!
//! # Source of the limit
//! 33 CFR 183.425(d), (e) and (f); mm² is compared by area.
//!
//! # Fires
//! ```csv
//! # system: 120V60Hz
//! tag,kind,fed_from,rating_a,run_w,conductor,length_m,sheathed
//! G1,generator,,30,3000,,,
//! E1,appliance,G1,,100,18 AWG,3,no
//! ```
//! ```csv
//! # system: 120V60Hz
//! tag,kind,fed_from,rating_a,run_w,conductor,length_m,sheathed
//! G1,generator,,30,3000,,,
//! E1,appliance,G1,,100,0.75 mm2,3,yes
//! ```
//!
//! # Must not fire
//! ```csv
//! # system: 120V60Hz
//! tag,kind,fed_from,rating_a,run_w,conductor,length_m,sheathed
//! G1,generator,,30,3000,,,
//! E1,appliance,G1,,100,18 AWG,3,yes
//! ```
//! ```csv
//! # system: 120V60Hz
//! tag,kind,fed_from,rating_a,run_w,conductor,length_m,sheathed
//! G1,generator,,30,3000,,,
//! E1,appliance,G1,,100,16 AWG,3,no
//! ```
//!
//! # Boundary
//! ```csv
//! # system: 120V60Hz
//! tag,kind,fed_from,rating_a,run_w,conductor,length_m,sheathed
//! G1,generator,,30,3000,,,
//! E1,appliance,G1,,100,{16 AWG -> 18 AWG},3,no
//! ```
//!
//! # Cure
//! Fit at least that size.

use super::area_mm2;
use crate::installation::Size;
use crate::survey::rules::prelude::*;

rule! {
    id: "conductor-thin",
    severity: Severity::Caution,
    sets: &[RuleSet::Us],
    demand: "A conductor is at least 16 AWG on its own, 18 AWG in a sheath.",
    source: "33 CFR 183.425(d) and (e)",
    mark: Mark::Read,
    cure: Cure::Words("Fit at least that size."),
    needs_figures: false;
    edits: change::thicker_of
}

fn check(cx: &Context<'_>, report: &mut Report) {
    for (id, cable) in cx.cables() {
        let Some(size) = cable.data.size() else { continue };
        let least = Size::Awg(if cable.data.sheathed { 18 } else { 16 });
        if below(area_mm2(size), area_mm2(least)) {
            let how = if cable.data.sheathed { "in a sheath" } else { "on its own" };
            let message = format!("The cable to {} is {size}; {how} the least is {least}.", cx.name(cable.to));
            let finding = INFO.finding([cable.to], message).on([id]);
            report.add(finding.measured(area_mm2(size), area_mm2(least), "mm²"));
        }
    }
}
