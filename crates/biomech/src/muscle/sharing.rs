//! How muscles share given moments: least sum of powered shares of strength.
//!
//! With `a_i = F_i / S_i` the share a muscle gives of its strength and `b_i = S_i r_i` its moment
//! at full strength about the coordinates, find
//!
//! `min (1/p) Σ a_i^p + ½ Σ (R_j/ρ_j)²  subject to  Σ a_i b_i + R = τ,  a ≥ 0`,  p = 2 or 3.
//!
//! The multipliers λ (as many as coordinates) give everything: `x_i = b_i·λ`,
//! `a_i = max(0, x_i)^{1/(p−1)}`, `R_j = ρ_j² λ_j`, and λ is the greatest point of the concave
//! `D(λ) = τ·λ − Σ ((p−1)/p) max(0, x_i)^{p/(p−1)} − ½ Σ ρ_j² λ_j²`, found by Newton steps that are
//! halved until `D` grows. The reserve `R`, a weak spring, keeps every problem solvable; how much it
//! gave is part of the answer. Nothing is allocated.
//!
//! Source: Crowninshield & Brand's criterion with the exponent from memory; the dual is our own.

/// The power of the criterion.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Power {
    Squares,
    Cubes,
}

/// One sharing problem with `D` coordinates and `M` muscles (`M` a multiple of four).
pub(crate) struct Shares<'a, const D: usize, const M: usize> {
    /// Moment of each muscle at full strength, N·m, by coordinate and muscle.
    pub(crate) full: &'a [[f64; M]; D],
    /// The moment to produce, N·m.
    pub(crate) moment: &'a [f64; D],
    /// Strength of the reserve, N·m; zero for none.
    pub(crate) reserve: &'a [f64; D],
}

/// What was found.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Found<const D: usize> {
    /// Multipliers of the moments: how much the criterion grows per N·m.
    pub(crate) multiplier: [f64; D],
    /// Moment the reserve gave, N·m.
    pub(crate) reserve: [f64; D],
    /// Newton steps taken.
    #[cfg_attr(not(test), allow(dead_code, reason = "read by tests of convergence"))]
    pub(crate) steps: usize,
    /// Moment left over, N·m: zero but for rounding, unless the steps ran out.
    pub(crate) left: [f64; D],
}

/// A moment left over by less than this share of the largest is balanced.
const BALANCED: f64 = 1e-9;
/// More steps than any sharing has needed.
const STEPS: usize = 60;
/// Steps on cubes before the way through the inside is taken.
const PATIENCE: usize = 12;

fn largest<const D: usize>(v: &[f64; D]) -> f64 {
    v.iter().fold(0.0, |s, m| s.max(m.abs()))
}

fn dot<const M: usize>(a: &[f64; M], b: &[f64; M]) -> f64 {
    let mut lanes = [0.0; 4];
    for (x, y) in a.as_chunks::<4>().0.iter().zip(b.as_chunks::<4>().0) {
        for k in 0..4 {
            lanes[k] += x[k] * y[k];
        }
    }
    lanes.iter().sum()
}

/// Solves `A x = b` for a symmetric positive definite matrix held in its lower half.
#[allow(clippy::needless_range_loop, reason = "the textbook's indices")]
fn solve_definite<const D: usize>(mut a: [[f64; D]; D], mut b: [f64; D]) -> [f64; D] {
    for i in 0..D {
        for j in 0..=i {
            let mut sum = a[i][j];
            for k in 0..j {
                sum -= a[i][k] * a[j][k];
            }
            a[i][j] = if i == j { sum.max(1e-30).sqrt() } else { sum / a[j][j] };
        }
    }
    for i in 0..D {
        for k in 0..i {
            b[i] -= a[i][k] * b[k];
        }
        b[i] /= a[i][i];
    }
    for i in (0..D).rev() {
        for k in i + 1..D {
            b[i] -= a[k][i] * b[k];
        }
        b[i] /= a[i][i];
    }
    b
}

struct Point<const D: usize, const M: usize> {
    lambda: [f64; D],
    /// Shares of strength.
    share: [f64; M],
    value: f64,
    /// Moment still missing.
    missing: [f64; D],
}

impl<const D: usize, const M: usize> Shares<'_, D, M> {
    fn at(&self, lambda: [f64; D], power: Power) -> Point<D, M> {
        let mut share = [0.0; M];
        for (row, l) in self.full.iter().zip(lambda) {
            for (a, b) in share.iter_mut().zip(row) {
                *a += b * l;
            }
        }
        let mut lanes = [0.0; 4];
        let factor = match power {
            Power::Squares => {
                for chunk in share.as_chunks_mut::<4>().0 {
                    for k in 0..4 {
                        let a = chunk[k].max(0.0);
                        chunk[k] = a;
                        lanes[k] += a * a;
                    }
                }
                0.5
            }
            Power::Cubes => {
                for chunk in share.as_chunks_mut::<4>().0 {
                    for k in 0..4 {
                        let a = chunk[k].max(0.0).sqrt();
                        chunk[k] = a;
                        lanes[k] += a * a * a;
                    }
                }
                2.0 / 3.0
            }
        };
        let mut value = -factor * lanes.iter().sum::<f64>();
        let mut missing = [0.0; D];
        for j in 0..D {
            let spring = self.reserve[j] * self.reserve[j] * lambda[j];
            missing[j] = self.moment[j] - dot(&self.full[j], &share) - spring;
            value += lambda[j] * (self.moment[j] - 0.5 * spring);
        }
        Point { lambda, share, value, missing }
    }

    #[allow(clippy::needless_range_loop, reason = "rows and columns of one matrix")]
    fn curvature(&self, weight: &[f64; M]) -> [[f64; D]; D] {
        let mut h = [[0.0; D]; D];
        let mut weighted = [0.0; M];
        for i in 0..D {
            for ((w, b), a) in weighted.iter_mut().zip(&self.full[i]).zip(weight) {
                *w = b * a;
            }
            for j in 0..=i {
                h[i][j] = dot(&weighted, &self.full[j]);
            }
            h[i][i] += self.reserve[i] * self.reserve[i];
        }
        // A coordinate that nothing acts on stays solvable.
        let largest = (0..D).map(|i| h[i][i]).fold(0.0, f64::max);
        for (i, row) in h.iter_mut().enumerate() {
            row[i] += largest * 1e-14 + 1e-30;
        }
        h
    }

    /// The multipliers at which a first guess for squares starts: as if every muscle could also push.
    fn cold(&self) -> [f64; D] {
        solve_definite(self.curvature(&[0.5; M]), *self.moment)
    }

    /// Shares of strength into `shares`, from a neighbour's multipliers where there are any.
    pub(crate) fn solve(&self, power: Power, start: Option<[f64; D]>, shares: &mut [f64; M]) -> Found<D> {
        let patience = if power == Power::Cubes { PATIENCE } else { STEPS };
        let (mut point, mut steps) = self.climb(power, start.unwrap_or_else(|| self.cold()), patience);
        if power == Power::Cubes && !self.balanced(&point.missing) {
            // The root has an edge at zero on which steps can stick: go round it through the inside.
            let (inside, taken) = self.through_the_inside();
            let (polished, more) = self.climb(power, inside, PATIENCE);
            steps += taken + more;
            if largest(&polished.missing) < largest(&point.missing) {
                point = polished;
            }
        }
        *shares = point.share;
        Found {
            multiplier: point.lambda,
            reserve: std::array::from_fn(|j| self.reserve[j] * self.reserve[j] * point.lambda[j]),
            steps,
            left: point.missing,
        }
    }

    fn balanced(&self, missing: &[f64; D]) -> bool {
        largest(missing) <= BALANCED * largest(self.moment)
    }

    /// Newton steps on `D`, at most `patience` of them.
    fn climb(&self, power: Power, start: [f64; D], patience: usize) -> (Point<D, M>, usize) {
        let mut point = self.at(start, power);
        let mut steps = 0;
        while !self.balanced(&point.missing) && steps < patience {
            steps += 1;
            let weight = match power {
                Power::Squares => point.share.map(|a| if a > 0.0 { 1.0 } else { 0.0 }),
                Power::Cubes => point.share.map(|a| if a > 0.0 { 0.5 / a.max(1e-9) } else { 0.0 }),
            };
            let d = solve_definite(self.curvature(&weight), point.missing);
            let slope: f64 = d.iter().zip(&point.missing).map(|(a, b)| a * b).sum();
            let mut length = 1.0;
            let next = loop {
                let lambda = std::array::from_fn(|j| point.lambda[j] + length * d[j]);
                let next = self.at(lambda, power);
                // Near the end rounding hides the growth of D; a smaller moment left over also counts.
                let grows = next.value >= point.value + 1e-4 * length * slope;
                if grows || largest(&next.missing) < 0.5 * largest(&point.missing) {
                    break Some(next);
                }
                length *= 0.5;
                if length < 1e-12 {
                    break None;
                }
            };
            match next {
                Some(next) => point = next,
                None => break,
            }
        }
        (point, steps)
    }

    /// Multipliers for cubes by an interior path: with slacks `s_i = a_i² − x_i`, Newton steps on
    /// `a_i s_i = μ` while `μ` falls (Mehrotra's choice of how fast). Shares are counted in the
    /// largest share of the answer for squares, so that all numbers are near one.
    fn through_the_inside(&self) -> ([f64; D], usize) {
        let (squares, mut steps) = self.climb(Power::Squares, self.cold(), STEPS);
        let unit = squares.share.iter().copied().fold(0.0, f64::max).max(1e-12);
        let reserve: [f64; D] = std::array::from_fn(|j| self.reserve[j] * self.reserve[j] * unit);
        let mut lambda = squares.lambda.map(|l| l / unit);
        let mut share = squares.share.map(|a| (a / unit).max(0.1));
        let mut slack = [0.1; M];
        for _ in 0..STEPS {
            let mu = dot(&share, &slack) / M as f64;
            let mut missing: [f64; D] = std::array::from_fn(|j| {
                self.moment[j] / unit - dot(&self.full[j], &share) - reserve[j] * lambda[j]
            });
            if mu < 1e-9 && largest(&missing) * unit <= 1e-7 * largest(self.moment) {
                break;
            }
            steps += 1;
            let mut dual = [0.0; M];
            for (row, l) in self.full.iter().zip(lambda) {
                for (d, b) in dual.iter_mut().zip(row) {
                    *d += b * l;
                }
            }
            for ((d, a), s) in dual.iter_mut().zip(&share).zip(&slack) {
                *d += s - a * a;
            }
            let weight: [f64; M] = std::array::from_fn(|i| share[i] / (2.0 * share[i] * share[i] + slack[i]));
            let mut h = self.curvature(&weight);
            for (j, row) in h.iter_mut().enumerate() {
                row[j] += reserve[j] - self.reserve[j] * self.reserve[j];
            }
            // First straight for μ = 0, then for the μ that this direction deserves.
            let mut target = [0.0; M];
            for (t, (a, s)) in target.iter_mut().zip(share.iter().zip(&slack)) {
                *t = -a * s;
            }
            let wanted = missing;
            let mut step = None;
            for pass in 0..2 {
                let push: [f64; M] = std::array::from_fn(|i| weight[i] * (dual[i] + target[i] / share[i]));
                for (j, m) in missing.iter_mut().enumerate() {
                    *m = wanted[j] - dot(&self.full[j], &push);
                }
                let d_lambda = solve_definite(h, missing);
                let mut d_share = push;
                for (row, l) in self.full.iter().zip(d_lambda) {
                    for ((d, b), w) in d_share.iter_mut().zip(row).zip(&weight) {
                        *d += w * b * l;
                    }
                }
                let d_slack: [f64; M] =
                    std::array::from_fn(|i| (target[i] - slack[i] * d_share[i]) / share[i]);
                let mut length = 1.0_f64;
                for i in 0..M {
                    if d_share[i] < 0.0 {
                        length = length.min(-0.995 * share[i] / d_share[i]);
                    }
                    if d_slack[i] < 0.0 {
                        length = length.min(-0.995 * slack[i] / d_slack[i]);
                    }
                }
                if pass == 0 {
                    let after: f64 = (0..M)
                        .map(|i| (share[i] + length * d_share[i]) * (slack[i] + length * d_slack[i]))
                        .sum::<f64>()
                        / M as f64;
                    let centre = mu * (after / mu).powi(3);
                    for i in 0..M {
                        target[i] = centre - share[i] * slack[i] - d_share[i] * d_slack[i];
                    }
                }
                step = Some((d_lambda, d_share, d_slack, length));
            }
            if let Some((d_lambda, d_share, d_slack, length)) = step {
                for (l, d) in lambda.iter_mut().zip(d_lambda) {
                    *l += length * d;
                }
                for i in 0..M {
                    share[i] += length * d_share[i];
                    slack[i] += length * d_slack[i];
                }
            }
        }
        (lambda.map(|l| l * unit * unit), steps)
    }

    /// A start for cubes from the answer for squares: the same direction, of the best length.
    pub(crate) fn cubes_from_squares(squares: &Found<D>, shares: &[f64; M]) -> [f64; D] {
        let (mut second, mut middle) = (0.0, 0.0);
        for a in shares {
            second += a * a;
            middle += a * a.sqrt();
        }
        let stretch = if middle > 0.0 { (second / middle).powi(2) } else { 1.0 };
        squares.multiplier.map(|l| l * stretch)
    }
}

#[cfg(test)]
pub(crate) mod tests {
    use super::super::paths::paths;
    use super::super::units::{DOF, UNITS, units};
    use super::*;

    /// Numbers in −0.5 to 0.5, the same in every run.
    pub(crate) struct Numbers(pub(crate) u64);

    impl Numbers {
        fn next(&mut self) -> f64 {
            self.0 = self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
            f64::from((self.0 >> 40) as u32) / f64::from(1u32 << 24) - 0.5
        }
    }

    /// A leg in a posture inside the known paths with moments of up to 100 N·m, model strengths.
    pub(crate) fn leg(numbers: &mut Numbers) -> ([[f64; UNITS]; DOF], [f64; DOF]) {
        let middle = [0.8, -0.05, 0.0, 1.0, -0.05, 0.0];
        let wide = [1.8, 0.8, 0.7, 1.8, 0.9, 0.5];
        let angles = std::array::from_fn(|k| middle[k] + wide[k] * numbers.next());
        let mut full = [[0.0; UNITS]; DOF];
        paths().arms(&angles, &mut full);
        for row in &mut full {
            for (b, unit) in row.iter_mut().zip(units()) {
                *b *= unit.strength * 0.45;
            }
        }
        let size = [200.0, 100.0, 20.0, 160.0, 120.0, 20.0];
        (full, std::array::from_fn(|k| size[k] * numbers.next()))
    }

    /// The conditions that only the least sum meets: moments balanced, no muscle pushes, a muscle
    /// that pulls has the marginal cost its multipliers pay, one that rests would cost more.
    #[test]
    fn shares_meet_the_conditions_of_the_least_sum() {
        let mut numbers = Numbers(7);
        let mut most = [0; 2];
        for _ in 0..400 {
            let (full, moment) = leg(&mut numbers);
            let reserve = [2.0, 1.0, 0.4, 2.0, 1.2, 0.25];
            let problem = Shares { full: &full, moment: &moment, reserve: &reserve };
            let mut share = [0.0; UNITS];
            let squares = problem.solve(Power::Squares, None, &mut share);
            check(&problem, &squares, &share, Power::Squares);
            let start = Shares::<DOF, UNITS>::cubes_from_squares(&squares, &share);
            let cubes = problem.solve(Power::Cubes, Some(start), &mut share);
            check(&problem, &cubes, &share, Power::Cubes);
            most = [most[0].max(squares.steps), most[1].max(cubes.steps)];
        }
        assert!(most[0] <= 30 && most[1] <= 60, "steps needed: {most:?}");
    }

    fn check(problem: &Shares<'_, DOF, UNITS>, found: &Found<DOF>, share: &[f64; UNITS], power: Power) {
        for k in 0..DOF {
            let sum: f64 = problem.full[k].iter().zip(share).map(|(b, a)| a * b).sum();
            let off = problem.moment[k] - sum - found.reserve[k];
            assert!(off.abs() < 1e-6, "{power:?}: {off} N·m left about {k} after {} steps", found.steps);
        }
        for (u, a) in share.iter().enumerate() {
            let x: f64 = (0..DOF).map(|k| problem.full[k][u] * found.multiplier[k]).sum();
            let cost = match power {
                Power::Squares => *a,
                Power::Cubes => a * a,
            };
            assert!(*a >= 0.0);
            assert!(if *a > 0.0 { (cost - x).abs() < 1e-9 * (1.0 + x.abs()) } else { x <= 1e-9 });
        }
    }

    /// Each answer costs least by its own criterion: squares by squares, cubes by cubes.
    #[test]
    fn each_power_is_cheapest_by_its_own_measure() {
        let mut numbers = Numbers(11);
        let reserve = [1.0; DOF];
        for _ in 0..100 {
            let (full, moment) = leg(&mut numbers);
            let problem = Shares { full: &full, moment: &moment, reserve: &reserve };
            let (mut two, mut three) = ([0.0; UNITS], [0.0; UNITS]);
            let squares = problem.solve(Power::Squares, None, &mut two);
            let start = Shares::<DOF, UNITS>::cubes_from_squares(&squares, &two);
            let cubes = problem.solve(Power::Cubes, Some(start), &mut three);
            let cost = |share: &[f64; UNITS], found: &Found<DOF>, p: i32| {
                let spring: f64 = found.reserve.iter().map(|r| r * r).sum();
                share.iter().map(|a| a.powi(p)).sum::<f64>() / f64::from(p) + 0.5 * spring
            };
            assert!(cost(&two, &squares, 2) <= cost(&three, &cubes, 2) + 1e-9);
            assert!(cost(&three, &cubes, 3) <= cost(&two, &squares, 3) + 1e-9);
        }
    }

    /// One muscle, one joint: its share is moment over moment at full strength, whatever the power.
    #[test]
    fn a_muscle_alone_carries_the_moment_alone() {
        let full = [[50.0, 0.0, 0.0, -30.0]];
        for power in [Power::Squares, Power::Cubes] {
            for (moment, want) in [(20.0, [0.4, 0.0]), (-15.0, [0.0, 0.5])] {
                let mut share = [0.0; 4];
                Shares { full: &full, moment: &[moment], reserve: &[0.0] }.solve(power, None, &mut share);
                assert!((share[0] - want[0]).abs() < 1e-9 && (share[3] - want[1]).abs() < 1e-9, "{share:?}");
            }
        }
    }

    /// What no muscle can do the reserve does, and says so.
    #[test]
    fn a_moment_that_no_muscle_produces_is_left_to_the_reserve() {
        let full = [[50.0, 40.0, 0.0, 0.0]];
        let mut share = [1.0; 4];
        let found =
            Shares { full: &full, moment: &[-10.0], reserve: &[1.0] }.solve(Power::Squares, None, &mut share);
        assert_eq!(share, [0.0; 4]);
        assert!((found.reserve[0] + 10.0).abs() < 1e-9);
    }
}
