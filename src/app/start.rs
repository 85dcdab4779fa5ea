//! The start view: files opened last with thumbnails, the samples, and a first drawing from a few answers.

use super::canvas;
use super::first::{self, Answers, OwnSource};
use super::{theme, widgets};
use crate::diagram::{self, Scene};
use crate::installation::{Installation, Part, System};
use crate::network;
use crate::store::{self, path_text};
use crate::tables;
use egui::accesskit::Role;
use egui::{Context, RichText, Sense, Ui, WidgetInfo, vec2};
use std::collections::BTreeSet;
use std::path::{Path, PathBuf};
use std::sync::mpsc::{Receiver, channel};

/// Size of a thumbnail, in points.
const THUMB: egui::Vec2 = vec2(128.0, 76.0);

/// What was chosen.
pub enum Choice {
    /// A file that was open before.
    File(PathBuf),
    /// A sample, or a drawing made of the answers.
    Drawing(Box<Installation>),
}

/// A file that was open before, and its drawing once it was read; `None` in it where it cannot be read.
struct Recent {
    path: PathBuf,
    scene: Option<Option<Box<Scene>>>,
}

/// The start view.
#[derive(Default)]
pub struct Start {
    open: bool,
    recent: Vec<Recent>,
    scenes: Option<Receiver<(usize, Option<Box<Scene>>)>>,
    answers: Answers,
    search: String,
    chosen: BTreeSet<String>,
}

/// Reads the drawings of the files on a thread of its own; the window does not wait.
fn read_all(paths: Vec<PathBuf>, ctx: &Context) -> Receiver<(usize, Option<Box<Scene>>)> {
    let (send, receive) = channel();
    let ctx = ctx.clone();
    let work = move || {
        for (i, path) in paths.into_iter().enumerate() {
            let read = super::door::behind("a thumbnail", || {
                let mut doc = store::open(&path).ok()?.installation;
                doc = super::laid_out(doc);
                let solution = network::solve(&doc, 0);
                let options = diagram::Options::default();
                Some(Box::new(diagram::scene(&doc, &solution, &diagram::Overlay::default(), &options)))
            });
            if send.send((i, read.ok().flatten())).is_err() {
                return;
            }
            ctx.request_repaint();
        }
    };
    // Without a thread there are no thumbnails, only names.
    drop(std::thread::Builder::new().name("thumbnails".to_owned()).spawn(work));
    receive
}

impl Start {
    /// Opens it.
    pub fn open(&mut self, ctx: &Context, recent: &[PathBuf], system: System) {
        self.open = true;
        self.recent = recent.iter().map(|path| Recent { path: path.clone(), scene: None }).collect();
        self.scenes = Some(read_all(recent.to_vec(), ctx));
        self.answers = Answers { system, inlet: true, ..Answers::default() };
        self.search.clear();
        self.chosen.clear();
    }

    /// True while it is open.
    #[must_use]
    pub fn is_open(&self) -> bool {
        self.open
    }

    /// Shows it; gives what was chosen.
    pub fn show(&mut self, ctx: &Context, own: &[Part]) -> Option<Choice> {
        if !self.open {
            return None;
        }
        if let Some(scenes) = &self.scenes {
            for (i, scene) in scenes.try_iter() {
                if let Some(recent) = self.recent.get_mut(i) {
                    recent.scene = Some(scene);
                }
            }
        }
        let mut choice = None;
        let room = ctx.content_rect().size();
        let modal = egui::Modal::new(egui::Id::unique("start")).show(ctx, |ui| {
            ui.set_width((room.x - 80.0).min(880.0));
            ui.horizontal(|ui| {
                widgets::head(ui, "Start");
                ui.with_layout(egui::Layout::right_to_left(egui::Align::Center), |ui| {
                    if ui.button("Close").accessible_name("Close the start view").clicked() {
                        ui.close();
                    }
                });
            });
            let high = room.y * 0.74;
            egui::ScrollArea::vertical().max_height(high).min_scrolled_height(high).show(ui, |ui| {
                ui.columns(2, |columns| {
                    choice = self.files(&mut columns[0]);
                    if let Some(made) = self.questions(&mut columns[1], own) {
                        choice = Some(made);
                    }
                });
                widgets::keep_focus_in_sight(ui);
            });
        });
        if modal.should_close() || choice.is_some() {
            self.open = false;
            self.scenes = None;
        }
        choice
    }

    fn files(&self, ui: &mut Ui) -> Option<Choice> {
        let mut choice = None;
        ui.label(widgets::strong("Opened last"));
        if self.recent.is_empty() {
            let text = widgets::faint(ui, "Nothing yet. What you open or save is listed here.");
            ui.label(text);
        }
        for recent in &self.recent {
            if recent_row(ui, recent) {
                choice = Some(Choice::File(recent.path.clone()));
            }
        }
        ui.add_space(10.0);
        ui.label(widgets::strong("Samples"));
        for sample in store::SAMPLES {
            let button = ui.button(sample.name).on_hover_text(sample.about);
            if button.accessible_name(format!("Sample: {}", sample.name)).clicked()
                && let Ok(opened) = sample.open()
            {
                choice = Some(Choice::Drawing(Box::new(opened.installation)));
            }
        }
        choice
    }

    fn questions(&mut self, ui: &mut Ui, own: &[Part]) -> Option<Choice> {
        ui.label(widgets::strong("A first drawing of your own boat"));
        let answers = &mut self.answers;
        let name = ui.label("Name of the boat").id;
        ui.add(egui::TextEdit::singleline(&mut answers.name).desired_width(220.0)).labelled_by(name);
        ui.label("Supply");
        ui.horizontal_wrapped(|ui| {
            for &system in System::ALL {
                ui.radio_value(&mut answers.system, system, system.name());
            }
        });
        ui.checkbox(&mut answers.inlet, "There is a shore inlet");
        ui.label("The boat's own source");
        ui.horizontal_wrapped(|ui| {
            for own in OwnSource::ALL {
                ui.radio_value(&mut answers.own, own, own.name());
            }
        });
        ui.label("What draws current");
        let field = egui::TextEdit::singleline(&mut self.search).hint_text("find an appliance").desired_width(220.0);
        ui.add(field).accessible_name("Find an appliance");
        let wanted = self.search.trim().to_lowercase();
        let typical: Vec<Part> = tables::get().appliances().iter().map(super::locker::typical_part).collect();
        let all: Vec<&Part> = own.iter().chain(&typical).collect();
        egui::ScrollArea::vertical().max_height(190.0).id_salt("appliances").show(ui, |ui| {
            for part in all.iter().filter(|p| p.label.to_lowercase().contains(&wanted)) {
                let mut on = self.chosen.contains(&part.label);
                if ui.checkbox(&mut on, &part.label).changed() {
                    if on {
                        self.chosen.insert(part.label.clone());
                    } else {
                        self.chosen.remove(&part.label);
                    }
                }
            }
            widgets::keep_focus_in_sight(ui);
        });
        let hint = "Sizes, lengths and ratings are not known then; the survey says what to fill in.";
        let hint = widgets::small(ui, hint);
        ui.label(hint);
        let possible = answers.inlet || answers.own != OwnSource::None;
        if !ui.add_enabled(possible, egui::Button::new("Lay out the first drawing")).clicked() {
            return None;
        }
        let mut seen = BTreeSet::new();
        let chosen = all.into_iter().filter(|p| self.chosen.contains(&p.label) && seen.insert(p.label.clone()));
        answers.appliances = chosen.cloned().collect();
        Some(Choice::Drawing(Box::new(first::drawing(answers))))
    }
}

fn recent_row(ui: &mut Ui, recent: &Recent) -> bool {
    let t = theme::tokens(ui);
    let (rect, response) = ui.allocate_exact_size(vec2(ui.available_width(), THUMB.y + 10.0), Sense::click());
    let name = recent.path.file_name().map_or_else(String::new, |n| path_text(Path::new(n)));
    response.widget_info(|| WidgetInfo::labeled(Role::Button, true, format!("Open {name}")));
    if response.hovered() {
        ui.painter().rect_filled(rect, 6.0, t.hover);
    }
    let thumb = egui::Rect::from_min_size(rect.min + vec2(5.0, 5.0), THUMB);
    ui.painter().rect(thumb, 4.0, t.paper, egui::Stroke::new(1.0, t.edge), egui::StrokeKind::Inside);
    let words = match &recent.scene {
        Some(Some(scene)) => {
            canvas::thumbnail(ui, thumb.shrink(2.0), scene);
            ""
        }
        Some(None) => "cannot be read now",
        None => "",
    };
    let folder = recent.path.parent().map_or_else(String::new, path_text);
    let beside = egui::Rect::from_min_max(thumb.right_top() + vec2(10.0, 0.0), rect.max);
    let mut ui = ui.new_child(egui::UiBuilder::new().max_rect(beside));
    ui.add(egui::Label::new(RichText::new(name).font(theme::bold(theme::DATA))).truncate().selectable(false));
    for text in [folder.as_str(), words] {
        let text = widgets::small(&ui, text);
        ui.add(egui::Label::new(text).truncate().selectable(false));
    }
    widgets::focus_ring(&ui, &response, 6.0);
    response.clicked()
}
