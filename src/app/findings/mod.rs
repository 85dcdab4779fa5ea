//! The survey: findings by severity as cards, what can be done about each, and the checks that were not made.

mod accept;
mod card;
mod cures;
mod together;

use super::state::State;
use super::{theme, widgets};
use crate::diagram::Target;
use crate::installation::Selection;
use crate::survey::{Finding, Judged, NotChecked, Offer};
use crate::units::Severity;
use card::{Look, add, block};
use egui::accesskit::Role;
use egui::text::LayoutJob;
use egui::{Sense, Stroke, StrokeKind, Ui, WidgetInfo, vec2};
use std::sync::Arc;

/// What the list remembers.
#[derive(Default)]
pub struct SurveyList {
    /// Only this severity is shown.
    only: Option<Severity>,
    not_checked_open: bool,
    /// The finding whose card is open.
    open: Option<Finding>,
    cures: cures::Cures,
    together: Option<together::Together>,
    accept: Option<accept::Accept>,
    accepted_open: bool,
    /// Heights of the cards of a long list, in points, as they were shown last.
    heights: Vec<f32>,
}

/// A list of more cards than this is long.
const LONG: usize = 150;
/// Height of a card that was not shown yet, in points.
const CARD_PT: f32 = 96.0;

/// What a person wants done about the finding at a place of the survey.
pub enum Act {
    /// Its card was clicked.
    Open(usize),
    /// Its change is to be made.
    Make(usize),
    /// It is to be accepted.
    Accept(usize),
}

/// True for the same finding, whatever its figures are now.
fn same(a: &Finding, b: &Finding) -> bool {
    a.rule == b.rule && a.parts == b.parts && a.cables == b.cables
}

impl SurveyList {
    /// Shows the list in the rest of the panel.
    pub fn show(&mut self, ui: &mut Ui, state: &mut State) {
        self.head(ui, state);
        let computed = Arc::clone(&state.computed);
        let judged = &computed.judged;
        let findings = &judged.open;
        let open = self.open.as_ref().and_then(|open| findings.iter().position(|f| same(f, open)));
        self.cures.follow(ui.ctx(), state, open);
        let not_checked = &computed.survey.not_checked;
        let mut act = None;
        egui::ScrollArea::vertical().id_salt("survey").auto_shrink(false).show(ui, |ui| {
            ui.spacing_mut().item_spacing.y = 6.0;
            self.cure_these(ui, state);
            let shown: Vec<usize> = (0..findings.len()).filter(|i| self.is_shown(&findings[*i])).collect();
            // Of a long list the cards far from the view are room alone.
            let long = shown.len() > LONG;
            self.heights.resize(if long { findings.len() } else { 0 }, CARD_PT);
            let near = ui.clip_rect().expand(400.0);
            for &i in &shown {
                let top = ui.cursor().top();
                let known = self.heights.get(i).copied().unwrap_or(0.0);
                if long && !near.y_range().intersects(egui::Rangef::new(top, top + known)) {
                    ui.allocate_space(vec2(1.0, known));
                    continue;
                }
                let returned = judged.returned(i).map(|r| r.because.as_str());
                let known = card::Known { offer: self.cures.of(i), returned };
                act = card::show(ui, i, &findings[i], &known, open == Some(i), state).or(act.take());
                if let Some(height) = self.heights.get_mut(i) {
                    *height = (ui.cursor().top() - top - ui.spacing().item_spacing.y).max(1.0);
                }
            }
            if shown.is_empty() {
                let text = match self.only {
                    Some(severity) => format!("No finding at {severity}."),
                    None => "No open finding. That is no approval: see what was not checked.".to_owned(),
                };
                let text = widgets::faint(ui, text);
                ui.label(text);
            }
            self.not_checked(ui, not_checked, state);
            accept::list(ui, judged, &mut self.accepted_open, state);
            ui.add_space(6.0);
            widgets::keep_focus_in_sight(ui);
        });
        if let Some(act) = act {
            self.act(ui.ctx(), &act, judged, state);
            // The card opens, the dialog stands in the next frame.
            ui.ctx().request_repaint();
        }
        let ctx = ui.ctx().clone();
        if self.together.as_mut().is_some_and(|dialog| !dialog.show(&ctx, state)) {
            self.together = None;
        }
        if self.accept.as_mut().is_some_and(|dialog| !dialog.show(&ctx, state)) {
            self.accept = None;
            self.open = None;
        }
    }

    fn is_shown(&self, finding: &Finding) -> bool {
        self.only.is_none_or(|severity| severity == finding.severity)
    }

    /// True while a dialog of the list is open.
    #[must_use]
    pub const fn is_busy(&self) -> bool {
        self.together.is_some() || self.accept.is_some()
    }

    fn act(&mut self, ctx: &egui::Context, act: &Act, judged: &Judged, state: &mut State) {
        match act {
            Act::Open(index) => {
                let Some(finding) = judged.open.get(*index) else { return };
                let was_open = self.open.as_ref().is_some_and(|open| same(open, finding));
                self.open = (!was_open).then(|| finding.clone());
                state.hovered = finding.parts.first().map(|part| Target::Part(*part));
                state.go_to(card::selection(finding));
            }
            Act::Make(index) => {
                let Some(Offer::Change(remedy, _)) = self.cures.of(*index) else { return };
                let label = remedy.label.clone();
                if state.edit(&remedy.edit.clone(), None) {
                    state.say(format!("changed: {label}"));
                }
            }
            Act::Accept(index) => {
                let before = judged.returned(*index).map(|r| r.index);
                let finding = judged.open.get(*index);
                self.accept = finding.map(|f| accept::Accept::open(ctx, state, f, before));
            }
        }
    }

    /// The way to the list of cures, where two findings or more can be cured at once.
    fn cure_these(&mut self, ui: &mut Ui, state: &State) {
        let listed = self.cures.listed();
        if listed < 2 {
            // What is known comes while a person clicks: what stands below keeps its identity.
            ui.skip_ahead_auto_ids(1);
            return;
        }
        let link = widgets::link(ui, &format!("Cure {listed} of these at once…"));
        if link.on_hover_text("Shows the changes as a list to confirm.").clicked() {
            self.together = Some(together::Together::open(ui.ctx(), state, self.cures.alone()));
        }
    }

    fn head(&mut self, ui: &mut Ui, state: &State) {
        let t = theme::tokens(ui);
        ui.horizontal(|ui| {
            widgets::head(ui, "Survey");
            ui.with_layout(egui::Layout::right_to_left(egui::Align::Center), |ui| {
                ui.spacing_mut().item_spacing.x = 2.0;
                for severity in Severity::ALL.into_iter().rev() {
                    let count = state.computed.judged.count(severity);
                    let chosen = self.only == Some(severity);
                    let galley = ui.painter().layout_no_wrap(count.to_string(), theme::bold(theme::BODY), t.ink);
                    let size = vec2(24.0 + galley.size().x + 5.0, 24.0);
                    let (rect, response) = ui.allocate_exact_size(size, Sense::click());
                    let name = format!("{count} {severity}, show these alone");
                    response.widget_info(|| WidgetInfo::selected(Role::Button, true, chosen, &name));
                    if chosen {
                        ui.painter().rect(rect, 4.0, t.selected, Stroke::new(1.0, t.fed), StrokeKind::Inside);
                    } else if response.hovered() {
                        ui.painter().rect_filled(rect, 4.0, t.hover);
                    }
                    widgets::sign(ui.painter(), rect.left_center() + vec2(12.0, 0.0), 8.5, severity, t);
                    let at = rect.left_center() + vec2(24.0, -galley.size().y / 2.0);
                    ui.painter().galley(at, galley, t.ink);
                    widgets::focus_ring(ui, &response, 4.0);
                    if response.on_hover_text(format!("{severity}: click to show these alone")).clicked() {
                        self.only = if chosen { None } else { Some(severity) };
                    }
                }
            });
        });
    }

    fn not_checked(&mut self, ui: &mut Ui, list: &[NotChecked], state: &mut State) {
        if list.is_empty() {
            return;
        }
        let t = theme::tokens(ui);
        let checks =
            if list.len() == 1 { "1 check not made".to_owned() } else { format!("{} checks not made", list.len()) };
        accept::fold(ui, &checks, &mut self.not_checked_open);
        if !self.not_checked_open {
            return;
        }
        let near = ui.clip_rect().expand(400.0);
        for (i, missing) in list.iter().enumerate() {
            let top = ui.cursor().top();
            if list.len() > LONG && !near.y_range().intersects(egui::Rangef::new(top, top + CARD_PT)) {
                ui.allocate_space(vec2(1.0, CARD_PT));
                continue;
            }
            let tags: Vec<&str> = missing.parts.iter().map(|p| state.installation().tag(*p)).collect();
            let mut job = LayoutJob::default();
            let tags = tags.join(", ");
            add(&mut job, &tags, theme::bold(theme::DATA), t.ink);
            add(&mut job, &format!("  {}", missing.because), theme::regular(theme::DATA), t.ink);
            add(&mut job, &format!("\n{}", missing.rule.replace('-', " ")), theme::regular(theme::SMALL), t.faint);
            let name = format!("not checked, {} {tags}", missing.rule);
            let selection = Selection::of_parts(missing.parts.iter().copied());
            if block(ui, ("not checked", i), job, &name, Look::default(), |_| {}) {
                state.go_to(selection);
            }
        }
    }
}
