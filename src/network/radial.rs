//! A radial two-wire network on plain arrays, in any order: for studies of many or large networks without a drawing.
//!
//! Ordering puts the nodes parent first and next to their siblings, so that both sweeps run through memory from one end to
//! the other; the sweeps are those of every other solve.

use super::flat::NO_PARENT;
use super::sweep::{Flow, Kernel, Verdict};
use crate::units::Complex;
use thiserror::Error;

/// One node and the cable that feeds it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Branch {
    /// Position of the node upstream; `None` for a source.
    pub parent: Option<usize>,
    /// Ohms of each of the two conductors; a source has no cable, and these are not counted.
    pub z: Complex,
    /// What the node draws at any voltage, P + jQ in volt-amperes, lagging positive.
    pub power: Complex,
    /// What it draws as a constant admittance, in siemens.
    pub admittance: Complex,
}

/// Why branches are no radial network.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Error)]
pub enum NotRadial {
    /// The node upstream does not exist.
    #[error("branch {branch} is fed from node {parent}, but there are only {count} nodes, numbered from 0")]
    NoSuchNode {
        /// The branch, from 0.
        branch: usize,
        /// What it names.
        parent: usize,
        /// How many nodes there are.
        count: usize,
    },
    /// Nodes that no source reaches: they feed each other in a ring.
    #[error("{0} nodes are reached from no source: they feed each other in a ring")]
    Ring(usize),
}

/// A radial network, ordered and ready to be solved.
#[derive(Clone, Debug)]
pub struct Radial {
    kernel: Kernel<1>,
    flow: Flow<1>,
    /// Node of each position.
    node: Vec<u32>,
    on: Vec<bool>,
}

impl Radial {
    /// Orders branches, parents first. All sources stand at `nominal_v` volts.
    ///
    /// # Errors
    /// A branch that is fed from no node of the list, or branches in a ring.
    pub fn new(branches: &[Branch], nominal_v: f64) -> Result<Self, NotRadial> {
        let Ordered { node, parent, z, power, admittance } = order(branches)?;
        let kernel = Kernel::two_wires(parent, z, power, admittance, nominal_v);
        let flow = kernel.flow();
        Ok(Self { kernel, flow, node, on: vec![true; branches.len()] })
    }

    /// Lets the sweeps leave this share of nominal, between 1e-12 (as in every other solve) and 1e-3.
    #[must_use]
    pub fn settling_to(mut self, share: f64) -> Self {
        self.kernel.settled = share.clamp(1e-12, 1e-3);
        self
    }

    /// Solves; the number of sweeps, or `None` where there is no solution.
    pub fn solve(&mut self) -> Option<u32> {
        match self.kernel.solve(&mut self.flow, &self.on) {
            Verdict::Settled { sweeps } => Some(sweeps),
            Verdict::NoSolution { .. } => None,
        }
    }

    /// Voltages as last solved, in the order of the branches.
    #[must_use]
    pub fn voltages(&self) -> Vec<Complex> {
        let mut volts = vec![Complex::default(); self.node.len()];
        for (v, &n) in self.flow.v.iter().zip(&self.node) {
            volts[n as usize] = v[0];
        }
        volts
    }
}

/// Branches in parent-first order, children of one node side by side.
struct Ordered {
    node: Vec<u32>,
    parent: Vec<usize>,
    z: Vec<Complex>,
    power: Vec<Complex>,
    admittance: Vec<Complex>,
}

impl Ordered {
    fn push(&mut self, node: u32, parent: usize, z: Complex, branch: &Branch) {
        self.node.push(node);
        self.parent.push(parent);
        self.z.push(z);
        self.power.push(branch.power);
        self.admittance.push(branch.admittance);
    }
}

/// No such node in a list of children.
const NONE: u32 = u32::MAX;

/// A list of children of each node, then breadth first. Each branch is read twice, in order and in its new place; what it
/// comes to is written in order.
fn order(branches: &[Branch]) -> Result<Ordered, NotRadial> {
    let count = branches.len();
    let (mut first, mut next) = (vec![NONE; count], vec![NONE; count]);
    let mut out = Ordered {
        node: Vec::with_capacity(count),
        parent: Vec::with_capacity(count),
        z: Vec::with_capacity(count),
        power: Vec::with_capacity(count),
        admittance: Vec::with_capacity(count),
    };
    // From the last to the first, so that children come in the order in which they were given.
    let mut sources = Vec::new();
    for (branch, b) in branches.iter().enumerate().rev() {
        match b.parent {
            Some(parent) if parent < count => next[branch] = std::mem::replace(&mut first[parent], branch as u32),
            Some(parent) => return Err(NotRadial::NoSuchNode { branch, parent, count }),
            None => sources.push(branch),
        }
    }
    for &source in sources.iter().rev() {
        out.push(source as u32, NO_PARENT, Complex::default(), &branches[source]);
    }
    let mut head = 0;
    while let Some(&at) = out.node.get(head) {
        let mut child = first[at as usize];
        while child != NONE {
            let branch = &branches[child as usize];
            out.push(child, head, branch.z, branch);
            child = next[child as usize];
        }
        head += 1;
    }
    if head < count { Err(NotRadial::Ring(count - head)) } else { Ok(out) }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn branch(parent: Option<usize>, ohms: f64, watts: f64) -> Branch {
        let complex = |re| Complex::new(re, 0.0);
        Branch { parent, z: complex(ohms), power: complex(watts), admittance: complex(0.0) }
    }

    #[test]
    fn one_load_behind_a_cable_takes_the_upper_root() {
        // (Us + √(Us² − 4RP)) / 2 with R out and back.
        let list = [branch(Some(1), 0.25, 1200.0), branch(None, 0.0, 0.0)];
        let mut radial = Radial::new(&list, 120.0).unwrap();
        assert!(radial.solve().is_some());
        let wanted = (120.0 + (120.0f64 * 120.0 - 4.0 * 0.5 * 1200.0).sqrt()) / 2.0;
        let volts = radial.voltages();
        assert!((volts[0].re - wanted).abs() < 1e-9 && (volts[1].re - 120.0).abs() < 1e-12);
    }

    #[test]
    fn too_much_load_has_no_solution() {
        let list = [branch(None, 0.0, 0.0), branch(Some(0), 0.25, 1e6)];
        assert_eq!(Radial::new(&list, 120.0).unwrap().solve(), None);
    }

    #[test]
    fn a_ring_and_a_node_that_does_not_exist_are_refused() {
        let ring = [branch(None, 0.0, 0.0), branch(Some(2), 0.1, 0.0), branch(Some(1), 0.1, 0.0)];
        assert_eq!(Radial::new(&ring, 120.0).err(), Some(NotRadial::Ring(2)));
        let far = [branch(Some(7), 0.1, 0.0)];
        assert_eq!(Radial::new(&far, 120.0).err(), Some(NotRadial::NoSuchNode { branch: 0, parent: 7, count: 1 }));
    }

    #[test]
    fn no_branches_are_solved_at_once() {
        let mut radial = Radial::new(&[], 120.0).unwrap();
        assert!(radial.solve().is_some() && radial.voltages().is_empty());
    }
}
