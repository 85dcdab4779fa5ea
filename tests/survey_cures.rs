//! Cures are tried before they are offered, and keep what they promise.

use hullwire::installation::{Conductor, Edit, Installation, PartId, PartKind, Property};
use hullwire::network::{Solution, solve};
use hullwire::store::list::import;
use hullwire::survey::{Finding, Offer, Remedy, Survey, effects, offers, plan, remedies, remedy, rules, run};
use proptest::prelude::*;
use proptest::strategy::ValueTree;
use std::collections::BTreeSet;

fn read(text: &str) -> Installation {
    import(text).unwrap_or_else(|problems| panic!("{problems:?}")).installation
}

fn sample(name: &str) -> Installation {
    let path = format!("{}/samples/{name}.csv", env!("CARGO_MANIFEST_DIR"));
    read(&std::fs::read_to_string(path).unwrap_or_else(|e| panic!("{name}: {e}")))
}

fn surveyed(installation: &Installation) -> (Solution, Survey) {
    let solution = solve(installation, 0);
    let survey = run(installation, &solution);
    (solution, survey)
}

/// Applies every cure of a drawing by itself and holds each to what it promises.
fn hold_to_promise(installation: &Installation) -> Vec<(&'static str, String, bool)> {
    let (_, before) = surveyed(installation);
    let mut seen = Vec::new();
    for (finding, cure) in remedies(installation, 0, &before) {
        let changed = installation.apply(&cure.edit).map(|e| e.installation);
        let Ok(changed) = changed else { panic!("{}: {:?}", finding.rule, cure.edit) };
        let (_, after) = surveyed(&changed);
        let of = |s: &Survey| s.findings.iter().filter(|f| f.severity >= finding.severity).count();
        assert!(of(&after) < of(&before), "{} by {} leaves as many as bad", finding.rule, cure.label);
        let alike = |f: &&hullwire::survey::Finding| f.rule == finding.rule && f.parts == finding.parts;
        let (was, is) = (before.findings.iter().filter(alike).count(), after.findings.iter().filter(alike).count());
        assert!(is < was, "{} by {} is still there", finding.rule, cure.label);
        seen.push((finding.rule, cure.label, cure.alone));
    }
    seen
}

#[test]
fn the_boat_before_its_refit_can_be_cured_in_part() {
    let cures = hold_to_promise(&sample("trawler-before"));
    let of = |rule: &str| cures.iter().filter(|c| c.0 == rule).map(|c| c.1.as_str()).collect::<Vec<_>>();
    assert_eq!(of("gfci-missing").len(), 2, "{cures:#?}");
    assert_eq!(of("breaker-overload"), ["Q3 Coffee machine: rated current 15 A in place of 8 A"]);
    assert_eq!(of("drop-branch"), ["cable to E5 Fan heater: 14 AWG in place of 16 AWG"]);
    for electrician in ["bond-missing", "portable-set-aboard", "cable-unprotected", "source-starting"] {
        assert!(of(electrician).is_empty(), "{electrician} is not for one click");
    }
    assert!(
        cures.iter().all(|c| c.2 == (c.0 == "breaker-overload")),
        "only raising a breaker stands alone: {cures:#?}"
    );
}

#[test]
fn a_breaker_is_not_raised_while_something_behind_it_is_not_known() {
    let list = |cable: &str, outlet: &str| {
        format!(
            "# system: 120V60Hz\ntag,kind,fed_from,rating_a,run_w,conductor,length_m,insulation_c,continuous\n\
             X1,shore-inlet,,30,,,,,\nQ0,breaker,X1,30,,none,,,\nA1,panel,Q0,60,,none,,,\nQ1,breaker,A1,10,,none,,,\n\
             X2,outlet,Q1,{outlet},,{cable},\nE1,appliance,X2,,1300,,,,no\n"
        )
    };
    let raised = |text: &str| {
        let installation = read(text);
        let (_, survey) = surveyed(&installation);
        let Some(finding) = survey.findings.iter().find(|f| f.rule == "breaker-overload") else {
            panic!("{:?}", survey.findings)
        };
        (remedy(&installation, 0, finding).map(|r| r.label), finding.cure.clone())
    };
    let (cure, words) = raised(&list("14 AWG,4,105", "15"));
    assert_eq!(cure.as_deref(), Some("Q1: rated current 15 A in place of 10 A"));
    assert!(words.is_some_and(|w| w.starts_with("15 A: cable and outlet carry it")));
    for (cable, outlet) in
        [("14 AWG,4,", "15"), (",4,105", "15"), ("14 AWG,4,105", ""), ("18 AWG,4,60", "15"), ("14 AWG,4,105", "10")]
    {
        let (cure, words) = raised(&list(cable, outlet));
        assert_eq!(cure, None, "cable {cable}, outlet {outlet}");
        assert!(words.is_some_and(|w| !w.contains("15 A")), "cable {cable}, outlet {outlet}");
    }
}

/// The cures of a list, by rule.
fn cures_of(list: &str, rule: &str) -> Vec<Remedy> {
    let installation = read(list);
    let (_, survey) = surveyed(&installation);
    assert!(survey.findings.iter().any(|f| f.rule == rule), "{rule}: {:#?}", survey.findings);
    remedies(&installation, 0, &survey).into_iter().filter(|(f, _)| f.rule == rule).map(|(_, r)| r).collect()
}

#[test]
fn a_circuit_that_is_too_much_is_split() {
    let list = "# system: 120V60Hz\ntag,kind,label,fed_from,rating_a,run_w,conductor,length_m,insulation_c,continuous\n\
                X1,shore-inlet,,,30,,,,,\nQ0,breaker,Main,X1,30,,none,,,\nA1,panel,,Q0,60,,none,,,\n\
                Q1,breaker,Heaters,A1,15,,none,,,\nE1,appliance,Heater port,Q1,,1000,16 AWG,3,60,no\n\
                E2,appliance,Heater starboard,Q1,,900,16 AWG,3,60,no\n";
    let cures = cures_of(list, "breaker-overload");
    let [cure] = cures.as_slice() else { panic!("{cures:#?}") };
    let begins = cure.label.starts_with("Q1 Heaters split: a breaker of its own of 15 A on the panel");
    assert!(!cure.alone && begins, "{cure:?}");
    let after = read(list).apply(&cure.edit).map(|e| e.installation).unwrap_or_else(|e| panic!("{e}"));
    let (solution, survey) = surveyed(&after);
    assert!(!survey.findings.iter().any(|f| f.rule == "breaker-overload"), "{:#?}", survey.findings);
    let loads: Vec<f64> = after
        .parts
        .iter()
        .filter(|(_, p)| p.kind == PartKind::Breaker && p.rating_a == Some(15.0))
        .map(|(id, _)| solution.parts[id].amps.unwrap_or(f64::NAN).round())
        .collect();
    assert_eq!(loads, [8.0, 8.0], "900 and 1000 W at 120 V");
    // With one cable alone behind it there is nothing to split.
    let alone = list.replace("E2,appliance,Heater starboard,Q1,,900,16 AWG,3,60,no\n", "").replace("1000", "2000");
    let left = cures_of(&alone, "breaker-overload");
    assert!(left.iter().all(|r| r.alone), "{left:?}");
}

#[test]
fn a_circuit_moves_to_the_other_leg() {
    let list = "# system: 120/240V60Hz\ntag,kind,fed_from,rating_a,run_w,leg,conductor\nG1,generator,,30,6000,,\n\
                A1,panel,G1,60,,,none\nQ1,breaker,A1,15,,L1,none\nE1,appliance,Q1,,500,L1,none\n\
                Q2,breaker,A1,15,,L1,none\nE2,appliance,Q2,,1000,,none\nQ3,breaker,A1,15,,L2,none\n\
                E3,appliance,Q3,,450,,none\n";
    let cures = cures_of(list, "leg-imbalance");
    let [cure] = cures.as_slice() else { panic!("{cures:#?}") };
    assert_eq!(cure.label, "Q1: leg L2 in place of L1", "950 against 1000 W");
    let Edit::SetPart { parts, .. } = &cure.edit else { panic!("{:?}", cure.edit) };
    assert_eq!(parts.len(), 2, "the appliance that states its leg goes with it");
}

#[test]
fn a_cure_counts_every_condition() {
    let list = "# system: 120V60Hz\ntag,kind,fed_from,rating_a,run_w,conductor,length_m,insulation_c,on\n\
                X1,shore-inlet,,50,,,,,\nQ0,breaker,X1,50,,none,,,\nA1,panel,Q0,60,,none,,,\n\
                Q1,breaker,A1,30,,none,,,yes\nE1,appliance,Q1,,1500,14 AWG,3,60,yes\n";
    let more = "E2,appliance,Q1,,1200,14 AWG,3,60,no\n";
    let smaller = "Q1: rated current 20 A in place of 30 A";
    let of = |installation: &Installation| {
        let (_, survey) = surveyed(installation);
        let found = survey.findings.iter().find(|f| f.rule == "breaker-above-cable");
        let found = found.unwrap_or_else(|| panic!("{:#?}", survey.findings));
        remedy(installation, 0, found).map(|r| r.label)
    };
    assert_eq!(of(&read(list)).as_deref(), Some(smaller), "one heater alone");
    // What is off may be switched on: both are 22.5 A, above the smaller breaker.
    let one = read(&format!("{list}{more}"));
    assert_ne!(of(&one).as_deref(), Some(smaller));
    // Behind a breaker that is open it draws nothing, until another condition has that closed.
    let one = read(&format!("{list}Q2,breaker,Q1,20,,none,,,no\nE2,appliance,Q2,,1200,14 AWG,3,60,yes\n"));
    assert_eq!(of(&one).as_deref(), Some(smaller), "one condition");
    let q2 = one.part_by_tag("Q2").unwrap_or_else(|| panic!("no Q2"));
    let edits = vec![
        Edit::AddCondition { name: "Both".to_owned(), like: 0 },
        Edit::Switch { condition: 1, parts: vec![q2], on: true },
    ];
    let two = one.apply(&Edit::Many { label: String::new(), edits }).unwrap_or_else(|e| panic!("{e}")).installation;
    assert_ne!(of(&two).as_deref(), Some(smaller));
}

/// A panel with circuits as boats have them, some of them wrong, some not known.
fn plausible() -> impl Strategy<Value = String> {
    let circuit = (
        prop::sample::select(&[8, 10, 15, 20, 25, 30, 40][..]),
        prop::sample::select(&["16 AWG", "14 AWG", "12 AWG", "10 AWG", "1.5 mm2", "2.5 mm2", ""][..]),
        prop::sample::select(&["60", "75", "105", "105", ""][..]),
        prop::sample::select(&["galley", "head", "accommodation", "engine-space"][..]),
        prop::sample::select(&["", "10", "15", "20"][..]),
        (200_u32..2600, 200_u32..1500, 2_u32..25, any::<bool>(), any::<bool>(), any::<bool>()),
    );
    (any::<bool>(), prop::collection::vec(circuit, 1..7)).prop_map(|(us, circuits)| {
        let system = if us { "120V60Hz" } else { "230V50Hz" };
        let mut list = format!(
            "# system: {system}\n\
             tag,kind,label,fed_from,space,rating_a,run_w,load_kind,poles,bonded,conductor,length_m,insulation_c,lighting\n\
             G1,generator,Set,,lazarette,60,9000,,2,yes,,,,\nQ1,breaker,Main,G1,accommodation,50,,,2,,none,,,\n\
             A1,panel,Panel,Q1,accommodation,100,,,,,none,,,\n"
        );
        for (n, (rating, size, insulation, space, outlet, (watts, more, length, plugged, two, motor))) in
            circuits.into_iter().enumerate()
        {
            let n = n + 2;
            let kind = if motor { "motor" } else { "impedance" };
            list += &format!("Q{n},breaker,Circuit {n},A1,accommodation,{rating},,,,,none,,,\n");
            let cable = format!("{size},{length},{insulation}");
            if plugged {
                list += &format!("X{n},outlet,Outlet {n},Q{n},{space},{outlet},,,,,{cable},\n");
                list += &format!("E{n},appliance,Load {n},X{n},{space},,{watts},{kind},,,none,,,\n");
            } else {
                list += &format!("E{n},appliance,Load {n},Q{n},{space},,{watts},{kind},,,{cable},\n");
            }
            if two {
                list += &format!("E{n}9,appliance,More {n},Q{n},{space},,{more},power,,,{cable},no\n");
            }
        }
        list
    })
}

/// Rules about earthing, bonding, transfer, ignition and carbon monoxide: their cure is for the electrician.
const ELECTRICIAN: [&str; 24] = [
    "bond-missing",
    "bond-on-shore",
    "bond-second",
    "floating-source-leakage",
    "galvanic-isolation-missing",
    "galvanic-isolator-small",
    "inverter-bond-transfer",
    "polarity-indicator-missing",
    "selector-neutral",
    "transformer-unbonded",
    "transformer-earthing",
    "backfeed",
    "charger-on-own-inverter",
    "main-above-inlet",
    "main-far-from-inlet",
    "parallel-sources",
    "loop",
    "portable-set-aboard",
    "portable-diesel-aboard",
    "set-in-living-space",
    "ignition-near-petrol",
    "generator-hot",
    "shared-neutral-adds",
    "wrong-voltage",
];

#[test]
fn what_is_for_the_electrician_is_a_rule() {
    for id in ELECTRICIAN {
        assert!(rules().iter().any(|r| r.info().id == id), "{id}");
    }
}

/// What must be known of all behind a breaker that is raised, told without the engine's own lookups.
fn all_is_known_behind(installation: &Installation, breaker: PartId, rating: f64) -> bool {
    let mut ahead = vec![breaker];
    while let Some(at) = ahead.pop() {
        for cable in installation.cables.values().filter(|c| c.from == at) {
            let to = &installation.parts[&cable.to];
            let fitted = cable.data.conductor != Conductor::None;
            if fitted && (cable.data.size().is_none() || cable.data.insulation_c.is_none()) {
                return false;
            }
            if to.kind == PartKind::Outlet && to.rating_a.is_none_or(|a| a < rating) {
                return false;
            }
            if to.kind != PartKind::Breaker {
                ahead.push(cable.to);
            }
        }
    }
    true
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 40, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn cures_of_plausible_boats_keep_what_they_promise(list in plausible()) {
        let installation = read(&list);
        let (_, before) = surveyed(&installation);
        let key = |f: &Finding| (f.rule, f.parts.first().copied(), f.cables.clone());
        for (finding, cure) in remedies(&installation, 0, &before) {
            let what = format!("{} by {}", finding.rule, cure.label);
            prop_assert!(!ELECTRICIAN.contains(&finding.rule), "{what}");
            let changed = installation.apply(&cure.edit);
            prop_assert!(changed.is_ok(), "{what}: {:?}", cure.edit);
            let Ok(changed) = changed else { continue };
            let (_, after) = surveyed(&changed.installation);
            for new in after.findings.iter().filter(|f| f.severity >= finding.severity) {
                let old = before.findings.iter().filter(|f| key(f) == key(new)).map(|f| f.severity).max();
                prop_assert!(old.is_some_and(|s| s >= new.severity), "{what} creates {new:?}");
            }
            prop_assert!(!after.findings.iter().any(|f| key(f) == key(&finding)), "{what} is still there");
            let said = effects(&installation, 0, &finding, &cure);
            prop_assert!(!said.is_empty(), "{what}: nothing is said of the figures");
            for effect in &said {
                prop_assert!(!effect.words(&installation).contains("NaN") && effect.before != effect.after);
            }
            let raised = match &cure.edit {
                Edit::SetPart { parts, property: Property::RatingA, text, .. } => {
                    let new: f64 = text.parse().unwrap_or(f64::NAN);
                    installation.parts[&parts[0]].rating_a.is_some_and(|old| new > old).then_some((parts[0], new))
                }
                _ => None,
            };
            prop_assert_eq!(raised.is_some(), cure.alone, "{}", what);
            if let Some((breaker, rating)) = raised {
                prop_assert!(all_is_known_behind(&installation, breaker, rating), "{what}\n{list}");
            }
        }
        // Tried one after the other or each by itself, they are the same.
        let mut told = Vec::new();
        offers(&installation, 0, &before.findings, |n, offer| {
            told.push((n, if let Offer::Change(cure, _) = offer { Some(cure.label) } else { None }));
            true
        });
        let alone = before.findings.iter().map(|f| remedy(&installation, 0, f).map(|r| r.label)).enumerate();
        prop_assert_eq!(told, alone.collect::<Vec<_>>());
        let cures = plan(&installation, 0, &before, &|_| true, &|| true);
        prop_assert!(cures.is_some());
        let Some(cures) = cures else { return Ok(()) };
        prop_assert!(cures.steps.iter().all(|step| !step.remedy.alone), "a list raises no breaker");
        if let Some(edit) = cures.edit() {
            let changed = installation.apply(&edit);
            prop_assert!(changed.is_ok());
            let Ok(changed) = changed else { return Ok(()) };
            let (_, after) = surveyed(&changed.installation);
            prop_assert_eq!(after.findings.len(), cures.findings_after);
            prop_assert!(after.worst() <= before.worst());
        }
    }
}

#[test]
fn plausible_boats_have_cures_of_many_kinds() {
    let mut runner = proptest::test_runner::TestRunner::deterministic();
    let mut cured = BTreeSet::new();
    let mut left = BTreeSet::new();
    for _ in 0..40 {
        let list = plausible().new_tree(&mut runner).map(|tree| tree.current()).unwrap_or_else(|e| panic!("{e}"));
        let installation = read(&list);
        let (_, survey) = surveyed(&installation);
        offers(&installation, 0, &survey.findings, |n, offer| {
            match offer {
                Offer::Change(cure, _) => _ = cured.insert((survey.findings[n].rule, cure.alone)),
                Offer::Electrician(why) => _ = left.insert(why),
            }
            true
        });
    }
    let rules: BTreeSet<&str> = cured.iter().map(|c| c.0).collect();
    assert!(rules.len() >= 8, "the property above would say little: {rules:?}");
    assert!(cured.iter().any(|c| c.1), "no breaker was raised: {cured:?}");
    // Nothing to try, nothing that helps, and nothing without harm are told apart.
    assert_eq!(left.len(), 3, "{left:?}");
}

#[test]
fn an_edit_that_cures_is_one_step() {
    let installation = sample("trawler-before");
    let (_, survey) = surveyed(&installation);
    for (_, cure) in remedies(&installation, 0, &survey) {
        let one = matches!(cure.edit, Edit::SetPart { .. } | Edit::SetCable { .. } | Edit::Many { .. });
        assert!(one, "{:?}", cure.edit);
    }
}
