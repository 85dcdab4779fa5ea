//! What the latest issue changed, for the marks on the diagram.

use super::issue;
use crate::diagram::Target;
use crate::installation::{About, Installation, issues};
use std::collections::BTreeSet;

/// The parts and cables that were changed since the revision before, each with the letter under which it is marked: that
/// of the last revision, or where something was changed since the index of the title block, `A+`. Empty where nothing was
/// issued before.
#[must_use]
pub fn revised(installation: &Installation) -> Vec<(Target, String)> {
    let all = issues(installation);
    let Some(last) = all.last().filter(|issue| issue.since.is_some()) else { return Vec::new() };
    let letter = last.revision.map_or_else(|| issue::revision(installation).0, |revision| revision.letter.clone());
    let touched: BTreeSet<About> = last.changes.touched().collect();
    let target = |about| match about {
        About::Part(id) => installation.parts.contains_key(&id).then_some(Target::Part(id)),
        About::Cable(id) => installation.cables.contains_key(&id).then_some(Target::Cable(id)),
        _ => None,
    };
    touched.into_iter().filter_map(target).map(|target| (target, letter.clone())).collect()
}
