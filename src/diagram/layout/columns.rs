//! Columns: how far right each part stands.

use super::tree::{Branch, Tree};
use crate::diagram::geometry::{inlet_x, outlet_x};
use crate::installation::PartKind;

/// Room between terminals where a cable carries a label.
const CABLE: f64 = 30.0;
/// Room between terminals of parts that are bolted together.
const BOLTED: f64 = 15.0;

/// Distance of centres of two parts that are joined.
fn apart(tree: &Tree, from: usize, branch: Branch) -> f64 {
    let (a, b) = (tree.kind(from), tree.kind(branch.to));
    let ends = outlet_x(a).unwrap_or(5.0) + inlet_x(b).unwrap_or(5.0);
    let several = tree.downstream.get(from).is_some_and(|d| d.len() > 1);
    let gap = match (a, b) {
        (PartKind::Outlet, PartKind::Appliance) if branch.bolted && several => BOLTED - 5.0,
        (PartKind::Panel, PartKind::Breaker) | (PartKind::Outlet, PartKind::Appliance) if branch.bolted => 0.0,
        (PartKind::ShoreInlet | PartKind::Generator | PartKind::Inverter, _) if branch.bolted => 20.0,
        (_, PartKind::PolarityIndicator) if branch.bolted => BOLTED - 5.0,
        _ if branch.bolted => BOLTED,
        (PartKind::ShoreInlet | PartKind::Generator | PartKind::Inverter, PartKind::Selector) => CABLE + 15.0,
        (PartKind::ShoreInlet | PartKind::Generator | PartKind::Inverter, _) => CABLE + 10.0,
        (_, PartKind::Outlet) => CABLE,
        (PartKind::Outlet | PartKind::Junction, _) => CABLE - 5.0,
        (_, PartKind::Selector) => CABLE + 5.0,
        _ => CABLE,
    };
    ends + gap
}

/// The x of every part, by number.
#[must_use]
pub fn columns(tree: &Tree) -> Vec<f64> {
    let n = tree.ids.len();
    let mut x = vec![0.0_f64; n];
    for node in parents_first(tree) {
        let own = x.get(node).copied().unwrap_or(0.0);
        for branch in tree.downstream.get(node).into_iter().flatten() {
            if let Some(to) = x.get_mut(branch.to) {
                *to = to.max(own + apart(tree, node, *branch));
            }
        }
    }
    gather_chains(tree, &mut x);
    align_right(tree, &mut x);
    x
}

/// All parts, parents before what they feed; rings are cut where they are met.
fn parents_first(tree: &Tree) -> Vec<usize> {
    let n = tree.ids.len();
    let mut waiting: Vec<usize> = tree.upstream.iter().map(Vec::len).collect();
    let mut ready: std::collections::BTreeSet<usize> = (0..n).filter(|i| waiting.get(*i) == Some(&0)).collect();
    let mut done = vec![false; n];
    let mut out = Vec::with_capacity(n);
    let mut next = 0;
    while out.len() < n {
        let node = match ready.pop_first() {
            Some(node) => node,
            None => {
                while done.get(next).copied().unwrap_or(false) {
                    next += 1;
                }
                next
            }
        };
        match done.get_mut(node) {
            Some(flag) if !*flag => *flag = true,
            Some(_) => continue,
            None => break,
        }
        out.push(node);
        for branch in tree.downstream.get(node).into_iter().flatten() {
            if let Some(left) = waiting.get_mut(branch.to) {
                *left = left.saturating_sub(1);
                if *left == 0 && !done.get(branch.to).copied().unwrap_or(true) {
                    ready.insert(branch.to);
                }
            }
        }
    }
    // What a cut ring feeds back is not moved again: each part is met once.
    out
}

/// Draws the chains that end at a part up to it, their sources one above the other.
fn gather_chains(tree: &Tree, x: &mut [f64]) {
    for (end, chains) in &tree.chains {
        let mut first_column = f64::INFINITY;
        for chain in chains {
            let mut right = x.get(*end).copied().unwrap_or(0.0);
            let mut to = *end;
            for node in chain.iter().rev() {
                let branch = tree.downstream.get(*node).and_then(|d| d.iter().find(|b| b.to == to)).copied();
                right -= apart(tree, *node, branch.unwrap_or(Branch { to, bolted: false }));
                if let Some(place) = x.get_mut(*node) {
                    *place = right;
                }
                to = *node;
            }
            first_column = first_column.min(right);
        }
        for source in chains.iter().filter_map(|c| c.first()) {
            if let Some(place) = x.get_mut(*source) {
                *place = first_column;
            }
        }
    }
}

/// The panel that each part stands behind, the nearest one upstream.
fn panels(tree: &Tree) -> Vec<Option<usize>> {
    let mut panel = vec![None; tree.ids.len()];
    for &node in &tree.order {
        let own = if tree.kind(node) == PartKind::Panel { Some(node) } else { panel.get(node).copied().flatten() };
        for branch in tree.children.get(node).into_iter().flatten() {
            if let Some(place) = panel.get_mut(branch.to) {
                *place = own;
            }
        }
    }
    panel
}

/// The appliances of each panel in one column, outlets before them.
fn align_right(tree: &Tree, x: &mut [f64]) {
    let panels = panels(tree);
    let groups: std::collections::BTreeSet<Option<usize>> = panels.iter().copied().collect();
    for group in groups {
        align_behind(tree, x, &|node| panels.get(node).copied().flatten() == group);
    }
}

fn align_behind(tree: &Tree, x: &mut [f64], behind: &dyn Fn(usize) -> bool) {
    let of = |kind: PartKind| (0..tree.ids.len()).filter(move |n| tree.kind(*n) == kind && behind(*n));
    let Some(right) = of(PartKind::Appliance).filter_map(|n| x.get(n).copied()).reduce(f64::max) else { return };
    let bare = |n: usize| tree.children.get(n).is_none_or(Vec::is_empty);
    for node in of(PartKind::Appliance) {
        if let Some(place) = x.get_mut(node) {
            *place = right;
        }
    }
    for node in of(PartKind::Outlet) {
        let children = tree.children.get(node).map_or(&[][..], Vec::as_slice);
        let ends = children.iter().all(|b| tree.kind(b.to) == PartKind::Appliance && bare(b.to));
        let column = right - if children.len() > 1 { 35.0 } else { 25.0 };
        if let Some(place) = x.get_mut(node).filter(|p| ends && **p < column) {
            *place = column;
        }
    }
}
