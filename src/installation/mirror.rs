//! Symbols drawn the other way round, as an edit.

use super::apply::count;
use super::document::Installation;
use super::edit::{EditError, Selection};
use super::ids::PartId;

impl Installation {
    /// Draws symbols the other way round, or the usual way.
    pub(super) fn mirror(
        &mut self,
        parts: &[PartId],
        mirrored: bool,
    ) -> Result<(String, Option<Selection>), EditError> {
        for id in parts {
            self.part_mut(*id)?.mirrored = mirrored;
        }
        let back = if mirrored { "" } else { " back" };
        Ok((format!("mirror {}{back}", self.named(parts)), None))
    }

    /// The tag of one part, the number of several.
    pub(super) fn named(&self, parts: &[PartId]) -> String {
        match parts {
            [one] => self.tag(*one).to_owned(),
            many => count(many.len(), "part"),
        }
    }
}
