//! A source delivers more than its running rating.
//!
//! # What it finds
//! A generator, an inverter, or a shore supply with stated watts, that delivers more than it can do for long.
//!
//! # Why it matters
//! A generator overheats or sags in speed and volts, an inverter switches itself off.
//!
//! # Source of the limit
//! The source's own running rating: common practice.
//!
//! # Fires
//! ```csv
//! # system: 120V60Hz
//! tag,kind,fed_from,rating_a,run_w,conductor,length_m
//! G1,generator,,20,1600,,
//! E1,appliance,G1,,1600.001,none,
//! ```
//! ```csv
//! # system: 230V50Hz
//! tag,kind,fed_from,rating_a,run_w,conductor,length_m
//! T1,inverter,,20,2000,,
//! E1,appliance,T1,,2000.001,none,
//! ```
//!
//! # Must not fire
//! ```csv
//! # system: 120V60Hz
//! tag,kind,fed_from,rating_a,run_w,conductor,length_m
//! G1,generator,,20,1600,,
//! E1,appliance,G1,,1600,none,
//! ```
//! ```csv
//! # system: 230V50Hz
//! tag,kind,fed_from,rating_a,run_w,conductor,length_m
//! T1,inverter,,20,2000,,
//! E1,appliance,T1,,2000,none,
//! ```
//!
//! # Boundary
//! ```csv
//! # system: 120V60Hz
//! tag,kind,fed_from,rating_a,run_w,conductor,length_m
//! G1,generator,,20,1600,,
//! E1,appliance,G1,,{1600 -> 1600.001},none,
//! ```
//! ```csv
//! # system: 230V50Hz
//! tag,kind,fed_from,rating_a,run_w,conductor,length_m
//! T1,inverter,,20,2000,,
//! E1,appliance,T1,,{2000 -> 2000.001},none,
//! ```
//!
//! # Cure
//! Less at once, or a larger source.

use super::LOWER_BOUND;
use crate::survey::rules::prelude::*;

rule! {
    id: "source-running",
    severity: Severity::Warning,
    sets: BOTH,
    demand: "A source delivers no more than its continuous (running) watts.",
    source: "Running rating of the source; common practice, no source",
    mark: Mark::CommonPractice,
    cure: Cure::Words("Run less at once on this source, or choose a larger one."),
    needs_figures: true,
}

fn check(cx: &Context<'_>, report: &mut Report) {
    for (&source, flow) in &cx.solution().sources {
        let Some(part) = cx.part(source) else { continue };
        // A shore supply is judged by its inlet's amperes unless its watts are stated.
        if part.kind == PartKind::ShoreInlet && part.run_w.is_none() {
            continue;
        }
        let Some(limit) = part.run_w(cx.system()) else {
            report.not_checked(&INFO, [source], "its running watts are not known");
            continue;
        };
        match flow.watts {
            Some(watts) if above(watts, limit) => {
                let (shown, rated) = words::pair(watts, limit, "W");
                let message = format!(
                    "{} delivers {shown}; it can run at {rated} ({}).",
                    part.name(),
                    words::share(watts, limit)
                );
                report.add(INFO.finding([source], message).measured(watts, limit, "W"));
            }
            _ if cx.unknown_loads(source) > 0 => report.not_checked(&INFO, [source], LOWER_BOUND),
            _ => {}
        }
    }
}
