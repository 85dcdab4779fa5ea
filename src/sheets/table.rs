//! A table of the hand-over pack as data: what every writer reads, none of which computes.
//!
//! A writer shows [`Table::title`], then [`Column::heading`] of each column, then the rows: [`Cell::text`] is all that is
//! to be printed, with the sign of its origin; numbers are also there as numbers. Below stand [`Table::notes`], then
//! [`Table::sources`]. [`Row::kind`] and [`Row::tone`] say how a row differs; neither is told by colour alone, as what
//! makes a row differ also stands in one of its cells. Where there is no row, [`Table::instead`] says what is so.

use crate::diagram::Target;
use crate::installation::Origin;
use crate::units::{self, Mark};

/// A table: every row has as many cells as there are columns.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Table {
    /// Name for files, sheets and links, unique in a pack: `cables`, `panel-a1`. Lower-case letters, digits and `-`.
    pub id: String,
    /// Title for people.
    pub title: String,
    /// Columns, left to right.
    pub columns: Vec<Column>,
    /// Rows, top to bottom.
    pub rows: Vec<Row>,
    /// What is so where there is no row, in a sentence: it stands in place of head and rows.
    pub instead: String,
    /// Sentences below the table.
    pub notes: Vec<String>,
    /// Where its figures come from, below the notes.
    pub sources: Vec<Source>,
}

/// How a column is set.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Align {
    /// Text.
    #[default]
    Left,
    /// Signs of one or two letters.
    Centre,
    /// Numbers.
    Right,
}

/// A column.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Column {
    /// Words of its head, without the unit.
    pub head: String,
    /// Unit of all its numbers, for the head; empty where there is none or each cell names its own.
    pub unit: &'static str,
    /// How its cells are set.
    pub align: Align,
    /// True for sentences, which are to be broken into lines; all other cells stand on one line.
    pub wraps: bool,
}

/// What a row is.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum RowKind {
    /// One row of data.
    #[default]
    Data,
    /// A heading across the table: the text of its first cell.
    Heading,
    /// A sum of rows above.
    Total,
    /// To be filled by hand: taller than others, every empty cell ruled.
    ByHand,
}

/// How a row stands out.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Tone {
    /// It does not.
    #[default]
    Plain,
    /// Not fed, spare, switched off.
    Quiet,
    /// Close to a limit, or a finding below WARNING.
    Close,
    /// Above a limit, or a finding at WARNING or DANGER.
    Over,
    /// New in this issue or by its status.
    New,
    /// To be removed.
    Removed,
}

/// A row.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Row {
    /// Its cells, one for each column.
    pub cells: Vec<Cell>,
    /// What it is.
    pub kind: RowKind,
    /// How it stands out.
    pub tone: Tone,
    /// The part, cable or space that it is about, for links.
    pub about: Option<Target>,
}

/// What stands in a cell.
#[derive(Clone, Debug, Default, PartialEq)]
pub enum Value {
    /// Words.
    Text(String),
    /// A figure.
    Number {
        /// In the unit of its column, or in that which `shown` names. Finite.
        value: f64,
        /// As it is printed: without the unit where the column names it.
        shown: String,
    },
    /// Not known; never to be read as zero.
    NotKnown,
    /// It does not apply here.
    #[default]
    None,
    /// To be filled by hand.
    Blank,
}

/// A cell.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Cell {
    /// What stands in it.
    pub value: Value,
    /// Where the value comes from, where that is stated.
    pub origin: Option<Origin>,
}

/// A published source of figures.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Source {
    /// Standard and clause or table.
    pub text: String,
    /// How its figures were come by.
    pub mark: Mark,
}

impl Source {
    /// Source and mark in one line.
    #[must_use]
    pub fn line(&self) -> String {
        format!("{} ({})", self.text, self.mark.words())
    }
}

impl Column {
    /// A column of words on one line.
    #[must_use]
    pub fn words(head: impl Into<String>) -> Self {
        Self { head: head.into(), ..Self::default() }
    }

    /// A column of short signs.
    #[must_use]
    pub fn signs(head: impl Into<String>) -> Self {
        Self { head: head.into(), align: Align::Centre, ..Self::default() }
    }

    /// A column of sentences.
    #[must_use]
    pub fn sentences(head: impl Into<String>) -> Self {
        Self { head: head.into(), wraps: true, ..Self::default() }
    }

    /// A column of numbers in one unit; empty where each cell names its own.
    #[must_use]
    pub fn numbers(head: impl Into<String>, unit: &'static str) -> Self {
        Self { head: head.into(), unit, align: Align::Right, wraps: false }
    }

    /// Head and unit: `Length (m)`.
    #[must_use]
    pub fn heading(&self) -> String {
        if self.unit.is_empty() { self.head.clone() } else { format!("{} ({})", self.head, self.unit) }
    }
}

impl Row {
    /// A row of data.
    #[must_use]
    pub fn of(cells: Vec<Cell>) -> Self {
        Self { cells, ..Self::default() }
    }

    /// The same row, about a part or cable.
    #[must_use]
    pub fn about(mut self, target: Target) -> Self {
        self.about = Some(target);
        self
    }

    /// The same row in a tone.
    #[must_use]
    pub fn toned(mut self, tone: Tone) -> Self {
        self.tone = tone;
        self
    }

    /// The same row of another kind.
    #[must_use]
    pub fn kind(mut self, kind: RowKind) -> Self {
        self.kind = kind;
        self
    }
}

impl Cell {
    /// Words; a cell that does not apply where there are none.
    #[must_use]
    pub fn words(text: impl Into<String>) -> Self {
        let text: String = text.into();
        let text =
            if text.contains(char::is_control) { text.split_whitespace().collect::<Vec<_>>().join(" ") } else { text };
        Self::from(if text.is_empty() { Value::None } else { Value::Text(text) })
    }

    /// A number as one of the functions of [`units`] shows it, such as `units::amps`. The unit behind a space is left
    /// out where the column names the same. Not known where there is no finite figure.
    #[must_use]
    pub fn number(value: Option<f64>, show: fn(f64) -> String, column_unit: &str) -> Self {
        let Some(value) = value.filter(|v| v.is_finite()) else { return Self::not_known() };
        let text = show(value);
        let bare = text.strip_suffix(column_unit).map_or(text.as_str(), str::trim_end);
        Self::from(Value::Number { value, shown: bare.to_owned() })
    }

    /// A number with at most so many decimals. Not known where there is no finite figure.
    #[must_use]
    pub fn figure(value: Option<f64>, decimals: usize) -> Self {
        let Some(value) = value.filter(|v| v.is_finite()) else { return Self::not_known() };
        Self::from(Value::Number { value, shown: units::trimmed(value, decimals) })
    }

    /// Not known.
    #[must_use]
    pub fn not_known() -> Self {
        Self::from(Value::NotKnown)
    }

    /// It does not apply.
    #[must_use]
    pub fn none() -> Self {
        Self::default()
    }

    /// To be filled by hand.
    #[must_use]
    pub fn blank() -> Self {
        Self::from(Value::Blank)
    }

    /// The same cell, with the origin of its value.
    #[must_use]
    pub fn from_origin(mut self, origin: Option<Origin>) -> Self {
        self.origin = origin;
        self
    }

    /// All that is to be printed: `10.3`, `10.3 *`, `not known`, `–`, nothing where a hand is to write.
    #[must_use]
    pub fn text(&self) -> String {
        let text = match &self.value {
            Value::Text(text) | Value::Number { shown: text, .. } => text.as_str(),
            Value::NotKnown => "not known",
            Value::None => "–",
            Value::Blank => "",
        };
        let known = matches!(self.value, Value::Text(_) | Value::Number { .. });
        Origin::signed(self.origin.filter(|_| known), text.to_owned())
    }
}

impl From<Value> for Cell {
    fn from(value: Value) -> Self {
        Self { value, origin: None }
    }
}

/// What the signs mean, for the foot of a table that has any.
pub const ORIGIN_SIGNS: &str = "* assumed: measure it first. ~ typical figure: read the name plate.";

impl Table {
    /// A table without rows.
    #[must_use]
    pub fn new(id: impl Into<String>, title: impl Into<String>, columns: Vec<Column>) -> Self {
        Self { id: slug(&id.into()), title: title.into(), columns, ..Self::default() }
    }

    /// True where a cell carries the sign of an origin, also among its words.
    #[must_use]
    pub fn has_signs(&self) -> bool {
        let signs = [Origin::Assumed, Origin::Typical].map(|o| o.sign().unwrap_or_default());
        let text = |c: &Cell| match &c.value {
            Value::Text(text) => signs.iter().any(|s| text.split([' ', ',', ';']).any(|word| word == *s)),
            _ => false,
        };
        self.rows.iter().flat_map(|r| &r.cells).any(|c| c.origin.and_then(Origin::sign).is_some() || text(c))
    }

    /// True where there is nothing to show: no row, and no sentence that says so.
    #[must_use]
    pub const fn is_empty(&self) -> bool {
        self.rows.is_empty() && self.instead.is_empty()
    }

    /// What is so, where there is no row.
    #[must_use]
    pub fn in_place_of_rows(&self) -> Option<&String> {
        Some(&self.instead).filter(|s| self.rows.is_empty() && !s.is_empty())
    }

    /// The sentences below the table, that in place of rows first, the meaning of the origin signs last where there are
    /// any.
    #[must_use]
    pub fn foot(&self) -> Vec<String> {
        let mut foot: Vec<String> = self.in_place_of_rows().into_iter().chain(&self.notes).cloned().collect();
        if self.has_signs() {
            foot.push(ORIGIN_SIGNS.to_owned());
        }
        foot
    }

    /// The most characters that a cell of a column, or a word of its heading, has; for widths.
    #[must_use]
    pub fn characters(&self, column: usize) -> usize {
        let heading = self
            .columns
            .get(column)
            .map_or(0, |c| c.heading().split_whitespace().map(|w| w.chars().count()).max().unwrap_or(0));
        let rows = self.rows.iter().filter(|r| r.kind != RowKind::Heading);
        let cells = rows.filter_map(|r| r.cells.get(column)).map(|c| c.text().chars().count());
        cells.max().unwrap_or(0).max(heading)
    }
}

/// Lower-case letters, digits and single `-`, for names of files and links.
#[must_use]
pub fn slug(text: &str) -> String {
    let mut out = String::new();
    for c in text.chars().flat_map(char::to_lowercase) {
        if c.is_ascii_alphanumeric() {
            out.push(c);
        } else if !out.is_empty() && !out.ends_with('-') {
            out.push('-');
        }
    }
    out.trim_end_matches('-').to_owned()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_unit_stands_in_the_head_or_in_the_cell() {
        assert_eq!(Cell::number(Some(10.26), units::amps, "A").text(), "10.3");
        assert_eq!(Cell::number(Some(10.26), units::amps, "").text(), "10.3 A");
        assert_eq!(Cell::number(Some(1980.0), units::watts, "W").text(), "1,980");
        assert_eq!(Column::numbers("Length", "m").heading(), "Length (m)");
    }

    #[test]
    fn what_is_not_known_is_said_and_never_zero() {
        for cell in [Cell::number(None, units::amps, "A"), Cell::figure(Some(f64::NAN), 1), Cell::not_known()] {
            assert_eq!(cell.text(), "not known");
        }
        assert_eq!(Cell::none().text(), "–");
        assert_eq!(Cell::blank().text(), "");
    }

    #[test]
    fn what_is_assumed_carries_a_sign() {
        let mut table = Table::new("T 1", "Title", vec![Column::numbers("Length", "m")]);
        assert!(!table.has_signs());
        table.rows.push(Row::of(vec![Cell::figure(Some(6.0), 1).from_origin(Some(Origin::Assumed))]));
        assert_eq!(table.rows[0].cells[0].text(), "6 *");
        assert_eq!(table.foot(), [ORIGIN_SIGNS]);
        assert_eq!(table.id, "t-1");
        assert_eq!(Cell::not_known().from_origin(Some(Origin::Assumed)).text(), "not known");
        assert_eq!(Cell::figure(Some(6.0), 1).from_origin(Some(Origin::Measured)).text(), "6");
    }

    #[test]
    fn a_table_without_rows_says_what_is_so() {
        let mut table = Table::new("t", "T", vec![Column::words("Tag")]);
        assert!(table.is_empty() && table.foot().is_empty());
        table.instead = "Nothing was read.".to_owned();
        table.notes.push("A note.".to_owned());
        assert!(!table.is_empty());
        assert_eq!(table.foot(), ["Nothing was read.", "A note."]);
        table.rows.push(Row::of(vec![Cell::words("Q1")]));
        assert_eq!(table.foot(), ["A note."]);
    }

    #[test]
    fn text_is_on_one_line() {
        assert_eq!(Cell::words("two\nlines").text(), "two lines");
        assert_eq!(Cell::words("").text(), "–");
    }
}
