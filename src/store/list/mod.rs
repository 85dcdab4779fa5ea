//! Circuit lists: an installation as rows of a spreadsheet (CSV), read and written.
//!
//! One row is one part together with the cable that feeds it; lines that start with `#` before the header hold for the
//! whole. [`import`] reports everything that is wrong at once, with line and column; [`export`] writes what importing
//! again turns into the same electrical installation in the condition that was written.
//!
//! What a list cannot hold, and an export therefore leaves out: positions and rectangles of spaces (a part's kind of
//! space is kept), the names of spaces, the title block, other operating conditions, tags of cables, where values come
//! from, ids, values that have no meaning for the part or the system (a leg in a two-wire system), and fields that this
//! version does not know.
//!
//! Beyond the agreed columns' words the list knows one more, so that nothing that is not known turns into something that
//! is: `unknown` in the column `conductor`, for a cable whose size is not known where an empty cell would mean that
//! there is none. And where several cables feed a part that is no selector, their columns may hold lists as a
//! selector's do.

mod clipboard;
mod column;
mod export;
mod feeds;
pub(super) mod header;
mod import;
mod preamble;
pub(super) mod table;

pub use clipboard::{Pasted, from_clipboard, to_clipboard};
pub use column::Column;
pub use export::export;
pub use import::{Imported, import};

/// The boat of a circuit list that a test of some room gives.
#[cfg(test)]
pub(crate) fn boat(text: &str) -> crate::installation::Installation {
    import(text).unwrap_or_else(|problems| panic!("{problems:?}")).installation
}
