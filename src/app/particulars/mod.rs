//! The particulars: what is selected, every property of it, and its figures.

mod cable;
mod drawing;
mod field;
mod figures;
mod part;
mod trip;
mod words;

use super::state::State;
use super::widgets;
use crate::installation::{Property, Selection};
use egui::Ui;
use field::Drafts;

/// What the panel remembers: what is being typed, and what was typed and not taken.
#[derive(Default)]
pub struct Particulars {
    drafts: Drafts,
    /// The tag field of the selected part asks for the focus.
    rename: bool,
    confirm_system: Option<crate::installation::System>,
}

impl Particulars {
    /// The next frame goes to the tag of the selected part.
    pub fn rename(&mut self) {
        self.rename = true;
    }

    /// Shows the panel.
    pub fn show(&mut self, ui: &mut Ui, state: &mut State) {
        self.drafts.begin();
        let selection = state.selection().clone();
        egui::ScrollArea::vertical().id_salt("particulars").auto_shrink(false).show(ui, |ui| {
            ui.spacing_mut().item_spacing.y = 4.0;
            let Selection { parts, cables, spaces } = &selection;
            match (parts.len(), cables.len(), spaces.len()) {
                (0, 0, 0) => drawing::show(ui, state, &mut self.drafts, &mut self.confirm_system),
                (1, _, 0) => {
                    if let Some(id) = parts.first() {
                        let rename = std::mem::take(&mut self.rename);
                        part::one(ui, state, &mut self.drafts, *id, rename);
                    }
                }
                (0, 1, 0) => {
                    if let Some(id) = cables.first() {
                        cable::alone(ui, state, &mut self.drafts, *id);
                    }
                }
                (0, 0, 1) => {
                    if let Some(id) = spaces.first() {
                        drawing::space(ui, state, &mut self.drafts, *id);
                    }
                }
                _ => several(ui, state, &mut self.drafts, &selection),
            }
            ui.add_space(8.0);
            widgets::keep_focus_in_sight(ui);
        });
        self.drafts.end(state);
    }
}

/// Several things: the properties that all parts, or all cables, have in common.
fn several(ui: &mut Ui, state: &mut State, drafts: &mut Drafts, selection: &Selection) {
    let count = |n: usize, one: &str| match n {
        0 => None,
        1 => Some(format!("1 {one}")),
        n => Some(format!("{n} {one}s")),
    };
    let what = [
        count(selection.parts.len(), "part"),
        count(selection.cables.len(), "cable"),
        count(selection.spaces.len(), "space"),
    ];
    widgets::head(ui, &what.into_iter().flatten().collect::<Vec<_>>().join(", "));
    let doc = state.installation().clone();
    if selection.parts.len() > 1 {
        let text = widgets::faint(ui, "What they have in common is set for all of them.");
        ui.label(text);
        ui.add_space(4.0);
        let kinds: Vec<_> = selection.parts.iter().filter_map(|id| doc.parts.get(id)).map(|p| p.kind).collect();
        let common: Vec<Property> = kinds.first().map_or_else(Vec::new, |first| {
            first.properties().iter().copied().filter(|p| kinds.iter().all(|k| k.properties().contains(p))).collect()
        });
        let ids: Vec<_> = selection.parts.iter().copied().collect();
        for property in common {
            if property == Property::Leg && !doc.system.is_split_phase() {
                continue;
            }
            field::property(ui, state, drafts, &field::Of::Parts(ids.clone()), property);
        }
        field::property(ui, state, drafts, &field::Of::Parts(ids), Property::Status);
    }
    if !selection.cables.is_empty() {
        ui.add_space(6.0);
        ui.label(widgets::strong(if selection.cables.len() == 1 { "The cable" } else { "The cables" }));
        let ids: Vec<_> = selection.cables.iter().copied().collect();
        for property in Property::OF_CABLE {
            field::property(ui, state, drafts, &field::Of::Cables(ids.clone()), *property);
        }
        field::property(ui, state, drafts, &field::Of::Cables(ids), Property::Status);
    }
}
