//! Random edits in terms that hold for any document, and what always holds of one.
#![allow(dead_code, reason = "each test file uses its own part of this")]

use hullwire::installation::{
    Accepted, CableId, Edit, Installation, Part, PartId, PartKind, Place, Point, Property, Rect, Selection, SpaceId,
    SpaceKind, System,
};
use hullwire::units::Severity;
use proptest::prelude::*;
use proptest::sample::{Index, select};
use std::collections::BTreeSet;

/// A step in terms that hold for any document: parts, cables and spaces by their place among those that there are.
#[derive(Clone, Debug)]
pub enum Step {
    Add(PartKind, Option<Index>),
    AddTagged(String),
    Insert(PartKind, Index),
    Connect(Index, Index),
    Reconnect(Index, Index, Index),
    Remove(Index, Option<Index>),
    Move(Index, f64, f64),
    Mirror(Index, bool),
    Copy(Index, Index),
    Set(Index, Property, String),
    SetCable(Index, Property, String),
    AddSpace(SpaceKind, f64),
    RemoveSpace(Index),
    Feed(Index),
    Switch(Index, bool),
    AddCondition,
    RemoveCondition(usize),
    System(System),
    Many(Index, Index),
    Accept(Index, String),
    Withdraw(usize),
    Issue(String),
}

fn text() -> impl Strategy<Value = String> {
    select(vec!["", "5", "12 AWG", "2.5 mm2", "1.5 kW", "yes", "no", "T1", "X1", "Q1", "off", "a|b", "-3", "L2", "1e9"])
        .prop_map(str::to_owned)
}

pub fn step() -> impl Strategy<Value = Step> {
    let kind = || select(PartKind::ALL);
    let at = any::<Index>;
    let away = || prop_oneof![-300.0..300.0f64, Just(f64::NAN), Just(f64::INFINITY)];
    prop_oneof![
        4 => (kind(), proptest::option::of(at())).prop_map(|(k, f)| Step::Add(k, f)),
        1 => text().prop_map(Step::AddTagged),
        2 => (kind(), at()).prop_map(|(k, c)| Step::Insert(k, c)),
        4 => (at(), at()).prop_map(|(a, b)| Step::Connect(a, b)),
        1 => (at(), at(), at()).prop_map(|(c, a, b)| Step::Reconnect(c, a, b)),
        2 => (at(), proptest::option::of(at())).prop_map(|(p, c)| Step::Remove(p, c)),
        2 => (at(), away(), away()).prop_map(|(p, x, y)| Step::Move(p, x, y)),
        1 => (at(), any::<bool>()).prop_map(|(p, m)| Step::Mirror(p, m)),
        2 => (at(), at()).prop_map(|(a, b)| Step::Copy(a, b)),
        4 => (at(), select(Property::ALL), text()).prop_map(|(p, q, t)| Step::Set(p, q, t)),
        2 => (at(), select(Property::ALL), text()).prop_map(|(p, q, t)| Step::SetCable(p, q, t)),
        1 => (select(SpaceKind::ALL), 10.0..200.0f64).prop_map(|(k, s)| Step::AddSpace(k, s)),
        1 => at().prop_map(Step::RemoveSpace),
        1 => at().prop_map(Step::Feed),
        2 => (at(), any::<bool>()).prop_map(|(p, on)| Step::Switch(p, on)),
        1 => Just(Step::AddCondition),
        1 => (0..3usize).prop_map(Step::RemoveCondition),
        1 => select(System::ALL).prop_map(Step::System),
        1 => (at(), at()).prop_map(|(a, b)| Step::Many(a, b)),
        1 => (at(), text()).prop_map(|(p, t)| Step::Accept(p, t)),
        1 => (0..3usize).prop_map(Step::Withdraw),
        1 => text().prop_map(Step::Issue),
    ]
}

fn pick<T: Copy>(from: &[T], at: &Index) -> Option<T> {
    (!from.is_empty()).then(|| *at.get(from))
}

pub fn new_part(kind: PartKind, tag: &str) -> Box<Part> {
    Box::new(Part::new(kind, tag, Place::At(Point::new(15.0, 25.0))))
}

/// The edit of a step; `None` where there is nothing that it could be about.
pub fn edit(now: &Installation, step: &Step) -> Option<Edit> {
    let parts: Vec<PartId> = now.parts.keys().copied().collect();
    let cables: Vec<CableId> = now.cables.keys().copied().collect();
    let spaces: Vec<SpaceId> = now.spaces.keys().copied().collect();
    Some(match step {
        Step::Add(kind, feed) => {
            Edit::AddPart { part: new_part(*kind, ""), feed: feed.as_ref().and_then(|f| pick(&parts, f)) }
        }
        Step::AddTagged(tag) => Edit::AddPart { part: new_part(PartKind::Outlet, tag), feed: None },
        Step::Insert(kind, cable) => Edit::InsertPart { part: new_part(*kind, ""), cable: pick(&cables, cable)? },
        Step::Connect(a, b) => Edit::Connect { from: pick(&parts, a)?, to: pick(&parts, b)? },
        Step::Reconnect(c, a, b) => {
            Edit::Reconnect { cable: pick(&cables, c)?, from: pick(&parts, a)?, to: pick(&parts, b)? }
        }
        Step::Remove(part, cable) => {
            let mut what = Selection::part(pick(&parts, part)?);
            what.cables.extend(cable.as_ref().and_then(|c| pick(&cables, c)));
            Edit::Remove(what)
        }
        Step::Move(part, dx, dy) => Edit::Move { what: Selection::part(pick(&parts, part)?), dx: *dx, dy: *dy },
        Step::Mirror(part, mirrored) => Edit::Mirror { parts: vec![pick(&parts, part)?], mirrored: *mirrored },
        Step::Copy(a, b) => {
            let chosen = BTreeSet::from([pick(&parts, a)?, pick(&parts, b)?]);
            Edit::Paste {
                parts: chosen.iter().map(|id| (*id, Part::clone(&now.parts[id]))).collect(),
                cables: now.cables.values().map(|c| c.as_ref().clone()).collect(),
                dx: 5.0,
                dy: 5.0,
            }
        }
        Step::Set(part, property, text) => {
            Edit::SetPart { parts: vec![pick(&parts, part)?], property: *property, text: text.clone(), origin: None }
        }
        Step::SetCable(cable, property, text) => Edit::SetCable {
            cables: vec![pick(&cables, cable)?],
            property: *property,
            text: text.clone(),
            origin: None,
        },
        Step::AddSpace(kind, size) => {
            let rect = Rect::around(Point::new(15.0, 25.0), *size, *size);
            Edit::AddSpace { name: String::new(), kind: *kind, rect }
        }
        Step::RemoveSpace(space) => Edit::Remove(Selection::space(pick(&spaces, space)?)),
        Step::Feed(source) => Edit::SetFeeding { condition: 0, feeding: vec![pick(&parts, source)?] },
        Step::Switch(part, on) => Edit::Switch { condition: 0, parts: vec![pick(&parts, part)?], on: *on },
        Step::AddCondition => Edit::AddCondition { name: "Night".to_owned(), like: 0 },
        Step::RemoveCondition(n) => Edit::RemoveCondition(*n),
        Step::System(system) => Edit::SetSystem(*system),
        Step::Accept(part, text) => Edit::Accept(Box::new(Accepted {
            rule: "drop-total".to_owned(),
            parts: vec![pick(&parts, part)?],
            cables: cables.first().copied().into_iter().collect(),
            severity: Some(if text.len() == 2 { Severity::Danger } else { Severity::Caution }),
            reason: text.clone(),
            by: "A".to_owned(),
            date: String::new(),
            figure: text.parse().ok(),
            extra: Default::default(),
        })),
        Step::Withdraw(n) => Edit::WithdrawAcceptance(*n),
        Step::Issue(letter) => Edit::IssueRevision {
            letter: letter.clone(),
            date: "today".to_owned(),
            author: String::new(),
            note: String::new(),
        },
        Step::Many(a, b) => Edit::Many {
            label: "two at once".to_owned(),
            edits: vec![
                Edit::Remove(Selection::part(pick(&parts, a)?)),
                Edit::Connect { from: pick(&parts, b)?, to: pick(&parts, a)? },
            ],
        },
    })
}

/// What always holds of a document.
pub fn check(now: &Installation) {
    let tags: BTreeSet<&str> = now.parts.values().map(|p| p.tag.as_str()).collect();
    assert_eq!(tags.len(), now.parts.len(), "tags are unique");
    assert!(tags.iter().all(|t| !t.trim().is_empty() && !t.contains('|')), "{tags:?}");
    for cable in now.cables.values() {
        assert!(now.parts.contains_key(&cable.from) && now.parts.contains_key(&cable.to), "cables end at parts");
    }
    let ids = now.parts.keys().map(|i| i.number()).chain(now.cables.keys().map(|i| i.number()));
    assert!(ids.chain(now.spaces.keys().map(|i| i.number())).all(|id| id < now.next_id), "ids come from next_id");
    assert!(now.parts.values().all(|p| p.position().is_finite()), "places are finite");
    assert!(!now.conditions.is_empty(), "there is a condition");
    for condition in &now.conditions {
        assert!(condition.off.iter().all(|id| now.parts.contains_key(id)), "switches belong to parts");
        for id in &condition.feeding {
            assert!(now.parts.get(id).is_some_and(|p| p.kind.is_source()), "what feeds is a source");
        }
    }
}

/// Whatever edits lead to can be saved and opened.
pub fn saves(now: &Installation) {
    let text = hullwire::store::to_text(now).unwrap();
    let again = hullwire::store::parse(text.as_bytes(), "x", None).unwrap_or_else(|e| panic!("{e}\n{text}"));
    assert_eq!(&again.installation, now, "it is read as it was written");
}

/// Every id of a document, whatever it names.
pub fn ids(now: &Installation) -> BTreeSet<u32> {
    let parts = now.parts.keys().map(|i| i.number()).chain(now.cables.keys().map(|i| i.number()));
    parts.chain(now.spaces.keys().map(|i| i.number())).collect()
}
