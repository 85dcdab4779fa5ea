//! Bounds, counts and searches against every subset of small boats, each set solved by itself.

use super::gauge::{Gauge, Verdict};
use super::judge::Judge;
use super::model::{Model, Of, Set, Stop, first, members};
use super::{EFFORT, greedy, relief, search, tally};
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
    G1,generator,,12,2400,6000,,,,,\nA1,panel,G1,,,,,,,10 AWG,14\nQ1,breaker,A1,9,,,,,L1-L2-N,none,\n\
    E1,appliance,Q1,,900,,,impedance,L1,14 AWG,6\nE2,appliance,Q1,,650,,0.9,,L2,14 AWG,4\nE3,appliance,Q1,,800,,,,L1-L2,14 AWG,9\n\
    E4,appliance,A1,,700,,0.8,,L2,14 AWG,6\nE5,appliance,A1,,500,,,impedance,L1,14 AWG,12\n";

/// The same with long cables: the volts at the appliances are what limits.
const FAR: &str = "# system: 120/240V60Hz\n# resistance: formula\n\
    tag,kind,fed_from,rating_a,run_w,start_w,pf,load_kind,leg,conductor,length_m\n\
    G1,generator,,90,20000,20000,,,,,\nA1,panel,G1,,,,,,,12 AWG,65\nE1,appliance,A1,,900,,,impedance,L1,14 AWG,8\n\
    E2,appliance,A1,,1000,,0.9,,L2,14 AWG,6\nE3,appliance,A1,,1600,,,,L1-L2,14 AWG,75\n\
    E4,appliance,A1,,700,,0.8,,L2,14 AWG,6\nE5,appliance,A1,,600,,,impedance,L1,14 AWG,12\n";

const ALL: [&str; 3] = [CHARGER, TRANSFORMER, BOTH_LINES];

/// Which sets run, each solved by itself.
fn that_run(judge: &mut Judge<'_, '_>) -> Vec<bool> {
    (0..=first(judge.model.units.len())).map(|set| judge.stops(set).is_empty()).collect()
}

/// Each boat with which of its sets run.
fn each_boat(lists: [&str; 3], mut see: impl FnMut(&str, &mut Judge<'_, '_>, &[bool])) {
    for list in lists {
        let installation = boat(list);
        let model = Model::new(&installation, 0);
        let mut judge = Judge::new(&model);
        let runs = that_run(&mut judge);
        see(list, &mut judge, &runs);
    }
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
    each_boat(ALL, |list, judge, runs| {
        let model = judge.model;
        let near = |s: Set| runs[s as usize] || members(s).any(|n| runs[(s & !(1 << n)) as usize]);
        let all = first(model.units.len());
        let mut never = 0;
        for (index, check) in model.checks.iter().enumerate() {
            let own = model.units.iter().position(|u| u.at == check.at).map_or(0, |n| 1 << n);
            let fails: Vec<bool> = (0..=all)
                .map(|s| {
                    let figure = judge.figure(check, s);
                    let counts = check.of != Of::Volts || s & own == own;
                    counts
                        && figure.is_none_or(|f| if check.of == Of::Volts { f < check.limit } else { f > check.limit })
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
    });
}

#[test]
fn where_all_fail_no_set_between_runs() {
    each_boat(ALL, |list, judge, runs| {
        let model = judge.model;
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
    });
}

/// What the sums say: a set that runs or surely fails, with all its parts or with all that holds it.
#[test]
fn a_verdict_by_sums_is_that_of_the_solve() {
    let behind_a_transformer = boat(TRANSFORMER);
    assert!(Gauge::new(&mut Judge::new(&Model::new(&behind_a_transformer, 0))).is_none(), "no sums go through it");
    each_boat([CHARGER, BOTH_LINES, FAR], |list, judge, runs| {
        let model = judge.model;
        let all = first(model.units.len());
        let gauge = Gauge::new(judge).unwrap();
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
        // By volts alone nothing surely fails: a load on the other line may lift the neutral.
        assert!(told.0 > 5 && (told.1 > 5 || list == FAR) && told.2 > 5, "{told:?} of\n{list}");
    });
}

/// The same boat with this one limit, and such that are far off in place of the others.
fn with_limit(installation: &Installation, index: usize, limit: f64) -> Model<'_> {
    let mut model = Model::new(installation, 0);
    model.starts.clear();
    for (at, check) in model.checks.iter_mut().enumerate() {
        let far = if check.of == Of::Volts { 60.0 } else { 1e4 };
        check.limit = if at == index { limit } else { far };
    }
    model
}

/// Every limit with the figure that each set comes to, where all have 90 % of nominal: of others nothing is promised but
/// that they do not run.
fn each_figure(list: &str, mut each: impl FnMut(&Installation, usize, Set, f64)) {
    let installation = boat(list);
    let model = Model::new(&installation, 0);
    let mut judge = Judge::new(&model);
    for (index, check) in model.checks.iter().enumerate() {
        let own = model.units.iter().position(|u| u.at == check.at).map_or(0, |n| 1 << n);
        for set in 1..=first(model.units.len()) {
            let counts = set & own == own && !judge.stops(set).iter().any(|s| s.by == Stop::Voltage);
            if let Some(figure) = judge.figure(check, set).filter(|f| counts && *f > 0.0) {
                each(&installation, index, set, figure);
            }
        }
    }
}

/// A set by itself is enclosed closely.
#[test]
fn a_set_by_itself_is_told_within_or_beyond_each_limit_by_a_fifth_of_a_per_cent() {
    for list in ALL {
        let mut told = 0;
        each_figure(list, |installation, index, set, figure| {
            let of = |share: f64| with_limit(installation, index, figure * share);
            let (above, below) = (of(1.002), of(1.0 / 1.002));
            let volts = above.checks[index].of == Of::Volts;
            let (within, beyond) = if volts { (below, above) } else { (above, below) };
            let what = format!("{:?}: {figure} of {set:b}", within.checks[index]);
            assert!(!Judge::new(&within).may_fail(index, set, set), "{what}");
            assert!(!Judge::new(&within).all_fail(set, set), "{what}");
            assert!(Judge::new(&beyond).all_fail(set, set), "{what}");
            assert!(Judge::new(&beyond).may_fail(index, set, set), "{what}");
            told += 1;
        });
        assert!(told > 100, "{told} figures of\n{list}");
    }
}

/// What keeps within a limit, by whatever little, is never said to fail it; what is beyond, never to hold it.
#[test]
fn a_set_within_or_beyond_its_limit_by_a_hair_is_told_right_or_not_at_all() {
    for list in ALL {
        let mut closely = 0;
        each_figure(list, |installation, index, set, figure| {
            let of = |share: f64| with_limit(installation, index, figure * share);
            let volts = of(1.0).checks[index].of == Of::Volts;
            let within = of(if volts { 1.0 - 2e-9 } else { 1.0 + 2e-9 });
            assert!(!Judge::new(&within).all_fail(set, set), "{:?}: {figure} of {set:b}", within.checks[index]);
            let beyond = of(if volts { 1.0 + 2e-9 } else { 1.0 - 2e-9 });
            assert!(Judge::new(&beyond).may_fail(index, set, set), "{:?}: {figure} of {set:b}", beyond.checks[index]);
            let beyond = of(if volts { 1.0 + 1e-7 } else { 1.0 - 1e-7 });
            closely += usize::from(Judge::new(&beyond).all_fail(set, set));
        });
        assert!(closely > 50, "{closely} sets are told beyond by a ten-millionth:\n{list}");
    }
}

/// The count by branch and bound, and the search that allows for relief: both against the definitions.
#[test]
fn conflicts_and_combinations_are_those_of_every_subset() {
    let mut tallied = 0;
    for list in ALL.iter().chain(&MORE).chain(&[FAR]) {
        let installation = boat(list);
        let model = Model::new(&installation, 0);
        let mut judge = Judge::new(&model);
        let (minimal, maximal) = minimal_and_maximal(&that_run(&mut judge));
        assert!(minimal.len() > 1 && maximal.len() > 1, "{minimal:?} {maximal:?} of\n{list}");
        let all = first(model.units.len());
        let (found, whole) = search::conflicts(&mut Judge::new(&model), EFFORT);
        assert_eq!((sorted(found), whole), (minimal.clone(), true), "by search:\n{list}");
        if let Some(tally) = tally::tally(&mut Judge::new(&model), all, EFFORT) {
            tallied += 1;
            assert_eq!(tally.conflicts.count, Some(minimal.len() as u128), "{list}");
            assert_eq!(tally.combinations.count, Some(maximal.len() as u128), "{list}");
            assert_eq!(sorted(tally.conflicts.listed), minimal, "by tally:\n{list}");
            assert_eq!(sorted(tally.combinations.listed), maximal, "by tally:\n{list}");
        }
    }
    assert!(tallied > 3, "{tallied} boats were tallied");
}

/// Two sources with loads of their own, and starts that a small source cannot give.
const MORE: [&str; 3] = [
    "# system: 120V60Hz\n# resistance: formula\n# feeding: G1|G2\n\
     tag,kind,fed_from,rating_a,run_w,start_w,load_kind,conductor,length_m\n\
     G1,generator,,,1500,3000,,,\nE1,appliance,G1,,900,,,12 AWG,5\nE2,appliance,G1,,800,,impedance,12 AWG,6\n\
     G2,generator,,,1000,2000,,,\nE3,appliance,G2,,600,,,12 AWG,5\nE4,appliance,G2,,700,,impedance,12 AWG,4\n",
    "# system: 120V60Hz\n# resistance: formula\n\
     tag,kind,fed_from,rating_a,run_w,start_w,load_kind,cycles,conductor,length_m\n\
     G1,generator,,,4000,4100,,,,\nA1,panel,G1,,,,,,10 AWG,2\nM1,appliance,A1,,700,2500,motor,,12 AWG,4\n\
     M2,appliance,A1,,500,2600,motor,yes,12 AWG,5\nE1,appliance,A1,,900,,,,12 AWG,3\nE2,appliance,A1,,1200,,,,12 AWG,3\n\
     M3,appliance,A1,,300,1900,motor,yes,12 AWG,5\n",
    "# system: 120V60Hz\n# resistance: formula\n\
     tag,kind,fed_from,rating_a,run_w,start_w,load_kind,conductor,length_m\n\
     G1,generator,,,4000,2650,,,\nM1,appliance,G1,,700,2500,motor,12 AWG,4\nM2,appliance,G1,,500,2600,motor,12 AWG,5\n\
     M3,appliance,G1,,300,1900,motor,12 AWG,5\nE1,appliance,G1,,900,,,12 AWG,3\nE2,appliance,G1,,800,,,12 AWG,3\n",
];

/// Two loads behind a breaker, and small ones beside it.
pub(super) const AT_THE_EDGE: &str = "# system: 120V60Hz\n# resistance: formula\n\
    tag,kind,fed_from,rating_a,run_w,start_w,conductor,length_m\n\
    G1,generator,,,5000,9000,,\nA1,panel,G1,,,,10 AWG,3\nQ1,breaker,A1,99,,,none,\n\
    E1,appliance,Q1,,900,,12 AWG,4\nE2,appliance,Q1,,700,,12 AWG,5\n\
    E3,appliance,A1,,3,,12 AWG,4\nE4,appliance,A1,,2,,12 AWG,6\nE5,appliance,A1,,1,,12 AWG,6\n";

/// Its breaker at a share of what the two come to; and these two.
pub(super) fn at_the_edge(installation: &Installation, share: f64) -> (Model<'_>, Set) {
    let mut model = Model::new(installation, 0);
    let pair = unit(&model, "E1") | unit(&model, "E2");
    let breaker = model.checks.iter().position(|c| c.stop == Stop::Breaker).unwrap();
    let check = model.checks[breaker];
    model.checks[breaker].limit = share * Judge::new(&model).figure(&check, pair).unwrap();
    (model, pair)
}

/// Two loads at the edge of their breaker stay beyond it whatever small load runs besides: that is shown load by load.
#[test]
fn a_set_at_the_edge_of_a_breaker_is_counted_where_nothing_that_is_added_lets_it_run() {
    let installation = boat(AT_THE_EDGE);
    let (model, pair) = at_the_edge(&installation, 1.0 - 1e-7);
    let mut judge = Judge::new(&model);
    let (minimal, maximal) = minimal_and_maximal(&that_run(&mut judge));
    assert_eq!(
        (minimal.as_slice(), maximal.len()),
        ([pair].as_slice(), 2),
        "the pair, and one of it with all the rest"
    );
    let tally = tally::tally(&mut judge, first(5), EFFORT).unwrap();
    assert_eq!((tally.conflicts.count, tally.combinations.count), (Some(1), Some(2)));
    assert_eq!((tally.conflicts.listed, sorted(tally.combinations.listed)), (minimal, maximal));
}

/// A heater alone is above its breaker; other loads take volts off it, and so amperes.
const RELIEVED: &str = "# system: 120V60Hz\n# resistance: formula\n\
    tag,kind,fed_from,rating_a,run_w,start_w,load_kind,conductor,length_m\n\
    G1,generator,,,9000,9000,,,\nA1,panel,G1,,,,,12 AWG,14\nQ1,breaker,A1,8.14,,,,none,\n\
    E1,appliance,Q1,,1000,,impedance,none,\nE2,appliance,A1,,1200,,impedance,none,\nE3,appliance,A1,,60,,,none,\n\
    Q2,breaker,A1,3.5,,,,none,\nE4,appliance,Q2,,500,,,none,\n";

#[test]
fn a_conflict_is_relieved_where_some_set_that_holds_it_runs() {
    let installation = boat(RELIEVED);
    let model = Model::new(&installation, 0);
    let mut judge = Judge::new(&model);
    let runs = that_run(&mut judge);
    let all = first(model.units.len());
    let (heater, other) = (unit(&model, "E1"), unit(&model, "E4"));
    let (minimal, maximal) = minimal_and_maximal(&runs);
    assert_eq!(minimal, sorted(vec![heater, other]));
    for conflict in minimal {
        let some = between(conflict, all).any(|s| runs[s as usize]);
        assert_eq!(some, conflict == heater, "{conflict:b}");
        assert_eq!(relief::is_relieved(&mut judge, conflict, all, usize::MAX), Some(some), "{conflict:b}");
    }
    assert_eq!(
        tally::tally(&mut Judge::new(&model), all, EFFORT).map(|_| ()),
        None,
        "the tally leaves it to the search"
    );
    let found = relief::maximal_runs(&mut judge, all, &[other], usize::MAX).unwrap();
    assert_eq!(sorted(found), maximal);
}

#[test]
fn relief_is_not_told_once_the_effort_is_spent() {
    let installation = boat(RELIEVED);
    let model = Model::new(&installation, 0);
    let (all, heater) = (first(model.units.len()), unit(&model, "E1"));
    assert_eq!(relief::is_relieved(&mut Judge::new(&model), heater, all, 0), None);
    assert_eq!(relief::maximal_runs(&mut Judge::new(&model), all, &[], 0), None);
}

/// Without impedance each conflict is found by sums: the effort then bounds how many are kept.
#[test]
fn the_search_is_whole_with_as_many_conflicts_as_the_effort_and_not_with_one_more() {
    // Any three of six are too much, any two are not: 20 conflicts.
    let mut list =
        "# system: 120V60Hz\ntag,kind,fed_from,run_w,start_w,conductor\nG1,generator,,2500,9000,\n".to_owned();
    for n in 0..6 {
        list += &format!("E{n},appliance,G1,{},,none\n", 1000 + n);
    }
    let installation = boat(&list);
    let model = Model::new(&installation, 0);
    for (effort, whole, kept) in [(21, true, 20), (20, true, 20), (19, false, 20), (10, false, 11)] {
        let (found, complete) = search::conflicts(&mut Judge::new(&model), effort);
        assert_eq!((complete, found.len()), (whole, kept), "effort {effort}");
    }
}

#[test]
fn a_search_stops_soon_after_its_effort_is_spent() {
    let (list, count) = (wide_open(2000.0), 14);
    let installation = boat(&list);
    let model = Model::new(&installation, 0);
    let mut judge = Judge::new(&model);
    let from = judge.work;
    let (found, whole) = search::conflicts(&mut judge, from + 30);
    assert!(!whole && !found.is_empty(), "{found:?}");
    // One solve or two for each appliance on the way out, and not one for each of thousands of sets.
    assert!(judge.work - from < 30 + 4 * count, "{} solves", judge.work - from);
}

#[test]
fn a_limit_that_nothing_reaches_costs_no_look_at_its_sets() {
    let (list, count) = (wide_open(90_000.0), 14);
    let installation = boat(&list);
    let model = Model::new(&installation, 0);
    let mut judge = Judge::new(&model);
    let from = judge.work;
    assert_eq!(search::conflicts(&mut judge, EFFORT), (Vec::new(), true));
    assert!(judge.work - from < 4 * count, "{} solves for {count} appliances", judge.work - from);
}

/// Fourteen appliances that all differ, with cables that stay cool, on a source of some watts.
fn wide_open(watts: f64) -> String {
    let mut list = format!(
        "# system: 120V60Hz\n# resistance: formula\ntag,kind,fed_from,run_w,start_w,conductor,length_m\n\
         G1,generator,,{watts},90000,,\nA1,panel,G1,,,8 AWG,1\n"
    );
    for n in 0..14 {
        list += &format!("E{n},appliance,A1,{},,10 AWG,1\n", 400 + 7 * n);
    }
    list
}

#[test]
fn a_search_for_some_combinations_finds_such_that_run_and_take_no_more() {
    for list in ALL.iter().chain(&MORE).chain(&[TWINS]) {
        let installation = boat(list);
        let model = Model::new(&installation, 0);
        let mut judge = Judge::new(&model);
        let runs = that_run(&mut judge);
        let all = first(model.units.len());
        let some = greedy(&mut judge, all);
        let mut once = some.clone();
        once.sort_unstable();
        once.dedup();
        assert_eq!(once.len(), some.len(), "one set twice: {some:?}");
        assert!(some.len() > 1, "{some:?} of\n{list}");
        for set in some {
            assert!(runs[set as usize], "{set:b} of\n{list}");
            for n in members(all & !set).filter(|&n| model.units[n].below & !set == 0) {
                assert!(!runs[(set | 1 << n) as usize], "unit {n} can be added to {set:b} of\n{list}");
            }
            let firsts = members(set).all(|n| model.units[n].below & !set == 0);
            assert!(firsts, "{set:b} leaves out a first one of a group");
        }
    }
}

/// Two pairs of equal appliances and one more.
const TWINS: &str = "# system: 120V60Hz\n# resistance: formula\n\
    tag,kind,fed_from,run_w,start_w,load_kind,conductor,length_m\n\
    G1,generator,,2600,2600,,,\nA1,panel,G1,,,,10 AWG,4\nE1,appliance,A1,700,,,12 AWG,4\nE2,appliance,A1,700,,,12 AWG,4\n\
    E3,appliance,A1,500,,impedance,12 AWG,3\nE4,appliance,A1,500,,impedance,12 AWG,3\nE5,appliance,A1,950,,,12 AWG,6\n";

/// Without cables there are only sums: 120 V, whatever runs.
#[test]
fn without_impedance_every_set_is_judged_exactly_by_sums() {
    let installation = boat(
        "# system: 120V60Hz\ntag,kind,fed_from,rating_a,run_w,start_w,pf,must_run,conductor\nG1,generator,,,2000,9000,,,\n\
         Q1,breaker,G1,14,,,,,none\nE1,appliance,Q1,,600,,0.8,,none\nE2,appliance,Q1,,700,,,,none\n\
         E3,appliance,Q1,,400,,,,none\nE4,appliance,G1,,900,,0.7,,none\nE5,appliance,G1,,100,,,yes,none\n",
    );
    let model = Model::new(&installation, 0);
    let mut judge = Judge::new(&model);
    let runs = that_run(&mut judge);
    assert!(judge.only_adds_up() && runs.contains(&true) && runs.contains(&false));
    for set in 0..=first(4) {
        assert_eq!(judge.carries(set), runs[set as usize], "{set:b}");
        for (index, check) in model.checks.iter().enumerate() {
            let figure = judge.figure(check, set).unwrap();
            let beyond = check.of != Of::Volts && figure > check.limit;
            assert_eq!(judge.may_fail(index, 0, set), beyond, "{check:?}: {figure} of {set:b}");
        }
    }
    assert_eq!(minimal_and_maximal(&runs).0, sorted(search::conflicts(&mut judge, EFFORT).0));
}

/// 105 V are less than 90 % of 120 V: nothing runs, and what must run has no way to.
#[test]
fn where_the_source_has_too_few_volts_each_appliance_is_a_conflict() {
    let list = |must_run: &str| {
        format!(
            "# system: 120V60Hz\ntag,kind,fed_from,run_w,volts,must_run,conductor\nG1,generator,,5000,105,,\n\
             E1,appliance,G1,600,,,none\nE2,appliance,G1,700,,{must_run},none\n"
        )
    };
    for (must_run, expected) in [("", [0b01, 0b10].as_slice()), ("yes", &[0b0])] {
        let installation = boat(&list(must_run));
        let model = Model::new(&installation, 0);
        let (found, whole) = search::conflicts(&mut Judge::new(&model), EFFORT);
        assert_eq!((sorted(found).as_slice(), whole), (expected, true), "must run: {must_run:?}");
    }
}

/// Two equal loads, both of which it takes to relieve the heater.
#[test]
fn of_equal_loads_the_first_ones_stand_for_the_others_where_some_relieve_others() {
    let list = RELIEVED.replace(
        "E2,appliance,A1,,1200,,impedance,none,",
        "E2,appliance,A1,,600,,impedance,none,\nE5,appliance,A1,,600,,impedance,none,",
    );
    let installation = boat(&list);
    let model = Model::new(&installation, 0);
    let mut judge = Judge::new(&model);
    let (heater, other) = (unit(&model, "E1"), unit(&model, "E4"));
    let first_ones = |set: &Set| members(*set).all(|n| model.units[n].below & !set == 0);
    let maximal: Vec<Set> = minimal_and_maximal(&that_run(&mut judge)).1.into_iter().filter(first_ones).collect();
    assert!(maximal.iter().any(|s| s & heater != 0), "{maximal:?}");
    let all = first(model.units.len());
    for hard in [[other].as_slice(), &[]] {
        let found = relief::maximal_runs(&mut judge, all, hard, usize::MAX).unwrap();
        assert_eq!(sorted(found), maximal, "known as hard: {hard:?}");
    }
}

/// Loads of power factor 1 behind one feeder: near what the source gives they are summed up once more, closer.
#[test]
fn half_a_per_cent_from_what_a_source_gives_a_set_is_told_by_sums() {
    let list = "# system: 120V60Hz\n# resistance: formula\ntag,kind,fed_from,rating_a,run_w,start_w,load_kind,conductor,length_m\n\
                G1,generator,,90,9000,9000,,,\nA1,panel,G1,,,,,10 AWG,6\nE1,appliance,A1,,900,,impedance,12 AWG,5\n\
                E2,appliance,A1,,700,,,12 AWG,3\nE3,appliance,A1,,800,,impedance,12 AWG,6\nE4,appliance,A1,,500,,,12 AWG,8\n";
    let mut told = 0;
    each_figure(list, |installation, index, set, figure| {
        let at_source = |c: &super::model::Check| matches!(c.of, Of::Watts | Of::Amps(_));
        for (share, expected) in [(1.005, Verdict::Runs), (1.0 / 1.005, Verdict::Fails)] {
            let model = with_limit(installation, index, figure * share);
            if at_source(&model.checks[index]) && set.count_ones() > 1 {
                let verdict = Gauge::new(&mut Judge::new(&model)).unwrap().verdict(set);
                assert_eq!(verdict, expected, "{:?}: {figure} of {set:b}", model.checks[index]);
                told += 1;
            }
        }
    });
    assert!(told > 20, "{told} sets");
}
