//! One row of the particulars: name at the left, field at the right. What is typed is kept until it is taken; what is not
//! valid stays in its field, marked and explained.

use super::words;
use crate::app::state::State;
use crate::app::{theme, widgets};
use crate::installation::{CableId, Edit, EditError, Installation, Origin, Part, PartId, Property, with_unit};
use crate::units;
use egui::{RichText, Stroke, StrokeKind, Ui, vec2};
use std::collections::BTreeMap;

/// Width of the names, in points.
pub const NAMES: f32 = 106.0;

/// Whose property it is.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Of {
    /// Parts; the same value for all.
    Parts(Vec<PartId>),
    /// Cables.
    Cables(Vec<CableId>),
    /// A field of the drawing itself, or of a space, by name.
    Named(String),
}

/// Something typed and not taken yet, or not valid.
#[derive(Clone, Debug)]
struct Draft {
    text: String,
    /// What was wrong with it; `None` while it is being typed.
    error: Option<String>,
    /// How to take it, made when it was last shown.
    edit: Option<Edit>,
    shown: bool,
}

/// All that is typed and not taken yet, by field. Nothing typed is dropped without a word.
#[derive(Debug, Default)]
pub struct Drafts {
    list: BTreeMap<(Of, Option<Property>), Draft>,
}

impl Drafts {
    /// Before the fields are shown.
    pub fn begin(&mut self) {
        for draft in self.list.values_mut() {
            draft.shown = false;
        }
    }

    /// After they were shown: takes what was typed in a field that is gone because something else was selected.
    pub fn end(&mut self, state: &mut State) {
        let left: Vec<_> =
            self.list.iter().filter(|(_, d)| !d.shown && d.error.is_none()).map(|(k, _)| k.clone()).collect();
        for key in left {
            let Some(edit) = self.list.get(&key).and_then(|d| d.edit.clone()) else { continue };
            self.take(state, &key, &edit);
            if let Some(error) = self.list.get(&key).and_then(|d| d.error.clone()) {
                state.refuse(error);
            }
        }
    }

    fn take(&mut self, state: &mut State, key: &(Of, Option<Property>), edit: &Edit) {
        match state.try_edit(edit, None) {
            Ok(()) => {
                self.list.remove(key);
            }
            Err(error) => {
                if let Some(draft) = self.list.get_mut(key) {
                    draft.error = Some(plain(&error));
                }
            }
        }
    }
}

/// The message of a refusal; the name of the property stands beside the field already.
fn plain(error: &EditError) -> String {
    match error {
        EditError::BadValue { message, .. } => message.clone(),
        other => other.to_string(),
    }
}

/// Metres as feet.
fn in_feet(metres: &str) -> String {
    metres.parse().map_or_else(|_| metres.to_owned(), |m| units::exact_length(m, true))
}

/// A field for free text. `edit` makes the step of what was typed.
pub struct TextField<'a> {
    /// Whose it is.
    pub of: Of,
    /// Which property, where it is one.
    pub property: Option<Property>,
    /// The value as it is now.
    pub value: String,
    /// Shown while it is empty.
    pub hint: String,
    /// Its name for screen readers, the tag first.
    pub accessible: String,
    /// The step.
    pub edit: &'a dyn Fn(&str) -> Edit,
    /// Asks for the focus.
    pub focus: bool,
}

impl TextField<'_> {
    /// Shows it in the rest of the row.
    pub fn show(self, ui: &mut Ui, state: &mut State, drafts: &mut Drafts) {
        let t = theme::tokens(ui);
        let key = (self.of, self.property);
        let draft = drafts.list.get(&key);
        let mut text = draft.map_or_else(|| self.value.clone(), |d| d.text.clone());
        let error = draft.and_then(|d| d.error.clone());
        let id = ui.scope_id().with(("field", format!("{key:?}")));
        ui.vertical(|ui| {
            ui.spacing_mut().item_spacing.y = 2.0;
            let hint = RichText::new(&self.hint).color(t.faint).font(theme::regular(theme::DATA));
            let field = egui::TextEdit::singleline(&mut text).id(id).hint_text(hint).margin(vec2(8.0, 4.0));
            let response = ui.add(field.desired_width(ui.available_width())).accessible_name(&self.accessible);
            if self.focus {
                response.request_focus();
            }
            if let Some(error) = &error {
                ui.painter().rect_stroke(response.rect, 4.0, Stroke::new(1.5, t.over), StrokeKind::Inside);
                let text = format!("Not taken: {error}");
                let line = ui.label(RichText::new(&text).font(theme::regular(theme::SMALL)).color(t.over));
                ui.ctx().accesskit_node_builder(response.id, |node| node.set_description(text));
                line.on_hover_text("What was typed stays here until it is valid, or Escape is pressed.");
            }
            if response.changed() {
                let edit = Some((self.edit)(&text));
                drafts.list.insert(key.clone(), Draft { text: text.clone(), error: None, edit, shown: true });
            }
            if let Some(draft) = drafts.list.get_mut(&key) {
                draft.shown = true;
            }
            if response.lost_focus() {
                if ui.input(|i| i.key_pressed(egui::Key::Escape)) {
                    drafts.list.remove(&key);
                } else if drafts.list.contains_key(&key) {
                    let edit = (self.edit)(&text);
                    drafts.take(state, &key, &edit);
                }
            }
        });
    }
}

/// The value of a property of the first, or `None` where they differ.
fn common(doc: &Installation, of: &Of, property: Property) -> Option<String> {
    let values: Vec<String> = match of {
        Of::Parts(ids) => ids.iter().filter_map(|id| doc.parts.get(id)).map(|p| p.get(property)).collect(),
        Of::Cables(ids) => ids.iter().filter_map(|id| doc.cables.get(id)).map(|c| c.get(property)).collect(),
        Of::Named(_) => Vec::new(),
    };
    let first = values.first().cloned().unwrap_or_default();
    values.iter().all(|v| *v == first).then_some(first)
}

fn origin_of(doc: &Installation, of: &Of, property: Property) -> Option<Origin> {
    let of_one = |i: usize| match of {
        Of::Parts(ids) => ids.get(i).and_then(|id| doc.parts.get(id)).and_then(|p| p.origins.get(&property).copied()),
        Of::Cables(ids) => ids.get(i).and_then(|id| doc.cables.get(id)).and_then(|c| c.origins.get(&property).copied()),
        Of::Named(_) => None,
    };
    let count = match of {
        Of::Parts(ids) => ids.len(),
        Of::Cables(ids) => ids.len(),
        Of::Named(_) => 0,
    };
    let first = of_one(0)?;
    (1..count).all(|i| of_one(i) == Some(first)).then_some(first)
}

fn set(of: &Of, property: Property, text: &str, origin: Option<Origin>) -> Edit {
    let text = text.to_owned();
    match of {
        Of::Cables(cables) => Edit::SetCable { cables: cables.clone(), property, text, origin },
        Of::Parts(parts) => Edit::SetPart { parts: parts.clone(), property, text, origin },
        Of::Named(_) => Edit::Many { label: String::new(), edits: Vec::new() },
    }
}

/// Who it is, the tag first, for names of fields.
fn who(doc: &Installation, of: &Of) -> String {
    match of {
        Of::Parts(ids) if ids.len() == 1 => doc.tag(ids[0]).to_owned(),
        Of::Cables(ids) if ids.len() == 1 => {
            doc.cables.get(&ids[0]).map_or_else(String::new, |c| format!("{} cable", doc.tag(c.to)))
        }
        Of::Parts(ids) => format!("{} parts", ids.len()),
        Of::Cables(ids) => format!("{} cables", ids.len()),
        Of::Named(name) => name.clone(),
    }
}

/// The name of a row: a quiet button that opens the choice where the value comes from.
fn name_of_row(ui: &mut Ui, state: &mut State, of: &Of, property: Property, who: &str, kind_name: &str) {
    let t = theme::tokens(ui);
    let text = RichText::new(kind_name).font(theme::regular(theme::DATA)).color(t.faint);
    if matches!(property, Property::Tag | Property::Label | Property::Status) {
        ui.label(text).on_hover_text(words::explain(property));
        return;
    }
    let button = egui::Button::new(text).frame(false).wrap();
    let explained = words::explain(property);
    let tip = if explained.is_empty() { String::new() } else { format!("{explained}\n") };
    let response = ui
        .add(button)
        .accessible_name(format!("{who} {}: where it comes from", property.name()))
        .on_hover_text(format!("{tip}Click to say where the value comes from."));
    let now = origin_of(state.installation(), of, property);
    let value = common(state.installation(), of, property);
    egui::Popup::menu(&response).show(|ui| {
        ui.label(widgets::small(ui, "Where the value comes from"));
        let rows = std::iter::once(None).chain(Origin::ALL.iter().copied().map(Some));
        for origin in rows {
            let words = origin.map_or("not stated", words::origin);
            if ui.selectable_label(origin == now, words).clicked() {
                if let Some(value) = &value {
                    state.edit(&set(of, property, value, origin), None);
                } else {
                    state.refuse("they have several values; set one for all first");
                }
                ui.close();
            }
        }
    });
}

/// A whole row for a property of parts or cables.
pub fn property(ui: &mut Ui, state: &mut State, drafts: &mut Drafts, of: &Of, property: Property) {
    focused_property(ui, state, drafts, of, property, false);
}

/// The same; with `focus` its field takes the focus.
pub fn focused_property(ui: &mut Ui, state: &mut State, drafts: &mut Drafts, of: &Of, property: Property, focus: bool) {
    let doc = state.installation().clone();
    let part: Option<&Part> = match of {
        Of::Parts(ids) => ids.first().and_then(|id| doc.parts.get(id)).map(AsRef::as_ref),
        _ => None,
    };
    let who = who(&doc, of);
    let value = common(&doc, of, property);
    let name = words::name(property, part.map(|p| p.kind));
    let accessible = format!("{who} {}", property.name());
    let label = |ui: &mut Ui, state: &mut State| name_of_row(ui, state, of, property, &who, &name);
    row(ui, state, label, |ui, state| {
        let hint = match &value {
            None => "several values".to_owned(),
            Some(_) => words::empty(property, part, doc.system),
        };
        if let Some(choices) = property.choices() {
            choice(ui, state, of, property, &choices, value.as_deref(), &hint, &accessible);
        } else {
            let feet = state.feet && matches!(property, Property::LengthM | Property::NoiseM);
            let value = value.map_or_else(String::new, |v| if feet { in_feet(&v) } else { with_unit(property, &v) });
            // A bare number is in the unit that is shown.
            let edit = |text: &str| set(of, property, &units::typed_length(text, feet), None);
            let field =
                TextField { of: of.clone(), property: Some(property), value, hint, accessible, edit: &edit, focus };
            field.show(ui, state, drafts);
        }
        if let Some(origin) = origin_of(&doc, of, property) {
            let t = theme::tokens(ui);
            let colour = if origin == Origin::Typical || origin == Origin::Assumed { t.close } else { t.faint };
            ui.label(RichText::new(words::origin(origin)).font(theme::regular(theme::SMALL)).color(colour));
        }
    });
}

/// A row: the name at the left, wrapped where it is long, and the field at the right.
pub fn row<S>(ui: &mut Ui, state: &mut S, name: impl FnOnce(&mut Ui, &mut S), field: impl FnOnce(&mut Ui, &mut S)) {
    ui.horizontal_top(|ui| {
        ui.spacing_mut().item_spacing.x = 6.0;
        ui.scope(|ui| {
            ui.set_width(NAMES);
            ui.vertical(|ui| {
                ui.set_width(NAMES);
                ui.spacing_mut().interact_size.y = 16.0;
                ui.spacing_mut().button_padding = egui::Vec2::ZERO;
                ui.add_space(4.0);
                name(ui, state);
            });
        });
        ui.vertical(|ui| {
            ui.spacing_mut().item_spacing.y = 1.0;
            field(ui, state);
        });
    });
}

#[expect(clippy::too_many_arguments, reason = "one row, used in one place")]
fn choice(
    ui: &mut Ui,
    state: &mut State,
    of: &Of,
    property: Property,
    choices: &[&str],
    value: Option<&str>,
    hint: &str,
    accessible: &str,
) {
    let optional = matches!(
        property,
        Property::Trip
            | Property::Hz
            | Property::Leg
            | Property::Through
            | Property::Continuous
            | Property::Bonded
            | Property::Poles
            | Property::InsulationC
    );
    let shown = match value {
        Some("") | None => hint.to_owned(),
        Some(slug) => words::choice(property, slug),
    };
    let mut chosen = None;
    let combo = egui::ComboBox::from_id_salt(("choice", format!("{of:?}"), property.slug()))
        .width(ui.available_width())
        .truncate()
        .selected_text(RichText::new(shown).font(theme::regular(theme::DATA)));
    let response = combo.show_ui(ui, |ui| {
        if optional && ui.selectable_label(value == Some(""), format!("not stated ({hint})")).clicked() {
            chosen = Some(String::new());
        }
        for slug in choices {
            if ui.selectable_label(value == Some(*slug), words::choice(property, slug)).clicked() {
                chosen = Some((*slug).to_owned());
            }
        }
    });
    response.response.accessible_name(accessible);
    if let Some(slug) = chosen {
        state.edit(&set(of, property, &slug, None), None);
    }
}
