//! One call from an installation and a condition to the solved figures.

use super::flat::{NO_PARENT, Network, Outcome, State};
use super::reach::walk;
use super::solution::{CableFlow, Currents, PartFlow, Solution, SourceFlow, Voltages};
use super::walk::Walk;
use crate::installation::{Installation, Leg, Part, PartId, PartKind};
use crate::units::Complex;
use std::collections::BTreeMap;
use std::sync::Arc;

/// Walks, builds and solves one condition.
#[must_use]
pub fn solve(installation: &Installation, condition: usize) -> Solution {
    let walk = walk(installation, condition);
    let network = Network::new(installation, &walk);
    let mut state = network.state();
    let outcome = network.solve(&mut state);
    network.solution(installation, walk, &state, outcome)
}

impl Network {
    /// The figures of a solve, by part and cable. All of them are `None` where there is no solution.
    #[must_use]
    pub fn solution(
        &self,
        installation: &Installation,
        walk: impl Into<Arc<Walk>>,
        state: &State,
        outcome: Outcome,
    ) -> Solution {
        let walk = walk.into();
        let (converged, sweeps, no_solution) = match outcome {
            Outcome::Settled { sweeps } => (true, sweeps, None),
            Outcome::NoSolution { part } => (false, 0, Some(part)),
            Outcome::Refused => (false, 0, None),
        };
        let mut solution = Solution {
            converged,
            no_solution,
            sweeps,
            sources: walk.roots.iter().map(|id| (*id, SourceFlow::default())).collect(),
            parts: blank_parts(installation, &walk),
            ..Solution::default()
        };
        for at in 0..self.nodes.len() {
            self.fill(installation, &walk, state, converged, at, &mut solution);
        }
        solution.walk = walk;
        solution
    }

    fn fill(
        &self,
        installation: &Installation,
        walk: &Walk,
        state: &State,
        converged: bool,
        at: usize,
        solution: &mut Solution,
    ) {
        let node = &self.nodes[at];
        let Some(part) = installation.parts.get(&node.part) else { return };
        let flow = converged.then(|| self.figures(installation, state, at)).flatten();
        let cable = CableFlow {
            ohms: node.z_known.then_some(2.0 * node.z.re),
            reactance_ohms: node.z_known.then_some(2.0 * node.z.im),
            ..CableFlow::default()
        };
        let cable = match &flow {
            Some(f) => CableFlow {
                amps: Some(f.currents.larger()),
                currents: Some(f.currents),
                drop_volts: node.z_known.then_some(f.drop_volts),
                loss_watts: node.z_known.then(|| heat(node.z.re, &f.currents)),
                ..cable
            },
            None => cable,
        };
        if let Some(feed) = walk.feeds.get(&node.part) {
            solution.cables.insert(feed.cable, cable);
        } else if part.kind == PartKind::ShoreInlet && part.cord.is_fitted() {
            solution.cords.insert(node.part, cable);
        }
        let Some(f) = flow else { return };
        if node.parent == NO_PARENT {
            solution.sources.insert(node.part, source_flow(installation, part, &f));
        }
        if let Some(entry) = solution.parts.get_mut(&node.part) {
            entry.leg = node.leg;
            entry.amps = Some(f.currents.larger());
            entry.currents = Some(f.currents);
            entry.watts = drawn_watts(part, node.parent, state.on[at], f.drawn_watts);
            if node.path_known {
                let across = f.voltages.across(node.leg);
                entry.voltages = Some(f.voltages);
                entry.volts = Some(across.norm());
                entry.angle_deg = Some(across.arg().to_degrees());
                let (percent, legs) = self.drop_percent(installation, at, &f.voltages);
                entry.drop_percent = Some(percent);
                entry.drop_percent_legs = legs;
            }
        }
    }

    fn figures(&self, installation: &Installation, state: &State, at: usize) -> Option<Figures> {
        let node = &self.nodes[at];
        let three = installation.system.is_split_phase();
        let (u1, u2) = self.voltages(state, at)?;
        let (i1, i2) = self.currents(state, at)?;
        let currents = Currents { l1: i1, l2: i2, n: -(i1 + i2) };
        let voltages = present(node.leg, u1, u2);
        let (e1, e2) = match node.parent {
            NO_PARENT => {
                (Complex::new(node.source_v, 0.0), Complex::new(if three { -node.source_v } else { 0.0 }, 0.0))
            }
            parent => {
                let (p1, p2) = self.voltages(state, parent)?;
                match self.nodes[parent].ratio {
                    Some(r) if three => ((p1 - p2) * (r / 2.0), (p2 - p1) * (r / 2.0)),
                    Some(r) => (p1 * r, p2),
                    None => (p1, p2),
                }
            }
        };
        let upstream = present(node.leg, e1, e2);
        let delivered = e1 * i1.conj() + e2 * i2.conj();
        let drop_volts = upstream.across(node.leg).norm() - voltages.across(node.leg).norm();
        let drawn_watts = self.drawn(at, voltages.across(node.leg));
        Some(Figures { currents, voltages, drop_volts, delivered, drawn_watts })
    }

    /// Watts of the part's own load at a voltage.
    fn drawn(&self, at: usize, u: Complex) -> f64 {
        let load = &self.nodes[at].load;
        load.power.re + load.admittance.re * u.norm_sqr()
    }

    /// Drop from the source's terminals in per cent of nominal, transformer ratios taken out; with three wires each
    /// line's own beside.
    fn drop_percent(&self, installation: &Installation, at: usize, v: &Voltages) -> (f64, Option<(f64, f64)>) {
        let node = &self.nodes[at];
        let nominal = installation.system.nominal_v();
        let percent = |lines: f64, u: Complex| 100.0 * (node.source_v - u.norm() / (lines * node.scale)) / nominal;
        let lines = if matches!(node.leg, Leg::L1L2 | Leg::L1L2N) { 2.0 } else { 1.0 };
        let legs = node.leg.is_three_wire().then(|| (percent(1.0, v.l1), percent(1.0, v.l2)));
        (percent(lines, v.across(node.leg)), legs)
    }
}

/// What one part's cable carries and what it does to the voltage.
struct Figures {
    currents: Currents,
    voltages: Voltages,
    drop_volts: f64,
    /// Volt-amperes at the upstream end of its cable.
    delivered: Complex,
    drawn_watts: f64,
}

/// Voltages of the lines that a leg has; zero where there is none.
fn present(leg: Leg, l1: Complex, l2: Complex) -> Voltages {
    match leg {
        Leg::L1 => Voltages { l1, l2: Complex::default() },
        Leg::L2 => Voltages { l1: Complex::default(), l2 },
        Leg::L1L2 | Leg::L1L2N => Voltages { l1, l2 },
    }
}

/// Heat in all conductors of resistance r each.
fn heat(r: f64, i: &Currents) -> f64 {
    r * (i.l1.norm_sqr() + i.l2.norm_sqr() + i.n.norm_sqr())
}

fn drawn_watts(part: &Part, parent: usize, on: bool, watts: f64) -> Option<f64> {
    match part.kind {
        PartKind::Appliance if !on => Some(0.0),
        PartKind::Appliance => part.run_w.map(|_| watts),
        PartKind::Inverter if parent != NO_PARENT => Some(watts),
        _ => None,
    }
}

fn source_flow(installation: &Installation, part: &Part, f: &Figures) -> SourceFlow {
    let watts = f.delivered.re;
    SourceFlow {
        watts: Some(watts),
        va: Some(f.delivered.norm()),
        amps: Some(f.currents.larger()),
        currents: Some(f.currents),
        load_percent: part.run_w(installation.system).map(|rated| 100.0 * watts / rated),
    }
}

/// Every part without figures.
fn blank_parts(installation: &Installation, walk: &Walk) -> BTreeMap<PartId, PartFlow> {
    installation
        .parts
        .iter()
        .map(|(id, part)| {
            let leg = walk.legs.get(id).copied().unwrap_or(Leg::L1);
            let leg = super::legs::feeding_leg(installation.system, part, leg);
            let blank = PartFlow {
                energised: walk.is_fed(*id),
                leg,
                voltages: None,
                volts: None,
                angle_deg: None,
                amps: None,
                currents: None,
                drop_percent: None,
                drop_percent_legs: None,
                watts: None,
            };
            (*id, blank)
        })
        .collect()
}
