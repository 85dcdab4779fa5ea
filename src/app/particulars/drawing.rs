//! The particulars of the drawing itself, shown while nothing is selected, and those of a space.

use super::field::{self, Drafts, Of, TextField};
use crate::app::state::State;
use crate::app::{theme, widgets};
use crate::installation::{Aboard, Edit, ResistanceBasis, RuleSet, SpaceId, SpaceKind, System, TitleBlock};
use egui::{ComboBox, PopupCloseBehavior, RichText, Ui};
use std::collections::BTreeSet;

fn combo<T: Copy + PartialEq>(
    ui: &mut Ui,
    name: &str,
    now: T,
    all: &[T],
    words: impl Fn(T) -> &'static str,
) -> Option<T> {
    let mut chosen = None;
    let label = widgets::faint(ui, name);
    field::row(
        ui,
        &mut (),
        |ui, ()| {
            ui.label(label);
        },
        |ui, ()| {
            let combo = ComboBox::from_id_salt(name)
                .width(ui.available_width())
                .truncate()
                .selected_text(RichText::new(words(now)).font(theme::regular(theme::DATA)));
            let response = combo.show_ui(ui, |ui| {
                for value in all {
                    if ui.selectable_label(*value == now, words(*value)).clicked() && *value != now {
                        chosen = Some(*value);
                    }
                }
            });
            response.response.accessible_name(format!("Drawing, {}", name.to_lowercase()));
        },
    );
    chosen
}

/// A row with a field for free text: its name, and what the field holds and does.
fn text_row(ui: &mut Ui, state: &mut State, drafts: &mut Drafts, name: &str, field: TextField<'_>) {
    let label = widgets::faint(ui, name);
    field::row(
        ui,
        state,
        |ui, _| {
            ui.label(label);
        },
        |ui, state| field.show(ui, state, drafts),
    );
}

/// The same for a field of the drawing itself.
fn text(ui: &mut Ui, state: &mut State, drafts: &mut Drafts, name: &str, value: &str, edit: &dyn Fn(&str) -> Edit) {
    let field = TextField {
        of: Of::Named(name.to_owned()),
        property: None,
        value: value.to_owned(),
        hint: "empty".to_owned(),
        accessible: format!("Drawing, {}", name.to_lowercase()),
        edit,
        focus: false,
    };
    text_row(ui, state, drafts, name, field);
}

/// Name, system, rules, basis and title block.
pub fn show(ui: &mut Ui, state: &mut State, drafts: &mut Drafts, confirm: &mut Option<System>) {
    let doc = state.installation().clone();
    widgets::head(ui, "Drawing");
    let count = format!("{} parts, {} cables, {} spaces", doc.parts.len(), doc.cables.len(), doc.spaces.len());
    let count = widgets::faint(ui, count);
    ui.label(count);
    ui.add_space(4.0);
    text(ui, state, drafts, "Name", &doc.name, &|t| Edit::SetName(t.trim().to_owned()));
    let system = combo(ui, "System", doc.system, System::ALL, |s| match s {
        System::TwoWire120 => "120 V 60 Hz",
        System::SplitPhase => "120/240 V 60 Hz, split-phase",
        System::TwoWire230 => "230 V 50 Hz",
    });
    if let Some(system) = system {
        if doc.parts.is_empty() {
            state.edit(&Edit::SetSystem(system), None);
        } else {
            *confirm = Some(system);
        }
    }
    confirm_system(ui, state, confirm);
    let rules = combo(ui, "Rule set", doc.rules, RuleSet::ALL, |r| match r {
        RuleSet::Us => "US: 33 CFR 183",
        RuleSet::International => "International: ISO 13297",
    });
    if let Some(rules) = rules {
        state.edit(&Edit::SetRules(rules), None);
    }
    let basis = combo(ui, "Resistance", doc.resistance, ResistanceBasis::ALL, |b| match b {
        ResistanceBasis::Published => "published tables",
        ResistanceBasis::Formula => "formula, solid",
    });
    if let Some(basis) = basis {
        state.edit(&Edit::SetResistance(basis), None);
    }
    aboard(ui, state, &doc.aboard);
    if doc.rules == RuleSet::International {
        let text = "ISO 13297 annex A is from memory, not read: check it against your copy.";
        ui.label(RichText::new(text).font(theme::regular(theme::SMALL)).color(theme::tokens(ui).close));
    }
    ui.add_space(8.0);
    ui.label(widgets::strong("Title block"));
    type Get = fn(&mut TitleBlock) -> &mut String;
    let fields: [(&str, Get); 9] = [
        ("Title", |t| &mut t.title),
        ("Legal owner", |t| &mut t.legal_owner),
        ("Drawing number", |t| &mut t.identification_number),
        ("Revision", |t| &mut t.revision_index),
        ("Date of issue", |t| &mut t.date_of_issue),
        ("Creator", |t| &mut t.creator),
        ("Approval person", |t| &mut t.approval_person),
        ("Document type", |t| &mut t.document_type),
        ("Language", |t| &mut t.language),
    ];
    for (name, get) in fields {
        let mut block = doc.title.clone();
        let value = get(&mut block).clone();
        text(ui, state, drafts, name, &value, &|typed| {
            let mut block = doc.title.clone();
            typed.trim().clone_into(get(&mut block));
            Edit::SetTitle(Box::new(block))
        });
    }
}

/// What no symbol shows: alarms for carbon monoxide, and where petrol stands.
fn aboard(ui: &mut Ui, state: &mut State, now: &Aboard) {
    let alarms = combo(ui, "CO alarms", now.co_alarms, &[None, Some(true), Some(false)], |a| match a {
        None => "not stated",
        Some(true) => "where people sleep",
        Some(false) => "missing somewhere",
    });
    if let Some(co_alarms) = alarms {
        state.edit(&Edit::SetAboard(Aboard { co_alarms, ..now.clone() }), None);
    }
    let shown = match &now.petrol {
        None => "not stated".to_owned(),
        Some(spaces) if spaces.is_empty() => "none".to_owned(),
        Some(spaces) => spaces.iter().map(|s| s.name().to_lowercase()).collect::<Vec<_>>().join(", "),
    };
    let mut wanted = now.petrol.clone();
    let label = widgets::faint(ui, "Petrol in");
    let tip = "Spaces with a petrol engine or tank; the generators of the drawing are counted by themselves";
    field::row(
        ui,
        &mut wanted,
        |ui, _| {
            ui.label(label).on_hover_text(tip);
        },
        |ui, wanted| {
            let combo = ComboBox::from_id_salt("petrol")
                .width(ui.available_width())
                .truncate()
                .height(320.0)
                .close_behavior(PopupCloseBehavior::CloseOnClickOutside)
                .selected_text(RichText::new(shown.as_str()).font(theme::regular(theme::DATA)));
            let response = combo.show_ui(ui, |ui| {
                if ui.selectable_label(wanted.is_none(), "not stated").clicked() {
                    *wanted = None;
                }
                if ui.selectable_label(wanted.as_ref().is_some_and(BTreeSet::is_empty), "none").clicked() {
                    *wanted = Some(BTreeSet::new());
                }
                for space in SpaceKind::ALL.iter().filter(|s| **s != SpaceKind::Ashore) {
                    let mut held = wanted.as_ref().is_some_and(|w| w.contains(space));
                    if ui.checkbox(&mut held, space.name()).changed() {
                        let spaces = wanted.get_or_insert_default();
                        if held {
                            spaces.insert(*space)
                        } else {
                            spaces.remove(space)
                        };
                    }
                }
            });
            response.response.on_hover_text(tip).accessible_name("Drawing, petrol in");
        },
    );
    if wanted != now.petrol {
        state.edit(&Edit::SetAboard(Aboard { petrol: wanted, ..now.clone() }), None);
    }
}

fn confirm_system(ui: &Ui, state: &mut State, confirm: &mut Option<System>) {
    let Some(system) = *confirm else { return };
    let mut answer = None;
    let modal = egui::Modal::new(egui::Id::unique("confirm system")).show(ui.ctx(), |ui| {
        ui.set_width(360.0);
        widgets::head(ui, &format!("Change to {}?", system.name()));
        ui.label(
            "Every current, drop and limit is computed anew; ratings and cables stay as they are. It can be undone.",
        );
        ui.horizontal(|ui| {
            if ui.button("Change the system").clicked() {
                answer = Some(true);
            }
            if ui.button("Keep it").clicked() {
                answer = Some(false);
            }
        });
    });
    match answer.or(modal.should_close().then_some(false)) {
        Some(true) => {
            *confirm = None;
            state.edit(&Edit::SetSystem(system), None);
        }
        Some(false) => *confirm = None,
        None => {}
    }
}

/// A space: its name and kind.
pub fn space(ui: &mut Ui, state: &mut State, drafts: &mut Drafts, id: SpaceId) {
    let doc = state.installation().clone();
    let Some(space) = doc.spaces.get(&id).cloned() else { return };
    widgets::head(ui, &format!("Space {}", space.name));
    let inside: Vec<String> =
        doc.parts.values().filter(|p| doc.space_at(p.position()) == Some(id)).map(|p| p.tag.clone()).collect();
    let holds = if inside.is_empty() { "no part in it".to_owned() } else { format!("holds {}", inside.join(", ")) };
    let holds = widgets::faint(ui, holds);
    ui.label(holds);
    ui.add_space(4.0);
    let set = |name: &str, kind: SpaceKind| Edit::SetSpace { id, name: name.trim().to_owned(), kind, rect: space.rect };
    let field = TextField {
        of: Of::Named(format!("space {id}")),
        property: None,
        value: space.name.clone(),
        hint: space.kind.name().to_owned(),
        accessible: format!("{} space, name", space.name),
        edit: &|typed| set(typed, space.kind),
        focus: false,
    };
    text_row(ui, state, drafts, "Name", field);
    if let Some(kind) = combo(ui, "Kind", space.kind, SpaceKind::ALL, SpaceKind::name) {
        let old = space.kind.name();
        let name = if space.name == old { kind.name() } else { &space.name };
        state.edit(&set(name, kind), None);
    }
    ui.label(widgets::small(
        ui,
        "Rules ask for the kind: engine space, galley, head and weather deck have demands of their own.",
    ));
}
