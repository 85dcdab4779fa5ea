//! Reading how appliances are used in a condition, and the sources that are compared.

use super::read::{Object, Reader, shown};
use crate::installation::{Candidate, Installation, Part, PartKind, Place, SpaceKind, Usage, Uses};
use serde_json::Value;
use std::sync::Arc;

impl Reader {
    pub(super) fn usage(&mut self, object: &mut Object, prefix: &str, out: &Installation) -> Uses {
        let mut uses = Uses::new();
        for (entry, mut one) in self.objects(object, "usage") {
            let place = format!("{prefix}usage, entry {entry}, ");
            let part = one.shift_remove("part");
            let part = self.part_ref(part.as_ref(), &format!("{place}part"), out);
            let share = one.shift_remove("share").and_then(|value| {
                let share = value.as_f64().filter(|s| (0.0..=1.0).contains(s));
                if share.is_none() {
                    self.problem(format!("{place}share"), shown(&value), "a share of the time from 0 to 1");
                }
                share
            });
            let at_once = one.shift_remove("at_once").and_then(|value| {
                let at_once = value.as_u64().and_then(|n| u16::try_from(n).ok());
                if at_once.is_none() {
                    self.problem(format!("{place}at_once"), shown(&value), "a whole number from 0 to 65535");
                }
                at_once
            });
            let usage = Usage { share, at_once };
            if let Some(part) = part.filter(|_| !usage.is_usual()) {
                uses.insert(part, usage);
            }
        }
        uses
    }

    pub(super) fn candidates(&mut self, top: &mut Object, out: &mut Installation) {
        for (entry, mut object) in self.objects(top, "candidates") {
            let prefix = format!("candidates, entry {entry}, ");
            let name = self.text(&mut object, &prefix, "name");
            let place = object.shift_remove("in_place_of");
            let in_place_of = self.part_ref(place.as_ref(), &format!("{prefix}in_place_of"), out);
            let pair = match object.shift_remove("pair") {
                None => false,
                Some(Value::Bool(pair)) => pair,
                Some(other) => {
                    self.problem(format!("{prefix}pair"), shown(&other), "true or false");
                    false
                }
            };
            let Some(Value::Object(mut inner)) = object.shift_remove("part") else {
                self.problem(format!("{prefix}part"), "nothing", "an object with the kind and the figures of a source");
                continue;
            };
            let inside = format!("{prefix}part, ");
            let kind = self.word(&mut inner, &inside, "kind", (PartKind::ALL, PartKind::slug), true);
            let Some(kind) = kind else { continue };
            if !kind.is_source() {
                self.problem(format!("{inside}kind"), kind.slug(), "shore-inlet, generator or inverter");
                continue;
            }
            let mut part = Part::new(kind, "", Place::In(SpaceKind::Other));
            part.label = self.text(&mut inner, &inside, "label");
            self.figures_of(&mut part, inner, &inside, out.system);
            match in_place_of.filter(|id| out.parts.get(id).is_some_and(|p| p.kind.is_source())) {
                Some(in_place_of) => out.candidates.push(Candidate { name, in_place_of, part: Arc::new(part), pair }),
                None if in_place_of.is_some() => self.problem(
                    format!("{prefix}in_place_of"),
                    "a part that is no source",
                    "the id of a shore inlet, generator or inverter",
                ),
                None => {}
            }
        }
    }
}
