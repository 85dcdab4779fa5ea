//! Legs of a split-phase source far from each other.
//!
//! # What it finds
//! A split-phase source whose smaller leg carries more than 20 % less than the larger.
//!
//! # Why it matters
//! Each leg has half of a set's rating: one is full while the other idles, and a generator's voltage leans.
//!
//! # Source of the limit
//! Common practice, no source: about 20 %.
//!
//! # Fires
//! ```csv
//! # system: 120/240V60Hz
//! tag,kind,fed_from,rating_a,run_w,conductor,leg
//! G1,generator,,50,12000,,
//! E1,appliance,G1,,1000,none,L1
//! E2,appliance,G1,,799,none,L2
//! ```
//! ```csv
//! # system: 120/240V60Hz
//! # rules: international
//! tag,kind,fed_from,rating_a,run_w,conductor,leg
//! G1,generator,,50,12000,,
//! E1,appliance,G1,,1000,none,L1
//! ```
//!
//! # Must not fire
//! ```csv
//! # system: 120/240V60Hz
//! tag,kind,fed_from,rating_a,run_w,conductor,leg
//! G1,generator,,50,12000,,
//! E1,appliance,G1,,1000,none,L1
//! E2,appliance,G1,,800,none,L2
//! ```
//! ```csv
//! # system: 120/240V60Hz
//! # rules: international
//! tag,kind,fed_from,rating_a,run_w,conductor,leg
//! G1,generator,,50,12000,,
//! E1,appliance,G1,,1000,none,L1-L2
//! ```
//!
//! # Boundary
//! ```csv
//! # system: 120/240V60Hz
//! # rules: us
//! tag,kind,fed_from,run_w,leg,conductor
//! G1,generator,,9000,,
//! E1,appliance,G1,1000,L1,none
//! E2,appliance,G1,{800 -> 799},L2,none
//! ```
//! ```csv
//! # system: 120/240V60Hz
//! # rules: international
//! tag,kind,fed_from,run_w,leg,conductor
//! G1,generator,,9000,,
//! E1,appliance,G1,1000,L1,none
//! E2,appliance,G1,{800 -> 799},L2,none
//! ```
//!
//! # Cure
//! Move a circuit to the other leg.

use crate::survey::rules::prelude::*;
use crate::units::amps;

rule! {
    id: "leg-imbalance",
    severity: Severity::Notice,
    sets: BOTH,
    demand: "The legs of a split-phase source carry about the same.",
    source: "Common practice, no source",
    mark: Mark::CommonPractice,
    cure: Cure::Words("Move a circuit to the other leg."),
    needs_figures: true;
    edits: |cx: &Context<'_>, finding: &Finding| finding.parts.first().map_or_else(Vec::new, |&s| change::other_leg(cx, s))
}

/// Per cent of the larger leg.
const LIMIT: f64 = 20.0;

fn check(cx: &Context<'_>, report: &mut Report) {
    for (&source, flow) in &cx.solution().sources {
        let Some(currents) = flow.currents.filter(|_| cx.leg(source).is_three_wire() && cx.system().is_split_phase())
        else {
            continue;
        };
        let (l1, l2) = (currents.l1.norm(), currents.l2.norm());
        let larger = l1.max(l2);
        let percent = if larger > 0.0 { (larger - l1.min(l2)) / larger * 100.0 } else { 0.0 };
        if above(percent, LIMIT) {
            let message = format!("{} carries {} on L1 and {} on L2.", cx.name(source), amps(l1), amps(l2));
            report.add(INFO.finding([source], message).measured(percent, LIMIT, "%"));
        }
    }
}

#[cfg(test)]
mod tests {
    use crate::network::solve;
    use crate::store::list::boat;
    use crate::survey::run;

    /// 10 A and 4 A differ by 6 A of 10 A; a source of one line has no other to lean on.
    #[test]
    fn a_source_of_one_line_has_no_lines_that_differ() {
        let figures = |legs: &str| -> Vec<Option<f64>> {
            let boat = boat(&format!(
                "# system: 120/240V60Hz\ntag,kind,fed_from,run_w,leg,conductor\nG1,generator,,5000,{legs},\n\
                 E1,appliance,G1,1200,L1,none\nE2,appliance,G1,480,L2,none\n"
            ));
            let all = run(&boat, &solve(&boat, 0)).findings.into_iter().filter(|f| f.rule == super::INFO.id);
            all.map(|f| f.figure.map(f64::round)).collect()
        };
        assert_eq!(figures("L1-L2-N"), [Some(60.0)]);
        assert_eq!(figures("L1"), []);
    }
}
