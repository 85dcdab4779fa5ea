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
    const MOST: usize = 4;
    let size = 2 * D;
    debug_assert!(size <= MOST);
    // Row: size columns of 1 + J·Z, one of a, size of J.
    let mut rows = [[0.0f64; 2 * MOST + 1]; MOST];
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
    let mut determinant = 1.0f64;
    for pivot in 0..size {
        let best = (pivot..size).max_by(|&x, &y| rows[x][pivot].abs().total_cmp(&rows[y][pivot].abs()))?;
        if best != pivot {
            rows.swap(best, pivot);
            determinant = -determinant;
        }
        let lead = rows[pivot][pivot];
        determinant *= lead;
        if lead == 0.0 || !lead.is_finite() {
            return None;
        }
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
    if determinant.is_nan() || determinant <= 0.0 {
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
