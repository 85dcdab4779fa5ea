//! Readings of a sea trial as a list (CSV): one row a reading, columns in any order, all problems at once.
//!
//! | column | meaning | default |
//! | --- | --- | --- |
//! | `on` | tags of the appliances that were on, separated by `|` | none was on |
//! | `at` | tag of the source or part that was read | required |
//! | `quantity` | watts, percent, volts, amps | required |
//! | `value` | what the display showed | required |
//! | `step` | of the display; 0 for exact | 0 |
//! | `rounding` | down (value to value + step), nearest (half a step either way), unknown (a step either way) | unknown |
//! | `rated_w` | for percent: of how many watts | running watts of the source that was read |

use super::disk::read_bytes;
use super::file::decode;
use super::list::header::{self, Header};
use super::list::table::{self, Row};
use super::problem::{Problem, lines, quoted};
use crate::installation::{Installation, PartId, PartKind, ReadQuantity, Reading, Rounding};
use crate::units::{parse_number, trimmed};
use std::collections::BTreeMap;
use std::path::Path;
use thiserror::Error;

/// Why readings could not be used.
#[derive(Clone, Debug, PartialEq, Eq, Error)]
pub enum ReadingsError {
    /// The file could not be read at all.
    #[error("{name} was not read: {reason}")]
    Unreadable {
        /// The file.
        name: String,
        /// Why.
        reason: String,
    },
    /// It is there, but wrong.
    #[error("{name} has {} {} as a list of readings:\n{}", .problems.len(), if .problems.len() == 1 { "error" } else { "errors" }, lines(.problems))]
    Wrong {
        /// The file.
        name: String,
        /// Everything that is wrong with it.
        problems: Vec<Problem>,
    },
}

/// The columns.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
enum Column {
    On,
    At,
    Quantity,
    Value,
    Step,
    Rounding,
    RatedW,
}

impl Column {
    const fn name(self) -> &'static str {
        match self {
            Self::On => "on",
            Self::At => "at",
            Self::Quantity => "quantity",
            Self::Value => "value",
            Self::Step => "step",
            Self::Rounding => "rounding",
            Self::RatedW => "rated_w",
        }
    }
}

const HEADER: Header<Column> = Header {
    all: &[Column::On, Column::At, Column::Quantity, Column::Value, Column::Step, Column::Rounding, Column::RatedW],
    name: Column::name,
    required: &[Column::On, Column::At, Column::Quantity, Column::Value],
};

/// Opens a list of readings of an installation.
///
/// # Errors
/// All that is wrong with it, at once.
pub fn open_readings(path: &Path, installation: &Installation) -> Result<Vec<Reading>, ReadingsError> {
    let name = path.display().to_string();
    match read_bytes(path) {
        Ok(bytes) => parse_readings(&bytes, &name, installation),
        Err(reason) => Err(ReadingsError::Unreadable { name, reason }),
    }
}

/// Reads the bytes of a list of readings; `name` is for messages.
///
/// # Errors
/// All that is wrong with it, at once.
pub fn parse_readings(bytes: &[u8], name: &str, installation: &Installation) -> Result<Vec<Reading>, ReadingsError> {
    let name = || name.to_owned();
    let text = decode(bytes).map_err(|reason| ReadingsError::Unreadable { name: name(), reason })?;
    let wrong = |problems| ReadingsError::Wrong { name: name(), problems };
    let table = table::cut(text).map_err(|problem| wrong(vec![problem]))?;
    let mut problems = Vec::new();
    let mut out = Vec::new();
    if let Some(columns) = header::columns(&table, &HEADER, &mut problems) {
        let width = table.header.as_ref().map_or(0, |h| h.cells.len());
        for row in &table.rows {
            let mut cells = Cells { row, columns: &columns, problems: &mut problems };
            cells.beyond(width);
            out.extend(cells.reading(installation));
        }
        if table.rows.is_empty() && problems.is_empty() {
            let line = table.header.as_ref().map_or(1, |h| h.line);
            problems.push(Problem::line(line, "no row below the header", "one row for each reading"));
        }
    }
    if problems.is_empty() {
        return Ok(out);
    }
    problems.sort_by_key(|p| p.line);
    Err(wrong(problems))
}

struct Cells<'a> {
    row: &'a Row,
    columns: &'a BTreeMap<Column, usize>,
    problems: &'a mut Vec<Problem>,
}

impl Cells<'_> {
    fn at(&self, column: Column) -> String {
        let cell = self.columns.get(&column).and_then(|&i| self.row.cells.get(i));
        cell.map_or_else(String::new, |c| c.trim().to_owned())
    }

    fn bad(&mut self, column: Column, found: String, valid: impl Into<String>) {
        // A column that is missing has been said once.
        if self.columns.contains_key(&column) {
            self.problems.push(Problem::cell(self.row.line, column.name(), found, valid));
        }
    }

    fn beyond(&mut self, width: usize) {
        if let Some(extra) = self.row.cells.iter().skip(width).find(|c| !c.trim().is_empty()) {
            let found = format!("{} beyond the last column", quoted(extra));
            let valid = format!("{width} cells, as in the header; a cell that holds a comma is put in quotes");
            self.problems.push(Problem::line(self.row.line, found, valid));
        }
    }

    fn part(&mut self, column: Column, tag: &str, installation: &Installation, appliance: bool) -> Option<PartId> {
        let fits = |kind: PartKind| !appliance || kind == PartKind::Appliance;
        let found = installation.part_by_tag(tag).filter(|id| installation.parts.get(id).is_some_and(|p| fits(p.kind)));
        if found.is_none() {
            let near = installation.parts.values().find(|p| fits(p.kind) && p.tag.eq_ignore_ascii_case(tag));
            let near = near.or_else(|| installation.parts.values().find(|p| fits(p.kind)));
            let such = near.map_or_else(String::new, |p| format!(", such as {}", p.tag));
            let valid = if appliance {
                format!("tags of appliances of the drawing{such}, separated by “|”")
            } else {
                format!("the tag of a source or part of the drawing{such}")
            };
            self.bad(column, quoted(tag), valid);
        }
        found
    }

    fn word<T: Copy>(&mut self, column: Column, all: &[T], slug: fn(T) -> &'static str) -> Option<T> {
        let cell = self.at(column).to_lowercase();
        let hit = all.iter().copied().find(|v| slug(*v) == cell);
        if hit.is_none() {
            let valid = all.iter().map(|v| slug(*v)).collect::<Vec<_>>().join(", ");
            self.bad(column, quoted(&cell), valid);
        }
        hit
    }

    fn number(&mut self, column: Column, empty: Option<f64>, valid: &str) -> Option<f64> {
        let cell = self.at(column);
        if cell.is_empty() && empty.is_some() {
            return empty;
        }
        let figure = parse_number(&cell).ok().filter(|v| *v >= 0.0 && *v <= 1e9);
        if figure.is_none() {
            self.bad(column, quoted(&cell), valid);
        }
        figure
    }

    fn reading(&mut self, installation: &Installation) -> Option<Reading> {
        let cell = self.at(Column::On);
        let tags = cell.split('|').map(str::trim).filter(|t| !t.is_empty());
        let on: Vec<Option<PartId>> = tags.map(|tag| self.part(Column::On, tag, installation, true)).collect();
        let at = self.at(Column::At);
        let at = self.part(Column::At, &at, installation, false);
        let quantity = self.word(Column::Quantity, ReadQuantity::ALL, ReadQuantity::slug);
        let value = self.number(Column::Value, None, "what the display showed, a bare number from 0");
        let step = self.number(Column::Step, Some(0.0), "step of the display, a bare number from 0");
        let rounding = if self.at(Column::Rounding).is_empty() {
            Some(Rounding::Unknown)
        } else {
            self.word(Column::Rounding, Rounding::ALL, Rounding::slug)
        };
        let rated = "watts that are 100 %, a bare number above 0";
        let rated_w = self.number(Column::RatedW, Some(0.0), rated)?;
        let stated = !self.at(Column::RatedW).is_empty();
        if stated && rated_w == 0.0 {
            self.bad(Column::RatedW, "“0”".to_owned(), rated);
        }
        let own = at.and_then(|id| installation.parts.get(&id)).filter(|p| p.kind.is_source());
        let rated_by_source = own.and_then(|p| p.run_w(installation.system)).is_some();
        if quantity == Some(ReadQuantity::Percent) && !stated && at.is_some() && !rated_by_source {
            let found = "nothing, and what was read has no running watts";
            self.problems.push(Problem::cell(self.row.line, Column::RatedW.name(), found, rated));
        }
        let on: Option<Vec<PartId>> = on.into_iter().collect();
        let rated_w = (rated_w > 0.0).then_some(rated_w);
        Some(Reading {
            on: on?,
            at: at?,
            quantity: quantity?,
            value: value?,
            step: step?,
            rounding: rounding?,
            rated_w,
        })
    }
}

/// Readings as such a list, which reads back the same.
#[must_use]
pub fn readings_text(installation: &Installation, readings: &[Reading]) -> String {
    let mut out = String::from("on,at,quantity,value,step,rounding,rated_w\n");
    let cell = |text: &str| {
        if text.contains([',', '"', '\n', '\r']) {
            format!("\"{}\"", text.replace('"', "\"\""))
        } else {
            text.to_owned()
        }
    };
    for r in readings {
        let on: Vec<&str> = r.on.iter().map(|id| installation.tag(*id)).collect();
        let rated = r.rated_w.map_or_else(String::new, |w| w.to_string());
        let row = [
            cell(&on.join("|")),
            cell(installation.tag(r.at)),
            r.quantity.slug().to_owned(),
            r.value.to_string(),
            r.step.to_string(),
            r.rounding.slug().to_owned(),
            rated,
        ];
        out += &(row.join(",") + "\n");
    }
    out
}

/// A reading in words: `50 % at G1 with E1, E2 on`.
#[must_use]
pub fn reading_words(installation: &Installation, reading: &Reading) -> String {
    let on: Vec<&str> = reading.on.iter().map(|id| installation.tag(*id)).collect();
    let on = if on.is_empty() { "nothing".to_owned() } else { on.join(", ") };
    let (value, unit) = (trimmed(reading.value, 3), reading.quantity.unit());
    format!("{value} {unit} at {} with {on} on", installation.tag(reading.at))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::store::list::import;

    fn boat() -> Installation {
        let list =
            "# system: 120V60Hz\ntag,kind,fed_from,run_w\nG1,generator,,1800\nE1,appliance,G1,900\nE2,appliance,G1,\n";
        import(list).unwrap().installation
    }

    #[test]
    fn readings_read_and_read_back() {
        let boat = boat();
        let text = "rounding,on,at,quantity,value,step,rated_w\ndown,E1,G1,percent,50,25,\n,E1|E2,G1,watts,1200,,\n";
        let readings = parse_readings(text.as_bytes(), "r", &boat).unwrap();
        assert_eq!(readings.len(), 2);
        assert_eq!(readings[0].range(), (50.0, 75.0));
        assert_eq!(readings[1].range(), (1200.0, 1200.0));
        let again = readings_text(&boat, &readings);
        assert_eq!(parse_readings(again.as_bytes(), "r", &boat).unwrap(), readings);
        assert_eq!(reading_words(&boat, &readings[1]), "1200 W at G1 with E1, E2 on");
    }

    #[test]
    fn everything_wrong_is_said_at_once_with_line_and_column() {
        let text =
            "on,at,quantity,value,step,rounding,rated_w,colour\nE9|G1,G7,power,ten,-1,up,0,\n,E1,percent,5,,,,\n";
        let Err(ReadingsError::Wrong { problems, .. }) = parse_readings(text.as_bytes(), "r", &boat()) else {
            panic!("wrong readings were read")
        };
        let places: Vec<&str> = problems.iter().map(|p| p.place.as_str()).collect();
        let expected = [
            "line 1, column colour",
            "line 2, column on",
            "line 2, column on",
            "line 2, column at",
            "line 2, column quantity",
            "line 2, column value",
            "line 2, column step",
            "line 2, column rounding",
            "line 2, column rated_w",
            "line 3, column rated_w",
        ];
        assert_eq!(places, expected);
        for (text, word) in [("", "blank"), ("on,at\n", "quantity"), ("on,at,quantity,value\n", "one row for each")] {
            let error = parse_readings(text.as_bytes(), "r", &boat()).unwrap_err().to_string();
            assert!(error.contains(word), "{error}");
        }
    }
}
