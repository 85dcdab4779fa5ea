//! Sources side by side: those of the drawing and the candidates kept with it, worked out on a thread of its own.

use crate::app::state::State;
use crate::app::worker::Worker;
use crate::app::{theme, widgets};
use crate::installation::{Candidate, Edit, Installation, PartId, Property};
use crate::loads::comparison::{Contender, compare, words};
use crate::loads::placing::ASHORE;
use egui::{RichText, Ui};
use std::sync::Arc;

/// What the search for combinations may cost for each source and condition.
const EFFORT: usize = 60_000;
/// Distance of the noise that is compared, metres: what data sheets mostly state.
const DISTANCE_M: f64 = 7.0;
/// Widest cell of the comparison, in points.
const CELL_WIDTH: f32 = 230.0;

/// Figures of a candidate that are edited here.
const FIELDS: [(Property, &str, f32); 12] = [
    (Property::RunW, "running W", 56.0),
    (Property::StartW, "starting W", 56.0),
    (Property::StartVa, "peak VA", 56.0),
    (Property::RatingA, "own breaker A", 44.0),
    (Property::FuelCurve, "% load : L/h", 170.0),
    (Property::TankL, "L in the tank", 48.0),
    (Property::WeightKg, "kg", 44.0),
    (Property::NoiseDb, "dB(A)", 44.0),
    (Property::NoiseM, "m from it", 40.0),
    (Property::SizeMm, "mm, length × width × height", 110.0),
    (Property::AirGapMm, "mm for air", 48.0),
    (Property::ExhaustGapMm, "mm at the exhaust", 48.0),
];

/// What the comparison remembers between frames.
#[derive(Default)]
pub struct Sources {
    work: Option<(Arc<Installation>, Worker<Vec<Contender>>)>,
    known: Option<(Arc<Installation>, Vec<Contender>)>,
    /// The field in which a person types, with what was typed.
    typed: Option<(usize, Property, String)>,
}

impl Sources {
    /// Shows the candidates and the comparison.
    pub fn show(&mut self, ui: &mut Ui, state: &mut State) {
        widgets::section(ui, "Sources side by side");
        let doc = state.installation().clone();
        let sources: Vec<PartId> = doc.parts.iter().filter(|(_, p)| p.kind.is_source()).map(|(id, _)| *id).collect();
        if sources.is_empty() {
            let text = widgets::faint(ui, "No source yet.");
            ui.label(text);
            return;
        }
        ui.horizontal_wrapped(|ui| {
            for id in sources {
                let tag = doc.tag(id);
                if ui.button(format!("Add a candidate for {tag}")).clicked()
                    && let Some(part) = doc.parts.get(&id)
                {
                    let name = format!("Offer {}", doc.candidates.len() + 1);
                    let one = Candidate { name, in_place_of: id, part: Arc::clone(part), pair: false };
                    let all = doc.candidates.iter().cloned().chain([one]).collect();
                    state.edit(&Edit::SetCandidates(all), None);
                }
            }
        });
        for n in 0..doc.candidates.len() {
            self.candidate(ui, state, &doc, n);
        }
        self.compared(ui, state, &doc);
    }

    fn candidate(&mut self, ui: &mut Ui, state: &mut State, doc: &Installation, n: usize) {
        let Some(candidate) = doc.candidates.get(n) else { return };
        let mut changed: Option<Candidate> = None;
        let mut removed = false;
        ui.horizontal_wrapped(|ui| {
            let name =
                self.field(ui, n, Property::Label, &candidate.name, 120.0, &format!("Candidate {}: name", n + 1));
            if let Some(name) = name {
                changed = Some(Candidate { name, ..candidate.clone() });
            }
            let place = format!("in place of {}", doc.tag(candidate.in_place_of));
            let text = widgets::faint(ui, place);
            ui.label(text);
            for (property, unit, width) in FIELDS {
                let applies = candidate.part.kind.properties().contains(&property);
                if !applies {
                    continue;
                }
                let held = candidate.part.get(property);
                let label = format!("{}: {unit}", candidate.name);
                if let Some(typed) = self.field(ui, n, property, &held, width, &label) {
                    let mut part = (*candidate.part).clone();
                    match part.set(property, &typed, doc.system) {
                        Ok(()) => changed = Some(Candidate { part: Arc::new(part), ..candidate.clone() }),
                        Err(error) => state.refuse(format!("{unit}: {error}")),
                    }
                }
                let text = widgets::small(ui, unit);
                ui.label(text);
            }
            let mut pair = candidate.pair;
            let text = "two in parallel, made for it";
            let about = "Only where the sets are made to run in parallel and their maker says so.";
            if ui
                .checkbox(&mut pair, text)
                .on_hover_text(about)
                .accessible_name(format!("{}: {text}", candidate.name))
                .changed()
            {
                changed = Some(Candidate { pair, ..candidate.clone() });
            }
            removed = widgets::link(ui, "Remove").accessible_name(format!("Remove {}", candidate.name)).clicked();
        });
        let mut all = doc.candidates.clone();
        match (changed, removed) {
            (_, true) => {
                all.remove(n);
            }
            (Some(one), false) => all[n] = one,
            (None, false) => return,
        }
        state.edit(&Edit::SetCandidates(all), None);
    }

    /// A field that gives what was typed once it is left or Enter is pressed.
    fn field(
        &mut self,
        ui: &mut Ui,
        n: usize,
        property: Property,
        held: &str,
        width: f32,
        label: &str,
    ) -> Option<String> {
        let own = matches!(&self.typed, Some((at, p, _)) if *at == n && *p == property);
        let mut text = match &self.typed {
            Some((_, _, typed)) if own => typed.clone(),
            _ => held.to_owned(),
        };
        let id = egui::Id::unique(("candidate field", n, property.slug()));
        let response = ui.add(egui::TextEdit::singleline(&mut text).id(id).desired_width(width)).accessible_name(label);
        if response.lost_focus() && own {
            self.typed = None;
            return (text != held).then_some(text);
        }
        if response.has_focus() && (own || response.changed()) {
            self.typed = Some((n, property, text));
        }
        None
    }

    fn compared(&mut self, ui: &mut Ui, state: &State, doc: &Arc<Installation>) {
        if let Some((of, worker)) = &mut self.work {
            if let Some(found) = worker.poll() {
                self.known = Some((Arc::clone(of), found));
                self.work = None;
            } else {
                ui.horizontal(|ui| {
                    ui.label("Comparing …");
                });
            }
        }
        let fresh = self.known.as_ref().is_some_and(|(of, _)| Arc::ptr_eq(of, doc));
        ui.horizontal(|ui| {
            if self.work.is_none() && !fresh && ui.button("Compare the sources").clicked() {
                let asked = Arc::clone(doc);
                let worker = Worker::start("compare sources", ui.ctx(), move |line| {
                    line.tell(compare(&asked, EFFORT));
                });
                self.work = Some((Arc::clone(doc), worker));
            }
        });
        if let Some((of, all)) = &self.known {
            if !fresh {
                let text = widgets::faint(ui, "The drawing has changed since; the comparison below is of before.");
                ui.label(text);
            }
            side_by_side(ui, of, state.condition, all);
        }
    }
}

fn side_by_side(ui: &mut Ui, doc: &Installation, condition: usize, all: &[Contender]) {
    let mut lines = words::of_condition(doc, all, condition);
    lines.extend(words::of_sets(doc, all, DISTANCE_M));
    egui::ScrollArea::horizontal().id_salt("side by side").show(ui, |ui| {
        let grid = egui::Grid::new("side by side").striped(true).spacing([18.0, 4.0]).max_col_width(CELL_WIDTH);
        grid.show(ui, |ui| {
            ui.spacing_mut().interact_size.y = 20.0;
            ui.label("");
            for c in all {
                ui.label(RichText::new(&c.name).font(theme::bold(theme::DATA)));
            }
            ui.end_row();
            for line in &lines {
                ui.label(&line.title);
                for text in &line.cells {
                    ui.add(egui::Label::new(text).wrap());
                }
                ui.end_row();
            }
        });
        widgets::keep_focus_in_sight(ui);
    });
    if !doc.trays.is_empty() {
        let text = widgets::small(ui, ASHORE);
        ui.label(text);
    }
    for c in all {
        let new = c.conditions.get(condition).into_iter().flat_map(|s| s.newly_possible.iter().take(2));
        for parts in new {
            let names: Vec<&str> = parts.iter().filter_map(|id| doc.parts.get(id)).map(|p| p.title()).collect();
            ui.label(format!("{} lets run together: {}.", c.name, names.join(", ")));
        }
    }
}
