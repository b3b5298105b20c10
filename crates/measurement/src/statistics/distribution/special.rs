//! The incomplete beta and gamma functions, both tails of each, to some twelve digits.
//!
//! The factors in front (powers over complete functions) are formed from deviances and Stirling
//! corrections (Loader 2000), so that large parameters lose no digits; the rest are continued
//! fractions and a series (DiDonato & Morris 1992; Abramowitz & Stegun 1964, 6.5).

use std::f64::consts::PI;

/// The two parts of a distribution on either side of a value. Each keeps its own digits: where one
/// is 1e-200 the other is 1, and one minus that would say 0.
#[derive(Clone, Copy, Debug, PartialEq, serde::Serialize)]
pub struct Tails {
    /// Probability of the value or less.
    pub lower: f64,
    /// Probability of more than the value.
    pub upper: f64,
}

impl Tails {
    pub(super) fn swapped(self) -> Self {
        Self { lower: self.upper, upper: self.lower }
    }

    fn of_lower(lower: f64) -> Self {
        let lower = lower.clamp(0.0, 1.0);
        Self { lower, upper: 1.0 - lower }
    }
}

/// ln Γ(z) less its Stirling approximation (z − ½) ln z − z + ½ ln 2π, for z > 0.
fn stirling_rest(z: f64) -> f64 {
    if z < 15.0 {
        return libm::lgamma(z) - ((z - 0.5) * z.ln() - z + 0.5 * (2.0 * PI).ln());
    }
    let w = 1.0 / (z * z);
    // Bernoulli numbers: 1/12, −1/360, 1/1260, −1/1680, 1/1188, −691/360360.
    let series = 1.0 / 12.0
        - w * (1.0 / 360.0
            - w * (1.0 / 1260.0 - w * (1.0 / 1680.0 - w * (1.0 / 1188.0 - w * 691.0 / 360_360.0))));
    series / z
}

/// The deviance k ln(k/m) + m − k of k from m, both above 0, without cancellation where they are close.
fn deviance(k: f64, m: f64) -> f64 {
    let difference = k - m;
    if difference.abs() >= 0.1 * (k + m) {
        return k * (k / m).ln() + m - k;
    }
    // Loader's series in v = (k − m)/(k + m).
    let v = difference / (k + m);
    let mut sum = difference * v;
    let mut term = 2.0 * k * v;
    for j in 1..1000 {
        term *= v * v;
        let next = sum + term / f64::from(2 * j + 1);
        if next == sum {
            break;
        }
        sum = next;
    }
    sum
}

/// The regularised incomplete beta function I_x(a, b) and its complement, for a, b > 0, where
/// `y` is 1 − x, given apart so that neither loses digits.
pub(super) fn beta_tails(a: f64, b: f64, x: f64, y: f64) -> Tails {
    if x <= 0.0 {
        return Tails { lower: 0.0, upper: 1.0 };
    }
    if y <= 0.0 {
        return Tails { lower: 1.0, upper: 0.0 };
    }
    if x > (a + 1.0) / (a + b + 2.0) {
        return beta_tails_below(b, a, y, x).swapped();
    }
    beta_tails_below(a, b, x, y)
}

fn beta_tails_below(a: f64, b: f64, x: f64, y: f64) -> Tails {
    let s = a + b;
    let exponent =
        stirling_rest(s) - stirling_rest(a) - stirling_rest(b) - deviance(a, s * x) - deviance(b, s * y);
    let front = exponent.exp() * (b / (2.0 * PI) * (a / s)).sqrt();
    Tails::of_lower(front / beta_fraction(a, b, x, y))
}

/// x^a y^b / (B(a, b) I_x(a, b)) as a continued fraction (DiDonato & Morris 1992), by the method of
/// Lentz. The difference a y − b x is formed from both shares, so that x close to 1 loses nothing.
fn beta_fraction(a: f64, b: f64, x: f64, y: f64) -> f64 {
    let below = a * y - b * x + 1.0;
    let denominator = |m: f64| {
        m + m * (b - m) * x / (a + 2.0 * m - 1.0) + (a + m) * (below + m * (1.0 + y)) / (a + 2.0 * m + 1.0)
    };
    let mut h = not_nought(a * below / (a + 1.0));
    let mut c = h;
    let mut d = 0.0;
    let mut m = 0.0;
    loop {
        m += 1.0;
        let wide = a + 2.0 * m - 1.0;
        let numerator = (a + m - 1.0) / wide * ((a + b + m - 1.0) / wide) * m * (b - m) * x * x;
        let denominator = denominator(m);
        d = not_nought(denominator + numerator * d).recip();
        c = not_nought(denominator + numerator / c);
        let step = c * d;
        h *= step;
        if (step - 1.0).abs() < 1e-16 || m > MOST_STEPS {
            return h;
        }
    }
}

/// The regularised incomplete gamma functions P(a, x) and Q(a, x), for a > 0.
pub(super) fn gamma_tails(a: f64, x: f64) -> Tails {
    if x <= 0.0 {
        return Tails { lower: 0.0, upper: 1.0 };
    }
    // x^a e^−x / Γ(a), from Γ(a) = √(2π/a) (a/e)^a e^(rest).
    let front = (-deviance(a, x) - stirling_rest(a)).exp() * (a / (2.0 * PI)).sqrt();
    if x < a + 1.0 {
        let mut term = 1.0 / a;
        let mut sum = term;
        let mut k = a;
        loop {
            k += 1.0;
            term *= x / k;
            sum += term;
            if term < sum * 1e-17 || k - a > MOST_STEPS {
                return Tails::of_lower(front * sum);
            }
        }
    }
    let mut b = x + 1.0 - a;
    let mut c = f64::MAX;
    let mut d = not_nought(b).recip();
    let mut h = d;
    let mut m = 0.0;
    loop {
        m += 1.0;
        let an = -m * (m - a);
        b += 2.0;
        d = not_nought(an * d + b).recip();
        c = not_nought(b + an / c);
        let step = d * c;
        h *= step;
        if (step - 1.0).abs() < 1e-16 || m > MOST_STEPS {
            return Tails::of_lower(front * h).swapped();
        }
    }
}

/// More than the square root of any number of degrees of freedom that is accepted.
const MOST_STEPS: f64 = 1e6;

fn not_nought(value: f64) -> f64 {
    if value.abs() < 1e-300 { 1e-300 } else { value }
}
