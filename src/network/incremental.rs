//! The solve of a drawing that is being edited: it remembers the last one and does again only what an edit can have changed.
//!
//! The sweeps themselves always begin from no load. From the last voltages they would save little, and the answer would
//! depend on what was before, in its last digits.

use super::flat::{Network, State};
use super::reach::walk;
use super::solution::Solution;
use super::walk::Walk;
use crate::installation::{
    Cable, CableData, CableId, Condition, Installation, Leg, Part, PartId, PartKind, ResistanceBasis, System,
};
use std::collections::BTreeMap;
use std::sync::Arc;

/// What the last solve had to do.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Effort {
    /// Nothing that the solve reads was changed: the solution is the last one.
    Nothing,
    /// Loads, switches of appliances or ohms of cables were changed: sweeps on the same network.
    Again,
    /// Anything else: the walk, the network and the solve, from the beginning.
    #[default]
    Whole,
}

/// Solves one state of a drawing after another. The answer is the one of [`super::solve`], to the last bit, whatever came before; any drawing and condition will do, another one is only slower.
#[derive(Debug, Default)]
pub struct Solver {
    last: Option<Last>,
    effort: Effort,
}

/// A solved state.
#[derive(Debug)]
struct Last {
    system: System,
    resistance: ResistanceBasis,
    parts: BTreeMap<PartId, Arc<Part>>,
    cables: BTreeMap<CableId, Arc<Cable>>,
    condition: usize,
    state_of_use: Option<Condition>,
    walk: Arc<Walk>,
    network: Network,
    state: State,
    solution: Arc<Solution>,
}

/// What differs between two states, where the network stays as it is.
#[derive(Debug, Default)]
struct Changes {
    /// Parts whose load was changed or switched.
    loads: Vec<PartId>,
    /// Cables whose ohms were changed.
    cables: Vec<CableId>,
    /// Parts and cables that were replaced by equal ones, as far as the solve reads them.
    unread: usize,
}

/// So many unread changes are taken over, so that telling them apart stays quick.
const MOST_UNREAD: usize = 64;

impl Solver {
    /// Solves one condition of a drawing as it is now.
    pub fn solve(&mut self, installation: &Installation, condition: usize) -> Arc<Solution> {
        let last = self.last.take();
        let found = last.and_then(|last| {
            let changes = last.changes(installation, condition)?;
            last.again(installation, &changes)
        });
        let (last, effort) = found.unwrap_or_else(|| (Last::new(installation, condition), Effort::Whole));
        self.effort = effort;
        let solution = Arc::clone(&last.solution);
        self.last = Some(last);
        solution
    }

    /// What the last call had to do.
    #[must_use]
    pub const fn effort(&self) -> Effort {
        self.effort
    }
}

impl Last {
    fn new(installation: &Installation, condition: usize) -> Self {
        let walk = Arc::new(walk(installation, condition));
        let network = Network::new(installation, &walk);
        let mut state = network.state();
        let outcome = network.solve(&mut state);
        let solution = Arc::new(network.solution(installation, Arc::clone(&walk), &state, outcome));
        Self {
            system: installation.system,
            resistance: installation.resistance,
            parts: installation.parts.clone(),
            cables: installation.cables.clone(),
            condition,
            state_of_use: installation.conditions.get(condition).cloned(),
            walk,
            network,
            state,
            solution,
        }
    }

    /// What differs; `None` where the network is another one.
    fn changes(&self, installation: &Installation, condition: usize) -> Option<Changes> {
        let now = installation.conditions.get(condition);
        let same = self.system == installation.system
            && self.resistance == installation.resistance
            && self.condition == condition
            && self.parts.len() == installation.parts.len()
            && self.cables.len() == installation.cables.len()
            && self.state_of_use.as_ref().map(|c| &c.feeding) == now.map(|c| &c.feeding);
        if !same {
            return None;
        }
        let mut changes = Changes::default();
        for ((id, old), (other, new)) in self.parts.iter().zip(&installation.parts) {
            if id != other {
                return None;
            }
            if !Arc::ptr_eq(old, new) {
                match part_change(old, new)? {
                    true => changes.loads.push(*id),
                    false => changes.unread += 1,
                }
            }
        }
        for ((id, old), (other, new)) in self.cables.iter().zip(&installation.cables) {
            if id != other {
                return None;
            }
            if !Arc::ptr_eq(old, new) {
                match cable_change(old, new)? {
                    true => changes.cables.push(*id),
                    false => changes.unread += 1,
                }
            }
        }
        if let (Some(old), Some(new)) = (&self.state_of_use, now) {
            for id in old.off.symmetric_difference(&new.off) {
                match installation.parts.get(id).map(|part| part.kind) {
                    Some(PartKind::Breaker) => return None,
                    Some(PartKind::Appliance) => changes.loads.push(*id),
                    _ => {}
                }
            }
        }
        Some(changes)
    }

    /// Takes changes over and solves again; `None` where that is for a whole solve.
    fn again(mut self, installation: &Installation, changes: &Changes) -> Option<(Self, Effort)> {
        let effort =
            if changes.loads.is_empty() && changes.cables.is_empty() { Effort::Nothing } else { Effort::Again };
        if effort == Effort::Again {
            for part in &changes.loads {
                let Some(at) = self.network.position(*part) else { continue };
                let leg = self.walk.legs.get(part).copied().unwrap_or(Leg::L1);
                self.network.set_load(installation, leg, at);
                let appliance = installation.parts.get(part).is_some_and(|p| p.kind == PartKind::Appliance);
                self.state.on[at] = !appliance || installation.is_on(*part, self.condition);
            }
            for cable in &changes.cables {
                if let Some(at) = self.network.fed_by(*cable)
                    && !self.network.set_cable(installation, at)
                {
                    return None;
                }
            }
            self.network.switch(&self.state.on);
            let outcome = self.network.solve(&mut self.state);
            let solution = self.network.solution(installation, Arc::clone(&self.walk), &self.state, outcome);
            self.solution = Arc::new(solution);
        }
        if changes.unread > MOST_UNREAD {
            self.parts.clone_from(&installation.parts);
            self.cables.clone_from(&installation.cables);
        }
        for id in &changes.loads {
            copy(&installation.parts, &mut self.parts, id);
        }
        for id in &changes.cables {
            copy(&installation.cables, &mut self.cables, id);
        }
        if effort == Effort::Again {
            self.state_of_use = installation.conditions.get(self.condition).cloned();
        }
        Some((self, effort))
    }
}

/// Takes one entry over.
fn copy<K: Ord + Copy, V>(from: &BTreeMap<K, Arc<V>>, to: &mut BTreeMap<K, Arc<V>>, key: &K) {
    if let Some(value) = from.get(key) {
        to.insert(*key, Arc::clone(value));
    }
}

/// True where what a part draws was changed, false where nothing was that the solve reads; `None` for anything else. A field
/// that is added to parts must be named here, or this does not compile.
fn part_change(old: &Part, new: &Part) -> Option<bool> {
    let Part {
        tag,
        kind,
        volts,
        run_w,
        pf,
        load_kind,
        charge_w,
        rating_a,
        leg,
        cord,
        status,
        label: _,
        place: _,
        start_w: _,
        start_va: _,
        start_s: _,
        volts_min: _,
        volts_max: _,
        hz: _,
        cycles: _,
        continuous: _,
        lighting: _,
        duty: _,
        poles: _,
        trip: _,
        interrupting_ka: _,
        protection: _,
        bonded: _,
        portable: _,
        must_run: _,
        fuel: _,
        tank_l: _,
        fuel_curve: _,
        mirrored: _,
        set_data: _,
        note: _,
        origins: _,
        extra: _,
    } = old;
    // Tags give the order in which currents add up.
    let network = (tag, kind, volts, leg, status) == (&new.tag, &new.kind, &new.volts, &new.leg, &new.status)
        && !cable_data_change(cord, &new.cord);
    let rated = (run_w, rating_a) == (&new.run_w, &new.rating_a);
    if !network || (kind.is_source() && !rated) {
        return None;
    }
    Some(match kind {
        PartKind::Appliance => (run_w, pf, load_kind) != (&new.run_w, &new.pf, &new.load_kind),
        PartKind::Inverter => (charge_w, pf) != (&new.charge_w, &new.pf),
        _ => false,
    })
}

/// The same of a cable: true where its ohms were changed.
fn cable_change(old: &Cable, new: &Cable) -> Option<bool> {
    let Cable { from, to, data, status, tag: _, origins: _, extra: _ } = old;
    if (from, to, status) != (&new.from, &new.to, &new.status) {
        return None;
    }
    Some(cable_data_change(data, &new.data))
}

fn cable_data_change(old: &CableData, new: &CableData) -> bool {
    let CableData { conductor, length_m, insulation_c, bundled: _, sheathed: _, through: _ } = old;
    (conductor, length_m, insulation_c) != (&new.conductor, &new.length_m, &new.insulation_c)
}

#[cfg(test)]
mod tests;
