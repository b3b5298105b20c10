//! Strictly convex quadratic programs, exactly, by a dual active-set method.
//!
//! Minimise `½ xᵀ H x + gᵀ x` subject to `aᵢᵀ x = bᵢ` and `aⱼᵀ x ≥ bⱼ`. Start from the
//! unconstrained minimum; add the most violated constraint, walking along the directions that keep
//! the active ones active and dropping those whose multiplier would turn negative on the way. It
//! ends after finitely many steps at the minimum, or with the proof that there is none (Goldfarb &
//! Idnani 1983, Mathematical Programming 27:1–33). The factors `J = L⁻ᵀ Q` and `R` of the active
//! set are renewed by plane rotations.

/// Constraints by number: the equalities stand first.
pub(crate) trait Constraints {
    /// How many are equalities.
    fn equalities(&self) -> usize;
    /// How many there are altogether.
    fn count(&self) -> usize;
    /// The row `aᵢ`, written into a zeroed slice; returns `bᵢ`.
    fn row(&self, i: usize, out: &mut [f64]) -> f64;
    /// The inequality that is violated most, `aᵢᵀ x − bᵢ < −tolerance`; `skip` says which are active.
    fn most_violated(&self, x: &[f64], skip: &[bool], tolerance: f64) -> Option<usize>;
}

/// How a program ends.
#[derive(Clone, Debug, PartialEq)]
pub(crate) enum Outcome {
    /// The minimum and the multiplier of every active constraint: number, value.
    Minimum {
        x: Vec<f64>,
        #[cfg_attr(not(test), allow(dead_code, reason = "tests prove optimality with them"))]
        active: Vec<(usize, f64)>,
    },
    /// No point satisfies all constraints, or the matrix is not positive definite.
    None,
}

/// Constraints count as satisfied within this much (in the unit of the constraint).
const TOLERANCE: f64 = 1e-9;
/// More active-set changes than this mean that numbers, not the problem, are in the way.
const MOST_CHANGES: usize = 400;

/// Lower Cholesky factor, column by column, in place; `None` when not positive definite.
fn cholesky(n: usize, h: &mut [f64]) -> Option<()> {
    for j in 0..n {
        for k in 0..j {
            let f = h[k * n + j];
            if f != 0.0 {
                for i in j..n {
                    h[j * n + i] -= f * h[k * n + i];
                }
            }
        }
        let d = h[j * n + j];
        if d <= 0.0 {
            return None;
        }
        let root = d.sqrt();
        for i in j..n {
            h[j * n + i] /= root;
        }
    }
    Some(())
}

struct Active {
    n: usize,
    /// Column by column.
    j: Vec<f64>,
    r: Vec<f64>,
    set: Vec<usize>,
    u: Vec<f64>,
}

impl Active {
    fn column(&self, k: usize) -> &[f64] {
        &self.j[k * self.n..(k + 1) * self.n]
    }

    /// Rotates columns `a` and `b` of `J`.
    fn rotate(&mut self, a: usize, b: usize, c: f64, s: f64) {
        let n = self.n;
        let (head, tail) = self.j.split_at_mut(b * n);
        for (x, y) in head[a * n..(a + 1) * n].iter_mut().zip(&mut tail[..n]) {
            (*x, *y) = (c * *x + s * *y, c * *y - s * *x);
        }
    }

    /// Takes a constraint in, whose `d = Jᵀ a` is given; `false` when it depends on the active ones.
    fn add(&mut self, i: usize, u: f64, d: &mut [f64]) -> bool {
        let (n, q) = (self.n, self.set.len());
        for k in (q + 1..n).rev() {
            let (x, y) = (d[k - 1], d[k]);
            let h = x.hypot(y);
            if y == 0.0 || h == 0.0 {
                continue;
            }
            d[k - 1] = h;
            d[k] = 0.0;
            self.rotate(k - 1, k, x / h, y / h);
        }
        if d[q].abs() < 1e-13 {
            return false;
        }
        for (k, v) in d[..=q].iter().enumerate() {
            self.r[q * n + k] = *v;
        }
        self.set.push(i);
        self.u.push(u);
        true
    }

    /// Lets the active constraint in place `at` go.
    fn drop(&mut self, at: usize) {
        let n = self.n;
        let q = self.set.len();
        self.set.remove(at);
        self.u.remove(at);
        for k in at..q - 1 {
            for i in 0..=k + 1 {
                self.r[k * n + i] = self.r[(k + 1) * n + i];
            }
        }
        for k in at..q - 1 {
            let (x, y) = (self.r[k * n + k], self.r[k * n + k + 1]);
            let h = x.hypot(y);
            if h == 0.0 {
                continue;
            }
            let (c, s) = (x / h, y / h);
            for l in k..q - 1 {
                let (a, b) = (self.r[l * n + k], self.r[l * n + k + 1]);
                self.r[l * n + k] = c * a + s * b;
                self.r[l * n + k + 1] = c * b - s * a;
            }
            self.rotate(k, k + 1, c, s);
        }
    }

    /// Step direction of the primal, `z = J₂ J₂ᵀ a`.
    fn primal(&self, d: &[f64], z: &mut [f64]) {
        z.fill(0.0);
        for (k, f) in d.iter().enumerate().skip(self.set.len()) {
            if *f != 0.0 {
                for (z, j) in z.iter_mut().zip(self.column(k)) {
                    *z += f * j;
                }
            }
        }
    }

    /// Step direction of the multipliers, `R⁻¹ d₁`.
    fn dual(&self, d: &[f64], r: &mut Vec<f64>) {
        let q = self.set.len();
        r.clear();
        r.extend_from_slice(&d[..q]);
        for k in (0..q).rev() {
            r[k] /= self.r[k * self.n + k];
            let f = r[k];
            for (r, column) in r[..k].iter_mut().zip(&self.r[k * self.n..]) {
                *r -= f * column;
            }
        }
    }
}

fn dot(a: &[f64], b: &[f64]) -> f64 {
    a.iter().zip(b).map(|(x, y)| x * y).sum()
}

/// Solves; `h` is the whole matrix column by column (its lower triangle is read).
pub(crate) fn minimise(mut h: Vec<f64>, g: &[f64], constraints: &impl Constraints) -> Outcome {
    let n = g.len();
    if cholesky(n, &mut h).is_none() {
        return Outcome::None;
    }
    // J = L⁻ᵀ: column k solves Lᵀ j = e_k, which fills rows 0..=k.
    let mut active = Active { n, j: vec![0.0; n * n], r: vec![0.0; n * n], set: Vec::new(), u: Vec::new() };
    for k in 0..n {
        for i in (0..=k).rev() {
            let mut value = if i == k { 1.0 } else { 0.0 };
            for l in i + 1..=k {
                value -= h[i * n + l] * active.j[k * n + l];
            }
            active.j[k * n + i] = value / h[i * n + i];
        }
    }
    // x = −J Jᵀ g
    let mut x = vec![0.0; n];
    for k in 0..n {
        let f = -dot(active.column(k), g);
        for (x, j) in x.iter_mut().zip(active.column(k)) {
            *x += f * j;
        }
    }

    let mut skip = vec![false; constraints.count()];
    let (mut a, mut d, mut z, mut r) = (vec![0.0; n], vec![0.0; n], vec![0.0; n], Vec::with_capacity(n));
    let mut waiting = (0..constraints.equalities()).collect::<Vec<_>>().into_iter();
    let mut changes = 0;
    loop {
        let equality = waiting.next();
        let Some(i) = equality.or_else(|| constraints.most_violated(&x, &skip, TOLERANCE)) else {
            let multipliers = active.set.iter().copied().zip(active.u.iter().copied()).collect();
            return Outcome::Minimum { x, active: multipliers };
        };
        a.fill(0.0);
        let b = constraints.row(i, &mut a);
        let mut multiplier = 0.0;
        loop {
            changes += 1;
            if changes > MOST_CHANGES {
                return Outcome::None;
            }
            for (k, d) in d.iter_mut().enumerate() {
                *d = dot(active.column(k), &a);
            }
            active.primal(&d, &mut z);
            active.dual(&d, &mut r);
            let short = b - dot(&a, &x);
            let gain = dot(&z, &a);
            let full = if gain > 1e-14 { short / gain } else { f64::INFINITY };
            // An equality may be approached from either side and never leaves.
            let mut partial = f64::INFINITY;
            let mut leaves = None;
            if equality.is_none() {
                for (k, r) in r.iter().enumerate().skip(constraints.equalities()) {
                    if *r > 0.0 && active.u[k] / r < partial {
                        partial = active.u[k] / r;
                        leaves = Some(k);
                    }
                }
            }
            let step = full.min(partial);
            if !step.is_finite() {
                return Outcome::None;
            }
            for (u, r) in active.u.iter_mut().zip(&r) {
                *u -= step * r;
            }
            multiplier += step;
            if full.is_finite() {
                for (x, z) in x.iter_mut().zip(&z) {
                    *x += step * z;
                }
            }
            if full <= partial {
                if !active.add(i, multiplier, &mut d) {
                    return Outcome::None;
                }
                skip[i] = true;
                break;
            }
            if let Some(k) = leaves {
                skip[active.set[k]] = false;
                active.drop(k);
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use clarabel::algebra::CscMatrix;
    use clarabel::solver::{DefaultSettings, DefaultSolver, IPSolver, SupportedConeT};

    use super::*;

    struct Dense {
        equalities: usize,
        rows: Vec<(Vec<f64>, f64)>,
    }

    impl Constraints for Dense {
        fn equalities(&self) -> usize {
            self.equalities
        }
        fn count(&self) -> usize {
            self.rows.len()
        }
        fn row(&self, i: usize, out: &mut [f64]) -> f64 {
            out.copy_from_slice(&self.rows[i].0);
            self.rows[i].1
        }
        fn most_violated(&self, x: &[f64], skip: &[bool], tolerance: f64) -> Option<usize> {
            (self.equalities..self.rows.len())
                .filter(|i| !skip[*i])
                .map(|i| (i, dot(&self.rows[i].0, x) - self.rows[i].1))
                .filter(|(_, slack)| *slack < -tolerance)
                .min_by(|a, b| a.1.total_cmp(&b.1))
                .map(|(i, _)| i)
        }
    }

    fn numbers(seed: u64) -> impl FnMut() -> f64 {
        let mut state = seed;
        move || {
            state = state.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
            f64::from((state >> 40) as u32) / f64::from(1u32 << 23) - 1.0
        }
    }

    fn program(seed: u64) -> (Vec<f64>, Vec<f64>, Dense) {
        let mut next = numbers(seed);
        let n = 12;
        let root: Vec<f64> = (0..n * n).map(|_| next()).collect();
        let mut h = vec![0.0; n * n];
        for i in 0..n {
            for j in 0..n {
                h[j * n + i] = (0..n).map(|k| root[i * n + k] * root[j * n + k]).sum::<f64>()
                    + if i == j { 0.1 } else { 0.0 };
            }
        }
        let g = (0..n).map(|_| 3.0 * next()).collect();
        // A point that satisfies all makes the program feasible.
        let inside: Vec<f64> = (0..n).map(|_| next()).collect();
        let rows = (0..30)
            .map(|i| {
                let a: Vec<f64> = (0..n).map(|_| next()).collect();
                let room = if i < 3 { 0.0 } else { 0.05 };
                let b = dot(&a, &inside) - room;
                (a, b)
            })
            .collect();
        (h, g, Dense { equalities: 3, rows })
    }

    /// An interior-point solver of other authors.
    fn oracle(h: &[f64], g: &[f64], dense: &Dense) -> Vec<f64> {
        let n = g.len();
        let m = dense.rows.len();
        let p = CscMatrix::from(
            &(0..n)
                .map(|i| (0..n).map(|j| if j >= i { h[j * n + i] } else { 0.0 }).collect())
                .collect::<Vec<Vec<f64>>>(),
        );
        let a = CscMatrix::from(
            &dense.rows.iter().map(|(a, _)| a.iter().map(|v| -v).collect()).collect::<Vec<Vec<f64>>>(),
        );
        let b: Vec<f64> = dense.rows.iter().map(|(_, b)| -b).collect();
        let cones = [
            SupportedConeT::ZeroConeT(dense.equalities),
            SupportedConeT::NonnegativeConeT(m - dense.equalities),
        ];
        let settings = DefaultSettings {
            verbose: false,
            tol_gap_abs: 1e-12,
            tol_gap_rel: 1e-12,
            tol_feas: 1e-12,
            ..DefaultSettings::default()
        };
        let mut solver = DefaultSolver::new(&p, g, &a, &b, &cones, settings).unwrap();
        solver.solve();
        solver.solution.x.clone()
    }

    #[test]
    fn the_minimum_agrees_with_an_interior_point_solver_of_other_authors() {
        let mut most_active = 0;
        for seed in 0..40 {
            let (h, g, dense) = program(seed);
            let theirs = oracle(&h, &g, &dense);
            let Outcome::Minimum { x, active } = minimise(h, &g, &dense) else {
                panic!("{seed} is feasible")
            };
            most_active = most_active.max(active.len());
            for (ours, theirs) in x.iter().zip(&theirs) {
                assert!((ours - theirs).abs() < 1e-6, "{seed}: {ours} {theirs}");
            }
        }
        assert!(most_active > 6, "some programs have many active constraints");
    }

    /// Karush–Kuhn–Tucker: the gradient is a combination of the active rows, with multipliers of the
    /// right sign, and nothing is violated.
    #[test]
    fn the_minimum_satisfies_the_conditions_of_optimality() {
        for seed in 100..140 {
            let (h, g, dense) = program(seed);
            let n = g.len();
            let Outcome::Minimum { x, active } = minimise(h.clone(), &g, &dense) else { panic!("feasible") };
            for i in 0..n {
                let mut gradient = g[i] + (0..n).map(|j| h[j * n + i] * x[j]).sum::<f64>();
                for (k, u) in &active {
                    gradient -= u * dense.rows[*k].0[i];
                }
                assert!(gradient.abs() < 1e-9, "{seed}: {gradient}");
            }
            assert!(active.iter().all(|(k, u)| *k < 3 || *u >= 0.0));
            for (k, (a, b)) in dense.rows.iter().enumerate() {
                let slack = dot(a, &x) - b;
                assert!(if k < 3 { slack.abs() < 1e-9 } else { slack > -1e-8 }, "{seed} row {k}: {slack}");
            }
        }
    }

    #[test]
    fn constraints_that_exclude_each_other_have_no_minimum() {
        let dense = Dense { equalities: 0, rows: vec![(vec![1.0, 0.0], 1.0), (vec![-1.0, 0.0], 0.0)] };
        assert_eq!(minimise(vec![1.0, 0.0, 0.0, 1.0], &[0.0, 0.0], &dense), Outcome::None);
    }
}
