//! The sheets view by names and keys: the pages as they will be printed, what is chosen, export, revisions.
#![cfg(feature = "window")]

#[path = "support/large.rs"]
mod large;

use egui::{Key, Modifiers, vec2};
use egui_kittest::Harness;
use egui_kittest::kittest::{NodeT as _, Queryable as _};
use hullwire::app::App;
use hullwire::app::dialogs::{Answer, Ask, Dialogs};
use hullwire::app::tab::Tab;
use hullwire::installation::{Edit, Installation, Property, Selection};
use hullwire::sheets::{self, Options};
use hullwire::store;
use std::path::{Path, PathBuf};
use std::sync::{Arc, Mutex};
use std::time::{Duration, Instant};

type Window = Harness<'static, App>;

/// Answers a path, and notes what the desktop was asked to open.
#[derive(Clone, Default)]
struct Told {
    answer: Option<PathBuf>,
    due: bool,
    opened: Arc<Mutex<Vec<PathBuf>>>,
}

impl Dialogs for Told {
    fn ask(&mut self, ask: &Ask, ctx: &egui::Context) {
        assert!(matches!(ask, Ask::Pack(name) if name.ends_with(".pdf")), "{ask:?}");
        self.due = true;
        ctx.request_repaint();
    }

    fn poll(&mut self) -> Option<Answer> {
        std::mem::take(&mut self.due).then(|| self.answer.clone().map_or(Answer::Cancelled, Answer::Path))
    }

    fn forget(&mut self) {
        self.due = false;
    }

    fn open_outside(&mut self, path: &Path) -> Result<(), String> {
        self.opened.lock().unwrap().push(path.to_path_buf());
        Ok(())
    }
}

fn window(answer: Option<PathBuf>) -> (Window, Told) {
    window_of(store::sample().unwrap().installation, None, answer, None)
}

/// The window of a document, with what an earlier session left in the settings of the desktop.
fn window_of(doc: Installation, path: Option<&Path>, answer: Option<PathBuf>, kept: Option<&str>) -> (Window, Told) {
    let told = Told { answer, ..Told::default() };
    let dialogs = Box::new(told.clone());
    let (path, kept) = (path.map(Path::to_path_buf), kept.map(str::to_owned));
    let mut window = Harness::builder().with_size(vec2(1280.0, 1000.0)).with_max_steps(40).build_eframe(move |cc| {
        if let Some(kept) = kept {
            cc.egui_ctx.data_mut(|data| *data = serde_json::from_str(&kept).unwrap());
        }
        App::new(&cc.egui_ctx, doc, path).with_dialogs(dialogs)
    });
    window.run();
    window.key_press_modifiers(Modifiers::COMMAND, Key::Num4);
    window.run();
    assert_eq!(window.state().state.tab, Tab::Sheets);
    (window, told)
}

fn until(window: &mut Window, what: &str, holds: impl Fn(&Window) -> bool) {
    let start = Instant::now();
    while !holds(window) {
        assert!(start.elapsed() < Duration::from_secs(120), "{what} did not come");
        window.step();
        std::thread::sleep(Duration::from_millis(10));
    }
    window.step();
}

fn sheets(window: &Window) -> Vec<(String, String)> {
    let nodes = window.query_all_by_label_contains("Sheet ").map(|n| {
        let node = n.accesskit_node();
        (node.label().unwrap_or_default(), node.description().unwrap_or_default())
    });
    nodes.filter(|(name, _)| name.contains(" of ")).collect()
}

#[test]
fn the_pages_are_shown_as_they_will_be_printed() {
    let (mut window, _) = window(None);
    until(&mut window, "the sheets", |w| !sheets(w).is_empty());
    let all = sheets(&window);
    assert!(all.len() >= 7, "{all:#?}");
    assert!(all[0].0.starts_with("Sheet 1 of "), "{}", all[0].0);
    let doc = window.state().state.installation().clone();
    let text: String = all.iter().map(|(_, text)| text.as_str()).collect();
    for part in doc.parts.values() {
        assert!(text.contains(&part.tag), "{} is on no sheet", part.tag);
    }
    // The page is as wide as it is high in the proportion of the paper.
    let rect = window.get_by_label(&all[0].0).rect();
    assert!((rect.width() / rect.height() - 420.0 / 297.0).abs() < 0.02, "{rect:?}");
}

#[test]
fn size_orientation_and_kinds_are_chosen_and_remembered() {
    let (mut window, _) = window(None);
    until(&mut window, "the sheets", |w| !sheets(w).is_empty());
    let before = sheets(&window).len();
    window.get_by_label("Sheet: Cable schedule").click();
    window.run_steps(2);
    until(&mut window, "fewer sheets", |w| !sheets(w).is_empty() && sheets(w).len() < before);
    assert!(sheets(&window).iter().all(|(name, _)| !name.contains("Cable schedule")));
    window.get_by_label("Sheets, orientation").click();
    window.run_steps(3);
    window.get_by_label("portrait").click();
    window.run_steps(3);
    let stands = |w: &Window| {
        let first = w.query_all_by_label_contains("Sheet 1 of").next();
        first.is_some_and(|n| n.rect().height() > n.rect().width())
    };
    until(&mut window, "standing sheets", stands);
    // The drawing is left and come back to: the choice is as it was.
    window.key_press_modifiers(Modifiers::COMMAND, Key::Num1);
    window.run();
    window.key_press_modifiers(Modifiers::COMMAND, Key::Num4);
    window.run_steps(3);
    until(&mut window, "standing sheets", stands);
}

#[test]
fn a_key_for_the_drawing_does_nothing_from_the_sheets() {
    let (mut window, _) = window(None);
    let part = window.state().state.installation().part_by_tag("G1");
    window.state_mut().state.select(Selection::of_parts(part));
    window.key_press(Key::Delete);
    window.run_steps(3);
    assert!(window.state().state.installation().part_by_tag("G1").is_some());
}

#[test]
fn the_pack_is_written_opened_and_read_again() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("pack.pdf");
    let (mut window, told) = window(Some(path.clone()));
    until(&mut window, "the sheets", |w| !sheets(w).is_empty());
    window.get_by_label("Export the sheets").click();
    window.run_steps(3);
    until(&mut window, "the file", |w| w.query_by_label_contains("Written: ").is_some());
    assert!(std::fs::read(&path).unwrap().starts_with(b"%PDF"));
    assert_eq!(told.opened.lock().unwrap().as_slice(), std::slice::from_ref(&path));
    let again = store::open(&path).unwrap().installation;
    assert_eq!(again.parts.len(), window.state().state.installation().parts.len());
}

#[test]
fn an_ending_that_is_no_format_is_refused_with_those_that_are() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("pack.docx");
    let (mut window, _) = window(Some(path.clone()));
    window.key_press_modifiers(Modifiers::COMMAND, Key::P);
    window.run_steps(3);
    until(&mut window, "the refusal", |w| w.query_by_label_contains("found “docx”; valid: .pdf").is_some());
    assert!(!path.exists());
}

#[test]
fn a_revision_is_issued_and_the_next_changes_are_listed() {
    let (mut window, _) = window(None);
    window.get_by_label("Issue a revision…").scroll_to_me();
    window.run_steps(3);
    window.get_by_label("Issue a revision…").click_accesskit();
    window.run_steps(3);
    window.get_by_label("Revision, author").click();
    window.run_steps(2);
    window.key_press_modifiers(Modifiers::COMMAND, Key::A);
    window.run_steps(2);
    window.get_by_label("Revision, author").type_text("R. Warbler");
    window.run_steps(2);
    window.get_by_label("Revision, note").click();
    window.run_steps(2);
    window.get_by_label("Revision, note").type_text("for the yard");
    window.run_steps(2);
    window.get_by_label("Issue the revision").click();
    window.run_steps(3);
    let doc = window.state().state.installation().clone();
    let last = doc.revisions.last().unwrap_or_else(|| panic!("nothing was issued"));
    assert_eq!((last.author.as_str(), last.note.as_str()), ("R. Warbler", "for the yard"));
    assert!(window.query_by_label("Nothing was changed since.").is_some());
    let breaker = doc.part_by_tag("Q11");
    let edit = Edit::SetPart {
        parts: breaker.into_iter().collect(),
        property: Property::RatingA,
        text: "15 A".to_owned(),
        origin: None,
    };
    assert!(window.state_mut().state.edit(&edit, None));
    window.run_steps(3);
    assert!(window.query_by_label("Not issued yet").is_some());
    let changes = format!("1 change since {}", last.letter);
    window.get_by_label(&changes).click_accesskit();
    window.run_steps(3);
    assert!(window.query_by_label_contains("Q11 rated current: ").is_some());
}

fn choose(window: &mut Window, list: &str, value: &str) {
    window.get_by_label(list).click();
    window.run_steps(3);
    window.get_by_label(value).click();
    window.run_steps(3);
}

/// Width over height of the first sheet.
fn proportion(window: &Window) -> f32 {
    let first = window.query_all_by_label_contains("Sheet 1 of").next();
    first.map_or(0.0, |n| n.rect().width() / n.rect().height())
}

#[test]
fn the_choice_is_kept_for_each_file_beyond_the_session() {
    let folder = tempfile::tempdir().unwrap();
    let [one, other] = ["one.hullwire", "other.hullwire"].map(|name| folder.path().join(name));
    let sample = store::sample().unwrap().installation;
    for path in [&one, &other] {
        store::save(path, &sample, false).unwrap();
    }
    let kept = {
        let (mut window, _) = window_of(sample.clone(), Some(&one), None, None);
        until(&mut window, "the sheets", |w| !sheets(w).is_empty());
        choose(&mut window, "Sheets, size", "A4");
        // A small sheet stands by itself.
        until(&mut window, "a standing A4", |w| (proportion(w) - 210.0 / 297.0).abs() < 0.01);
        window.get_by_label("Sheet: Survey").click();
        window.run_steps(3);
        window.ctx.data(|data| serde_json::to_string(data).unwrap())
    };
    let (mut window, _) = window_of(sample.clone(), Some(&one), None, Some(&kept));
    until(&mut window, "the sheets", |w| !sheets(w).is_empty());
    assert!((proportion(&window) - 210.0 / 297.0).abs() < 0.01);
    assert!(sheets(&window).iter().all(|(name, _)| !name.ends_with(": Survey")));
    let (mut window, _) = window_of(sample, Some(&other), None, Some(&kept));
    until(&mut window, "the sheets", |w| !sheets(w).is_empty());
    assert!((proportion(&window) - 420.0 / 297.0).abs() < 0.01, "another file has a choice of its own");
    assert!(sheets(&window).iter().any(|(name, _)| name.ends_with(": Survey")));
}

#[test]
fn pages_stand_side_by_side_and_grow_and_shrink() {
    let (mut window, _) = window(None);
    until(&mut window, "the sheets", |w| sheets(w).len() > 3);
    let width = |w: &Window| w.query_all_by_label_contains("Sheet 1 of").next().map_or(0.0, |n| n.rect().width());
    let whole = width(&window);
    window.get_by_label("Sheets larger").click();
    window.run_steps(3);
    let larger = width(&window);
    assert!((larger / whole - 1.25).abs() < 0.02, "{larger} after {whole}");
    for _ in 0..8 {
        window.get_by_label("Sheets smaller").click();
        window.run_steps(3);
    }
    assert!(width(&window) < 0.5 * whole);
    let place = |n: usize| {
        let name = format!("Sheet {n} of");
        window.query_all_by_label_contains(&name).next().map(|node| node.rect()).unwrap()
    };
    let (first, second) = (place(1), place(2));
    assert!((first.top() - second.top()).abs() < 1.0 && second.left() > first.right(), "{first:?} {second:?}");
    window.get_by_label("Width").click();
    window.run_steps(3);
    assert!(width(&window) > whole - 1.0, "as wide as there is room");
    window.get_by_label("Whole sheet").click();
    window.run_steps(3);
    assert!((width(&window) - whole).abs() < 1.0);
}

#[test]
fn writing_tells_how_far_it_is_and_can_be_stopped() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("large.pdf");
    let (mut window, told) = window_of(large::boat(300), None, Some(path.clone()), None);
    window.get_by_label("Export the sheets").click();
    until(&mut window, "how far it is", |w| w.query_by_label_contains("Writing: ").is_some());
    window.get_by_label("Stop writing").click();
    window.run_steps(3);
    assert!(window.query_by_label_contains("Stopped; nothing was written").is_some());
    assert!(window.query_by_label_contains("Writing: ").is_none());
    // The thread sees it at its next step; nothing comes after that.
    std::thread::sleep(Duration::from_secs(3));
    window.run_steps(3);
    assert!(!path.exists() && told.opened.lock().unwrap().is_empty());
    assert!(window.query_by_label_contains("Written: ").is_none());
}

/// A file that falls on the window.
#[derive(Debug)]
struct Falling(PathBuf);

impl egui::DroppedFile for Falling {
    fn path(&self) -> &Path {
        &self.0
    }

    fn bytes(&self) -> Result<Vec<u8>, String> {
        std::fs::read(&self.0).map_err(|e| e.to_string())
    }
}

#[test]
fn a_pack_that_is_dropped_on_the_window_opens_as_the_drawing_in_it() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("boat.pdf");
    let text = include_str!("../samples/sailing-boat.hullwire");
    let boat = store::parse(text.as_bytes(), "boat", Some("hullwire")).unwrap().installation;
    let pack = sheets::pack(&boat, &Options::default(), &mut |_, _| true).unwrap();
    let bytes = sheets::pdf::write(&pack, &store::to_text(&boat).unwrap()).unwrap();
    std::fs::write(&path, &bytes).unwrap();
    let (mut window, _) = window(None);
    assert_ne!(window.state().state.installation().parts, boat.parts);
    window.input_mut().dropped_files = vec![Arc::new(Falling(path.clone()))];
    window.run_steps(5);
    until(&mut window, "the drawing", |w| w.state().state.installation().parts == boat.parts);
    // To save it does not write a drawing over the pack.
    assert_ne!(window.state().state.path.as_deref(), Some(path.as_path()));
    assert_eq!(std::fs::read(&path).unwrap(), bytes);
}
