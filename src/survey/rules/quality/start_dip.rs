//! A start that lets the generator's own voltage dip far.
//!
//! # What it finds
//! A generator whose voltage is estimated to dip by more than 15 % of nominal during the largest start on it.
//!
//! # Why it matters
//! Lights dip, electronics restart, contactors drop out, and the motor itself may not come up. The fall over the cables
//! comes on top, see the rule for it.
//!
//! # Source of the limit
//! 15 %: common practice, no source. The estimate takes a set to dip by 25 % when its whole starting rating is thrown on
//! (ISO 8528-5 class G1, from memory) and in proportion below. Inverters hold their voltage until they switch off and
//! are left out.
//!
//! # Fires
//! ```csv
//! # system: 120V60Hz
//! tag,kind,fed_from,run_w,start_w,load_kind,conductor
//! G1,generator,,5000,6000,,
//! M1,appliance,G1,1000,5500,motor,none
//! ```
//! ```csv
//! # system: 230V50Hz
//! tag,kind,fed_from,run_w,start_w,load_kind,conductor
//! G1,generator,,5000,6000,,
//! M1,appliance,G1,1000,5500,motor,none
//! ```
//!
//! # Must not fire
//! ```csv
//! # system: 120V60Hz
//! tag,kind,fed_from,run_w,start_w,load_kind,conductor
//! G1,generator,,9000,18000,,
//! M1,appliance,G1,1000,5500,motor,none
//! ```
//! ```csv
//! # system: 230V50Hz
//! tag,kind,fed_from,run_w,start_w,load_kind,conductor
//! T1,inverter,,5000,6000,,
//! M1,appliance,T1,1000,5500,motor,none
//! ```
//!
//! # Boundary
//! ```csv
//! # system: 120V60Hz
//! tag,kind,fed_from,run_w,start_w,load_kind,conductor
//! G1,generator,,8000,10000,,
//! M1,appliance,G1,1000,{7000 -> 7001},motor,none
//! ```
//! ```csv
//! # system: 230V50Hz
//! tag,kind,fed_from,run_w,start_w,load_kind,conductor
//! G1,generator,,8000,10000,,
//! M1,appliance,G1,1000,{7000 -> 7001},motor,none
//! ```
//!
//! # Cure
//! A soft starter, or a set with a higher starting rating; start it before anything that minds.

use crate::survey::rules::prelude::*;

rule! {
    id: "start-dip",
    severity: Severity::Notice,
    sets: BOTH,
    demand: "While the largest motor starts, the generator's own voltage dips by 15 % of nominal at most (estimate).",
    source: "Common practice, no source (15 %); ISO 8528-5 class G1 for the dip at the full starting rating",
    mark: Mark::Memory,
    cure: Cure::Words("A soft starter, or a set with a higher starting rating; start it before anything that minds."),
    needs_figures: true,
}

/// Per cent of nominal.
const LIMIT: f64 = 15.0;
/// Dip in per cent when the whole starting rating is thrown on: ISO 8528-5 class G1, from memory.
const FULL_DIP: f64 = 25.0;

fn check(cx: &Context<'_>, report: &mut Report) {
    for &source in cx.solution().sources.keys() {
        let Some(part) = cx.part(source).filter(|p| p.kind == PartKind::Generator) else { continue };
        let Some(start) = cx.largest_start(source) else { continue };
        let Some(rating) = part.start_va.or_else(|| part.start_w(cx.system())) else {
            report.not_checked(&INFO, [source], "its starting rating is not known");
            continue;
        };
        let added = start.added_a * cx.nominal_v(cx.leg(start.appliance));
        let dip = FULL_DIP * added / rating;
        if above(dip, LIMIT) {
            let (shown, most) = words::pair(dip, LIMIT, "%");
            let message = format!(
                "When {} starts, the voltage of {} itself may dip by {shown} (estimate); {most} is the rule of thumb.",
                cx.name(start.appliance),
                part.name()
            );
            report.add(INFO.finding([source, start.appliance], message).measured(dip, LIMIT, "%"));
        }
    }
}
