//! The drawing as such, whatever the condition: what is joined to what, and which device guards which cable.

use crate::installation::{CableId, Installation, Part, PartId, PartKind};
use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

/// What kind of overcurrent device a guard is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum GuardKind {
    /// A breaker or fuse that is drawn.
    Breaker,
    /// The output breaker of a generator or inverter itself.
    Own,
    /// The breaker ashore, taken to be rated as the inlet.
    Shore,
}

/// The nearest overcurrent device upstream of a cable.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Guard {
    /// The part that it is, or that it belongs to.
    pub part: PartId,
    /// Its rating; `None` where it is not known (of a source: whether there is one is not known).
    pub rating_a: Option<f64>,
    /// What it is.
    pub kind: GuardKind,
}

/// Lookups that follow from the drawing alone. Parts that lie on a ring, or behind one, are missing from `order` and from
/// what follows from it: the loop is a finding of its own.
#[derive(Debug, Default, PartialEq)]
pub(super) struct Drawn {
    /// Cables into each part, in the order of their ids.
    pub arriving: BTreeMap<PartId, Vec<CableId>>,
    /// Cables out of each part, in the order of their ids.
    pub leaving: BTreeMap<PartId, Vec<CableId>>,
    /// Every part off a ring, each after all that feed it.
    pub order: Vec<PartId>,
    /// What guards the cables that leave each part: one guard for each way in which it can be fed.
    pub guards: BTreeMap<PartId, Arc<[Guard]>>,
    /// The cables of each guard.
    pub zones: BTreeMap<PartId, Vec<CableId>>,
    /// The largest leakage trip level, in mA, over all ways in which a part can be fed, of the smallest on each way;
    /// infinite where one way has none.
    pub leakage_ma: BTreeMap<PartId, f64>,
    /// Every source that can feed each part in some condition, the part itself included where it is one.
    pub roots: BTreeMap<PartId, Arc<[PartId]>>,
    /// The longest way of cable in metres from a guard to each part; `None` where a length on the way is not known.
    pub from_guard_m: BTreeMap<PartId, Option<f64>>,
}

impl Drawn {
    /// Built once, in time linear in the size of the drawing.
    pub(super) fn new(installation: &Installation) -> Self {
        let mut drawn = Self::default();
        let mut waits: BTreeMap<PartId, usize> = installation.parts.keys().map(|&p| (p, 0)).collect();
        for (&id, cable) in &installation.cables {
            drawn.arriving.entry(cable.to).or_default().push(id);
            drawn.leaving.entry(cable.from).or_default().push(id);
            if let Some(count) = waits.get_mut(&cable.to) {
                *count += 1;
            }
        }
        let mut ready: Vec<PartId> = waits.iter().filter(|(_, n)| **n == 0).map(|(p, _)| *p).collect();
        ready.reverse();
        while let Some(id) = ready.pop() {
            drawn.settle(installation, id);
            for cable in drawn.leaving.get(&id).into_iter().flatten() {
                let Some(to) = installation.cables.get(cable).map(|c| c.to) else { continue };
                if let Some(count) = waits.get_mut(&to) {
                    *count -= 1;
                    if *count == 0 {
                        ready.push(to);
                    }
                }
            }
        }
        drawn
    }

    /// Works out one part whose feeds are all worked out.
    fn settle(&mut self, installation: &Installation, id: PartId) {
        let Some(part) = installation.parts.get(&id) else { return };
        self.order.push(id);
        let feeds: Vec<PartId> = self
            .arriving
            .get(&id)
            .into_iter()
            .flatten()
            .filter_map(|c| installation.cables.get(c))
            .map(|c| c.from)
            .collect();
        let guards = self.guards_behind(id, part, &feeds);
        for guard in guards.iter() {
            let zone = self.zones.entry(guard.part).or_default();
            zone.extend(self.leaving.get(&id).into_iter().flatten().copied());
        }
        self.guards.insert(id, guards);
        let upstream = feeds
            .iter()
            .filter(|_| part.kind != PartKind::IsolationTransformer)
            .filter_map(|f| self.leakage_ma.get(f))
            .fold(None, |worst: Option<f64>, &ma| Some(worst.map_or(ma, |w| w.max(ma))))
            .unwrap_or(f64::INFINITY);
        self.roots.insert(id, self.roots_of(id, part, &feeds));
        self.from_guard_m.insert(id, self.way_from_guard(installation, id));
        self.leakage_ma.insert(id, part.protection.trip_ma().unwrap_or(f64::INFINITY).min(upstream));
    }

    fn roots_of(&self, id: PartId, part: &Part, feeds: &[PartId]) -> Arc<[PartId]> {
        if let [one] = feeds
            && !part.kind.is_source()
        {
            return self.roots.get(one).cloned().unwrap_or_else(|| Arc::from([]));
        }
        let mut all: Vec<PartId> =
            feeds.iter().filter_map(|f| self.roots.get(f)).flat_map(|r| r.iter().copied()).collect();
        if part.kind.is_source() {
            all.push(id);
        }
        all.sort_unstable();
        all.dedup();
        Arc::from(all)
    }

    fn way_from_guard(&self, installation: &Installation, id: PartId) -> Option<f64> {
        let mut longest: f64 = 0.0;
        for cable in self.arriving.get(&id).into_iter().flatten().filter_map(|c| installation.cables.get(c)) {
            let length = if cable.data.is_fitted() { cable.data.length_m? } else { 0.0 };
            let guards = |kind| matches!(kind, PartKind::Breaker) || PartKind::is_source(kind);
            let starts = installation.parts.get(&cable.from).is_some_and(|p| guards(p.kind));
            let before = if starts { 0.0 } else { self.from_guard_m.get(&cable.from).copied().flatten()? };
            longest = longest.max(before + length);
        }
        Some(longest)
    }

    fn guards_behind(&self, id: PartId, part: &Part, feeds: &[PartId]) -> Arc<[Guard]> {
        let own = |kind| Arc::from([Guard { part: id, rating_a: part.rating_a, kind }]);
        match part.kind {
            PartKind::Breaker => own(GuardKind::Breaker),
            PartKind::Generator | PartKind::Inverter => own(GuardKind::Own),
            PartKind::ShoreInlet => own(GuardKind::Shore),
            _ => match feeds {
                [] => Arc::from([]),
                [one] => self.guards.get(one).cloned().unwrap_or_else(|| Arc::from([])),
                many => {
                    let mut seen = BTreeSet::new();
                    let behind = many.iter().filter_map(|f| self.guards.get(f)).flat_map(|g| g.iter());
                    behind.filter(|guard| seen.insert(guard.part)).copied().collect()
                }
            },
        }
    }
}
