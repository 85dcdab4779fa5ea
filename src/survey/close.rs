//! Findings that depend on tolerances: those that some boat within them does not have, or has besides.
//!
//! The survey is run again on solved samples: the corners at which all cables and all loads are at their ends together (in
//! split-phase also the legs against each other), and random ones, each cable and load at one end or the other. What flips
//! in one of them is close to its limit; that nothing flips is an estimate, no bound.

use super::finding::{Finding, Survey};
use super::run::run;
use crate::installation::{CableId, Installation, Leg, PartId};
use crate::network::{Lie, Network, Scenario, Solution, Tolerances, Truths};
use crate::units::Severity;
use std::collections::BTreeMap;

/// A finding that is there in some samples and not in others, or with another severity.
#[derive(Clone, Debug, PartialEq)]
pub struct Close {
    /// As the drawing has it, else as the first sample has it.
    pub finding: Finding,
    /// True where the drawing has it.
    pub holds: bool,
    /// Samples that have it.
    pub with: usize,
    /// The most severe that it is in any of them.
    pub worst: Severity,
}

/// What samples came to.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Closeness {
    /// Samples in all, corners counted.
    pub samples: usize,
    /// Findings that flip, in the order of the survey.
    pub close: Vec<Close>,
}

/// What two findings must share to be the same one.
type Key = (&'static str, Vec<PartId>, Vec<CableId>);

fn key(finding: &Finding) -> Key {
    (finding.rule, finding.parts.clone(), finding.cables.clone())
}

/// How a finding shows in samples.
struct Seen {
    finding: Finding,
    with: usize,
    otherwise: usize,
    worst: Severity,
}

/// Findings of `survey` that flip within the tolerances, and such that appear. `random` samples come besides the corners,
/// from a generator started with `seed`: the same seed gives the same samples. Nothing flips where there are no figures.
/// Time: a survey for each sample.
#[must_use]
pub fn close(
    installation: &Installation,
    solution: &Solution,
    survey: &Survey,
    tolerances: &Tolerances,
    random: usize,
    seed: u64,
) -> Closeness {
    if !solution.converged || *tolerances == Tolerances::none() {
        return Closeness::default();
    }
    let network = Network::new(installation, &solution.walk);
    let scenarios = samples(&network, installation, tolerances, random, seed);
    let nominal: BTreeMap<Key, &Finding> = survey.findings.iter().map(|f| (key(f), f)).collect();
    let mut seen: BTreeMap<Key, Seen> = nominal.iter().map(|(key, f)| (key.clone(), Seen::first(f, 0))).collect();
    for (scenario, solved) in scenarios.iter().zip(network.solve_many(&scenarios)) {
        let varied = network.varied(scenario);
        let sample = varied.solution(installation, solution.walk.clone(), &solved.state, solved.outcome);
        for finding in run(installation, &sample).findings {
            let key = key(&finding);
            let held = nominal.get(&key).map(|f| f.severity);
            let entry = seen.entry(key).or_insert_with(|| Seen::first(&finding, 0));
            entry.with += 1;
            entry.otherwise += usize::from(held != Some(finding.severity));
            entry.worst = entry.worst.max(finding.severity);
        }
    }
    let samples = scenarios.len();
    let mut close: Vec<Close> = seen
        .into_iter()
        .filter(|(_, seen)| seen.with < samples || seen.otherwise > 0)
        .map(|(key, seen)| Close {
            holds: nominal.contains_key(&key),
            finding: seen.finding,
            with: seen.with,
            worst: seen.worst,
        })
        .collect();
    close.sort_by_key(|c| (std::cmp::Reverse(c.finding.severity), !c.holds));
    Closeness { samples, close }
}

impl Seen {
    fn first(finding: &Finding, with: usize) -> Self {
        Self { finding: finding.clone(), with, otherwise: 0, worst: finding.severity }
    }
}

/// The corners, then random samples.
fn samples(
    network: &Network,
    installation: &Installation,
    tolerances: &Tolerances,
    random: usize,
    seed: u64,
) -> Vec<Scenario> {
    let truths = Truths::of(network, installation, tolerances);
    let end = |cable: f64, load: f64| Lie { length: cable, heat: cable, contacts: f64::midpoint(cable, 1.0), load };
    let mut out = Vec::new();
    for cable in [-1.0, 1.0] {
        for load in [-1.0, 1.0] {
            out.push(truths.one(|_| end(cable, load)));
            if installation.system.is_split_phase() {
                let sign = |at| if network.leg(at) == Some(Leg::L2) { -load } else { load };
                out.push(truths.one(|at| end(cable, sign(at))));
            }
        }
    }
    let mut dice = fastrand::Rng::with_seed(seed);
    for _ in 0..random {
        let mut throw = || if dice.bool() { 1.0 } else { -1.0 };
        out.push(truths.one(|_| Lie {
            length: throw(),
            heat: throw(),
            contacts: f64::midpoint(throw(), 1.0),
            load: throw(),
        }));
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::network::solve;
    use crate::store::list::boat;

    /// Breakers of 10 A with loads of 9.5 A and 10.5 A, each 10 % more or less: the first may be overloaded, the second may
    /// not be. A third with 20 A is overloaded in any case, a fourth with 5 A in none.
    #[test]
    fn of_findings_that_flip_those_of_the_drawing_come_first() {
        let boat = boat(
            "# system: 120V60Hz\ntag,kind,fed_from,rating_a,run_w,conductor\nG1,generator,,,9000,\nA1,panel,G1,,,none\n\
             Q1,breaker,A1,10,,none\nE1,appliance,Q1,,1140,none\nQ2,breaker,A1,10,,none\nE2,appliance,Q2,,1260,none\n\
             Q3,breaker,A1,10,,none\nE3,appliance,Q3,,2400,none\nQ4,breaker,A1,10,,none\nE4,appliance,Q4,,600,none\n",
        );
        let solution = solve(&boat, 0);
        let survey = run(&boat, &solution);
        let tolerances = Tolerances { load: 0.1, ..Tolerances::none() };
        let found = close(&boat, &solution, &survey, &tolerances, 0, 1);
        let overloads: Vec<(&str, bool, usize)> = found
            .close
            .iter()
            .filter(|c| c.finding.rule == "breaker-overload")
            .map(|c| (boat.tag(c.finding.parts[0]), c.holds, c.with))
            .collect();
        assert_eq!(found.samples, 4);
        assert_eq!(overloads, [("Q2", true, 2), ("Q1", false, 2)], "two of the four corners have heavy loads");
    }
}
