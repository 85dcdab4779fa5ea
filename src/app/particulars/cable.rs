//! The particulars of a cable.

use super::field::{self, Drafts, Of};
use super::{figures, words};
use crate::app::state::State;
use crate::app::{theme, widgets};
use crate::installation::{CableId, Conductor, PartId, Property, Selection};
use egui::{RichText, Ui};

/// The section under a part at one end of this cable.
pub fn section(ui: &mut Ui, state: &mut State, drafts: &mut Drafts, id: CableId, part: PartId) {
    let doc = state.installation().clone();
    let Some(cable) = doc.cables.get(&id) else { return };
    ui.add_space(6.0);
    let (word, other) = if cable.from == part { ("to", cable.to) } else { ("from", cable.from) };
    let other = doc.parts.get(&other).map_or_else(String::new, |p| p.name());
    ui.label(widgets::strong(format!("Cable {word} {other}")));
    properties(ui, state, drafts, id);
}

fn properties(ui: &mut Ui, state: &mut State, drafts: &mut Drafts, id: CableId) {
    let of = Of::Cables(vec![id]);
    let fitted = state.installation().cables.get(&id).is_some_and(|c| c.data.conductor != Conductor::None);
    field::property(ui, state, drafts, &of, Property::Conductor);
    if !fitted {
        let text = "No cable: bolted on or plugged in. Type a size to fit one.";
        ui.label(RichText::new(text).font(theme::regular(theme::SMALL)).color(theme::tokens(ui).faint));
        return;
    }
    for property in Property::OF_CABLE.iter().filter(|p| **p != Property::Conductor) {
        field::property(ui, state, drafts, &of, *property);
    }
    field::property(ui, state, drafts, &of, Property::Status);
}

/// A cable that is selected by itself.
pub fn alone(ui: &mut Ui, state: &mut State, drafts: &mut Drafts, id: CableId) {
    let doc = state.installation().clone();
    let Some(cable) = doc.cables.get(&id) else { return };
    let name = if cable.tag.is_empty() { "Cable".to_owned() } else { format!("{} Cable", cable.tag) };
    widgets::head(ui, &name);
    let mut go = None;
    ui.horizontal_wrapped(|ui| {
        ui.spacing_mut().item_spacing.x = 4.0;
        for (word, part) in [("from", cable.from), ("to", cable.to)] {
            let text = widgets::faint(ui, word);
            ui.label(text);
            let name = doc.parts.get(&part).map_or_else(String::new, |p| p.name());
            if widgets::link(ui, &name).accessible_name(format!("{name}: go to it, {word}")).clicked() {
                go = Some(part);
            }
        }
    });
    if let Some(part) = go {
        state.go_to(Selection::part(part));
    }
    ui.add_space(4.0);
    let of = Of::Cables(vec![id]);
    field::property(ui, state, drafts, &of, Property::Tag);
    properties(ui, state, drafts, id);
    if cable.data.is_fitted() && !cable.data.is_known() {
        let missing = match (cable.data.size(), cable.data.length_m) {
            (None, None) => "size and length are",
            (None, _) => "the size is",
            _ => "the length is",
        };
        let text = format!("{} not known: no drop is shown beyond this cable.", crate::app::widgets::sentence(missing));
        ui.label(RichText::new(text).font(theme::regular(theme::SMALL)).color(theme::tokens(ui).close));
        let explain = words::explain(Property::LengthM);
        ui.label(widgets::small(ui, explain));
    }
    ui.add_space(8.0);
    figures::of_cable(ui, state, id);
}
