//! The start view, the first drawing from a few answers, preferences, and appliances of one's own.
#![cfg(feature = "window")]

#[path = "support/drawing.rs"]
mod drawing;

use egui::{Key, Modifiers, vec2};
use egui_kittest::Harness;
use egui_kittest::kittest::{NodeT as _, Queryable as _};
use hullwire::app::App;
use hullwire::installation::{Installation, PartKind, Selection, System};
use hullwire::store::{Preferences, ThemeChoice, own_appliances, save};
use std::path::{Path, PathBuf};

type Window = Harness<'static, App>;

fn window(doc: Installation, path: Option<PathBuf>, dir: &Path) -> Window {
    let dir = dir.to_path_buf();
    let mut window = Harness::builder().with_size(vec2(1440.0, 1000.0)).with_max_steps(60).build_eframe(move |cc| {
        let state = dir.join("state");
        App::new(&cc.egui_ctx, doc, path).with_preferences(dir).with_journal(&cc.egui_ctx, state, Default::default())
    });
    window.run();
    window
}

fn start(window: &mut Window) {
    window.key_press_modifiers(Modifiers::COMMAND.plus(Modifiers::SHIFT), Key::N);
    window.run();
}

fn doc(window: &Window) -> &Installation {
    window.state().state.installation()
}

#[test]
fn a_few_answers_lay_out_a_first_drawing() {
    let dir = tempfile::tempdir().unwrap();
    let mut window = window(Installation::new(System::TwoWire120), None, dir.path());
    start(&mut window);
    window.get_by_label("Name of the boat").click();
    window.run();
    window.get_by_label("Name of the boat").type_text("Sandpiper");
    window.run();
    window.get_by_label(System::TwoWire230.name()).click();
    window.run();
    window.get_by_label("generator").click();
    window.run();
    for appliance in ["Toaster", "Kettle"] {
        window.get_by_label("Find an appliance").click();
        window.run();
        window.key_press_modifiers(Modifiers::COMMAND, Key::A);
        window.run();
        window.get_by_label("Find an appliance").type_text(appliance);
        window.run();
        window.get_by_label(appliance).click();
        window.run();
    }
    window.get_by_label("Lay out the first drawing").click();
    window.run();
    let doc = doc(&window);
    assert_eq!((doc.name.as_str(), doc.system), ("Sandpiper", System::TwoWire230));
    let count = |kind| doc.parts.values().filter(|p| p.kind == kind).count();
    assert_eq!((count(PartKind::Appliance), count(PartKind::Breaker), count(PartKind::Selector)), (2, 3, 1));
    assert!(doc.parts.values().all(|p| p.position().is_finite()));
    assert_eq!(doc.conditions.len(), 2);
    assert!(window.state().state.history.is_changed(), "it is in no file yet");
}

#[test]
fn files_opened_last_are_offered_and_a_sample_opens() {
    let dir = tempfile::tempdir().unwrap();
    let boat = dir.path().join("boat.hullwire");
    save(&boat, &drawing::small(), false).unwrap();
    drop(window(drawing::small(), Some(boat.clone()), dir.path()));
    assert_eq!(Preferences::read(dir.path()).recent, std::slice::from_ref(&boat));
    let mut window = window(Installation::new(System::TwoWire120), None, dir.path());
    start(&mut window);
    std::thread::sleep(std::time::Duration::from_millis(400));
    window.run();
    window.get_by_label("Open boat.hullwire").click();
    window.run();
    assert_eq!(doc(&window).parts.len(), drawing::small().parts.len());
    assert_eq!(window.state().state.path.as_deref(), Some(boat.as_path()));
    start(&mut window);
    window.get_by_label("Sample: Sailing boat").click();
    window.run();
    assert!(doc(&window).parts.len() > 5 && window.state().state.path.is_none());
}

#[test]
fn preferences_take_effect_and_are_kept() {
    let dir = tempfile::tempdir().unwrap();
    let mut window = window(drawing::small(), None, dir.path());
    let outlet = doc(&window).part_by_tag("X3").unwrap();
    window.key_press_modifiers(Modifiers::COMMAND, Key::Comma);
    window.run();
    for choice in ["night", "feet", "125 %"] {
        window.get_by_label(choice).click();
        window.run();
    }
    window.get_by_label("Close the preferences").click();
    window.run();
    assert_eq!(window.ctx.theme(), egui::Theme::Dark);
    assert!((window.ctx.zoom_factor() - 1.25).abs() < 1e-6);
    let kept = Preferences::read(dir.path());
    assert_eq!((kept.theme, kept.text_percent, kept.feet), (ThemeChoice::Night, 125, true));
    window.state_mut().state.select(Selection::part(outlet));
    window.run();
    let length = window.get_by_label("X3 cable length, one way").value().unwrap_or_default();
    assert_eq!(length, "19.69 ft");
    // Everywhere: on the drawing, in what is said of a cable, and on the sheets to come.
    let on_the_drawing = window
        .state()
        .state
        .computed
        .scene
        .items
        .iter()
        .any(|item| matches!(&item.shape, hullwire::diagram::Shape::Text { text, .. } if text.contains("19.7 ft")));
    assert!(on_the_drawing);
    let cable = window.get_by_label("Cable Q3 to X3").accesskit_node().description().unwrap_or_default();
    assert!(cable.contains("19.7 ft"), "{cable}");
    window.get_by_label("X3 cable length, one way").click();
    window.run();
    window.key_press_modifiers(Modifiers::COMMAND, Key::A);
    window.get_by_label("X3 cable length, one way").type_text("30");
    window.key_press(Key::Enter);
    window.run();
    let metres = doc(&window).feeds_of(outlet).next().unwrap().1.data.length_m.unwrap();
    assert!((metres - 9.144).abs() < 1e-9, "a bare number is in feet, the file stays in metres: {metres}");
}

#[test]
fn an_appliance_is_kept_for_the_next_drawing() {
    let dir = tempfile::tempdir().unwrap();
    let mut first = window(drawing::small(), None, dir.path());
    let freezer = doc(&first).part_by_tag("E4").unwrap();
    first.state_mut().state.select(Selection::part(freezer));
    first.run();
    let ctx = first.ctx.clone();
    first.state_mut().command(&ctx, hullwire::app::commands::Command::KeepAppliance);
    first.run();
    assert_eq!(own_appliances(dir.path()).len(), 1);
    drop(first);
    let mut next = window(Installation::new(System::TwoWire120), None, dir.path());
    next.get_by_label("Find in the locker").click();
    next.run();
    next.get_by_label("Find in the locker").type_text("freezer");
    next.run();
    let found: Vec<_> = next.get_all_by_label_contains("Locker: Freezer").collect();
    found.last().unwrap_or_else(|| panic!("it is not in the locker")).click();
    next.run();
    let added = doc(&next).parts.values().next().unwrap();
    assert_eq!((added.label.as_str(), added.run_w), ("Freezer", Some(300.0)));
    next.state_mut().command(&ctx, hullwire::app::commands::Command::ForgetAppliance);
    assert!(own_appliances(dir.path()).is_empty());
}
