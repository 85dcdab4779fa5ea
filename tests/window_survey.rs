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
        w.query_all_by_label_contains("For the electrician: no change of a single value").count() == 1
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
