//! From the JSON of the file to the document, all problems at once.

use super::format::{MAX_ID, Shape, bare_hint, part_properties, shape, title_fields};
use super::problem::{Problem, quoted};
use crate::installation::{
    Aboard, Cable, CableData, CableId, Condition, Installation, Origin, Part, PartId, PartKind, Place, Point, Property,
    Rect, ResistanceBasis, RuleSet, Space, SpaceId, SpaceKind, Status, System, ValueError,
};
use serde_json::{Map, Value};
use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

pub(super) type Object = Map<String, Value>;

/// Reads the top object. The version has been looked at already.
pub(super) fn from_json(mut top: Object) -> Result<Installation, Vec<Problem>> {
    let mut reader = Reader::default();
    top.shift_remove("version");
    let installation = reader.top(top);
    if reader.problems.is_empty() { Ok(installation) } else { Err(reader.problems) }
}

#[derive(Default)]
pub(super) struct Reader {
    pub(super) problems: Vec<Problem>,
}

/// A JSON value in the words of an error message.
pub(super) fn shown(value: &Value) -> String {
    match value {
        Value::Null => "null".to_owned(),
        Value::Bool(b) => b.to_string(),
        Value::Number(n) => n.to_string(),
        Value::String(s) if s.trim().is_empty() => "an empty text".to_owned(),
        Value::String(s) => quoted(s),
        Value::Array(list) => format!("a list of {}", list.len()),
        Value::Object(_) => "an object".to_owned(),
    }
}

/// The text form of a JSON value that has the shape of the property.
fn as_text(property: Property, value: &Value) -> Option<String> {
    let figure = |v: &Value| v.as_f64().filter(|f| f.is_finite()).map(|f| f.to_string());
    match (shape(property), value) {
        (Shape::Number, v) => figure(v),
        (Shape::Flag, Value::Bool(b)) => Some(if *b { "yes" } else { "no" }.to_owned()),
        (Shape::Text, Value::String(s)) => Some(s.clone()),
        (Shape::Curve, Value::Array(points)) => points
            .iter()
            .map(|point| match point.as_array().map(Vec::as_slice) {
                Some([load, rate]) => Some(format!("{}:{}", figure(load)?, figure(rate)?)),
                _ => None,
            })
            .collect::<Option<Vec<String>>>()
            .map(|points| points.join("|")),
        _ => None,
    }
}

/// What would be valid for a property in JSON.
fn json_hint(property: Property) -> String {
    match shape(property) {
        Shape::Number => bare_hint(property).to_owned(),
        Shape::Flag => "true or false".to_owned(),
        Shape::Curve => {
            "a list of [load percent, litres per hour], load from 0 to 100 and rising, litres above 0".to_owned()
        }
        Shape::Text => property.choices().map_or_else(|| "a text".to_owned(), |words| words.join(", ")),
    }
}

impl Reader {
    pub(super) fn problem(&mut self, place: impl Into<String>, found: impl Into<String>, valid: impl Into<String>) {
        self.problems.push(Problem::at(place, found, valid));
    }

    pub(super) fn text(&mut self, object: &mut Object, place: &str, name: &str) -> String {
        match object.shift_remove(name) {
            None => String::new(),
            Some(Value::String(text)) => text,
            Some(other) => {
                self.problem(format!("{place}{name}"), shown(&other), "a text");
                String::new()
            }
        }
    }

    /// One of a set of words; `None` where it is missing or wrong.
    pub(super) fn word<T>(
        &mut self,
        object: &mut Object,
        place: &str,
        name: &str,
        choices: (&[T], fn(T) -> &'static str),
        required: bool,
    ) -> Option<T>
    where
        T: Copy,
    {
        let (all, slug) = choices;
        let value = object.shift_remove(name);
        let valid = || all.iter().map(|&v| slug(v)).collect::<Vec<_>>().join(", ");
        match &value {
            None if !required => return None,
            None => self.problem(format!("{place}{name}"), "nothing", valid()),
            Some(found) => {
                let hit = found.as_str().and_then(|s| all.iter().copied().find(|&v| slug(v) == s));
                if hit.is_some() {
                    return hit;
                }
                self.problem(format!("{place}{name}"), shown(found), valid());
            }
        }
        None
    }

    pub(super) fn id(&mut self, value: Option<&Value>, place: &str) -> Option<u32> {
        let number =
            value.and_then(Value::as_u64).filter(|n| (1..MAX_ID).contains(n)).and_then(|n| u32::try_from(n).ok());
        if number.is_none() {
            let found = value.map_or_else(|| "nothing".to_owned(), shown);
            self.problem(place, found, format!("a whole number from 1 to {}", MAX_ID - 1));
        }
        number
    }

    /// A list of objects; anything else in it is a problem.
    pub(super) fn objects(&mut self, top: &mut Object, name: &str) -> Vec<(usize, Object)> {
        match top.shift_remove(name) {
            None => Vec::new(),
            Some(Value::Array(list)) => list
                .into_iter()
                .enumerate()
                .filter_map(|(i, item)| match item {
                    Value::Object(object) => Some((i + 1, object)),
                    other => {
                        self.problem(format!("{name}, entry {}", i + 1), shown(&other), "an object");
                        None
                    }
                })
                .collect(),
            Some(other) => {
                self.problem(name, shown(&other), "a list of objects");
                Vec::new()
            }
        }
    }

    /// Finite numbers, exactly as many as asked for.
    pub(super) fn figures<const N: usize>(&mut self, value: &Value, place: &str, valid: &str) -> Option<[f64; N]> {
        let list = value.as_array().filter(|list| list.len() == N);
        let figures: Option<Vec<f64>> =
            list.and_then(|list| list.iter().map(|v| v.as_f64().filter(|f| f.is_finite())).collect());
        let figures = figures.and_then(|f| <[f64; N]>::try_from(f).ok());
        if figures.is_none() {
            self.problem(place, shown(value), valid);
        }
        figures
    }

    pub(super) fn top(&mut self, mut top: Object) -> Installation {
        let system = self.word(&mut top, "", "system", (System::ALL, System::slug), true).unwrap_or_default();
        let mut out = Installation::new(system);
        out.name = self.text(&mut top, "", "name");
        if let Some(rules) = self.word(&mut top, "", "rules", (RuleSet::ALL, RuleSet::slug), false) {
            out.rules = rules;
        }
        let basis = self.word(&mut top, "", "resistance", (ResistanceBasis::ALL, ResistanceBasis::slug), false);
        out.resistance = basis.unwrap_or_default();
        self.aboard(&mut top, &mut out.aboard);
        self.title(&mut top, &mut out);
        self.parts(&mut top, &mut out);
        self.cables(&mut top, &mut out);
        self.spaces(&mut top, &mut out);
        self.conditions(&mut top, &mut out);
        self.accepted(&mut top, &mut out);
        self.revisions(&mut top, &mut out);
        self.trays(&mut top, &mut out);
        self.candidates(&mut top, &mut out);
        self.readings(&mut top, &mut out);
        self.next_id(&mut top, &mut out);
        out.extra = top;
        out
    }

    fn aboard(&mut self, top: &mut Object, out: &mut Aboard) {
        match top.shift_remove("co_alarms") {
            None => {}
            Some(Value::Bool(alarms)) => out.co_alarms = Some(alarms),
            Some(other) => self.problem("co_alarms", shown(&other), "true or false"),
        }
        if let Some(value) = top.shift_remove("petrol") {
            let kind = |v: &Value| v.as_str().and_then(SpaceKind::from_slug);
            out.petrol = value.as_array().and_then(|list| list.iter().map(kind).collect());
            if out.petrol.is_none() {
                let valid = SpaceKind::ALL.iter().map(|s| s.slug()).collect::<Vec<_>>().join(", ");
                self.problem("petrol", shown(&value), format!("a list of spaces: {valid}"));
            }
        }
    }

    fn title(&mut self, top: &mut Object, out: &mut Installation) {
        match top.shift_remove("title") {
            None => {}
            Some(Value::Object(mut object)) => {
                for (name, value) in title_fields(&mut out.title) {
                    *value = self.text(&mut object, "title, ", name);
                }
            }
            Some(other) => self.problem("title", shown(&other), "an object of texts"),
        }
    }

    fn parts(&mut self, top: &mut Object, out: &mut Installation) {
        let mut tags: BTreeMap<String, usize> = BTreeMap::new();
        for (entry, mut object) in self.objects(top, "parts") {
            let named = object.get("tag").and_then(Value::as_str).filter(|t| !t.trim().is_empty());
            let place = named.map_or_else(|| format!("parts, entry {entry}"), |tag| format!("part {}", tag.trim()));
            let prefix = format!("{place}, ");
            let id = object.shift_remove("id");
            let id = self.id(id.as_ref(), &format!("{prefix}id"));
            let kind = self.word(&mut object, &prefix, "kind", (PartKind::ALL, PartKind::slug), true);
            let mut part = Part::new(kind.unwrap_or(PartKind::Junction), "", Place::In(SpaceKind::Other));
            let tag = self.text(&mut object, &prefix, "tag");
            match crate::installation::valid_tag(&tag) {
                Ok(tag) => {
                    if let Some(first) = tags.insert(tag.clone(), entry) {
                        let found = format!("“{tag}” in entries {first} and {entry}");
                        self.problem(format!("{prefix}tag"), found, "a tag that no other part has");
                    }
                    part.tag = tag;
                }
                Err(error) => self.value_error(&format!("{prefix}tag"), "tag", error),
            }
            part.label = self.text(&mut object, &prefix, "label");
            part.place = self.place(&mut object, &prefix);
            self.figures_of(&mut part, object, &prefix, out.system);
            if let Some(id) = id.map(PartId::new)
                && let Some(other) = out.parts.insert(id, Arc::new(part))
            {
                let found = format!("{id}, which {} has too", other.tag);
                self.problem(format!("{prefix}id"), found, "an id that no other part has");
            }
        }
    }

    /// All that a part has beyond its name and place; what is left of the object is kept.
    pub(super) fn figures_of(&mut self, part: &mut Part, mut object: Object, prefix: &str, system: System) {
        for property in part_properties() {
            let Some(value) = object.shift_remove(property.slug()) else { continue };
            let place = format!("{prefix}{}", property.slug());
            match as_text(property, &value) {
                Some(text) => {
                    if part.set_any(property, &text, system).is_err() {
                        self.problem(place, shown(&value), json_hint(property));
                    }
                }
                None => self.problem(place, shown(&value), json_hint(property)),
            }
        }
        match object.shift_remove("mirrored") {
            None => {}
            Some(Value::Bool(mirrored)) => part.mirrored = mirrored,
            Some(other) => self.problem(format!("{prefix}mirrored"), shown(&other), "true or false"),
        }
        match object.shift_remove("cord") {
            None => {}
            Some(Value::Object(mut cord)) => part.cord = self.cable_data(&mut cord, &format!("{prefix}cord, ")),
            Some(other) => self.problem(format!("{prefix}cord"), shown(&other), "an object"),
        }
        part.origins = self.origins(&mut object, prefix);
        part.extra = object;
    }

    fn value_error(&mut self, place: &str, what: &str, error: ValueError) {
        match error {
            ValueError::Bad { found, valid } => self.problem(place, quoted(&found), valid),
            ValueError::NotApplicable { kind, .. } => {
                self.problem(place, what.to_owned(), format!("nothing on a {kind}"))
            }
        }
    }

    fn place(&mut self, object: &mut Object, prefix: &str) -> Place {
        let at = object.shift_remove("at");
        let space = self.word(object, prefix, "in", (SpaceKind::ALL, SpaceKind::slug), false);
        let at = at.and_then(|value| {
            self.figures::<2>(&value, &format!("{prefix}at"), "a list of two numbers, [x, y] in millimetres")
        });
        match at {
            Some([x, y]) => Place::At(Point::new(x, y)),
            None => Place::In(space.unwrap_or_default()),
        }
    }

    fn origins(&mut self, object: &mut Object, prefix: &str) -> BTreeMap<Property, Origin> {
        let mut out = BTreeMap::new();
        match object.shift_remove("origins") {
            None => {}
            Some(Value::Object(map)) => {
                for (name, value) in map {
                    let place = format!("{prefix}origins, {name}");
                    let Some(property) = Property::from_slug(&name) else {
                        self.problem(place, quoted(&name), "the name of a property, such as run_w");
                        continue;
                    };
                    match value.as_str().and_then(Origin::from_slug) {
                        Some(origin) => {
                            out.insert(property, origin);
                        }
                        None => {
                            let valid = Origin::ALL.iter().map(|o| o.slug()).collect::<Vec<_>>().join(", ");
                            self.problem(place, shown(&value), valid);
                        }
                    }
                }
            }
            Some(other) => self.problem(format!("{prefix}origins"), shown(&other), "an object of texts"),
        }
        out
    }

    fn cable_data(&mut self, object: &mut Object, prefix: &str) -> CableData {
        let mut data = CableData::unknown();
        for &property in Property::OF_CABLE {
            let Some(value) = object.shift_remove(property.slug()) else { continue };
            let place = format!("{prefix}{}", property.slug());
            match as_text(property, &value).map(|text| data.set(property, &text)) {
                Some(Ok(())) => {}
                Some(Err(ValueError::Bad { valid, .. })) if shape(property) == Shape::Text => {
                    self.problem(place, shown(&value), valid);
                }
                _ => self.problem(place, shown(&value), json_hint(property)),
            }
        }
        data
    }

    /// A reference to a part.
    pub(super) fn part_ref(&mut self, value: Option<&Value>, place: &str, out: &Installation) -> Option<PartId> {
        let id = PartId::new(self.id(value, place)?);
        if !out.parts.contains_key(&id) {
            self.problem(place, format!("{id}, which no part has"), "the id of a part of this file");
            return None;
        }
        Some(id)
    }

    fn cables(&mut self, top: &mut Object, out: &mut Installation) {
        for (entry, mut object) in self.objects(top, "cables") {
            let raw = object.shift_remove("id");
            let named = raw.as_ref().and_then(Value::as_u64);
            let place = named.map_or_else(|| format!("cables, entry {entry}"), |id| format!("cable {id}"));
            let prefix = format!("{place}, ");
            let id = self.id(raw.as_ref(), &format!("{prefix}id"));
            let (from, to) = (object.shift_remove("from"), object.shift_remove("to"));
            let from = self.part_ref(from.as_ref(), &format!("{prefix}from"), out);
            let to = self.part_ref(to.as_ref(), &format!("{prefix}to"), out);
            let tag = self.text(&mut object, &prefix, "tag");
            let status = self.word(&mut object, &prefix, "status", (Status::ALL, Status::slug), false);
            let data = self.cable_data(&mut object, &prefix);
            let origins = self.origins(&mut object, &prefix);
            let (Some(id), Some(from), Some(to)) = (id.map(CableId::new), from, to) else { continue };
            let status = status.unwrap_or_default();
            let cable = Cable { tag, from, to, data, status, origins, extra: object };
            if out.cables.insert(id, Arc::new(cable)).is_some() {
                let found = format!("{id}, which another cable has too");
                self.problem(format!("{prefix}id"), found, "an id that no other cable has");
            }
        }
    }

    fn spaces(&mut self, top: &mut Object, out: &mut Installation) {
        const RECT: &str = "a list of four numbers, [x1, y1, x2, y2] in millimetres";
        for (entry, mut object) in self.objects(top, "spaces") {
            let prefix = format!("spaces, entry {entry}, ");
            let id = object.shift_remove("id");
            let id = self.id(id.as_ref(), &format!("{prefix}id"));
            let kind = self.word(&mut object, &prefix, "kind", (SpaceKind::ALL, SpaceKind::slug), true);
            let name = self.text(&mut object, &prefix, "name");
            let rect = object.shift_remove("rect").unwrap_or_default();
            let rect = self.figures::<4>(&rect, &format!("{prefix}rect"), RECT);
            let (Some(id), Some(kind), Some([x1, y1, x2, y2])) = (id.map(SpaceId::new), kind, rect) else { continue };
            let rect = Rect::between(Point::new(x1, y1), Point::new(x2, y2));
            if out.spaces.insert(id, Space { name, kind, rect, extra: object }).is_some() {
                let found = format!("{id}, which another space has too");
                self.problem(format!("{prefix}id"), found, "an id that no other space has");
            }
        }
    }

    pub(super) fn ids(&mut self, object: &mut Object, prefix: &str, name: &str, out: &Installation) -> Vec<PartId> {
        match object.shift_remove(name) {
            None => Vec::new(),
            Some(Value::Array(list)) => {
                let place = format!("{prefix}{name}");
                list.iter().filter_map(|value| self.part_ref(Some(value), &place, out)).collect()
            }
            Some(other) => {
                self.problem(format!("{prefix}{name}"), shown(&other), "a list of ids of parts");
                Vec::new()
            }
        }
    }

    fn conditions(&mut self, top: &mut Object, out: &mut Installation) {
        let mut conditions = Vec::new();
        for (entry, mut object) in self.objects(top, "conditions") {
            let prefix = format!("conditions, entry {entry}, ");
            let name = self.text(&mut object, &prefix, "name");
            let feeding = self.ids(&mut object, &prefix, "feeding", out);
            for id in &feeding {
                if let Some(part) = out.parts.get(id).filter(|p| !p.kind.is_source()) {
                    let found = format!("{id}, which is {} ({})", part.tag, part.kind.name());
                    self.problem(format!("{prefix}feeding"), found, "the id of a shore inlet, generator or inverter");
                }
            }
            let off: BTreeSet<PartId> = self.ids(&mut object, &prefix, "off", out).into_iter().collect();
            let hours = self.hours(&mut object, &prefix);
            let usage = self.usage(&mut object, &prefix, out);
            conditions.push(Condition { name, feeding, off, hours, usage, extra: object });
        }
        if conditions.is_empty() {
            let mut only = Condition::named("as listed");
            let sources: Vec<PartId> =
                out.parts.iter().filter(|(_, p)| p.kind.is_source()).map(|(id, _)| *id).collect();
            if let [one] = sources.as_slice() {
                only.feeding = vec![*one];
            }
            conditions.push(only);
        }
        out.conditions = conditions;
    }

    fn next_id(&mut self, top: &mut Object, out: &mut Installation) {
        let parts = out.parts.keys().map(|id| id.number());
        let cables = out.cables.keys().map(|id| id.number());
        let spaces = out.spaces.keys().map(|id| id.number());
        // What was deleted may still be remembered: its id is not given to something else.
        let remembered = out
            .accepted
            .iter()
            .flat_map(|a| a.parts.iter().map(|id| id.number()).chain(a.cables.iter().map(|id| id.number())));
        let issued = out.revisions.iter().map(|r| r.state.next_id.saturating_sub(1));
        let highest = parts.chain(cables).chain(spaces).chain(remembered).chain(issued).max().unwrap_or(0);
        let stated = match top.shift_remove("next_id") {
            None => None,
            Some(value) => self.id(Some(&value), "next_id"),
        };
        // A file written by hand may have fallen behind: an id in use is never given out again.
        out.next_id = stated.unwrap_or(1).max(highest + 1);
    }
}
