//! Bounded nonlinear least squares with constraints, by an augmented Lagrangian around damped
//! steps of Gauss–Newton with a learned correction.
//!
//! Minimise `½ Σ r(x)²` subject to `c(x) = 0`, `d(x) ≤ 0` and `lo ≤ x ≤ hi`. The inner problem is
//! `½ Σ r² + ½ρ Σ (c + y/ρ)² + ½ρ Σ max(0, d + z/ρ)²`; multipliers `y, z` are renewed whenever a
//! step gains little, and `ρ` grows while the violation does not shrink (Nocedal & Wright,
//! Numerical Optimization, chapter 17). Bounds are true bounds: a variable at its bound whose
//! gradient points outward is held there, and a step that would cross a bound is solved again with
//! that variable on it. Gauss–Newton leaves out how the rows themselves bend; near the end, where
//! that makes steps slow, the missing part `S` is learned from how the gradient changed from point
//! to point (Dennis, Gay & Welsch 1981, the sized secant update of NL2SOL).

use crate::state::NQ;
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

    fn cost(&self) -> f64 {
        0.5 * (self.cost.iter().map(|(r, _)| r * r).sum::<f64>()
            + self.single.iter().map(|(_, r, _)| r * r).sum::<f64>())
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
    /// Steps taken.
    pub(crate) steps: usize,
    /// Cost (half the sum of squares) without the constraints.
    pub(crate) cost: f64,
}

/// How hard to try.
#[derive(Clone, Copy)]
pub(crate) struct Effort {
    /// Most renewals of the multipliers.
    pub(crate) outer: usize,
    /// Most steps between two renewals.
    pub(crate) inner: usize,
    /// Accepted violation (metres, body weights, radians).
    pub(crate) tolerance: f64,
    /// Relative gain of a step below which the multipliers are renewed.
    pub(crate) settle: f64,
    /// Relative gain below which a feasible point is the end.
    pub(crate) polish: f64,
    pub(crate) rho: f64,
}

type Square = [[f64; N]; N];

/// Multipliers of the constraints and the weight of their violation.
struct Weights {
    y: Vec<f64>,
    z: Vec<f64>,
    rho: f64,
}

impl Weights {
    fn merit(&self, rows: &Rows) -> f64 {
        let rho = self.rho;
        let equal: f64 = rows.equal.iter().zip(&self.y).map(|((c, _), y)| (c + y / rho).powi(2)).sum();
        let less: f64 =
            rows.at_most.iter().zip(&self.z).map(|((c, _), z)| (c + z / rho).max(0.0).powi(2)).sum();
        rows.cost() + 0.5 * rho * (equal + less)
    }

    fn renew(&mut self, rows: &Rows) {
        for ((c, _), y) in rows.equal.iter().zip(&mut self.y) {
            *y += self.rho * c;
        }
        for ((c, _), z) in rows.at_most.iter().zip(&mut self.z) {
            *z = (*z + self.rho * c).max(0.0);
        }
    }

    /// Every row that pulls at `x`: its weight in the normal equations, its pull, and the row.
    fn each<'a>(&'a self, rows: &'a Rows) -> impl Iterator<Item = (f64, f64, &'a Row)> {
        let rho = self.rho;
        let cost = rows.cost.iter().map(|(r, row)| (1.0, *r, row));
        let equal = rows.equal.iter().zip(&self.y).map(move |((c, row), y)| (rho, rho * c + y, row));
        let less = rows
            .at_most
            .iter()
            .zip(&self.z)
            .map(move |((c, row), z)| (rho, rho * c + z, row))
            .filter(|(_, pull, _)| *pull > 0.0);
        cost.chain(equal).chain(less)
    }

    /// Gradient and Gauss–Newton matrix (lower triangle).
    fn assemble(&self, rows: &Rows, g: &mut Row, h: &mut Square) {
        *g = [0.0; N];
        for line in h.iter_mut() {
            *line = [0.0; N];
        }
        for (weight, pull, row) in self.each(rows) {
            let mut at = [0usize; N];
            let mut count = 0;
            for (i, d) in row.iter().enumerate() {
                if *d != 0.0 {
                    at[count] = i;
                    count += 1;
                }
            }
            for (k, &i) in at[..count].iter().enumerate() {
                g[i] += pull * row[i];
                let w = weight * row[i];
                let line = &mut h[i];
                for &l in &at[..=k] {
                    line[l] += w * row[l];
                }
            }
        }
        for (i, r, d) in &rows.single {
            g[*i] += r * d;
            h[*i][*i] += d * d;
        }
    }

    /// The pull of what the rows did beyond their slope at `before` over a step.
    fn bent(&self, before: &Rows, after: &Rows, step: &Row) -> Row {
        let mut g = [0.0; N];
        let mut add = |weight: f64, was: f64, row: &Row, is: f64| {
            let pull = weight * (is - was - dot(row, step));
            for (into, d) in g.iter_mut().zip(row) {
                *into += pull * d;
            }
        };
        for ((was, row), (is, _)) in before.cost.iter().zip(&after.cost) {
            add(1.0, *was, row, *is);
        }
        for ((was, row), (is, _)) in before.equal.iter().zip(&after.equal) {
            add(self.rho, *was, row, *is);
        }
        for (((was, row), (is, _)), z) in before.at_most.iter().zip(&after.at_most).zip(&self.z) {
            if was + z / self.rho > 0.0 {
                add(self.rho, *was, row, *is);
            }
        }
        g
    }

    fn gradient(&self, rows: &Rows) -> Row {
        let mut g = [0.0; N];
        for (_, pull, row) in self.each(rows) {
            for (into, d) in g.iter_mut().zip(row) {
                *into += pull * d;
            }
        }
        for (i, r, d) in &rows.single {
            g[*i] += r * d;
        }
        g
    }
}

fn dot(a: &Row, b: &Row) -> f64 {
    a.iter().zip(b).map(|(a, b)| a * b).sum()
}

fn times(m: &Square, v: &Row) -> Row {
    std::array::from_fn(|i| dot(&m[i], v))
}

/// What Gauss–Newton leaves out, learned from differences of gradients.
struct Bend {
    s: Square,
    known: bool,
}

impl Bend {
    fn learn(&mut self, step: &Row, whole: &Row, missed: &Row) {
        let along = dot(whole, step);
        if along <= 1e-12 * dot(step, step) {
            return;
        }
        let sv = times(&self.s, step);
        let (want, have) = (dot(step, missed), dot(step, &sv));
        let size = if have.abs() > want.abs() { (want / have).abs() } else { 1.0 };
        let off: Row = std::array::from_fn(|i| missed[i] - size * sv[i]);
        let twice = dot(step, &off) / (along * along);
        for i in 0..N {
            for k in 0..N {
                self.s[i][k] = size * self.s[i][k] + (off[i] * whole[k] + whole[i] * off[k]) / along
                    - twice * whole[i] * whole[k];
            }
        }
        self.known = true;
    }

    fn forget(&mut self) {
        self.s = [[0.0; N]; N];
        self.known = false;
    }
}

/// A Cholesky factor of the rows and columns of the free variables.
struct Factor {
    l: Square,
    free: Vec<usize>,
}

impl Factor {
    /// From the lower triangle of `m`; `None` when it is not positive definite.
    fn new(m: &Square, free: &[usize]) -> Option<Self> {
        let mut l = [[0.0f64; N]; N];
        for (r, &i) in free.iter().enumerate() {
            for (c, &k) in free[..=r].iter().enumerate() {
                let (head, tail) = l.split_at_mut(r);
                let line = &mut tail[0];
                if c < r {
                    let other = &head[c];
                    let sum: f64 = line[..c].iter().zip(&other[..c]).map(|(a, b)| a * b).sum();
                    line[c] = (m[i][k] - sum) / other[c];
                } else {
                    let v = m[i][k] - line[..c].iter().map(|a| a * a).sum::<f64>();
                    if v <= 1e-12 {
                        return None;
                    }
                    line[c] = v.sqrt();
                }
            }
        }
        Some(Self { l, free: free.to_vec() })
    }

    /// `−m⁻¹ g` on the free variables, zero on the others.
    fn descend(&self, g: &Row) -> Row {
        let n = self.free.len();
        let mut b = [0.0f64; N];
        for (r, &i) in self.free.iter().enumerate() {
            let sum: f64 = self.l[r][..r].iter().zip(&b[..r]).map(|(a, b)| a * b).sum();
            b[r] = (-g[i] - sum) / self.l[r][r];
        }
        let mut out = [0.0; N];
        for r in (0..n).rev() {
            b[r] /= self.l[r][r];
            let v = b[r];
            for (into, a) in b[..r].iter_mut().zip(&self.l[r][..r]) {
                *into -= a * v;
            }
            out[self.free[r]] = v;
        }
        out
    }
}

/// A step within the bounds: solved again with a variable on its bound wherever it would cross.
/// The factor that made it is kept for corrections.
fn step_within(m: &Square, g: &Row, x: &Row, lo: &Row, hi: &Row, free: &[usize]) -> Option<(Row, Factor)> {
    let mut factor = Factor::new(m, free)?;
    let mut fixed = [0.0; N];
    let mut pull = *g;
    for round in 0.. {
        let mut s = factor.descend(&pull);
        for (into, f) in s.iter_mut().zip(&fixed) {
            *into += f;
        }
        let mut inside = factor.free.clone();
        inside.retain(|&i| {
            let to = s[i].clamp(lo[i] - x[i], hi[i] - x[i]);
            if to == s[i] {
                return true;
            }
            fixed[i] = to;
            s[i] = to;
            for k in 0..N {
                pull[k] += if k >= i { m[k][i] } else { m[i][k] } * to;
            }
            false
        });
        if inside.len() == factor.free.len() || round == 4 {
            return Some((s, factor));
        }
        factor = Factor::new(m, &inside)?;
    }
    None
}

/// A step within the bounds that also knows of the constraints it would run into.
#[allow(clippy::too_many_arguments, reason = "one private step of one algorithm")]
fn step_toward(
    m: &mut Square,
    g: &Row,
    rows: &Rows,
    weights: &Weights,
    x: &Row,
    lo: &Row,
    hi: &Row,
    free: &[usize],
) -> Option<(Row, Factor)> {
    let mut pull = *g;
    let mut met = vec![false; rows.at_most.len()];
    for round in 0.. {
        let (step, factor) = step_within(m, &pull, x, lo, hi, free)?;
        let mut more = false;
        for (((d, row), z), met) in rows.at_most.iter().zip(&weights.z).zip(&mut met) {
            let now = d + z / weights.rho;
            if now > 0.0 || *met || now + dot(row, &step) <= 0.0 {
                continue;
            }
            *met = true;
            more = true;
            for i in 0..N {
                if row[i] != 0.0 {
                    pull[i] += weights.rho * now * row[i];
                    for k in 0..=i {
                        m[i][k] += weights.rho * row[i] * row[k];
                    }
                }
            }
        }
        if !more || round == 3 {
            return Some((step, factor));
        }
    }
    None
}

/// The longest step of any angle (radians) or place (metres).
const LONGEST: f64 = 0.5;

/// Solves from `start`.
pub(crate) fn solve(problem: &impl Problem, start: &Row, effort: Effort) -> Solved {
    let (lo, hi) = (problem.lower(), problem.upper());
    let mut x: Row = std::array::from_fn(|i| start[i].clamp(lo[i], hi[i]));
    let (mut rows, mut trial_rows, mut other_rows) = (Rows::default(), Rows::default(), Rows::default());
    problem.rows(&x, &mut rows);
    let mut weights =
        Weights { y: vec![0.0; rows.equal.len()], z: vec![0.0; rows.at_most.len()], rho: effort.rho };
    let (mut g, mut h) = ([0.0; N], [[0.0; N]; N]);
    let mut bend = Bend { s: [[0.0; N]; N], known: false };
    let mut damping: f64 = 1e-3;
    let mut steps = 0;
    let mut last_violation = f64::INFINITY;
    let mut best_violation = rows.violation();
    let mut stalled = 0;
    let mut slow = false;

    'outer: for _ in 0..effort.outer {
        let mut value = weights.merit(&rows);
        let mut stuck = false;
        for _ in 0..effort.inner {
            weights.assemble(&rows, &mut g, &mut h);
            let free: Vec<usize> = (0..N)
                .filter(|&i| {
                    hi[i] > lo[i] && !(x[i] <= lo[i] && g[i] > 0.0) && !(x[i] >= hi[i] && g[i] < 0.0)
                })
                .collect();
            let mut gain = None;
            for _ in 0..14 {
                let learned = slow && bend.known;
                let mut m = h;
                for (i, line) in m.iter_mut().enumerate() {
                    if learned {
                        for (into, s) in line[..=i].iter_mut().zip(&bend.s[i]) {
                            *into += s;
                        }
                    }
                    line[i] += damping * (h[i][i].min(1e3) + 1e-2);
                }
                let Some((mut step, factor)) = step_toward(&mut m, &g, &rows, &weights, &x, lo, hi, &free)
                else {
                    if learned {
                        bend.forget();
                    } else {
                        damping = (damping * 8.0).max(1e-6);
                    }
                    continue;
                };
                let longest = step[..NQ].iter().fold(0.0, |a: f64, s| a.max(s.abs()));
                if longest > LONGEST {
                    for s in &mut step {
                        *s *= LONGEST / longest;
                    }
                }
                let mut trial: Row = std::array::from_fn(|i| (x[i] + step[i]).clamp(lo[i], hi[i]));
                trial_rows.clear();
                problem.rows(&trial, &mut trial_rows);
                steps += 1;
                let mut trial_value = weights.merit(&trial_rows);
                let hoped = -0.5 * dot(&g, &step);
                if value - trial_value < 0.5 * hoped {
                    // Rows that bend threw the step off its valley: one correction across it.
                    let across = factor.descend(&weights.bent(&rows, &trial_rows, &step));
                    if dot(&across, &across) < dot(&step, &step) {
                        let corrected: Row =
                            std::array::from_fn(|i| (trial[i] + across[i]).clamp(lo[i], hi[i]));
                        other_rows.clear();
                        problem.rows(&corrected, &mut other_rows);
                        steps += 1;
                        let corrected_value = weights.merit(&other_rows);
                        if corrected_value < trial_value {
                            trial = corrected;
                            trial_value = corrected_value;
                            std::mem::swap(&mut trial_rows, &mut other_rows);
                        }
                    }
                }
                let value_before = value;
                if trial_value < value {
                    // How the pull of the same rows changed beyond what Gauss–Newton knows.
                    let after = weights.gradient(&trial_rows);
                    let mut missed = after;
                    let old = pulled(&weights, &trial_rows, &rows);
                    for (into, o) in missed.iter_mut().zip(&old) {
                        *into -= o;
                    }
                    let whole: Row = std::array::from_fn(|i| after[i] - g[i]);
                    let step: Row = std::array::from_fn(|i| trial[i] - x[i]);
                    bend.learn(&step, &whole, &missed);
                    gain = Some(value - trial_value);
                    x = trial;
                    value = trial_value;
                    std::mem::swap(&mut rows, &mut trial_rows);
                    let share = (value_before - trial_value) / hoped.max(1e-300);
                    if share > 0.75 {
                        damping = (damping * 0.2).max(1e-9);
                    } else if share < 0.25 {
                        damping *= 3.0;
                    }
                    break;
                }
                if learned {
                    bend.forget();
                    slow = false;
                } else {
                    damping = (damping * 8.0).max(1e-5);
                }
            }
            let Some(gain) = gain else {
                damping = damping.min(1e-2);
                stuck = true;
                break;
            };
            let relative = gain / (rows.cost() + 1e-9);
            slow = relative < 0.1;
            let violation = rows.violation();
            if relative < effort.polish && violation < effort.tolerance {
                break 'outer;
            }
            // While constraints are broken their weight is most of what can be gained.
            if gain < effort.settle * value.max(rows.cost()) && violation > 0.1 * effort.tolerance
                || relative < effort.polish
            {
                break;
            }
        }
        let violation = rows.violation();
        if stuck && violation < effort.tolerance {
            break;
        }
        weights.renew(&rows);
        if violation > 0.25 * last_violation && violation > 0.1 * effort.tolerance {
            weights.rho = (weights.rho * 6.0).min(1e8);
        }
        if violation > 0.7 * best_violation && violation > effort.tolerance {
            stalled += 1;
            if stalled >= if weights.rho > 1e5 { 2 } else { 3 } {
                break;
            }
        } else {
            stalled = 0;
        }
        best_violation = best_violation.min(violation);
        last_violation = violation;
    }
    Solved { violation: rows.violation(), cost: rows.cost(), x, steps }
}

/// The gradient that the pulls of `now` would make with the rows of `before`.
fn pulled(weights: &Weights, now: &Rows, before: &Rows) -> Row {
    let mut g = [0.0; N];
    let mut add = |pull: f64, row: &Row| {
        for (into, d) in g.iter_mut().zip(row) {
            *into += pull * d;
        }
    };
    for ((r, _), (_, row)) in now.cost.iter().zip(&before.cost) {
        add(*r, row);
    }
    for (((c, _), y), (_, row)) in now.equal.iter().zip(&weights.y).zip(&before.equal) {
        add(weights.rho * c + y, row);
    }
    for (((c, _), z), (_, row)) in now.at_most.iter().zip(&weights.z).zip(&before.at_most) {
        add((weights.rho * c + z).max(0.0), row);
    }
    for ((i, r, _), (_, _, d)) in now.single.iter().zip(&before.single) {
        g[*i] += r * d;
    }
    g
}
