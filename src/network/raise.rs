//! The numeric solve where plain sweeps settle too slowly or not at all: sweeps with linearised loads, each an exact Newton
//! step on the tree, while the constant-power loads are raised from zero in steps.

use super::affine::Affine;
use super::matrix::solve_columns;
use super::sweep::{Flow, Kernel, Largest, Verdict, drop_of};
use crate::units::Complex;

/// A step below this share of nominal ends linearised sweeps: what follows it is less, and 1e-9 is asked for.
const SETTLED: f64 = 5e-11;
/// Linearised sweeps at one size of the loads.
const NEWTON_SWEEPS: u32 = 60;
/// Smallest step in the size of the loads.
const LEAST_STEP: f64 = 1e-7;

impl<const D: usize> Kernel<D> {
    /// Raises the constant-power loads from nothing to their size with linearised sweeps.
    pub(super) fn raise(&self, flow: &mut Flow<D>, on: &[bool], mut sweeps: u32) -> Verdict {
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
            if change > 0.9 * before {
                return self.residual(flow, on, size) <= 1e-13 * self.nominal;
            }
            before = change;
        }
        false
    }

    /// By how much one plain sweep would change the voltages.
    fn residual(&self, flow: &mut Flow<D>, on: &[bool], size: f64) -> f64 {
        flow.kept.clone_from(&flow.v);
        if !self.backward(flow, on, size) {
            return f64::INFINITY;
        }
        let change = self.forward(flow);
        let Flow { v, kept, .. } = flow;
        v.clone_from(kept);
        if change.is_nan() { f64::INFINITY } else { change }
    }

    /// Leaves first: the current into each part as a linear function of the voltage upstream. False where a pivot shows
    /// that the voltages are not on the upper branch.
    fn linearise(&self, flow: &mut Flow<D>, on: &[bool], size: f64) -> bool {
        let count = self.count();
        flow.affine.clear();
        flow.affine.resize(count, Affine::ZERO);
        for at in (0..count).rev() {
            let mut own = flow.affine[at];
            if let Some(m) = self.matrix(at) {
                own = Self::through(m, &own);
            }
            let power = self.power[at] * size;
            let admittance = self.admittance[at];
            if on[at] && (power != Complex::ZERO || admittance != Complex::ZERO) {
                let u = self.load_voltage(at, &flow.v[at]);
                if self.has_collapsed(u) {
                    return false;
                }
                let drawn = (power / u).conj() + admittance * u;
                let turn = -power.conj() / (u.conj() * u.conj());
                own.add_load(&self.across(at), drawn, turn, admittance, u);
            }
            let Some((constant, slope)) = solve_columns(self.z[at], &own.constant, &own.slope) else { return false };
            let seen = Affine { constant, slope };
            flow.affine[at] = seen;
            if let Some(parent) = self.above(at) {
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
        let mut largest = Largest::default();
        for at in 0..self.count() {
            let above = self.upstream(at, &flow.v);
            let seen = &flow.affine[at];
            let mut i = seen.slope.times(&above);
            for (x, c) in i.iter_mut().zip(&seen.constant) {
                *x += Complex::new(c[0], c[1]);
            }
            let fall = drop_of(self.z[at], &i);
            flow.i[at] = i;
            for ((own, above), fall) in flow.v[at].iter_mut().zip(&above).zip(&fall) {
                let v = above - fall;
                largest.see((v - *own).norm_sqr());
                *own = v;
            }
        }
        largest.get().sqrt()
    }

    /// Impedance of the loop back to the source, of every part.
    fn to_source(&self) -> Vec<f64> {
        let mut ohms: Vec<f64> = Vec::with_capacity(self.count());
        for at in 0..self.count() {
            let above = self.above(at).map_or(0.0, |parent| {
                let ratio = self.matrix(parent).map_or(1.0, |m| D as f64 * m[0][0]);
                ohms[parent] * ratio * ratio
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
        self.draws()
            .iter()
            .copied()
            .filter(|&at| on[at])
            .max_by(|&a, &b| strain(a).total_cmp(&strain(b)))
            .unwrap_or_default()
    }
}

#[cfg(test)]
mod tests;
