//! A generator that is worked hard in a hot space.
//!
//! # What it finds
//! A generator in an engine space that delivers more than 80 % of its running watts.
//!
//! # Why it matters
//! Ratings hold at 40 °C. In an engine space it is hotter: the set gives less, trips, or does not last.
//!
//! # Source of the limit
//! 46 CFR 183.320(b)(2), small passenger vessels: a generator built for 40 °C gives 80 % at 50 °C. Good practice elsewhere, in
//! both rule sets.
//!
//! # Fires
//! ```csv
//! # system: 120V60Hz
//! tag,kind,fed_from,space,run_w,load_kind
//! G1,generator,,engine-space,1000,
//! E1,appliance,G1,galley,900,impedance
//! ```
//! ```csv
//! # system: 230V50Hz
//! tag,kind,fed_from,space,run_w,load_kind
//! G1,generator,,engine-space,1000,
//! E1,appliance,G1,galley,900,impedance
//! ```
//!
//! # Must not fire
//! ```csv
//! # system: 120V60Hz
//! tag,kind,fed_from,space,run_w,load_kind
//! G1,generator,,lazarette,1000,
//! E1,appliance,G1,galley,900,impedance
//! ```
//! ```csv
//! # system: 230V50Hz
//! tag,kind,fed_from,space,run_w,load_kind
//! G1,generator,,engine-space,1000,
//! E1,appliance,G1,galley,500,impedance
//! ```
//!
//! # Boundary
//! ```csv
//! # system: 120V60Hz
//! tag,kind,fed_from,space,run_w,conductor
//! G1,generator,,engine-space,1000,
//! E1,appliance,G1,galley,{800 -> 801},none
//! ```
//! ```csv
//! # system: 230V50Hz
//! tag,kind,fed_from,space,run_w,conductor
//! G1,generator,,engine-space,1000,
//! E1,appliance,G1,galley,{800 -> 801},none
//! ```
//!
//! # Cure
//! Run less at once on it, or find out what it gives at the temperature of its space.

use crate::survey::rules::prelude::*;

rule! {
    id: "generator-hot",
    severity: Severity::Caution,
    sets: BOTH,
    demand: "A generator in an engine space delivers no more than 80 % of its running watts.",
    source: "46 CFR 183.320(b)(2) (small passenger vessels; good practice elsewhere)",
    mark: Mark::Read,
    cure: Cure::Words("Run less at once on it, or find out what it gives at the temperature of its space."),
    needs_figures: true,
}

/// Share of the running watts at 50 °C.
const SHARE: f64 = 0.8;

fn check(cx: &Context<'_>, report: &mut Report) {
    for (&source, flow) in &cx.solution().sources {
        let hot = cx.space(source) == SpaceKind::EngineSpace;
        let Some(part) = cx.part(source).filter(|p| hot && p.kind == PartKind::Generator) else { continue };
        let (Some(rating), Some(watts)) = (part.run_w, flow.watts) else { continue };
        // Above its rating it is an overload, which has a rule of its own.
        if above(watts, SHARE * rating) && !above(watts, rating) {
            let (shown, most) = words::pair(watts, SHARE * rating, "W");
            let message = format!(
                "{} delivers {shown} in an engine space; at 50 °C a set built for 40 °C gives {most} (80 %).",
                part.name()
            );
            report.add(INFO.finding([source], message).measured(watts, SHARE * rating, "W"));
        }
    }
}
