//! Writes the tables as an XLSX workbook: one sheet a table, numbers as numbers, units in the heads, heads frozen.
//!
//! A number keeps all its digits and is shown as on paper; the sign of an assumed or typical value is part of its number
//! format, so that the cell can still be reckoned with. Text is written as text and never read as a formula.

use super::issue;
use super::table::{Align, Cell, ORIGIN_SIGNS, RowKind, Table, Tone, Value};
use crate::installation::{Installation, Origin};
use rust_xlsxwriter::{
    DocProperties, ExcelDateTime, Format, FormatAlign, FormatBorder, Url, Workbook, Worksheet, XlsxError,
};
use std::collections::BTreeSet;

/// Most characters of a column before its text is wrapped.
const WIDEST: usize = 48;
/// Most characters that the name of a sheet may have.
const NAME: usize = 31;

/// The workbook's bytes. The same tables give the same bytes.
///
/// # Errors
/// What the library says, in words.
pub fn write(tables: &[Table], installation: &Installation) -> Result<Vec<u8>, String> {
    build(tables, installation).map_err(|error| format!("the workbook was not written: {error}"))
}

fn build(tables: &[Table], installation: &Installation) -> Result<Vec<u8>, XlsxError> {
    let (year, month, day) = issue::header_date(installation);
    let mut book = Workbook::new();
    let properties = DocProperties::new()
        .set_title(issue::name(installation))
        .set_author(&installation.title.creator)
        .set_comment("Not for construction until checked and signed by a licensed marine electrician.")
        .set_creation_datetime(&ExcelDateTime::from_ymd(year, month, day)?);
    book.set_properties(&properties);
    let names = names(tables);
    contents(book.add_worksheet(), tables, &names, installation)?;
    for (table, name) in tables.iter().zip(&names) {
        let sheet = book.add_worksheet();
        sheet.set_name(name)?;
        fill(sheet, table)?;
    }
    book.save_to_buffer()
}

/// Names of sheets: the tables' own, cut to what a workbook takes, each once.
fn names(tables: &[Table]) -> Vec<String> {
    let mut used = BTreeSet::from(["contents".to_owned()]);
    let mut names = Vec::new();
    for table in tables {
        let mut name: String = table.id.chars().take(NAME).collect();
        let mut n = 1;
        while !used.insert(name.clone()) {
            n += 1;
            let tail = format!("-{n}");
            name = table.id.chars().take(NAME - tail.len()).collect::<String>() + &tail;
        }
        names.push(name);
    }
    names
}

fn bold() -> Format {
    Format::new().set_bold()
}

/// The first sheet: what this is, and where each table stands.
fn contents(
    sheet: &mut Worksheet,
    tables: &[Table],
    names: &[String],
    installation: &Installation,
) -> Result<(), XlsxError> {
    sheet.set_name("contents")?.set_landscape().set_paper_size(9);
    sheet.set_column_width(0, 34)?.set_column_width(1, 64)?;
    sheet.write_string_with_format(0, 0, issue::name(installation), &bold().set_font_size(14))?;
    let title = &installation.title;
    let (index, date) = issue::revision(installation);
    let mut row = 1;
    for (what, value) in [
        ("System", installation.system.name()),
        ("Legal owner", &title.legal_owner),
        ("Identification number", &title.identification_number),
        ("Revision", &index),
        ("Date of issue", &date),
        ("Creator", &title.creator),
    ] {
        sheet.write_string(row, 0, what)?;
        sheet.write_string(row, 1, if value.is_empty() { "not stated" } else { value })?;
        row += 1;
    }
    row += 1;
    let caution =
        "Not for construction until checked and signed by a licensed marine electrician under the local code.";
    sheet.write_string_with_format(row, 0, caution, &bold())?;
    sheet.write_string(row + 1, 0, ORIGIN_SIGNS)?;
    row += 3;
    sheet.write_string_with_format(row, 0, "Sheet", &head_format(Align::Left))?;
    sheet.write_string_with_format(row, 1, "Table", &head_format(Align::Left))?;
    for (table, name) in tables.iter().zip(names) {
        row += 1;
        sheet.write_url(row, 0, Url::new(format!("internal:'{name}'!A1")).set_text(name.as_str()))?;
        sheet.write_string(row, 1, &table.title)?;
    }
    Ok(())
}

fn align(align: Align) -> FormatAlign {
    match align {
        Align::Left => FormatAlign::Left,
        Align::Centre => FormatAlign::Center,
        Align::Right => FormatAlign::Right,
    }
}

fn head_format(of: Align) -> Format {
    Format::new()
        .set_bold()
        .set_text_wrap()
        .set_align(align(of))
        .set_align(FormatAlign::Top)
        .set_border_bottom(FormatBorder::Medium)
}

/// The number format of a figure: as many decimals as on paper, its own unit and the sign of its origin behind it.
fn number_format(shown: &str, sign: Option<&str>) -> String {
    let digits: String =
        shown.chars().take_while(|c| c.is_ascii_digit() || matches!(c, '.' | ',' | '-' | '−' | '+')).collect();
    let decimals = digits.split_once('.').map_or(0, |(_, d)| d.len());
    let mut format = if digits.contains(',') { "#,##0".to_owned() } else { "0".to_owned() };
    if decimals > 0 {
        format.push('.');
        format.push_str(&"0".repeat(decimals));
    }
    let unit = shown.strip_prefix(digits.as_str()).unwrap_or_default().replace('"', "");
    let tail = sign.map_or_else(|| unit.clone(), |sign| format!("{unit} {sign}"));
    if tail.is_empty() { format } else { format!("{format}\"{tail}\"") }
}

/// How the cells of a row stand out, beside the words that say why.
fn toned(format: Format, kind: RowKind, tone: Tone) -> Format {
    let format = match kind {
        RowKind::Heading => format.set_bold(),
        RowKind::Total => format.set_bold().set_border_top(FormatBorder::Thin),
        RowKind::ByHand => format.set_border_bottom(FormatBorder::Hair),
        RowKind::Data => format,
    };
    match tone {
        Tone::Over | Tone::New => format.set_bold(),
        Tone::Quiet => format.set_italic(),
        Tone::Removed => format.set_font_strikethrough(),
        Tone::Plain | Tone::Close => format,
    }
}

fn fill(sheet: &mut Worksheet, table: &Table) -> Result<(), XlsxError> {
    sheet.set_landscape().set_paper_size(9).set_repeat_rows(0, 0)?.set_freeze_panes(1, 0)?;
    sheet.set_print_fit_to_pages(1, 0).set_header(format!("&L{}&RSheet &P of &N", table.title.replace('&', "&&")));
    for (at, column) in table.columns.iter().enumerate() {
        let at16 = u16::try_from(at).unwrap_or(u16::MAX);
        sheet.write_string_with_format(0, at16, column.heading(), &head_format(column.align))?;
        let width = table.characters(at).clamp(6, WIDEST) + 2;
        sheet.set_column_width(at16, width as f64)?;
    }
    let mut number = 1;
    for row in &table.rows {
        let cells = if row.kind == RowKind::Heading { 1 } else { row.cells.len() };
        for (at, cell) in row.cells.iter().take(cells).enumerate() {
            let column = table.columns.get(at);
            let (of, wraps) = column.map_or((Align::Left, false), |c| (c.align, c.wraps));
            let wraps = (wraps || table.characters(at) > WIDEST) && row.kind != RowKind::Heading;
            let format = Format::new().set_align(align(of)).set_align(FormatAlign::Top);
            let format = if wraps { format.set_text_wrap() } else { format };
            put(sheet, number, u16::try_from(at).unwrap_or(u16::MAX), cell, toned(format, row.kind, row.tone))?;
        }
        number += 1;
    }
    number += 1;
    for note in table.foot() {
        sheet.write_string(number, 0, &note)?;
        number += 1;
    }
    for source in &table.sources {
        sheet.write_string(number, 0, format!("Source: {}", source.line()))?;
        number += 1;
    }
    Ok(())
}

fn put(sheet: &mut Worksheet, row: u32, column: u16, cell: &Cell, format: Format) -> Result<(), XlsxError> {
    match &cell.value {
        Value::Number { value, shown } => {
            let shown = number_format(shown, cell.origin.and_then(Origin::sign));
            sheet.write_number_with_format(row, column, *value, &format.set_num_format(shown))?;
        }
        Value::Blank => {
            sheet.write_blank(row, column, &format)?;
        }
        Value::NotKnown => {
            sheet.write_string_with_format(row, column, cell.text(), &format.set_italic())?;
        }
        Value::Text(_) | Value::None => {
            sheet.write_string_with_format(row, column, cell.text(), &format)?;
        }
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::{NAME, names, number_format, write};
    use crate::installation::{Installation, System};
    use crate::sheets::table::{Cell, Column, Row, Table};

    #[test]
    fn a_number_is_shown_as_on_paper() {
        assert_eq!(number_format("10.3", None), "0.0");
        assert_eq!(number_format("1,980", None), "#,##0");
        assert_eq!(number_format("6.0", Some("*")), "0.0\" *\"");
        assert_eq!(number_format("10.25 A", None), "0.00\" A\"");
        assert_eq!(number_format("−1.5 %", None), "0.0\" %\"");
    }

    #[test]
    fn names_of_sheets_are_short_and_each_once() {
        let long = "panel-with-a-tag-that-nobody-would-ever-type";
        let tables: Vec<Table> = (0..3).map(|_| Table::new(long, "T", Vec::new())).collect();
        let names = names(&tables);
        assert!(names.iter().all(|n| n.len() <= NAME));
        assert!(names[0] != names[1] && names[1] != names[2] && names[0] != names[2]);
    }

    #[test]
    fn the_same_tables_give_the_same_bytes() {
        let mut table = Table::new("t", "Title & more", vec![Column::words("A"), Column::numbers("B", "V")]);
        table.rows.push(Row::of(vec![Cell::words("=1+1"), Cell::figure(Some(119.4), 1)]));
        let installation = Installation::new(System::TwoWire120);
        let first = write(std::slice::from_ref(&table), &installation).unwrap();
        assert!(first.starts_with(b"PK"));
        assert_eq!(first, write(&[table], &installation).unwrap());
    }
}
