//! The document: everything that is in one file.
//!
//! What lives here: parts, cables, spaces and operating conditions, keyed by ids that are never reused; edits as values
//! that make a new document of an old one; history as labelled states. What must not: published tables, computed
//! figures, file access, screens, clocks. Nothing here knows how it is stored or drawn.

mod aboard;
mod apply;
mod cable;
mod compare;
mod document;
mod edit;
mod geometry;
mod history;
mod ids;
mod kind;
mod mirror;
mod natural;
mod origins;
mod part;
pub mod plan;
mod property;
mod reading;
mod record;
mod set_data;
mod system;
mod tray;
mod usage;
mod values;

pub use aboard::Aboard;
pub use cable::{Cable, CableData, Conductor, INSULATIONS_C, Size};
pub use compare::{About, Change, Comparison, Entry, Issue, changes_between, compare, issues, since_last_revision};
pub use document::{Condition, Extra, Installation, Space, SpaceKind, TitleBlock};
pub use edit::{Edit, EditError, Edited, Selection, blank};
pub use geometry::{Point, Rect};
pub use history::History;
pub use ids::{CableId, PartId, SpaceId};
pub use kind::{Feeds, PartKind};
pub use natural::{natural, natural_order};
pub use origins::{Doubt, ToMeasure, to_measure};
pub use part::{Fuel, Leg, LoadKind, MadeForHz, Origin, Part, Place, Protection, Trip};
pub use plan::Span;
pub use property::{Property, with_unit};
pub use reading::{ReadQuantity, Reading, Rounding};
pub use record::{Accepted, Revision, Status};
pub use set_data::{Mode, SetData, Turns};
pub use system::{ResistanceBasis, RuleSet, System};
pub use tray::{Size as BoxSize, Tray};
pub use usage::{Candidate, Usage, Uses};
pub use values::{ValueError, valid_tag};
