//! What the survey, the loads and the reader add to the drawing, as plain data.

use crate::installation::{CableId, PartId};
use crate::network::Rated;
use crate::units::Severity;
use std::collections::{BTreeMap, BTreeSet};

/// Figures for the gauges of a source. `None` is "not known".
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Peak {
    /// What it delivers now, beside its continuous rating.
    pub running: Rated,
    /// Watts at the worst start that nobody schedules, or, where nothing cycles, of the best starting order.
    pub peak_w: Option<f64>,
    /// Its peak rating in watts.
    pub peak_rating_w: Option<f64>,
}

/// Findings and gauges, by what they stand on. Empty: the bare drawing.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Overlay {
    /// The worst finding of each part.
    pub worst: BTreeMap<PartId, Severity>,
    /// The worst finding of each cable.
    pub worst_cables: BTreeMap<CableId, Severity>,
    /// Parts above their own limit.
    pub over_parts: BTreeSet<PartId>,
    /// Cables above their own limit.
    pub over_cables: BTreeSet<CableId>,
    /// Parts close to a limit.
    pub close_parts: BTreeSet<PartId>,
    /// Gauges of sources.
    pub peaks: BTreeMap<PartId, Peak>,
}

/// How the drawing is made.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Options {
    /// Lengths in feet.
    pub feet: bool,
    /// All breakers are drawn open, as sheets do by convention; otherwise each shows its position.
    pub breakers_open: bool,
    /// No figures of the solve: sizes and lengths alone.
    pub without_figures: bool,
    /// Height of all labels in per cent of their usual height; 100 is usual.
    pub text_percent: u16,
    /// For paper: no label is cut and none covers another. One that finds no room anywhere is made as small as the
    /// smallest; one that even then finds none leaves a number, and its text goes to [`super::Scene::notes`].
    pub numbered: bool,
    /// For paper: how many notes of other drawings on the same sheet come before those of this one.
    pub notes_before: usize,
    /// For paper: the widest label in millimetres of the drawing; a wider one leaves a number, as it would push the
    /// drawing to a scale at which letters are larger than symbols.
    pub widest: Option<u16>,
}

impl Default for Options {
    fn default() -> Self {
        Self {
            feet: false,
            breakers_open: false,
            without_figures: false,
            text_percent: 100,
            numbered: false,
            notes_before: 0,
            widest: None,
        }
    }
}
