//! How much and how fast somebody sways.

use serde::Serialize;

use super::columns::{Axis, Quantity, Series};
use super::ellipse::{Ellipse, ellipse, hull_area};
use super::filter::Filtering;
use super::series_error::SeriesError;
use crate::statistics::{Confidence, Problem};

/// Figures of sway in the horizontal plane. Lengths are in the unit of the quantity: centimetres of the
/// centre of pressure, or m/s² of a trunk sensor, where path and speed are then of acceleration, not of place.
///
/// Two recordings compare only with the same rate, filter, length, surface and eyes: path and speed grow
/// with the rate and with a higher cut-off, because noise is path too.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Sway {
    /// What was recorded.
    pub quantity: Quantity,
    /// The unit of all lengths here.
    pub unit: &'static str,
    /// Samples.
    pub samples: usize,
    /// Samples a second.
    pub rate_hz: f64,
    /// From the first sample to the last: (samples − 1)/rate.
    pub seconds: f64,
    /// What was done before.
    pub filtering: Filtering,
    /// Sum of the distances from sample to sample.
    pub path: f64,
    /// Path over seconds.
    pub mean_speed: f64,
    /// Mean distance from the mean place (MDIST).
    pub mean_distance: f64,
    /// Root mean square distance from the mean place, over n (RDIST).
    pub rms_distance: f64,
    /// Root mean square about the mean side to side, over n.
    pub rms_ml: f64,
    /// Root mean square about the mean back and forth, over n.
    pub rms_ap: f64,
    /// Covariance over n − 1: side to side, both, back and forth; squared unit.
    pub covariance: [f64; 3],
    /// The prediction ellipse.
    pub ellipse: Ellipse,
    /// Area of the convex outline, squared unit.
    pub hull: f64,
}

/// Sway of a series with both horizontal axes. Definitions: `schubert_kirchner2014` for the ellipse,
/// `prieto1996` for the distances.
///
/// # Errors
/// A force series, a missing horizontal axis, fewer than three samples (more with a filter), or a
/// series in which nothing moves.
pub fn sway(series: &Series, filtering: Filtering, confidence: Confidence) -> Result<Sway, SeriesError> {
    if series.quantity() == Quantity::Force {
        let needed = "the centre of pressure or an acceleration, not a force";
        return Err(SeriesError::Lacking { figure: "sway", needed });
    }
    let horizontal = |axis: Axis| -> Result<Vec<f64>, SeriesError> {
        let needed = "both horizontal axes, columns `ml` and `ap`";
        let values = series.along(axis).ok_or(SeriesError::Lacking { figure: "sway", needed })?;
        Ok(match filtering {
            Filtering::AsRecorded => values.to_vec(),
            Filtering::LowPass(filter) => filter.apply(values, series.rate_hz())?,
        })
    };
    let across = horizontal(Axis::MedioLateral)?;
    let along = horizontal(Axis::AnteroPosterior)?;
    let samples = across.len();
    if samples < 3 {
        return Err(Problem::TooFew { what: "samples", given: samples, least: 3 }.into());
    }
    #[expect(clippy::cast_precision_loss, reason = "at most two million")]
    let n = samples as f64;
    let (across, along) = (centred(&across, n), centred(&along, n));
    let dot = |a: &[f64], b: &[f64]| a.iter().zip(b).map(|(a, b)| a * b).sum::<f64>();
    let squares = [dot(&across, &across), dot(&across, &along), dot(&along, &along)];
    if squares[0] + squares[2] <= 0.0 {
        let so = "there is no sway to describe";
        return Err(Problem::NoSpread { what: "samples", so }.into());
    }
    let steps = across.windows(2).zip(along.windows(2));
    let path: f64 = steps.map(|(a, b)| (a[1] - a[0]).hypot(b[1] - b[0])).sum();
    let seconds = (n - 1.0) / series.rate_hz();
    let covariance = squares.map(|square| square / (n - 1.0));
    Ok(Sway {
        quantity: series.quantity(),
        unit: series.quantity().unit(),
        samples,
        rate_hz: series.rate_hz(),
        seconds,
        filtering,
        path,
        mean_speed: path / seconds,
        mean_distance: across.iter().zip(&along).map(|(a, b)| a.hypot(*b)).sum::<f64>() / n,
        rms_distance: ((squares[0] + squares[2]) / n).sqrt(),
        rms_ml: (squares[0] / n).sqrt(),
        rms_ap: (squares[2] / n).sqrt(),
        covariance,
        ellipse: ellipse(covariance, n, confidence)?,
        hull: hull_area(&across, &along),
    })
}

/// The values less their mean, or noughts where they differ by rounding only.
fn centred(values: &[f64], n: f64) -> Vec<f64> {
    let first = values[0];
    let mean = first + values.iter().map(|x| x - first).sum::<f64>() / n;
    let level = values.iter().fold(0.0_f64, |most, x| most.max(x.abs()));
    let rest: Vec<f64> = values.iter().map(|x| x - mean).collect();
    if rest.iter().all(|x| x.abs() <= 8.0 * f64::EPSILON * level) { vec![0.0; rest.len()] } else { rest }
}
