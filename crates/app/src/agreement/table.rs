//! A table of readings as it comes from a spreadsheet: a header row, one row a person, one column a
//! rater or repeated trial.

use std::collections::BTreeMap;

use measurement::statistics::{LARGEST, Problem};

use super::LeftOut;

/// The largest table that is read.
const BYTES_AT_MOST: usize = 4 * 1024 * 1024;

/// Why a table of readings cannot be used.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum TableError {
    /// Nothing in it, or only a header.
    #[error(
        "the table has {given}; accepted: a header row with the names of raters or trials, then one row for each person"
    )]
    Empty {
        /// What there is.
        given: &'static str,
    },
    /// Larger than any clinic's table.
    #[error("the table has {given} bytes; at most {BYTES_AT_MOST} are read: is it the right file?")]
    TooLarge {
        /// Its size.
        given: usize,
    },
    /// Not text in UTF-8, or quotation marks that do not close.
    #[error("the table is not readable at line {line}: {why}; save it as CSV in UTF-8 and try again")]
    NotText {
        /// Line.
        line: u64,
        /// Why.
        why: String,
    },
    /// A row with more or fewer cells than the header.
    #[error(
        "line {line} has {given} cells, the header has {expected}; fill in the missing ones, or leave them empty between separators"
    )]
    Ragged {
        /// Line.
        line: usize,
        /// Cells there.
        given: usize,
        /// Cells of the header.
        expected: usize,
    },
    /// Two columns of one name, or a column without a name.
    #[error(
        "column {column} of the header is `{given}`; accepted: a name of its own for every column, so that the report can name it"
    )]
    Header {
        /// Column, from 1.
        column: usize,
        /// What stands there.
        given: String,
    },
    /// Two rows of one name, which would count as two persons.
    #[error(
        "lines {first} and {second} both name `{person}`; accepted: one row for each person, with every reading of that person in it; put the second reading into a column of its own, or give another person another name"
    )]
    SamePerson {
        /// The name, as it stands in the first row.
        person: String,
        /// Line of the first.
        first: usize,
        /// Line of the second.
        second: usize,
    },
    /// A cell that is no number.
    #[error(
        "line {line}, column `{column}`: `{given}` is no number; accepted: a number such as 72.5, of size up to 1e100, or an empty cell for a reading that was not taken"
    )]
    NotANumber {
        /// Line.
        line: usize,
        /// Name of the column.
        column: String,
        /// What stands there.
        given: String,
    },
    /// A grade that is not in the order that was given.
    #[error("line {line}, column `{column}`: the grade `{given}` is not in the order given ({accepted})")]
    Grade {
        /// Line.
        line: usize,
        /// Name of the column.
        column: String,
        /// What stands there.
        given: String,
        /// The order.
        accepted: String,
    },
    /// The statistics say no.
    #[error("{0}")]
    Statistics(Problem),
}

/// The table as text: cells trimmed, empty ones `None`.
#[derive(Clone, Debug, PartialEq)]
pub struct RatingTable {
    columns: Vec<String>,
    rows: Vec<Row>,
    decimal_comma: bool,
}

#[derive(Clone, Debug, PartialEq)]
struct Row {
    line: usize,
    person: Option<String>,
    cells: Vec<Option<String>>,
}

impl RatingTable {
    /// Reads the text of a CSV file. Cells are separated by commas, semicolons or tabs, whichever the
    /// header has most of; with semicolons or tabs a comma within a number is a decimal comma. A first
    /// column whose cells are no numbers, beside others that are, names the persons.
    ///
    /// # Errors
    /// Says which line and column, what stands there, and what is accepted.
    pub fn read(text: &str) -> Result<Self, TableError> {
        if text.len() > BYTES_AT_MOST {
            return Err(TableError::TooLarge { given: text.len() });
        }
        // One kind of line end, or lines are counted wrong.
        let text = text.strip_prefix('\u{feff}').unwrap_or(text).replace("\r\n", "\n").replace('\r', "\n");
        let header = text
            .lines()
            .find(|line| !line.trim().is_empty())
            .ok_or(TableError::Empty { given: "no text" })?;
        let count = |c: char| header.matches(c).count();
        let separator = [',', ';', '\t'].into_iter().max_by_key(|c| (count(*c), *c == ',')).unwrap_or(',');
        let decimal_comma = separator != ',';
        #[allow(clippy::cast_possible_truncation)] // three ASCII letters
        let mut reader = csv::ReaderBuilder::new()
            .delimiter(separator as u8)
            .has_headers(false)
            .flexible(true)
            .trim(csv::Trim::All)
            .from_reader(text.as_bytes());
        let mut columns: Vec<String> = Vec::new();
        let mut rows: Vec<Row> = Vec::new();
        for record in reader.records() {
            let record = record.map_err(|error| TableError::NotText {
                line: error.position().map_or(1, csv::Position::line),
                why: error.to_string(),
            })?;
            let line = record.position().map_or(1, |at| line_of(at, &text));
            let cells: Vec<Option<String>> =
                record.iter().map(|cell| (!cell.is_empty()).then(|| cell.to_owned())).collect();
            if cells.iter().all(Option::is_none) {
                continue;
            }
            if columns.is_empty() {
                columns = names(&cells)?;
            } else if cells.len() == columns.len() {
                rows.push(Row { line, person: None, cells });
            } else {
                return Err(TableError::Ragged { line, given: cells.len(), expected: columns.len() });
            }
        }
        if rows.is_empty() {
            return Err(TableError::Empty { given: "a header and no row" });
        }
        let mut table = Self { columns, rows, decimal_comma };
        table.take_names_of_persons();
        table.each_person_once()?;
        Ok(table)
    }

    /// Readings of one person are not independent; counted as several persons they make every figure look surer
    /// than it is. Names that differ in capitals or spaces only are one name.
    fn each_person_once(&self) -> Result<(), TableError> {
        let plain = |name: &str| name.to_lowercase().split_whitespace().collect::<Vec<_>>().join(" ");
        let mut seen: BTreeMap<String, &Row> = BTreeMap::new();
        for row in &self.rows {
            let Some(name) = &row.person else { continue };
            if let Some(before) = seen.insert(plain(name), row) {
                let person = short(before.person.as_deref().unwrap_or_default());
                return Err(TableError::SamePerson { person, first: before.line, second: row.line });
            }
        }
        Ok(())
    }

    /// The first column names persons when none of its cells is a number and there are others.
    fn take_names_of_persons(&mut self) {
        let names = self.columns.len() > 2
            && self.rows.iter().all(|row| match &row.cells[0] {
                Some(cell) => self.number(cell).is_none(),
                None => false,
            });
        let numbers_beside =
            self.rows.iter().any(|row| row.cells[1..].iter().flatten().any(|c| self.number(c).is_some()));
        let header = self.columns[0].to_lowercase();
        let said = ["person", "patient", "subject", "name", "id"].contains(&header.as_str());
        if said || (names && numbers_beside) {
            self.columns.remove(0);
            for row in &mut self.rows {
                row.person = row.cells.remove(0);
            }
        }
    }

    fn number(&self, cell: &str) -> Option<f64> {
        let cell = if self.decimal_comma { cell.replace(',', ".") } else { cell.to_owned() };
        let plain = cell.replace('\u{2212}', "-");
        plain.parse::<f64>().ok().filter(|x| x.is_finite())
    }

    /// Names of raters or trials.
    #[must_use]
    pub fn columns(&self) -> &[String] {
        &self.columns
    }

    /// The person of a row, counted from 1.
    pub(super) fn left_out(&self, row: usize) -> LeftOut {
        let row = &self.rows[row - 1];
        LeftOut { line: row.line, person: row.person.clone() }
    }

    /// All cells as numbers.
    pub(super) fn numbers(&self) -> Result<Vec<Vec<Option<f64>>>, TableError> {
        self.each(|cell, line, column| {
            self.number(cell).filter(|x| x.abs() <= LARGEST).ok_or_else(|| TableError::NotANumber {
                line,
                column: short(column),
                given: short(cell),
            })
        })
    }

    /// All cells as they are read by a function, which is told line and column.
    pub(super) fn each<T>(
        &self,
        read: impl Fn(&str, usize, &str) -> Result<T, TableError>,
    ) -> Result<Vec<Vec<Option<T>>>, TableError> {
        self.rows
            .iter()
            .map(|row| {
                row.cells
                    .iter()
                    .zip(&self.columns)
                    .map(|(cell, column)| cell.as_deref().map(|c| read(c, row.line, column)).transpose())
                    .collect()
            })
            .collect()
    }
}

/// The line on which a row stands: the reader's place lies before empty lines that it skipped.
fn line_of(at: &csv::Position, text: &str) -> usize {
    let byte = usize::try_from(at.byte()).unwrap_or(usize::MAX);
    let empty = text.get(byte..).map_or(0, |rest| rest.len() - rest.trim_start_matches('\n').len());
    usize::try_from(at.line()).unwrap_or(usize::MAX).saturating_add(empty)
}

/// The most characters of a cell that an error repeats.
const REPEATED: usize = 40;

/// A cell as an error repeats it: the beginning of a long one.
pub(super) fn short(cell: &str) -> String {
    let length = cell.chars().count();
    if length <= REPEATED {
        return cell.to_owned();
    }
    let begin: String = cell.chars().take(REPEATED / 2).collect();
    format!("{begin}\u{2026} ({length} characters)")
}

fn names(cells: &[Option<String>]) -> Result<Vec<String>, TableError> {
    let mut names: Vec<String> = Vec::new();
    for (index, cell) in cells.iter().enumerate() {
        let given = cell.clone().unwrap_or_default();
        if given.is_empty() || given.parse::<f64>().is_ok() || names.contains(&given) {
            return Err(TableError::Header { column: index + 1, given: short(&given) });
        }
        names.push(given);
    }
    Ok(names)
}
