//! Reading and writing files.
//!
//! What lives here: the `.hullwire` format and its versions ([`mod@format`] says what is in it), circuit lists ([`list`]),
//! atomic saves, and error texts that name the place, what was found and what would be valid. What must not: published
//! tables, computed figures, the drawing. Types of the file are kept apart from those of the document and are converted
//! by hand. This is the only room that opens files. A [`Session`] holds a drawing: its lock, and the journal of what is in
//! no file yet.

mod disk;
mod file;
pub mod format;
mod json;
mod limits;
pub mod list;
mod mark;
mod migrate;
mod pack;
mod preferences;
mod problem;
mod read;
mod read_record;
mod read_usage;
mod read_use;
mod readings;
mod sample;
mod session;
mod write;

pub use disk::{MAX_BYTES, SaveError, Saved, path_text, read_bytes, write_bytes, write_folder, write_with};
pub use file::{Form, OpenError, Opened, open, parse, save, to_text};
pub use json::MAX_DEPTH;
pub use limits::{MAX_CABLES, MAX_CONDITIONS, MAX_PARTS, MAX_SPACES};
pub use mark::Mark;
pub use preferences::{Preferences, ThemeChoice, keep_appliances, own_appliances};
pub use problem::Problem;
pub use readings::{ReadingsError, open_readings, parse_readings, reading_words, readings_text};
pub use sample::{SAMPLES, Sample, sample};
pub use session::{Left, Session};
