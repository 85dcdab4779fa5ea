//! From a circuit list to an installation, all problems at once.

use super::super::format::bare_hint;
use super::super::problem::{Problem, quoted};
use super::column::Column;
use super::header::{self, Header};
use super::table::{Row, Table};
use super::{feeds, preamble, table};
use crate::installation::{
    Cable, Condition, Installation, Part, PartId, PartKind, Place, Property, SpaceKind, System, ValueError, valid_tag,
};
use crate::units::parse_number;
use std::collections::{BTreeMap, BTreeSet};

/// A list that was read.
#[derive(Clone, Debug, PartialEq)]
pub struct Imported {
    /// The installation, not laid out: its parts are in spaces, not yet on the drawing.
    pub installation: Installation,
    /// What was taken but has no effect.
    pub notes: Vec<Problem>,
}

/// The cells of one row by column.
pub(super) struct Cells<'a> {
    pub line: usize,
    row: &'a Row,
    columns: &'a BTreeMap<Column, usize>,
}

impl Cells<'_> {
    /// The cell of a column without blanks around it; empty where there is none.
    pub fn at(&self, column: Column) -> &str {
        self.columns.get(&column).and_then(|&i| self.row.cells.get(i)).map_or("", |c| c.trim())
    }

    /// The cell of a property.
    pub fn of(&self, property: Property) -> &str {
        self.at(Column::Of(property))
    }
}

/// A bare number in a form that [`Part::set`] reads; with a unit it is refused, because the unit is in the column's name.
pub(super) fn figure(property: Property, value: &str, line: usize) -> Result<String, Problem> {
    parse_number(value)
        .map(|v| v.to_string())
        .map_err(|_| Problem::cell(line, property.slug(), quoted(value), bare_hint(property)))
}

/// A word of a fixed set as it is spelt there: capitals do not count, since spreadsheets put them in by themselves.
pub(super) fn word(property: Property, value: &str) -> String {
    let choices = property.choices().unwrap_or_default();
    let hit = choices.iter().find(|c| **c == value).or_else(|| choices.iter().find(|c| c.eq_ignore_ascii_case(value)));
    hit.map_or_else(|| value.to_owned(), |c| (*c).to_owned())
}

/// What is wrong with a value, in the list's terms.
pub(super) fn value_problem(property: Property, value: &str, line: usize, error: &ValueError) -> Problem {
    let valid = match error {
        _ if property.is_number() => bare_hint(property).to_owned(),
        ValueError::Bad { valid, .. } => valid.clone(),
        ValueError::NotApplicable { kind, property } => format!("nothing: a {kind} has no {property}"),
    };
    Problem::cell(line, property.slug(), quoted(value), valid)
}

/// A value that says no more than an empty cell: what spreadsheet users fill down a whole column. It is taken where the
/// column does not apply.
fn is_neutral(property: Property, value: &str, system: System) -> bool {
    match property {
        Property::Volts => {
            parse_number(value).is_ok_and(|v| v == system.nominal_v() || (system.is_split_phase() && v == 240.0))
        }
        Property::ChargeW | Property::StartW | Property::RunW | Property::StartVa | Property::TankL => {
            parse_number(value).is_ok_and(|v| v == 0.0)
        }
        Property::Bonded | Property::Portable => value.eq_ignore_ascii_case("no"),
        Property::Fuel => value.eq_ignore_ascii_case("petrol"),
        _ => false,
    }
}

/// What a circuit list asks of its header.
const HEADER: Header<Column> =
    Header { all: &Column::ALL, name: Column::name, required: &[Column::Of(Property::Tag), Column::Kind] };

/// What was found on the way.
#[derive(Default)]
struct Report {
    problems: Vec<Problem>,
    notes: Vec<Problem>,
}

/// A row with the part that it became. The kind is missing where the list does not state a valid one.
struct Known<'a> {
    cells: Cells<'a>,
    id: PartId,
    kind: Option<PartKind>,
}

/// Reads a circuit list.
///
/// # Errors
/// Everything that is wrong with it, each with line, column, what was found and what would be valid, in the order of the
/// lines. Nothing is built then.
pub fn import(text: &str) -> Result<Imported, Vec<Problem>> {
    import_in(text, None)
}

/// The same for a piece of a list that becomes part of a drawing, whose system and sources are known there.
pub(super) fn import_in(text: &str, drawing: Option<System>) -> Result<Imported, Vec<Problem>> {
    let text = text.strip_prefix('\u{FEFF}').unwrap_or(text);
    let table = table::cut(text).map_err(|problem| vec![problem])?;
    let mut report = Report::default();
    let mut preamble = preamble::read(&table.remarks, drawing, &mut report.problems);
    if drawing.is_some() && preamble.feeding.is_none() {
        preamble.feeding = Some((1, "off".to_owned()));
    }
    let mut out = Installation::new(preamble.system.unwrap_or_default());
    out.name = preamble.name;
    out.rules = preamble.rules.unwrap_or(out.rules);
    out.resistance = preamble.resistance.unwrap_or_default();
    out.aboard = preamble.aboard;
    let mut condition = Condition::named(preamble.condition.unwrap_or_else(|| "as listed".to_owned()));
    condition.hours = preamble.hours;
    if let Some(columns) = header::columns(&table, &HEADER, &mut report.problems) {
        let (rows, tags) = parts(&table, &columns, preamble.system, &mut out, &mut condition, &mut report);
        for row in &rows {
            connect(row, &tags, &mut out, &mut report);
        }
        let header = table.header.as_ref().map_or(1, |h| h.line);
        feeding(preamble.feeding.as_ref(), header, &out, &mut condition, &mut report.problems);
    }
    out.conditions = vec![condition];
    let Report { mut problems, notes } = report;
    if problems.is_empty() {
        return Ok(Imported { installation: out, notes });
    }
    problems.sort_by_key(|p| p.line);
    Err(problems)
}

type Tags = BTreeMap<String, (PartId, usize)>;

fn parts<'a>(
    table: &'a Table,
    columns: &'a BTreeMap<Column, usize>,
    system: Option<System>,
    out: &mut Installation,
    condition: &mut Condition,
    report: &mut Report,
) -> (Vec<Known<'a>>, Tags) {
    let width = table.header.as_ref().map_or(0, |h| h.cells.len());
    let mut known = Vec::new();
    let mut tags = Tags::new();
    for row in &table.rows {
        let cells = Cells { line: row.line, row, columns };
        if let Some(extra) = row.cells.iter().skip(width).find(|c| !c.trim().is_empty()) {
            let found = format!("{} beyond the last column", quoted(extra));
            let valid = format!("{width} cells, as in the header; a cell that holds a comma is put in quotes");
            report.problems.push(Problem::line(row.line, found, valid));
        }
        let kind = kind(&cells, report);
        let tag = tag(&cells, columns, &tags, report);
        let mut part = Part::new(kind.unwrap_or(PartKind::Junction), tag.clone(), space(&cells, report));
        properties(&mut part, &cells, kind, system, report);
        let id = out.add_part(part);
        if !tag.is_empty() {
            tags.insert(tag, (id, row.line));
        }
        if !switch(&cells, kind, report) {
            condition.off.insert(id);
        }
        known.push(Known { cells, id, kind });
    }
    (known, tags)
}

fn kind(cells: &Cells, report: &mut Report) -> Option<PartKind> {
    let cell = cells.at(Column::Kind);
    let kind = PartKind::from_slug(cell).or_else(|| PartKind::from_slug(&cell.to_lowercase()));
    if kind.is_none() && cells.columns.contains_key(&Column::Kind) {
        let valid = PartKind::ALL.iter().map(|k| k.slug()).collect::<Vec<_>>().join(", ");
        report.problems.push(Problem::cell(cells.line, "kind", quoted(cell), valid));
    }
    kind
}

/// The tag of a row; empty where it is missing, not valid or taken.
fn tag(cells: &Cells, columns: &BTreeMap<Column, usize>, tags: &Tags, report: &mut Report) -> String {
    let column = Column::Of(Property::Tag);
    if !columns.contains_key(&column) {
        return String::new();
    }
    match valid_tag(cells.at(column)) {
        Ok(tag) => {
            let Some((_, first)) = tags.get(&tag) else { return tag };
            let found = format!("“{tag}”, which line {first} has already");
            report.problems.push(Problem::cell(cells.line, "tag", found, "a tag that no other row has"));
        }
        Err(error) => report.problems.push(value_problem(Property::Tag, cells.at(column), cells.line, &error)),
    }
    String::new()
}

fn space(cells: &Cells, report: &mut Report) -> Place {
    let cell = cells.at(Column::Space);
    if cell.is_empty() {
        return Place::In(SpaceKind::Other);
    }
    let kind = SpaceKind::from_slug(cell).or_else(|| SpaceKind::from_slug(&cell.to_lowercase()));
    if kind.is_none() {
        let valid = SpaceKind::ALL.iter().map(|k| k.slug()).collect::<Vec<_>>().join(", ");
        report.problems.push(Problem::cell(cells.line, "space", quoted(cell), valid));
    }
    Place::In(kind.unwrap_or_default())
}

/// Whether the row's part is on or closed.
fn switch(cells: &Cells, kind: Option<PartKind>, report: &mut Report) -> bool {
    let cell = cells.at(Column::On);
    match cell.to_lowercase().as_str() {
        "" | "yes" => true,
        "no" => {
            if let Some(kind) = kind.filter(|k| !k.has_switch()) {
                let valid = format!("yes or nothing: a {} has no switch, an appliance or a breaker has", kind.name());
                report.problems.push(Problem::cell(cells.line, "on", quoted(cell), valid));
            }
            false
        }
        _ => {
            report.problems.push(Problem::cell(cells.line, "on", quoted(cell), "yes or no"));
            true
        }
    }
}

fn properties(part: &mut Part, cells: &Cells, kind: Option<PartKind>, system: Option<System>, report: &mut Report) {
    for column in Column::ALL {
        let Column::Of(property) = column else { continue };
        let value = cells.at(column);
        if value.is_empty() || property == Property::Tag || Property::OF_CABLE.contains(&property) {
            continue;
        }
        let system_or_first = system.unwrap_or_default();
        let applies = kind.is_none_or(|k| k.may_have(property));
        if !applies && is_neutral(property, value, system_or_first) {
            continue;
        }
        let text = if property.is_number() {
            match figure(property, value, cells.line) {
                Ok(text) => text,
                Err(problem) => {
                    report.problems.push(problem);
                    continue;
                }
            }
        } else {
            word(property, value)
        };
        if let (Property::Leg, Some(system)) = (property, system)
            && !system.is_split_phase()
        {
            if text != "L1" {
                let valid = format!("nothing: the legs are those of 120/240V60Hz, and this list is {}", system.slug());
                report.problems.push(Problem::cell(cells.line, "leg", quoted(value), valid));
            }
            continue;
        }
        let set = if kind.is_some() {
            part.set(property, &text, system_or_first)
        } else {
            part.set_any(property, &text, system_or_first)
        };
        if let Err(error) = set {
            let mut problem = value_problem(property, value, cells.line, &error);
            if let ValueError::NotApplicable { kind, property } = &error {
                problem.valid = format!("nothing: a {kind} has no {property}");
            }
            report.problems.push(problem);
        }
    }
}

/// Draws the cables that feed a row's part.
fn connect(row: &Known, tags: &Tags, out: &mut Installation, report: &mut Report) {
    let cells = &row.cells;
    let cell = cells.at(Column::FedFrom);
    let fed_from = feeds::tags(cell);
    if row.kind == Some(PartKind::ShoreInlet) {
        let cord = feeds::cord(cells, &mut report.problems);
        if let Some(part) = out.parts.get_mut(&row.id) {
            std::sync::Arc::make_mut(part).cord = cord;
        }
    }
    if let Some(kind) = row.kind.filter(|k| matches!(k, PartKind::ShoreInlet | PartKind::Generator))
        && !fed_from.is_empty()
    {
        let valid = format!("nothing: a {} is a source that nothing feeds", kind.name());
        report.problems.push(Problem::cell(cells.line, "fed_from", quoted(cell), valid));
        return;
    }
    let mut from = Vec::new();
    for tag in &fed_from {
        match tags.get(*tag) {
            Some((id, _)) => from.push(*id),
            None => report.problems.push(Problem::cell(cells.line, "fed_from", quoted(tag), a_tag(tag, tags))),
        }
    }
    let kind_of = |id: &PartId| out.parts.get(id).map_or(PartKind::Junction, |p| p.kind);
    let to = row.kind.unwrap_or(PartKind::Junction);
    // Where a tag is unknown its cable is checked all the same.
    let mut kinds: Vec<PartKind> = from.iter().map(kind_of).collect();
    kinds.resize(fed_from.len().max(1), PartKind::Junction);
    if row.kind != Some(PartKind::ShoreInlet) {
        let cables = feeds::cables(cells, to, &kinds, &mut report.problems);
        let own = out.parts.get(&row.id).map_or_else(Default::default, |p| p.status);
        let statuses = feeds::statuses(cells, own, fed_from.len(), &mut report.problems);
        if fed_from.is_empty() {
            if let Some(property) =
                feeds::any(cells).filter(|_| cables.iter().any(|c| c.size().is_some() || c.length_m > Some(0.0)))
            {
                let valid =
                    "the cable’s data on the row of the part that it feeds; without fed_from they have no effect";
                report.notes.push(Problem::cell(cells.line, property.slug(), quoted(cells.of(property)), valid));
            }
        } else if from.len() == fed_from.len() {
            for ((id, data), status) in from.into_iter().zip(cables).zip(statuses) {
                let mut cable = Cable::between(id, row.id);
                (cable.data, cable.status) = (data, status);
                out.add_cable(cable);
            }
        }
    }
}

/// What would be valid in place of an unknown tag.
fn a_tag(tag: &str, tags: &Tags) -> String {
    match tags.keys().find(|t| t.eq_ignore_ascii_case(tag) || t.replace(' ', "") == tag.replace(' ', "")) {
        Some(near) => format!("the tag of a row, such as {near}; several are separated by “|”"),
        None => "the tag of a row; several are separated by “|”".to_owned(),
    }
}

/// Which sources feed.
fn feeding(
    stated: Option<&(usize, String)>,
    header: usize,
    out: &Installation,
    condition: &mut Condition,
    problems: &mut Vec<Problem>,
) {
    const NAME: &str = "# feeding";
    let sources: Vec<(&str, PartId)> =
        out.parts.iter().filter(|(_, p)| p.kind.is_source()).map(|(id, p)| (p.tag.as_str(), *id)).collect();
    let valid = || {
        let tags: Vec<&str> = sources.iter().map(|(tag, _)| *tag).filter(|t| !t.is_empty()).collect();
        format!("the tag of a source ({}), several separated by “|”, or off", tags.join(", "))
    };
    match stated {
        None => match sources.as_slice() {
            [] => {}
            [(_, one)] => condition.feeding = vec![*one],
            // Inverter-chargers pass their input through, so a single other source is the only one that can be meant.
            many if sources.iter().filter(|(_, id)| !out.is_inverter_charger(*id)).count() == 1 => {
                condition.feeding.extend(many.iter().map(|(_, id)| *id).filter(|id| !out.is_inverter_charger(*id)));
            }
            many => {
                let found = format!("nothing, with {} sources", many.len());
                problems.push(Problem::cell(
                    header,
                    NAME,
                    found,
                    format!("a line “# feeding: …” before the header: {}", valid()),
                ));
            }
        },
        Some((_, value)) if value.trim().eq_ignore_ascii_case("off") => {}
        Some((line, value)) => {
            let mut seen = BTreeSet::new();
            for tag in value.split('|').map(str::trim) {
                match sources.iter().find(|(t, _)| *t == tag && !tag.is_empty()) {
                    Some((_, id)) => {
                        if seen.insert(*id) {
                            condition.feeding.push(*id);
                        }
                    }
                    None => {
                        let other = out.parts.values().find(|p| p.tag == tag && !tag.is_empty());
                        let found = match other {
                            Some(part) => format!("“{tag}”, which is a {}", part.kind.name()),
                            None => quoted(tag),
                        };
                        problems.push(Problem::cell(*line, NAME, found, valid()));
                    }
                }
            }
        }
    }
}
