//! The distributions behind the intervals: both tails and quantiles of normal, t, chi-square, F, beta.
//!
//! Every tail keeps its digits however small it is; quantiles are good to some twelve digits. The
//! parameters are checked, so that no answer is ever a NaN.

mod quantile;
mod special;

pub use quantile::{beta_upper, chi_square_upper, f_upper, normal_upper, student_t_upper};
pub use special::Tails;

use std::f64::consts::{FRAC_1_SQRT_2, PI};

use super::problem::{Problem, out_of_range};
use special::{beta_tails, gamma_tails};

/// Most degrees of freedom, or half of a beta parameter, that are accepted.
const MOST_DEGREES: f64 = 1e10;
/// Fewest degrees of freedom: an approximation can ask for less than one, hardly for less than this.
const FEWEST_DEGREES: f64 = 1e-3;

fn degrees(given: f64) -> Result<f64, Problem> {
    if (FEWEST_DEGREES..=MOST_DEGREES).contains(&given) {
        Ok(given)
    } else {
        Err(out_of_range("degrees of freedom", given, "a number from 0.001 to 1e10"))
    }
}

fn not_nan(what: &'static str, given: f64) -> Result<f64, Problem> {
    if given.is_nan() { Err(out_of_range(what, given, "a number")) } else { Ok(given) }
}

/// Tails of the standard normal distribution at `z`.
///
/// # Errors
/// `z` is NaN; infinities have the tails 0 and 1.
pub fn normal(z: f64) -> Result<Tails, Problem> {
    let z = not_nan("z", z)?;
    Ok(Tails { lower: normal_above(-z), upper: normal_above(z) })
}

/// Upper tail ½ erfc(z/√2). The rounding of z/√2 is taken back by one Taylor step: at z = 30 it
/// alone would cost three digits.
pub(super) fn normal_above(z: f64) -> f64 {
    if z.is_infinite() {
        return if z > 0.0 { 0.0 } else { 1.0 };
    }
    // 1/√2 less its nearest double.
    const REST: f64 = -4.833_646_656_726_457e-17;
    let x = z * FRAC_1_SQRT_2;
    let missed = z.mul_add(FRAC_1_SQRT_2, -x) + z * REST;
    let slope = (-x * x).exp() / PI.sqrt();
    0.5 * libm::erfc(x) - slope * missed
}

/// Tails of Student's t distribution.
///
/// # Errors
/// `t` is NaN, or degrees of freedom outside 0.001 to 1e10.
pub fn student_t(t: f64, degrees_of_freedom: f64) -> Result<Tails, Problem> {
    let v = degrees(degrees_of_freedom)?;
    let t = not_nan("t", t)?;
    let square = t * t;
    // P(|T| > |t|) = I_y(v/2, 1/2) with y = v/(v + t²).
    let (inside, outside) = if square > v {
        let ratio = v / square;
        (1.0 / (1.0 + ratio), ratio / (1.0 + ratio))
    } else {
        (square / (v + square), v / (v + square))
    };
    let both = beta_tails(0.5 * v, 0.5, outside, inside);
    let above = Tails { lower: 0.5 + 0.5 * both.upper, upper: 0.5 * both.lower };
    Ok(if t >= 0.0 { above } else { above.swapped() })
}

/// Tails of the chi-square distribution.
///
/// # Errors
/// `x` is NaN, or degrees of freedom outside 0.001 to 1e10.
pub fn chi_square(x: f64, degrees_of_freedom: f64) -> Result<Tails, Problem> {
    let v = degrees(degrees_of_freedom)?;
    let x = not_nan("chi-square", x)?;
    Ok(if x == f64::INFINITY { Tails { lower: 1.0, upper: 0.0 } } else { gamma_tails(0.5 * v, 0.5 * x) })
}

/// Tails of the F distribution with `above` and `below` degrees of freedom.
///
/// # Errors
/// `x` is NaN, or degrees of freedom outside 0.001 to 1e10.
pub fn f(x: f64, above: f64, below: f64) -> Result<Tails, Problem> {
    let (d1, d2) = (degrees(above)?, degrees(below)?);
    let x = not_nan("F", x)?;
    if x <= 0.0 {
        return Ok(Tails { lower: 0.0, upper: 1.0 });
    }
    let ratio = d1 * x / d2;
    let (share, rest) = if ratio > 1.0 {
        (1.0 / (1.0 + 1.0 / ratio), 1.0 / (1.0 + ratio))
    } else {
        (ratio / (1.0 + ratio), 1.0 / (1.0 + ratio))
    };
    Ok(beta_tails(0.5 * d1, 0.5 * d2, share, rest))
}

/// Tails of the beta distribution.
///
/// # Errors
/// `x` outside 0 to 1, or a parameter outside 0.001 to 1e10.
pub fn beta(x: f64, a: f64, b: f64) -> Result<Tails, Problem> {
    let (a, b) = (degrees(a)?, degrees(b)?);
    if !(0.0..=1.0).contains(&x) {
        return Err(out_of_range("share", x, "a number from 0 to 1"));
    }
    Ok(beta_tails(a, b, x, 1.0 - x))
}
