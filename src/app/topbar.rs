//! The top bar: name of the drawing, menus, the condition that is shown and the source that feeds.

use super::commands::{Command, Menu};
use super::state::State;
use super::{tab, theme, widgets};
use crate::installation::{Edit, PartId};
use egui::{RichText, Ui, vec2};

/// What the bar remembers.
#[derive(Default)]
pub struct TopBar {
    /// The name that is typed for a condition: of a new one, or of the one that is shown.
    naming: Option<(Naming, String)>,
}

#[derive(Clone, Copy, PartialEq, Eq)]
enum Naming {
    New,
    Rename,
}

impl TopBar {
    /// Shows the bar; gives the command that was chosen in a menu.
    pub fn show(&mut self, ui: &mut Ui, state: &mut State, sample: bool) -> Option<Command> {
        let mut chosen = None;
        if widgets::is_narrow(ui.ctx()) {
            self.two_rows(ui, state, sample, &mut chosen);
            return chosen;
        }
        ui.horizontal_centered(|ui| {
            ui.spacing_mut().item_spacing.x = 6.0;
            title(ui, state, sample);
            ui.add_space(8.0);
            menus(ui, state, &mut chosen);
            ui.with_layout(egui::Layout::right_to_left(egui::Align::Center), |ui| {
                fed_from(ui, state);
                ui.add_space(6.0);
                self.condition(ui, state);
                ui.with_layout(egui::Layout::left_to_right(egui::Align::Center), |ui| tab::switch(ui, state));
            });
        });
        chosen
    }

    /// The same where a window or large text leaves little width: menus above, views and choosers below.
    fn two_rows(&mut self, ui: &mut Ui, state: &mut State, sample: bool, chosen: &mut Option<Command>) {
        ui.spacing_mut().item_spacing.y = 4.0;
        ui.add_space(5.0);
        ui.horizontal(|ui| {
            menus(ui, state, chosen);
            ui.with_layout(egui::Layout::right_to_left(egui::Align::Center), |ui| title(ui, state, sample));
        });
        ui.horizontal(|ui| {
            tab::list(ui, state);
            ui.with_layout(egui::Layout::right_to_left(egui::Align::Center), |ui| {
                fed_from(ui, state);
                self.condition(ui, state);
            });
        });
    }

    fn condition(&mut self, ui: &mut Ui, state: &mut State) {
        let doc = state.installation().clone();
        let names: Vec<&str> = doc.conditions.iter().map(|c| c.name.as_str()).collect();
        let shown = names.get(state.condition).copied().unwrap_or_default();
        let button = chooser(ui, shown, |ui| {
            for (i, name) in names.iter().enumerate() {
                if ui.selectable_label(i == state.condition, *name).clicked() {
                    state.condition = i;
                    ui.close();
                }
            }
            ui.separator();
            if ui.button("Copy this condition…").clicked() {
                self.naming = Some((Naming::New, format!("{shown} 2")));
                ui.close();
            }
            if ui.button("Rename it…").clicked() {
                self.naming = Some((Naming::Rename, shown.to_owned()));
                ui.close();
            }
            if ui.add_enabled(names.len() > 1, egui::Button::new("Remove it")).clicked() {
                state.edit(&Edit::RemoveCondition(state.condition), None);
                ui.close();
            }
        });
        button.accessible_name(format!("Condition: {shown}"));
        ui.label(widgets::faint(ui, "Condition"));
        self.name_dialog(ui, state);
    }

    fn name_dialog(&mut self, ui: &Ui, state: &mut State) {
        let Some((naming, text)) = &mut self.naming else { return };
        let mut done = None;
        let response = egui::Modal::new(egui::Id::unique("condition name")).show(ui.ctx(), |ui| {
            ui.set_width(300.0);
            widgets::head(ui, if *naming == Naming::New { "New condition" } else { "Rename the condition" });
            ui.label(widgets::faint(ui, "A state of use: at anchor, in harbour, under way, night."));
            let field = ui.add(egui::TextEdit::singleline(text).desired_width(f32::INFINITY));
            let field = field.accessible_name("Name of the condition");
            let enter = field.lost_focus() && ui.input(|i| i.key_pressed(egui::Key::Enter));
            if !field.has_focus() && !enter {
                field.request_focus();
            }
            ui.horizontal(|ui| {
                let named = !text.trim().is_empty();
                if (ui.add_enabled(named, egui::Button::new("Keep this name")).clicked() || enter) && named {
                    done = Some(true);
                }
                if ui.button("Cancel").clicked() {
                    done = Some(false);
                }
            });
        });
        let done = done.or(response.should_close().then_some(false));
        let Some(keep) = done else { return };
        let (naming, name) = (*naming, text.trim().to_owned());
        self.naming = None;
        if !keep {
            return;
        }
        match naming {
            Naming::Rename => {
                state.edit(&Edit::RenameCondition { condition: state.condition, name }, None);
            }
            Naming::New => {
                if state.edit(&Edit::AddCondition { name, like: state.condition }, None) {
                    state.condition = state.installation().conditions.len().saturating_sub(1);
                    state.refresh();
                }
            }
        }
    }
}

fn title(ui: &mut Ui, state: &State, sample: bool) {
    let doc = state.installation();
    let name = if doc.name.is_empty() { "Drawing without a name" } else { &doc.name };
    let name = egui::Label::new(RichText::new(name).font(theme::bold(theme::HEAD))).truncate();
    ui.scope(|ui| {
        ui.set_max_width(if widgets::is_narrow(ui.ctx()) { 200.0 } else { 320.0 });
        ui.add(name);
    });
    let saved = if state.history.is_changed() {
        "not saved"
    } else if state.path.is_some() {
        "saved"
    } else if sample {
        "built-in sample"
    } else {
        "new"
    };
    ui.label(widgets::faint(ui, saved));
}

fn menus(ui: &mut Ui, state: &State, chosen: &mut Option<Command>) {
    for menu in Menu::ALL {
        ui.scope(|ui| {
            let plain = egui::Button::new(menu.name()).frame_when_inactive(false);
            egui::containers::menu::MenuButton::from_button(plain).ui(ui, |ui| {
                ui.set_width(270.0);
                for command in Command::ALL.iter().filter(|c| c.info().menu == menu) {
                    if item(ui, *command, state).clicked() {
                        *chosen = Some(*command);
                        ui.close();
                    }
                }
            });
        });
    }
}

/// A row of a menu: name at the left, key at the right.
pub fn item(ui: &mut Ui, command: Command, state: &State) -> egui::Response {
    let key = command.key_text(ui.ctx());
    let mut button = egui::Button::new(command.label(state)).frame_when_inactive(false);
    if !key.is_empty() {
        button = button.shortcut_text(key);
    }
    ui.add_enabled(command.is_enabled(state), button.min_size(vec2(ui.available_width(), 0.0)))
        .on_hover_text(command.info().tip)
}

/// The source that feeds in the shown condition.
fn fed_from(ui: &mut Ui, state: &mut State) {
    let doc = state.installation().clone();
    let feeding = doc.conditions.get(state.condition).map(|c| c.feeding.clone()).unwrap_or_default();
    let sources: Vec<(PartId, String)> = doc
        .parts
        .iter()
        .filter(|(id, p)| p.kind.is_source() && (!doc.is_inverter_charger(**id) || feeding.contains(id)))
        .map(|(id, p)| (*id, p.name()))
        .collect();
    let shown = match feeding.as_slice() {
        [] => "off".to_owned(),
        [one] => doc.parts.get(one).map_or_else(|| "off".to_owned(), |p| p.name()),
        many => many.iter().map(|id| doc.tag(*id)).collect::<Vec<_>>().join(", "),
    };
    let mut choice = None;
    let button = chooser(ui, &shown, |ui| {
        for (id, name) in &sources {
            if ui.selectable_label(feeding.as_slice() == [*id], name).clicked() {
                choice = Some(vec![*id]);
                ui.close();
            }
        }
        if ui.selectable_label(feeding.is_empty(), "off: nothing feeds").clicked() {
            choice = Some(Vec::new());
            ui.close();
        }
        if sources.len() > 1 {
            ui.separator();
            ui.label(widgets::small(ui, "Several at once, where they feed parts that never meet:"));
            for (id, name) in &sources {
                let mut on = feeding.contains(id);
                if ui.checkbox(&mut on, format!("also {name}")).changed() {
                    let mut next = feeding.clone();
                    next.retain(|f| f != id);
                    if on {
                        next.push(*id);
                    }
                    choice = Some(next);
                }
            }
        }
    });
    button.accessible_name(format!("Fed from: {shown}"));
    ui.label(widgets::faint(ui, "Fed from"));
    if let Some(feeding) = choice {
        state.edit(&Edit::SetFeeding { condition: state.condition, feeding }, None);
    }
}

/// A button that shows the choice and opens the list.
fn chooser(ui: &mut Ui, shown: &str, contents: impl FnOnce(&mut Ui)) -> egui::Response {
    let text = RichText::new(shown).font(theme::bold(theme::DATA));
    let mut atoms = egui::Atoms::new(text);
    atoms.push_right(widgets::down_arrow());
    let button = egui::Button::new(atoms).truncate();
    ui.scope(|ui| {
        ui.set_max_width(if widgets::is_narrow(ui.ctx()) { 150.0 } else { 230.0 });
        let response = ui.add(button);
        egui::Popup::menu(&response).close_behavior(egui::PopupCloseBehavior::CloseOnClickOutside).show(|ui| {
            ui.set_min_width(190.0);
            contents(ui);
        });
        response
    })
    .inner
}
