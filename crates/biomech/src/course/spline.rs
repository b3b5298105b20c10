//! Velocities and accelerations of a smooth course through frames: the cubic spline at rest at both ends.
//!
//! Through values `q_k` at times `t_k` goes one curve, cubic between frames, with continuous second
//! derivative and zero velocity at both ends; its velocities `v_k` satisfy a tridiagonal system.

/// The factored system for one set of times.
pub(crate) struct Spline {
    /// Steps `t_{k+1} − t_k`.
    step: Vec<f64>,
    /// Factors of the tridiagonal matrix for the inner frames.
    lower: Vec<f64>,
    diagonal: Vec<f64>,
}

impl Spline {
    /// For these times, increasing, at least three.
    pub(crate) fn new(times: &[f64]) -> Self {
        let step: Vec<f64> = times.windows(2).map(|w| w[1] - w[0]).collect();
        let inner = times.len() - 2;
        let (mut lower, mut diagonal) = (vec![0.0; inner], vec![0.0; inner]);
        for k in 0..inner {
            let (before, after) = (step[k], step[k + 1]);
            let own = 2.0 * (1.0 / before + 1.0 / after);
            diagonal[k] = own;
            if k > 0 {
                // The matrix is symmetric with 1/h beside the diagonal.
                lower[k] = 1.0 / before / diagonal[k - 1];
                diagonal[k] -= lower[k] / before;
            }
        }
        Self { step, lower, diagonal }
    }

    /// Velocity and acceleration of one coordinate in every frame.
    pub(crate) fn rates(&self, q: impl Fn(usize) -> f64, v: &mut [f64], a: &mut [f64]) {
        let n = self.step.len();
        let slope = |k: usize| (q(k + 1) - q(k)) / self.step[k];
        v[0] = 0.0;
        v[n] = 0.0;
        for k in 1..n {
            let rhs = 3.0 * (slope(k - 1) / self.step[k - 1] + slope(k) / self.step[k]);
            v[k] = if k > 1 { rhs - self.lower[k - 1] * v[k - 1] } else { rhs };
        }
        for k in (1..n).rev() {
            let next = if k + 1 < n { v[k + 1] / self.step[k] } else { 0.0 };
            v[k] = (v[k] - next) / self.diagonal[k - 1];
        }
        for k in 0..n {
            let h = self.step[k];
            a[k] = (6.0 * slope(k) - 4.0 * v[k] - 2.0 * v[k + 1]) / h;
        }
        let h = self.step[n - 1];
        a[n] = (2.0 * v[n - 1] + 4.0 * v[n] - 6.0 * slope(n - 1)) / h;
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::course::phases::smooth;

    /// A cubic that rests at both ends is its own spline, exactly, on uneven frames.
    #[test]
    fn a_cubic_at_rest_at_both_ends_is_met_exactly() {
        let t = [0.0, 0.1, 0.3, 0.35, 0.7, 1.0];
        let (mut v, mut a) = ([0.0; 6], [0.0; 6]);
        Spline::new(&t).rates(|k| t[k] * t[k] * (3.0 - 2.0 * t[k]), &mut v, &mut a);
        for k in 0..6 {
            assert!((v[k] - 6.0 * t[k] * (1.0 - t[k])).abs() < 1e-12);
            assert!((a[k] - (6.0 - 12.0 * t[k])).abs() < 1e-11);
        }
    }

    /// Twice as many frames, a quarter of the error.
    #[test]
    fn the_error_of_the_acceleration_falls_with_the_square_of_the_step() {
        let error = |n: usize| {
            let t: Vec<f64> = (0..=n).map(|k| k as f64 / n as f64).collect();
            let (mut v, mut a) = (vec![0.0; n + 1], vec![0.0; n + 1]);
            Spline::new(&t).rates(|k| smooth(t[k]), &mut v, &mut a);
            let exact = |s: f64| 60.0 * s * (1.0 - s) * (1.0 - 2.0 * s);
            (n / 4..3 * n / 4).map(|k| (a[k] - exact(t[k])).abs()).fold(0.0, f64::max)
        };
        let (coarse, fine) = (error(16), error(32));
        assert!((3.5..4.5).contains(&(coarse / fine)), "{coarse} {fine}");
    }
}
