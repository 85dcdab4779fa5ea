//! What is not known is said: silence would read as approval. And what cannot be solved still gets its findings.

use hullwire::installation::Installation;
use hullwire::network::solve;
use hullwire::store::list::import;
use hullwire::survey::{Hazard, Survey, cautions, run};
use hullwire::units::Severity;

fn check(list: &str) -> (Installation, Survey) {
    let installation = import(list).unwrap_or_else(|problems| panic!("{problems:?}")).installation;
    let survey = run(&installation, &solve(&installation, 0));
    (installation, survey)
}

/// A boat of which everything is known, with some cells of it emptied.
fn boat(system: &str, without: &[&str]) -> String {
    let mut list = format!(
        "# system: {system}\ntag,kind,fed_from,space,run_w,start_w,load_kind,rating_a,poles,bonded,conductor,length_m,insulation_c\n"
    );
    let size = if system.starts_with("230") { "2.5 mm2" } else { "12 AWG" };
    let rows = [
        ("G1", "generator,,engine-space,{G1.run_w},{G1.start_w},,{G1.rating_a},2,{G1.bonded},,,".to_owned()),
        ("A1", "panel,G1,accommodation,,,,{A1.rating_a},,,none,,".to_owned()),
        ("Q1", "breaker,A1,accommodation,,,,{Q1.rating_a},2,,none,,".to_owned()),
        (
            "M1",
            "appliance,Q1,accommodation,{M1.run_w},{M1.start_w},motor,,,,{M1.conductor},{M1.length_m},70".to_owned(),
        ),
    ];
    for (tag, row) in rows {
        let mut row = format!("{tag},{row}\n");
        let known = [
            ("G1.run_w", "3000"),
            ("G1.start_w", "5000"),
            ("G1.rating_a", "15"),
            ("G1.bonded", "yes"),
            ("A1.rating_a", "60"),
            ("Q1.rating_a", "10"),
            ("M1.run_w", "500"),
            ("M1.start_w", "1500"),
            ("M1.conductor", size),
            ("M1.length_m", "4"),
        ];
        for (cell, value) in known {
            let value = if without.contains(&cell) { "" } else { value };
            row = row.replace(&format!("{{{cell}}}"), value);
        }
        list.push_str(&row);
    }
    list
}

#[test]
fn every_missing_value_is_named_by_the_checks_that_need_it() {
    let cases: [(&str, &str, &[&str]); 10] = [
        ("G1.run_w", "G1", &["source-running", "generator-breaker-large"]),
        ("G1.start_w", "G1", &[]),
        ("G1.rating_a", "G1", &["source-breaker-overload", "generator-breaker-large"]),
        ("G1.bonded", "G1", &["bond-missing"]),
        ("A1.rating_a", "A1", &["equipment-overload"]),
        ("Q1.rating_a", "Q1", &["breaker-overload"]),
        ("M1.run_w", "Q1", &["breaker-overload"]),
        ("M1.start_w", "M1", &["source-starting", "start-all-at-once"]),
        ("M1.conductor", "M1", &["conductor-overload", "breaker-above-cable", "volts-out-of-band"]),
        ("M1.length_m", "M1", &["volts-out-of-band"]),
    ];
    for system in ["120V60Hz", "230V50Hz"] {
        let (_, whole) = check(&boat(system, &[]));
        for (cell, tag, rules) in cases {
            let (installation, survey) = check(&boat(system, &[cell]));
            for rule in rules {
                let said = |s: &Survey| {
                    s.not_checked.iter().any(|n| n.rule == *rule && n.parts.iter().any(|&p| installation.tag(p) == tag))
                };
                assert!(said(&survey), "{system} without {cell}: {rule} is silent: {:#?}", survey.not_checked);
                let by_watts = *rule == "source-starting";
                assert!(by_watts || !said(&whole), "{system}: {rule} complains though all is known");
            }
        }
        let drops: &[&str] =
            if system.starts_with("120") { &["drop-branch", "drop-total"] } else { &["drop-own-source"] };
        for cell in ["M1.conductor", "M1.length_m", "M1.run_w"] {
            let (_, survey) = check(&boat(system, &[cell]));
            for rule in drops {
                assert!(survey.not_checked.iter().any(|n| n.rule == *rule), "{system} without {cell}: {rule}");
            }
        }
    }
}

/// Each rule that reads whether neutral and earth are joined says so where it is not known, and is silent once it is.
#[test]
fn an_unknown_joint_of_neutral_and_earth_is_said_by_each_rule_that_needs_it() {
    let head = "# feeding: G1\ntag,kind,fed_from,rating_a,run_w,bonded,protection,poles,conductor\n";
    let cases: [(&str, &str, &[&str]); 5] = [
        ("floating-source-leakage", "G1", &["G1,generator,,20,2000,{},,,", "Q1,breaker,G1,15,,,gfci,,none"]),
        ("floating-source-polarity", "G1", &["G1,generator,,20,2000,{},,,", "P1,polarity-indicator,G1,,,,,,"]),
        (
            "bond-second",
            "G1",
            &["G1,generator,,20,2000,{},,,", "X1,shore-inlet,,16,,no,,,", "Q1,selector,G1|X1,30,,,,1,none"],
        ),
        ("inverter-bond-transfer", "T1", &["G1,generator,,20,2000,yes,,,", "T1,inverter,G1,20,2000,{},,,none"]),
        ("transformer-earthing", "T1", &["G1,shore-inlet,,30,,no,,,", "T1,isolation-transformer,G1,30,,{},,,none"]),
    ];
    for system in ["120V60Hz", "230V50Hz"] {
        for (rule, tag, rows) in cases {
            for (bonded, expected) in [("", true), ("yes", false), ("no", false)] {
                let rows = rows.join("\n").replace("{}", bonded);
                let (installation, survey) = check(&format!("# system: {system}\n{head}{rows}\n"));
                let said = survey.not_checked.iter().filter(|n| n.rule == rule);
                let parts: Vec<&str> = said.flat_map(|n| &n.parts).map(|&p| installation.tag(p)).collect();
                let wanted: &[&str] = if expected { &[tag] } else { &[] };
                assert_eq!(parts, wanted, "{rule} with {bonded:?} under {system}: {:#?}", survey.not_checked);
                if expected {
                    assert!(!survey.findings.iter().any(|f| f.rule == rule), "{rule} found something in the unknown");
                }
            }
        }
    }
}

#[test]
fn without_figures_each_rule_says_so_in_one_line() {
    let loops = "# system: 120V60Hz\ntag,kind,fed_from,rating_a,run_w,conductor,length_m\nG1,generator,,30,4000,,\n\
                 Q1,breaker,G1,20,,none,\nA1,panel,Q1|A2,,,10 AWG,2\nA2,panel,A1,,,10 AWG,2\nE1,appliance,A2,,100,14 AWG,2\n";
    let parallel = "# system: 230V50Hz\n# feeding: G1|X1\ntag,kind,fed_from,rating_a,run_w,conductor,length_m\n\
                    G1,generator,,10,2000,,\nX1,shore-inlet,,16,,,\nA1,panel,G1|X1,,,2.5 mm2,2\nE1,appliance,A1,,100,1.5 mm2,2\n";
    let unsupplied = "# system: 120V60Hz\ntag,kind,fed_from,rating_a,run_w,conductor,length_m\nG1,generator,,30,4000,,\n\
                      E1,appliance,G1,,3000,18 AWG,200\n";
    for (list, id) in [(loops, "loop"), (parallel, "parallel-sources"), (unsupplied, "no-solution")] {
        let (_, survey) = check(list);
        let finding = survey.findings.iter().find(|f| f.rule == id);
        assert!(finding.is_some_and(|f| f.severity >= Severity::Warning && !f.parts.is_empty()), "{id}");
        for rule in ["breaker-overload", "source-running", "volts-out-of-band", "inlet-overload"] {
            let said: Vec<_> = survey.not_checked.iter().filter(|n| n.rule == rule).collect();
            assert!(matches!(said.as_slice(), [one] if one.because.contains("no figures")), "{id}: {rule}: {said:?}");
            assert!(!survey.findings.iter().any(|f| f.rule == rule), "{id}: {rule} has a figure");
        }
    }
}

#[test]
fn cautions_follow_what_is_drawn() {
    let kinds = |list: &str| cautions(&check(list).0).iter().map(|c| c.kind).collect::<Vec<_>>();
    let head = "tag,kind,rating_a,run_w,fuel,portable\n";
    let shore = kinds(&format!("# system: 120V60Hz\n{head}X1,shore-inlet,30,,,\n"));
    assert_eq!(shore, [Hazard::Shock, Hazard::Work, Hazard::ShoreCord]);
    let petrol = kinds(&format!("# system: 120V60Hz\n{head}G1,generator,20,2000,petrol,no\n"));
    assert_eq!(petrol, [Hazard::CarbonMonoxide, Hazard::Fire, Hazard::Shock, Hazard::Work]);
    let portable = kinds(&format!("# system: 230V50Hz\n{head}G1,generator,10,2000,diesel,yes\n"));
    assert!(portable.contains(&Hazard::CarbonMonoxide) && portable.contains(&Hazard::Fire));
    let inverter = kinds(&format!("# system: 230V50Hz\n{head}T1,inverter,10,2000,,\n"));
    assert!(inverter.contains(&Hazard::Battery) && inverter.contains(&Hazard::Capacitors));
    let empty = Installation::new(hullwire::installation::System::TwoWire120);
    assert!(cautions(&empty).iter().any(|c| c.kind == Hazard::Shock), "always");
    for caution in cautions(&check(&format!("# system: 120V60Hz\n{head}G1,generator,20,2000,petrol,yes\n")).0) {
        let text = caution.text();
        assert!(text.starts_with(caution.severity.word()) && text.contains(caution.avoid), "{text}");
        assert!(!caution.consequence.is_empty() && !caution.source.is_empty());
    }
}

/// The practice of ANSI Z535: a signal word that fits the harm, the hazard, what it leads to, and how to avoid it, in this
/// order.
#[test]
fn cautions_are_worded_by_practice() {
    let list = "# system: 120V60Hz\n# feeding: off\ntag,kind,rating_a,run_w,fuel,portable\nX1,shore-inlet,30,,,\n\
                G1,generator,20,2000,petrol,yes\nT1,inverter,10,2000,,\n";
    let all = cautions(&check(list).0);
    assert_eq!(all.len(), 7, "one for each hazard");
    assert!(all.windows(2).all(|w| w[0].severity >= w[1].severity), "worst first");
    for caution in &all {
        let text = caution.text();
        let places =
            [caution.severity.word(), caution.hazard, caution.consequence, caution.avoid].map(|part| text.find(part));
        assert!(places.iter().all(Option::is_some) && places.is_sorted(), "{text}");
        let harm = ["kill", "burn", "explode", "fire"];
        assert!(harm.iter().any(|word| caution.consequence.contains(word)), "{}: no harm is named", caution.id);
        assert!(caution.severity >= Severity::Warning, "{}: what can kill is no CAUTION", caution.id);
        assert!(caution.hazard.ends_with('.') && caution.consequence.ends_with('.') && caution.avoid.ends_with('.'));
        assert!(caution.line().starts_with(caution.severity.word()) && caution.line().contains(caution.hazard));
        let marked = ["read", "from memory", "no source"].iter().any(|m| caution.source.contains(m));
        assert!(marked, "{}: {}", caution.id, caution.source);
    }
    // What no drawing can decide is said here and is no finding.
    let said = |id: &str, words: &[&str]| {
        let caution = all.iter().find(|c| c.id == id).map(hullwire::survey::Caution::text).unwrap_or_default();
        for word in words {
            assert!(caution.contains(word), "{id} does not speak of {word}");
        }
    };
    said("carbon-monoxide", &["swim platform", "neighbours' exhaust", "alarm in each sleeping space", "20 ft"]);
    said("fire", &["refuel", "cool", "ignition protected"]);
    said("shock", &["swim", "lock", "meter"]);
    said("inverter-capacitors", &["wait", "measure"]);
}
