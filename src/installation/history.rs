//! History as labelled states, with undo and redo without limit.
//!
//! Limits: a state is a whole document (parts shared with its neighbours), so memory grows with the number of changed
//! parts, not with the size of the drawing. Doing something new after undo drops what could have been redone.

use super::document::Installation;
use super::edit::{Edit, EditError, Selection};
use std::sync::Arc;

/// One state: the document, what was selected, and the name of the step that led to it.
#[derive(Clone, Debug)]
struct State {
    installation: Arc<Installation>,
    selection: Selection,
    label: String,
    /// Steps with the same key, one after the other, are one step: a drag, a field that is typed into.
    merge: Option<String>,
}

/// The document with its past and its undone future.
#[derive(Clone, Debug)]
pub struct History {
    states: Vec<State>,
    at: usize,
    /// The state that is on disk, if it is still among `states`.
    saved: Option<usize>,
}

impl History {
    /// Starts with a document that counts as saved.
    #[must_use]
    pub fn new(installation: Installation) -> Self {
        let state = State {
            installation: Arc::new(installation),
            selection: Selection::default(),
            label: String::new(),
            merge: None,
        };
        Self { states: vec![state], at: 0, saved: Some(0) }
    }

    fn current(&self) -> &State {
        &self.states[self.at]
    }

    /// The document as it is now.
    #[must_use]
    pub fn installation(&self) -> &Arc<Installation> {
        &self.current().installation
    }

    /// What is selected.
    #[must_use]
    pub fn selection(&self) -> &Selection {
        &self.current().selection
    }

    /// Selects something; no step of its own.
    pub fn select(&mut self, selection: Selection) {
        let selection = selection.within(&self.states[self.at].installation);
        self.states[self.at].selection = selection;
        self.states[self.at].merge = None;
    }

    /// Applies an edit as a step. With the `merge` key of the step before, the two become one.
    ///
    /// # Errors
    /// The edit's own; nothing is changed then.
    pub fn apply(&mut self, edit: &Edit, merge: Option<&str>) -> Result<(), EditError> {
        let edited = self.installation().apply(edit)?;
        if edited.installation == **self.installation() {
            if let Some(selection) = edited.selection {
                self.select(selection);
            }
            return Ok(());
        }
        let before = self.current().selection.clone();
        let selection = edited.selection.unwrap_or(before).within(&edited.installation);
        let state = State {
            installation: Arc::new(edited.installation),
            selection,
            label: edited.label,
            merge: merge.map(str::to_owned),
        };
        self.states.truncate(self.at + 1);
        if self.saved.is_some_and(|s| s > self.at) {
            self.saved = None;
        }
        if merge.is_some() && self.at > 0 && self.current().merge.as_deref() == merge && self.saved != Some(self.at) {
            self.states[self.at] = state;
        } else {
            self.states.push(state);
            self.at += 1;
        }
        Ok(())
    }

    /// Ends a run of merged steps: the next edit is a step of its own.
    pub fn seal(&mut self) {
        self.states[self.at].merge = None;
    }

    /// Name of the step that undo would take back.
    #[must_use]
    pub fn undo_label(&self) -> Option<&str> {
        (self.at > 0).then(|| self.current().label.as_str())
    }

    /// Name of the step that redo would do again.
    #[must_use]
    pub fn redo_label(&self) -> Option<&str> {
        self.states.get(self.at + 1).map(|s| s.label.as_str())
    }

    /// Takes the last step back as if it had never been made, if it is the one with this merge key: a drag that was
    /// cancelled. False where it is another one.
    pub fn abandon(&mut self, merge: &str) -> bool {
        if self.at == 0 || self.current().merge.as_deref() != Some(merge) {
            return false;
        }
        self.states.truncate(self.at);
        self.at -= 1;
        self.seal();
        true
    }

    /// Takes one step back. False where there is none.
    pub fn undo(&mut self) -> bool {
        if self.at == 0 {
            return false;
        }
        self.at -= 1;
        self.seal();
        true
    }

    /// Does one undone step again. False where there is none.
    pub fn redo(&mut self) -> bool {
        if self.at + 1 >= self.states.len() {
            return false;
        }
        self.at += 1;
        self.seal();
        true
    }

    /// The document as it is now is on disk.
    pub fn mark_saved(&mut self) {
        self.saved = Some(self.at);
        self.seal();
    }

    /// True where the document differs from what is on disk.
    #[must_use]
    pub fn is_changed(&self) -> bool {
        self.saved != Some(self.at)
    }

    /// Counts as never saved: an imported list, a recovered drawing.
    pub fn mark_unsaved(&mut self) {
        self.saved = None;
    }

    /// How many steps can be taken back.
    #[must_use]
    pub fn depth(&self) -> usize {
        self.at
    }
}
