//! The Loads view: conditions by appliances as a table, what each condition comes to, what runs together, sources compared.

mod cell;
mod sources;
mod table;
mod ticks;

use super::door;
use super::state::State;
use super::{theme, widgets};
use crate::installation::{Edit, Installation};
use crate::loads::analysis::{Bus, ConditionLoads, of_condition};
use crate::units::{above, amps, percent, va, watts};
use egui::{CentralPanel, Frame, Margin, Panel, RichText, Ui};
use std::sync::Arc;

/// What the view remembers between frames.
#[derive(Default)]
pub struct Loads {
    table: table::Table,
    ticks: ticks::Ticks,
    sources: sources::Sources,
    known: Option<(Arc<Installation>, usize, ConditionLoads)>,
}

/// Width of the sheet of loads in points where the window is narrower.
const SHEET_PT: f32 = 880.0;

impl Loads {
    /// Shows the view.
    pub fn show(&mut self, ui: &mut Ui, state: &mut State) {
        let t = theme::tokens(ui);
        let frame = |fill| Frame::new().fill(fill).inner_margin(Margin::symmetric(14, 10));
        if widgets::is_narrow(ui.ctx()) {
            // One below the other, in a sheet that scrolls both ways.
            CentralPanel::no_frame().frame(frame(t.paper)).show(ui, |ui| {
                egui::ScrollArea::both().id_salt("loads, narrow").auto_shrink([false, false]).show(ui, |ui| {
                    ui.set_max_width(SHEET_PT);
                    self.ticks.show(ui, state);
                    ui.separator();
                    self.tables(ui, state);
                    widgets::keep_focus_in_sight(ui);
                });
            });
            return;
        }
        let right = Panel::right("what runs together").resizable(true).default_size(430.0).size_range(320.0..=640.0);
        right.frame(frame(t.panel)).show(ui, |ui| {
            egui::ScrollArea::vertical().id_salt("ticks").auto_shrink([false, false]).show(ui, |ui| {
                self.ticks.show(ui, state);
                widgets::keep_focus_in_sight(ui);
            });
        });
        CentralPanel::no_frame().frame(frame(t.paper)).show(ui, |ui| {
            egui::ScrollArea::vertical().id_salt("loads").auto_shrink([false, false]).show(ui, |ui| {
                self.tables(ui, state);
                widgets::keep_focus_in_sight(ui);
            });
        });
    }

    fn tables(&mut self, ui: &mut Ui, state: &mut State) {
        ui.horizontal(|ui| {
            widgets::head(ui, "Loads by operating condition");
            self.conditions(ui, state);
        });
        let how = "A cell says for which share of the time an appliance is on. Type off, 40 % or 40 %, 2 at once; \
                   Space switches, Delete takes the usual, copy and paste as in a spreadsheet, Ctrl+D fills down.";
        let text = widgets::small(ui, how);
        ui.label(text);
        ui.add_space(6.0);
        self.table.show(ui, state);
        self.totals(ui, state);
        self.sources.show(ui, state);
    }

    /// Adds a condition like the one that is shown, and names and removes that.
    fn conditions(&mut self, ui: &mut Ui, state: &mut State) {
        let doc = state.installation().clone();
        let shown = doc.conditions.get(state.condition).map_or("", |c| c.name.as_str());
        if ui.button("Add a condition").on_hover_text(format!("A copy of {shown}, to be named")).clicked() {
            let taken = |name: &String| doc.conditions.iter().any(|c| c.name == *name);
            let name = (doc.conditions.len() + 1..).map(|n| format!("Condition {n}")).find(|n| !taken(n));
            let edit = Edit::AddCondition { name: name.unwrap_or_default(), like: state.condition };
            if state.edit(&edit, None) {
                state.condition = state.installation().conditions.len().saturating_sub(1);
                let doc = state.installation().clone();
                self.table.rename(&doc, state.condition);
            }
        }
        if ui.button("Rename").accessible_name(format!("Rename {shown}")).clicked() {
            self.table.rename(&doc, state.condition);
        }
        let several = doc.conditions.len() > 1;
        let remove = ui.add_enabled(several, egui::Button::new("Remove"));
        let remove = remove.on_disabled_hover_text("The only condition stays.");
        if remove.accessible_name(format!("Remove {shown}")).clicked() {
            state.edit(&Edit::RemoveCondition(state.condition), None);
            state.refresh();
        }
    }

    fn totals(&mut self, ui: &mut Ui, state: &State) {
        let doc = state.installation();
        if !self.known.as_ref().is_some_and(|(of, c, _)| Arc::ptr_eq(of, doc) && *c == state.condition) {
            let found = door::behind("the load analysis", || of_condition(doc, state.condition));
            self.known = found.ok().map(|loads| (Arc::clone(doc), state.condition, loads));
        }
        let Some((_, _, loads)) = &self.known else {
            ui.label("An error inside the program stopped the load analysis.");
            return;
        };
        widgets::section(ui, &format!("{}: what it comes to", loads.name));
        if !loads.converged {
            ui.label("No figures: a loop, sources in parallel, or a load that cannot be supplied. The survey names the parts.");
            return;
        }
        if loads.feeding.is_empty() {
            let text = widgets::faint(ui, "No source feeds in this condition, so nothing runs.");
            ui.label(text);
            return;
        }
        let split = doc.system.is_split_phase();
        egui::Grid::new("totals").striped(true).spacing([16.0, 2.0]).show(ui, |ui| {
            ui.spacing_mut().interact_size.y = 20.0;
            let head = |ui: &mut Ui, word: &str| {
                right(ui, RichText::new(word).font(theme::bold(theme::DATA)));
            };
            ui.label("");
            for word in ["Connected", "Running", "Apparent", "Mean"] {
                head(ui, word);
            }
            head(ui, if split { "L1 / L2" } else { "Current" });
            if split {
                head(ui, "Unbalance");
            }
            for word in ["Rating", "Reserve", "Load"] {
                head(ui, word);
            }
            ui.end_row();
            for (id, bus) in loads.carried().into_iter().flat_map(|(_, map)| map) {
                ui.label(doc.parts.get(id).map_or_else(String::new, |p| p.name()));
                figures(ui, bus, split);
                ui.end_row();
            }
        });
        for (source, start) in &loads.largest_start {
            let who = doc.parts.get(&start.part).map_or("?", |p| p.title());
            let text = format!("Largest start on {}: {who}, {} to start.", doc.tag(*source), watts(start.start_w));
            ui.label(text);
        }
        let unknown: Vec<&str> = loads.sources.values().flat_map(|b| &b.unknown).map(|id| doc.tag(*id)).collect();
        if !unknown.is_empty() {
            ui.label(format!("Running watts not known, so every sum is a lower bound: {}.", unknown.join(", ")));
        }
        if !loads.starts_unknown.is_empty() {
            let tags: Vec<&str> = loads.starts_unknown.iter().map(|id| doc.tag(*id)).collect();
            ui.label(format!("Starting watts not known: {}.", tags.join(", ")));
        }
    }
}

/// A figure at the right of its column.
fn right(ui: &mut Ui, text: RichText) {
    ui.with_layout(egui::Layout::right_to_left(egui::Align::Center), |ui| ui.label(text));
}

fn figures(ui: &mut Ui, bus: &Bus, split: bool) {
    let t = theme::tokens(ui);
    let shown = |v: Option<f64>, unit: fn(f64) -> String| unit(v.unwrap_or(f64::NAN));
    let plain = |ui: &mut Ui, text: String| right(ui, RichText::new(text).font(theme::regular(theme::DATA)));
    plain(ui, watts(bus.connected_w));
    plain(ui, shown(bus.running_w, watts));
    plain(ui, shown(bus.running_va, va));
    plain(ui, shown(bus.mean_w, watts));
    let current = match bus.amps {
        Some((l1, Some(l2))) => format!("{} / {}", amps(l1), amps(l2)),
        other => shown(other.map(|a| a.0), amps),
    };
    plain(ui, current);
    if split {
        plain(ui, if bus.on_one_line() { "–".to_owned() } else { shown(bus.unbalance_percent, percent) });
    }
    let unit = bus.unit();
    plain(ui, shown(bus.rating, unit));
    plain(ui, shown(bus.reserve, unit));
    let over = bus.load_percent.is_some_and(|p| above(p, 100.0));
    let text = RichText::new(shown(bus.load_percent, percent));
    let text =
        if over { text.color(t.over).font(theme::bold(theme::DATA)) } else { text.font(theme::regular(theme::DATA)) };
    right(ui, text);
}
