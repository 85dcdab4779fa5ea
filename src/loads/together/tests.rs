//! Bounds, counts and searches against every subset of small boats, each set solved by itself; and reasons by hand.

use super::gauge::{Gauge, Verdict};
use super::judge::Judge;
use super::model::{Model, Of, Set, Stop, first, members};
use super::{EFFORT, greedy, relief, search, tally, together};
use crate::installation::Installation;
use crate::store::list::boat;

/// Two wires: a feeder, two breakers, and an inverter-charger that passes on what is behind it.
const CHARGER: &str = "# system: 120V60Hz\n# resistance: formula\n\
    tag,kind,fed_from,rating_a,run_w,start_w,pf,load_kind,charge_w,conductor,length_m\n\
    G1,generator,,30,2500,4500,,,,,\nA1,panel,G1,,,,,,,10 AWG,6\n\
    Q1,breaker,A1,15,,,,,,none,\nE1,appliance,Q1,,900,,,impedance,,14 AWG,5\nE2,appliance,Q1,,1100,,0.9,,,14 AWG,9\n\
    T1,inverter,A1,8,2000,,,,100,12 AWG,4\nE3,appliance,T1,,500,,0.8,,,14 AWG,3\nM1,appliance,T1,,600,2100,0.7,motor,,14 AWG,7\n\
    E4,appliance,A1,,700,,,impedance,,14 AWG,11\n";

/// Loads behind a transformer and before it.
const TRANSFORMER: &str = "# system: 120V60Hz\n# resistance: formula\n\
    tag,kind,fed_from,rating_a,run_w,start_w,pf,load_kind,volts,conductor,length_m\n\
    X1,shore-inlet,,24,,,,,,10 AWG,12\nT1,isolation-transformer,X1,,,,,,118,10 AWG,2\nA1,panel,T1,,,,,,,10 AWG,4\n\
    Q1,breaker,A1,14,,,,,,none,\nE1,appliance,Q1,,800,,,impedance,,14 AWG,6\nE2,appliance,Q1,,950,,0.9,,,14 AWG,3\n\
    Q2,breaker,A1,10,,,,,,none,\nE3,appliance,Q2,,600,,0.8,,,14 AWG,14\nE4,appliance,Q2,,750,,,impedance,,14 AWG,8\n\
    E5,appliance,X1,,400,,,,,14 AWG,5\n";

/// Both lines and a neutral.
const BOTH_LINES: &str = "# system: 120/240V60Hz\n# resistance: formula\n\
    tag,kind,fed_from,rating_a,run_w,start_w,pf,load_kind,leg,conductor,length_m\n\
    G1,generator,,14,3000,6000,,,,,\nA1,panel,G1,,,,,,,10 AWG,14\nQ1,breaker,A1,12,,,,,,none,\n\
    E1,appliance,Q1,,900,,,impedance,L1,14 AWG,6\nE2,appliance,Q1,,650,,0.9,,L2,14 AWG,4\nE3,appliance,Q1,,800,,,,L1-L2,14 AWG,9\n\
    E4,appliance,A1,,700,,0.8,,L2,14 AWG,6\nE5,appliance,A1,,500,,,impedance,L1,14 AWG,12\n";

const ALL: [&str; 3] = [CHARGER, TRANSFORMER, BOTH_LINES];

/// Which sets run, each solved by itself.
fn that_run(judge: &mut Judge<'_, '_>) -> Vec<bool> {
    (0..=first(judge.model.units.len())).map(|set| judge.stops(set).is_empty()).collect()
}

/// Sets between two, both included.
fn between(least: Set, most: Set) -> impl Iterator<Item = Set> {
    (least..=most).filter(move |s| least & !s == 0 && s & !most == 0)
}

/// Minimal sets that do not run and maximal ones that do, by their definitions.
fn minimal_and_maximal(runs: &[bool]) -> (Vec<Set>, Vec<Set>) {
    let all = runs.len() as Set - 1;
    let can = |s: Set| runs[s as usize];
    let minimal = (0..=all).filter(|&s| !can(s) && between(0, s).all(|t| t == s || can(t))).collect();
    let maximal = (0..=all).filter(|&s| can(s) && between(s, all).all(|t| t == s || !can(t))).collect();
    (minimal, maximal)
}

fn sorted(mut sets: Vec<Set>) -> Vec<Set> {
    sets.sort_unstable();
    sets
}

/// The unit of an appliance, as a set.
fn unit(model: &Model<'_>, tag: &str) -> Set {
    let part = model.installation.part_by_tag(tag).unwrap();
    1 << model.units.iter().position(|u| u.part == part).unwrap()
}

/// Bounds are for sets that are no more than one appliance away from running.
#[test]
fn where_a_limit_may_not_fail_no_set_between_fails_it() {
    for list in ALL {
        let installation = boat(list);
        let model = Model::new(&installation, 0);
        let mut judge = Judge::new(&model);
        let runs = that_run(&mut judge);
        let near = |s: Set| runs[s as usize] || members(s).any(|n| runs[(s & !(1 << n)) as usize]);
        let all = first(model.units.len());
        let mut never = 0;
        for (index, check) in model.checks.iter().enumerate() {
            let own = model.units.iter().position(|u| u.at == check.at).map_or(0, |n| 1 << n);
            let fails: Vec<bool> = (0..=all)
                .map(|s| {
                    let figure = judge.figure(check, s);
                    let counts = check.of != Of::Volts || s & own == own;
                    counts && figure.is_none_or(|f| if check.of == Of::Volts { f < check.limit } else { f > check.limit })
                })
                .collect();
            for most in 0..=all {
                for least in between(0, most).filter(|s| s & own == own || check.of != Of::Volts) {
                    if !judge.may_fail(index, least, most) {
                        never += 1;
                        let wrong = between(least, most).find(|&s| fails[s as usize] && near(s));
                        assert_eq!(wrong, None, "{check:?} from {least:b} to {most:b}");
                    }
                }
            }
        }
        assert!(never > 100, "{never} families that fail no limit:\n{list}");
    }
}

#[test]
fn where_all_fail_no_set_between_runs() {
    for list in ALL {
        let installation = boat(list);
        let model = Model::new(&installation, 0);
        let mut judge = Judge::new(&model);
        let runs = that_run(&mut judge);
        let mut failed = 0;
        for most in 0..=first(model.units.len()) {
            for least in between(0, most) {
                if judge.all_fail(least, most) {
                    failed += 1;
                    let wrong = between(least, most).find(|&s| runs[s as usize]);
                    assert_eq!(wrong, None, "from {least:b} to {most:b}");
                }
            }
        }
        assert!(failed > 20, "{failed} families that all fail:\n{list}");
    }
}

/// What the sums say: a set that runs or surely fails, with all its parts or with all that holds it.
#[test]
fn a_verdict_by_sums_is_that_of_the_solve() {
    for list in ALL {
        let installation = boat(list);
        let model = Model::new(&installation, 0);
        let mut judge = Judge::new(&model);
        let runs = that_run(&mut judge);
        let all = first(model.units.len());
        let Some(gauge) = Gauge::new(&mut judge) else { continue };
        let mut told = (0, 0, 0);
        for set in 0..=all {
            match gauge.verdict(set) {
                Verdict::Runs => {
                    told.0 += 1;
                    assert!(runs[set as usize], "{set:b} of\n{list}");
                }
                Verdict::Fails => {
                    told.1 += 1;
                    assert!(between(set, all).all(|s| !runs[s as usize]), "{set:b} of\n{list}");
                }
                Verdict::Near => {}
            }
            if gauge.surely_runs(set) {
                told.2 += 1;
                assert!(between(0, set).all(|s| runs[s as usize]), "{set:b} of\n{list}");
            }
        }
        assert!(told.0 > 5 && told.1 > 5 && told.2 > 5, "{told:?} of\n{list}");
    }
}

/// Every limit in turn, set a little below or above the figure of a set: a set by itself is enclosed closely.
#[test]
fn a_set_by_itself_is_told_within_or_beyond_each_limit_by_a_fifth_of_a_per_cent() {
    let mut told = 0;
    for list in ALL {
        let installation = boat(list);
        let plain = Model::new(&installation, 0);
        for (index, check) in plain.checks.iter().enumerate() {
            for set in 1..=first(plain.units.len()) {
                let Some(figure) = Judge::new(&plain).figure(check, set) else { continue };
                let volts = check.of == Of::Volts;
                if figure == 0.0 || volts && !members(set).any(|n| plain.units[n].at == check.at) {
                    continue;
                }
                let mut model = Model::new(&installation, 0);
                let at_limit = |model: &mut Model<'_>, share: f64| {
                    for other in &mut model.checks {
                        other.limit = if other.of == Of::Volts { 60.0 } else { 1e4 };
                    }
                    model.checks[index].limit = figure * share;
                };
                at_limit(&mut model, if volts { 1.0 / 1.002 } else { 1.002 });
                assert!(!Judge::new(&model).may_fail(index, set, set), "{check:?}: {figure} of {set:b}");
                at_limit(&mut model, if volts { 1.002 } else { 1.0 / 1.002 });
                assert!(Judge::new(&model).all_fail(set, set), "{check:?}: {figure} of {set:b}");
                told += 1;
            }
        }
    }
    assert!(told > 300, "{told} figures");
}
