//! The panels around the canvas, by the names that a screen reader reads and the keys that a hand presses.
#![cfg(feature = "window")]

use egui::{Key, Modifiers, vec2};
use egui_kittest::Harness;
use egui_kittest::kittest::{NodeT as _, Queryable as _};
use hullwire::app::App;
use hullwire::app::dialogs::{Answer, Ask, Dialogs};
use hullwire::installation::{
    Cable, Conductor, Installation, Origin, Part, PartId, PartKind, Place, Point, Property, Selection, Size, System,
};
use hullwire::store;
use std::path::{Path, PathBuf};
use std::sync::{Arc, Mutex};

type Window = Harness<'static, App>;

/// A set that carries a heater of 1,500 W behind a breaker of 10 A.
fn small_boat() -> Installation {
    let mut doc = Installation::new(System::TwoWire120);
    doc.name = "Reed Warbler".to_owned();
    let mut add = |kind, tag: &str, x, change: &dyn Fn(&mut Part)| {
        let mut part = Part::new(kind, tag, Place::At(Point::new(x, 50.0)));
        change(&mut part);
        doc.add_part(part)
    };
    let source = add(PartKind::Generator, "G1", 20.0, &|p| {
        p.run_w = Some(3000.0);
        p.start_w = Some(3500.0);
        p.rating_a = Some(30.0);
        p.portable = true;
    });
    let breaker = add(PartKind::Breaker, "Q1", 70.0, &|p| p.rating_a = Some(10.0));
    let heater = add(PartKind::Appliance, "E1", 120.0, &|p| {
        p.label = "Cabin heater".to_owned();
        p.run_w = Some(1500.0);
        p.origins.insert(Property::RunW, Origin::Typical);
    });
    for (from, to) in [(source, breaker), (breaker, heater)] {
        let mut cable = Cable::between(from, to);
        cable.data.conductor = Conductor::Size(Size::Awg(12));
        cable.data.length_m = Some(5.0);
        doc.add_cable(cable);
    }
    doc.conditions[0].feeding = vec![source];
    doc
}

fn window_with(doc: Installation, dialogs: Option<Box<dyn Dialogs>>, size: egui::Vec2) -> Window {
    let mut window = Harness::builder().with_size(size).with_max_steps(30).build_eframe(move |cc| {
        let app = App::new(&cc.egui_ctx, doc, None);
        match dialogs {
            Some(dialogs) => app.with_dialogs(dialogs),
            None => app,
        }
    });
    window.run();
    window
}

fn window() -> Window {
    window_with(small_boat(), None, vec2(1440.0, 1500.0))
}

fn id(window: &Window, tag: &str) -> PartId {
    window.state().state.installation().part_by_tag(tag).unwrap_or_else(|| panic!("there is no {tag}"))
}

fn part(window: &Window, tag: &str) -> Arc<Part> {
    Arc::clone(&window.state().state.installation().parts[&id(window, tag)])
}

fn select(window: &mut Window, tag: &str) {
    let part = id(window, tag);
    window.state_mut().state.select(Selection::part(part));
    window.run();
}

/// Types into the field of this name, in place of what it held, and presses a key.
fn enter(window: &mut Window, field: &str, text: &str, key: Key) {
    window.get_by_label(field).scroll_to_me();
    window.run();
    window.get_by_label(field).click();
    window.run();
    window.key_press_modifiers(Modifiers::COMMAND, Key::A);
    window.run();
    window.get_by_label(field).type_text(text);
    window.run();
    window.key_press(key);
    window.run();
}

fn finding(window: &Window, rule: &str) -> bool {
    window.state().state.computed.survey.findings.iter().any(|f| f.rule == rule)
}

#[test]
fn a_typed_figure_is_one_step_and_everything_follows() {
    let mut window = window();
    assert!(finding(&window, "breaker-overload"));
    select(&mut window, "E1");
    enter(&mut window, "E1 running power", "0.9 kW", Key::Enter);
    assert_eq!(part(&window, "E1").run_w, Some(900.0));
    assert!(!finding(&window, "breaker-overload"), "the survey follows in the same frame");
    assert_eq!(window.state().state.history.undo_label(), Some("running power of E1"));
    window.get_by_label("Edit").click();
    window.run();
    window.get_by_label_contains("Undo running power of E1").click();
    window.run();
    assert_eq!(part(&window, "E1").run_w, Some(1500.0));
    assert!(finding(&window, "breaker-overload"));
    assert!(window.state().state.history.undo_label().is_none(), "it was one step");
}

#[test]
fn name_plate_amperes_and_other_units_are_understood() {
    let mut window = window();
    select(&mut window, "E1");
    enter(&mut window, "E1 running power", "10 A", Key::Enter);
    assert_eq!(part(&window, "E1").run_w, Some(1200.0));
    enter(&mut window, "E1 cable length, one way", "20 ft", Key::Enter);
    let doc = Arc::clone(window.state().state.installation());
    let feed = doc.feeds_of(id(&window, "E1")).next().map(|(_, c)| c.data.length_m);
    assert!(matches!(feed, Some(Some(m)) if (m - 6.096).abs() < 1e-9), "{feed:?}");
}

#[test]
fn what_is_not_valid_stays_in_its_field_and_is_explained() {
    let mut window = window();
    select(&mut window, "Q1");
    enter(&mut window, "Q1 rated current", "ten", Key::Enter);
    assert_eq!(part(&window, "Q1").rating_a, Some(10.0), "nothing is changed");
    assert_eq!(window.get_by_label("Q1 rated current").value().as_deref(), Some("ten"));
    assert!(window.query_by_label_contains("Not taken: “ten” is not valid").is_some());
    // It is still there after something else was selected.
    select(&mut window, "E1");
    select(&mut window, "Q1");
    assert_eq!(window.get_by_label("Q1 rated current").value().as_deref(), Some("ten"));
    enter(&mut window, "Q1 rated current", "15 A", Key::Enter);
    assert_eq!(part(&window, "Q1").rating_a, Some(15.0));
    assert!(window.query_by_label_contains("Not taken").is_none());
}

#[test]
fn what_was_typed_is_taken_when_something_else_is_selected() {
    let mut window = window();
    select(&mut window, "Q1");
    window.get_by_label("Q1 rated current").click();
    window.run();
    window.key_press_modifiers(Modifiers::COMMAND, Key::A);
    window.run();
    window.get_by_label("Q1 rated current").type_text("20 A");
    window.run();
    select(&mut window, "E1");
    assert_eq!(part(&window, "Q1").rating_a, Some(20.0));
}

#[test]
fn several_parts_are_set_together() {
    let mut window = window();
    let both = [id(&window, "Q1"), id(&window, "G1")];
    window.state_mut().state.select(Selection::of_parts(both));
    window.run();
    enter(&mut window, "2 parts rated current", "25", Key::Enter);
    assert_eq!(part(&window, "Q1").rating_a, Some(25.0));
    assert_eq!(part(&window, "G1").rating_a, Some(25.0));
}

#[test]
fn typical_figures_say_so_until_they_are_changed() {
    let mut window = window();
    select(&mut window, "E1");
    assert!(window.query_by_label("typical, read the name plate").is_some());
    enter(&mut window, "E1 running power", "1400 W", Key::Enter);
    assert!(window.query_by_label("typical, read the name plate").is_none());
}

#[test]
fn a_read_caution_folds_to_its_signal_word_and_comes_back_with_a_new_hazard() {
    let mut window = window();
    let dangers = |window: &Window| window.query_all_by_label_contains("DANGER: Carbon monoxide").count();
    assert_eq!(dangers(&window), 1);
    for _ in 0..20 {
        if window.query_by_label("I have read this").is_none() {
            break;
        }
        window.get_by_label("I have read this").click();
        window.run();
    }
    assert!(window.query_by_label("I have read this").is_none(), "all are folded");
    assert!(window.query_by_label("DANGER").is_some(), "the signal word stays");
    // The generator goes and comes back: its hazard is new.
    select(&mut window, "G1");
    window.key_press(Key::Delete);
    window.run();
    assert_eq!(dangers(&window), 0);
    window.key_press_modifiers(Modifiers::COMMAND, Key::Z);
    window.run();
    assert_eq!(dangers(&window), 1);
}

#[test]
fn a_finding_leads_to_its_part() {
    let mut window = window();
    let breaker = id(&window, "Q1");
    let message = window
        .state()
        .state
        .computed
        .survey
        .findings
        .iter()
        .find(|f| f.rule == "breaker-overload")
        .map(|f| format!("{}: {}", f.severity, f.message))
        .unwrap_or_else(|| panic!("no overload"));
    window.get_by_label(&message).click_accesskit();
    window.run();
    assert!(window.state().state.selection().parts.contains(&breaker));
    assert!(window.query_by_label("Q1 rated current").is_some(), "its particulars are shown");
}

#[test]
fn the_locker_adds_a_part_fed_by_the_selected_one() {
    let mut window = window();
    select(&mut window, "Q1");
    window.get_by_label("Find in the locker").click();
    window.run();
    window.get_by_label("Find in the locker").type_text("toaster");
    window.run();
    window.get_by_label("Locker: Toaster").click();
    window.run();
    let added = part(&window, "E2");
    assert_eq!(added.label, "Toaster");
    assert_eq!(added.origins.get(&Property::RunW), Some(&Origin::Typical));
    let doc = window.state().state.installation();
    let from = doc.feeds_of(id(&window, "E2")).next().map(|(_, c)| c.from);
    assert_eq!(from, Some(id(&window, "Q1")));
}

/// Answers as it was told to, and remembers what was asked.
#[derive(Clone, Default)]
struct Told {
    answers: Arc<Mutex<Vec<Answer>>>,
    asked: Arc<Mutex<Vec<Ask>>>,
    due: bool,
}

impl Told {
    fn will_answer(&self, answer: Answer) {
        self.answers.lock().unwrap().push(answer);
    }
}

impl Dialogs for Told {
    fn ask(&mut self, ask: &Ask, ctx: &egui::Context) {
        self.asked.lock().unwrap().push(ask.clone());
        self.due = true;
        ctx.request_repaint();
    }

    fn poll(&mut self) -> Option<Answer> {
        if !self.due {
            return None;
        }
        let answer = self.answers.lock().unwrap().pop();
        self.due = answer.is_none();
        answer
    }

    fn forget(&mut self) {
        self.due = false;
    }
}

fn file_window(folder: &Path) -> (Window, Told, PathBuf) {
    let told = Told::default();
    let window = window_with(small_boat(), Some(Box::new(told.clone())), vec2(1440.0, 1000.0));
    (window, told, folder.join("warbler.hullwire"))
}

#[test]
fn saved_reopened_and_asked_about_unsaved_changes() {
    let folder = tempfile::tempdir().unwrap();
    let (mut window, told, path) = file_window(folder.path());
    select(&mut window, "Q1");
    enter(&mut window, "Q1 rated current", "15 A", Key::Enter);
    assert!(window.query_by_label("not saved").is_some());
    told.will_answer(Answer::Path(folder.path().join("warbler")));
    window.key_press_modifiers(Modifiers::COMMAND, Key::S);
    window.run();
    assert!(matches!(told.asked.lock().unwrap().as_slice(), [Ask::Save(name)] if name == "reed-warbler.hullwire"));
    let reopened = store::open(&path).unwrap().installation;
    assert_eq!(reopened, **window.state().state.installation());
    assert!(window.query_by_label("saved").is_some());

    // A change stands in the way of a new drawing; Cancel keeps it, Discard lets it go.
    select(&mut window, "Q1");
    enter(&mut window, "Q1 rated current", "16 A", Key::Enter);
    window.key_press_modifiers(Modifiers::COMMAND, Key::N);
    window.run();
    window.get_by_label("Cancel: unsaved changes").click();
    window.run();
    assert_eq!(part(&window, "Q1").rating_a, Some(16.0));
    window.key_press_modifiers(Modifiers::COMMAND, Key::N);
    window.run();
    window.get_by_label("Discard: unsaved changes").click();
    window.run();
    assert!(window.state().state.installation().parts.is_empty());

    told.will_answer(Answer::Path(path));
    window.key_press_modifiers(Modifiers::COMMAND, Key::O);
    window.run();
    assert_eq!(part(&window, "Q1").rating_a, Some(15.0), "what was saved is back");
    assert!(!window.state().state.history.is_changed());
}

#[test]
fn without_a_desktop_dialog_the_path_is_typed_and_errors_are_shown_whole() {
    let folder = tempfile::tempdir().unwrap();
    let (mut window, told, _) = file_window(folder.path());
    let list = folder.path().join("bad.csv");
    std::fs::write(&list, "# system: 120V60Hz\ntag,kind,rating_a\nG1,generator,ten\nG1,toaster,5\n").unwrap();
    told.will_answer(Answer::Unavailable("the desktop offers no file dialog".to_owned()));
    window.key_press_modifiers(Modifiers::COMMAND, Key::O);
    window.run();
    enter(&mut window, "Path of the file", &list.display().to_string(), Key::Enter);
    assert!(window.query_by_label("The file was not opened").is_some());
    for wrong in ["line 3, column rating_a", "line 4, column kind"] {
        assert!(window.query_by_label_contains(wrong).is_some(), "{wrong}");
    }
    assert_eq!(part(&window, "Q1").rating_a, Some(10.0), "the drawing is still there");
}

#[test]
fn a_command_is_found_by_its_name_and_a_part_by_its_label() {
    let mut window = window();
    window.key_press_modifiers(Modifiers::COMMAND, Key::F);
    window.run();
    window.get_by_label("Find a part by tag, label or property").type_text("cabin");
    window.run();
    window.key_press(Key::Enter);
    window.run();
    assert_eq!(window.state().state.selected_part(), Some(id(&window, "E1")));
    window.key_press_modifiers(Modifiers::COMMAND, Key::K);
    window.run();
    window.get_by_label("Type a command").type_text("night");
    window.run();
    window.key_press(Key::Enter);
    window.run();
    assert_eq!(window.ctx.theme(), egui::Theme::Dark);
    window.key_press(Key::F1);
    window.run();
    assert!(window.query_by_label("What this is not").is_some());
    window.key_press(Key::Escape);
    window.run();
    assert!(window.query_by_label("What this is not").is_none());
}

#[test]
fn the_condition_and_the_source_are_chosen_in_the_top_bar() {
    let mut window = window();
    window.get_by_label_contains("Fed from: G1").click();
    window.run();
    window.get_by_label("off: nothing feeds").click();
    window.run();
    assert!(window.state().state.installation().conditions[0].feeding.is_empty());
    assert!(window.query_by_label_contains("No source feeds in this condition").is_some());
    window.get_by_label_contains("Condition: as listed").click();
    window.run();
    window.get_by_label("Copy this condition…").click();
    window.run();
    enter(&mut window, "Name of the condition", "Night", Key::Enter);
    assert_eq!(window.state().state.installation().conditions.len(), 2);
    assert_eq!(window.state().state.condition, 1);
    assert!(window.query_by_label("Condition: Night").is_some());
}

#[test]
fn nothing_leaves_the_window_at_the_sizes_that_are_promised() {
    for (size, ppp) in [(vec2(1280.0, 800.0), 1.0), (vec2(1280.0, 720.0), 2.0), (vec2(2560.0, 1440.0), 1.0)] {
        for tag in ["G1", "Q1", "E1"] {
            let doc = small_boat();
            let mut window = Harness::builder()
                .with_size(size)
                .with_pixels_per_point(ppp)
                .with_max_steps(30)
                .build_eframe(move |cc| App::new(&cc.egui_ctx, doc, None));
            window.run();
            select(&mut window, tag);
            let screen = egui::Rect::from_min_size(egui::Pos2::ZERO, size);
            for strip in ["running", "lowest appliance"] {
                let rect = window.get_by_label(strip).rect();
                assert!(screen.contains_rect(rect), "{strip} at {rect:?} of {size:?}");
            }
            for node in window.root().children_recursive() {
                let label = node.accesskit_node().label().unwrap_or_default();
                let in_strip = label.starts_with("In the best order") || label.starts_with("fuel: ");
                if in_strip {
                    let rect = node.rect();
                    assert!(screen.contains_rect(rect), "{label} at {rect:?} of {size:?}");
                }
            }
        }
    }
}
