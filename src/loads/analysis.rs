//! The load analysis: connected, running and mean load by operating condition, in the form that 46 CFR 110.25-1 asks for
//! with electrical plans (a load analysis by operating condition; from memory): by source, panel and breaker, with what is
//! left of each rating.
//!
//! Connected is the sum of rated watts of what is fed, on or off. Running is the solve of what is on, of appliances with one
//! label no more than are said to run at once. Mean is the solve at each appliance's share of the time. What is not known
//! stays not known: a load of unknown power makes every sum that holds it a lower bound, and is named.

use super::endurance::mean::at_mean;
use super::endurance::mean_load;
use super::starting::{Peaks, peaks};
use crate::installation::{Installation, Leg, PartId, PartKind};
use crate::network::{Currents, Rated, Reach, Solution, solve, walk};
use crate::units;
use std::collections::BTreeMap;

/// One appliance in one condition.
#[derive(Clone, Debug, PartialEq)]
pub struct Use {
    /// The appliance.
    pub part: PartId,
    /// Switched on.
    pub on: bool,
    /// Fed in this condition.
    pub fed: bool,
    /// Counted as running: on, fed, and among those of its label that run at once.
    pub runs: bool,
    /// Share of the time that it is on, 0 to 1.
    pub share: f64,
    /// True where the share is stated for this condition; else it is the appliance's duty.
    pub share_stated: bool,
    /// How many of its label run at once, where stated.
    pub at_once: Option<u16>,
    /// Rated running watts.
    pub run_w: Option<f64>,
    /// Rated starting watts; `None` where not known.
    pub start_w: Option<f64>,
}

/// What a source, panel, selector, transformer or breaker carries in one condition.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Bus {
    /// Rated watts of all that it feeds, on or off.
    pub connected_w: f64,
    /// Watts that run; `None` where not solved or beyond a cable that is not known.
    pub running_w: Option<f64>,
    /// Volt-amperes that run.
    pub running_va: Option<f64>,
    /// Mean watts.
    pub mean_w: Option<f64>,
    /// Amperes by line; two wires: the first alone.
    pub amps: Option<(f64, Option<f64>)>,
    /// How much less the smaller line carries, in per cent of the larger; `None` with two wires and on one line alone.
    pub unbalance_percent: Option<f64>,
    /// True where its rating is in amperes: of all but sources, and of a shore inlet.
    pub in_amps: bool,
    /// Its rating, in watts or amperes.
    pub rating: Option<f64>,
    /// What is left of it, in the same unit. Below zero where it is exceeded.
    pub reserve: Option<f64>,
    /// Load in per cent of the rating.
    pub load_percent: Option<f64>,
    /// Appliances in it whose running power is not known: every sum is a lower bound then.
    pub unknown: Vec<PartId>,
}

impl Bus {
    fn rate(&mut self, rated: Rated) {
        self.in_amps = rated.in_amps;
        self.rating = rated.rating;
        self.reserve = rated.reserve();
        self.load_percent = rated.percent();
    }

    /// How its rating and reserve are written.
    #[must_use]
    pub fn unit(&self) -> fn(f64) -> String {
        if self.in_amps { units::amps } else { units::watts }
    }

    /// True where it is on one line of two, so that there is no balance to speak of.
    #[must_use]
    pub fn on_one_line(&self) -> bool {
        self.unbalance_percent.is_none() && self.amps.is_some_and(|(_, other)| other.is_some())
    }
}

/// The start that takes most beyond its running, of what runs.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LargestStart {
    /// The appliance.
    pub part: PartId,
    /// Its starting watts.
    pub start_w: f64,
    /// Its running watts.
    pub run_w: f64,
}

/// One condition.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct ConditionLoads {
    /// Its name.
    pub name: String,
    /// Sources that feed.
    pub feeding: Vec<PartId>,
    /// False with a loop, parallel sources or a load that cannot be supplied: no figures then.
    pub converged: bool,
    /// Every appliance of the drawing.
    pub uses: Vec<Use>,
    /// Sources that feed.
    pub sources: BTreeMap<PartId, Bus>,
    /// Fed panels.
    pub panels: BTreeMap<PartId, Bus>,
    /// Fed selectors and isolation transformers.
    pub equipment: BTreeMap<PartId, Bus>,
    /// Fed breakers.
    pub breakers: BTreeMap<PartId, Bus>,
    /// The largest start by source.
    pub largest_start: BTreeMap<PartId, LargestStart>,
    /// Peaks by source, of what runs.
    pub peaks: BTreeMap<PartId, Peaks>,
    /// Motors in use whose starting watts are not known.
    pub starts_unknown: Vec<PartId>,
}

impl ConditionLoads {
    /// What carries, by kind in the order of the power, each with its heading.
    #[must_use]
    pub fn carried(&self) -> [(&'static str, &BTreeMap<PartId, Bus>); 4] {
        [
            ("Sources", &self.sources),
            ("Selectors and transformers", &self.equipment),
            ("Panels", &self.panels),
            ("Breakers", &self.breakers),
        ]
    }
}

/// The load analysis of every condition.
#[must_use]
pub fn analysis(installation: &Installation) -> Vec<ConditionLoads> {
    (0..installation.conditions.len()).map(|c| of_condition(installation, c)).collect()
}

/// Of the appliances with one label, those that do not run because only so many do at once: the smallest.
fn held_back(installation: &Installation, condition: usize) -> Vec<PartId> {
    let walk = walk(installation, condition);
    let Some(asked) = installation.conditions.get(condition) else { return Vec::new() };
    let mut alike: BTreeMap<String, (usize, Vec<(f64, PartId)>)> = BTreeMap::new();
    for (id, part) in installation.parts.iter().filter(|(_, p)| p.kind == PartKind::Appliance) {
        if walk.is_fed(*id) && installation.is_on(*id, condition) {
            let of = alike.entry(part.title().trim().to_lowercase()).or_insert((usize::MAX, Vec::new()));
            of.0 = of.0.min(asked.usage.get(id).and_then(|u| u.at_once).map_or(usize::MAX, usize::from));
            of.1.push((part.run_w.unwrap_or(f64::INFINITY), *id));
        }
    }
    let mut out = Vec::new();
    for (most, mut parts) in alike.into_values() {
        parts.sort_by(|a, b| b.0.total_cmp(&a.0).then(a.1.cmp(&b.1)));
        out.extend(parts.into_iter().skip(most).map(|(_, id)| id));
    }
    out
}

/// The load analysis of one condition.
#[must_use]
pub fn of_condition(installation: &Installation, condition: usize) -> ConditionLoads {
    let held = held_back(installation, condition);
    let mut asked = installation.clone();
    if let Some(c) = asked.conditions.get_mut(condition) {
        c.off.extend(held.iter().copied());
    }
    let solution = solve(&asked, condition);
    let walk = &solution.walk;
    let system = installation.system;
    let stated = installation.conditions.get(condition);
    let mut out = ConditionLoads {
        name: stated.map_or_else(String::new, |c| c.name.clone()),
        feeding: walk.roots.clone(),
        converged: solution.converged,
        ..ConditionLoads::default()
    };
    for (id, part) in installation.parts.iter().filter(|(_, p)| p.kind == PartKind::Appliance) {
        let usage = stated.and_then(|c| c.usage.get(id)).copied().unwrap_or_default();
        let (on, fed) = (installation.is_on(*id, condition), walk.is_fed(*id));
        let one = Use {
            part: *id,
            on,
            fed,
            runs: on && fed && !held.contains(id),
            share: installation.share(*id, condition),
            share_stated: usage.share.is_some(),
            at_once: usage.at_once,
            run_w: part.run_w,
            start_w: part.start_w(system),
        };
        if let Some(source) = walk.root_of(*id).filter(|_| one.runs) {
            match (one.run_w, one.start_w) {
                (Some(run_w), Some(start_w)) => {
                    let known = out.largest_start.get(&source).map_or(-1.0, |l| l.start_w - l.run_w);
                    if start_w - run_w > known.max(0.0) {
                        out.largest_start.insert(source, LargestStart { part: *id, start_w, run_w });
                    }
                }
                _ => out.starts_unknown.push(*id),
            }
        }
        out.uses.push(one);
    }
    // The mean is of all that is on, each for its share of the time: how many run at once says nothing about it.
    let mean_walk = crate::network::walk(installation, condition);
    let (at_means, _, _) = at_mean(installation, &mean_walk);
    let mean = solve(&at_means, condition);
    let of_sources = mean_load(installation, condition);
    for (&id, reach) in &walk.reach {
        let (Reach::Fed(_), Some(part)) = (reach, installation.parts.get(&id)) else { continue };
        let root = walk.roots.contains(&id);
        let mut bus = match part.kind {
            PartKind::Panel | PartKind::Breaker | PartKind::Selector | PartKind::IsolationTransformer => {
                let mut bus = carried(&asked, &solution, id);
                bus.mean_w = power(&mean, id).map(|s| s.0);
                let larger = bus.amps.map(|(a, b)| a.max(b.unwrap_or(0.0)));
                bus.rate(Rated::amps(larger, part.rating_a));
                bus
            }
            _ if root => {
                let mut bus = carried(&asked, &solution, id);
                let flow = solution.sources.get(&id);
                bus.running_w = flow.and_then(|f| f.watts);
                bus.running_va = flow.and_then(|f| f.va);
                bus.mean_w = of_sources.watts.get(&id).copied().flatten();
                bus.rate(Rated::of(part, system, flow));
                out.peaks.insert(id, peaks(&asked, &solution, id));
                bus
            }
            _ => continue,
        };
        below(installation, &solution, id, &mut bus);
        let map = match part.kind {
            _ if root => &mut out.sources,
            PartKind::Panel => &mut out.panels,
            PartKind::Breaker => &mut out.breakers,
            _ => &mut out.equipment,
        };
        map.insert(id, bus);
    }
    out
}

/// Watts and vars into a part, as solved; `None` where it was not solved or lies beyond a cable that is not known.
#[must_use]
pub fn power(solution: &Solution, id: PartId) -> Option<(f64, f64)> {
    power_with(solution, id, &solution.parts.get(&id)?.currents?)
}

/// Watts and vars of these currents at the voltages of a part, such as those that leave it.
#[must_use]
pub fn power_with(solution: &Solution, id: PartId, currents: &Currents) -> Option<(f64, f64)> {
    let v = solution.parts.get(&id)?.voltages?;
    let s = v.l1 * currents.l1.conj() + v.l2 * currents.l2.conj();
    Some((s.re, s.im))
}

fn carried(installation: &Installation, solution: &Solution, id: PartId) -> Bus {
    let power = power(solution, id);
    let currents = solution.parts.get(&id).and_then(|f| f.currents);
    let split = installation.system.is_split_phase();
    let amps = currents.map(|c| (c.l1.norm(), split.then(|| c.l2.norm())));
    let one_line = matches!(solution.walk.legs.get(&id), Some(Leg::L1 | Leg::L2));
    let unbalance_percent = amps.filter(|_| !one_line).and_then(|(a, b)| {
        let (larger, smaller) = (a.max(b?), a.min(b?));
        Some(if larger > 0.0 { 100.0 * (larger - smaller) / larger } else { 0.0 })
    });
    Bus {
        running_w: power.map(|s| s.0),
        running_va: power.map(|s| s.0.hypot(s.1)),
        amps,
        unbalance_percent,
        ..Bus::default()
    }
}

/// Adds up what is connected behind a part.
fn below(installation: &Installation, solution: &Solution, id: PartId, bus: &mut Bus) {
    for (&load, part) in installation.parts.iter().filter(|(_, p)| p.kind == PartKind::Appliance) {
        if !solution.walk.path_to_source(load).contains(&id) {
            continue;
        }
        match part.run_w {
            Some(watts) => bus.connected_w += watts,
            None => bus.unknown.push(load),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::store::list::boat;

    /// By hand: 1,200 W at 120 V are 10 A on one line, 720 W are 6 A on the other: 4 A less of 10 A.
    #[test]
    fn lines_differ_by_per_cent_of_the_larger_and_lines_without_load_by_nothing() {
        let unbalance = |on: &str| {
            let installation = boat(&format!(
                "# system: 120/240V60Hz\ntag,kind,fed_from,run_w,leg,conductor,on\nG1,generator,,5000,,,\nA1,panel,G1,,,none,\n\
                 E1,appliance,A1,1200,L1,none,{on}\nE2,appliance,A1,720,L2,none,{on}\n"
            ));
            let panel = installation.part_by_tag("A1").unwrap();
            of_condition(&installation, 0).panels[&panel].unbalance_percent
        };
        assert!(unbalance("yes").is_some_and(|percent| (percent - 40.0).abs() < 1e-6), "{:?}", unbalance("yes"));
        assert_eq!(unbalance("no"), Some(0.0));
        // A breaker on one line has no other to differ from.
        let installation = boat(
            "# system: 120/240V60Hz\ntag,kind,fed_from,run_w,leg,conductor,rating_a\nG1,generator,,5000,,,\nA1,panel,G1,,,none,\n\
             Q1,breaker,A1,,L1,none,20\nE1,appliance,Q1,1200,L1,none,\nQ2,breaker,A1,,L1-L2,none,20\nE2,appliance,Q2,1200,L1-L2,none,\n",
        );
        let loads = of_condition(&installation, 0);
        let of = |tag: &str| loads.breakers[&installation.part_by_tag(tag).unwrap()].unbalance_percent;
        assert_eq!((of("Q1"), of("Q2").map(f64::round)), (None, Some(0.0)));
        let one_line = |tag: &str| loads.breakers[&installation.part_by_tag(tag).unwrap()].on_one_line();
        assert_eq!((one_line("Q1"), one_line("Q2")), (true, false), "what does not apply is not unknown");
    }
}
