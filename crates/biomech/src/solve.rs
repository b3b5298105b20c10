//! Bounded nonlinear least squares with constraints, by an augmented Lagrangian around damped
//! Gauss–Newton steps.
//!
//! Minimise `½ Σ r(x)²` subject to `c(x) = 0`, `d(x) ≤ 0` and `lo ≤ x ≤ hi`. The inner problem is
//! `½ Σ r² + ½ρ Σ (c + y/ρ)² + ½ρ Σ max(0, d + z/ρ)²`; multipliers `y, z` are renewed outside
//! and `ρ` grows while the violation does not shrink (Nocedal & Wright, Numerical Optimization,
//! chapter 17). Bounds are true bounds: a variable at its bound whose gradient points outward is
//! held there, every step is clipped to the box. The final multipliers are kept: they say what
//! one more centimetre would cost.

use nalgebra::{SMatrix, SVector};

use crate::statics::{N, Row};

/// Residuals and constraints at one point, with derivatives.
#[derive(Default)]
pub(crate) struct Rows {
    /// Cost residuals.
    pub(crate) cost: Vec<(f64, Row)>,
    /// Cost residuals that depend on one variable: index, value, slope.
    pub(crate) single: Vec<(usize, f64, f64)>,
    /// Constraints that must be zero.
    pub(crate) equal: Vec<(f64, Row)>,
    /// Constraints that must not be positive.
    pub(crate) at_most: Vec<(f64, Row)>,
}

impl Rows {
    fn clear(&mut self) {
        self.cost.clear();
        self.single.clear();
        self.equal.clear();
        self.at_most.clear();
    }

    fn violation(&self) -> f64 {
        let equal = self.equal.iter().map(|(c, _)| c.abs()).fold(0.0, f64::max);
        self.at_most.iter().map(|(c, _)| c.max(0.0)).fold(equal, f64::max)
    }
}

/// A problem: fills rows for `x`.
pub(crate) trait Problem {
    fn rows(&self, x: &Row, out: &mut Rows);
    fn lower(&self) -> &Row;
    fn upper(&self) -> &Row;
}

/// How the solver ended.
#[derive(Clone)]
pub(crate) struct Solved {
    pub(crate) x: Row,
    /// Largest constraint violation left.
    pub(crate) violation: f64,
    /// Gauss–Newton steps taken.
    pub(crate) steps: usize,
    /// Cost (half the sum of squares) without the constraints.
    pub(crate) cost: f64,
}

/// How hard to try.
#[derive(Clone, Copy)]
pub(crate) struct Effort {
    pub(crate) outer: usize,
    pub(crate) inner: usize,
    /// Accepted violation (metres, body weights, radians).
    pub(crate) tolerance: f64,
    /// Inner relative cost decrease that ends an inner loop.
    pub(crate) settle: f64,
    pub(crate) rho: f64,
}

/// The last round ends at a much smaller gain than the others.
const POLISH: f64 = 0.003;

fn merit(rows: &Rows, y: &[f64], z: &[f64], rho: f64) -> f64 {
    let cost: f64 = rows.cost.iter().map(|(r, _)| r * r).sum::<f64>()
        + rows.single.iter().map(|(_, r, _)| r * r).sum::<f64>();
    let equal: f64 = rows.equal.iter().zip(y).map(|((c, _), y)| (c + y / rho).powi(2)).sum();
    let less: f64 = rows.at_most.iter().zip(z).map(|((c, _), z)| (c + z / rho).max(0.0).powi(2)).sum();
    0.5 * (cost + rho * (equal + less))
}

/// Adds one residual to the normal equations; only the lower triangle is filled, and only where
/// the row is not zero (a leg's row knows nothing of the other leg).
fn add(h: &mut SMatrix<f64, N, N>, g: &mut SVector<f64, N>, weight: f64, r: f64, row: &Row) {
    let mut at = [0usize; N];
    let mut count = 0;
    for (i, d) in row.iter().enumerate() {
        if *d != 0.0 {
            at[count] = i;
            count += 1;
        }
    }
    for (k, &i) in at[..count].iter().enumerate() {
        let w = weight * row[i];
        g[i] += w * r;
        for &l in &at[k..count] {
            h[(l, i)] += w * row[l];
        }
    }
}

/// Solves from `start`.
pub(crate) fn solve(problem: &impl Problem, start: &Row, effort: Effort) -> Solved {
    let (lo, hi) = (*problem.lower(), *problem.upper());
    let mut x = *start;
    for i in 0..N {
        x[i] = x[i].clamp(lo[i], hi[i]);
    }
    let mut rows = Rows::default();
    let mut trial_rows = Rows::default();
    problem.rows(&x, &mut rows);
    let mut y = vec![0.0; rows.equal.len()];
    let mut z = vec![0.0; rows.at_most.len()];
    let mut rho = effort.rho;
    let mut steps = 0;
    let mut damping: f64 = 1e-3;
    let mut last_violation = f64::INFINITY;
    let mut best_violation = rows.violation();
    let mut stalled = 0;
    let mut polishing = false;

    for _ in 0..effort.outer {
        let mut value = merit(&rows, &y, &z, rho);
        let mut settled = false;
        for _ in 0..if polishing { 3 * effort.inner } else { effort.inner } {
            let mut h = SMatrix::<f64, N, N>::zeros();
            let mut g = SVector::<f64, N>::zeros();
            for (r, row) in &rows.cost {
                add(&mut h, &mut g, 1.0, *r, row);
            }
            for (i, r, d) in &rows.single {
                g[*i] += r * d;
                h[(*i, *i)] += d * d;
            }
            for ((c, row), y) in rows.equal.iter().zip(&y) {
                add(&mut h, &mut g, rho, c + y / rho, row);
            }
            for ((c, row), z) in rows.at_most.iter().zip(&z) {
                let active = c + z / rho;
                if active > 0.0 {
                    add(&mut h, &mut g, rho, active, row);
                }
            }
            let held: [bool; N] = std::array::from_fn(|i| {
                hi[i] - lo[i] <= 0.0 || (x[i] <= lo[i] && g[i] > 0.0) || (x[i] >= hi[i] && g[i] < 0.0)
            });
            for i in 0..N {
                if held[i] {
                    g[i] = 0.0;
                    for k in 0..N {
                        h[(i, k)] = 0.0;
                        h[(k, i)] = 0.0;
                    }
                    h[(i, i)] = 1.0;
                }
            }
            let mut accepted = false;
            for _ in 0..8 {
                let mut damped = h;
                for i in 0..N {
                    damped[(i, i)] += damping * (h[(i, i)].min(1e3) + 1e-2);
                }
                let Some(factor) = damped.cholesky() else {
                    damping = (damping * 8.0).max(1e-6);
                    continue;
                };
                let step = factor.solve(&(-g));
                let mut trial = x;
                for i in 0..N {
                    if !held[i] {
                        trial[i] = (x[i] + step[i].clamp(-0.5, 0.5)).clamp(lo[i], hi[i]);
                    }
                }
                trial_rows.clear();
                problem.rows(&trial, &mut trial_rows);
                let trial_value = merit(&trial_rows, &y, &z, rho);
                steps += 1;
                if trial_value < value {
                    let gain = value - trial_value;
                    let settle = if polishing { effort.settle * POLISH } else { effort.settle };
                    settled = gain < settle * (trial_value + 1e-9);
                    x = trial;
                    value = trial_value;
                    std::mem::swap(&mut rows, &mut trial_rows);
                    damping = (damping * 0.25).max(1e-9);
                    accepted = true;
                    break;
                }
                damping = (damping * 6.0).max(1e-6);
            }
            if !accepted {
                damping = damping.min(1e-2);
                settled = true;
            }
            if settled {
                break;
            }
        }
        let violation = rows.violation();
        if violation < effort.tolerance && settled {
            // Once feasible, one more round with renewed multipliers brings the cost to its least.
            if polishing {
                break;
            }
            polishing = true;
        }
        for ((c, _), y) in rows.equal.iter().zip(&mut y) {
            *y += rho * c;
        }
        for ((c, _), z) in rows.at_most.iter().zip(&mut z) {
            *z = (*z + rho * c).max(0.0);
        }
        if violation > 0.25 * last_violation {
            rho = (rho * 6.0).min(1e8);
        }
        if violation > 0.7 * best_violation {
            stalled += 1;
            if stalled >= 3 {
                break;
            }
        } else {
            stalled = 0;
        }
        best_violation = best_violation.min(violation);
        last_violation = violation;
    }
    let cost = 0.5
        * (rows.cost.iter().map(|(r, _)| r * r).sum::<f64>()
            + rows.single.iter().map(|(_, r, _)| r * r).sum::<f64>());
    Solved { violation: rows.violation(), x, steps, cost }
}
