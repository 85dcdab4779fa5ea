//! The tree that the layout follows: what feeds what, without what closes a ring or comes in from a second side.

use super::spaces::Groups;
use crate::installation::{Installation, PartId, PartKind};
use std::collections::BTreeMap;

/// A part on the way downstream.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Branch {
    /// Number of the part downstream.
    pub to: usize,
    /// No cable is fitted: bolted on or plugged in.
    pub bolted: bool,
}

/// The installation by numbers, in the order of ids.
#[derive(Debug, Default)]
pub struct Tree {
    /// Ids by number.
    pub ids: Vec<PartId>,
    /// Kinds by number.
    pub kinds: Vec<PartKind>,
    /// What each part feeds, in the order of cables, each once.
    pub downstream: Vec<Vec<Branch>>,
    /// What feeds each part, in the order of cables, each once.
    pub upstream: Vec<Vec<usize>>,
    /// What each part feeds in the tree, in the order of rows.
    pub children: Vec<Vec<Branch>>,
    /// Roots of the tree, in the order of rows.
    pub roots: Vec<usize>,
    /// All parts of the tree, parents first.
    pub order: Vec<usize>,
    /// Chains from a source to a part with several feeds, by that part, in the order of its inlets.
    pub chains: BTreeMap<usize, Vec<Vec<usize>>>,
    /// Space group of the leaf at the end of each part's first branch.
    pub leaf_group: Vec<Option<usize>>,
    /// Parts that a panel feeds, directly or not.
    pub behind_panel: Vec<bool>,
}

impl Tree {
    /// Picks the tree out of an installation.
    #[must_use]
    pub fn of(installation: &Installation, groups: &Groups) -> Self {
        let mut this = Self::graph(installation);
        let in_chain = this.find_chains();
        this.grow(&in_chain);
        this.sort(groups);
        this.mark_behind_panels();
        this
    }

    fn graph(installation: &Installation) -> Self {
        let ids: Vec<PartId> = installation.parts.keys().copied().collect();
        let number: BTreeMap<PartId, usize> = ids.iter().enumerate().map(|(n, id)| (*id, n)).collect();
        let kinds = installation.parts.values().map(|p| p.kind).collect();
        let n = ids.len();
        let mut this = Self {
            ids,
            kinds,
            downstream: vec![Vec::new(); n],
            upstream: vec![Vec::new(); n],
            children: vec![Vec::new(); n],
            leaf_group: vec![None; n],
            behind_panel: vec![false; n],
            ..Self::default()
        };
        for cable in installation.cables.values() {
            let (Some(&from), Some(&to)) = (number.get(&cable.from), number.get(&cable.to)) else { continue };
            let (Some(down), Some(up)) = (this.downstream.get_mut(from), this.upstream.get_mut(to)) else { continue };
            if from == to || up.contains(&from) {
                continue;
            }
            down.push(Branch { to, bolted: !cable.data.is_fitted() });
            up.push(from);
        }
        this
    }

    /// The kind of a part by its number.
    #[must_use]
    pub fn kind(&self, node: usize) -> PartKind {
        self.kinds.get(node).copied().unwrap_or(PartKind::Junction)
    }

    fn down(&self, node: usize) -> &[Branch] {
        self.downstream.get(node).map_or(&[], Vec::as_slice)
    }

    fn up(&self, node: usize) -> &[usize] {
        self.upstream.get(node).map_or(&[], Vec::as_slice)
    }

    /// Finds the chains that lead from a source, unbranched, to a part that has other feeds too.
    fn find_chains(&mut self) -> Vec<bool> {
        let mut in_chain = vec![false; self.ids.len()];
        let mut found: BTreeMap<usize, Vec<Vec<usize>>> = BTreeMap::new();
        for root in 0..self.ids.len() {
            if !self.up(root).is_empty() {
                continue;
            }
            let mut chain = vec![root];
            let mut at = root;
            let end = loop {
                let [only] = self.down(at) else { break None };
                if self.up(only.to).len() > 1 {
                    break Some(only.to);
                }
                at = only.to;
                chain.push(at);
            };
            if let Some(end) = end {
                for node in &chain {
                    if let Some(flag) = in_chain.get_mut(*node) {
                        *flag = true;
                    }
                }
                found.entry(end).or_default().push(chain);
            }
        }
        for (end, chains) in &mut found {
            let inlets = self.up(*end);
            chains.sort_by_key(|chain| inlets.iter().position(|p| chain.last() == Some(p)));
        }
        self.chains = found;
        in_chain
    }

    fn grow(&mut self, in_chain: &[bool]) {
        let n = self.ids.len();
        let chained = |node: usize| in_chain.get(node).copied().unwrap_or(false);
        // The parent in the tree: the first feed that is no chain.
        let parent: Vec<Option<usize>> = (0..n).map(|c| self.up(c).iter().copied().find(|p| !chained(*p))).collect();
        let mut seen: Vec<bool> = (0..n).map(chained).collect();
        let natural = (0..n).filter(|node| !chained(*node) && parent.get(*node).copied().flatten().is_none());
        let starts: Vec<usize> = natural.chain(0..n).collect();
        for start in starts {
            if seen.get(start).copied().unwrap_or(true) {
                continue;
            }
            self.roots.push(start);
            let mut stack = vec![start];
            if let Some(flag) = seen.get_mut(start) {
                *flag = true;
            }
            while let Some(node) = stack.pop() {
                self.order.push(node);
                let branches: Vec<Branch> = self.down(node).to_vec();
                for branch in branches {
                    let mine = parent.get(branch.to).copied().flatten() == Some(node);
                    let Some(flag) = seen.get_mut(branch.to) else { continue };
                    if mine && !*flag {
                        *flag = true;
                        stack.push(branch.to);
                        if let Some(children) = self.children.get_mut(node) {
                            children.push(branch);
                        }
                    }
                }
            }
        }
    }

    fn mark_behind_panels(&mut self) {
        for &node in &self.order {
            let behind = self.kind(node) == PartKind::Panel || self.behind_panel.get(node).copied().unwrap_or(false);
            for branch in self.children.get(node).into_iter().flatten() {
                if let Some(flag) = self.behind_panel.get_mut(branch.to) {
                    *flag = behind;
                }
            }
        }
    }

    /// Brings together, in each part's rows, what ends in the same space.
    fn sort(&mut self, groups: &Groups) {
        for &node in self.order.iter().rev() {
            let own = self.ids.get(node).and_then(|id| groups.of_part(*id));
            let first = self.children.get(node).and_then(|c| c.first()).copied();
            let below = first.and_then(|b| self.leaf_group.get(b.to).copied().flatten());
            if let Some(group) = self.leaf_group.get_mut(node) {
                *group = if first.is_some() { below } else { own };
            }
        }
        // A bare end, such as where a panel goes on on another sheet, comes last.
        let bare: Vec<bool> = (0..self.ids.len())
            .map(|n| self.kind(n) == PartKind::Junction && self.children.get(n).is_none_or(Vec::is_empty))
            .collect();
        let leaf_group = &self.leaf_group;
        for children in &mut self.children {
            let group = |b: &Branch| leaf_group.get(b.to).copied().flatten();
            let mut firsts: Vec<Option<usize>> = Vec::new();
            for child in children.iter() {
                if !firsts.contains(&group(child)) {
                    firsts.push(group(child));
                }
            }
            let last = |child: &Branch| bare.get(child.to).copied().unwrap_or(false);
            children.sort_by_key(|child| (last(child), firsts.iter().position(|g| *g == group(child))));
        }
    }
}
