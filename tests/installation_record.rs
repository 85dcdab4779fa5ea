//! What the document remembers: status of parts and cables, accepted findings, revisions.

use hullwire::installation::{Accepted, Edit, EditError, History, Installation, PartId, Property, Status};
use hullwire::network::{Reach, solve};
use hullwire::store::{list, parse, to_text};
use hullwire::survey::run;
use hullwire::units::Severity;

/// An old breaker beside the new one that takes its place.
const REFIT: &str = "# system: 120V60Hz
tag,kind,fed_from,rating_a,run_w,conductor,length_m,insulation_c,status,cable_status
X1,shore-inlet,,30,,,,,,
A1,panel,X1,,,10 AWG,3,,,
Q1,breaker,A1,30,,none,,,remove,
Q2,breaker,A1,15,,none,,,new,
E1,appliance,Q1|Q2,,1200,14 AWG,5,60,,remove|new
";

fn read(text: &str) -> Installation {
    list::import(text).unwrap_or_else(|problems| panic!("{problems:?}")).installation
}

fn at(doc: &Installation, tag: &str) -> PartId {
    doc.part_by_tag(tag).unwrap_or_else(|| panic!("no {tag}"))
}

fn apply(doc: &Installation, edit: &Edit) -> Installation {
    doc.apply(edit).unwrap_or_else(|e| panic!("{e}")).installation
}

#[test]
fn figures_are_those_after_the_refit_and_what_goes_may_be_live() {
    let doc = read(REFIT);
    let solution = solve(&doc, 0);
    assert!(solution.converged, "the old breaker beside the new one is no loop: {:?}", solution.walk.faults);
    let amps = |tag: &str| solution.parts[&at(&doc, tag)].amps;
    assert!(amps("Q2").is_some_and(|a| (a - 10.0).abs() < 0.5), "{:?}", amps("Q2"));
    assert_eq!(amps("Q1"), None);
    assert_eq!(solution.walk.reach[&at(&doc, "Q1")], Reach::MayBeLive, "never called not fed");
    let survey = run(&doc, &solution);
    let named = survey.findings.iter().find(|f| f.rule == "to-be-removed");
    assert!(named.is_some_and(|f| f.parts.contains(&at(&doc, "Q1")) && f.message.contains("may be live")));
    let old = survey.findings.iter().find(|f| f.rule != "to-be-removed" && f.parts.contains(&at(&doc, "Q1")));
    assert!(old.is_none(), "{old:?}");
}

#[test]
fn as_it_is_has_the_old_and_not_the_new() {
    let doc = read(REFIT);
    let now = doc.as_is();
    assert!(now.part_by_tag("Q2").is_none() && now.parts.values().all(|p| p.status == Status::Existing));
    assert_eq!(now.cables.len(), 3);
    let survey = run(&now, &solve(&now, 0));
    let old = survey.findings.iter().find(|f| f.rule == "breaker-above-cable");
    assert!(old.is_some_and(|f| f.parts.contains(&at(&doc, "Q1"))), "what is wrong now is found now: {survey:#?}");
    let planned = doc.planned();
    assert!(planned.part_by_tag("Q1").is_none() && planned.cables.len() == 3);
}

#[test]
fn a_source_that_goes_does_not_feed() {
    let mut doc = read(REFIT);
    let inlet = at(&doc, "X1");
    let edit = |text: &str| Edit::SetPart {
        parts: vec![inlet],
        property: Property::Status,
        text: text.to_owned(),
        origin: None,
    };
    doc = apply(&doc, &edit("remove"));
    let solution = solve(&doc, 0);
    assert!(solution.converged && solution.walk.roots.is_empty());
    assert_eq!(solution.walk.reach[&inlet], Reach::MayBeLive);
    assert_eq!(apply(&doc, &edit("")).parts[&inlet].status, Status::Existing);
    assert!(doc.apply(&edit("old")).is_err_and(|e| e.to_string().contains("existing, new, remove")));
    let cable = *doc.cables.keys().next().unwrap();
    let of_cable =
        Edit::SetCable { cables: vec![cable], property: Property::Status, text: "new".to_owned(), origin: None };
    assert_eq!(apply(&doc, &of_cable).cables[&cable].get(Property::Status), "new");
}

#[test]
fn a_part_whose_feed_goes_can_be_fed_anew() {
    let doc =
        read(&REFIT.replace("E1,appliance,Q1|Q2,,1200,14 AWG,5,60,,remove|new", "E1,appliance,Q1,,1200,14 AWG,5,60,,"));
    let (from, to) = (at(&doc, "Q2"), at(&doc, "E1"));
    assert_eq!(doc.may_connect(from, to), Ok(()));
    let kept = apply(
        &doc,
        &Edit::SetPart { parts: vec![at(&doc, "Q1")], property: Property::Status, text: String::new(), origin: None },
    );
    assert!(matches!(kept.may_connect(from, to), Err(EditError::AlreadyFed { .. })));
}

#[test]
fn a_list_keeps_the_status_of_part_and_cable() {
    let doc = read(REFIT);
    let again = read(&list::export(&doc, 0));
    for (id, part) in &doc.parts {
        assert_eq!(again.parts[id].status, part.status, "{}", part.tag);
    }
    let statuses = |d: &Installation| d.cables.values().map(|c| c.status).collect::<Vec<_>>();
    assert_eq!(statuses(&again), statuses(&doc));
    assert_eq!(statuses(&doc), [Status::Existing, Status::Remove, Status::New, Status::Remove, Status::New]);
    let wrong = list::import(&REFIT.replace("remove|new", "remove|old")).unwrap_err();
    assert!(wrong[0].to_string().contains("line 7, column cable_status: found “remove|old”; valid: existing, new"));
}

fn acceptance(doc: &Installation, severity: Severity) -> Accepted {
    Accepted {
        rule: "drop-total".to_owned(),
        parts: vec![at(doc, "E1")],
        cables: Vec::new(),
        severity: Some(severity),
        reason: " A heater; it may run weaker. ".to_owned(),
        by: "A. Owner".to_owned(),
        date: String::new(),
        figure: Some(5.5),
        extra: Default::default(),
    }
}

#[test]
fn accepting_is_an_edit_that_undo_takes_back() {
    let mut history = History::new(read(REFIT));
    let accepted = acceptance(history.installation(), Severity::Caution);
    history.apply(&Edit::Accept(Box::new(accepted.clone())), None).unwrap();
    assert_eq!(history.undo_label(), Some("accept drop-total"));
    assert_eq!(history.installation().accepted[0].reason, "A heater; it may run weaker.");
    let newer = Accepted { figure: Some(7.0), ..accepted };
    history.apply(&Edit::Accept(Box::new(newer)), None).unwrap();
    assert_eq!(history.installation().accepted.len(), 1, "one acceptance a finding");
    assert_eq!(history.installation().accepted[0].figure, Some(7.0));
    history.apply(&Edit::WithdrawAcceptance(0), None).unwrap();
    assert!(history.installation().accepted.is_empty());
    assert!(history.undo() && history.installation().accepted.len() == 1);
    let none = history.apply(&Edit::WithdrawAcceptance(3), None).unwrap_err();
    assert_eq!(none.to_string(), "there is no accepted finding 4");
}

#[test]
fn danger_and_acceptance_without_reason_or_name_are_refused() {
    let doc = read(REFIT);
    let refused = |a: Accepted| doc.apply(&Edit::Accept(Box::new(a))).unwrap_err().to_string();
    assert!(refused(acceptance(&doc, Severity::Danger)).contains("DANGER, which cannot be accepted"));
    let good = acceptance(&doc, Severity::Warning);
    assert!(refused(Accepted { reason: "  ".to_owned(), ..good.clone() }).starts_with("the reason is missing"));
    assert!(refused(Accepted { by: String::new(), ..good }).starts_with("the name is missing"));
}

#[test]
fn what_was_accepted_of_a_deleted_part_is_kept() {
    let doc = read(REFIT);
    let doc = apply(&doc, &Edit::Accept(Box::new(acceptance(&doc, Severity::Caution))));
    let gone = at(&doc, "E1");
    let doc = apply(&doc, &Edit::Remove(hullwire::installation::Selection::part(gone)));
    let text = to_text(&doc).unwrap();
    let again = parse(text.as_bytes(), "x", None).unwrap().installation;
    assert_eq!(again.accepted, doc.accepted);
    assert_eq!(again.accepted[0].parts, [gone]);
    assert!(again.next_id > gone.number(), "its id is not given to another part");
    let late = text.replace(&format!("\"next_id\": {}", doc.next_id), "\"next_id\": 1");
    assert!(parse(late.as_bytes(), "x", None).unwrap().installation.next_id > gone.number());
}

fn issue(letter: &str, date: &str) -> Edit {
    Edit::IssueRevision {
        letter: letter.to_owned(),
        date: date.to_owned(),
        author: "B. Drawer".to_owned(),
        note: "for review".to_owned(),
    }
}

#[test]
fn a_revision_freezes_the_document_under_a_letter() {
    let doc = apply(&read(REFIT), &issue("", "2026-05-30"));
    assert_eq!((doc.revisions.len(), doc.revisions[0].letter.as_str()), (1, "A"));
    assert_eq!((doc.title.revision_index.as_str(), doc.title.date_of_issue.as_str()), ("A", "2026-05-30"));
    let later = apply(
        &doc,
        &Edit::SetPart {
            parts: vec![at(&doc, "Q2")],
            property: Property::RatingA,
            text: "10".to_owned(),
            origin: None,
        },
    );
    let frozen = &later.revisions[0].state;
    assert_eq!(frozen.parts[&at(&doc, "Q2")].rating_a, Some(15.0));
    assert!(frozen.revisions.is_empty());
    let second = apply(&later, &issue("", "2026-06-30"));
    assert_eq!(second.revisions[1].letter, "B");
    assert!(second.revisions[1].state.revisions.is_empty());
    let taken = second.apply(&issue("A", "2026-07-01")).unwrap_err();
    assert_eq!(taken.to_string(), "revision A has been issued already; valid: another letter, such as C");
    assert!(second.apply(&issue("C", " ")).unwrap_err().to_string().starts_with("the date of issue is missing"));
    let again = parse(to_text(&second).unwrap().as_bytes(), "x", None).unwrap().installation;
    assert_eq!(again, second);
}

#[test]
fn letters_follow_each_other() {
    let mut doc = read(REFIT);
    for (last, next) in [("A", "B"), ("Z", "AA"), ("AZ", "BA"), ("ZZ", "AAA"), ("3", "4"), ("c", "D")] {
        doc.revisions.clear();
        doc = apply(&doc, &issue(last, "today"));
        assert_eq!(doc.next_letter(), next);
    }
}

#[test]
fn what_is_wrong_in_a_record_is_named() {
    let text = r#"{"version": 1, "system": "120V60Hz", "parts": [{"id": 1, "tag": "X1", "kind": "shore-inlet",
        "status": "old"}],
        "accepted": [{"parts": ["x"], "figure": "much"}],
        "revisions": [{"letter": "A", "state": {"system": "7V"}}, {"letter": "A"},
            {"letter": "B", "state": {"system": "120V60Hz", "revisions": []}}]}"#;
    let error = parse(text.as_bytes(), "x", None).unwrap_err();
    let all: Vec<String> = error.problems().iter().map(ToString::to_string).collect();
    let all = all.join("\n");
    for expected in [
        "part X1, status: found “old”; valid: existing, new, remove",
        "accepted, entry 1, rule: found nothing",
        "accepted, entry 1, parts: found “x”",
        "accepted, entry 1, figure: found “much”; valid: a bare number",
        "revision A, state, system: found “7V”; valid: 120V60Hz",
        "revision A, letter: found “A” a second time",
        "revision A, state: found nothing",
        "revision B, state, revisions: found revisions in a revision",
    ] {
        assert!(all.contains(expected), "{expected}\nis not in\n{all}");
    }
}
