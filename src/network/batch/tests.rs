//! Many scenarios at once against each by itself.

use super::{COLLAPSED, LANES, Lanes, Outcome, Phasors, Wires, solve};
use crate::installation::PartKind::{Generator, Panel};
use crate::network::boats::{boats, draft};
use crate::network::flat::{Flows, Network};
use crate::network::sweep::Kernel;
use crate::network::{Scenario, walk};

/// Pseudo-random numbers from 0 to 1, the same each time.
struct Draw(u64);

impl Draw {
    fn next(&mut self) -> f64 {
        self.0 = self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        (self.0 >> 33) as f64 / (1_u64 << 31) as f64
    }
}

/// Scenarios with loads up to so many times as large; beyond some there is no solution.
fn scenarios(network: &Network, loads: f64, count: usize) -> Vec<Scenario> {
    let mut draw = Draw(20_261_126);
    (0..count)
        .map(|_| {
            let mut s = network.scenario();
            for z in &mut s.z {
                *z *= 0.5 + draw.next();
            }
            for by in &mut s.load {
                *by = loads * draw.next();
            }
            for on in &mut s.on {
                *on &= draw.next() < 0.8;
            }
            s
        })
        .collect()
}

/// Voltages and currents; compared as numbers, so that the sign of a zero does not count.
fn figures(network: &Network, state: &crate::network::State) -> Vec<[f64; 8]> {
    (0..network.nodes.len())
        .map(|at| {
            let (a, b) = network.voltages(state, at).expect("is there");
            let (c, d) = network.currents(state, at).expect("is there");
            [a.re, a.im, b.re, b.im, c.re, c.im, d.re, d.im]
        })
        .collect()
}

#[test]
fn each_scenario_is_solved_as_by_itself() {
    for boat in boats() {
        let network = boat.network();
        let mut ends = [0; 2];
        for (loads, count) in [(1.0, 1), (1.0, 2), (1.5, 7), (12.0, 64), (40.0, 23)] {
            let scenarios = scenarios(&network, loads, count);
            let solved = network.solve_many(&scenarios);
            assert_eq!(solved.len(), count);
            for (scenario, solved) in scenarios.iter().zip(&solved) {
                let alone = network.varied(scenario);
                let mut state = alone.state();
                let outcome = alone.solve(&mut state);
                assert_eq!(solved.outcome, outcome, "{}", boat.name);
                assert_eq!(solved.state.on, scenario.on);
                match outcome {
                    Outcome::Settled { .. } => {
                        ends[0] += 1;
                        assert_eq!(figures(&network, &solved.state), figures(&network, &state), "{}", boat.name);
                    }
                    _ => ends[1] += 1,
                }
            }
        }
        assert!(ends[0] > 40 && ends[1] >= 5, "{}: {ends:?}", boat.name);
    }
}

/// Where nothing is on, no load tells of it.
#[test]
fn ohms_that_are_no_number_settle_in_no_lane_and_spoil_no_other() {
    for boat in boats() {
        let network = boat.network();
        let load = network.position(boat.loads[0]).expect("is fed");
        let good = network.scenario();
        let mut bad = good.clone();
        bad.z[load].re = f64::NAN;
        bad.on.fill(false);
        let solved = network.solve_many(&[good.clone(), bad, good]);
        let settled: Vec<bool> = solved.iter().map(|s| matches!(s.outcome, Outcome::Settled { .. })).collect();
        assert_eq!(settled, [true, false, true], "{}", boat.name);
        assert_eq!(figures(&network, &solved[0].state), figures(&network, &solved[2].state), "{}", boat.name);
    }
}

/// Those that plain sweeps settle are solved in the lanes, not one by one.
#[test]
fn lanes_do_what_plain_sweeps_can() {
    for boat in boats() {
        let network = boat.network();
        let scenarios = scenarios(&network, 1.0, 10);
        let found: Vec<bool> = match &network.kernel {
            Wires::Two(kernel) => solve(kernel, &scenarios, Flows::Two).iter().map(Option::is_some).collect(),
            Wires::Three(kernel) => solve(kernel, &scenarios, Flows::Three).iter().map(Option::is_some).collect(),
        };
        assert_eq!(found, [true; 10], "{}", boat.name);
    }
}

/// In the lane itself and in no other, and only where the part is on.
#[test]
fn a_lane_has_collapsed_at_the_least_share_of_nominal_and_below() {
    fn collapses<const D: usize>(kernel: &Kernel<D>, mut scenario: Scenario) {
        let mut lanes = Lanes::new(kernel);
        let last = LANES - 1;
        for on in [true, false] {
            scenario.on[0] = on;
            for (share, low) in [(0.0, true), (f64::NAN, true), (0.4, true), (1.1, false)] {
                lanes.fill(kernel, std::slice::from_ref(&scenario));
                assert_eq!(lanes.backward(kernel), [false; LANES]);
                for (k, v) in lanes.v[0].iter_mut().enumerate() {
                    let volts = share * COLLAPSED * kernel.nominal * if k == 0 { 1.0 } else { -1.0 };
                    let before = *v;
                    *v = Phasors::each(|l| if l == last { (volts, 0.0) } else { (before.re[l], before.im[l]) });
                }
                let wanted = std::array::from_fn(|l| l == last && on && low);
                assert_eq!(lanes.backward(kernel), wanted, "{share}, {on}");
            }
        }
    }
    for boat in boats() {
        let network = boat.network();
        match &network.kernel {
            Wires::Two(kernel) => collapses(kernel, network.scenario()),
            Wires::Three(kernel) => collapses(kernel, network.scenario()),
        }
    }
}

#[test]
fn scenarios_of_another_size_are_refused() {
    let network = boats()[0].network();
    let good = network.scenario();
    assert!(matches!(network.solve_many(std::slice::from_ref(&good))[0].outcome, Outcome::Settled { .. }));
    for cut in 0..3 {
        let mut short = good.clone();
        match cut {
            0 => drop(short.z.pop()),
            1 => drop(short.load.pop()),
            _ => drop(short.on.pop()),
        }
        let solved = network.solve_many(&[good.clone(), short]);
        assert_eq!(solved.len(), 2);
        assert!(solved.iter().all(|s| s.outcome == Outcome::Refused));
    }
}

#[test]
fn a_ring_is_refused() {
    let parts = [(Generator, "G1"), (Panel, "P1"), (Panel, "P2")];
    let (d, _) = draft(&parts, &[(0, 1), (1, 2), (2, 1)], &[0]);
    let network = Network::new(&d.installation, &walk(&d.installation, 0));
    let solved = network.solve_many(&[network.scenario()]);
    assert_eq!(solved[0].outcome, Outcome::Refused);
}
