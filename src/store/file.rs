//! Opening a file of either kind, and saving a drawing.

use super::disk::{SaveError, Saved, path_text, read_bytes, write_bytes};
use super::format::VERSION;
use super::json::{self, MAX_DEPTH};
use super::limits;
use super::mark::Mark;
use super::migrate;
use super::problem::{Problem, lines};
use super::{list, pack, read, write};
use crate::installation::Installation;
use serde_json::Value;
use std::path::Path;
use thiserror::Error;

/// What a file turned out to be.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Form {
    /// A drawing: `.hullwire`.
    Drawing,
    /// A circuit list: `.csv`.
    List,
    /// The drawing that a hand-over pack carries: `.pdf`. Saving it needs a name of its own.
    Pack,
}

impl Form {
    /// For messages: `drawing`, `circuit list`.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Drawing => "drawing",
            Self::List => "circuit list",
            Self::Pack => "hand-over pack",
        }
    }
}

/// A file that was read.
#[derive(Clone, Debug, PartialEq)]
pub struct Opened {
    /// What it holds.
    pub installation: Installation,
    /// Which kind of file it was. A list is not laid out: its parts are in spaces, not yet on the drawing.
    pub form: Form,
    /// What was taken but has no effect, for the person who wrote the list.
    pub notes: Vec<Problem>,
    /// What the file held when it was read.
    pub mark: Mark,
}

/// Why a file could not be opened.
#[derive(Clone, Debug, PartialEq, Eq, Error)]
pub enum OpenError {
    /// It could not be read at all.
    #[error("{name} was not read: {reason}")]
    Unreadable {
        /// The file.
        name: String,
        /// Why.
        reason: String,
    },
    /// Written by a newer program.
    #[error(
        "{name} has version {found} of the file format; this program reads versions up to {VERSION}: use a newer one"
    )]
    Newer {
        /// The file.
        name: String,
        /// The version that it states.
        found: String,
    },
    /// It is there, but wrong.
    #[error("{name} has {} as a {}:\n{}", count(.problems.len()), .form.name(), lines(.problems))]
    Wrong {
        /// The file.
        name: String,
        /// What it was taken for.
        form: Form,
        /// Everything that is wrong with it.
        problems: Vec<Problem>,
    },
}

fn count(n: usize) -> String {
    if n == 1 { "1 error".to_owned() } else { format!("{n} errors") }
}

impl OpenError {
    /// Everything that is wrong, one by one; empty where the file could not be read at all.
    #[must_use]
    pub fn problems(&self) -> &[Problem] {
        match self {
            Self::Wrong { problems, .. } => problems,
            Self::Unreadable { .. } | Self::Newer { .. } => &[],
        }
    }
}

/// Opens a drawing, a circuit list, or the drawing in a hand-over pack: what begins with `%PDF` is a pack, what begins with
/// `{` or is named `.hullwire` a drawing; anything else is read as a circuit list.
///
/// # Errors
/// All that is wrong with the file, at once.
pub fn open(path: &Path) -> Result<Opened, OpenError> {
    let name = path_text(path);
    match read_bytes(path) {
        Ok(bytes) => {
            let ending = path.extension().and_then(|e| e.to_str()).map(str::to_lowercase);
            parse(&bytes, &name, ending.as_deref())
        }
        Err(reason) => Err(OpenError::Unreadable { name, reason }),
    }
}

/// Reads the bytes of a drawing, a circuit list or a hand-over pack; `name` is for messages, `ending` the file's (lower case, no dot).
///
/// # Errors
/// All that is wrong with the file, at once.
pub fn parse(bytes: &[u8], name: &str, ending: Option<&str>) -> Result<Opened, OpenError> {
    let unreadable = |reason: String| OpenError::Unreadable { name: name.to_owned(), reason };
    let mark = Mark::of_bytes(bytes);
    if bytes.is_empty() {
        return Err(unreadable("it is empty; valid: a .hullwire file or a circuit list".to_owned()));
    }
    if pack::is_pdf(bytes) {
        let drawing = pack::attachment(bytes).map_err(unreadable)?;
        let inside = format!("{name}, its attached drawing");
        let opened = parse_text(&drawing, &inside, Some("hullwire"), mark)?;
        return Ok(Opened { form: Form::Pack, ..opened });
    }
    parse_text(bytes, name, ending, mark)
}

/// Reads the bytes of a drawing or a circuit list.
fn parse_text(bytes: &[u8], name: &str, ending: Option<&str>, mark: Mark) -> Result<Opened, OpenError> {
    let wrong = |form: Form, problems: Vec<Problem>| OpenError::Wrong { name: name.to_owned(), form, problems };
    let unreadable = |reason: String| OpenError::Unreadable { name: name.to_owned(), reason };
    let text = decode(bytes).map_err(unreadable)?;
    if text.trim_start().starts_with('{') || ending == Some("hullwire") {
        let mut top = match json::read(text) {
            Ok(Value::Object(top)) => top,
            Ok(_) => {
                let problem = Problem::line(1, "JSON that is no object", "an object that begins with “{”");
                return Err(wrong(Form::Drawing, vec![problem]));
            }
            Err(error) => return Err(wrong(Form::Drawing, vec![json_problem(text, &error)])),
        };
        match top.get("version") {
            Some(Value::Number(n)) if n.as_u64().is_some_and(|v| (1..=VERSION).contains(&v)) => {
                let from = n.as_u64().unwrap_or(VERSION);
                migrate::raise(&mut top, from, migrate::STEPS);
            }
            Some(Value::Number(n)) if n.as_f64().is_some_and(|v| v > VERSION as f64 && v.fract() == 0.0) => {
                return Err(OpenError::Newer { name: name.to_owned(), found: n.to_string() });
            }
            other => {
                let found = other.map_or_else(|| "nothing".to_owned(), ToString::to_string);
                let problem = Problem::at("version", found, format!("a whole number, {VERSION}"));
                return Err(wrong(Form::Drawing, vec![problem]));
            }
        }
        return read::from_json(top)
            .and_then(limits::hold)
            .map(|installation| Opened { installation, form: Form::Drawing, notes: Vec::new(), mark })
            .map_err(|problems| wrong(Form::Drawing, problems));
    }
    list::import(text)
        .and_then(|list| Ok(list::Imported { installation: limits::hold(list.installation)?, ..list }))
        .map(|list| Opened { installation: list.installation, form: Form::List, notes: list.notes, mark })
        .map_err(|problems| wrong(Form::List, problems))
}

/// The text of a file, a byte-order mark taken off.
pub(super) fn decode(bytes: &[u8]) -> Result<&str, String> {
    const HOW: &str = "save it as UTF-8 (in a spreadsheet: “CSV UTF-8”)";
    if bytes.starts_with(&[0xFF, 0xFE]) || bytes.starts_with(&[0xFE, 0xFF]) {
        return Err(format!("it is text in UTF-16; {HOW}"));
    }
    let text = std::str::from_utf8(bytes).map_err(|error| {
        let line = 1 + bytes[..error.valid_up_to()].iter().filter(|&&b| b == b'\n').count();
        format!("line {line}: found a byte that is not UTF-8 text; {HOW}")
    })?;
    let text = text.strip_prefix('\u{FEFF}').unwrap_or(text);
    if text.contains('\0') {
        return Err("it is not a text file; valid: a .hullwire file or a circuit list".to_owned());
    }
    if text.trim().is_empty() {
        return Err("it is blank; valid: a .hullwire file or a circuit list".to_owned());
    }
    Ok(text)
}

fn json_problem(text: &str, error: &serde_json::Error) -> Problem {
    let line = error.line().max(1);
    if error.is_eof() {
        let last = text.lines().count().max(1);
        return Problem::line(last, "the end of the file in the middle of its data", "the whole file; it is cut short");
    }
    let message = error.to_string();
    let message = message.split(" at line ").next().unwrap_or_default();
    let (found, valid) = if message.starts_with(json::TWICE) {
        (message.to_owned(), "each key once".to_owned())
    } else if message.contains("recursion limit") {
        ("lists and objects nested too deep".to_owned(), format!("at most {MAX_DEPTH} levels"))
    } else {
        (message.to_owned(), "JSON as this program writes it".to_owned())
    };
    let mut problem = Problem::line(line, found, valid);
    problem.place = format!("line {line}, character {}", error.column());
    problem
}

/// The text of a drawing's file.
///
/// # Errors
/// Names a figure that is not finite.
pub fn to_text(installation: &Installation) -> Result<String, String> {
    let json = write::to_json(installation)?;
    serde_json::to_string_pretty(&json).map(|text| text + "\n").map_err(|e| e.to_string())
}

/// The text of a drawing's file without blanks for the eye.
pub(super) fn to_json_text(installation: &Installation) -> Result<String, String> {
    write::to_json(installation).map(|json| json.to_string())
}

/// Saves a drawing as a whole or not at all. With `keep_previous` (the first save of a session over an existing file),
/// the version before stays beside it as `NAME.hullwire.bak`.
///
/// # Errors
/// Says why, and what would help; the file is unchanged then.
pub fn save(path: &Path, installation: &Installation, keep_previous: bool) -> Result<Saved, SaveError> {
    let text = to_text(installation).map_err(|reason| SaveError { path: path.to_path_buf(), reason })?;
    let saved = write_bytes(path, text.as_bytes(), keep_previous)?;
    Ok(Saved { mark: Some(Mark::of_bytes(text.as_bytes())), ..saved })
}
