//! Currents as linear functions of a voltage, for the linearised sweeps.

use super::matrix::Real;
use crate::units::Complex;

/// Current into a part as a linear function of a voltage, real and imaginary parts apart.
#[derive(Clone, Copy, Debug)]
pub(super) struct Affine<const D: usize> {
    pub(super) constant: [[f64; 2]; D],
    pub(super) slope: Real<D>,
}

impl<const D: usize> Affine<D> {
    pub(super) const ZERO: Self = Self { constant: [[0.0; 2]; D], slope: Real::ZERO };

    pub(super) fn add(&mut self, other: &Self) {
        for k in 0..D {
            for p in 0..2 {
                self.constant[k][p] += other.constant[k][p];
            }
        }
        self.slope.add(&other.slope);
    }

    /// Adds a load across the loops: at voltage `u` it draws `drawn`, and for a change du it draws
    /// turn·conj(du) + admittance·du more.
    pub(super) fn add_load(
        &mut self,
        across: &[f64; D],
        drawn: Complex,
        turn: Complex,
        admittance: Complex,
        u: Complex,
    ) {
        let fixed = drawn - turn * u.conj() - admittance * u;
        for k in 0..D {
            self.constant[k][0] += across[k] * fixed.re;
            self.constant[k][1] += across[k] * fixed.im;
            for l in 0..D {
                let share = across[k] * across[l];
                self.slope.add_block(k, l, share, turn, admittance);
            }
        }
    }
}
