//! Preferences: the dialog, what they do in the window, and where they are kept; with them the files opened last and the
//! appliances of one's own.

use super::state::State;
use super::widgets;
use crate::installation::{Part, PartKind, Place, Point};
use crate::store::{self, Preferences, ThemeChoice};
use egui::{Context, ThemePreference};
use std::path::{Path, PathBuf};

/// What is preferred and where it is kept; nowhere in a window without a folder for it.
#[derive(Default)]
pub struct Prefs {
    dir: Option<PathBuf>,
    /// What holds now.
    pub held: Preferences,
    open: bool,
    /// What was applied to the window.
    applied: Option<Preferences>,
}

impl Prefs {
    /// Those of a folder.
    #[must_use]
    pub fn of(dir: PathBuf) -> Self {
        let held = Preferences::read(&dir);
        Self { dir: Some(dir), held, open: false, applied: None }
    }

    /// The appliances that were kept.
    #[must_use]
    pub fn own(&self) -> Vec<Part> {
        self.dir.as_deref().map(store::own_appliances).unwrap_or_default()
    }

    /// Opens the dialog.
    pub fn open(&mut self) {
        self.open = true;
    }

    /// True while the dialog is open.
    #[must_use]
    pub fn is_open(&self) -> bool {
        self.open
    }

    /// A theme was chosen in the menu.
    pub fn theme(&mut self, state: &mut State, theme: ThemeChoice) {
        self.held.theme = theme;
        self.write(state);
    }

    /// A file was opened or saved; nothing is remembered without a folder.
    pub fn remember(&mut self, state: &mut State, path: &Path) {
        self.held.remember(path);
        self.write(state);
    }

    fn write(&self, state: &mut State) {
        if let Some(Err(error)) = self.dir.as_deref().map(|dir| self.held.write(dir)) {
            state.refuse(error.to_string());
        }
    }

    /// Puts into effect what changed.
    pub fn apply(&mut self, ctx: &Context, state: &mut State) {
        state.feet = self.held.feet;
        if self.applied.as_ref() == Some(&self.held) {
            return;
        }
        let before = self.applied.replace(self.held.clone());
        if before.as_ref().is_none_or(|b| b.theme != self.held.theme) && (before.is_some() || self.dir.is_some()) {
            ctx.set_theme(match self.held.theme {
                ThemeChoice::Desktop => ThemePreference::System,
                ThemeChoice::Light => ThemePreference::Light,
                ThemeChoice::Night => ThemePreference::Dark,
            });
        }
        ctx.set_zoom_factor(f32::from(self.held.text_percent) / 100.0);
    }

    /// Shows the dialog.
    pub fn show(&mut self, ctx: &Context, state: &mut State) {
        if !self.open {
            return;
        }
        let before = self.held.clone();
        let modal = egui::Modal::new(egui::Id::unique("preferences")).show(ctx, |ui| {
            ui.set_width(360.0);
            widgets::head(ui, "Preferences");
            ui.label("Theme");
            ui.horizontal(|ui| {
                ui.radio_value(&mut self.held.theme, ThemeChoice::Desktop, "as the desktop");
                ui.radio_value(&mut self.held.theme, ThemeChoice::Light, "light");
                ui.radio_value(&mut self.held.theme, ThemeChoice::Night, "night");
            });
            ui.label("Lengths");
            ui.horizontal(|ui| {
                ui.radio_value(&mut self.held.feet, false, "metres");
                ui.radio_value(&mut self.held.feet, true, "feet");
            });
            ui.label("Size of text and symbols");
            ui.horizontal_wrapped(|ui| {
                for percent in [80, 90, 100, 110, 125, 150, 175, 200] {
                    ui.radio_value(&mut self.held.text_percent, percent, format!("{percent} %"));
                }
            });
            ui.add_space(6.0);
            if ui.button("Close").accessible_name("Close the preferences").clicked() {
                ui.close();
            }
        });
        if before != self.held {
            self.write(state);
        }
        if modal.should_close() {
            self.open = false;
        }
    }

    /// Keeps the selected appliances for the next drawing.
    pub fn keep_appliances(&self, state: &mut State) {
        let doc = state.installation();
        let chosen = state.selection().parts.iter().filter_map(|id| doc.parts.get(id));
        let new: Vec<Part> = chosen
            .filter(|p| p.kind == PartKind::Appliance)
            .map(|p| Part { tag: String::new(), place: Place::At(Point::default()), ..Part::clone(p) })
            .collect();
        if new.is_empty() {
            state.refuse("select an appliance first");
            return;
        }
        let mut own = state.own.clone();
        own.retain(|o| new.iter().all(|n| n.label != o.label));
        let count = new.len();
        own.extend(new);
        self.keep(
            state,
            own,
            &if count == 1 {
                "1 appliance kept in the locker".to_owned()
            } else {
                format!("{count} appliances kept in the locker")
            },
        );
    }

    /// Takes an appliance out of the locker.
    pub fn forget_appliance(&self, state: &mut State, label: &str) {
        let own: Vec<Part> = state.own.iter().filter(|p| p.label != label).cloned().collect();
        self.keep(state, own, &format!("{label} is no longer in the locker"));
    }

    fn keep(&self, state: &mut State, own: Vec<Part>, done: &str) {
        match self.dir.as_deref().map(|dir| store::keep_appliances(dir, &own)) {
            Some(Err(error)) => state.refuse(error.to_string()),
            _ => {
                state.own = own;
                state.say(done);
            }
        }
    }
}
