//! Revisions: what was issued, what changed since, and the dialog that issues the next one.

use crate::app::state::State;
use crate::app::{theme, widgets};
use crate::installation::{self, Comparison, Edit, Installation, Issue};
use egui::{Context, RichText, Ui};

/// The dialog while it is open.
pub struct Issuing {
    letter: String,
    date: String,
    author: String,
    note: String,
    refused: Option<String>,
}

impl Issuing {
    /// Opens it with the next letter, today's date and the name that was given last.
    #[must_use]
    pub fn open(ctx: &Context, doc: &Installation) -> Self {
        let person = widgets::person(ctx);
        let author = if person.is_empty() { doc.title.creator.clone() } else { person };
        Self { letter: doc.next_letter(), date: widgets::today(), author, note: String::new(), refused: None }
    }

    /// Shows it; false once it is closed.
    pub fn show(&mut self, ctx: &Context, state: &mut State) -> bool {
        let (mut issue, mut close) = (false, false);
        let modal = egui::Modal::new(egui::Id::unique("issue a revision")).show(ctx, |ui| {
            ui.set_width(420.0);
            widgets::head(ui, "Issue a revision");
            let text = "Keeps the drawing as it is now under a letter. The next issue lists what changed since.";
            ui.label(widgets::faint(ui, text));
            ui.add_space(4.0);
            let field = |ui: &mut Ui, name: &str, text: &mut String, hint: &str| {
                ui.label(name);
                let field = egui::TextEdit::singleline(text).hint_text(hint).desired_width(f32::INFINITY);
                ui.add(field).accessible_name(format!("Revision, {}", name.to_lowercase()));
            };
            ui.columns(2, |columns| {
                let [left, right] = columns else { return };
                field(left, "Letter", &mut self.letter, "the next one");
                field(right, "Date", &mut self.date, "2026-05-30");
            });
            field(ui, "Author", &mut self.author, "who issues it");
            field(ui, "Note", &mut self.note, "what it is about");
            if let Some(why) = &self.refused {
                let t = theme::tokens(ui);
                ui.colored_label(t.over, format!("Not issued: {why}"));
            }
            ui.add_space(4.0);
            ui.horizontal(|ui| {
                issue = ui.button(widgets::strong("Issue it")).accessible_name("Issue the revision").clicked();
                close = ui.button("Cancel").accessible_name("Do not issue").clicked();
            });
        });
        if issue {
            let edit = Edit::IssueRevision {
                letter: self.letter.clone(),
                date: self.date.clone(),
                author: self.author.clone(),
                note: self.note.clone(),
            };
            match state.try_edit(&edit, None) {
                Ok(()) => {
                    widgets::remember_person(ctx, &self.author);
                    return false;
                }
                Err(why) => self.refused = Some(why.to_string()),
            }
        }
        !(close || modal.should_close())
    }
}

/// One line for each thing that changed.
fn lines(changes: &Comparison) -> Vec<String> {
    let mut out = Vec::new();
    out.extend(changes.come().iter().map(|e| format!("added: {}", e.name)));
    out.extend(changes.gone().iter().map(|e| format!("taken away: {}", e.name)));
    out.extend(changes.changed.iter().map(|c| {
        let of = if c.tag.is_empty() { String::new() } else { format!("{} ", c.tag) };
        format!("{of}{}: {} → {}", c.what(), c.old_words(), c.new_words())
    }));
    if !changes.moved.is_empty() {
        out.push(format!("{} only moved on the drawing", count(changes.moved.len(), "symbol")));
    }
    out
}

fn count(n: usize, one: &str) -> String {
    if n == 1 { format!("1 {one}") } else { format!("{n} {one}s") }
}

/// What was issued, the latest first, each with what it changed.
pub fn list(ui: &mut Ui, doc: &Installation) {
    let all = installation::issues(doc);
    if doc.revisions.is_empty() {
        ui.label(widgets::faint(ui, "Nothing was issued yet."));
        return;
    }
    for (i, issue) in all.iter().enumerate().rev() {
        entry(ui, i, issue);
    }
    if all.last().is_some_and(|last| last.revision.is_some()) {
        ui.label(widgets::faint(ui, "Nothing was changed since."));
    }
}

fn entry(ui: &mut Ui, index: usize, issue: &Issue<'_>) {
    ui.add_space(2.0);
    match issue.revision {
        Some(revision) => {
            let by = if revision.author.is_empty() { String::new() } else { format!(" · {}", revision.author) };
            ui.label(widgets::strong(format!("{} · {}{by}", revision.letter, revision.date)));
            if !revision.note.is_empty() {
                ui.label(RichText::new(&revision.note).font(theme::regular(theme::DATA)));
            }
        }
        None => {
            ui.label(widgets::strong("Not issued yet"));
        }
    }
    let Some(since) = issue.since else { return };
    let lines = lines(&issue.changes);
    if lines.is_empty() {
        ui.label(widgets::faint(ui, format!("no change since {}", since.letter)));
        return;
    }
    let title = widgets::faint(ui, format!("{} since {}", count(lines.len(), "change"), since.letter));
    egui::CollapsingHeader::new(title).id_salt(("changes", index)).show_unindented(ui, |ui| {
        ui.spacing_mut().item_spacing.y = 2.0;
        for line in lines {
            ui.label(RichText::new(line).font(theme::regular(theme::DATA)));
        }
    });
}
