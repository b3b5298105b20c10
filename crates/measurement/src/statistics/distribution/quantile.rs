//! Where a distribution leaves a given probability above: by halving a bracket down to the last digit.

use super::super::problem::{Problem, between};
use super::special::{Tails, beta_tails};
use super::{chi_square, degrees, f, normal_above};

/// The value that leaves `tail` above it in the standard normal distribution.
///
/// Newton on the logarithm of the tail, which is concave, so that 1e-300 is as easy as 0.025.
///
/// # Errors
/// A probability outside 1e-300 to 1, both excluded.
pub fn normal_upper(tail: f64) -> Result<f64, Problem> {
    let tail = probability(tail)?;
    if tail > 0.5 {
        return Ok(-above_half(1.0 - tail));
    }
    Ok(above_half(tail))
}

fn above_half(tail: f64) -> f64 {
    // The tail is at most ½ e^(−z²/2), so this is not below the answer, and from above Newton on a
    // concave function never passes it.
    let mut z = (-2.0 * (2.0 * tail).ln()).max(0.0).sqrt();
    for _ in 0..100 {
        let upper = normal_above(z);
        let density = (-0.5 * z * z).exp() / (2.0 * std::f64::consts::PI).sqrt();
        let step = (upper / tail).ln() * upper / density;
        z += step;
        if step.abs() <= 1e-16 * z.abs() {
            break;
        }
    }
    z
}

/// The value that leaves `tail` above it in Student's t distribution.
///
/// # Errors
/// A probability outside 1e-300 to 1, degrees of freedom outside 0.001 to 1e10, or a value above 1e300.
pub fn student_t_upper(tail: f64, degrees_of_freedom: f64) -> Result<f64, Problem> {
    let tail = probability(tail)?;
    let v = degrees(degrees_of_freedom)?;
    if tail > 0.5 {
        return student_t_upper(1.0 - tail, v).map(|t| -t);
    }
    if tail == 0.5 {
        return Ok(0.0);
    }
    // T² is F with 1 and v degrees of freedom.
    let goal = Tails { lower: 1.0 - 2.0 * tail, upper: 2.0 * tail };
    at("t", goal, |x| f(x, 1.0, v)).map(f64::sqrt)
}

/// The value that leaves `tail` above it in the chi-square distribution.
///
/// # Errors
/// A probability outside 1e-300 to 1, or degrees of freedom outside 0.001 to 1e10.
pub fn chi_square_upper(tail: f64, degrees_of_freedom: f64) -> Result<f64, Problem> {
    let tail = probability(tail)?;
    at("chi-square", Tails { lower: 1.0 - tail, upper: tail }, |x| chi_square(x, degrees_of_freedom))
}

/// The value that leaves `tail` above it in the F distribution.
///
/// # Errors
/// A probability outside 1e-300 to 1, degrees of freedom outside 0.001 to 1e10, or a value outside
/// 1e-300 to 1e300.
pub fn f_upper(tail: f64, above: f64, below: f64) -> Result<f64, Problem> {
    let tail = probability(tail)?;
    at("F", Tails { lower: 1.0 - tail, upper: tail }, |x| f(x, above, below))
}

/// The share that leaves `tail` above it in the beta distribution.
///
/// # Errors
/// A probability outside 1e-300 to 1, or a parameter outside 0.001 to 1e10.
pub fn beta_upper(tail: f64, a: f64, b: f64) -> Result<f64, Problem> {
    let tail = probability(tail)?;
    let (a, b) = (degrees(a)?, degrees(b)?);
    // In odds x/(1 − x), so that neither end of 0 to 1 is short of digits.
    let goal = Tails { lower: 1.0 - tail, upper: tail };
    let odds = at("share", goal, |odds| Ok(beta_tails(a, b, odds / (1.0 + odds), 1.0 / (1.0 + odds))))?;
    Ok(odds / (1.0 + odds))
}

fn probability(tail: f64) -> Result<f64, Problem> {
    between("probability", tail, 1e-300, 1.0, "a number between 1e-300 and 1")
}

/// The x > 0 at which the tails are those of the goal, by doubling and then halving; the smaller
/// tail of the goal is the one compared, because only it has all its digits.
fn at(
    what: &'static str,
    goal: Tails,
    tails: impl Fn(f64) -> Result<Tails, Problem>,
) -> Result<f64, Problem> {
    let beyond = |x: f64| -> Result<bool, Problem> {
        let here = tails(x)?;
        Ok(if goal.upper <= goal.lower { here.upper <= goal.upper } else { here.lower >= goal.lower })
    };
    let too_far = Problem::Undefined { what, because: "the quantile lies outside 1e-300 to 1e300" };
    let (mut low, mut high) = (1.0, 2.0);
    while !beyond(high)? {
        (low, high) = (high, high * 2.0);
        if high > 1e300 {
            return Err(too_far);
        }
    }
    while beyond(low)? {
        (low, high) = (low * 0.5, low);
        if low < 1e-300 {
            return Err(too_far);
        }
    }
    loop {
        let middle = low + 0.5 * (high - low);
        if middle <= low || middle >= high {
            return Ok(middle);
        }
        if beyond(middle)? {
            high = middle;
        } else {
            low = middle;
        }
    }
}
