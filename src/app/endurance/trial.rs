//! The sea-trial sheet: one row a reading, what the readings say, and a button that takes a measured power over.

use super::field::Drafts;
use super::{card, warned};
use crate::app::state::State;
use crate::app::widgets;
use crate::installation::{Edit, Installation, PartId, PartKind, ReadQuantity, Reading, Rounding};
use crate::loads::trial::{Compared, Trial, take_over, words};
use crate::units::{self, parse_number, trimmed};
use egui::{ComboBox, Grid, Ui};

/// What happens to the rows.
enum Change {
    Set(usize, Reading),
    Remove(usize),
    Add,
}

/// Shows the rows to fill in.
pub fn sheet(ui: &mut Ui, state: &mut State, drafts: &mut Drafts) {
    let doc = state.installation().clone();
    let mut change = None;
    if !doc.readings.is_empty() {
        egui::ScrollArea::horizontal().id_salt("sea trial rows").show(ui, |ui| {
            Grid::new("sea trial").num_columns(8).spacing([6.0, 4.0]).show(ui, |ui| {
                for head in ["Row", "On", "Read at", "Value", "", "Step", "Rounds", "100 % is"] {
                    let text = widgets::small(ui, head);
                    ui.label(text);
                }
                ui.end_row();
                for (i, reading) in doc.readings.iter().enumerate() {
                    row(ui, &doc, drafts, i, reading, &mut change);
                    ui.end_row();
                }
            });
            widgets::keep_focus_in_sight(ui);
        });
    }
    if ui.button("Add a reading").clicked() {
        change = Some(Change::Add);
    }
    let Some(change) = change else { return };
    let mut readings = doc.readings.clone();
    match change {
        Change::Set(i, reading) => {
            if let Some(row) = readings.get_mut(i) {
                *row = reading;
            }
        }
        Change::Remove(i) => {
            readings.remove(i);
        }
        Change::Add => {
            let Some(reading) = fresh(&doc, state.condition) else {
                state.refuse("there is no source in the drawing that could be read");
                return;
            };
            readings.push(reading);
        }
    }
    state.edit(&Edit::SetReadings(readings), None);
}

/// A row to start from: the source that feeds, what is switched on.
fn fresh(doc: &Installation, condition: usize) -> Option<Reading> {
    let feeding = doc.conditions.get(condition).and_then(|c| c.feeding.first().copied());
    let any = || doc.parts.iter().find(|(_, p)| p.kind.is_source()).map(|(id, _)| *id);
    let appliances = doc.parts.iter().filter(|(id, p)| p.kind == PartKind::Appliance && doc.is_on(**id, condition));
    Some(Reading {
        on: appliances.map(|(id, _)| *id).collect(),
        at: feeding.or_else(any)?,
        quantity: ReadQuantity::Watts,
        value: 0.0,
        step: 0.0,
        rounding: Rounding::Unknown,
        rated_w: None,
    })
}

fn row(ui: &mut Ui, doc: &Installation, drafts: &mut Drafts, i: usize, r: &Reading, change: &mut Option<Change>) {
    let n = i + 1;
    ui.label(n.to_string());
    if let Some(on) = appliances(ui, doc, n, &r.on) {
        *change = Some(Change::Set(i, Reading { on, ..r.clone() }));
    }
    if let Some(at) = place(ui, doc, n, r.at) {
        *change = Some(Change::Set(i, Reading { at, ..r.clone() }));
    }
    let valid = "a bare number from 0";
    let mut number = |ui: &mut Ui, what: &str, now: String, width: f32| -> Option<Option<f64>> {
        let name = format!("{what} of reading {n}");
        let typed = drafts.text(ui, &name, &now, "", width)?;
        if typed.trim().is_empty() {
            return Some(None);
        }
        let figure = parse_number(&typed).ok().filter(|v| *v >= 0.0);
        if figure.is_none() {
            drafts.refuse(&name, &typed, valid);
        }
        figure.map(Some)
    };
    if let Some(Some(value)) = number(ui, "Value", trimmed(r.value, 3), 76.0) {
        *change = Some(Change::Set(i, Reading { value, ..r.clone() }));
    }
    if let Some(quantity) =
        choice(ui, &format!("Quantity of reading {n}"), r.quantity, ReadQuantity::ALL, ReadQuantity::unit)
    {
        *change = Some(Change::Set(i, Reading { quantity, ..r.clone() }));
    }
    if let Some(step) = number(ui, "Step", trimmed(r.step, 3), 40.0) {
        *change = Some(Change::Set(i, Reading { step: step.unwrap_or(0.0), ..r.clone() }));
    }
    if let Some(rounding) = choice(ui, &format!("Rounding of reading {n}"), r.rounding, Rounding::ALL, Rounding::slug) {
        *change = Some(Change::Set(i, Reading { rounding, ..r.clone() }));
    }
    ui.horizontal(|ui| {
        if r.quantity == ReadQuantity::Percent {
            let now = r.rated_w.map_or_else(String::new, |w| trimmed(w, 1));
            if let Some(rated) = number(ui, "Rated watts", now, 54.0) {
                *change = Some(Change::Set(i, Reading { rated_w: rated.filter(|w| *w > 0.0), ..r.clone() }));
            }
        }
        if widgets::link(ui, "Remove").accessible_name(format!("Remove reading {n}")).clicked() {
            *change = Some(Change::Remove(i));
        }
    });
}

fn choice<T: Copy + PartialEq>(ui: &mut Ui, name: &str, now: T, all: &[T], word: fn(T) -> &'static str) -> Option<T> {
    let mut chosen = now;
    ComboBox::from_id_salt(name)
        .width(62.0)
        .selected_text(word(now))
        .show_ui(ui, |ui| {
            for value in all {
                ui.selectable_value(&mut chosen, *value, word(*value));
            }
        })
        .response
        .accessible_name(name);
    (chosen != now).then_some(chosen)
}

fn appliances(ui: &mut Ui, doc: &Installation, n: usize, on: &[PartId]) -> Option<Vec<PartId>> {
    let tags: Vec<&str> = on.iter().map(|id| doc.tag(*id)).collect();
    let text = match tags.as_slice() {
        [] => "nothing".to_owned(),
        few if few.len() < 4 => few.join(", "),
        many => format!("{} of them", many.len()),
    };
    let mut next = on.to_vec();
    let menu = ui.menu_button(text, |ui| {
        for (i, condition) in doc.conditions.iter().enumerate() {
            if ui.button(format!("As in {}", condition.name)).clicked() {
                let all = doc.parts.iter().filter(|(_, p)| p.kind == PartKind::Appliance).map(|(id, _)| *id);
                next = all.filter(|id| doc.is_on(*id, i)).collect();
            }
        }
        ui.separator();
        egui::ScrollArea::vertical().max_height(300.0).show(ui, |ui| {
            for (id, part) in doc.parts.iter().filter(|(_, p)| p.kind == PartKind::Appliance) {
                let mut checked = next.contains(id);
                if ui.checkbox(&mut checked, part.name()).changed() {
                    if checked {
                        next.push(*id);
                    } else {
                        next.retain(|i| i != id);
                    }
                }
            }
            widgets::keep_focus_in_sight(ui);
        });
    });
    menu.response.accessible_name(format!("On in reading {n}: {}", tags.join(", ")));
    (next != on).then_some(next)
}

fn place(ui: &mut Ui, doc: &Installation, n: usize, at: PartId) -> Option<PartId> {
    let mut chosen = at;
    ComboBox::from_id_salt(("read at", n))
        .width(62.0)
        .selected_text(doc.tag(at))
        .show_ui(ui, |ui| {
            let sources = doc.parts.iter().filter(|(_, p)| p.kind.is_source());
            let others = doc.parts.iter().filter(|(_, p)| !p.kind.is_source());
            for (id, part) in sources.chain(others) {
                ui.selectable_value(&mut chosen, *id, part.name());
            }
        })
        .response
        .accessible_name(format!("Read at, reading {n}"));
    (chosen != at).then_some(chosen)
}

/// What was expected and what was read at a part, in a sentence.
fn compared(doc: &Installation, c: &Compared) -> String {
    let read = words::range(c.quantity, c.read);
    let expected =
        c.expected.map_or_else(|| "nothing, for want of a figure".to_owned(), |e| words::amount(c.quantity, e));
    let word = match c.agrees {
        Some(true) => "they agree",
        Some(false) => "they differ",
        None => "whether they agree is not known",
    };
    format!("Row {}, {}: the drawing says {expected}, the meter {read}: {word}.", c.row, doc.tag(c.at))
}

/// Shows what the readings say; gives the step of a button that was pressed.
pub fn results(ui: &mut Ui, state: &State, said: &Trial) -> Option<Edit> {
    let doc = state.installation();
    if doc.readings.is_empty() {
        ui.label("Enter what a meter showed and what was on: each reading narrows what the appliances must draw.");
        return None;
    }
    let mut edit = None;
    card(ui, |ui| {
        for (row, note) in &said.notes {
            let text = widgets::small(ui, format!("Row {row}: {note}."));
            ui.label(text);
        }
        // Voltages are shown whether they agree or not; of the rest, what does not.
        for c in said.compared.iter().filter(|c| c.agrees == Some(false) || c.quantity == ReadQuantity::Volts) {
            let text = compared(doc, c);
            if c.agrees == Some(false) {
                ui.label(widgets::strong(text));
            } else {
                ui.label(text);
            }
        }
        if !said.consistent {
            let rows: Vec<String> = said.contradiction.iter().map(ToString::to_string).collect();
            warned(ui, &format!("The readings in rows {} contradict each other or the drawing.", rows.join(", ")));
            return;
        }
        for (id, draws) in &said.appliances {
            let Some(part) = doc.parts.get(id) else { continue };
            ui.horizontal_wrapped(|ui| {
                let text = match (draws.watts_low, draws.watts_high) {
                    (Some(low), Some(high)) => {
                        format!("{} must draw {} to {}.", part.name(), units::watts(low), units::watts(high))
                    }
                    _ => format!("{} is not narrowed from both sides.", part.name()),
                };
                ui.label(text);
                if draws.nameplate_possible == Some(false) {
                    let plate = draws.nameplate_w.map_or_else(String::new, units::watts);
                    ui.label(widgets::strong(format!("{plate} in the drawing cannot be true.")));
                }
                if let Some(take) = take_over(doc, *id, draws) {
                    let name = format!("Take over the measured power of {}", part.tag);
                    if ui.button("Take over").accessible_name(name).clicked() {
                        edit = Some(take);
                    }
                }
            });
        }
    });
    edit
}
