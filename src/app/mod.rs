//! The window: top bar, locker, canvas, particulars, survey and strip around one [`state::State`].
//!
//! What lives here: everything that knows the window toolkit. What must not: formulae, limits, file formats, layout of
//! the drawing. Each panel is one file and talks to the others through the state alone.

pub mod autosave;
pub mod canvas;
mod cautions;
pub mod commands;
mod computed;
pub mod dialogs;
mod digits;
pub mod door;
mod endurance;
mod files;
mod find;
mod findings;
mod first;
mod glyphs;
mod icon;
mod launch;
mod loads;
pub mod locker;
mod notices;
mod particulars;
mod preferences;
mod recovery;
mod sheets;
mod start;
pub mod state;
mod strip;
pub mod tab;
pub mod theme;
mod topbar;
mod widgets;
mod windows;
mod worker;

pub use launch::run;

use crate::installation::{Installation, Place};
use crate::store::ThemeChoice;
use commands::Command;
use egui::{CentralPanel, Context, Frame, Margin, Panel, Ui};
use files::{Files, Next};
use state::State;
use std::path::PathBuf;
use tab::Tab;

/// The window.
pub struct App {
    /// What it knows.
    pub state: State,
    topbar: topbar::TopBar,
    locker: locker::Locker,
    particulars: particulars::Particulars,
    loads: loads::Loads,
    survey: findings::SurveyList,
    cautions: cautions::Cautions,
    endurance: endurance::EnduranceView,
    files: Files,
    windows: windows::Windows,
    sheets: sheets::SheetsView,
    notices: notices::Notices,
    /// Keeps what is in no file yet; none where no folder for it was named.
    autosave: Option<autosave::Autosave>,
    recovery: recovery::Recovery,
    prefs: preferences::Prefs,
    start: start::Start,
    /// The panel beside the drawing where there is room for one alone.
    side: Side,
    title: String,
}

/// The panels beside the drawing.
#[derive(Clone, Copy, Default, PartialEq, Eq)]
enum Side {
    #[default]
    Locker,
    Particulars,
    Survey,
}

/// Gives every part a place where some have none, as after reading a circuit list.
fn laid_out(mut installation: Installation) -> Installation {
    if installation.parts.values().any(|part| matches!(part.place, Place::In(_))) {
        crate::diagram::lay_out(&mut installation);
    }
    installation
}

impl App {
    /// Makes the window for a document of a file, or of none. Works without a display.
    #[must_use]
    pub fn new(ctx: &Context, installation: Installation, path: Option<PathBuf>) -> Self {
        theme::install(ctx);
        let mut files = Files::default();
        files.remember(path.as_deref().and_then(crate::store::Mark::of_file));
        Self {
            state: State::in_window(ctx, laid_out(installation), path),
            topbar: topbar::TopBar::default(),
            locker: locker::Locker::default(),
            particulars: particulars::Particulars::default(),
            loads: loads::Loads::default(),
            survey: findings::SurveyList::default(),
            cautions: cautions::Cautions::default(),
            endurance: endurance::EnduranceView::default(),
            files,
            windows: windows::Windows::default(),
            sheets: sheets::SheetsView::default(),
            notices: notices::Notices::default(),
            autosave: None,
            recovery: recovery::Recovery::default(),
            prefs: preferences::Prefs::default(),
            start: start::Start::default(),
            side: Side::default(),
            title: String::new(),
        }
    }

    /// The same with other file dialogs.
    #[must_use]
    pub fn with_dialogs(mut self, dialogs: Box<dyn dialogs::Dialogs>) -> Self {
        self.files.set_dialogs(dialogs);
        self
    }

    /// The same, with a journal in this folder of what is in no file yet; what a crash left there is offered first.
    #[must_use]
    pub fn with_journal(mut self, ctx: &Context, dir: PathBuf, timing: autosave::Timing) -> Self {
        self.recovery = recovery::Recovery::look(&dir);
        match autosave::Autosave::start(dir, timing, ctx) {
            Ok(autosave) => self.autosave = Some(autosave),
            Err(error) => self.state.refuse(format!("no journal is kept of what is not saved: {error}")),
        }
        self
    }

    /// The same, with preferences, files opened last and appliances of one's own kept in this folder.
    #[must_use]
    pub fn with_preferences(mut self, dir: PathBuf) -> Self {
        self.prefs = preferences::Prefs::of(dir);
        self.state.own = self.prefs.own();
        self
    }

    /// Keeps the journal in step with the document; asks what becomes of what a crash left behind.
    fn keep(&mut self, ctx: &Context) {
        let moved = self.files.has_moved();
        if let Some(path) = self.state.path.clone().filter(|p| moved && self.prefs.held.recent.first() != Some(p)) {
            self.prefs.remember(&mut self.state, &path);
        }
        let Some(autosave) = &mut self.autosave else { return };
        if self.recovery.is_open() {
            if let Some(recovery::Choice::Recover(session, installation, path)) = self.recovery.show(ctx) {
                self.files.recover(&mut self.state, *installation, path);
                autosave.adopt(session);
            }
            return;
        }
        if self.files.take_moved() && autosave.begin(self.state.path.as_deref()) {
            let file = self.state.path.as_deref().map(crate::store::path_text).unwrap_or_default();
            let text = format!(
                "{file} is open in another window of this program. Each can save over the other; the one that finds the \
                 file changed asks first."
            );
            self.files.tell("Open in another window", &text);
        }
        if self.files.may_close() {
            autosave.let_go();
        }
        autosave.follow(&self.state);
    }

    /// The same, with what it shows taken for the built-in sample.
    #[must_use]
    pub fn of_sample(mut self) -> Self {
        self.files.sample = true;
        self
    }

    /// Carries a command out.
    pub fn command(&mut self, ctx: &Context, command: Command) {
        if !command.is_enabled(&self.state) || self.windows.command(command) {
            return;
        }
        self.state.end_trial();
        match command {
            Command::New => self.files.request(ctx, &mut self.state, Next::New),
            Command::Open => self.files.request(ctx, &mut self.state, Next::Open),
            Command::ImportList => self.files.request(ctx, &mut self.state, Next::Import),
            Command::Quit => self.files.request(ctx, &mut self.state, Next::Quit),
            Command::Save => self.files.save(ctx, &mut self.state),
            Command::SaveAs => self.files.save_as(ctx, &self.state),
            Command::ExportList => self.files.export(ctx, &self.state),
            Command::Bands => self.state.bands = !self.state.bands,
            Command::ThemeLight => self.prefs.theme(&mut self.state, ThemeChoice::Light),
            Command::ThemeDark => self.prefs.theme(&mut self.state, ThemeChoice::Night),
            Command::ThemeSystem => self.prefs.theme(&mut self.state, ThemeChoice::Desktop),
            Command::Preferences => self.prefs.open(),
            Command::Start => self.start.open(ctx, &self.prefs.held.recent, self.state.installation().system),
            Command::KeepAppliance => self.prefs.keep_appliances(&mut self.state),
            Command::ForgetAppliance => {
                let doc = self.state.installation();
                let label = self.state.selected_part().and_then(|id| doc.parts.get(&id)).map(|p| p.label.clone());
                self.prefs.forget_appliance(&mut self.state, &label.unwrap_or_default());
            }
            Command::Rename => {
                self.side = Side::Particulars;
                self.particulars.rename();
            }
            Command::Show(tab) => self.state.tab = tab,
            Command::ExportSheets => {
                self.state.tab = Tab::Sheets;
                self.files.ask_pack(ctx, &self.state);
            }
            other => {
                self.state.command(other);
            }
        }
    }

    fn keys(&mut self, ctx: &Context) {
        if !digits::is_trial_key_held(ctx) {
            self.state.end_trial();
        }
        // Under a dialog only the keys that close it count.
        if self.files.is_busy()
            || self.recovery.is_open()
            || self.start.is_open()
            || self.prefs.is_open()
            || self.survey.is_busy()
            || self.sheets.is_busy()
            || self.windows.is_open() && !ctx.input(|i| i.key_pressed(egui::Key::F1))
        {
            return;
        }
        if let Some(command) = Command::pressed(ctx, &self.state, ctx.text_edit_focused()) {
            self.command(ctx, command);
        }
        digits::keys(ctx, &mut self.state);
    }

    fn retitle(&mut self, ctx: &Context) {
        let file = self.state.path.as_ref().and_then(|p| p.file_name()).map(|n| n.to_string_lossy().into_owned());
        let name = file.unwrap_or_else(|| if self.files.sample { "sample" } else { "new drawing" }.to_owned());
        let mark = if self.state.history.is_changed() { "* " } else { "" };
        let title = format!("{mark}{name} · Hullwire");
        if title != self.title {
            ctx.send_viewport_cmd(egui::ViewportCommand::Title(title.clone()));
            self.title = title;
        }
    }

    /// Preferences and start view.
    fn dialogs(&mut self, ctx: &Context) {
        self.prefs.show(ctx, &mut self.state);
        self.prefs.apply(ctx, &mut self.state);
        match self.start.show(ctx, &self.state.own) {
            Some(start::Choice::File(path)) => self.files.request(ctx, &mut self.state, Next::OpenPath(path)),
            Some(start::Choice::Drawing(doc)) => self.files.request(ctx, &mut self.state, Next::Show(doc)),
            None => {}
        }
    }

    fn right(&mut self, ui: &mut Ui) {
        let height = ui.available_height();
        let top = Panel::top("particulars panel").resizable(true).default_size(height * 0.5).min_size(160.0);
        let top = top.max_size((height - 150.0).max(170.0)).frame(inner(12, 10));
        let Self { state, particulars, survey, notices, .. } = self;
        top.show(ui, |ui| notices.view(ui, state, "the particulars", |ui, state| particulars.show(ui, state)));
        CentralPanel::no_frame().frame(inner(12, 8)).show(ui, |ui| {
            notices.view(ui, state, "the survey list", |ui, state| survey.show(ui, state));
        });
    }

    /// One panel beside the drawing, chosen above it.
    fn one_side(&mut self, ui: &mut Ui) {
        ui.horizontal_wrapped(|ui| {
            let all = [(Side::Locker, "Locker"), (Side::Particulars, "Particulars"), (Side::Survey, "Survey")];
            for (side, name) in all {
                let label = ui.selectable_label(self.side == side, name);
                if label.accessible_name(format!("Panel: {name}")).clicked() {
                    self.side = side;
                }
            }
        });
        ui.separator();
        let Self { state, locker, particulars, survey, notices, side, .. } = self;
        match side {
            Side::Locker => notices.view(ui, state, "the locker", |ui, state| locker.show(ui, state)),
            Side::Particulars => {
                notices.view(ui, state, "the particulars", |ui, state| particulars.show(ui, state));
            }
            Side::Survey => notices.view(ui, state, "the survey list", |ui, state| survey.show(ui, state)),
        }
    }

    /// The drawing with locker, particulars and survey.
    fn drawing(&mut self, ui: &mut Ui) {
        let t = theme::tokens(ui);
        let panel = |x, y| inner(x, y).fill(t.panel);
        if widgets::is_narrow(ui.ctx()) {
            let side = Panel::right("one side").resizable(true).default_size(244.0).size_range(200.0..=320.0);
            side.frame(panel(10, 8)).show(ui, |ui| self.one_side(ui));
            CentralPanel::no_frame().show(ui, |ui| self.middle(ui));
            return;
        }
        let left = Panel::left("locker").resizable(true).default_size(178.0).size_range(150.0..=280.0);
        let Self { state, locker, notices, .. } = self;
        left.frame(panel(10, 10)).show(ui, |ui| {
            notices.view(ui, state, "the locker", |ui, state| locker.show(ui, state));
        });
        let right = Panel::right("right").resizable(true).default_size(292.0).size_range(270.0..=420.0);
        right.frame(panel(0, 0)).show(ui, |ui| self.right(ui));
        CentralPanel::no_frame().show(ui, |ui| self.middle(ui));
    }

    /// Loads by condition and what runs together, under the cautions.
    fn loads(&mut self, ui: &mut Ui) {
        let Self { state, loads, notices, cautions, .. } = self;
        cautioned(ui, state, cautions, |ui, state| {
            notices.view(ui, state, "the loads", |ui, state| loads.show(ui, state));
        });
        self.foot_message(ui);
    }

    /// How long fuel and battery last, under the cautions.
    fn endurance(&mut self, ui: &mut Ui) {
        let Self { state, endurance, notices, cautions, .. } = self;
        cautioned(ui, state, cautions, |ui, state| {
            notices.view(ui, state, "the endurance view", |ui, state| endurance.show(ui, state));
        });
        self.foot_message(ui);
    }

    /// The message above the strip of a view without canvas.
    fn foot_message(&mut self, ui: &Ui) {
        let rect = ui.ctx().content_rect().shrink2(egui::vec2(0.0, 90.0));
        self.message(ui, rect);
    }

    fn middle(&mut self, ui: &mut Ui) {
        let t = theme::tokens(ui);
        let banner = Frame::new().fill(t.paper).inner_margin(Margin { left: 10, right: 10, top: 8, bottom: 4 });
        Panel::top("cautions").resizable(false).show_separator_line(false).frame(banner).show(ui, |ui| {
            self.cautions.show(ui, &self.state);
            let journal = self.autosave.as_ref().and_then(autosave::Autosave::problem);
            self.notices.show(ui, &self.state, journal.as_deref());
        });
        self.windows.how_to(ui, &self.state, self.files.sample);
        let rect = ui.available_rect_before_wrap();
        self.state.view_centre = self.state.view.on(rect).point(rect.center());
        let Self { state, notices, .. } = self;
        CentralPanel::no_frame().show(ui, |ui| notices.view(ui, state, "the canvas", canvas::show));
        self.message(ui, rect);
    }

    /// The line at the foot of the canvas: a refusal with its reason, or what was done.
    fn message(&mut self, ui: &Ui, rect: egui::Rect) {
        let Some(message) = self.state.message.clone() else { return };
        let t = theme::tokens(ui);
        let at = rect.center_bottom() - egui::vec2(0.0, 14.0);
        let area = egui::Area::new(egui::Id::unique("message")).pivot(egui::Align2::CENTER_BOTTOM).fixed_pos(at);
        let edge = if message.refused { t.over } else { t.strong_edge };
        let mut close = false;
        area.show(ui.ctx(), |ui| {
            let frame = Frame::new().fill(t.card).stroke(egui::Stroke::new(1.5, edge)).corner_radius(6);
            frame.inner_margin(Margin::symmetric(12, 7)).show(ui, |ui| {
                ui.set_max_width((rect.width() - 80.0).clamp(200.0, 560.0));
                ui.horizontal(|ui| {
                    let word = if message.refused { "Not done: " } else { "" };
                    let text = format!("{word}{}", message.text);
                    let label = ui.add(egui::Label::new(if word.is_empty() { widgets::sentence(&text) } else { text }));
                    ui.ctx().accesskit_node_builder(label.id, |node| {
                        node.set_live(egui::accesskit::Live::Polite);
                    });
                    close = widgets::link(ui, "Close").accessible_name("Close the message").clicked();
                });
            });
        });
        if close {
            self.state.message = None;
        }
    }
}

/// A view beside the drawing, with the standing cautions above it as over the canvas.
fn cautioned(
    ui: &mut Ui,
    state: &mut State,
    cautions: &mut cautions::Cautions,
    view: impl FnOnce(&mut Ui, &mut State),
) {
    let t = theme::tokens(ui);
    CentralPanel::no_frame().frame(Frame::new().fill(t.paper)).show(ui, |ui| {
        let banner = inner(10, 6);
        Panel::top("view cautions").resizable(false).show_separator_line(false).frame(banner).show(ui, |ui| {
            cautions.show(ui, state);
        });
        view(ui, state);
    });
}

/// The strip is no narrower than this; where the window is, it scrolls.
const STRIP_PT: f32 = 1_180.0;

/// The quiet mark while figures and findings of a large drawing are worked out.
fn busy(ctx: &Context) {
    let at = ctx.content_rect().center_top() + egui::vec2(0.0, 50.0);
    let area = egui::Area::new(egui::Id::unique("busy")).pivot(egui::Align2::CENTER_TOP).fixed_pos(at);
    area.interactable(false).show(ctx, |ui| {
        let t = theme::tokens(ui);
        let frame = Frame::new().fill(t.card).stroke(egui::Stroke::new(1.0, t.edge)).corner_radius(8);
        frame
            .inner_margin(Margin::symmetric(8, 2))
            .show(ui, |ui| ui.label(widgets::small(ui, "working out the figures…")));
    });
}

/// A panel's frame: its ground and inner margins.
fn inner(x: i8, y: i8) -> Frame {
    Frame::new().inner_margin(Margin::symmetric(x, y))
}

impl App {
    /// Shows one frame of the window.
    pub fn show(&mut self, ui: &mut Ui) {
        let ctx = ui.ctx().clone();
        let t = theme::tokens(ui);
        self.files.frame(&ctx, &mut self.state);
        self.keys(&ctx);
        self.state.refresh();
        let panel = |x, y| inner(x, y).fill(t.panel);
        let bar = Panel::top("top bar").resizable(false).exact_size(if widgets::is_narrow(&ctx) { 76.0 } else { 44.0 });
        let bar = bar.frame(panel(14, 0));
        let sample = self.files.sample;
        let chosen = bar.show(ui, |ui| self.topbar.show(ui, &mut self.state, sample)).inner;
        // Paper takes the room of the strip.
        if self.state.tab != Tab::Sheets {
            let foot = Panel::bottom("strip").resizable(false).exact_size(88.0).frame(panel(14, 8));
            let Self { state, notices, .. } = self;
            foot.show(ui, |ui| {
                if !widgets::is_narrow(ui.ctx()) {
                    notices.view(ui, state, "the strip", strip::show);
                    return;
                }
                egui::ScrollArea::horizontal().id_salt("strip").show(ui, |ui| {
                    ui.set_width(STRIP_PT);
                    notices.view(ui, state, "the strip", strip::show);
                    widgets::keep_focus_in_sight(ui);
                });
            });
        }
        match self.state.tab {
            Tab::Drawing => self.drawing(ui),
            Tab::Loads => self.loads(ui),
            Tab::Endurance => self.endurance(ui),
            Tab::Sheets => {
                let Self { state, notices, sheets, files, .. } = self;
                CentralPanel::no_frame().show(ui, |ui| {
                    notices.view(ui, state, "the sheets", |ui, state| sheets.show(ui, state, files));
                });
            }
        }
        widgets::show_focused_handle(ui);
        if self.state.is_behind() {
            busy(&ctx);
        }
        self.files.show(&ctx, &mut self.state);
        let typed = self.windows.show(&ctx, &mut self.state);
        for command in [chosen, typed].into_iter().flatten() {
            self.command(&ctx, command);
        }
        self.dialogs(&ctx);
        self.state.refresh();
        self.keep(&ctx);
        self.retitle(&ctx);
    }
}

impl eframe::App for App {
    fn ui(&mut self, ui: &mut Ui, _frame: &mut eframe::Frame) {
        self.show(ui);
    }

    fn clear_color(&self, visuals: &egui::Visuals) -> [f32; 4] {
        visuals.panel_fill.to_normalized_gamma_f32()
    }
}
