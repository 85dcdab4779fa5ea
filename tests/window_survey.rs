//! The survey in the window: findings that open, changes that cure them, one by one and as a list; by names and keys.
#![cfg(feature = "window")]

use egui::{Key, Modifiers, vec2};
use egui_kittest::Harness;
use egui_kittest::kittest::{NodeT as _, Queryable as _};
use hullwire::app::App;
use hullwire::installation::Installation;
use hullwire::store::list::import;
use hullwire::survey::{Finding, remedies};
use std::time::{Duration, Instant};

type Window = Harness<'static, App>;

/// A coffee machine on a breaker that is too small and a heater on a cable that is too thin for its way; both outlets in
/// the galley trip on no leakage.
const BOAT: &str = "# name: Reed Warbler
# system: 120V60Hz
tag,kind,fed_from,space,rating_a,run_w,conductor,length_m,insulation_c,continuous,bonded
X1,shore-inlet,,,30,,,,,,
Q0,breaker,X1,,30,,10 AWG,2,105,,
A1,panel,Q0,,60,,none,,,,
Q1,breaker,A1,,8,,none,,,,
X2,outlet,Q1,galley,15,,14 AWG,4,105,,
E1,appliance,X2,galley,,1100,,,,no,
Q2,breaker,A1,,15,,none,,,,
E2,appliance,Q2,,,1200,16 AWG,12,105,no,
Q3,breaker,A1,,15,,none,,,,
X3,outlet,Q3,galley,15,,14 AWG,4,105,,
E3,appliance,X3,galley,,200,,,,no,
";

fn boat() -> Installation {
    import(BOAT).unwrap_or_else(|problems| panic!("{problems:?}")).installation
}

fn window_of(doc: Installation) -> Window {
    let mut window = Harness::builder()
        .with_size(vec2(1440.0, 2400.0))
        .with_max_steps(30)
        .build_eframe(move |cc| App::new(&cc.egui_ctx, doc, None));
    window.run();
    window
}

fn names(window: &Window) -> Vec<String> {
    window.root().children_recursive().filter_map(|n| n.accesskit_node().label()).collect()
}

/// Steps until something holds: work beside the window takes its time.
fn until(window: &mut Window, what: &str, holds: impl Fn(&Window) -> bool) {
    let start = Instant::now();
    while !holds(window) {
        assert!(start.elapsed() < Duration::from_secs(60), "{what} did not come, but {:#?}", names(window));
        window.step();
        std::thread::sleep(Duration::from_millis(5));
    }
    window.run();
}

fn findings(window: &Window) -> Vec<Finding> {
    window.state().state.computed.survey.findings.clone()
}

fn card(finding: &Finding) -> String {
    format!("{}: {}", finding.severity, finding.message)
}

fn of_rule(window: &Window, rule: &str) -> Finding {
    findings(window)
        .into_iter()
        .find(|f| f.rule == rule)
        .unwrap_or_else(|| panic!("no {rule}: {:#?}", findings(window)))
}

fn open(window: &mut Window, rule: &str) {
    let name = card(&of_rule(window, rule));
    window.get_by_label(&name).click_accesskit();
    window.run();
}

#[test]
fn an_open_finding_says_what_would_change_and_one_click_makes_it() {
    let mut window = window_of(boat());
    open(&mut window, "breaker-overload");
    let change = "Make this change: Q1: rated current 10 A in place of 8 A";
    until(&mut window, "the change", |w| w.query_by_label(change).is_some());
    assert!(window.query_by_label("Q1 rated current 8 A → 10 A").is_some(), "the figure before and after");
    assert!(window.query_by_label_contains("never part of a list").is_some());
    let before = findings(&window).len();
    window.get_by_label(change).click();
    window.run();
    assert!(findings(&window).iter().all(|f| f.rule != "breaker-overload"));
    assert!(findings(&window).len() < before);
    assert_eq!(window.state().state.history.depth(), 1, "one step");
    window.key_press_modifiers(Modifiers::COMMAND, Key::Z);
    window.run();
    assert_eq!(findings(&window).len(), before);
}

#[test]
fn a_finding_is_opened_and_cured_by_the_keyboard() {
    let mut window = window_of(boat());
    let name = card(&of_rule(&window, "drop-branch"));
    window.get_by_label(&name).focus();
    window.run();
    window.key_press(Key::Enter);
    window.run();
    let is_change = |w: &Window| w.query_all_by_label_contains("Make this change: cable to E2").count() == 1;
    until(&mut window, "the change", is_change);
    window.key_press(Key::Tab);
    window.run();
    window.key_press(Key::Space);
    window.run();
    assert!(findings(&window).iter().all(|f| f.rule != "drop-branch"));
}

#[test]
fn what_no_single_value_cures_is_for_the_electrician() {
    let mut window = window_of(boat());
    open(&mut window, "galvanic-isolation-missing");
    until(&mut window, "the reason", |w| {
        w.query_all_by_label_contains("No change is offered: no change of a single value").count() == 1
    });
    assert_eq!(window.query_all_by_label_contains("Make this change").count(), 0);
}

#[test]
fn a_list_of_cures_is_shown_chosen_from_and_made_as_one_step() {
    let mut window = window_of(boat());
    let state = &window.state().state;
    let cures = remedies(state.installation(), 0, &state.computed.survey);
    let listed = cures.iter().filter(|(_, cure)| !cure.alone).count();
    assert!(listed >= 3 && listed < cures.len(), "the larger breaker stands alone: {cures:#?}");
    let link = format!("Cure {listed} of these at once…");
    until(&mut window, "the list", |w| w.query_by_label(&link).is_some());
    window.get_by_label(&link).click();
    window.run();
    until(&mut window, "the rows", |w| w.query_all_by_label_contains("Include: ").count() >= 3);
    assert!(window.query_by_label_contains("larger breaker").is_some());
    let shown: Vec<String> =
        window.query_all_by_label_contains("Include: ").filter_map(|n| n.accesskit_node().label()).collect();
    let leave = shown.iter().find(|s| s.starts_with("Include: X3")).cloned().unwrap_or_default();
    window.get_by_label(&leave).click();
    window.run();
    until(&mut window, "the new list", |w| w.query_by_label_contains("Findings: ").is_some());
    let before = findings(&window).len();
    window.get_by_label("Make the listed changes").click();
    window.run();
    assert_eq!(window.state().state.history.depth(), 1, "one step");
    let rules: Vec<&str> = findings(&window).iter().map(|f| f.rule).collect();
    assert_eq!(rules.iter().filter(|r| **r == "gfci-missing").count(), 1, "the one that was left out: {rules:?}");
    assert!(rules.contains(&"breaker-overload"), "a breaker is never raised by a list");
    assert!(rules.len() < before);
}

/// Accepts the first finding of a rule by the dialog.
fn accept(window: &mut Window, rule: &str, reason: &str, name: Option<&str>) {
    open(window, rule);
    let finding = of_rule(window, rule);
    let button = format!("Accept: {}", finding.message);
    assert!(window.query_by_label(&button).is_some(), "no {button} in {:#?}", names(window));
    window.get_by_label(&button).click_accesskit();
    window.run();
    window.get_by_label("Reason for accepting").type_text(reason);
    window.run();
    if let Some(name) = name {
        window.get_by_label("Name of the person who accepts").click();
        window.run();
        window.get_by_label("Name of the person who accepts").type_text(name);
        window.run();
    }
    window.get_by_label("Accept the finding").click();
    window.run();
}

fn open_rules(window: &Window) -> Vec<&'static str> {
    window.state().state.computed.judged.open.iter().map(|f| f.rule).collect()
}

#[test]
fn a_finding_is_accepted_with_a_reason_listed_and_withdrawn() {
    let mut window = window_of(boat());
    accept(&mut window, "breaker-overload", "it is used for a minute", Some("R. Warbler"));
    assert!(!open_rules(&window).contains(&"breaker-overload"));
    let accepted = window.state().state.installation().accepted.clone();
    assert_eq!(accepted.len(), 1);
    assert_eq!((accepted[0].by.as_str(), accepted[0].reason.as_str()), ("R. Warbler", "it is used for a minute"));
    assert_eq!(accepted[0].date.len(), "2026-05-30".len(), "{:?}", accepted[0].date);
    // The name is remembered for the next one.
    accept(&mut window, "drop-branch", "short runs", None);
    assert_eq!(window.state().state.installation().accepted[1].by, "R. Warbler");
    window.get_by_label("2 accepted findings").click_accesskit();
    window.run();
    assert_eq!(window.query_all_by_label_contains("Withdraw: accepted, ").count(), 2);
    let first = names(&window).into_iter().find(|n| n.starts_with("Withdraw: accepted, ") && n.contains("Q1"));
    window.get_by_label(&first.unwrap_or_default()).click_accesskit();
    window.run();
    assert!(open_rules(&window).contains(&"breaker-overload"));
    assert!(window.query_by_label("1 accepted finding").is_some());
}

#[test]
fn an_accepted_finding_comes_back_when_its_figure_gets_worse() {
    let mut window = window_of(boat());
    accept(&mut window, "breaker-overload", "it is used for a minute", Some("R. Warbler"));
    let machine = window.state().state.installation().part_by_tag("E1");
    let edit = hullwire::installation::Edit::SetPart {
        parts: machine.into_iter().collect(),
        property: hullwire::installation::Property::RunW,
        text: "1300 W".to_owned(),
        origin: None,
    };
    assert!(window.state_mut().state.edit(&edit, None));
    window.run();
    assert!(open_rules(&window).contains(&"breaker-overload"));
    let returned = &window.state().state.computed.judged.returned;
    assert_eq!(returned.len(), 1);
    open(&mut window, "breaker-overload");
    let finding = of_rule(&window, "breaker-overload");
    window.get_by_label(&format!("Accept: {}", finding.message)).click_accesskit();
    window.run();
    let reason = window.get_by_label("Reason for accepting").value();
    assert_eq!(reason.as_deref(), Some("it is used for a minute"), "what was said before is offered again");
}

#[test]
fn danger_has_no_way_to_accept_it_and_says_why() {
    let mut window = window_of(boat());
    let danger = findings(&window).into_iter().find(|f| f.severity == hullwire::units::Severity::Danger);
    let danger = danger.unwrap_or_else(|| panic!("no DANGER: {:#?}", findings(&window)));
    let rule = danger.rule;
    open(&mut window, rule);
    assert!(window.query_by_label("DANGER cannot be accepted: it has to be put right.").is_some());
    assert!(window.query_by_label_contains("Accept: ").is_none());
}

#[test]
fn a_breaker_shows_its_trip_curve_with_words_beside_it() {
    let mut window = window_of(boat());
    let breaker = window.state().state.installation().part_by_tag("Q1");
    window.state_mut().state.select(hullwire::installation::Selection::of_parts(breaker));
    window.run();
    window.get_by_label("Trip behaviour").click_accesskit();
    window.run();
    let plot = window.get_by_label("Q1 time–current plot, UL 489, 8.0 A");
    assert!(plot.rect().height() > 150.0);
    let said = plot.accesskit_node().description().unwrap_or_default();
    assert!(said.contains("must hold up to 8.0 A") && said.contains("must trip from 10.8 A"), "{said}");
    assert!(window.query_by_label("carries 9.3 A now").is_some(), "{:#?}", names(&window));
    assert!(window.query_by_label_contains("UL 489 leaves the instantaneous band to the maker").is_some());
}

#[test]
fn what_is_to_be_removed_is_said_in_the_particulars() {
    let mut window = window_of(boat());
    let heater = window.state().state.installation().part_by_tag("E2");
    window.state_mut().state.select(hullwire::installation::Selection::of_parts(heater));
    window.run();
    window.get_by_label("E2 status").click_accesskit();
    window.run();
    window.get_by_label("to be removed").click_accesskit();
    window.run();
    let doc = window.state().state.installation();
    let status = heater.and_then(|id| doc.parts.get(&id)).map(|p| p.status);
    assert_eq!(status, Some(hullwire::installation::Status::Remove));
    assert!(open_rules(&window).contains(&"to-be-removed"));
}

#[test]
fn alarms_and_petrol_aboard_are_stated_with_the_drawing() {
    let mut window = window_of(boat());
    let choose = |window: &mut Window, row: &str, words: &str| {
        window.get_by_label(row).click();
        window.run();
        window.get_by_label(words).click();
        window.run();
    };
    let said = |window: &Window| window.state().state.installation().aboard.clone();
    choose(&mut window, "Drawing, co alarms", "missing somewhere");
    assert_eq!(said(&window).co_alarms, Some(false));
    choose(&mut window, "Drawing, petrol in", "Lazarette");
    assert_eq!(said(&window).petrol_words(), "lazarette");
    // The list stays open for a second space.
    window.get_by_label("Galley").click();
    window.run();
    assert_eq!(said(&window).petrol_words(), "galley|lazarette");
    of_rule(&window, "ignition-near-petrol");
    window.get_by_label("none").click();
    window.run();
    assert_eq!(said(&window).petrol_words(), "none");
    assert!(!findings(&window).iter().any(|f| f.rule == "ignition-near-petrol"));
}
