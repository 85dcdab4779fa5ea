//! Two busbars fed from one line.
//!
//! # What it finds
//! In a split-phase system: a panel of two lines fed, in some condition, by a source that has one line.
//!
//! # Why it matters
//! Who bridges the busbars to make it work lets both legs return through one neutral: the currents add, 20 A and 20
//! A give 40 A in a wire for 20, and no breaker is in it.
//!
//! # Source of the limit
//! Circuit theory: the neutral carries the sum of the legs' currents when they are in phase.
//!
//! # Fires
//! ```csv
//! # system: 120/240V60Hz
//! tag,kind,fed_from,rating_a,run_w,conductor,leg
//! G1,generator,,30,3000,,L1
//! A1,panel,G1,50,,none,L1-L2-N
//! ```
//! ```csv
//! # system: 120/240V60Hz
//! # rules: international
//! tag,kind,fed_from,rating_a,run_w,conductor,leg
//! G1,generator,,30,3000,,L2
//! A1,panel,G1,50,,none,L1-L2-N
//! ```
//!
//! # Must not fire
//! ```csv
//! # system: 120/240V60Hz
//! tag,kind,fed_from,rating_a,run_w,conductor,leg
//! G1,generator,,30,3000,,L1
//! A1,panel,G1,50,,none,L1
//! ```
//! ```csv
//! # system: 120/240V60Hz
//! # rules: international
//! tag,kind,fed_from,rating_a,run_w,conductor,leg
//! G1,generator,,30,6000,,
//! A1,panel,G1,50,,none,
//! ```
//!
//! # Cure
//! For the electrician: feed one busbar alone from such a source, with circuits of its own. Never bridge the
//! busbars.

use crate::installation::Leg;
use crate::survey::rules::prelude::*;

rule! {
    id: "shared-neutral-adds",
    severity: Severity::Danger,
    sets: BOTH,
    demand: "A panel of two lines is fed by a source of two lines.",
    source: "Circuit theory: In = I1 + I2 with legs in phase",
    mark: Mark::Derived,
    cure: Cure::Words("For the electrician: feed one busbar alone from such a source, with circuits of its own. Never bridge the busbars."),
    needs_figures: false,
}

fn check(cx: &Context<'_>, report: &mut Report) {
    if !cx.system().is_split_phase() {
        return;
    }
    for (id, part) in cx.of_kind(PartKind::Panel).filter(|(id, _)| cx.leg(*id).is_three_wire()) {
        let single = |s: &PartId| matches!(cx.leg(*s), Leg::L1 | Leg::L2);
        let sources: Vec<PartId> = cx.sources_of(id).iter().copied().filter(single).collect();
        if !sources.is_empty() {
            let message = format!(
                "{} has two busbars and {} has one line: bridged, the currents of both add in the shared neutral.",
                part.name(),
                words::tags(cx, &sources)
            );
            report.add(INFO.finding(std::iter::once(id).chain(sources), message));
        }
    }
}
