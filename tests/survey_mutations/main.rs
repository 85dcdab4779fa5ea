//! One fault planted in a clean boat is found by the rule that is meant for it.

mod boat;
mod faults;
mod lesser;

use boat::{BOATS, Boat, Fault};
use hullwire::installation::Installation;
use hullwire::network::solve;
use hullwire::survey::{Finding, Survey, rules, run};
use proptest::prelude::*;
use std::collections::BTreeSet;

/// Every kind of fault.
fn faults() -> Vec<Fault> {
    faults::FAULTS.iter().chain(lesser::FAULTS).copied().collect()
}

fn surveyed(installation: &Installation) -> Survey {
    run(installation, &solve(installation, 0))
}

/// Plants one fault and says what is wrong with the survey, or that the boat has no place for the fault. Where the clean boat
/// has the finding already, its figure must have become worse.
fn plant(boat: &str, (name, plant): Fault, choice: usize) -> Option<Result<(), String>> {
    let mut planted = Boat::new(boat, choice);
    let before = run(&planted.is, &planted.solution);
    let (rule, at) = plant(&mut planted)?;
    let survey = surveyed(&planted.is);
    // A finding about the drawing as a whole names no part.
    let is_meant = |f: &&Finding| f.rule == rule && (f.parts.is_empty() || f.parts.contains(&at));
    let tag = planted.is.tag(at);
    let describe = || survey.findings.iter().map(|f| format!("  {}: {}\n", f.rule, f.message)).collect::<String>();
    let Some(found) = survey.findings.iter().find(is_meant) else {
        return Some(Err(format!("{boat}, {name}: {rule} at {tag} is not found:\n{}", describe())));
    };
    if let Some(old) = before.findings.iter().find(is_meant) {
        let farther = |f: &Finding| f.figure.zip(f.limit).map(|(figure, limit)| (figure / limit).ln().abs());
        return match (farther(old), farther(found)) {
            (Some(old), Some(new)) if new > old => Some(Ok(())),
            (None, None) => None,
            _ => Some(Err(format!("{boat}, {name}: {rule} at {tag} has become no worse: {}", found.message))),
        };
    }
    Some(Ok(()))
}

#[test]
fn every_kind_of_fault_is_found_where_a_boat_has_a_place_for_it() {
    let mut wrong = Vec::new();
    let mut meant = BTreeSet::new();
    for fault in faults() {
        let (name, find) = fault;
        let mut placed = 0;
        for boat in BOATS {
            for choice in 0..3 {
                match plant(boat, fault, choice) {
                    None => {}
                    Some(Ok(())) => {
                        placed += 1;
                        meant.extend(find(&mut Boat::new(boat, choice)).map(|(rule, _)| rule));
                    }
                    Some(Err(why)) => wrong.push(why),
                }
            }
        }
        if placed == 0 {
            wrong.push(format!("no boat has a place for: {name}"));
        }
    }
    assert!(wrong.is_empty(), "{} wrong:\n{}", wrong.len(), wrong.join("\n"));
    let without: Vec<&str> = rules().iter().map(|r| r.info().id).filter(|id| !meant.contains(id)).collect();
    assert!(without.is_empty(), "no fault is planted for: {}", without.join(", "));
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 200, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn a_planted_fault_is_found_by_its_rule(boat in 0..BOATS.len(), fault in 0..faults().len(), choice in 0_usize..64) {
        if let Some(Err(why)) = plant(BOATS[boat], faults()[fault], choice) {
            prop_assert!(false, "{why}");
        }
    }
}

#[test]
fn faults_are_told_apart() {
    let all = faults();
    let names: BTreeSet<&str> = all.iter().map(|(name, _)| *name).collect();
    assert_eq!(names.len(), all.len());
}
