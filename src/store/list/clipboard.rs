//! The circuit list on the clipboard: cells separated by tabs, as spreadsheets give and take them.
//!
//! Copied are parts and the cables among them, with the columns that hold something. Pasted is any piece of a list with a
//! header row: the system and what feeds may be missing, since the drawing has them, and `fed_from` may name parts of the
//! drawing, which then feed what is pasted.

use super::super::problem::Problem;
use super::import::import_in;
use super::{export, table};
use crate::installation::{Cable, Condition, Installation, Part, PartId};
use std::collections::{BTreeMap, BTreeSet};

/// Parts that were read from the clipboard, ready for [`crate::installation::Edit::Paste`].
#[derive(Clone, Debug, PartialEq)]
pub struct Pasted {
    /// The parts, not laid out, with ids that no part of the drawing has.
    pub installation: Installation,
    /// Cables from parts of the drawing to parts that are pasted.
    pub feeds: Vec<Cable>,
}

impl Pasted {
    /// The parts as an edit takes them.
    #[must_use]
    pub fn parts(&self) -> Vec<(PartId, Part)> {
        self.installation.parts.iter().map(|(id, part)| (*id, Part::clone(part))).collect()
    }

    /// The cables as an edit takes them: those among the parts, and those from the drawing.
    #[must_use]
    pub fn cables(&self) -> Vec<Cable> {
        self.installation.cables.values().map(|c| Cable::clone(c)).chain(self.feeds.iter().cloned()).collect()
    }
}

/// Parts of an installation, and the cables among them, as text for the clipboard.
#[must_use]
pub fn to_clipboard(installation: &Installation, condition: usize, parts: &BTreeSet<PartId>) -> String {
    let mut some = installation.clone();
    some.name.clear();
    some.parts.retain(|id, _| parts.contains(id));
    some.cables.retain(|_, c| parts.contains(&c.from) && parts.contains(&c.to));
    let mut state = installation.conditions.get(condition).cloned().unwrap_or_else(|| Condition::named(""));
    state.name = "as listed".to_owned();
    state.feeding.retain(|id| parts.contains(id));
    some.conditions = vec![state];
    let Ok(table) = table::cut(&export(&some, 0)) else { return String::new() };
    let Some(header) = table.header else { return String::new() };
    let used: Vec<usize> = (0..header.cells.len())
        .filter(|&i| i < 2 || table.rows.iter().any(|r| r.cells.get(i).is_some_and(|c| !c.is_empty())))
        .collect();
    let mut out = format!("# system: {}\n", some.system.slug());
    for row in std::iter::once(&header).chain(&table.rows) {
        let cells: Vec<String> = used.iter().map(|&i| cell(row.cells.get(i).map_or("", String::as_str))).collect();
        out += &cells.join("\t");
        out.push('\n');
    }
    out
}

/// A cell, quoted where it would not read back as it is.
fn cell(text: &str) -> String {
    if text.contains(['\t', '"', '\n', '\r']) || text.starts_with('#') {
        format!("\"{}\"", text.replace('"', "\"\""))
    } else {
        text.to_owned()
    }
}

/// Reads what another window or a spreadsheet put on the clipboard, for a drawing.
///
/// # Errors
/// Everything that is wrong with it, or that it is no piece of a circuit list.
pub fn from_clipboard(text: &str, drawing: &Installation) -> Result<Pasted, Vec<Problem>> {
    let text = commas(text);
    let table = table::cut(&text).map_err(|p| vec![p])?;
    let anchors = anchors(&table, drawing);
    let mut text = text;
    if let Some(header) = &table.header {
        for id in anchors.values() {
            text += &anchor_row(&header.cells, drawing, *id);
        }
    }
    let read = import_in(&text, Some(drawing.system))?.installation;
    if read.system != drawing.system {
        let valid = format!("{}, as the drawing into which it is pasted", drawing.system.slug());
        return Err(vec![Problem::at("# system", read.system.slug(), valid)]);
    }
    let mut installation = Installation::new(drawing.system);
    installation.conditions[0].off.clear();
    let mut ids = BTreeMap::new();
    let mut next = drawing.next_id;
    for (id, part) in &read.parts {
        if !anchors.contains_key(&part.tag) {
            ids.insert(*id, PartId::new(next));
            installation.parts.insert(PartId::new(next), part.clone());
            next += 1;
        }
    }
    installation.next_id = next;
    let mut feeds = Vec::new();
    for cable in read.cables.values() {
        let Some(&to) = ids.get(&cable.to) else { continue };
        let mut cable = Cable::clone(cable);
        cable.to = to;
        match ids.get(&cable.from) {
            Some(&from) => {
                cable.from = from;
                installation.add_cable(cable);
            }
            None => {
                if let Some(&from) = read.parts.get(&cable.from).and_then(|p| anchors.get(&p.tag)) {
                    cable.from = from;
                    feeds.push(cable);
                }
            }
        }
    }
    Ok(Pasted { installation, feeds })
}

/// The text with commas between the cells, where it has tabs. Lines before the header stay.
fn commas(text: &str) -> String {
    let text = text.strip_prefix('\u{FEFF}').unwrap_or(text);
    let is_before = |line: &&str| line.trim().is_empty() || line.trim_start().starts_with('#');
    let before: usize = text.split_inclusive('\n').take_while(is_before).map(str::len).sum();
    let (remarks, rows) = text.split_at(before);
    if !rows.lines().next().unwrap_or_default().contains('\t') {
        return with_end(text.to_owned());
    }
    let mut reader =
        csv::ReaderBuilder::new().delimiter(b'\t').has_headers(false).flexible(true).from_reader(rows.as_bytes());
    let mut out = with_end(remarks.to_owned());
    for record in reader.records().map_while(Result::ok) {
        let cells: Vec<String> = record.iter().map(|c| format!("\"{}\"", c.replace('"', "\"\""))).collect();
        out += &cells.join(",");
        out.push('\n');
    }
    out
}

fn with_end(mut text: String) -> String {
    if !text.is_empty() && !text.ends_with('\n') {
        text.push('\n');
    }
    text
}

/// Parts of the drawing that the rows are fed from, by tag, where no row has the tag.
fn anchors(table: &table::Table, drawing: &Installation) -> BTreeMap<String, PartId> {
    let Some(header) = &table.header else { return BTreeMap::new() };
    let column = |name: &str| header.cells.iter().position(|c| c.trim().eq_ignore_ascii_case(name));
    let (Some(tag), Some(fed)) = (column("tag"), column("fed_from")) else { return BTreeMap::new() };
    let own: BTreeSet<&str> = table.rows.iter().filter_map(|r| r.cells.get(tag)).map(|c| c.trim()).collect();
    let named = table.rows.iter().filter_map(|r| r.cells.get(fed)).flat_map(|c| c.split('|')).map(str::trim);
    named
        .filter(|t| !t.is_empty() && !own.contains(t))
        .filter_map(|t| drawing.part_by_tag(t).map(|id| (t.to_owned(), id)))
        .collect()
}

/// A row that stands for a part of the drawing while the rest is read.
fn anchor_row(header: &[String], drawing: &Installation, id: PartId) -> String {
    let part = drawing.parts.get(&id);
    let cells: Vec<String> = header
        .iter()
        .map(|name| match name.trim().to_lowercase().as_str() {
            "tag" => format!("\"{}\"", drawing.tag(id).replace('"', "\"\"")),
            "kind" => part.map_or_else(String::new, |p| p.kind.slug().to_owned()),
            _ => String::new(),
        })
        .collect();
    cells.join(",") + "\n"
}
