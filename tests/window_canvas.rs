//! The canvas by names and real pointer events: before, hands, after.
#![cfg(feature = "window")]

#[path = "support/desk.rs"]
mod desk;
#[path = "support/drawing.rs"]
mod drawing;

use desk::{Desk, desk, doc, id, part, place};
use egui::{Event, Key, Modifiers, PointerButton, Pos2, Vec2, vec2};
use egui_kittest::kittest::{NodeT as _, Queryable as _};
use hullwire::installation::{Installation, PartKind};
use hullwire::units::Severity;

fn amps(desk: &Desk, tag: &str) -> Option<f64> {
    desk.state().state.computed.solution.parts[&id(desk, tag)].amps
}

fn named(desk: &Desk, name: &str) -> Pos2 {
    desk.get_by_label(name).rect().center()
}

fn press(desk: &mut Desk, at: Pos2) {
    desk.hover_at(at);
    desk.run();
    desk.drag_at(at);
    desk.run();
}

fn carry(desk: &mut Desk, from: Pos2, to: Pos2) {
    for share in [0.1, 0.5, 1.0] {
        desk.hover_at(from + (to - from) * share);
        desk.run();
    }
}

fn drag(desk: &mut Desk, from: Pos2, to: Pos2) {
    press(desk, from);
    carry(desk, from, to);
    desk.drop_at(to);
    desk.run();
}

fn click(desk: &mut Desk, at: Pos2) {
    press(desk, at);
    desk.drop_at(at);
    desk.run();
}

/// A place on the sheet where nothing is, under the drawing.
fn empty(desk: &Desk) -> Pos2 {
    let sheet = desk.get_by_label("Drawing sheet").rect();
    Pos2::new(sheet.center().x, sheet.bottom() - 60.0)
}

fn command(desk: &mut Desk, key: Key) {
    desk.key_press_modifiers(Modifiers::COMMAND, key);
    desk.run();
}

#[test]
fn parts_lie_where_their_names_say_at_any_zoom() {
    let mut desk = desk(drawing::small());
    for _ in 0..3 {
        let (panel, kettle) = (part(&desk, "A1"), part(&desk, "E3"));
        assert!(panel.x < kettle.x);
        click(&mut desk, kettle);
        assert_eq!(desk.state().state.selected_part(), Some(id(&desk, "E3")));
        let before = kettle;
        desk.hover_at(kettle);
        desk.event(Event::Zoom(1.25));
        desk.run();
        let after = part(&desk, "E3");
        assert!(before.distance(after) < 25.0, "what is under the pointer stays there");
    }
}

#[test]
fn a_switch_is_turned_and_everything_follows() {
    let mut desk = desk(drawing::small());
    let before = amps(&desk, "Q1").unwrap();
    let at = named(&desk, "E3 switch");
    click(&mut desk, at);
    assert!(!doc(&desk).is_on(id(&desk, "E3"), 0));
    assert!(amps(&desk, "Q1").unwrap() < before - 9.0);
    assert_eq!(amps(&desk, "Q3"), Some(0.0));
    command(&mut desk, Key::Z);
    assert!(doc(&desk).is_on(id(&desk, "E3"), 0));
    let at = named(&desk, "Q4 switch");
    click(&mut desk, at);
    assert!(!doc(&desk).is_on(id(&desk, "Q4"), 0), "a breaker is opened by a click");
    assert_eq!(amps(&desk, "E4"), None);
}

#[test]
fn an_overload_is_named_on_the_breaker() {
    let desk = desk(drawing::small());
    let name = desk
        .get_by(|n| n.label().unwrap_or_default().starts_with("Q3 breaker"))
        .accesskit_node()
        .label()
        .unwrap_or_default();
    assert!(name.contains("10 A") && name.contains("closed") && name.contains("carries 10."), "{name}");
    assert!(name.contains("loaded 102 %, fed from A1, one warning"), "{name}");
}

#[test]
fn a_drag_moves_on_the_grid_as_one_step_and_undo_takes_it_back() {
    let mut desk = desk(drawing::small());
    let before = place(&desk, "E3");
    let depth = desk.state().state.history.depth();
    let at = part(&desk, "E3");
    drag(&mut desk, at, at + vec2(37.0, 61.0));
    let after = place(&desk, "E3");
    assert_ne!(before, after);
    assert_eq!(after, after.snapped());
    assert_eq!(desk.state().state.history.depth(), depth + 1, "one step");
    command(&mut desk, Key::Z);
    assert_eq!(place(&desk, "E3"), before);
}

#[test]
fn escape_takes_a_running_drag_back() {
    let mut desk = desk(drawing::small());
    let before = place(&desk, "E3");
    let at = part(&desk, "E3");
    press(&mut desk, at);
    carry(&mut desk, at, at + vec2(0.0, 90.0));
    assert_ne!(place(&desk, "E3"), before, "the preview is live");
    desk.key_press(Key::Escape);
    desk.run();
    assert_eq!(place(&desk, "E3"), before);
    desk.drop_at(at + vec2(0.0, 90.0));
    desk.run();
    assert_eq!(place(&desk, "E3"), before);
    assert!(!desk.state().state.history.is_changed());
}

#[test]
fn a_box_on_the_sheet_selects_what_lies_in_it() {
    let mut desk = desk(drawing::small());
    let (from, to) = (part(&desk, "Q2") - vec2(40.0, 60.0), part(&desk, "Q4") + vec2(40.0, 60.0));
    drag(&mut desk, from, to);
    let tags: Vec<&str> = desk.state().state.selection().parts.iter().map(|p| doc(&desk).tag(*p)).collect();
    assert_eq!(tags, ["Q2", "Q3", "Q4"]);
    desk.key_press(Key::Delete);
    desk.run();
    assert!(doc(&desk).part_by_tag("Q3").is_none());
    assert_eq!(doc(&desk).cables.values().filter(|c| doc(&desk).tag(c.to) == "X3").count(), 0);
    command(&mut desk, Key::Z);
    assert_eq!(desk.state().state.selection().parts.len(), 3, "the selection comes back with the step");
}

#[test]
fn a_cable_pulled_to_a_part_connects_it_and_a_refusal_says_why() {
    let mut small = drawing::small();
    let lamp = drawing::part(&mut small, PartKind::Appliance, "E9", 225.0, 110.0, |p| {
        p.run_w = Some(60.0);
    });
    let mut desk = desk(small);
    let from = named(&desk, "Q4 outlet terminal");
    let to = part(&desk, "E9");
    drag(&mut desk, from, to);
    let feeds: Vec<&str> = doc(&desk).feeds_of(lamp).map(|(_, c)| doc(&desk).tag(c.from)).collect();
    assert_eq!(feeds, ["Q4"]);
    // A second feed is refused: while the cable hangs there, and when it is let go.
    let from = named(&desk, "Q2 outlet terminal");
    press(&mut desk, from);
    carry(&mut desk, from, to);
    let said = desk.query_by_label_contains("already fed by Q4").is_some()
        || desk.query_by(|n| n.value().unwrap_or_default().contains("already fed by Q4")).is_some();
    assert!(said, "the reason stands beside the pointer");
    desk.drop_at(to);
    desk.run();
    assert_eq!(doc(&desk).feeds_of(lamp).count(), 1);
    assert!(desk.state().state.message.as_ref().is_some_and(|m| m.refused && m.text.contains("already fed by Q4")));
}

#[test]
fn a_cable_pulled_to_the_empty_sheet_offers_what_comes_next() {
    let mut desk = desk(drawing::small());
    let from = named(&desk, "A1 outlet terminal");
    let to = empty(&desk);
    drag(&mut desk, from, to);
    let at = named(&desk, "Add breaker");
    click(&mut desk, at);
    let added = doc(&desk).part_by_tag("Q5").expect("a breaker with the next free tag");
    let feeds: Vec<&str> = doc(&desk).feeds_of(added).map(|(_, c)| doc(&desk).tag(c.from)).collect();
    assert_eq!(feeds, ["A1"]);
    command(&mut desk, Key::Z);
    assert!(doc(&desk).part_by_tag("Q5").is_none(), "part and cable are one step");
}

#[test]
fn the_end_of_a_cable_is_led_to_another_part() {
    let mut desk = desk(drawing::small());
    let end = named(&desk, "E4 inlet terminal");
    // The plug of the freezer goes to the outlet of the kettle.
    let cable = doc(&desk).feeds_of(id(&desk, "E4")).map(|(c, _)| c).next().unwrap();
    desk.state_mut().state.select(hullwire::installation::Selection::cable(cable));
    desk.run();
    let start = named(&desk, "X4 outlet terminal");
    let to = part(&desk, "X3");
    assert!(start.x < end.x);
    drag(&mut desk, start, to);
    assert_eq!(doc(&desk).tag(doc(&desk).cables[&cable].from), "X3");
}

#[test]
fn copies_take_free_tags_and_keep_their_cables() {
    let mut desk = desk(drawing::small());
    let (from, to) = (part(&desk, "Q4") - vec2(40.0, 60.0), part(&desk, "X4") + vec2(40.0, 40.0));
    drag(&mut desk, from, to);
    assert_eq!(desk.state().state.selection().parts.len(), 2);
    command(&mut desk, Key::D);
    let selection = desk.state().state.selection().clone();
    assert_eq!(selection.parts.len(), 2, "the copies are selected");
    let among =
        doc(&desk).cables.values().filter(|c| selection.parts.contains(&c.from) && selection.parts.contains(&c.to));
    assert_eq!(among.count(), 1);
    desk.event(Event::Copy);
    desk.run();
    let parts = doc(&desk).parts.len();
    let at = empty(&desk);
    desk.hover_at(at);
    desk.run();
    desk.event(Event::Paste(String::new()));
    desk.run();
    assert_eq!(doc(&desk).parts.len(), parts + 2);
}

#[test]
fn arrow_keys_move_the_selection_by_a_grid_square_as_one_step() {
    let mut desk = desk(drawing::small());
    let at = part(&desk, "E3");
    click(&mut desk, at);
    let before = place(&desk, "E3");
    let depth = desk.state().state.history.depth();
    for key in [Key::ArrowRight, Key::ArrowRight, Key::ArrowDown] {
        desk.key_press(key);
        desk.run();
    }
    assert_eq!(place(&desk, "E3"), before.moved(10.0, 5.0));
    assert_eq!(desk.state().state.history.depth(), depth + 1);
}

#[test]
fn a_space_moves_with_its_parts_and_is_resized_by_its_edge() {
    let mut desk = desk(drawing::small());
    let strip = desk.get_by_label("Galley space").rect();
    let before = (place(&desk, "E3"), place(&desk, "Q3"));
    drag(&mut desk, strip.left_center() + vec2(30.0, 2.0), strip.left_center() + vec2(30.0, 60.0));
    assert!(place(&desk, "E3").y > before.0.y && place(&desk, "E3").x == before.0.x);
    assert_eq!(place(&desk, "Q3"), before.1, "what lies outside stays");
    let space = doc(&desk).spaces.values().next().unwrap().rect;
    let strip = desk.get_by_label("Galley space").rect();
    let edge = strip.left_top() + vec2(0.0, 90.0);
    drag(&mut desk, edge, edge - vec2(50.0, 0.0));
    let wider = doc(&desk).spaces.values().next().unwrap().rect;
    assert!(wider.width() > space.width() && wider.height() == space.height());
}

#[test]
fn the_selector_offers_its_sources() {
    let mut desk = desk(drawing::small());
    assert_eq!(doc(&desk).conditions[0].feeding, vec![id(&desk, "G1")]);
    let at = part(&desk, "Q10");
    click(&mut desk, at);
    let at = named(&desk, "Feed from X1 Shore inlet");
    click(&mut desk, at);
    assert_eq!(doc(&desk).conditions[0].feeding, vec![id(&desk, "X1")]);
    assert!(amps(&desk, "E3").is_some());
}

#[test]
fn the_wheel_pans_and_zooms_and_the_sheet_is_dragged_with_the_middle_button() {
    let mut desk = desk(drawing::small());
    let before = part(&desk, "E3");
    let sheet = empty(&desk);
    desk.hover_at(sheet);
    desk.run();
    desk.event(Event::PointerButton {
        pos: sheet,
        button: PointerButton::Middle,
        pressed: true,
        modifiers: Modifiers::NONE,
    });
    desk.run();
    desk.hover_at(sheet + vec2(0.0, -80.0));
    desk.run();
    desk.hover_at(sheet + vec2(-30.0, -90.0));
    desk.run();
    desk.event(Event::PointerButton {
        pos: sheet + vec2(-30.0, -90.0),
        button: PointerButton::Middle,
        pressed: false,
        modifiers: Modifiers::NONE,
    });
    desk.run();
    let moved: Vec2 = part(&desk, "E3") - before;
    assert!(moved.y < -60.0, "{moved:?}");
    assert!(desk.state().state.selection().is_empty());
    desk.key_press(Key::Num0);
    desk.run();
    assert!(part(&desk, "E3").distance(before) < 2.0, "0 shows all of it again");
    assert!(!desk.state().state.history.is_changed());
}

#[test]
fn tab_reaches_every_part_in_the_order_of_feeding() {
    let mut desk = desk(drawing::small());
    let mut seen = Vec::new();
    desk.key_press(Key::F6);
    desk.run();
    for _ in 0..60 {
        desk.key_press(Key::Tab);
        desk.run();
        let focused = desk.query_by(|n| n.is_focused()).and_then(|n| n.accesskit_node().label()).unwrap_or_default();
        seen.push(focused);
    }
    let first =
        |start: &str| seen.iter().position(|s| s.starts_with(start)).unwrap_or_else(|| panic!("{start}: {seen:?}"));
    assert!(first("G1 generator") < first("Q10 source selector"));
    assert!(first("Q10 source selector") < first("A1 panel"));
    assert!(first("A1 panel") < first("Q3 breaker"));
    assert!(first("Q3 breaker") < first("E3 appliance"));
    assert!(first("E3 switch") > first("E3 appliance"));
    first("Cable A1 to Q3");
    first("Galley space");
}

#[test]
fn the_keyboard_alone_selects_switches_and_wires() {
    let mut small = drawing::small();
    let lamp = drawing::part(&mut small, PartKind::Appliance, "E9", 225.0, 110.0, |_| {});
    let mut desk = desk(small);
    let focus = |desk: &mut Desk, start: &str| {
        desk.key_press(Key::F6);
        desk.run();
        for _ in 0..120 {
            desk.key_press(Key::Tab);
            desk.run();
            let focused =
                desk.query_by(|n| n.is_focused()).and_then(|n| n.accesskit_node().label()).unwrap_or_default();
            if focused.starts_with(start) {
                return;
            }
        }
        panic!("no way to {start}");
    };
    focus(&mut desk, "Q4 breaker");
    desk.key_press(Key::Enter);
    desk.run();
    assert_eq!(desk.state().state.selected_part(), Some(id(&desk, "Q4")));
    command(&mut desk, Key::E);
    desk.get_by_label("Connect to tag").type_text("e9");
    desk.run();
    desk.key_press(Key::Enter);
    desk.run();
    assert_eq!(doc(&desk).feeds_of(lamp).count(), 1);
    focus(&mut desk, "E3 switch");
    desk.key_press(Key::Space);
    desk.run();
    assert!(!doc(&desk).is_on(id(&desk, "E3"), 0));
}

#[test]
fn an_idle_canvas_asks_for_no_frame() {
    let mut desk = desk(drawing::small());
    desk.hover_at(empty(&desk));
    desk.run();
    // What is worked out beside the window asks for frames until it is done, then none.
    let (mut still, mut delay) = (0, None);
    for _ in 0..4000 {
        desk.step();
        delay = desk.output().viewport_output.values().map(|v| v.repaint_delay).min();
        still = if delay.is_some_and(|d| d.as_secs() > 1) { still + 1 } else { 0 };
        if still == 20 {
            return;
        }
        std::thread::sleep(std::time::Duration::from_millis(5));
    }
    panic!("{delay:?}");
}

/// Takes a part out of the locker and lets it go.
fn from_locker(desk: &mut Desk, name: &str, to: Pos2) {
    desk.get_by_label("Find in the locker").focus();
    desk.run();
    desk.get_by_label("Find in the locker").type_text(name);
    desk.run();
    let at = named(desk, &format!("Locker: {name}"));
    drag(desk, at, to);
    desk.get_by_label("Find in the locker").focus();
    desk.run();
    command(desk, Key::A);
    desk.key_press(Key::Backspace);
    desk.run();
}

fn feeder(desk: &Desk, tag: &str) -> Vec<String> {
    doc(desk).feeds_of(id(desk, tag)).map(|(_, c)| doc(desk).tag(c.from).to_owned()).collect()
}

#[test]
fn a_part_from_the_locker_lands_on_the_grid_under_the_pointer() {
    let mut desk = desk(drawing::small());
    let to = empty(&desk);
    from_locker(&mut desk, "Kettle", to);
    let added = place(&desk, "E1");
    assert_eq!(added, added.snapped());
    // The grid, and the switch at the right of the box, shift the middle of what can be hit.
    let off = part(&desk, "E1").distance(to);
    assert!(off < 32.0, "{off}");
    assert!(feeder(&desk, "E1").is_empty());
    assert_eq!(desk.state().state.history.undo_label(), Some("add E1"));
}

#[test]
fn a_part_from_the_locker_dropped_on_a_cable_is_put_into_it() {
    let mut desk = desk(drawing::small());
    let cable = named(&desk, "Cable Q4 to X4");
    let before = desk.state().state.computed.solution.parts[&id(&desk, "E4")].volts;
    from_locker(&mut desk, "Junction", cable);
    assert_eq!(feeder(&desk, "X4"), ["X5"]);
    assert_eq!(feeder(&desk, "X5"), ["Q4"]);
    let after = desk.state().state.computed.solution.parts[&id(&desk, "E4")].volts;
    assert!((before.unwrap() - after.unwrap()).abs() < 1e-6, "the lengths keep their sum");
    assert_eq!(place(&desk, "X5").y, place(&desk, "Q4").y, "it lies on the line");
}

#[test]
fn a_part_from_the_locker_dropped_on_a_bar_hangs_on_it() {
    let mut desk = desk(drawing::small());
    let bar = part(&desk, "A1") + vec2(0.0, 45.0);
    from_locker(&mut desk, "Breaker", bar);
    assert_eq!(feeder(&desk, "Q5"), ["A1"]);
}

#[test]
fn an_appliance_from_the_locker_overloads_its_breaker_and_undo_cures_it() {
    let mut desk = desk(drawing::small());
    const OVER: &str = "breaker-overload";
    let found = |desk: &Desk| {
        let state = &desk.state().state;
        let breaker = id(desk, "Q2");
        state
            .computed
            .survey
            .findings
            .iter()
            .any(|f| f.parts.first() == Some(&breaker) && f.rule == OVER && f.severity >= Severity::Warning)
    };
    assert!(!found(&desk));
    let to = empty(&desk);
    from_locker(&mut desk, "Kettle", to);
    let (from, to) = (named(&desk, "X2 outlet terminal"), part(&desk, "E1"));
    drag(&mut desk, from, to);
    assert_eq!(feeder(&desk, "E1"), ["X2"]);
    assert!(found(&desk), "1,100 W and a kettle on 15 A");
    command(&mut desk, Key::Z);
    assert!(!found(&desk));
}

#[test]
fn five_parts_are_drawn_and_wired_by_the_keyboard_alone() {
    let mut desk = desk(Installation::new(hullwire::installation::System::TwoWire120));
    for name in ["Shore inlet", "Panel", "Breaker", "Outlet", "Kettle"] {
        desk.get_by_label(&format!("Locker: {name}")).focus();
        desk.run();
        desk.key_press(Key::Enter);
        desk.run();
    }
    assert_eq!(doc(&desk).parts.len(), 5);
    // Each was added beside the one selected and fed by it.
    assert_eq!(feeder(&desk, "A1"), ["X1"]);
    assert_eq!(feeder(&desk, "Q1"), ["A1"]);
    assert_eq!(feeder(&desk, "X2"), ["Q1"]);
    assert_eq!(feeder(&desk, "E1"), ["X2"]);
    assert!(desk.state().state.computed.solution.walk.is_fed(id(&desk, "E1")));
    let places: std::collections::BTreeSet<String> =
        doc(&desk).parts.values().map(|p| format!("{:?}", p.position())).collect();
    assert_eq!(places.len(), 5, "none lies on another");
}
