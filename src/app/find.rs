//! What Find looks through: tags, labels, kinds, and every property that is stated, of parts and of the cables that feed
//! them.

use crate::installation::{Installation, Part, PartId, Place, Point, Property, natural, with_unit};

/// A part as it is looked for.
#[derive(Clone, Debug)]
pub struct Findable {
    /// The part.
    pub id: PartId,
    /// Tag and label.
    pub name: String,
    kind: &'static str,
    /// Name and kind in lower case.
    key: String,
    /// What is stated, as shown and in lower case.
    properties: Vec<(String, String)>,
}

/// All parts of a drawing.
#[must_use]
pub fn all(doc: &Installation) -> Vec<Findable> {
    let line = |property: Property, value: &str| {
        let shown = format!("{} {}", property.name(), with_unit(property, value));
        (shown.clone(), shown.to_lowercase())
    };
    let of = |id: PartId, part: &Part| {
        let blank = Part::new(part.kind, "", Place::At(Point::default()));
        let mut properties = Vec::new();
        for &property in Property::ALL {
            let value = part.get(property);
            let own = !matches!(property, Property::Tag | Property::Label);
            if own && !value.is_empty() && value != blank.get(property) {
                properties.push(line(property, &value));
            }
        }
        for (_, cable) in doc.feeds_of(id) {
            let stated = Property::OF_CABLE.iter().map(|p| (*p, cable.data.get(*p))).filter(|(_, v)| !v.is_empty());
            properties.extend(stated.map(|(property, value)| line(property, &value)));
            if !cable.tag.is_empty() {
                let shown = format!("cable {}", cable.tag);
                properties.push((shown.clone(), shown.to_lowercase()));
            }
        }
        let (name, kind) = (part.name(), part.kind.name());
        Findable { id, key: format!("{name} {kind}").to_lowercase(), name, kind, properties }
    };
    doc.parts.iter().map(|(id, part)| of(*id, part)).collect()
}

/// Those that match what was typed, in lower case, with why: the property that matches, else the kind. What begins with it
/// comes first, then names, then properties.
#[must_use]
pub fn matching<'a>(all: &'a [Findable], typed: &str) -> Vec<(&'a Findable, &'a str)> {
    let matches = |part: &'a Findable| {
        if part.key.contains(typed) {
            return Some((part, part.kind));
        }
        part.properties.iter().find(|(_, lower)| lower.contains(typed)).map(|(shown, _)| (part, shown.as_str()))
    };
    let mut found: Vec<_> = all.iter().filter_map(matches).collect();
    let rank = |part: &Findable| (!part.key.starts_with(typed), !part.key.contains(typed), natural(&part.name));
    found.sort_by_cached_key(|(part, _)| rank(part));
    found
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_part_is_found_by_tag_label_kind_and_property() {
        let doc = crate::store::sample().unwrap().installation;
        let all = all(&doc);
        let tags = |typed: &str| -> Vec<String> {
            matching(&all, typed).iter().map(|(p, _)| doc.tag(p.id).to_owned()).collect()
        };
        assert_eq!(tags("").len(), doc.parts.len());
        assert_eq!(tags("q1").first().map(String::as_str), Some("Q1"));
        let generator = doc.parts.values().find(|p| p.kind == crate::installation::PartKind::Generator).unwrap();
        assert!(tags("generator").contains(&generator.tag));
        let watts = with_unit(Property::RunW, &generator.get(Property::RunW)).to_lowercase();
        assert!(tags(&watts).contains(&generator.tag), "{watts}");
        let sized = doc.cables.values().find(|c| c.data.size().is_some()).unwrap();
        let size = sized.data.get(Property::Conductor).to_lowercase();
        assert!(tags(&format!("conductor {size}")).contains(&doc.tag(sized.to).to_owned()), "{size}");
        let (_, why) = matching(&all, &format!("conductor {size}"))[0];
        assert!(why.to_lowercase().contains(&size), "it says why: {why}");
        assert!(tags("no such thing anywhere").is_empty());
    }
}
