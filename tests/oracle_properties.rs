//! Properties of the solve that hold for every drawing: the order of parts changes nothing, energy is kept with reactance
//! in every cable, swapping L1 and L2 swaps the answer, and a load just within what its cable can carry is solved.

use hullwire::installation::{
    Cable, CableData, Conductor, Installation, Leg, LoadKind, Part, PartKind, Place, Size, SpaceKind, System,
};
use hullwire::network::{Solution, conductor_ohm_per_m, solve};
use proptest::prelude::*;
use std::collections::BTreeMap;

/// One part: what feeds it, a load or a panel, size, metres, watts, power factor, leg, kind of load.
type Row = (prop::sample::Index, bool, usize, f64, f64, f64, bool, bool);

fn row() -> impl Strategy<Value = Row> {
    (
        any::<prop::sample::Index>(),
        any::<bool>(),
        0usize..15,
        0.5..12.0f64,
        10.0..900.0f64,
        0.5..1.0f64,
        any::<bool>(),
        any::<bool>(),
    )
}

/// A drawing with published cables; `reversed` gives ids from the last row to the first, `swapped` exchanges L1 and L2.
fn draw(system: System, rows: &[Row], reversed: bool, swapped: bool) -> Installation {
    let mut panels = vec![0];
    let mut parents = Vec::new();
    for (i, row) in rows.iter().enumerate() {
        parents.push(panels[row.0.index(panels.len())]);
        if row.1 {
            panels.push(i + 1);
        }
    }
    let mut installation = Installation::new(system);
    let mut order: Vec<usize> = (0..=rows.len()).collect();
    if reversed {
        order.reverse();
    }
    let mut ids = BTreeMap::new();
    for n in order.clone() {
        let kind = match n {
            0 => PartKind::Generator,
            _ if rows[n - 1].1 => PartKind::Panel,
            _ => PartKind::Appliance,
        };
        let mut part = Part::new(kind, format!("P{n}"), Place::In(SpaceKind::Other));
        if kind == PartKind::Appliance {
            let row = &rows[n - 1];
            part.run_w = Some(row.4);
            part.pf = Some(row.5);
            part.leg = Some(if row.6 == swapped { Leg::L1 } else { Leg::L2 });
            part.load_kind = if row.7 { LoadKind::Impedance } else { LoadKind::Motor };
        }
        ids.insert(n, installation.add_part(part));
    }
    for n in order.into_iter().filter(|n| *n > 0) {
        let row = &rows[n - 1];
        let mut cable = Cable::between(ids[&parents[n - 1]], ids[&n]);
        // Thick enough that any of these drawings has a solution.
        let size = if row.1 { Size::Awg(Size::AWG[row.2.max(9)]) } else { Size::Mm2(Size::MM2[row.2.max(3)]) };
        cable.data = CableData { conductor: Conductor::Size(size), length_m: Some(row.3), ..CableData::unknown() };
        installation.add_cable(cable);
    }
    installation.conditions[0].feeding = vec![ids[&0]];
    installation
}

/// Volts, amperes and neutral amperes by tag.
fn figures(installation: &Installation, solution: &Solution) -> BTreeMap<String, (f64, f64, f64)> {
    solution
        .parts
        .iter()
        .map(|(id, p)| {
            let neutral = p.currents.unwrap().n.norm();
            (installation.tag(*id).to_owned(), (p.volts.unwrap(), p.amps.unwrap(), neutral))
        })
        .collect()
}

fn same(a: &BTreeMap<String, (f64, f64, f64)>, b: &BTreeMap<String, (f64, f64, f64)>) -> Result<(), TestCaseError> {
    prop_assert_eq!(a.len(), b.len());
    for (tag, x) in a {
        let y = &b[tag];
        let apart = (x.0 - y.0).abs() + (x.1 - y.1).abs() + (x.2 - y.2).abs();
        prop_assert!(apart < 1e-8, "{}: {:?} and {:?}", tag, x, y);
    }
    Ok(())
}

fn check(system: System, rows: &[Row]) -> Result<(), TestCaseError> {
    let plain = draw(system, rows, false, false);
    let solution = solve(&plain, 0);
    prop_assert!(solution.converged);
    let wanted = figures(&plain, &solution);
    let reversed = draw(system, rows, true, false);
    same(&wanted, &figures(&reversed, &solve(&reversed, 0)))?;
    let swapped = draw(system, rows, false, true);
    same(&wanted, &figures(&swapped, &solve(&swapped, 0)))?;
    let drawn: f64 = solution.parts.values().filter_map(|p| p.watts).sum();
    let lost: f64 = solution.cables.values().filter_map(|c| c.loss_watts).sum();
    let given: f64 = solution.sources.values().filter_map(|s| s.watts).sum();
    prop_assert!((given - drawn - lost).abs() < 1e-7 * (1.0 + given), "{given} W in, {drawn} W drawn, {lost} W lost");
    Ok(())
}

/// The greatest watts at a power factor behind a loop r + jx from `volts`: where
/// V⁴ + V²(2(PR + QX) − Vs²) + S²|Z|² = 0 has a double root, S = Vs² / (2(|Z| + R cos φ + X sin φ)).
fn most_watts(volts: f64, r: f64, x: f64, pf: f64) -> f64 {
    pf * volts * volts / (2.0 * (r.hypot(x) + r * pf + x * (1.0 - pf * pf).sqrt()))
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 64, ..ProptestConfig::default() })]

    #[test]
    fn order_energy_and_symmetry_two_wires(rows in prop::collection::vec(row(), 1..24)) {
        check(System::TwoWire120, &rows)?;
        check(System::TwoWire230, &rows)?;
    }

    #[test]
    fn order_energy_and_symmetry_split_phase(rows in prop::collection::vec(row(), 1..24)) {
        check(System::SplitPhase, &rows)?;
    }

    #[test]
    fn the_knee_with_reactance(size in 0usize..15, metres in 1.0..200.0f64, pf in 0.3..1.0f64, close in 3.0..9.0f64) {
        let system = System::TwoWire120;
        let size = Size::Awg(Size::AWG[size]);
        let z = conductor_ohm_per_m(size, 75, system, Default::default()).unwrap() * (2.0 * metres);
        for (share, solvable) in [(1.0 - 10f64.powf(-close), true), (1.0 + 10f64.powf(-close), false)] {
            let mut installation = Installation::new(system);
            let source = installation.add_part(Part::new(PartKind::Generator, "G1", Place::In(SpaceKind::Other)));
            let mut part = Part::new(PartKind::Appliance, "E1", Place::In(SpaceKind::Other));
            part.run_w = Some(share * most_watts(120.0, z.re, z.im, pf));
            part.pf = Some(pf);
            let load = installation.add_part(part);
            let mut cable = Cable::between(source, load);
            cable.data = CableData {
                conductor: Conductor::Size(size),
                length_m: Some(metres),
                ..CableData::unknown()
            };
            installation.add_cable(cable);
            installation.conditions[0].feeding = vec![source];
            let solution = solve(&installation, 0);
            prop_assert_eq!(solution.converged, solvable, "share {}", share);
            prop_assert_eq!(solution.no_solution, (!solvable).then_some(load));
        }
    }
}
