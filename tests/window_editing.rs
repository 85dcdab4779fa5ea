//! Gestures of the drawing board: branches, panels, guides, trials, digits, the clipboard between windows.
#![cfg(feature = "window")]

#[path = "support/desk.rs"]
mod desk;
#[path = "support/drawing.rs"]
mod drawing;

use desk::{Desk, desk, doc, id, part, place};
use egui::{Event, Key, Modifiers, Pos2, vec2};
use egui_kittest::kittest::Queryable as _;
use hullwire::app::commands::Command;
use hullwire::installation::{Edit, PartKind, Point, Selection, SpaceKind};
use hullwire::store::list;

/// A drag with modifiers held.
fn drag(desk: &mut Desk, from: Pos2, to: Pos2, modifiers: Modifiers) {
    desk.event(Event::ModifiersChanged(modifiers));
    desk.hover_at(from);
    desk.run();
    let button = |pos, pressed| Event::PointerButton { pos, button: egui::PointerButton::Primary, pressed, modifiers };
    desk.event(button(from, true));
    desk.run();
    for share in [0.1, 0.5, 1.0] {
        desk.hover_at(from + (to - from) * share);
        desk.run();
    }
    desk.event(button(to, false));
    desk.run();
    desk.event(Event::ModifiersChanged(Modifiers::NONE));
    desk.run();
}

fn feed_of<'a>(desk: &'a Desk, tag: &str) -> Vec<&'a str> {
    doc(desk).feeds_of(id(desk, tag)).map(|(_, c)| doc(desk).tag(c.from)).collect()
}

#[test]
fn alt_drags_a_part_with_everything_that_it_feeds_as_one_step() {
    let mut desk = desk(drawing::small());
    let before: Vec<Point> = ["Q4", "X4", "E4", "Q3"].map(|t| place(&desk, t)).to_vec();
    let depth = desk.state().state.history.depth();
    let at = part(&desk, "Q4");
    drag(&mut desk, at, at + vec2(0.0, 120.0), Modifiers::ALT);
    let moved: Vec<Point> = ["Q4", "X4", "E4", "Q3"].map(|t| place(&desk, t)).to_vec();
    let by = moved[0].y - before[0].y;
    assert!(by > 0.0);
    assert_eq!((moved[1].y - before[1].y, moved[2].y - before[2].y), (by, by));
    assert_eq!(moved[3], before[3], "what is beside the branch stays");
    assert_eq!(desk.state().state.history.depth(), depth + 1);
}

#[test]
fn the_branch_is_selected_by_a_key() {
    let mut desk = desk(drawing::small());
    let breaker = id(&desk, "Q3");
    desk.state_mut().state.select(Selection::part(breaker));
    desk.run();
    desk.key_press_modifiers(Modifiers::COMMAND, Key::B);
    desk.run();
    let tags: Vec<&str> = desk.state().state.selection().parts.iter().map(|p| doc(&desk).tag(*p)).collect();
    assert_eq!(tags, ["Q3", "X3", "E3"]);
}

#[test]
fn a_branch_let_go_on_another_panel_hangs_there_with_its_cables() {
    let mut small = drawing::small();
    let panel = drawing::part(&mut small, PartKind::Panel, "A2", 125.0, 140.0, |_| {});
    let feed = small.part_by_tag("Q1").unwrap();
    drawing::cable(&mut small, feed, panel, 10, Some(1.0));
    let mut desk = desk(small);
    assert_eq!(feed_of(&desk, "Q4"), ["A1"]);
    let cables = doc(&desk).cables.len();
    let depth = desk.state().state.history.depth();
    let (from, to) = (part(&desk, "Q4"), part(&desk, "A2"));
    drag(&mut desk, from, to, Modifiers::ALT);
    assert_eq!(feed_of(&desk, "Q4"), ["A2"]);
    assert_eq!(doc(&desk).cables.len(), cables, "its cables follow");
    assert!(place(&desk, "Q4").x > place(&desk, "A2").x, "it stands beside the bar");
    assert_eq!(place(&desk, "E4").x - place(&desk, "Q4").x, 75.0, "the branch keeps its shape");
    assert_eq!(desk.state().state.history.undo_label(), Some("hang Q4 on A2"));
    assert_eq!(desk.state().state.history.depth(), depth + 1);
    desk.key_press_modifiers(Modifiers::COMMAND, Key::Z);
    desk.run();
    assert_eq!(feed_of(&desk, "Q4"), ["A1"]);
}

#[test]
fn a_part_takes_the_line_of_another_that_is_off_the_grid() {
    let mut small = drawing::small();
    drawing::part(&mut small, PartKind::Outlet, "X9", 192.0, 130.0, |_| {});
    let mut desk = desk(small);
    let from = part(&desk, "E4");
    let mm = (part(&desk, "Q2").x - part(&desk, "Q1").x) / 50.0;
    // To a millimetre beside its line, which is nearer than the grid's next.
    drag(&mut desk, from, from + vec2((193.0 - 225.0) * mm, 20.0 * mm), Modifiers::NONE);
    assert_eq!(place(&desk, "E4").x, 192.0);
}

fn key(desk: &mut Desk, key: Key, pressed: bool) {
    desk.event(Event::Key { key, physical_key: None, pressed, repeat: false, modifiers: Modifiers::NONE });
    desk.run();
}

#[test]
fn a_switch_is_tried_while_a_key_is_held_and_nothing_is_kept() {
    let mut desk = desk(drawing::small());
    let amps = |desk: &Desk| desk.state().state.computed.solution.parts[&id(desk, "Q1")].amps.unwrap();
    let before = amps(&desk);
    let at = desk.get_by_label("E3 switch").rect().center();
    key(&mut desk, Key::W, true);
    desk.hover_at(at);
    desk.run();
    desk.drag_at(at);
    desk.run();
    desk.drop_at(at);
    desk.run();
    assert!(desk.state().state.is_trying());
    assert!(amps(&desk) < before - 9.0, "everything follows");
    assert!(desk.query_by_label_contains("Trying: switch E3 off").is_some());
    key(&mut desk, Key::W, false);
    assert!(!desk.state().state.is_trying());
    assert_eq!(amps(&desk), before);
    assert!(!desk.state().state.history.is_changed(), "nothing is kept");
}

#[test]
fn digits_choose_the_condition_and_with_alt_the_source() {
    let mut small = drawing::small();
    small = small.apply(&Edit::AddCondition { name: "Night".to_owned(), like: 0 }).unwrap().installation;
    let mut desk = desk(small);
    desk.key_press(Key::Num2);
    desk.run();
    assert_eq!(desk.state().state.condition, 1);
    desk.key_press_modifiers(Modifiers::ALT, Key::Num1);
    desk.run();
    assert_eq!(doc(&desk).conditions[1].feeding, [id(&desk, "X1")]);
    assert_eq!(doc(&desk).conditions[0].feeding, [id(&desk, "G1")], "the other condition stays");
    desk.key_press(Key::Num7);
    desk.run();
    assert_eq!(desk.state().state.condition, 1);
    assert!(desk.query_by_label_contains("there is no condition 7").is_some());
    desk.key_press_modifiers(Modifiers::ALT, Key::Num0);
    desk.run();
    assert!(doc(&desk).conditions[1].feeding.is_empty());
}

#[test]
fn parts_go_from_one_window_to_another_as_a_circuit_list() {
    let one = drawing::small();
    let branch = ["Q3", "X3", "E3"].map(|t| one.part_by_tag(t).unwrap());
    let text = list::to_clipboard(&one, 0, &branch.into_iter().collect());
    assert!(text.lines().any(|l| l.starts_with("tag\tkind\t")), "{text}");
    let mut two = desk(drawing::small());
    let parts = doc(&two).parts.len();
    let depth = two.state().state.history.depth();
    two.event(Event::Paste(text));
    two.run();
    assert_eq!(doc(&two).parts.len(), parts + 3);
    assert_eq!(feed_of(&two, "E1"), ["X5"], "tags are renewed and the cables follow");
    assert_eq!(doc(&two).parts[&id(&two, "E1")].label, "Kettle");
    assert_eq!(two.state().state.selection().parts.len(), 3);
    assert_eq!(two.state().state.history.depth(), depth + 1);
}

#[test]
fn rows_of_a_spreadsheet_are_pasted_and_hang_on_the_part_that_they_name() {
    let mut desk = desk(drawing::small());
    let rows = "tag\tkind\tlabel\tfed_from\trun_w\tconductor\tlength_m\nQ9\tbreaker\tHeads\tA1\t\t\t\nE9\tappliance\t\"Pump, \"\"aft\"\"\"\tQ9\t250\t14 AWG\t4.5\n";
    desk.event(Event::Paste(rows.to_owned()));
    desk.run();
    assert_eq!(feed_of(&desk, "Q9"), ["A1"]);
    assert_eq!(feed_of(&desk, "E9"), ["Q9"]);
    assert_eq!(doc(&desk).parts[&id(&desk, "E9")].label, "Pump, \"aft\"");
    let parts = doc(&desk).parts.len();
    desk.event(Event::Paste("a letter to a friend".to_owned()));
    desk.run();
    assert_eq!(doc(&desk).parts.len(), parts);
    assert!(desk.query_by_label_contains("the clipboard holds no rows of a circuit list").is_some());
    desk.event(Event::Paste("tag\tkind\tfed_from\nQ8\tbreaker\tA77\n".to_owned()));
    desk.run();
    assert!(desk.query_by_label_contains("A77").is_some(), "what is wrong is named");
}

fn command(desk: &mut Desk, command: Command) {
    let ctx = desk.ctx.clone();
    desk.state_mut().command(&ctx, command);
    desk.run();
}

fn select(desk: &mut Desk, tags: &[&str]) {
    let ids: Vec<_> = tags.iter().map(|tag| id(desk, tag)).collect();
    desk.state_mut().state.select(Selection::of_parts(ids));
    desk.run();
}

#[test]
fn parts_are_lined_up_and_spread_by_commands_as_one_step_each() {
    let mut desk = desk(drawing::small());
    select(&mut desk, &["E2", "E3", "E4"]);
    let places = |desk: &Desk| ["E2", "E3", "E4"].map(|tag| place(desk, tag));
    let before = places(&desk);
    let shift = |desk: &mut Desk, tag: &str, dx: f64, dy: f64| {
        let what = Selection::part(id(desk, tag));
        desk.state_mut().state.edit(&Edit::Move { what, dx, dy }, None);
    };
    shift(&mut desk, "E3", -20.0, 10.0);
    select(&mut desk, &["E2", "E3", "E4"]);
    let depth = desk.state().state.history.depth();
    command(&mut desk, Command::AlignLeft);
    assert!(places(&desk).iter().all(|p| p.x == before[1].x - 20.0));
    command(&mut desk, Command::DistributeDown);
    let [a, b, c] = places(&desk).map(|p| p.y);
    assert!((b - f64::midpoint(a, c)).abs() <= Point::GRID_MM / 2.0);
    command(&mut desk, Command::AlignTop);
    assert!(places(&desk).iter().all(|p| p.y == a));
    assert_eq!(desk.state().state.history.depth(), depth + 3);
    assert_eq!(desk.state().state.history.undo_label(), Some("align top"));
    for _ in 0..3 {
        command(&mut desk, Command::Undo);
    }
    assert_eq!(place(&desk, "E3"), before[1].moved(-20.0, 10.0));
    assert_eq!(desk.state().state.selection().parts.len(), 3, "the selection came back");
}

#[test]
fn a_symbol_is_mirrored_by_its_key_and_back_and_its_cable_follows() {
    let mut desk = desk(drawing::small());
    select(&mut desk, &["E3"]);
    let kettle = id(&desk, "E3");
    let end = |desk: &Desk| {
        let cable = doc(desk).feeds_of(kettle).next().unwrap().0;
        let scene = &desk.state().state.computed.scene;
        scene.cables.iter().find(|c| c.cable == cable).unwrap().points.last().copied().unwrap()
    };
    assert!(end(&desk).x < place(&desk, "E3").x);
    desk.key_press_modifiers(Modifiers::COMMAND, Key::M);
    desk.run();
    assert!(doc(&desk).parts[&kettle].mirrored && end(&desk).x > place(&desk, "E3").x);
    assert_eq!(desk.state().state.history.undo_label(), Some("mirror E3"));
    desk.key_press_modifiers(Modifiers::COMMAND, Key::M);
    desk.run();
    assert!(!doc(&desk).parts[&kettle].mirrored);
}

#[test]
fn a_space_is_drawn_named_and_its_parts_are_in_it() {
    let mut desk = desk(drawing::small());
    let spaces = doc(&desk).spaces.len();
    let (from, to) = (part(&desk, "G1") + vec2(-60.0, -70.0), part(&desk, "G1") + vec2(60.0, 90.0));
    command(&mut desk, Command::DrawSpace);
    drag(&mut desk, from, to, Modifiers::NONE);
    assert_eq!(doc(&desk).spaces.len(), spaces + 1);
    let space = *doc(&desk).spaces.keys().last().unwrap();
    assert_eq!(desk.state().state.selection().spaces.first(), Some(&space), "what was drawn is selected");
    let rect = doc(&desk).spaces[&space].rect;
    let edit = Edit::SetSpace { id: space, name: "Engine room".to_owned(), kind: SpaceKind::EngineSpace, rect };
    desk.state_mut().state.edit(&edit, None);
    desk.run();
    assert_eq!(doc(&desk).space_of(id(&desk, "G1")), SpaceKind::EngineSpace);
    assert!(desk.query_by_label("Engine room space").is_some());
}

#[test]
fn a_copy_beside_takes_free_tags_and_the_same_figures() {
    let mut desk = desk(drawing::small());
    select(&mut desk, &["Q3", "X3", "E3"]);
    let parts = doc(&desk).parts.len();
    command(&mut desk, Command::Duplicate);
    assert_eq!(doc(&desk).parts.len(), parts + 3);
    let new = desk.state().state.selection().parts.clone();
    assert_eq!(new.len(), 3);
    let copy = new.iter().map(|id| &doc(&desk).parts[id]).find(|p| p.kind == PartKind::Appliance).unwrap();
    assert_eq!((copy.label.as_str(), copy.run_w), ("Kettle", Some(1200.0)));
    assert!(!["E2", "E3", "E4"].contains(&copy.tag.as_str()));
}
