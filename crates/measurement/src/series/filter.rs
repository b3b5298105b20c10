//! A low-pass Butterworth filter run forward and backward, so that nothing is shifted in time.

use std::f64::consts::PI;

use serde::Serialize;

use crate::statistics::Problem;

/// What was done to a series before figures were made of it; stored with them.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Filtering {
    /// Nothing here; whatever the instrument did is for the protocol to say.
    AsRecorded,
    /// A low-pass filter.
    LowPass(LowPass),
}

/// A Butterworth low-pass filter, zero phase.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct LowPass {
    /// Order of one pass, 1 to 8; run both ways the fall is that of twice the order.
    pub order: u8,
    /// Where the filter cuts.
    pub cut_off: CutOff,
}

/// What a cut-off frequency, in hertz, means.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum CutOff {
    /// Half the power is left there after one pass, a quarter after both.
    OnePassHz(f64),
    /// Half the power is left there after both passes.
    BothPassesHz(f64),
}

/// One second-order (or first-order) part: b₀ b₁ b₂, a₁ a₂, with a₀ = 1 and gain 1 at rest.
struct Section {
    b: [f64; 3],
    a: [f64; 2],
}

impl LowPass {
    /// The series filtered both ways, as long as before.
    ///
    /// Bilinear transform with the cut-off kept in place. At both ends the series is continued by
    /// 3 (order + 1) samples turned about its end, and the filter starts at rest on the first of them.
    ///
    /// # Errors
    /// An order outside 1 to 8, a cut-off outside 0 to half the rate, or a series not longer than the
    /// continuation.
    pub fn apply(self, values: &[f64], rate_hz: f64) -> Result<Vec<f64>, Problem> {
        let sections = self.sections(rate_hz)?;
        let edge = 3 * (usize::from(self.order) + 1);
        if values.len() <= edge {
            return Err(Problem::TooFew { what: "samples to filter", given: values.len(), least: edge + 1 });
        }
        let (first, last) = (values[0], values[values.len() - 1]);
        let mut long: Vec<f64> = values[1..=edge].iter().rev().map(|x| 2.0 * first - x).collect();
        long.extend_from_slice(values);
        long.extend(values[values.len() - 1 - edge..values.len() - 1].iter().rev().map(|x| 2.0 * last - x));
        for _ in 0..2 {
            for section in &sections {
                section.run(&mut long);
            }
            long.reverse();
        }
        Ok(long[edge..edge + values.len()].to_vec())
    }

    fn sections(self, rate_hz: f64) -> Result<Vec<Section>, Problem> {
        let order = self.order;
        if !(1..=8).contains(&order) {
            return Err(Problem::OutOfRange {
                what: "order of the filter",
                given: order.to_string(),
                accepted: "1 to 8",
            });
        }
        let (hz, shift) = match self.cut_off {
            CutOff::OnePassHz(hz) => (hz, 1.0),
            // (1 + x^2n)^−2 = 1/2 at x = (√2 − 1)^(1/2n).
            CutOff::BothPassesHz(hz) => (hz, (2.0_f64.sqrt() - 1.0).powf(0.5 / f64::from(order))),
        };
        if !(hz > 0.0 && hz < 0.5 * rate_hz && rate_hz.is_finite()) {
            return Err(Problem::OutOfRange {
                what: "cut-off of the filter in hertz",
                given: format!("{hz:?} at {rate_hz:?} samples a second"),
                accepted: "more than 0 and less than half the rate",
            });
        }
        let k = (PI * hz / rate_hz).tan() / shift;
        let mut sections = Vec::new();
        if order % 2 == 1 {
            let b = k / (1.0 + k);
            sections.push(Section { b: [b, b, 0.0], a: [(k - 1.0) / (k + 1.0), 0.0] });
        }
        for pair in 1..=order / 2 {
            // Angle of the pole pair from the negative real axis.
            let step = if order % 2 == 1 { f64::from(pair) } else { f64::from(pair) - 0.5 };
            let damping = 2.0 * (PI * step / f64::from(order)).cos();
            let whole = 1.0 + damping * k + k * k;
            let b = k * k / whole;
            let a = [2.0 * (k * k - 1.0) / whole, (1.0 - damping * k + k * k) / whole];
            sections.push(Section { b: [b, 2.0 * b, b], a });
        }
        Ok(sections)
    }
}

impl Section {
    /// Transposed direct form, beginning at rest on the first value.
    fn run(&self, values: &mut [f64]) {
        let Some(&start) = values.first() else { return };
        let ([b0, b1, b2], [a1, a2]) = (self.b, self.a);
        let mut late = (b2 - a2) * start;
        let mut next = (b1 - a1) * start + late;
        for x in values {
            let y = b0 * *x + next;
            next = b1 * *x - a1 * y + late;
            late = b2 * *x - a2 * y;
            *x = y;
        }
    }
}
