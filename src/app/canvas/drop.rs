//! Dropping a part from the locker: where it goes, and what it is wired to.

use super::hit::{self, CABLE_PT, Hit};
use super::pull::Pull;
use super::view::Map;
use crate::app::state::State;
use crate::diagram::Terminal;
use crate::installation::{CableId, Edit, Feeds, Installation, Part, PartId, PartKind, Place, Point, Selection};
use egui::Pos2;

/// How far from what it is wired to a dropped part is put, in millimetres.
const STEP_MM: f64 = 35.0;
/// Parts nearer than this, across and down, would lie on each other.
const ROOM_MM: (f64, f64) = (30.0, 15.0);

/// What a drop would do.
#[derive(Clone, Debug, PartialEq)]
pub struct Plan {
    /// Where the part goes.
    pub at: Point,
    /// The cable that it is put into.
    pub cable: Option<CableId>,
    /// The part that it is wired to.
    pub part: Option<PartId>,
    /// The edit.
    pub edit: Edit,
}

/// What a drop of `part` at `pos` would do.
#[must_use]
pub fn plan(state: &State, map: &Map, part: &Part, pos: Pos2) -> Plan {
    let doc = state.installation();
    let scene = &state.computed.scene;
    let p = map.point(pos);
    let placed = |at: Point| Part { place: Place::At(at), ..part.clone() };
    let under = hit::at(map, state.drawn(), doc, &Selection::default(), pos);
    // On a terminal or on a panel's bar: beside it, wired.
    let pull = match under {
        Hit::Terminal(id, terminal) => Some((id, Pull::at_terminal(doc, id, terminal), terminal)),
        Hit::Part(id) if doc.parts.get(&id).is_some_and(|q| q.kind == PartKind::Panel) => {
            Some((id, Pull::From(id), Terminal::Outlet))
        }
        _ => None,
    };
    if let Some((id, pull, terminal)) = pull
        && let Some(area) = super::overlay::area(scene, id)
    {
        let x = if terminal == Terminal::Outlet { area.symbol.max.x + STEP_MM } else { area.symbol.min.x - STEP_MM };
        let at = free_spot(doc, Point::new(x, p.y).snapped());
        if let Some(edit) = pull.edit_with(doc, placed(at)).filter(|e| doc.apply(e).is_ok()) {
            return Plan { at, cable: None, part: Some(id), edit };
        }
    }
    // On a cable: into it.
    if let Some((cable, on)) = hit::cable_at(&scene.cables, p, map.mm(2.0 * CABLE_PT)) {
        let path = scene.cables.iter().find(|c| c.cable == cable);
        let level = path.is_some_and(|c| c.points.windows(2).any(|w| w[0].y == w[1].y && w[0].y == on.y));
        let at = Point { y: if level { on.y } else { on.snapped().y }, ..on.snapped() };
        let edit = Edit::InsertPart { part: Box::new(placed(at)), cable };
        if doc.apply(&edit).is_ok() {
            return Plan { at, cable: Some(cable), part: None, edit };
        }
    }
    let at = p.snapped();
    Plan { at, cable: None, part: None, edit: Edit::AddPart { part: Box::new(placed(at)), feed: None } }
}

/// Adds a part without a pointer: beside the selected part and fed by it where that makes sense, else at `centre`.
pub fn add(state: &mut State, part: &Part, centre: Point) -> bool {
    let doc = state.installation();
    let fed_by = state.selected_part().filter(|id| {
        let feeds = doc.parts.get(id).is_some_and(|p| p.kind.info().feeds_others);
        feeds && part.kind.info().feeds != Feeds::None
    });
    let from = fed_by.and_then(|id| doc.parts.get(&id)).map(|p| p.position().moved(STEP_MM, 0.0));
    let at = free_spot(doc, from.unwrap_or(centre).snapped());
    let part = Part { place: Place::At(at), ..part.clone() };
    let added = state.edit(&Edit::AddPart { part: Box::new(part), feed: fed_by }, None);
    if added {
        state.focus = Some(state.selection().clone());
    }
    added
}

/// The nearest place at or below `at` where no part lies yet.
#[must_use]
pub fn free_spot(doc: &Installation, at: Point) -> Point {
    let taken = |p: Point| {
        doc.parts.values().any(|q| {
            let q = q.position();
            (q.x - p.x).abs() < ROOM_MM.0 && (q.y - p.y).abs() < ROOM_MM.1
        })
    };
    (0..200).map(|i| at.moved(0.0, f64::from(i) * Point::GRID_MM)).find(|p| !taken(*p)).unwrap_or(at)
}
