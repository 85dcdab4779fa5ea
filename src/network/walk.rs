//! The walk: what is fed from where in one operating condition, and what stands in the way of a solve.

use crate::installation::{CableId, Leg, PartId};
use std::collections::BTreeMap;

/// How a part stands in a condition.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Reach {
    /// Reached from this source, which feeds.
    Fed(PartId),
    /// A source that is not chosen, or what lies between it and the selector: may be live.
    MayBeLive,
    /// Not fed in this condition. Never to be called dead.
    NotFed,
}

/// What feeds a part in this condition.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Feed {
    /// The cable in use.
    pub cable: CableId,
    /// The part upstream.
    pub from: PartId,
}

/// What makes numbers impossible.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Fault {
    /// The parts of a ring.
    Loop {
        /// In the order of the ring.
        parts: Vec<PartId>,
    },
    /// Sources that meet without a selector between them.
    Parallel {
        /// The sources.
        sources: Vec<PartId>,
        /// Where they meet.
        at: PartId,
    },
}

/// What is fed from where in one condition.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Walk {
    /// Index of the condition.
    pub condition: usize,
    /// Sources that feed by themselves in this condition, sorted.
    pub roots: Vec<PartId>,
    /// Every fed part, parents first; what one part feeds stands side by side, in the order of tags.
    pub order: Vec<PartId>,
    /// What feeds each fed part that is no root.
    pub feeds: BTreeMap<PartId, Feed>,
    /// How every part of the installation stands.
    pub reach: BTreeMap<PartId, Reach>,
    /// The leg of every part, defaults resolved (split-phase; elsewhere L1).
    pub legs: BTreeMap<PartId, Leg>,
    /// The inlet that each selector passes, by the choice of sources; missing where it is off.
    pub chosen: BTreeMap<PartId, CableId>,
    /// Loops and parallel sources, in the whole drawing.
    pub faults: Vec<Fault>,
    /// Groups of two or more parts that hang together without any source.
    pub islands: Vec<Vec<PartId>>,
    /// Parts that are no source and that no cable feeds.
    pub without_feed: Vec<PartId>,
    /// Parts that ask for a conductor that their feed does not have (L2 below an L1 feed): not fed.
    pub missing_conductors: Vec<PartId>,
}

impl Walk {
    /// True where the part is fed in this condition.
    #[must_use]
    pub fn is_fed(&self, part: PartId) -> bool {
        matches!(self.reach.get(&part), Some(Reach::Fed(_)))
    }

    /// The source that feeds a part in this condition.
    #[must_use]
    pub fn root_of(&self, part: PartId) -> Option<PartId> {
        match self.reach.get(&part) {
            Some(Reach::Fed(root)) => Some(*root),
            _ => None,
        }
    }

    /// The part itself, then each part upstream, to the source. Empty where it is not fed.
    #[must_use]
    pub fn path_to_source(&self, part: PartId) -> Vec<PartId> {
        if !self.is_fed(part) {
            return Vec::new();
        }
        let mut path = vec![part];
        let mut at = part;
        while let Some(feed) = self.feeds.get(&at) {
            at = feed.from;
            path.push(at);
            if path.len() > self.feeds.len() + 1 {
                break;
            }
        }
        path
    }

    /// The fed parts that a part feeds directly, in the order of the walk.
    #[must_use]
    pub fn children(&self, part: PartId) -> Vec<PartId> {
        self.order.iter().copied().filter(|p| self.feeds.get(p).is_some_and(|f| f.from == part)).collect()
    }
}

#[cfg(test)]
mod tests {
    use crate::installation::PartKind::{Appliance, Generator, Panel};
    use crate::network::boats::{boats, draft};
    use crate::network::walk;

    #[test]
    fn a_path_goes_from_the_part_to_its_source() {
        let parts = [(Generator, "G1"), (Panel, "P1"), (Appliance, "E1"), (Appliance, "E2")];
        let (d, ids) = draft(&parts, &[(0, 1), (1, 2)], &[0]);
        let [g, p, e, alone] = ids[..] else { panic!("four parts") };
        let w = walk(&d.installation, 0);
        assert_eq!(w.path_to_source(e), [e, p, g]);
        assert_eq!(w.path_to_source(g), [g]);
        assert_eq!(w.path_to_source(alone), []);
        assert!(w.is_fed(e) && w.is_fed(g) && !w.is_fed(alone));
        assert_eq!((w.root_of(e), w.root_of(alone)), (Some(g), None));
    }

    #[test]
    fn what_a_part_feeds_stands_in_the_order_of_tags() {
        let [boat, ..] = boats();
        let w = walk(&boat.draft.installation, 0);
        assert_eq!(w.children(boat.panel), boat.loads);
        assert_eq!(w.children(boat.source), [boat.panel]);
        assert_eq!(w.children(boat.loads[0]), []);
    }
}
