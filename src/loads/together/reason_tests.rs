//! Reasons, starts and lists of small boats by hand.

use super::judge::Judge;
use super::model::{Model, NotChecked, Of, Stop, first};
use super::{EFFORT, together};
use crate::store::list::boat;

/// 40 m of 16 AWG, 0.0160 Ω a metre at 75 °C, are 1.28 Ω out and back: 12.5 A alone lose 16 V of 120 V. Each pair is alike.
#[test]
fn the_reason_of_a_conflict_names_the_appliance_that_stands_in_it() {
    let installation = boat(
        "# system: 120V60Hz\n# resistance: formula\ntag,kind,fed_from,run_w,start_w,conductor,length_m\n\
         G1,generator,,9000,9000,,\nE1,appliance,G1,1500,,16 AWG,40\nE2,appliance,G1,1500,,16 AWG,40\n\
         M1,appliance,G1,100,9500,8 AWG,1\nM2,appliance,G1,100,9500,8 AWG,1\n",
    );
    let found = together(&installation, 0, EFFORT);
    let tag = |id| installation.tag(id).to_owned();
    let said: Vec<(Vec<String>, Stop, String, Option<String>)> = found
        .conflicts
        .iter()
        .flat_map(|c| c.stops.iter().map(|s| (c.parts.clone(), s)))
        .map(|(parts, s)| (parts.into_iter().map(tag).collect(), s.by, tag(s.part), s.starter.map(tag)))
        .collect();
    let own = |load: &str, by, part: &str, starter: Option<&str>| {
        (vec![load.to_owned()], by, part.to_owned(), starter.map(str::to_owned))
    };
    assert_eq!(
        said,
        [
            own("E1", Stop::Voltage, "E1", None),
            own("E2", Stop::Voltage, "E2", None),
            own("M1", Stop::Starting, "G1", Some("M1")),
            own("M2", Stop::Starting, "G1", Some("M2")),
        ]
    );
}

/// Formula: 14 AWG has 0.0101 Ω a metre at 75 °C, and 45 m out and back 0.91 Ω.
#[test]
fn of_several_reasons_of_a_kind_the_one_that_is_furthest_off_comes_first() {
    let installation = boat(
        "# system: 120V60Hz\n# resistance: formula\ntag,kind,fed_from,rating_a,run_w,start_w,conductor,length_m\n\
         G1,generator,,,9000,9000,,\nQ1,breaker,G1,12,,,none,\nE1,appliance,Q1,,1500,,14 AWG,45\n\
         Q2,breaker,G1,13,,,none,\nE2,appliance,Q2,,1800,,14 AWG,45\n",
    );
    let model = Model::new(&installation, 0);
    let stops = Judge::new(&model).stops(first(2));
    let said: Vec<(Stop, &str)> = stops.iter().map(|s| (s.by, installation.tag(s.part))).collect();
    assert_eq!(said, [(Stop::Breaker, "Q2"), (Stop::Breaker, "Q1"), (Stop::Voltage, "E2"), (Stop::Voltage, "E1")]);
    let volts: Vec<f64> = stops[2..].iter().filter_map(|s| s.figure).collect();
    assert!(volts[0] < volts[1] && volts[1] < 108.0, "{volts:?}");
}

/// 1,000 W run, of which 300 W start with 1,500 W once more: 700 + 1,500 W.
#[test]
fn a_restart_is_what_else_runs_and_the_watts_of_the_start() {
    let installation = boat(
        "# system: 120V60Hz\ntag,kind,fed_from,run_w,start_w,load_kind,cycles,conductor\n\
         G1,generator,,2000,2100,,,\nM1,appliance,G1,300,1500,motor,yes,none\nE1,appliance,G1,700,,,,none\n",
    );
    let model = Model::new(&installation, 0);
    let stops = Judge::new(&model).stops(first(2));
    let [stop] = stops.as_slice() else { panic!("{stops:?}") };
    assert_eq!((stop.by, stop.figure, stop.limit, stop.unit), (Stop::Starting, Some(2200.0), 2100.0, "W"));
    assert_eq!((stop.starter.map(|s| installation.tag(s)), stop.restart), (Some("M1"), true));
}

#[test]
fn a_source_s_watts_only_grow_where_every_load_takes_half_its_volt_amperes_in_watts() {
    let grows = |pf: [&str; 2]| {
        let installation = boat(&format!(
            "# system: 120V60Hz\ntag,kind,fed_from,run_w,pf,conductor\nG1,generator,,2000,,\n\
             E1,appliance,G1,300,{},none\nE2,appliance,G1,300,{},none\n",
            pf[0], pf[1]
        ));
        Model::new(&installation, 0).watts_only_grow()
    };
    assert!(grows(["1", "0.5"]) && grows(["", "0.8"]));
    assert!(!grows(["0.49", "0.9"]) && !grows(["0.9", "0.2"]));
}

/// The order of least peak has the second motor first: 2,600 W, then 500 + 2,500 W for the other.
#[test]
fn the_start_that_asks_for_most_is_named_and_not_the_first() {
    let installation = boat(
        "# system: 120V60Hz\ntag,kind,fed_from,run_w,start_w,load_kind,conductor\nG1,generator,,2000,2900,,\n\
         M1,appliance,G1,700,2500,motor,none\nM2,appliance,G1,500,2600,motor,none\n",
    );
    let model = Model::new(&installation, 0);
    let stops = Judge::new(&model).stops(first(2));
    let [stop] = stops.as_slice() else { panic!("{stops:?}") };
    assert_eq!((stop.by, stop.figure, stop.limit), (Stop::Starting, Some(3000.0), 2900.0));
    assert_eq!((stop.starter.map(|s| installation.tag(s)), stop.restart), (Some("M1"), false));
}

/// A pump of 300 W and 400 var starts with 1,500 W and 2,000 var beside 1,300 W and 450 var: 2,800 W and 2,450 var.
#[test]
fn a_restart_that_only_volt_amperes_forbid_is_said_in_volt_amperes() {
    let installation = boat(
        "# system: 120V60Hz\ntag,kind,fed_from,run_w,start_w,start_va,pf,load_kind,cycles,conductor\n\
         G1,generator,,2000,9000,3700,,,,\nM1,appliance,G1,300,1500,2500,0.6,motor,yes,none\n\
         E1,appliance,G1,700,,,,,,none\nE2,appliance,G1,600,,,0.8,,,none\n",
    );
    let model = Model::new(&installation, 0);
    let stops = Judge::new(&model).stops(first(3));
    let [stop] = stops.as_slice() else { panic!("{stops:?}") };
    assert_eq!((stop.by, stop.limit, stop.unit, stop.restart), (Stop::Starting, 3700.0, "VA", true));
    let by_hand = 2800_f64.hypot(2450.0);
    assert!(stop.figure.is_some_and(|va| (va - by_hand).abs() < 1e-6), "{:?}, by hand {by_hand}", stop.figure);
}

#[test]
fn starts_are_judged_in_watts_alone_where_the_source_or_a_load_states_no_volt_amperes() {
    let by_watts_only = |source_va: &str, motor_va: &str| {
        let installation = boat(&format!(
            "# system: 120V60Hz\ntag,kind,fed_from,run_w,start_w,start_va,load_kind,conductor\n\
             G1,generator,,2000,3000,{source_va},,\nM1,appliance,G1,300,1500,{motor_va},motor,none\n"
        ));
        together(&installation, 0, EFFORT).by_watts_only
    };
    assert!(!by_watts_only("4000", "2000"));
    assert!(by_watts_only("", "2000") && by_watts_only("4000", "") && by_watts_only("", ""));
}

#[test]
fn what_is_not_fed_or_not_known_is_listed_and_the_others_are_counted_without_it() {
    let list = |run_w: &str| {
        boat(&format!(
            "# system: 120V60Hz\ntag,kind,fed_from,run_w,start_w,conductor,on\nG1,generator,,2000,3000,,\n\
             Q1,breaker,G1,,,none,no\nE1,appliance,Q1,300,,none,\nE2,appliance,G1,1500,,none,\n\
             E3,appliance,G1,{run_w},,none,\n"
        ))
    };
    let known = list("900");
    let id = |tag: &str| known.part_by_tag(tag).unwrap();
    let found = together(&known, 0, EFFORT);
    assert_eq!((found.not_fed, found.not_known), (vec![id("E1")], vec![]));
    assert_eq!((found.exact, found.count, found.conflict_count), (true, Some(2), Some(1)));
    let found = together(&list(""), 0, EFFORT);
    assert_eq!(found.not_known, [(id("E3"), "its running watts are not known")]);
    assert_eq!((found.exact, found.count, found.conflict_count), (true, Some(1), Some(0)));
    assert_eq!(found.combinations, [vec![id("E2")]]);
}

#[test]
fn volts_are_a_limit_at_each_appliance_whose_watts_and_cables_are_known() {
    let installation = boat(
        "# system: 120V60Hz\ntag,kind,fed_from,run_w,conductor,length_m\nG1,generator,,2000,,\nA1,panel,G1,,10 AWG,3\n\
         E1,appliance,A1,300,14 AWG,2\nE2,appliance,A1,,14 AWG,2\nE3,appliance,A1,300,14 AWG,\nE4,appliance,A1,200,none,\n",
    );
    let model = Model::new(&installation, 0);
    let volts = model.checks.iter().filter(|c| c.of == Of::Volts).map(|c| installation.tag(c.part));
    assert_eq!(volts.collect::<Vec<_>>(), ["E1", "E4"]);
    let not_checked = |n: &NotChecked| (n.check == Stop::Voltage).then(|| n.parts.clone());
    let open: Vec<_> = model.not_checked.iter().filter_map(not_checked).collect();
    assert_eq!(open, [vec![installation.part_by_tag("E3").unwrap()]]);
}
