//! The samples as drawings laid out by hand: the same installations as the lists beside them, drawn in full, calm where
//! they are meant to be.

use hullwire::installation::{Installation, Place};
use hullwire::network::{Solution, solve};
use hullwire::store::list::{export, import};
use hullwire::store::{parse, to_text};
use hullwire::survey::run;
use hullwire::units::Severity;
use std::collections::BTreeSet;

const ALL: [&str; 4] = ["trawler", "trawler-before", "sailing-boat", "motor-yacht"];
const CALM: [&str; 3] = ["trawler", "sailing-boat", "motor-yacht"];

fn text(name: &str) -> String {
    let path = format!("{}/samples/{name}", env!("CARGO_MANIFEST_DIR"));
    std::fs::read_to_string(path).unwrap_or_else(|e| panic!("{name}: {e}"))
}

fn drawing(name: &str) -> Installation {
    parse(text(&format!("{name}.hullwire")).as_bytes(), name, None).unwrap().installation
}

fn list(text: &str) -> Installation {
    import(text).unwrap_or_else(|problems| panic!("{problems:?}")).installation
}

/// All figures of a solution in the order of ids, to the bit.
fn figures(solution: &Solution) -> String {
    format!("{:?} {:?} {:?}", solution.parts, solution.cables, solution.sources)
}

/// All findings as text, with tags in place of ids.
fn findings(installation: &Installation, solution: &Solution) -> Vec<String> {
    let survey = run(installation, solution);
    let tags = |parts: &[_]| parts.iter().map(|p| installation.tag(*p)).collect::<Vec<_>>().join(" ");
    let found = survey
        .findings
        .iter()
        .map(|f| format!("{:?} {} {}: {} {:?} {:?}", f.severity, f.rule, tags(&f.parts), f.message, f.figure, f.limit));
    let open = survey.not_checked.iter().map(|n| format!("not checked {} {}: {}", n.rule, tags(&n.parts), n.because));
    found.chain(open).collect()
}

#[test]
fn a_drawing_is_the_installation_of_its_list() {
    for name in ALL {
        let beside = list(&text(&format!("{name}.csv")));
        let drawn = drawing(name);
        let exported = list(&export(&drawn, 0));
        for again in [&drawn, &exported] {
            let (a, b) = (solve(&beside, 0), solve(again, 0));
            assert_eq!(figures(&a), figures(&b), "{name}");
            assert_eq!(findings(&beside, &a), findings(again, &b), "{name}");
        }
        assert_eq!(export(&beside, 0), export(&drawn, 0), "{name}");
    }
}

#[test]
fn every_part_has_a_place_on_the_grid_and_the_file_is_as_it_is_saved() {
    for name in ALL {
        let drawn = drawing(name);
        assert!(drawn.parts.values().all(|p| matches!(p.place, Place::At(at) if at.snapped() == at)), "{name}");
        assert_eq!(to_text(&drawn).unwrap(), text(&format!("{name}.hullwire")), "{name}");
        assert!(!drawn.title.title.is_empty() && !drawn.spaces.is_empty(), "{name}");
    }
}

#[test]
fn a_calm_boat_has_notices_alone_in_every_condition() {
    for name in CALM {
        let drawn = drawing(name);
        assert!(drawn.conditions.len() >= 2, "{name} has one condition alone");
        for (number, condition) in drawn.conditions.iter().enumerate() {
            let survey = run(&drawn, &solve(&drawn, number));
            let loud: Vec<_> = survey.findings.iter().filter(|f| f.severity > Severity::Notice).collect();
            assert!(loud.is_empty(), "{name}, {}: {loud:#?}", condition.name);
        }
    }
}

/// What was planted in the boat before its refit, and all that the survey finds there:
///
/// | rule | part | fault |
/// | --- | --- | --- |
/// | `bond-missing` | G1 | the set's neutral floats |
/// | `gfci-missing` | X2 | galley outlet without 5 mA protection |
/// | `gfci-missing` | X6 | head outlet behind 30 mA alone |
/// | `portable-set-aboard` | G1 | a portable petrol set in the lazarette |
/// | `breaker-above-cable` | Q7 | 25 A before a 14 AWG cable of 60 °C in the engine space |
/// | `breaker-overload` | Q3 | 8 A before a coffee machine of 1050 W |
/// | `cable-unprotected` | E8 | joined to the panel without a breaker |
/// | `generator-breaker-large` | G1 | 20 A on a set of 2000 W |
/// | `source-running` | G1 | more switched on than the set can run |
/// | `source-starting` | G1 | the freezer cannot start beside the rest |
/// | `drop-branch` | E5 | 16 m of 16 AWG to a heater of 1000 W |
/// | `fault-not-cleared` | Q7 | follows from the small set: it gives less in a short circuit than trips 25 A |
/// | `floating-source-leakage` | G1 | leakage protection behind the floating neutral |
/// | `not-fed` | M9 | a blower that no cable feeds |
/// | `polarity-indicator-missing` | X1 | none fitted, breakers of one pole |
/// | `breaker-not-standard` | Q3 | 8 A is no standard size |
/// | `cable-data-missing` | E8 | a length that is not stated |
/// | `conductor-thin-power` | E5 | 16 AWG |
/// | `galvanic-isolation-missing` | X1 | neither isolator nor transformer |
/// | `small-conductor` | Q1 | E8: 14 AWG behind 30 A |
/// | `small-conductor` | Q5 | 16 AWG behind 15 A |
/// | `small-conductor` | Q7 | 14 AWG behind 25 A |
/// | `start-all-at-once` | G1 | all that is on starts when the set comes back |
const PLANTED: [(&str, &str); 24] = [
    ("bond-missing", "G1"),
    ("co-alarm-missing", "G1"),
    ("gfci-missing", "X2"),
    ("gfci-missing", "X6"),
    ("portable-set-aboard", "G1"),
    ("breaker-above-cable", "Q7"),
    ("breaker-overload", "Q3"),
    ("cable-unprotected", "E8"),
    ("generator-breaker-large", "G1"),
    ("source-running", "G1"),
    ("source-starting", "G1"),
    ("drop-branch", "E5"),
    ("fault-not-cleared", "Q7"),
    ("floating-source-leakage", "G1"),
    ("not-fed", "M9"),
    ("polarity-indicator-missing", "X1"),
    ("breaker-not-standard", "Q3"),
    ("cable-data-missing", "E8"),
    ("conductor-thin-power", "E5"),
    ("galvanic-isolation-missing", "X1"),
    ("small-conductor", "Q1"),
    ("small-conductor", "Q5"),
    ("small-conductor", "Q7"),
    ("start-all-at-once", "G1"),
];

#[test]
fn the_faulty_boat_has_exactly_its_planted_faults() {
    let drawn = drawing("trawler-before");
    let survey = run(&drawn, &solve(&drawn, 0));
    let first = |parts: &[_]| parts.first().map_or_else(String::new, |p| drawn.tag(*p).to_owned());
    let found: BTreeSet<(String, String)> =
        survey.findings.iter().map(|f| (f.rule.to_owned(), first(&f.parts))).collect();
    let planted: BTreeSet<(String, String)> = PLANTED.iter().map(|(r, t)| ((*r).to_owned(), (*t).to_owned())).collect();
    assert_eq!(found, planted);
    assert_eq!(survey.findings.len(), PLANTED.len());
}
