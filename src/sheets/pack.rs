//! The hand-over pack: which sheets there are, in which order, and their contents step by step.

use super::cautions;
use super::contents::Contents;
use super::frame::{self, Frame};
use super::issue;
use super::page::Page;
use super::paper::Paper;
use super::schedules::{self, Subject};
use super::single_line::{self, Wish};
use super::table::Table;
use super::title::Title;
use super::typeset;
use crate::diagram::Target;
use crate::installation::{Installation, PartId};
use crate::loads::{self, starting::Peaks};
use std::collections::BTreeMap;

/// A kind of sheet.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Kind {
    /// Single-line diagram.
    Diagram,
    /// Panel schedules and breakers elsewhere.
    Panels,
    /// Cable schedule.
    Cables,
    /// Load analysis.
    Loads,
    /// Cautions, findings and what was not checked.
    Survey,
    /// What to measure first.
    Measure,
    /// Basis of calculation.
    Basis,
    /// Revisions, test records, sign-off.
    Records,
}

impl Kind {
    /// All kinds, in the order of the pack.
    pub const ALL: [Self; 8] = [
        Self::Diagram,
        Self::Panels,
        Self::Cables,
        Self::Loads,
        Self::Survey,
        Self::Measure,
        Self::Basis,
        Self::Records,
    ];

    /// Name in options.
    #[must_use]
    pub const fn slug(self) -> &'static str {
        match self {
            Self::Diagram => "diagram",
            Self::Panels => "panels",
            Self::Cables => "cables",
            Self::Loads => "loads",
            Self::Survey => "survey",
            Self::Measure => "measure",
            Self::Basis => "basis",
            Self::Records => "records",
        }
    }

    /// Heading of its sheets.
    #[must_use]
    pub const fn heading(self) -> &'static str {
        match self {
            Self::Diagram => "Single-line diagram",
            Self::Panels => "Panel schedules",
            Self::Cables => "Cable schedule",
            Self::Loads => "Load analysis",
            Self::Survey => "Survey",
            Self::Measure => "Measure first",
            Self::Basis => "Basis of calculation",
            Self::Records => "Revisions, test records and sign-off",
        }
    }

    /// The kind of this name.
    #[must_use]
    pub fn parse(text: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|k| k.slug().eq_ignore_ascii_case(text.trim()))
    }

    /// Which sheet a table goes on, by its id.
    fn of_table(id: &str) -> Self {
        match id {
            "cables" => Self::Cables,
            "sources" => Self::Loads,
            "cautions" | "findings" | "accepted" | "not-checked" => Self::Survey,
            "measure-first" => Self::Measure,
            "basis" => Self::Basis,
            id if id.starts_with("panel-") || id.starts_with("breakers-") => Self::Panels,
            id if id.starts_with("loads-") => Self::Loads,
            _ => Self::Records,
        }
    }
}

/// How a pack is made.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Options {
    /// The sheets of paper.
    pub paper: Paper,
    /// Index of the operating condition of diagram and schedules.
    pub condition: usize,
    /// Lengths on the diagram in feet.
    pub feet: bool,
    /// Kinds of sheet that are wanted; empty for all. Sheets keep the numbers that they have in the whole pack.
    pub only: Vec<Kind>,
    /// Dots per inch of a picture; the usual where none is asked for.
    pub dpi: Option<u16>,
    /// What is marked on the diagram as changed, with the letter of the revision; empty for what the last one changed.
    pub revised: Vec<(Target, String)>,
}

impl Options {
    /// True where the sheets that are wanted have this table.
    pub(super) fn wants_table(&self, id: &str) -> bool {
        self.wants(Kind::of_table(id))
    }

    fn wants(&self, kind: Kind) -> bool {
        self.only.is_empty() || self.only.contains(&kind)
    }
}

/// A pack, ready for a writer.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Pack {
    /// The sheets that are wanted.
    pub pages: Vec<Page>,
    /// The kind of each page.
    pub kinds: Vec<Kind>,
    /// How many sheets the whole pack has.
    pub sheets: usize,
    /// The tables that the pages are set from.
    pub tables: Vec<Table>,
    /// Title of the document.
    pub title: String,
    /// What it is about, in a sentence.
    pub subject: String,
    /// Who made it; empty where that is not stated.
    pub creator: String,
    /// Day of the last issue, year-month-day; empty where nothing was issued or no day is stated.
    pub date: String,
    /// Language code.
    pub language: String,
}

/// Makes the pack. `step` is told before each step what comes next and which share of the work is done; where it gives
/// false the work ends and `None` comes back.
pub fn pack(installation: &Installation, options: &Options, step: &mut dyn FnMut(&str, f64) -> bool) -> Option<Pack> {
    if !step("Solve and survey", 0.0) {
        return None;
    }
    let subject = Subject::new(installation, options.condition);
    if !step("Schedules", 0.2) {
        return None;
    }
    let tables = schedules::tables(&subject);
    let title = Title::of(installation, "hand-over pack");
    let cautions = cautions::lines(&subject);
    let system = installation.system.name();
    let under = format!("{system} · condition: {} · fed from {}", subject.condition_name(), subject.feeding());
    // Where the title block leaves no room beside it, sheets that are only read have the short one.
    let narrow = options.paper.inside().width() < frame::WIDE;
    let short = Title { short: narrow, ..title.clone() };
    let title_of = |kind: Kind| if matches!(kind, Kind::Diagram | Kind::Records) { &title } else { &short };
    let room = |kind: Kind, under: &str| {
        let heading = kind.heading();
        Frame { paper: options.paper, title: title_of(kind), cautions: &cautions, heading, under }.body()
    };
    let revised = if options.revised.is_empty() { super::revised(installation) } else { options.revised.clone() };
    let mut sheets: Vec<(Kind, Contents)> = Vec::new();
    for (n, kind) in Kind::ALL.into_iter().enumerate() {
        if !step(kind.heading(), 0.3 + 0.6 * n as f64 / Kind::ALL.len() as f64) {
            return None;
        }
        let contents = if kind == Kind::Diagram {
            let overlay = super::overlay(installation, &subject.solution, &subject.judged, &peaks(&subject));
            let wish = Wish {
                subject: &subject,
                overlay: &overlay,
                paper: options.paper,
                body: room(kind, &format!("{under}{}", single_line::LONGEST_POINTER)),
                feet: options.feet,
                revised: &revised,
            };
            single_line::contents(&wish)
        } else {
            let of_kind: Vec<&Table> = tables.iter().filter(|t| Kind::of_table(&t.id) == kind).collect();
            let under = if kind == Kind::Loads { system } else { &under };
            typeset::set(&of_kind, kind.heading(), under, room(kind, under))
        };
        sheets.extend(contents.into_iter().map(|c| (kind, c)));
    }
    let of = sheets.len();
    let mut pages = Vec::new();
    let mut kinds = Vec::new();
    for (n, (kind, contents)) in sheets.iter().enumerate() {
        if options.wants(*kind) {
            pages.push(contents.framed(options.paper, title_of(*kind), &cautions, (n + 1, of)));
            kinds.push(*kind);
        }
    }
    if !step("Write", 0.95) {
        return None;
    }
    Some(Pack {
        pages,
        kinds,
        sheets: of,
        tables,
        subject: format!("Hand-over pack of an AC installation: {under}. {}", cautions::NOT_FOR_CONSTRUCTION),
        creator: title.creator.clone(),
        date: issue::date(installation).map(|d| d.to_string()).unwrap_or_default(),
        language: title.language.clone(),
        title: title.title.clone(),
    })
}

/// What each source that feeds must start.
fn peaks(subject: &Subject<'_>) -> BTreeMap<PartId, Peaks> {
    let roots = subject.solution.walk.roots.iter();
    roots.map(|s| (*s, loads::starting::peaks(subject.installation, &subject.solution, *s))).collect()
}
