//! What single sweeps do, on the arrays themselves.

use super::{COLLAPSED, Kernel, Verdict, is_low};
use crate::network::boats::boats;
use crate::network::flat::{Flows, Wires};
use crate::units::Complex;

#[test]
fn a_voltage_has_collapsed_at_the_least_share_of_nominal_and_below() {
    let kernel = Kernel::<1>::two_wires(100.0);
    let least = 100.0 * COLLAPSED;
    for (volts, collapsed) in [(0.0, true), (0.9 * least, true), (1.1 * least, false), (100.0, false), (1e-4, false)] {
        assert_eq!(kernel.has_collapsed(Complex::new(0.0, volts)), collapsed, "{volts} V");
        assert_eq!(is_low(volts * volts, least * least), collapsed, "{volts} V");
    }
    assert!(kernel.has_collapsed(Complex::new(f64::NAN, 1.0)));
    assert!(is_low(f64::NAN, 1.0) && is_low(1.0, 1.0) && !is_low(1.1, 1.0));
}

/// Currents are not drawn at a collapsed voltage, of any part that is on.
#[test]
fn a_sweep_ends_where_a_voltage_has_collapsed() {
    fn ends<const D: usize>(kernel: &Kernel<D>, mut flow: super::Flow<D>, loads: &[usize]) {
        let count = kernel.count();
        for on in [vec![true; count], (0..count).map(|at| at != loads[0]).collect::<Vec<_>>()] {
            for at in 0..count {
                kernel.start(&mut flow);
                assert!(kernel.backward(&mut flow, &on, 1.0));
                let least = COLLAPSED * kernel.nominal;
                for (volts, low) in [(0.0, true), (f64::NAN, true), (0.4 * least, true), (1.1 * least, false)] {
                    // Opposite where there are two lines, as at the source.
                    flow.v[at] = std::array::from_fn(|k| Complex::new(if k == 0 { volts } else { -volts }, 0.0));
                    assert_eq!(kernel.backward(&mut flow, &on, 1.0), !(on[at] && low), "{volts} V at {at}");
                }
            }
        }
    }
    for boat in boats() {
        let network = boat.network();
        let loads: Vec<usize> = boat.loads.iter().map(|p| network.position(*p).expect("is fed")).collect();
        match (&network.kernel, network.state().flow) {
            (Wires::Two(kernel), Flows::Two(flow)) => ends(kernel, flow, &loads),
            (Wires::Three(kernel), Flows::Three(flow)) => ends(kernel, flow, &loads),
            _ => panic!("arrays of another network"),
        }
    }
}

/// The largest change of a sweep is what the voltages were off by.
#[test]
fn a_sweep_says_by_how_much_it_changed() {
    let network = boats()[0].network();
    let Wires::Two(kernel) = &network.kernel else { panic!("has two wires") };
    let on = network.state().on;
    let mut flow = kernel.flow();
    assert!(matches!(kernel.solve(&mut flow, &on), Verdict::Settled { sweeps } if sweeps < 12));
    let settled: Vec<Complex> = flow.v.iter().map(|v| v[0]).collect();
    assert!(kernel.backward(&mut flow, &on, 1.0));
    assert!(kernel.forward(&mut flow) < 1e-9 * kernel.nominal);
    kernel.start(&mut flow);
    assert!(kernel.backward(&mut flow, &on, 1.0));
    let change = kernel.forward(&mut flow);
    let off = settled.iter().map(|v| (v - kernel.source(0)[0]).norm()).fold(0.0, f64::max);
    assert!((change - off).abs() < 0.2 * off && change > 1.0, "{change} V, off by {off} V");
}

#[test]
fn loads_that_are_off_draw_nothing() {
    let boat = &boats()[2];
    let network = boat.network();
    let mut state = network.state();
    state.on.fill(false);
    network.solve(&mut state);
    for at in 0..network.nodes.len() {
        let (a, b) = network.currents(&state, at).expect("is there");
        assert_eq!((a.norm(), b.norm()), (0.0, 0.0));
    }
}
