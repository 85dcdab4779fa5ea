//! The Endurance view: how long the fuel or the battery lasts, a day of it, what the meters showed, where the set would go.

mod curve;
mod day;
mod field;
mod placing;
mod trial;

use super::state::State;
use super::{theme, widgets};
use crate::installation::{Edit, Installation, PartId, PartKind};
use crate::loads::endurance::words::{number, range};
use crate::loads::endurance::{self as fuel, Battery, Day, Endurance};
use crate::loads::trial::Trial;
use crate::units::{Date, Quantity, above, parse_quantity, trimmed, watts};
use egui::{Frame, Margin, RichText, ScrollArea, Ui};
use field::Drafts;
use std::sync::Arc;

/// What the view shows, made anew where the document, the condition or what was asked is another.
struct Answers {
    of: Arc<Installation>,
    condition: usize,
    litres: Option<f64>,
    date: Option<Date>,
    generators: Vec<(PartId, Endurance)>,
    batteries: Vec<(PartId, Battery)>,
    day: Option<Day>,
    trial: Trial,
}

/// The view and what it remembers.
#[derive(Default)]
pub struct EnduranceView {
    drafts: Drafts,
    litres: Option<f64>,
    date: Option<Date>,
    distance_m: Option<f64>,
    drag: Option<day::Drag>,
    answers: Option<Answers>,
}

impl EnduranceView {
    /// Shows the view.
    pub fn show(&mut self, ui: &mut Ui, state: &mut State) {
        self.refresh(state);
        self.drafts.begin();
        ScrollArea::vertical().id_salt("endurance").auto_shrink(false).show(ui, |ui| {
            Frame::new().inner_margin(Margin::symmetric(16, 12)).show(ui, |ui| {
                ui.spacing_mut().item_spacing.y = 6.0;
                if widgets::is_narrow(ui.ctx()) {
                    self.lasts(ui, state);
                    self.place(ui, state);
                    self.a_day(ui, state);
                    self.trial(ui, state);
                    return;
                }
                ui.columns(2, |columns| {
                    if let [left, right] = columns {
                        left.set_max_width(left.available_width() - 8.0);
                        // Columns stretch what they hold; buttons and sentences keep their own width.
                        let as_they_are = egui::Layout::top_down(egui::Align::Min);
                        left.with_layout(as_they_are, |ui| {
                            self.lasts(ui, state);
                            self.place(ui, state);
                        });
                        right.with_layout(as_they_are, |ui| {
                            self.a_day(ui, state);
                            self.trial(ui, state);
                        });
                    }
                });
            });
            widgets::keep_focus_in_sight(ui);
        });
        self.drafts.end();
    }

    fn refresh(&mut self, state: &State) {
        let doc = state.installation();
        let same = self.answers.as_ref().is_some_and(|a| {
            Arc::ptr_eq(&a.of, doc) && a.condition == state.condition && a.litres == self.litres && a.date == self.date
        });
        if same {
            return;
        }
        let (mean, generators) = fuel::of_condition(doc, state.condition, self.litres);
        let inverters = mean.watts.iter().filter_map(|(id, w)| doc.parts.get(id).map(|p| (*id, p, *w)));
        let batteries = inverters.filter(|(_, p, _)| p.kind == PartKind::Inverter);
        self.answers = Some(Answers {
            batteries: batteries.map(|(id, part, watts)| (id, fuel::battery(part, watts))).collect(),
            generators,
            day: fuel::day(doc, self.date),
            trial: crate::loads::trial::trial(doc, state.condition, &doc.readings),
            of: Arc::clone(doc),
            condition: state.condition,
            litres: self.litres,
            date: self.date,
        });
    }

    fn lasts(&mut self, ui: &mut Ui, state: &State) {
        let doc = state.installation().clone();
        let condition = doc.conditions.get(state.condition).map_or("", |c| &c.name);
        widgets::head(ui, &format!("How long it lasts: {condition}"));
        ui.horizontal(|ui| {
            let text = widgets::faint(ui, "Litres");
            ui.label(text);
            let now = self.litres.map_or_else(String::new, |l| trimmed(l, 3));
            let hint = "each tank’s own";
            if let Some(typed) = self.drafts.text(ui, "Litres counted on", &now, hint, 110.0) {
                let litres = parse_quantity(&typed, Quantity::Litres).ok().filter(|l| *l >= 0.0);
                if typed.trim().is_empty() || litres.is_some() {
                    self.litres = litres;
                } else {
                    self.drafts.refuse("Litres counted on", &typed, "litres from 0, such as 2 or 0.5 gal");
                }
            }
        });
        let Some(answers) = &self.answers else { return };
        if answers.generators.is_empty() {
            ui.label("There is no generator in the drawing.");
        }
        for (id, answer) in &answers.generators {
            let Some(part) = doc.parts.get(id) else { continue };
            card(ui, |ui| {
                ui.label(widgets::strong(part.name()));
                for (line, important) in generator_words(answer) {
                    if important {
                        warned(ui, &line);
                    } else {
                        ui.label(line);
                    }
                }
                curve::show(ui, *id, part, answer);
            });
        }
        for (id, battery) in &answers.batteries {
            card(ui, |ui| {
                ui.label(widgets::strong(doc.parts.get(id).map_or_else(String::new, |p| p.name())));
                ui.label(battery_words(battery));
            });
        }
    }

    fn a_day(&mut self, ui: &mut Ui, state: &mut State) {
        widgets::head(ui, "A day");
        day::timeline(ui, state, &mut self.drafts, &mut self.drag);
        ui.horizontal(|ui| {
            let text = widgets::faint(ui, "From the day");
            ui.label(text);
            let now = self.date.map_or_else(String::new, |d| d.to_string());
            if let Some(typed) = self.drafts.text(ui, "Count days from", &now, "hour meter’s day", 130.0) {
                let date = Date::parse(&typed);
                if typed.trim().is_empty() || date.is_some() {
                    self.date = date;
                } else {
                    self.drafts.refuse("Count days from", &typed, Date::HINT);
                }
            }
        });
        let Some(answers) = &self.answers else { return };
        let doc = state.installation();
        card(ui, |ui| match &answers.day {
            None => {
                ui.label("No condition has hours of the day yet. Drag on a row, or type hours such as 7-9, 18:30-22.");
            }
            Some(day) => {
                for line in day::sentences(doc, day) {
                    ui.label(line);
                }
            }
        });
    }

    fn trial(&mut self, ui: &mut Ui, state: &mut State) {
        ui.add_space(8.0);
        widgets::head(ui, "Sea trial: what the meters showed");
        trial::sheet(ui, state, &mut self.drafts);
        let Some(answers) = &self.answers else { return };
        let take = trial::results(ui, state, &answers.trial);
        if let Some(edit) = take {
            state.edit(&edit, None);
        }
    }

    fn place(&mut self, ui: &mut Ui, state: &mut State) {
        ui.add_space(8.0);
        widgets::head(ui, "Where the set goes");
        if let Some(trays) = placing::trays(ui, state.installation(), &mut self.drafts) {
            state.edit(&Edit::SetTrays(trays), None);
        }
        placing::results(ui, state.installation(), state.feet, &mut self.drafts, &mut self.distance_m);
    }
}

/// A card on the panel.
fn card(ui: &mut Ui, contents: impl FnOnce(&mut Ui)) {
    let t = theme::tokens(ui);
    let frame = Frame::new().fill(t.card).stroke(egui::Stroke::new(1.0, t.edge)).corner_radius(6);
    frame.inner_margin(Margin::symmetric(12, 8)).show(ui, |ui| {
        ui.set_width(ui.available_width());
        contents(ui);
    });
}

/// Words that must not be overlooked: the sign of a notice, and bold.
fn warned(ui: &mut Ui, text: &str) {
    let t = theme::tokens(ui);
    ui.horizontal_wrapped(|ui| {
        let (rect, _) = ui.allocate_exact_size(egui::vec2(18.0, 18.0), egui::Sense::hover());
        widgets::sign(ui.painter(), rect.center(), 7.5, crate::units::Severity::Notice, t);
        ui.label(RichText::new(text).font(theme::bold(theme::BODY)).color(t.over));
    });
}

/// The answer of a generator in sentences; true marks those that must not be overlooked.
fn generator_words(e: &Endurance) -> Vec<(String, bool)> {
    let mut out = Vec::new();
    if let (Some(mean), Some(percent)) = (e.mean_watts, e.mean_load_percent) {
        let mut text = format!("Mean load {} ({} % of its rating)", watts(mean), trimmed(percent, 1));
        if e.litres_per_hour.is_some() {
            text += ", ";
            text += &range(e.litres_per_hour, e.litres_per_hour_high, 3, "L/h");
        }
        out.push((text + ".", false));
        if above(percent, 100.0) {
            out.push(("The mean load is above its running watts.".to_owned(), true));
        }
    }
    if e.hours.is_some() {
        let litres = number(e.litres, 2, "L");
        out.push((format!("{litres} last {}.", range(e.hours, e.hours_low, 1, "h")), false));
    }
    if e.extrapolated == Some(true) {
        out.push(("The load lies beyond the points of the fuel curve: the rate is extrapolated.".to_owned(), true));
    }
    if e.plausible == Some(false) {
        let why: Vec<String> = e.doubts.iter().map(fuel::Doubt::words).collect();
        out.push((format!("The claimed fuel curve cannot be right: {}.", why.join("; ")), true));
    }
    if !e.missing.is_empty() {
        let where_to = " What is known of the set is entered among its particulars, beside the drawing.";
        out.push((format!("Not known: {}.{where_to}", e.missing.join("; ")), false));
    }
    out
}

fn battery_words(b: &Battery) -> String {
    let mean = b.mean_watts.map_or_else(|| "not known".to_owned(), watts);
    let mut text = format!(
        "Mean load {mean}; {} usable last {}. Its own draw without load is not counted.",
        number(b.usable_kwh, 2, "kWh"),
        number(b.hours, 1, "h")
    );
    if !b.missing.is_empty() {
        text += &format!(" Not known: {}.", b.missing.join("; "));
    }
    text
}
