//! Little headroom on a source.
//!
//! # What it finds
//! A generator or inverter that runs above 80 % of its running watts, and not above all of them.
//!
//! # Why it matters
//! Heat, height and age take their share of the label, and nothing is left for the next start.
//!
//! # Source of the limit
//! Common practice, no source: leave 20 % free.
//!
//! # Fires
//! ```csv
//! # system: 120V60Hz
//! tag,kind,fed_from,rating_a,run_w,conductor,label
//! G1,generator,,30,1000,,
//! E1,appliance,G1,,800.001,none,
//! ```
//! ```csv
//! # system: 230V50Hz
//! tag,kind,fed_from,rating_a,run_w,conductor,label
//! T1,inverter,,30,1000,,
//! E1,appliance,T1,,1000,none,
//! ```
//!
//! # Must not fire
//! ```csv
//! # system: 120V60Hz
//! tag,kind,fed_from,rating_a,run_w,conductor,label
//! G1,generator,,30,1000,,
//! E1,appliance,G1,,800,none,
//! ```
//! ```csv
//! # system: 230V50Hz
//! tag,kind,fed_from,rating_a,run_w,conductor,label
//! X1,shore-inlet,,5,,,
//! E1,appliance,X1,,1000,none,
//! ```
//!
//! # Boundary
//! ```csv
//! # system: 120V60Hz
//! tag,kind,fed_from,run_w,conductor
//! G1,generator,,1000,
//! E1,appliance,G1,{800 -> 801},none
//! ```
//! ```csv
//! # system: 230V50Hz
//! tag,kind,fed_from,run_w,conductor
//! T1,inverter,,1000,
//! E1,appliance,T1,{800 -> 801},none
//! ```
//!
//! # Cure
//! Run less at once, or know that a start may be too much.

use crate::survey::rules::prelude::*;

rule! {
    id: "source-headroom",
    severity: Severity::Notice,
    sets: BOTH,
    demand: "A source keeps 20 % of its running watts free.",
    source: "Common practice, no source",
    mark: Mark::CommonPractice,
    cure: Cure::Words("Run less at once, or know that a start may be too much."),
    needs_figures: true,
}

/// Share of the running watts.
const SHARE: f64 = 0.8;

fn check(cx: &Context<'_>, report: &mut Report) {
    for (&source, flow) in &cx.solution().sources {
        let Some(part) = cx.part(source).filter(|p| p.kind != PartKind::ShoreInlet) else { continue };
        // A generator in an engine space has a rule of its own, at the same share.
        if part.kind == PartKind::Generator && cx.space(source) == SpaceKind::EngineSpace {
            continue;
        }
        let (Some(rating), Some(watts)) = (part.run_w, flow.watts) else { continue };
        if above(watts, SHARE * rating) && !above(watts, rating) {
            let (shown, most) = words::pair(watts, SHARE * rating, "W");
            let message = format!("{} delivers {shown}, more than 80 % of its running watts ({most}).", part.name());
            report.add(INFO.finding([source], message).measured(watts, SHARE * rating, "W"));
        }
    }
}
