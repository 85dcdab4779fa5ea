//! A clean boat, and where a fault can be planted in it.

use hullwire::installation::{Cable, CableId, Installation, Part, PartId, PartKind, RuleSet, System};
use hullwire::network::{Solution, solve};
use hullwire::store::list::import;
use std::sync::Arc;

pub const BOATS: [&str; 3] = ["trawler", "sailing-boat", "motor-yacht"];

fn sample(name: &str) -> Installation {
    let path = format!("{}/samples/{name}.csv", env!("CARGO_MANIFEST_DIR"));
    let text = std::fs::read_to_string(path).unwrap_or_else(|e| panic!("{name}: {e}"));
    import(&text).unwrap_or_else(|problems| panic!("{problems:?}")).installation
}

/// A clean boat into which a fault is planted.
pub struct Boat {
    pub is: Installation,
    pub solution: Solution,
    pub choice: usize,
}

impl Boat {
    pub fn new(name: &str, choice: usize) -> Self {
        let is = sample(name);
        let solution = solve(&is, 0);
        Self { is, solution, choice }
    }

    pub fn us(&self) -> bool {
        self.is.rules == RuleSet::Us
    }

    pub fn split(&self) -> bool {
        self.is.system == System::SplitPhase
    }

    pub fn root(&self) -> PartId {
        self.solution.walk.roots[0]
    }

    pub fn part(&self, id: PartId) -> &Part {
        &self.is.parts[&id]
    }

    pub fn set(&mut self, id: PartId, how: impl FnOnce(&mut Part)) {
        if let Some(part) = self.is.parts.get_mut(&id) {
            how(Arc::make_mut(part));
        }
    }

    /// One of the parts of a kind for which something holds.
    pub fn any(&self, kind: PartKind, holds: impl Fn(&Self, PartId) -> bool) -> Option<PartId> {
        let all: Vec<PartId> =
            self.is.parts.iter().filter(|(id, p)| p.kind == kind && holds(self, **id)).map(|(id, _)| *id).collect();
        (!all.is_empty()).then(|| all[self.choice % all.len()])
    }

    pub fn feed(&self, id: PartId) -> Option<CableId> {
        self.is.feeds_of(id).next().map(|(id, _)| id)
    }

    pub fn upstream(&self, id: PartId) -> Option<PartId> {
        self.is.feeds_of(id).next().map(|(_, c)| c.from)
    }

    pub fn leads_to(&self, id: PartId) -> Vec<PartId> {
        self.is.cables.values().filter(|c| c.from == id).map(|c| c.to).collect()
    }

    pub fn set_cable(&mut self, id: CableId, how: impl FnOnce(&mut Cable)) {
        if let Some(cable) = self.is.cables.get_mut(&id) {
            how(Arc::make_mut(cable));
        }
    }

    pub fn runs(&self, id: PartId) -> bool {
        self.solution.walk.is_fed(id) && self.is.is_on(id, 0) && self.part(id).run_w.is_some()
    }

    /// An appliance that runs on a cable of its own.
    pub fn cabled(&self) -> Option<PartId> {
        self.any(PartKind::Appliance, |b, id| b.runs(id) && b.is.feeds_of(id).any(|(_, c)| c.data.size().is_some()))
    }

    pub fn amps(&self, id: PartId) -> f64 {
        self.solution.parts.get(&id).and_then(|f| f.amps).unwrap_or(0.0)
    }

    /// The breaker next to the shore inlet.
    pub fn main(&self) -> Option<(PartId, PartId)> {
        let main = self
            .any(PartKind::Breaker, |b, id| b.upstream(id).is_some_and(|up| b.part(up).kind == PartKind::ShoreInlet))?;
        Some((main, self.upstream(main)?))
    }
}

/// The rule meant for a planted fault, and the part that its finding must name.
pub type Planted = Option<(&'static str, PartId)>;

/// A kind of fault: its name, and how it is planted; `None` where the boat has no place for it.
pub type Fault = (&'static str, fn(&mut Boat) -> Planted);
