//! The samples as drawings laid out by hand: the same installations as the lists beside them, drawn in full, calm where
//! they are meant to be.

use hullwire::installation::{Installation, Place};
use hullwire::network::{Solution, solve};
use hullwire::store::list::{export, import};
use hullwire::store::{parse, to_text};
use hullwire::survey::run;
use hullwire::units::Severity;
use std::collections::BTreeSet;

const ALL: [&str; 1] = ["trawler"];
const CALM: [&str; 1] = ["trawler"];

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
