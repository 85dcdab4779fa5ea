//! From an installation and one operating condition to currents and voltages.
//!
//! What lives here: the graph of one condition, the walk from the energised source, the order in which the numeric solve
//! runs, the backward/forward sweep on flat arrays, and the solved figures. What must not: rules and limits, file
//! formats, clocks, anything that is drawn. Nothing here can be serialised.

mod solution;
mod walk;

pub use solution::{CableFlow, Currents, PartFlow, Solution, SourceFlow, Voltages};
pub use walk::{Fault, Feed, Reach, Walk};
