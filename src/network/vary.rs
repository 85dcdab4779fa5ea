//! One network, many variations: other ohms in its cables, other sizes of its loads, other switch positions.

use super::flat::{Network, Node, Wires};
use super::sweep::Kernel;
use crate::units::Complex;

/// A variation of a network, each by position in the walk's order.
#[derive(Clone, Debug, PartialEq)]
pub struct Scenario {
    /// Ohms of each conductor of the cable that feeds the part (a shore inlet: of its cord).
    pub z: Vec<Complex>,
    /// What the part draws, as a multiple of what it draws in the drawing; not negative.
    pub load: Vec<f64>,
    /// False takes the part's load away.
    pub on: Vec<bool>,
}

impl Network {
    /// The network as it is, to be varied.
    #[must_use]
    pub fn scenario(&self) -> Scenario {
        Scenario {
            z: self.nodes.iter().map(|n| n.z).collect(),
            load: vec![1.0; self.nodes.len()],
            on: self.switched().to_vec(),
        }
    }

    /// The network with other cables and loads; positions that a scenario does not have stay as they are.
    #[must_use]
    pub fn varied(&self, scenario: &Scenario) -> Self {
        let mut network = self.clone();
        for (node, z) in network.nodes.iter_mut().zip(&scenario.z) {
            node.z = *z;
        }
        for (node, by) in network.nodes.iter_mut().zip(&scenario.load) {
            node.load.power *= *by;
            node.load.admittance *= *by;
        }
        match &mut network.kernel {
            Wires::Two(kernel) => vary(kernel, &network.nodes),
            Wires::Three(kernel) => vary(kernel, &network.nodes),
        }
        network.switch(&scenario.on);
        network
    }
}

fn vary<const D: usize>(kernel: &mut Kernel<D>, nodes: &[Node]) {
    for (at, node) in nodes.iter().enumerate() {
        kernel.z[at] = node.z;
        kernel.set_load(at, &node.load);
    }
}
