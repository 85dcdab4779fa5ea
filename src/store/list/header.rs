//! The header row of a list: which column stands where.

use super::super::problem::{Problem, quoted};
use super::table::Table;
use std::collections::BTreeMap;

/// What a list asks of its header.
pub(in crate::store) struct Header<C: 'static> {
    /// Every column that it knows.
    pub all: &'static [C],
    /// The name of a column.
    pub name: fn(C) -> &'static str,
    /// Those that must be there.
    pub required: &'static [C],
}

impl<C: Copy + Ord> Header<C> {
    fn names(&self) -> String {
        self.all.iter().map(|c| (self.name)(*c)).collect::<Vec<_>>().join(", ")
    }

    fn find(&self, name: &str) -> Option<C> {
        let by = |name: &str| self.all.iter().copied().find(|c| (self.name)(*c) == name);
        by(name).or_else(|| by(&name.to_lowercase()))
    }

    /// What a header row has to be.
    fn valid(&self) -> String {
        let required: Vec<&str> = self.required.iter().map(|c| (self.name)(*c)).collect();
        format!("a row of column names, {} among them: {}", required.join(" and "), self.names())
    }
}

/// The position of each column. `None` where there is no header to speak of.
pub(in crate::store) fn columns<C: Copy + Ord>(
    table: &Table,
    asked: &Header<C>,
    problems: &mut Vec<Problem>,
) -> Option<BTreeMap<C, usize>> {
    let Some(header) = &table.header else {
        problems.push(Problem::line(1, "no header row", asked.valid()));
        return None;
    };
    let line = header.line;
    let names: Vec<&str> = header.cells.iter().map(|c| c.trim()).collect();
    if let [one] = names.as_slice()
        && (one.contains(';') || one.contains('\t'))
    {
        let valid = "cells separated by commas; export the spreadsheet as comma-separated values";
        problems.push(Problem::line(line, quoted(one), valid));
        return None;
    }
    if !names.iter().any(|n| asked.find(n).is_some()) {
        problems.push(Problem::line(line, quoted(&names.join(",")), asked.valid()));
        return None;
    }
    let mut columns = BTreeMap::new();
    for (i, name) in names.iter().enumerate() {
        if name.is_empty() {
            let used = table.rows.iter().find(|r| r.cells.get(i).is_some_and(|c| !c.trim().is_empty()));
            if let Some(row) = used {
                let found = format!("{} in a column without a name", quoted(&row.cells[i]));
                let valid = "a name in the header, or no value";
                problems.push(Problem::cell(row.line, &format!("{}", i + 1), found, valid));
            }
            continue;
        }
        match asked.find(name) {
            None => {
                let valid = format!("one of {}", asked.names());
                problems.push(Problem::cell(line, name, "a column of this name", valid));
            }
            Some(column) => {
                let first = *columns.entry(column).or_insert(i);
                if first != i {
                    let found = "this column a second time";
                    problems.push(Problem::cell(line, (asked.name)(column), found, "each column once"));
                }
            }
        }
    }
    for required in asked.required {
        if !columns.contains_key(required) {
            let found = "no such column in the header";
            problems.push(Problem::cell(line, (asked.name)(*required), found, "this column; it is required"));
        }
    }
    Some(columns)
}
