//! Walking the graph of one condition: what is fed from where.

use super::graph::{Graph, Link};
use super::legs::{fed_leg, stated_leg};
use super::rings::{islands, rings};
use super::walk::{Fault, Feed, Reach, Walk};
use crate::installation::{Installation, Leg, PartId, PartKind, System, natural_order};
use petgraph::graph::NodeIndex;
use petgraph::visit::EdgeFiltered;
use std::cmp::Ordering;
use std::collections::{BTreeMap, BTreeSet, HashMap, VecDeque};
use std::ops::Bound;

/// No such part or cable.
const NONE: usize = usize::MAX;

/// Walks an installation in one condition. A condition that does not exist feeds nothing. What is to be removed takes no
/// part (see [`Installation::planned`]); it may be live until it is gone.
#[must_use]
pub fn walk(installation: &Installation, condition: usize) -> Walk {
    let planned = installation.planned();
    let graph = Graph::new(&planned);
    let mut walker = Walker::new(&planned, &graph, condition);
    walker.choose();
    walker.spread_all();
    walker.meet();
    let mut walk = walker.finish();
    for (id, part) in installation.parts.iter().filter(|(id, _)| !planned.parts.contains_key(id)) {
        walk.reach.insert(*id, Reach::MayBeLive);
        walk.legs.insert(*id, stated_leg(installation.system, part, None));
    }
    walk
}

struct Walker<'a> {
    graph: &'a Graph<'a>,
    system: System,
    condition: usize,
    /// Sources that are to feed.
    chosen_source: Vec<bool>,
    /// Breakers that stand open.
    open: Vec<bool>,
    charger: Vec<bool>,
    /// The inlet that a selector passes.
    inlet: Vec<usize>,
    /// Cables that carry in this condition.
    carries: Vec<bool>,
    /// The source that feeds each part.
    root: Vec<usize>,
    feed: Vec<Option<Link>>,
    leg: Vec<Option<Leg>>,
    /// The first of all sources, chosen or not, that reaches each part.
    label: Vec<usize>,
    order: Vec<usize>,
    roots: Vec<usize>,
    missing: BTreeSet<usize>,
    parallel: BTreeMap<usize, BTreeSet<usize>>,
}

impl<'a> Walker<'a> {
    fn new(installation: &Installation, graph: &'a Graph<'a>, condition: usize) -> Self {
        let count = graph.parts.len();
        let mut chosen_source = vec![false; count];
        let mut open = vec![false; count];
        if let Some(condition) = installation.conditions.get(condition) {
            for number in condition.feeding.iter().filter_map(|id| graph.number(*id)) {
                chosen_source[number] = graph.parts[number].kind.is_source();
            }
            for number in condition.off.iter().filter_map(|id| graph.number(*id)) {
                open[number] = graph.parts[number].kind == PartKind::Breaker;
            }
        }
        Self {
            graph,
            system: installation.system,
            condition,
            chosen_source,
            open,
            charger: (0..count).map(|p| graph.is_charger(p)).collect(),
            inlet: vec![NONE; count],
            carries: vec![false; graph.links.len()],
            root: vec![NONE; count],
            feed: vec![None; count],
            leg: vec![None; count],
            label: vec![NONE; count],
            order: Vec::with_capacity(count),
            roots: Vec::new(),
            missing: BTreeSet::new(),
            parallel: BTreeMap::new(),
        }
    }

    /// Sets the selectors: each takes the inlet from which the nearest feeding source is reached, along cables as drawn.
    /// Then notes which cables carry.
    fn choose(&mut self) {
        let graph = self.graph;
        let count = graph.parts.len();
        let mut hops = vec![NONE; count];
        let mut nearest = vec![NONE; count];
        let mut queue: VecDeque<usize> = (0..count).filter(|&p| self.chosen_source[p]).collect();
        for &source in &queue {
            hops[source] = 0;
            nearest[source] = source;
        }
        while let Some(at) = queue.pop_front() {
            for link in graph.leaving(at) {
                if hops[link.to] == NONE {
                    hops[link.to] = hops[at] + 1;
                    nearest[link.to] = nearest[at];
                    queue.push_back(link.to);
                }
            }
        }
        let mut downstream: HashMap<usize, Vec<bool>> = HashMap::new();
        for selector in (0..count).filter(|&p| graph.parts[p].kind == PartKind::Selector) {
            let reached: Vec<Link> = graph.feeding(selector).filter(|l| hops[l.from] != NONE).collect();
            if let Some(best) = reached.iter().min_by_key(|l| (hops[l.from], l.cable)) {
                self.inlet[selector] = best.cable;
            }
            let sources: BTreeSet<usize> = reached.iter().map(|l| nearest[l.from]).collect();
            let mut unrelated = BTreeSet::new();
            for &a in &sources {
                for &b in sources.range((Bound::Excluded(a), Bound::Unbounded)) {
                    if !self.is_upstream(&mut downstream, a, b) && !self.is_upstream(&mut downstream, b, a) {
                        unrelated.extend([a, b]);
                    }
                }
            }
            if !unrelated.is_empty() {
                self.parallel.entry(selector).or_default().extend(unrelated);
            }
        }
        for link in &graph.links {
            let from_open = self.open[link.from];
            let refused = graph.parts[link.to].kind == PartKind::Selector && self.inlet[link.to] != link.cable;
            self.carries[link.cable] = !from_open && !refused;
        }
    }

    /// True where one source lies upstream of another along cables as drawn.
    fn is_upstream(&self, known: &mut HashMap<usize, Vec<bool>>, above: usize, below: usize) -> bool {
        let reached = known.entry(above).or_insert_with(|| {
            let mut reached = vec![false; self.graph.parts.len()];
            reached[above] = true;
            let mut stack = vec![above];
            while let Some(at) = stack.pop() {
                for link in self.graph.leaving(at) {
                    if !std::mem::replace(&mut reached[link.to], true) {
                        stack.push(link.to);
                    }
                }
            }
            reached
        });
        reached[below]
    }

    /// Lets every source that feeds by itself feed: first those that take no input, then inverter-chargers whose input
    /// is not fed, those upstream before those downstream.
    fn spread_all(&mut self) {
        let count = self.graph.parts.len();
        let mut sources: Vec<usize> = (0..count).filter(|&p| self.chosen_source[p] && !self.charger[p]).collect();
        sources.sort_by(|&a, &b| self.by_tag(a, b));
        for source in sources {
            self.spread(source);
        }
        let left: Vec<usize> =
            (0..count).filter(|&p| self.chosen_source[p] && self.charger[p] && self.root[p] == NONE).collect();
        let ordered = if left.len() > 1 { self.upstream_first(left) } else { left };
        for source in ordered {
            if self.root[source] == NONE {
                self.spread(source);
            }
        }
    }

    fn upstream_first(&self, parts: Vec<usize>) -> Vec<usize> {
        let carrying = EdgeFiltered::from_fn(&self.graph.net, |e: petgraph::graph::EdgeReference<'_, usize, usize>| {
            self.carries[*e.weight()]
        });
        let Ok(sorted) = petgraph::algo::toposort(&carrying, None) else { return parts };
        let wanted: BTreeSet<usize> = parts.into_iter().collect();
        sorted.into_iter().map(NodeIndex::index).filter(|p| wanted.contains(p)).collect()
    }

    /// The order of tags. What one part feeds stands in it, so that the solve adds up alike whatever the order in the file.
    fn by_tag(&self, a: usize, b: usize) -> Ordering {
        natural_order(&self.graph.parts[a].tag, &self.graph.parts[b].tag).then(a.cmp(&b))
    }

    fn spread(&mut self, source: usize) {
        let graph = self.graph;
        if self.root[source] != NONE {
            return;
        }
        self.root[source] = source;
        self.leg[source] = Some(stated_leg(self.system, graph.parts[source], None));
        self.roots.push(source);
        let mut at = self.order.len();
        self.order.push(source);
        let mut links = Vec::new();
        while let Some(&part) = self.order.get(at) {
            at += 1;
            let Some(leg) = self.leg[part] else { continue };
            links.clear();
            links.extend(graph.leaving(part).filter(|l| self.carries[l.cable]));
            links.sort_by(|a: &Link, b| self.by_tag(a.to, b.to).then(a.cable.cmp(&b.cable)));
            for &link in &links {
                if self.root[link.to] != NONE {
                    continue;
                }
                match fed_leg(self.system, graph.parts[link.to], leg) {
                    Some(fed) => {
                        self.root[link.to] = source;
                        self.feed[link.to] = Some(link);
                        self.leg[link.to] = Some(fed);
                        self.order.push(link.to);
                    }
                    None => {
                        self.missing.insert(link.to);
                    }
                }
            }
        }
    }

    /// Lets all sources, chosen or not, spread together, and notes where two of them meet. The input of an
    /// inverter-charger that does not pass it through is no meeting: its own switch stands between.
    fn meet(&mut self) {
        let graph = self.graph;
        let mut queue = VecDeque::new();
        for (part, data) in graph.parts.iter().enumerate() {
            let passes = self.charger[part] && self.feed[part].is_some();
            if data.kind.is_source() && !passes {
                self.label[part] = part;
                queue.push_back(part);
            }
        }
        while let Some(part) = queue.pop_front() {
            for link in graph.leaving(part).filter(|l| self.carries[l.cable]) {
                let to = link.to;
                if self.charger[to] && self.label[to] == to {
                    continue;
                }
                if self.label[to] == NONE {
                    self.label[to] = self.label[part];
                    queue.push_back(to);
                } else if self.label[to] != self.label[part] {
                    self.parallel.entry(to).or_default().extend([self.label[to], self.label[part]]);
                }
            }
        }
    }

    /// Legs of what is not fed, by the first cable drawn (a selector's: the one in use).
    fn resolve_legs(&mut self) {
        let graph = self.graph;
        for start in 0..graph.parts.len() {
            let mut chain = Vec::new();
            let mut on_chain = BTreeSet::new();
            let mut at = start;
            let mut above = None;
            while self.leg[at].is_none() {
                if !on_chain.insert(at) {
                    break;
                }
                chain.push(at);
                let chosen = graph.feeding(at).find(|l| self.inlet[at] == NONE || self.inlet[at] == l.cable);
                match chosen {
                    Some(link) => at = link.from,
                    None => break,
                }
            }
            if let Some(leg) = self.leg[at] {
                above = Some(leg);
            }
            while let Some(part) = chain.pop() {
                let data = graph.parts[part];
                let leg = above
                    .and_then(|feed| fed_leg(self.system, data, feed))
                    .unwrap_or_else(|| stated_leg(self.system, data, above));
                self.leg[part] = Some(leg);
                above = Some(leg);
            }
        }
    }

    fn finish(mut self) -> Walk {
        self.resolve_legs();
        let graph = self.graph;
        let id = |p: usize| graph.ids[p];
        let ids = |parts: &[usize]| parts.iter().map(|&p| id(p)).collect::<Vec<PartId>>();
        let mut faults: Vec<Fault> =
            rings(graph, &self.carries).iter().map(|ring| Fault::Loop { parts: ids(ring) }).collect();
        for (at, sources) in &self.parallel {
            faults.push(Fault::Parallel { sources: sources.iter().map(|&p| id(p)).collect(), at: id(*at) });
        }
        let reach_of = |p: usize| {
            if self.root[p] != NONE {
                Reach::Fed(id(self.root[p]))
            } else if self.label[p] != NONE && self.root[self.label[p]] == NONE {
                Reach::MayBeLive
            } else {
                Reach::NotFed
            }
        };
        let mut roots = ids(&self.roots);
        roots.sort();
        Walk {
            condition: self.condition,
            roots,
            order: ids(&self.order),
            feeds: (0..graph.parts.len())
                .filter_map(|p| {
                    let link = self.feed[p]?;
                    Some((id(p), Feed { cable: graph.cables[link.cable].0, from: id(link.from) }))
                })
                .collect(),
            reach: (0..graph.parts.len()).map(|p| (id(p), reach_of(p))).collect(),
            legs: (0..graph.parts.len()).filter_map(|p| self.leg[p].map(|leg| (id(p), leg))).collect(),
            chosen: (0..graph.parts.len())
                .filter(|&p| self.inlet[p] != NONE)
                .map(|p| (id(p), graph.cables[self.inlet[p]].0))
                .collect(),
            faults,
            islands: islands(graph).iter().map(|group| ids(group)).collect(),
            without_feed: (0..graph.parts.len())
                .filter(|&p| !graph.parts[p].kind.is_source() && !graph.has_feed(p))
                .map(id)
                .collect(),
            missing_conductors: self.missing.iter().filter(|&&p| self.root[p] == NONE).map(|&p| id(p)).collect(),
        }
    }
}

#[cfg(test)]
mod tests;
