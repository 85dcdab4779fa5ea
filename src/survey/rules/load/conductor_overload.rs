//! A cable carries more than its conductor may.
//!
//! # What it finds
//! A cable whose current in this condition, the neutral's included, is above what its conductor may carry after the
//! corrections for insulation, engine space and bundling.
//!
//! # Why it matters
//! The insulation ages by the hour and then burns; in an engine space it is the hidden start of a fire.
//!
//! # Source of the limit
//! US: 33 CFR 183.425(b) with table 5. International: ISO 13297 annex A, from memory. The NEC's table for three conductors in
//! a raceway is lower (6 AWG at 75 °C: 65 A against 95 A) and is not used. Bundling: 33 CFR starts at three conductors,
//! the NEC at four, IEC 60364 counts circuits; the rule set's own is used, and the finding says so.
//!
//! # Fires
//! ```csv
//! # system: 120V60Hz
//! tag,kind,fed_from,rating_a,run_w,conductor,length_m,insulation_c,space
//! G1,generator,,60,9000,,,,
//! E1,appliance,G1,,3000.01,12 AWG,0.001,75,
//! ```
//! ```csv
//! # system: 120V60Hz
//! tag,kind,fed_from,rating_a,run_w,conductor,length_m,insulation_c,space
//! G1,generator,,60,9000,,,,
//! E1,appliance,G1,,2000,12 AWG,3,60,engine-space
//! ```
//! ```csv
//! # system: 230V50Hz
//! tag,kind,fed_from,rating_a,run_w,conductor,length_m,insulation_c,space
//! G1,generator,,60,9000,,,,
//! E1,appliance,G1,,6000,1.5 mm2,1,70,
//! ```
//!
//! # Must not fire
//! ```csv
//! # system: 120V60Hz
//! tag,kind,fed_from,rating_a,run_w,conductor,length_m,insulation_c,space
//! G1,generator,,60,9000,,,,
//! E1,appliance,G1,,2999.9,12 AWG,0.001,75,
//! ```
//! ```csv
//! # system: 120V60Hz
//! tag,kind,fed_from,rating_a,run_w,conductor,length_m,insulation_c,space
//! G1,generator,,60,9000,,,,
//! E1,appliance,G1,,2000,12 AWG,3,60,galley
//! ```
//! ```csv
//! # system: 230V50Hz
//! tag,kind,fed_from,rating_a,run_w,conductor,length_m,insulation_c,space
//! G1,generator,,60,9000,,,,
//! E1,appliance,G1,,2000,1.5 mm2,1,70,
//! ```
//!
//! # Boundary
//! ```csv
//! # system: 120V60Hz
//! tag,kind,fed_from,rating_a,run_w,conductor,length_m,insulation_c
//! G1,generator,,60,9000,,,
//! E1,appliance,G1,,{3000 -> 3001},12 AWG,0,75
//! ```
//! ```csv
//! # system: 230V50Hz
//! tag,kind,fed_from,rating_a,run_w,conductor,length_m,insulation_c
//! G1,generator,,60,9000,,,
//! E1,appliance,G1,,{4140 -> 4141},1.5 mm2,0,70
//! ```
//!
//! # Cure
//! Run less at once over this cable, or fit a thicker one.

use super::LOWER_BOUND;
use crate::survey::rules::prelude::*;

rule! {
    id: "conductor-overload",
    severity: Severity::Warning,
    sets: BOTH,
    demand: "Apart from brief surges a conductor carries no more than its allowed current.",
    source: "33 CFR 183.425(b); ISO 13297 annex A",
    mark: Mark::Read,
    cure: Cure::Words("Run less at once over this cable, or fit a thicker one."),
    needs_figures: true;
    edits: change::thicker_of
}

fn check(cx: &Context<'_>, report: &mut Report) {
    for (&id, flow) in &cx.solution().cables {
        let Some(cable) = cx.cable(id).filter(|c| c.data.is_fitted()) else { continue };
        let Some(limit) = cx.ampacity(id) else {
            report.not_checked(&INFO, [cable.to], cx.why_no_ampacity(id));
            continue;
        };
        let Some(currents) = flow.currents else { continue };
        let amps = currents.larger().max(currents.n.norm());
        if above(amps, limit.amps) {
            let (shown, most) = words::pair(amps, limit.amps, "A");
            let message = format!(
                "The cable to {} carries {shown}; its conductor may carry {most} ({}).",
                cx.name(cable.to),
                words::basis(cx, cable, limit)
            );
            let finding = INFO.finding([cable.to], message).on([id]).measured(amps, limit.amps, "A");
            report.add(finding.by(limit.source.clone(), limit.mark).not_using(words::other_ampacity(cx, limit)));
        } else if cx.unknown_loads(cable.to) > 0 {
            report.not_checked(&INFO, [cable.to], LOWER_BOUND);
        }
    }
    for (&inlet, flow) in &cx.solution().cords {
        let Some(part) = cx.part(inlet).filter(|p| p.cord.is_fitted()) else { continue };
        match (cx.cord_ampacity(inlet), flow.currents) {
            (Ok(limit), Some(currents)) => {
                let amps = currents.larger().max(currents.n.norm());
                if above(amps, limit.amps) {
                    let (shown, most) = words::pair(amps, limit.amps, "A");
                    let message = format!("The shore cord of {} carries {shown}; it may carry {most}.", part.name());
                    let finding = INFO.finding([inlet], message).measured(amps, limit.amps, "A");
                    report
                        .add(finding.by(limit.source.clone(), limit.mark).not_using(words::other_ampacity(cx, &limit)));
                }
            }
            (Err(why), _) => report.not_checked(&INFO, [inlet], format!("of its cord: {why}")),
            _ => {}
        }
    }
}
