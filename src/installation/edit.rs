//! Edits as values: each makes a new document of an old one, and says what should then be selected and what it is called.

use super::aboard::Aboard;
use super::cable::Cable;
use super::document::{Installation, SpaceKind, TitleBlock};
use super::geometry::{Point, Rect};
use super::ids::{CableId, PartId, SpaceId};
use super::kind::PartKind;
use super::part::{Origin, Part, Place};
use super::plan::Span;
use super::property::Property;
use super::reading::Reading;
use super::record::Accepted;
use super::system::{ResistanceBasis, RuleSet, System};
use super::tray::Tray;
use super::usage::{Candidate, Usage};
use std::collections::BTreeSet;
use std::sync::Arc;
use thiserror::Error;

/// What is selected: parts, cables and spaces.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Selection {
    /// Selected parts.
    pub parts: BTreeSet<PartId>,
    /// Selected cables.
    pub cables: BTreeSet<CableId>,
    /// Selected spaces.
    pub spaces: BTreeSet<SpaceId>,
}

impl Selection {
    /// True where nothing is selected.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.parts.is_empty() && self.cables.is_empty() && self.spaces.is_empty()
    }

    /// One part.
    #[must_use]
    pub fn part(id: PartId) -> Self {
        Self { parts: BTreeSet::from([id]), ..Self::default() }
    }

    /// One cable.
    #[must_use]
    pub fn cable(id: CableId) -> Self {
        Self { cables: BTreeSet::from([id]), ..Self::default() }
    }

    /// One space.
    #[must_use]
    pub fn space(id: SpaceId) -> Self {
        Self { spaces: BTreeSet::from([id]), ..Self::default() }
    }

    /// Several parts.
    #[must_use]
    pub fn of_parts(ids: impl IntoIterator<Item = PartId>) -> Self {
        Self { parts: ids.into_iter().collect(), ..Self::default() }
    }

    /// Without what an installation does not hold.
    #[must_use]
    pub fn within(mut self, installation: &Installation) -> Self {
        self.parts.retain(|id| installation.parts.contains_key(id));
        self.cables.retain(|id| installation.cables.contains_key(id));
        self.spaces.retain(|id| installation.spaces.contains_key(id));
        self
    }
}

/// A change of the document.
#[derive(Clone, Debug, PartialEq)]
pub enum Edit {
    /// Adds a part; an empty tag takes the next free one. With `feed`, a cable from that part is drawn to it.
    AddPart {
        /// The part.
        part: Box<Part>,
        /// What feeds it.
        feed: Option<PartId>,
    },
    /// Puts a part into a cable: the old cable then ends at the part, and a bolted-on joint leads on. The lengths keep
    /// their sum.
    InsertPart {
        /// The part.
        part: Box<Part>,
        /// The cable that it is dropped on.
        cable: CableId,
    },
    /// Adds copies of parts with the cables among them, under fresh ids and free tags. A cable from a part of the drawing
    /// to one of them is led from that part.
    Paste {
        /// The parts, with the ids that `cables` speak of.
        parts: Vec<(PartId, Part)>,
        /// The cables among them.
        cables: Vec<Cable>,
        /// How far to move them.
        dx: f64,
        /// How far to move them.
        dy: f64,
    },
    /// Removes what is selected, and every cable that ends at a removed part.
    Remove(Selection),
    /// Moves parts and spaces. A part that leaves one space for another changes space by it.
    Move {
        /// What moves.
        what: Selection,
        /// Millimetres to the right.
        dx: f64,
        /// Millimetres downwards.
        dy: f64,
    },
    /// Puts parts at given places, as align, distribute and layout do; spaces too.
    Arrange {
        /// New centres.
        parts: Vec<(PartId, Point)>,
        /// New rectangles.
        spaces: Vec<(SpaceId, Rect)>,
        /// Name of the step.
        label: String,
    },
    /// Draws symbols the other way round, or the usual way.
    Mirror {
        /// The parts.
        parts: Vec<PartId>,
        /// The other way round.
        mirrored: bool,
    },
    /// Draws a cable.
    Connect {
        /// Upstream.
        from: PartId,
        /// Downstream.
        to: PartId,
    },
    /// Leads a cable to or from another part.
    Reconnect {
        /// The cable.
        cable: CableId,
        /// Upstream.
        from: PartId,
        /// Downstream.
        to: PartId,
    },
    /// Sets a property of parts from text as a person types it (see [`Part::set`]).
    SetPart {
        /// The parts.
        parts: Vec<PartId>,
        /// The property.
        property: Property,
        /// What was typed; empty takes the default.
        text: String,
        /// Where the value comes from; `None` leaves the origin off.
        origin: Option<Origin>,
    },
    /// Sets a property of cables from text as a person types it.
    SetCable {
        /// The cables.
        cables: Vec<CableId>,
        /// The property, one of [`Property::OF_CABLE`] or `Tag`.
        property: Property,
        /// What was typed; empty takes the default.
        text: String,
        /// Where the value comes from; `None` leaves the origin off.
        origin: Option<Origin>,
    },
    /// Changes the kind-dependent whole of one part, id kept (replace by another from the locker).
    ReplacePart {
        /// The part.
        id: PartId,
        /// What it becomes; its place is kept.
        part: Box<Part>,
    },
    /// Adds a space.
    AddSpace {
        /// Its name; empty takes the name of its kind.
        name: String,
        /// Its kind.
        kind: SpaceKind,
        /// Where.
        rect: Rect,
    },
    /// Changes a space.
    SetSpace {
        /// Which.
        id: SpaceId,
        /// Its name.
        name: String,
        /// Its kind.
        kind: SpaceKind,
        /// Where.
        rect: Rect,
    },
    /// Chooses the sources that feed in a condition; empty is off.
    SetFeeding {
        /// Index of the condition.
        condition: usize,
        /// The sources.
        feeding: Vec<PartId>,
    },
    /// Switches appliances or opens and closes breakers in a condition.
    Switch {
        /// Index of the condition.
        condition: usize,
        /// The parts.
        parts: Vec<PartId>,
        /// On or closed.
        on: bool,
    },
    /// Adds a condition as a copy of another.
    AddCondition {
        /// Its name.
        name: String,
        /// Index of the one that is copied.
        like: usize,
    },
    /// Renames a condition.
    RenameCondition {
        /// Index.
        condition: usize,
        /// Its name.
        name: String,
    },
    /// Removes a condition; the last one cannot be removed.
    RemoveCondition(usize),
    /// Names the installation.
    SetName(String),
    /// Changes the supply system (rule set included, where it was the usual one).
    SetSystem(System),
    /// Chooses the rule set.
    SetRules(RuleSet),
    /// Chooses where resistance comes from.
    SetResistance(ResistanceBasis),
    /// States what is aboard that no symbol shows.
    SetAboard(Aboard),
    /// Sets the title block.
    SetTitle(Box<TitleBlock>),
    /// Accepts a finding with a reason and a name, in place of what was accepted of the same finding before. DANGER cannot
    /// be accepted.
    Accept(Box<Accepted>),
    /// Takes an acceptance back, by its index in [`Installation::accepted`].
    WithdrawAcceptance(usize),
    /// Freezes the document as it is under a letter. The title block takes over letter and date.
    IssueRevision {
        /// Index of the revision; empty takes the next letter.
        letter: String,
        /// Date of issue.
        date: String,
        /// Who issues it.
        author: String,
        /// What it is about.
        note: String,
    },
    /// Sets the hours of the day in which a condition holds; what it takes from other conditions is theirs no longer.
    SetHours {
        /// Index of the condition.
        condition: usize,
        /// The hours, in any order.
        hours: Vec<Span>,
    },
    /// Sets the trays and compartments that a set might be put into.
    SetTrays(Vec<Tray>),
    /// Says how appliances are used in a condition.
    SetUsage {
        /// Index of the condition.
        condition: usize,
        /// The appliances.
        usage: Vec<(PartId, Usage)>,
    },
    /// Sets the sources that are compared with those of the drawing.
    SetCandidates(Vec<Candidate>),
    /// Sets the readings of the sea trial.
    SetReadings(Vec<Reading>),
    /// Takes over a whole document, as automatic layout makes it.
    Adopt {
        /// The document.
        installation: Arc<Installation>,
        /// Name of the step.
        label: String,
    },
    /// Several edits as one step.
    Many {
        /// Name of the step.
        label: String,
        /// In order.
        edits: Vec<Edit>,
    },
}

/// Why an edit was refused. Nothing was changed.
#[derive(Clone, Debug, PartialEq, Eq, Error)]
#[expect(missing_docs, reason = "the messages say it")]
pub enum EditError {
    #[error("{0} is no longer in the drawing")]
    Gone(String),
    #[error("{tag} is a {kind}: nothing feeds it")]
    TakesNoFeed { tag: String, kind: &'static str },
    #[error("{tag} is a {kind}: it feeds nothing")]
    FeedsNothing { tag: String, kind: &'static str },
    #[error("{tag} is already fed by {by}; remove that cable first, or put a source selector between")]
    AlreadyFed { tag: String, by: String },
    #[error("{tag} cannot feed itself")]
    Itself { tag: String },
    #[error("{to} already feeds {from}: this cable would close a loop")]
    Loop { from: String, to: String },
    #[error("there is already a cable from {from} to {to}")]
    Twice { from: String, to: String },
    #[error("the tag {tag} is taken by another part; valid: one that no other part has, such as {free}")]
    TagTaken { tag: String, free: String },
    #[error("{property}: {message}")]
    BadValue { property: &'static str, message: String },
    #[error("a place on the drawing must be a finite number")]
    NotFinite,
    #[error("the last operating condition cannot be removed")]
    LastCondition,
    #[error("there is no operating condition {0}")]
    NoCondition(usize),
    #[error("{tag} is a {kind}, not a source")]
    NotASource { tag: String, kind: &'static str },
    #[error("{rule} is a finding at DANGER, which cannot be accepted: it has to be put right")]
    Danger { rule: String },
    #[error("{what} is missing; valid: {valid}")]
    Missing { what: &'static str, valid: &'static str },
    #[error("there is no accepted finding {0}")]
    NoAcceptance(usize),
    #[error("revision {letter} has been issued already; valid: another letter, such as {free}")]
    LetterTaken { letter: String, free: String },
}

/// The outcome of an edit.
#[derive(Clone, Debug)]
pub struct Edited {
    /// The new document.
    pub installation: Installation,
    /// What should be selected now; `None` leaves the selection as it is.
    pub selection: Option<Selection>,
    /// Name of the step, as in "Undo move of 3 parts": lower case, no full stop.
    pub label: String,
}

/// Default part of a kind for the locker, before figures are put in.
#[must_use]
pub fn blank(kind: PartKind, at: Point) -> Part {
    Part::new(kind, "", Place::At(at))
}
