//! What is wrong in a file: where, what was found, what would be valid.

use std::fmt;

/// One thing that is wrong in a file, or, as a note, one thing in it that has no effect.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Problem {
    /// Line of the text file, from 1; `None` where it is about the whole.
    pub line: Option<usize>,
    /// Where, in words: `line 7, column run_w`, `part Q3, rating_a`.
    pub place: String,
    /// What was found there, quoted where it is text of the file.
    pub found: String,
    /// What would be valid.
    pub valid: String,
}

impl Problem {
    /// A problem of a cell of a circuit list.
    #[must_use]
    pub fn cell(line: usize, column: &str, found: impl Into<String>, valid: impl Into<String>) -> Self {
        Self {
            line: Some(line),
            place: format!("line {line}, column {column}"),
            found: found.into(),
            valid: valid.into(),
        }
    }

    /// A problem of a line of a text file.
    #[must_use]
    pub fn line(line: usize, found: impl Into<String>, valid: impl Into<String>) -> Self {
        Self { line: Some(line), place: format!("line {line}"), found: found.into(), valid: valid.into() }
    }

    /// A problem of a place that has no line.
    #[must_use]
    pub fn at(place: impl Into<String>, found: impl Into<String>, valid: impl Into<String>) -> Self {
        Self { line: None, place: place.into(), found: found.into(), valid: valid.into() }
    }
}

impl fmt::Display for Problem {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}: found {}; valid: {}", self.place, self.found, self.valid)
    }
}

/// Text of the file in quotes, shortened where it is long, `nothing` where it is empty.
pub(super) fn quoted(text: &str) -> String {
    const SHOWN: usize = 60;
    let text = text.trim();
    if text.is_empty() {
        return "nothing".to_owned();
    }
    let shown: String =
        text.chars().take(SHOWN).map(|c| if c.is_control() { char::REPLACEMENT_CHARACTER } else { c }).collect();
    if text.chars().nth(SHOWN).is_some() { format!("“{shown}…”") } else { format!("“{shown}”") }
}

/// Most problems that are printed one by one; a file with more is broken as a whole.
const PRINTED: usize = 500;

/// A list of problems, one a line.
pub(super) fn lines(problems: &[Problem]) -> String {
    let mut out: Vec<String> = problems.iter().take(PRINTED).map(|p| format!("  {p}")).collect();
    if problems.len() > PRINTED {
        out.push(format!("  … and {} more", problems.len() - PRINTED));
    }
    out.join("\n")
}
