//! Accepted findings: apart from the open ones, back when the figure gets worse, and never at DANGER.

use hullwire::installation::{Accepted, Edit, Installation, Part, Status};
use hullwire::network::solve;
use hullwire::store::list::import;
use hullwire::survey::{Finding, Judged, judge, run, until_removed};
use hullwire::units::Severity;
use proptest::prelude::*;
use std::sync::Arc;

/// A breaker of 15 A that carries more.
fn overloaded(watts: f64) -> Installation {
    let list = format!(
        "# system: 120V60Hz\ntag,kind,fed_from,rating_a,run_w,conductor,length_m,insulation_c,space\n\
         X1,shore-inlet,,30,,,,,\nA1,panel,X1,,,10 AWG,3,105,\nQ1,breaker,A1,15,,none,,,\n\
         X2,outlet,Q1,15,,12 AWG,5,105,galley\nE1,appliance,X2,,{watts},,,,\n"
    );
    import(&list).unwrap_or_else(|p| panic!("{p:?}")).installation
}

fn judged(doc: &Installation) -> Judged {
    judge(doc, &run(doc, &solve(doc, 0)))
}

fn open<'a>(judged: &'a Judged, rule: &str) -> Option<&'a Finding> {
    judged.open.iter().find(|f| f.rule == rule)
}

fn accept(doc: &Installation, finding: &Finding) -> Installation {
    let accepted = finding.acceptance("for the season", "A. Owner", "30 May");
    doc.apply(&Edit::Accept(Box::new(accepted))).unwrap_or_else(|e| panic!("{e}")).installation
}

fn with_watts(mut doc: Installation, watts: f64) -> Installation {
    let id = doc.part_by_tag("E1").unwrap();
    Arc::<Part>::make_mut(doc.parts.get_mut(&id).unwrap()).run_w = Some(watts);
    doc
}

#[test]
fn an_accepted_finding_is_apart_and_comes_back_when_it_gets_worse() {
    let doc = overloaded(2000.0);
    let before = judged(&doc);
    let finding = open(&before, "breaker-overload").unwrap();
    let doc = accept(&doc, finding);
    let after = judged(&doc);
    assert!(open(&after, "breaker-overload").is_none());
    assert_eq!(after.accepted.iter().filter(|a| a.finding.rule == "breaker-overload").count(), 1);
    assert_eq!(after.open.len() + 1, before.open.len(), "nothing else changes");
    let better = judged(&with_watts(doc.clone(), 1900.0));
    assert!(open(&better, "breaker-overload").is_none() && better.accepted.len() == 1);
    let worse = judged(&with_watts(doc.clone(), 2000.001));
    let back = worse.open.iter().position(|f| f.rule == "breaker-overload").unwrap();
    assert!(worse.returned(back).is_some_and(|r| r.because.starts_with("the figure was ")), "{:?}", worse.returned);
    assert!(worse.accepted.is_empty());
    let cured = judged(&with_watts(doc, 500.0));
    assert_eq!(cured.unmatched, [0], "kept, and said to have no finding");
}

#[test]
fn danger_is_open_whatever_a_file_says() {
    let mut doc = overloaded(1000.0);
    let before = judged(&doc);
    let danger = before.open.iter().find(|f| f.severity == Severity::Danger).unwrap();
    let refused = doc.apply(&Edit::Accept(Box::new(danger.acceptance("why not", "A. Owner", "")))).unwrap_err();
    assert!(refused.to_string().contains("DANGER"));
    doc.accepted.push(Accepted { severity: Some(Severity::Caution), ..danger.acceptance("why not", "A. Owner", "") });
    let after = judged(&doc);
    assert_eq!(after.open.len(), before.open.len());
    assert_eq!(after.returned[0].because, "DANGER cannot be accepted");
}

fn finding(figure: Option<f64>, limit: Option<f64>, severity: Severity) -> Finding {
    let info = hullwire::survey::rule("volts-out-of-band").unwrap().info();
    Finding { figure, limit, severity, unit: "V", ..info.finding([], "as it is") }
}

/// Whether a finding that was accepted with one figure is accepted with another.
fn holds(was: (Option<f64>, Severity), now: (Option<f64>, Severity), limit: Option<f64>) -> bool {
    let mut doc = overloaded(100.0);
    doc.accepted.push(finding(was.0, limit, was.1).acceptance("so", "A", ""));
    let survey = hullwire::survey::Survey { findings: vec![finding(now.0, limit, now.1)], ..Default::default() };
    judge(&doc, &survey).open.is_empty()
}

#[test]
fn worse_is_further_from_the_limit_on_its_side() {
    let s = Severity::Warning;
    let held = |was: f64, now: f64, limit: f64| holds((Some(was), s), (Some(now), s), Some(limit));
    assert!(held(20.0, 20.0, 15.0) && held(20.0, 18.0, 15.0) && !held(20.0, 20.1, 15.0));
    assert!(held(100.0, 100.0, 108.0) && held(100.0, 104.0, 108.0) && !held(100.0, 99.9, 108.0));
    assert!(held(20.0, 20.0 * (1.0 + 0.9e-9), 15.0) && !held(20.0, 20.0 * (1.0 + 1.1e-9), 15.0));
    assert!(!held(100.0, 140.0, 108.0), "from too low to too high");
    assert!(!holds((Some(1.0), s), (Some(0.9), s), None), "no limit says which way is worse");
    assert!(!holds((Some(20.0), s), (None, s), Some(15.0)), "not known is never taken as fine");
    assert!(!holds((None, s), (Some(20.0), s), Some(15.0)));
    assert!(holds((None, s), (None, s), None));
    assert!(!holds((None, Severity::Caution), (None, s), None), "more severe");
    assert!(holds((None, s), (None, Severity::Caution), None));
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 60, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn all_below_danger_can_be_accepted_and_a_second_survey_says_the_same(watts in 50.0..6000.0f64) {
        let mut doc = overloaded(watts);
        let before = judged(&doc);
        for finding in before.open.iter().filter(|f| f.severity < Severity::Danger) {
            doc = accept(&doc, finding);
        }
        let after = judged(&doc);
        prop_assert!(after.open.iter().all(|f| f.severity == Severity::Danger), "{:#?}", after.open);
        prop_assert_eq!(after.accepted.len() + after.open.len(), before.open.len());
        prop_assert!(after.unmatched.is_empty() && after.returned.is_empty());
    }
}

#[test]
fn what_is_wrong_until_a_removal_is_listed_apart() {
    let mut doc = overloaded(2000.0);
    let none = run(&doc, &solve(&doc, 0));
    assert!(until_removed(&doc, 0, &none).is_empty(), "nothing is to be removed");
    let id = doc.part_by_tag("E1").unwrap();
    Arc::<Part>::make_mut(doc.parts.get_mut(&id).unwrap()).status = Status::Remove;
    let planned = run(&doc, &solve(&doc, 0));
    assert!(!planned.findings.iter().any(|f| f.rule == "breaker-overload"));
    let now = until_removed(&doc, 0, &planned);
    assert!(now.iter().any(|f| f.rule == "breaker-overload"), "{now:#?}");
    assert!(now.iter().all(|f| f.severity > Severity::Notice));
}
