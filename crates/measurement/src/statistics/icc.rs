//! The six intraclass correlations of a two-way table, with intervals.

use serde::Serialize;

use super::anova::TwoWay;
use super::confidence::Confidence;
use super::distribution::{f, f_upper};
use super::interval::Interval;
use super::problem::{Problem, finished};
use super::sample::count;

/// Which correlation: the model, and whether one score or the mean of all k is used in the clinic.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Form {
    /// ICC(1,1): each person seen by other raters; raters' levels count as error.
    OneWaySingle,
    /// ICC(2,1) = ICC(A,1): raters are a sample; their levels count as error. For different raters.
    AgreementSingle,
    /// ICC(3,1) = ICC(C,1): these raters only; their levels do not count. For one rater's change.
    ConsistencySingle,
    /// ICC(1,k), of the mean of k.
    OneWayMean,
    /// ICC(2,k) = ICC(A,k), of the mean of k.
    AgreementMean,
    /// ICC(3,k) = ICC(C,k), of the mean of k.
    ConsistencyMean,
}

impl Form {
    /// All six, single scores first.
    pub const ALL: [Self; 6] = [
        Self::OneWaySingle,
        Self::AgreementSingle,
        Self::ConsistencySingle,
        Self::OneWayMean,
        Self::AgreementMean,
        Self::ConsistencyMean,
    ];
}

/// Limits of a correlation. The interval of ICC(A,k) is a fraction of the one of ICC(A,1) with a
/// pole; where the lower limit lies beyond it, nothing bounds the correlation from below.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Limits {
    /// Both limits.
    Between(Interval),
    /// No lower limit.
    AtMost(f64),
    /// Satterthwaite's approximation leaves next to no degrees of freedom, and no limits.
    Unknown,
}

/// An intraclass correlation. A negative one stands as it is: persons differ less than chance.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Icc {
    /// Which one.
    pub form: Form,
    /// The estimate, at most 1, without unit.
    pub estimate: f64,
    /// Its limits.
    pub limits: Limits,
    /// At which confidence.
    pub confidence: Confidence,
    /// MSR over the error of the model.
    pub f: f64,
    /// Degrees of freedom of that error.
    pub error_degrees: f64,
    /// Probability of so large an F where persons do not differ.
    pub p: f64,
    /// Satterthwaite's degrees of freedom, of the agreement forms only.
    pub satterthwaite: Option<f64>,
}

/// One correlation with its interval.
///
/// Formulae with their letters in the source: `shrout_fleiss1979`, the agreement interval with v
/// degrees of freedom `mcgraw_wong1996`. Assumes normal persons and errors, alike everywhere; a
/// narrow sample of persons makes it small however good the test is, so it never stands alone
/// beside the error in the unit of the test.
///
/// # Errors
/// No error at all within persons; persons all alike where a mean form divides by their spread; a
/// denominator of ICC(A,k) that is not above nought.
pub fn icc(table: &TwoWay, form: Form, confidence: Confidence) -> Result<Icc, Problem> {
    let (n, k) = (count(table.n), count(table.k));
    let (msr, msc) = (table.between_persons, table.between_raters);
    let so = "a correlation with its interval cannot be given";
    let one_way = matches!(form, Form::OneWaySingle | Form::OneWayMean);
    let mse = if one_way { table.within_persons } else { table.error(so)? };
    if mse <= 0.0 {
        return Err(Problem::NoSpread { what: "scores within persons", so });
    }
    let single = matches!(form, Form::OneWaySingle | Form::AgreementSingle | Form::ConsistencySingle);
    if !single && msr <= 0.0 {
        return Err(Problem::NoSpread { what: "persons", so: "a correlation of means cannot be given" });
    }
    let degrees = if one_way { n * (k - 1.0) } else { (n - 1.0) * (k - 1.0) };
    let ratio = msr / mse;
    let mut satterthwaite = None;
    let (estimate, limits) = match form {
        Form::AgreementSingle | Form::AgreementMean => {
            let one = (msr - mse) / (msr + (k - 1.0) * mse + k * (msc - mse) / n);
            let (v, limits) = agreement_limits(table, one, confidence);
            satterthwaite = Some(v);
            if single {
                (one, limits.map_or(Limits::Unknown, Limits::Between))
            } else {
                let below = msr + (msc - mse) / n;
                if below <= 0.0 {
                    return Err(Problem::Undefined {
                        what: "ICC(A,k)",
                        because: "persons and raters together differ less than the error; use ICC(A,1)",
                    });
                }
                ((msr - mse) / below, limits.map_or(Limits::Unknown, |limits| of_mean(limits, k)))
            }
        }
        _ => {
            let tail = confidence.each_tail();
            let low = ratio / f_upper(tail, n - 1.0, degrees)?;
            let high = ratio * f_upper(tail, degrees, n - 1.0)?;
            if single {
                let of = |x: f64| (x - 1.0) / (x + k - 1.0);
                (of(ratio), Limits::Between(Interval { lower: of(low), upper: of(high) }))
            } else {
                let of = |x: f64| 1.0 - 1.0 / x;
                (of(ratio), Limits::Between(Interval { lower: of(low), upper: of(high) }))
            }
        }
    };
    Ok(Icc {
        form,
        estimate: finished("intraclass correlation", estimate)?,
        limits,
        confidence,
        f: finished("F", ratio)?,
        error_degrees: degrees,
        p: f(ratio, n - 1.0, degrees)?.upper,
        satterthwaite: satterthwaite.filter(|v: &f64| v.is_finite()),
    })
}

/// All six, each with its own answer.
#[must_use]
pub fn all_six(table: &TwoWay, confidence: Confidence) -> Vec<(Form, Result<Icc, Problem>)> {
    Form::ALL.into_iter().map(|form| (form, icc(table, form, confidence))).collect()
}

/// v and the limits of ICC(A,1) (McGraw & Wong 1996), with the terms of F divided through so that
/// a very large F does no harm; no limits where v is so small that F has no quantiles.
fn agreement_limits(table: &TwoWay, r: f64, confidence: Confidence) -> (f64, Option<Interval>) {
    let (n, k) = (count(table.n), count(table.k));
    let (msr, msc, mse) = (table.between_persons, table.between_raters, table.residual);
    let raters = k * r * msc / mse;
    let rest = n * (1.0 + (k - 1.0) * r) - k * r;
    let v = (n - 1.0) * (k - 1.0) * (raters + rest).powi(2) / ((n - 1.0) * raters * raters + rest * rest);
    let tail = confidence.each_tail();
    let error = k * msc + (k * n - k - n) * mse;
    let limits = || -> Result<Interval, Problem> {
        let share = 1.0 / f_upper(tail, n - 1.0, v)?;
        let lower = n * (msr * share - mse) / (error + n * msr * share);
        let share = 1.0 / f_upper(tail, v, n - 1.0)?;
        let upper = n * (msr - mse * share) / (error * share + n * msr);
        Ok(Interval { lower: finished("lower limit", lower)?, upper: finished("upper limit", upper)? })
    };
    (v, limits().ok())
}

/// Limits of the mean of k from limits of one: k x / (1 + x (k − 1)).
fn of_mean(one: Interval, k: f64) -> Limits {
    let of = |x: f64| k * x / (1.0 + x * (k - 1.0));
    if 1.0 + one.lower * (k - 1.0) > 0.0 {
        Limits::Between(Interval { lower: of(one.lower), upper: of(one.upper) })
    } else {
        Limits::AtMost(of(one.upper))
    }
}
