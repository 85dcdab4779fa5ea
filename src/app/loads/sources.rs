//! Sources side by side: those of the drawing and the candidates kept with it, worked out on a thread of its own.

use crate::app::state::State;
use crate::app::worker::Worker;
use crate::app::{theme, widgets};
use crate::installation::{Candidate, Edit, Installation, PartId, PartKind, Property};
use crate::loads::comparison::{Contender, Stand, compare};
use crate::units::{percent, trimmed, watts};
use egui::{RichText, Ui};
use std::sync::Arc;

/// What the search for combinations may cost for each source and condition.
const EFFORT: usize = 60_000;

/// Figures of a candidate that are edited here.
const FIELDS: [(Property, &str); 6] = [
    (Property::RunW, "running W"),
    (Property::StartW, "starting W"),
    (Property::StartVa, "peak VA"),
    (Property::RatingA, "own breaker A"),
    (Property::WeightKg, "kg"),
    (Property::NoiseDb, "dB(A)"),
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
            for (property, unit) in FIELDS {
                let applies = candidate.part.kind.properties().contains(&property);
                if !applies {
                    continue;
                }
                let held = candidate.part.get(property);
                let label = format!("{}: {unit}", candidate.name);
                if let Some(typed) = self.field(ui, n, property, &held, 62.0, &label) {
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

/// Whether something starts, and by which margin.
fn start(holds: Option<bool>, margin: Option<f64>) -> String {
    match (holds, margin) {
        (Some(true), Some(w)) => format!("starts, {} left", watts(w)),
        (Some(false), Some(w)) if w < 0.0 => format!("does not start, {} short", watts(-w)),
        (Some(false), _) => "does not start".to_owned(),
        (Some(true), None) => "starts".to_owned(),
        (None, _) => "not known".to_owned(),
    }
}

/// One line of the comparison: its title and the text for a source.
type Line<'a> = (&'a str, Box<dyn Fn(&Stand) -> String + 'a>);

fn side_by_side(ui: &mut Ui, doc: &Installation, condition: usize, all: &[Contender]) {
    let shown = |v: Option<f64>, unit: fn(f64) -> String| unit(v.unwrap_or(f64::NAN));
    let lines: Vec<Line<'_>> = vec![
        ("Load", Box::new(move |s| format!("{} ({})", shown(s.watts, watts), shown(s.load_percent, percent)))),
        ("Reserve", Box::new(move |s| shown(s.reserve_w, watts))),
        ("Best starting order", Box::new(|s| start(s.starts, s.start_margin_w))),
        (
            "Worst restart by itself",
            Box::new(|s| match (s.restarts, s.restart_margin_w) {
                (None, None) => "nothing cycles, or not known".to_owned(),
                (holds, margin) => start(holds, margin),
            }),
        ),
        (
            "Weakest outlet",
            Box::new(|s| {
                s.weakest.map_or_else(|| "not known".to_owned(), |(id, p)| format!("{} {}", doc.tag(id), percent(p)))
            }),
        ),
        ("Mean load", Box::new(move |s| shown(s.mean_w, watts))),
        (
            "Combinations",
            Box::new(|s| s.combinations.map_or_else(|| "too many to count".to_owned(), |n| n.to_string())),
        ),
        ("Newly possible", Box::new(|s| s.newly_possible.len().to_string())),
    ];
    egui::ScrollArea::horizontal().id_salt("side by side").show(ui, |ui| {
        egui::Grid::new("side by side").striped(true).spacing([18.0, 4.0]).show(ui, |ui| {
            ui.label("");
            for c in all {
                ui.label(RichText::new(&c.name).font(theme::bold(theme::DATA)));
            }
            ui.end_row();
            for (title, text) in &lines {
                ui.label(*title);
                for c in all {
                    let stand = c.conditions.get(condition);
                    ui.label(stand.map_or_else(String::new, text));
                }
                ui.end_row();
            }
            ui.label("Fuel");
            for c in all {
                let rate =
                    c.conditions.get(condition).and_then(|s| s.endurance.as_ref()).and_then(|e| e.litres_per_hour);
                let none = if c.part.kind == PartKind::Generator { "not known" } else { "–" };
                ui.label(rate.map_or_else(|| none.to_owned(), |l| format!("{} L/h", trimmed(l, 2))));
            }
            ui.end_row();
            for (title, unit, figure) in [
                ("Weight", "kg", all.iter().map(|c| c.part.set_data.weight_kg).collect::<Vec<_>>()),
                ("Noise as stated", "dB(A)", all.iter().map(|c| c.part.set_data.noise_db).collect()),
            ] {
                ui.label(title);
                for value in figure {
                    ui.label(value.map_or_else(|| "not known".to_owned(), |v| format!("{} {unit}", trimmed(v, 1))));
                }
                ui.end_row();
            }
        });
    });
    let newly: Vec<(&str, &Vec<PartId>)> = all
        .iter()
        .flat_map(|c| {
            c.conditions
                .get(condition)
                .into_iter()
                .flat_map(|s| s.newly_possible.iter().take(2))
                .map(|p| (c.name.as_str(), p))
        })
        .collect();
    for (name, parts) in newly {
        let names: Vec<&str> = parts.iter().filter_map(|id| doc.parts.get(id)).map(|p| p.title()).collect();
        ui.label(format!("{name} lets run together: {}.", names.join(", ")));
    }
}
