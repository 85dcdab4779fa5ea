//! Cables close a ring.
//!
//! # What it finds
//! Parts that feed each other round in a circle. There are no figures while the drawing holds one.
//!
//! # Why it matters
//! In a radial installation each conductor has one device that guards it. In a ring the current splits by resistance,
//! and a break in it overloads the other half without notice.
//!
//! # Source of the limit
//! Common practice: a small craft's AC side is radial, and this computation is for radial installations.
//!
//! # Fires
//! ```csv
//! # system: 120V60Hz
//! tag,kind,fed_from,rating_a,run_w,conductor,length_m
//! G1,generator,,30,3000,,
//! Q1,breaker,G1,20,,none,
//! A1,panel,Q1|A2,,,10 AWG,2
//! A2,panel,A1,,,10 AWG,2
//! ```
//! ```csv
//! # system: 230V50Hz
//! tag,kind,fed_from,rating_a,run_w,conductor,length_m
//! G1,generator,,30,3000,,
//! Q1,breaker,G1,16,,none,
//! A1,panel,Q1|A2,,,2.5 mm2,2
//! A2,panel,A1,,,2.5 mm2,2
//! ```
//!
//! # Must not fire
//! ```csv
//! # system: 120V60Hz
//! tag,kind,fed_from,rating_a,run_w,conductor,length_m
//! G1,generator,,30,3000,,
//! Q1,breaker,G1,20,,none,
//! A1,panel,Q1,,,10 AWG,2
//! A2,panel,A1,,,10 AWG,2
//! ```
//! ```csv
//! # system: 230V50Hz
//! tag,kind,fed_from,rating_a,run_w,conductor,length_m
//! G1,generator,,30,3000,,
//! Q1,breaker,G1,16,,none,
//! A1,panel,Q1,,,2.5 mm2,2
//! A2,panel,A1,,,2.5 mm2,2
//! ```
//!
//! # Cure
//! Take one cable of the ring away.

use crate::network::Fault as WalkFault;
use crate::survey::rules::prelude::*;

rule! {
    id: "loop",
    severity: Severity::Warning,
    sets: BOTH,
    demand: "No cables close a ring.",
    source: "Common practice: a radial installation",
    mark: Mark::CommonPractice,
    cure: Cure::Words("Take one cable of the ring away, so that each part is fed one way."),
    needs_figures: false,
}

fn check(cx: &Context<'_>, report: &mut Report) {
    for fault in &cx.walk().faults {
        if let WalkFault::Loop { parts } = fault {
            let message =
                format!("{} form a ring: each feeds the next, so no figures are shown.", words::tags(cx, parts));
            report.add(INFO.finding(parts.iter().copied(), message));
        }
    }
}
