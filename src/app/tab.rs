//! The views that fill the window between the top bar and the strip, each once: its name, its key, what it is for. Bar,
//! menu, palette and help read this table.

use super::state::State;
use super::theme;
use egui::accesskit::Role;
use egui::{Key, KeyboardShortcut, Modifiers, Sense, StrokeKind, Ui, WidgetInfo, vec2};

/// A view of the installation.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub enum Tab {
    /// The single-line diagram, with locker, particulars and survey.
    #[default]
    Drawing,
    /// Loads by condition, what runs together, sources compared.
    Loads,
    /// How long fuel and battery last, a day of it, the sea trial, where the set goes.
    Endurance,
    /// What goes on paper, as it will be printed.
    Sheets,
}

impl Tab {
    /// Every view that there is, from left to right.
    pub const ALL: &'static [Self] = &[Self::Drawing, Self::Loads, Self::Endurance, Self::Sheets];

    /// The word on the bar.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Drawing => "Drawing",
            Self::Loads => "Loads",
            Self::Endurance => "Endurance",
            Self::Sheets => "Sheets",
        }
    }

    /// The name of the command that shows it.
    #[must_use]
    pub const fn command(self) -> &'static str {
        match self {
            Self::Drawing => "Show the drawing",
            Self::Loads => "Show the loads",
            Self::Endurance => "Show the endurance",
            Self::Sheets => "Show the sheets",
        }
    }

    /// What it is for, in a sentence.
    #[must_use]
    pub const fn tip(self) -> &'static str {
        match self {
            Self::Drawing => "Shows the drawing with the locker, the particulars and the survey.",
            Self::Loads => {
                "Shows the loads by condition, what runs together, the starting order, and sources side by side."
            }
            Self::Endurance => "Shows how long the fuel lasts, a day of it, the sea trial and where the set goes.",
            Self::Sheets => "Shows the hand-over pack as it will be printed, its revisions and the export.",
        }
    }

    /// Its key.
    #[must_use]
    pub const fn key(self) -> KeyboardShortcut {
        let key = match self {
            Self::Drawing => Key::Num1,
            Self::Loads => Key::Num2,
            Self::Endurance => Key::Num3,
            Self::Sheets => Key::Num4,
        };
        KeyboardShortcut::new(Modifiers::COMMAND, key)
    }
}

/// Points between the words of the switch and its edges.
const PAD: f32 = 13.0;

fn widths(ui: &Ui, tabs: &[Tab]) -> Vec<f32> {
    let t = theme::tokens(ui);
    let font = || theme::bold(theme::BODY);
    tabs.iter().map(|tab| ui.painter().layout_no_wrap(tab.name().to_owned(), font(), t.ink).size().x).collect()
}

/// The switch between the views in the middle of the room that is left. Nothing where there is only one view; a list
/// where the room is too narrow for the words.
pub fn switch(ui: &mut Ui, state: &mut State) {
    let tabs = Tab::ALL;
    if tabs.len() < 2 {
        return;
    }
    let widths = widths(ui, tabs);
    let spare = ui.available_width() - widths.iter().map(|w| w + 2.0 * PAD).sum::<f32>();
    if spare >= 16.0 {
        ui.spacing_mut().item_spacing.x = 0.0;
        ui.add_space(spare / 2.0);
        for (tab, width) in tabs.iter().zip(widths) {
            pill(ui, state, *tab, width);
        }
    } else {
        list(ui, state);
    }
}

/// The views as a list to choose from.
pub fn list(ui: &mut Ui, state: &mut State) {
    egui::ComboBox::from_id_salt("view")
        .selected_text(state.tab.name())
        .show_ui(ui, |ui| {
            for tab in Tab::ALL {
                if ui.selectable_label(*tab == state.tab, tab.name()).clicked() {
                    state.tab = *tab;
                }
            }
        })
        .response
        .accessible_name(format!("View: {}", state.tab.name()));
}

fn pill(ui: &mut Ui, state: &mut State, tab: Tab, width: f32) {
    let t = theme::tokens(ui);
    let chosen = state.tab == tab;
    let (rect, response) = ui.allocate_exact_size(vec2(width + 2.0 * PAD, 28.0), Sense::click());
    response.widget_info(|| WidgetInfo::selected(Role::Tab, true, chosen, format!("View: {}", tab.name())));
    let colour = if chosen {
        ui.painter().rect_filled(rect, 14.0, t.fed);
        t.on_fed
    } else {
        if response.hovered() {
            ui.painter().rect_filled(rect, 14.0, t.hover);
        }
        t.ink
    };
    let font = if chosen { theme::bold(theme::BODY) } else { theme::regular(theme::BODY) };
    ui.painter().text(rect.center(), egui::Align2::CENTER_CENTER, tab.name(), font, colour);
    if response.has_focus() {
        let ring = egui::Stroke::new(2.0, if chosen { t.ink } else { t.fed });
        ui.painter().rect_stroke(rect, 14.0, ring, StrokeKind::Inside);
    }
    let key = ui.ctx().format_shortcut(&tab.key());
    if response.on_hover_text(format!("{} {key}", tab.tip())).clicked() {
        state.tab = tab;
    }
}
