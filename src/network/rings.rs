//! Loops and islands: rings of cables that carry, and groups without a source.

use super::graph::{Graph, Link};
use petgraph::unionfind::UnionFind;
use std::collections::{BTreeSet, VecDeque};

/// Rings that are named, at most; a drawing with more is named by its first.
const MOST_RINGS: usize = 16;

/// Rings of the cables that carry, whatever their direction, each as part numbers in the order of the ring.
pub(super) fn rings(graph: &Graph<'_>, carries: &[bool]) -> Vec<Vec<usize>> {
    let count = graph.parts.len();
    let mut joined = UnionFind::<usize>::new(count);
    let mut extra: Vec<Link> = Vec::new();
    let mut tree: Vec<Link> = Vec::new();
    for link in graph.links.iter().filter(|l| carries[l.cable]) {
        if joined.union(link.from, link.to) {
            tree.push(*link);
        } else if extra.len() < MOST_RINGS {
            extra.push(*link);
        }
    }
    if extra.is_empty() {
        return Vec::new();
    }
    let (up, depth) = forest(count, &tree);
    let mut seen = BTreeSet::new();
    let mut rings = Vec::new();
    for link in extra {
        let ring = ring_of(link, &up, &depth);
        let members: BTreeSet<usize> = ring.iter().copied().collect();
        if seen.insert(members) {
            rings.push(ring);
        }
    }
    rings
}

/// Parent and depth of each part in a spanning forest.
fn forest(count: usize, tree: &[Link]) -> (Vec<usize>, Vec<usize>) {
    let mut near: Vec<Vec<usize>> = vec![Vec::new(); count];
    for link in tree {
        near[link.from].push(link.to);
        near[link.to].push(link.from);
    }
    let mut up: Vec<usize> = (0..count).collect();
    let mut depth = vec![usize::MAX; count];
    let mut queue = VecDeque::new();
    for start in 0..count {
        if depth[start] != usize::MAX {
            continue;
        }
        depth[start] = 0;
        queue.push_back(start);
        while let Some(at) = queue.pop_front() {
            for &next in &near[at] {
                if depth[next] == usize::MAX {
                    depth[next] = depth[at] + 1;
                    up[next] = at;
                    queue.push_back(next);
                }
            }
        }
    }
    (up, depth)
}

/// The way through the forest from one end of a cable to its other end.
fn ring_of(link: Link, up: &[usize], depth: &[usize]) -> Vec<usize> {
    let (mut a, mut b) = (link.from, link.to);
    let (mut left, mut right) = (vec![a], vec![b]);
    while a != b {
        if depth[a] >= depth[b] {
            a = up[a];
            left.push(a);
        } else {
            b = up[b];
            right.push(b);
        }
    }
    right.pop();
    left.extend(right.into_iter().rev());
    left
}

/// Groups of two or more parts that hang together by any cable, without a source.
pub(super) fn islands(graph: &Graph<'_>) -> Vec<Vec<usize>> {
    let count = graph.parts.len();
    let mut joined = UnionFind::<usize>::new(count);
    for link in &graph.links {
        joined.union(link.from, link.to);
    }
    let mut groups: Vec<Vec<usize>> = vec![Vec::new(); count];
    for part in 0..count {
        groups[joined.find(part)].push(part);
    }
    let mut islands: Vec<Vec<usize>> =
        groups.into_iter().filter(|g| g.len() > 1 && !g.iter().any(|&p| graph.parts[p].kind.is_source())).collect();
    islands.sort();
    islands
}

#[cfg(test)]
mod tests {
    use super::MOST_RINGS;
    use crate::installation::PartKind::{Generator, Panel};
    use crate::network::boats::draft;
    use crate::network::{Fault, walk};

    #[test]
    fn of_many_rings_the_first_are_named() {
        let tags: Vec<String> = (1..=20).map(|n| format!("P{n}")).collect();
        let parts: Vec<_> = [(Generator, "G1")].into_iter().chain(tags.iter().map(|t| (Panel, t.as_str()))).collect();
        let twice: Vec<(usize, usize)> = (1..=20).flat_map(|n| [(0, n); 2]).collect();
        let (d, ids) = draft(&parts, &twice, &[0]);
        let wanted: Vec<Fault> =
            ids[1..=MOST_RINGS].iter().map(|panel| Fault::Loop { parts: vec![ids[0], *panel] }).collect();
        assert_eq!(walk(&d.installation, 0).faults, wanted);
    }
}
