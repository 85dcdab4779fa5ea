//! The small menus of the canvas: what comes next, which source feeds, connect by tag, and the context menu.

use super::Canvas;
use super::hit::Hit;
use super::offer;
use super::pull::Pull;
use crate::app::commands::Command;
use crate::app::state::State;
use crate::installation::{CableId, Edit, Installation, Part, PartId, PartKind, Place, Point, SpaceKind};
use egui::{Id, Key, Popup, PopupCloseBehavior, PopupKind, Pos2, RichText, Ui};
use std::collections::BTreeSet;

/// The commands that line parts up.
const LINING_UP: [Command; 7] = [
    Command::AlignLeft,
    Command::AlignCentre,
    Command::AlignTop,
    Command::AlignMiddle,
    Command::DistributeAcross,
    Command::DistributeDown,
    Command::Mirror,
];

/// A menu that is open on the canvas.
#[derive(Clone, Debug)]
pub struct Menu {
    what: What,
    at: Pos2,
}

#[derive(Clone, Debug)]
enum What {
    /// What comes next at the loose end of a cable, and where it goes.
    Next(Pull, Point),
    /// Which source a selector passes.
    Feed(PartId),
    /// Wire a part to another, by the tag that is typed; whether the field has had the focus yet.
    Connect(Pull, String, bool),
}

/// What was chosen.
enum Choice {
    Edit(Edit),
}

impl Menu {
    /// What comes next.
    #[must_use]
    pub fn next(pull: Pull, place: Point, at: Pos2) -> Self {
        Self { what: What::Next(pull, place), at }
    }

    /// Which source a selector passes.
    #[must_use]
    pub fn feed(selector: PartId, at: Pos2) -> Self {
        Self { what: What::Feed(selector), at }
    }

    /// Wire a part to another, by tag.
    #[must_use]
    pub fn connect(pull: Pull, at: Pos2) -> Self {
        Self { what: What::Connect(pull, String::new(), false), at }
    }

    /// Shows the open menu and carries out what is chosen.
    pub fn show(ui: &Ui, canvas: &mut Canvas, state: &mut State) {
        let Some(mut menu) = canvas.menu.take() else { return };
        let mut open = true;
        let mut choice = None;
        let (title, close) = match &menu.what {
            What::Next(pull, _) => {
                let tag = state.installation().tag(pull.fixed());
                let title = if pull.is_forward() { format!("After {tag}") } else { format!("Before {tag}") };
                (title, PopupCloseBehavior::CloseOnClick)
            }
            What::Feed(selector) => {
                (format!("{} feeds from", state.installation().tag(*selector)), PopupCloseBehavior::CloseOnClick)
            }
            What::Connect(pull, ..) => {
                let tag = state.installation().tag(pull.fixed());
                let title = if pull.is_forward() { format!("Cable from {tag}") } else { format!("Cable to {tag}") };
                (title, PopupCloseBehavior::CloseOnClickOutside)
            }
        };
        let shown = Popup::new(Id::unique("canvas menu"), ui.ctx().clone(), menu.at, ui.layer_id())
            .kind(PopupKind::Menu)
            .open_bool(&mut open)
            .close_behavior(close)
            .layout(egui::Layout::top_down_justified(egui::Align::Min))
            .style(egui::containers::menu::menu_style)
            .width(220.0)
            .accessible_name(title.clone())
            .show(|ui| {
                ui.label(RichText::new(title).small().weak());
                choice = menu.what.choose(ui, state);
            });
        if let Some(shown) = shown {
            // A press beside it is about something else.
            let press = ui.input(|i| i.pointer.press_origin().filter(|_| i.pointer.any_pressed()));
            open &= press.is_none_or(|pos| shown.response.rect.contains(pos));
        }
        if let Some(Choice::Edit(edit)) = choice {
            state.edit(&edit, None);
        } else if open {
            canvas.menu = Some(menu);
        }
    }
}

impl What {
    fn choose(&mut self, ui: &mut Ui, state: &State) -> Option<Choice> {
        let doc = state.installation().as_ref();
        match self {
            Self::Next(pull, place) => next(ui, doc, *pull, *place),
            Self::Feed(selector) => feed(ui, doc, state.condition, *selector),
            Self::Connect(pull, typed, focused) => connect(ui, doc, *pull, typed, focused),
        }
    }
}

fn next(ui: &mut Ui, doc: &Installation, pull: Pull, place: Point) -> Option<Choice> {
    let kind = doc.parts.get(&pull.fixed())?.kind;
    let kinds = if pull.is_forward() { offer::after(kind) } else { offer::before(kind) };
    let mut chosen = None;
    egui::ScrollArea::vertical().max_height(320.0).show(ui, |ui| {
        for kind in kinds {
            if ui.button(format!("Add {}", kind.name())).clicked() {
                chosen = pull.edit_with(doc, Part::new(kind, "", Place::At(place)));
            }
        }
    });
    chosen.map(Choice::Edit)
}

/// The sources from which a cable can be reached upstream, nearest first.
#[must_use]
pub fn sources_behind(doc: &Installation, cable: CableId) -> Vec<PartId> {
    let mut found = Vec::new();
    let mut seen = BTreeSet::new();
    let mut open: Vec<PartId> = doc.cables.get(&cable).map(|c| c.from).into_iter().collect();
    while let Some(at) = open.pop() {
        if !seen.insert(at) {
            continue;
        }
        if doc.parts.get(&at).is_some_and(|p| p.kind.is_source()) {
            found.push(at);
        }
        open.extend(doc.feeds_of(at).map(|(_, c)| c.from));
    }
    found
}

/// The choices of a selector: each source that it can pass, and off. Other sources of the condition stay.
fn feed(ui: &mut Ui, doc: &Installation, condition: usize, selector: PartId) -> Option<Choice> {
    let mut behind: Vec<PartId> = Vec::new();
    for (id, _) in doc.feeds_of(selector) {
        behind.extend(sources_behind(doc, id));
    }
    let mut seen = BTreeSet::new();
    behind.retain(|id| seen.insert(*id));
    let feeding = doc.conditions.get(condition).map(|c| c.feeding.clone()).unwrap_or_default();
    let others: Vec<PartId> = feeding.iter().copied().filter(|id| !behind.contains(id)).collect();
    let mut chosen = None;
    for source in &behind {
        let name = doc.parts.get(source).map_or_else(String::new, |p| p.name());
        if ui.radio(feeding.contains(source), format!("Feed from {name}")).clicked() {
            chosen = Some(others.iter().copied().chain([*source]).collect());
        }
    }
    if behind.is_empty() {
        ui.label("No source is connected to it yet.");
    } else if ui.radio(!behind.iter().any(|s| feeding.contains(s)), "Off").clicked() {
        chosen = Some(others);
    }
    chosen.map(|feeding| Choice::Edit(Edit::SetFeeding { condition, feeding }))
}

/// A field for a tag, and every part that can be wired; Enter takes the first.
fn connect(ui: &mut Ui, doc: &Installation, pull: Pull, typed: &mut String, focused: &mut bool) -> Option<Choice> {
    let field = ui.add(egui::TextEdit::singleline(typed).hint_text("tag or label").desired_width(220.0));
    let label = if pull.is_forward() { "Connect to tag" } else { "Connect from tag" };
    field.widget_info(|| {
        let mut info = egui::WidgetInfo::text_edit(true, "", typed.as_str(), "tag or label");
        info.label = Some(label.to_owned());
        info
    });
    if !*focused {
        field.request_focus();
        *focused = field.has_focus();
    }
    let wanted = typed.trim().to_lowercase();
    let mut rows: Vec<(&Part, PartId)> = doc
        .parts
        .iter()
        .filter(|(id, p)| **id != pull.fixed() && p.name().to_lowercase().contains(&wanted))
        .map(|(id, p)| (p.as_ref(), *id))
        .collect();
    rows.sort_by_key(|(p, _)| (p.tag.to_lowercase() != wanted, !p.tag.to_lowercase().starts_with(&wanted)));
    let targets = pull.targets(doc);
    let enter = field.lost_focus() && ui.input(|i| i.key_pressed(Key::Enter));
    let mut chosen = None;
    egui::ScrollArea::vertical().max_height(260.0).show(ui, |ui| {
        for (part, id) in rows {
            match targets.get(&id) {
                Some(None) => {
                    let text = format!("Connect {} {}", part.tag, part.kind.name());
                    if ui.button(text).clicked() || (enter && chosen.is_none() && !wanted.is_empty()) {
                        chosen = Some(pull.edit(id));
                    }
                }
                Some(Some(reason)) if !wanted.is_empty() => {
                    ui.label(RichText::new(reason.to_string()).small());
                }
                _ => {}
            }
        }
    });
    chosen.map(Choice::Edit)
}

/// The context menu of what was under the pointer.
pub fn context(ui: &mut Ui, canvas: &mut Canvas, state: &mut State) {
    let (hit, at) = canvas.context;
    let mut commands = Vec::new();
    match hit {
        Hit::Part(part) | Hit::Switch(part) | Hit::Terminal(part, _) => {
            part_items(ui, canvas, state, part);
            commands.extend([Command::Cut, Command::Copy, Command::Duplicate, Command::Delete, Command::Rename]);
        }
        Hit::Cable(_) | Hit::CableEnd(..) | Hit::Space(_) | Hit::SpaceEdge(..) => commands.push(Command::Delete),
        Hit::Sheet => {
            ui.menu_button("Draw a space", |ui| {
                for kind in SpaceKind::ALL {
                    if ui.button(kind.name()).clicked() {
                        canvas.draw_space = Some(*kind);
                        state.say(format!("drag over the sheet to draw the space: {}", kind.name()));
                    }
                }
            });
            canvas.pointer = Some(at);
            commands.extend([Command::Paste, Command::SelectAll, Command::ZoomFit]);
        }
    }
    if state.selection().parts.len() > 1 {
        ui.menu_button("Line up", |ui| {
            for command in LINING_UP {
                command_item(ui, state, command);
            }
        });
    }
    ui.separator();
    for command in commands {
        command_item(ui, state, command);
    }
}

fn part_items(ui: &mut Ui, canvas: &mut Canvas, state: &mut State, part: PartId) {
    let doc = state.installation().clone();
    let Some(held) = doc.parts.get(&part) else { return };
    if held.kind.has_switch() {
        let on = doc.is_on(part, state.condition);
        let words = match (held.kind, on) {
            (PartKind::Breaker, true) => "Open",
            (PartKind::Breaker, false) => "Close",
            (_, true) => "Switch off",
            (_, false) => "Switch on",
        };
        if ui.button(format!("{words} {}", held.tag)).clicked() {
            state.edit(&Edit::Switch { condition: state.condition, parts: vec![part], on: !on }, None);
        }
    }
    let pointer = ui.min_rect().min;
    if held.kind == PartKind::Selector && ui.button("Feed from…").clicked() {
        canvas.menu = Some(Menu::feed(part, pointer));
    }
    if held.kind.info().feeds_others && ui.button("Connect to…").clicked() {
        canvas.menu = Some(Menu::connect(Pull::From(part), pointer));
    }
    if held.kind.info().feeds != crate::installation::Feeds::None && ui.button("Connect from…").clicked() {
        canvas.menu = Some(Menu::connect(Pull::Into(part), pointer));
    }
}

fn command_item(ui: &mut Ui, state: &mut State, command: Command) {
    let button = egui::Button::new(command.info().label).shortcut_text(command.key_text(ui.ctx()));
    if ui.add_enabled(command.is_enabled(state), button).clicked() {
        state.command(command);
    }
}
