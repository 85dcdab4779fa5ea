//! The particulars of one part: who it is, its properties, the cable that feeds it, its figures.

use super::field::{self, Drafts, Of};
use super::{cable, figures, trip};
use crate::app::state::State;
use crate::app::widgets;
use crate::installation::{CableId, Edit, Installation, PartId, PartKind, Property, Selection, SetData};
use egui::Ui;

/// Shows one part.
pub fn one(ui: &mut Ui, state: &mut State, drafts: &mut Drafts, id: PartId, rename: bool) {
    let doc = state.installation().clone();
    let Some(part) = doc.parts.get(&id) else { return };
    let kind = if doc.is_inverter_charger(id) { "inverter-charger" } else { part.kind.name() };
    widgets::head(ui, &format!("{} {}", part.tag, widgets::sentence(kind)));
    around(ui, state, &doc, id);
    ui.add_space(3.0);
    figures::of_part(ui, state, id);
    ui.add_space(4.0);
    let of = Of::Parts(vec![id]);
    field::focused_property(ui, state, drafts, &of, Property::Tag, rename);
    field::property(ui, state, drafts, &of, Property::Label);
    field::property(ui, state, drafts, &of, Property::Status);
    switch(ui, state, id);
    let own: Vec<Property> = part
        .kind
        .properties()
        .iter()
        .copied()
        .filter(|p| !Property::OF_CABLE.contains(p))
        .filter(|p| *p != Property::Leg || doc.system.is_split_phase())
        .collect();
    let (rare, usual): (Vec<Property>, Vec<Property>) = own.into_iter().partition(|p| is_rare(part.kind, *p));
    for property in usual {
        field::property(ui, state, drafts, &of, property);
    }
    let space = doc.space_of(id).name();
    field::row(
        ui,
        &mut (),
        |ui, ()| {
            let text = widgets::faint(ui, "Space");
            ui.label(text);
        },
        |ui, ()| {
            ui.add_space(4.0);
            ui.label(space).on_hover_text("A part is in the space that it is drawn in.");
        },
    );
    if part.kind.properties().contains(&Property::Conductor) {
        ui.add_space(6.0);
        ui.label(widgets::strong("Shore cord"));
        for property in Property::OF_CABLE {
            field::property(ui, state, drafts, &of, *property);
        }
    }
    for cable_id in cables_of(&doc, id) {
        cable::section(ui, state, drafts, cable_id, id);
    }
    if part.kind == PartKind::Breaker {
        ui.add_space(4.0);
        trip::section(ui, state, id);
    }
    if !rare.is_empty() {
        ui.add_space(4.0);
        let title = widgets::faint(ui, "More about it");
        let more = egui::CollapsingHeader::new(title).id_salt("more about a part");
        more.show_unindented(ui, |ui| {
            for property in rare {
                field::property(ui, state, drafts, &of, property);
            }
        });
    }
}

/// The cables whose data stand under a part: what feeds it, and what it protects or leads on. A cable comes before a
/// bolted-on joint.
pub fn cables_of(doc: &Installation, id: PartId) -> Vec<CableId> {
    let mut list: Vec<CableId> = doc.feeds_of(id).map(|(cable, _)| cable).collect();
    let leaving: Vec<CableId> = doc.leaving(id).map(|(cable, _)| cable).collect();
    if let [only] = leaving.as_slice() {
        list.push(*only);
    }
    list.sort_by_key(|cable| doc.cables.get(cable).is_some_and(|c| !c.data.is_fitted()));
    list
}

/// What few people look for stands under a fold.
fn is_rare(kind: PartKind, property: Property) -> bool {
    use Property as P;
    if property == P::Note || SetData::PROPERTIES.contains(&property) {
        return true;
    }
    match kind {
        PartKind::ShoreInlet => matches!(property, P::RunW | P::Trip | P::Poles | P::Protection),
        PartKind::Generator => {
            matches!(property, P::StartVa | P::Pf | P::FuelCurve | P::Protection | P::Poles | P::Trip | P::Volts)
        }
        PartKind::Inverter => matches!(property, P::StartVa | P::Pf | P::Protection | P::Poles | P::Trip | P::Volts),
        PartKind::Appliance => {
            matches!(property, P::StartVa | P::Continuous | P::Lighting | P::Duty | P::MustRun | P::Protection)
        }
        _ => false,
    }
}

/// What feeds it and what it feeds, each to click.
fn around(ui: &mut Ui, state: &mut State, doc: &Installation, id: PartId) {
    let fed_by: Vec<PartId> = doc.feeds_of(id).map(|(_, c)| c.from).collect();
    let feeds: Vec<PartId> = doc.leaving(id).map(|(_, c)| c.to).collect();
    let mut go = None;
    ui.horizontal_wrapped(|ui| {
        ui.spacing_mut().item_spacing.x = 4.0;
        for (word, list) in [("fed by", &fed_by), ("feeds", &feeds)] {
            if list.is_empty() {
                continue;
            }
            let text = widgets::faint(ui, word);
            ui.label(text);
            for other in list.iter().take(6) {
                let name = doc.parts.get(other).map_or_else(String::new, |p| p.name());
                let shown = if list.len() == 1 { name.clone() } else { doc.tag(*other).to_owned() };
                let link = widgets::link(ui, &shown).accessible_name(format!("{name}: go to it, {word}"));
                if link.on_hover_text(name).clicked() {
                    go = Some(*other);
                }
            }
            if list.len() > 6 {
                let text = widgets::faint(ui, format!("and {} more", list.len() - 6));
                ui.label(text);
            }
        }
        if fed_by.is_empty() && feeds.is_empty() {
            let text = widgets::faint(ui, "not connected");
            ui.label(text);
        }
    });
    if let Some(other) = go {
        state.go_to(Selection::part(other));
    }
}

/// On or off, closed or open, in the shown condition.
fn switch(ui: &mut Ui, state: &mut State, id: PartId) {
    let doc = state.installation().clone();
    let Some(part) = doc.parts.get(&id).filter(|p| p.kind.has_switch()) else { return };
    let breaker = part.kind == PartKind::Breaker;
    let (name, on, off) = if breaker { ("Position", "closed", "open") } else { ("Switch", "on", "off") };
    let mut now = doc.is_on(id, state.condition);
    let text = widgets::faint(ui, name);
    let tag = part.tag.clone();
    field::row(
        ui,
        state,
        |ui, _| {
            ui.label(text);
        },
        |ui, state| {
            ui.horizontal(|ui| {
                for (value, word) in [(true, on), (false, off)] {
                    let button = ui.selectable_label(now == value, word);
                    if button.accessible_name(format!("{tag} {word}")).clicked() && now != value {
                        now = value;
                        let edit = Edit::Switch { condition: state.condition, parts: vec![id], on: value };
                        state.edit(&edit, None);
                    }
                }
            });
        },
    );
}
