//! Fields that keep what is typed until it is taken; what is not valid stays, marked and explained.

use crate::app::{theme, widgets};
use egui::{RichText, Stroke, StrokeKind, Ui};
use std::collections::BTreeMap;

#[derive(Default)]
struct Draft {
    text: String,
    error: Option<String>,
    shown: bool,
}

/// What is typed and not taken yet, by the name of the field.
#[derive(Default)]
pub struct Drafts(BTreeMap<String, Draft>);

impl Drafts {
    /// Before the fields are shown.
    pub fn begin(&mut self) {
        for draft in self.0.values_mut() {
            draft.shown = false;
        }
    }

    /// After they were shown: forgets what belongs to no field any more.
    pub fn end(&mut self) {
        self.0.retain(|_, draft| draft.shown);
    }

    /// What was typed was not taken; it stays in its field with what would be valid.
    pub fn refuse(&mut self, name: &str, typed: &str, valid: &str) {
        let draft = Draft { text: typed.to_owned(), error: Some(format!("Not taken; valid: {valid}")), shown: true };
        self.0.insert(name.to_owned(), draft);
    }

    /// A field of this name for screen readers; gives what was typed once it is left or Enter is pressed.
    pub fn text(&mut self, ui: &mut Ui, name: &str, now: &str, hint: &str, width: f32) -> Option<String> {
        let t = theme::tokens(ui);
        let draft = self.0.get(name);
        let mut text = draft.map_or_else(|| now.to_owned(), |d| d.text.clone());
        let error = draft.and_then(|d| d.error.clone());
        let id = ui.scope_id().with(("endurance", name));
        let hint = RichText::new(hint).color(t.faint).font(theme::regular(theme::DATA));
        let mut taken = None;
        ui.vertical(|ui| {
            let field = egui::TextEdit::singleline(&mut text).id(id).hint_text(hint).desired_width(width);
            let response = ui.add(field).accessible_name(name);
            if let Some(error) = &error {
                ui.painter().rect_stroke(response.rect, 3.0, Stroke::new(1.5, t.over), StrokeKind::Inside);
                ui.ctx().accesskit_node_builder(response.id, |node| node.set_description(error.as_str()));
                let line = widgets::small(ui, error.as_str()).color(t.over);
                ui.label(line);
            }
            if response.changed() {
                self.0.insert(name.to_owned(), Draft { text: text.clone(), error: None, shown: true });
            }
            if let Some(draft) = self.0.get_mut(name) {
                draft.shown = true;
            }
            if response.lost_focus() {
                let escaped = ui.input(|i| i.key_pressed(egui::Key::Escape));
                if self.0.remove(name).is_some() && !escaped {
                    taken = Some(text.clone());
                }
            }
        });
        taken.filter(|typed| typed != now)
    }
}
