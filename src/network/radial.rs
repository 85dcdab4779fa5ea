//! A radial two-wire network on plain arrays, in any order: for studies of many or large networks without a drawing.
//!
//! Ordering puts the nodes parent first and next to their siblings, so that both sweeps run through memory from one end to
//! the other; the sweeps are those of every other solve. Memory is kept from one network to the next.

use super::sweep::{Flow, Kernel, NOWHERE, Verdict, zero};
use crate::units::Complex;
use thiserror::Error;

/// One node and the cable that feeds it.
// Ordering reads branches here and there: each lies in one line of the processor's cache.
#[derive(Clone, Copy, Debug, PartialEq)]
#[repr(align(64))]
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
    /// More nodes than are counted in 32 bits.
    #[error("{0} nodes are too many; there may be 4,294,967,294")]
    TooMany(usize),
}

/// A radial network, ordered and ready to be solved.
#[derive(Clone, Debug)]
pub struct Radial {
    kernel: Kernel<1>,
    flow: Flow<1>,
    /// Node of each position.
    node: Vec<u32>,
    on: Vec<bool>,
    links: Links,
}

impl Radial {
    /// Orders branches, parents first. All sources stand at `nominal_v` volts.
    ///
    /// # Errors
    /// A branch that is fed from no node of the list, branches in a ring, or too many of them.
    pub fn new(branches: &[Branch], nominal_v: f64) -> Result<Self, NotRadial> {
        let kernel = Kernel::two_wires(nominal_v);
        let flow = kernel.flow();
        let mut radial = Self { kernel, flow, node: Vec::new(), on: Vec::new(), links: Links::default() };
        radial.reorder(branches)?;
        Ok(radial)
    }

    /// Takes other branches, at the same nominal voltage, into the memory of those before.
    ///
    /// # Errors
    /// As [`Radial::new`]; the network is then empty.
    pub fn reorder(&mut self, branches: &[Branch]) -> Result<(), NotRadial> {
        let sources = self.order(branches);
        if sources.is_err() {
            self.resize(0);
        }
        self.kernel.set_sources(sources.unwrap_or_default());
        let sources = sources?;
        let Kernel { z, power, admittance, .. } = &mut self.kernel;
        for (((node, z), power), admittance) in self.node.iter().zip(&mut *z).zip(power).zip(admittance) {
            let branch = &branches[*node as usize];
            *z = branch.z;
            *power = branch.power;
            *admittance = branch.admittance;
        }
        z[..sources].fill(Complex::default());
        Ok(())
    }

    fn resize(&mut self, count: usize) {
        let Kernel { parent, z, power, admittance, .. } = &mut self.kernel;
        parent.resize(count, NOWHERE);
        for phasors in [z, power, admittance] {
            phasors.resize(count, Complex::default());
        }
        self.flow.v.resize(count, zero());
        self.flow.i.resize(count, zero());
        self.node.resize(count, 0);
        self.on.resize(count, true);
    }

    /// Breadth first: the node of each position, and the position that feeds it. How many sources there are.
    fn order(&mut self, branches: &[Branch]) -> Result<usize, NotRadial> {
        let count = branches.len();
        self.links.chain(branches)?;
        self.resize(count);
        let Links { links, first, source } = &mut self.links;
        first.resize(count, NONE);
        let (node, parent) = (&mut self.node[..count], &mut self.kernel.parent[..count]);
        let (mut child, mut above) = (*source, NOWHERE);
        let (mut sources, mut placed, mut head) = (0, 0, 0);
        loop {
            while child != NONE {
                let link = &links[child as usize];
                node[placed] = child;
                parent[placed] = above;
                first[placed] = link.first_child;
                placed += 1;
                child = link.next;
            }
            if head == 0 {
                sources = placed;
            }
            if head == placed {
                break;
            }
            child = first[head];
            above = head as u32;
            head += 1;
        }
        if placed < count { Err(NotRadial::Ring(count - placed)) } else { Ok(sources) }
    }

    /// Lets the sweeps leave this share of nominal, between 1e-12 (as in every other solve) and 1e-3.
    #[must_use]
    pub fn settling_to(mut self, share: f64) -> Self {
        self.kernel.settled = share.clamp(1e-12, 1e-3);
        self
    }

    /// Solves; the number of sweeps, or `None` where there is no solution.
    pub fn solve(&mut self) -> Option<u32> {
        match self.kernel.solve_voltages(&mut self.flow, &self.on) {
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

/// No such node in a chain.
const NONE: u32 = u32::MAX;

/// Where chains of siblings lead from a node.
#[derive(Clone, Copy, Debug)]
struct Link {
    first_child: u32,
    next: u32,
}

/// A chain of the children of each node, and one of the sources.
#[derive(Clone, Debug, Default)]
struct Links {
    links: Vec<Link>,
    /// The first child of the node of each position.
    first: Vec<u32>,
    /// The first source.
    source: u32,
}

impl Links {
    fn chain(&mut self, branches: &[Branch]) -> Result<(), NotRadial> {
        let count = branches.len();
        if count >= NONE as usize {
            return Err(NotRadial::TooMany(count));
        }
        let links = &mut self.links;
        links.clear();
        links.resize(count, Link { first_child: NONE, next: NONE });
        self.source = NONE;
        // From the last to the first, so that chains run in the order in which nodes were given.
        for (branch, b) in branches.iter().enumerate().rev() {
            let head = match b.parent {
                None => &mut self.source,
                Some(parent) if parent < count => &mut links[parent].first_child,
                Some(parent) => return Err(NotRadial::NoSuchNode { branch, parent, count }),
            };
            let next = std::mem::replace(head, branch as u32);
            links[branch].next = next;
        }
        Ok(())
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::network::solve_tests::behind;

    fn branch(parent: Option<usize>, ohms: f64, watts: f64) -> Branch {
        let complex = |re| Complex::new(re, 0.0);
        Branch { parent, z: complex(ohms), power: complex(watts), admittance: complex(0.0) }
    }

    #[test]
    fn one_load_behind_a_cable_takes_the_upper_root() {
        let list = [branch(Some(1), 0.25, 1200.0), branch(None, 0.0, 0.0)];
        let mut radial = Radial::new(&list, 120.0).unwrap();
        assert!(radial.solve().is_some());
        let wanted = behind(120.0, 0.5, 1200.0);
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
        let mut radial = Radial::new(&[branch(None, 0.0, 0.0)], 120.0).unwrap();
        assert_eq!(radial.reorder(&ring), Err(NotRadial::Ring(2)));
        assert!(radial.voltages().is_empty() && radial.solve().is_some());
        let far = [branch(Some(7), 0.1, 0.0)];
        assert_eq!(Radial::new(&far, 120.0).err(), Some(NotRadial::NoSuchNode { branch: 0, parent: 7, count: 1 }));
        let next = [branch(None, 0.0, 0.0), branch(Some(2), 0.1, 0.0)];
        assert_eq!(Radial::new(&next, 120.0).err(), Some(NotRadial::NoSuchNode { branch: 1, parent: 2, count: 2 }));
    }

    #[test]
    fn memory_of_another_network_changes_nothing() {
        let large = [branch(Some(1), 0.2, 300.0), branch(None, 0.0, 0.0), branch(Some(0), 0.1, 50.0)];
        let small = [branch(None, 0.0, 0.0), branch(Some(0), 0.3, 700.0)];
        let mut kept = Radial::new(&large, 120.0).unwrap();
        for list in [&small[..], &large[..], &small[..]] {
            kept.solve().unwrap();
            kept.reorder(list).unwrap();
            let mut fresh = Radial::new(list, 120.0).unwrap();
            assert_eq!(kept.solve(), fresh.solve());
            assert_eq!(kept.voltages(), fresh.voltages());
        }
    }

    #[test]
    fn no_branches_are_solved_at_once() {
        let mut radial = Radial::new(&[], 120.0).unwrap();
        assert!(radial.solve().is_some() && radial.voltages().is_empty());
    }
}
