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
    /// Ohms of each of the two conductors.
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
        let node = order(branches)?;
        let count = branches.len();
        let mut position = vec![0u32; count];
        for (at, &n) in node.iter().enumerate() {
            position[n as usize] = at as u32;
        }
        let (mut parent, mut z) = (Vec::with_capacity(count), Vec::with_capacity(count));
        let (mut power, mut admittance) = (Vec::with_capacity(count), Vec::with_capacity(count));
        for &n in &node {
            let branch = &branches[n as usize];
            parent.push(branch.parent.map_or(NO_PARENT, |p| position[p] as usize));
            z.push(branch.z);
            power.push(branch.power);
            admittance.push(branch.admittance);
        }
        let kernel = Kernel::two_wires(parent, z, power, admittance, nominal_v);
        let flow = kernel.flow();
        Ok(Self { kernel, flow, node, on: vec![true; count] })
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

/// Nodes parent first, children of one node side by side: counting sort by parent, then breadth first.
fn order(branches: &[Branch]) -> Result<Vec<u32>, NotRadial> {
    let count = branches.len();
    let mut start = vec![0u32; count + 1];
    let mut out: Vec<u32> = Vec::with_capacity(count);
    for (branch, b) in branches.iter().enumerate() {
        match b.parent {
            Some(parent) if parent < count => start[parent + 1] += 1,
            Some(parent) => return Err(NotRadial::NoSuchNode { branch, parent, count }),
            None => out.push(branch as u32),
        }
    }
    for at in 0..count {
        start[at + 1] += start[at];
    }
    let mut next = start.clone();
    let mut child = vec![0u32; start[count] as usize];
    for (at, b) in branches.iter().enumerate() {
        if let Some(parent) = b.parent {
            child[next[parent] as usize] = at as u32;
            next[parent] += 1;
        }
    }
    let mut head = 0;
    while head < out.len() {
        let at = out[head] as usize;
        out.extend_from_slice(&child[start[at] as usize..start[at + 1] as usize]);
        head += 1;
    }
    if out.len() < count { Err(NotRadial::Ring(count - out.len())) } else { Ok(out) }
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
