//! Divides an installation over sheets: at panels where it can, at any cable where it must.
//!
//! The tree of feeds is cut into units: the way from a source to the first hub (a panel, or any part that feeds several),
//! and each way of a hub down to the next. Units are put on sheets in the order of the tree. The ways of a hub stay
//! together where one sheet holds them, else they are spread evenly.

use super::fragment::{Division, Share, Whole};
use crate::installation::{Installation, PartId, PartKind};
use std::collections::{BTreeMap, BTreeSet};

/// Tells whether a sheet has room for a share.
pub type Fits<'a> = &'a dyn Fn(&Share) -> bool;

/// Ways of one hub that belong together.
struct Group {
    hub: Option<PartId>,
    units: Vec<Vec<PartId>>,
}

/// Divides the installation. Every part is at home on exactly one sheet.
#[must_use]
pub fn divide(whole: &Whole<'_>, fits: Fits<'_>) -> Division {
    let installation = whole.installation;
    let tree = Tree::of(installation);
    let groups = tree.groups(installation);
    let with = |share: &Share, hub: Option<PartId>, parts: &[PartId]| {
        // The bar is drawn again where one of its own ways is here.
        let own = |h: &PartId| parts.iter().any(|p| tree.parent.get(p) == Some(h));
        with(share, hub.filter(own), parts)
    };
    let panel =
        |hub: Option<PartId>| hub.filter(|h| installation.parts.get(h).is_some_and(|p| p.kind == PartKind::Panel));
    let mut shares: Vec<Share> = Vec::new();
    for group in groups {
        let hub = panel(group.hub);
        let all: Vec<PartId> = group.units.iter().flatten().copied().collect();
        if let Some(last) = shares.last_mut() {
            let more = with(last, hub, &all);
            if fits(&more) {
                *last = more;
                continue;
            }
        }
        let alone = with(&Share::default(), hub, &all);
        if fits(&alone) {
            shares.push(alone);
            continue;
        }
        let holds = |parts: &[PartId]| fits(&with(&Share::default(), hub, parts));
        let mut chunks = spread(&group.units, &holds);
        // The first chunk may still go with what is there.
        if let (Some(last), Some(first)) = (shares.last_mut(), chunks.first()) {
            let more = with(last, hub, first);
            if fits(&more) {
                *last = more;
                chunks.remove(0);
            }
        }
        shares.extend(chunks.into_iter().map(|chunk| with(&Share::default(), hub, &chunk)));
    }
    gather_bars(&mut shares, fits);
    join_small(&mut shares, whole, fits);
    Division::new(shares)
}

/// With so many others a sheet is tried: each trial lays a sheet out.
const TRIES: usize = 4;

/// Sheets that have room together become one, those that a cable joins first.
fn join_small(shares: &mut Vec<Share>, whole: &Whole<'_>, fits: Fits<'_>) {
    // No more parts than the fullest sheet has: what is larger has no room, and trying it takes time.
    let most = shares.iter().map(|s| s.parts.len()).max().unwrap_or(0);
    let mut n = 0;
    while let Some(share) = shares.get(n) {
        let near = whole.neighbours(share);
        let joined = |other: &Share| near.iter().any(|part| other.has(*part));
        let after = shares.iter().enumerate().skip(n + 1);
        let mut others: Vec<(usize, &Share)> =
            after.filter(|(_, other)| share.parts.len() + other.parts.len() <= most).collect();
        others.sort_by_cached_key(|(_, other)| !joined(other));
        let together = others.into_iter().take(TRIES).find_map(|(at, other)| {
            let mut both = share.clone();
            both.parts.extend(&other.parts);
            both.again = share.again.union(&other.again).filter(|p| !both.parts.contains(p)).copied().collect();
            fits(&both).then_some((at, both))
        });
        match (together, shares.get_mut(n)) {
            (Some((at, both)), Some(place)) => {
                *place = both;
                shares.remove(at);
            }
            _ => n += 1,
        }
    }
}

/// A panel that would stand alone on its sheet goes to the first sheet that has some of its ways.
fn gather_bars(shares: &mut Vec<Share>, fits: Fits<'_>) {
    let mut n = 0;
    while n < shares.len() {
        let alone = shares.get(n).filter(|s| s.parts.len() == 1).and_then(|s| s.parts.first().copied());
        let to = alone.and_then(|panel| shares.iter().position(|s| s.again.contains(&panel)).zip(Some(panel)));
        if let Some((to, panel)) = to
            && let Some(share) = shares.get(to)
        {
            let mut more = share.clone();
            more.again.remove(&panel);
            more.parts.insert(panel);
            if fits(&more) {
                if let Some(place) = shares.get_mut(to) {
                    *place = more;
                }
                shares.remove(n);
                continue;
            }
        }
        n += 1;
    }
}

/// A share with more parts; a panel that is not among them is drawn again.
fn with(share: &Share, hub: Option<PartId>, parts: &[PartId]) -> Share {
    let mut out = share.clone();
    out.parts.extend(parts);
    if let Some(hub) = hub.filter(|h| !out.parts.contains(h)) {
        out.again.insert(hub);
    }
    out
}

/// Spreads units over as few sheets as hold them, evenly; a unit that no sheet holds is cut.
fn spread(units: &[Vec<PartId>], holds: &dyn Fn(&[PartId]) -> bool) -> Vec<Vec<PartId>> {
    let mut small: Vec<Vec<PartId>> = Vec::new();
    let mut out: Vec<Vec<PartId>> = Vec::new();
    for unit in units {
        if holds(unit) {
            small.push(unit.clone());
            continue;
        }
        // A chain that is too long: as much as fits, again and again. Only its first piece hangs on the hub.
        let mut rest = unit.as_slice();
        while !rest.is_empty() {
            let most = (1..=rest.len()).rev().find(|n| holds(rest.get(..*n).unwrap_or_default())).unwrap_or(1);
            let (piece, after) = rest.split_at(most.min(rest.len()));
            out.push(piece.to_vec());
            rest = after;
        }
    }
    if small.is_empty() {
        return out;
    }
    let greedy = |most: usize| {
        let mut sheets: Vec<(usize, Vec<PartId>)> = Vec::new();
        for unit in &small {
            if let Some((n, last)) = sheets.last_mut()
                && *n < most
            {
                let more: Vec<PartId> = last.iter().chain(unit).copied().collect();
                if holds(&more) {
                    *last = more;
                    *n += 1;
                    continue;
                }
            }
            sheets.push((1, unit.clone()));
        }
        sheets
    };
    let sheets = greedy(usize::MAX);
    let even = greedy(small.len().div_ceil(sheets.len().max(1)));
    let chosen = if even.len() == sheets.len() { even } else { sheets };
    let mut all: Vec<Vec<PartId>> = chosen.into_iter().map(|(_, parts)| parts).collect();
    all.extend(out);
    all
}

/// What feeds what, the first feed of each part alone.
struct Tree {
    parent: BTreeMap<PartId, PartId>,
    children: BTreeMap<PartId, Vec<PartId>>,
}

impl Tree {
    fn of(installation: &Installation) -> Self {
        let mut this = Self { parent: BTreeMap::new(), children: BTreeMap::new() };
        for cable in installation.cables.values() {
            let known = installation.parts.contains_key(&cable.from) && installation.parts.contains_key(&cable.to);
            if known && cable.from != cable.to && !this.parent.contains_key(&cable.to) {
                this.parent.insert(cable.to, cable.from);
                this.children.entry(cable.from).or_default().push(cable.to);
            }
        }
        this
    }

    /// The ways of all hubs, in the order of the tree.
    fn groups(&self, installation: &Installation) -> Vec<Group> {
        let kids = |part: PartId| self.children.get(&part).map_or(&[][..], Vec::as_slice);
        let is_hub = |part: PartId| {
            kids(part).len() > 1 || installation.parts.get(&part).is_some_and(|p| p.kind == PartKind::Panel)
        };
        let mut seen = BTreeSet::new();
        let mut out: Vec<Group> = Vec::new();
        let roots = installation.parts.keys().copied().filter(|p| !self.parent.contains_key(p));
        // Parts in rings have no root: the lowest id of each ring is taken for one.
        let starts: Vec<PartId> = roots.chain(installation.parts.keys().copied()).collect();
        for start in starts {
            if seen.contains(&start) {
                continue;
            }
            let mut todo: Vec<(Option<PartId>, Vec<PartId>)> = vec![(None, vec![start])];
            while let Some((hub, firsts)) = todo.pop() {
                let mut units = Vec::new();
                let mut hubs = Vec::new();
                for first in firsts {
                    let mut unit = Vec::new();
                    let mut at = Some(first);
                    while let Some(part) = at.filter(|p| seen.insert(*p)) {
                        unit.push(part);
                        if is_hub(part) {
                            hubs.push(part);
                            break;
                        }
                        at = kids(part).first().copied();
                    }
                    if !unit.is_empty() {
                        units.push(unit);
                    }
                }
                if !units.is_empty() {
                    out.push(Group { hub, units });
                }
                todo.extend(hubs.into_iter().rev().map(|h| (Some(h), kids(h).to_vec())));
            }
        }
        merge_roots(&mut out);
        out
    }
}

/// The chains that start at sources are one group, so that what meets at a selector stays together.
fn merge_roots(groups: &mut Vec<Group>) {
    let (roots, others): (Vec<Group>, Vec<Group>) = groups.drain(..).partition(|g| g.hub.is_none());
    let units: Vec<Vec<PartId>> = roots.into_iter().flat_map(|g| g.units).collect();
    if !units.is_empty() {
        groups.push(Group { hub: None, units });
    }
    groups.extend(others);
}
