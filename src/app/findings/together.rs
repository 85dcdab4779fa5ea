//! “Cure these”: the changes that may be made at once, shown as a list, chosen from and confirmed. Each is tried on the
//! drawing that those before it leave.

use crate::app::state::State;
use crate::app::worker::Worker;
use crate::app::{theme, widgets};
use crate::installation::Installation;
use crate::survey::{self, Finding, Plan, Survey};
use crate::units::Severity;
use egui::{Context, RichText, Sense, Ui, vec2};
use std::sync::Arc;

/// A row of the list.
struct Row {
    finding: Finding,
    /// What changes; empty where the changes before it cure it as well.
    change: String,
    on: bool,
}

/// The dialog while it is open.
pub struct Together {
    of: (Arc<Installation>, usize),
    rows: Option<Vec<Row>>,
    plan: Option<Plan>,
    worker: Option<Worker<Plan>>,
    /// Findings whose change must be made by itself.
    alone: usize,
}

fn same(a: &Finding, b: &Finding) -> bool {
    a.rule == b.rule && a.parts == b.parts && a.cables == b.cables
}

impl Together {
    /// Opens it for the drawing as it is; `alone` findings have a change that is no part of a list.
    #[must_use]
    pub fn open(ctx: &Context, state: &State, alone: usize) -> Self {
        let of = (Arc::clone(state.installation()), state.condition);
        let mut dialog = Self { of, rows: None, plan: None, worker: None, alone };
        dialog.start(ctx, state);
        dialog
    }

    fn start(&mut self, ctx: &Context, state: &State) {
        let (doc, condition) = self.of.clone();
        let survey = Survey { findings: state.computed.judged.open.clone(), not_checked: Vec::new() };
        let off: Vec<Finding> =
            self.rows.iter().flatten().filter(|row| !row.on).map(|row| row.finding.clone()).collect();
        self.plan = None;
        self.worker = Some(Worker::start("cures together", ctx, move |line| {
            let wanted = |finding: &Finding| !off.iter().any(|f| same(f, finding));
            if let Some(plan) = survey::plan(&doc, condition, &survey, &wanted, &|| line.go_on()) {
                line.tell(plan);
            }
        }));
    }

    fn take(&mut self, plan: Plan) {
        let change =
            |finding: &Finding| plan.steps.iter().find(|s| same(&s.finding, finding)).map(|s| s.remedy.label.clone());
        match &mut self.rows {
            Some(rows) => {
                for row in rows.iter_mut().filter(|row| row.on) {
                    row.change = change(&row.finding).unwrap_or_default();
                }
            }
            None => {
                let row =
                    |s: &survey::Step| Row { finding: s.finding.clone(), change: s.remedy.label.clone(), on: true };
                self.rows = Some(plan.steps.iter().map(row).collect());
            }
        }
        self.plan = Some(plan);
    }

    /// Shows it; false once it is closed.
    pub fn show(&mut self, ctx: &Context, state: &mut State) -> bool {
        if !Arc::ptr_eq(&self.of.0, state.installation()) || self.of.1 != state.condition {
            return false;
        }
        if let Some(plan) = self.worker.as_mut().and_then(Worker::poll) {
            self.take(plan);
            self.worker = None;
        }
        let over = self.worker.as_mut().is_some_and(|w| w.is_over());
        let (mut make, mut close, mut changed) = (false, over, false);
        let modal = egui::Modal::new(egui::Id::unique("cure these")).show(ctx, |ui| {
            ui.set_width(540.0);
            widgets::head(ui, "Cure these");
            ui.label("Each change was tried on a copy of the drawing. All of them are one step that can be undone.");
            ui.add_space(4.0);
            let room = ctx.content_rect().height() * 0.5;
            egui::ScrollArea::vertical().max_height(room).auto_shrink([false, true]).show(ui, |ui| {
                for row in self.rows.iter_mut().flatten() {
                    changed |= show_row(ui, row);
                }
            });
            ui.add_space(4.0);
            self.foot(ui);
            ui.horizontal(|ui| {
                let count = self.plan.as_ref().map_or(0, |p| p.steps.len());
                let text = match count {
                    1 => "Make this change".to_owned(),
                    n => format!("Make these {n} changes"),
                };
                let button = ui.add_enabled(count > 0, egui::Button::new(widgets::strong(text)));
                make = button.accessible_name("Make the listed changes").clicked();
                close |= ui.button("Cancel").accessible_name("Close the list of cures").clicked();
            });
        });
        if changed {
            self.start(ctx, state);
        }
        if make && let Some(edit) = self.plan.as_ref().and_then(Plan::edit) {
            let (before, count) = (state.computed.judged.open.len(), self.plan.as_ref().map_or(0, |p| p.steps.len()));
            if state.edit(&edit, None) {
                let after = state.computed.judged.open.len();
                let changes = if count == 1 { "1 change".to_owned() } else { format!("{count} changes") };
                state.say(format!("{changes} made: {before} findings before, {after} now"));
            }
            return false;
        }
        !(close || modal.should_close())
    }

    fn foot(&self, ui: &mut Ui) {
        match &self.plan {
            Some(plan) => {
                let text = format!("Findings: {} now, {} after it.", plan.findings_before, plan.findings_after);
                ui.label(widgets::strong(text));
            }
            None => {
                ui.label(widgets::faint(ui, "Trying the changes…"));
            }
        }
        if self.alone > 0 {
            let text = match self.alone {
                1 => "One more finding is cured by a larger breaker: that is never part of a list.".to_owned(),
                n => format!("{n} more findings are cured by larger breakers: those are never part of a list."),
            };
            ui.label(widgets::small(ui, text));
        }
    }
}

/// A row; true where it was put in or taken out.
fn show_row(ui: &mut Ui, row: &mut Row) -> bool {
    let t = theme::tokens(ui);
    let before = row.on;
    ui.horizontal_top(|ui| {
        let what = if row.change.is_empty() { &row.finding.message } else { &row.change };
        ui.checkbox(&mut row.on, "").accessible_name(format!("Include: {what}"));
        let (rect, _) = ui.allocate_exact_size(vec2(20.0, 20.0), Sense::hover());
        let severity: Severity = row.finding.severity;
        widgets::sign(ui.painter(), rect.center(), 7.5, severity, t);
        ui.vertical(|ui| {
            ui.spacing_mut().item_spacing.y = 1.0;
            let colour = if row.on { t.ink } else { t.faint };
            let text = match (row.on, row.change.as_str()) {
                (true, "") => "the other changes cure it as well".to_owned(),
                (_, change) => widgets::sentence(change),
            };
            ui.label(RichText::new(text).font(theme::bold(theme::DATA)).color(colour));
            ui.label(
                RichText::new(super::card::split(&row.finding.message).0)
                    .font(theme::regular(theme::DATA))
                    .color(colour),
            );
        });
    });
    before != row.on
}
