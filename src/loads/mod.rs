//! What the solved drawing means for use: load analysis, what runs together, starting order and peaks, sources side by
//! side, endurance.
//!
//! What lives here: questions about several appliances on one source. What must not: the numeric solve, rules, screens.

pub mod analysis;
pub mod comparison;
pub mod endurance;
pub mod noise;
pub mod placing;
pub mod sequence;
pub mod starting;
pub mod together;
pub mod trial;
