//! The typed code: sixteen characters that can be read over the telephone.
//!
//! It carries a summary, not sessions: how many were done in the last fourteen days, when the last was, the
//! worst pain of each leg in each direction and whether a stop sign ended a session. Twelve characters carry 60
//! bits: version 4, mark 12, last day 6, sessions 5, sixteen cells of 2 (left leg first, bearings from 0° on), stop
//! sign 1; four more check them. Pain that was not told and pain that was not there look the same.

use std::collections::BTreeMap;

use anatomy::Side;
use jiff::ToSpan;
use jiff::civil::Date;
use movement::Bearing;
use progress::{Done, Prescription, Rung, Session};
use serde::{Deserialize, Serialize};

use crate::bits::{BitReader, BitWriter};
use crate::log::{DAYS_AT_MOST, LogError};
use crate::mark::Mark;
use crate::reed_solomon::{DATA, WORD, protect};

/// The version that is written and read.
pub const VERSION: u64 = 1;
/// The characters: digits and letters without I, L, O and U, which are misheard or misread.
pub const ALPHABET: &[u8; 32] = b"0123456789ABCDEFGHJKMNPQRSTVWXYZ";

/// The last day is counted from the first of the programme up to this; it stands for "or later".
const DAY_AT_MOST: i32 = 63;
/// Sessions are counted up to this; it stands for "or more".
const SESSIONS_AT_MOST: usize = 31;

/// The worst that a leg told in a direction.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Worst {
    /// No pain was told.
    None,
    /// One or two of ten.
    Mild,
    /// Three to five of ten, or it hurt and no number was given.
    Moderate,
    /// Six or more of ten, or left out because it hurt.
    Strong,
}

impl Worst {
    fn of(done: Done) -> Self {
        match done {
            Done::NotDone => Self::None,
            Done::Done { rung: Rung::LeftOut, .. } => Self::Strong,
            Done::Done { pain, .. } => match pain {
                Some(0) => Self::None,
                Some(1..=2) => Self::Mild,
                None | Some(3..=5) => Self::Moderate,
                Some(_) => Self::Strong,
            },
        }
    }

    /// The lower end of its band, of 10; none where no pain was told, which is not pain 0. It hurt without a number
    /// counts as the band that the code puts it in.
    #[must_use]
    pub fn from(self) -> Option<u8> {
        match self {
            Self::None => None,
            Self::Mild => Some(1),
            Self::Moderate => Some(3),
            Self::Strong => Some(6),
        }
    }

    const ALL: [Self; 4] = [Self::None, Self::Mild, Self::Moderate, Self::Strong];
}

/// What a typed code says.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Summary {
    /// The last day on which something was logged.
    pub last: Date,
    /// Whether it may have been later: the code counts 63 days from the first.
    pub or_later: bool,
    /// Sessions in the fourteen days that end on the last, in which anything was done.
    pub sessions: usize,
    /// Whether there may have been more: the code counts to 31.
    pub or_more: bool,
    /// The worst of each leg in each direction in which there was pain.
    pub worst: Vec<(Side, Bearing, Worst)>,
    /// Whether a stop sign ended a session.
    pub stopped: bool,
}

impl Summary {
    /// Whether it tells of pain or of a stop sign.
    #[must_use]
    pub fn tells_of_harm(&self) -> bool {
        self.stopped || self.worst.iter().any(|(_, _, worst)| *worst != Worst::None)
    }

    /// Whether a session of this day may be among those it counts.
    #[must_use]
    pub fn counts(&self, day: Date) -> bool {
        self.last.saturating_sub((DAYS_AT_MOST - 1).days()) <= day && (self.or_later || day <= self.last)
    }
}

/// Sixteen characters for the newest fourteen days of a log, shown in fours.
///
/// # Errors
/// A session that does not belong to the prescription or has a pain above ten.
pub fn encode(mark: Mark, prescription: &Prescription, sessions: &[Session]) -> Result<String, LogError> {
    let last = sessions.iter().map(|session| session.on).max().unwrap_or(prescription.from);
    let since = last.saturating_sub((DAYS_AT_MOST - 1).days());
    let mut worst: BTreeMap<(Side, Bearing), Worst> = BTreeMap::new();
    let (mut count, mut stopped) = (0, false);
    for session in sessions.iter().filter(|session| session.on >= since) {
        crate::log::in_order(prescription, session)?;
        let mut any = false;
        for (cell, done) in &session.cells {
            any |= *done != Done::NotDone;
            let seen = worst.entry((cell.mover, cell.bearing)).or_insert(Worst::None);
            *seen = Worst::of(*done).max(*seen);
        }
        count += usize::from(any);
        stopped |= session.stopped.is_some();
    }
    let day = (last - prescription.from).get_days().clamp(0, DAY_AT_MOST);
    let mut bits = BitWriter::default();
    bits.put(VERSION, 4);
    bits.put(mark.twelve_bits().into(), 12);
    bits.put(u64::from(day.unsigned_abs()), 6);
    bits.put(count.min(SESSIONS_AT_MOST) as u64, 5);
    for side in Side::BOTH {
        for bearing in Bearing::ALL {
            bits.put(worst.get(&(side, bearing)).map_or(0, |worst| *worst as u64), 2);
        }
    }
    bits.put(u64::from(stopped), 1);
    let mut data = [0; DATA];
    for (place, value) in data.iter_mut().zip(bits.groups(5)) {
        *place = value;
    }
    Ok(shown(protect(data)))
}

/// Sixteen values as characters in fours.
pub(crate) fn shown(word: [u8; WORD]) -> String {
    let letter = |value: &u8| ALPHABET.get(usize::from(*value)).map_or('?', |letter| char::from(*letter));
    word.chunks(4).map(|four| four.iter().map(letter).collect::<String>()).collect::<Vec<_>>().join("-")
}

/// The value of a character as people type it: small letters, and those that are easily taken for a digit.
pub(crate) fn value(letter: char) -> Option<u8> {
    let letter = match letter.to_ascii_uppercase() {
        'O' => '0',
        'I' | 'L' => '1',
        other => other,
    };
    ALPHABET.iter().position(|known| char::from(*known) == letter).and_then(|at| u8::try_from(at).ok())
}

/// A right word taken apart as far as that goes without its programme.
#[derive(Debug)]
pub(crate) struct Opened {
    /// Its version.
    pub version: u64,
    /// Twelve bits of the mark.
    pub mark: u16,
    day: u64,
    sessions: u64,
    cells: Vec<usize>,
    stopped: bool,
}

/// Takes sixteen values apart; the checks must have been judged right.
pub(crate) fn open(word: [u8; WORD]) -> Option<Opened> {
    let mut bits = BitReader::new(&word[..DATA], 5);
    let version = bits.take(4)?;
    let mark = u16::try_from(bits.take(12)?).ok()?;
    let (day, sessions) = (bits.take(6)?, bits.take(5)?);
    let cells =
        (0..16).map(|_| bits.take(2).and_then(|two| usize::try_from(two).ok())).collect::<Option<_>>()?;
    Some(Opened { version, mark, day, sessions, cells, stopped: bits.take(1)? == 1 })
}

impl Opened {
    /// What it says of this programme; `None` when it tells pain where the programme has no direction, so that it
    /// cannot be of this programme.
    pub fn summary(&self, prescription: &Prescription) -> Option<Summary> {
        let day = i32::try_from(self.day).ok()?;
        let sessions = usize::try_from(self.sessions).ok()?;
        let places = Side::BOTH.into_iter().flat_map(|side| Bearing::ALL.map(|bearing| (side, bearing)));
        let mut worst = Vec::new();
        for ((side, bearing), state) in places.zip(&self.cells) {
            let state = *Worst::ALL.get(*state)?;
            if state == Worst::None {
                continue;
            }
            if !prescription.cells.iter().any(|cell| cell.mover == side && cell.bearing == bearing) {
                return None;
            }
            worst.push((side, bearing, state));
        }
        Some(Summary {
            last: prescription.from.saturating_add(day.days()),
            or_later: day == DAY_AT_MOST,
            sessions,
            or_more: sessions == SESSIONS_AT_MOST,
            worst,
            stopped: self.stopped,
        })
    }
}
