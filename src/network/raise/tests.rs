//! Linearised sweeps against plain ones, and near the most that a network carries.

use crate::installation::{LoadKind, PartKind, System};
use crate::network::boats::boats;
use crate::network::flat::{Flows, Network, Wires};
use crate::network::solve_tests::{Draft, behind};
use crate::network::sweep::{Flow, Kernel, Verdict};
use crate::network::{Branch, Outcome, Radial, walk};
use crate::units::Complex;

/// Far from the knee both ways find the same, the raised one in few sweeps.
#[test]
fn raised_loads_come_to_what_plain_sweeps_find() {
    fn compare<const D: usize>(kernel: &Kernel<D>, mut flow: Flow<D>, on: &[bool]) {
        assert!(matches!(kernel.solve(&mut flow, on), Verdict::Settled { .. }));
        let (v, i) = (flow.v.clone(), flow.i.clone());
        let Verdict::Settled { sweeps } = kernel.raise(&mut flow, on, 3) else { panic!("has a solution") };
        assert!((6..16).contains(&sweeps), "{sweeps} sweeps");
        for (a, b) in v.iter().flatten().zip(flow.v.iter().flatten()) {
            assert!((a - b).norm() < 1e-9 * kernel.nominal, "{a} V, {b} V");
        }
        for (a, b) in i.iter().flatten().zip(flow.i.iter().flatten()) {
            assert!((a - b).norm() < 1e-7, "{a} A, {b} A");
        }
    }
    for boat in boats() {
        let network = boat.network();
        let mut on = network.state().on;
        for off in [None, Some(boat.loads[0]), Some(boat.loads[4])] {
            if let Some(at) = off.and_then(|part| network.position(part)) {
                on[at] = false;
            }
            match (&network.kernel, network.state().flow) {
                (Wires::Two(kernel), Flows::Two(flow)) => compare(kernel, flow, &on),
                (Wires::Three(kernel), Flows::Three(flow)) => compare(kernel, flow, &on),
                _ => panic!("arrays of another network"),
            }
        }
    }
}

/// One load of constant power behind 1 Ω at 120 V: at most 3,600 W, where U is half of the source's.
#[test]
fn near_the_knee_the_closed_form_is_met() {
    for watts in [3500.0, 3590.0, 3599.0, 3599.9, 3599.999, 3600.0 - 1e-5, 3600.0] {
        let mut d = Draft::new(System::TwoWire120);
        let g = d.plain(PartKind::Generator, "G1");
        let e = d.part(PartKind::Appliance, "E1", |p| {
            (p.run_w, p.pf, p.load_kind) = (Some(watts), Some(1.0), LoadKind::Power);
        });
        d.join(g, e, 1.0);
        d.feed(&[g]);
        let s = d.solve();
        let volts = s.parts[&e].volts.expect("has a solution");
        let wanted = behind(120.0, 1.0, watts);
        // Rounding of 1e-13 in the power is its square root in the voltage at the knee.
        let room = if watts < 3599.5 { 1e-8 } else { 3e-5 };
        assert!((volts - wanted).abs() < room, "{watts} W: {volts} V, not {wanted} V");
    }
}

/// Which load is named where there is no solution: the one whose own cables carry it least.
#[test]
fn the_load_that_strains_its_cables_most_is_named() {
    // Watts and ohms of two loads on a panel: the larger product of both is beyond what can be carried.
    for ([a, b], [x, y], first) in [
        ([9000.0, 100.0], [0.8, 0.8], true),
        ([100.0, 9000.0], [0.8, 0.8], false),
        ([4000.0, 3900.0], [1.5, 0.2], true),
        ([3900.0, 4000.0], [0.2, 1.5], false),
        ([5000.0, 2500.0], [0.1, 2.5], false),
    ] {
        let mut d = Draft::new(System::TwoWire120);
        let g = d.plain(PartKind::Generator, "G1");
        let p = d.plain(PartKind::Panel, "P1");
        d.join(g, p, 0.01);
        let mut load = |tag: &str, watts: f64, ohms: f64| {
            let e = d.part(PartKind::Appliance, tag, |p| {
                (p.run_w, p.pf, p.load_kind) = (Some(watts), Some(1.0), LoadKind::Power);
            });
            d.join(p, e, ohms);
            e
        };
        let (e1, e2) = (load("E1", a, x), load("E2", b, y));
        d.feed(&[g]);
        let network = Network::new(&d.installation, &walk(&d.installation, 0));
        let outcome = network.solve(&mut network.state());
        assert_eq!(outcome, Outcome::NoSolution { part: if first { e1 } else { e2 } }, "{a} W, {b} W");
    }
}

/// A step down makes the ohms behind it as much larger as the square of its ratio, seen from below: what a load of these watts
/// may have behind a transformer is less.
#[test]
fn a_transformer_counts_with_the_square_of_its_ratio() {
    for (volts, watts, solved) in
        [(60.0, 850.0, true), (60.0, 950.0, false), (120.0, 3550.0, true), (120.0, 3650.0, false)]
    {
        let mut d = Draft::new(System::TwoWire120);
        let g = d.plain(PartKind::Generator, "G1");
        let t = d.part(PartKind::IsolationTransformer, "T1", |p| p.volts = Some(volts));
        let e = d.part(PartKind::Appliance, "E1", |p| {
            (p.run_w, p.pf, p.load_kind) = (Some(watts), Some(1.0), LoadKind::Power);
        });
        d.join(g, t, 0.0);
        d.join(t, e, 1.0);
        d.feed(&[g]);
        let network = Network::new(&d.installation, &walk(&d.installation, 0));
        let mut state = network.state();
        let settled = matches!(network.solve(&mut state), Outcome::Settled { .. });
        assert_eq!(settled, solved, "{volts} V, {watts} W");
        if settled {
            let found = network.voltages(&state, network.position(e).expect("is fed")).expect("is there").0.norm();
            assert!((found - behind(volts, 1.0, watts)).abs() < 1e-8, "{found} V");
        }
    }
}

/// Behind a reactance a load that leads lifts its voltage: U = (Us + √(Us² + 4·X·Q)) / 2, however large it is. Where X·Q is
/// beyond Us², one step from no load to the whole of it is too long.
#[test]
fn loads_too_large_for_one_step_are_raised_in_several() {
    for vars in [10_000.0, 20_000.0, 100_000.0, 1e6] {
        let branch = |parent, z, power| Branch { parent, z, power, admittance: Complex::ZERO };
        let source = branch(None, Complex::ZERO, Complex::ZERO);
        let load = branch(Some(0), Complex::new(0.0, 0.5), Complex::new(0.0, -vars));
        let mut radial = Radial::new(&[source, load], 120.0).expect("is radial");
        assert!(radial.solve().is_some(), "{vars} var");
        let (found, wanted) = (radial.voltages()[1].norm(), 60.0 + (3600.0 + vars).sqrt());
        assert!((found - wanted).abs() < 1e-9 * wanted, "{vars} var: {found} V, not {wanted} V");
    }
}

/// What is asked for is 1e-9 of nominal, or 1.2e-7 V.
#[test]
fn linearised_sweeps_end_with_a_step_far_below_what_is_asked_for() {
    let network = boats()[0].network();
    let Wires::Two(kernel) = &network.kernel else { panic!("has two wires") };
    let on = network.state().on;
    let mut flow = kernel.flow();
    assert!(matches!(kernel.solve(&mut flow, &on), Verdict::Settled { .. }));
    let settled = flow.v.clone();
    for (off, wanted) in [(1e-9, 1), (1e-7, 2), (1e-4, 2)] {
        for (v, settled) in flow.v.iter_mut().zip(&settled) {
            v[0] = settled[0] + off;
        }
        let mut sweeps = 0;
        assert!(kernel.newton(&mut flow, &on, 1.0, &mut sweeps));
        assert_eq!(sweeps, wanted, "{off} V off");
    }
}

/// 0.2 Ω behind a transformer to half the volts and 0.1 Ω before it: these are a quarter of that, seen from below.
#[test]
fn ohms_before_a_transformer_count_with_the_square_of_its_ratio() {
    for system in [System::TwoWire120, System::SplitPhase] {
        let mut d = Draft::new(system);
        let g = d.plain(PartKind::Generator, "G1");
        let t = d.part(PartKind::IsolationTransformer, "T1", |p| p.volts = Some(60.0));
        let e = d.plain(PartKind::Appliance, "E1");
        d.join(g, t, 0.1);
        d.join(t, e, 0.2);
        d.feed(&[g]);
        let network = Network::new(&d.installation, &walk(&d.installation, 0));
        let ohms = match &network.kernel {
            Wires::Two(kernel) => kernel.to_source(),
            Wires::Three(kernel) => kernel.to_source(),
        };
        for (part, wanted) in [(g, 0.0), (t, 0.1), (e, 0.2 + 0.1 / 4.0)] {
            let found = ohms[network.position(part).expect("is fed")];
            assert!((found - wanted).abs() < 1e-9, "{system:?}: {found} Ω, not {wanted} Ω");
        }
    }
}
