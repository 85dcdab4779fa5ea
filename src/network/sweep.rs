//! The numeric solve: backward/forward sweeps over parts in parent-first order.
//!
//! One unknown a part and loop: `V` holds the voltages of each line against the neutral of the same place (`D` = 1: one;
//! `D` = 2: L1 and L2 of the three-wire system). With the neutral carrying −(I1 + I2) and the same impedance z in each
//! conductor, a cable takes off z·(I_k + I1 + I2) from line k's loop: 2zI for two wires. Plain sweeps come first. Where
//! they settle too slowly or not at all, sweeps with linearised loads follow (each an exact Newton step on the tree), and
//! the constant-power loads are raised from zero in steps, so that the answer is always the upper, stable one. There is
//! no solution where they cannot be raised to their full size.

use super::affine::Affine;
use super::flat::{NO_PARENT, Node};
use super::matrix::solve_columns;
use crate::installation::Leg;
use crate::units::Complex;

/// A step below this share of nominal ends a solve.
pub(super) const SETTLED: f64 = 1e-12;
/// Steps below this share of nominal that no longer shrink are rounding; 1e-9 is asked for.
const ROUNDING: f64 = 5e-11;
/// Plain sweeps before linearised ones take over.
pub(super) const PLAIN_SWEEPS: u32 = 40;
/// Linearised sweeps at one size of the loads.
const NEWTON_SWEEPS: u32 = 60;
/// Smallest step in the size of the loads.
const LEAST_STEP: f64 = 1e-7;
/// Below this share of nominal, the voltage at a load has collapsed.
pub(super) const COLLAPSED: f64 = 1e-9;

/// How a solve ended.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Verdict {
    Settled { sweeps: u32 },
    NoSolution { node: usize },
}

/// Flat data of a network with `D` loop voltages a part.
#[derive(Clone, Debug)]
pub(super) struct Kernel<const D: usize> {
    pub(super) parent: Vec<usize>,
    pub(super) z: Vec<Complex>,
    /// Transformer matrix: secondary voltages of primary ones. Empty where the network has no transformer.
    pub(super) ratio: Vec<Option<[[f64; D]; D]>>,
    /// No-load voltages of each root, by the root's position.
    pub(super) source: Vec<[Complex; D]>,
    pub(super) power: Vec<Complex>,
    pub(super) admittance: Vec<Complex>,
    /// How a load lies across the loops.
    pub(super) across: Vec<[f64; D]>,
    /// Positions that draw when they are on.
    pub(super) draws: Vec<usize>,
    pub(super) nominal: f64,
}

/// Voltages and currents of every part, and the loads in force.
#[derive(Clone, Debug)]
pub(super) struct Flow<const D: usize> {
    /// Loop voltages at the part (a transformer: its primary).
    pub(super) v: Vec<[Complex; D]>,
    /// Line currents into the part.
    pub(super) i: Vec<[Complex; D]>,
    next: Vec<[Complex; D]>,
    affine: Vec<Affine<D>>,
}

impl<const D: usize> Flow<D> {
    /// What was found elsewhere.
    pub(super) fn of(v: Vec<[Complex; D]>, i: Vec<[Complex; D]>) -> Self {
        Self { v, i, next: Vec::new(), affine: Vec::new() }
    }
}

fn zero<const D: usize>() -> [Complex; D] {
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

/// What a cable takes off each loop.
fn drop_of<const D: usize>(z: Complex, i: &[Complex; D]) -> [Complex; D] {
    let sum: Complex = i.iter().sum();
    let mut out = zero();
    for (o, x) in out.iter_mut().zip(i) {
        *o = z * (*x + sum);
    }
    out
}

/// Sets a voltage to what is above less what falls; gives the largest squared change so far, not-a-number for good.
#[inline]
fn lower<const D: usize>(own: &mut [Complex; D], above: &[Complex; D], fall: &[Complex; D], mut largest: f64) -> f64 {
    for k in 0..D {
        let v = above[k] - fall[k];
        let change = (v - own[k]).norm_sqr();
        if change.is_nan() {
            return f64::NAN;
        }
        largest = largest.max(change);
        own[k] = v;
    }
    largest
}

impl<const D: usize> Kernel<D> {
    pub(super) fn new(nodes: &[Node], nominal: f64) -> Self {
        let ratio = if nodes.iter().any(|n| n.ratio.is_some()) {
            nodes.iter().map(|n| n.ratio.map(Self::transformer)).collect()
        } else {
            Vec::new()
        };
        let mut kernel = Self {
            parent: nodes.iter().map(|n| n.parent).collect(),
            z: nodes.iter().map(|n| n.z).collect(),
            ratio,
            source: nodes.iter().map(|n| Self::no_load(n.source_v)).collect(),
            power: nodes.iter().map(|n| n.load.power).collect(),
            admittance: nodes.iter().map(|n| n.load.admittance).collect(),
            across: nodes.iter().map(|n| Self::pattern(n.leg)).collect(),
            draws: Vec::new(),
            nominal,
        };
        kernel.find_draws();
        kernel
    }

    fn find_draws(&mut self) {
        let draws = |at: &usize| self.power[*at] != Complex::default() || self.admittance[*at] != Complex::default();
        self.draws = (0..self.parent.len()).filter(draws).collect();
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
            _ if D == 1 => (1.0, 0.0),
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
        let count = self.parent.len();
        Flow::of(vec![zero(); count], vec![zero(); count])
    }

    /// Voltages on the side of a part that feeds others.
    fn outlet(&self, at: usize, v: &[Complex; D]) -> [Complex; D] {
        self.matrix(at).map_or(*v, |m| transform(m, v))
    }

    /// The transformer matrix of a part that is one.
    #[inline]
    fn matrix(&self, at: usize) -> Option<&[[f64; D]; D]> {
        // Empty in almost every network: the sweeps then read no memory for it.
        self.ratio.get(at).and_then(Option::as_ref)
    }

    /// Voltage at the upstream end of the cable that feeds a part.
    fn upstream(&self, at: usize, v: &[[Complex; D]]) -> [Complex; D] {
        match self.parent[at] {
            NO_PARENT => self.source[at],
            parent => self.outlet(parent, &v[parent]),
        }
    }

    fn has_collapsed(&self, u: Complex) -> bool {
        // Written so that a voltage that is no number has collapsed too.
        let least = COLLAPSED * self.nominal;
        u.norm_sqr().is_nan() || u.norm_sqr() <= least * least
    }

    fn load_voltage(&self, at: usize, v: &[Complex; D]) -> Complex {
        self.across[at].iter().zip(v).map(|(a, x)| *x * *a).sum()
    }

    pub(super) fn solve(&self, flow: &mut Flow<D>, on: &[bool]) -> Verdict {
        self.start(flow);
        let mut sweeps = 0;
        if self.plain(flow, on, &mut sweeps) {
            return Verdict::Settled { sweeps };
        }
        self.raise(flow, on, sweeps)
    }

    /// Every part at its no-load voltage.
    pub(super) fn start(&self, flow: &mut Flow<D>) {
        for at in 0..self.parent.len() {
            flow.v[at] = self.upstream(at, &flow.v);
        }
    }

    /// Currents from voltages, leaves first; false where a voltage has collapsed.
    fn backward(&self, flow: &mut Flow<D>, on: &[bool], size: f64) -> bool {
        flow.i.fill(zero());
        for &at in &self.draws {
            if !on[at] {
                continue;
            }
            let u = self.load_voltage(at, &flow.v[at]);
            if self.has_collapsed(u) {
                return false;
            }
            // conj(S / u) is conj(S) u / |u|²: one division.
            let drawn = (self.power[at].conj() * (size / u.norm_sqr()) + self.admittance[at]) * u;
            for (x, a) in flow.i[at].iter_mut().zip(&self.across[at]) {
                *x += drawn * *a;
            }
        }
        for at in (0..self.parent.len()).rev() {
            let parent = self.parent[at];
            if parent == NO_PARENT {
                continue;
            }
            let through = self.outlet_current(parent, &flow.i[at]);
            for (x, c) in flow.i[parent].iter_mut().zip(&through) {
                *x += *c;
            }
        }
        true
    }

    /// Current on the primary of a part for a current that leaves it.
    fn outlet_current(&self, at: usize, i: &[Complex; D]) -> [Complex; D] {
        // The matrix is symmetric: its transpose carries currents back without loss.
        self.matrix(at).map_or(*i, |m| transform(m, i))
    }

    /// Voltages from currents, sources first; gives the largest change.
    fn forward(&self, flow: &mut Flow<D>) -> f64 {
        let mut largest = 0.0f64;
        for at in 0..self.parent.len() {
            let above = self.upstream(at, &flow.v);
            let fall = drop_of(self.z[at], &flow.i[at]);
            largest = lower(&mut flow.v[at], &above, &fall, largest);
            if largest.is_nan() {
                return largest;
            }
        }
        largest.sqrt()
    }

    /// Plain sweeps from no load; true where they settle. They give up where they do not shrink by half each time.
    fn plain(&self, flow: &mut Flow<D>, on: &[bool], sweeps: &mut u32) -> bool {
        let mut before = f64::INFINITY;
        for sweep in 0..PLAIN_SWEEPS {
            if !self.backward(flow, on, 1.0) {
                return false;
            }
            let change = self.forward(flow);
            *sweeps += 1;
            if change <= SETTLED * self.nominal {
                return true;
            }
            if !change.is_finite() || (sweep > 1 && change > 0.5 * before) {
                return false;
            }
            before = change;
        }
        false
    }

    /// Raises the constant-power loads from nothing to their size with linearised sweeps.
    fn raise(&self, flow: &mut Flow<D>, on: &[bool], mut sweeps: u32) -> Verdict {
        self.start(flow);
        let (mut done, mut step) = (0.0f64, 1.0f64);
        if !self.newton(flow, on, 0.0, &mut sweeps) {
            return Verdict::NoSolution { node: self.culprit(flow, on) };
        }
        let mut last = flow.v.clone();
        while done < 1.0 {
            let aim = (done + step).min(1.0);
            if self.newton(flow, on, aim, &mut sweeps) {
                done = aim;
                last.clone_from(&flow.v);
            } else {
                flow.v.clone_from(&last);
                step /= 2.0;
                if step < LEAST_STEP {
                    return Verdict::NoSolution { node: self.culprit(flow, on) };
                }
            }
        }
        if self.backward(flow, on, 1.0) {
            Verdict::Settled { sweeps }
        } else {
            Verdict::NoSolution { node: self.culprit(flow, on) }
        }
    }

    /// Linearised sweeps at one size of the constant-power loads, from the voltages in `flow`.
    fn newton(&self, flow: &mut Flow<D>, on: &[bool], size: f64, sweeps: &mut u32) -> bool {
        let mut before = f64::INFINITY;
        for _ in 0..NEWTON_SWEEPS {
            *sweeps += 1;
            if !self.linearise(flow, on, size) {
                return false;
            }
            let change = self.substitute(flow);
            if !change.is_finite() {
                return false;
            }
            if change <= SETTLED * self.nominal {
                return self.linearise(flow, on, size);
            }
            // At the knee itself steps only halve, down to the square root of the rounding: the residual decides there.
            // Near it rounding keeps steps from shrinking further: they are then far below what is asked for.
            if change > 0.9 * before && change <= ROUNDING * self.nominal {
                return self.linearise(flow, on, size);
            }
            if change > 0.9 * before && change <= 1e-5 * self.nominal {
                return self.residual(flow, on, size) <= 1e-13 * self.nominal;
            }
            before = change;
        }
        false
    }

    /// By how much one plain sweep would change the voltages.
    fn residual(&self, flow: &mut Flow<D>, on: &[bool], size: f64) -> f64 {
        flow.next.clone_from(&flow.v);
        if !self.backward(flow, on, size) {
            return f64::INFINITY;
        }
        let change = self.forward(flow);
        let Flow { v, next, .. } = flow;
        v.clone_from(next);
        if change.is_nan() { f64::INFINITY } else { change }
    }

    /// Leaves first: the current into each part as a linear function of the voltage upstream. False where a pivot shows
    /// that the voltages are not on the upper branch.
    fn linearise(&self, flow: &mut Flow<D>, on: &[bool], size: f64) -> bool {
        let count = self.parent.len();
        flow.affine.clear();
        flow.affine.resize(count, Affine::ZERO);
        for at in (0..count).rev() {
            let mut own = flow.affine[at];
            if let Some(m) = self.matrix(at) {
                own = Self::through(m, &own);
            }
            let power = self.power[at] * size;
            let admittance = self.admittance[at];
            if on[at] && (power.norm() > 0.0 || admittance.norm() > 0.0) {
                let u = self.load_voltage(at, &flow.v[at]);
                if self.has_collapsed(u) {
                    return false;
                }
                let drawn = (power / u).conj() + admittance * u;
                let turn = -power.conj() / (u.conj() * u.conj());
                own.add_load(&self.across[at], drawn, turn, admittance, u);
            }
            let Some((constant, slope)) = solve_columns(self.z[at], &own.constant, &own.slope) else { return false };
            let seen = Affine { constant, slope };
            flow.affine[at] = seen;
            let parent = self.parent[at];
            if parent != NO_PARENT {
                flow.affine[parent].add(&seen);
            }
        }
        true
    }

    /// An outlet's function seen from the primary of a transformer.
    fn through(m: &[[f64; D]; D], secondary: &Affine<D>) -> Affine<D> {
        let mut out = Affine::ZERO;
        for (constant, row) in out.constant.iter_mut().zip(m) {
            for (share, from) in row.iter().zip(&secondary.constant) {
                for (sum, part) in constant.iter_mut().zip(from) {
                    *sum += share * part;
                }
            }
        }
        out.slope = secondary.slope.scaled_by(m);
        out
    }

    /// Sources first: currents and voltages from the functions; gives the largest change.
    fn substitute(&self, flow: &mut Flow<D>) -> f64 {
        let mut largest = 0.0f64;
        for at in 0..self.parent.len() {
            let above = self.upstream(at, &flow.v);
            let seen = &flow.affine[at];
            let mut i = seen.slope.times(&above);
            for (x, c) in i.iter_mut().zip(&seen.constant) {
                *x += Complex::new(c[0], c[1]);
            }
            let fall = drop_of(self.z[at], &i);
            flow.i[at] = i;
            largest = lower(&mut flow.v[at], &above, &fall, largest);
            if largest.is_nan() {
                return largest;
            }
        }
        largest.sqrt()
    }

    /// Impedance of the loop back to the source, of every part.
    fn to_source(&self) -> Vec<f64> {
        let mut ohms: Vec<f64> = Vec::with_capacity(self.parent.len());
        for (at, parent) in self.parent.iter().enumerate() {
            let above = ohms.get(*parent).map_or(0.0, |z| {
                let ratio = self.matrix(*parent).map_or(1.0, |m| D as f64 * m[0][0]);
                z * ratio * ratio
            });
            ohms.push(2.0 * self.z[at].norm() + above);
        }
        ohms
    }

    /// The constant-power load that is nearest to what its own cables could carry: |S||Z| / |U|², which is 1 at the
    /// knee of a load that stands alone.
    fn culprit(&self, flow: &Flow<D>, on: &[bool]) -> usize {
        let to_source = self.to_source();
        let strain = |at: usize| {
            let u = self.load_voltage(at, &flow.v[at]).norm_sqr().max(f64::MIN_POSITIVE);
            self.power[at].norm() * to_source[at] / u
        };
        self.draws
            .iter()
            .copied()
            .filter(|&at| on[at])
            .max_by(|&a, &b| strain(a).total_cmp(&strain(b)))
            .unwrap_or_default()
    }
}

impl Kernel<1> {
    /// Two wires without transformers from arrays in parent-first order; every source at `nominal` volts.
    pub(super) fn two_wires(
        parent: Vec<usize>,
        z: Vec<Complex>,
        power: Vec<Complex>,
        admittance: Vec<Complex>,
        nominal: f64,
    ) -> Self {
        let count = parent.len();
        let mut kernel = Self {
            parent,
            z,
            ratio: Vec::new(),
            source: vec![Self::no_load(nominal); count],
            power,
            admittance,
            across: vec![Self::pattern(Leg::L1); count],
            draws: Vec::new(),
            nominal,
        };
        kernel.find_draws();
        kernel
    }
}
