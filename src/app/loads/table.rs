//! Conditions by appliances, edited like a spreadsheet: arrows, typing, Enter, Delete, Space, copy, paste, fill down.

use super::cell::{self, Entry};
use crate::app::state::State;
use crate::app::{theme, widgets};
use crate::installation::{Edit, Installation, PartId, PartKind, Usage, natural};
use crate::units::watts;
use egui::accesskit::Role;
use egui::{
    Align2, Event, EventFilter, Id, Key, Modifiers, PointerButton, Rect, Response, RichText, Sense, Stroke, StrokeKind,
    Ui, WidgetInfo, pos2, vec2,
};
use std::collections::BTreeMap;

const ROW: f32 = 24.0;
const NAME: f32 = 190.0;
const FIGURE: f32 = 78.0;
const CELL: f32 = 132.0;

/// Keys that stay with a cell.
const KEPT: EventFilter = EventFilter { tab: false, horizontal_arrows: true, vertical_arrows: true, escape: true };

/// What the table remembers between frames.
#[derive(Debug, Default)]
pub struct Table {
    /// The cell in use: row and column.
    at: (usize, usize),
    /// The other corner of what is chosen.
    anchor: (usize, usize),
    /// Whether the pointer draws a block of cells.
    dragging: bool,
    /// What is being typed.
    typed: Option<String>,
    /// Whether the field has had the keyboard.
    entered: bool,
    /// The condition whose name is being typed, with the name so far, and whether its field has had the keyboard.
    renamed: Option<(usize, String, bool)>,
    /// The frame whose keys have been taken already: another cell may have the focus by the end of it.
    taken: u64,
}

/// Appliances in the order of the table: by tag.
pub fn rows(doc: &Installation) -> Vec<PartId> {
    let mut all: Vec<PartId> =
        doc.parts.iter().filter(|(_, p)| p.kind == PartKind::Appliance).map(|(id, _)| *id).collect();
    all.sort_by_key(|id| natural(doc.tag(*id)));
    all
}

fn id(part: PartId, column: usize) -> Id {
    Id::unique(("loads cell", part.number(), column))
}

impl Table {
    /// Shows it.
    pub fn show(&mut self, ui: &mut Ui, state: &mut State) {
        let doc = state.installation().clone();
        let rows = rows(&doc);
        let columns = doc.conditions.len();
        self.at = (self.at.0.min(rows.len().saturating_sub(1)), self.at.1.min(columns.saturating_sub(1)));
        self.anchor = (self.anchor.0.min(rows.len().saturating_sub(1)), self.anchor.1.min(columns.saturating_sub(1)));
        if rows.is_empty() {
            let text = widgets::faint(ui, "No appliance yet. Drag one from the locker on to the drawing.");
            ui.label(text);
            return;
        }
        self.dragging &= ui.input(|i| i.pointer.primary_down());
        egui::ScrollArea::both().auto_shrink([false, true]).show(ui, |ui| {
            ui.spacing_mut().item_spacing = vec2(0.0, 0.0);
            self.head(ui, state, &doc);
            for (r, part) in rows.iter().enumerate() {
                self.row(ui, state, &doc, &rows, r, *part);
            }
            widgets::keep_focus_in_sight(ui);
        });
    }

    /// Begins to type another name for a condition.
    pub fn rename(&mut self, doc: &Installation, condition: usize) {
        self.renamed = doc.conditions.get(condition).map(|c| (condition, c.name.clone(), false));
    }

    fn head(&mut self, ui: &mut Ui, state: &mut State, doc: &Installation) {
        ui.horizontal(|ui| {
            let text = |ui: &mut Ui, words: &str, width: f32, right: bool| {
                let (rect, _) = ui.allocate_exact_size(vec2(width, ROW), Sense::hover());
                let t = theme::tokens(ui);
                let (at, align) = if right {
                    (pos2(rect.right() - 8.0, rect.center().y), Align2::RIGHT_CENTER)
                } else {
                    (pos2(rect.left() + 6.0, rect.center().y), Align2::LEFT_CENTER)
                };
                ui.painter().text(at, align, words, theme::bold(theme::DATA), t.faint);
            };
            text(ui, "Appliance", NAME, false);
            text(ui, "Running", FIGURE, true);
            text(ui, "Starting", FIGURE, true);
            for (c, condition) in doc.conditions.iter().enumerate() {
                if self.renamed.as_ref().is_some_and(|(of, ..)| *of == c) {
                    self.name_field(ui, state, c);
                    continue;
                }
                let chosen = c == state.condition;
                let label = RichText::new(&condition.name).font(theme::bold(theme::DATA));
                let button = egui::Button::selectable(chosen, label).truncate();
                let response = ui.add_sized(vec2(CELL, ROW), button);
                let tip = format!("{}: shows it on the drawing and below. Twice: another name.", condition.name);
                let response = response.on_hover_text(tip);
                let name = format!("Condition {}", condition.name);
                response.widget_info(|| WidgetInfo::selected(Role::Button, true, chosen, &name));
                if response.clicked() {
                    state.condition = c;
                }
                if response.double_clicked() {
                    self.rename(doc, c);
                }
            }
        });
    }

    /// The name of a condition as a field: Enter or leaving it takes the name, Escape leaves it as it was.
    fn name_field(&mut self, ui: &mut Ui, state: &mut State, condition: usize) {
        let Some((_, mut name, entered)) = self.renamed.take() else { return };
        let field = egui::TextEdit::singleline(&mut name).font(theme::bold(theme::DATA));
        let response = ui.add_sized(vec2(CELL, ROW), field).accessible_name("Name of the condition");
        if !entered {
            response.request_focus();
        }
        if entered && (response.lost_focus() || !response.has_focus()) {
            let typed = name.trim().to_owned();
            if !ui.input(|i| i.key_pressed(Key::Escape)) && !typed.is_empty() {
                let before = state.installation().conditions.get(condition).map(|c| c.name.clone());
                if before.is_some_and(|b| b != typed) {
                    state.edit(&Edit::RenameCondition { condition, name: typed }, None);
                }
            }
            return;
        }
        self.renamed = Some((condition, name, true));
    }

    fn row(&mut self, ui: &mut Ui, state: &mut State, doc: &Installation, rows: &[PartId], r: usize, part: PartId) {
        let t = theme::tokens(ui);
        let Some(data) = doc.parts.get(&part) else { return };
        ui.horizontal(|ui| {
            let fixed = |ui: &mut Ui, words: String, width: f32, right: bool| {
                let (rect, _) = ui.allocate_exact_size(vec2(width, ROW), Sense::hover());
                let painter = ui.painter().with_clip_rect(rect.intersect(ui.clip_rect()));
                let (at, align) = if right {
                    (pos2(rect.right() - 8.0, rect.center().y), Align2::RIGHT_CENTER)
                } else {
                    (pos2(rect.left() + 6.0, rect.center().y), Align2::LEFT_CENTER)
                };
                painter.text(at, align, words, theme::regular(theme::DATA), t.ink);
            };
            fixed(ui, data.name().split_whitespace().collect::<Vec<_>>().join(" "), NAME, false);
            fixed(ui, watts(data.run_w.unwrap_or(f64::NAN)), FIGURE, true);
            fixed(ui, watts(data.start_w(doc.system).unwrap_or(f64::NAN)), FIGURE, true);
            for c in 0..doc.conditions.len() {
                let (rect, _) = ui.allocate_exact_size(vec2(CELL, ROW), Sense::hover());
                self.cell(ui, state, doc, rows, (r, c), part, rect);
            }
        });
    }

    fn is_chosen(&self, (r, c): (usize, usize)) -> bool {
        let (top, bottom, left, right) = self.span();
        (top..=bottom).contains(&r) && (left..=right).contains(&c)
    }

    /// Top, bottom, left and right of what is chosen.
    fn span(&self) -> (usize, usize, usize, usize) {
        let (a, b) = (self.at, self.anchor);
        (a.0.min(b.0), a.0.max(b.0), a.1.min(b.1), a.1.max(b.1))
    }

    #[expect(clippy::too_many_arguments, reason = "a cell is the place where document, table and screen meet")]
    fn cell(
        &mut self,
        ui: &mut Ui,
        state: &mut State,
        doc: &Installation,
        rows: &[PartId],
        at: (usize, usize),
        part: PartId,
        rect: Rect,
    ) {
        let t = theme::tokens(ui);
        let text = cell::shown(doc, at.1, part);
        let here = id(part, at.1);
        if self.at == at && self.typed.is_some() {
            self.field(ui, state, doc, rows, rect, here);
            return;
        }
        let response = ui.interact(rect, here, Sense::click_and_drag());
        self.drag(ui, at, rect, &response);
        let condition = doc.conditions.get(at.1).map_or("", |c| c.name.as_str());
        let name = format!("{}, {condition}: {text}", doc.parts.get(&part).map_or_else(String::new, |p| p.name()));
        let chosen = self.is_chosen(at);
        response.widget_info(|| WidgetInfo::selected(Role::Cell, true, chosen, &name));
        let focused = response.has_focus();
        if chosen {
            ui.painter().rect_filled(rect, 0.0, t.selected);
        } else if response.hovered() {
            ui.painter().rect_filled(rect, 0.0, t.hover);
        }
        ui.painter().rect_stroke(rect, 0.0, Stroke::new(0.5, t.edge), StrokeKind::Inside);
        let stated = doc.conditions.get(at.1).is_some_and(|c| c.usage.contains_key(&part));
        let font = if stated { theme::bold(theme::DATA) } else { theme::regular(theme::DATA) };
        let ink = if text == "off" { t.faint } else { t.ink };
        ui.painter().text(pos2(rect.left() + 8.0, rect.center().y), Align2::LEFT_CENTER, &text, font, ink);
        widgets::focus_ring(ui, &response, 0.0);
        if response.clicked() && ui.input(|i| i.pointer.any_released()) {
            self.at = at;
            if !ui.input(|i| i.modifiers.shift) {
                self.anchor = at;
            }
            response.request_focus();
        }
        if response.double_clicked() {
            self.begin(text.clone());
        }
        if focused {
            if self.at != at && !self.is_chosen(at) {
                (self.at, self.anchor) = (at, at);
            }
            ui.memory_mut(|m| m.set_focus_lock_filter(here, KEPT));
            if self.at == at {
                self.keys(ui, state, doc, rows, &text);
            }
        }
    }

    /// A drag from one cell to another chooses the block between them.
    fn drag(&mut self, ui: &Ui, at: (usize, usize), rect: Rect, response: &Response) {
        if response.drag_started_by(PointerButton::Primary) {
            self.dragging = true;
            // Where it was pressed; by the time this counts as a drag the pointer may be over another cell.
            (self.at, self.anchor) = (at, at);
            response.request_focus();
        }
        let over =
            || ui.input(|i| i.pointer.interact_pos()).is_some_and(|p| rect.intersect(ui.clip_rect()).contains(p));
        if self.dragging && self.at != at && over() {
            self.at = at;
            response.request_focus();
        }
    }

    fn begin(&mut self, text: String) {
        self.typed = Some(text);
        self.entered = false;
        self.anchor = self.at;
    }

    fn field(&mut self, ui: &mut Ui, state: &mut State, doc: &Installation, rows: &[PartId], rect: Rect, here: Id) {
        let Some(mut text) = self.typed.take() else { return };
        let edit = here.with("field");
        let response = ui.put(rect, egui::TextEdit::singleline(&mut text).id(edit).font(theme::regular(theme::DATA)));
        let response = response.accessible_name("Use of the appliance");
        if !self.entered {
            self.entered = true;
            response.request_focus();
            if let Some(mut caret) = egui::TextEdit::load_state(ui.ctx(), edit) {
                let end = egui::text::CCursor::new(text.chars().count());
                caret.cursor.set_char_range(Some(egui::text::CCursorRange::one(end)));
                caret.store(ui.ctx(), edit);
            }
            self.typed = Some(text);
            return;
        }
        let enter = ui.input(|i| i.key_pressed(Key::Enter));
        if ui.input(|i| i.key_pressed(Key::Escape)) {
            ui.memory_mut(|m| m.request_focus(here));
            self.taken = ui.ctx().cumulative_frame_nr();
        } else if response.lost_focus() || enter {
            let Some(entry) = cell::read(&text) else {
                state.refuse(format!("found “{text}”; valid: {}", cell::HINT));
                ui.memory_mut(|m| m.request_focus(here));
                return;
            };
            self.put(state, doc, rows, &[(self.at, entry)]);
            if enter {
                self.step(ui, rows, doc, (1, 0), false);
            }
        } else {
            self.typed = Some(text);
        }
    }

    /// Moves the cell in use, and with `wider` the corner of what is chosen.
    fn step(&mut self, ui: &Ui, rows: &[PartId], doc: &Installation, by: (isize, isize), wider: bool) {
        let to = |from: usize, by: isize, most: usize| from.saturating_add_signed(by).min(most.saturating_sub(1));
        self.at = (to(self.at.0, by.0, rows.len()), to(self.at.1, by.1, doc.conditions.len()));
        if !wider {
            self.anchor = self.at;
        }
        self.taken = ui.ctx().cumulative_frame_nr();
        if let Some(part) = rows.get(self.at.0) {
            ui.memory_mut(|m| m.request_focus(id(*part, self.at.1)));
        }
    }

    fn keys(&mut self, ui: &Ui, state: &mut State, doc: &Installation, rows: &[PartId], text: &str) {
        if self.taken == ui.ctx().cumulative_frame_nr() {
            return;
        }
        for event in ui.input(|i| i.events.clone()) {
            match event {
                Event::Copy => ui.ctx().copy_text(self.copied(doc, rows)),
                Event::Cut => {
                    ui.ctx().copy_text(self.copied(doc, rows));
                    self.fill(state, doc, rows, |_, _, _| Entry::On(Usage::default()));
                }
                Event::Paste(pasted) => self.paste(state, doc, rows, &pasted),
                Event::Text(typed) if typed == " " => {
                    let off = !doc.is_on(rows[self.at.0], self.at.1);
                    self.fill(state, doc, rows, |doc, part, c| {
                        let usage = doc.conditions.get(c).and_then(|k| k.usage.get(&part)).copied();
                        if off { Entry::On(usage.unwrap_or_default()) } else { Entry::Off }
                    });
                }
                Event::Text(typed) => self.begin(typed),
                Event::Key { key, pressed: true, modifiers, .. } => {
                    let wider = modifiers.shift;
                    match key {
                        Key::ArrowUp => self.step(ui, rows, doc, (-1, 0), wider),
                        Key::ArrowDown => self.step(ui, rows, doc, (1, 0), wider),
                        Key::ArrowLeft => self.step(ui, rows, doc, (0, -1), wider),
                        Key::ArrowRight => self.step(ui, rows, doc, (0, 1), wider),
                        Key::Home => self.step(ui, rows, doc, (0, isize::MIN / 2), wider),
                        Key::End => self.step(ui, rows, doc, (0, isize::MAX / 2), wider),
                        Key::A if modifiers.matches_logically(Modifiers::COMMAND) => {
                            self.anchor = (0, 0);
                            self.at = (rows.len().saturating_sub(1), doc.conditions.len().saturating_sub(1));
                            self.step(ui, rows, doc, (0, 0), true);
                        }
                        Key::Enter | Key::F2 => self.begin(text.to_owned()),
                        Key::Delete | Key::Backspace => {
                            self.fill(state, doc, rows, |_, _, _| Entry::On(Usage::default()));
                        }
                        Key::D if modifiers.matches_logically(Modifiers::COMMAND) => self.fill_down(state, doc, rows),
                        _ => continue,
                    }
                }
                _ => continue,
            }
            // What follows in this frame is meant for the cell that is now in use.
            return;
        }
    }

    /// What is chosen as a spreadsheet takes it: columns by tabs, rows by line ends.
    fn copied(&self, doc: &Installation, rows: &[PartId]) -> String {
        let (top, bottom, left, right) = self.span();
        let line = |r: usize| (left..=right).map(|c| cell::shown(doc, c, rows[r])).collect::<Vec<_>>().join("\t");
        (top..=bottom).map(line).collect::<Vec<_>>().join("\n")
    }

    /// Takes what a spreadsheet gives: a block from the first chosen cell on, or one value into all that is chosen.
    fn paste(&self, state: &mut State, doc: &Installation, rows: &[PartId], text: &str) {
        let (top, bottom, left, right) = self.span();
        let block: Vec<Vec<&str>> =
            text.trim_end_matches(['\r', '\n']).lines().map(|l| l.split('\t').map(str::trim).collect()).collect();
        let mut entries = Vec::new();
        let mut put = |r: usize, c: usize, word: &str| -> bool {
            let Some(entry) = cell::read(word) else {
                state.refuse(format!("pasted “{word}”; valid: {}", cell::HINT));
                return false;
            };
            if r < rows.len() && c < doc.conditions.len() {
                entries.push(((r, c), entry));
            }
            true
        };
        let taken = match block.as_slice() {
            [row] if row.len() == 1 => (top..=bottom).all(|r| (left..=right).all(|c| put(r, c, row[0]))),
            all => all
                .iter()
                .enumerate()
                .all(|(r, row)| row.iter().enumerate().all(|(c, word)| put(top + r, left + c, word))),
        };
        if taken {
            self.put(state, doc, rows, &entries);
        }
    }

    /// The first chosen row into those below it.
    fn fill_down(&self, state: &mut State, doc: &Installation, rows: &[PartId]) {
        let (top, _, _, _) = self.span();
        let from = rows[top];
        self.fill(state, doc, rows, |doc, _, c| {
            if doc.is_on(from, c) {
                Entry::On(doc.conditions.get(c).and_then(|k| k.usage.get(&from)).copied().unwrap_or_default())
            } else {
                Entry::Off
            }
        });
    }

    fn fill(
        &self,
        state: &mut State,
        doc: &Installation,
        rows: &[PartId],
        entry: impl Fn(&Installation, PartId, usize) -> Entry,
    ) {
        let (top, bottom, left, right) = self.span();
        let cells = (top..=bottom).flat_map(|r| (left..=right).map(move |c| (r, c)));
        let entries: Vec<_> = cells.map(|(r, c)| ((r, c), entry(doc, rows[r], c))).collect();
        self.put(state, doc, rows, &entries);
    }

    /// Makes one step of all entries.
    fn put(&self, state: &mut State, doc: &Installation, rows: &[PartId], entries: &[((usize, usize), Entry)]) {
        let mut on: BTreeMap<(usize, bool), Vec<PartId>> = BTreeMap::new();
        let mut usage: BTreeMap<usize, Vec<(PartId, Usage)>> = BTreeMap::new();
        for ((r, c), entry) in entries {
            let part = rows[*r];
            let switched = matches!(entry, Entry::On(_));
            if doc.is_on(part, *c) != switched {
                on.entry((*c, switched)).or_default().push(part);
            }
            if let Entry::On(wanted) = entry {
                let held = doc.conditions.get(*c).and_then(|k| k.usage.get(&part)).copied().unwrap_or_default();
                if held != *wanted {
                    usage.entry(*c).or_default().push((part, *wanted));
                }
            }
        }
        let mut edits: Vec<Edit> = Vec::new();
        edits.extend(on.into_iter().map(|((condition, on), parts)| Edit::Switch { condition, parts, on }));
        edits.extend(usage.into_iter().map(|(condition, usage)| Edit::SetUsage { condition, usage }));
        match edits.as_slice() {
            [] => {}
            [one] => {
                state.edit(one, None);
            }
            _ => {
                state.edit(&Edit::Many { label: "use of appliances".to_owned(), edits }, None);
            }
        }
    }
}
