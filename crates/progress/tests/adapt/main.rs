//! Arrow 9: laws of the state machine, and the published rules as vectors.

mod laws;
mod vectors;

use anatomy::Side;
use jiff::ToSpan;
use jiff::civil::{Date, date};
use movement::{Bearing, Crossing, Family};
use progress::{
    Adaptation, Cell, Circumstances, Done, Morning, Prescription, Rung, Session, Step, Swelling, Whole,
};
use safety::Irritability;

pub(crate) const FROM: Date = date(2026, 2, 2);

pub(crate) fn day(after: i64) -> Date {
    FROM.checked_add(after.days()).unwrap()
}

/// Two exercises: both legs forward and back, then the left leg out to three sides.
pub(crate) fn cells() -> Vec<Cell> {
    let cell = |exercise, mover, at: usize, family| Cell {
        exercise,
        mover,
        bearing: Bearing::ALL[at],
        crossing: Crossing::None,
        family,
    };
    vec![
        cell(1, Side::Left, 0, Family::Step),
        cell(1, Side::Left, 4, Family::Step),
        cell(1, Side::Right, 0, Family::Step),
        cell(1, Side::Right, 4, Family::Step),
        cell(2, Side::Left, 6, Family::Reach),
        cell(2, Side::Left, 5, Family::Reach),
    ]
}

pub(crate) fn asked() -> Prescription {
    Prescription { from: FROM, until: day(27), a_day: 1, cells: cells() }
}

pub(crate) const WELL: Done = Done::Done { pain: Some(0), rung: Rung::Whole };

/// A session in which everything was done without pain, and the next morning was the same.
pub(crate) fn good(after: i64) -> Session {
    Session {
        on: day(after),
        nth: 1,
        pain_before: Some(0),
        cells: cells().into_iter().map(|cell| (cell, WELL)).collect(),
        stopped: None,
        effort: Some(4),
        morning: Some(Morning::Same),
    }
}

/// The same session with one direction told otherwise.
pub(crate) fn with(mut session: Session, cell: usize, done: Done) -> Session {
    session.cells[cell].1 = done;
    session
}

pub(crate) fn around(swelling: &Swelling) -> Circumstances<'_> {
    Circumstances {
        today: day(7),
        monitored: None,
        irritability: Irritability::Low,
        swelling,
        carried: &[],
        last_step_up: None,
        cleared: None,
        days_a_week: 7,
    }
}

pub(crate) fn adapted(sessions: &[Session]) -> Adaptation {
    progress::adapt(&asked(), sessions, &around(&Swelling::default()))
}

/// What each direction may do; all stopped after a stop.
pub(crate) fn steps(adaptation: &Adaptation) -> Vec<Step> {
    if adaptation.whole == Whole::Stop {
        return vec![Step::Stop; cells().len()];
    }
    adaptation.cells.iter().map(|one| one.step).collect()
}
