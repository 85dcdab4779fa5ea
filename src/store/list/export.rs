//! From an installation in one condition to a circuit list.

use super::column::{Column, UNKNOWN, usual_conductor};
use crate::installation::{
    Cable, CableData, Condition, Conductor, Installation, Part, PartId, PartKind, Property, SpaceKind,
};
use std::fmt::Write as _;
use std::sync::Arc;

/// The circuit list of an installation in one of its conditions, by index. Importing it gives the same electrical
/// installation in that condition; the room's documentation says what a list cannot hold.
#[must_use]
pub fn export(installation: &Installation, condition: usize) -> String {
    let blank = Condition::named("as listed");
    let condition = installation.conditions.get(condition).unwrap_or(&blank);
    let feeding: Vec<&str> = condition.feeding.iter().map(|id| installation.tag(*id)).collect();
    let feeding = if feeding.is_empty() { "off".to_owned() } else { feeding.join("|") };
    let mut out = String::new();
    remark(&mut out, "name", &installation.name);
    remark(&mut out, "system", installation.system.slug());
    remark(&mut out, "condition", &condition.name);
    if !condition.hours.is_empty() {
        // As numbers, not to the minute as on screen, so that they read back as they are.
        let spans: Vec<String> = condition.hours.iter().map(|s| format!("{}-{}", s.from, s.to)).collect();
        remark(&mut out, "hours", &spans.join(", "));
    }
    remark(&mut out, "feeding", &feeding);
    remark(&mut out, "rules", installation.rules.slug());
    remark(&mut out, "resistance", installation.resistance.slug());
    for (key, value) in
        [("co_alarms", installation.aboard.co_alarms_word().to_owned()), ("petrol", installation.aboard.petrol_words())]
    {
        if !value.is_empty() {
            remark(&mut out, key, &value);
        }
    }
    let used = |column: &Column| {
        let holds =
            |(id, part): (&PartId, &Arc<Part>)| !cell(installation, condition, *id, part, &[], *column).is_empty();
        !column.is_sparse() || installation.parts.iter().any(holds)
    };
    let columns: Vec<Column> = Column::ALL.into_iter().filter(used).collect();
    row(&mut out, columns.iter().map(|c| c.name().to_owned()));
    for (id, part) in &installation.parts {
        let feeds: Vec<&Cable> = installation.feeds_of(*id).map(|(_, c)| c).collect();
        row(&mut out, columns.iter().map(|column| cell(installation, condition, *id, part, &feeds, *column)));
    }
    out
}

/// A line before the header, quoted where it would not read back as it is.
fn remark(out: &mut String, key: &str, value: &str) {
    let plain = value.trim() == value && !value.ends_with(',') && !value.contains(['\n', '\r']);
    let line = if value.is_empty() { format!("# {key}:") } else { format!("# {key}: {value}") };
    let _ = if plain { writeln!(out, "{line}") } else { writeln!(out, "{}", in_quotes(&line)) };
}

fn in_quotes(text: &str) -> String {
    format!("\"{}\"", text.replace('"', "\"\""))
}

fn row(out: &mut String, cells: impl Iterator<Item = String>) {
    for (i, cell) in cells.enumerate() {
        if i > 0 {
            out.push(',');
        }
        let quote = cell.contains([',', '"', '\n', '\r']);
        out.push_str(&if quote { in_quotes(&cell) } else { cell });
    }
    out.push('\n');
}

fn cell(
    installation: &Installation,
    condition: &Condition,
    id: PartId,
    part: &Part,
    feeds: &[&Cable],
    column: Column,
) -> String {
    match column {
        Column::Kind => part.kind.slug().to_owned(),
        Column::FedFrom => feeds.iter().map(|c| installation.tag(c.from)).collect::<Vec<_>>().join("|"),
        Column::Space => match installation.space_of(id) {
            SpaceKind::Other => String::new(),
            kind => kind.slug().to_owned(),
        },
        Column::On => match (part.kind.has_switch(), condition.off.contains(&id)) {
            (true, true) => "no".to_owned(),
            _ => String::new(),
        },
        Column::CableStatus if feeds.iter().all(|c| c.status == part.status) => String::new(),
        Column::CableStatus => one_or_list(feeds.iter().map(|c| c.status.slug().to_owned()).collect()),
        Column::Of(property) if Property::OF_CABLE.contains(&property) => {
            if part.kind == PartKind::ShoreInlet {
                cord_cell(&part.cord, property)
            } else {
                cable_cell(installation, part, feeds, property)
            }
        }
        Column::Of(Property::Leg) if !installation.system.is_split_phase() => String::new(),
        Column::Of(property) if !part.kind.may_have(property) => String::new(),
        Column::Of(property) => {
            let blank = Part::new(part.kind, "", part.place);
            let value = part.get(property);
            if value == blank.get(property) { String::new() } else { value }
        }
    }
}

/// A cell of the cord of a shore inlet, whose conductor is `none` where the cell is empty.
fn cord_cell(cord: &CableData, property: Property) -> String {
    match (property, cord.conductor) {
        (Property::Conductor, Conductor::Unknown) => UNKNOWN.to_owned(),
        (Property::Conductor, Conductor::None) => String::new(),
        _ => data_cell(cord, property),
    }
}

fn data_cell(data: &CableData, property: Property) -> String {
    let value = data.get(property);
    if value == CableData::unknown().get(property) { String::new() } else { value }
}

/// A cell of the feeding cables: one value where they agree, else a list in the order of `fed_from`.
fn cable_cell(installation: &Installation, part: &Part, feeds: &[&Cable], property: Property) -> String {
    let values: Vec<String> = feeds
        .iter()
        .map(|cable| {
            if property != Property::Conductor {
                return data_cell(&cable.data, property);
            }
            let from = installation.parts.get(&cable.from).map_or(PartKind::Junction, |p| p.kind);
            let usual = usual_conductor(from, part.kind);
            match cable.data.conductor {
                Conductor::Unknown if usual == Conductor::Unknown => String::new(),
                Conductor::Unknown => UNKNOWN.to_owned(),
                Conductor::None => "none".to_owned(),
                Conductor::Size(size) => size.to_string(),
            }
        })
        .collect();
    one_or_list(values)
}

/// One value where all agree, else a list in the order of `fed_from`.
fn one_or_list(values: Vec<String>) -> String {
    match values.split_first() {
        None => String::new(),
        Some((first, rest)) if rest.iter().all(|v| v == first) => first.clone(),
        Some(_) => values.join("|"),
    }
}
