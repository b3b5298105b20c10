//! What is expected of a session of practice, so that the expected costs few bits.
//!
//! The same walk writes and reads ([`Coder`]). Two ways: *flat*, where each cell is one number of 49 (not done, or
//! twelve answers about pain times four rungs), all alike likely, which is mixed radix; and *learning*, where
//! tables learn while they are used and what happened to the same direction last time says which table. All
//! counts below are choices of our own, made on simulated logs other than those that are reported; a wrong
//! expectation costs length, never truth.

use jiff::civil::Date;
use progress::{Cell, Done, Morning, Rung, Session, StopSign};

use crate::arithmetic::{Coder, Table};

/// How cells are written.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Way {
    /// All states alike likely.
    Flat,
    /// Tables that learn.
    Learning,
}

/// Days that a later session may lie after the one before.
pub const GAP_AT_MOST: i32 = 134;
/// Directions that a programme may have.
pub const CELLS_AT_MOST: usize = 255;
/// The largest answer about pain or effort.
pub const WORST: u8 = 10;

/// A session as numbers: what the model writes.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Plain {
    /// Days after the session before; of the first, after the first day of the code.
    pub gap: usize,
    /// Which session of its day, from 1.
    pub nth: usize,
    /// Pain before: 0 to 10, 11 not said.
    pub before: usize,
    /// Effort: 0 to 10, 11 not said.
    pub effort: usize,
    /// The morning after: 0 not asked, 1 better, 2 same, 3 worse without number, 4 to 14 worse by 0 to 10.
    pub morning: usize,
    /// Stop sign: 0 none, 1 to 6.
    pub stopped: usize,
    /// Each cell: `None` not done, else pain (0 to 10, 11 without number) and rung (0 to 3).
    pub cells: Vec<Option<(usize, usize)>>,
}

const SIGNS: [StopSign; 6] = [
    StopSign::PainStays,
    StopSign::Swelling,
    StopSign::Unsteady,
    StopSign::Unwell,
    StopSign::SeenToday,
    StopSign::Emergency,
];
const RUNGS: [Rung; 4] = [Rung::Whole, Rung::Shortened, Rung::Supported, Rung::LeftOut];

fn answer(value: Option<u8>) -> usize {
    usize::from(value.unwrap_or(WORST + 1))
}

fn answered(value: usize) -> Option<u8> {
    u8::try_from(value).ok().filter(|value| *value <= WORST)
}

fn place<T: PartialEq>(list: &[T], of: &T) -> usize {
    list.iter().position(|one| one == of).unwrap_or(0)
}

impl Plain {
    /// A session whose cells are already in the order of the prescription.
    pub fn of(session: &Session, gap: usize, cells: &[Done]) -> Self {
        Self {
            gap,
            nth: usize::from(session.nth),
            before: answer(session.pain_before),
            effort: answer(session.effort),
            morning: match session.morning {
                None => 0,
                Some(Morning::Better) => 1,
                Some(Morning::Same) => 2,
                Some(Morning::Worse(None)) => 3,
                Some(Morning::Worse(Some(points))) => 4 + usize::from(points),
            },
            stopped: session.stopped.map_or(0, |sign| 1 + place(&SIGNS, &sign)),
            cells: cells
                .iter()
                .map(|done| match done {
                    Done::NotDone => None,
                    Done::Done { pain, rung } => Some((answer(*pain), place(&RUNGS, rung))),
                })
                .collect(),
        }
    }

    /// The session it is, on a day; every direction of the prescription stands in it, in its order.
    pub fn session(&self, on: Date, of: &[Cell]) -> Option<Session> {
        let morning = match self.morning {
            0 => None,
            1 => Some(Morning::Better),
            2 => Some(Morning::Same),
            3 => Some(Morning::Worse(None)),
            worse => Some(Morning::Worse(u8::try_from(worse - 4).ok())),
        };
        let done = |cell: &Option<(usize, usize)>| match cell {
            None => Done::NotDone,
            Some((pain, rung)) => {
                Done::Done { pain: answered(*pain), rung: RUNGS.get(*rung).copied().unwrap_or(Rung::LeftOut) }
            }
        };
        Some(Session {
            on,
            nth: u8::try_from(self.nth).ok()?,
            pain_before: answered(self.before),
            cells: of.iter().copied().zip(self.cells.iter().map(done)).collect(),
            stopped: self.stopped.checked_sub(1).and_then(|at| SIGNS.get(at)).copied(),
            effort: answered(self.effort),
            morning,
        })
    }
}

/// What is remembered of one direction between sessions.
#[derive(Clone, Copy, Debug)]
struct Last {
    /// 0 never met, 1 not done last time, 2 done last time.
    done: usize,
    /// Class of its pain when it was last done: 0 never done, 1 none, 2 one or two, 3 three to five, 4 six or more,
    /// 5 hurt without number.
    pain: usize,
    /// Its rung when it was last done.
    rung: usize,
}

/// The class of an answer about pain.
fn class(pain: usize) -> usize {
    match pain {
        0 => 1,
        1..=2 => 2,
        3..=5 => 3,
        6..=10 => 4,
        _ => 5,
    }
}

/// Not done and done. After a cell that was done, after one that was not, at the beginning; each when this one was
/// never met, not done last time, done last time.
const DONE: [[u32; 2]; 9] = [[2, 34], [8, 8], [2, 40], [16, 4], [40, 2], [10, 6], [1, 12], [4, 6], [1, 16]];

/// No pain and pain. Never done before, no pain last time, pain last time; each on the whole movement or a reduced one.
const HURT: [[u32; 2]; 6] = [[14, 2], [14, 2], [40, 2], [16, 6], [4, 10], [4, 10]];

/// Pain 1 to 10 and pain without number, by the class of last time ([`Last::pain`]).
const PAIN: [[u32; 11]; 6] = [
    [4, 6, 6, 4, 3, 2, 1, 1, 1, 1, 4],
    [4, 6, 6, 4, 3, 2, 1, 1, 1, 1, 4],
    [8, 8, 4, 2, 1, 1, 1, 1, 1, 1, 2],
    [2, 4, 8, 8, 6, 3, 1, 1, 1, 1, 2],
    [1, 1, 2, 3, 5, 6, 6, 4, 2, 2, 2],
    [1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 24],
];

/// All tables, and what each direction did last.
#[derive(Debug)]
pub struct Model {
    way: Way,
    gap: Table,
    wide: Table,
    nth: Table,
    before: Table,
    effort: Table,
    morning: Table,
    stopped: Table,
    flat: Table,
    done: Vec<Table>,
    hurt: Vec<Table>,
    pain: Vec<Table>,
    rung: Vec<Table>,
    last: Vec<Last>,
}

/// The gap or place that says that a wide number follows.
const WIDE_GAP: usize = 7;
const WIDE_NTH: usize = 3;

impl Model {
    /// Before the first session.
    pub fn new(way: Way, cells: usize) -> Self {
        let answers = |size: usize| match way {
            Way::Flat => Table::flat(size),
            Way::Learning => Table::learning(&vec![2; size], 8),
        };
        let with = |counts: &[u32], step: u32| match way {
            Way::Flat => Table::flat(counts.len()),
            Way::Learning => Table::learning(counts, step),
        };
        let mut rung = Vec::new();
        for hurts in [false, true] {
            for last in 0..RUNGS.len() {
                let mut counts = [1; 4];
                counts[last] += if hurts { 4 } else { 16 };
                if hurts && last + 1 < RUNGS.len() {
                    counts[last + 1] += 6;
                }
                rung.push(with(&counts, 12));
            }
        }
        Self {
            way,
            gap: with(&[12, 12, 2, 1, 1, 1, 1, 1], 16),
            wide: Table::flat(128),
            nth: with(&[12, 10, 1, 1], 16),
            before: answers(12),
            effort: answers(12),
            morning: with(&[6, 4, 8, 2, 1, 2, 2, 2, 1, 1, 1, 1, 1, 1, 1], 12),
            stopped: with(&[40, 1, 1, 1, 1, 1, 1], 20),
            flat: Table::flat(49),
            done: DONE.iter().map(|counts| with(counts, 20)).collect(),
            hurt: HURT.iter().map(|counts| with(counts, 20)).collect(),
            pain: PAIN.iter().map(|counts| with(counts, 10)).collect(),
            rung,
            last: vec![Last { done: 0, pain: 0, rung: 0 }; cells],
        }
    }

    /// Writes one session, or reads one: then what is passed only says how many cells there are.
    pub fn session(&mut self, coder: &mut impl Coder, given: &Plain) -> Plain {
        let gap = wide_number(coder, given.gap, WIDE_GAP, (&mut self.gap, &mut self.wide));
        let nth =
            wide_number(coder, given.nth.saturating_sub(1), WIDE_NTH, (&mut self.nth, &mut self.wide)) + 1;
        let before = coder.code(given.before, &mut self.before);
        let mut cells = Vec::with_capacity(given.cells.len());
        let mut before_it = 2;
        for (at, cell) in given.cells.iter().enumerate() {
            let cell = match self.way {
                Way::Flat => self.flat_cell(coder, *cell),
                Way::Learning => self.learnt_cell(coder, at, *cell, before_it),
            };
            before_it = usize::from(cell.is_none());
            cells.push(cell);
        }
        let stopped = coder.code(given.stopped, &mut self.stopped);
        let effort = coder.code(given.effort, &mut self.effort);
        let morning = coder.code(given.morning, &mut self.morning);
        Plain { gap, nth, before, effort, morning, stopped, cells }
    }

    fn flat_cell(&mut self, coder: &mut impl Coder, cell: Option<(usize, usize)>) -> Option<(usize, usize)> {
        let state = cell.map_or(0, |(pain, rung)| 1 + pain * 4 + rung);
        coder.code(state, &mut self.flat).checked_sub(1).map(|state| (state / 4, state % 4))
    }

    fn learnt_cell(
        &mut self,
        coder: &mut impl Coder,
        at: usize,
        cell: Option<(usize, usize)>,
        before_it: usize,
    ) -> Option<(usize, usize)> {
        let last = self.last[at];
        let done = coder.code(usize::from(cell.is_some()), &mut self.done[before_it * 3 + last.done]);
        self.last[at].done = 1 + done;
        if done == 0 {
            return None;
        }
        let (pain, rung) = cell.unwrap_or_default();
        let reduced = usize::from(last.rung > 0 && last.rung < 3);
        let hurt_table = match last.pain {
            0 => reduced,
            1 => 2 + reduced,
            _ => 4 + reduced,
        };
        let hurts = coder.code(usize::from(pain > 0), &mut self.hurt[hurt_table]);
        let pain = match hurts {
            0 => 0,
            _ => 1 + coder.code(pain.saturating_sub(1), &mut self.pain[last.pain]),
        };
        let rung = coder.code(rung, &mut self.rung[hurts * 4 + last.rung]);
        self.last[at] = Last { done: 2, pain: class(pain), rung };
        Some((pain, rung))
    }
}

/// A small number as itself, a larger one as the sign for it and what is above.
fn wide_number(coder: &mut impl Coder, value: usize, sign: usize, tables: (&mut Table, &mut Table)) -> usize {
    match coder.code(value.min(sign), tables.0) {
        small if small < sign => small,
        _ => sign + coder.code(value.saturating_sub(sign), tables.1),
    }
}
