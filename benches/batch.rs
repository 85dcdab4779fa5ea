//! A thousand scenarios of a boat of 60 parts, in one batch and one by one, in one run: within tolerances, and switched. The
//! answers must be equal to the last bit.

use hullwire::installation::{Installation, PartKind};
use hullwire::network::{Lie, Network, Outcome, Scenario, Solved, Tolerances, Truths, solve, walk};
use hullwire::store::list::import;
use std::fmt::Write as _;
use std::hint::black_box;
use std::sync::Arc;
use std::time::{Duration, Instant};

const SCENARIOS: usize = 1_000;

fn main() {
    println!(
        "| system | 1,000 scenarios | in one batch | one by one, arrays kept | one by one, drawing solved | ratio |"
    );
    println!("| --- | --- | ---: | ---: | ---: | ---: |");
    for system in ["120V60Hz", "120/240V60Hz"] {
        for what in ["tolerances", "combinations"] {
            measure(system, what);
        }
    }
}

/// A generator, a panel and 29 circuits, each a breaker and an appliance.
fn boat(system: &str) -> Option<Installation> {
    let mut list = format!(
        "# system: {system}\ntag,kind,fed_from,run_w,load_kind,pf,rating_a,conductor,length_m\n\
         G1,generator,,9000,,,80,,\nA1,panel,G1,,,,,4 AWG,3\n"
    );
    for n in 0..29 {
        let kind = ["power", "impedance", "motor"][n % 3];
        let metres = 2 + n % 7;
        let _ = writeln!(list, "Q{n},breaker,A1,,,,20,none,");
        let _ = writeln!(list, "E{n},appliance,Q{n},{},{kind},0.9,,12 AWG,{metres}", 60 + 17 * n);
    }
    import(&list).ok().map(|list| list.installation)
}

/// Numbers that look random and are the same each time.
fn number(seed: usize) -> f64 {
    let x = (seed as u64).wrapping_mul(0x9e37_79b9_7f4a_7c15);
    ((x ^ (x >> 29)).wrapping_mul(0xbf58_476d_1ce4_e5b9) >> 11) as f64 / (1u64 << 53) as f64
}

fn measure(system: &str, what: &str) {
    let Some(boat) = boat(system) else { return };
    let network = Network::new(&boat, &walk(&boat, 0));
    let truths = Truths::of(&network, &boat, &Tolerances::default());
    let scenarios: Vec<Scenario> = (0..SCENARIOS)
        .map(|n| {
            let either = |at: usize, k: usize| 2.0 * number((n * 64 + at) * 4 + k) - 1.0;
            if what == "tolerances" {
                truths.one(|at| Lie { length: either(at, 0), heat: either(at, 1), contacts: 0.5, load: either(at, 2) })
            } else {
                let mut scenario = network.scenario();
                for (at, on) in scenario.on.iter_mut().enumerate() {
                    *on = either(at, 3) > 0.0;
                }
                scenario
            }
        })
        .collect();
    let [mut batch, mut alone, mut drawn] = [const { Vec::new() }; 3];
    let varied: Vec<Network> = scenarios.iter().map(|s| network.varied(s)).collect();
    let drawings: Vec<Installation> = scenarios.iter().map(|s| drawing(&boat, &network, s)).collect();
    for _ in 0..7 {
        let start = Instant::now();
        let found = black_box(network.solve_many(black_box(&scenarios)));
        batch.push(start.elapsed());
        let start = Instant::now();
        let single: Vec<Solved> = varied
            .iter()
            .map(|network| {
                let mut state = network.state();
                Solved { outcome: network.solve(&mut state), state }
            })
            .collect();
        alone.push(start.elapsed());
        let start = Instant::now();
        for drawing in &drawings {
            black_box(solve(black_box(drawing), 0));
        }
        drawn.push(start.elapsed());
        for (a, b) in found.iter().zip(&single) {
            assert!(a.outcome == b.outcome && matches!(a.outcome, Outcome::Settled { .. }));
            for at in 0..scenarios[0].z.len() {
                assert_eq!(network.voltages(&a.state, at), network.voltages(&b.state, at));
                assert_eq!(network.currents(&a.state, at), network.currents(&b.state, at));
            }
        }
    }
    let [batch, alone, drawn] = [batch, alone, drawn].map(median);
    println!(
        "| {system} | {what} | {batch:.2?} | {alone:.2?} ({:.1} times) | {drawn:.2?} | {:.1} |",
        alone.as_secs_f64() / batch.as_secs_f64(),
        drawn.as_secs_f64() / batch.as_secs_f64()
    );
}

/// The boat with the loads and switches of a scenario, as a single call would be given it.
fn drawing(boat: &Installation, network: &Network, scenario: &Scenario) -> Installation {
    let mut drawing = boat.clone();
    for (id, part) in &mut drawing.parts {
        let Some(at) = network.position(*id).filter(|_| part.kind == PartKind::Appliance) else { continue };
        let part = Arc::make_mut(part);
        part.run_w = part.run_w.map(|w| w * scenario.load[at]);
        if !scenario.on[at] {
            drawing.conditions[0].off.insert(*id);
        }
    }
    drawing
}

fn median(mut times: Vec<Duration>) -> Duration {
    times.sort_unstable();
    times.get(times.len() / 2).copied().unwrap_or_default()
}
