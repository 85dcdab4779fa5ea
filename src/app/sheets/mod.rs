//! The sheets view: what goes on paper, as it will be printed; size and kinds of sheet; revisions; writing the pack.

mod choice;
mod export;
mod preview;
mod revise;

use super::canvas::View;
use super::files::Files;
use super::state::State;
use super::worker::Worker;
use super::{theme, widgets};
use crate::installation::Installation;
use crate::sheets::{self, Format, Kind, Options, Orientation, Pack, Paper, Size};
use choice::Choice;
use egui::{CentralPanel, ComboBox, Frame, Margin, Panel, RichText, ScrollArea, Ui};
use export::{Export, Outcome};
use preview::Zoom;
use revise::Issuing;
use std::path::PathBuf;
use std::sync::Arc;

/// Seconds without a change before the pages are made anew.
const REST_S: f64 = 0.25;

/// What the pages follow from.
#[derive(Clone)]
struct Basis {
    doc: Arc<Installation>,
    options: Options,
}

impl Basis {
    fn is(&self, other: &Self) -> bool {
        Arc::ptr_eq(&self.doc, &other.doc) && self.options == other.options
    }
}

/// The view.
pub struct SheetsView {
    choice: Choice,
    /// The file that the choice is of; `None` before the first frame.
    of: Option<Option<PathBuf>>,
    /// What the pages are to be made of, and since when.
    wanted: Option<(Basis, f64)>,
    /// True once the pages of `wanted` are asked for.
    asked: bool,
    worker: Option<Worker<Pack>>,
    pack: Option<Pack>,
    zoom: Zoom,
    scale: f64,
    go_to: Option<usize>,
    export: Option<Export>,
    written: Option<PathBuf>,
    failed: Option<String>,
    issuing: Option<Issuing>,
}

impl Default for SheetsView {
    fn default() -> Self {
        Self {
            choice: Choice::default(),
            of: None,
            wanted: None,
            asked: false,
            worker: None,
            pack: None,
            zoom: Zoom::Page,
            scale: 1.0,
            go_to: None,
            export: None,
            written: None,
            failed: None,
            issuing: None,
        }
    }
}

impl SheetsView {
    /// Shows the view.
    pub fn show(&mut self, ui: &mut Ui, state: &mut State, files: &mut Files) {
        if self.of.as_ref() != Some(&state.path) {
            self.choice = Choice::recall(ui.ctx(), state.path.as_deref(), state.feet);
            self.of = Some(state.path.clone());
            self.written = None;
        }
        self.follow(ui, state);
        self.take_path(ui, state, files);
        let t = theme::tokens(ui);
        let frame = Frame::new().fill(t.panel).inner_margin(Margin::symmetric(14, 10));
        let left = Panel::left("sheets choice").resizable(true).default_size(284.0).size_range(230.0..=380.0);
        left.frame(frame).show(ui, |ui| {
            ScrollArea::vertical().id_salt("sheets choice").auto_shrink(false).show(ui, |ui| {
                self.choices(ui, state);
                self.writing(ui, state, files);
                self.revisions(ui, state);
                widgets::keep_focus_in_sight(ui);
            });
        });
        CentralPanel::no_frame().show(ui, |ui| self.pages(ui));
        let ctx = ui.ctx().clone();
        if self.issuing.as_mut().is_some_and(|dialog| !dialog.show(&ctx, state)) {
            self.issuing = None;
        }
    }

    /// True while a dialog of the view is open.
    #[must_use]
    pub const fn is_busy(&self) -> bool {
        self.issuing.is_some()
    }

    /// Makes the pages beside the window once choice and drawing are at rest.
    fn follow(&mut self, ui: &Ui, state: &State) {
        let now = ui.input(|i| i.time);
        if let Some(pack) = self.worker.as_mut().and_then(Worker::poll) {
            self.pack = Some(pack);
            self.worker = None;
        }
        if self.worker.as_ref().is_some_and(Worker::is_over) {
            self.worker = None;
            self.failed = Some("The pages were not made: an error inside the program stopped it.".to_owned());
        }
        let Some(options) = self.choice.options(state.installation(), state.condition) else {
            (self.wanted, self.worker, self.pack) = (None, None, None);
            return;
        };
        let basis = Basis { doc: Arc::clone(state.installation()), options };
        if !self.wanted.as_ref().is_some_and(|(wanted, _)| wanted.is(&basis)) {
            // The first pages come at once.
            let since = if self.wanted.is_none() { now - REST_S } else { now };
            self.wanted = Some((basis, since));
            self.worker = None;
            self.asked = false;
        }
        let Some((basis, since)) = &self.wanted else { return };
        if self.asked {
            return;
        }
        if now - since < REST_S {
            ui.ctx().request_repaint_after(std::time::Duration::from_secs_f64(REST_S));
            return;
        }
        let basis = basis.clone();
        self.asked = true;
        self.worker = Some(Worker::start("sheets", ui.ctx(), move |line| {
            let pack = sheets::pack(&basis.doc, &basis.options, &mut |_, _| line.go_on());
            if let Some(pack) = pack {
                line.tell(pack);
            }
        }));
    }

    fn choices(&mut self, ui: &mut Ui, state: &mut State) {
        let before = self.choice.clone();
        widgets::head(ui, "Sheets");
        let mut paper = self.choice.paper();
        chooser(ui, "Size", paper.size, &Size::ALL, Size::name, &mut |size| paper = Paper::usual(size));
        chooser(ui, "Orientation", paper.orientation, &Orientation::ALL, Orientation::name, &mut |orientation| {
            paper = Paper { orientation, ..paper };
        });
        self.choice.set_paper(paper);
        let doc = Arc::clone(state.installation());
        let names: Vec<&str> = doc.conditions.iter().map(|c| c.name.as_str()).collect();
        let all: Vec<usize> = (0..names.len()).collect();
        let mut condition = state.condition;
        let name = |i: usize| names.get(i).copied().unwrap_or_default();
        chooser(ui, "Condition", condition, &all, name, &mut |chosen| condition = chosen);
        state.condition = condition;
        ui.add_space(6.0);
        ui.label(widgets::strong("Which sheets"));
        ui.spacing_mut().interact_size.y = 22.0;
        for kind in Kind::ALL {
            let mut wanted = self.choice.wants(kind);
            let pages = self.pack.as_ref().map_or(0, |p| p.kinds.iter().filter(|k| **k == kind).count());
            let text = if pages > 1 { format!("{} · {pages}", kind.heading()) } else { kind.heading().to_owned() };
            let row = ui.checkbox(&mut wanted, RichText::new(text).font(theme::regular(theme::DATA)));
            if row.accessible_name(format!("Sheet: {}", kind.heading())).changed() {
                self.choice.set_wants(kind, wanted);
            }
        }
        ui.add_space(2.0);
        ui.checkbox(&mut self.choice.feet, RichText::new("Lengths in feet").font(theme::regular(theme::DATA)));
        if self.choice != before {
            self.choice.keep(ui.ctx(), state.path.as_deref());
        }
    }

    /// The path that was answered to “Export the sheets”.
    fn take_path(&mut self, ui: &Ui, state: &State, files: &mut Files) {
        let Some(path) = files.take_pack_path() else { return };
        let named = path.extension().is_some() || export::format(&path) == Ok(Format::Folder);
        let path = if named { path } else { path.with_extension(Format::Pdf.ending()) };
        (self.written, self.failed) = (None, None);
        match (export::format(&path), self.choice.options(state.installation(), state.condition)) {
            (Ok(format), Some(options)) => {
                self.export = Some(Export::start(ui.ctx(), state, options, path, format));
            }
            (Err(why), _) => self.failed = Some(format!("Not written: {why}")),
            (_, None) => self.failed = Some("Not written: no sheet is chosen".to_owned()),
        }
    }

    fn writing(&mut self, ui: &mut Ui, state: &State, files: &mut Files) {
        ui.add_space(8.0);
        let t = theme::tokens(ui);
        match self.export.as_mut().map(|export| export.show(ui)) {
            Some(None) => return,
            Some(Some(outcome)) => {
                self.export = None;
                match outcome {
                    Outcome::Written(path) => {
                        if self.choice.open
                            && let Err(why) = files.open_outside(&path)
                        {
                            self.failed = Some(format!("Written, and not opened: {why}"));
                        }
                        self.written = Some(path);
                    }
                    Outcome::Failed(why) => self.failed = Some(format!("Not written: {why}")),
                    Outcome::Stopped => self.failed = Some("Stopped; nothing was written".to_owned()),
                }
            }
            None => {}
        }
        let any = self.choice.options(state.installation(), state.condition).is_some();
        let button = egui::Button::new(widgets::strong("Export…").color(t.on_fed)).fill(t.fed);
        let button = button.min_size(egui::vec2(110.0, 30.0));
        let button = ui.add_enabled(any, button);
        let tip = format!(
            "The ending says the format: {}; a name that ends in / is a folder of CSV files.",
            export::endings()
        );
        if button.accessible_name("Export the sheets").on_hover_text(&tip).clicked() {
            files.ask_pack(ui.ctx(), state);
        }
        ui.label(widgets::small(ui, tip));
        let before = self.choice.open;
        ui.checkbox(&mut self.choice.open, RichText::new("Open it afterwards").font(theme::regular(theme::DATA)));
        if before != self.choice.open {
            self.choice.keep(ui.ctx(), state.path.as_deref());
        }
        if let Some(why) = &self.failed {
            ui.colored_label(t.over, why);
        }
        if let Some(path) = self.written.clone() {
            ui.label(format!("Written: {}", path.display()));
            if widgets::link(ui, "Open it").accessible_name("Open the written file").clicked()
                && let Err(why) = files.open_outside(&path)
            {
                self.failed = Some(format!("Not opened: {why}"));
            }
        }
    }

    fn revisions(&mut self, ui: &mut Ui, state: &State) {
        ui.add_space(10.0);
        ui.label(widgets::strong("Revisions"));
        revise::list(ui, state.installation());
        ui.add_space(4.0);
        if ui.button("Issue a revision…").clicked() {
            self.issuing = Some(Issuing::open(ui.ctx(), state.installation()));
        }
        ui.add_space(8.0);
    }

    fn pages(&mut self, ui: &mut Ui) {
        let t = theme::tokens(ui);
        let frame = Frame::new().fill(t.panel).inner_margin(Margin::symmetric(12, 4));
        Panel::top("sheets zoom").resizable(false).exact_size(36.0).frame(frame).show(ui, |ui| {
            ui.horizontal_centered(|ui| self.bar(ui));
        });
        let Some(pack) = &self.pack else {
            ui.centered_and_justified(|ui| {
                let text = if self.wanted.is_none() { "No sheet is chosen." } else { "Making the sheets…" };
                ui.label(widgets::faint(ui, text));
            });
            return;
        };
        let (scale, clicked) = preview::show(ui, pack, self.zoom, self.go_to.take());
        self.scale = scale;
        if let Some(page) = clicked {
            self.zoom = if self.zoom == Zoom::Width { Zoom::Page } else { Zoom::Width };
            self.go_to = Some(page);
            ui.ctx().request_repaint();
        }
    }

    fn bar(&mut self, ui: &mut Ui) {
        let count = self.pack.as_ref().map_or(0, |p| p.pages.len());
        let text = if count == 1 { "1 sheet".to_owned() } else { format!("{count} sheets") };
        ui.label(widgets::strong(text));
        if self.worker.is_some() {
            ui.label(widgets::faint(ui, "making them anew…"));
        }
        ui.with_layout(egui::Layout::right_to_left(egui::Align::Center), |ui| {
            let natural = View::NATURAL;
            let step = |scale: f64, factor: f64| (scale * factor).clamp(preview::LIMITS.0, preview::LIMITS.1);
            if ui.button("+").accessible_name("Sheets larger").clicked() {
                self.zoom = Zoom::Fixed(step(self.scale, 1.25));
            }
            ui.label(format!("{:.0} %", 100.0 * self.scale / natural));
            if ui.button("−").accessible_name("Sheets smaller").clicked() {
                self.zoom = Zoom::Fixed(step(self.scale, 0.8));
            }
            for (zoom, word) in [(Zoom::Width, "Width"), (Zoom::Page, "Whole sheet")] {
                if ui.selectable_label(self.zoom == zoom, word).clicked() {
                    self.zoom = zoom;
                }
            }
        });
        let factor = ui.input(|i| i.zoom_delta());
        if (factor - 1.0).abs() > 1e-3 {
            self.zoom = Zoom::Fixed((self.scale * f64::from(factor)).clamp(preview::LIMITS.0, preview::LIMITS.1));
        }
    }
}

/// A row with a list to choose from.
fn chooser<T: Copy + PartialEq, S: Into<String>>(
    ui: &mut Ui,
    name: &str,
    now: T,
    all: &[T],
    words: impl Fn(T) -> S,
    choose: &mut dyn FnMut(T),
) {
    ui.horizontal(|ui| {
        let label = widgets::faint(ui, name);
        let left = ui.cursor().left();
        ui.label(label);
        ui.add_space((left + 92.0 - ui.cursor().left()).max(0.0));
        let combo = ComboBox::from_id_salt(("sheets", name)).width(ui.available_width()).truncate();
        let shown = RichText::new(words(now)).font(theme::regular(theme::DATA));
        let response = combo.selected_text(shown).show_ui(ui, |ui| {
            for value in all {
                if ui.selectable_label(*value == now, words(*value).into()).clicked() {
                    choose(*value);
                }
            }
        });
        response.response.accessible_name(format!("Sheets, {}", name.to_lowercase()));
    });
}
