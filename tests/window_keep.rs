//! Never lose work: recovery after a crash, a second window, a file changed elsewhere, faults inside the program.
#![cfg(feature = "window")]

#[path = "support/drawing.rs"]
mod drawing;

use egui::{Key, Modifiers, vec2};
use egui_kittest::Harness;
use egui_kittest::kittest::Queryable as _;
use hullwire::app::App;
use hullwire::app::autosave::Timing;
use hullwire::app::tab::Tab;
use hullwire::installation::{Edit, Installation};
use hullwire::store::{self, Session, open, save};
use std::path::{Path, PathBuf};
use std::time::Duration;

type Window = Harness<'static, App>;

const SOON: Timing = Timing { rest: Duration::from_millis(10), most: Duration::from_millis(50) };

fn window(doc: Installation, path: Option<PathBuf>, state: &Path) -> Window {
    let state = state.to_path_buf();
    let mut window = Harness::builder()
        .with_size(vec2(1440.0, 1000.0))
        .with_max_steps(30)
        .build_eframe(move |cc| App::new(&cc.egui_ctx, doc, path).with_journal(&cc.egui_ctx, state, SOON));
    window.run();
    window
}

fn rename(window: &mut Window, name: &str) {
    window.state_mut().state.edit(&Edit::SetName(name.to_owned()), None);
    window.run();
}

fn name(window: &Window) -> String {
    window.state().state.installation().name.clone()
}

fn save_key(window: &mut Window) {
    window.key_press_modifiers(Modifiers::COMMAND, Key::S);
    window.run();
}

/// The names in the journals that a later start would find.
fn kept(state: &Path) -> Vec<String> {
    let entries = std::fs::read_dir(state).into_iter().flatten().flatten().map(|e| e.path());
    let journals = entries.filter(|p| p.extension().is_some_and(|e| e == "journal"));
    let name =
        |p: PathBuf| store::parse(&std::fs::read(p).ok()?, "j", Some("hullwire")).ok().map(|o| o.installation.name);
    journals.filter_map(name).collect()
}

fn within(holds: impl Fn() -> bool) -> bool {
    (0..400).any(|_| {
        holds() || {
            std::thread::sleep(Duration::from_millis(10));
            false
        }
    })
}

/// A journal as a process leaves it that was killed.
fn left_behind(state: &Path, path: Option<&Path>, doc: &Installation) {
    let session = Session::begin(state, path).unwrap();
    session.write(doc).unwrap();
}

fn named(name: &str) -> Installation {
    drawing::small().apply(&Edit::SetName(name.to_owned())).unwrap().installation
}

#[test]
fn a_change_is_in_the_journal_within_the_time_and_a_save_ends_it() {
    let dir = tempfile::tempdir().unwrap();
    let (state, path) = (dir.path().join("state"), dir.path().join("boat.hullwire"));
    save(&path, &named("first"), false).unwrap();
    let mut window = window(open(&path).unwrap().installation, Some(path.clone()), &state);
    rename(&mut window, "changed");
    assert!(within(|| kept(&state) == ["changed"]));
    save_key(&mut window);
    assert_eq!(open(&path).unwrap().installation.name, "changed");
    assert!(within(|| kept(&state).is_empty()));
    rename(&mut window, "never saved");
    drop(window);
    assert_eq!(kept(&state), ["never saved"], "a window that goes away without a question keeps its work");
}

#[test]
fn after_a_crash_the_work_is_offered_with_what_differs_and_goes_on() {
    let dir = tempfile::tempdir().unwrap();
    let (state, path) = (dir.path().join("state"), dir.path().join("boat.hullwire"));
    save(&path, &named("Reed Warbler"), false).unwrap();
    let mut doc = named("Reed Warbler");
    let kettle = doc.part_by_tag("E3").unwrap();
    doc = doc.apply(&Edit::Remove(hullwire::installation::Selection::part(kettle))).unwrap().installation;
    left_behind(&state, Some(&path), &doc);
    let mut window = window(open(&path).unwrap().installation, Some(path.clone()), &state);
    assert!(window.query_by_label("Work that is in no file").is_some());
    assert!(window.query_by_label_contains("removed: E3 Kettle").is_some(), "what differs is said");
    window.get_by_label("Go on with Reed Warbler, boat.hullwire").click();
    window.run();
    assert_eq!(**window.state().state.installation(), doc);
    assert!(window.state().state.history.is_changed());
    assert_eq!(window.state().state.path.as_ref().and_then(|p| p.canonicalize().ok()), path.canonicalize().ok());
    assert_eq!(kept(&state).len(), 1, "it is kept until it is saved");
    save_key(&mut window);
    assert_eq!(open(&path).unwrap().installation, doc);
    assert!(within(|| kept(&state).is_empty()));
}

#[test]
fn what_was_left_can_be_thrown_away_or_decided_on_later_and_is_not_written_over() {
    let dir = tempfile::tempdir().unwrap();
    let state = dir.path().join("state");
    left_behind(&state, None, &named("Tern"));
    let mut first = window(named("other"), None, &state);
    first.get_by_label("Decide later").click();
    first.run();
    assert_eq!(name(&first), "other");
    rename(&mut first, "other again");
    assert!(within(|| kept(&state).len() == 2));
    drop(first);
    for _ in 0..2 {
        let mut window = window(named("third"), None, &state);
        let tern = window.query_by_label("Throw away Tern, never saved").is_some();
        let label = if tern { "Throw away Tern, never saved" } else { "Throw away other again, never saved" };
        window.get_by_label(label).click();
        window.run();
    }
    assert!(kept(&state).is_empty());
}

#[test]
fn what_is_in_its_file_already_is_no_question() {
    let dir = tempfile::tempdir().unwrap();
    let (state, path) = (dir.path().join("state"), dir.path().join("boat.hullwire"));
    save(&path, &named("saved"), false).unwrap();
    left_behind(&state, Some(&path), &named("saved"));
    let window = window(named("x"), None, &state);
    assert!(window.query_by_label("Work that is in no file").is_none());
    assert!(kept(&state).is_empty());
}

#[test]
fn a_second_window_is_told_and_a_file_changed_elsewhere_is_asked_about() {
    let dir = tempfile::tempdir().unwrap();
    let (state, path) = (dir.path().join("state"), dir.path().join("boat.hullwire"));
    save(&path, &named("first"), false).unwrap();
    let start = || open(&path).unwrap().installation;
    let mut one = window(start(), Some(path.clone()), &state);
    assert!(one.query_by_label("Open in another window").is_none());
    let mut two = window(start(), Some(path.clone()), &state);
    assert!(two.query_by_label("Open in another window").is_some());
    two.get_by_label("Close").click();
    two.run();
    rename(&mut two, "by the second");
    save_key(&mut two);
    rename(&mut one, "by the first");
    save_key(&mut one);
    assert!(one.query_by_label("The file was changed elsewhere").is_some());
    assert_eq!(open(&path).unwrap().installation.name, "by the second", "nothing is written before the answer");
    one.get_by_label("Cancel").click();
    one.run();
    assert!(one.state().state.history.is_changed());
    save_key(&mut one);
    one.get_by_label("Save over it").click();
    one.run();
    assert_eq!(open(&path).unwrap().installation.name, "by the first");
    let backup = std::fs::read_to_string(dir.path().join("boat.hullwire.bak")).unwrap();
    assert!(backup.contains("by the second"), "what the other wrote stays beside it");
    rename(&mut one, "and again");
    save_key(&mut one);
    assert_eq!(open(&path).unwrap().installation.name, "and again", "its own save is no change elsewhere");
}

#[test]
fn a_save_that_fails_keeps_everything() {
    let dir = tempfile::tempdir().unwrap();
    let (state, folder) = (dir.path().join("state"), dir.path().join("stick"));
    std::fs::create_dir(&folder).unwrap();
    let path = folder.join("boat.hullwire");
    save(&path, &named("first"), false).unwrap();
    let mut window = window(open(&path).unwrap().installation, Some(path), &state);
    rename(&mut window, "in memory");
    std::fs::remove_dir_all(&folder).unwrap();
    save_key(&mut window);
    assert!(window.query_by_label("The drawing was not saved").is_some());
    assert!(window.query_by_label_contains("does not exist").is_some());
    assert_eq!(name(&window), "in memory");
    assert!(window.state().state.history.is_changed());
    assert!(within(|| kept(&state) == ["in memory"]));
}

#[test]
fn a_fault_in_a_rule_is_caught_told_and_takes_nothing_down() {
    let dir = tempfile::tempdir().unwrap();
    let mut window = window(named("first"), None, dir.path());
    let findings = window.state().state.computed.survey.findings.len();
    window.state_mut().state.rooms.survey = |_, _, _| panic!("planted in a rule");
    rename(&mut window, "with a fault");
    assert!(window.query_by_label_contains("An error inside the program stopped the survey").is_some());
    let computed = &window.state().state.computed;
    assert!(computed.faults[0].to_send().contains("the survey: planted in a rule"));
    assert!(computed.survey.findings.is_empty() && computed.survey.not_checked.len() == 1, "nothing is taken as fine");
    assert!(computed.solution.converged, "the figures are there");
    assert!(within(|| kept(dir.path()) == ["with a fault"]), "the journal is intact");
    window.state_mut().state.rooms = Default::default();
    rename(&mut window, "mended");
    assert_eq!(window.state().state.computed.survey.findings.len(), findings);
    assert!(window.query_by_label_contains("An error inside the program").is_none());
}

#[test]
fn a_fault_in_any_room_leaves_a_drawing_that_can_be_edited_and_saved() {
    let dir = tempfile::tempdir().unwrap();
    let path = dir.path().join("boat.hullwire");
    save(&path, &named("first"), false).unwrap();
    let mut window = window(named("first"), Some(path.clone()), &dir.path().join("state"));
    let rooms = &mut window.state_mut().state.rooms;
    rooms.solve = |_, _, _| panic!("in the solve");
    rooms.peaks = |_, _, _| panic!("in the peaks");
    rooms.scene = |_, _, _, _| panic!("in the scene");
    rename(&mut window, "saved all the same");
    save_key(&mut window);
    assert_eq!(open(&path).unwrap().installation.name, "saved all the same");
    assert!(window.state().state.computed.faults.len() >= 2);
    assert!(!window.state().state.computed.scene.items.is_empty(), "the drawing stays as it was");
}

#[test]
fn a_fault_in_a_view_stops_that_view_alone_until_it_is_tried_again() {
    let dir = tempfile::tempdir().unwrap();
    let mut window = window(named("first"), None, dir.path());
    for view in ["the particulars", "the survey list", "the locker", "the strip", "the canvas"] {
        window.state_mut().state.rooms.view = match view {
            "the particulars" => |name| assert_ne!(name, "the particulars"),
            "the survey list" => |name| assert_ne!(name, "the survey list"),
            "the locker" => |name| assert_ne!(name, "the locker"),
            "the strip" => |name| assert_ne!(name, "the strip"),
            _ => |name| assert_ne!(name, "the canvas"),
        };
        window.run();
        assert!(window.query_by_label(&format!("An error inside the program stopped {view}.")).is_some(), "{view}");
        window.state_mut().state.rooms.view = |_| {};
        window.get_by_label(&format!("Try {view} again")).click();
        window.run();
        assert!(window.query_by_label(&format!("An error inside the program stopped {view}.")).is_none(), "{view}");
    }
    rename(&mut window, "still here");
    assert_eq!(name(&window), "still here");
}

#[test]
fn a_fault_in_any_view_of_the_bar_stops_that_view_alone() {
    let dir = tempfile::tempdir().unwrap();
    let mut window = window(named("first"), None, dir.path());
    for (tab, view) in [(Tab::Loads, "the loads"), (Tab::Endurance, "the endurance view"), (Tab::Sheets, "the sheets")]
    {
        window.state_mut().state.rooms.view = match view {
            "the loads" => |name| assert_ne!(name, "the loads"),
            "the endurance view" => |name| assert_ne!(name, "the endurance view"),
            _ => |name| assert_ne!(name, "the sheets"),
        };
        window.state_mut().state.tab = tab;
        window.run_steps(6);
        let stopped = format!("An error inside the program stopped {view}.");
        assert!(window.query_by_label(&stopped).is_some(), "{view}");
        // The bar is there, and the drawing can be edited and goes into the journal.
        window.state_mut().state.edit(&Edit::SetName(format!("kept beside {view}")), None);
        window.run_steps(6);
        assert!(within(|| kept(dir.path()) == [format!("kept beside {view}")]), "{view}");
        window.state_mut().state.rooms.view = |_| {};
        window.get_by_label(&format!("Try {view} again")).click();
        window.run_steps(6);
        assert!(window.query_by_label(&stopped).is_none(), "{view}");
    }
}
