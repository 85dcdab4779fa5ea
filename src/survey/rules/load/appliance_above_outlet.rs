//! An appliance that is too much for its outlet.
//!
//! # What it finds
//! An appliance plugged into an outlet of a lower rating than its own running current, whether it is on or off.
//!
//! # Why it matters
//! Plug and outlet overheat at their contacts; the breaker, if it is larger, does not mind.
//!
//! # Source of the limit
//! NEC (NFPA 70) 210.21(B), from memory; the rating on the outlet.
//!
//! # Fires
//! ```csv
//! # system: 120V60Hz
//! # feeding: off
//! tag,kind,fed_from,rating_a,run_w
//! G1,generator,,20,2000
//! X1,outlet,G1,10,
//! E1,appliance,X1,,1500
//! ```
//! ```csv
//! # system: 230V50Hz
//! tag,kind,fed_from,rating_a,run_w,on
//! G1,generator,,20,4000,
//! X1,outlet,G1,10,,
//! E1,appliance,X1,,3000,no
//! ```
//!
//! # Must not fire
//! ```csv
//! # system: 120V60Hz
//! # feeding: off
//! tag,kind,fed_from,rating_a,run_w
//! G1,generator,,20,2000
//! X1,outlet,G1,15,
//! E1,appliance,X1,,1500
//! ```
//! ```csv
//! # system: 230V50Hz
//! tag,kind,fed_from,rating_a,run_w,on
//! G1,generator,,20,4000,
//! X1,outlet,G1,16,,
//! E1,appliance,X1,,3000,no
//! ```
//!
//! # Boundary
//! ```csv
//! # system: 120V60Hz
//! tag,kind,fed_from,rating_a,run_w
//! G1,generator,,20,2000
//! X1,outlet,G1,10,
//! E1,appliance,X1,,{1200 -> 1201}
//! ```
//! ```csv
//! # system: 230V50Hz
//! tag,kind,fed_from,rating_a,run_w,on
//! G1,generator,,20,4000,
//! X1,outlet,G1,10,,
//! E1,appliance,X1,,{2300 -> 2301},no
//! ```
//!
//! # Cure
//! An outlet of a higher rating, where cable and breaker carry it, or a smaller appliance.

use crate::survey::rules::prelude::*;

rule! {
    id: "appliance-above-outlet",
    severity: Severity::Caution,
    sets: BOTH,
    demand: "An appliance draws no more than its outlet is rated for.",
    source: "NEC (NFPA 70) 210.21(B); rating of the outlet",
    mark: Mark::Memory,
    cure: Cure::Words("An outlet of a higher rating, where cable and breaker carry it, or a smaller appliance."),
    needs_figures: false,
}

fn check(cx: &Context<'_>, report: &mut Report) {
    for (id, part) in cx.of_kind(PartKind::Appliance) {
        for cable in cx.arriving(id).iter().filter_map(|&c| cx.cable(c)) {
            let Some(outlet) = cx.part(cable.from).filter(|p| p.kind == PartKind::Outlet) else { continue };
            let (Some(watts), Some(rating)) = (part.run_w, outlet.rating_a) else {
                report.not_checked(&INFO, [id], "its running power or the rating of its outlet is not known");
                continue;
            };
            let amps = watts / part.pf() / cx.nominal_v(cx.leg(id));
            if above(amps, rating) {
                let (shown, most) = words::pair(amps, rating, "A");
                let message = format!("{} draws {shown}; outlet {} is rated {most}.", part.name(), outlet.name());
                report.add(INFO.finding([id, cable.from], message).measured(amps, rating, "A"));
            }
        }
    }
}
