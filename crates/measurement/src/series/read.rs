//! A recorded series from text: statements, a header row, then one sample a line.
//!
//! ```text
//! # quantity = centre_of_pressure
//! # unit = mm
//! # rate_hz = 100
//! ml,ap
//! 1.25,-3.5
//! ```
//!
//! Cells are parted by comma, semicolon or tab, whichever the header has; with semicolons a decimal
//! comma is read as well. Where there is a column `time_s`, the rate follows from it and steps must be even.

use super::columns::{Axis, MOST_SAMPLES, Quantity, Series, SeriesUnit};
use super::series_error::SeriesError;
use crate::statistics::LARGEST;

/// How much a step of time may differ from the mean step: a clock that is written in milliseconds
/// differs by rounding, a lost sample by a whole step.
const UNEVEN_STEP: f64 = 0.25;

/// What is known about a file beside what it says itself. Both must agree where both speak.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Stated {
    /// What was recorded.
    pub quantity: Option<Quantity>,
    /// In which unit.
    pub unit: Option<SeriesUnit>,
    /// Samples a second.
    pub rate_hz: Option<f64>,
}

impl Stated {
    /// Nothing beside the file.
    pub const IN_THE_FILE: Self = Self { quantity: None, unit: None, rate_hz: None };
}

/// Reads a series.
///
/// # Errors
/// Names line and column: an unknown statement or header, a cell that is no number (empty, `NaN` and
/// infinities included), a ragged line, uneven time steps; and what is not stated at all or twice differently.
pub fn read(text: &str, beside: &Stated) -> Result<Series, SeriesError> {
    let text = text.strip_prefix('\u{feff}').unwrap_or(text);
    let mut stated = Stated::IN_THE_FILE;
    let mut lines =
        text.lines().enumerate().map(|(at, line)| (at + 1, line.trim())).filter(|(_, l)| !l.is_empty());
    let (header_line, header) = loop {
        match lines.next() {
            Some((line, text)) => match text.strip_prefix('#') {
                Some(words) => statement(line, words, &mut stated)?,
                None => break (line, text),
            },
            None => return Err(SeriesError::Header { line: 1, column: 1, given: String::new() }),
        }
    };
    let parted_by = [';', '\t'].into_iter().find(|c| header.contains(*c)).unwrap_or(',');
    let names: Vec<&str> = header.split(parted_by).map(str::trim).collect();
    let heads = heads(header_line, &names)?;
    let mut columns: Vec<Vec<f64>> = vec![Vec::new(); names.len()];
    let mut lines_of = Vec::new();
    for (line, text) in lines {
        let cells: Vec<&str> = text.split(parted_by).map(str::trim).collect();
        if cells.len() != names.len() {
            return Err(SeriesError::RaggedLine { line, given: cells.len(), expected: names.len() });
        }
        for (index, cell) in cells.iter().enumerate() {
            let value = number(cell, parted_by).ok_or_else(|| SeriesError::Cell {
                line,
                column: index + 1,
                name: names[index].to_owned(),
                given: (*cell).chars().take(40).collect(),
            })?;
            columns[index].push(value);
        }
        lines_of.push(line);
        if lines_of.len() > MOST_SAMPLES {
            return Err(SeriesError::Length { given: lines_of.len() });
        }
    }
    let mut axes = Vec::new();
    for (head, values) in heads.into_iter().zip(columns) {
        match head {
            Some(axis) => axes.push((axis, values)),
            None => {
                let rate = rate_of(&values, &lines_of)?;
                // A stated rate is met by times to within a hundredth.
                if let Some(given) = stated.rate_hz.or(beside.rate_hz)
                    && (given - rate).abs() > 0.01 * rate
                {
                    return Err(contradiction(
                        "rate_hz",
                        format!("{rate:.3} by `time_s`"),
                        format!("{given}"),
                    ));
                }
                stated.rate_hz = Some(stated.rate_hz.or(beside.rate_hz).unwrap_or(rate));
            }
        }
    }
    let (quantity, unit, rate_hz) = settle(&stated, beside)?;
    Series::new(quantity, unit, rate_hz, axes)
}

/// A line `# key = value`; other remarks are passed over.
fn statement(line: usize, words: &str, stated: &mut Stated) -> Result<(), SeriesError> {
    let Some((key, value)) = words.split_once('=') else { return Ok(()) };
    let (key, value) = (key.trim(), value.trim());
    let refuse = |accepted| SeriesError::Statement { line, given: format!("{key} = {value}"), accepted };
    let twice = || refuse("one statement of each");
    match key {
        "quantity" => {
            let found = Quantity::WORDS.iter().find(|(word, _)| *word == value);
            let found = found.ok_or_else(|| refuse("centre_of_pressure, acceleration or force"))?.1;
            if stated.quantity.replace(found).is_some_and(|earlier| earlier != found) {
                return Err(twice());
            }
        }
        "unit" => {
            let found = SeriesUnit::WORDS.iter().find(|(word, _)| *word == value);
            let found = found.ok_or_else(|| refuse("mm, cm, m, m/s2, g or N"))?.1;
            if stated.unit.replace(found).is_some_and(|earlier| earlier != found) {
                return Err(twice());
            }
        }
        "rate_hz" => {
            let rate = value.parse().ok().filter(|rate| (1.0..=10_000.0).contains(rate));
            let rate: f64 = rate.ok_or_else(|| refuse("a number of samples a second from 1 to 10000"))?;
            #[expect(clippy::float_cmp, reason = "two statements of one number")]
            if stated.rate_hz.replace(rate).is_some_and(|earlier| earlier != rate) {
                return Err(twice());
            }
        }
        _ => return Err(refuse("a statement of quantity, unit or rate_hz, or a remark without `=`,")),
    }
    Ok(())
}

/// What each column is: an axis, or the time.
fn heads(line: usize, names: &[&str]) -> Result<Vec<Option<Axis>>, SeriesError> {
    let mut heads = Vec::new();
    for (index, name) in names.iter().enumerate() {
        let axis = Axis::WORDS.iter().find(|(word, _)| word == name).map(|(_, axis)| *axis);
        if (axis.is_none() && *name != "time_s") || heads.contains(&axis) {
            let given = (*name).chars().take(40).collect();
            return Err(SeriesError::Header { line, column: index + 1, given });
        }
        heads.push(axis);
    }
    Ok(heads)
}

fn number(cell: &str, parted_by: char) -> Option<f64> {
    let plain = |text: &str| {
        let only = text.chars().all(|c| c.is_ascii_digit() || "+-.eE".contains(c));
        only.then(|| text.parse::<f64>().ok()).flatten().filter(|x| x.abs() <= LARGEST)
    };
    if parted_by == ';' && cell.contains(',') && !cell.contains('.') {
        plain(&cell.replacen(',', ".", 1))
    } else {
        plain(cell)
    }
}

#[expect(clippy::cast_precision_loss, reason = "at most two million samples")]
fn rate_of(times: &[f64], lines: &[usize]) -> Result<f64, SeriesError> {
    let [first, .., last] = times else { return Err(SeriesError::Length { given: times.len() }) };
    let usual = (last - first) / (times.len() - 1) as f64;
    for (index, pair) in times.windows(2).enumerate() {
        let step = pair[1] - pair[0];
        if !(usual > 0.0 && (step - usual).abs() <= UNEVEN_STEP * usual) {
            let (step, usual) = (format!("{step:.6}"), format!("{usual:.6}"));
            return Err(SeriesError::Step { line: lines[index + 1], step, usual });
        }
    }
    Ok(1.0 / usual)
}

fn settle(file: &Stated, beside: &Stated) -> Result<(Quantity, SeriesUnit, f64), SeriesError> {
    fn one<T: PartialEq + Copy + std::fmt::Debug>(
        what: &'static str,
        file: Option<T>,
        beside: Option<T>,
        missing: SeriesError,
    ) -> Result<T, SeriesError> {
        match (file, beside) {
            (Some(a), Some(b)) if a != b => Err(contradiction(what, format!("{a:?}"), format!("{b:?}"))),
            (Some(a), _) | (None, Some(a)) => Ok(a),
            (None, None) => Err(missing),
        }
    }
    let missing = |what, key, accepted| SeriesError::NotStated { what, key, accepted };
    let quantity = missing("what was recorded", "quantity", "centre_of_pressure, acceleration or force");
    let unit = missing("the unit", "unit", "mm, cm, m, m/s2, g or N");
    let rate = missing("the rate", "rate_hz", "samples a second, or a column `time_s`");
    Ok((
        one("quantity", file.quantity, beside.quantity, quantity)?,
        one("unit", file.unit, beside.unit, unit)?,
        one("rate_hz", file.rate_hz, beside.rate_hz, rate)?,
    ))
}

fn contradiction(what: &'static str, file: String, given: String) -> SeriesError {
    SeriesError::Contradiction { what, file, given }
}
