//! From the document to the JSON of the file.

use super::format::{Shape, VERSION, part_properties, shape, title_fields};
use crate::installation::{
    Accepted, Cable, CableData, Candidate, Condition, Extra, Installation, Origin, Part, PartId, Place, Property,
    Reading, Revision, Space, Span, Status, Tray, Usage,
};
use serde_json::{Map, Number, Value};
use std::collections::BTreeMap;

/// The file as JSON.
///
/// # Errors
/// Names the place of a figure that is not finite, which JSON cannot hold.
pub(super) fn to_json(installation: &Installation) -> Result<Value, String> {
    let mut top = Map::new();
    top.insert("version".to_owned(), VERSION.into());
    document(top, installation)
}

/// The document in an object, which a revision has in full too.
fn document(mut top: Map<String, Value>, installation: &Installation) -> Result<Value, String> {
    text(&mut top, "name", &installation.name);
    top.insert("system".to_owned(), installation.system.slug().into());
    top.insert("rules".to_owned(), installation.rules.slug().into());
    top.insert("resistance".to_owned(), installation.resistance.slug().into());
    if let Some(alarms) = installation.aboard.co_alarms {
        top.insert("co_alarms".to_owned(), alarms.into());
    }
    if let Some(petrol) = &installation.aboard.petrol {
        let spaces: Vec<Value> = petrol.iter().map(|s| s.slug().into()).collect();
        top.insert("petrol".to_owned(), spaces.into());
    }
    let mut title = Map::new();
    for (name, value) in title_fields(&mut installation.title.clone()) {
        text(&mut title, name, value);
    }
    if !title.is_empty() {
        top.insert("title".to_owned(), title.into());
    }
    let parts: Result<Vec<Value>, String> =
        installation.parts.iter().map(|(id, part)| part_json(id.number(), part)).collect();
    top.insert("parts".to_owned(), parts?.into());
    let cables: Result<Vec<Value>, String> =
        installation.cables.iter().map(|(id, cable)| cable_json(id.number(), cable)).collect();
    top.insert("cables".to_owned(), cables?.into());
    let spaces: Result<Vec<Value>, String> =
        installation.spaces.iter().map(|(id, space)| space_json(id.number(), space)).collect();
    top.insert("spaces".to_owned(), spaces?.into());
    let conditions: Result<Vec<Value>, String> = installation.conditions.iter().map(condition_json).collect();
    top.insert("conditions".to_owned(), conditions?.into());
    if !installation.accepted.is_empty() {
        let accepted: Result<Vec<Value>, String> = installation.accepted.iter().map(accepted_json).collect();
        top.insert("accepted".to_owned(), accepted?.into());
    }
    if !installation.revisions.is_empty() {
        let revisions: Result<Vec<Value>, String> = installation.revisions.iter().map(revision_json).collect();
        top.insert("revisions".to_owned(), revisions?.into());
    }
    if !installation.trays.is_empty() {
        top.insert("trays".to_owned(), installation.trays.iter().map(tray_json).collect::<Vec<_>>().into());
    }
    if !installation.candidates.is_empty() {
        let candidates: Result<Vec<Value>, String> = installation.candidates.iter().map(candidate_json).collect();
        top.insert("candidates".to_owned(), candidates?.into());
    }
    if !installation.readings.is_empty() {
        let readings: Result<Vec<Value>, String> = installation.readings.iter().map(reading_json).collect();
        top.insert("readings".to_owned(), readings?.into());
    }
    top.insert("next_id".to_owned(), installation.next_id.into());
    Ok(with_extra(top, &installation.extra))
}

fn text(object: &mut Map<String, Value>, name: &str, value: &str) {
    if !value.is_empty() {
        object.insert(name.to_owned(), value.into());
    }
}

fn with_extra(mut object: Map<String, Value>, extra: &Extra) -> Value {
    for (name, value) in extra {
        object.entry(name.clone()).or_insert_with(|| value.clone());
    }
    object.into()
}

/// A number as JSON; whole numbers without a decimal point.
fn number(value: f64, place: &str) -> Result<Value, String> {
    const WHOLE: f64 = 9_007_199_254_740_992.0; // 2^53
    if value.fract() == 0.0 && value.abs() < WHOLE {
        return Ok((value as i64).into());
    }
    Number::from_f64(value).map(Value::Number).ok_or_else(|| format!("{place} is not a finite number"))
}

/// A property in its JSON shape; `None` where it is left out.
fn property_json(property: Property, value: &str, place: &str) -> Result<Option<Value>, String> {
    if value.is_empty() {
        return Ok(None);
    }
    let figure = |text: &str| -> Result<Value, String> {
        number(text.parse::<f64>().map_err(|_| format!("{place} is not a number"))?, place)
    };
    Ok(Some(match shape(property) {
        Shape::Number => figure(value)?,
        Shape::Flag => Value::Bool(value == "yes"),
        Shape::Text => value.into(),
        Shape::Curve => {
            let mut points = Vec::new();
            for point in value.split('|') {
                let (load, rate) = point.split_once(':').ok_or_else(|| format!("{place} is not a list of points"))?;
                points.push(Value::Array(vec![figure(load)?, figure(rate)?]));
            }
            points.into()
        }
    }))
}

fn origins_json(object: &mut Map<String, Value>, origins: &BTreeMap<Property, Origin>) {
    if !origins.is_empty() {
        let map: Map<String, Value> =
            origins.iter().map(|(property, origin)| (property.slug().to_owned(), origin.slug().into())).collect();
        object.insert("origins".to_owned(), map.into());
    }
}

fn part_json(id: u32, part: &Part) -> Result<Value, String> {
    let place = format!("part {}", part.tag);
    let mut object = Map::new();
    object.insert("id".to_owned(), id.into());
    object.insert("tag".to_owned(), part.tag.as_str().into());
    object.insert("kind".to_owned(), part.kind.slug().into());
    text(&mut object, "label", &part.label);
    match part.place {
        Place::At(p) => {
            let at = vec![number(p.x, &place)?, number(p.y, &place)?];
            object.insert("at".to_owned(), at.into());
        }
        Place::In(kind) => {
            object.insert("in".to_owned(), kind.slug().into());
        }
    }
    if part.mirrored {
        object.insert("mirrored".to_owned(), true.into());
    }
    let blank = Part::new(part.kind, "", part.place);
    for property in part_properties() {
        let value = part.get(property);
        if value != blank.get(property)
            && let Some(json) = property_json(property, &value, &format!("{place}, {}", property.slug()))?
        {
            object.insert(property.slug().to_owned(), json);
        }
    }
    if part.cord != CableData::none() {
        let mut cord = Map::new();
        cable_data(&mut cord, &part.cord, &format!("the cord of {}", part.tag))?;
        object.insert("cord".to_owned(), cord.into());
    }
    origins_json(&mut object, &part.origins);
    Ok(with_extra(object, &part.extra))
}

fn cable_data(object: &mut Map<String, Value>, data: &CableData, place: &str) -> Result<(), String> {
    let blank = CableData::unknown();
    for &property in Property::OF_CABLE {
        let value = data.get(property);
        if value != blank.get(property)
            && let Some(json) = property_json(property, &value, &format!("{place}, {}", property.slug()))?
        {
            object.insert(property.slug().to_owned(), json);
        }
    }
    Ok(())
}

fn cable_json(id: u32, cable: &Cable) -> Result<Value, String> {
    let mut object = Map::new();
    object.insert("id".to_owned(), id.into());
    text(&mut object, "tag", &cable.tag);
    object.insert("from".to_owned(), cable.from.number().into());
    object.insert("to".to_owned(), cable.to.number().into());
    if cable.status != Status::default() {
        object.insert("status".to_owned(), cable.status.slug().into());
    }
    cable_data(&mut object, &cable.data, &format!("cable {id}"))?;
    origins_json(&mut object, &cable.origins);
    Ok(with_extra(object, &cable.extra))
}

fn space_json(id: u32, space: &Space) -> Result<Value, String> {
    let place = format!("space {}", space.name);
    let mut object = Map::new();
    object.insert("id".to_owned(), id.into());
    object.insert("kind".to_owned(), space.kind.slug().into());
    text(&mut object, "name", &space.name);
    let (min, max) = (space.rect.min, space.rect.max);
    let rect: Result<Vec<Value>, String> = [min.x, min.y, max.x, max.y].iter().map(|&v| number(v, &place)).collect();
    object.insert("rect".to_owned(), rect?.into());
    Ok(with_extra(object, &space.extra))
}

fn condition_json(condition: &Condition) -> Result<Value, String> {
    let mut object = Map::new();
    object.insert("name".to_owned(), condition.name.as_str().into());
    let feeding: Vec<Value> = condition.feeding.iter().map(|id| id.number().into()).collect();
    object.insert("feeding".to_owned(), feeding.into());
    let off: Vec<Value> = condition.off.iter().map(|id| id.number().into()).collect();
    object.insert("off".to_owned(), off.into());
    if !condition.hours.is_empty() {
        let place = format!("condition {}, hours", condition.name);
        let span = |s: &Span| Ok(Value::Array(vec![number(s.from, &place)?, number(s.to, &place)?]));
        let hours: Result<Vec<Value>, String> = condition.hours.iter().map(span).collect();
        object.insert("hours".to_owned(), hours?.into());
    }
    if !condition.usage.is_empty() {
        let place = format!("condition {}, usage", condition.name);
        let usage: Result<Vec<Value>, String> =
            condition.usage.iter().map(|(id, u)| usage_json(*id, u, &place)).collect();
        object.insert("usage".to_owned(), usage?.into());
    }
    Ok(with_extra(object, &condition.extra))
}

fn usage_json(id: PartId, usage: &Usage, place: &str) -> Result<Value, String> {
    let mut object = Map::new();
    object.insert("part".to_owned(), id.number().into());
    if let Some(share) = usage.share {
        object.insert("share".to_owned(), number(share, place)?);
    }
    if let Some(at_once) = usage.at_once {
        object.insert("at_once".to_owned(), at_once.into());
    }
    Ok(object.into())
}

fn candidate_json(candidate: &Candidate) -> Result<Value, String> {
    let mut object = Map::new();
    object.insert("name".to_owned(), candidate.name.as_str().into());
    object.insert("in_place_of".to_owned(), candidate.in_place_of.number().into());
    if candidate.pair {
        object.insert("pair".to_owned(), true.into());
    }
    if let Value::Object(mut part) = part_json(0, &candidate.part)? {
        for apart in ["id", "tag", "at", "in"] {
            part.shift_remove(apart);
        }
        object.insert("part".to_owned(), part.into());
    }
    Ok(object.into())
}

fn tray_json(tray: &Tray) -> Value {
    let mut object = Map::new();
    object.insert("name".to_owned(), tray.name.as_str().into());
    object.insert("inner_mm".to_owned(), tray.inner.to_string().into());
    if tray.open_above {
        object.insert("open_above".to_owned(), true.into());
    }
    object.into()
}

fn reading_json(reading: &Reading) -> Result<Value, String> {
    let place = "a reading";
    let mut object = Map::new();
    let on: Vec<Value> = reading.on.iter().map(|id| id.number().into()).collect();
    object.insert("on".to_owned(), on.into());
    object.insert("at".to_owned(), reading.at.number().into());
    object.insert("quantity".to_owned(), reading.quantity.slug().into());
    object.insert("value".to_owned(), number(reading.value, place)?);
    object.insert("step".to_owned(), number(reading.step, place)?);
    object.insert("rounding".to_owned(), reading.rounding.slug().into());
    if let Some(watts) = reading.rated_w {
        object.insert("rated_w".to_owned(), number(watts, place)?);
    }
    Ok(object.into())
}

fn accepted_json(accepted: &Accepted) -> Result<Value, String> {
    let mut object = Map::new();
    object.insert("rule".to_owned(), accepted.rule.as_str().into());
    let parts: Vec<Value> = accepted.parts.iter().map(|id| id.number().into()).collect();
    object.insert("parts".to_owned(), parts.into());
    if !accepted.cables.is_empty() {
        let cables: Vec<Value> = accepted.cables.iter().map(|id| id.number().into()).collect();
        object.insert("cables".to_owned(), cables.into());
    }
    if let Some(severity) = accepted.severity {
        object.insert("severity".to_owned(), severity.word().into());
    }
    text(&mut object, "reason", &accepted.reason);
    text(&mut object, "by", &accepted.by);
    text(&mut object, "date", &accepted.date);
    if let Some(figure) = accepted.figure {
        object.insert("figure".to_owned(), number(figure, &format!("accepted {}, figure", accepted.rule))?);
    }
    Ok(with_extra(object, &accepted.extra))
}

fn revision_json(revision: &Revision) -> Result<Value, String> {
    let mut object = Map::new();
    object.insert("letter".to_owned(), revision.letter.as_str().into());
    text(&mut object, "date", &revision.date);
    text(&mut object, "author", &revision.author);
    text(&mut object, "note", &revision.note);
    object.insert("state".to_owned(), document(Map::new(), &revision.state)?);
    Ok(with_extra(object, &revision.extra))
}
