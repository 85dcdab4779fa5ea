//! Small real matrices in 2 × 2 blocks, one block a pair of loops: real and imaginary parts apart, because the current of
//! a constant-power load depends on the conjugate of its voltage.

use crate::units::Complex;

/// A `D` × `D` matrix of 2 × 2 real blocks.
#[derive(Clone, Copy, Debug)]
pub(super) struct Real<const D: usize> {
    block: [[[[f64; 2]; 2]; D]; D],
}

impl<const D: usize> Real<D> {
    pub(super) const ZERO: Self = Self { block: [[[[0.0; 2]; 2]; D]; D] };

    pub(super) fn add(&mut self, other: &Self) {
        for k in 0..D {
            for l in 0..D {
                for p in 0..2 {
                    for q in 0..2 {
                        self.block[k][l][p][q] += other.block[k][l][p][q];
                    }
                }
            }
        }
    }

    /// Adds share × (turn·conj(x) + straight·x) to one block.
    pub(super) fn add_block(&mut self, k: usize, l: usize, share: f64, turn: Complex, straight: Complex) {
        let b = &mut self.block[k][l];
        b[0][0] += share * (turn.re + straight.re);
        b[0][1] += share * (turn.im - straight.im);
        b[1][0] += share * (turn.im + straight.im);
        b[1][1] += share * (straight.re - turn.re);
    }

    /// mᵗ·self·m for a symmetric m that acts on loops.
    pub(super) fn scaled_by(&self, m: &[[f64; D]; D]) -> Self {
        let mut out = Self::ZERO;
        for k in 0..D {
            for l in 0..D {
                for a in 0..D {
                    for b in 0..D {
                        for p in 0..2 {
                            for q in 0..2 {
                                out.block[k][l][p][q] += m[k][a] * self.block[a][b][p][q] * m[b][l];
                            }
                        }
                    }
                }
            }
        }
        out
    }

    /// The matrix times a vector of phasors.
    pub(super) fn times(&self, v: &[Complex; D]) -> [Complex; D] {
        let mut out = [Complex::new(0.0, 0.0); D];
        for (o, row) in out.iter_mut().zip(&self.block) {
            for (b, x) in row.iter().zip(v) {
                o.re += b[0][0] * x.re + b[0][1] * x.im;
                o.im += b[1][0] * x.re + b[1][1] * x.im;
            }
        }
        out
    }
}

/// Puts a cable of impedance z a conductor before a part that draws a + J·V: solves (1 + J·Z)·I = a + J·W for the current
/// I as a function of the voltage W upstream, where Z takes z·(I_k + ΣI) off loop k. `None` where the determinant is not
/// positive: the voltages are then beyond the knee.
pub(super) fn solve_columns<const D: usize>(
    z: Complex,
    a: &[[f64; 2]; D],
    j: &Real<D>,
) -> Option<([[f64; 2]; D], Real<D>)> {
    if z == Complex::new(0.0, 0.0) {
        return Some((*a, *j));
    }
    let size = 2 * D;
    // Row: size columns of 1 + J·Z, one of a, size of J; there are two loops at most.
    let mut rows = [[0.0f64; 9]; 4];
    for k in 0..D {
        for p in 0..2 {
            let row = &mut rows[2 * k + p];
            for l in 0..D {
                // Column of loop l: Σ over m of J[k][m]·z·(δ + 1).
                let (mut re, mut im) = (0.0, 0.0);
                for m in 0..D {
                    let weight = if m == l { 2.0 } else { 1.0 };
                    let b = &j.block[k][m][p];
                    re += weight * (b[0] * z.re + b[1] * z.im);
                    im += weight * (b[1] * z.re - b[0] * z.im);
                }
                row[2 * l] = re;
                row[2 * l + 1] = im;
                for q in 0..2 {
                    row[size + 1 + 2 * l + q] = j.block[k][l][p][q];
                }
            }
            row[2 * k + p] += 1.0;
            row[size] = a[k][p];
        }
    }
    let width = 2 * size + 1;
    // The sign of the determinant: that of all pivots, turned by each exchange of rows.
    let mut positive = true;
    for pivot in 0..size {
        let best = (pivot..size).max_by(|&x, &y| rows[x][pivot].abs().total_cmp(&rows[y][pivot].abs()))?;
        if best != pivot {
            rows.swap(best, pivot);
            positive = !positive;
        }
        let lead = rows[pivot][pivot];
        if lead == 0.0 || !lead.is_finite() {
            return None;
        }
        positive ^= lead.is_sign_negative();
        for cell in &mut rows[pivot][pivot..width] {
            *cell /= lead;
        }
        let from = rows[pivot];
        for (r, row) in rows.iter_mut().enumerate().take(size) {
            let factor = row[pivot];
            if r != pivot && factor != 0.0 {
                for c in pivot..width {
                    row[c] -= factor * from[c];
                }
            }
        }
    }
    if !positive {
        return None;
    }
    let mut constant = [[0.0; 2]; D];
    let mut slope = Real::ZERO;
    for k in 0..D {
        for p in 0..2 {
            let row = &rows[2 * k + p];
            constant[k][p] = row[size];
            for l in 0..D {
                for q in 0..2 {
                    slope.block[k][l][p][q] = row[size + 1 + 2 * l + q];
                }
            }
        }
    }
    Some((constant, slope))
}

#[cfg(test)]
mod tests {
    use super::{Real, solve_columns};
    use crate::network::affine::Affine;
    use crate::units::Complex;

    fn near<const D: usize>(found: &[Complex; D], wanted: &[Complex; D], within: f64) {
        for (f, w) in found.iter().zip(wanted) {
            assert!((f - w).norm() <= within * (1.0 + w.norm()), "{found:?}, not {wanted:?}");
        }
    }

    fn phasor(draw: &mut fastrand::Rng, largest: f64) -> Complex {
        Complex::new(largest * (2.0 * draw.f64() - 1.0), largest * (2.0 * draw.f64() - 1.0))
    }

    fn phasors<const D: usize>(draw: &mut fastrand::Rng) -> [Complex; D] {
        std::array::from_fn(|_| phasor(draw, 1.0))
    }

    #[test]
    fn a_block_is_what_complex_numbers_give() {
        let mut draw = fastrand::Rng::with_seed(1);
        let (turn, straight, share) = (phasor(&mut draw, 2.0), phasor(&mut draw, 2.0), 0.7);
        let v = phasors::<2>(&mut draw);
        let mut m = Real::<2>::ZERO;
        m.add_block(1, 0, share, turn, straight);
        let once = share * (turn * v[0].conj() + straight * v[0]);
        near(&m.times(&v), &[Complex::ZERO, once], 1e-14);
        m.add_block(1, 0, share, turn, straight);
        m.add_block(1, 1, -share, straight, turn);
        let all = 2.0 * once - share * (straight * v[1].conj() + turn * v[1]);
        near(&m.times(&v), &[Complex::ZERO, all], 1e-14);
        let mut sum = m;
        sum.add(&m);
        near(&sum.times(&v), &[Complex::ZERO, 2.0 * all], 1e-14);
        let scale = [[0.5, -0.5], [-0.5, 0.5]];
        let inner = m.times(&[0.5 * (v[0] - v[1]), 0.5 * (v[1] - v[0])]);
        near(&m.scaled_by(&scale).times(&v), &[0.5 * (inner[0] - inner[1]), 0.5 * (inner[1] - inner[0])], 1e-14);
    }

    #[test]
    fn loads_side_by_side_draw_what_they_draw_alone() {
        let mut draw = fastrand::Rng::with_seed(2);
        let at = phasors::<2>(&mut draw);
        let mut sum = Affine::<2>::ZERO;
        let mut wanted = [Complex::ZERO; 2];
        let v = phasors::<2>(&mut draw);
        for across in [[1.0, 0.0], [0.0, 1.0], [1.0, -1.0]] {
            let [drawn, turn, admittance] = phasors::<3>(&mut draw);
            let u = |v: &[Complex; 2]| across[0] * v[0] + across[1] * v[1];
            let mut one = Affine::ZERO;
            one.add_load(&across, drawn, turn, admittance, u(&at));
            sum.add(&one);
            let change = u(&v) - u(&at);
            let draws = drawn + turn * change.conj() + admittance * change;
            for (w, share) in wanted.iter_mut().zip(across) {
                *w += share * draws;
            }
        }
        let mut found = sum.slope.times(&v);
        for (f, c) in found.iter_mut().zip(&sum.constant) {
            *f += Complex::new(c[0], c[1]);
        }
        near(&found, &wanted, 1e-14);
    }

    /// The voltages behind a cable at these currents, without the matrix.
    fn behind<const D: usize>(z: Complex, w: &[Complex; D], i: &[Complex; D]) -> [Complex; D] {
        let neutral: Complex = i.iter().sum();
        std::array::from_fn(|k| w[k] - z * (i[k] + neutral))
    }

    /// Draws cables and loads, and compares with Kirchhoff's laws and with the determinant by nalgebra.
    fn cables_agree<const D: usize>(seed: u64) {
        let mut draw = fastrand::Rng::with_seed(seed);
        let (mut solved, mut refused) = (0, 0);
        for _ in 0..400 {
            let z = phasor(&mut draw, 1.0);
            let mut j = Real::<D>::ZERO;
            for k in 0..D {
                for l in 0..D {
                    j.add_block(k, l, 1.0, phasor(&mut draw, 2.0), phasor(&mut draw, 2.0));
                }
            }
            let a: [[f64; 2]; D] = std::array::from_fn(|_| [draw.f64(), draw.f64()]);
            let plus_a = |mut i: [Complex; D]| {
                i.iter_mut().zip(&a).for_each(|(i, a)| *i += Complex::new(a[0], a[1]));
                i
            };
            // Column by column: what 1 + J·Z makes of a unit current.
            let mut whole = nalgebra::DMatrix::<f64>::zeros(2 * D, 2 * D);
            for c in 0..2 * D {
                let mut unit = [Complex::ZERO; D];
                unit[c / 2] = if c % 2 == 0 { Complex::ONE } else { Complex::I };
                let fall = behind(z, &[Complex::ZERO; D], &unit);
                let column = j.times(&fall);
                for k in 0..D {
                    whole[(2 * k, c)] = unit[k].re - column[k].re;
                    whole[(2 * k + 1, c)] = unit[k].im - column[k].im;
                }
            }
            let determinant = whole.determinant();
            if determinant.abs() < 1e-3 {
                continue;
            }
            let found = solve_columns(z, &a, &j);
            assert_eq!(found.is_some(), determinant > 0.0, "determinant {determinant}");
            let Some((constant, slope)) = found else {
                refused += 1;
                continue;
            };
            solved += 1;
            let w = phasors::<D>(&mut draw);
            let mut i = slope.times(&w);
            i.iter_mut().zip(&constant).for_each(|(i, c)| *i += Complex::new(c[0], c[1]));
            near(&i, &plus_a(j.times(&behind(z, &w, &i))), 1e-9);
        }
        assert!(solved > 50 && refused > 50, "{solved} solved, {refused} refused");
    }

    #[test]
    fn a_cable_before_a_load_keeps_kirchhoffs_laws() {
        cables_agree::<1>(3);
        cables_agree::<2>(4);
    }

    #[test]
    fn a_cable_without_impedance_changes_nothing_and_no_pivot_is_refused() {
        let mut j = Real::<1>::ZERO;
        j.add_block(0, 0, 1.0, Complex::ZERO, Complex::new(-1.0, 0.0));
        let a = [[3.0, 4.0]];
        let (constant, slope) = solve_columns(Complex::ZERO, &a, &j).expect("nothing stands between");
        assert_eq!((constant, slope.times(&[Complex::I])), (a, [Complex::new(0.0, -1.0)]));
        // 1 + J·Z = 1 − 2 · 0.5 = 0.
        assert!(solve_columns(Complex::new(0.5, 0.0), &a, &j).is_none());
        assert!(solve_columns(Complex::new(f64::NAN, 0.0), &a, &j).is_none());
        // 1 + J·Z = 1 + 2 · 0.5 for the real part and 1 − 2 · 0.5 for the imaginary one.
        let mut half = Real::<1>::ZERO;
        half.add_block(0, 0, 1.0, Complex::ONE, Complex::ZERO);
        assert!(solve_columns(Complex::new(0.5, 0.0), &a, &half).is_none());
    }
}
