//! Agreement of two raters on categories: kappa, plain and weighted.

use serde::Serialize;

use super::confidence::Confidence;
use super::interval::Interval;
use super::problem::Problem;

/// How much a disagreement weighs.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Weights {
    /// Every disagreement alike: for names without order.
    None,
    /// By the distance |i − j|/(k − 1).
    Linear,
    /// By its square; equals an intraclass correlation in large samples.
    Quadratic,
}

/// Kappa with what is needed to read it. A rare category makes kappa small although raters agree.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Kappa {
    /// Agreement beyond chance, at most 1, without unit.
    pub kappa: f64,
    /// Asymptotic standard error.
    pub standard_error: f64,
    /// kappa ± z SE, cut at −1 and 1, which no kappa passes; too narrow in small samples.
    pub interval: Interval,
    /// The same before it was cut.
    pub unclipped: Interval,
    /// Whether anything was cut off.
    pub clipped: bool,
    /// At which confidence.
    pub confidence: Confidence,
    /// Which weights.
    pub weights: Weights,
    /// Share of persons on whom both agree (weighted as kappa is).
    pub observed: f64,
    /// What chance would give with these totals.
    pub expected: f64,
    /// Share of each category by the first rater.
    pub first_rater: Vec<f64>,
    /// Share of each category by the second rater.
    pub second_rater: Vec<f64>,
    /// Persons.
    pub n: u64,
}

/// Kappa of a square table of counts: row = first rater's category, column = second's, in order.
///
/// κ = (po − pe)/(1 − pe), standard error of Fleiss, Cohen & Everitt (`fleiss1969`). Assumes
/// persons independent and raters unaware of each other.
///
/// # Errors
/// Fewer than two categories, a ragged table, nobody counted, or all in one category by both.
pub fn kappa(counts: &[Vec<u64>], weights: Weights, confidence: Confidence) -> Result<Kappa, Problem> {
    let k = counts.len();
    if k < 2 {
        return Err(Problem::TooFew { what: "categories", given: k, least: 2 });
    }
    if let Some(row) = counts.iter().position(|row| row.len() != k) {
        return Err(Problem::Ragged { row: row + 1, given: counts[row].len(), expected: k });
    }
    let total = counts.iter().flatten().try_fold(0_u64, |sum, &c| sum.checked_add(c));
    let Some(n) = total.filter(|n| *n < 1 << 53) else {
        return Err(Problem::Undefined { what: "kappa", because: "the counts are too large to add up" });
    };
    if n == 0 {
        return Err(Problem::TooFew { what: "persons in the table", given: 0, least: 1 });
    }
    #[expect(clippy::cast_precision_loss, reason = "the sum of the counts is below 2^53")]
    let share = |count: u64| count as f64 / n as f64;
    let p: Vec<Vec<f64>> = counts.iter().map(|row| row.iter().map(|&c| share(c)).collect()).collect();
    let first: Vec<f64> = counts.iter().map(|row| share(row.iter().sum())).collect();
    let second: Vec<f64> = (0..k).map(|j| share(counts.iter().map(|row| row[j]).sum())).collect();
    if first.iter().zip(&second).any(|(a, b)| *a >= 1.0 && *b >= 1.0) {
        return Err(Problem::NoSpread { what: "ratings", so: "agreement beyond chance has no meaning" });
    }
    let cells = || (0..k).flat_map(move |i| (0..k).map(move |j| (i, j)));
    let apart = |i: usize, j: usize| disagreement(i, j, k, weights);
    // In weights of disagreement v = 1 − w, so that 1 − po and 1 − pe keep their digits.
    let not_observed: f64 = cells().map(|(i, j)| apart(i, j) * p[i][j]).sum();
    let not_expected: f64 = cells().map(|(i, j)| apart(i, j) * first[i] * second[j]).sum();
    let of_row: Vec<f64> = (0..k).map(|i| (0..k).map(|j| second[j] * apart(i, j)).sum()).collect();
    let of_column: Vec<f64> = (0..k).map(|j| (0..k).map(|i| first[i] * apart(i, j)).sum()).collect();
    let ratio = not_observed / not_expected;
    // Var κ = {Σ p (v/ve − (v̄i + v̄j) vo/ve²)² − (vo/ve)²}/n, the source's formula in these weights.
    let square: f64 = cells()
        .map(|(i, j)| {
            let term = (apart(i, j) - (of_row[i] + of_column[j]) * ratio) / not_expected;
            p[i][j] * term * term
        })
        .sum();
    #[expect(clippy::cast_precision_loss, reason = "n is below 2^53")]
    let variance = (square - ratio * ratio).max(0.0) / n as f64;
    let (kappa, standard_error) = (1.0 - ratio, variance.sqrt());
    let half = confidence.z() * standard_error;
    let unclipped = Interval { lower: kappa - half, upper: kappa + half };
    let interval =
        Interval { lower: unclipped.lower.clamp(-1.0, 1.0), upper: unclipped.upper.clamp(-1.0, 1.0) };
    Ok(Kappa {
        kappa,
        standard_error,
        interval,
        unclipped,
        clipped: interval != unclipped,
        confidence,
        weights,
        observed: 1.0 - not_observed,
        expected: 1.0 - not_expected,
        first_rater: first,
        second_rater: second,
        n,
    })
}

/// Two raters' categories, person by person, as the table that [`kappa`] reads.
///
/// # Errors
/// Lists of different length, or a category not below the number of categories.
pub fn table_of_pairs(
    first: &[usize],
    second: &[usize],
    categories: usize,
) -> Result<Vec<Vec<u64>>, Problem> {
    if first.len() != second.len() {
        let what = "ratings of first and second rater";
        return Err(Problem::Unequal { what, first: first.len(), second: second.len() });
    }
    let most = first.iter().chain(second).copied().max().unwrap_or(0);
    if most >= categories.max(1) || categories > 1000 {
        let accepted = "a number below the number of categories, of which there are at most 1000,";
        return Err(Problem::OutOfRange { what: "category", given: most.to_string(), accepted });
    }
    let mut table = vec![vec![0; categories]; categories];
    for (&i, &j) in first.iter().zip(second) {
        table[i][j] += 1;
    }
    Ok(table)
}

#[expect(clippy::cast_precision_loss, reason = "a number of categories")]
fn disagreement(i: usize, j: usize, k: usize, weights: Weights) -> f64 {
    let share = i.abs_diff(j) as f64 / (k - 1) as f64;
    match weights {
        Weights::None => f64::from(u8::from(i != j)),
        Weights::Linear => share,
        Weights::Quadratic => share * share,
    }
}
