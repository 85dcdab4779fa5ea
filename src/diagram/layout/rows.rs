//! Rows: each branch of the tree takes a band of its own, and a chain stays on one line.

use super::room;
use super::tree::Tree;
use crate::diagram::index::Index;
use crate::installation::{PartKind, Point, Rect};

/// Room between trees.
const BETWEEN: f64 = 10.0;
/// Rows of a panel above which rows of one space move closer.
const MANY: usize = 14;

/// Room that a part needs above and below its line, on the grid.
fn own(tree: &Tree, node: usize) -> (f64, f64) {
    match tree.kind(node) {
        PartKind::ShoreInlet | PartKind::Generator | PartKind::Inverter => (15.0, 25.0),
        PartKind::Selector => {
            let n = tree.upstream.get(node).map_or(0, Vec::len) as f64;
            (10.0 + 5.0 * (n / 2.0).ceil(), 5.0 + 5.0 * (n / 2.0).ceil())
        }
        _ => (10.0, 10.0),
    }
}

/// A band of rows against the line of its part.
#[derive(Clone, Debug, Default)]
struct Band {
    up: f64,
    down: f64,
    /// Lines of the children against the part's own.
    children: Vec<f64>,
    /// Lines of the chains that end at the part.
    chains: Vec<f64>,
}

/// Stacks bands; gives the lines against the first one.
fn stack(bands: &[(f64, f64)], closer: impl Fn(usize) -> f64) -> Vec<f64> {
    let mut lines = Vec::with_capacity(bands.len());
    let mut line = 0.0;
    let mut below = 0.0;
    for (i, (up, down)) in bands.iter().enumerate() {
        if i > 0 {
            line += below + up - closer(i);
        }
        lines.push(line);
        below = *down;
    }
    lines
}

fn middle(lines: &[f64]) -> f64 {
    let (first, last) = (lines.first().copied().unwrap_or(0.0), lines.last().copied().unwrap_or(0.0));
    (f64::midpoint(first, last) / Point::GRID_MM).round() * Point::GRID_MM
}

fn band(tree: &Tree, node: usize, bands: &[Band]) -> Band {
    let (mut up, mut down) = own(tree, node);
    let kids = tree.children.get(node).map_or(&[][..], Vec::as_slice);
    let extents: Vec<(f64, f64)> =
        kids.iter().map(|b| bands.get(b.to).map_or((10.0, 10.0), |band| (band.up, band.down))).collect();
    let group = |i: usize| kids.get(i).and_then(|b| tree.leaf_group.get(b.to).copied().flatten());
    let plain = |i: usize| extents.get(i).is_some_and(|e| *e == (10.0, 10.0));
    let many = kids.len() > MANY;
    // Less room within a space where there are many, more between spaces for their names.
    let closer = |i: usize| {
        if group(i) != group(i - 1) && i > 0 && (group(i).is_some() || group(i - 1).is_some()) {
            return -Point::GRID_MM;
        }
        if many && plain(i) && plain(i - 1) && group(i) == group(i - 1) { Point::GRID_MM } else { 0.0 }
    };
    let mut lines = stack(&extents, closer);
    let panel = tree.kind(node) == PartKind::Panel;
    // A panel that feeds nothing but its own rows stands in their middle; one behind another starts level with it.
    let own_line = if panel && !tree.behind_panel.get(node).copied().unwrap_or(false) { middle(&lines) } else { 0.0 };
    for line in &mut lines {
        *line -= own_line;
    }
    let title = if panel { 5.0 } else { 0.0 };
    if let (Some((first, line)), Some((last, end))) =
        (extents.first().zip(lines.first()), extents.last().zip(lines.last()))
    {
        up = up.max(first.0 - line + title);
        down = down.max(last.1 + end);
    }
    let mut chains = Vec::new();
    if tree.roots.contains(&node)
        && let Some(found) = tree.chains.get(&node)
    {
        let extents: Vec<(f64, f64)> = found
            .iter()
            .map(|chain| {
                chain.iter().map(|n| own(tree, *n)).fold((0.0_f64, 0.0_f64), |a, b| (a.0.max(b.0), a.1.max(b.1)))
            })
            .collect();
        chains = stack(&extents, |_| 0.0);
        let own_line = middle(&chains);
        for line in &mut chains {
            *line -= own_line;
        }
        if let (Some((first, line)), Some((last, end))) =
            (extents.first().zip(chains.first()), extents.last().zip(chains.last()))
        {
            up = up.max(first.0 - line);
            down = down.max(last.1 + end);
        }
    }
    Band { up, down, children: lines, chains }
}

/// The y of every part, by number.
#[must_use]
pub fn rows(tree: &Tree, x: &[f64]) -> Vec<f64> {
    let n = tree.ids.len();
    let mut bands = vec![Band::default(); n];
    for &node in tree.order.iter().rev() {
        let made = band(tree, node, &bands);
        if let Some(place) = bands.get_mut(node) {
            *place = made;
        }
    }
    let mut y = vec![0.0; n];
    let mut top = 0.0;
    for &root in &tree.roots {
        let Some(band) = bands.get(root) else { continue };
        set(&mut y, root, top + band.up);
        top += band.up + band.down + BETWEEN;
    }
    for &node in &tree.order {
        let Some(band) = bands.get(node) else { continue };
        let line = y.get(node).copied().unwrap_or(0.0);
        for (branch, offset) in tree.children.get(node).into_iter().flatten().zip(&band.children) {
            set(&mut y, branch.to, line + offset);
        }
        for (chain, offset) in tree.chains.get(&node).into_iter().flatten().zip(&band.chains) {
            for part in chain {
                set(&mut y, *part, line + offset);
            }
        }
    }
    place_other_chains(tree, x, &mut y, top);
    y
}

fn set(y: &mut [f64], node: usize, value: f64) {
    if let Some(place) = y.get_mut(node) {
        *place = value;
    }
}

/// Chains that end at a part with a place in the tree: the nearest free row.
fn place_other_chains(tree: &Tree, x: &[f64], y: &mut [f64], bottom: f64) {
    let rect = |node: usize, y: f64| room(tree.kind(node)).moved(x.get(node).copied().unwrap_or(0.0), y);
    let mut taken = Index::default();
    for &node in &tree.order {
        let at = y.get(node).copied().unwrap_or(0.0);
        let mut covered = rect(node, at);
        let line = Point::new(x.get(node).copied().unwrap_or(0.0), at);
        for branch in tree.children.get(node).into_iter().flatten() {
            let child = y.get(branch.to).copied().unwrap_or(at);
            if tree.kind(node) == PartKind::Panel {
                covered = covered.union(Rect::between(line, Point::new(line.x + 5.0, child)).grown(10.0));
            }
            // The row up to the child.
            let end = Point::new(x.get(branch.to).copied().unwrap_or(0.0), child);
            taken.add(Rect::between(Point::new(line.x + 5.0, child), end).grown(4.0), ());
        }
        taken.add(covered, ());
    }
    let mut top = bottom;
    for (end, chains) in &tree.chains {
        if tree.roots.contains(end) {
            continue;
        }
        let line = y.get(*end).copied().unwrap_or(0.0);
        for chain in chains {
            let free = |at: f64| chain.iter().all(|node| !taken.is_taken(rect(*node, at)));
            let tries = (1..=40).flat_map(|k| [1.0, -1.0].map(|s| line + s * Point::GRID_MM * f64::from(k)));
            let at = tries.into_iter().find(|at| free(*at)).unwrap_or_else(|| {
                top += 35.0;
                top - 25.0
            });
            for node in chain {
                set(y, *node, at);
                taken.add(rect(*node, at), ());
            }
        }
    }
}
