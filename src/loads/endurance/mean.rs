//! Mean load of a source, from the solved drawing: duty counted, losses included.

use crate::installation::{Installation, PartId, PartKind};
use crate::network::{Network, Outcome, Walk, walk};
use std::collections::BTreeMap;
use std::sync::Arc;

/// Most appliances whose switching is followed one by one; beyond, what it adds to the losses is left out and said.
const MOST_FOLLOWED: usize = 200;

/// Mean loads of one condition.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct MeanLoad {
    /// Mean watts delivered by each source that feeds; `None` where there is no solution.
    pub watts: BTreeMap<PartId, Option<f64>>,
    /// Appliances that are on, fed, and of unknown power: counted as 0 W.
    pub unknown: Vec<PartId>,
    /// False where too many appliances switch for their effect on the losses to be followed.
    pub switching_followed: bool,
}

/// The installation with every fed appliance at its mean power.
pub(in crate::loads) fn at_mean(installation: &Installation, walk: &Walk) -> (Installation, Vec<PartId>, Vec<PartId>) {
    let mut mean = installation.clone();
    let (mut switching, mut unknown) = (Vec::new(), Vec::new());
    for id in &walk.order {
        let Some(part) = installation.parts.get(id).filter(|p| p.kind == PartKind::Appliance) else { continue };
        if !installation.is_on(*id, walk.condition) {
            continue;
        }
        let share = installation.share(*id, walk.condition);
        match part.run_w {
            None => unknown.push(*id),
            Some(watts) if share < 1.0 => {
                if share > 0.0 {
                    switching.push(*id);
                }
                if let Some(shared) = mean.parts.get_mut(id) {
                    Arc::make_mut(shared).run_w = Some(watts * share);
                }
            }
            Some(_) => {}
        }
    }
    (mean, switching, unknown)
}

/// Watts that each source delivers; `None` where there is no solution.
fn delivered(installation: &Installation, walk: &Walk) -> Option<BTreeMap<PartId, f64>> {
    let network = Network::new(installation, walk);
    let mut state = network.state();
    if !matches!(network.solve(&mut state), Outcome::Settled { .. }) {
        return None;
    }
    watts(&network, &state, walk)
}

fn watts(network: &Network, state: &crate::network::State, walk: &Walk) -> Option<BTreeMap<PartId, f64>> {
    walk.roots.iter().map(|root| network.source_watts(state, network.position(*root)?).map(|w| (*root, w))).collect()
}

/// The mean of what each source delivers in a condition. An appliance with duty d is on for that share of the time, and
/// appliances switch independently of each other: the solve at the mean powers, and for each appliance that switches, what
/// its being on or off, in place of at its mean, adds on average (losses rise with the square of the current). What is
/// beyond, of two that switch together, cancels by independence; of third order and above is left out.
#[must_use]
pub fn mean_load(installation: &Installation, condition: usize) -> MeanLoad {
    let walk = walk(installation, condition);
    let (mean, switching, unknown) = at_mean(installation, &walk);
    let mut out = MeanLoad { unknown, switching_followed: switching.len() <= MOST_FOLLOWED, ..MeanLoad::default() };
    let Some(base) = delivered(&mean, &walk) else {
        out.watts = walk.roots.iter().map(|root| (*root, None)).collect();
        return out;
    };
    let mut total = base.clone();
    if out.switching_followed {
        let network = Network::new(&mean, &walk);
        for id in switching {
            let Some(part) = installation.parts.get(&id) else { continue };
            let share = installation.share(id, condition);
            let mut state = network.state();
            if let Some(on) = network.position(id).and_then(|at| state.on.get_mut(at)) {
                *on = false;
            }
            let settled = matches!(network.solve(&mut state), Outcome::Settled { .. });
            let off = settled.then(|| watts(&network, &state, &walk)).flatten();
            let mut full = mean.clone();
            full.parts.insert(id, Arc::clone(part));
            let (Some(off), Some(on)) = (off, delivered(&full, &walk)) else {
                // Cannot be supplied while it is on: there is no mean.
                out.watts = walk.roots.iter().map(|root| (*root, None)).collect();
                return out;
            };
            for (root, sum) in &mut total {
                let at = |of: &BTreeMap<PartId, f64>| of.get(root).copied().unwrap_or(0.0);
                *sum += share * at(&on) + (1.0 - share) * at(&off) - at(&base);
            }
        }
    }
    out.watts = total.into_iter().map(|(root, sum)| (root, Some(sum))).collect();
    out
}
