//! Where two published sources disagree, the finding says so and names the one that was not used: on screen, in the terminal
//! and on paper alike, since all three print the finding's source.

use hullwire::installation::RuleSet;
use hullwire::network::solve;
use hullwire::store::list::import;
use hullwire::survey::{rule, run};

/// Matters in which published sources disagree, and the rules that they touch, with a word of the source that is not used in
/// each rule set. The first six are the table "where rules clash" of the reference data, with the standards' own clauses;
/// the others are figures that a reader could take from one source for those of another.
const MATTERS: &[(&str, &str, RuleSet, &str)] = &[
    ("bundling starts at 3 or 4 conductors, or counts circuits", "conductor-overload", RuleSet::Us, "310.16"),
    (
        "bundling starts at 3 or 4 conductors, or counts circuits",
        "conductor-overload",
        RuleSet::International,
        "B.52.2",
    ),
    ("next standard breaker", "breaker-above-cable", RuleSet::Us, "ISO 13297"),
    ("next standard breaker", "breaker-above-cable", RuleSet::International, "150 %"),
    ("voltage drop", "drop-branch", RuleSet::Us, "ABYC"),
    ("voltage drop", "drop-total", RuleSet::Us, "ABYC"),
    ("voltage drop", "drop-shore", RuleSet::International, "NEC"),
    ("voltage drop", "drop-own-source", RuleSet::International, "type A"),
    ("distance of the first device", "breaker-far-from-source", RuleSet::Us, "0.5 m"),
    ("distance of the first device", "breaker-far-from-source", RuleSet::International, "7 in"),
    ("distance of the first device", "main-far-from-inlet", RuleSet::Us, "0.5 m"),
    ("distance of the first device", "main-far-from-inlet", RuleSet::International, "10 ft"),
    ("residual current of the whole boat", "shore-leakage-missing", RuleSet::Us, "ISO 13297"),
    ("residual current of the whole boat", "shore-leakage-missing", RuleSet::International, "ABYC"),
    ("wet spaces", "gfci-missing", RuleSet::Us, "10 mA"),
    ("wet spaces", "rcd10-missing", RuleSet::International, "5 mA"),
    ("free air or raceway", "breaker-above-cable", RuleSet::Us, "310.16"),
    ("free air or raceway", "cable-unprotected", RuleSet::Us, "310.16"),
    ("free air or raceway", "motor-conductor-thin", RuleSet::Us, "310.16"),
    ("free air or raceway", "cord-below-inlet", RuleSet::Us, "310.16"),
    ("caps of the shore code", "small-conductor", RuleSet::Us, "33 CFR"),
    ("insulation or terminals", "terminal-temperature", RuleSet::Us, "33 CFR"),
    ("device of a generator", "generator-breaker-large", RuleSet::Us, "120 %"),
    ("device of a generator", "generator-breaker-large", RuleSet::International, "120 %"),
    ("name plate or table of motor currents", "motor-conductor-thin", RuleSet::Us, "table of motor currents"),
    ("name plate or table of motor currents", "motor-breaker-large", RuleSet::Us, "table of motor currents"),
    ("thinnest conductor", "conductor-thin", RuleSet::Us, "14 AWG"),
    ("thinnest conductor", "conductor-thin-power", RuleSet::Us, "33 CFR"),
    ("thinnest conductor", "conductor-thin-iso", RuleSet::International, "1.5 mm²"),
    ("135 % or 145 % within the hour", "breaker-overload", RuleSet::Us, "IEC 60898-1"),
    ("135 % or 145 % within the hour", "breaker-overload", RuleSet::International, "UL 489"),
    ("15 A outlets on 20 A", "outlet-below-breaker", RuleSet::International, "NEC"),
    ("lower or higher heating value", "fuel-curve-impossible", RuleSet::Us, "higher"),
];

/// The lists of a rule under its heading "Fires".
fn fires(id: &str) -> Vec<String> {
    let text = rule(id).unwrap_or_else(|| panic!("{id}")).info().explanation();
    let rest = text.split_once("# Fires\n").map_or("", |(_, rest)| rest);
    let section = rest.split_once("\n# Must not fire\n").map_or(rest, |(section, _)| section);
    section.split("```csv\n").skip(1).filter_map(|list| Some(list.split_once("```")?.0.to_owned())).collect()
}

fn sources(list: &str, id: &str) -> (RuleSet, Vec<String>) {
    let installation = import(list).unwrap_or_else(|problems| panic!("{problems:?}")).installation;
    let found = run(&installation, &solve(&installation, 0)).findings;
    (installation.rules, found.into_iter().filter(|f| f.rule == id).map(|f| f.source_words()).collect())
}

#[test]
fn each_finding_names_the_source_that_disagrees_and_is_not_used() {
    for (matter, id, set, word) in MATTERS {
        let mut tried = 0;
        let mut said = 0;
        for list in fires(id) {
            let (rules, sources) = sources(&list, id);
            for source in sources.iter().filter(|_| rules == *set) {
                tried += 1;
                let names = source.split("; ").any(|part| part.contains(word) && part.contains(" not used"));
                said += usize::from(names);
            }
        }
        // Not every finding of an unprotected cable is measured against what the cable may carry.
        let enough = if *id == "cable-unprotected" { said > 0 } else { said == tried && tried > 0 };
        assert!(enough, "{matter}: {id} under {}: {said} of {tried} name {word}: {:?}", set.slug(), fires(id));
    }
}

#[test]
fn type_d_says_which_end_of_its_band_is_used() {
    let list = |trip: &str| {
        format!(
            "# system: 230V50Hz\ntag,kind,fed_from,rating_a,run_w,start_w,load_kind,conductor,trip\n\
             G1,generator,,100,30000,,,,\nQ1,breaker,G1,6,,,,none,{trip}\nM1,appliance,Q1,,500,28000,motor,none,\n"
        )
    };
    for (trip, said) in [("D", true), ("C", false)] {
        let (_, sources) = sources(&list(trip), "start-trips-breaker");
        assert!(!sources.is_empty(), "type {trip}");
        assert!(sources.iter().all(|s| s.contains("15 times") == said), "type {trip}: {sources:?}");
    }
}

/// What the terminal, another program and the paper say of the drop of the boat before its refit.
#[test]
fn terminal_and_paper_name_what_is_not_used() {
    let hullwire = || std::process::Command::new(env!("CARGO_BIN_EXE_hullwire"));
    let sample = format!("{}/samples/trawler-before.csv", env!("CARGO_MANIFEST_DIR"));
    let words = "ABYC E-11 with 10 % for circuits that are not critical is not used";
    let flat = |text: &str| text.split_whitespace().collect::<Vec<_>>().join(" ");
    let said = |format: &str| {
        let output = hullwire().arg("survey").arg(&sample).args(["--format", format]).output().unwrap();
        String::from_utf8(output.stdout).unwrap()
    };
    assert!(flat(&said("table")).contains(&format!("(read); {words}")), "the mark stands with the source that is used");
    let json: serde_json::Value = serde_json::from_str(&said("json")).unwrap();
    let drop = json["findings"].as_array().unwrap().iter().find(|f| f["rule"] == "drop-branch").unwrap();
    assert!(drop["not_used"][0] == words && !drop["source"].as_str().unwrap().contains("not used"), "{drop}");
    let folder = tempfile::tempdir().unwrap();
    for out in ["sheets", "page.html"] {
        let path = folder.path().join(out);
        let status = hullwire().arg("sheets").arg(&sample).arg("-o").arg(&path).output().unwrap().status;
        assert!(status.success(), "{out}");
    }
    let page = std::fs::read_to_string(folder.path().join("page.html")).unwrap();
    assert!(flat(&page).contains(words), "the phone page");
    let files = std::fs::read_dir(folder.path().join("sheets")).unwrap().map(|f| f.unwrap().path());
    let tables: Vec<String> = files.filter_map(|f| std::fs::read_to_string(f).ok()).collect();
    assert!(tables.iter().any(|t| flat(t).contains(words)), "the schedule of findings");
}
