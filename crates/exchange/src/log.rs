//! The log code: up to fourteen days of sessions as one line of text, shown as one QR symbol.
//!
//! `FOOTROSE1/` and then, in characters (`text`): four bytes of the mark, two bytes for the first day, one byte
//! whose top bit says which way the sessions are written and whose rest counts them, the sessions (`model`,
//! `arithmetic`), four bytes of check sum over all of it and the whole mark. Both ways are written and
//! the shorter is kept. A code is read only with the programme it was made for, because order and number of
//! directions stand in the programme and not in the code.

use std::collections::BTreeMap;

use jiff::civil::{Date, date};
use jiff::{ToSpan, Unit};
use progress::{Cell, Done, Morning, Prescription, Session, cell_words};
use thiserror::Error;

use crate::arithmetic::{Reader, Writer};
use crate::check::crc32;
use crate::mark::Mark;
use crate::model::{CELLS_AT_MOST, GAP_AT_MOST, Model, Plain, WORST, Way};
use crate::text;

/// What every log code begins with, before the number of its version.
pub const PREFIX: &str = "FOOTROSE";
/// The version that is written and read.
pub const VERSION: u32 = 1;
/// Days that one code carries at most: the last day that was logged and those before it.
pub const DAYS_AT_MOST: i32 = 14;
/// Characters of the longest code: what a QR symbol of version 26 at level M holds. Where the newest fourteen days
/// are longer, which no person's log is, the oldest sessions are left out.
pub const LETTERS_AT_MOST: usize = 1542;

const SESSIONS_AT_MOST: usize = 127;
const NTH_AT_MOST: u8 = 131;
const HEAD: usize = 7;
const SUM: usize = 4;

/// A code, and what of the log it carries.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct LogCode {
    /// The text of the code.
    pub text: String,
    /// How many sessions it carries: the newest.
    pub sessions: usize,
    /// How many older ones were left out.
    pub left_out: usize,
}

/// Why a log cannot be written as a code.
#[derive(Clone, Debug, PartialEq, Eq, Error)]
pub enum LogError {
    /// A direction that was not asked for.
    #[error(
        "the session of {on} has a direction that the programme has not (exercise {}, {}); accepted: the directions of the programme, each once; write the code with the programme that was practised",
        cell.exercise, cell_words(*cell)
    )]
    Foreign {
        /// The day.
        on: Date,
        /// The direction.
        cell: Cell,
    },
    /// A number outside its range.
    #[error("the session of {on} has {what} `{given}`; accepted: {accepted}; correct the entry")]
    Number {
        /// The day.
        on: Date,
        /// Of what.
        what: &'static str,
        /// The number.
        given: u32,
        /// The range.
        accepted: &'static str,
    },
    /// A day that cannot be written.
    #[error("the day {on} cannot be written; accepted: 2020-01-01 to 2199-06-06; correct the date")]
    Day {
        /// The day.
        on: Date,
    },
    /// Two sessions with the same day and place.
    #[error("session {nth} of {on} stands twice; accepted: each session once; remove one of them")]
    Twice {
        /// The day.
        on: Date,
        /// Its place.
        nth: u8,
    },
    /// Too many directions.
    #[error("the programme has {given} directions; accepted: at most 255; give fewer exercises")]
    Cells {
        /// How many.
        given: usize,
    },
}

/// The day from which days are counted.
fn epoch() -> Date {
    date(2020, 1, 1)
}

fn days_between(from: Date, to: Date) -> i32 {
    from.until((Unit::Day, to)).map_or(i32::MAX, |span| span.get_days())
}

/// What became of every direction of the prescription, in its order.
///
/// # Errors
/// A direction that was not asked for, or one given twice; a pain above ten.
pub fn in_order(prescription: &Prescription, session: &Session) -> Result<Vec<Done>, LogError> {
    let mut given: BTreeMap<Cell, Done> = BTreeMap::new();
    for (cell, done) in &session.cells {
        if let Done::Done { pain: Some(pain), .. } = done {
            within(session.on, "pain", *pain)?;
        }
        if !prescription.cells.contains(cell) || given.insert(*cell, *done).is_some() {
            return Err(LogError::Foreign { on: session.on, cell: *cell });
        }
    }
    Ok(prescription.cells.iter().map(|cell| given.get(cell).copied().unwrap_or(Done::NotDone)).collect())
}

fn within(on: Date, what: &'static str, given: u8) -> Result<(), LogError> {
    if given > WORST {
        return Err(LogError::Number { on, what, given: given.into(), accepted: "0 to 10" });
    }
    Ok(())
}

/// What became of every direction, once every number of the session was looked at.
pub(crate) fn checked(prescription: &Prescription, session: &Session) -> Result<Vec<Done>, LogError> {
    let on = session.on;
    if !(0..=i32::from(u16::MAX)).contains(&days_between(epoch(), on)) {
        return Err(LogError::Day { on });
    }
    if !(1..=NTH_AT_MOST).contains(&session.nth) {
        let given = session.nth.into();
        return Err(LogError::Number { on, what: "place in its day", given, accepted: "1 to 131" });
    }
    session.pain_before.map_or(Ok(()), |pain| within(on, "pain before", pain))?;
    session.effort.map_or(Ok(()), |effort| within(on, "effort", effort))?;
    if let Some(Morning::Worse(Some(points))) = session.morning {
        within(on, "points of the morning after", points)?;
    }
    in_order(prescription, session)
}

/// Writes the newest fourteen days of a log, or as many of their sessions as one code holds.
///
/// # Errors
/// A session that does not belong to the prescription or has a number outside its range. Nothing is changed
/// silently.
pub fn encode(mark: Mark, prescription: &Prescription, sessions: &[Session]) -> Result<LogCode, LogError> {
    if prescription.cells.len() > CELLS_AT_MOST {
        return Err(LogError::Cells { given: prescription.cells.len() });
    }
    let mut all = Vec::with_capacity(sessions.len());
    for session in sessions {
        all.push((session, checked(prescription, session)?));
    }
    all.sort_by_key(|(session, _)| (session.on, session.nth));
    if let Some([(twice, _), _]) = all.array_windows().find(|[a, b]| (a.0.on, a.0.nth) == (b.0.on, b.0.nth)) {
        return Err(LogError::Twice { on: twice.on, nth: twice.nth });
    }
    let last = all.last().map_or(prescription.from, |(session, _)| session.on);
    let recent = |session: &Session| days_between(session.on, last) < DAYS_AT_MOST;
    let mut from = all.iter().position(|(session, _)| recent(session)).unwrap_or(0);
    from = from.max(all.len().saturating_sub(SESSIONS_AT_MOST));
    loop {
        let text = write(mark, prescription, &all[from..])?;
        if text.len() <= LETTERS_AT_MOST || from == all.len() {
            return Ok(LogCode { text, sessions: all.len() - from, left_out: from });
        }
        from += 1;
    }
}

fn write(
    mark: Mark,
    prescription: &Prescription,
    sessions: &[(&Session, Vec<Done>)],
) -> Result<String, LogError> {
    let first = sessions.first().map_or(prescription.from, |(session, _)| session.on);
    let day = u16::try_from(days_between(epoch(), first)).map_err(|_| LogError::Day { on: first })?;
    let mut plain = Vec::with_capacity(sessions.len());
    let mut before = first;
    for (session, cells) in sessions {
        let gap = usize::try_from(days_between(before, session.on)).unwrap_or(0);
        plain.push(Plain::of(session, gap, cells));
        before = session.on;
    }
    let body = |way: Way| {
        let (mut writer, mut model) = (Writer::new(), Model::new(way, prescription.cells.len()));
        for session in &plain {
            model.session(&mut writer, session);
        }
        writer.finish()
    };
    let (flat, learnt) = (body(Way::Flat), body(Way::Learning));
    let learning = learnt.len() <= flat.len();
    let count = u8::try_from(sessions.len()).unwrap_or(u8::MAX) & 0x7F;
    let mut bytes = mark.short().to_vec();
    bytes.extend(day.to_be_bytes());
    bytes.push(count | u8::from(learning) << 7);
    bytes.extend(if learning { learnt } else { flat });
    bytes.extend(sum(&bytes, mark).to_be_bytes());
    Ok(format!("{PREFIX}{VERSION}/{}", text::write(&bytes)))
}

/// The check sum, over the bytes and the whole mark.
fn sum(bytes: &[u8], mark: Mark) -> u32 {
    crc32(&[bytes, &mark.bytes()].concat())
}

/// A code taken apart as far as that goes without its programme.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Sealed {
    bytes: Vec<u8>,
}

impl Sealed {
    /// From the characters after the prefix.
    ///
    /// # Errors
    /// Says what is wrong with them.
    pub fn open(characters: &str) -> Result<Self, String> {
        if characters.len() > LETTERS_AT_MOST {
            return Err(format!("{} characters, more than any code has", characters.len()));
        }
        let bytes = text::read(characters)?;
        if bytes.len() < HEAD + SUM {
            return Err(format!("it ends after {} characters, too early for any log", characters.len()));
        }
        Ok(Self { bytes })
    }

    /// The first eight digits of the mark of its programme, if it is undamaged.
    #[must_use]
    pub fn short_mark(&self) -> String {
        self.bytes[..4].iter().map(|byte| format!("{byte:02x}")).collect()
    }

    /// Whether it names this programme and its check sum fits.
    #[must_use]
    pub fn fits(&self, mark: Mark) -> bool {
        let (bytes, sum_read) = self.bytes.split_at(self.bytes.len() - SUM);
        bytes[..4] == mark.short() && sum(bytes, mark).to_be_bytes() == sum_read
    }

    /// Whether it names this programme, whatever its check sum says.
    #[must_use]
    pub fn names(&self, mark: Mark) -> bool {
        self.bytes[..4] == mark.short()
    }

    /// The sessions. Every direction of the prescription stands in each, in its order.
    ///
    /// # Errors
    /// When the code is not one that was written for this prescription.
    pub fn sessions(&self, mark: Mark, prescription: &Prescription) -> Result<Vec<Session>, String> {
        let damaged = || "the check does not fit".to_owned();
        if !self.fits(mark) || prescription.cells.len() > CELLS_AT_MOST {
            return Err(damaged());
        }
        let flags = self.bytes[6];
        let way = if flags & 0x80 == 0 { Way::Flat } else { Way::Learning };
        let mut day = epoch()
            .checked_add(i32::from(u16::from_be_bytes([self.bytes[4], self.bytes[5]])).days())
            .map_err(|_| damaged())?;
        let mut reader = Reader::new(&self.bytes[HEAD..self.bytes.len() - SUM]);
        let mut model = Model::new(way, prescription.cells.len());
        let empty = Plain {
            gap: 0,
            nth: 1,
            before: 0,
            effort: 0,
            morning: 0,
            stopped: 0,
            cells: vec![None; prescription.cells.len()],
        };
        let mut sessions = Vec::new();
        for _ in 0..flags & 0x7F {
            let plain = model.session(&mut reader, &empty);
            let gap = i32::try_from(plain.gap).unwrap_or(GAP_AT_MOST);
            day = day.checked_add(gap.days()).map_err(|_| damaged())?;
            sessions.push(plain.session(day, &prescription.cells).ok_or_else(damaged)?);
        }
        // Only what we would write ourselves is ours: this also refuses bits that mean nothing.
        let again = encode(mark, prescription, &sessions).map_err(|_| damaged())?;
        let same = again.text.strip_prefix(&format!("{PREFIX}{VERSION}/")).and_then(|t| text::read(t).ok());
        if same.as_ref() == Some(&self.bytes) { Ok(sessions) } else { Err(damaged()) }
    }
}
