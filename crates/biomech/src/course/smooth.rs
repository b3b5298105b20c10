//! The smooth course beside a rough one: what a body would make of postures that were found one by one.
//!
//! For values `q_k` at shares of time `s_k`, resting before and after, find `x` with
//!
//! `min Σ_k Δ_k (x_k − q_k)² + ω⁻⁶ ∫ (x‴)² ds`, both ends kept,
//!
//! the discrete form of a smoothing spline: what is slower than the corner frequency `ω` stays, what is
//! quicker goes (Whittaker 1923). It is linear in `q`, so one matrix serves every coordinate.

use nalgebra::SMatrix;

use super::phases::WAY_FRAMES;

type Square = SMatrix<f64, WAY_FRAMES, WAY_FRAMES>;

/// The smoothing matrix of one set of frames.
pub(crate) struct Smoother {
    matrix: Square,
}

impl Smoother {
    /// For frames at these shares of time; `corner` in radians per way.
    pub(crate) fn new(share: &[f64; WAY_FRAMES], corner: f64) -> Self {
        let n = WAY_FRAMES;
        // Before and after, the body rests where it begins and ends.
        let first = share[1] - share[0];
        let last = share[n - 1] - share[n - 2];
        let mut time = vec![-2.0 * first, -first];
        time.extend_from_slice(share);
        time.extend([1.0 + last, 1.0 + 2.0 * last]);
        let frame = |k: usize| k.saturating_sub(2).min(n - 1);
        let weight = corner.powi(-6);
        let mut h = Square::zeros();
        for k in 0..time.len() - 3 {
            // Third derivative of the cubic through four frames.
            let mut row = [0.0; WAY_FRAMES];
            for i in k..k + 4 {
                let mut c = 6.0;
                for j in k..k + 4 {
                    if j != i {
                        c /= time[i] - time[j];
                    }
                }
                row[frame(i)] += c;
            }
            let over = (time[k + 3] - time[k]) / 3.0 * weight;
            for i in 0..n {
                for j in 0..n {
                    h[(i, j)] += over * row[i] * row[j];
                }
            }
        }
        let mut own = Square::zeros();
        for k in 0..n {
            let before = if k > 0 { share[k] - share[k - 1] } else { 0.0 };
            let after = if k + 1 < n { share[k + 1] - share[k] } else { 0.0 };
            // The ends are kept.
            let w = if k == 0 || k == n - 1 { 1e6 } else { (before + after) / 2.0 };
            own[(k, k)] = w;
            h[(k, k)] += w;
        }
        let matrix = h.cholesky().map_or_else(Square::identity, |factor| factor.solve(&own));
        Self { matrix }
    }

    /// Smooths every coordinate of a course in place.
    pub(crate) fn smooth<const M: usize>(&self, course: &mut [[f64; M]]) {
        for i in 0..M {
            let rough: [f64; WAY_FRAMES] = std::array::from_fn(|k| course[k][i]);
            for (k, values) in course.iter_mut().enumerate() {
                values[i] = self.matrix.row(k).iter().zip(&rough).map(|(m, q)| m * q).sum();
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::course::phases::smooth;

    fn frames() -> [f64; WAY_FRAMES] {
        std::array::from_fn(|k| k as f64 / (WAY_FRAMES - 1) as f64)
    }

    #[test]
    fn a_way_of_minimum_jerk_stays_and_a_kink_goes() {
        let share = frames();
        let smoother = Smoother::new(&share, 20.0);
        let mut calm: Vec<[f64; 1]> = share.iter().map(|s| [smooth(*s)]).collect();
        smoother.smooth(&mut calm);
        for (s, x) in share.iter().zip(&calm) {
            assert!((x[0] - smooth(*s)).abs() < 1e-2, "at {s}");
        }
        let mut kink = vec![[0.0]; WAY_FRAMES];
        kink[13] = [1.0];
        smoother.smooth(&mut kink);
        assert!(kink[13][0] < 0.5, "{}", kink[13][0]);
        assert!(kink[0][0].abs() < 1e-6 && kink[26][0].abs() < 1e-6);
    }
}
