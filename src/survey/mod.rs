//! The survey: the run of all rules over a solved installation.
//!
//! What lives here: one file a rule, the registry, findings, what was not checked, and the standing cautions. What must
//! not: walking the graph, solving, drawing. The walk is done once; rules receive it read-only and never call each other.

mod finding;

pub use finding::{Finding, NotChecked, Survey};
