//! The hand-over pack: pages made of the drawing and of tables.
//!
//! What lives here: the tables as data, one writer a format. What must not: layout of the drawing (it comes as a scene in
//! millimetres), rules, files (a writer gives text or bytes).

pub mod csv_files;
pub mod dxf;
pub mod html;
mod issue;
pub mod png;
pub mod schedules;
pub mod svg;
pub mod table;
pub mod xlsx;
