//! A breaker above 250 % of a motor's current.
//!
//! # What it finds
//! A breaker that feeds one motor of more than 6 A and nothing else, rated above 250 % of its running current.
//!
//! # Why it matters
//! It guards the cable but no longer the motor; a stalled motor burns unless it has protection of its own.
//!
//! # Source of the limit
//! NEC (NFPA 70) 430.52, from memory; small motors share a general circuit (430.53) and are left out. The running
//! current is that of the name plate here, not of the code's table.
//!
//! # Fires
//! ```csv
//! # system: 120V60Hz
//! tag,kind,fed_from,rating_a,run_w,conductor,load_kind
//! G1,generator,,60,6000,,
//! Q1,breaker,G1,30,,none,
//! M1,appliance,Q1,,1200,none,motor
//! ```
//! ```csv
//! # system: 230V50Hz
//! tag,kind,fed_from,rating_a,run_w,conductor,load_kind
//! G1,generator,,40,9000,,
//! Q1,breaker,G1,25,,none,
//! M1,appliance,Q1,,2000,none,motor
//! ```
//!
//! # Must not fire
//! ```csv
//! # system: 120V60Hz
//! tag,kind,fed_from,rating_a,run_w,conductor,load_kind
//! G1,generator,,60,6000,,
//! Q1,breaker,G1,25,,none,
//! M1,appliance,Q1,,1200,none,motor
//! ```
//! ```csv
//! # system: 230V50Hz
//! tag,kind,fed_from,rating_a,run_w,conductor,load_kind
//! G1,generator,,40,9000,,
//! Q1,breaker,G1,20,,none,
//! M1,appliance,Q1,,2000,none,motor
//! ```
//!
//! # Boundary
//! ```csv
//! # system: 120V60Hz
//! tag,kind,fed_from,rating_a,run_w,conductor,load_kind
//! G1,generator,,60,6000,,
//! Q1,breaker,G1,{25 -> 25.1},,none,
//! M1,appliance,Q1,,1200,none,motor
//! ```
//! ```csv
//! # system: 230V50Hz
//! tag,kind,fed_from,rating_a,run_w,conductor,load_kind
//! G1,generator,,40,9000,,
//! Q1,breaker,G1,{25 -> 25.1},,none,
//! M1,appliance,Q1,,2300,none,motor
//! ```
//!
//! # Cure
//! A smaller breaker that still holds the start, or a motor with overload protection of its own.

use crate::installation::LoadKind;
use crate::survey::rules::prelude::*;

rule! {
    id: "motor-breaker-large",
    severity: Severity::Notice,
    sets: BOTH,
    demand: "The breaker of a single motor is rated for 250 % of its running current at most.",
    source: "NEC (NFPA 70) 430.52",
    mark: Mark::Memory,
    cure: Cure::Words("A smaller breaker that still holds the start, or a motor with overload protection of its own."),
    needs_figures: false;
    edits: edits
}

/// Share of the running current.
const SHARE: f64 = 2.5;
/// Motors up to this running current share a general circuit.
const SMALL_A: f64 = 6.0;

fn check(cx: &Context<'_>, report: &mut Report) {
    for (id, part) in cx.of_kind(PartKind::Breaker) {
        let [only] = cx.leaving(id) else { continue };
        let Some(motor) = cx.cable(*only).map(|c| c.to) else { continue };
        let Some(load) = cx.part(motor).filter(|m| m.kind == PartKind::Appliance && m.load_kind == LoadKind::Motor)
        else {
            continue;
        };
        let (Some(rating), Some(watts)) = (part.rating_a, load.run_w) else {
            report.not_checked(&INFO, [id], "the rating of the breaker or the running power of its motor is not known");
            continue;
        };
        let amps = watts / load.pf() / cx.nominal_v(cx.leg(motor));
        if above(amps, SMALL_A) && above(rating, SHARE * amps) {
            let (shown, most) = words::pair(rating, SHARE * amps, "A");
            let message =
                format!("{} is {shown}; 250 % of the running current of {} is {most}.", part.name(), cx.name(motor));
            report.add(INFO.finding([id, motor], message).measured(rating, SHARE * amps, "A"));
        }
    }
}

fn edits(cx: &Context<'_>, finding: &Finding) -> Vec<Edit> {
    let (Some(&breaker), Some(limit)) = (finding.parts.first(), finding.limit) else { return Vec::new() };
    change::smaller_breaker(cx, breaker, limit)
}

#[cfg(test)]
mod tests {
    use crate::installation::{Edit, Property};
    use crate::network::solve;
    use crate::store::list::boat;
    use crate::survey::{Context, Rule, run};

    /// 960 W at a power factor of 0.8 and 120 V are 10 A; 250 % of it 25 A.
    #[test]
    fn a_breaker_of_more_than_250_per_cent_is_told_and_the_next_size_within_it_offered() {
        let boat = |rating: &str| {
            boat(&format!(
                "# system: 120V60Hz\ntag,kind,fed_from,rating_a,run_w,pf,load_kind,conductor,length_m\nG1,generator,,,9000,,,,\n\
                 Q1,breaker,G1,{rating},,,,none,\nM1,appliance,Q1,,960,0.8,motor,10 AWG,3\n"
            ))
        };
        let large = boat("30");
        let solution = solve(&large, 0);
        let found = run(&large, &solution).findings.into_iter().find(|f| f.rule == super::INFO.id).unwrap();
        assert_eq!(found.message, "Q1 is 30 A; 250 % of the running current of M1 is 25 A.");
        let edits = super::Fault.edits(&Context::new(&large, &solution), &found);
        let parts = vec![large.part_by_tag("Q1").unwrap()];
        let smaller = Edit::SetPart { parts, property: Property::RatingA, text: "25".to_owned(), origin: None };
        assert_eq!(edits, [smaller]);
        let right = boat("25");
        assert!(run(&right, &solve(&right, 0)).findings.iter().all(|f| f.rule != super::INFO.id));
    }
}
