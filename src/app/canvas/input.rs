//! Pointer, wheel and keys of the canvas: which gesture starts, what a click does, how the sheet is moved.

use super::gesture::Gesture;
use super::hit::{self, Hit};
use super::menu::Menu;
use super::nodes::{self, Act};
use super::pull::Pull;
use super::view::Map;
use super::{Canvas, drop};
use crate::app::locker::LockerPart;
use crate::app::state::State;
use crate::diagram::Target;
use crate::installation::{Edit, PartId, PartKind, Point, Selection};
use egui::{Key, PointerButton, Pos2, Response, Ui, Vec2};
use std::sync::Arc;

/// How much of the toolkit's zoom a wheel gets.
const WHEEL: f32 = 0.6;

/// Wheel, pinch, and keys of the view. True where the zoom runs.
pub fn wheel(ui: &Ui, state: &mut State, response: &Response) -> bool {
    let Some(pos) = ui.input(|i| i.pointer.hover_pos()).filter(|_| response.contains_pointer()) else { return false };
    let (zoom, scroll) = ui.input_mut(|i| {
        // A notch of the wheel is coarser than fingers on a trackpad.
        let fingers = i.events.iter().any(|e| matches!(e, egui::Event::Zoom(_)));
        let zoom = if fingers { i.zoom_delta() } else { i.zoom_delta().powf(WHEEL) };
        let taken = (zoom, i.smooth_scroll_delta);
        i.smooth_scroll_delta = Vec2::ZERO;
        taken
    });
    if scroll != Vec2::ZERO {
        state.view.pan(scroll);
    }
    let zooming = (zoom - 1.0).abs() > 1e-4;
    if zooming {
        state.view.zoom(f64::from(zoom), pos - response.rect.min);
    }
    zooming
}

/// Keys of the canvas that are no commands of the table.
pub fn keys(ui: &Ui, canvas: &mut Canvas, state: &mut State, response: &Response) {
    canvas.trying = crate::app::digits::is_trial_key_held(ui.ctx());
    let escape = ui.input(|i| i.key_pressed(Key::Escape));
    if escape && !Gesture::cancel(canvas, state) && canvas.menu.is_none() && ui.memory(|m| m.focused().is_none()) {
        state.select(Selection::default());
    }
    if escape {
        canvas.draw_space = None;
    }
    if canvas.menu.is_some() || ui.ctx().text_edit_focused() {
        return;
    }
    if response.has_focus() {
        ui.memory_mut(|m| m.set_focus_lock_filter(response.id, nodes::ARROWS));
    }
    let ours = response.has_focus() || canvas.holds_focus || ui.memory(|m| m.focused().is_none());
    if !ours {
        return;
    }
    let (dx, dy, shift, plus, minus, zero) = ui.input(|i| {
        let step = |less, more| f64::from(i.num_presses(more) as u32) - f64::from(i.num_presses(less) as u32);
        let bare = i.modifiers.is_none() || i.modifiers.shift_only();
        let key = |k| bare && i.key_pressed(k);
        let (dx, dy) =
            if bare { (step(Key::ArrowLeft, Key::ArrowRight), step(Key::ArrowUp, Key::ArrowDown)) } else { (0.0, 0.0) };
        let plus = key(Key::Plus) || key(Key::Equals);
        (dx, dy, i.modifiers.shift, plus, key(Key::Minus), key(Key::Num0))
    });
    if dx != 0.0 || dy != 0.0 {
        nudge(canvas, state, dx, dy, shift);
    }
    use crate::app::commands::Command;
    for (pressed, command) in [(plus, Command::ZoomIn), (minus, Command::ZoomOut), (zero, Command::ZoomFit)] {
        if pressed {
            super::commands::run(ui, canvas, state, command, response.rect);
        }
    }
}

/// Arrow keys move what is selected by a grid square (four with Shift), or the sheet where nothing is.
fn nudge(canvas: &mut Canvas, state: &mut State, dx: f64, dy: f64, far: bool) {
    let step = Point::GRID_MM * if far { 4.0 } else { 1.0 };
    let what = super::arrange::with_contents(state.installation(), state.selection());
    if what.is_empty() {
        state.view.pan(Vec2::new(-dx as f32, -dy as f32) * 40.0);
        return;
    }
    if canvas.nudged.as_ref() != Some(&what) {
        canvas.nudge_key = canvas.next_key("nudge");
        canvas.nudged = Some(what.clone());
    }
    let edit = Edit::Move { what, dx: dx * step, dy: dy * step };
    let key = canvas.nudge_key.clone();
    state.edit(&edit, Some(&key));
}

/// Presses, drags, clicks and drops.
pub fn pointer(ui: &Ui, canvas: &mut Canvas, state: &mut State, response: &Response) {
    let map = state.view.on(response.rect);
    let hover = ui.input(|i| i.pointer.latest_pos()).filter(|_| response.contains_pointer());
    let held = canvas.gesture.is_active();
    canvas.hit = match hover {
        Some(pos) if !held => hit::at(&map, state.drawn(), state.installation(), state.selection(), pos),
        _ => Hit::Sheet,
    };
    if let Some(pos) = hover {
        canvas.pointer = Some(map.point(pos));
    }
    if !held && response.contains_pointer() {
        state.hovered = target_of(canvas.hit);
    } else if canvas.hovering {
        state.hovered = None;
    }
    canvas.hovering = response.contains_pointer();

    if response.drag_started() {
        press(ui, canvas, state, response, &map);
    } else if response.dragged() && canvas.gesture.is_active() {
        if matches!(canvas.gesture, Gesture::Pan) {
            state.view.pan(response.drag_delta());
        } else if let Some(pos) = response.interact_pointer_pos() {
            edge_pan(ui, state, response.rect, pos);
            Gesture::follow(canvas, state, state.view.on(response.rect).point(pos));
        }
    }
    if response.drag_stopped() {
        let pos = response.interact_pointer_pos().or(ui.input(|i| i.pointer.latest_pos()));
        match pos {
            Some(pos) => Gesture::finish(canvas, state, &map, pos),
            None => {
                Gesture::cancel(canvas, state);
            }
        }
    }
    let at = response.interact_pointer_pos().or(hover);
    if let (Some(pos), true) = (at, response.clicked()) {
        click(ui, canvas, state, &map, pos, response.double_clicked());
    }
    if let (Some(pos), true) = (at, response.secondary_clicked()) {
        let hit = hit::at(&map, state.drawn(), state.installation(), state.selection(), pos);
        canvas.context = (hit, map.point(pos));
        if let Some(target) = target_of(hit).filter(|t| !is_selected(state, *t)) {
            state.select(selection_of(target));
        }
    }
    dropped(canvas, state, response, &map, ui);
}

fn press(ui: &Ui, canvas: &mut Canvas, state: &mut State, response: &Response, map: &Map) {
    let Some(pos) = ui.input(|i| i.pointer.press_origin()).or(response.interact_pointer_pos()) else { return };
    // Keys are for the drawing from here on, not for the field that was typed into before.
    canvas.focused_by_pointer = true;
    ui.memory_mut(|m| m.request_focus(response.id));
    let space = ui.input(|i| i.key_down(Key::Space));
    if !response.drag_started_by(PointerButton::Primary) || space {
        canvas.gesture = Gesture::Pan;
        if let Some(now) = response.interact_pointer_pos() {
            state.view.pan(now - pos);
        }
        return;
    }
    let hit = hit::at(map, state.drawn(), state.installation(), state.selection(), pos);
    let modifiers = ui.input(|i| i.modifiers);
    Gesture::start(canvas, state, hit, map.point(pos), modifiers);
    if let Some(now) = response.interact_pointer_pos() {
        Gesture::follow(canvas, state, map.point(now));
    }
}

/// A drag that reaches the edge of the canvas moves the sheet along.
fn edge_pan(ui: &Ui, state: &mut State, screen: egui::Rect, pos: Pos2) {
    let inner = screen.shrink(12.0);
    let over = pos - inner.clamp(pos);
    if over != Vec2::ZERO {
        state.view.pan(-over.normalized() * 8.0);
        ui.ctx().request_repaint();
    }
}

fn click(ui: &Ui, canvas: &mut Canvas, state: &mut State, map: &Map, pos: Pos2, double: bool) {
    let hit = hit::at(map, state.drawn(), state.installation(), state.selection(), pos);
    let adding = ui.input(|i| i.modifiers.shift || i.modifiers.command);
    canvas.focused_by_pointer = true;
    match hit {
        Hit::Switch(part) if !adding => {
            // A breaker is its own switch: what was clicked is also what the particulars show.
            if state.installation().parts.get(&part).is_some_and(|p| p.kind != PartKind::Appliance) {
                state.select(Selection::part(part));
            }
            activate(canvas, state, part, pos);
            ui.memory_mut(|m| m.request_focus(nodes::switch_id(part)));
        }
        Hit::Sheet => {
            let under = state.installation().space_at(map.point(pos)).filter(|_| double);
            match under {
                Some(space) => state.select(Selection::space(space)),
                None if !adding => state.select(Selection::default()),
                None => {}
            }
        }
        other => {
            let Some(target) = target_of(other) else { return };
            choose(state, target, adding);
            match target {
                Target::Part(p) | Target::Switch(p) => {
                    ui.memory_mut(|m| m.request_focus(nodes::part_id(p)));
                    let selector = state.installation().parts.get(&p).is_some_and(|p| p.kind == PartKind::Selector);
                    if selector && matches!(hit, Hit::Part(_)) && !adding {
                        canvas.menu = Some(Menu::feed(p, pos));
                    }
                }
                Target::Cable(c) => ui.memory_mut(|m| m.request_focus(nodes::cable_id(c))),
                Target::Space(_) => {}
            }
        }
    }
}

/// Turns a switch in the condition that is shown; a selector asks for the source.
fn activate(canvas: &mut Canvas, state: &mut State, part: PartId, pos: Pos2) {
    let Some(held) = state.installation().parts.get(&part) else { return };
    if held.kind.has_switch() && canvas.trying {
        state.try_switch(part);
    } else if held.kind.has_switch() {
        let (condition, on) = (state.condition, !state.installation().is_on(part, state.condition));
        state.edit(&Edit::Switch { condition, parts: vec![part], on }, None);
    } else {
        canvas.menu = Some(Menu::feed(part, pos));
    }
}

/// What was asked for through the keyboard or a screen reader.
pub fn act(canvas: &mut Canvas, state: &mut State, act: Act, screen: egui::Rect) {
    let map = state.view.on(screen);
    match act {
        Act::Select(target, adding) => choose(state, target, adding),
        Act::Toggle(part) => {
            let area = super::overlay::area(&state.computed.scene, part);
            let at = area.map_or(screen.center(), |a| map.rect(a.symbol).center_bottom());
            activate(canvas, state, part, at);
        }
        Act::Wire(part, terminal) => {
            state.select(Selection::part(part));
            let pull = Pull::at_terminal(state.installation(), part, terminal);
            let area = super::overlay::area(&state.computed.scene, part);
            let at = area.map_or(screen.center(), |a| map.rect(a.symbol).right_bottom());
            canvas.menu = Some(Menu::connect(pull, at));
        }
        Act::Reveal(rect) => state.view.reveal(rect, screen.size()),
    }
}

/// Selects a target, or with `adding` turns its being selected.
fn choose(state: &mut State, target: Target, adding: bool) {
    if !adding {
        state.select(selection_of(target));
        return;
    }
    let mut next = state.selection().clone();
    match target {
        Target::Part(id) | Target::Switch(id) => {
            if !next.parts.remove(&id) {
                next.parts.insert(id);
            }
        }
        Target::Cable(id) => {
            if !next.cables.remove(&id) {
                next.cables.insert(id);
            }
        }
        Target::Space(id) => {
            if !next.spaces.remove(&id) {
                next.spaces.insert(id);
            }
        }
    }
    state.select(next);
}

fn selection_of(target: Target) -> Selection {
    match target {
        Target::Part(id) | Target::Switch(id) => Selection::part(id),
        Target::Cable(id) => Selection::cable(id),
        Target::Space(id) => Selection::space(id),
    }
}

fn is_selected(state: &State, target: Target) -> bool {
    match target {
        Target::Part(id) | Target::Switch(id) => state.selection().parts.contains(&id),
        Target::Cable(id) => state.selection().cables.contains(&id),
        Target::Space(id) => state.selection().spaces.contains(&id),
    }
}

fn target_of(hit: Hit) -> Option<Target> {
    match hit {
        Hit::Part(id) | Hit::Switch(id) | Hit::Terminal(id, _) => Some(Target::Part(id)),
        Hit::Cable(id) | Hit::CableEnd(id, _) => Some(Target::Cable(id)),
        Hit::Space(id) | Hit::SpaceEdge(id, _) => Some(Target::Space(id)),
        Hit::Sheet => None,
    }
}

/// A part of the locker over the canvas, and let go on it.
fn dropped(canvas: &mut Canvas, state: &mut State, response: &Response, map: &Map, ui: &Ui) {
    let Some(pos) = ui.input(|i| i.pointer.interact_pos()) else { return };
    canvas.plan = response
        .dnd_hover_payload::<LockerPart>()
        .map(|payload: Arc<LockerPart>| (payload.part.clone(), drop::plan(state, map, &payload.part, pos)));
    if let Some(payload) = response.dnd_release_payload::<LockerPart>() {
        canvas.plan = None;
        let plan = drop::plan(state, map, &payload.part, pos);
        if state.edit(&plan.edit, None) {
            canvas.focused_by_pointer = true;
            if let Some(part) = state.selected_part() {
                ui.memory_mut(|m| m.request_focus(nodes::part_id(part)));
            }
        }
    }
}
