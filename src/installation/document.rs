//! The installation as a whole.

use super::aboard::Aboard;
use super::cable::{Cable, Conductor};
use super::geometry::{Point, Rect};
use super::ids::{CableId, PartId, SpaceId};
use super::kind::PartKind;
use super::part::{LoadKind, Part, Place};
use super::plan::Span;
use super::reading::Reading;
use super::record::{Accepted, Revision};
use super::system::{ResistanceBasis, RuleSet, System, slugs};
use super::tray::Tray;
use super::usage::{Candidate, Uses};
use serde::{Deserialize, Serialize};
use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

/// Fields of a file that this version does not know; they survive a round trip.
pub type Extra = serde_json::Map<String, serde_json::Value>;

/// Kinds of space.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
#[expect(missing_docs, reason = "the trade's own words, explained in the README")]
pub enum SpaceKind {
    EngineSpace,
    Galley,
    Head,
    WeatherDeck,
    Accommodation,
    Cockpit,
    Lazarette,
    Ashore,
    #[default]
    Other,
}
slugs!(SpaceKind {
    EngineSpace => "engine-space", Galley => "galley", Head => "head", WeatherDeck => "weather-deck",
    Accommodation => "accommodation", Cockpit => "cockpit", Lazarette => "lazarette", Ashore => "ashore", Other => "other",
});

impl SpaceKind {
    /// Name on screen and paper.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::EngineSpace => "Engine space",
            Self::Galley => "Galley",
            Self::Head => "Head",
            Self::WeatherDeck => "Weather deck",
            Self::Accommodation => "Accommodation",
            Self::Cockpit => "Cockpit",
            Self::Lazarette => "Lazarette",
            Self::Ashore => "Ashore",
            Self::Other => "Other space",
        }
    }
}

/// A named area of the boat, drawn as a rectangle.
#[derive(Clone, Debug, PartialEq)]
pub struct Space {
    /// Name shown in its corner.
    pub name: String,
    /// What rules ask for.
    pub kind: SpaceKind,
    /// Where it is drawn.
    pub rect: Rect,
    /// Fields of the file that this version does not know, kept.
    pub extra: Extra,
}

/// A named state of use.
#[derive(Clone, Debug, PartialEq)]
pub struct Condition {
    /// `At anchor`, `In harbour`.
    pub name: String,
    /// The sources that feed; empty is off. A selector follows: it takes the inlet from which one of these is reached.
    pub feeding: Vec<PartId>,
    /// Appliances that are switched off and breakers that are open; all others are on and closed.
    pub off: BTreeSet<PartId>,
    /// Hours of the day in which it holds, in order and apart from each other; empty: no part of the day plan.
    pub hours: Vec<Span>,
    /// How appliances are used in it; what is missing here is used by its duty.
    pub usage: Uses,
    /// Fields of the file that this version does not know, kept.
    pub extra: Extra,
}

impl Condition {
    /// A condition in which nothing feeds and everything is switched on.
    #[must_use]
    pub fn named(name: impl Into<String>) -> Self {
        Self {
            name: name.into(),
            feeding: Vec::new(),
            off: BTreeSet::new(),
            hours: Vec::new(),
            usage: Uses::new(),
            extra: Extra::new(),
        }
    }
}

/// Title block data, fields of ISO 7200.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(default)]
#[expect(missing_docs, reason = "field names of ISO 7200")]
pub struct TitleBlock {
    pub title: String,
    pub legal_owner: String,
    pub identification_number: String,
    pub revision_index: String,
    pub date_of_issue: String,
    pub creator: String,
    pub approval_person: String,
    pub document_type: String,
    pub language: String,
}

/// Everything in one file. Cheap to clone: parts and cables are shared.
#[derive(Clone, Debug, PartialEq)]
pub struct Installation {
    /// Name of the boat or the drawing.
    pub name: String,
    /// Supply system.
    pub system: System,
    /// Rule set of the survey.
    pub rules: RuleSet,
    /// Where conductor resistance comes from.
    pub resistance: ResistanceBasis,
    /// What is aboard that no symbol shows.
    pub aboard: Aboard,
    /// Parts by id.
    pub parts: BTreeMap<PartId, Arc<Part>>,
    /// Cables by id. A selector's inlets are in the order of their ids.
    pub cables: BTreeMap<CableId, Arc<Cable>>,
    /// Spaces by id.
    pub spaces: BTreeMap<SpaceId, Space>,
    /// Operating conditions, at least one.
    pub conditions: Vec<Condition>,
    /// Title block.
    pub title: TitleBlock,
    /// Findings that a person accepted.
    pub accepted: Vec<Accepted>,
    /// Revisions that were issued, oldest first.
    pub revisions: Vec<Revision>,
    /// Trays and compartments that a set might be put into.
    pub trays: Vec<Tray>,
    /// What meters showed on the real boat.
    pub readings: Vec<Reading>,
    /// Sources that are compared with those of the drawing.
    pub candidates: Vec<Candidate>,
    /// The next id to give out, shared by all kinds of id.
    pub next_id: u32,
    /// Fields of the file that this version does not know, kept.
    pub extra: Extra,
}

impl Installation {
    /// An empty installation of a system, with one condition.
    #[must_use]
    pub fn new(system: System) -> Self {
        Self {
            name: String::new(),
            system,
            rules: system.usual_rules(),
            resistance: ResistanceBasis::Published,
            aboard: Aboard::default(),
            parts: BTreeMap::new(),
            cables: BTreeMap::new(),
            spaces: BTreeMap::new(),
            conditions: vec![Condition::named("as listed")],
            title: TitleBlock::default(),
            accepted: Vec::new(),
            revisions: Vec::new(),
            trays: Vec::new(),
            readings: Vec::new(),
            candidates: Vec::new(),
            next_id: 1,
            extra: Extra::new(),
        }
    }

    fn take_id(&mut self) -> u32 {
        let id = self.next_id;
        self.next_id += 1;
        id
    }

    /// Adds a part under a fresh id.
    pub fn add_part(&mut self, part: Part) -> PartId {
        let id = PartId::new(self.take_id());
        self.parts.insert(id, Arc::new(part));
        id
    }

    /// Adds a cable under a fresh id.
    pub fn add_cable(&mut self, cable: Cable) -> CableId {
        let id = CableId::new(self.take_id());
        self.cables.insert(id, Arc::new(cable));
        id
    }

    /// Adds a space under a fresh id.
    pub fn add_space(&mut self, space: Space) -> SpaceId {
        let id = SpaceId::new(self.take_id());
        self.spaces.insert(id, space);
        id
    }

    /// The part with this tag.
    #[must_use]
    pub fn part_by_tag(&self, tag: &str) -> Option<PartId> {
        self.parts.iter().find(|(_, p)| p.tag == tag).map(|(id, _)| *id)
    }

    /// The tag of a part; `?` where there is no such part.
    #[must_use]
    pub fn tag(&self, id: PartId) -> &str {
        self.parts.get(&id).map_or("?", |p| &p.tag)
    }

    /// Cables that feed a part, in the order of their ids.
    pub fn feeds_of(&self, part: PartId) -> impl Iterator<Item = (CableId, &Cable)> {
        self.cables.iter().filter(move |(_, c)| c.to == part).map(|(id, c)| (*id, c.as_ref()))
    }

    /// Cables that leave a part, in the order of their ids.
    pub fn leaving(&self, part: PartId) -> impl Iterator<Item = (CableId, &Cable)> {
        self.cables.iter().filter(move |(_, c)| c.from == part).map(|(id, c)| (*id, c.as_ref()))
    }

    /// The smallest space whose rectangle holds this point.
    #[must_use]
    pub fn space_at(&self, point: Point) -> Option<SpaceId> {
        self.spaces
            .iter()
            .filter(|(_, s)| s.rect.contains(point))
            .min_by(|(_, a), (_, b)| a.rect.area().total_cmp(&b.rect.area()))
            .map(|(id, _)| *id)
    }

    /// The kind of space that a part is in; `Other` where it lies in none.
    #[must_use]
    pub fn space_of(&self, part: PartId) -> SpaceKind {
        match self.parts.get(&part).map(|p| p.place) {
            Some(Place::At(point)) => {
                self.space_at(point).and_then(|id| self.spaces.get(&id)).map_or(SpaceKind::Other, |s| s.kind)
            }
            Some(Place::In(kind)) => kind,
            None => SpaceKind::Other,
        }
    }

    /// True where a part stands in a condition switched on or closed.
    #[must_use]
    pub fn is_on(&self, part: PartId, condition: usize) -> bool {
        self.conditions.get(condition).is_none_or(|c| !c.off.contains(&part))
    }

    /// True where an inverter has a feed: it is then an inverter-charger.
    #[must_use]
    pub fn is_inverter_charger(&self, part: PartId) -> bool {
        self.parts.get(&part).is_some_and(|p| p.kind == PartKind::Inverter) && self.feeds_of(part).next().is_some()
    }

    /// A tag that is not in use: the letter of IEC 81346 and the lowest free number.
    #[must_use]
    pub fn free_tag(&self, kind: PartKind, load_kind: LoadKind) -> String {
        let letter = if kind == PartKind::Appliance && load_kind == LoadKind::Motor { 'M' } else { kind.info().letter };
        let used: BTreeSet<&str> = self.parts.values().map(|p| p.tag.as_str()).collect();
        (1..=u32::MAX).map(|n| format!("{letter}{n}")).find(|t| !used.contains(t.as_str())).unwrap_or_default()
    }

    /// Whether a new cable between these kinds starts out bolted on: a breaker on a panel, a polarity indicator, an
    /// appliance on an outlet (the defaults of the circuit list).
    #[must_use]
    pub fn usual_conductor(from: PartKind, to: PartKind) -> Conductor {
        match (from, to) {
            (PartKind::Panel, PartKind::Breaker)
            | (_, PartKind::PolarityIndicator)
            | (PartKind::Outlet, PartKind::Appliance) => Conductor::None,
            _ => Conductor::Unknown,
        }
    }
}
