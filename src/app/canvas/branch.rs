//! Branches: a part with everything that it feeds; and a branch that is let go on another panel, with its cables following.

use crate::app::state::State;
use crate::diagram::Scene;
use crate::installation::{CableId, Edit, Installation, PartId, PartKind, Point, Selection};

/// How far to the right of a panel's bar a branch is put, in millimetres.
const STEP_MM: f64 = 25.0;
/// How near to the bar of a panel a branch is let go, in millimetres.
const NEAR_MM: f64 = 4.0;

/// The selection with everything that its parts feed, as it is drawn.
#[must_use]
pub fn with_branch(doc: &Installation, selection: &Selection) -> Selection {
    let mut out = selection.clone();
    let mut open: Vec<PartId> = out.parts.iter().copied().collect();
    while let Some(at) = open.pop() {
        for (_, cable) in doc.leaving(at) {
            if out.parts.insert(cable.to) {
                open.push(cable.to);
            }
        }
    }
    out
}

/// The cables by which the moving parts are fed from outside.
fn feeds<'a>(doc: &'a Installation, moving: &'a Selection) -> impl Iterator<Item = (CableId, PartId, PartId)> + 'a {
    let enters = |from: PartId, to: PartId| moving.parts.contains(&to) && !moving.parts.contains(&from);
    doc.cables.iter().filter(move |(_, c)| enters(c.from, c.to)).map(|(id, c)| (*id, c.from, c.to))
}

/// The panel on whose bar the moving parts would be let go, if that gives them another feed.
#[must_use]
pub fn panel_at(state: &State, moving: &Selection, at: Point) -> Option<PartId> {
    let doc = state.installation();
    let is_panel = |id: &PartId| doc.parts.get(id).is_some_and(|p| p.kind == PartKind::Panel);
    let scene: &Scene = &state.computed.scene;
    let areas = scene.parts.iter().filter(|a| a.symbol.grown(NEAR_MM).contains(at));
    let panel = areas.map(|a| a.part).find(|id| is_panel(id) && !moving.parts.contains(id))?;
    lead(doc, moving, panel).is_some().then_some(panel)
}

/// The edits that lead the feeds of the moving parts to a panel. `None` where none comes from elsewhere, or where that
/// makes no sense.
fn lead(doc: &Installation, moving: &Selection, panel: PartId) -> Option<Vec<Edit>> {
    let others = feeds(doc, moving).filter(|(_, from, _)| *from != panel);
    let edits: Vec<Edit> = others.map(|(cable, _, to)| Edit::Reconnect { cable, from: panel, to }).collect();
    let all = Edit::Many { label: String::new(), edits: edits.clone() };
    (!edits.is_empty() && doc.apply(&all).is_ok()).then_some(edits)
}

/// The step that hangs the moving parts on a panel and puts them beside its bar.
#[must_use]
pub fn hang(state: &State, moving: &Selection, panel: PartId) -> Option<Edit> {
    let doc = state.installation();
    let heads: Vec<PartId> = feeds(doc, moving).map(|(_, _, to)| to).collect();
    let mut edits = lead(doc, moving, panel)?;
    let left = heads.iter().filter_map(|id| doc.parts.get(id)).map(|p| p.position().x).fold(f64::INFINITY, f64::min);
    let bar = super::overlay::area(&state.computed.scene, panel)?.symbol.max.x;
    let dx = Point::new(bar + STEP_MM - left, 0.0).snapped().x;
    if dx.is_finite() && dx != 0.0 {
        edits.push(Edit::Move { what: moving.clone(), dx, dy: 0.0 });
    }
    let first = heads.first().map_or("?", |id| doc.tag(*id));
    let label = match heads.len() {
        1 => format!("hang {first} on {}", doc.tag(panel)),
        n => format!("hang {n} parts on {}", doc.tag(panel)),
    };
    Some(Edit::Many { label, edits })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::installation::{Cable, Part, Place, System};

    #[test]
    fn a_branch_is_all_that_is_fed_and_a_ring_ends() {
        let mut doc = Installation::new(System::TwoWire120);
        let mut add = |kind, tag: &str| doc.add_part(Part::new(kind, tag, Place::At(Point::default())));
        let (a, b, c, d) = (
            add(PartKind::Panel, "A1"),
            add(PartKind::Breaker, "Q1"),
            add(PartKind::Junction, "X1"),
            add(PartKind::Breaker, "Q2"),
        );
        for (from, to) in [(a, b), (b, c), (c, b), (a, d)] {
            doc.add_cable(Cable::between(from, to));
        }
        assert_eq!(with_branch(&doc, &Selection::part(b)), Selection::of_parts([b, c]));
        assert_eq!(with_branch(&doc, &Selection::part(a)).parts.len(), 4);
    }
}
