//! Rules about the drawing itself.

pub(super) mod breaker_spare;
pub(super) mod cable_data_missing;
pub(super) mod circuit_unlabelled;
pub(super) mod cord_not_counted;
pub(super) mod figures_typical;
pub(super) mod insulation_assumed;
pub(super) mod label_duplicate;
pub(super) mod length_zero;
pub(super) mod tag_duplicate;
pub(super) mod tag_form;
pub(super) mod title_block_incomplete;
pub(super) mod to_be_removed;
