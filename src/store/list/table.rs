//! From text to lines before the header, a header and rows of cells, each with its line.

use super::super::problem::{Problem, quoted};

/// A row of cells and the line on which it starts.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(in crate::store) struct Row {
    pub line: usize,
    pub cells: Vec<String>,
}

/// A line before the header that starts with `#`, the mark taken off.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(in crate::store) struct Remark {
    pub line: usize,
    pub text: String,
    /// Written as a quoted cell: its blanks and commas are meant.
    pub quoted: bool,
}

/// The text of a list, cut up.
#[derive(Clone, Debug, Default)]
pub(in crate::store) struct Table {
    pub remarks: Vec<Remark>,
    pub header: Option<Row>,
    pub rows: Vec<Row>,
}

/// Start of each line, as bytes.
struct Lines(Vec<usize>);

impl Lines {
    fn of(text: &str) -> Self {
        let bytes = text.as_bytes();
        let mut starts = vec![0];
        for (i, &b) in bytes.iter().enumerate() {
            if b == b'\n' || (b == b'\r' && bytes.get(i + 1) != Some(&b'\n')) {
                starts.push(i + 1);
            }
        }
        Self(starts)
    }

    /// Line of a byte, from 1.
    fn at(&self, byte: usize) -> usize {
        self.0.partition_point(|&start| start <= byte)
    }
}

/// Where a quote is opened and never closed.
fn open_quote(text: &str, from: usize) -> Option<usize> {
    let mut opened = None;
    let mut closed = None;
    let mut cell_starts = true;
    for (i, b) in text.bytes().enumerate().skip(from) {
        match (opened, b) {
            (Some(_), b'"') => (opened, closed) = (None, Some(i)),
            // A doubled quote closes and opens again.
            (None, b'"') if cell_starts || closed == i.checked_sub(1) => opened = Some(i),
            _ => {}
        }
        cell_starts = opened.is_none() && matches!(b, b',' | b'\n' | b'\r');
    }
    opened
}

/// Cuts the text up.
///
/// # Errors
/// Only where the text cannot be cut at all.
pub(in crate::store) fn cut(text: &str) -> Result<Table, Problem> {
    let lines = Lines::of(text);
    let mut table = Table::default();
    let mut at = 0;
    // Lines before the header.
    while let Some(line) = text.get(at..).filter(|rest| !rest.is_empty()) {
        let end = line.find(['\n', '\r']).map_or(line.len(), |i| i + 1);
        let raw = line[..end].trim();
        if let Some(remark) = raw.strip_prefix('#') {
            let text = remark.trim_end_matches([',', ' ', '\t']).trim_start().to_owned();
            table.remarks.push(Remark { line: lines.at(at), text, quoted: false });
        } else if line.trim_start().starts_with("\"#") {
            let skipped = line.len() - line.trim_start().len();
            let (cell, used) = first_record(&line[skipped..])
                .ok_or_else(|| Problem::line(lines.at(at), "a quote that is never closed", "a second quote"))?;
            let text = cell.strip_prefix('#').unwrap_or(&cell);
            let line = lines.at(at + skipped);
            table.remarks.push(Remark { line, text: text.trim_start().to_owned(), quoted: true });
            at += skipped + used;
            continue;
        } else if !raw.trim_matches([',', ' ', '\t']).is_empty() {
            break;
        }
        at += end;
    }
    if let Some(byte) = open_quote(text, at) {
        return Err(Problem::line(
            lines.at(byte),
            format!("a quote that is never closed, before {}", quoted(text[byte + 1..].lines().next().unwrap_or(""))),
            "a second quote at the end of the cell; a quote inside a quoted cell is doubled",
        ));
    }
    let rest = &text[at..];
    let mut reader = csv::ReaderBuilder::new().has_headers(false).flexible(true).from_reader(rest.as_bytes());
    let mut record = csv::StringRecord::new();
    loop {
        let mut start = at + usize::try_from(reader.position().byte()).unwrap_or(0);
        match reader.read_record(&mut record) {
            Ok(true) => {}
            Ok(false) => break,
            Err(error) => return Err(Problem::line(lines.at(start), error.to_string(), "rows of cells in UTF-8")),
        }
        // Blank lines before a record belong to no record.
        while matches!(text.as_bytes().get(start), Some(b'\n' | b'\r')) {
            start += 1;
        }
        let row = Row { line: lines.at(start), cells: record.iter().map(|c| c.to_owned()).collect() };
        if row.cells.iter().all(|c| c.trim().is_empty()) {
            continue;
        }
        if table.header.is_none() {
            table.header = Some(row);
        } else {
            table.rows.push(row);
        }
    }
    Ok(table)
}

/// The first cell of the first record and the bytes that the record takes.
fn first_record(text: &str) -> Option<(String, usize)> {
    let mut reader = csv::ReaderBuilder::new().has_headers(false).flexible(true).from_reader(text.as_bytes());
    let mut record = csv::StringRecord::new();
    if !reader.read_record(&mut record).ok()? {
        return None;
    }
    let used = usize::try_from(reader.position().byte()).ok()?;
    let cell = record.get(0)?.to_owned();
    (used > 0).then_some((cell, used.min(text.len())))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lines_are_those_of_the_text_file() {
        let text = "# a: 1,,,\r\n\r\n\"# b: x, y\",\n,,\ntag,label\r\n\n\nQ1,\"two\nlines\"\n\nQ2,x\n,,\n";
        let table = cut(text).unwrap();
        let remarks: Vec<(usize, &str)> = table.remarks.iter().map(|r| (r.line, r.text.as_str())).collect();
        assert_eq!(remarks, [(1, "a: 1"), (3, "b: x, y")]);
        assert_eq!(table.header.map(|h| h.line), Some(5));
        let rows: Vec<(usize, &str)> = table.rows.iter().map(|r| (r.line, r.cells[1].as_str())).collect();
        assert_eq!(rows, [(8, "two\nlines"), (11, "x")]);
    }

    #[test]
    fn an_open_quote_is_named() {
        let error = cut("tag,label\nQ1,\"open\nQ2,x\n").unwrap_err();
        assert_eq!(error.line, Some(2));
        assert!(cut("tag,label\nQ1,\"say \"\"ahoy\"\"\"\nQ2,5\"\" hose\n").is_ok());
    }
}
