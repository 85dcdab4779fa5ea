//! From an installation and one operating condition to currents and voltages.
//!
//! What lives here: the graph of one condition, the walk from the energised source, the order in which the numeric solve
//! runs, the backward/forward sweep on flat arrays, and the solved figures. What must not: rules and limits, file
//! formats, clocks, anything that is drawn. Nothing here can be serialised.

mod affine;
mod ampacity;
mod band;
mod bands;
mod batch;
mod beside;
#[cfg(test)]
mod boats;
mod bounds;
mod flat;
mod graph;
mod impedance;
mod incremental;
mod legs;
mod matrix;
mod pace;
mod phasor_range;
mod radial;
mod raise;
mod rated;
mod reach;
mod rings;
mod solution;
mod solve;
#[cfg(test)]
mod solve_tests;
mod sweep;
mod tolerance;
mod vary;
mod walk;

pub use ampacity::{Ampacity, Step, ampacity};
pub use bands::{Bands, CableBand, PartBand, SourceBand, bands};
pub use batch::Solved;
pub use bounds::{Bounds, Frame};
pub use flat::{Network, Outcome, State};
pub use impedance::{conductor_ohm_per_m, conductor_ohms, resistance_basis, working_c};
pub use incremental::{Effort, Solver};
pub use phasor_range::{PhasorRange, Span};
pub use radial::{Branch, NotRadial, Radial};
pub use rated::Rated;
pub use reach::walk;
pub use solution::{CableFlow, Currents, PartFlow, Solution, SourceFlow, Voltages};
pub use solve::solve;
pub use tolerance::{Lie, Tolerances, Truths};
pub use vary::Scenario;
pub use walk::{Fault, Feed, Reach, Walk};
