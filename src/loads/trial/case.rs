//! One reading as a case of the drawing: what was on, what fed, and what the meter would show for given powers.

use crate::installation::{CableId, Installation, Leg, LoadKind, PartId, PartKind, ReadQuantity, Reading};
use crate::network::{Network, Outcome, State, Voltages, Walk, walk};
use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

/// A reading that the drawing can be asked about.
pub(super) struct Case {
    /// Row of the reading, from 0.
    pub row: usize,
    /// What the meter showed, in watts for per cent.
    pub range: (f64, f64),
    /// What it shows.
    pub quantity: ReadQuantity,
    /// Appliances that were on and lie behind the meter: what it shows grows with each.
    pub behind: Vec<PartId>,
    /// Appliances that were on elsewhere, or on another line than a current: they act on it only through the voltage.
    pub beside: Vec<PartId>,
    /// Appliances behind the meter that follow the voltage.
    pub impedance: BTreeSet<PartId>,
    working: Installation,
    walk: Walk,
    at: PartId,
}

/// What the drawing shows at some powers.
pub(super) struct Shown {
    /// What the meter would show.
    pub value: f64,
    /// Drawn over nominal power of each appliance in `impedance`.
    pub factors: BTreeMap<PartId, f64>,
}

impl Case {
    /// The case of a reading; else why it cannot be used, in words.
    pub fn new(installation: &Installation, condition: usize, row: usize, reading: &Reading) -> Result<Self, String> {
        let tag = |id: PartId| installation.tag(id).to_owned();
        let Some(part) = installation.parts.get(&reading.at) else {
            return Err("what was read is no longer in the drawing".to_owned());
        };
        let mut working = installation.clone();
        let appliances = installation.parts.iter().filter(|(_, p)| p.kind == PartKind::Appliance).map(|(id, _)| *id);
        if let Some(c) = working.conditions.get_mut(condition) {
            c.off.retain(|id| installation.parts.get(id).is_none_or(|p| p.kind != PartKind::Appliance));
            c.off.extend(appliances.filter(|id| !reading.on.contains(id)));
        }
        let mut walked = walk(&working, condition);
        if part.kind.is_source() && !walked.is_fed(reading.at) {
            if let Some(c) = working.conditions.get_mut(condition) {
                c.feeding = vec![reading.at];
            }
            walked = walk(&working, condition);
        }
        let Some(root) = walked.root_of(reading.at) else {
            return Err(format!("{} is not fed in this condition", tag(reading.at)));
        };
        if !walked.faults.is_empty() {
            return Err("the drawing has a loop or sources in parallel".to_owned());
        }
        let mut case = Self {
            row,
            range: reading.range(),
            quantity: reading.quantity,
            behind: Vec::new(),
            beside: Vec::new(),
            impedance: BTreeSet::new(),
            working,
            walk: walked,
            at: reading.at,
        };
        if reading.quantity == ReadQuantity::Percent {
            let own = if part.kind.is_source() { part.run_w(installation.system) } else { None };
            let Some(rated) = reading.rated_w.or(own) else {
                return Err(format!(
                    "per cent of how many watts is not known: {} has no running watts",
                    tag(reading.at)
                ));
            };
            case.range = (case.range.0 * rated / 100.0, case.range.1 * rated / 100.0);
        }
        case.sort(installation, reading, root);
        Ok(case)
    }

    fn sort(&mut self, installation: &Installation, reading: &Reading, root: PartId) {
        let leg = |id: PartId| self.walk.legs.get(&id).copied();
        let lines = installation.system.is_split_phase() && self.quantity == ReadQuantity::Amps;
        let (mut behind, mut beside) = (Vec::new(), Vec::new());
        for id in &reading.on {
            if self.walk.root_of(*id) != Some(root) || behind.contains(id) || beside.contains(id) {
                continue;
            }
            let below = self.walk.path_to_source(*id).contains(&self.at);
            // A current is the larger line's: read on three wires, no one power can be told from it.
            if below && !(lines && leg(*id) != leg(self.at)) {
                behind.push(*id);
            } else {
                beside.push(*id);
            }
            let follows = installation.parts.get(id).is_some_and(|p| p.load_kind == LoadKind::Impedance);
            if below && follows {
                self.impedance.insert(*id);
            }
        }
        (self.behind, self.beside) = (behind, beside);
    }

    /// Appliances that were on but that the drawing does not feed from what was read.
    pub fn unfed(&self, reading: &Reading) -> Vec<PartId> {
        reading.on.iter().filter(|id| !self.behind.contains(id) && !self.beside.contains(id)).copied().collect()
    }

    /// True where the reading narrows powers: not a voltage, and not a current on several lines at once.
    pub fn tells(&self) -> bool {
        match self.quantity {
            ReadQuantity::Volts => false,
            ReadQuantity::Amps => !self.walk.legs.get(&self.at).is_some_and(|leg| leg.is_three_wire()),
            ReadQuantity::Watts | ReadQuantity::Percent => true,
        }
    }

    /// True for readings of power: a sum can be made of them.
    pub fn is_power(&self) -> bool {
        matches!(self.quantity, ReadQuantity::Watts | ReadQuantity::Percent)
    }

    /// Cables on the way from what was read to what was on, each with what it feeds.
    pub fn cables(&self) -> Vec<(PartId, CableId)> {
        let mut out = BTreeMap::new();
        for id in &self.behind {
            for part in self.walk.path_to_source(*id) {
                if part == self.at {
                    break;
                }
                if let Some(feed) = self.walk.feeds.get(&part) {
                    out.insert(part, feed.cable);
                }
            }
        }
        out.into_iter().collect()
    }

    fn solved(&mut self, power: &dyn Fn(PartId) -> f64) -> Option<(Network, State)> {
        for id in self.behind.iter().chain(&self.beside) {
            if let Some(part) = self.working.parts.get_mut(id) {
                Arc::make_mut(part).run_w = Some(power(*id));
            }
        }
        let network = Network::new(&self.working, &self.walk);
        let mut state = network.state();
        matches!(network.solve(&mut state), Outcome::Settled { .. }).then_some((network, state))
    }

    /// What the meter would show; `None` where these powers cannot be supplied.
    pub fn value(&mut self, power: &dyn Fn(PartId) -> f64) -> Option<f64> {
        let (network, state) = self.solved(power)?;
        self.read(&network, &state)
    }

    /// What the meter would show with the source at a share of the voltage that it delivers at no load.
    pub fn at_share_of_voltage(&mut self, share: f64, power: &dyn Fn(PartId) -> f64) -> Option<f64> {
        let system = self.working.system;
        let root = self.walk.root_of(self.at)?;
        let volts = self.working.parts.get(&root)?.volts;
        if let Some(part) = self.working.parts.get_mut(&root) {
            Arc::make_mut(part).volts = Some(share * volts.unwrap_or(system.nominal_v()));
        }
        let value = self.value(power);
        if let Some(part) = self.working.parts.get_mut(&root) {
            Arc::make_mut(part).volts = volts;
        }
        value
    }

    /// True in a system of two lines and a neutral.
    pub fn has_two_lines(&self) -> bool {
        self.working.system.is_split_phase()
    }

    /// True for an appliance on one line alone that is not the line of what was read.
    pub fn lifts(&self, id: PartId) -> bool {
        let leg = |id: PartId| self.walk.legs.get(&id).copied();
        matches!(leg(id), Some(Leg::L1 | Leg::L2)) && leg(id) != leg(self.at)
    }

    /// The same with how the loads follow the voltage.
    pub fn shown(&mut self, power: &dyn Fn(PartId) -> f64) -> Option<Shown> {
        let (network, state) = self.solved(power)?;
        let value = self.read(&network, &state)?;
        let nominal = self.working.system.nominal_v();
        let factors = self.impedance.iter().filter_map(|id| {
            let percent = network.load_percent_of_nominal(&state, network.position(*id)?, nominal)?;
            Some((*id, (percent / 100.0).powi(2)))
        });
        Some(Shown { value, factors: factors.collect() })
    }

    fn read(&self, network: &Network, state: &State) -> Option<f64> {
        let at = network.position(self.at)?;
        match self.quantity {
            ReadQuantity::Watts | ReadQuantity::Percent => network.source_watts(state, at),
            ReadQuantity::Amps => network.currents(state, at).map(|(l1, l2)| l1.norm().max(l2.norm())),
            ReadQuantity::Volts => {
                let (l1, l2) = network.voltages(state, at)?;
                Some(Voltages { l1, l2 }.across(network.leg(at)?).norm())
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::installation::Rounding;
    use crate::store::list::boat;

    /// All appliances on, and watts read at a part.
    fn case(list: &str, at: &str) -> (Installation, Case) {
        let installation = boat(list);
        let on = installation.parts.iter().filter(|(_, p)| p.kind == PartKind::Appliance).map(|(id, _)| *id).collect();
        let at = installation.part_by_tag(at).unwrap();
        let (quantity, rounding) = (ReadQuantity::Watts, Rounding::Nearest);
        let reading = Reading { on, at, quantity, value: 0.0, step: 0.0, rounding, rated_w: None };
        let case = Case::new(&installation, 0, 0, &reading).unwrap();
        (installation, case)
    }

    /// Without cables: a heater follows the square of the voltage, electronics draw the same at any.
    #[test]
    fn at_a_share_of_the_voltage_heaters_draw_its_square() {
        for (volts, nominal) in [("", 1.0), ("132", 1.21)] {
            let (installation, mut case) = case(
                &format!(
                    "# system: 120V60Hz\ntag,kind,fed_from,run_w,load_kind,volts,conductor\n\
                     G1,generator,,5000,,{volts},\nE1,appliance,G1,1000,impedance,,none\nE2,appliance,G1,300,power,,none\n"
                ),
                "G1",
            );
            let plate = |id: PartId| installation.parts[&id].run_w.unwrap();
            for share in [0.5, 0.9, 1.5] {
                let watts = case.at_share_of_voltage(share, &plate).unwrap();
                let by_hand = 1000.0 * nominal * share * share + 300.0;
                assert!((watts - by_hand).abs() < 1e-6, "{share} of {volts}: {watts}, by hand {by_hand}");
            }
            let watts = case.value(&plate).unwrap();
            assert!((watts - 1000.0 * nominal - 300.0).abs() < 1e-6, "the voltage is as before: {watts}");
        }
    }

    #[test]
    fn what_the_other_line_feeds_lifts_the_voltage_of_this_one() {
        let list = "# system: 120/240V60Hz\ntag,kind,fed_from,run_w,leg,conductor\nG1,generator,,5000,,\nA1,panel,G1,,,none\n\
                    E1,appliance,A1,500,L1,none\nE2,appliance,A1,500,L2,none\nE3,appliance,A1,500,L1-L2,none\n\
                    E4,appliance,A1,500,L1,none\n";
        for (at, lifting) in [("E1", ["E2"].as_slice()), ("E2", &["E1", "E4"]), ("E3", &["E1", "E2", "E4"])] {
            let (installation, case) = case(list, at);
            let lifts = |(id, part): (&PartId, &std::sync::Arc<crate::installation::Part>)| {
                case.lifts(*id).then(|| part.tag.clone())
            };
            let found: Vec<String> = installation.parts.iter().filter_map(lifts).collect();
            assert_eq!(found, lifting, "read at {at}");
        }
    }
}
