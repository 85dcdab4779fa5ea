//! Enclosures against every solve that they stand for: all of it lies within, and they are hardly wider than it.

use super::{Bounds, Frame};
use crate::installation::Leg;
use crate::installation::PartKind::{Appliance, Generator, Panel};
use crate::network::boats::{Boat, boats, draft};
use crate::network::flat::{Network, State};
use crate::network::phasor_range::{PhasorRange, Span};
use crate::network::solve_tests::behind;
use crate::network::walk;
use crate::units::Complex;

/// What each part has in a solve or in an enclosure.
struct Seen {
    volts: Vec<Span>,
    amps: Vec<[Span; 2]>,
    amps_out: Vec<[Span; 2]>,
    watts: Span,
}

struct Case {
    network: Network,
    loads: Vec<usize>,
    source: usize,
    panel: usize,
    nominal: f64,
}

impl Case {
    fn of(boat: &Boat) -> Self {
        let network = boat.network();
        let at = |part| network.position(part).expect("is fed");
        let loads = boat.loads.iter().map(|p| at(*p)).collect();
        let (source, panel) = (at(boat.source), at(boat.panel));
        Self { loads, source, panel, nominal: boat.draft.installation.system.nominal_v(), network }
    }

    /// Which positions are on where these of the loads are, one bit each.
    fn on(&self, set: u32) -> Vec<bool> {
        let mut on = vec![false; self.network.nodes.len()];
        for (bit, at) in self.loads.iter().enumerate() {
            on[*at] = set & (1 << bit) != 0;
        }
        on
    }

    fn solve(&self, set: u32) -> State {
        let mut state = self.network.state();
        state.on = self.on(set);
        self.network.solve(&mut state);
        state
    }

    fn count(&self) -> usize {
        self.network.nodes.len()
    }

    /// Least volts of each load: 80 % of what its conductors have without load.
    fn least(&self) -> Vec<f64> {
        self.network.nodes.iter().map(|n| if n.leg == Leg::L1L2 { 1.6 } else { 0.8 } * self.nominal).collect()
    }

    fn enclose(&self, must: u32, may: u32, most_a: &[(f64, f64)], least_re: &[f64]) -> Bounds {
        let mut bounds = self.network.bounds();
        let frame = Frame { must: &self.on(must), may: &self.on(may), least_v: &self.least(), most_a, least_re };
        self.network.enclose(&frame, &mut bounds);
        bounds
    }

    fn open(&self) -> Vec<(f64, f64)> {
        vec![(f64::INFINITY, f64::INFINITY); self.count()]
    }

    fn seen(&self, bounds: &Bounds) -> Seen {
        let all = || 0..self.count();
        Seen {
            volts: all().map(|at| bounds.volts(at)).collect(),
            amps: all().map(|at| [0, 1].map(|line| bounds.amps(at, line))).collect(),
            amps_out: all().map(|at| [0, 1].map(|line| bounds.amps_out(at, line))).collect(),
            watts: bounds.watts(self.source),
        }
    }

    /// The same of a solve.
    fn found(&self, state: &State) -> Seen {
        let all = || 0..self.count();
        let point = |x: f64| Span { least: x, most: x };
        let current = |at| self.network.currents(state, at).expect("is there");
        let loads: Vec<(Complex, Complex)> = all().map(|at| self.own(state, at)).collect();
        let passed = |at: usize| {
            // What it passes on is what its children take: what goes in less its own load, behind a transformer's ratio.
            let (i, own, ratio) = (current(at), loads[at], self.network.nodes[at].ratio.unwrap_or(1.0));
            [point((i.0 - own.0).norm() / ratio), point((i.1 - own.1).norm() / ratio)]
        };
        let volts = |at: usize| {
            let (a, b) = self.network.voltages(state, at).expect("is there");
            match self.network.nodes[at].leg {
                Leg::L1 => a.norm(),
                Leg::L2 => b.norm(),
                _ => (a - b).norm(),
            }
        };
        Seen {
            volts: all().map(|at| point(volts(at))).collect(),
            amps: all().map(|at| [point(current(at).0.norm()), point(current(at).1.norm())]).collect(),
            amps_out: all().map(passed).collect(),
            watts: point(self.network.source_watts(state, self.source).expect("is there")),
        }
    }

    /// Line currents that a part's own load takes; loads pass nothing on.
    fn own(&self, state: &State, at: usize) -> (Complex, Complex) {
        let i = self.network.currents(state, at).expect("is there");
        if self.loads.contains(&at) { i } else { Default::default() }
    }

    /// The current of a load across its leg.
    fn load_current(&self, state: &State, at: usize) -> Complex {
        let (a, b) = self.network.currents(state, at).expect("is there");
        if self.network.nodes[at].leg == Leg::L2 { b } else { a }
    }
}

fn spans(seen: &Seen) -> Vec<Span> {
    let lines = |x: &[[Span; 2]]| x.iter().flatten().copied().collect::<Vec<_>>();
    [seen.volts.clone(), lines(&seen.amps), lines(&seen.amps_out), vec![seen.watts]].concat()
}

/// By how much more than `around` a span reaches, as a share of its most.
fn excess(span: &Span, around: &Span) -> f64 {
    (around.least - span.least).max(span.most - around.most) / around.most.max(1.0)
}

fn within(range: &PhasorRange, c: Complex) -> bool {
    let slack = 1e-8;
    range.re[0] - slack <= c.re
        && c.re <= range.re[1] + slack
        && range.im[0] - slack <= c.im
        && c.im <= range.im[1] + slack
}

#[test]
fn every_solve_lies_within_and_the_enclosure_is_hardly_wider() {
    let mut widest = [0.0f64; 3];
    for boat in boats() {
        let case = Case::of(&boat);
        let states: Vec<State> = (0..32).map(|set| case.solve(set)).collect();
        for must in 0..32_u32 {
            for may in [0, 1, 2, 4, 8, 16, 5, 18, 31].map(|may: u32| may & !must) {
                let bounds = case.enclose(must, may, &case.open(), &[]);
                let enclosed = spans(&case.seen(&bounds));
                let mut hull: Vec<Span> =
                    enclosed.iter().map(|_| Span { least: f64::INFINITY, most: f64::NEG_INFINITY }).collect();
                for set in (0..32_u32).filter(|set| set & must == must && set & !(must | may) == 0) {
                    let state = &states[set as usize];
                    for (n, (found, enclosed)) in spans(&case.found(state)).iter().zip(&enclosed).enumerate() {
                        let slack = 1e-8 * enclosed.most.abs().max(1.0);
                        assert!(
                            enclosed.least - slack <= found.least && found.most <= enclosed.most + slack,
                            "{}: {must:b} {may:b} {set:b}, figure {n}: {found:?} in {enclosed:?}",
                            boat.name
                        );
                        hull[n].least = hull[n].least.min(found.least);
                        hull[n].most = hull[n].most.max(found.most);
                    }
                    for (bit, at) in case.loads.iter().enumerate().filter(|(bit, _)| set & (1 << bit) != 0) {
                        let i = case.load_current(state, *at);
                        assert!(within(&bounds.load(*at), i), "{}: load {bit} of {set:b}", boat.name);
                    }
                }
                let class = if may == 0 { 0 } else { 1 + usize::from(boat.name == "both lines") };
                for (enclosed, hull) in enclosed.iter().zip(&hull) {
                    widest[class] = widest[class].max(excess(enclosed, hull));
                }
            }
        }
    }
    // With all switches known the enclosure is the solve; with some open each figure reaches beyond what there is by no more
    // than this share of it (a tenth more than what was measured).
    assert!(widest[0] < 1e-10 && widest[1] < 0.0166 && widest[2] < 0.0173, "{widest:?}");
}

#[test]
fn a_load_alone_is_known_by_what_falls_in_its_own_cables() {
    // A tenth more than what was measured, as a share of the largest current.
    for (boat, wanted) in boats().iter().zip([0.0074, 0.0094, 0.0173]) {
        let case = Case::of(boat);
        for (bit, at) in case.loads.iter().enumerate() {
            let bounds = case.enclose(0, 31, &case.open(), &[]);
            let (mut re, mut im) = ([f64::INFINITY, f64::NEG_INFINITY], [f64::INFINITY, f64::NEG_INFINITY]);
            for set in (0..32_u32).filter(|set| set & (1 << bit) != 0) {
                let i = case.load_current(&case.solve(set), *at);
                re = [re[0].min(i.re), re[1].max(i.re)];
                im = [im[0].min(i.im), im[1].max(i.im)];
            }
            let range = bounds.load(*at);
            let beyond = [re[0] - range.re[0], range.re[1] - re[1], im[0] - range.im[0], range.im[1] - im[1]];
            let most = beyond.into_iter().fold(0.0, f64::max) / re[1].hypot(im[0]);
            assert!(most < wanted, "{} load {bit}: {most}", boat.name);
        }
    }
}

/// 1200 W behind a panel of its own: its whole way to the source is two cables, 0.3 Ω.
#[test]
fn a_load_has_all_cables_to_itself_up_to_where_another_joins() {
    let (mut d, ids) = draft(&[(Generator, "G1"), (Panel, "P1")], &[(0, 1)], &[0]);
    let e = d.part(Appliance, "E1", |p| (p.run_w, p.pf) = (Some(1200.0), Some(1.0)));
    d.join(ids[1], e, 0.2);
    let network = Network::new(&d.installation, &walk(&d.installation, 0));
    let at = network.position(e).expect("is fed");
    let count = network.nodes.len();
    let mut bounds = network.bounds();
    let frame = Frame {
        must: &vec![false; count],
        may: &(0..count).map(|n| n == at).collect::<Vec<_>>(),
        least_v: &vec![96.0; count],
        most_a: &vec![(f64::INFINITY, f64::INFINITY); count],
        least_re: &[],
    };
    network.enclose(&frame, &mut bounds);
    let (found, wanted) = (bounds.load(at).magnitude(), 1200.0 / behind(120.0, 0.3, 1200.0));
    assert!((found.least - wanted).abs() < 1e-6 && (found.most - wanted).abs() < 1e-6, "{found:?}, not {wanted} A");
}

#[test]
fn what_is_known_of_currents_from_elsewhere_is_used() {
    let boat = &boats()[0];
    let case = Case::of(boat);
    let all = case.enclose(0, 31, &case.open(), &[]);
    let free = all.amps(case.panel, 0).most;
    let mut most_a = case.open();
    most_a[case.panel] = (free / 4.0, free / 2.0);
    let limited = case.enclose(0, 31, &most_a, &[]);
    // Within the real part that is known and the magnitude that is known.
    let real = limited.watts(case.source).most / case.nominal;
    assert!((real - free / 4.0).abs() < 1e-9 * free, "{real}, not {}", free / 4.0);
    assert!(limited.amps(case.panel, 0).most <= (free / 4.0).hypot(free / 2.0) + 1e-9);
    // Less current above leaves more volts below.
    assert!(limited.volts(case.panel).least > all.volts(case.panel).least + 1.0);
    // The magnitude alone bounds the real part too.
    most_a[case.panel] = (f64::INFINITY, free / 4.0);
    let limited = case.enclose(0, 31, &most_a, &[]);
    assert!((limited.watts(case.source).most / case.nominal - free / 4.0).abs() < 1e-9 * free);
    most_a[case.panel] = (free / 4.0, f64::INFINITY);
    let limited = case.enclose(0, 31, &most_a, &[]);
    assert!((limited.watts(case.source).most / case.nominal - free / 4.0).abs() < 1e-9 * free);

    let mut least_re = vec![f64::NEG_INFINITY; case.count()];
    least_re[case.panel] = 5.0;
    let raised = case.enclose(0, 31, &case.open(), &least_re);
    assert!((raised.amps(case.panel, 0).least - 5.0).abs() < 1e-9);
    // As much as there can be is still taken; more than there can be is not.
    least_re[case.panel] = 1e3;
    assert!(case.enclose(0, 31, &case.open(), &least_re).amps(case.panel, 0).least < 1e-9);
    // Where lines differ nothing is made of it.
    let split = Case::of(&boats()[2]);
    let raised = split.enclose(0, 31, &split.open(), &vec![5.0; split.count()]);
    assert!(raised.amps(split.panel, 0).least < 1e-9);
}

#[test]
fn without_ohms_every_voltage_is_the_sources() {
    for boat in boats() {
        let mut network = boat.network();
        assert!(!network.is_without_impedance());
        for node in &mut network.nodes {
            node.z = Complex::default();
        }
        assert!(network.is_without_impedance());
    }
}
