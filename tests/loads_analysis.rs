//! The load analysis, the starting sequence and the comparison of sources, against figures worked out by hand.

use hullwire::installation::{
    Candidate, Edit, EditError, History, Installation, Part, PartId, PartKind, Place, Point, Usage,
};
use hullwire::loads::analysis::{analysis, of_condition};
use hullwire::loads::comparison::compare;
use hullwire::loads::sequence::Sequence;
use hullwire::loads::together::{Desk, EFFORT, Standing, Stop};
use hullwire::store::list::import;
use std::collections::BTreeSet;
use std::sync::Arc;

fn boat(list: &str) -> Installation {
    import(list).unwrap_or_else(|problems| panic!("{problems:?}")).installation
}

fn id(installation: &Installation, tag: &str) -> PartId {
    installation.part_by_tag(tag).unwrap_or_else(|| panic!("no {tag}"))
}

fn near(figure: Option<f64>, wanted: f64) {
    let figure = figure.unwrap_or(f64::NAN);
    assert!((figure - wanted).abs() <= 1e-6 * wanted.abs().max(1.0), "{figure} in place of {wanted}");
}

/// No cables: every figure is a sum. A set of 3 kW, one panel, two breakers.
const PLAIN: &str = "# system: 120V60Hz\n# feeding: G1\n\
    tag,kind,label,fed_from,run_w,start_w,load_kind,pf,rating_a,cycles,duty,on,conductor\n\
    G1,generator,Set,,3000,4000,,,30,,,,\n\
    A1,panel,Panel,G1,,,,,40,,,,none\n\
    Q1,breaker,Galley,A1,,,,,20,,,,none\n\
    Q2,breaker,Saloon,A1,,,,,15,,,,none\n\
    E1,appliance,Kettle,Q1,1200,,impedance,,,,0.1,,none\n\
    E2,appliance,Fan heater,Q1,600,,impedance,,,,0.5,,none\n\
    E3,appliance,Fan heater,Q2,480,,impedance,,,,0.5,,none\n\
    M1,appliance,Refrigerator,Q2,150,900,motor,0.6,,yes,0.4,,none\n\
    E4,appliance,Lamp,Q2,60,,power,,,,1,no,none\n";

#[test]
fn sums_of_a_drawing_without_cables() {
    let boat = boat(PLAIN);
    let all = analysis(&boat);
    let c = &all[0];
    let (set, panel) = (&c.sources[&id(&boat, "G1")], &c.panels[&id(&boat, "A1")]);
    near(Some(set.connected_w), 2490.0);
    near(set.running_w, 2430.0);
    near(panel.running_w, 2430.0);
    near(set.running_va, 2430.0_f64.hypot(200.0));
    near(set.mean_w, 0.1 * 1200.0 + 0.5 * 600.0 + 0.5 * 480.0 + 0.4 * 150.0);
    near(panel.mean_w, 720.0);
    near(set.reserve, 570.0);
    let saloon = &c.breakers[&id(&boat, "Q2")];
    near(saloon.running_w, 630.0);
    near(saloon.amps.map(|a| a.0), 630.0_f64.hypot(200.0) / 120.0);
    near(saloon.reserve, 15.0 - 630.0_f64.hypot(200.0) / 120.0);
    let largest = c.largest_start[&id(&boat, "G1")];
    assert_eq!((largest.part, largest.start_w), (id(&boat, "M1"), 900.0));
}

#[test]
fn a_share_for_one_condition_and_only_so_many_at_once() {
    let boat = boat(PLAIN);
    let (kettle, heater) = (id(&boat, "E1"), id(&boat, "E2"));
    let usage =
        vec![(kettle, Usage { share: Some(0.5), at_once: None }), (heater, Usage { share: None, at_once: Some(1) })];
    let mut history = History::new(boat.clone());
    history.apply(&Edit::SetUsage { condition: 0, usage }, None).unwrap();
    let used = history.installation().as_ref().clone();
    let c = of_condition(&used, 0);
    let set = &c.sources[&id(&boat, "G1")];
    // The larger of the two fan heaters runs; both have their share of the mean.
    near(set.running_w, 1950.0);
    near(set.mean_w, 0.5 * 1200.0 + 0.5 * 600.0 + 0.5 * 480.0 + 0.4 * 150.0);
    let runs: Vec<bool> = c.uses.iter().map(|u| u.runs).collect();
    assert_eq!(runs, [true, true, false, true, false]);
    history.undo();
    assert_eq!(history.installation().as_ref(), &boat);
    let usual = Edit::SetUsage { condition: 0, usage: vec![(kettle, Usage::default())] };
    assert!(!used.apply(&usual).unwrap().installation.conditions[0].usage.contains_key(&kettle));
    let wrong = Edit::SetUsage { condition: 0, usage: vec![(kettle, Usage { share: Some(1.5), at_once: None })] };
    assert!(matches!(boat.apply(&wrong), Err(EditError::BadValue { .. })));
}

#[test]
fn an_unknown_load_is_named_and_no_sum_hides_it() {
    let mut boat = boat(PLAIN);
    let lamp = id(&boat, "E4");
    Arc::make_mut(boat.parts.get_mut(&lamp).unwrap()).run_w = None;
    let c = of_condition(&boat, 0);
    assert_eq!(c.sources[&id(&boat, "G1")].unknown, [lamp]);
    assert_eq!(c.breakers[&id(&boat, "Q1")].unknown, []);
}

#[test]
fn legs_and_their_balance() {
    let boat = boat(
        "# system: 120/240V60Hz\n# feeding: G1\n\
        tag,kind,fed_from,run_w,rating_a,leg,load_kind,conductor\n\
        G1,generator,,6000,30,,,\n\
        A1,panel,G1,,50,,,none\n\
        E1,appliance,A1,1200,,L1,impedance,none\n\
        E2,appliance,A1,600,,L2,impedance,none\n\
        E3,appliance,A1,2400,,L1-L2,impedance,none\n",
    );
    let c = of_condition(&boat, 0);
    let panel = &c.panels[&id(&boat, "A1")];
    near(panel.running_w, 4200.0);
    near(panel.amps.map(|a| a.0), 20.0);
    near(panel.amps.and_then(|a| a.1), 15.0);
    near(panel.unbalance_percent, 25.0);
    near(panel.reserve, 30.0);
}

/// Worked example start-order: largest increment first; the peak after each step.
#[test]
fn the_sequence_of_least_peak() {
    let boat = boat(
        "# system: 120V60Hz\n# feeding: G1\n\
        tag,kind,fed_from,run_w,start_w,load_kind,cycles,conductor\n\
        G1,generator,,5000,5000,,,\n\
        M1,appliance,G1,1000,4000,motor,yes,none\n\
        M2,appliance,G1,800,2600,motor,no,none\n\
        E1,appliance,G1,600,600,power,no,none\n",
    );
    let source = id(&boat, "G1");
    let all: BTreeSet<PartId> = ["E1", "M2", "M1"].iter().map(|t| id(&boat, t)).collect();
    let s = Sequence::new(&boat, 0, source, &all);
    let steps: Vec<(PartId, f64, f64)> = s.steps.iter().map(|s| (s.part, s.peak_w, s.running_w)).collect();
    assert_eq!(
        steps,
        [(id(&boat, "M1"), 4000.0, 1000.0), (id(&boat, "M2"), 3600.0, 1800.0), (id(&boat, "E1"), 2400.0, 2400.0)]
    );
    assert_eq!((s.peak_w(), s.within, s.at_once_w, s.at_once_within), (4000.0, Some(true), 7200.0, Some(false)));
    assert_eq!(s.restart.map(|r| (r.part, r.peak_w)), Some((id(&boat, "M1"), 5400.0)));
    assert_eq!(s.restart_within, Some(false));
    assert_eq!(s.motors, [id(&boat, "M1"), id(&boat, "M2")]);
    let top = s.curve().iter().map(|p| p.1).fold(0.0, f64::max);
    assert_eq!(top, 4000.0);
    assert!(s.curve().windows(2).all(|w| w[0].0 <= w[1].0), "time runs on");
}

#[test]
fn ticking_says_now_in_order_or_no_and_why() {
    let boat = boat(
        "# system: 120V60Hz\n# feeding: G1\n\
        tag,kind,label,fed_from,run_w,start_w,load_kind,cycles,must_run,conductor\n\
        G1,generator,Set,,3000,4000,,,,\n\
        M1,appliance,Air conditioner,G1,1000,3600,motor,,,none\n\
        E1,appliance,Heater,G1,1000,,impedance,,,none\n\
        E2,appliance,Oven,G1,2500,,impedance,,,none\n\
        M2,appliance,Pump,G1,200,,motor,,,none\n\
        E3,appliance,Lamp,G1,50,,power,,yes,none\n",
    );
    let desk = Desk::new(&boat, 0, &BTreeSet::from([id(&boat, "E1")]));
    let standing = |tag: &str| &desk.rows.iter().find(|r| r.part == id(&boat, tag)).unwrap().standing;
    assert_eq!(standing("E1"), &Standing::Running);
    assert!(matches!(standing("M1"), Standing::InOrder(order) if order[0] == id(&boat, "M1")), "{:?}", standing("M1"));
    assert!(matches!(standing("E2"), Standing::No(why) if why[0].by == Stop::Running), "{:?}", standing("E2"));
    assert!(matches!(standing("M2"), Standing::NotKnown(_)), "{:?}", standing("M2"));
    assert_eq!(desk.always, [id(&boat, "E3")]);
    assert!(desk.rows.iter().all(|r| r.part != id(&boat, "E3")), "what must run is not up for choice");
    let first = Desk::new(&boat, 0, &BTreeSet::new());
    assert!(first.rows.iter().any(|r| r.standing == Standing::Now && r.part == id(&boat, "M1")));
}

fn set(run_w: f64, start_w: f64) -> Part {
    let mut part = Part::new(PartKind::Generator, "", Place::At(Point::default()));
    (part.run_w, part.start_w, part.rating_a) = (Some(run_w), Some(start_w), Some(40.0));
    part
}

#[test]
fn candidates_side_by_side_and_a_pair_where_it_is_made_for_it() {
    let mut boat = boat(PLAIN);
    let source = id(&boat, "G1");
    Arc::make_mut(boat.parts.get_mut(&source).unwrap()).run_w = Some(1500.0);
    let offer = |name: &str, pair: bool| Candidate {
        name: name.to_owned(),
        in_place_of: source,
        part: Arc::new(set(1300.0, 1500.0)),
        pair,
    };
    let edit = Edit::SetCandidates(vec![offer("Small set", false), offer("Small set", true)]);
    let boat = boat.apply(&edit).unwrap().installation;
    let all = compare(&boat, EFFORT);
    let names: Vec<&str> = all.iter().map(|c| c.name.as_str()).collect();
    assert_eq!(names, ["G1 Set", "Small set", "two of Small set in parallel"]);
    near(all[0].conditions[0].rated.percent(), 162.0);
    near(all[1].conditions[0].rated.reserve(), 1300.0 - 2430.0);
    near(all[2].conditions[0].rated.reserve(), 2600.0 - 2430.0);
    assert_eq!((all[1].conditions[0].starts, all[2].conditions[0].starts), (Some(false), Some(true)));
    near(all[2].conditions[0].start_margin_w, 3000.0 - 2430.0);
    assert!(all[1].conditions[0].newly_possible.is_empty());
    assert!(!all[2].conditions[0].newly_possible.is_empty());
    let removed = boat.apply(&Edit::Remove(hullwire::installation::Selection::part(source))).unwrap();
    assert!(removed.installation.candidates.is_empty(), "a candidate for a source that is gone goes with it");
    let kettle = Candidate { in_place_of: id(&boat, "E1"), ..offer("x", false) };
    assert!(boat.apply(&Edit::SetCandidates(vec![kettle])).is_err());
}
