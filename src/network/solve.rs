//! One call from an installation and a condition to the solved figures.

use super::beside::Beside;
use super::flat::{NO_PARENT, Network, Node, Outcome, State};
use super::legs::feeding_leg;
use super::reach::walk;
use super::solution::{CableFlow, Currents, PartFlow, Solution, SourceFlow, Voltages};
use super::walk::{Reach, Walk};
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
        let mut sources: BTreeMap<PartId, SourceFlow> =
            walk.roots.iter().map(|id| (*id, SourceFlow::default())).collect();
        let count = installation.parts.len();
        let (mut parts, mut cables, mut cords) = (Vec::with_capacity(count), Vec::with_capacity(count), Vec::new());
        // All that is asked for each part lies in the order of ids: gone through once, not looked up.
        let (mut legs, mut reach) = (Beside::new(&walk.legs), Beside::new(&walk.reach));
        let mut fed = self.by_id().iter().peekable();
        for (id, part) in &installation.parts {
            let leg = legs.at(id).copied().unwrap_or(Leg::L1);
            let energised = matches!(reach.at(id), Some(Reach::Fed(_)));
            let mut entry = blank(energised, feeding_leg(installation.system, part, leg));
            while fed.next_if(|(other, _)| other < id).is_some() {}
            if let Some((_, at)) = fed.peek().filter(|(other, _)| other == id)
                && let Some(node) = self.nodes.get(*at)
            {
                let flow = converged.then(|| self.figures(installation, state, *at)).flatten();
                let cable = cable_flow(node, flow.as_ref());
                if let Some(feed) = node.feed {
                    cables.push((feed, cable));
                } else if part.kind == PartKind::ShoreInlet && part.cord.is_fitted() {
                    cords.push((*id, cable));
                }
                if let Some(flow) = flow {
                    if node.parent == NO_PARENT {
                        sources.insert(*id, source_flow(installation, part, &flow));
                    }
                    self.fill(installation, part, state, *at, &flow, &mut entry);
                }
            }
            parts.push((*id, entry));
        }
        Solution {
            walk,
            converged,
            no_solution,
            sweeps,
            sources,
            parts: parts.into_iter().collect(),
            cables: cables.into_iter().collect(),
            cords: cords.into_iter().collect(),
        }
    }

    fn fill(
        &self,
        installation: &Installation,
        part: &Part,
        state: &State,
        at: usize,
        f: &Figures,
        entry: &mut PartFlow,
    ) {
        let node = &self.nodes[at];
        entry.leg = node.leg;
        entry.amps = Some(f.amps);
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
        Some(Figures { amps: currents.larger(), currents, voltages, drop_volts, delivered, drawn_watts })
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
    /// The larger line.
    amps: f64,
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
        amps: Some(f.amps),
        currents: Some(f.currents),
        load_percent: part.run_w(installation.system).map(|rated| 100.0 * watts / rated),
    }
}

/// A part without figures.
fn blank(energised: bool, leg: Leg) -> PartFlow {
    PartFlow {
        energised,
        leg,
        voltages: None,
        volts: None,
        angle_deg: None,
        amps: None,
        currents: None,
        drop_percent: None,
        drop_percent_legs: None,
        watts: None,
    }
}

/// The cable or cord that feeds a part.
fn cable_flow(node: &Node, figures: Option<&Figures>) -> CableFlow {
    let cable = CableFlow {
        ohms: node.z_known.then_some(2.0 * node.z.re),
        reactance_ohms: node.z_known.then_some(2.0 * node.z.im),
        ..CableFlow::default()
    };
    match figures {
        Some(f) => CableFlow {
            amps: Some(f.amps),
            currents: Some(f.currents),
            drop_volts: node.z_known.then_some(f.drop_volts),
            loss_watts: node.z_known.then(|| heat(node.z.re, &f.currents)),
            ..cable
        },
        None => cable,
    }
}
