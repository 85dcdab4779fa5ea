//! What a rule reads while it runs, noted by the context, and what of it differs between two drawings. A rule whose every
//! reading is as before would report as before: nothing is declared by hand, so no finding can go stale.

use super::facts::Facts;
use crate::installation::{CableId, Installation, Part, PartId, PartKind};
use crate::network::Solution;
use std::collections::BTreeMap;
use std::ops::{BitOr, BitOrAssign};
use std::sync::Arc;

/// A set of things that a rule may read.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(super) struct Inputs(u32);

impl Inputs {
    /// Data of cables.
    pub(super) const CABLES: Self = Self::bit(12);
    /// The kind of space that each part is in.
    pub(super) const SPACES: Self = Self::bit(13);
    /// The operating condition: what feeds, what is switched off.
    pub(super) const CONDITION: Self = Self::bit(14);
    /// The title block.
    pub(super) const TITLE: Self = Self::bit(15);
    /// What is fed from where, and by which lines.
    pub(super) const WALK: Self = Self::bit(16);
    /// Solved currents, voltages and powers.
    pub(super) const FIGURES: Self = Self::bit(17);
    /// What the drawing joins, whatever the condition.
    pub(super) const DRAWN: Self = Self::bit(18);
    /// What each part has upstream and downstream.
    pub(super) const UPSTREAM: Self = Self::bit(19);
    /// How many loads behind each part are not known, or run long.
    pub(super) const LOADS: Self = Self::bit(20);
    /// The largest start behind each part.
    pub(super) const STARTS: Self = Self::bit(21);
    /// Impedance from the source to each part.
    pub(super) const OHMS: Self = Self::bit(22);
    /// What each cable may carry.
    pub(super) const AMPACITY: Self = Self::bit(23);
    /// What each source must start.
    pub(super) const PEAKS: Self = Self::bit(24);
    /// The document with what is to be removed.
    pub(super) const WHOLE: Self = Self::bit(25);
    /// What is aboard that no symbol shows.
    pub(super) const ABOARD: Self = Self::bit(26);
    /// Everything.
    pub(super) const ALL: Self = Self(u32::MAX);

    const fn bit(n: u32) -> Self {
        Self(1 << n)
    }

    /// The data of parts of a kind.
    pub(super) const fn of_kind(kind: PartKind) -> Self {
        Self::bit(kind as u32)
    }

    /// The data of all parts.
    pub(super) const fn parts() -> Self {
        Self(Self::CABLES.0 - 1)
    }

    /// True where the two have something in common.
    pub(super) const fn meets(self, other: Self) -> bool {
        self.0 & other.0 != 0
    }
}

impl BitOr for Inputs {
    type Output = Self;

    fn bitor(self, other: Self) -> Self {
        Self(self.0 | other.0)
    }
}

impl BitOrAssign for Inputs {
    fn bitor_assign(&mut self, other: Self) {
        self.0 |= other.0;
    }
}

/// All that rules read, as it was.
#[derive(Debug)]
pub(super) struct Seen {
    /// The document without what is to be removed; parts and cables are shared with it.
    pub installation: Installation,
    /// The document as it is drawn.
    pub whole: Installation,
    /// The solved condition.
    pub solution: Solution,
    /// What was looked up once.
    pub facts: Facts,
}

/// What differs between two drawings, as far as a rule can read it.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Sight {
    /// What differs.
    pub changes: Inputs,
    /// True where a part came or went, or its kind, rating or leakage protection is another: what is joined to what, and
    /// guarded by what, may differ.
    pub joins: bool,
}

impl Sight {
    /// Notes what differs unless it is the same.
    pub(super) fn take(&mut self, same: bool, what: Inputs) {
        if !same {
            self.changes |= what;
        }
    }

    /// Compares documents and solutions, not yet what follows from them; `None` where everything counts as changed.
    /// Linear in their size; what is shared is not compared.
    pub(super) fn between(
        old: &Seen,
        installation: &Installation,
        whole: &Installation,
        solution: &Solution,
    ) -> Option<Self> {
        let basics = |i: &Installation| (i.system, i.rules, i.resistance);
        if basics(&old.installation) != basics(installation) {
            return None;
        }
        let mut sight = Self::default();
        sight.compare_parts(&old.installation, installation);
        let mut drawn = Self::default();
        drawn.compare_parts(&old.whole, whole);
        let at = solution.walk.condition;
        let same_whole = drawn.changes == Inputs::default() && same_cables(&old.whole, whole);
        sight.take(same_whole, Inputs::WHOLE);
        sight.take(same_cables(&old.installation, installation), Inputs::CABLES);
        sight.take(old.installation.title == installation.title, Inputs::TITLE);
        sight.take(old.installation.aboard == installation.aboard, Inputs::ABOARD);
        sight.take(old.installation.conditions.get(at) == installation.conditions.get(at), Inputs::CONDITION);
        sight.take(old.solution.walk == solution.walk, Inputs::WALK);
        let outcome = |s: &Solution| (s.converged, s.no_solution);
        let same_figures = outcome(&old.solution) == outcome(solution)
            && old.solution.sources == solution.sources
            && old.solution.parts == solution.parts
            && old.solution.cables == solution.cables
            && old.solution.cords == solution.cords;
        sight.take(same_figures, Inputs::FIGURES);
        Some(sight)
    }

    /// The kinds of which a part was added, removed or changed. Where a part is drawn does not count: its space does, and
    /// is looked at by itself.
    fn compare_parts(&mut self, old: &Installation, new: &Installation) {
        both(&old.parts, &new.parts, |_: PartId, was, is| match (was, is) {
            (Some(was), Some(is)) if Arc::ptr_eq(was, is) => {}
            (Some(was), Some(is)) => {
                let mut moved = Part::clone(was);
                moved.place = is.place;
                self.take(moved == **is, Inputs::of_kind(was.kind) | Inputs::of_kind(is.kind));
                let joins = |p: &Part| (p.kind, p.rating_a, p.protection);
                self.joins |= joins(was) != joins(is);
            }
            (Some(part), None) | (None, Some(part)) => {
                self.joins = true;
                self.changes |= Inputs::of_kind(part.kind);
            }
            (None, None) => {}
        });
    }
}

fn same_cables(old: &Installation, new: &Installation) -> bool {
    let mut same = true;
    both(&old.cables, &new.cables, |_: CableId, was, is| {
        same &= was.zip(is).is_some_and(|(was, is)| Arc::ptr_eq(was, is) || was == is);
    });
    same
}

/// Goes through two maps side by side, each key once.
fn both<K: Ord + Copy, V>(old: &BTreeMap<K, V>, new: &BTreeMap<K, V>, mut see: impl FnMut(K, Option<&V>, Option<&V>)) {
    let (mut old, mut new) = (old.iter().peekable(), new.iter().peekable());
    loop {
        match (old.peek(), new.peek()) {
            (Some((a, _)), Some((b, _))) if a == b => {
                let (was, is) = (old.next(), new.next());
                if let Some((&key, _)) = was {
                    see(key, was.map(|w| w.1), is.map(|i| i.1));
                }
            }
            (Some((a, _)), other) if other.is_none_or(|(b, _)| a < b) => {
                if let Some((&key, value)) = old.next() {
                    see(key, Some(value), None);
                }
            }
            (_, Some(_)) => {
                if let Some((&key, value)) = new.next() {
                    see(key, None, Some(value));
                }
            }
            _ => return,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::both;
    use std::collections::BTreeMap;

    /// Every two maps of up to four keys.
    #[test]
    fn each_key_of_two_maps_is_seen_once_and_in_order_with_what_either_has() {
        let map = |keys: u32, value: u32| -> BTreeMap<u32, u32> {
            (0..4).filter(|k| keys & (1 << k) != 0).map(|k| (k, value + k)).collect()
        };
        for (old, new) in (0..16).flat_map(|old| (0..16).map(move |new| (old, new))) {
            let (was, is) = (map(old, 10), map(new, 20));
            let mut seen = Vec::new();
            both(&was, &is, |key, a, b| seen.push((key, a.copied(), b.copied())));
            let either = map(old | new, 0).into_keys();
            let expected: Vec<_> = either.map(|k| (k, was.get(&k).copied(), is.get(&k).copied())).collect();
            assert_eq!(seen, expected, "{was:?} {is:?}");
        }
    }
}
