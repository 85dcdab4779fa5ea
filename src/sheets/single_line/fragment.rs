//! The part of an installation that one sheet shows, as an installation of its own, with stand-ins for what is elsewhere.

use crate::installation::{Cable, CableData, CableId, Installation, Part, PartId, PartKind, Place, SpaceKind};
use crate::network::{Feed, Solution};
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
    /// One a sheet.
    pub shares: Vec<Share>,
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
    pub fn of(whole: &Installation, solution: &Solution, division: &Division, sheet: usize, words: Words<'_>) -> Self {
        let nothing = Share::default();
        let share = division.shares.get(sheet).unwrap_or(&nothing);
        let homes: BTreeMap<PartId, usize> =
            division.shares.iter().enumerate().flat_map(|(n, s)| s.parts.iter().map(move |p| (*p, n))).collect();
        let mut this = Self { installation: whole.clone(), solution: solution.clone(), stand_ins: BTreeMap::new() };
        this.installation.revisions.clear();
        this.installation.parts.retain(|id, _| share.parts.contains(id));
        this.installation.cables.clear();
        let mut again = BTreeMap::new();
        for panel in &share.again {
            let joint = Joint::Panel(*panel, sheet);
            let id = this.stand_in(whole, *panel, StandIn { joint, end: End::From }, &words(joint, End::From));
            again.insert(*panel, id);
        }
        for (id, cable) in &whole.cables {
            let (from, to) = (cable.from, cable.to);
            let (from_here, to_here) = (share.parts.contains(&from), share.parts.contains(&to));
            let here = if from_here { Some(from) } else { again.get(&from).copied() };
            match (here, to_here) {
                (Some(start), true) => this.join(*id, cable, start, to, None),
                (_, true) => {
                    let joint = Joint::Cable(*id);
                    let from = this.stand_in(whole, from, StandIn { joint, end: End::From }, &words(joint, End::From));
                    this.join(*id, cable, from, to, Some(CableData::none()));
                }
                (Some(_), false) if from_here => {
                    let elsewhere = homes.get(&to).and_then(|n| division.shares.get(*n));
                    if elsewhere.is_some_and(|s| s.again.contains(&from)) {
                        continue;
                    }
                    let joint = Joint::Cable(*id);
                    let to = this.stand_in(whole, to, StandIn { joint, end: End::Onward }, &words(joint, End::Onward));
                    this.join(*id, cable, from, to, None);
                }
                _ => {}
            }
        }
        for (n, other) in division.shares.iter().enumerate() {
            for panel in other.again.iter().filter(|p| share.parts.contains(p)) {
                let joint = Joint::Panel(*panel, n);
                let end = this.stand_in(whole, *panel, StandIn { joint, end: End::Onward }, &words(joint, End::Onward));
                let mut cable = Cable::between(*panel, end);
                cable.data = CableData::none();
                let id = this.installation.add_cable(cable);
                Arc::make_mut(&mut this.solution.walk).feeds.insert(end, Feed { cable: id, from: *panel });
            }
        }
        this.keep_spaces(whole, share);
        this
    }

    fn join(&mut self, id: CableId, cable: &Arc<Cable>, from: PartId, to: PartId, data: Option<CableData>) {
        let mut cable = Arc::clone(cable);
        if cable.from != from || cable.to != to || data.is_some() {
            let own = Arc::make_mut(&mut cable);
            own.from = from;
            own.to = to;
            if let Some(data) = data {
                own.data = data;
            }
        }
        let used = self.solution.walk.feeds.values().any(|f| f.cable == id);
        if used {
            Arc::make_mut(&mut self.solution.walk).feeds.insert(to, Feed { cable: id, from });
        }
        self.installation.cables.insert(id, cable);
    }

    /// Adds a part that stands for `of`, with its figures.
    fn stand_in(&mut self, whole: &Installation, of: PartId, what: StandIn, words: &str) -> PartId {
        let panel = matches!((what.joint, what.end), (Joint::Panel(..), End::From));
        let original = whole.parts.get(&of);
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
        let walk = Arc::make_mut(&mut self.solution.walk);
        if let Some(reach) = walk.reach.get(&of).copied() {
            walk.reach.insert(id, reach);
        }
        if let Some(leg) = walk.legs.get(&of).copied() {
            walk.legs.insert(id, leg);
        }
        id
    }

    /// Keeps the spaces in which a part of the sheet lies.
    fn keep_spaces(&mut self, whole: &Installation, share: &Share) {
        let used: BTreeSet<_> = share
            .parts
            .iter()
            .filter_map(|p| match whole.parts.get(p)?.place {
                Place::At(at) => whole.space_at(at),
                Place::In(_) => None,
            })
            .collect();
        self.installation.spaces.retain(|id, _| used.contains(id));
    }
}

impl Fragment {
    /// True for a stand-in that is drawn as a flag.
    #[must_use]
    pub fn is_flag(&self, part: PartId) -> bool {
        let panel = |s: &StandIn| matches!((s.joint, s.end), (Joint::Panel(..), End::From));
        self.stand_ins.get(&part).is_some_and(|s| !panel(s))
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

    /// Says anew what the stand-ins say.
    pub fn reword(&mut self, whole: &Installation, words: Words<'_>) {
        for (id, what) in &self.stand_ins {
            let text = words(what.joint, what.end);
            let Some(part) = self.installation.parts.get_mut(id) else { continue };
            let part = Arc::make_mut(part);
            match what.joint {
                Joint::Panel(panel, _) if what.end == End::From => {
                    let original = whole.parts.get(&panel);
                    let label = original.filter(|p| p.label != p.tag).map_or("", |p| p.label.as_str());
                    part.label = format!("{label} ({text})").trim().to_owned();
                }
                _ => part.tag = text,
            }
        }
    }
}
