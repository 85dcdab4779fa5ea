//! What the solved drawing means for use: starting order and peaks.
//!
//! What lives here: questions about several appliances on one source. What must not: the numeric solve, rules, screens.

pub mod endurance;
pub mod starting;
pub mod together;
