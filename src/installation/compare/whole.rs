//! What differs in the document beside its parts and cables: system, spaces, conditions, title block, accepted findings.

use super::{About, Change, Entry, Work};
use crate::installation::{Accepted, Condition, Installation, PartId, TitleBlock};
use std::collections::BTreeSet;

impl Work<'_> {
    pub(super) fn whole(&mut self) {
        let (old, new) = (self.old, self.new);
        let about = About::Document;
        self.change(about, "", "name", old.name.clone(), new.name.clone());
        self.change(about, "", "system", old.system.slug().to_owned(), new.system.slug().to_owned());
        self.change(about, "", "rules", old.rules.slug().to_owned(), new.rules.slug().to_owned());
        self.change(about, "", "resistance", old.resistance.slug().to_owned(), new.resistance.slug().to_owned());
        let alarms = |i: &Installation| i.aboard.co_alarms_word().to_owned();
        self.change(about, "", "co_alarms", alarms(old), alarms(new));
        self.change(about, "", "petrol", old.aboard.petrol_words(), new.aboard.petrol_words());
        self.conditions();
        if self.drawn {
            self.spaces();
            for ((name, before), (_, after)) in fields(&old.title).into_iter().zip(fields(&new.title)) {
                self.change(about, "", name, before.to_owned(), after.to_owned());
            }
            self.accepted();
            let letter = |doc: &Installation| doc.revisions.last().map_or_else(String::new, |r| r.letter.clone());
            self.change(about, "", "revision", letter(old), letter(new));
            self.rest();
        }
    }

    fn spaces(&mut self) {
        let (old, new) = (self.old, self.new);
        for (id, space) in old.spaces.iter().filter(|(id, _)| !new.spaces.contains_key(id)) {
            self.change(About::Space(*id), &space.name, "space", space.kind.slug().to_owned(), String::new());
        }
        for (id, space) in &new.spaces {
            let about = About::Space(*id);
            let Some(before) = old.spaces.get(id) else {
                self.change(about, &space.name, "space", String::new(), space.kind.slug().to_owned());
                continue;
            };
            self.change(about, &space.name, "name", before.name.clone(), space.name.clone());
            self.change(about, &space.name, "kind", before.kind.slug().to_owned(), space.kind.slug().to_owned());
            if before.rect != space.rect {
                self.out.moved.push(Entry { about, tag: space.name.clone(), name: space.name.clone() });
            }
        }
    }

    /// Conditions are paired by name, what is left of both by its place in the order.
    fn conditions(&mut self) {
        let (old, new) = (self.old, self.new);
        let mut left: Vec<usize> = (0..old.conditions.len()).collect();
        let mut pairs: Vec<Option<usize>> = vec![None; new.conditions.len()];
        for (i, condition) in new.conditions.iter().enumerate() {
            if let Some(at) = left.iter().position(|&o| old.conditions[o].name == condition.name) {
                pairs[i] = Some(left.remove(at));
            }
        }
        for pair in pairs.iter_mut().filter(|p| p.is_none()) {
            if !left.is_empty() {
                *pair = Some(left.remove(0));
            }
        }
        for (i, condition) in new.conditions.iter().enumerate() {
            let about = About::Condition(i);
            match pairs[i].and_then(|o| old.conditions.get(o)) {
                Some(before) => self.condition(i, before, condition),
                None if self.drawn => self.change(about, "", "condition", String::new(), condition.name.clone()),
                None => {}
            }
        }
        if self.drawn {
            for i in left {
                self.change(About::Condition(i), "", "condition", old.conditions[i].name.clone(), String::new());
            }
        }
    }

    fn condition(&mut self, index: usize, before: &Condition, after: &Condition) {
        let (old, new) = (self.old, self.new);
        let first = self.out.changed.len();
        let about = About::Condition(index);
        self.change(about, "", "condition", before.name.clone(), after.name.clone());
        let mapped = |id: &PartId| self.pairs.parts.get(id).copied();
        let was: BTreeSet<Option<PartId>> = before.feeding.iter().map(mapped).collect();
        let is: BTreeSet<Option<PartId>> = after.feeding.iter().map(|id| Some(*id)).collect();
        let open: BTreeSet<PartId> = before.off.iter().filter_map(mapped).collect();
        let kept: BTreeSet<PartId> = self.pairs.parts.values().copied().collect();
        if was != is {
            let tags = |doc: &Installation, ids: &[PartId]| {
                let tags: Vec<&str> = ids.iter().map(|id| doc.tag(*id)).collect();
                if tags.is_empty() { "off".to_owned() } else { tags.join("|") }
            };
            self.change(about, "", "feeding", tags(old, &before.feeding), tags(new, &after.feeding));
        }
        // A part that is new and off says so as well; one that was removed is gone with its switch.
        let word = |off: bool| if off { "no" } else { "yes" }.to_owned();
        for id in open.union(&after.off).filter(|id| kept.contains(id) || after.off.contains(id)) {
            self.change(About::Part(*id), new.tag(*id), "on", word(open.contains(id)), word(after.off.contains(id)));
        }
        if self.out.changed.len() == first {
            let bare = |c: &Condition| {
                let blank = Condition::named("");
                Condition { feeding: blank.feeding, off: blank.off, extra: blank.extra, ..c.clone() }
            };
            if bare(before) != bare(after) {
                self.other(about);
            }
        }
        for change in self.out.changed.iter_mut().skip(first) {
            change.condition.clone_from(&after.name);
        }
    }

    fn accepted(&mut self) {
        let text = |a: &Accepted| {
            let figure = a.figure.map_or_else(String::new, |f| format!(", at {f}"));
            format!("{} ({}{figure})", a.reason, [a.by.as_str(), a.date.as_str()].join(" ").trim())
        };
        let (old, new) = (self.old, self.new);
        let tags =
            |doc: &Installation, a: &Accepted| a.parts.iter().map(|id| doc.tag(*id)).collect::<Vec<_>>().join(", ");
        let same = |a: &Accepted, b: &Accepted| a.is_about(&b.rule, &b.parts, &b.cables);
        for was in old.accepted.iter().filter(|was| !new.accepted.iter().any(|a| same(a, was))) {
            let property = format!("accepted {}", was.rule);
            self.change(About::Document, &tags(old, was), &property, text(was), String::new());
        }
        for is in &new.accepted {
            let before = old.accepted.iter().find(|a| same(a, is)).map_or_else(String::new, text);
            let property = format!("accepted {}", is.rule);
            self.change(About::Document, &tags(new, is), &property, before, text(is));
        }
    }

    /// What no line above names: said without its value rather than not at all.
    fn rest(&mut self) {
        if !self.out.is_empty() {
            return;
        }
        let bare = |doc: &Installation| Installation {
            parts: doc.parts.clone(),
            cables: doc.cables.clone(),
            next_id: 0,
            revisions: Vec::new(),
            extra: Default::default(),
            ..doc.clone()
        };
        let identical = self.pairs.parts.iter().all(|(a, b)| a == b);
        if identical && self.pairs.cables.iter().all(|(a, b)| a == b) && bare(self.old) != bare(self.new) {
            self.other(About::Document);
        }
    }

    fn other(&mut self, about: About) {
        self.out.changed.push(Change {
            about,
            tag: String::new(),
            property: "other data".to_owned(),
            old: "as before".to_owned(),
            new: "changed".to_owned(),
            condition: String::new(),
            from: String::new(),
        });
    }
}

/// Name and value of each field of the title block.
fn fields(title: &TitleBlock) -> [(&'static str, &str); 9] {
    [
        ("title", &title.title),
        ("legal_owner", &title.legal_owner),
        ("identification_number", &title.identification_number),
        ("revision_index", &title.revision_index),
        ("date_of_issue", &title.date_of_issue),
        ("creator", &title.creator),
        ("approval_person", &title.approval_person),
        ("document_type", &title.document_type),
        ("language", &title.language),
    ]
}
