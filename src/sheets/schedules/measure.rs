//! What to measure first: values that are not known, assumed, or typical, those with the most riding on them first.

use super::Subject;
use crate::diagram::Target;
use crate::installation::{Cable, CableData, CableId, Origin, Part, PartKind, Property, natural, with_unit};
use crate::sheets::table::{Cell, Column, Row, RowKind, Table};
use crate::survey::Context;
use crate::units;
use std::collections::BTreeMap;

/// One value that is to be measured.
struct Wanted {
    about: Target,
    tag: String,
    name: String,
    property: Property,
    /// The value that is counted until then; empty where none is.
    value: String,
    amps: Option<f64>,
    findings: usize,
}

/// The list.
pub(super) fn table(subject: &Subject<'_>, cx: &Context<'_>) -> Table {
    let columns = vec![
        Column::words("Tag"),
        Column::words("Part or cable"),
        Column::words("Value"),
        Column::words("Counted as"),
        Column::numbers("Current", "A"),
        Column::numbers("Findings", ""),
        Column::words("Measured"),
        Column::words("By, date"),
    ];
    let title = "What to measure first: values not known, assumed or typical";
    let mut table = Table::new("measure-first", title, columns);
    let mut groups: [(&str, Vec<Wanted>); 3] = [
        ("Not known: not counted, and not checked", Vec::new()),
        ("Assumed", Vec::new()),
        ("Typical figures: read the name plate", Vec::new()),
    ];
    for (id, part) in cx.parts() {
        for (property, value, origin) in part_values(cx, part) {
            let findings = subject.survey.findings.iter().filter(|f| f.parts.contains(&id)).count();
            put(
                &mut groups,
                origin,
                Wanted {
                    about: Target::Part(id),
                    tag: part.tag.clone(),
                    name: part.label.clone(),
                    property,
                    value,
                    amps: cx.amps(id),
                    findings,
                },
            );
        }
    }
    for (id, cable) in cx.cables() {
        for (property, value, origin) in cable_values(&cable.data, &cable.origins) {
            let findings = subject.survey.findings.iter().filter(|f| f.cables.contains(&id)).count();
            put(
                &mut groups,
                origin,
                Wanted {
                    about: Target::Cable(id),
                    tag: cable.tag.clone(),
                    name: cable_name(cx, cable),
                    property,
                    value,
                    amps: amps_of(cx, id, cable),
                    findings,
                },
            );
        }
    }
    for (heading, mut group) in groups {
        if group.is_empty() {
            continue;
        }
        let current = |w: &Wanted| w.amps.filter(|a| a.is_finite()).unwrap_or(0.0);
        group.sort_by(|a, b| {
            b.findings
                .cmp(&a.findings)
                .then(current(b).total_cmp(&current(a)))
                .then_with(|| natural(&a.tag).cmp(&natural(&b.tag)))
                .then_with(|| a.name.cmp(&b.name))
                .then(a.property.cmp(&b.property))
        });
        let mut cells = vec![Cell::none(); table.columns.len()];
        if let Some(first) = cells.first_mut() {
            *first = Cell::words(heading);
        }
        table.rows.push(Row::of(cells).kind(RowKind::Heading));
        table.rows.extend(group.into_iter().map(row));
    }
    table.notes.push(
        "In each group what stands in the most findings comes first, then what carries the most current. Current: in the \
         condition shown; – where it is not fed."
            .to_owned(),
    );
    table
}

/// An origin of `None` stands for "not known".
fn put(groups: &mut [(&str, Vec<Wanted>); 3], origin: Option<Origin>, wanted: Wanted) {
    let group = match origin {
        None => 0,
        Some(Origin::Assumed) => 1,
        Some(Origin::Typical) => 2,
        Some(Origin::Measured | Origin::NamePlate) => return,
    };
    if let Some((_, list)) = groups.get_mut(group) {
        list.push(wanted);
    }
}

fn row(wanted: Wanted) -> Row {
    let cells = vec![
        Cell::words(wanted.tag),
        Cell::words(wanted.name),
        Cell::words(wanted.property.name()),
        if wanted.value.is_empty() {
            Cell::not_known()
        } else {
            Cell::words(with_unit(wanted.property, &wanted.value))
        },
        wanted.amps.map_or_else(Cell::none, |a| Cell::number(Some(a), units::amps, "A")),
        Cell::figure(Some(wanted.findings as f64), 0),
        Cell::blank(),
        Cell::blank(),
    ];
    Row::of(cells).about(wanted.about).kind(RowKind::ByHand)
}

fn cable_name(cx: &Context<'_>, cable: &Cable) -> String {
    format!("cable {} to {}", cx.tag(cable.from), cx.tag(cable.to))
}

fn amps_of(cx: &Context<'_>, id: CableId, cable: &Cable) -> Option<f64> {
    cx.solution().cables.get(&id).and_then(|f| f.amps).filter(|_| cx.is_fed(cable.to))
}

/// Properties of which a part of a kind needs a figure before it can be checked.
fn needed(part: &Part) -> &'static [Property] {
    use Property as P;
    match part.kind {
        PartKind::ShoreInlet | PartKind::Outlet => &[P::RatingA],
        PartKind::Generator | PartKind::Inverter => &[P::RunW, P::StartW, P::RatingA, P::Bonded],
        PartKind::Breaker => &[P::RatingA, P::InterruptingKa],
        PartKind::Selector => &[P::RatingA, P::Poles],
        PartKind::Appliance => &[P::RunW, P::StartW],
        PartKind::IsolationTransformer => &[P::RatingA, P::Bonded],
        _ => &[],
    }
}

/// Each value of a part that is to be measured, with what is counted until then and its origin; `None`: not known.
fn part_values(cx: &Context<'_>, part: &Part) -> Vec<(Property, String, Option<Origin>)> {
    let mut out = Vec::new();
    for &property in needed(part) {
        let known = match property {
            Property::StartW => part.start_w(cx.system()).is_some() || part.run_w(cx.system()).is_none(),
            Property::RunW => part.run_w(cx.system()).is_some(),
            Property::RatingA if matches!(part.kind, PartKind::Generator | PartKind::Inverter) => true,
            other => !part.get(other).is_empty(),
        };
        if !known {
            out.push((property, String::new(), None));
        }
    }
    let cords = part.kind == PartKind::ShoreInlet && part.cord.is_fitted();
    for (&property, &origin) in &part.origins {
        if matches!(origin, Origin::Assumed | Origin::Typical) && !Property::OF_CABLE.contains(&property) {
            out.push((property, part.get(property), Some(origin)));
        }
    }
    if cords {
        out.extend(cable_values(&part.cord, &part.origins));
    }
    out
}

/// The same of a cable.
fn cable_values(data: &CableData, origins: &BTreeMap<Property, Origin>) -> Vec<(Property, String, Option<Origin>)> {
    if !data.is_fitted() {
        return Vec::new();
    }
    let mut out = Vec::new();
    if data.size().is_none() {
        out.push((Property::Conductor, String::new(), None));
    }
    if data.length_m.is_none() {
        out.push((Property::LengthM, String::new(), None));
    }
    for &property in Property::OF_CABLE {
        let value = data.get(property);
        match origins.get(&property) {
            Some(&origin) if !value.is_empty() => out.push((property, value, Some(origin))),
            _ => {}
        }
    }
    out
}
