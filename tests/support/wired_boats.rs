//! Random boats with all that the solve counts: power factors, chargers, a cord, transformers, legs.

use super::random_boats::{Seed, grow};
use hullwire::installation::{CableData, Conductor, Installation, Leg, PartKind, Size};
use std::sync::Arc;

/// A random boat with power factors, chargers, a cord and, in split-phase, legs.
pub fn boat(seed: &Seed) -> Installation {
    let mut boat = grow(seed);
    let legs = [None, Some(Leg::L1), Some(Leg::L2), Some(Leg::L1L2)];
    for ((_, part), &number) in boat.parts.iter_mut().zip(&seed.numbers) {
        let part = Arc::make_mut(part);
        part.pf = [None, Some(0.6), Some(0.85)][(number / 19) as usize % 3];
        match part.kind {
            PartKind::Appliance => part.leg = legs[(number / 29) as usize % 4],
            PartKind::Inverter => part.charge_w = f64::from(number % 700),
            PartKind::IsolationTransformer => part.volts = (number.is_multiple_of(2)).then_some(125.0),
            PartKind::ShoreInlet => part.cord = wire(6.0),
            _ => {}
        }
    }
    boat
}

/// 10 AWG of so many metres.
pub fn wire(metres: f64) -> CableData {
    CableData { conductor: Conductor::Size(Size::Awg(10)), length_m: Some(metres), ..CableData::unknown() }
}
