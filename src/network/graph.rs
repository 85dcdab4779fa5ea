//! The installation as a petgraph graph: a node a part, an edge a cable, both numbered in the order of their ids.

use crate::installation::{Cable, CableId, Installation, Part, PartId, PartKind};
use petgraph::Direction::{Incoming, Outgoing};
use petgraph::graph::{DiGraph, NodeIndex};

/// A cable by number, with the numbers of the parts that it joins.
#[derive(Clone, Copy, Debug)]
pub(super) struct Link {
    pub(super) cable: usize,
    pub(super) from: usize,
    pub(super) to: usize,
}

/// The whole drawing, whatever is switched.
pub(super) struct Graph<'a> {
    pub(super) ids: Vec<PartId>,
    pub(super) parts: Vec<&'a Part>,
    pub(super) cables: Vec<(CableId, &'a Cable)>,
    /// Ends of each cable.
    pub(super) links: Vec<Link>,
    /// Node weights are part numbers, edge weights cable numbers.
    pub(super) net: DiGraph<usize, usize, usize>,
}

impl<'a> Graph<'a> {
    /// Builds the graph; cables with an end that does not exist are left out.
    pub(super) fn new(installation: &'a Installation) -> Self {
        let ids: Vec<PartId> = installation.parts.keys().copied().collect();
        let parts: Vec<&Part> = installation.parts.values().map(AsRef::as_ref).collect();
        let mut cables = Vec::with_capacity(installation.cables.len());
        let mut links = Vec::with_capacity(installation.cables.len());
        for (id, cable) in &installation.cables {
            if let (Ok(from), Ok(to)) = (ids.binary_search(&cable.from), ids.binary_search(&cable.to)) {
                links.push(Link { cable: cables.len(), from, to });
                cables.push((*id, cable.as_ref()));
            }
        }
        let mut net = DiGraph::with_capacity(parts.len(), links.len());
        for number in 0..parts.len() {
            net.add_node(number);
        }
        // petgraph gives the edges of a node youngest first: added in reverse, they come in the order of their ids.
        for link in links.iter().rev() {
            net.add_edge(NodeIndex::new(link.from), NodeIndex::new(link.to), link.cable);
        }
        Self { ids, parts, cables, links, net }
    }

    /// Number of a part.
    pub(super) fn number(&self, id: PartId) -> Option<usize> {
        self.ids.binary_search(&id).ok()
    }

    /// Cables that leave a part, in the order of their ids.
    pub(super) fn leaving(&self, part: usize) -> impl Iterator<Item = Link> + '_ {
        self.net.edges_directed(NodeIndex::new(part), Outgoing).map(|e| self.links[*e.weight()])
    }

    /// Cables that feed a part, in the order of their ids.
    pub(super) fn feeding(&self, part: usize) -> impl Iterator<Item = Link> + '_ {
        self.net.edges_directed(NodeIndex::new(part), Incoming).map(|e| self.links[*e.weight()])
    }

    /// True where a cable feeds the part.
    pub(super) fn has_feed(&self, part: usize) -> bool {
        self.net.edges_directed(NodeIndex::new(part), Incoming).next().is_some()
    }

    /// True for an inverter with a feed.
    pub(super) fn is_charger(&self, part: usize) -> bool {
        self.parts[part].kind == PartKind::Inverter && self.has_feed(part)
    }
}
