//! The hand-over pack: pages made of the drawing and of tables.
//!
//! What lives here: the tables as data, one writer a format. What must not: layout of the drawing (it comes as a scene in
//! millimetres), rules, files (a writer gives text or bytes).

mod cautions;
mod contents;
pub mod csv_files;
pub mod dxf;
mod format;
mod frame;
pub mod html;
mod issue;
mod overlay;
mod pack;
mod page;
mod paper;
pub mod pdf;
pub mod png;
mod revised;
pub mod schedules;
mod single_line;
pub mod svg;
pub mod table;
mod title;
mod typeset;
pub mod xlsx;

pub use cautions::NOT_FOR_CONSTRUCTION;
pub use format::{Format, WriteError, Written, undivided, write};
pub use overlay::overlay;
pub use pack::{Kind, Options, Pack, pack};
pub use page::{Block, Mark, Page, Role};
pub use paper::{Orientation, Paper, Size};
pub use revised::revised;
