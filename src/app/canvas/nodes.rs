//! The names and places of what is drawn, for keyboard focus, screen readers and tests. All pointer work is done by
//! [`super::hit`]; what is here takes focus and says what it is.

use super::Canvas;
use super::hit;
use super::names::Facts;
use super::view::Map;
use crate::app::computed::Subject;
use crate::app::state::State;
use crate::diagram::{PartArea, Scene, Target, Terminal};
use crate::installation::{CableId, Installation, PartId, PartKind, Point, Rect, SpaceId};
use crate::network::Solution;
use egui::accesskit::{Action, Role};
use egui::{EventFilter, Id, Key, Response, Sense, Ui, WidgetInfo};
use std::collections::BTreeSet;

/// What was asked for through the keyboard or a screen reader.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Act {
    /// Select a part, cable or space; with Shift or Ctrl besides what is selected.
    Select(Target, bool),
    /// Turn a switch.
    Toggle(PartId),
    /// Wire this part from a terminal.
    Wire(PartId, Terminal),
    /// It took the focus by keyboard: bring it into view.
    Reveal(Rect),
}

/// The id of a part's widget; stable as long as the part lives.
#[must_use]
pub fn part_id(part: PartId) -> Id {
    Id::unique(("canvas part", part.number()))
}

/// The id of a cable's widget.
#[must_use]
pub fn cable_id(cable: CableId) -> Id {
    Id::unique(("canvas cable", cable.number()))
}

/// The id of a switch's widget.
#[must_use]
pub fn switch_id(part: PartId) -> Id {
    Id::unique(("canvas switch", part.number()))
}

/// The id of a space's widget.
#[must_use]
pub fn space_id(space: SpaceId) -> Id {
    Id::unique(("canvas space", space.number()))
}

/// Keeps the arrow keys with a focused widget of the canvas.
pub const ARROWS: EventFilter =
    EventFilter { tab: false, horizontal_arrows: true, vertical_arrows: true, escape: false };

/// Parts in the order of feeding, from the source outwards; what is not fed follows in the order of its own cables.
#[must_use]
pub fn feed_order(installation: &Installation, solution: &Solution) -> Vec<PartId> {
    let mut order: Vec<PartId> = Vec::with_capacity(installation.parts.len());
    let mut seen = BTreeSet::new();
    let fed = solution.walk.order.iter().copied().filter(|p| installation.parts.contains_key(p));
    let sources = installation.parts.iter().filter(|(_, p)| p.kind.is_source()).map(|(id, _)| *id);
    for start in fed.chain(sources).chain(installation.parts.keys().copied()) {
        let mut open = vec![start];
        while let Some(at) = open.pop() {
            if !seen.insert(at) {
                continue;
            }
            order.push(at);
            if !solution.walk.is_fed(at) {
                let mut next: Vec<PartId> = installation.leaving(at).map(|(_, c)| c.to).collect();
                next.reverse();
                open.extend(next.into_iter().filter(|p| !solution.walk.is_fed(*p)));
            }
        }
    }
    order
}

/// Registers everything that is drawn, in the order of feeding, and returns what was asked for.
pub fn register(ui: &mut Ui, canvas: &mut Canvas, state: &State, map: &Map) -> Vec<Act> {
    let doc = state.installation().as_ref();
    let scene = &state.computed.scene;
    let facts = Facts {
        installation: doc,
        condition: state.condition,
        solution: &state.computed.solution,
        findings: &state.computed.judged.open,
        lookup: &state.computed.lookup,
        feet: state.feet,
    };
    canvas.focused = None;
    canvas.focus_target = None;
    let lookup = &state.computed.lookup;
    let reader = ui.ctx().accesskit_node_builder(ui.unique_id(), |_| ()).is_some();
    let wanted = Wanted::of(ui, state, map, reader);
    let mut registrar = Registrar { ui, canvas, state, map, facts, acts: Vec::new(), reader };
    for (place, part) in lookup.order.iter().enumerate() {
        let whole = wanted.takes(place);
        for cable in lookup.feeds.get(part).into_iter().flatten() {
            if whole || wanted.focus == Some(cable_id(*cable)) {
                registrar.cable(scene, *cable);
            }
        }
        if (whole || wanted.focus.is_some_and(|id| id == part_id(*part) || id == switch_id(*part)))
            && let Some(area) = super::overlay::area(scene, *part)
        {
            registrar.part(area);
        }
    }
    for (id, space) in &doc.spaces {
        let same = doc.spaces.range(..*id).filter(|(_, s)| s.name == space.name).count();
        let name = match same {
            0 => format!("{} space", space.name),
            n => format!("{} space, number {}", space.name, n + 1),
        };
        registrar.space(space_id(*id), Target::Space(*id), space.rect, &name);
    }
    registrar.acts
}

/// Which widgets of a large drawing are there in a frame. Of a small one all are. Of a large one: what has the focus; in a
/// frame in which the focus moves, or where a screen reader listens, also what is seen and its neighbours in the order of
/// feeding, so that Tab goes on beyond the edge.
struct Wanted {
    /// By place in the order of feeding; `None` where all are wanted.
    near: Option<Vec<bool>>,
    focus: Option<Id>,
}

impl Wanted {
    fn of(ui: &Ui, state: &State, map: &Map, reader: bool) -> Self {
        let focus = ui.memory(|m| m.focused());
        let order = &state.computed.lookup.order;
        if order.len() <= Subject::AT_ONCE {
            return Self { near: None, focus };
        }
        let moves = ui.input(|i| [Key::Tab, Key::Enter, Key::Space].into_iter().any(|k| i.key_pressed(k)));
        if !reader && !moves {
            return Self { near: Some(vec![false; order.len()]), focus };
        }
        let seen = map.seen().grown(5.0);
        let see =
            |part: &PartId| super::overlay::area(&state.computed.scene, *part).is_some_and(|a| a.symbol.overlaps(seen));
        let seen: Vec<bool> = order.iter().map(see).collect();
        let held = |i: usize| seen.get(i).copied().unwrap_or(false);
        let mut near: Vec<bool> = (0..order.len()).map(|i| held(i) || held(i + 1) || i > 0 && held(i - 1)).collect();
        // The neighbours of what has the focus, wherever it is; the first, where Tab comes in.
        let at = order.iter().position(|p| focus == Some(part_id(*p)) || focus == Some(switch_id(*p))).unwrap_or(0);
        for i in at.saturating_sub(1)..=at + 1 {
            if let Some(near) = near.get_mut(i) {
                *near = true;
            }
        }
        Self { near: Some(near), focus }
    }

    fn takes(&self, place: usize) -> bool {
        self.near.as_ref().is_none_or(|near| near.get(place).copied().unwrap_or(false))
    }
}

struct Registrar<'a> {
    ui: &'a mut Ui,
    canvas: &'a mut Canvas,
    state: &'a State,
    map: &'a Map,
    facts: Facts<'a>,
    acts: Vec<Act>,
    /// A screen reader listens.
    reader: bool,
}

impl Registrar<'_> {
    fn cable(&mut self, scene: &Scene, id: CableId) {
        let Ok(index) = scene.cables.binary_search_by_key(&id, |c| c.cable) else { return };
        let Some((a, b)) = hit::longest_piece(&scene.cables[index].points) else { return };
        let piece = Rect::between(a, b);
        let rect = self.map.rect(piece).expand(hit::CABLE_PT);
        let r = self.ui.interact(rect, cable_id(id), Sense::focusable_noninteractive());
        let selected = self.state.selection().cables.contains(&id);
        let facts = self.facts;
        r.widget_info(|| WidgetInfo::labeled(Role::Button, true, facts.cable(id)));
        self.describe(&r, selected, || facts.cable_figures(id));
        let target = Target::Cable(id);
        self.keys(&r, rect, piece, |adding| Act::Select(target, adding));
    }

    fn part(&mut self, area: &PartArea) {
        let id = area.part;
        let Some(part) = self.state.installation().parts.get(&id) else { return };
        let rect = self.map.rect(area.symbol);
        let r = self.ui.interact(rect, part_id(id), Sense::focusable_noninteractive());
        let facts = self.facts;
        r.widget_info(|| WidgetInfo::labeled(Role::Button, true, facts.part(id)));
        let selected = self.state.selection().parts.contains(&id);
        self.describe(&r, selected, || facts.findings(facts.of_part(id)).join("; "));
        self.keys(&r, rect, area.full, |adding| Act::Select(Target::Part(id), adding));
        if let Some(switch) = area.switch.filter(|_| part.kind.has_switch() || part.kind == PartKind::Selector) {
            let rect = self.map.rect(switch);
            let r = self.ui.interact(rect, switch_id(id), Sense::focusable_noninteractive());
            let on = facts.installation.is_on(id, facts.condition);
            if part.kind.has_switch() {
                r.widget_info(|| WidgetInfo::selected(Role::Switch, true, on, facts.switch(id)));
            } else {
                r.widget_info(|| WidgetInfo::labeled(Role::Button, true, facts.switch(id)));
            }
            self.describe(&r, false, String::new);
            self.keys(&r, rect, area.full, |_| Act::Toggle(id));
        }
        if !self.reader {
            // The pointer finds terminals by itself; their names are for readers alone.
            return;
        }
        for (terminal, at) in first_of_each(&area.terminals) {
            let rect = hit::terminal_area(self.map, area, at);
            let key = match terminal {
                Terminal::Outlet => 0,
                Terminal::Inlet(n) => n + 1,
            };
            let r = self.ui.interact(rect, Id::unique(("canvas terminal", id.number(), key)), Sense::hover());
            r.widget_info(|| WidgetInfo::labeled(Role::Button, true, facts.terminal(id, terminal)));
            self.describe(&r, false, String::new);
            if self.asked(&r) {
                self.acts.push(Act::Wire(id, terminal));
            }
        }
    }

    fn space(&mut self, id: Id, target: Target, rect: Rect, name: &str) {
        let screen = self.map.rect(rect);
        let strip = egui::Rect::from_min_size(screen.min, egui::vec2(screen.width(), screen.height().min(18.0)));
        let r = self.ui.interact(strip, id, Sense::focusable_noninteractive());
        r.widget_info(|| WidgetInfo::labeled(Role::Button, true, name));
        let selected = matches!(target, Target::Space(s) if self.state.selection().spaces.contains(&s));
        self.describe(&r, selected, String::new);
        self.keys(&r, screen, rect, |adding| Act::Select(target, adding));
    }

    /// Says that it can be activated, whether it is selected, and more in words.
    fn describe(&self, r: &Response, selected: bool, more: impl FnOnce() -> String) {
        self.ui.ctx().accesskit_node_builder(r.id, |node| {
            node.add_action(Action::Click);
            if selected {
                node.set_selected(true);
            }
            let more = more();
            if !more.is_empty() {
                node.set_description(more);
            }
        });
    }

    fn asked(&self, r: &Response) -> bool {
        self.ui.input(|i| i.has_accesskit_action_request(r.id, Action::Click))
    }

    fn keys(&mut self, r: &Response, rect: egui::Rect, place: Rect, act: impl Fn(bool) -> Act) {
        if r.has_focus() {
            self.ui.memory_mut(|m| m.set_focus_lock_filter(r.id, ARROWS));
            if !self.canvas.focused_by_pointer {
                self.canvas.focused = Some(rect);
                self.canvas.focus_target = match act(false) {
                    Act::Select(target, _) => Some(target),
                    Act::Toggle(part) | Act::Wire(part, _) => Some(Target::Part(part)),
                    Act::Reveal(_) => None,
                };
            }
            if r.gained_focus() && !self.canvas.focused_by_pointer {
                self.acts.push(Act::Reveal(place));
            }
            let by_pointer = self.canvas.focused_by_pointer;
            let (pressed, adding) = self.ui.input(|i| {
                let space = !by_pointer && i.key_pressed(Key::Space);
                (i.key_pressed(Key::Enter) || space, i.modifiers.shift || i.modifiers.command)
            });
            if pressed {
                self.acts.push(act(adding));
            }
        }
        if self.asked(r) {
            self.acts.push(act(false));
        }
    }
}

/// A bar has many places where a cable may leave: one name for each kind of terminal.
fn first_of_each(terminals: &[(Terminal, Point)]) -> Vec<(Terminal, Point)> {
    let mut seen = BTreeSet::new();
    terminals.iter().copied().filter(|(t, _)| seen.insert(*t)).collect()
}
