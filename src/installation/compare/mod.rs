//! What differs between two documents: by identity, not by position in the file; a moved symbol apart from the rest.

mod issues;
mod matching;
mod whole;
mod words;

use super::cable::Cable;
use super::document::Installation;
use super::ids::{CableId, PartId, SpaceId};
use super::part::{Part, Place};
use super::property::Property;
pub use issues::{Issue, changes_between, issues, since_last_revision};
use matching::{Matching, matching};

/// What a difference is about. Ids are those of the new document, or of the old one where the thing was removed.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum About {
    /// A part.
    Part(PartId),
    /// A cable.
    Cable(CableId),
    /// A space.
    Space(SpaceId),
    /// An operating condition, by index.
    Condition(usize),
    /// The document as a whole: system, rule set, title block.
    Document,
}

/// A part or cable that only one of the two documents has.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Entry {
    /// What it is.
    pub about: About,
    /// Tag of the part, or of the part that the cable feeds.
    pub tag: String,
    /// For a sentence: `Q3 Galley`, `cable from Q3 to X4`.
    pub name: String,
}

/// A value that differs.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Change {
    /// What it is of.
    pub about: About,
    /// Tag of the part (as it is now), or of the part that the cable feeds; the name of a space; empty where it is about
    /// the whole document or a condition.
    pub tag: String,
    /// The column of the circuit list, or another short name of its kind: `rating_a`, `fed_from`, `space`, `on`.
    pub property: String,
    /// The value before, as a list or a file has it; empty: not stated.
    pub old: String,
    /// The value after.
    pub new: String,
    /// The operating condition in which it holds; empty where it holds in all.
    pub condition: String,
    /// Of a cable: tag of the part upstream.
    pub from: String,
}

/// The difference between two documents.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Comparison {
    /// Parts that only the new one has, in the order of its ids.
    pub added: Vec<Entry>,
    /// Parts that only the old one has.
    pub removed: Vec<Entry>,
    /// Cables that only the new one has.
    pub cables_added: Vec<Entry>,
    /// Cables that only the old one has.
    pub cables_removed: Vec<Entry>,
    /// Values that differ.
    pub changed: Vec<Change>,
    /// Parts and spaces whose symbol or rectangle stands elsewhere on the drawing.
    pub moved: Vec<Entry>,
}

impl Comparison {
    /// True where nothing differs, moves included.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.moved.is_empty() && self.is_only_moves()
    }

    /// True where nothing but places on the drawing differs.
    #[must_use]
    pub fn is_only_moves(&self) -> bool {
        self.added.is_empty()
            && self.removed.is_empty()
            && self.cables_added.is_empty()
            && self.cables_removed.is_empty()
            && self.changed.is_empty()
    }

    /// The parts and cables of the new document that were added or changed, for marks on a drawing; moves aside.
    pub fn touched(&self) -> impl Iterator<Item = About> + '_ {
        let entries = self.added.iter().chain(&self.cables_added).map(|e| e.about);
        entries.chain(self.changed.iter().map(|c| c.about))
    }
}

/// Compares two documents. Parts and cables are paired by id where the documents have a common past, else by tag. Where
/// one of the two is a circuit list that is not laid out and the other is a drawing, what a list cannot hold is left
/// aside: places, rectangles and names of spaces, the title block, other conditions, tags of cables, origins.
#[must_use]
pub fn compare(old: &Installation, new: &Installation) -> Comparison {
    let listed =
        |doc: &Installation| !doc.parts.is_empty() && doc.parts.values().all(|p| matches!(p.place, Place::In(_)));
    let mut work =
        Work { old, new, pairs: matching(old, new), drawn: listed(old) == listed(new), out: Comparison::default() };
    work.parts();
    work.cables();
    work.whole();
    work.out
}

struct Work<'a> {
    old: &'a Installation,
    new: &'a Installation,
    pairs: Matching,
    /// Both are drawings, or both are lists.
    drawn: bool,
    out: Comparison,
}

fn part_entry(id: PartId, part: &Part) -> Entry {
    Entry { about: About::Part(id), tag: part.tag.clone(), name: part.name() }
}

fn cable_entry(doc: &Installation, id: CableId, cable: &Cable) -> Entry {
    let (from, to) = (doc.tag(cable.from), doc.tag(cable.to));
    Entry { about: About::Cable(id), tag: to.to_owned(), name: format!("cable from {from} to {to}") }
}

impl Work<'_> {
    fn change(&mut self, about: About, tag: &str, property: &str, old: String, new: String) {
        if old != new {
            self.out.changed.push(Change {
                about,
                tag: tag.to_owned(),
                property: property.to_owned(),
                old,
                new,
                condition: String::new(),
                from: match about {
                    About::Cable(id) => {
                        self.new.cables.get(&id).map_or_else(String::new, |c| self.new.tag(c.from).to_owned())
                    }
                    _ => String::new(),
                },
            });
        }
    }

    fn parts(&mut self) {
        let (old, new) = (self.old, self.new);
        let kept: std::collections::BTreeMap<PartId, PartId> = self.pairs.parts.iter().map(|(a, b)| (*b, *a)).collect();
        let gone = old.parts.iter().filter(|(id, _)| !self.pairs.parts.contains_key(id));
        self.out.removed = gone.map(|(id, part)| part_entry(*id, part)).collect();
        for (id, part) in &new.parts {
            match kept.get(id).and_then(|was| old.parts.get(was).map(|p| (*was, p))) {
                None => self.out.added.push(part_entry(*id, part)),
                Some((was, before)) => self.part(was, before, *id, part),
            }
        }
    }

    fn part(&mut self, was: PartId, before: &Part, id: PartId, after: &Part) {
        let (old, new) = (self.old, self.new);
        let (about, tag) = (About::Part(id), after.tag.as_str());
        self.change(about, tag, "kind", before.kind.slug().to_owned(), after.kind.slug().to_owned());
        let split = old.system.is_split_phase() || new.system.is_split_phase();
        for &property in Property::ALL {
            // A list holds no value that has no meaning for the part or the system.
            let held = after.kind.may_have(property) && (property != Property::Leg || split);
            let of_cord = Property::OF_CABLE.contains(&property);
            if self.drawn || held || (of_cord && before.cord != after.cord) {
                self.change(about, tag, property.slug(), before.get(property), after.get(property));
            }
        }
        self.origins(about, tag, &before.origins, &after.origins);
        let space = |doc: &Installation, id| doc.space_of(id).slug().to_owned();
        self.change(about, tag, "space", space(old, was), space(new, id));
        let feeds = |doc: &Installation, id: PartId| -> Vec<PartId> {
            let mut from: Vec<PartId> = doc.feeds_of(id).map(|(_, c)| c.from).collect();
            from.sort_unstable();
            from
        };
        let mut mapped: Vec<Option<PartId>> =
            feeds(old, was).iter().map(|f| self.pairs.parts.get(f).copied()).collect();
        mapped.sort_unstable();
        if mapped != feeds(new, id).into_iter().map(Some).collect::<Vec<_>>() {
            let tags = |doc: &Installation, id: PartId| {
                doc.feeds_of(id).map(|(_, c)| doc.tag(c.from).to_owned()).collect::<Vec<_>>().join("|")
            };
            let (before, after) = (tags(old, was), tags(new, id));
            // The same tags on other parts: say so, the change is real.
            let after = if before == after { format!("{after} (another part)") } else { after };
            self.change(about, tag, "fed_from", before, after);
        }
        if let (Place::At(a), Place::At(b)) = (before.place, after.place)
            && (a != b || before.mirrored != after.mirrored)
        {
            self.out.moved.push(part_entry(id, after));
        }
    }

    fn origins(
        &mut self,
        about: About,
        tag: &str,
        before: &std::collections::BTreeMap<Property, super::part::Origin>,
        after: &std::collections::BTreeMap<Property, super::part::Origin>,
    ) {
        if !self.drawn || before == after {
            return;
        }
        let text = |of: &std::collections::BTreeMap<Property, super::part::Origin>, p: Property| {
            of.get(&p).map_or_else(String::new, |o| o.slug().to_owned())
        };
        for &property in Property::ALL {
            let name = format!("origin of {}", property.slug());
            self.change(about, tag, &name, text(before, property), text(after, property));
        }
    }

    fn cables(&mut self) {
        let (old, new) = (self.old, self.new);
        let kept: std::collections::BTreeMap<CableId, CableId> =
            self.pairs.cables.iter().map(|(a, b)| (*b, *a)).collect();
        let gone = old.cables.iter().filter(|(id, _)| !self.pairs.cables.contains_key(id));
        self.out.cables_removed = gone.map(|(id, cable)| cable_entry(old, *id, cable)).collect();
        for (id, after) in &new.cables {
            let Some(before) = kept.get(id).and_then(|was| old.cables.get(was)) else {
                self.out.cables_added.push(cable_entry(new, *id, after));
                continue;
            };
            let (about, tag) = (About::Cable(*id), new.tag(after.to));
            for &property in Property::OF_CABLE {
                self.change(about, tag, property.slug(), before.data.get(property), after.data.get(property));
            }
            let status = |c: &Cable| c.get(Property::Status);
            self.change(about, tag, "cable_status", status(before), status(after));
            if self.drawn {
                self.change(about, tag, "cable_tag", before.tag.clone(), after.tag.clone());
            }
            self.origins(about, tag, &before.origins, &after.origins);
        }
    }
}
