//! Many scenarios of one network at once: the plain sweeps of the solve, several scenarios side by side in lanes, so that
//! one instruction serves all of them. What plain sweeps do not settle is solved by itself. The steps are those of the
//! single solve in the same order, so each answer is the same to the last bit; only a zero may have the other sign.

use super::flat::{Flows, Network, Outcome, State, Wires};
use super::pace::{PLAIN_SWEEPS, Pace, Products, Progress, sampled};
use super::sweep::{COLLAPSED, Flow, Kernel, is_low};
use super::vary::Scenario;
use crate::units::Complex;

/// Scenarios side by side.
const LANES: usize = 4;

/// One number of each scenario.
type Lane = [f64; LANES];

/// A solved scenario.
#[derive(Clone, Debug)]
pub struct Solved {
    /// How the solve ended.
    pub outcome: Outcome,
    /// Voltages and currents, to be read as after [`Network::solve`].
    pub state: State,
}

impl Network {
    /// Solves each scenario: the same outcome and figures as [`Network::solve`] of [`Network::varied`] gives, in a fraction
    /// of the time. Scenarios must have all positions; one that has not is refused.
    #[must_use]
    pub fn solve_many(&self, scenarios: &[Scenario]) -> Vec<Solved> {
        let count = self.nodes.len();
        let fits = |s: &Scenario| s.z.len() == count && s.load.len() == count && s.on.len() == count;
        if !self.is_solvable() || !scenarios.iter().all(fits) {
            let refused = |_| Solved { outcome: Outcome::Refused, state: self.state() };
            return scenarios.iter().map(refused).collect();
        }
        let found = match &self.kernel {
            Wires::Two(kernel) => solve(kernel, scenarios, Flows::Two),
            Wires::Three(kernel) => solve(kernel, scenarios, Flows::Three),
        };
        let alone = |(scenario, found): (&Scenario, Option<(u32, Flows)>)| match found {
            Some((sweeps, flow)) => {
                Solved { outcome: Outcome::Settled { sweeps }, state: State { on: scenario.on.clone(), flow } }
            }
            None => {
                let network = self.varied(scenario);
                let mut state = network.state();
                Solved { outcome: network.solve(&mut state), state }
            }
        };
        scenarios.iter().zip(found).map(alone).collect()
    }
}

fn solve<const D: usize>(
    kernel: &Kernel<D>,
    scenarios: &[Scenario],
    wrap: fn(Flow<D>) -> Flows,
) -> Vec<Option<(u32, Flows)>> {
    let mut lanes = Lanes::new(kernel);
    let mut out = Vec::with_capacity(scenarios.len());
    for some in scenarios.chunks(LANES) {
        lanes.fill(kernel, some);
        out.extend(lanes.plain(kernel, some.len()).map(|found| found.map(|(sweeps, flow)| (sweeps, wrap(flow)))));
    }
    out
}

/// A phasor of each scenario.
#[derive(Clone, Copy)]
struct Phasors {
    re: Lane,
    im: Lane,
}

impl Phasors {
    const ZERO: Self = Self { re: [0.0; LANES], im: [0.0; LANES] };

    #[inline(always)]
    fn each(f: impl Fn(usize) -> (f64, f64)) -> Self {
        let mut out = Self::ZERO;
        for l in 0..LANES {
            (out.re[l], out.im[l]) = f(l);
        }
        out
    }

    /// The phasor of one scenario.
    #[inline(always)]
    fn of(&self, l: usize) -> Complex {
        Complex::new(self.re[l], self.im[l])
    }

    #[inline(always)]
    fn add(&mut self, other: &Self) {
        for l in 0..LANES {
            self.re[l] += other.re[l];
            self.im[l] += other.im[l];
        }
    }

    #[inline(always)]
    fn minus(&self, other: &Self) -> Self {
        Self::each(|l| (self.re[l] - other.re[l], self.im[l] - other.im[l]))
    }

    #[inline(always)]
    fn scaled(&self, by: f64) -> Self {
        Self::each(|l| (self.re[l] * by, self.im[l] * by))
    }

    #[inline(always)]
    fn times(&self, other: &Self) -> Self {
        Self::each(|l| {
            (self.re[l] * other.re[l] - self.im[l] * other.im[l], self.re[l] * other.im[l] + self.im[l] * other.re[l])
        })
    }
}

/// A load of each scenario.
#[derive(Clone, Copy)]
struct Draw {
    power_conj: Phasors,
    admittance: Phasors,
    on: [bool; LANES],
}

impl Draw {
    const IDLE: Self = Self { power_conj: Phasors::ZERO, admittance: Phasors::ZERO, on: [false; LANES] };
}

/// The arrays of a few scenarios, one number of each side by side.
struct Lanes<const D: usize> {
    z: Vec<Phasors>,
    draws: Vec<Draw>,
    no_load: Vec<[Complex; D]>,
    v: Vec<[Phasors; D]>,
    i: Vec<[Phasors; D]>,
    /// Sampled voltages before a sweep, and the steps of the last sweep.
    before: Vec<[Phasors; D]>,
    steps: Vec<[Phasors; D]>,
}

impl<const D: usize> Lanes<D> {
    fn new(kernel: &Kernel<D>) -> Self {
        let count = kernel.count();
        let mut flow = kernel.flow();
        kernel.start(&mut flow);
        Self {
            z: vec![Phasors::ZERO; count],
            draws: vec![Draw::IDLE; count],
            no_load: flow.v,
            v: vec![[Phasors::ZERO; D]; count],
            i: vec![[Phasors::ZERO; D]; count],
            before: Vec::new(),
            steps: vec![[Phasors::ZERO; D]; sampled(count).count()],
        }
    }

    /// Puts scenarios into the lanes; what is left over repeats the last.
    fn fill(&mut self, kernel: &Kernel<D>, scenarios: &[Scenario]) {
        let of = |l: usize| &scenarios[l.min(scenarios.len() - 1)];
        for (at, z) in self.z.iter_mut().enumerate() {
            *z = Phasors::each(|l| (of(l).z[at].re, of(l).z[at].im));
        }
        for (at, draw) in self.draws.iter_mut().enumerate() {
            let (power, admittance) = (kernel.power[at], kernel.admittance[at]);
            let size = |l: usize| if of(l).on[at] { of(l).load[at] } else { 0.0 };
            draw.power_conj = Phasors::each(|l| (power.re * size(l), -(power.im * size(l))));
            draw.admittance = Phasors::each(|l| (admittance.re * size(l), admittance.im * size(l)));
            for l in 0..LANES {
                draw.on[l] = of(l).on[at];
            }
        }
        for (v, no_load) in self.v.iter_mut().zip(&self.no_load) {
            for (v, x) in v.iter_mut().zip(no_load) {
                *v = Phasors { re: [x.re; LANES], im: [x.im; LANES] };
            }
        }
    }

    /// Plain sweeps of the first `count` lanes: sweeps and flow of each, nothing where they do not settle.
    fn plain(&mut self, kernel: &Kernel<D>, count: usize) -> impl Iterator<Item = Option<(u32, Flow<D>)>> + use<D> {
        let mut found: [Option<(u32, Flow<D>)>; LANES] = [const { None }; LANES];
        let mut going: [bool; LANES] = std::array::from_fn(|l| l < count);
        self.steps.fill([Phasors::ZERO; D]);
        let mut pace = [Pace::new(kernel.settled * kernel.nominal); LANES];
        let mut settled = [false; LANES];
        for sweep in 0..=PLAIN_SWEEPS {
            let collapsed = self.backward(kernel);
            for l in 0..LANES {
                // The currents are now those of the voltages of the last step.
                if std::mem::take(&mut settled[l]) && !collapsed[l] {
                    found[l] = Some((sweep, self.read(l)));
                }
            }
            if sweep == PLAIN_SWEEPS || !going.contains(&true) {
                break;
            }
            let further = pace.map(|pace| pace.further());
            self.before.clear();
            self.before.extend(sampled(self.v.len()).map(|at| self.v[at]));
            let change = self.forward(kernel, &further);
            let products = self.compare(&further);
            for l in 0..LANES {
                if !going[l] {
                    continue;
                }
                let progress = pace[l].see(change[l], &products[l]);
                settled[l] = !collapsed[l] && progress == Progress::Settled;
                going[l] = !collapsed[l] && progress == Progress::Further;
            }
        }
        found.into_iter().take(count)
    }

    /// Compares the sampled steps of each lane with those of the last sweep, and keeps them.
    fn compare(&mut self, further: &[[f64; 2]; LANES]) -> [Products; LANES] {
        let mut products = [Products::default(); LANES];
        let whole = further.map(|further| further.map(|further| 1.0 / (1.0 + further)));
        for ((at, before), steps) in sampled(self.v.len()).zip(&self.before).zip(&mut self.steps) {
            for ((v, before), last) in self.v[at].iter().zip(before).zip(steps) {
                let moved = v.minus(before);
                let step = Phasors::each(|l| (moved.re[l] * whole[l][0], moved.im[l] * whole[l][1]));
                for (l, products) in products.iter_mut().enumerate() {
                    products.add(last.of(l), step.of(l));
                }
                *last = step;
            }
        }
        products
    }

    /// Currents from voltages, leaves first; true where a voltage has collapsed.
    fn backward(&mut self, kernel: &Kernel<D>) -> [bool; LANES] {
        let mut collapsed = [false; LANES];
        let least = (COLLAPSED * kernel.nominal).powi(2);
        for (at, draw) in self.draws.iter().enumerate() {
            let across = kernel.across(at);
            let mut u = Phasors::ZERO;
            for (v, share) in self.v[at].iter().zip(&across) {
                u.add(&v.scaled(*share));
            }
            let mut inverse = [0.0; LANES];
            for l in 0..LANES {
                let square = u.re[l] * u.re[l] + u.im[l] * u.im[l];
                let low = is_low(square, least);
                collapsed[l] |= draw.on[l] & low;
                inverse[l] = 1.0 / if low { 1.0 } else { square };
            }
            let mut y = Phasors::each(|l| (draw.power_conj.re[l] * inverse[l], draw.power_conj.im[l] * inverse[l]));
            y.add(&draw.admittance);
            let drawn = y.times(&u);
            for (i, share) in self.i[at].iter_mut().zip(&across) {
                *i = drawn.scaled(*share);
            }
        }
        for at in (0..kernel.count()).rev() {
            let Some(parent) = kernel.above(at) else { continue };
            let through = self.transformed(kernel, parent, &self.i[at]);
            for (sum, i) in self.i[parent].iter_mut().zip(&through) {
                sum.add(i);
            }
        }
        collapsed
    }

    #[inline(always)]
    fn transformed(&self, kernel: &Kernel<D>, at: usize, v: &[Phasors; D]) -> [Phasors; D] {
        let Some(m) = kernel.matrix(at) else { return *v };
        let mut out = [Phasors::ZERO; D];
        for (out, row) in out.iter_mut().zip(m) {
            for (share, x) in row.iter().zip(v) {
                out.add(&x.scaled(*share));
            }
        }
        out
    }

    /// Voltages from currents, sources first, each further by so much of its step; gives the largest change that each lane
    /// would have had, not-a-number for good. The currents are used up.
    fn forward(&mut self, kernel: &Kernel<D>, further: &[[f64; 2]; LANES]) -> Lane {
        let mut largest = [0.0f64; LANES];
        let mut broken = [false; LANES];
        let (re, im): (Lane, Lane) = (further.map(|further| further[0]), further.map(|further| further[1]));
        for at in 0..kernel.count() {
            let above = match kernel.above(at) {
                None => kernel.source(at).map(|x| Phasors { re: [x.re; LANES], im: [x.im; LANES] }),
                Some(parent) => self.transformed(kernel, parent, &self.i[parent]),
            };
            let mut sum = Phasors::ZERO;
            for i in &self.i[at] {
                sum.add(i);
            }
            let z = &self.z[at];
            for ((own, above), i) in self.v[at].iter_mut().zip(&above).zip(&mut self.i[at]) {
                let mut both = *i;
                both.add(&sum);
                let v = above.minus(&z.times(&both));
                let step = v.minus(own);
                for l in 0..LANES {
                    let change = step.re[l] * step.re[l] + step.im[l] * step.im[l];
                    broken[l] |= change.is_nan();
                    largest[l] = largest[l].max(change);
                }
                *own = v;
                own.add(&Phasors::each(|l| (step.re[l] * re[l], step.im[l] * im[l])));
                *i = v;
            }
        }
        std::array::from_fn(|l| if broken[l] { f64::NAN } else { largest[l].sqrt() })
    }

    /// The voltages and currents of one lane.
    fn read(&self, l: usize) -> Flow<D> {
        let of = |all: &[[Phasors; D]]| -> Vec<[Complex; D]> { all.iter().map(|x| x.map(|x| x.of(l))).collect() };
        Flow::of(of(&self.v), of(&self.i))
    }
}

#[cfg(test)]
mod tests;
