//! Checked lists of numbers: finite, long enough, paired, or a full table of persons by trials.

use serde::Serialize;

use super::problem::{LARGEST, Problem};

/// Count, mean and standard deviation (over n − 1) of a list.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Moments {
    /// How many values.
    pub n: usize,
    /// Their mean, in their unit.
    pub mean: f64,
    /// Their standard deviation with n − 1, in their unit; nought where they are alike to the last
    /// digits that a number can hold.
    pub sd: f64,
}

impl Moments {
    /// Two passes over the values, the second about the mean of the first.
    ///
    /// # Errors
    /// Fewer than two values, or one that is no number.
    pub fn of(what: &'static str, values: &[f64]) -> Result<Self, Problem> {
        check(what, values, 2)?;
        let mean = mean(values);
        let squares = sum(values.iter().map(|x| (x - mean).powi(2)));
        let squares = if squares <= rounding(values) { 0.0 } else { squares };
        Ok(Self { n: values.len(), mean, sd: (squares / (count(values.len()) - 1.0)).sqrt() })
    }

    /// The same, where a standard deviation of nought leaves no answer.
    pub(crate) fn varying(what: &'static str, values: &[f64], so: &'static str) -> Result<Self, Problem> {
        let moments = Self::of(what, values)?;
        if moments.sd > 0.0 { Ok(moments) } else { Err(Problem::NoSpread { what, so }) }
    }

    /// n − 1.
    #[must_use]
    pub fn degrees_of_freedom(self) -> f64 {
        count(self.n) - 1.0
    }
}

/// A count as a number.
#[expect(clippy::cast_precision_loss, reason = "lists in memory are far shorter than 2^53")]
pub(crate) fn count(n: usize) -> f64 {
    n as f64
}

/// Refuses a list that is too short or holds something that is no number.
pub(crate) fn check(what: &'static str, values: &[f64], least: usize) -> Result<(), Problem> {
    if let Some(at) = values.iter().position(|x| x.is_nan() || x.abs() > LARGEST) {
        return Err(Problem::NotANumber { what, at: at + 1, given: format!("{:?}", values[at]) });
    }
    if values.len() < least {
        return Err(Problem::TooFew { what, given: values.len(), least });
    }
    Ok(())
}

/// Refuses two lists that cannot be paired.
pub(crate) fn check_pairs(
    what: &'static str,
    first: &[f64],
    second: &[f64],
    least: usize,
) -> Result<(), Problem> {
    if first.len() != second.len() {
        return Err(Problem::Unequal { what, first: first.len(), second: second.len() });
    }
    check(what, first, least)?;
    check(what, second, least)
}

/// Second less first, pair by pair.
pub(crate) fn differences(
    what: &'static str,
    first: &[f64],
    second: &[f64],
    least: usize,
) -> Result<Vec<f64>, Problem> {
    check_pairs(what, first, second, least)?;
    let rest: Vec<f64> = second.iter().zip(first).map(|(b, a)| b - a).collect();
    // Equal differences of unequal readings are equal only up to rounding of the readings.
    let level = first.iter().chain(second).fold(0.0_f64, |most, x| most.max(x.abs()));
    let mean = mean(&rest);
    let alike = rest.iter().all(|x| (x - mean).abs() <= 4.0 * f64::EPSILON * level);
    Ok(if alike { vec![mean; rest.len()] } else { rest })
}

/// The sum, with the rounding of each addition carried along (Neumaier).
pub(crate) fn sum(values: impl Iterator<Item = f64>) -> f64 {
    let (mut total, mut lost) = (0.0_f64, 0.0);
    for x in values {
        let next = total + x;
        lost += if total.abs() >= x.abs() { (total - next) + x } else { (x - next) + total };
        total = next;
    }
    total + lost
}

/// The mean of a list that is not empty.
pub(crate) fn mean(values: &[f64]) -> f64 {
    sum(values.iter().copied()) / count(values.len())
}

/// The middle value, or the mean of the two middle ones, of a sorted list that is not empty.
pub(crate) fn median_of_sorted(sorted: &[f64]) -> f64 {
    let half = sorted.len() / 2;
    if sorted.len().is_multiple_of(2) { 0.5 * (sorted[half - 1] + sorted[half]) } else { sorted[half] }
}

/// How large a sum of squares about the mean may be from rounding alone.
fn rounding(values: &[f64]) -> f64 {
    let level = values.iter().fold(0.0_f64, |most, x| most.max(x.abs()));
    (2.0 * f64::EPSILON * level).powi(2) * count(values.len())
}

/// Scores of n persons (rows) by k raters or trials (columns), complete: n, k ≥ 2, all numbers.
#[derive(Clone, Debug, PartialEq)]
pub struct Scores {
    rows: Vec<Vec<f64>>,
}

impl Scores {
    /// One row a person, one column a rater or trial.
    ///
    /// # Errors
    /// Fewer than two rows or columns, a row of another length, or a value that is no number.
    pub fn new(rows: Vec<Vec<f64>>) -> Result<Self, Problem> {
        let columns = rows.first().map_or(0, Vec::len);
        if rows.len() < 2 {
            return Err(Problem::TooFew { what: "persons", given: rows.len(), least: 2 });
        }
        if columns < 2 {
            return Err(Problem::TooFew { what: "raters or trials", given: columns, least: 2 });
        }
        for (index, row) in rows.iter().enumerate() {
            if row.len() != columns {
                return Err(Problem::Ragged { row: index + 1, given: row.len(), expected: columns });
            }
            check("scores of a person", row, 2)?;
        }
        Ok(Self { rows })
    }

    /// The same from cells of which none may be empty.
    ///
    /// # Errors
    /// As [`Scores::new`], and the first empty cell.
    pub fn from_cells(cells: &[Vec<Option<f64>>]) -> Result<Self, Problem> {
        let full = |(row, cells): (usize, &Vec<Option<f64>>)| {
            cells
                .iter()
                .enumerate()
                .map(|(column, cell)| cell.ok_or(Problem::Missing { row: row + 1, column: column + 1 }))
                .collect::<Result<Vec<f64>, Problem>>()
        };
        Self::new(cells.iter().enumerate().map(full).collect::<Result<_, _>>()?)
    }

    /// The persons without an empty cell, with the numbers (from 1) of those left out, which a report
    /// has to name: whoever misses a trial is seldom like the others.
    ///
    /// # Errors
    /// As [`Scores::new`] for what remains.
    pub fn of_complete_rows(cells: &[Vec<Option<f64>>]) -> Result<(Self, Vec<usize>), Problem> {
        let mut kept = Vec::new();
        let mut left_out = Vec::new();
        for (row, cells) in cells.iter().enumerate() {
            match cells.iter().copied().collect::<Option<Vec<f64>>>() {
                Some(full) => kept.push(full),
                None => left_out.push(row + 1),
            }
        }
        Ok((Self::new(kept)?, left_out))
    }

    /// The rows.
    #[must_use]
    pub fn rows(&self) -> &[Vec<f64>] {
        &self.rows
    }

    /// How many persons.
    #[must_use]
    pub fn persons(&self) -> usize {
        self.rows.len()
    }

    /// How many raters or trials.
    #[must_use]
    pub fn columns(&self) -> usize {
        self.rows[0].len()
    }

    /// One rater's or trial's scores, in the order of the persons.
    #[must_use]
    pub fn column(&self, index: usize) -> Option<Vec<f64>> {
        (index < self.columns()).then(|| self.rows.iter().map(|row| row[index]).collect())
    }
}
