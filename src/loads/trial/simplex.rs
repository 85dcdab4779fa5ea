//! A small linear programme: the most of one of a few variables under sums, by the simplex method on a dense table.
//!
//! Ties go to the lowest index (Bland), so that it ends. For some tens of variables; a general solver would bring a sparse
//! matrix library for nothing more.

/// What the programme found.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum Outcome {
    /// The most that the goal can be.
    Most(f64),
    /// No values satisfy all the sums.
    Infeasible,
    /// It did not end, or the goal has no limit.
    NoAnswer,
}

/// Figures below this are taken for zero; sums are scaled to about one.
const ZERO: f64 = 1e-10;
/// A sum that is missed by more than this, scaled, cannot be satisfied.
const MISSED: f64 = 1e-8;
/// Steps that are taken at most.
const MOST_STEPS: usize = 5000;

/// Rows of sums with their limits in the last column, the goal and the auxiliary goal below.
struct Table {
    d: Vec<Vec<f64>>,
    basic: Vec<usize>,
    free: Vec<usize>,
    rows: usize,
    columns: usize,
}

/// Index of the auxiliary variable.
const AUXILIARY: usize = usize::MAX;

/// Maximises `goal` · x for x ≥ 0 under the sums `coefficients` · x ≤ limit.
pub(super) fn most(goal: &[f64], sums: &[(Vec<f64>, f64)]) -> Outcome {
    let (rows, columns) = (sums.len(), goal.len());
    let scale = sums.iter().map(|(_, limit)| limit.abs()).fold(1.0, f64::max);
    let mut d = vec![vec![0.0; columns + 2]; rows + 2];
    for (line, (coefficients, limit)) in d.iter_mut().zip(sums) {
        line[..columns].copy_from_slice(coefficients);
        line[columns] = -1.0;
        line[columns + 1] = limit / scale;
    }
    for (to, from) in d[rows].iter_mut().zip(goal) {
        *to = -from;
    }
    d[rows + 1][columns] = 1.0;
    let free = (0..columns).chain([AUXILIARY]).collect();
    let mut table = Table { d, basic: (columns..columns + rows).collect(), free, rows, columns };
    let limit = columns + 1;
    let lowest = (0..rows).min_by(|a, b| table.d[*a][limit].total_cmp(&table.d[*b][limit]));
    if let Some(lowest) = lowest.filter(|r| table.d[*r][limit] < 0.0) {
        table.pivot(lowest, columns);
        if !table.run(true) {
            return Outcome::NoAnswer;
        }
        if table.d[rows + 1][limit] < -MISSED {
            return Outcome::Infeasible;
        }
        if let Some(row) = table.basic.iter().position(|b| *b == AUXILIARY) {
            let column = (0..=columns).max_by(|a, b| table.d[row][*a].abs().total_cmp(&table.d[row][*b].abs()));
            if let Some(column) = column.filter(|c| table.d[row][*c].abs() > ZERO) {
                table.pivot(row, column);
            }
        }
    }
    if table.run(false) { Outcome::Most(table.d[rows][limit] * scale) } else { Outcome::NoAnswer }
}

impl Table {
    fn pivot(&mut self, row: usize, column: usize) {
        let inverse = 1.0 / self.d[row][column];
        let pivot_row = self.d[row].clone();
        for (i, line) in self.d.iter_mut().enumerate().filter(|(i, _)| *i != row) {
            let factor = line[column] * inverse;
            if factor != 0.0 {
                for (j, cell) in line.iter_mut().enumerate().filter(|(j, _)| *j != column) {
                    *cell -= pivot_row[j] * factor;
                }
            }
            line[column] = -factor;
            debug_assert!(i != row);
        }
        for cell in &mut self.d[row] {
            *cell *= inverse;
        }
        self.d[row][column] = inverse;
        std::mem::swap(&mut self.basic[row], &mut self.free[column]);
    }

    /// Steps until the goal (the auxiliary one in the first phase) cannot grow. False where it has no limit or does not end.
    fn run(&mut self, first: bool) -> bool {
        let goal = if first { self.rows + 1 } else { self.rows };
        for _ in 0..MOST_STEPS {
            let enters = (0..=self.columns)
                .filter(|&j| (first || self.free[j] != AUXILIARY) && self.d[goal][j] < -ZERO)
                .min_by_key(|&j| self.free[j]);
            let Some(column) = enters else { return true };
            let limit = self.columns + 1;
            let leaves = (0..self.rows).filter(|&i| self.d[i][column] > ZERO).min_by(|&a, &b| {
                let ratio = |i: usize| self.d[i][limit] / self.d[i][column];
                // The auxiliary variable leaves first, so that it is gone when it can be.
                let rank = |i: usize| if self.basic[i] == AUXILIARY { 0 } else { self.basic[i] + 1 };
                ratio(a).total_cmp(&ratio(b)).then(rank(a).cmp(&rank(b)))
            });
            let Some(row) = leaves else { return false };
            self.pivot(row, column);
        }
        false
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn near(found: Outcome, expected: f64) {
        assert!(matches!(found, Outcome::Most(v) if (v - expected).abs() < 1e-7), "{found:?}, expected {expected}");
    }

    /// By hand: 3x + 2y under x + y ≤ 4, x + 3y ≤ 6, x ≤ 3 is most at (3, 1).
    #[test]
    fn a_corner_by_hand() {
        let sums = [(vec![1.0, 1.0], 4.0), (vec![1.0, 3.0], 6.0), (vec![1.0, 0.0], 3.0)];
        near(most(&[3.0, 2.0], &sums), 11.0);
        near(most(&[0.0, 1.0], &sums), 2.0);
    }

    #[test]
    fn sums_from_below_infeasible_and_without_limit() {
        // x + y = 10, y + z = 10, x + z = 10: each is 5.
        let equal = |a: [f64; 3], s: f64| [(a.to_vec(), s), (a.iter().map(|v| -v).collect::<Vec<_>>(), -s)];
        let mut sums: Vec<_> =
            [[1.0, 1.0, 0.0], [0.0, 1.0, 1.0], [1.0, 0.0, 1.0]].iter().flat_map(|a| equal(*a, 10.0)).collect();
        near(most(&[1.0, 0.0, 0.0], &sums), 5.0);
        near(most(&[-1.0, 0.0, 0.0], &sums), -5.0);
        sums.extend(equal([1.0, 1.0, 1.0], 20.0));
        assert_eq!(most(&[1.0, 0.0, 0.0], &sums), Outcome::Infeasible);
        assert_eq!(most(&[1.0], &[(vec![-1.0], -3.0)]), Outcome::NoAnswer);
    }
}
