//! What opens over the window: all commands, find a part, the help, and the card for a first start.

use super::commands::{Command, Menu};
use super::state::State;
use super::{find, theme, topbar, widgets};
use crate::diagram::Target;
use crate::installation::{Installation, Selection};
use egui::{Context, Key, RichText, Ui};
use std::sync::Arc;

/// Which of them is open, and what is typed in it.
#[derive(Default)]
pub struct Windows {
    open: Option<Kind>,
    typed: String,
    /// The row that Enter takes.
    row: usize,
    /// What can be found in the drawing, while it is looked for.
    findable: Option<(Arc<Installation>, Vec<find::Findable>)>,
    /// The card for a first start was there and is gone.
    how_to_gone: bool,
}

#[derive(Clone, Copy, PartialEq, Eq)]
enum Kind {
    Palette,
    Find,
    Help,
}

impl Windows {
    /// True while one is open.
    #[must_use]
    pub fn is_open(&self) -> bool {
        self.open.is_some()
    }

    /// Opens what a command asks for. False where it is no command of this file.
    pub fn command(&mut self, command: Command) -> bool {
        let kind = match command {
            Command::Palette => Kind::Palette,
            Command::Find => Kind::Find,
            Command::Help => Kind::Help,
            _ => return false,
        };
        self.open = if self.open == Some(kind) { None } else { Some(kind) };
        self.typed.clear();
        self.row = 0;
        true
    }

    /// Shows what is open; gives the command that was chosen.
    pub fn show(&mut self, ctx: &Context, state: &mut State) -> Option<Command> {
        let kind = self.open?;
        match kind {
            Kind::Palette => self.palette(ctx, state),
            Kind::Find => {
                self.find(ctx, state);
                None
            }
            Kind::Help => {
                self.help(ctx);
                None
            }
        }
    }

    /// A field with a list under it; gives the row that was taken.
    fn chooser(
        &mut self,
        ctx: &Context,
        title: &str,
        count: impl Fn(&str) -> usize,
        mut row: impl FnMut(&mut Ui, usize, bool) -> bool,
    ) -> Option<usize> {
        let mut taken = None;
        let modal = egui::Modal::new(egui::Id::unique(title)).show(ctx, |ui| {
            ui.set_width(420.0);
            let (up, down) = ui.input_mut(|i| {
                let none = egui::Modifiers::NONE;
                (i.consume_key(none, Key::ArrowUp), i.consume_key(none, Key::ArrowDown))
            });
            let field = egui::TextEdit::singleline(&mut self.typed).hint_text(title).desired_width(f32::INFINITY);
            let field = ui.add(field).accessible_name(title);
            let enter = field.lost_focus() && ui.input(|i| i.key_pressed(Key::Enter));
            if !field.has_focus() {
                field.request_focus();
            }
            if field.changed() {
                self.row = 0;
            }
            let rows = count(&self.typed);
            if down {
                self.row += 1;
            }
            if up {
                self.row = self.row.saturating_sub(1);
            }
            self.row = self.row.min(rows.saturating_sub(1));
            egui::ScrollArea::vertical().max_height(360.0).auto_shrink([false, true]).show(ui, |ui| {
                ui.spacing_mut().item_spacing.y = 1.0;
                for i in 0..rows {
                    if row(ui, i, i == self.row) {
                        taken = Some(i);
                    }
                }
                if rows == 0 {
                    let text = widgets::faint(ui, "Nothing of that name.");
                    ui.label(text);
                }
                widgets::keep_focus_in_sight(ui);
            });
            if enter && rows > 0 {
                taken = Some(self.row);
            }
        });
        if modal.should_close() || taken.is_some() {
            self.open = None;
        }
        taken
    }

    fn palette(&mut self, ctx: &Context, state: &State) -> Option<Command> {
        let typed = self.typed.to_lowercase();
        let found: Vec<Command> = Command::ALL
            .iter()
            .copied()
            .filter(|c| c.is_enabled(state) && c.label(state).to_lowercase().contains(&typed))
            .collect();
        let count = |now: &str| if now.to_lowercase() == typed { found.len() } else { 0 };
        let taken = self.chooser(ctx, "Type a command", count, |ui, i, marked| {
            let Some(command) = found.get(i) else { return false };
            marked_row(ui, marked, |ui| topbar::item(ui, *command, state))
        });
        taken.and_then(|i| found.get(i).copied())
    }

    fn find(&mut self, ctx: &Context, state: &mut State) {
        let typed = self.typed.to_lowercase();
        let doc = state.installation().clone();
        if self.findable.as_ref().is_none_or(|(of, _)| !Arc::ptr_eq(of, &doc)) {
            self.findable = Some((Arc::clone(&doc), find::all(&doc)));
        }
        let all = self.findable.take();
        let found = all.as_ref().map(|(_, all)| find::matching(all, &typed)).unwrap_or_default();
        let count = |now: &str| if now.to_lowercase() == typed { found.len() } else { 0 };
        let taken = self.chooser(ctx, "Find a part by tag, label or property", count, |ui, i, marked| {
            let Some((part, why)) = found.get(i) else { return false };
            marked_row(ui, marked, |ui| {
                let button = egui::Button::new(part.name.as_str()).shortcut_text(*why).frame_when_inactive(false);
                let button = ui.add(button.min_size(egui::vec2(ui.available_width(), 0.0)));
                button.accessible_name(format!("Find {}", part.name))
            })
        });
        if let Some((part, _)) = taken.and_then(|i| found.get(i)) {
            state.hovered = Some(Target::Part(part.id));
            state.go_to(Selection::part(part.id));
        }
        self.findable = all.filter(|_| self.open == Some(Kind::Find));
    }

    fn help(&mut self, ctx: &Context) {
        let modal = egui::Modal::new(egui::Id::unique("help")).show(ctx, |ui| {
            ui.set_width(620.0);
            ui.horizontal(|ui| {
                widgets::head(ui, "How to use this");
                ui.with_layout(egui::Layout::right_to_left(egui::Align::Center), |ui| {
                    if ui.button("Close").accessible_name("Close the help").clicked() {
                        ui.close();
                    }
                });
            });
            let room = ctx.content_rect().height() * 0.72;
            egui::ScrollArea::vertical().max_height(room).auto_shrink([false, true]).show(ui, |ui| {
                for (head, text) in HELP {
                    ui.add_space(6.0);
                    ui.label(widgets::strong(*head));
                    ui.label(*text);
                }
                ui.add_space(6.0);
                ui.label(widgets::strong("Keys"));
                egui::Grid::new("keys").num_columns(3).striped(false).spacing([16.0, 4.0]).show(ui, |ui| {
                    for menu in Menu::ALL {
                        for command in Command::ALL.iter().filter(|c| c.info().menu == menu) {
                            let text = widgets::faint(ui, command.key_text(ui.ctx()));
                            ui.label(text);
                            ui.label(command.info().label);
                            let text = widgets::faint(ui, command.info().tip);
                            ui.label(text);
                            ui.end_row();
                        }
                    }
                });
                widgets::keep_focus_in_sight(ui);
            });
        });
        if modal.should_close() {
            self.open = None;
        }
    }

    /// The card for a first start, until the first edit or click. It does not come back.
    pub fn how_to(&mut self, ui: &mut Ui, state: &State, sample: bool) {
        let pressed =
            ui.input(|i| i.pointer.any_pressed() || i.events.iter().any(|e| matches!(e, egui::Event::Key { .. })));
        let no_room = widgets::is_narrow(ui.ctx());
        if !sample || pressed || no_room || state.history.depth() > 0 {
            self.how_to_gone = true;
        }
        if self.how_to_gone {
            return;
        }
        let t = theme::tokens(ui);
        let frame = egui::Frame::new().fill(t.card).stroke(egui::Stroke::new(1.0, t.edge));
        let frame = frame.corner_radius(6).inner_margin(egui::Margin::symmetric(12, 8));
        let ground =
            egui::Frame::new().fill(t.paper).inner_margin(egui::Margin { left: 10, right: 10, top: 4, bottom: 8 });
        let panel = egui::Panel::bottom("how to").resizable(false).show_separator_line(false).frame(ground);
        panel.show(ui, |ui| {
            frame.show(ui, |ui| {
                ui.set_width(ui.available_width());
                ui.spacing_mut().item_spacing.y = 3.0;
                ui.label(widgets::strong("This is a sample. Try it:"));
                ui.columns(2, |columns| {
                    for (i, line) in HOW_TO.iter().enumerate() {
                        columns[i % 2].label(RichText::new(*line).font(theme::regular(theme::DATA)));
                    }
                });
            });
        });
    }
}

/// What to try first, in two columns.
const HOW_TO: [&str; 4] = [
    "Click the switch beside an appliance: every current follows.",
    "Drag a part from the locker on to a cable: it is put in there.",
    "Click a finding in the survey: it goes to the part.",
    "File, New drawing begins your own. F1 tells the rest.",
];

fn marked_row(ui: &mut Ui, marked: bool, row: impl FnOnce(&mut Ui) -> egui::Response) -> bool {
    let response = row(ui);
    if marked {
        let t = theme::tokens(ui);
        let stroke = egui::Stroke::new(1.5, t.fed);
        ui.painter().rect_stroke(response.rect, 4.0, stroke, egui::StrokeKind::Inside);
        response.scroll_to_me(None);
    }
    response.clicked()
}

/// The guide, in the order in which things are used.
const HELP: &[(&str, &str)] = &[
    (
        "Draw",
        "Drag parts from the locker: sources at the left, then panel, breakers, outlets, appliances at the right. Pull a cable from the terminal at a symbol's end to another part, or to empty canvas to choose what comes next. Drop a part on a cable to put it in there. Draw a space around the parts that stand in it: engine space, galley, head and weather deck have rules of their own.",
    ),
    (
        "Rearrange it",
        "A dragged part takes the line of another where it comes near. Alt and drag moves a part with everything that it feeds; let go on another panel's bar, the branch hangs there and its cables follow. Ctrl+M mirrors a symbol, so that it is fed from the right. Copied parts are a circuit list on the clipboard: paste them in another window or a spreadsheet, and rows of a spreadsheet here.",
    ),
    (
        "Try it",
        "Hold W and click a switch to see what would follow; let go and nothing was changed. 1 to 9 choose the condition, Alt with 1 to 9 the source that feeds in it, Alt with 0 none. What lies under the pointer stands out with its path to the source and everything that it feeds.",
    ),
    (
        "Never lose it",
        "What is not saved is kept in a journal two seconds after the last change, and offered after a crash. A file that is open twice, or was changed elsewhere, is said before anything is written over; the version before stays as .bak.",
    ),
    (
        "Say what it is",
        "Click a part or a cable. Its particulars stand at the right: type figures with their units, 12 AWG, 2.5 mm², 20 ft, 6 m, 1.5 kW, 10 A. An empty field is not known; checks that need it are then not made, and the survey says so. Click a field's name to say whether the value is measured, read from the name plate, typical or assumed.",
    ),
    (
        "Feed it",
        "Choose the condition and what feeds it in the top bar. Click an appliance's switch or a breaker: currents, drops and the source's load follow at once. Blue is fed, thin blue is fed at 0 A, grey and dashed is not fed in this condition. What is not fed may still be live.",
    ),
    (
        "Read the survey",
        "Octagon DANGER, triangle WARNING, diamond CAUTION, circle NOTICE. Each finding says how much against how much, what would cure it, where the limit comes from and whether that source was read or is from memory. No finding is no approval: look at the checks that were not made.",
    ),
    (
        "The source",
        "The strip at the foot says whether the source can carry what runs, and whether it can start it: in the best order, and at the worst restart of what starts by itself. Where starting volt-amperes are not known it judges by watts only.",
    ),
    (
        "What this is not",
        "The program computes from what was entered; it approves nothing. Three-phase and DC are not covered. Impedance of the source and of transformers is not modelled. The local code and a licensed electrician decide. Before any work: unplug, stop, isolate, lock, and test with a meter before touch.",
    ),
];
