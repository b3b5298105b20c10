//! A log as a table (CSV): one row for each direction of each session.
//!
//! Comma, a header row, dates as 2026-11-30, words in English whatever the language of the page, decimal point.
//! What was not said is an empty cell. A session without any direction is one row whose columns from `exercise`
//! on are empty. Tables that a spreadsheet saved again (semicolon or tab, byte order mark, columns in another
//! order) are read too.

use std::collections::BTreeMap;

use jiff::civil::Date;
use progress::{Cell, Done, Morning, Session};
use serde::Serialize;
use serde::de::DeserializeOwned;
use thiserror::Error;

use crate::mark::Mark;
use crate::model::WORST;
use crate::read::morning_word;

/// The columns, in the order in which they are written.
pub const COLUMNS: [&str; 16] = [
    "programme",
    "on",
    "session",
    "pain_before",
    "effort",
    "stopped",
    "morning",
    "morning_points",
    "exercise",
    "family",
    "mover",
    "bearing",
    "crossing",
    "done",
    "pain",
    "rung",
];

/// The largest table that is read, bytes.
const BYTES_AT_MOST: usize = 8 * 1024 * 1024;

/// Why a table cannot be read.
#[derive(Clone, Debug, PartialEq, Eq, Error)]
pub enum TableError {
    /// A column is missing.
    #[error("the header row has no column `{missing}`; accepted: {}; save the table with all its columns", COLUMNS.join(", "))]
    Column {
        /// Its name.
        missing: &'static str,
    },
    /// A cell says something else than its column takes.
    #[error(
        "line {line}, column `{column}`: `{given}` is not accepted; accepted: {accepted}; correct the cell"
    )]
    Cell {
        /// The line, from 1.
        line: u64,
        /// The column.
        column: &'static str,
        /// What stands there.
        given: String,
        /// What may stand there.
        accepted: String,
    },
    /// Rows of one session that disagree about the session.
    #[error(
        "line {line}: session {nth} of {on} says something else about itself than in its first row; accepted: the same programme, pain before, effort, stop sign and morning in every row of a session; correct one of them"
    )]
    Disagrees {
        /// The line, from 1.
        line: u64,
        /// The day.
        on: Date,
        /// Its place in the day.
        nth: u8,
    },
    /// A direction that stands twice in one session.
    #[error(
        "line {line}: this direction stands twice in session {nth} of {on}; accepted: once; remove one of the rows"
    )]
    Twice {
        /// The line, from 1.
        line: u64,
        /// The day.
        on: Date,
        /// Its place in the day.
        nth: u8,
    },
    /// The table is larger than is read.
    #[error("the table has {given} bytes; accepted: at most 8388608; give the log of one programme only")]
    Large {
        /// Its size.
        given: usize,
    },
    /// The text is no table.
    #[error("line {line} cannot be read as a row of a table ({why}); save it as CSV in UTF-8")]
    NotATable {
        /// The line, from 1.
        line: u64,
        /// Why.
        why: String,
    },
}

/// The word that stands for a value in files.
pub(crate) fn key<T: Serialize>(value: &T) -> String {
    match serde_json::to_value(value) {
        Ok(serde_json::Value::String(word)) => word,
        Ok(other) => other.to_string(),
        Err(_) => String::new(),
    }
}

fn number(value: Option<u8>) -> String {
    value.map_or_else(String::new, |value| value.to_string())
}

/// Writes sessions as a table.
#[must_use]
pub fn write(mark: Mark, sessions: &[Session]) -> String {
    let mut rows = vec![COLUMNS.map(str::to_owned)];
    for session in sessions {
        let points = match session.morning {
            Some(Morning::Worse(points)) => points,
            _ => None,
        };
        let head = [
            mark.to_string(),
            session.on.to_string(),
            session.nth.to_string(),
            number(session.pain_before),
            number(session.effort),
            session.stopped.as_ref().map_or_else(String::new, key),
            morning_word(session.morning).to_owned(),
            number(points),
        ];
        let mut add = |tail: [String; 8]| {
            let mut row = COLUMNS.map(|_| String::new());
            row.iter_mut().zip(head.iter().cloned().chain(tail)).for_each(|(cell, text)| *cell = text);
            rows.push(row);
        };
        if session.cells.is_empty() {
            add(Default::default());
        }
        for (cell, done) in &session.cells {
            let (was, pain, rung) = match done {
                Done::NotDone => ("no", None, String::new()),
                Done::Done { pain, rung } => ("yes", *pain, key(rung)),
            };
            add([
                cell.exercise.to_string(),
                key(&cell.family),
                key(&cell.mover),
                cell.bearing.degrees().to_string(),
                key(&cell.crossing),
                was.to_owned(),
                number(pain),
                rung,
            ]);
        }
    }
    // No cell holds a comma, a quote or a line break: all are words and numbers of ours.
    rows.iter().map(|row| format!("{}\n", row.join(","))).collect()
}

/// One row, with its place for errors.
struct Row<'a> {
    line: u64,
    cells: BTreeMap<&'static str, &'a str>,
}

impl Row<'_> {
    fn get(&self, column: &'static str) -> &str {
        self.cells.get(column).copied().unwrap_or_default()
    }

    fn wrong(&self, column: &'static str, accepted: &str) -> TableError {
        let given = self.get(column).chars().take(40).collect();
        TableError::Cell { line: self.line, column, given, accepted: accepted.to_owned() }
    }

    /// A word of a list, as it is written in files.
    fn word<T: DeserializeOwned>(&self, column: &'static str, accepted: &str) -> Result<T, TableError> {
        serde_json::from_value(serde_json::Value::String(self.get(column).to_owned()))
            .map_err(|_| self.wrong(column, accepted))
    }

    /// A whole number; a spreadsheet may have written `3.0`.
    fn whole(&self, column: &'static str, from: u16, to: u16) -> Result<u16, TableError> {
        let text = self.get(column).trim_end_matches('0').strip_suffix('.').unwrap_or(self.get(column));
        let accepted = || self.wrong(column, &format!("a whole number from {from} to {to}"));
        text.parse().ok().filter(|value| (from..=to).contains(value)).ok_or_else(accepted)
    }

    fn score(&self, column: &'static str) -> Result<Option<u8>, TableError> {
        if self.get(column).is_empty() {
            return Ok(None);
        }
        let value = self.whole(column, 0, WORST.into())?;
        Ok(u8::try_from(value).ok())
    }
}

/// Whether a text looks like such a table: its first line names the columns that every one has.
pub(crate) fn is_one(text: &str) -> bool {
    let header = text.lines().next().unwrap_or_default();
    let mut names = header.split([',', ';', '\t']).map(|name| name.trim().trim_matches('"'));
    names.clone().count() > 4 && names.any(|name| name == "programme" || name == "pain_before")
}

/// Reads a table: the sessions of each programme in it, in order of their days.
///
/// # Errors
/// Says which line and column, what stands there and what is accepted.
pub fn read(text: &str) -> Result<Vec<(Mark, Vec<Session>)>, TableError> {
    if text.len() > BYTES_AT_MOST {
        return Err(TableError::Large { given: text.len() });
    }
    let text = text.trim_start_matches('\u{feff}');
    let header = text.lines().next().unwrap_or_default();
    let count = |c: char| header.matches(c).count();
    let separator = [(b',', ','), (b';', ';'), (b'\t', '\t')].into_iter().max_by_key(|(_, c)| count(*c));
    let mut reader = csv::ReaderBuilder::new()
        .delimiter(separator.map_or(b',', |(byte, _)| byte))
        .trim(csv::Trim::All)
        .from_reader(text.as_bytes());
    let not_a_table = |error: &csv::Error| TableError::NotATable {
        line: error.position().map_or(1, csv::Position::line),
        why: error.to_string(),
    };
    let header = reader.headers().map_err(|error| not_a_table(&error))?.clone();
    let mut places = Vec::new();
    for column in COLUMNS {
        let at =
            header.iter().position(|name| name == column).ok_or(TableError::Column { missing: column })?;
        places.push((column, at));
    }
    let mut sessions: BTreeMap<(Mark, Date, u8), Session> = BTreeMap::new();
    for record in reader.records() {
        let record = record.map_err(|error| not_a_table(&error))?;
        let cells =
            places.iter().map(|(column, at)| (*column, record.get(*at).unwrap_or_default())).collect();
        let row = Row { line: record.position().map_or(0, csv::Position::line), cells };
        read_row(&row, &mut sessions)?;
    }
    let mut all: Vec<(Mark, Vec<Session>)> = Vec::new();
    for ((mark, ..), session) in sessions {
        match all.last_mut() {
            Some((last, list)) if *last == mark => list.push(session),
            _ => all.push((mark, vec![session])),
        }
    }
    Ok(all)
}

fn read_row(row: &Row, sessions: &mut BTreeMap<(Mark, Date, u8), Session>) -> Result<(), TableError> {
    let mark = Mark::parse(row.get("programme"))
        .map_err(|_| row.wrong("programme", "16 hexadecimal digits, the mark of the programme"))?;
    let on: Date = row.get("on").parse().map_err(|_| row.wrong("on", "a day such as 2026-11-30"))?;
    let nth = u8::try_from(row.whole("session", 1, 131)?).unwrap_or(1);
    let signs = "empty, pain_stays, swelling, unsteady, unwell, seen_today, emergency";
    let stopped = if row.get("stopped").is_empty() { None } else { Some(row.word("stopped", signs)?) };
    let points = row.score("morning_points")?;
    let morning = match (row.get("morning"), points) {
        ("", None) => None,
        ("better", None) => Some(Morning::Better),
        ("same", None) => Some(Morning::Same),
        ("worse", points) => Some(Morning::Worse(points)),
        ("" | "better" | "same", _) => {
            return Err(row.wrong("morning_points", "empty unless the morning was worse"));
        }
        _ => return Err(row.wrong("morning", "empty, better, same, worse")),
    };
    let (pain_before, effort) = (row.score("pain_before")?, row.score("effort")?);
    let given = Session { on, nth, pain_before, cells: Vec::new(), stopped, effort, morning };
    let session = sessions.entry((mark, on, nth)).or_insert_with(|| given.clone());
    if (given.pain_before, given.stopped, given.effort, given.morning)
        != (session.pain_before, session.stopped, session.effort, session.morning)
    {
        return Err(TableError::Disagrees { line: row.line, on, nth });
    }
    if COLUMNS[8..].iter().all(|column| row.get(column).is_empty()) {
        return Ok(());
    }
    let cell = Cell {
        exercise: u8::try_from(row.whole("exercise", 1, 255)?).unwrap_or(u8::MAX),
        family: row.word("family", "reach, step, lunge, leap, two_foot_jump, hop, bend_and_reach")?,
        mover: row.word("mover", "left, right")?,
        bearing: row
            .whole("bearing", 0, 315)?
            .try_into()
            .map_err(|_| row.wrong("bearing", "0, 45, 90, 135, 180, 225, 270, 315"))?,
        crossing: row.word("crossing", "none, in_front, behind")?,
    };
    let done = match row.get("done") {
        "yes" => Done::Done {
            pain: row.score("pain")?,
            rung: row.word("rung", "whole, shortened, supported, left_out")?,
        },
        "no" if row.get("pain").is_empty() && row.get("rung").is_empty() => Done::NotDone,
        "no" => return Err(row.wrong("done", "yes, where pain or rung is given")),
        _ => return Err(row.wrong("done", "yes, no")),
    };
    if session.cells.iter().any(|(known, _)| *known == cell) {
        return Err(TableError::Twice { line: row.line, on, nth });
    }
    session.cells.push((cell, done));
    Ok(())
}
