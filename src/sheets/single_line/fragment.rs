//! The part of an installation that one sheet shows, as an installation of its own, with stand-ins for what is elsewhere.

use crate::installation::{Cable, CableData, CableId, Installation, Part, PartId, PartKind, Place, SpaceId, SpaceKind};
use crate::network::{Feed, Solution, Walk};
use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

/// What one sheet shows.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Share {
    /// The parts that are at home on it.
    pub parts: BTreeSet<PartId>,
    /// Panels whose bar is drawn here again, as some of their ways are on this sheet.
    pub again: BTreeSet<PartId>,
}

/// Where two sheets meet.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Joint {
    /// A cable that goes on on another sheet.
    Cable(CableId),
    /// A panel of which some ways are on the sheet of this index.
    Panel(PartId, usize),
}

/// Which end of a joint.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum End {
    /// Upstream: it goes on elsewhere.
    Onward,
    /// Downstream: it comes from elsewhere.
    From,
}

/// A stand-in on a sheet.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct StandIn {
    /// The joint.
    pub joint: Joint,
    /// Which end of it.
    pub end: End,
}

/// The drawing of one sheet.
#[derive(Clone, Debug)]
pub struct Fragment {
    /// The parts of the sheet with their stand-ins, under their own ids.
    pub installation: Installation,
    /// The figures, also for the stand-ins.
    pub solution: Solution,
    /// Stand-ins by id.
    pub stand_ins: BTreeMap<PartId, StandIn>,
}

/// What the sheets of a drawing are.
#[derive(Clone, Debug, Default)]
pub struct Division {
    shares: Vec<Share>,
    /// The sheet on which each part is at home.
    homes: BTreeMap<PartId, usize>,
}

impl Division {
    /// One share a sheet.
    #[must_use]
    pub fn new(shares: Vec<Share>) -> Self {
        let homes = shares.iter().enumerate().flat_map(|(n, s)| s.parts.iter().map(move |p| (*p, n))).collect();
        Self { shares, homes }
    }

    /// How many sheets there are.
    #[must_use]
    pub const fn count(&self) -> usize {
        self.shares.len()
    }
}

/// A drawing that is to be divided, with what its sheets look up of it.
#[derive(Debug)]
pub struct Whole<'a> {
    /// The drawing.
    pub installation: &'a Installation,
    /// Its figures.
    pub solution: &'a Solution,
    /// The cables at each part.
    cables: BTreeMap<PartId, BTreeSet<CableId>>,
    /// The space in which each part is drawn.
    spaces: BTreeMap<PartId, SpaceId>,
    /// The drawing without what is in it.
    empty: Installation,
}

impl<'a> Whole<'a> {
    /// Builds the lookups.
    #[must_use]
    pub fn new(installation: &'a Installation, solution: &'a Solution) -> Self {
        let mut cables: BTreeMap<PartId, BTreeSet<CableId>> = BTreeMap::new();
        for (id, cable) in &installation.cables {
            cables.entry(cable.from).or_default().insert(*id);
            cables.entry(cable.to).or_default().insert(*id);
        }
        let space = |(id, part): (&PartId, &Arc<Part>)| match part.place {
            Place::At(at) => Some((*id, installation.space_at(at)?)),
            Place::In(_) => None,
        };
        let spaces = installation.parts.iter().filter_map(space).collect();
        let mut empty = Installation::new(installation.system);
        empty.rules = installation.rules;
        empty.resistance = installation.resistance;
        empty.next_id = installation.next_id;
        Self { installation, solution, cables, spaces, empty }
    }

    /// The cables that begin or end at one of these parts, in the order of their ids.
    fn cables_at<'b>(&self, parts: impl IntoIterator<Item = &'b PartId>) -> BTreeSet<CableId> {
        parts.into_iter().filter_map(|p| self.cables.get(p)).flatten().copied().collect()
    }

    /// The parts at the other ends of the cables of a share.
    #[must_use]
    pub fn neighbours(&self, share: &Share) -> BTreeSet<PartId> {
        let cables = self.cables_at(share.parts.iter().chain(&share.again));
        let ends = cables.iter().filter_map(|id| self.installation.cables.get(id)).map(|c| (c.from, c.to));
        let others = ends.flat_map(|(from, to)| {
            [share.has(from).then_some(to), share.has(to).then_some(from)].into_iter().flatten()
        });
        others.collect()
    }

    /// The drawing of a share without its cables.
    fn parts_of(&self, share: &Share) -> Installation {
        let mut out = self.empty.clone();
        let parts = share.parts.iter().filter_map(|id| Some((*id, Arc::clone(self.installation.parts.get(id)?))));
        out.parts = parts.collect();
        let used = share.parts.iter().filter_map(|id| self.spaces.get(id));
        out.spaces = used.filter_map(|id| Some((*id, self.installation.spaces.get(id)?.clone()))).collect();
        out.conditions.clone_from(&self.installation.conditions);
        out
    }

    /// The figures of the parts of a share.
    fn solution_of(&self, share: &Share) -> Solution {
        let (whole, walk) = (self.solution, &self.solution.walk);
        let walk = Walk {
            condition: walk.condition,
            feeds: of(share, &walk.feeds),
            reach: of(share, &walk.reach),
            legs: of(share, &walk.legs),
            chosen: of(share, &walk.chosen),
            ..Walk::default()
        };
        Solution {
            walk: Arc::new(walk),
            converged: whole.converged,
            no_solution: whole.no_solution,
            sources: of(share, &whole.sources),
            parts: of(share, &whole.parts),
            cables: BTreeMap::new(),
            cords: of(share, &whole.cords),
            sweeps: whole.sweeps,
        }
    }
}

/// What a map has of the parts of a share.
fn of<T: Clone>(share: &Share, map: &BTreeMap<PartId, T>) -> BTreeMap<PartId, T> {
    share.parts.iter().filter_map(|id| Some((*id, map.get(id)?.clone()))).collect()
}

impl Share {
    /// True for a part that is drawn on the sheet, at home or again.
    #[must_use]
    pub fn has(&self, part: PartId) -> bool {
        self.parts.contains(&part) || self.again.contains(&part)
    }
}

/// What a stand-in says: `to A2 · sheet 3, B4`.
pub type Words<'a> = &'a dyn Fn(Joint, End) -> String;

impl Fragment {
    /// The whole installation as one sheet.
    #[must_use]
    pub fn whole(installation: &Installation, solution: &Solution) -> Self {
        Self { installation: installation.clone(), solution: solution.clone(), stand_ins: BTreeMap::new() }
    }

    /// The share of one sheet. Positions are those of the drawing; stand-ins have none.
    #[must_use]
    pub fn of(all: &Whole<'_>, division: &Division, sheet: usize, words: Words<'_>) -> Self {
        let nothing = Share::default();
        let share = division.shares.get(sheet).unwrap_or(&nothing);
        let (installation, solution) = (all.parts_of(share), all.solution_of(share));
        let mut this = Self { installation, solution, stand_ins: BTreeMap::new() };
        let mut again = BTreeMap::new();
        for panel in &share.again {
            let joint = Joint::Panel(*panel, sheet);
            let id = this.stand_in(all, *panel, StandIn { joint, end: End::From }, &words(joint, End::From));
            again.insert(*panel, id);
        }
        for id in all.cables_at(share.parts.iter().chain(&share.again)) {
            let Some(cable) = all.installation.cables.get(&id) else { continue };
            let (from, to) = (cable.from, cable.to);
            let (from_here, to_here) = (share.parts.contains(&from), share.parts.contains(&to));
            let here = if from_here { Some(from) } else { again.get(&from).copied() };
            match (here, to_here) {
                (Some(start), true) => this.join(all, (id, cable), start, to, None),
                (_, true) => {
                    let joint = Joint::Cable(id);
                    let from = this.stand_in(all, from, StandIn { joint, end: End::From }, &words(joint, End::From));
                    this.join(all, (id, cable), from, to, Some(CableData::none()));
                }
                (Some(_), false) if from_here => {
                    let elsewhere = division.homes.get(&to).and_then(|n| division.shares.get(*n));
                    if elsewhere.is_some_and(|s| s.again.contains(&from)) {
                        continue;
                    }
                    let joint = Joint::Cable(id);
                    let to = this.stand_in(all, to, StandIn { joint, end: End::Onward }, &words(joint, End::Onward));
                    this.join(all, (id, cable), from, to, None);
                }
                _ => {}
            }
        }
        for (n, other) in division.shares.iter().enumerate() {
            for panel in other.again.iter().filter(|p| share.parts.contains(p)) {
                let joint = Joint::Panel(*panel, n);
                let end = this.stand_in(all, *panel, StandIn { joint, end: End::Onward }, &words(joint, End::Onward));
                let mut cable = Cable::between(*panel, end);
                cable.data = CableData::none();
                let id = this.installation.add_cable(cable);
                Arc::make_mut(&mut this.solution.walk).feeds.insert(end, Feed { cable: id, from: *panel });
            }
        }
        this
    }

    fn join(
        &mut self,
        all: &Whole<'_>,
        (id, whole): (CableId, &Arc<Cable>),
        from: PartId,
        to: PartId,
        data: Option<CableData>,
    ) {
        let mut cable = Arc::clone(whole);
        if cable.from != from || cable.to != to || data.is_some() {
            let own = Arc::make_mut(&mut cable);
            own.from = from;
            own.to = to;
            if let Some(data) = data {
                own.data = data;
            }
        }
        if all.solution.walk.feeds.get(&whole.to).is_some_and(|f| f.cable == id) {
            Arc::make_mut(&mut self.solution.walk).feeds.insert(to, Feed { cable: id, from });
        }
        if let Some(flow) = all.solution.cables.get(&id) {
            self.solution.cables.insert(id, flow.clone());
        }
        self.installation.cables.insert(id, cable);
    }

    /// Adds a part that stands for `of`, with its figures.
    fn stand_in(&mut self, all: &Whole<'_>, of: PartId, what: StandIn, words: &str) -> PartId {
        let panel = matches!((what.joint, what.end), (Joint::Panel(..), End::From));
        let original = all.installation.parts.get(&of);
        let part = match original.filter(|_| panel) {
            Some(part) => {
                let mut part = part.as_ref().clone();
                let label = if part.label == part.tag { String::new() } else { part.label.clone() };
                part.label = format!("{label} ({words})").trim().to_owned();
                part
            }
            None => Part::new(PartKind::Junction, words, Place::In(SpaceKind::Other)),
        };
        let part = match what.joint {
            // What a panel goes on with lies in the space of the panel.
            Joint::Panel(..) if what.end == End::Onward => {
                Part { place: original.map_or(part.place, |p| p.place), ..part }
            }
            _ => part,
        };
        let id = self.installation.add_part(part);
        self.stand_ins.insert(id, what);
        let (walk, whole) = (Arc::make_mut(&mut self.solution.walk), &all.solution.walk);
        if let Some(reach) = whole.reach.get(&of).copied() {
            walk.reach.insert(id, reach);
        }
        if let Some(leg) = whole.legs.get(&of).copied() {
            walk.legs.insert(id, leg);
        }
        id
    }
}

impl Fragment {
    /// True for a stand-in that is drawn as a flag.
    #[must_use]
    pub fn is_flag(&self, part: PartId) -> bool {
        let panel = |s: &StandIn| matches!((s.joint, s.end), (Joint::Panel(..), End::From));
        self.stand_ins.get(&part).is_some_and(|s| !panel(s))
    }

    /// What is joined here to another drawing, by this end.
    pub fn joints(&self, end: End) -> impl Iterator<Item = Joint> {
        self.stand_ins.values().filter(move |s| s.end == end).map(|s| s.joint)
    }

    /// True for a part that is at home here.
    #[must_use]
    pub fn shows(&self, part: PartId) -> bool {
        self.installation.parts.contains_key(&part) && !self.stand_ins.contains_key(&part)
    }

    /// False for the short piece that leads from a panel to its flag.
    #[must_use]
    pub fn is_own_cable(&self, cable: CableId) -> bool {
        let to = self.installation.cables.get(&cable).and_then(|c| self.stand_ins.get(&c.to));
        !to.is_some_and(|s| matches!(s.joint, Joint::Panel(..)))
    }

    /// Says anew what the stand-ins say; tells whether anything is said otherwise than before.
    pub fn reword(&mut self, whole: &Installation, words: Words<'_>) -> bool {
        let mut changed = false;
        for (id, what) in &self.stand_ins {
            let text = words(what.joint, what.end);
            let Some(part) = self.installation.parts.get_mut(id) else { continue };
            let part = Arc::make_mut(part);
            let (place, text) = match what.joint {
                Joint::Panel(panel, _) if what.end == End::From => {
                    let original = whole.parts.get(&panel);
                    let label = original.filter(|p| p.label != p.tag).map_or("", |p| p.label.as_str());
                    (&mut part.label, format!("{label} ({text})").trim().to_owned())
                }
                _ => (&mut part.tag, text),
            };
            changed |= *place != text;
            *place = text;
        }
        changed
    }
}
