//! Which part and cable of one document is which of another: by id where the two have a common past, else by tag.

use crate::installation::{Cable, CableId, Installation, PartId};
use std::collections::{BTreeMap, BTreeSet};

/// Pairs of one and the same thing, old to new.
#[derive(Debug, Default)]
pub(super) struct Matching {
    pub parts: BTreeMap<PartId, PartId>,
    pub cables: BTreeMap<CableId, CableId>,
}

/// The parts of a document by tag; of several with one tag the first.
fn by_tag(doc: &Installation) -> BTreeMap<&str, PartId> {
    let mut out = BTreeMap::new();
    for (id, part) in &doc.parts {
        out.entry(part.tag.as_str()).or_insert(*id);
    }
    out
}

/// Pairs two documents up.
///
/// Two documents of one past have the same ids for the same tags, a few renamed parts aside. Where more tags have another
/// id than the same one, the ids tell nothing (two circuit lists with rows in another order), and the tag decides alone.
/// Where tags are only permuted among ids that both documents have, the tag decides as well.
pub(super) fn matching(old: &Installation, new: &Installation) -> Matching {
    let (old_tags, new_tags) = (by_tag(old), by_tag(new));
    let shared: Vec<(PartId, PartId)> =
        old_tags.iter().filter_map(|(tag, a)| new_tags.get(tag).map(|b| (*a, *b))).collect();
    let alike = shared.iter().filter(|(a, b)| a == b).count();
    let related = alike * 2 >= shared.len();
    let mut parts = BTreeMap::new();
    let mut taken = BTreeSet::new();
    for &(a, b) in &shared {
        let permuted = new.parts.contains_key(&a) && old.parts.contains_key(&b);
        if (a == b || permuted || !related) && taken.insert(b) {
            parts.insert(a, b);
        }
    }
    if related {
        for id in old.parts.keys().filter(|id| new.parts.contains_key(id)) {
            if !parts.contains_key(id) && taken.insert(*id) {
                parts.insert(*id, *id);
            }
        }
    }
    for (a, b) in shared {
        if !parts.contains_key(&a) && taken.insert(b) {
            parts.insert(a, b);
        }
    }
    let cables = cables(old, new, &parts, related);
    Matching { parts, cables }
}

/// Cables with the same ends first, then those with the same id, then what is left to one and the same part.
fn cables(
    old: &Installation,
    new: &Installation,
    parts: &BTreeMap<PartId, PartId>,
    related: bool,
) -> BTreeMap<CableId, CableId> {
    let mut out = BTreeMap::new();
    let mut taken: BTreeSet<CableId> = BTreeSet::new();
    let mut by_ends: BTreeMap<(PartId, PartId), Vec<CableId>> = BTreeMap::new();
    let mut by_end: BTreeMap<PartId, Vec<CableId>> = BTreeMap::new();
    for (id, cable) in &new.cables {
        by_ends.entry((cable.from, cable.to)).or_default().push(*id);
        by_end.entry(cable.to).or_default().push(*id);
    }
    let ends = |c: &Cable| Some((*parts.get(&c.from)?, *parts.get(&c.to)?));
    let mut pair = |out: &mut BTreeMap<CableId, CableId>, id: CableId, among: &[CableId]| {
        let choice = among.iter().find(|n| **n == id && !taken.contains(n));
        let choice = choice.or_else(|| among.iter().find(|n| !taken.contains(n))).copied();
        if let Some(new) = choice {
            taken.insert(new);
            out.insert(id, new);
        }
    };
    for (id, cable) in &old.cables {
        let among = ends(cable).and_then(|e| by_ends.get(&e)).map_or(&[][..], Vec::as_slice);
        pair(&mut out, *id, among);
    }
    if related {
        for id in old.cables.keys().filter(|id| new.cables.contains_key(id)) {
            if !out.contains_key(id) {
                pair(&mut out, *id, &[*id]);
            }
        }
    }
    for (id, cable) in &old.cables {
        if !out.contains_key(id) {
            let to = parts.get(&cable.to).and_then(|to| by_end.get(to)).map_or(&[][..], Vec::as_slice);
            pair(&mut out, *id, to);
        }
    }
    out
}
