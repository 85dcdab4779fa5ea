//! The survey: findings by severity as cards, and the checks that were not made.

use super::state::State;
use super::{glyphs, theme, widgets};
use crate::diagram::Target;
use crate::installation::Selection;
use crate::survey::{Finding, NotChecked};
use crate::units::{Severity, trimmed};
use egui::accesskit::Role;
use egui::text::{LayoutJob, TextFormat};
use egui::{Color32, FontId, Rect, Sense, Stroke, StrokeKind, Ui, UiBuilder, WidgetInfo, vec2};

/// What the list remembers.
#[derive(Default)]
pub struct SurveyList {
    /// Only this severity is shown.
    only: Option<Severity>,
    not_checked_open: bool,
}

impl SurveyList {
    /// Shows the list in the rest of the panel.
    pub fn show(&mut self, ui: &mut Ui, state: &mut State) {
        self.head(ui, state);
        let findings: Vec<Finding> = state
            .computed
            .survey
            .findings
            .iter()
            .filter(|f| self.only.is_none_or(|s| s == f.severity))
            .cloned()
            .collect();
        let not_checked = state.computed.survey.not_checked.clone();
        egui::ScrollArea::vertical().id_salt("survey").auto_shrink(false).show(ui, |ui| {
            ui.spacing_mut().item_spacing.y = 6.0;
            if findings.is_empty() {
                let text = match self.only {
                    Some(severity) => format!("No finding at {severity}."),
                    None => "No finding. That is no approval: see what was not checked.".to_owned(),
                };
                let text = widgets::faint(ui, text);
                ui.label(text);
            }
            for (i, finding) in findings.iter().enumerate() {
                card(ui, i, finding, state);
            }
            self.not_checked(ui, &not_checked, state);
            ui.add_space(6.0);
        });
    }

    fn head(&mut self, ui: &mut Ui, state: &State) {
        let t = theme::tokens(ui);
        ui.horizontal(|ui| {
            widgets::head(ui, "Survey");
            ui.with_layout(egui::Layout::right_to_left(egui::Align::Center), |ui| {
                ui.spacing_mut().item_spacing.x = 2.0;
                for severity in Severity::ALL.into_iter().rev() {
                    let count = state.computed.survey.count(severity);
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
        let (rect, response) = ui.allocate_exact_size(vec2(ui.available_width(), 26.0), Sense::click());
        response.widget_info(|| WidgetInfo::selected(Role::Button, true, self.not_checked_open, &checks));
        if response.hovered() {
            ui.painter().rect_filled(rect, 4.0, t.hover);
        }
        glyphs::fold(ui.painter(), rect.left_center() + vec2(10.0, 0.0), self.not_checked_open, t.faint);
        let text = ui.painter().layout_no_wrap(checks, theme::bold(theme::DATA), t.ink);
        ui.painter().galley(rect.left_center() + vec2(22.0, -text.size().y / 2.0), text, t.ink);
        widgets::focus_ring(ui, &response, 4.0);
        if response.clicked() {
            self.not_checked_open = !self.not_checked_open;
        }
        if !self.not_checked_open {
            return;
        }
        for (i, missing) in list.iter().enumerate() {
            let tags: Vec<&str> = missing.parts.iter().map(|p| state.installation().tag(*p)).collect();
            let mut job = LayoutJob::default();
            let tags = tags.join(", ");
            add(&mut job, &tags, theme::bold(theme::DATA), t.ink);
            add(&mut job, &format!("  {}", missing.because), theme::regular(theme::DATA), t.ink);
            add(&mut job, &format!("\n{}", missing.rule.replace('-', " ")), theme::regular(theme::SMALL), t.faint);
            let name = format!("not checked, {} {tags}", missing.rule);
            let selection = Selection::of_parts(missing.parts.iter().copied());
            if block(ui, ("not checked", i), job, &name, false, None) {
                state.go_to(selection);
            }
        }
    }
}

fn add(job: &mut LayoutJob, text: &str, font: FontId, colour: Color32) {
    job.append(text, 0.0, TextFormat { font_id: font, color: colour, ..TextFormat::default() });
}

/// A card that can be clicked: sign at the left, text beside it.
fn block(
    ui: &mut Ui,
    id: (&str, usize),
    mut job: LayoutJob,
    name: &str,
    chosen: bool,
    severity: Option<Severity>,
) -> bool {
    let t = theme::tokens(ui);
    let width = ui.available_width();
    let left = if severity.is_some() { 34.0 } else { 10.0 };
    job.wrap.max_width = width - left - 8.0;
    let galley = ui.painter().layout_job(job);
    let size = vec2(width, galley.size().y + 14.0);
    let response =
        ui.scope_builder(UiBuilder::new().id_salt(id), |ui| ui.allocate_exact_size(size, Sense::click())).inner;
    let (rect, response): (Rect, egui::Response) = response;
    response.widget_info(|| WidgetInfo::selected(Role::Button, true, chosen, name));
    let (fill, edge) = if chosen {
        (t.selected, Stroke::new(1.5, t.fed))
    } else if response.hovered() {
        (t.hover, Stroke::new(1.0, t.strong_edge))
    } else {
        (t.card, Stroke::new(1.0, t.edge))
    };
    ui.painter().rect(rect, 6.0, fill, edge, StrokeKind::Inside);
    if let Some(severity) = severity {
        widgets::sign(ui.painter(), rect.left_top() + vec2(18.0, 18.0), 9.0, severity, t);
    }
    ui.painter().galley(rect.left_top() + vec2(left, 7.0), galley, t.ink);
    widgets::focus_ring(ui, &response, 6.0);
    response.clicked()
}

fn card(ui: &mut Ui, index: usize, finding: &Finding, state: &mut State) {
    let t = theme::tokens(ui);
    let selection = Selection {
        parts: finding.parts.iter().copied().collect(),
        cables: finding.cables.iter().copied().collect(),
        ..Selection::default()
    };
    let chosen = !selection.is_empty() && selection == *state.selection();
    let mut job = LayoutJob::default();
    let (head, rest) = split(&finding.message);
    add(&mut job, head, theme::bold(theme::DATA), t.ink);
    if !rest.is_empty() {
        add(&mut job, &format!("\n{rest}"), theme::regular(theme::DATA), t.ink);
    }
    if let (Some(figure), Some(limit)) = (finding.figure, finding.limit) {
        let unit = finding.unit;
        let text = format!("\n{} {unit} against {} {unit}", trimmed(figure, 2), trimmed(limit, 2));
        add(&mut job, &text, theme::bold(theme::DATA), t.severity(finding.severity));
    }
    if let Some(cure) = &finding.cure {
        add(&mut job, &format!("\nCure: {cure}"), theme::regular(theme::DATA), t.cure);
    }
    let source = format!("\n{} · {}", finding.source, finding.mark.words());
    add(&mut job, &source, theme::regular(theme::SMALL), t.faint);
    let name = format!("{}: {}", finding.severity, finding.message);
    if block(ui, ("finding", index), job, &name, chosen, Some(finding.severity)) {
        if let Some(first) = finding.parts.first() {
            state.hovered = Some(Target::Part(*first));
        }
        state.go_to(selection);
    }
}

/// The first sentence or clause, and what follows.
fn split(message: &str) -> (&str, &str) {
    match message.find(": ").or_else(|| message.find("; ")).or_else(|| message.find(". ")) {
        Some(at) => (message[..at].trim(), message[at + 1..].trim()),
        None => (message.trim(), ""),
    }
}
