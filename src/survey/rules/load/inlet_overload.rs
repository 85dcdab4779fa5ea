//! A shore inlet carries more than its rating.
//!
//! # What it finds
//! A shore inlet whose current is above its rated current, which is also that of its plug and cord.
//!
//! # Why it matters
//! Inlets and plugs burn at their contacts; it is a common cause of fires on boats at the dock.
//!
//! # Source of the limit
//! The inlet's own rating; ABYC E-11 and ISO 13297, from memory: nothing in the shore connection carries more than its
//! rating.
//!
//! # Fires
//! ```csv
//! # system: 120V60Hz
//! tag,kind,fed_from,rating_a,run_w,conductor,length_m
//! X1,shore-inlet,,30,,,
//! E1,appliance,X1,,3600.01,none,
//! ```
//! ```csv
//! # system: 230V50Hz
//! tag,kind,fed_from,rating_a,run_w,conductor,length_m
//! X1,shore-inlet,,16,,,
//! E1,appliance,X1,,3680.01,none,
//! ```
//!
//! # Must not fire
//! ```csv
//! # system: 120V60Hz
//! tag,kind,fed_from,rating_a,run_w,conductor,length_m
//! X1,shore-inlet,,30,,,
//! E1,appliance,X1,,3600,none,
//! ```
//! ```csv
//! # system: 230V50Hz
//! tag,kind,fed_from,rating_a,run_w,conductor,length_m
//! X1,shore-inlet,,16,,,
//! E1,appliance,X1,,3680,none,
//! ```
//!
//! # Boundary
//! ```csv
//! # system: 120V60Hz
//! tag,kind,fed_from,rating_a,run_w,conductor,length_m
//! X1,shore-inlet,,30,,,
//! E1,appliance,X1,,{3600 -> 3600.01},none,
//! ```
//! ```csv
//! # system: 230V50Hz
//! tag,kind,fed_from,rating_a,run_w,conductor,length_m
//! X1,shore-inlet,,16,,,
//! E1,appliance,X1,,{3680 -> 3680.01},none,
//! ```
//!
//! # Cure
//! Less at once on shore power, or a larger inlet with plug, cord and main breaker to match.

use super::overloaded;
use crate::survey::rules::prelude::*;

rule! {
    id: "inlet-overload",
    severity: Severity::Warning,
    sets: BOTH,
    demand: "A shore inlet, its plug and its cord carry no more than their rating.",
    source: "Rating of the inlet; ABYC E-11, ISO 13297",
    mark: Mark::Memory,
    cure: Cure::Words("Run less at once on shore power."),
    needs_figures: true,
}

fn check(cx: &Context<'_>, report: &mut Report) {
    let inlets = cx.of_kind(PartKind::ShoreInlet).filter(|(id, _)| cx.is_fed(*id));
    let inlets: Vec<_> = inlets.map(|(id, part)| (id, part.rating_a, cx.amps(id))).collect();
    for found in overloaded(cx, report, &INFO, inlets) {
        let (amps, rating) = words::pair(found.amps, found.rating_a, "A");
        let message = format!(
            "{} carries {amps}; inlet, plug and cord are rated {rating} ({}).",
            cx.name(found.part),
            words::share(found.amps, found.rating_a)
        );
        report.add(INFO.finding([found.part], message).measured(found.amps, found.rating_a, "A"));
    }
}
