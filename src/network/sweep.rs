//! The numeric solve: backward/forward sweeps over parts in parent-first order.
//!
//! One unknown a part and loop: `V` holds the voltages of each line against the neutral of the same place (`D` = 1: one;
//! `D` = 2: L1 and L2 of the three-wire system). With the neutral carrying −(I1 + I2) and the same impedance z in each
//! conductor, a cable takes off z·(I_k + I1 + I2) from line k's loop: 2zI for two wires. Plain sweeps come first, each
//! relaxed by what the last two tell (see `pace`). Where they settle too slowly or not at all, sweeps with linearised loads
//! follow (each an exact Newton step on the tree), and the constant-power loads are raised from zero in steps, so that the
//! answer is always the upper, stable one. There is no solution where they cannot be raised to their full size.

use super::affine::Affine;
use super::flat::{Load, NO_PARENT, Node};
use super::pace::{PLAIN_SWEEPS, Pace, Progress, Sample};
use crate::installation::Leg;
use crate::units::Complex;
use std::sync::OnceLock;

/// What plain sweeps leave unless told otherwise, as a share of nominal; 1e-9 is asked for.
const SETTLED: f64 = 1e-12;
/// Below this share of nominal, the voltage at a load has collapsed.
pub(super) const COLLAPSED: f64 = 1e-9;

/// How a solve ended.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Verdict {
    Settled { sweeps: u32 },
    NoSolution { node: usize },
}

/// Beyond every position: what feeds a root. Positions are counted in 32 bits, since the sweeps run at the speed at which
/// they read memory.
pub(super) const NOWHERE: u32 = u32::MAX;

/// Flat data of a network with `D` loop voltages a part.
#[derive(Clone, Debug)]
pub(super) struct Kernel<const D: usize> {
    /// The position upstream; [`NOWHERE`] for a root.
    pub(super) parent: Vec<u32>,
    pub(super) z: Vec<Complex>,
    /// Transformer matrix: secondary voltages of primary ones. Empty where the network has no transformer.
    pub(super) ratio: Vec<Option<[[f64; D]; D]>>,
    /// No-load voltages of each root, with its position, in order.
    roots: Vec<(usize, [Complex; D])>,
    pub(super) power: Vec<Complex>,
    pub(super) admittance: Vec<Complex>,
    /// How a load lies across the loops; empty with one loop.
    patterns: Vec<[f64; D]>,
    /// Positions that draw when they are on, once they have been asked for.
    drawing: OnceLock<Vec<usize>>,
    pub(super) nominal: f64,
    /// What plain sweeps may leave, as a share of nominal.
    pub(super) settled: f64,
}

/// Voltages and currents of every part, and the loads in force.
#[derive(Clone, Debug)]
pub(super) struct Flow<const D: usize> {
    /// Loop voltages at the part (a transformer: its primary).
    pub(super) v: Vec<[Complex; D]>,
    /// Line currents into the part. While voltages are found from them, those that are found.
    pub(super) i: Vec<[Complex; D]>,
    /// Voltages that are kept while others are tried.
    pub(super) kept: Vec<[Complex; D]>,
    sample: Sample<D>,
    pub(super) affine: Vec<Affine<D>>,
}

impl<const D: usize> Flow<D> {
    /// What was found elsewhere.
    pub(super) fn of(v: Vec<[Complex; D]>, i: Vec<[Complex; D]>) -> Self {
        Self { v, i, kept: Vec::new(), sample: Sample::default(), affine: Vec::new() }
    }
}

pub(super) fn zero<const D: usize>() -> [Complex; D] {
    [Complex::new(0.0, 0.0); D]
}

fn transform<const D: usize>(m: &[[f64; D]; D], v: &[Complex; D]) -> [Complex; D] {
    let mut out = zero();
    for (o, row) in out.iter_mut().zip(m) {
        for (a, x) in row.iter().zip(v) {
            *o += *x * *a;
        }
    }
    out
}

#[inline]
fn add<const D: usize>(sum: &mut [Complex; D], other: &[Complex; D]) {
    for (x, c) in sum.iter_mut().zip(other) {
        *x += *c;
    }
}

/// What a cable takes off each loop.
pub(super) fn drop_of<const D: usize>(z: Complex, i: &[Complex; D]) -> [Complex; D] {
    let sum: Complex = if D == 1 { i[0] } else { i.iter().sum() };
    let mut out = zero();
    for (o, x) in out.iter_mut().zip(i) {
        *o = z * (*x + sum);
    }
    out
}

impl<const D: usize> Kernel<D> {
    pub(super) fn new(nodes: &[Node], nominal: f64) -> Self {
        let ratio = if nodes.iter().any(|n| n.ratio.is_some()) {
            nodes.iter().map(|n| n.ratio.map(Self::transformer)).collect()
        } else {
            Vec::new()
        };
        Self {
            parent: nodes.iter().map(|n| if n.parent == NO_PARENT { NOWHERE } else { n.parent as u32 }).collect(),
            z: nodes.iter().map(|n| n.z).collect(),
            ratio,
            roots: nodes
                .iter()
                .enumerate()
                .filter(|(_, n)| n.parent == NO_PARENT)
                .map(|(at, n)| (at, Self::no_load(n.source_v)))
                .collect(),
            power: nodes.iter().map(|n| n.load.power).collect(),
            admittance: nodes.iter().map(|n| n.load.admittance).collect(),
            patterns: if D == 1 { Vec::new() } else { nodes.iter().map(|n| Self::pattern(n.leg)).collect() },
            drawing: OnceLock::new(),
            nominal,
            settled: SETTLED,
        }
    }

    /// How many positions there are.
    pub(super) fn count(&self) -> usize {
        self.parent.len()
    }

    /// The position upstream; `None` for a root.
    #[inline]
    pub(super) fn above(&self, at: usize) -> Option<usize> {
        let parent = self.parent[at];
        (parent != NOWHERE).then_some(parent as usize)
    }

    /// Positions that draw when they are on.
    pub(super) fn draws(&self) -> &[usize] {
        self.drawing.get_or_init(|| {
            let draws =
                |at: &usize| self.power[*at] != Complex::default() || self.admittance[*at] != Complex::default();
            (0..self.count()).filter(draws).collect()
        })
    }

    /// Gives a part another load.
    pub(super) fn set_load(&mut self, at: usize, load: &Load) {
        self.power[at] = load.power;
        self.admittance[at] = load.admittance;
        self.drawing = OnceLock::new();
    }

    /// How the load of a part lies across the loops.
    #[inline]
    pub(super) fn across(&self, at: usize) -> [f64; D] {
        self.patterns.get(at).copied().unwrap_or([1.0; D])
    }

    /// No-load voltages of the root at a position; zero for any other part.
    #[cold]
    #[inline(never)]
    pub(super) fn source(&self, at: usize) -> [Complex; D] {
        self.roots.binary_search_by_key(&at, |root| root.0).map_or_else(|_| zero(), |n| self.roots[n].1)
    }

    /// Two wires: the ratio. Three: the primary lies between L1 and L2, the secondary is centre-tapped.
    fn transformer(ratio: f64) -> [[f64; D]; D] {
        let mut m = [[0.0; D]; D];
        for (k, row) in m.iter_mut().enumerate() {
            for (l, cell) in row.iter_mut().enumerate() {
                *cell = if k == l { ratio } else { -ratio } / D as f64;
            }
        }
        m
    }

    /// L2 stands opposite L1 at the source.
    fn no_load(volts: f64) -> [Complex; D] {
        let mut v = zero();
        for (k, x) in v.iter_mut().enumerate() {
            *x = Complex::new(if k == 0 { volts } else { -volts }, 0.0);
        }
        v
    }

    fn pattern(leg: Leg) -> [f64; D] {
        let mut across = [0.0; D];
        let (first, second) = match leg {
            Leg::L1 => (1.0, 0.0),
            Leg::L2 => (0.0, 1.0),
            Leg::L1L2 | Leg::L1L2N => (1.0, -1.0),
        };
        for (k, a) in across.iter_mut().enumerate() {
            *a = if k == 0 { first } else { second };
        }
        across
    }

    pub(super) fn flow(&self) -> Flow<D> {
        let count = self.count();
        Flow::of(vec![zero(); count], vec![zero(); count])
    }

    /// Voltages on the side of a part that feeds others.
    pub(super) fn outlet(&self, at: usize, v: &[Complex; D]) -> [Complex; D] {
        self.matrix(at).map_or(*v, |m| transform(m, v))
    }

    /// The transformer matrix of a part that is one.
    #[inline]
    pub(super) fn matrix(&self, at: usize) -> Option<&[[f64; D]; D]> {
        // Empty in almost every network: the sweeps then read no memory for it.
        self.ratio.get(at).and_then(Option::as_ref)
    }

    /// Voltage at the upstream end of the cable that feeds a part.
    pub(super) fn upstream(&self, at: usize, v: &[[Complex; D]]) -> [Complex; D] {
        self.above(at).map_or_else(|| self.source(at), |parent| self.outlet(parent, &v[parent]))
    }

    pub(super) fn has_collapsed(&self, u: Complex) -> bool {
        // Written so that a voltage that is no number has collapsed too.
        let least = COLLAPSED * self.nominal;
        u.norm_sqr().is_nan() || u.norm_sqr() <= least * least
    }

    pub(super) fn load_voltage(&self, at: usize, v: &[Complex; D]) -> Complex {
        self.across(at).iter().zip(v).map(|(a, x)| *x * *a).sum()
    }

    pub(super) fn solve(&self, flow: &mut Flow<D>, on: &[bool]) -> Verdict {
        self.start(flow);
        let (settled, sweeps) = self.plain(flow, on);
        // The currents are those of the voltages before the last step.
        if settled && self.backward(flow, on, 1.0) {
            return Verdict::Settled { sweeps };
        }
        self.raise(flow, on, sweeps)
    }

    /// The same for the voltages alone: currents may be those of a step before.
    pub(super) fn solve_voltages(&self, flow: &mut Flow<D>, on: &[bool]) -> Verdict {
        self.start(flow);
        match self.plain(flow, on) {
            (true, sweeps) => Verdict::Settled { sweeps },
            (false, sweeps) => self.raise(flow, on, sweeps),
        }
    }

    /// Every part at its no-load voltage.
    pub(super) fn start(&self, flow: &mut Flow<D>) {
        if let [(_, only)] = self.roots.as_slice()
            && self.ratio.is_empty()
        {
            flow.v.fill(*only);
            return;
        }
        for at in 0..self.count() {
            flow.v[at] = self.upstream(at, &flow.v);
        }
    }

    /// Currents from voltages, leaves first; false where a voltage has collapsed.
    pub(super) fn backward(&self, flow: &mut Flow<D>, on: &[bool], size: f64) -> bool {
        let live = if D == 1 { self.draw_one(flow, on, size) } else { self.draw(flow, on, size) };
        if !live {
            return false;
        }
        // Each pass runs through memory from one end to the other and does one thing: together they take half the time
        // of one loop that does all.
        let i = &mut flow.i[..self.count()];
        if self.ratio.is_empty() {
            for (at, &parent) in self.parent.iter().enumerate().rev() {
                let through = i[at];
                if let Some(sum) = i.get_mut(parent as usize) {
                    add(sum, &through);
                }
            }
        } else {
            for at in (0..i.len()).rev() {
                if let Some(parent) = self.above(at) {
                    let through = self.outlet_current(parent, &i[at]);
                    add(&mut i[parent], &through);
                }
            }
        }
        true
    }

    /// Each load's own current, one loop; false where a voltage has collapsed.
    fn draw_one(&self, flow: &mut Flow<D>, on: &[bool], size: f64) -> bool {
        let count = self.count();
        let on = &on[..count];
        let least = (COLLAPSED * self.nominal).powi(2);
        let mut collapsed = false;
        let (v, i) = (&flow.v[..count], &mut flow.i[..count]);
        let (power, admittance) = (&self.power[..count], &self.admittance[..count]);
        // conj(S / u) is conj(S) u / |u|²: one division. A voltage that is no number has collapsed too.
        if !on.contains(&false) {
            for at in 0..count {
                let square = v[at][0].norm_sqr();
                collapsed |= is_low(square, least);
                i[at][0] = (power[at].conj() * (size / square) + admittance[at]) * v[at][0];
            }
        } else {
            for at in 0..count {
                let square = v[at][0].norm_sqr();
                collapsed |= on[at] & is_low(square, least);
                let drawn = (power[at].conj() * (size / square) + admittance[at]) * v[at][0];
                i[at][0] = if on[at] { drawn } else { Complex::new(0.0, 0.0) };
            }
        }
        !collapsed
    }

    /// Each load's own current, any loops; false where a voltage has collapsed.
    fn draw(&self, flow: &mut Flow<D>, on: &[bool], size: f64) -> bool {
        for (at, (i, v)) in flow.i.iter_mut().zip(&flow.v).enumerate() {
            *i = zero();
            if !on[at] {
                continue;
            }
            let u = self.load_voltage(at, v);
            if self.has_collapsed(u) {
                return false;
            }
            let drawn = (self.power[at].conj() * (size / u.norm_sqr()) + self.admittance[at]) * u;
            for (x, a) in i.iter_mut().zip(&self.across(at)) {
                *x = drawn * *a;
            }
        }
        true
    }

    /// Current on the primary of a part for a current that leaves it.
    #[inline]
    fn outlet_current(&self, at: usize, i: &[Complex; D]) -> [Complex; D] {
        // The matrix is symmetric: its transpose carries currents back without loss.
        self.matrix(at).map_or(*i, |m| transform(m, i))
    }

    /// Voltages from currents, sources first; gives the largest change. The currents are used up.
    pub(super) fn forward(&self, flow: &mut Flow<D>) -> f64 {
        self.forward_by(flow, [0.0; 2])
    }

    /// The same, where each voltage goes further than it would by so much of its step, real and imaginary parts. The largest
    /// change is the one that it would have been.
    fn forward_by(&self, flow: &mut Flow<D>, [re, im]: [f64; 2]) -> f64 {
        let mut largest = Largest::default();
        let count = self.count();
        let (z, v, i) = (&self.z[..count], &mut flow.v[..count], &mut flow.i[..count]);
        for (at, &parent) in self.parent.iter().enumerate() {
            // What has been fed already holds, in place of its current, the voltage that it would have.
            let above = match i.get(parent as usize) {
                None => self.source(at),
                Some(v) if self.ratio.is_empty() => *v,
                Some(v) => self.outlet(parent as usize, v),
            };
            let fall = drop_of(z[at], &i[at]);
            for (((own, i), above), fall) in v[at].iter_mut().zip(&mut i[at]).zip(&above).zip(&fall) {
                let v = above - fall;
                let step = v - *own;
                largest.see(step.norm_sqr());
                *own = v + Complex::new(step.re * re, step.im * im);
                *i = v;
            }
        }
        largest.get().sqrt()
    }

    /// Plain sweeps from the voltages in `flow`: whether they settle, and how many there were. They give up where steps do
    /// not shrink by half each time.
    fn plain(&self, flow: &mut Flow<D>, on: &[bool]) -> (bool, u32) {
        let mut pace = Pace::new(self.settled * self.nominal);
        flow.sample.start(self.count());
        for _ in 0..PLAIN_SWEEPS {
            if !self.backward(flow, on, 1.0) {
                break;
            }
            flow.sample.before(&flow.v);
            let change = self.forward_by(flow, pace.further());
            let products = flow.sample.after(&flow.v, pace.further());
            match pace.see(change, &products) {
                Progress::Settled => return (true, pace.sweeps()),
                Progress::Slow => break,
                Progress::Further => {}
            }
        }
        (false, pace.sweeps())
    }
}

/// True where a squared voltage is not above the least; one that is no number is low too.
#[inline]
pub(super) fn is_low(square: f64, least: f64) -> bool {
    square.is_nan() || square <= least
}

/// The largest of numbers that are not negative, or not-a-number where one of them is.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Largest(u64);

impl Largest {
    #[inline]
    pub(super) fn see(&mut self, number: f64) {
        // Such numbers stand in the order of their bits, with not-a-number above all: one step without a branch.
        self.0 = self.0.max(number.to_bits());
    }

    pub(super) fn get(self) -> f64 {
        f64::from_bits(self.0)
    }
}

impl Kernel<1> {
    /// Two wires without transformers and, as yet, without parts.
    pub(super) fn two_wires(nominal: f64) -> Self {
        Self::new(&[], nominal)
    }

    /// Puts the first `count` positions at the nominal voltage: sources that nothing feeds.
    pub(super) fn set_sources(&mut self, count: usize) {
        let nominal = Self::no_load(self.nominal);
        self.roots.clear();
        self.roots.extend((0..count).map(|at| (at, nominal)));
        self.drawing = OnceLock::new();
    }
}

#[cfg(test)]
mod tests;
