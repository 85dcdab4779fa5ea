//! Reading and writing files.
//!
//! What lives here: the `.hullwire` format and its versions ([`mod@format`] says what is in it), circuit lists ([`list`]),
//! atomic saves, and error texts that name the place, what was found and what would be valid. What must not: published
//! tables, computed figures, the drawing. Types of the file are kept apart from those of the document and are converted
//! by hand. This is the only room that opens files.

mod disk;
mod file;
pub mod format;
pub mod list;
mod problem;
mod read;
mod read_record;
mod sample;
mod write;

pub use disk::{MAX_BYTES, SaveError, Saved, read_bytes, write_bytes};
pub use file::{Form, OpenError, Opened, open, parse, save, to_text};
pub use problem::Problem;
pub use sample::sample;
