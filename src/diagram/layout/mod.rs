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
use std::collections::BTreeSet;
use std::sync::Arc;
use tree::Tree;

/// Rounds of pushing apart what overlaps; what is left then goes beside the drawing.
const ROUNDS: usize = 60;

/// Lays an installation out from left to right. Afterwards every part has a position, no two symbols overlap, and
/// [`Installation::space_of`] gives for every part what it gave before. Spaces keep their names; one that holds no part is
/// kept below the drawing.
pub fn lay_out(installation: &mut Installation) {
    lay_out_wide(installation, 1.0);
}

/// The same with columns so many times as far apart: room for words where a sheet has some at the sides.
pub fn lay_out_wide(installation: &mut Installation, times: f64) {
    if installation.parts.is_empty() {
        return;
    }
    let groups = spaces::Groups::of(installation);
    let tree = Tree::of(installation, &groups);
    let x = columns::columns(&tree);
    let y = rows::rows(&tree, &x);
    for (node, id) in tree.ids.iter().enumerate() {
        let at = Point::new(times * x.get(node).copied().unwrap_or(0.0), y.get(node).copied().unwrap_or(0.0)).snapped();
        put(installation, *id, at);
    }
    separate(installation);
    spaces::redraw(installation, &groups);
}

fn put(installation: &mut Installation, id: PartId, at: Point) {
    if let Some(part) = installation.parts.get_mut(&id) {
        let part = Arc::make_mut(part);
        // Everything flows from left to right.
        (part.place, part.mirrored) = (Place::At(at), false);
    }
}

/// Room of a symbol with its tag and what stands under it, against its centre.
fn room(kind: PartKind) -> Rect {
    let (left, up, right, down) = match kind {
        PartKind::Appliance => (-21.0, -8.5, 25.0, 5.5),
        PartKind::ShoreInlet | PartKind::Generator | PartKind::Inverter => (-13.0, -14.0, 46.0, 27.0),
        PartKind::Panel => (-6.0, -6.0, 6.0, 6.0),
        PartKind::Selector => (-8.0, -14.0, 14.0, 11.0),
        PartKind::IsolationTransformer => (-11.0, -9.0, 11.0, 8.0),
        _ => (-6.0, -7.5, 12.0, 7.0),
    };
    Rect { min: Point::new(left, up), max: Point::new(right, down) }
}

/// Pushes apart symbols that overlap, the later ones downwards; what still overlaps then goes to a column of its own,
/// below and to the right of the drawing, where no bar reaches back to what it feeds.
fn separate(installation: &mut Installation) {
    for _ in 0..ROUNDS {
        let pushed = overlapping(installation, &BTreeSet::new());
        if pushed.is_empty() {
            return;
        }
        for (id, at) in pushed {
            put(installation, id, at.moved(0.0, Point::GRID_MM));
        }
    }
    let mut aside = BTreeSet::new();
    let all = Geometry::of(installation).parts.into_values().map(|f| f.body()).reduce(Rect::union);
    let mut corner = all.map_or(Point::default(), |r| r.max.moved(40.0, 40.0)).snapped();
    loop {
        let pushed = overlapping(installation, &aside);
        if pushed.is_empty() {
            return;
        }
        for (id, _) in pushed {
            put(installation, id, corner);
            aside.insert(id);
            let high = Geometry::of(installation).parts.get(&id).map_or(0.0, |f| f.body().height());
            corner = corner.moved(0.0, 20.0 + high).snapped();
        }
    }
}

/// Parts that overlap an earlier one, and where they are; those set aside count as the earliest and are not named.
fn overlapping(installation: &Installation, aside: &BTreeSet<PartId>) -> Vec<(PartId, Point)> {
    let geometry = Geometry::of(installation);
    let mut index = Index::default();
    for foot in geometry.parts.iter().filter(|(id, _)| aside.contains(id)).map(|(_, f)| f) {
        index.add(foot.body(), ());
    }
    let mut out = Vec::new();
    for (id, foot) in geometry.parts.iter().filter(|(id, _)| !aside.contains(id)) {
        if index.is_taken(foot.body()) {
            out.push((*id, foot.at));
        } else {
            index.add(foot.body(), ());
        }
    }
    out
}
