//! Automatic layout, for imported lists and for "Tidy": sources left, appliances right, chains on straight rows.
//!
//! A tree is picked out of the installation; each branch takes its own band of rows, so that nothing crosses that need
//! not. Columns follow the depth. Spaces are drawn anew around the parts that were in them.

mod columns;
mod rows;
mod spaces;
mod tree;

use super::geometry::Geometry;
use super::index::Index;
use crate::installation::{Installation, PartId, PartKind, Place, Point, Rect};
use std::sync::Arc;
use tree::Tree;

/// Rounds of pushing apart what overlaps; what is left then goes below the drawing.
const ROUNDS: usize = 60;

/// Lays an installation out from left to right. Afterwards every part has a position, no two symbols overlap, and
/// [`Installation::space_of`] gives for every part what it gave before. Spaces keep their names; one that holds no part is
/// kept below the drawing.
pub fn lay_out(installation: &mut Installation) {
    if installation.parts.is_empty() {
        return;
    }
    let groups = spaces::Groups::of(installation);
    let tree = Tree::of(installation, &groups);
    let x = columns::columns(&tree);
    let y = rows::rows(&tree, &x);
    for (node, id) in tree.ids.iter().enumerate() {
        let at = Point::new(x.get(node).copied().unwrap_or(0.0), y.get(node).copied().unwrap_or(0.0)).snapped();
        put(installation, *id, at);
    }
    separate(installation);
    spaces::redraw(installation, &groups);
}

fn put(installation: &mut Installation, id: PartId, at: Point) {
    if let Some(part) = installation.parts.get_mut(&id) {
        Arc::make_mut(part).place = Place::At(at);
    }
}

/// Room of a symbol with its tag and what stands under it, against its centre.
fn room(kind: PartKind) -> Rect {
    let (left, up, right, down) = match kind {
        PartKind::Appliance => (-21.0, -8.5, 30.0, 5.5),
        PartKind::ShoreInlet | PartKind::Generator | PartKind::Inverter => (-13.0, -14.0, 46.0, 27.0),
        PartKind::Panel => (-6.0, -6.0, 6.0, 6.0),
        PartKind::Selector => (-8.0, -14.0, 14.0, 11.0),
        PartKind::IsolationTransformer => (-11.0, -9.0, 11.0, 8.0),
        _ => (-6.0, -7.5, 12.0, 7.0),
    };
    Rect { min: Point::new(left, up), max: Point::new(right, down) }
}

/// Pushes apart symbols that overlap, the later ones downwards.
fn separate(installation: &mut Installation) {
    for round in 0..=ROUNDS {
        let geometry = Geometry::of(installation);
        let mut index = Index::default();
        let mut push = Vec::new();
        let mut bottom: f64 = 0.0;
        for (id, foot) in &geometry.parts {
            let body = foot.body();
            bottom = bottom.max(body.max.y);
            if index.is_taken(body) {
                push.push((*id, foot.at));
            } else {
                index.add(body, ());
            }
        }
        if push.is_empty() {
            return;
        }
        let last = round == ROUNDS;
        for (i, (id, at)) in push.into_iter().enumerate() {
            let below = Point::new(at.x, bottom + 20.0 * (i + 1) as f64).snapped();
            put(installation, id, if last { below } else { at.moved(0.0, Point::GRID_MM) });
        }
    }
}
