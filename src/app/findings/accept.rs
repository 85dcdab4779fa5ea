//! Accepting a finding: with a reason, a name and a date. DANGER cannot be accepted. What is accepted stays listed, and can
//! be withdrawn.

use super::card::{Look, add, block, selection, split};
use crate::app::state::State;
use crate::app::{glyphs, theme, widgets};
use crate::installation::{Edit, Selection};
use crate::survey::{Finding, Judged};
use egui::accesskit::Role;
use egui::text::LayoutJob;
use egui::{Context, Sense, Ui, WidgetInfo, vec2};

/// The dialog while it is open.
pub struct Accept {
    finding: Finding,
    reason: String,
    by: String,
    date: String,
    /// Why it was not taken.
    refused: Option<String>,
    focused: bool,
}

impl Accept {
    /// Opens it for a finding; with what was said before, where it was accepted and is open again.
    #[must_use]
    pub fn open(ctx: &Context, state: &State, finding: &Finding, before: Option<usize>) -> Self {
        let before = before.and_then(|index| state.installation().accepted.get(index));
        Self {
            finding: finding.clone(),
            reason: before.map_or_else(String::new, |a| a.reason.clone()),
            by: widgets::person(ctx),
            date: widgets::today(),
            refused: None,
            focused: false,
        }
    }

    /// Shows it; false once it is closed.
    pub fn show(&mut self, ctx: &Context, state: &mut State) -> bool {
        let (mut take, mut close) = (false, false);
        let modal = egui::Modal::new(egui::Id::unique("accept a finding")).show(ctx, |ui| {
            ui.set_width(440.0);
            widgets::head(ui, "Accept this finding");
            ui.horizontal_top(|ui| {
                let t = theme::tokens(ui);
                let (rect, _) = ui.allocate_exact_size(vec2(24.0, 22.0), Sense::hover());
                widgets::sign(ui.painter(), rect.center(), 8.5, self.finding.severity, t);
                ui.vertical(|ui| ui.label(&self.finding.message));
            });
            let text = "It stays listed and is printed with your reason. It comes back when its figure gets worse.";
            ui.label(widgets::faint(ui, text));
            ui.add_space(4.0);
            let reason = egui::TextEdit::multiline(&mut self.reason).desired_rows(3).desired_width(f32::INFINITY);
            ui.label("Reason");
            let reason = ui.add(reason.hint_text("why it may stay as it is")).accessible_name("Reason for accepting");
            if !self.focused {
                reason.request_focus();
                self.focused = true;
            }
            ui.columns(2, |columns| {
                let [left, right] = columns else { return };
                left.label("Name");
                let by = egui::TextEdit::singleline(&mut self.by).desired_width(f32::INFINITY);
                left.add(by.hint_text("who accepts it")).accessible_name("Name of the person who accepts");
                right.label("Date");
                let date = egui::TextEdit::singleline(&mut self.date).desired_width(f32::INFINITY);
                right.add(date.hint_text("empty: not stated")).accessible_name("Date of acceptance");
            });
            if let Some(why) = &self.refused {
                let t = theme::tokens(ui);
                ui.colored_label(t.over, format!("Not taken: {why}"));
            }
            ui.add_space(4.0);
            ui.horizontal(|ui| {
                let stated = !self.reason.trim().is_empty() && !self.by.trim().is_empty();
                let button = ui.add_enabled(stated, egui::Button::new(widgets::strong("Accept it")));
                let button = button.on_disabled_hover_text("A reason and a name are needed.");
                take = button.accessible_name("Accept the finding").clicked();
                close = ui.button("Cancel").accessible_name("Do not accept").clicked();
            });
        });
        if take {
            let accepted = self.finding.acceptance(&self.reason, &self.by, &self.date);
            match state.try_edit(&Edit::Accept(Box::new(accepted)), None) {
                Ok(()) => {
                    widgets::remember_person(ctx, &self.by);
                    state.say(format!("accepted: {}", split(&self.finding.message).0));
                    return false;
                }
                Err(why) => self.refused = Some(why.to_string()),
            }
        }
        !(close || modal.should_close())
    }
}

/// The accepted findings, folded at the end of the list. `open` says whether they are shown.
pub fn list(ui: &mut Ui, judged: &Judged, open: &mut bool, state: &mut State) {
    let count = judged.accepted.len() + judged.unmatched.len();
    if count == 0 {
        return;
    }
    let text = if count == 1 { "1 accepted finding".to_owned() } else { format!("{count} accepted findings") };
    fold(ui, &text, open);
    if !*open {
        return;
    }
    let doc = state.installation().clone();
    let mut withdraw = None;
    for (i, one) in judged.accepted.iter().enumerate() {
        let Some(accepted) = doc.accepted.get(one.index) else { continue };
        let t = theme::tokens(ui);
        let mut job = LayoutJob::default();
        let (head, rest) = split(&one.finding.message);
        add(&mut job, head, theme::bold(theme::DATA), t.ink);
        if !rest.is_empty() {
            add(&mut job, &format!("\n{rest}"), theme::regular(theme::DATA), t.ink);
        }
        let said = format!("\nAccepted by {}: {}", by_and_date(&accepted.by, &accepted.date), accepted.reason);
        add(&mut job, &said, theme::regular(theme::DATA), t.note);
        let name = format!("accepted, {}: {}", one.finding.severity, one.finding.message);
        let about = selection(&one.finding);
        let chosen = !about.is_empty() && about == *state.selection();
        let look = Look { chosen, severity: Some(one.finding.severity), open: None };
        if block(ui, ("accepted", i), job, &name, look, |_| {}) {
            state.go_to(about);
        }
        if widgets::link(ui, "Withdraw this acceptance").accessible_name(format!("Withdraw: {name}")).clicked() {
            withdraw = Some(one.index);
        }
    }
    for (i, index) in judged.unmatched.iter().enumerate() {
        let Some(accepted) = doc.accepted.get(*index) else { continue };
        let t = theme::tokens(ui);
        let tags: Vec<&str> = accepted.parts.iter().filter_map(|p| doc.parts.get(p)).map(|p| p.tag.as_str()).collect();
        let about = if tags.is_empty() { "a part that is gone".to_owned() } else { tags.join(", ") };
        let mut job = LayoutJob::default();
        let head = format!("{} · {about}", accepted.rule.replace('-', " "));
        add(&mut job, &head, theme::bold(theme::DATA), t.ink);
        let said = format!(
            "\nNot found in this condition now. Accepted by {}: {}",
            by_and_date(&accepted.by, &accepted.date),
            accepted.reason
        );
        add(&mut job, &said, theme::regular(theme::DATA), t.faint);
        let name = format!("accepted, not found now: {head}");
        if block(ui, ("accepted before", i), job, &name, Look::default(), |_| {}) {
            state.go_to(Selection::of_parts(accepted.parts.iter().copied().filter(|p| doc.parts.contains_key(p))));
        }
        if widgets::link(ui, "Withdraw this acceptance").accessible_name(format!("Withdraw: {name}")).clicked() {
            withdraw = Some(*index);
        }
    }
    if let Some(index) = withdraw {
        state.edit(&Edit::WithdrawAcceptance(index), None);
    }
}

fn by_and_date(by: &str, date: &str) -> String {
    if date.is_empty() { by.to_owned() } else { format!("{by}, {date}") }
}

/// A line that opens and folds what follows it.
pub fn fold(ui: &mut Ui, text: &str, open: &mut bool) {
    let t = theme::tokens(ui);
    let (rect, response) = ui.allocate_exact_size(vec2(ui.available_width(), 26.0), Sense::click());
    response.widget_info(|| WidgetInfo::selected(Role::Button, true, *open, text));
    ui.ctx().accesskit_node_builder(response.id, |node| node.set_expanded(*open));
    if response.hovered() {
        ui.painter().rect_filled(rect, 4.0, t.hover);
    }
    glyphs::fold(ui.painter(), rect.left_center() + vec2(10.0, 0.0), *open, t.faint);
    let galley = ui.painter().layout_no_wrap(text.to_owned(), theme::bold(theme::DATA), t.ink);
    ui.painter().galley(rect.left_center() + vec2(22.0, -galley.size().y / 2.0), galley, t.ink);
    widgets::focus_ring(ui, &response, 4.0);
    if response.clicked() {
        *open = !*open;
    }
}
