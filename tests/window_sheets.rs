//! The sheets view by names and keys: the pages as they will be printed, what is chosen, export, revisions.
#![cfg(feature = "window")]

use egui::{Key, Modifiers, vec2};
use egui_kittest::Harness;
use egui_kittest::kittest::{NodeT as _, Queryable as _};
use hullwire::app::App;
use hullwire::app::dialogs::{Answer, Ask, Dialogs};
use hullwire::app::tab::Tab;
use hullwire::installation::{Edit, Property, Selection};
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
    let told = Told { answer, ..Told::default() };
    let dialogs = Box::new(told.clone());
    let mut window = Harness::builder().with_size(vec2(1280.0, 1000.0)).with_max_steps(40).build_eframe(move |cc| {
        let sample = store::sample().unwrap().installation;
        App::new(&cc.egui_ctx, sample, None).with_dialogs(dialogs)
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
