//! The solved figures. Nothing is shown for what could not be solved: such figures are `None`.

use super::walk::Walk;
use crate::installation::{CableId, Leg, PartId};
use crate::units::Complex;
use std::collections::BTreeMap;
use std::sync::Arc;

/// Phasor currents in amperes, downstream positive; in a two-wire system `l2` is zero and `n` is −`l1`.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Currents {
    /// Line 1.
    pub l1: Complex,
    /// Line 2.
    pub l2: Complex,
    /// Neutral: what the lines leave unbalanced.
    pub n: Complex,
}

impl Currents {
    /// Magnitude of the larger line, in amperes.
    #[must_use]
    pub fn larger(&self) -> f64 {
        self.l1.norm().max(self.l2.norm())
    }
}

/// Phasor voltages against the neutral of the same place, in volts.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Voltages {
    /// Line 1 to neutral; zero where there is none.
    pub l1: Complex,
    /// Line 2 to neutral; zero where there is none.
    pub l2: Complex,
}

impl Voltages {
    /// Between the conductors of a leg: line to neutral, or line to line where there are two.
    #[must_use]
    pub fn across(&self, leg: Leg) -> Complex {
        match leg {
            Leg::L1 => self.l1,
            Leg::L2 => self.l2,
            Leg::L1L2 | Leg::L1L2N => self.l1 - self.l2,
        }
    }
}

/// A source that feeds.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct SourceFlow {
    /// Watts delivered at its terminals (shore: at the pedestal).
    pub watts: Option<f64>,
    /// Volt-amperes delivered at its terminals.
    pub va: Option<f64>,
    /// Amperes: the larger line.
    pub amps: Option<f64>,
    /// Each conductor.
    pub currents: Option<Currents>,
    /// `watts` in per cent of its running watts, where those are known.
    pub load_percent: Option<f64>,
}

/// A part in this condition.
#[derive(Clone, Debug, PartialEq)]
pub struct PartFlow {
    /// Fed in this condition.
    pub energised: bool,
    /// The conductors that feed it.
    pub leg: Leg,
    /// Phasor voltages; `None` where not solved, not fed, or beyond a cable of unknown size or length.
    pub voltages: Option<Voltages>,
    /// Volts between the conductors that feed it (three-wire: line to line).
    pub volts: Option<f64>,
    /// Angle of that voltage against line 1 at the source, degrees.
    pub angle_deg: Option<f64>,
    /// Current into the part (a source: out of it), the larger line.
    pub amps: Option<f64>,
    /// Each conductor.
    pub currents: Option<Currents>,
    /// Drop from the source's terminals in per cent of nominal; a transformer's ratio taken out.
    pub drop_percent: Option<f64>,
    /// Each line's own drop in per cent of its nominal, for three wires.
    pub drop_percent_legs: Option<(f64, f64)>,
    /// Watts that the part itself draws (appliance, or the charger of an inverter-charger), as solved.
    pub watts: Option<f64>,
}

/// A cable (or shore cord) in this condition.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct CableFlow {
    /// Amperes, the larger line. Zero where the cable is live and nothing draws.
    pub amps: Option<f64>,
    /// Each conductor.
    pub currents: Option<Currents>,
    /// Resistance out and back at working temperature, ohms; `None` where size or length is not known.
    pub ohms: Option<f64>,
    /// Reactance out and back, ohms.
    pub reactance_ohms: Option<f64>,
    /// Fall of the voltage magnitude over it, volts (three-wire: line to line).
    pub drop_volts: Option<f64>,
    /// Heat in all its conductors, watts.
    pub loss_watts: Option<f64>,
}

/// One condition, solved as far as it can be.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Solution {
    /// What is fed from where.
    pub walk: Arc<Walk>,
    /// False with a loop, parallel sources, or a load that cannot be supplied, and for nothing else.
    pub converged: bool,
    /// The part that cannot be supplied, where the solve did not settle.
    pub no_solution: Option<PartId>,
    /// Sources that feed by themselves.
    pub sources: BTreeMap<PartId, SourceFlow>,
    /// Every part of the installation.
    pub parts: BTreeMap<PartId, PartFlow>,
    /// Every cable in use in this condition.
    pub cables: BTreeMap<CableId, CableFlow>,
    /// Shore cords, by inlet.
    pub cords: BTreeMap<PartId, CableFlow>,
    /// Sweeps that the solve took.
    pub sweeps: u32,
}

impl Solution {
    /// The cable that feeds a part in this condition, with its figures.
    #[must_use]
    pub fn feed_of(&self, part: PartId) -> Option<(CableId, &CableFlow)> {
        let feed = self.walk.feeds.get(&part)?;
        self.cables.get(&feed.cable).map(|flow| (feed.cable, flow))
    }
}
