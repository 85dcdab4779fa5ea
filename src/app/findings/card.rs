//! A finding as a card: what, how much against how much, the cure, the source of the limit. Opened, it says what can be
//! done about it.

use super::Act;
use crate::app::state::State;
use crate::app::{glyphs, theme, widgets};
use crate::installation::Selection;
use crate::survey::{Finding, Offer};
use crate::units::{Severity, quantity};
use egui::accesskit::Role;
use egui::text::{LayoutJob, TextFormat};
use egui::{
    Color32, FontId, Frame, Margin, Rect, RichText, Sense, Stroke, StrokeKind, Ui, UiBuilder, WidgetInfo, vec2,
};

/// Appends text to a job.
pub fn add(job: &mut LayoutJob, text: &str, font: FontId, colour: Color32) {
    job.append(text, 0.0, TextFormat { font_id: font, color: colour, ..TextFormat::default() });
}

/// How a card looks.
#[derive(Clone, Copy, Default)]
pub struct Look {
    /// What it is about is selected.
    pub chosen: bool,
    /// The sign at the left.
    pub severity: Option<Severity>,
    /// It can be opened, and is or is not.
    pub open: Option<bool>,
}

/// A card that can be clicked: sign at the left, text beside it, and `below` what it holds once opened. Gives true where it
/// was clicked.
pub fn block(
    ui: &mut Ui,
    id: (&str, usize),
    mut job: LayoutJob,
    name: &str,
    look: Look,
    below: impl FnOnce(&mut Ui),
) -> bool {
    let t = theme::tokens(ui);
    let left = if look.severity.is_some() { 34.0 } else { 10.0 };
    let right = if look.open.is_some() { 20.0 } else { 8.0 };
    let mut prepared = Frame::new().corner_radius(6).begin(ui);
    let response = {
        let ui = &mut prepared.content_ui;
        ui.spacing_mut().item_spacing.y = 0.0;
        let width = ui.available_width();
        job.wrap.max_width = width - left - right;
        let galley = ui.painter().layout_job(job);
        let size = vec2(width, galley.size().y + 14.0);
        let allocated =
            ui.scope_builder(UiBuilder::new().id_salt(id), |ui| ui.allocate_exact_size(size, Sense::click())).inner;
        let (rect, response): (Rect, egui::Response) = allocated;
        response.widget_info(|| WidgetInfo::selected(Role::Button, true, look.chosen, name));
        if let Some(open) = look.open {
            ui.ctx().accesskit_node_builder(response.id, |node| node.set_expanded(open));
            glyphs::fold(ui.painter(), rect.right_top() + vec2(-12.0, 15.0), open, t.faint);
        }
        if let Some(severity) = look.severity {
            widgets::sign(ui.painter(), rect.left_top() + vec2(18.0, 18.0), 9.0, severity, t);
        }
        ui.painter().galley(rect.left_top() + vec2(left, 7.0), galley, t.ink);
        if look.open == Some(true) {
            let margin = Margin { left: left as i8, right: 8, top: 0, bottom: 9 };
            Frame::new().inner_margin(margin).show(ui, |ui| {
                ui.set_width(ui.available_width());
                ui.spacing_mut().item_spacing = vec2(8.0, 4.0);
                below(ui);
            });
        }
        response
    };
    let (fill, edge) = if look.chosen {
        (t.selected, Stroke::new(1.5, t.fed))
    } else if response.hovered() {
        (t.hover, Stroke::new(1.0, t.strong_edge))
    } else {
        (t.card, Stroke::new(1.0, t.edge))
    };
    prepared.frame = prepared.frame.fill(fill);
    let outer = prepared.end(ui);
    ui.painter().rect_stroke(outer.rect, 6.0, edge, StrokeKind::Inside);
    widgets::focus_ring(ui, &response, 6.0);
    response.clicked()
}

/// What a finding is about.
pub fn selection(finding: &Finding) -> Selection {
    Selection {
        parts: finding.parts.iter().copied().collect(),
        cables: finding.cables.iter().copied().collect(),
        ..Selection::default()
    }
}

/// The first sentence or clause, and what follows.
pub fn split(message: &str) -> (&str, &str) {
    match message.find(": ").or_else(|| message.find("; ")).or_else(|| message.find(". ")) {
        Some(at) => (message[..at].trim(), message[at + 1..].trim()),
        None => (message.trim(), ""),
    }
}

/// What is known of a finding besides itself.
pub struct Known<'a> {
    /// What can be done about it; `None` while that is being worked out.
    pub offer: Option<&'a Offer>,
    /// It was accepted and is open again; why.
    pub returned: Option<&'a str>,
}

/// Shows a finding; gives what the person wants done about it.
pub fn show(ui: &mut Ui, index: usize, finding: &Finding, known: &Known<'_>, open: bool, state: &State) -> Option<Act> {
    let t = theme::tokens(ui);
    let about = selection(finding);
    let chosen = !about.is_empty() && about == *state.selection();
    let mut job = LayoutJob::default();
    let (head, rest) = split(&finding.message);
    add(&mut job, head, theme::bold(theme::DATA), t.ink);
    if !rest.is_empty() {
        add(&mut job, &format!("\n{rest}"), theme::regular(theme::DATA), t.ink);
    }
    if let (Some(figure), Some(limit)) = (finding.figure, finding.limit) {
        let unit = finding.unit;
        let text = format!("\n{} against {}", quantity(figure, 2, unit), quantity(limit, 2, unit));
        add(&mut job, &text, theme::bold(theme::DATA), t.severity(finding.severity));
    }
    if let Some(cure) = &finding.cure {
        add(&mut job, &format!("\nCure: {cure}"), theme::regular(theme::DATA), t.cure);
    }
    if let Some(why) = known.returned {
        let text = format!("\nAccepted before, open again: {why}");
        add(&mut job, &text, theme::regular(theme::DATA), t.over);
    }
    let source = format!("\n{} · {}", finding.source, finding.mark.words());
    for line in
        std::iter::once(source).chain(finding.not_used.iter().map(|words| format!("\n{}", widgets::sentence(words))))
    {
        add(&mut job, &line, theme::regular(theme::SMALL), t.faint);
    }
    let name = format!("{}: {}", finding.severity, finding.message);
    let look = Look { chosen, severity: Some(finding.severity), open: Some(open) };
    let mut act = None;
    let clicked = block(ui, ("finding", index), job, &name, look, |ui| {
        act = below(ui, index, finding, known, state);
    });
    if clicked { Some(Act::Open(index)) } else { act }
}

/// What can be done about it.
fn below(ui: &mut Ui, index: usize, finding: &Finding, known: &Known<'_>, state: &State) -> Option<Act> {
    let t = theme::tokens(ui);
    let mut act = None;
    let line = |ui: &mut Ui, text: &str| {
        ui.label(RichText::new(text).font(theme::regular(theme::DATA)).color(t.ink));
    };
    // In a scope, however many lines there are: a button below keeps its identity when the answer comes.
    ui.scope(|ui| match known.offer {
        None => {
            ui.label(widgets::faint(ui, "Looking for a change that cures it…"));
        }
        Some(Offer::Electrician(because)) => line(ui, &format!("No change is offered: {because}.")),
        Some(Offer::Change(remedy, effects)) => {
            ui.label(RichText::new(widgets::sentence(&remedy.label)).font(theme::bold(theme::DATA)).color(t.cure));
            for effect in effects {
                line(ui, &widgets::sentence(&effect.words(state.installation())));
            }
            let text = match remedy.findings_left {
                0 => "No finding is left after it.".to_owned(),
                1 => "1 finding is left after it.".to_owned(),
                n => format!("{n} findings are left after it."),
            };
            line(ui, &text);
            if remedy.alone {
                let text = "A larger breaker is never part of a list. Look at what it protects before you make it.";
                ui.label(widgets::small(ui, text));
            }
        }
    });
    ui.horizontal_wrapped(|ui| {
        if let Some(Offer::Change(remedy, _)) = known.offer {
            let button = ui.button(RichText::new("Make this change").font(theme::regular(theme::DATA)));
            let button = button.accessible_name(format!("Make this change: {}", remedy.label));
            if button.on_hover_text("One step; Undo takes it back.").clicked() {
                act = Some(Act::Make(index));
            }
        } else {
            ui.skip_ahead_auto_ids(1);
        }
        if finding.severity == Severity::Danger {
            let text = "DANGER cannot be accepted: it has to be put right.";
            ui.label(widgets::small(ui, text));
        } else {
            let button = ui.button(RichText::new("Accept…").font(theme::regular(theme::DATA)));
            let button = button.accessible_name(format!("Accept: {}", finding.message));
            if button.on_hover_text("With a reason and a name. It stays listed and is printed.").clicked() {
                act = Some(Act::Accept(index));
            }
        }
    });
    act
}
