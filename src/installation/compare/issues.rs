//! What changed from one issued revision to the next, and since the last.

use super::{About, Comparison, compare};
use crate::installation::{Installation, Revision};

/// The changes that a revision brought, or that came after the last one.
#[derive(Clone, Debug, PartialEq)]
pub struct Issue<'a> {
    /// The revision; `None` for what was changed since the last one and is not issued yet.
    pub revision: Option<&'a Revision>,
    /// The revision before; `None` for the first issue, which has no changes to list.
    pub since: Option<&'a Revision>,
    /// What changed from the one to the other, what every issue changes (index and date) aside.
    pub changes: Comparison,
}

/// Every revision with the changes that it brought, oldest first, and last what was changed since and is not issued yet,
/// where there is such.
#[must_use]
pub fn issues(installation: &Installation) -> Vec<Issue<'_>> {
    let mut out = Vec::new();
    let mut since: Option<&Revision> = None;
    for revision in &installation.revisions {
        let changes = since.map_or_else(Comparison::default, |s| changes_between(&s.state, &revision.state));
        out.push(Issue { revision: Some(revision), since, changes });
        since = Some(revision);
    }
    if let Some(changes) = since_last_revision(installation).filter(|c| !c.is_empty()) {
        out.push(Issue { revision: None, since, changes });
    }
    out
}

/// What was changed since the last revision; `None` where nothing was issued yet.
#[must_use]
pub fn since_last_revision(installation: &Installation) -> Option<Comparison> {
    installation.revisions.last().map(|revision| changes_between(&revision.state, installation))
}

/// A comparison of two states of one document, without what issuing a revision changes by itself.
#[must_use]
pub fn changes_between(old: &Installation, new: &Installation) -> Comparison {
    let mut changes = compare(old, new);
    let issued = ["revision", "revision_index", "date_of_issue"];
    changes.changed.retain(|c| c.about != About::Document || !issued.contains(&c.property.as_str()));
    changes
}
