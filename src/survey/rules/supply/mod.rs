//! Rules about what feeds what.

pub(super) mod island;
pub(super) mod leg_missing;
pub(super) mod no_solution;
pub(super) mod not_fed;
pub(super) mod parallel_sources;
pub(super) mod ring;
