//! The samples under the survey: quiet where they are meant to be, and the faulty one found out.

use hullwire::installation::Installation;
use hullwire::network::solve;
use hullwire::store::list::import;
use hullwire::survey::{Survey, run};
use hullwire::units::Severity;
use std::collections::BTreeSet;

fn sample(name: &str) -> (Installation, Survey) {
    let path = format!("{}/samples/{name}.csv", env!("CARGO_MANIFEST_DIR"));
    let text = std::fs::read_to_string(path).unwrap_or_else(|e| panic!("{name}: {e}"));
    let installation = import(&text).unwrap_or_else(|problems| panic!("{name}: {problems:?}")).installation;
    let survey = run(&installation, &solve(&installation, 0));
    (installation, survey)
}

#[test]
fn a_clean_boat_has_notices_alone() {
    for name in ["trawler", "sailing-boat", "motor-yacht"] {
        let (_, survey) = sample(name);
        let loud: Vec<_> = survey.findings.iter().filter(|f| f.severity > Severity::Notice).collect();
        assert!(loud.is_empty(), "{name}: {loud:#?}");
        assert!(survey.findings.len() < 10, "{name} is not quiet: {:#?}", survey.findings);
    }
}

#[test]
fn the_boat_before_its_refit_is_found_out() {
    let (installation, survey) = sample("trawler-before");
    let found: BTreeSet<(&str, &str)> = survey
        .findings
        .iter()
        .filter(|f| f.severity > Severity::Notice)
        .map(|f| (f.rule, f.parts.first().map_or("", |&p| installation.tag(p))))
        .collect();
    let planted = [
        ("portable-set-aboard", "G1"),
        ("bond-missing", "G1"),
        ("source-running", "G1"),
        ("source-starting", "G1"),
        ("gfci-missing", "X2"),
        ("gfci-missing", "X6"),
        ("breaker-overload", "Q3"),
        ("drop-branch", "E5"),
        ("breaker-above-cable", "Q7"),
        ("cable-unprotected", "E8"),
        ("not-fed", "M9"),
        ("co-alarm-missing", "G1"),
    ];
    // What follows from the portable set and from a shore side that was never finished.
    let consequences =
        [("floating-source-leakage", "G1"), ("generator-breaker-large", "G1"), ("polarity-indicator-missing", "X1")];
    let expected: BTreeSet<(&str, &str)> = planted.into_iter().chain(consequences).collect();
    assert_eq!(found, expected, "exactly what was planted");
    assert!(survey.not_checked.iter().any(|n| n.rule == "drop-branch"), "the length to E8 is not known");
}

#[test]
fn findings_come_worst_first() {
    let (_, survey) = sample("trawler-before");
    assert!(survey.findings.windows(2).all(|w| w[0].severity >= w[1].severity));
    assert_eq!(survey.worst(), Some(Severity::Danger));
}
