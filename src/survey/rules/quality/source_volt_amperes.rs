//! More volt-amperes than the set is rated for.
//!
//! # What it finds
//! A generator or inverter whose volt-amperes are above its running watts over its rated power factor, while the
//! watts are within.
//!
//! # Why it matters
//! Winding and transistors are heated by current, not by watts: motors and chargers of a poor power factor fill a
//! set that its watt display shows half empty.
//!
//! # Source of the limit
//! The set's own rating, at its stated power factor, 1 where none is stated. Common practice.
//!
//! # Fires
//! ```csv
//! # system: 120V60Hz
//! tag,kind,fed_from,rating_a,run_w,conductor,pf
//! G1,generator,,30,1000,,1
//! E1,appliance,G1,,800.001,none,0.8
//! ```
//! ```csv
//! # system: 230V50Hz
//! tag,kind,fed_from,rating_a,run_w,conductor,pf
//! T1,inverter,,30,1000,,0.8
//! E1,appliance,T1,,625.001,none,0.5
//! ```
//!
//! # Must not fire
//! ```csv
//! # system: 120V60Hz
//! tag,kind,fed_from,rating_a,run_w,conductor,pf
//! G1,generator,,30,1000,,1
//! E1,appliance,G1,,800,none,0.8
//! ```
//! ```csv
//! # system: 230V50Hz
//! tag,kind,fed_from,rating_a,run_w,conductor,pf
//! T1,inverter,,30,1000,,0.8
//! E1,appliance,T1,,625,none,0.5
//! ```
//!
//! # Boundary
//! ```csv
//! # system: 120V60Hz
//! tag,kind,fed_from,rating_a,run_w,conductor,pf
//! G1,generator,,30,1000,,1
//! E1,appliance,G1,,{800 -> 800.001},none,0.8
//! ```
//! ```csv
//! # system: 230V50Hz
//! tag,kind,fed_from,rating_a,run_w,conductor,pf
//! T1,inverter,,30,1000,,0.8
//! E1,appliance,T1,,{625 -> 625.001},none,0.5
//! ```
//!
//! # Cure
//! Run less at once of what has a poor power factor (motors, chargers).

use crate::survey::rules::prelude::*;

rule! {
    id: "source-volt-amperes",
    severity: Severity::Caution,
    sets: BOTH,
    demand: "A source delivers no more volt-amperes than its rating.",
    source: "Running rating of the source; common practice, no source",
    mark: Mark::CommonPractice,
    cure: Cure::Words("Run less at once of what has a poor power factor (motors, chargers)."),
    needs_figures: true,
}

fn check(cx: &Context<'_>, report: &mut Report) {
    for (&source, flow) in &cx.solution().sources {
        let Some(part) = cx.part(source).filter(|p| p.kind != PartKind::ShoreInlet) else { continue };
        let (Some(rating), Some(volt_amps), Some(watts)) = (part.run_w, flow.va, flow.watts) else {
            report.not_checked(&INFO, [source], "its running watts are not known");
            continue;
        };
        let limit = rating / part.pf();
        if above(volt_amps, limit) && !above(watts, rating) {
            let (shown, most) = words::pair(volt_amps, limit, "VA");
            let stated = if part.pf.is_some() { "" } else { " (power factor 1 taken)" };
            let message =
                format!("{} delivers {shown}; it is rated {most}{stated}. Its watts are within.", part.name());
            report.add(INFO.finding([source], message).measured(volt_amps, limit, "VA"));
        }
    }
}
