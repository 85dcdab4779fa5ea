//! A panel fed through an outlet.
//!
//! # What it finds
//! A panel, selector or breaker that is fed from an outlet.
//!
//! # Why it matters
//! An outlet takes a plug with bare pins: pulled out, the pins of a cord that feeds back are live. No interlock keeps
//! another source from feeding at the same time.
//!
//! # Source of the limit
//! Public generator safety guidance (state, electric cooperative, mine safety): never feed a panel through a
//! receptacle.
//!
//! # Fires
//! ```csv
//! # system: 120V60Hz
//! tag,kind,fed_from,rating_a,run_w,conductor,length_m
//! G1,generator,,20,2000,,
//! X2,outlet,G1,20,,none,
//! A1,panel,X2,30,,10 AWG,5
//! E1,appliance,A1,,100,12 AWG,3
//! ```
//! ```csv
//! # system: 230V50Hz
//! tag,kind,fed_from,rating_a,run_w,conductor,length_m
//! G1,generator,,16,2000,,
//! X2,outlet,G1,16,,none,
//! Q1,breaker,X2,16,,2.5 mm2,5
//! E1,appliance,Q1,,100,1.5 mm2,3
//! ```
//!
//! # Must not fire
//! ```csv
//! # system: 120V60Hz
//! tag,kind,fed_from,rating_a,run_w,conductor,length_m
//! G1,generator,,20,2000,,
//! A1,panel,G1,30,,10 AWG,5
//! X2,outlet,A1,20,,12 AWG,3
//! E1,appliance,X2,,100,none,
//! ```
//! ```csv
//! # system: 230V50Hz
//! tag,kind,fed_from,rating_a,run_w,conductor,length_m
//! G1,generator,,16,2000,,
//! Q1,breaker,G1,16,,2.5 mm2,5
//! X2,outlet,Q1,16,,2.5 mm2,3
//! X3,outlet,X2,16,,2.5 mm2,3
//! E1,appliance,X3,,100,none,
//! ```
//!
//! # Cure
//! For the electrician: an inlet and a source selector that lets one source through at a time.

use crate::survey::rules::prelude::*;

rule! {
    id: "backfeed",
    severity: Severity::Danger,
    sets: BOTH,
    demand: "No panel is fed through an outlet.",
    source: "Public generator safety guidance (state, electric cooperative, mine safety)",
    mark: Mark::Read,
    cure: Cure::Words("For the electrician: an inlet and a source selector that lets one source through at a time."),
    needs_figures: false,
}

fn check(cx: &Context<'_>, report: &mut Report) {
    for (id, cable) in cx.cables() {
        let distributes = matches!(cx.kind(cable.to), Some(PartKind::Panel | PartKind::Selector | PartKind::Breaker));
        if distributes && cx.kind(cable.from) == Some(PartKind::Outlet) {
            let message = format!(
                "{} is fed through outlet {}: pulled out, the pins of its plug may be live.",
                cx.name(cable.to),
                cx.name(cable.from)
            );
            report.add(INFO.finding([cable.to, cable.from], message).on([id]));
        }
    }
}
