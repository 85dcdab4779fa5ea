//! The feeding cables of a row: which parts feed it, and what its cable columns say.

use super::super::problem::{Problem, quoted};
use super::column::{Column, UNKNOWN, usual_conductor};
use super::import::{Cells, figure, word};
use crate::installation::{CableData, Conductor, PartKind, Property, Status};

/// The tags in `fed_from`, in order.
pub(super) fn tags(cell: &str) -> Vec<&str> {
    if cell.trim().is_empty() { Vec::new() } else { cell.split('|').map(str::trim).collect() }
}

/// Whether any of the cable columns of a row holds something.
pub(super) fn any(cells: &Cells) -> Option<Property> {
    Property::OF_CABLE.iter().copied().find(|&p| !cells.of(p).is_empty())
}

/// The cables of a row, one for each of the kinds that feed it. A column holds one value for all or a list in the order
/// of `fed_from`.
pub(super) fn cables(cells: &Cells, to: PartKind, from: &[PartKind], problems: &mut Vec<Problem>) -> Vec<CableData> {
    let mut out: Vec<CableData> =
        from.iter().map(|&kind| CableData { conductor: usual_conductor(kind, to), ..CableData::unknown() }).collect();
    for &property in Property::OF_CABLE {
        let cell = cells.of(property);
        if cell.is_empty() {
            continue;
        }
        let values: Vec<&str> = cell.split('|').map(str::trim).collect();
        if values.len() > 1 && values.len() != from.len() {
            let found = format!("{} values, {}", values.len(), quoted(cell));
            let valid = match from.len() {
                0 | 1 => "one value: one part feeds this".to_owned(),
                n => format!("one value for all, or {n} in the order of fed_from"),
            };
            problems.push(Problem::cell(cells.line, property.slug(), found, valid));
            continue;
        }
        for (i, data) in out.iter_mut().enumerate() {
            let value = values.get(i).or(values.first()).copied().unwrap_or_default();
            if values.len() == 1 && i > 0 {
                // The same value again: whatever is wrong with it has been said.
                let _ = set(data, property, value, cells.line);
            } else if let Err(problem) = set(data, property, value, cells.line) {
                problems.push(problem);
            }
        }
    }
    out
}

/// The status of each cable of a row that is fed `count` times: that of the part where the column is empty.
pub(super) fn statuses(cells: &Cells, part: Status, count: usize, problems: &mut Vec<Problem>) -> Vec<Status> {
    let cell = cells.at(Column::CableStatus);
    if cell.is_empty() {
        return vec![part; count];
    }
    let valid = || Status::ALL.iter().map(|s| s.slug()).collect::<Vec<_>>().join(", ");
    let values: Vec<Option<Status>> = cell.split('|').map(|v| Status::from_slug(&v.trim().to_lowercase())).collect();
    if values.iter().any(Option::is_none) {
        problems.push(Problem::cell(cells.line, Column::CableStatus.name(), quoted(cell), valid()));
    } else if values.len() > 1 && values.len() != count {
        let valid = format!("one value for all, or {count} in the order of fed_from");
        problems.push(Problem::cell(cells.line, Column::CableStatus.name(), quoted(cell), valid));
    }
    (0..count).map(|i| values.get(i).or(values.first()).copied().flatten().unwrap_or(part)).collect()
}

/// The cord of a shore inlet: not counted where no column says anything of it.
pub(super) fn cord(cells: &Cells, problems: &mut Vec<Problem>) -> CableData {
    let mut data = CableData::none();
    for &property in Property::OF_CABLE {
        if let Err(problem) = set(&mut data, property, cells.of(property), cells.line) {
            problems.push(problem);
        }
    }
    data
}

fn set(data: &mut CableData, property: Property, value: &str, line: usize) -> Result<(), Problem> {
    if value.is_empty() {
        return Ok(());
    }
    if property == Property::Conductor {
        let lower = value.to_lowercase();
        if lower == UNKNOWN {
            data.conductor = Conductor::Unknown;
            return Ok(());
        }
        if lower == "none" {
            data.conductor = Conductor::None;
            return Ok(());
        }
    }
    let text = if property.is_number() { figure(property, value, line)? } else { word(property, value) };
    data.set(property, &text).map_err(|error| super::import::value_problem(property, value, line, &error))
}
