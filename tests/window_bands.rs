//! Bands within tolerances in the particulars: on demand, of what is selected, never of an earlier state of the drawing.
#![cfg(feature = "window")]

#[path = "support/desk.rs"]
#[allow(dead_code, reason = "each test file uses its own part of this")]
mod desk;
#[path = "support/drawing.rs"]
mod drawing;

use desk::{Desk, desk, id};
use egui_kittest::kittest::Queryable as _;
use hullwire::app::commands::Command;
use hullwire::installation::{Edit, Selection};
use hullwire::network::{Tolerances, bands};
use hullwire::units::{amps, band};

fn toggle(desk: &mut Desk) {
    let ctx = desk.ctx.clone();
    desk.state_mut().command(&ctx, Command::Bands);
    desk.run();
}

/// What the particulars say of Q1's current as a band.
fn shown(desk: &Desk) -> String {
    let state = &desk.state().state;
    let found = bands(state.installation(), &state.computed.solution, &Tolerances::default()).unwrap();
    let span = found.parts[&id(desk, "Q1")].amps.unwrap();
    assert!(span.least < span.most);
    format!("within tolerances: {}", band(span.least, span.most, amps))
}

#[test]
fn bands_come_and_go_with_their_command_and_follow_an_edit() {
    let mut desk = desk(drawing::small());
    let q1 = id(&desk, "Q1");
    desk.state_mut().state.select(Selection::of_parts(vec![q1]));
    desk.run();
    assert!(desk.query_by_label_contains("within tolerances").is_none(), "only on demand");
    toggle(&mut desk);
    let first = shown(&desk);
    assert!(desk.query_by_label_contains(&first).is_some(), "{first}");
    let load = id(&desk, "E3");
    let off = Edit::Switch { condition: 0, parts: vec![load], on: false };
    desk.state_mut().state.edit(&off, None);
    desk.run();
    let second = shown(&desk);
    assert!(first != second && desk.query_by_label_contains(&second).is_some(), "{second}");
    assert!(desk.query_by_label_contains(&first).is_none(), "not the bands of before");
    toggle(&mut desk);
    assert!(desk.query_by_label_contains("within tolerances").is_none());
}
