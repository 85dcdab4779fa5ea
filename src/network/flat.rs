//! The network of one condition on flat arrays, in parent-first order: built once, solved as often as loads switch.

use super::beside::Beside;
use super::impedance::conductor_ohms;
use super::legs::feeding_leg;
use super::sweep::{Flow, Kernel, Verdict};
use super::walk::Walk;
use crate::installation::{CableData, CableId, Installation, Leg, LoadKind, Part, PartId, PartKind, System};
use crate::units::Complex;

/// Marks a part without a parent.
pub(super) const NO_PARENT: usize = usize::MAX;

/// What a part draws when it is on: constant power, or constant admittance.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub(super) struct Load {
    /// Constant volt-amperes, P + jQ.
    pub(super) power: Complex,
    /// Constant admittance, siemens.
    pub(super) admittance: Complex,
}

/// A fed part on the flat arrays.
#[derive(Clone, Debug)]
pub(super) struct Node {
    pub(super) part: PartId,
    pub(super) parent: usize,
    /// The cable that feeds it; a root has none.
    pub(super) feed: Option<CableId>,
    /// Impedance of each conductor of the cable that feeds it (a root: of its cord).
    pub(super) z: Complex,
    /// False where size or length of that cable is not known.
    pub(super) z_known: bool,
    /// False where any cable up to the source is not known.
    pub(super) path_known: bool,
    /// Secondary to primary of a transformer; `None` for every other part.
    pub(super) ratio: Option<f64>,
    /// Ratios of all transformers upstream, multiplied.
    pub(super) scale: f64,
    /// No-load volts, line to neutral, of its source.
    pub(super) source_v: f64,
    /// The conductors that feed it.
    pub(super) leg: Leg,
    pub(super) load: Load,
}

/// What is known of the cable that feeds a part: a root that is a shore inlet has its cord.
fn cable_data<'a>(installation: &'a Installation, part: &'a Part, feed: Option<CableId>) -> &'a CableData {
    static NONE: CableData = CableData::NONE;
    match feed {
        Some(cable) => installation.cables.get(&cable).map_or(&NONE, |c| &c.data),
        None if part.kind == PartKind::ShoreInlet => &part.cord,
        None => &NONE,
    }
}

impl Node {
    /// What is known of the cable that feeds it.
    pub(super) fn cable_data<'a>(&self, installation: &'a Installation) -> &'a CableData {
        static NONE: CableData = CableData::NONE;
        installation.parts.get(&self.part).map_or(&NONE, |part| cable_data(installation, part, self.feed))
    }
}

/// The fed parts of one condition, parents first, with their cables and loads.
#[derive(Clone, Debug)]
pub struct Network {
    pub(super) nodes: Vec<Node>,
    pub(super) kernel: Wires,
    /// Positions in the order of ids.
    by_id: Vec<(PartId, usize)>,
    on: Vec<bool>,
    solvable: bool,
}

/// The numeric form: one loop voltage a part, or two.
#[derive(Clone, Debug)]
pub(super) enum Wires {
    Two(Kernel<1>),
    Three(Kernel<2>),
}

/// Working memory of a solve: what is switched on, and the voltages and currents last found.
#[derive(Clone, Debug)]
pub struct State {
    /// By position in the walk's order: false takes the part's load away. Starts as the condition has it.
    pub on: Vec<bool>,
    pub(super) flow: Flows,
}

#[derive(Clone, Debug)]
pub(super) enum Flows {
    Two(Flow<1>),
    Three(Flow<2>),
}

/// How a solve ended.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Outcome {
    /// Settled to 1e-9 of nominal or better.
    Settled {
        /// Sweeps taken.
        sweeps: u32,
    },
    /// There is no solution; this part is the one that cannot be supplied.
    NoSolution {
        /// The part.
        part: PartId,
    },
    /// Loops or parallel sources: there is nothing to solve.
    Refused,
}

impl Network {
    /// Puts what the walk reached on flat arrays.
    #[must_use]
    pub fn new(installation: &Installation, walk: &Walk) -> Self {
        let system = installation.system;
        let mut by_id: Vec<(PartId, usize)> = walk.order.iter().enumerate().map(|(at, id)| (*id, at)).collect();
        by_id.sort_unstable();
        let position = |id: PartId| by_id.binary_search_by_key(&id, |(id, _)| *id).ok().map(|n| by_id[n].1);
        // The maps are gone through once, in the order of ids, and not looked into for each part.
        let mut found = vec![(None, None, None); walk.order.len()];
        let (mut parts, mut feeds, mut legs) =
            (Beside::new(&installation.parts), Beside::new(&walk.feeds), Beside::new(&walk.legs));
        for (id, at) in &by_id {
            found[*at] = (parts.at(id), feeds.at(id), legs.at(id));
        }
        let mut nodes: Vec<Node> = Vec::with_capacity(walk.order.len());
        let mut on = Vec::with_capacity(walk.order.len());
        for (id, (part, feed, leg)) in walk.order.iter().zip(found) {
            let Some(part) = part else { continue };
            let parent = feed.and_then(|f| position(f.from)).unwrap_or(NO_PARENT);
            let feed_cable = feed.map(|f| f.cable);
            let z = conductor_ohms(cable_data(installation, part, feed_cable), system, installation.resistance);
            let above = nodes.get(parent);
            let leg = leg.copied().unwrap_or(Leg::L1);
            let transformer = part.kind == PartKind::IsolationTransformer;
            let switched_on = part.kind != PartKind::Appliance || installation.is_on(*id, walk.condition);
            nodes.push(Node {
                part: *id,
                parent,
                feed: feed_cable,
                z: z.unwrap_or_default(),
                z_known: z.is_some(),
                path_known: z.is_some() && above.is_none_or(|a| a.path_known),
                ratio: transformer.then(|| part.volts(system) / system.nominal_v()),
                scale: above.map_or(1.0, |a| a.scale * a.ratio.unwrap_or(1.0)),
                source_v: above.map_or_else(|| part.volts(system), |a| a.source_v),
                leg: feeding_leg(system, part, leg),
                load: load_of(system, part, leg, feed.is_some()),
            });
            on.push(switched_on);
        }
        let kernel = if system.is_split_phase() {
            Wires::Three(Kernel::new(&nodes, system.nominal_v()))
        } else {
            Wires::Two(Kernel::new(&nodes, system.nominal_v()))
        };
        Self { nodes, kernel, by_id, on, solvable: walk.faults.is_empty() }
    }

    /// Working memory, with loads switched as the condition has them.
    #[must_use]
    pub fn state(&self) -> State {
        let flow = match &self.kernel {
            Wires::Two(kernel) => Flows::Two(kernel.flow()),
            Wires::Three(kernel) => Flows::Three(kernel.flow()),
        };
        State { on: self.on.clone(), flow }
    }

    /// Positions of fed parts, in the order of ids.
    pub(super) fn by_id(&self) -> &[(PartId, usize)] {
        &self.by_id
    }

    /// False where loops or parallel sources leave nothing to solve.
    pub(super) const fn is_solvable(&self) -> bool {
        self.solvable
    }

    /// What is on, by position, as the condition has it.
    pub(super) fn switched(&self) -> &[bool] {
        &self.on
    }

    /// Puts switches in other positions, as far as they are given.
    pub(super) fn switch(&mut self, on: &[bool]) {
        for (own, on) in self.on.iter_mut().zip(on) {
            *own = *on;
        }
    }

    /// Position of a fed part.
    #[must_use]
    pub fn position(&self, part: PartId) -> Option<usize> {
        self.by_id.binary_search_by_key(&part, |(id, _)| *id).ok().map(|n| self.by_id[n].1)
    }

    /// Position of the part that a cable in use feeds. Time: a look at each part.
    pub(super) fn fed_by(&self, cable: CableId) -> Option<usize> {
        self.nodes.iter().position(|n| n.feed == Some(cable))
    }

    /// Solves for what is on in `state`, and leaves voltages and currents there.
    pub fn solve(&self, state: &mut State) -> Outcome {
        if !self.solvable {
            return Outcome::Refused;
        }
        let verdict = match (&self.kernel, &mut state.flow) {
            (Wires::Two(kernel), Flows::Two(flow)) => kernel.solve(flow, &state.on),
            (Wires::Three(kernel), Flows::Three(flow)) => kernel.solve(flow, &state.on),
            _ => return Outcome::Refused,
        };
        match verdict {
            Verdict::Settled { sweeps } => Outcome::Settled { sweeps },
            Verdict::NoSolution { node } => {
                self.nodes.get(node).map_or(Outcome::Refused, |n| Outcome::NoSolution { part: n.part })
            }
        }
    }

    /// Takes over what a part draws now; nothing else of it may have changed.
    pub(super) fn set_load(&mut self, installation: &Installation, leg: Leg, at: usize) {
        let Some(node) = self.nodes.get_mut(at) else { return };
        let Some(part) = installation.parts.get(&node.part) else { return };
        node.load = load_of(installation.system, part, leg, node.feed.is_some());
        match &mut self.kernel {
            Wires::Two(kernel) => kernel.set_load(at, &node.load),
            Wires::Three(kernel) => kernel.set_load(at, &node.load),
        }
    }

    /// Takes over the ohms of the cable that feeds a part; false where they were known and are not, or the other way.
    pub(super) fn set_cable(&mut self, installation: &Installation, at: usize) -> bool {
        let Some(node) = self.nodes.get_mut(at) else { return false };
        let z = conductor_ohms(node.cable_data(installation), installation.system, installation.resistance);
        if z.is_some() != node.z_known {
            return false;
        }
        node.z = z.unwrap_or_default();
        match &mut self.kernel {
            Wires::Two(kernel) => kernel.z[at] = node.z,
            Wires::Three(kernel) => kernel.z[at] = node.z,
        }
        true
    }

    /// Loop voltages of the part at a position, as last solved: L1 to neutral and L2 to neutral (two wires: the first).
    #[must_use]
    pub fn voltages(&self, state: &State, position: usize) -> Option<(Complex, Complex)> {
        match &state.flow {
            Flows::Two(flow) => flow.v.get(position).map(|v| (v[0], Complex::default())),
            Flows::Three(flow) => flow.v.get(position).map(|v| (v[0], v[1])),
        }
    }

    /// Line currents into the part at a position, as last solved (a source: out of it).
    #[must_use]
    pub fn currents(&self, state: &State, position: usize) -> Option<(Complex, Complex)> {
        match &state.flow {
            Flows::Two(flow) => flow.i.get(position).map(|i| (i[0], Complex::default())),
            Flows::Three(flow) => flow.i.get(position).map(|i| (i[0], i[1])),
        }
    }

    /// Ohms of each conductor of the cable that feeds the part at a position (a shore inlet: of its cord); 0 where there is
    /// none or it is not known.
    #[must_use]
    pub fn impedance(&self, position: usize) -> Complex {
        self.nodes.get(position).map_or_else(Complex::default, |n| n.z)
    }

    /// The conductors that feed the part at a position.
    #[must_use]
    pub fn leg(&self, position: usize) -> Option<Leg> {
        self.nodes.get(position).map(|n| n.leg)
    }

    /// Voltage magnitude at the load of the part at a position, in per cent of what its watts are rated at.
    #[must_use]
    pub fn load_percent_of_nominal(&self, state: &State, position: usize, nominal_v: f64) -> Option<f64> {
        let (l1, l2) = self.voltages(state, position)?;
        let leg = self.leg(position)?;
        let lines = if matches!(leg, Leg::L1L2 | Leg::L1L2N) { 2.0 } else { 1.0 };
        Some(100.0 * super::solution::Voltages { l1, l2 }.across(leg).norm() / (lines * nominal_v))
    }

    /// Watts that a source at a position delivers at its terminals (shore: at the pedestal), or that flow into any other
    /// part, as last solved.
    #[must_use]
    pub fn source_watts(&self, state: &State, position: usize) -> Option<f64> {
        let (mut u1, mut u2) = self.voltages(state, position)?;
        let (i1, i2) = self.currents(state, position)?;
        let node = self.nodes.get(position)?;
        if node.parent == NO_PARENT {
            let second = if matches!(self.kernel, Wires::Three(_)) { -node.source_v } else { 0.0 };
            (u1, u2) = (Complex::new(node.source_v, 0.0), Complex::new(second, 0.0));
        }
        Some((u1 * i1.conj() + u2 * i2.conj()).re)
    }

    /// Voltage magnitude between the conductors that feed the part at a position, in per cent of nominal, transformer
    /// ratios taken out.
    #[must_use]
    pub fn percent_of_nominal(&self, state: &State, position: usize, nominal_v: f64) -> Option<f64> {
        let node = self.nodes.get(position)?;
        let (l1, l2) = self.voltages(state, position)?;
        let (volts, lines) = match node.leg {
            Leg::L1 => (l1, 1.0),
            Leg::L2 => (l2, 1.0),
            Leg::L1L2 | Leg::L1L2N => (l1 - l2, 2.0),
        };
        Some(100.0 * volts.norm() / (node.scale * lines * nominal_v))
    }
}

/// What a part draws when it is on; an inverter that is fed charges.
fn load_of(system: System, part: &Part, leg: Leg, fed: bool) -> Load {
    let lines = if matches!(leg, Leg::L1L2 | Leg::L1L2N) { 2.0 } else { 1.0 };
    match part.kind {
        PartKind::Appliance => load(part.run_w.unwrap_or(0.0), part.pf(), part.load_kind, lines * system.nominal_v()),
        PartKind::Inverter if fed => load(part.charge_w, part.pf(), LoadKind::Power, 1.0),
        _ => Load::default(),
    }
}

/// The load of an appliance: P + jQ with Q = P tan(acos pf), lagging positive; an impedance draws that at `rated_v`.
fn load(watts: f64, pf: f64, kind: LoadKind, rated_v: f64) -> Load {
    let vars = watts * (1.0 - pf * pf).max(0.0).sqrt() / pf;
    let s = Complex::new(watts, vars);
    match kind {
        LoadKind::Power | LoadKind::Motor => Load { power: s, admittance: Complex::default() },
        LoadKind::Impedance => Load { power: Complex::default(), admittance: s.conj() / (rated_v * rated_v) },
    }
}

#[cfg(test)]
mod tests;
