//! What the page knows of each part and cable: data, findings, path to the source; as JSON that can stand in HTML.

use super::target_id;
use crate::diagram::Target;
use crate::installation::{CableId, Origin, Part, PartId, Property, with_unit};
use crate::network::{Rated, Reach};
use crate::sheets::schedules::Subject;
use crate::sheets::table::{Table, Value};
use crate::survey::Finding;
use crate::units;
use serde_json::{Map, json};

/// All parts and cables by their names in the page.
pub(super) fn json(subject: &Subject<'_>, tables: &[Table]) -> String {
    let mut all = Map::new();
    for (&id, part) in &subject.installation.parts {
        all.insert(format!("part-{id}"), of_part(subject, id, part));
    }
    for &id in subject.installation.cables.keys() {
        all.insert(format!("cable-{id}"), of_cable(subject, tables, id));
    }
    // No sign that could end the element that it stands in, and none that ends a line of script.
    let text = serde_json::Value::Object(all).to_string();
    text.replace('<', "\\u003c")
        .replace('>', "\\u003e")
        .replace('&', "\\u0026")
        .replace('\u{2028}', "\\u2028")
        .replace('\u{2029}', "\\u2029")
}

/// The names of a part's path to the source: each cable and part upstream.
fn path(subject: &Subject<'_>, part: PartId) -> Vec<String> {
    let mut out = Vec::new();
    for at in subject.solution.walk.path_to_source(part) {
        out.push(format!("part-{at}"));
        if let Some(feed) = subject.solution.walk.feeds.get(&at) {
            out.push(format!("cable-{}", feed.cable));
        }
    }
    out
}

/// The path in words, the source first.
fn way(subject: &Subject<'_>, part: PartId) -> String {
    let mut tags: Vec<&str> =
        subject.solution.walk.path_to_source(part).into_iter().map(|id| subject.installation.tag(id)).collect();
    tags.reverse();
    match subject.solution.walk.reach.get(&part) {
        Some(Reach::Fed(_)) if tags.len() > 1 => format!("Fed: {}", tags.join(" → ")),
        Some(Reach::Fed(_)) => "Feeds in this condition".to_owned(),
        Some(Reach::MayBeLive) => "Not feeding; may be live".to_owned(),
        Some(Reach::NotFed) | None => "Not fed in this condition".to_owned(),
    }
}

fn findings<'a>(all: impl Iterator<Item = &'a Finding>) -> Vec<String> {
    all.map(|f| {
        let cure = f.cure.as_ref().map_or_else(String::new, |c| format!(" Cure: {c}"));
        format!("{}: {} Source: {}.{cure}", f.severity.word(), f.message, f.source_words())
    })
    .collect()
}

const fn origin_words(origin: Origin) -> &'static str {
    match origin {
        Origin::Measured => " (measured)",
        Origin::NamePlate => " (name plate)",
        Origin::Typical => " (typical: read the name plate)",
        Origin::Assumed => " (assumed: measure it)",
    }
}

fn of_part(subject: &Subject<'_>, id: PartId, part: &Part) -> serde_json::Value {
    let flow = subject.solution.parts.get(&id);
    let fed = subject.solution.walk.is_fed(id);
    let mut data: Vec<(String, String)> = vec![("kind".to_owned(), part.kind.name().to_owned())];
    let mut put = |what: &str, value: String| data.push((what.to_owned(), value));
    let figure = |value: Option<f64>, show: fn(f64) -> String| value.map_or_else(|| "not known".to_owned(), show);
    if fed {
        put("volts", figure(flow.and_then(|f| f.volts), units::volts));
        put("current", figure(flow.and_then(|f| f.amps), units::amps));
        put("drop from the source", figure(flow.and_then(|f| f.drop_percent), units::percent));
        if let Some(watts) = flow.and_then(|f| f.watts) {
            put("power now", units::watts(watts));
        }
    }
    if let Some(source) = subject.solution.sources.get(&id) {
        put("delivers", figure(source.watts, units::watts));
        put("load", figure(Rated::of(part, subject.installation.system, Some(source)).percent(), units::percent));
    }
    for &property in part.kind.properties() {
        if Property::OF_CABLE.contains(&property) && !part.cord.is_fitted() {
            continue;
        }
        let text = part.get(property);
        if text.is_empty() {
            continue;
        }
        let origin = part.origins.get(&property).map_or("", |&o| origin_words(o));
        put(property.name(), with_unit(property, &text) + origin);
    }
    put("status", part.status.name().to_owned());
    let about = subject.judged.open.iter().filter(|f| f.parts.contains(&id));
    json!({
        "name": part.name(), "way": way(subject, id), "data": data, "findings": findings(about), "path": path(subject, id),
    })
}

/// A cable has the data of its row in the cable schedule.
fn of_cable(subject: &Subject<'_>, tables: &[Table], id: CableId) -> serde_json::Value {
    let installation = subject.installation;
    let Some(cable) = installation.cables.get(&id) else { return serde_json::Value::Null };
    let schedule = tables.iter().find(|t| t.id == "cables");
    let row = schedule.and_then(|t| t.rows.iter().find(|r| r.about == Some(Target::Cable(id))).map(|r| (t, r)));
    let data: Vec<(String, String)> = match row {
        None => vec![("cable".to_owned(), "bolted on or plugged in".to_owned())],
        Some((table, row)) => table
            .columns
            .iter()
            .zip(&row.cells)
            .filter(|(_, cell)| cell.value != Value::None)
            .map(|(column, cell)| (column.heading(), cell.text()))
            .collect(),
    };
    let about = subject.judged.open.iter().filter(|f| f.cables.contains(&id));
    let in_use = subject.solution.walk.feeds.get(&cable.to).is_some_and(|feed| feed.cable == id);
    let mut lit = if in_use { path(subject, cable.to) } else { Vec::new() };
    lit.retain(|name| Some(name) != target_id(Target::Part(cable.to)).as_ref());
    let name = format!("Cable {} to {}", installation.tag(cable.from), installation.tag(cable.to));
    let way = if in_use { way(subject, cable.to) } else { "Not in use in this condition; may be live".to_owned() };
    json!({ "name": name, "way": way, "data": data, "findings": findings(about), "path": lit })
}
