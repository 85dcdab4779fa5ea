//! A save that waits for a yes: the file was changed elsewhere, or a path was typed where there is a file already.

use super::{Ask, Files};
use crate::app::state::State;
use crate::app::widgets;
use crate::store::path_text;
use egui::Context;
use std::path::PathBuf;

/// A save that waits for a yes.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) enum Doubt {
    /// Another program changed the drawing's own file.
    Elsewhere(PathBuf),
    /// A path was typed where there is a file already.
    Replace(Ask, PathBuf),
}

impl Files {
    /// Shows the question.
    pub(super) fn show_doubt(&mut self, ctx: &Context, state: &mut State) {
        let Some(doubt) = self.doubt.clone() else { return };
        let (title, text, yes) = match &doubt {
            Doubt::Elsewhere(path) => (
                "The file was changed elsewhere",
                format!(
                    "{} is not as it was when this window read or saved it. To save now puts this drawing in place of \
                     what is there; what is there stays beside it as .bak.",
                    path_text(path)
                ),
                "Save over it",
            ),
            Doubt::Replace(_, path) => {
                ("There is such a file already", format!("{} would be replaced.", path_text(path)), "Replace it")
            }
        };
        let mut answer = None;
        let modal = egui::Modal::new(egui::Id::unique("a save in doubt")).show(ctx, |ui| {
            ui.set_width(420.0);
            widgets::head(ui, title);
            ui.label(text);
            ui.horizontal(|ui| {
                for (i, word) in [yes, "Save under another name…", "Cancel"].into_iter().enumerate() {
                    if ui.button(word).clicked() {
                        answer = Some(i);
                    }
                }
            });
        });
        let Some(answer) = answer.or(modal.should_close().then_some(2)) else { return };
        self.doubt = None;
        match (answer, doubt) {
            (0, Doubt::Elsewhere(path)) => {
                // What somebody else wrote is kept, whatever was kept before.
                self.saved_once = false;
                self.write_over(ctx, state, &path);
            }
            (0, Doubt::Replace(ask, path)) => self.answered(ctx, state, &ask, path),
            (1, Doubt::Elsewhere(_)) => self.save_as(ctx, state),
            (1, Doubt::Replace(ask, _)) => self.ask(ctx, ask),
            _ => self.after_save = None,
        }
    }
}
