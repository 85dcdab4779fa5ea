//! Every command once: its name, its key, its explanation and when it can be used. Menu, palette, keyboard and help read
//! this table and nothing else.

use super::state::State;
use super::tab::Tab;
use egui::{Key, KeyboardShortcut, Modifiers};

/// Something that a person can ask for.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
#[expect(missing_docs, reason = "label and explanation are in the table below")]
pub enum Command {
    New,
    Start,
    Open,
    Save,
    SaveAs,
    ImportList,
    ExportList,
    ExportSheets,
    Quit,
    Undo,
    Redo,
    Cut,
    Copy,
    Paste,
    Duplicate,
    Delete,
    SelectAll,
    SelectBranch,
    Rename,
    Find,
    GoToDrawing,
    Connect,
    Toggle,
    DrawSpace,
    AlignLeft,
    AlignCentre,
    AlignTop,
    AlignMiddle,
    DistributeAcross,
    DistributeDown,
    Mirror,
    Tidy,
    ZoomIn,
    ZoomOut,
    ZoomFit,
    Bands,
    ThemeLight,
    ThemeDark,
    ThemeSystem,
    Preferences,
    KeepAppliance,
    ForgetAppliance,
    Show(Tab),
    Palette,
    Help,
}

/// The menus of the top bar.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[expect(missing_docs, reason = "the words on the bar")]
pub enum Menu {
    File,
    Edit,
    Arrange,
    View,
    Help,
}

impl Menu {
    /// All menus, from left to right.
    pub const ALL: [Self; 5] = [Self::File, Self::Edit, Self::Arrange, Self::View, Self::Help];

    /// The word on the bar.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::File => "File",
            Self::Edit => "Edit",
            Self::Arrange => "Arrange",
            Self::View => "View",
            Self::Help => "Help",
        }
    }
}

/// One row of the table.
#[derive(Clone, Copy, Debug)]
pub struct Info {
    /// Where it stands.
    pub menu: Menu,
    /// What it is called.
    pub label: &'static str,
    /// Its key.
    pub key: Option<KeyboardShortcut>,
    /// What it does, in a sentence.
    pub tip: &'static str,
}

const fn ctrl(key: Key) -> Option<KeyboardShortcut> {
    Some(KeyboardShortcut::new(Modifiers::COMMAND, key))
}

const fn ctrl_shift(key: Key) -> Option<KeyboardShortcut> {
    Some(KeyboardShortcut::new(Modifiers::COMMAND.plus(Modifiers::SHIFT), key))
}

const fn plain(key: Key) -> Option<KeyboardShortcut> {
    Some(KeyboardShortcut::new(Modifiers::NONE, key))
}

impl Command {
    /// All commands, in the order of the menus.
    pub const ALL: &'static [Self] = &[
        Self::New,
        Self::Start,
        Self::Open,
        Self::Save,
        Self::SaveAs,
        Self::ImportList,
        Self::ExportList,
        Self::ExportSheets,
        Self::Quit,
        Self::Undo,
        Self::Redo,
        Self::Cut,
        Self::Copy,
        Self::Paste,
        Self::Duplicate,
        Self::Delete,
        Self::SelectAll,
        Self::SelectBranch,
        Self::Rename,
        Self::Find,
        Self::GoToDrawing,
        Self::Connect,
        Self::Toggle,
        Self::DrawSpace,
        Self::AlignLeft,
        Self::AlignCentre,
        Self::AlignTop,
        Self::AlignMiddle,
        Self::DistributeAcross,
        Self::DistributeDown,
        Self::Mirror,
        Self::Tidy,
        Self::Show(Tab::Drawing),
        Self::Show(Tab::Loads),
        Self::Show(Tab::Endurance),
        Self::Show(Tab::Sheets),
        Self::ZoomIn,
        Self::ZoomOut,
        Self::ZoomFit,
        Self::Bands,
        Self::ThemeLight,
        Self::ThemeDark,
        Self::ThemeSystem,
        Self::Preferences,
        Self::KeepAppliance,
        Self::ForgetAppliance,
        Self::Palette,
        Self::Help,
    ];

    /// Its row of the table.
    #[must_use]
    pub const fn info(self) -> Info {
        use Menu::{Arrange, Edit, File, Help, View};
        let (menu, label, key, tip) = match self {
            Self::New => (File, "New drawing", ctrl(Key::N), "Starts an empty drawing."),
            Self::Start => (
                File,
                "Start…",
                ctrl_shift(Key::N),
                "Files opened last, the samples, and a first drawing from a few answers.",
            ),
            Self::Open => (File, "Open…", ctrl(Key::O), "Opens a drawing or a circuit list."),
            Self::Save => (File, "Save", ctrl(Key::S), "Writes the drawing to its file."),
            Self::SaveAs => (File, "Save as…", ctrl_shift(Key::S), "Writes the drawing to another file."),
            Self::ImportList => {
                (File, "Import circuit list…", None, "Makes a drawing of a circuit list (CSV) and lays it out.")
            }
            Self::ExportList => {
                (File, "Export circuit list…", None, "Writes the circuits of the shown condition as a list (CSV).")
            }
            Self::ExportSheets => {
                (File, "Export the sheets…", ctrl(Key::P), "Writes the hand-over pack; the ending says the format.")
            }
            Self::Quit => (File, "Quit", ctrl(Key::Q), "Closes the window; asks about unsaved changes."),
            Self::Undo => (Edit, "Undo", ctrl(Key::Z), "Takes the last step back."),
            Self::Redo => (Edit, "Redo", ctrl_shift(Key::Z), "Does the undone step again."),
            Self::Cut => (Edit, "Cut", ctrl(Key::X), "Takes the selected parts away, to be pasted."),
            Self::Copy => {
                (Edit, "Copy", ctrl(Key::C), "Keeps the selected parts and the cables among them, to be pasted.")
            }
            Self::Paste => (Edit, "Paste", ctrl(Key::V), "Adds what was copied, under free tags."),
            Self::Duplicate => (Edit, "Duplicate", ctrl(Key::D), "Adds a copy of the selected parts beside them."),
            Self::Delete => {
                (Edit, "Delete", plain(Key::Delete), "Removes what is selected, and the cables that end there.")
            }
            Self::SelectAll => (Edit, "Select all", ctrl(Key::A), "Selects every part, cable and space."),
            Self::SelectBranch => (
                Edit,
                "Select the branch",
                ctrl(Key::B),
                "Selects everything that the selected parts feed. Alt while dragging moves a part with its branch.",
            ),
            Self::Rename => (Edit, "Rename", plain(Key::F2), "Goes to the tag of the selected part."),
            Self::Find => {
                (Edit, "Find part…", ctrl(Key::F), "Goes to a part by its tag, label or a property such as 14 AWG.")
            }
            Self::GoToDrawing => (
                View,
                "Go to the drawing",
                plain(Key::F6),
                "Brings the keyboard to the drawing; Tab goes from part to part.",
            ),
            Self::Connect => (Edit, "Connect…", ctrl(Key::E), "Draws a cable from the selected part to another."),
            Self::Toggle => (
                Edit,
                "Switch on or off",
                plain(Key::T),
                "Switches the selected appliances, opens or closes the breakers.",
            ),
            Self::DrawSpace => (Arrange, "Draw a space", None, "Draws an area of the boat as a rectangle."),
            Self::AlignLeft => (Arrange, "Align left", None, "Puts the selected parts' left edges in one line."),
            Self::AlignCentre => (Arrange, "Align centres", None, "Puts the selected parts one below the other."),
            Self::AlignTop => (Arrange, "Align top", None, "Puts the selected parts' top edges in one line."),
            Self::AlignMiddle => (Arrange, "Align middles", None, "Puts the selected parts side by side."),
            Self::DistributeAcross => {
                (Arrange, "Distribute across", None, "Gives the selected parts equal steps sideways.")
            }
            Self::DistributeDown => {
                (Arrange, "Distribute down", None, "Gives the selected parts equal steps downwards.")
            }
            Self::Mirror => {
                (Arrange, "Mirror", ctrl(Key::M), "Draws the selected symbols the other way round: fed from the right.")
            }
            Self::Tidy => (Arrange, "Tidy the drawing", ctrl(Key::T), "Lays all parts out anew, sources at the left."),
            Self::ZoomIn => (View, "Zoom in", ctrl(Key::Plus), "Shows the drawing larger."),
            Self::ZoomOut => (View, "Zoom out", ctrl(Key::Minus), "Shows the drawing smaller."),
            Self::ZoomFit => (View, "Zoom to fit", ctrl(Key::Num0), "Shows the whole drawing."),
            Self::Bands => (
                View,
                "Show bands within tolerances",
                None,
                "Shows beside each figure of the particulars what it may be on the boat, or hides it again.",
            ),
            Self::ThemeLight => (View, "Light theme", None, "Chart paper."),
            Self::ThemeDark => (View, "Night theme", None, "Dark, for the chart table at night."),
            Self::ThemeSystem => (View, "Theme of the desktop", None, "Follows the desktop's choice."),
            Self::Preferences => {
                (View, "Preferences…", ctrl(Key::Comma), "Theme, metres or feet, size of text and symbols.")
            }
            Self::KeepAppliance => (
                Edit,
                "Keep in the locker",
                None,
                "Keeps the selected appliances with their figures for the next drawing.",
            ),
            Self::ForgetAppliance => {
                (Edit, "Take out of the locker", None, "Forgets the kept appliance that has the selected one's label.")
            }
            Self::Show(tab) => (View, tab.command(), Some(tab.key()), tab.tip()),
            Self::Palette => (Help, "All commands…", ctrl(Key::K), "Finds a command by its name."),
            Self::Help => {
                (Help, "How to use this", plain(Key::F1), "A short guide, the words, the keys and the limits.")
            }
        };
        Info { menu, label, key, tip }
    }

    /// What it is called now: undo and redo name their step, what is shown can be hidden.
    #[must_use]
    pub fn label(self, state: &State) -> String {
        if self == Self::Bands && state.bands {
            return "Hide bands within tolerances".to_owned();
        }
        let step = match self {
            Self::Undo => state.history.undo_label(),
            Self::Redo => state.history.redo_label(),
            _ => None,
        };
        match step {
            Some(step) => format!("{} {step}", self.info().label),
            None => self.info().label.to_owned(),
        }
    }

    /// Its key as text; empty where it has none.
    #[must_use]
    pub fn key_text(self, ctx: &egui::Context) -> String {
        self.info().key.map_or_else(String::new, |key| ctx.format_shortcut(&key))
    }

    /// Whether it makes sense now.
    #[must_use]
    pub fn is_enabled(self, state: &State) -> bool {
        if state.tab != Tab::Drawing && self.is_for_drawing() {
            return false;
        }
        match self {
            Self::Show(_) => Tab::ALL.len() > 1,
            Self::Undo => state.history.undo_label().is_some(),
            Self::Redo => state.history.redo_label().is_some(),
            Self::Cut | Self::Copy | Self::Duplicate | Self::SelectBranch => !state.selection().parts.is_empty(),
            Self::Delete => !state.selection().is_empty(),
            Self::Mirror => !state.selection().parts.is_empty(),
            Self::Connect => state.selected_part().is_some(),
            Self::Toggle => state
                .selection()
                .parts
                .iter()
                .any(|id| state.installation().parts.get(id).is_some_and(|part| part.kind.has_switch())),
            Self::AlignLeft | Self::AlignCentre | Self::AlignTop | Self::AlignMiddle => {
                state.selection().parts.len() > 1
            }
            Self::DistributeAcross | Self::DistributeDown => state.selection().parts.len() > 2,
            Self::KeepAppliance => state.selection().parts.iter().any(|id| {
                state.installation().parts.get(id).is_some_and(|p| p.kind == crate::installation::PartKind::Appliance)
            }),
            Self::ForgetAppliance => state.selected_part().is_some_and(|id| {
                let label = state.installation().parts.get(&id).map(|p| p.label.as_str());
                state.own.iter().any(|own| Some(own.label.as_str()) == label)
            }),
            Self::Rename => state.selected_part().is_some(),
            Self::SelectAll | Self::Find | Self::Tidy | Self::ExportList | Self::ExportSheets => {
                !state.installation().parts.is_empty()
            }
            _ => true,
        }
    }

    /// True where it changes or shows what is selected on the drawing: not from another view, where nobody sees it.
    const fn is_for_drawing(self) -> bool {
        self.is_for_canvas() && !matches!(self, Self::GoToDrawing)
            || matches!(self, Self::Delete | Self::SelectAll | Self::Rename)
    }

    /// True where the canvas carries it out.
    #[must_use]
    pub const fn is_for_canvas(self) -> bool {
        matches!(
            self,
            Self::Cut
                | Self::Copy
                | Self::Paste
                | Self::Duplicate
                | Self::SelectBranch
                | Self::GoToDrawing
                | Self::Connect
                | Self::Toggle
                | Self::DrawSpace
                | Self::AlignLeft
                | Self::AlignCentre
                | Self::AlignTop
                | Self::AlignMiddle
                | Self::DistributeAcross
                | Self::DistributeDown
                | Self::Mirror
                | Self::Tidy
                | Self::ZoomIn
                | Self::ZoomOut
                | Self::ZoomFit
        )
    }

    /// The command whose key was pressed in this frame. Keys that edit text stay with a focused text field, where
    /// `typing` is set.
    #[must_use]
    pub fn pressed(ctx: &egui::Context, state: &State, typing: bool) -> Option<Self> {
        // The desktop's own copy, cut and paste keys arrive as events of their own.
        let clipboard = ctx.input(|i| {
            i.events.iter().find_map(|event| match event {
                egui::Event::Copy => Some(Self::Copy),
                egui::Event::Cut => Some(Self::Cut),
                egui::Event::Paste(_) => Some(Self::Paste),
                _ => None,
            })
        });
        if let Some(command) = clipboard
            && !typing
        {
            return Some(command);
        }
        let mut keys: Vec<(Self, KeyboardShortcut)> =
            Self::ALL.iter().filter_map(|c| c.info().key.map(|key| (*c, key))).collect();
        keys.extend([
            (Self::Redo, KeyboardShortcut::new(Modifiers::COMMAND, Key::Y)),
            (Self::ZoomIn, KeyboardShortcut::new(Modifiers::COMMAND, Key::Equals)),
            (Self::Delete, KeyboardShortcut::new(Modifiers::NONE, Key::Backspace)),
        ]);
        // Those with more modifiers first: Ctrl+Shift+S is not Ctrl+S.
        keys.sort_by_key(|(_, key)| !key.modifiers.shift);
        keys.retain(|(command, _)| !typing || !command.is_of_text());
        // In another view the keys of the drawing are free for what has the focus there.
        keys.retain(|(command, _)| state.tab == Tab::Drawing || !command.is_for_drawing());
        // The space bar presses what has the focus.
        let focused = ctx.memory(|m| m.focused().is_some());
        keys.retain(|(command, _)| !focused || *command != Self::Toggle);
        ctx.input_mut(|i| keys.into_iter().find(|(_, key)| i.consume_shortcut(key)).map(|(command, _)| command))
    }

    /// True where a text field has a use of its own for the key.
    const fn is_of_text(self) -> bool {
        matches!(
            self,
            Self::Undo
                | Self::Redo
                | Self::Cut
                | Self::Copy
                | Self::Paste
                | Self::Delete
                | Self::SelectAll
                | Self::Toggle
        )
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_key_is_given_twice_and_every_command_explains_itself() {
        let mut seen = Vec::new();
        for command in Command::ALL {
            let info = command.info();
            assert!(info.tip.ends_with('.'), "{}", info.label);
            if let Some(key) = info.key {
                assert!(!seen.contains(&key), "{}", info.label);
                seen.push(key);
            }
        }
    }
}
