//! What the document remembers: what stands, comes or goes; findings that a person accepted; revisions that were issued.

use super::cable::Cable;
use super::document::{Extra, Installation};
use super::edit::EditError;
use super::ids::{CableId, PartId};
use super::part::Part;
use super::system::slugs;
use crate::units::Severity;
use serde::{Deserialize, Serialize};
use std::borrow::Cow;
use std::sync::Arc;

/// Whether a part or cable stands, comes or goes.
///
/// The drawing shows the installation as it will be: what is new counts as if it were fitted; what is to be removed is
/// drawn, and takes no part in figures and checks ([`Installation::planned`]), but may be live until it is gone and is
/// never called not fed. [`Installation::as_is`] is the installation as it stands until the work is done.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Status {
    /// It stands and stays.
    #[default]
    Existing,
    /// It is to come.
    New,
    /// It stands and is to be removed.
    Remove,
}
slugs!(Status { Existing => "existing", New => "new", Remove => "remove" });

impl Status {
    /// The words on screen and paper, lower case.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Existing => "existing",
            Self::New => "new",
            Self::Remove => "to be removed",
        }
    }
}

/// A finding that a person takes responsibility for, with a reason and a name.
#[derive(Clone, Debug, PartialEq)]
pub struct Accepted {
    /// Id of the rule.
    pub rule: String,
    /// The parts of the finding. An id that no part has is kept: the part was deleted since.
    pub parts: Vec<PartId>,
    /// The cables of the finding.
    pub cables: Vec<CableId>,
    /// How bad the finding was when it was accepted; `None` in a file written by hand.
    pub severity: Option<Severity>,
    /// Why it is accepted.
    pub reason: String,
    /// Who accepts it.
    pub by: String,
    /// When, as the person writes dates; empty where it is not stated.
    pub date: String,
    /// The figure that was accepted, in the finding's unit; `None` where it had none.
    pub figure: Option<f64>,
    /// Fields of the file that this version does not know, kept.
    pub extra: Extra,
}

impl Accepted {
    /// True where two are about the same finding: rule, parts and cables, in any order.
    #[must_use]
    pub fn is_about(&self, rule: &str, parts: &[PartId], cables: &[CableId]) -> bool {
        fn alike<T: Ord + Copy>(a: &[T], b: &[T]) -> bool {
            let sorted = |list: &[T]| {
                let mut list = list.to_vec();
                list.sort_unstable();
                list.dedup();
                list
            };
            sorted(a) == sorted(b)
        }
        self.rule == rule && alike(&self.parts, parts) && alike(&self.cables, cables)
    }
}

/// A state of the document that was issued.
#[derive(Clone, Debug, PartialEq)]
pub struct Revision {
    /// Index of the revision, such as `A`.
    pub letter: String,
    /// Date of issue, as the person writes dates.
    pub date: String,
    /// Who issued it.
    pub author: String,
    /// What it is about.
    pub note: String,
    /// The document as it was issued, without its own revisions.
    pub state: Arc<Installation>,
    /// Fields of the file that this version does not know, kept.
    pub extra: Extra,
}

impl Installation {
    /// True where a part is to be removed.
    #[must_use]
    pub fn is_going(&self, part: PartId) -> bool {
        self.parts.get(&part).is_some_and(|p| p.status == Status::Remove)
    }

    /// True where a cable, or a part at one of its ends, is to be removed.
    #[must_use]
    pub fn cable_is_going(&self, cable: &Cable) -> bool {
        cable.status == Status::Remove || self.is_going(cable.from) || self.is_going(cable.to)
    }

    /// True where something is to be removed.
    #[must_use]
    pub fn has_removals(&self) -> bool {
        self.parts.values().any(|p| p.status == Status::Remove)
            || self.cables.values().any(|c| c.status == Status::Remove)
    }

    /// True where something is new or to be removed.
    #[must_use]
    pub fn is_refit(&self) -> bool {
        self.parts.values().any(|p| p.status != Status::Existing)
            || self.cables.values().any(|c| c.status != Status::Existing)
    }

    /// The installation as it will be: without what is to be removed, and without the cables to it. The ids stay.
    #[must_use]
    pub fn planned(&self) -> Cow<'_, Self> {
        if !self.has_removals() {
            return Cow::Borrowed(self);
        }
        let mut out = self.clone();
        out.cables.retain(|_, cable| !self.cable_is_going(cable));
        out.parts.retain(|_, part| part.status != Status::Remove);
        out.forget_missing();
        Cow::Owned(out)
    }

    /// The installation as it stands until the work is done: without what is new, and with what is to be removed.
    #[must_use]
    pub fn as_is(&self) -> Self {
        let mut out = self.clone();
        let coming = |id: PartId| self.parts.get(&id).is_some_and(|p| p.status == Status::New);
        out.cables.retain(|_, c| c.status != Status::New && !coming(c.from) && !coming(c.to));
        out.parts.retain(|_, part| part.status != Status::New);
        for part in out.parts.values_mut().filter(|p| p.status != Status::Existing) {
            Arc::<Part>::make_mut(part).status = Status::Existing;
        }
        for cable in out.cables.values_mut().filter(|c| c.status != Status::Existing) {
            Arc::<Cable>::make_mut(cable).status = Status::Existing;
        }
        out.forget_missing();
        out
    }

    /// Takes parts that are not there out of the conditions.
    fn forget_missing(&mut self) {
        let parts = &self.parts;
        for condition in &mut self.conditions {
            condition.feeding.retain(|id| parts.contains_key(id));
            condition.off.retain(|id| parts.contains_key(id));
        }
        self.forget_uses();
    }

    /// The letter that follows the last revision's: `A` at first, `AA` after `Z`.
    #[must_use]
    pub fn next_letter(&self) -> String {
        let Some(last) = self.revisions.last().map(|r| r.letter.trim().to_uppercase()) else { return "A".to_owned() };
        if last.is_empty() || !last.bytes().all(|b| b.is_ascii_uppercase()) {
            return match last.parse::<u32>() {
                Ok(n) => (n + 1).to_string(),
                Err(_) => String::new(),
            };
        }
        let mut letters: Vec<u8> = last.into_bytes();
        for letter in letters.iter_mut().rev() {
            if *letter < b'Z' {
                *letter += 1;
                return letters.into_iter().map(char::from).collect();
            }
            *letter = b'A';
        }
        letters.push(b'A');
        letters.into_iter().map(char::from).collect()
    }

    /// The document as a revision keeps it: without the revisions.
    #[must_use]
    pub fn frozen(&self) -> Arc<Self> {
        Arc::new(Self { revisions: Vec::new(), ..self.clone() })
    }
}

impl Installation {
    /// Accepts a finding; gives the name of the step.
    pub(super) fn accept(&mut self, accepted: &Accepted) -> Result<String, EditError> {
        let stated = |text: &str, what, valid| {
            if text.trim().is_empty() { Err(EditError::Missing { what, valid }) } else { Ok(text.trim().to_owned()) }
        };
        if accepted.severity == Some(Severity::Danger) {
            return Err(EditError::Danger { rule: accepted.rule.clone() });
        }
        let mut new = accepted.clone();
        new.rule = stated(&accepted.rule, "the rule of the finding", "the id of a rule, such as drop-total")?;
        new.reason = stated(&accepted.reason, "the reason", "why the finding is accepted, in a sentence")?;
        new.by = stated(&accepted.by, "the name", "the name of the person who accepts the finding")?;
        new.date = accepted.date.trim().to_owned();
        if new.figure.is_some_and(|f| !f.is_finite()) {
            return Err(EditError::NotFinite);
        }
        self.accepted.retain(|old| !old.is_about(&new.rule, &new.parts, &new.cables));
        let label = format!("accept {}", new.rule);
        self.accepted.push(new);
        Ok(label)
    }

    /// Issues a revision; gives the name of the step.
    pub(super) fn issue(&mut self, letter: &str, date: &str, author: &str, note: &str) -> Result<String, EditError> {
        let letter = if letter.trim().is_empty() { self.next_letter() } else { letter.trim().to_owned() };
        if letter.is_empty() {
            return Err(EditError::Missing { what: "the letter", valid: "a letter or number, such as A" });
        }
        if date.trim().is_empty() {
            return Err(EditError::Missing { what: "the date of issue", valid: "a date, such as 2026-05-30" });
        }
        if self.revisions.iter().any(|r| r.letter == letter) {
            return Err(EditError::LetterTaken { free: self.next_letter(), letter });
        }
        self.title.revision_index.clone_from(&letter);
        date.trim().clone_into(&mut self.title.date_of_issue);
        let label = format!("issue revision {letter}");
        self.revisions.push(Revision {
            letter,
            date: date.trim().to_owned(),
            author: author.trim().to_owned(),
            note: note.trim().to_owned(),
            state: self.frozen(),
            extra: Extra::new(),
        });
        Ok(label)
    }
}
