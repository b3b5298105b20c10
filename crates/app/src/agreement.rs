//! How well raters or repeated trials agree: from a table of readings to a report with its charts.

mod grades;
mod table;
mod words;

use drawing::{AgreementChart, Band, Frame, Scene, agreement_chart};
use measurement::statistics::agreement::{
    LimitError, LimitsOfAgreement, Mean, TypicalError, Width, limits_of_agreement, mean_interval,
    typical_error, typical_percent,
};
use measurement::statistics::anova::{TwoWay, two_way};
use measurement::statistics::error_of_measurement::{
    DetectableChange, ErrorOfMeasurement, agreement as error_of_agreement,
    consistency as error_of_consistency, detectable_change,
};
use measurement::statistics::icc::{Form, Icc, all_six};
use measurement::statistics::trend::trend;
use measurement::statistics::{Confidence, Problem, Scores};
use serde::Serialize;

pub use grades::{GradePair, GradesReport, grades_report};
pub use table::{RatingTable, TableError};

/// What was asked besides the table.
#[derive(Clone, Debug, PartialEq)]
pub struct AgreementSettings {
    /// Unit of every value, as it is printed; none when it was not said.
    pub unit: Option<String>,
    /// Of every interval, and of the first detectable change.
    pub confidence: Confidence,
}

/// A figure, or why there is none.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Answer<T> {
    /// The figure.
    Value(T),
    /// Why there is none, in words.
    None(Problem),
}

impl<T> Answer<T> {
    /// The figure, if there is one.
    pub fn value(&self) -> Option<&T> {
        match self {
            Self::Value(value) => Some(value),
            Self::None(_) => None,
        }
    }
}

impl<T> From<Result<T, Problem>> for Answer<T> {
    fn from(result: Result<T, Problem>) -> Self {
        match result {
            Ok(value) => Self::Value(value),
            Err(problem) => Self::None(problem),
        }
    }
}

/// One person with a cell that is empty: not counted, and named.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct LeftOut {
    /// Line of the file.
    pub line: usize,
    /// The person's label, where the file has labels.
    pub person: Option<String>,
}

/// An error of measurement with the changes that exceed it.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct ErrorRow {
    /// The error.
    pub error: Answer<ErrorOfMeasurement>,
    /// The smallest change of one person that is more than error, at 90 and at 95 %.
    pub detectable: Vec<DetectableChange>,
}

impl ErrorRow {
    fn of(error: Result<ErrorOfMeasurement, Problem>) -> Self {
        let detectable = error.as_ref().map_or(Vec::new(), |error| {
            [Confidence::P90, Confidence::P95]
                .into_iter()
                .filter_map(|level| detectable_change(error.sem, level).ok())
                .collect()
        });
        Self { error: error.into(), detectable }
    }
}

/// Two columns beside each other.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Pair {
    /// Names of the two: differences are first less second.
    pub columns: [String; 2],
    /// Mean and difference of each person.
    pub points: Vec<[f64; 2]>,
    /// Bias and limits of agreement.
    pub limits: Answer<LimitsOfAgreement>,
    /// The difference of every person, where all differ by the same: a bias without spread has no interval and
    /// no limits, and is one all the same.
    pub constant: Option<f64>,
    /// Typical error in the unit.
    pub typical: Answer<TypicalError>,
    /// Typical error as a share of the value (coefficient of variation), per cent.
    pub typical_percent: Answer<TypicalError>,
    /// Whether larger values differ more: Kendall's tau-b of mean and distance of the difference from the
    /// bias, and its p.
    pub grows: Option<[f64; 2]>,
}

/// What a table of readings says.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct AgreementReport {
    /// Unit, as given.
    pub unit: Option<String>,
    /// Of every interval.
    pub confidence: Confidence,
    /// Persons with every reading.
    pub persons: usize,
    /// Persons without.
    pub left_out: Vec<LeftOut>,
    /// Names of raters or trials, with the mean of each.
    pub columns: Vec<(String, Answer<Mean>)>,
    /// The two-way table of variance.
    pub variance: TwoWay,
    /// All six intraclass correlations.
    pub correlations: Vec<(Form, Answer<Icc>)>,
    /// Levels of the raters do not count: one rater, or a change of which the bias is taken off.
    pub same_rater: ErrorRow,
    /// Levels of the raters count: another rater next time.
    pub other_rater: ErrorRow,
    /// Every pair of columns.
    pub pairs: Vec<Pair>,
    /// What to watch, in whole sentences.
    pub cautions: Vec<String>,
}

/// Computes everything from a table of numbers.
///
/// # Errors
/// A cell that is no number, or fewer than two persons or two columns.
pub fn agreement_report(
    table: &RatingTable,
    settings: &AgreementSettings,
) -> Result<AgreementReport, TableError> {
    let cells = table.numbers()?;
    let (scores, left_out) = Scores::of_complete_rows(&cells).map_err(TableError::Statistics)?;
    let left_out: Vec<LeftOut> = left_out.into_iter().map(|row| table.left_out(row)).collect();
    let confidence = settings.confidence;
    let variance = two_way(&scores).map_err(TableError::Statistics)?;
    let column = |j: usize| scores.column(j).unwrap_or_default();
    let names = table.columns();
    let columns = names
        .iter()
        .enumerate()
        .map(|(j, name)| (name.clone(), mean_interval(&column(j), confidence).into()))
        .collect();
    let mut pairs = Vec::new();
    for first in 0..names.len() {
        for second in first + 1..names.len() {
            let names = [names[first].clone(), names[second].clone()];
            pairs.push(pair(names, &column(first), &column(second), confidence));
        }
    }
    let correlations =
        all_six(&variance, confidence).into_iter().map(|(form, icc)| (form, icc.into())).collect();
    let mut report = AgreementReport {
        unit: settings.unit.clone(),
        confidence,
        persons: scores.persons(),
        left_out,
        columns,
        variance,
        correlations,
        same_rater: ErrorRow::of(error_of_consistency(&variance, confidence)),
        other_rater: ErrorRow::of(error_of_agreement(&variance, confidence)),
        pairs,
        cautions: Vec::new(),
    };
    report.cautions = words::cautions(&report);
    Ok(report)
}

fn pair(columns: [String; 2], first: &[f64], second: &[f64], confidence: Confidence) -> Pair {
    let points: Vec<[f64; 2]> =
        first.iter().zip(second).map(|(a, b)| [f64::midpoint(*a, *b), a - b]).collect();
    let bias = limits_of_agreement(first, second, Width::OneNinetySix, LimitError::WrittenOut, confidence);
    let about = bias.as_ref().map_or(0.0, |of| of.bias.mean);
    #[allow(clippy::cast_precision_loss)] // persons in one file
    let mean = || points.iter().map(|[_, d]| d / points.len() as f64).sum();
    let constant = matches!(bias, Err(Problem::NoSpread { .. })).then(mean);
    let mut by_size: Vec<[f64; 2]> = points.iter().map(|[mean, d]| [*mean, (d - about).abs()]).collect();
    by_size.sort_by(|a, b| a[0].total_cmp(&b[0]).then(a[1].total_cmp(&b[1])));
    let (means, sizes): (Vec<f64>, Vec<f64>) = by_size.iter().map(|[m, s]| (*m, *s)).unzip();
    Pair {
        columns,
        points,
        limits: bias.into(),
        constant,
        typical: typical_error(first, second, confidence).into(),
        typical_percent: typical_percent(first, second, confidence).into(),
        grows: trend(&means, &sizes).ok().map(|t| [t.tau_b, t.p]),
    }
}

impl Pair {
    /// The chart of differences against means; none where no limits could be computed.
    #[must_use]
    pub fn chart(&self, unit: Option<&str>, frame: Frame) -> Option<Scene> {
        let limits = self.limits.value()?;
        let band = |value: f64, of: measurement::statistics::Interval| Band {
            value,
            lower: of.lower,
            upper: of.upper,
        };
        let input = AgreementChart {
            points: self.points.clone(),
            bias: band(limits.bias.mean, limits.bias.interval),
            lower: band(limits.limits.lower, limits.of_lower),
            upper: band(limits.limits.upper, limits.of_upper),
            difference: format!("{} \u{2212} {}", self.columns[0], self.columns[1]),
            unit: unit.unwrap_or("unit not stated").to_owned(),
        };
        Some(agreement_chart(&input, frame))
    }
}

#[cfg(test)]
mod tests;
