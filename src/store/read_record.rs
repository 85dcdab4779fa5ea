//! From the JSON of the file to what the document remembers: accepted findings and revisions.

use super::read::{Object, Reader, shown};
use crate::installation::{Accepted, CableId, Installation, PartId, Revision};
use crate::units::Severity;
use serde_json::Value;
use std::sync::Arc;

impl Reader {
    /// Accepted findings. An id that nothing has is kept: what it named was deleted, and the entry is still listed.
    pub(super) fn accepted(&mut self, top: &mut Object, out: &mut Installation) {
        for (entry, mut object) in self.objects(top, "accepted") {
            let prefix = format!("accepted, entry {entry}, ");
            let rule = self.text(&mut object, &prefix, "rule");
            if rule.trim().is_empty() {
                self.problem(format!("{prefix}rule"), "nothing", "the id of a rule, such as drop-total");
            }
            let parts = self.numbers(&mut object, &prefix, "parts").into_iter().map(PartId::new).collect();
            let cables = self.numbers(&mut object, &prefix, "cables").into_iter().map(CableId::new).collect();
            let slug = |s: Severity| s.word();
            let severity = self.word(&mut object, &prefix, "severity", (&Severity::ALL, slug), false);
            let reason = self.text(&mut object, &prefix, "reason");
            let by = self.text(&mut object, &prefix, "by");
            let date = self.text(&mut object, &prefix, "date");
            let figure = object.shift_remove("figure").and_then(|value| {
                let figure = value.as_f64().filter(|f| f.is_finite());
                if figure.is_none() {
                    self.problem(format!("{prefix}figure"), shown(&value), "a bare number");
                }
                figure
            });
            out.accepted.push(Accepted { rule, parts, cables, severity, reason, by, date, figure, extra: object });
        }
    }

    /// Ids that may name nothing any more.
    fn numbers(&mut self, object: &mut Object, prefix: &str, name: &str) -> Vec<u32> {
        match object.shift_remove(name) {
            None => Vec::new(),
            Some(Value::Array(list)) => {
                list.iter().filter_map(|value| self.id(Some(value), &format!("{prefix}{name}"))).collect()
            }
            Some(other) => {
                self.problem(format!("{prefix}{name}"), shown(&other), "a list of ids");
                Vec::new()
            }
        }
    }

    /// Revisions, each with the document as it was issued.
    pub(super) fn revisions(&mut self, top: &mut Object, out: &mut Installation) {
        for (entry, mut object) in self.objects(top, "revisions") {
            let named = object.get("letter").and_then(Value::as_str).filter(|l| !l.trim().is_empty());
            let place = named.map_or_else(|| format!("revisions, entry {entry}"), |l| format!("revision {l}"));
            let prefix = format!("{place}, ");
            let letter = self.text(&mut object, &prefix, "letter");
            if letter.trim().is_empty() {
                self.problem(format!("{prefix}letter"), "nothing", "a letter or number that no other revision has");
            } else if out.revisions.iter().any(|r| r.letter == letter) {
                let found = format!("“{letter}” a second time");
                self.problem(format!("{prefix}letter"), found, "a letter or number that no other revision has");
            }
            let date = self.text(&mut object, &prefix, "date");
            let author = self.text(&mut object, &prefix, "author");
            let note = self.text(&mut object, &prefix, "note");
            let state = match object.shift_remove("state") {
                Some(Value::Object(state)) if !state.contains_key("revisions") => {
                    let mut inner = Self::default();
                    let state = inner.top(state);
                    for mut problem in inner.problems {
                        problem.place = format!("{prefix}state, {}", problem.place);
                        self.problems.push(problem);
                    }
                    Arc::new(state)
                }
                Some(Value::Object(_)) => {
                    self.problem(
                        format!("{prefix}state, revisions"),
                        "revisions in a revision",
                        "the document as it was issued, without its own revisions",
                    );
                    continue;
                }
                other => {
                    let found = other.as_ref().map_or_else(|| "nothing".to_owned(), shown);
                    self.problem(format!("{prefix}state"), found, "an object: the document as it was issued");
                    continue;
                }
            };
            out.revisions.push(Revision { letter, date, author, note, state, extra: object });
        }
    }
}
