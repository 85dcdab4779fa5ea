//! Random installations that look like boats: sources, selectors, panels behind panels, circuits of all kinds; and some
//! that do not: rings, islands, parts that nothing feeds.

use hullwire::installation::{
    Cable, CableData, Conductor, Installation, LoadKind, Part, PartId, PartKind, Place, Protection, Size, SpaceKind,
    Status, System,
};
use proptest::prelude::*;

/// What an installation is grown from.
#[derive(Clone, Debug)]
pub struct Seed {
    /// Supply system.
    pub system: System,
    /// A number for each part: everything else follows from it.
    pub numbers: Vec<u32>,
    /// Further cables between any two parts, as numbers.
    pub wild: Vec<(u32, u32)>,
}

/// Installations of 1 to `most` parts.
pub fn seed(most: usize) -> impl Strategy<Value = Seed> {
    seed_of(1, most)
}

/// Installations of `least` to `most` parts.
pub fn seed_of(least: usize, most: usize) -> impl Strategy<Value = Seed> {
    let systems = prop::sample::select(vec![System::TwoWire120, System::SplitPhase, System::TwoWire230]);
    (
        systems,
        prop::collection::vec(any::<u32>(), least..=most),
        prop::collection::vec((any::<u32>(), any::<u32>()), 0..3),
    )
        .prop_map(|(system, numbers, wild)| Seed { system, numbers, wild })
}

fn kind(number: u32, n: usize) -> PartKind {
    match (n, number % 20) {
        (0, _) => PartKind::Generator,
        (1, _) => PartKind::ShoreInlet,
        (2, _) => PartKind::Selector,
        (3, _) => PartKind::Panel,
        (_, 0) => PartKind::Panel,
        (_, 1) => PartKind::Junction,
        (_, 2) => PartKind::Inverter,
        (_, 3) => PartKind::IsolationTransformer,
        (_, 4) => PartKind::GalvanicIsolator,
        (_, 5) => PartKind::PolarityIndicator,
        (_, 6..=11) => PartKind::Breaker,
        (_, 12..=14) => PartKind::Outlet,
        _ => PartKind::Appliance,
    }
}

/// Grows the installation; its parts have no places yet.
pub fn grow(seed: &Seed) -> Installation {
    let mut installation = Installation::new(seed.system);
    installation.name = "A boat with a name of some length".to_owned();
    let mut ids: Vec<PartId> = Vec::new();
    let mut panels: Vec<PartId> = Vec::new();
    for (n, &number) in seed.numbers.iter().enumerate() {
        let kind = kind(number, n);
        let space = SpaceKind::ALL[(number / 7) as usize % SpaceKind::ALL.len()];
        let mut part = Part::new(kind, format!("P{n}"), Place::In(space));
        let words =
            ["", "Water heater", "Galley outlets, starboard side and the saloon", "Fridge", "Charger for the tools"];
        part.label = words[(number / 3) as usize % words.len()].to_owned();
        part.load_kind = [LoadKind::Power, LoadKind::Impedance, LoadKind::Motor][(number / 5) as usize % 3];
        part.run_w = (!number.is_multiple_of(5)).then_some(f64::from(number % 2000) + 10.0);
        part.rating_a = (!number.is_multiple_of(7)).then_some(f64::from(number % 30) + 5.0);
        part.protection = if number.is_multiple_of(11) { Protection::Rcd30 } else { Protection::None };
        part.status = [Status::Existing, Status::Existing, Status::New, Status::Remove][(number / 13) as usize % 4];
        let id = installation.add_part(part);
        if n > 2 || kind == PartKind::Selector {
            // Mostly behind a panel, else behind any part before it.
            let before = if number % 3 > 0 && !panels.is_empty() {
                panels[(number / 17) as usize % panels.len()]
            } else {
                ids[(number / 17) as usize % ids.len()]
            };
            if !number.is_multiple_of(23) {
                installation.add_cable(cable(before, id, number));
            }
        }
        if kind == PartKind::Panel {
            panels.push(id);
        }
        ids.push(id);
    }
    if let (Some(inlet), Some(selector)) = (ids.get(1), ids.get(2)) {
        installation.add_cable(cable(*inlet, *selector, 5));
    }
    for (a, b) in &seed.wild {
        let (a, b) = (ids[*a as usize % ids.len()], ids[*b as usize % ids.len()]);
        if a != b {
            installation.add_cable(cable(a, b, 8));
        }
    }
    installation.conditions[0].feeding = vec![ids[0]];
    installation
}

fn cable(from: PartId, to: PartId, number: u32) -> Cable {
    let mut cable = Cable::between(from, to);
    if number.is_multiple_of(4) {
        cable.data = CableData::none();
    } else {
        cable.data.conductor = Conductor::Size(Size::Awg(12));
        cable.data.length_m = (!number.is_multiple_of(3)).then_some(4.5);
    }
    cable
}
