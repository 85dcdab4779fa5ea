//! The drawing as plain data in millimetres: strokes, arcs, text, hatches and targets.
//!
//! What lives here: symbols, routing, labels, automatic layout, hit areas. What must not: egui, colours (only the
//! meaning of an ink), findings (they come in as plain marks), files. The canvas and the sheets read the same scene;
//! neither lays anything out.

mod scene;

pub use scene::{Align, CablePath, Ink, Item, Layer, PartArea, Scene, Shape, Stroke, Target, Terminal, Weight};
