//! The drawing as plain data in millimetres: strokes, arcs, text, hatches and targets.
//!
//! What lives here: symbols, routing, labels, automatic layout, hit areas. What must not: the window's toolkit, colours
//! (only the meaning of an ink), findings (they come in as plain marks), files. The canvas and the sheets read the same
//! scene; neither lays anything out.

mod build;
mod font;
mod geometry;
mod index;
mod labels;
mod layout;
mod overlay;
mod pen;
pub mod refit;
mod routing;
mod scene;
mod status;
mod symbols;

pub use build::scene;
pub use font::{BOLD, DESCENT, REGULAR, em_per_capital, fitted, text_width};
pub use geometry::{Footprint, Geometry};
pub use layout::{lay_out, lay_out_wide};
pub use overlay::{Options, Overlay, Peak};
pub use pen::weight;
pub use scene::{Align, CablePath, Ink, Item, Layer, Note, PartArea, Scene, Shape, Stroke, Target, Terminal, Weight};
pub use status::{Status, cable_width};
pub use symbols::{mark_sample, sample};
