//! What each edit does to the document, and why it may be refused.

use super::cable::{Cable, CableData, Conductor};
use super::document::{Condition, Installation, Space};
use super::edit::{Edit, EditError, Edited, Selection};
use super::ids::{CableId, PartId};
use super::kind::Feeds;
use super::part::{Origin, Part, Place};
use super::plan;
use super::property::Property;
use super::values::valid_tag;
use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

fn gone(what: impl Into<String>) -> EditError {
    EditError::Gone(what.into())
}

pub(super) fn count(n: usize, one: &str) -> String {
    if n == 1 { one.to_owned() } else { format!("{n} {one}s") }
}

impl Installation {
    /// Makes the document that `edit` leads to. The old one is untouched.
    ///
    /// # Errors
    /// Says why the edit makes no sense; nothing is changed then.
    pub fn apply(&self, edit: &Edit) -> Result<Edited, EditError> {
        let mut next = self.clone();
        let (label, selection) = next.change(edit)?;
        Ok(Edited { installation: next, selection, label })
    }

    /// Why a cable from `from` to `to` makes no sense, if so.
    ///
    /// # Errors
    /// The reason, for the person who draws.
    pub fn may_connect(&self, from: PartId, to: PartId) -> Result<(), EditError> {
        self.may_lead(from, to, None)
    }

    fn may_lead(&self, from: PartId, to: PartId, moving: Option<CableId>) -> Result<(), EditError> {
        let a = self.parts.get(&from).ok_or_else(|| gone("the part at the start"))?;
        let b = self.parts.get(&to).ok_or_else(|| gone("the part at the end"))?;
        if from == to {
            return Err(EditError::Itself { tag: a.tag.clone() });
        }
        if !a.kind.info().feeds_others {
            return Err(EditError::FeedsNothing { tag: a.tag.clone(), kind: a.kind.name() });
        }
        // A feed that is to be removed makes room for another.
        let others: Vec<&Cable> = self
            .feeds_of(to)
            .filter(|(id, c)| Some(*id) != moving && !self.cable_is_going(c))
            .map(|(_, c)| c)
            .collect();
        match b.kind.info().feeds {
            Feeds::None => return Err(EditError::TakesNoFeed { tag: b.tag.clone(), kind: b.kind.name() }),
            Feeds::One if !others.is_empty() => {
                let by = others.iter().map(|c| self.tag(c.from)).collect::<Vec<_>>().join(", ");
                return Err(EditError::AlreadyFed { tag: b.tag.clone(), by });
            }
            Feeds::One | Feeds::Many => {}
        }
        if others.iter().any(|c| c.from == from) {
            return Err(EditError::Twice { from: a.tag.clone(), to: b.tag.clone() });
        }
        if self.reaches(to, from, moving) {
            return Err(EditError::Loop { from: a.tag.clone(), to: b.tag.clone() });
        }
        Ok(())
    }

    /// True where `start` feeds `goal`, directly or through others, along the cables as drawn.
    fn reaches(&self, start: PartId, goal: PartId, without: Option<CableId>) -> bool {
        let mut seen = BTreeSet::from([start]);
        let mut open = vec![start];
        while let Some(at) = open.pop() {
            if at == goal {
                return true;
            }
            for (id, cable) in self.leaving(at) {
                if Some(id) != without && seen.insert(cable.to) {
                    open.push(cable.to);
                }
            }
        }
        false
    }

    fn change(&mut self, edit: &Edit) -> Result<(String, Option<Selection>), EditError> {
        match edit {
            Edit::AddPart { part, feed } => {
                let id = self.insert_part(part)?;
                if let Some(from) = feed {
                    self.connect(*from, id)?;
                }
                Ok((format!("add {}", self.tag(id)), Some(Selection::part(id))))
            }
            Edit::InsertPart { part, cable } => self.insert_on_cable(part, *cable),
            Edit::Paste { parts, cables, dx, dy } => self.paste(parts, cables, *dx, *dy),
            Edit::Remove(what) => Ok(self.remove(what)),
            Edit::Move { what, dx, dy } => self.move_by(what, *dx, *dy),
            Edit::Arrange { parts, spaces, label } => {
                for (id, at) in parts {
                    if !at.is_finite() {
                        return Err(EditError::NotFinite);
                    }
                    self.part_mut(*id)?.place = Place::At(*at);
                }
                for (id, rect) in spaces {
                    self.spaces.get_mut(id).ok_or_else(|| gone("the space"))?.rect = *rect;
                }
                Ok((label.clone(), None))
            }
            Edit::Mirror { parts, mirrored } => self.mirror(parts, *mirrored),
            Edit::Connect { from, to } => {
                let id = self.connect(*from, *to)?;
                Ok((format!("cable from {} to {}", self.tag(*from), self.tag(*to)), Some(Selection::cable(id))))
            }
            Edit::Reconnect { cable, from, to } => {
                self.may_lead(*from, *to, Some(*cable))?;
                let shared = self.cables.get_mut(cable).ok_or_else(|| gone("the cable"))?;
                let held = Arc::make_mut(shared);
                (held.from, held.to) = (*from, *to);
                Ok((format!("cable to {}", self.tag(*to)), Some(Selection::cable(*cable))))
            }
            Edit::SetPart { parts, property, text, origin } => self.set_part(parts, *property, text, *origin),
            Edit::SetCable { cables, property, text, origin } => self.set_cable(cables, *property, text, *origin),
            Edit::ReplacePart { id, part } => {
                let place = self.parts.get(id).ok_or_else(|| gone("the part"))?.place;
                let mut part = (**part).clone();
                part.tag = part.tag.trim().to_owned();
                self.check_tag(&part.tag, Some(*id))?;
                part.place = place;
                let label = format!("change of {}", part.tag);
                self.parts.insert(*id, Arc::new(part));
                Ok((label, Some(Selection::part(*id))))
            }
            Edit::AddSpace { name, kind, rect } => {
                let name = if name.is_empty() { kind.name().to_owned() } else { name.clone() };
                let label = format!("add {name}");
                let id = self.add_space(Space { name, kind: *kind, rect: *rect, extra: Default::default() });
                Ok((label, Some(Selection::space(id))))
            }
            Edit::SetSpace { id, name, kind, rect } => {
                let space = self.spaces.get_mut(id).ok_or_else(|| gone("the space"))?;
                (space.name, space.kind, space.rect) = (name.clone(), *kind, *rect);
                Ok((format!("change of {name}"), Some(Selection::space(*id))))
            }
            Edit::Adopt { installation, label } => {
                *self = (**installation).clone();
                Ok((label.clone(), None))
            }
            Edit::Many { label, edits } => {
                let mut selection = None;
                for edit in edits {
                    selection = self.change(edit)?.1.or(selection);
                }
                Ok((label.clone(), selection))
            }
            _ => self.change_conditions(edit),
        }
    }

    /// The edits that touch conditions and the document's own data.
    fn change_conditions(&mut self, edit: &Edit) -> Result<(String, Option<Selection>), EditError> {
        let label = match edit {
            Edit::SetFeeding { condition, feeding } => {
                for id in feeding {
                    let part = self.parts.get(id).ok_or_else(|| gone("the source"))?;
                    if !part.kind.is_source() {
                        return Err(EditError::NotASource { tag: part.tag.clone(), kind: part.kind.name() });
                    }
                }
                let tags: Vec<&str> = feeding.iter().map(|id| self.tag(*id)).collect();
                let label = if tags.is_empty() {
                    "all sources off".to_owned()
                } else {
                    format!("feed from {}", tags.join(" and "))
                };
                self.condition_mut(*condition)?.feeding.clone_from(feeding);
                label
            }
            Edit::Switch { condition, parts, on } => {
                let word = if *on { "on" } else { "off" };
                let label = format!("switch {} {word}", self.named(parts));
                let off = &mut self.condition_mut(*condition)?.off;
                for id in parts {
                    if *on {
                        off.remove(id);
                    } else {
                        off.insert(*id);
                    }
                }
                label
            }
            Edit::AddCondition { name, like } => {
                let mut copy = self.condition_mut(*like)?.clone();
                copy.hours.clear();
                copy.name.clone_from(name);
                self.conditions.push(copy);
                format!("add condition {name}")
            }
            Edit::RenameCondition { condition, name } => {
                self.condition_mut(*condition)?.name.clone_from(name);
                format!("rename condition to {name}")
            }
            Edit::RemoveCondition(condition) => {
                if self.conditions.len() < 2 {
                    return Err(EditError::LastCondition);
                }
                self.condition_mut(*condition)?;
                format!("remove condition {}", self.conditions.remove(*condition).name)
            }
            Edit::SetHours { condition, hours } => {
                self.condition_mut(*condition)?;
                let taken = plan::joined(hours);
                for (i, other) in self.conditions.iter_mut().enumerate() {
                    other.hours = if i == *condition { taken.clone() } else { plan::without(&other.hours, &taken) };
                }
                "hours of the day".to_owned()
            }
            Edit::SetUsage { condition, usage } => self.set_usage(*condition, usage)?,
            Edit::SetCandidates(candidates) => self.set_candidates(candidates)?,
            Edit::SetTrays(trays) => {
                self.trays.clone_from(trays);
                "trays".to_owned()
            }
            Edit::SetReadings(readings) => {
                let there = |id: &PartId| self.parts.contains_key(id);
                if !readings.iter().all(|r| there(&r.at) && r.on.iter().all(there)) {
                    return Err(gone("a part that was read"));
                }
                self.readings.clone_from(readings);
                "readings".to_owned()
            }
            Edit::SetName(name) => {
                self.name.clone_from(name);
                "rename drawing".to_owned()
            }
            Edit::SetSystem(system) => {
                if self.rules == self.system.usual_rules() {
                    self.rules = system.usual_rules();
                }
                self.system = *system;
                format!("system {}", system.name())
            }
            Edit::SetRules(rules) => {
                self.rules = *rules;
                format!("rule set {}", rules.slug())
            }
            Edit::SetResistance(basis) => {
                self.resistance = *basis;
                format!("resistance by {}", basis.slug())
            }
            Edit::SetAboard(aboard) => {
                self.aboard = aboard.clone();
                "alarms and petrol aboard".to_owned()
            }
            Edit::SetTitle(title) => {
                self.title = (**title).clone();
                "title block".to_owned()
            }
            _ => return self.change_record(edit),
        };
        Ok((label, None))
    }

    /// The edits that touch what the document remembers.
    fn change_record(&mut self, edit: &Edit) -> Result<(String, Option<Selection>), EditError> {
        let label = match edit {
            Edit::Accept(accepted) => self.accept(accepted)?,
            Edit::WithdrawAcceptance(index) => {
                if *index >= self.accepted.len() {
                    return Err(EditError::NoAcceptance(index + 1));
                }
                format!("withdraw acceptance of {}", self.accepted.remove(*index).rule)
            }
            Edit::IssueRevision { letter, date, author, note } => self.issue(letter, date, author, note)?,
            _ => return Err(gone("this edit")),
        };
        Ok((label, None))
    }

    fn condition_mut(&mut self, index: usize) -> Result<&mut Condition, EditError> {
        self.conditions.get_mut(index).ok_or(EditError::NoCondition(index + 1))
    }

    pub(super) fn part_mut(&mut self, id: PartId) -> Result<&mut Part, EditError> {
        self.parts.get_mut(&id).map(Arc::make_mut).ok_or_else(|| gone("the part"))
    }

    fn check_tag(&self, tag: &str, own: Option<PartId>) -> Result<(), EditError> {
        if let Err(error) = valid_tag(tag) {
            return Err(EditError::BadValue { property: "tag", message: error.to_string() });
        }
        match self.part_by_tag(tag) {
            Some(other) if Some(other) != own => {
                let part = &self.parts[&other];
                let free = self.free_tag(part.kind, part.load_kind);
                Err(EditError::TagTaken { tag: tag.to_owned(), free })
            }
            _ => Ok(()),
        }
    }

    fn insert_part(&mut self, part: &Part) -> Result<PartId, EditError> {
        if !part.position().is_finite() {
            return Err(EditError::NotFinite);
        }
        let mut part = part.clone();
        part.tag = part.tag.trim().to_owned();
        if part.tag.is_empty() {
            part.tag = self.free_tag(part.kind, part.load_kind);
        }
        self.check_tag(&part.tag, None)?;
        let source = part.kind.is_source();
        let first_source = source && !self.parts.values().any(|p| p.kind.is_source());
        let id = self.add_part(part);
        if first_source {
            for condition in &mut self.conditions {
                condition.feeding = vec![id];
            }
        }
        Ok(id)
    }

    fn connect(&mut self, from: PartId, to: PartId) -> Result<CableId, EditError> {
        self.may_connect(from, to)?;
        let mut cable = Cable::between(from, to);
        let (a, b) = (self.parts[&from].kind, self.parts[&to].kind);
        if Self::usual_conductor(a, b) == Conductor::None {
            cable.data = CableData::none();
        }
        Ok(self.add_cable(cable))
    }

    fn insert_on_cable(&mut self, part: &Part, cable: CableId) -> Result<(String, Option<Selection>), EditError> {
        let old = self.cables.get(&cable).cloned().ok_or_else(|| gone("the cable"))?;
        let info = part.kind.info();
        if info.feeds == Feeds::None {
            return Err(EditError::TakesNoFeed { tag: part.kind.name().to_owned(), kind: part.kind.name() });
        }
        if !info.feeds_others {
            return Err(EditError::FeedsNothing { tag: part.kind.name().to_owned(), kind: part.kind.name() });
        }
        let id = self.insert_part(part)?;
        // A breaker on a panel, an outlet before an appliance: the long run stays where it was.
        let bolted_before = Self::usual_conductor(self.parts[&old.from].kind, part.kind) == Conductor::None;
        let (mut before, mut after) = ((*old).clone(), (*old).clone());
        if bolted_before {
            before.data = CableData::none();
            before.origins.clear();
            before.tag.clear();
        } else {
            after.data = CableData::none();
            after.origins.clear();
            after.tag.clear();
        }
        before.to = id;
        after.from = id;
        // The far end keeps the old id, so that a selector's inlets keep their order.
        self.cables.insert(cable, Arc::new(after));
        self.add_cable(before);
        Ok((format!("insert {}", self.tag(id)), Some(Selection::part(id))))
    }

    fn paste(
        &mut self,
        parts: &[(PartId, Part)],
        cables: &[Cable],
        dx: f64,
        dy: f64,
    ) -> Result<(String, Option<Selection>), EditError> {
        let mut ids = BTreeMap::new();
        for (old, part) in parts {
            let mut copy = part.clone();
            if self.part_by_tag(&copy.tag).is_some() {
                copy.tag = String::new();
            }
            copy.place = Place::At(copy.position().moved(dx, dy));
            ids.insert(*old, self.insert_part(&copy)?);
        }
        for cable in cables {
            let Some(&to) = ids.get(&cable.to) else { continue };
            let from = match ids.get(&cable.from) {
                Some(&from) => from,
                None => {
                    self.may_connect(cable.from, to)?;
                    cable.from
                }
            };
            let mut copy = cable.clone();
            (copy.from, copy.to) = (from, to);
            copy.tag.clear();
            self.add_cable(copy);
        }
        Ok((format!("paste {}", count(parts.len(), "part")), Some(Selection::of_parts(ids.into_values()))))
    }

    fn remove(&mut self, what: &Selection) -> (String, Option<Selection>) {
        let label = match (what.parts.len(), what.cables.len(), what.spaces.len()) {
            (1, _, 0) => what.parts.first().map_or_else(String::new, |id| format!("delete {}", self.tag(*id))),
            (0, n, 0) => format!("delete {}", count(n, "cable")),
            (0, 0, n) => format!("delete {}", count(n, "space")),
            (n, _, _) => format!("delete {}", count(n, "part")),
        };
        self.parts.retain(|id, _| !what.parts.contains(id));
        self.spaces.retain(|id, _| !what.spaces.contains(id));
        self.cables
            .retain(|id, c| !what.cables.contains(id) && !what.parts.contains(&c.from) && !what.parts.contains(&c.to));
        for condition in &mut self.conditions {
            condition.feeding.retain(|id| !what.parts.contains(id));
            condition.off.retain(|id| !what.parts.contains(id));
        }
        self.forget_uses();
        // A reading with a removed part says nothing any more.
        self.readings.retain(|r| !what.parts.contains(&r.at) && !r.on.iter().any(|id| what.parts.contains(id)));
        (label, Some(Selection::default()))
    }

    fn move_by(&mut self, what: &Selection, dx: f64, dy: f64) -> Result<(String, Option<Selection>), EditError> {
        if !(dx.is_finite() && dy.is_finite()) {
            return Err(EditError::NotFinite);
        }
        for id in &what.parts {
            let part = self.part_mut(*id)?;
            part.place = Place::At(part.position().moved(dx, dy));
        }
        for id in &what.spaces {
            let space = self.spaces.get_mut(id).ok_or_else(|| gone("the space"))?;
            space.rect = space.rect.moved(dx, dy);
        }
        let label = match (what.parts.len(), what.spaces.len()) {
            (1, 0) => what.parts.first().map_or_else(String::new, |id| format!("move of {}", self.tag(*id))),
            (0, n) => format!("move of {}", count(n, "space")),
            (n, _) => format!("move of {}", count(n, "part")),
        };
        Ok((label, None))
    }

    fn set_part(
        &mut self,
        parts: &[PartId],
        property: Property,
        text: &str,
        origin: Option<Origin>,
    ) -> Result<(String, Option<Selection>), EditError> {
        let system = self.system;
        for id in parts {
            if property == Property::Tag {
                self.check_tag(text.trim(), Some(*id))?;
            }
            let part = self.part_mut(*id)?;
            part.set(property, text, system)
                .map_err(|e| EditError::BadValue { property: property.name(), message: e.to_string() })?;
            // A value that is not stated comes from nowhere.
            match origin.filter(|_| !part.get(property).is_empty()) {
                Some(origin) => part.origins.insert(property, origin),
                None => part.origins.remove(&property),
            };
        }
        let label = match parts {
            [one] => format!("{} of {}", property.name(), self.tag(*one)),
            many => format!("{} of {}", property.name(), count(many.len(), "part")),
        };
        Ok((label, None))
    }

    fn set_cable(
        &mut self,
        cables: &[CableId],
        property: Property,
        text: &str,
        origin: Option<Origin>,
    ) -> Result<(String, Option<Selection>), EditError> {
        for id in cables {
            let cable = self.cables.get_mut(id).map(Arc::make_mut).ok_or_else(|| gone("the cable"))?;
            cable
                .set(property, text)
                .map_err(|e| EditError::BadValue { property: property.name(), message: e.to_string() })?;
            match origin.filter(|_| !cable.get(property).is_empty()) {
                Some(origin) => cable.origins.insert(property, origin),
                None => cable.origins.remove(&property),
            };
        }
        let to = cables.first().and_then(|id| self.cables.get(id)).map_or("?", |c| self.tag(c.to));
        let label = if cables.len() == 1 {
            format!("{} of the cable to {to}", property.name())
        } else {
            format!("{} of {}", property.name(), count(cables.len(), "cable"))
        };
        Ok((label, None))
    }
}
