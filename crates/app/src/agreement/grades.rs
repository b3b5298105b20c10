//! Agreement of two raters who give grades instead of numbers.

use measurement::statistics::kappa::{Kappa, Weights, kappa, table_of_pairs};
use measurement::statistics::{Confidence, Problem};
use serde::Serialize;

use super::table::short;
use super::{Answer, LeftOut, RatingTable, TableError, words};

/// Two raters beside each other.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct GradePair {
    /// Their names.
    pub columns: [String; 2],
    /// Persons by grade of the first (rows) and of the second (columns).
    pub counts: Vec<Vec<u64>>,
    /// Every disagreement counts alike.
    pub plain: Answer<Kappa>,
    /// A disagreement counts by its steps; only where the grades have an order.
    pub linear: Option<Answer<Kappa>>,
    /// By the square of its steps; only where the grades have an order.
    pub quadratic: Option<Answer<Kappa>>,
}

/// What a table of grades says.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct GradesReport {
    /// The grades, in their order if they have one.
    pub grades: Vec<String>,
    /// Whether the grades have an order.
    pub ordered: bool,
    /// Of every interval.
    pub confidence: Confidence,
    /// Persons with every grade.
    pub persons: usize,
    /// Persons without.
    pub left_out: Vec<LeftOut>,
    /// Every pair of raters.
    pub pairs: Vec<GradePair>,
    /// What to watch, in whole sentences.
    pub cautions: Vec<String>,
}

/// Computes kappa for every pair of raters. `order` lists the grades from least to most; without it
/// grades have no order and nothing is weighted.
///
/// # Errors
/// A grade that is not in the order, fewer than two raters, or nobody with every grade.
pub fn grades_report(
    table: &RatingTable,
    order: Option<&[String]>,
    confidence: Confidence,
) -> Result<GradesReport, TableError> {
    let cells = table.each(|cell, line, column| match order {
        Some(order) if !order.iter().any(|grade| grade == cell) => Err(TableError::Grade {
            line,
            column: short(column),
            given: short(cell),
            accepted: order.iter().map(|grade| short(grade)).collect::<Vec<_>>().join(", "),
        }),
        _ => Ok(cell.to_owned()),
    })?;
    let mut grades: Vec<String> = match order {
        Some(order) => order.to_vec(),
        None => cells.iter().flatten().flatten().cloned().collect(),
    };
    if order.is_none() {
        grades.sort();
        grades.dedup();
    }
    let raters = table.columns();
    if raters.len() < 2 {
        let what = "raters or trials";
        return Err(TableError::Statistics(Problem::TooFew { what, given: raters.len(), least: 2 }));
    }
    let mut left_out = Vec::new();
    let mut full: Vec<Vec<usize>> = Vec::new();
    for (row, cells) in cells.iter().enumerate() {
        let place = |cell: &Option<String>| cell.as_ref().and_then(|c| grades.iter().position(|g| g == c));
        match cells.iter().map(place).collect::<Option<Vec<usize>>>() {
            Some(row) => full.push(row),
            None => left_out.push(table.left_out(row + 1)),
        }
    }
    let mut pairs = Vec::new();
    for a in 0..raters.len() {
        for b in a + 1..raters.len() {
            let column = |j: usize| full.iter().map(|row| row[j]).collect::<Vec<usize>>();
            let counts =
                table_of_pairs(&column(a), &column(b), grades.len()).map_err(TableError::Statistics)?;
            let weighted = |weights| order.map(|_| Answer::from(kappa(&counts, weights, confidence)));
            pairs.push(GradePair {
                columns: [raters[a].clone(), raters[b].clone()],
                plain: kappa(&counts, Weights::None, confidence).into(),
                linear: weighted(Weights::Linear),
                quadratic: weighted(Weights::Quadratic),
                counts,
            });
        }
    }
    let (ordered, persons) = (order.is_some(), full.len());
    let cautions = Vec::new();
    let mut report = GradesReport { grades, ordered, confidence, persons, left_out, pairs, cautions };
    report.cautions = words::cautions_of_grades(&report);
    Ok(report)
}
