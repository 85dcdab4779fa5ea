//! What must hold between two drawings that differ in a known way, whatever the figures: random boats of all three systems
//! with sources, selectors, panels behind panels, chargers and transformers. Each identity follows from the equations
//! V = Us − Σ z·I, I = conj(S/V) + Y·V alone, so no outside figure is needed.

#[path = "support/random_boats.rs"]
mod random_boats;
#[path = "support/wired_boats.rs"]
mod wired_boats;

use hullwire::installation::{
    Cable, CableId, Installation, Leg, Part, PartId, PartKind, Place, ResistanceBasis, SpaceKind, System,
};
use hullwire::network::{PartFlow, Solution, solve};
use proptest::prelude::*;
use random_boats::{Seed, seed, seed_of};
use std::collections::BTreeMap;
use std::sync::Arc;
use wired_boats::{boat, wire};

fn each_part(boat: &mut Installation, mut change: impl FnMut(&mut Part)) {
    boat.parts.values_mut().for_each(|part| change(Arc::make_mut(part)));
}

/// What is compared of a part: volts, amperes, drop, each conductor's amperes.
fn figures(flow: &PartFlow) -> [Option<f64>; 6] {
    let of = |pick: fn(&hullwire::network::Currents) -> f64| flow.currents.as_ref().map(pick);
    [flow.volts, flow.amps, flow.drop_percent, of(|c| c.l1.norm()), of(|c| c.l2.norm()), of(|c| c.n.norm())]
}

/// All parts of `a` stand in `b` too, each figure times its factor, to 1e-8 of what it is.
fn alike(a: &Solution, b: &Solution, factors: [f64; 6], order: [usize; 6]) -> Result<(), TestCaseError> {
    prop_assert_eq!(a.converged, b.converged);
    for (id, flow) in &a.parts {
        let (x, y) = (figures(flow), figures(&b.parts[id]));
        for (k, factor) in factors.iter().enumerate() {
            let (x, y) = (x[k].map(|x| x * factor), y[order[k]]);
            let near = x.zip(y).is_none_or(|(x, y)| (x - y).abs() <= 1e-8 * (1.0 + x.abs()));
            prop_assert!(x.is_some() == y.is_some() && near, "{id:?}, figure {k}: {x:?} and {y:?}");
        }
    }
    Ok(())
}

const SAME: [f64; 6] = [1.0; 6];
const STRAIGHT: [usize; 6] = [0, 1, 2, 3, 4, 5];

/// The same drawing with parts and cables entered in another order; a selector's inlets keep theirs.
fn shuffled(boat: &Installation, keys: &[u32]) -> (Installation, BTreeMap<PartId, PartId>) {
    let key = |n: u32| keys.get(n as usize % keys.len().max(1)).copied().unwrap_or_default().rotate_left(n % 32);
    let mut order: Vec<(u32, PartId)> = boat.parts.keys().enumerate().map(|(n, id)| (key(n as u32), *id)).collect();
    order.sort_unstable();
    let mut other = Installation::new(boat.system);
    let ids: BTreeMap<PartId, PartId> =
        order.iter().map(|(_, id)| (*id, other.add_part(boat.parts[id].as_ref().clone()))).collect();
    let rank = |id: PartId| order.iter().position(|(_, part)| *part == id).map_or(0, |n| key(n as u32 + 7));
    let mut cables: Vec<(u32, PartId, CableId)> = boat.cables.iter().map(|(id, c)| (rank(c.to), c.to, *id)).collect();
    cables.sort_unstable();
    for (_, _, id) in cables {
        let mut cable = boat.cables[&id].as_ref().clone();
        (cable.from, cable.to) = (ids[&cable.from], ids[&cable.to]);
        other.add_cable(cable);
    }
    other.conditions[0].feeding = boat.conditions[0].feeding.iter().map(|id| ids[id]).collect();
    (other, ids)
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 256, max_global_rejects: 1 << 16, ..ProptestConfig::default() })]

    /// z·conj(S) and z·Y are what decides: k times the length and 1/k of every load leave each voltage where it was.
    #[test]
    fn longer_cables_and_smaller_loads(seed in seed(40), k in 0.1..10.0f64) {
        let plain = boat(&seed);
        let mut scaled = plain.clone();
        for cable in scaled.cables.values_mut() {
            let data = &mut Arc::make_mut(cable).data;
            data.length_m = data.length_m.map(|m| m * k);
        }
        each_part(&mut scaled, |part| {
            part.cord.length_m = part.cord.length_m.map(|m| m * k);
            part.charge_w /= k;
            if part.kind == PartKind::Appliance {
                part.run_w = part.run_w.map(|w| w / k);
            }
        });
        alike(&solve(&plain, 0), &solve(&scaled, 0), [1.0, 1.0 / k, 1.0, 1.0 / k, 1.0 / k, 1.0 / k], STRAIGHT)?;
    }

    /// k times the source's volts and k² times each constant power give k times every voltage and current.
    #[test]
    fn higher_volts_and_larger_powers(seed in seed(40), k in 0.5..2.0f64) {
        let plain = boat(&seed);
        let mut scaled = plain.clone();
        let nominal = plain.system.nominal_v();
        each_part(&mut scaled, |part| {
            part.charge_w *= k * k;
            if part.kind.is_source() {
                part.volts = Some(part.volts.unwrap_or(nominal) * k);
            } else if part.kind == PartKind::Appliance
                && part.load_kind != hullwire::installation::LoadKind::Impedance
            {
                part.run_w = part.run_w.map(|w| w * k * k);
            }
        });
        alike(&solve(&plain, 0), &solve(&scaled, 0), [k; 6], STRAIGHT)?;
    }

    #[test]
    fn swapped_legs_swap_the_answer(seed in seed(40)) {
        let seed = Seed { system: System::SplitPhase, ..seed };
        let mut plain = boat(&seed);
        let solution = solve(&plain, 0);
        // A leg that is taken from the feed stays L1 where it is not stated: state them all, a transformer's of its far side.
        for (id, part) in &mut plain.parts {
            Arc::make_mut(part).leg = solution.walk.legs.get(id).copied();
        }
        let solution = solve(&plain, 0);
        let mut swapped = plain.clone();
        each_part(&mut swapped, |part| {
            part.leg = part.leg.map(|leg| match leg {
                Leg::L1 => Leg::L2,
                Leg::L2 => Leg::L1,
                Leg::L1L2 | Leg::L1L2N => leg,
            });
        });
        alike(&solution, &solve(&swapped, 0), SAME, [0, 1, 2, 4, 3, 5])?;
    }

    #[test]
    fn a_cable_in_two_halves(seed in seed_of(12, 40), which in any::<prop::sample::Index>(), share in 0.0..1.0f64) {
        let plain = boat(&seed);
        let solution = solve(&plain, 0);
        let known: Vec<CableId> = solution.walk.feeds.values().map(|f| f.cable)
            .filter(|id| plain.cables[id].data.length_m.is_some() && plain.cables[id].data.is_fitted())
            // The second half keeps the place of the cable at its far end: a selector's inlets are told apart by order.
            .filter(|id| plain.parts[&plain.cables[id].to].kind != PartKind::Selector)
            .collect();
        prop_assume!(!known.is_empty());
        let cut = known[which.index(known.len())];
        let mut halves = plain.clone();
        let joint = halves.add_part(Part::new(PartKind::Junction, "Joint", Place::In(SpaceKind::Other)));
        let mut second = halves.cables[&cut].as_ref().clone();
        let whole = second.data.length_m.unwrap();
        second.from = joint;
        second.data.length_m = Some(whole * (1.0 - share));
        let first = Arc::make_mut(halves.cables.get_mut(&cut).unwrap());
        first.data.length_m = Some(whole * share);
        first.to = joint;
        halves.add_cable(second);
        let other = solve(&halves, 0);
        prop_assume!(other.walk.chosen == solution.walk.chosen);
        alike(&solution, &other, SAME, STRAIGHT)?;
    }

    /// Without reactance and at power factor 1 this is a theorem: the conductance matrix with heaters in it is an M-matrix,
    /// so its inverse has no negative entry, and the upper solution falls with each watt anywhere. With reactance and
    /// lagging loads it holds while the drop is far from the knee.
    #[test]
    fn a_further_load_raises_no_voltage(seed in seed_of(2, 40), at in any::<prop::sample::Index>(), watts in 1.0..3000.0f64,
            heater in any::<bool>(), reactance in any::<bool>()) {
        // With a shared neutral a load on one line raises the other: two wires alone.
        let system = if seed.system.is_split_phase() { System::TwoWire120 } else { seed.system };
        let mut plain = boat(&Seed { system, ..seed });
        if !reactance {
            plain.resistance = ResistanceBasis::Formula;
            each_part(&mut plain, |part| part.pf = None);
        }
        let before = solve(&plain, 0);
        prop_assume!(!before.walk.order.is_empty());
        let mut part = Part::new(PartKind::Appliance, "More", Place::In(SpaceKind::Other));
        part.run_w = Some(watts);
        part.pf = reactance.then_some(0.8);
        if heater {
            part.load_kind = hullwire::installation::LoadKind::Impedance;
        }
        let mut loaded = plain.clone();
        let load = loaded.add_part(part);
        let mut cable = Cable::between(before.walk.order[at.index(before.walk.order.len())], load);
        cable.data = wire(5.0);
        loaded.add_cable(cable);
        let after = solve(&loaded, 0);
        let deep = after.parts.values().filter_map(|p| p.drop_percent).any(|d| d > 20.0);
        prop_assume!(after.converged && !(reactance && deep));
        for (id, flow) in &before.parts {
            let (old, new) = (flow.volts, after.parts[id].volts);
            prop_assert!(old.is_some() == new.is_some());
            prop_assert!(old.zip(new).is_none_or(|(old, new)| new <= old + 1e-9), "{id:?}: {old:?} then {new:?}");
        }
    }

    #[test]
    fn power_in_equals_loads_and_losses(seed in seed(60)) {
        let solution = solve(&boat(&seed), 0);
        let drawn: f64 = solution.parts.values().filter_map(|p| p.watts).sum();
        let lost: f64 = solution.cables.values().chain(solution.cords.values()).filter_map(|c| c.loss_watts).sum();
        let given: f64 = solution.sources.values().filter_map(|s| s.watts).sum();
        prop_assert!((given - drawn - lost).abs() <= 1e-9 * (1.0 + given), "{given} W in, {drawn} W drawn, {lost} W lost");
    }

    /// To the last bit: the walk stands in the order of tags, whatever the order in the file.
    #[test]
    fn order_in_the_file_changes_nothing(seed in seed(60), keys in prop::collection::vec(any::<u32>(), 1..61)) {
        let plain = boat(&seed);
        let (other, ids) = shuffled(&plain, &keys);
        let (a, b) = (solve(&plain, 0), solve(&other, 0));
        prop_assert_eq!(a.converged, b.converged);
        prop_assert_eq!(a.sweeps, b.sweeps);
        prop_assert_eq!(a.no_solution.map(|id| ids[&id]), b.no_solution);
        for (id, flow) in &a.parts {
            let bits = |flow: &PartFlow| figures(flow).map(|f| f.map(f64::to_bits));
            prop_assert_eq!(bits(flow), bits(&b.parts[&ids[id]]), "{:?}", id);
        }
        for (id, flow) in &a.sources {
            let watts = |s: &hullwire::network::SourceFlow| s.watts.map(f64::to_bits);
            prop_assert_eq!(watts(flow), watts(&b.sources[&ids[id]]));
        }
        let losses = |s: &Solution, to: &dyn Fn(PartId) -> PartId| -> BTreeMap<PartId, Option<u64>> {
            s.walk.feeds.iter().map(|(id, f)| (to(*id), s.cables[&f.cable].loss_watts.map(f64::to_bits))).collect()
        };
        prop_assert_eq!(losses(&a, &|id| ids[&id]), losses(&b, &|id| id));
    }
}
