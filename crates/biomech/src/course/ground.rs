//! Sharing what the floor must supply among the places where the feet press.
//!
//! Each place can push with `f = λ₁ e₁ + … + λ₄ e₄`, `λ ≥ 0`, where the `e` are the edges of its
//! friction pyramid, each pressing with one; so friction and the centre of pressure inside each
//! foot hold by construction. With `w` the wrench that the motion needs (force in body weights, moment
//! in body weights times a lever) and `G` the wrenches of all edges, find
//!
//! `min ½ ε |λ − r|² + ½ |G λ − w|²`, `λ ≥ 0`,
//!
//! where `r` is the share that the postures of least effort before and after suggest. Its optimum
//! is `λ = max(0, r + Gᵀ y / ε)` with `y = w − G λ`, which is what remains missing: six equations
//! in `y`, piecewise linear and monotone, solved by Newton's method with a line search on the
//! convex function whose gradient they are. The result is exact to rounding, not to a tolerance.

use nalgebra::{SMatrix, SVector};

use crate::state::V3;

/// Force and moment: forward, up, right; body weights, and body weights times the lever.
pub(crate) type Wrench6 = SVector<f64, 6>;

/// Edges of a friction pyramid.
pub(crate) const EDGES: usize = 4;
/// Places where both feet together can press: heel, ball and toe tip, inner and outer side.
pub(crate) const PLACES: usize = 12;
/// All weights `λ`.
pub(crate) const WEIGHTS: usize = PLACES * EDGES;
/// Weights by place and edge.
pub(crate) type Weights = [f64; WEIGHTS];

/// How dear it is to leave the suggested share, beside a missing wrench. Small enough that what is
/// missing for its sake is far below anything a person could feel; large enough for the arithmetic.
const EPSILON: f64 = 1e-6;

/// The edges `e` of the pyramid: shear forward and right per newton pressed.
pub(crate) fn edges(friction: f64) -> [V3; EDGES] {
    [(1.0, 1.0), (1.0, -1.0), (-1.0, 1.0), (-1.0, -1.0)]
        .map(|(x, z)| V3::new(x * friction, 1.0, z * friction))
}

/// The weights that give a pressure with this shear (as shares of it) within the pyramid.
pub(crate) fn weights_of(pressure: f64, shear: [f64; 2], friction: f64) -> [f64; EDGES] {
    let (x, z) = ((shear[0] / friction).clamp(-1.0, 1.0), (shear[1] / friction).clamp(-1.0, 1.0));
    [(1.0, 1.0), (1.0, -1.0), (-1.0, 1.0), (-1.0, -1.0)]
        .map(|(sx, sz)| pressure * 0.25 * (1.0 + sx * x) * (1.0 + sz * z))
}

/// One problem: the wrench of every edge that may carry.
pub(crate) struct Ground {
    pub(crate) columns: Vec<(usize, Wrench6)>,
}

/// The shared reaction.
#[derive(Clone)]
pub(crate) struct Shared {
    pub(crate) weights: Weights,
    /// What no push of the feet can supply.
    pub(crate) missing: Wrench6,
}

impl Ground {
    /// Places that may carry, each with its number, seen from `about`; `lever` in metres.
    pub(crate) fn new(places: &[(usize, V3)], about: V3, friction: f64, lever: f64) -> Self {
        let edges = edges(friction);
        let mut columns = Vec::with_capacity(places.len() * EDGES);
        for (place, p) in places {
            for (k, f) in edges.iter().enumerate() {
                let m = (p - about).cross(f) / lever;
                columns.push((place * EDGES + k, Wrench6::new(f.x, f.y, f.z, m.x, m.y, m.z)));
            }
        }
        Self { columns }
    }

    /// Shares `w`, staying near `suggested`; `start` is the `missing` of a neighbouring problem.
    pub(crate) fn share(&self, w: &Wrench6, suggested: &Weights, start: &Wrench6) -> Shared {
        let weight = |y: &Wrench6, i: usize, g: &Wrench6| suggested[i] + g.dot(y) / EPSILON;
        let value = |y: &Wrench6| {
            let carried: f64 = self.columns.iter().map(|(i, g)| weight(y, *i, g).max(0.0).powi(2)).sum();
            0.5 * y.norm_squared() + 0.5 * EPSILON * carried - w.dot(y)
        };
        let mut y = *start;
        let mut now = value(&y);
        for _ in 0..60 {
            let mut gradient = y - w;
            let mut slope = SMatrix::<f64, 6, 6>::identity();
            for (i, g) in &self.columns {
                let weight = weight(&y, *i, g);
                if weight > 0.0 {
                    gradient += g * weight;
                    for c in 0..6 {
                        let f = g[c] / EPSILON;
                        for r in c..6 {
                            slope[(r, c)] += f * g[r];
                        }
                    }
                }
            }
            if gradient.norm() < 1e-14 {
                break;
            }
            let Some(factor) = slope.cholesky() else { break };
            let step = -factor.solve(&gradient);
            let along = gradient.dot(&step);
            let mut length = 1.0;
            let mut next = y + step;
            let mut then = value(&next);
            // Piecewise quadratic: a whole step is exact within one piece; shorten it across many.
            let rounding = 1e-14 * now.abs();
            while then > now + 1e-4 * length * along + rounding && length > 1e-6 {
                length *= 0.5;
                next = y + step * length;
                then = value(&next);
            }
            y = next;
            now = then;
        }
        let mut weights = [0.0; WEIGHTS];
        let mut missing = *w;
        for (i, g) in &self.columns {
            weights[*i] = weight(&y, *i, g).max(0.0);
            missing -= g * weights[*i];
        }
        Shared { weights, missing }
    }
}

#[cfg(test)]
mod tests {
    use clarabel::algebra::CscMatrix;
    use clarabel::solver::{DefaultSettings, DefaultSolver, IPSolver, SupportedConeT};

    use super::*;

    fn feet() -> Ground {
        let places: Vec<(usize, V3)> = [0.0, 0.5]
            .into_iter()
            .enumerate()
            .flat_map(|(foot, ahead)| {
                [(-0.08, -0.05), (-0.08, 0.05), (0.1, -0.05), (0.1, 0.05)]
                    .into_iter()
                    .enumerate()
                    .map(move |(k, (x, z))| (foot * 6 + k, V3::new(x + ahead, 0.0, z + 0.2 * ahead)))
            })
            .collect();
        Ground::new(&places, V3::new(0.2, 0.9, 0.0), 0.3, 0.27)
    }

    /// Wrenches that the feet can supply, and some that they cannot.
    fn wrenches() -> Vec<Wrench6> {
        let mut all = Vec::new();
        for k in 0..24 {
            let t = f64::from(k);
            let (x, z) = (0.12 * (t * 0.7).sin(), 0.1 * (t * 1.3).cos());
            let up = 1.0 + 0.2 * (t * 0.4).sin();
            // Force through a point of the floor x, z ahead of the middle between the feet.
            let f = V3::new(0.1 * (t * 0.9).cos(), up, 0.15 * (t * 1.1).sin());
            let m = V3::new(x, -0.9, z).cross(&f) / 0.27;
            all.push(Wrench6::new(f.x, f.y, f.z, m.x, m.y, m.z));
        }
        all
    }

    fn suggested() -> Weights {
        let mut r = [0.0; WEIGHTS];
        for (i, _) in &feet().columns {
            r[*i] = 1.0 / 32.0;
        }
        r
    }

    /// The same problem by an interior-point solver of other authors.
    fn oracle(ground: &Ground, w: &Wrench6, suggested: &Weights) -> f64 {
        let n = ground.columns.len();
        // Variables: weights, then what is missing; G λ + y = w.
        let total = n + 6;
        let mut p = vec![vec![0.0; total]; total];
        let mut g = vec![0.0; total];
        for k in 0..n {
            p[k][k] = EPSILON * 1e6;
            g[k] = -EPSILON * 1e6 * suggested[ground.columns[k].0];
        }
        for (k, row) in p.iter_mut().enumerate().skip(n) {
            row[k] = 1e6;
        }
        let mut a = vec![vec![0.0; total]; 6 + n];
        let mut b = vec![0.0; 6 + n];
        for r in 0..6 {
            for (k, (_, g)) in ground.columns.iter().enumerate() {
                a[r][k] = g[r];
            }
            a[r][n + r] = 1.0;
            b[r] = w[r];
        }
        for k in 0..n {
            a[6 + k][k] = -1.0;
        }
        let cones = [SupportedConeT::ZeroConeT(6), SupportedConeT::NonnegativeConeT(n)];
        let settings = DefaultSettings {
            verbose: false,
            tol_gap_abs: 1e-12,
            tol_gap_rel: 1e-12,
            tol_feas: 1e-12,
            ..DefaultSettings::default()
        };
        let mut solver =
            DefaultSolver::new(&CscMatrix::from(&p), &g, &CscMatrix::from(&a), &b, &cones, settings).unwrap();
        solver.solve();
        let x = &solver.solution.x;
        let mut weights = [0.0; WEIGHTS];
        for k in 0..n {
            weights[ground.columns[k].0] = x[k].max(0.0);
        }
        cost(ground, w, suggested, &weights)
    }

    fn cost(ground: &Ground, w: &Wrench6, suggested: &Weights, weights: &Weights) -> f64 {
        let mut missing = *w;
        let mut left = 0.0;
        for (i, g) in &ground.columns {
            missing -= g * weights[*i];
            left += (weights[*i] - suggested[*i]).powi(2);
        }
        0.5 * EPSILON * left + 0.5 * missing.norm_squared()
    }

    #[test]
    fn the_share_costs_no_more_than_that_of_a_solver_of_other_authors() {
        let (ground, r) = (feet(), suggested());
        let mut out_of_reach = 0;
        for w in wrenches() {
            let ours = ground.share(&w, &r, &Wrench6::zeros());
            let (mine, theirs) = (cost(&ground, &w, &r, &ours.weights), oracle(&ground, &w, &r));
            // Both costs are of the order of ε; a millionth of that is agreement.
            assert!(mine <= theirs * (1.0 + 1e-6) + 1e-13, "{mine:e} {theirs:e}");
            out_of_reach += usize::from(ours.missing.norm() > 1e-3);
        }
        assert!((3..20).contains(&out_of_reach), "{out_of_reach} of the wrenches cannot be supplied");
    }

    /// Every weight pushes, and no weight could change to a gain (Karush–Kuhn–Tucker).
    #[test]
    fn the_share_satisfies_the_conditions_of_optimality() {
        let (ground, r) = (feet(), suggested());
        for w in wrenches() {
            let shared = ground.share(&w, &r, &Wrench6::zeros());
            for (i, g) in &ground.columns {
                let weight = shared.weights[*i];
                // Rounding: what is missing is divided by ε.
                let exact = 1e-13 + 1e-9 * shared.missing.norm();
                let slope = EPSILON * (weight - r[*i]) - g.dot(&shared.missing);
                assert!(weight >= 0.0);
                assert!(slope > -exact, "pushing more would gain: {slope:e} of {exact:e}");
                assert!(weight * slope.abs() < exact, "a carrying weight is at rest: {slope:e}");
            }
        }
    }

    #[test]
    fn a_share_that_fits_is_kept_and_a_neighbour_is_a_good_start() {
        let (ground, r) = (feet(), suggested());
        let w: Wrench6 = ground.columns.iter().map(|(i, g)| g * r[*i]).sum();
        let kept = ground.share(&w, &r, &Wrench6::zeros());
        for (a, b) in kept.weights.iter().zip(&r) {
            assert!((a - b).abs() < 1e-9);
        }
        for pair in wrenches().windows(2) {
            let near = ground.share(&pair[0], &r, &Wrench6::zeros()).missing;
            let (warm, cold) =
                (ground.share(&pair[1], &r, &near), ground.share(&pair[1], &r, &Wrench6::zeros()));
            for (a, b) in warm.weights.iter().zip(&cold.weights) {
                assert!((a - b).abs() < 1e-7);
            }
        }
    }

    #[test]
    fn weights_within_the_pyramid_give_back_their_shear() {
        let weights = weights_of(0.6, [0.1, -0.25], 0.3);
        let force: V3 = edges(0.3).iter().zip(weights).map(|(e, w)| e * w).sum();
        assert!((force - V3::new(0.06, 0.6, -0.15)).norm() < 1e-12);
        assert!(weights.iter().all(|w| *w >= 0.0));
    }
}
