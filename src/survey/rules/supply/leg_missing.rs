//! A part on a line that its feed does not have.
//!
//! # What it finds
//! A part that asks for a conductor which what feeds it does not bring: L2 behind a breaker on L1, or both lines behind
//! one.
//!
//! # Why it matters
//! It does not work as drawn. Either the drawing or the wiring is wrong, and what it is really joined to is not known.
//!
//! # Source of the limit
//! Common practice: a drawing shows what each part is joined to.
//!
//! # Fires
//! ```csv
//! # system: 120/240V60Hz
//! # rules: us
//! tag,kind,fed_from,rating_a,run_w,leg,conductor
//! G1,generator,,30,6000,,
//! A1,panel,G1,60,,,none
//! Q1,breaker,A1,15,,L1,none
//! E1,appliance,Q1,,100,L2,none
//! ```
//! ```csv
//! # system: 120/240V60Hz
//! # rules: international
//! tag,kind,fed_from,rating_a,run_w,leg,conductor
//! G1,generator,,30,6000,,
//! A1,panel,G1,60,,,none
//! Q1,breaker,A1,15,,L2,none
//! E1,appliance,Q1,,100,L1-L2,none
//! ```
//!
//! # Must not fire
//! ```csv
//! # system: 120/240V60Hz
//! # rules: us
//! tag,kind,fed_from,rating_a,run_w,leg,conductor
//! G1,generator,,30,6000,,
//! A1,panel,G1,60,,,none
//! Q1,breaker,A1,15,,L2,none
//! E1,appliance,Q1,,100,L2,none
//! ```
//! ```csv
//! # system: 230V50Hz
//! tag,kind,fed_from,rating_a,run_w,conductor
//! G1,generator,,10,2000,
//! Q1,breaker,G1,10,,none
//! E1,appliance,Q1,,100,none
//! ```
//!
//! # Cure
//! Put it on the leg of what feeds it, or feed it from a breaker on the leg that it needs.

use crate::survey::rules::prelude::*;

rule! {
    id: "leg-missing",
    severity: Severity::Caution,
    sets: BOTH,
    demand: "A part is on a line that what feeds it has.",
    source: "Common practice: a drawing shows what each part is joined to",
    mark: Mark::CommonPractice,
    cure: Cure::Words("Put it on the leg of what feeds it, or feed it from a breaker on the leg that it needs."),
    needs_figures: false;
    edits: |_: &Context<'_>, finding: &Finding| change::set(finding, Property::Leg, &["L1", "L2"])
}

fn check(cx: &Context<'_>, report: &mut Report) {
    for &part in &cx.walk().missing_conductors {
        let message = format!(
            "{} is on {}, which what feeds it does not have: it is not fed as drawn.",
            cx.name(part),
            cx.leg(part).slug()
        );
        report.add(INFO.finding([part], message));
    }
}
