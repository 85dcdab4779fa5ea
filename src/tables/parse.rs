//! Reading the tables under `assets/tables`: rows by column name, every figure with its source and mark.

use super::Figure;
use crate::units::Mark;
use std::collections::HashMap;

/// One table: its name, its rows, and what is wrong with it.
pub(super) struct Sheet {
    name: &'static str,
    columns: HashMap<String, usize>,
    rows: Vec<csv::StringRecord>,
    /// What was wrong, each with table and line.
    pub(super) faults: Vec<String>,
}

/// One row of a table, by column name.
pub(super) struct Row<'a> {
    sheet: &'a HashMap<String, usize>,
    record: &'a csv::StringRecord,
    place: String,
}

impl Sheet {
    /// Splits the text of a table into rows. What is malformed is collected, never lost.
    pub(super) fn read(name: &'static str, text: &str) -> Self {
        let mut reader = csv::Reader::from_reader(text.as_bytes());
        let mut faults = Vec::new();
        let columns = match reader.headers() {
            Ok(headers) => headers.iter().enumerate().map(|(i, h)| (h.to_owned(), i)).collect(),
            Err(error) => {
                faults.push(format!("{name}: {error}"));
                HashMap::new()
            }
        };
        let mut rows = Vec::new();
        for record in reader.records() {
            match record {
                Ok(record) => rows.push(record),
                Err(error) => faults.push(format!("{name}: {error}")),
            }
        }
        if rows.is_empty() {
            faults.push(format!("{name}: no rows"));
        }
        Self { name, columns, rows, faults }
    }

    /// Makes an entry of each row; rows that cannot be read become faults.
    pub(super) fn map<T>(&mut self, entry: impl Fn(&Row<'_>) -> Result<T, String>) -> Vec<T> {
        let mut entries = Vec::with_capacity(self.rows.len());
        for (i, record) in self.rows.iter().enumerate() {
            let row = Row { sheet: &self.columns, record, place: format!("{} line {}", self.name, i + 2) };
            match entry(&row) {
                Ok(value) => entries.push(value),
                Err(fault) => self.faults.push(fault),
            }
        }
        entries
    }
}

impl Row<'_> {
    /// The text in a column.
    pub(super) fn text(&self, column: &str) -> Result<&str, String> {
        self.sheet
            .get(column)
            .and_then(|&i| self.record.get(i))
            .map(str::trim)
            .ok_or_else(|| format!("{}: no column {column}", self.place))
    }

    /// The finite number in a column.
    pub(super) fn number(&self, column: &str) -> Result<f64, String> {
        let text = self.text(column)?;
        text.parse::<f64>()
            .ok()
            .filter(|v| v.is_finite())
            .ok_or_else(|| format!("{}: {column} is “{text}”, not a number", self.place))
    }

    /// The number in a column; `None` where the cell is empty ("no figure").
    pub(super) fn optional(&self, column: &str) -> Result<Option<f64>, String> {
        if self.text(column)?.is_empty() { Ok(None) } else { self.number(column).map(Some) }
    }

    /// A gauge: `12`, `4/0` (which is −3).
    pub(super) fn awg(&self) -> Result<i8, String> {
        let text = self.text("awg")?;
        let gauge = match text.strip_suffix("/0") {
            Some(n) => n.parse::<i8>().ok().map(|n| 1 - n),
            None => text.parse::<i8>().ok(),
        };
        gauge.ok_or_else(|| format!("{}: “{text}” is no gauge", self.place))
    }

    /// The source that the row names; must not be empty.
    pub(super) fn source(&self) -> Result<String, String> {
        let text = self.text("source")?;
        if text.is_empty() { Err(format!("{}: no source", self.place)) } else { Ok(text.to_owned()) }
    }

    /// The mark in a column. What has no published source is marked so, whatever the column says.
    pub(super) fn mark(&self, column: &str) -> Result<Mark, String> {
        if self.text("source")?.starts_with("common practice, no source") {
            return Ok(Mark::CommonPractice);
        }
        let text = self.text(column)?;
        Mark::from_slug(text).ok_or_else(|| format!("{}: “{text}” is no mark", self.place))
    }

    /// The figure in a column, with the row's source and mark.
    pub(super) fn figure(&self, column: &str) -> Result<Figure, String> {
        Ok(Figure { value: self.number(column)?, source: self.source()?, mark: self.mark("mark")? })
    }

    /// A fault at this row.
    pub(super) fn fault(&self, what: &str) -> String {
        format!("{}: {what}", self.place)
    }
}

/// A table of one row for tests: columns with their values, some in place of others.
#[cfg(test)]
pub(super) fn fixture(row: &[(&str, &str)], changed: &[(&str, &str)]) -> String {
    let names: Vec<&str> = row.iter().map(|(name, _)| *name).collect();
    let value = |(name, usual): &(&str, &str)| {
        changed.iter().find(|(other, _)| other == name).map_or(*usual, |(_, v)| *v).to_owned()
    };
    format!("{}\n{}\n", names.join(","), row.iter().map(value).collect::<Vec<_>>().join(","))
}
