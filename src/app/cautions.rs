//! The standing cautions over the canvas, DANGER first. Read ones fold to a line that keeps its signal word, for as long
//! as the window is open; that is never stored, and a hazard that is drawn anew opens its caution again.

use super::state::State;
use super::{theme, widgets};
use crate::survey::{Caution, cautions};
use egui::{Frame, Margin, RichText, Sense, Stroke, Ui, vec2};
use std::collections::BTreeSet;

/// What the person has read.
#[derive(Default)]
pub struct Cautions {
    read: BTreeSet<&'static str>,
    /// The folded ones are shown in full for the moment.
    reopened: bool,
}

impl Cautions {
    /// Shows the banners. With large text they would leave no room for anything else: the signal words stand, the rest
    /// scrolls.
    pub fn show(&mut self, ui: &mut Ui, state: &State) {
        if widgets::is_narrow(ui.ctx()) {
            let most = (ui.available_height() * 0.35).max(64.0);
            let scroll = egui::ScrollArea::vertical().id_salt("cautions").max_height(most);
            scroll.show(ui, |ui| self.banners(ui, state));
        } else {
            self.banners(ui, state);
        }
    }

    fn banners(&mut self, ui: &mut Ui, state: &State) {
        let all = cautions(state.installation());
        // What is no longer drawn is forgotten, so that it opens again when it comes back.
        self.read.retain(|id| all.iter().any(|c| c.id == *id));
        let (folded, open): (Vec<&Caution>, Vec<&Caution>) = all.iter().partition(|c| self.read.contains(c.id));
        if let Some(first) = open.first() {
            self.banner(ui, first, open.len(), folded.len());
        } else if self.reopened {
            self.everything(ui, &all);
        } else {
            self.lines(ui, &folded);
        }
    }

    fn frame(ui: &Ui) -> Frame {
        let t = theme::tokens(ui);
        Frame::new()
            .fill(t.caution)
            .stroke(Stroke::new(1.0, t.caution_edge))
            .corner_radius(6)
            .inner_margin(Margin::symmetric(10, 7))
    }

    /// One caution in full; those after it wait their turn.
    fn banner(&mut self, ui: &mut Ui, caution: &Caution, waiting: usize, folded: usize) {
        let t = theme::tokens(ui);
        Self::frame(ui).show(ui, |ui| {
            ui.set_width(ui.available_width());
            ui.horizontal_top(|ui| {
                let (rect, _) = ui.allocate_exact_size(vec2(24.0, 30.0), Sense::hover());
                widgets::sign(ui.painter(), rect.center(), 10.0, caution.severity, t);
                let width = ui.available_width() - 112.0;
                ui.vertical(|ui| {
                    ui.set_width(width.max(200.0));
                    ui.spacing_mut().item_spacing.y = 2.0;
                    let head = RichText::new(caution.line()).font(theme::bold(theme::BODY)).color(t.ink);
                    ui.label(head);
                    let rest = format!("{} {}", caution.consequence, caution.avoid);
                    ui.label(RichText::new(rest).font(theme::regular(theme::DATA)).color(t.ink));
                });
                ui.vertical(|ui| {
                    let read = widgets::link(ui, "I have read this").on_hover_text(caution.source);
                    if read.clicked() {
                        self.read.insert(caution.id);
                        self.reopened = false;
                    }
                    if waiting > 1 {
                        let text = format!("{} more after it", waiting - 1);
                        ui.label(RichText::new(text).font(theme::regular(theme::SMALL)).color(t.ink));
                    } else if folded > 0 {
                        let text = format!("{folded} read");
                        ui.label(RichText::new(text).font(theme::regular(theme::SMALL)).color(t.ink));
                    }
                });
            });
        });
    }

    /// The folded ones as one line, each with its signal word.
    fn lines(&mut self, ui: &mut Ui, folded: &[&Caution]) {
        let t = theme::tokens(ui);
        if folded.is_empty() {
            return;
        }
        Self::frame(ui).inner_margin(Margin::symmetric(10, 3)).show(ui, |ui| {
            ui.horizontal_wrapped(|ui| {
                ui.spacing_mut().item_spacing = vec2(4.0, 2.0);
                for severity in crate::units::Severity::ALL {
                    let of_it: Vec<&&Caution> = folded.iter().filter(|c| c.severity == severity).collect();
                    if of_it.is_empty() {
                        continue;
                    }
                    let (rect, _) = ui.allocate_exact_size(vec2(17.0, 17.0), Sense::hover());
                    widgets::sign(ui.painter(), rect.center(), 7.0, severity, t);
                    let word = RichText::new(severity.word()).font(theme::bold(theme::DATA)).color(t.ink);
                    ui.label(word);
                    let names: Vec<&str> = of_it.iter().map(|c| c.hazard.trim_end_matches('.')).collect();
                    let text = RichText::new(names.join(" · ")).font(theme::regular(theme::DATA)).color(t.ink);
                    ui.label(text);
                }
                if widgets::link(ui, "Read again").clicked() {
                    self.reopened = true;
                }
            });
        });
    }

    fn everything(&mut self, ui: &mut Ui, all: &[Caution]) {
        let t = theme::tokens(ui);
        if all.is_empty() {
            self.reopened = false;
            return;
        }
        Self::frame(ui).show(ui, |ui| {
            egui::ScrollArea::vertical().max_height(260.0).show(ui, |ui| {
                for caution in all {
                    ui.label(RichText::new(caution.line()).font(theme::bold(theme::BODY)).color(t.ink));
                    let rest = format!("{} {}", caution.consequence, caution.avoid);
                    ui.label(RichText::new(rest).font(theme::regular(theme::DATA)).color(t.ink));
                    ui.label(RichText::new(caution.source).font(theme::regular(theme::SMALL)).color(t.ink));
                    ui.add_space(4.0);
                }
                widgets::keep_focus_in_sight(ui);
            });
            if widgets::link(ui, "Fold the cautions").clicked() {
                self.reopened = false;
            }
        });
    }
}
