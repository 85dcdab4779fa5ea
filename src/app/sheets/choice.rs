//! What is chosen for the sheets, remembered for each file.

use crate::installation::Installation;
use crate::sheets::{self, Kind, Options, Orientation, Paper, Size};
use egui::{Context, Id};
use serde::{Deserialize, Serialize};
use std::path::Path;

/// The last choice for a file, by the names that the options of the terminal have.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(default)]
pub struct Choice {
    size: String,
    portrait: bool,
    /// Kinds of sheet that are left out.
    without: Vec<String>,
    /// Lengths on the diagram in feet.
    pub feet: bool,
    /// What was written is opened with the desktop's own program.
    pub open: bool,
}

impl Default for Choice {
    fn default() -> Self {
        let size = Size::default().name().to_owned();
        Self { size, portrait: false, without: Vec::new(), feet: false, open: true }
    }
}

fn id(path: Option<&Path>) -> Id {
    Id::unique(("choice of sheets", path.map(Path::to_path_buf)))
}

impl Choice {
    /// What was chosen last for this file, or for drawings without a file; before any choice lengths are as preferred.
    #[must_use]
    pub fn recall(ctx: &Context, path: Option<&Path>, feet: bool) -> Self {
        let usual = || Self { feet, ..Self::default() };
        ctx.data_mut(|data| data.get_persisted(id(path))).unwrap_or_else(usual)
    }

    /// Keeps it for the file, beyond this session.
    pub fn keep(&self, ctx: &Context, path: Option<&Path>) {
        ctx.data_mut(|data| data.insert_persisted(id(path), self.clone()));
    }

    /// Size and orientation.
    #[must_use]
    pub fn paper(&self) -> Paper {
        let orientation = if self.portrait { Orientation::Portrait } else { Orientation::Landscape };
        Paper { size: Size::parse(&self.size).unwrap_or_default(), orientation }
    }

    /// Chooses size and orientation.
    pub fn set_paper(&mut self, paper: Paper) {
        paper.size.name().clone_into(&mut self.size);
        self.portrait = paper.orientation == Orientation::Portrait;
    }

    /// True where sheets of this kind are wanted.
    #[must_use]
    pub fn wants(&self, kind: Kind) -> bool {
        !self.without.iter().any(|slug| slug == kind.slug())
    }

    /// Takes a kind of sheet in or leaves it out.
    pub fn set_wants(&mut self, kind: Kind, wanted: bool) {
        self.without.retain(|slug| slug != kind.slug());
        if !wanted {
            self.without.push(kind.slug().to_owned());
        }
    }

    /// The options of a pack in this condition; `None` where no sheet is wanted.
    #[must_use]
    pub fn options(&self, doc: &Installation, condition: usize) -> Option<Options> {
        let only: Vec<Kind> = Kind::ALL.into_iter().filter(|kind| self.wants(*kind)).collect();
        let options = Options {
            paper: self.paper(),
            condition,
            feet: self.feet,
            only,
            revised: sheets::revised(doc),
            ..Options::default()
        };
        (!options.only.is_empty()).then_some(options)
    }
}
