//! Writes the tables as CSV files in UTF-8: one file a table, one for all notes and sources.
//!
//! Numbers are bare and with all their digits, units stand in the heads. A column in which a value has a stated origin is
//! followed by one that names it. A text that a spreadsheet would take for a formula gets an apostrophe in front.

use super::table::{Cell, RowKind, Table, Value};

/// Name and bytes of each file, in the order of the tables.
///
/// # Errors
/// What the library says, in words.
pub fn write(tables: &[Table]) -> Result<Vec<(String, Vec<u8>)>, String> {
    let mut files = Vec::new();
    for table in tables {
        files.push((format!("{}.csv", table.id), one(table)?));
    }
    files.push(("notes.csv".to_owned(), notes(tables)?));
    Ok(files)
}

fn failed(error: impl std::fmt::Display) -> String {
    format!("the CSV file was not written: {error}")
}

/// A text that no spreadsheet takes for a formula.
fn plain(text: &str) -> String {
    if text.starts_with(['=', '+', '-', '@', '\t', '\r']) { format!("'{text}") } else { text.to_owned() }
}

fn bare(cell: &Cell) -> String {
    match &cell.value {
        Value::Number { value, .. } => value.to_string(),
        Value::Text(text) => plain(text),
        Value::NotKnown => "not known".to_owned(),
        Value::None | Value::Blank => String::new(),
    }
}

fn one(table: &Table) -> Result<Vec<u8>, String> {
    let with_origin: Vec<bool> = (0..table.columns.len())
        .map(|at| table.rows.iter().any(|r| r.cells.get(at).is_some_and(|c| c.origin.is_some())))
        .collect();
    let mut writer = csv::Writer::from_writer(Vec::new());
    let mut head = Vec::new();
    for (column, &origin) in table.columns.iter().zip(&with_origin) {
        head.push(column.heading());
        if origin {
            head.push(format!("{}: origin", column.head));
        }
    }
    writer.write_record(&head).map_err(failed)?;
    for row in table.rows.iter().filter(|r| r.kind != RowKind::Heading) {
        let mut record = Vec::new();
        for (cell, &origin) in row.cells.iter().zip(&with_origin) {
            record.push(bare(cell));
            if origin {
                record.push(cell.origin.map_or("", |o| o.slug()).to_owned());
            }
        }
        writer.write_record(&record).map_err(failed)?;
    }
    writer.into_inner().map_err(failed)
}

fn notes(tables: &[Table]) -> Result<Vec<u8>, String> {
    let mut writer = csv::Writer::from_writer(Vec::new());
    writer.write_record(["table", "note"]).map_err(failed)?;
    for table in tables {
        let sources = table.sources.iter().map(|s| format!("Source: {}", s.line()));
        for note in table.in_place_of_rows().into_iter().chain(&table.notes).cloned().chain(sources) {
            writer.write_record([&table.id, &plain(&note)]).map_err(failed)?;
        }
    }
    writer.into_inner().map_err(failed)
}

#[cfg(test)]
mod tests {
    use super::write;
    use crate::installation::Origin;
    use crate::sheets::table::{Cell, Column, Row, Table};

    #[test]
    fn numbers_are_bare_and_texts_are_no_formulas() {
        let mut table = Table::new("t", "T", vec![Column::words("Name"), Column::numbers("Length", "m")]);
        let length = Cell::figure(Some(6.25), 1).from_origin(Some(Origin::Assumed));
        table.rows.push(Row::of(vec![Cell::words("=cmd, \"x\""), length]));
        table.rows.push(Row::of(vec![Cell::words("B"), Cell::not_known()]));
        table.notes.push("Read me.".to_owned());
        let files = write(&[table]).unwrap();
        assert_eq!(files[0].0, "t.csv");
        let text = String::from_utf8(files[0].1.clone()).unwrap();
        assert_eq!(text, "Name,Length (m),Length: origin\n\"'=cmd, \"\"x\"\"\",6.25,assumed\nB,not known,\n");
        assert_eq!(files[1].1, b"table,note\nt,Read me.\n");
    }
}
