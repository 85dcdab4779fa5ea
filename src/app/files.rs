//! Files: open, save, import and export, the question about unsaved changes, and what went wrong.

mod doubt;

use super::dialogs::{Answer, Ask, Desktop, Dialogs};
use super::state::State;
use super::{theme, widgets};
use crate::installation::{Installation, System};
use crate::store::{self, Mark, path_text};
use doubt::Doubt;
use egui::{Context, RichText};
use std::path::{Path, PathBuf};

/// What would lose unsaved changes, and waits for the answer about them.
#[derive(Clone, Debug, PartialEq)]
pub enum Next {
    /// An empty drawing.
    New,
    /// Another file, asked for by dialog.
    Open,
    /// A circuit list, asked for by dialog.
    Import,
    /// A file that is known already: dropped on the window.
    OpenPath(PathBuf),
    /// A drawing that is in no file: a sample, a first drawing.
    Show(Box<Installation>),
    /// The window closes.
    Quit,
}

/// A long text that must be read in full.
#[derive(Clone, Debug, PartialEq, Eq)]
struct Report {
    title: String,
    lines: Vec<String>,
}

/// Everything about files that waits for something.
pub struct Files {
    dialogs: Box<dyn Dialogs>,
    /// The desktop's dialog is open for this.
    waiting: Option<Ask>,
    /// A path is typed for this, where the desktop has no dialog.
    typing: Option<(Ask, String, String)>,
    /// Unsaved changes stand in the way of this.
    unsaved: Option<Next>,
    /// Comes after the save that runs.
    after_save: Option<Next>,
    report: Option<Report>,
    /// Something stands in the way of a save: what the file holds is not what is known here.
    doubt: Option<Doubt>,
    /// What the file held when it was read or saved last.
    mark: Option<Mark>,
    /// Another drawing is shown, or the same in another file; the journal takes it.
    moved: bool,
    /// The first save of a session keeps the version before.
    saved_once: bool,
    /// The question was answered: the window may close.
    may_close: bool,
    /// The built-in sample is shown, as long as nothing was opened or begun.
    pub sample: bool,
    /// Where the hand-over pack is to be written; the sheets view takes it.
    pack_path: Option<PathBuf>,
}

impl Default for Files {
    fn default() -> Self {
        Self {
            dialogs: Box::new(Desktop::default()),
            waiting: None,
            typing: None,
            unsaved: None,
            after_save: None,
            report: None,
            doubt: None,
            mark: None,
            moved: true,
            saved_once: false,
            may_close: false,
            sample: false,
            pack_path: None,
        }
    }
}

/// A name for a file that has none yet.
fn offered(doc: &Installation, ending: &str) -> String {
    let mut name: String =
        doc.name.trim().chars().map(|c| if c.is_alphanumeric() { c.to_ascii_lowercase() } else { '-' }).collect();
    while name.contains("--") {
        name = name.replace("--", "-");
    }
    let name = name.trim_matches('-');
    format!("{}.{ending}", if name.is_empty() { "drawing" } else { name })
}

fn with_ending(path: PathBuf, ending: &str) -> PathBuf {
    if path.extension().is_some() { path } else { path.with_extension(ending) }
}

impl Files {
    /// Takes other dialogs.
    pub fn set_dialogs(&mut self, dialogs: Box<dyn Dialogs>) {
        self.dialogs = dialogs;
    }

    /// True while something waits for the person.
    #[must_use]
    pub fn is_busy(&self) -> bool {
        self.waiting.is_some()
            || self.typing.is_some()
            || self.unsaved.is_some()
            || self.report.is_some()
            || self.doubt.is_some()
    }

    /// Does it, after the question about unsaved changes where there are some.
    pub fn request(&mut self, ctx: &Context, state: &mut State, next: Next) {
        if state.history.is_changed() {
            self.unsaved = Some(next);
        } else {
            self.go(ctx, state, next);
        }
    }

    fn go(&mut self, ctx: &Context, state: &mut State, next: Next) {
        match next {
            Next::New => {
                let system: System = state.installation().system;
                self.show_document(state, Installation::new(system), None);
            }
            Next::Open => self.ask(ctx, Ask::Open),
            Next::Import => self.ask(ctx, Ask::Import),
            Next::OpenPath(path) => self.open(state, &path),
            Next::Show(installation) => {
                self.show_document(state, super::laid_out(*installation), None);
                state.history.mark_unsaved();
            }
            Next::Quit => {
                self.may_close = true;
                ctx.send_viewport_cmd(egui::ViewportCommand::Close);
            }
        }
    }

    fn show_document(&mut self, state: &mut State, installation: Installation, path: Option<PathBuf>) {
        state.replace(installation, path);
        self.moved = true;
        self.mark = None;
        self.saved_once = false;
        self.sample = false;
    }

    fn ask(&mut self, ctx: &Context, ask: Ask) {
        self.dialogs.ask(&ask, ctx);
        self.waiting = Some(ask);
    }

    /// Saves in the file it has, or asks for one.
    pub fn save(&mut self, ctx: &Context, state: &mut State) {
        match state.path.clone() {
            Some(path) => self.write(ctx, state, &path),
            None => self.save_as(ctx, state),
        }
    }

    /// Asks where to save.
    pub fn save_as(&mut self, ctx: &Context, state: &State) {
        let name = state.path.as_ref().and_then(|p| p.file_name()).map(|n| n.to_string_lossy().into_owned());
        self.ask(ctx, Ask::Save(name.unwrap_or_else(|| offered(state.installation(), "hullwire"))));
    }

    /// Asks where to write the hand-over pack.
    pub fn ask_pack(&mut self, ctx: &Context, state: &State) {
        let stem = state.path.as_ref().and_then(|p| p.file_stem()).map(|n| format!("{}.pdf", n.to_string_lossy()));
        self.ask(ctx, Ask::Pack(stem.unwrap_or_else(|| offered(state.installation(), "pdf"))));
    }

    /// The path that was answered to that, once.
    pub fn take_pack_path(&mut self) -> Option<PathBuf> {
        self.pack_path.take()
    }

    /// Opens a file with the desktop's own program.
    ///
    /// # Errors
    /// Why it could not be.
    pub fn open_outside(&mut self, path: &Path) -> Result<(), String> {
        self.dialogs.open_outside(path)
    }

    /// Asks where to write the circuit list.
    pub fn export(&mut self, ctx: &Context, state: &State) {
        self.ask(ctx, Ask::Export(offered(state.installation(), "csv")));
    }

    /// True where another drawing is shown, or the same got another file, and the journal does not know yet.
    #[must_use]
    pub fn has_moved(&self) -> bool {
        self.moved
    }

    /// True once after another drawing was shown, or the same got another file.
    pub fn take_moved(&mut self) -> bool {
        std::mem::take(&mut self.moved)
    }

    /// True where the person let unsaved changes go, or there are none: the window closes for good.
    #[must_use]
    pub fn may_close(&self) -> bool {
        self.may_close
    }

    /// What the file held when it was read.
    pub fn remember(&mut self, mark: Option<Mark>) {
        self.mark = mark;
    }

    fn write(&mut self, ctx: &Context, state: &mut State, path: &Path) {
        let own = state.path.as_deref() == Some(path);
        if own && self.mark.is_some() && Mark::of_file(path).is_some_and(|now| Some(now) != self.mark) {
            self.doubt = Some(Doubt::Elsewhere(path.to_path_buf()));
        } else {
            self.write_over(ctx, state, path);
        }
    }

    fn write_over(&mut self, ctx: &Context, state: &mut State, path: &Path) {
        match store::save(path, state.installation(), !self.saved_once) {
            Ok(saved) => {
                self.saved_once = true;
                self.sample = false;
                self.mark = saved.mark;
                if state.path.as_deref() != Some(path) {
                    state.path = Some(path.to_path_buf());
                    self.moved = true;
                }
                state.history.mark_saved();
                let kept = saved.backup_problem.map(|why| format!("; the version before was not kept: {why}"));
                state.say(format!("saved in {}{}", path_text(path), kept.unwrap_or_default()));
                if let Some(next) = self.after_save.take() {
                    self.go(ctx, state, next);
                }
            }
            Err(error) => {
                self.after_save = None;
                self.tell("The drawing was not saved", &error.to_string());
            }
        }
    }

    /// Opens a drawing, a circuit list, or the drawing that travels in a pack.
    pub fn open(&mut self, state: &mut State, path: &Path) {
        match store::open(path) {
            Ok(opened) => {
                let (form, mark) = (opened.form, opened.mark);
                let list = form != store::Form::Drawing;
                let notes: Vec<String> = opened.notes.iter().map(ToString::to_string).collect();
                if list {
                    self.show_document(state, super::laid_out(opened.installation), None);
                    state.history.mark_unsaved();
                    let from = match form {
                        store::Form::Pack => "taken out of the pack",
                        _ => "made of the circuit list",
                    };
                    state.say(format!("{from} {}; not saved yet", path_text(path)));
                } else {
                    self.show_document(state, super::laid_out(opened.installation), Some(path.to_path_buf()));
                    self.mark = Some(mark);
                }
                if !notes.is_empty() {
                    self.report = Some(Report { title: "Read, with remarks".to_owned(), lines: notes });
                }
            }
            Err(error) => self.tell("The file was not opened", &error.to_string()),
        }
    }

    /// Shows a text in full.
    pub fn tell(&mut self, title: &str, text: &str) {
        self.report = Some(Report { title: title.to_owned(), lines: text.lines().map(str::to_owned).collect() });
    }

    fn answered(&mut self, ctx: &Context, state: &mut State, ask: &Ask, path: PathBuf) {
        match ask {
            Ask::Open | Ask::Import => self.open(state, &path),
            Ask::Pack(_) => self.pack_path = Some(path),
            Ask::Save(_) => self.write(ctx, state, &with_ending(path, "hullwire")),
            Ask::Export(_) => {
                let path = with_ending(path, "csv");
                let text = store::list::export(state.installation(), state.condition);
                match store::write_bytes(&path, text.as_bytes(), false) {
                    Ok(_) => state.say(format!("the list is in {}", path_text(&path))),
                    Err(error) => self.tell("The list was not written", &error.to_string()),
                }
            }
        }
    }

    /// Takes what happened since the last frame: answers, dropped files, the wish to close.
    pub fn frame(&mut self, ctx: &Context, state: &mut State) {
        if let Some(answer) = self.dialogs.poll()
            && let Some(ask) = self.waiting.take()
        {
            match answer {
                Answer::Path(path) => self.answered(ctx, state, &ask, path),
                Answer::Cancelled => self.after_save = None,
                Answer::Unavailable(why) => self.type_path(ask, &why),
            }
        }
        let dropped = ctx.input(|i| i.raw.dropped_files.first().map(|f| f.path().to_path_buf()));
        if let Some(path) = dropped {
            self.request(ctx, state, Next::OpenPath(path));
        }
        if ctx.input(|i| i.viewport().close_requested()) && !self.may_close && state.history.is_changed() {
            ctx.send_viewport_cmd(egui::ViewportCommand::CancelClose);
            self.unsaved = Some(Next::Quit);
        }
    }

    fn type_path(&mut self, ask: Ask, why: &str) {
        let name = match &ask {
            Ask::Open | Ask::Import => String::new(),
            Ask::Save(name) | Ask::Export(name) | Ask::Pack(name) => name.clone(),
        };
        self.typing = Some((ask, name, why.to_owned()));
    }

    /// Shows the dialogs of this file.
    pub fn show(&mut self, ctx: &Context, state: &mut State) {
        self.show_waiting(ctx);
        self.show_typing(ctx, state);
        self.show_unsaved(ctx, state);
        self.show_doubt(ctx, state);
        self.show_report(ctx);
    }

    /// Goes on with what a crash left behind: in no file as it is, to be saved in the file that it was of.
    pub fn recover(&mut self, state: &mut State, installation: Installation, path: Option<PathBuf>) {
        let mark = path.as_deref().and_then(Mark::of_file);
        self.show_document(state, super::laid_out(installation), path);
        // The journal goes on by itself.
        self.moved = false;
        self.mark = mark;
        state.history.mark_unsaved();
        state.say("recovered; not saved yet");
    }

    fn show_waiting(&mut self, ctx: &Context) {
        let Some(ask) = self.waiting.clone() else { return };
        let mut typed = false;
        let modal = egui::Modal::new(egui::Id::unique("waiting for a file dialog")).show(ctx, |ui| {
            ui.set_width(340.0);
            widgets::head(ui, ask.title());
            ui.label("Waiting for the desktop's file dialog. It may be behind this window.");
            ui.horizontal(|ui| {
                typed = ui.button("Type the path instead").clicked();
                if ui.button("Cancel").clicked() {
                    ui.close();
                }
            });
        });
        if typed {
            self.dialogs.forget();
            self.waiting = None;
            self.type_path(ask, "");
        } else if modal.should_close() {
            self.dialogs.forget();
            self.waiting = None;
            self.after_save = None;
        }
    }

    fn show_typing(&mut self, ctx: &Context, state: &mut State) {
        let Some((ask, text, why)) = &mut self.typing else { return };
        let (mut take, mut close) = (false, false);
        let modal = egui::Modal::new(egui::Id::unique("type a path")).show(ctx, |ui| {
            ui.set_width(420.0);
            widgets::head(ui, ask.title());
            if !why.is_empty() {
                let text = widgets::faint(ui, format!("{}: type the path.", widgets::sentence(why)));
                ui.label(text);
            }
            let field = ui.add(egui::TextEdit::singleline(text).desired_width(f32::INFINITY));
            let field = field.accessible_name("Path of the file");
            let enter = field.lost_focus() && ui.input(|i| i.key_pressed(egui::Key::Enter));
            if !field.has_focus() && !enter && ui.memory(|m| m.focused().is_none()) {
                field.request_focus();
            }
            ui.horizontal(|ui| {
                let named = !text.trim().is_empty();
                take = (ui.add_enabled(named, egui::Button::new("Use this path")).clicked() || enter) && named;
                close = ui.button("Cancel").clicked();
            });
        });
        if take {
            if let Some((ask, text, _)) = self.typing.take() {
                let path = PathBuf::from(text.trim());
                let target = match &ask {
                    Ask::Save(_) => with_ending(path.clone(), "hullwire"),
                    Ask::Export(_) => with_ending(path.clone(), "csv"),
                    Ask::Pack(_) => with_ending(path.clone(), "pdf"),
                    Ask::Open | Ask::Import => PathBuf::new(),
                };
                if Mark::of_file(&target).is_some() && state.path.as_ref() != Some(&target) {
                    self.doubt = Some(Doubt::Replace(ask, target));
                } else {
                    self.answered(ctx, state, &ask, path);
                }
            }
        } else if close || modal.should_close() {
            self.typing = None;
            self.after_save = None;
        }
    }

    fn show_unsaved(&mut self, ctx: &Context, state: &mut State) {
        let Some(next) = self.unsaved.clone() else { return };
        let mut answer = None;
        let modal = egui::Modal::new(egui::Id::unique("unsaved changes")).show(ctx, |ui| {
            ui.set_width(360.0);
            widgets::head(ui, "Save the changes first?");
            let doc = state.installation();
            let name = if doc.name.is_empty() { "This drawing" } else { &doc.name };
            ui.label(format!("{name} has changes that are in no file."));
            ui.horizontal(|ui| {
                for (i, word) in ["Save", "Discard", "Cancel"].into_iter().enumerate() {
                    if ui.button(word).accessible_name(format!("{word}: unsaved changes")).clicked() {
                        answer = Some(i);
                    }
                }
            });
        });
        match answer.or(modal.should_close().then_some(2)) {
            Some(0) => {
                self.unsaved = None;
                self.after_save = Some(next);
                self.save(ctx, state);
            }
            Some(1) => {
                self.unsaved = None;
                self.go(ctx, state, next);
            }
            Some(_) => self.unsaved = None,
            None => {}
        }
    }

    fn show_report(&mut self, ctx: &Context) {
        let Some(report) = self.report.clone() else { return };
        let modal = egui::Modal::new(egui::Id::unique("report")).show(ctx, |ui| {
            ui.set_width(560.0);
            widgets::head(ui, &report.title);
            let room = ctx.content_rect().height() * 0.6;
            egui::ScrollArea::vertical().max_height(room).show(ui, |ui| {
                for line in &report.lines {
                    ui.label(RichText::new(line).font(theme::regular(theme::DATA)));
                }
            });
            ui.horizontal(|ui| {
                if ui.button("Close").clicked() {
                    ui.close();
                }
                if ui.button("Copy the text").clicked() {
                    ui.ctx().copy_text(report.lines.join("\n"));
                }
            });
        });
        if modal.should_close() {
            self.report = None;
        }
    }
}
