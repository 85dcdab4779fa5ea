//! Drawings of hundreds of parts: figures and findings are worked out beside the window, the newest wins, and editing does
//! not wait.
#![cfg(feature = "window")]

#[path = "support/desk.rs"]
#[allow(dead_code, reason = "a part of it is used here")]
mod desk;
#[path = "support/drawing.rs"]
#[allow(dead_code, reason = "a part of it is used here")]
mod drawing;
#[path = "support/large.rs"]
mod large;

use desk::{Desk, desk, doc, id};
use egui::{Key, Modifiers};
use egui_kittest::kittest::Queryable as _;
use hullwire::app::commands::Command;
use hullwire::diagram::lay_out;
use hullwire::installation::{Edit, Installation, PartId, Property, Selection};
use std::sync::Arc;

fn boat(parts: usize) -> Installation {
    let mut boat = large::boat(parts);
    lay_out(&mut boat);
    boat
}

/// Frames until everything is of now.
fn settle(desk: &mut Desk) {
    for _ in 0..3_000 {
        desk.step();
        if !desk.state().state.is_behind() {
            desk.step();
            return;
        }
        std::thread::sleep(std::time::Duration::from_millis(5));
    }
    panic!("it was not worked out in fifteen seconds");
}

fn watts(parts: Vec<PartId>, text: &str) -> Edit {
    Edit::SetPart { parts, property: Property::RunW, text: text.to_owned(), origin: None }
}

fn amps(desk: &Desk, tag: &str) -> f64 {
    desk.state().state.computed.solution.parts[&id(desk, tag)].amps.unwrap()
}

#[test]
fn a_large_drawing_is_worked_out_beside_the_window_and_the_newest_wins() {
    let mut desk = desk(boat(400));
    settle(&mut desk);
    assert!(desk.query_by_label("working out the figures…").is_none());
    let before = Arc::clone(&desk.state().state.computed);
    let load = id(&desk, "E3");
    for text in ["60", "600", "1200"] {
        assert!(desk.state_mut().state.edit(&watts(vec![load], text), None));
    }
    let state = &desk.state().state;
    assert!(state.is_behind() && Arc::ptr_eq(&state.computed, &before), "the edit did not wait");
    assert_eq!(doc(&desk).parts[&load].run_w, Some(1200.0));
    desk.step();
    if desk.state().state.is_behind() {
        assert!(desk.query_by_label("working out the figures…").is_some(), "a quiet mark says so");
    }
    settle(&mut desk);
    assert!((amps(&desk, "E3") - 10.0).abs() < 0.5, "the newest is shown: {}", amps(&desk, "E3"));
    assert!(desk.query_by_label("working out the figures…").is_none());
    let now = &desk.state().state;
    assert!(now.computed.faults.is_empty());
    let all = hullwire::survey::run(now.installation(), &now.computed.solution);
    assert_eq!(now.computed.survey.findings, all.findings, "and it is what a survey at once gives");
}

/// A large drawing that is worked out, with the amperes of its set, and one of its loads.
fn settled() -> (Desk, f64, PartId) {
    let mut desk = desk(boat(400));
    settle(&mut desk);
    let (amps, load) = (amps(&desk, "G1"), id(&desk, "E3"));
    (desk, amps, load)
}

#[test]
fn undo_while_it_is_worked_out_ends_where_it_began() {
    let (mut desk, before, load) = settled();
    desk.state_mut().state.edit(&watts(vec![load], "5000"), None);
    desk.key_press_modifiers(Modifiers::COMMAND, Key::Z);
    // A frame takes one event; the figures of the edit may be there before the key is read.
    for _ in 0..20 {
        if desk.state().state.history.is_changed() {
            desk.step();
        }
    }
    settle(&mut desk);
    assert_eq!(amps(&desk, "G1"), before);
    assert!(!desk.state().state.history.is_changed());
}

#[test]
fn figures_of_what_was_undone_are_never_taken_for_those_of_now() {
    let (mut desk, before, load) = settled();
    let caught = (0..20).any(|_| {
        desk.state_mut().state.edit(&watts(vec![load], "5000"), None);
        // The drawing and its figures come first, the survey after them: the step back falls between the two.
        while desk.state().state.is_drawing_behind() {
            desk.step();
        }
        let caught = desk.state().state.is_behind();
        desk.state_mut().state.command(Command::Undo);
        assert!(desk.state().state.is_behind(), "what is shown is of the edit");
        settle(&mut desk);
        assert_eq!(amps(&desk, "G1"), before);
        caught
    });
    assert!(caught, "the survey was always there as soon as the drawing");
}

#[test]
fn what_was_moved_is_shown_at_its_new_place_before_the_drawing_is_made_anew() {
    let mut desk = desk(boat(400));
    settle(&mut desk);
    let part = id(&desk, "E3");
    desk.state_mut().state.select(Selection::part(part));
    desk.state_mut().state.edit(&Edit::Move { what: Selection::part(part), dx: 5.0, dy: 10.0 }, None);
    assert_eq!(desk.state().state.moved_since(part), Some((5.0, 10.0)));
    settle(&mut desk);
    assert_eq!(desk.state().state.moved_since(part), None);
}

#[test]
fn parts_that_go_while_it_is_worked_out_do_no_harm() {
    let mut desk = desk(boat(400));
    settle(&mut desk);
    desk.key_press_modifiers(Modifiers::COMMAND, Key::A);
    desk.step();
    desk.key_press(Key::Delete);
    desk.step();
    desk.step();
    assert!(doc(&desk).parts.is_empty());
    assert!(desk.query_by_label_contains("An error inside the program").is_none());
    settle(&mut desk);
    assert!(desk.state().state.computed.scene.items.is_empty());
}

#[test]
fn tab_goes_from_part_to_part_of_a_large_drawing_beyond_what_is_seen() {
    let mut desk = desk(boat(400));
    settle(&mut desk);
    desk.key_press(Key::F6);
    desk.step();
    desk.step();
    let zoom = 100.0 / desk.state().state.view.percent();
    desk.state_mut().state.view.zoom(zoom, egui::vec2(300.0, 300.0));
    desk.step();
    let mut seen = std::collections::BTreeSet::new();
    for _ in 0..60 {
        desk.key_press(Key::Tab);
        desk.step();
        desk.step();
        if let Some(focused) = desk.ctx.memory(|m| m.focused()) {
            seen.insert(format!("{focused:?}"));
        }
    }
    assert!(seen.len() >= 50, "{} places had the focus", seen.len());
}

#[test]
fn a_small_drawing_is_tidied_in_a_movement_and_one_step() {
    let mut small = drawing::small();
    let kettle = small.part_by_tag("E3").unwrap();
    small = small.apply(&Edit::Move { what: Selection::part(kettle), dx: 40.0, dy: 95.0 }).unwrap().installation;
    let mut tidied = small.clone();
    lay_out(&mut tidied);
    let mut desk = desk(small);
    let depth = desk.state().state.history.depth();
    desk.key_press_modifiers(Modifiers::COMMAND, Key::T);
    // It ends by itself: `run` waits for that and fails where it does not.
    desk.run();
    assert_eq!(desk.state().state.history.depth(), depth + 1);
    assert_eq!(doc(&desk).parts[&kettle].position(), tidied.parts[&kettle].position());
    assert_eq!(desk.state().state.history.undo_label(), Some("tidy"));
}
