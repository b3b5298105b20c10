//! Arrow 9: from what was logged to the next step, with the reason for each.
//!
//! Two questions are answered apart. About the whole programme ([`Whole`]): may it go on, or does it hold, go back
//! one level, wait for a referral, or stop? About each direction of each limb ([`Step`]): is it shortened, left
//! out, held, or may it go up? A direction may go up only where the whole is free. Nothing here computes a posture:
//! which movement the step leads to is asked of both gates, on the day (`app::adapt_case`).
//!
//! Strict unless a therapist set [`Monitored`]: any new pain counts. The tool never sets it.
//!
//! ```text
//! painless ─► Whole ──hurt──► Shortened ──hurt──► Supported ──hurt──► LeftOut ─► only the therapist
//!     ▲                   │  ▲                │
//!     └── three quiet ────┘  └── three quiet ─┘      never within a week of the pain
//! ```
//!
//! Laws, each a test: a worse log never leads to a harder step; an empty log never leads to progress; a stop sign
//! never opens; the order of the sessions in the slice does not matter; a mirror changes nothing but the side; what
//! is left out never returns by itself.

mod cell;
mod figures;
mod setback;
mod settings;
mod swelling;
mod whole;
mod words;

use jiff::civil::Date;
use quantity::Share;
use serde::Serialize;

use crate::session::{Cell, Prescription, Rung, Session};

pub use figures::{AdaptFigures, adapt_figures};
pub use settings::{
    Carried, Circumstances, Cleared, Effusion, MonitorError, Monitored, Swelling, ToldSign, stop_signs,
};
pub use words::cell_words;

/// What the log means for the whole programme, from least to most.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Whole {
    /// Nothing is done until a clinician has looked.
    Stop,
    /// Nothing goes up, and the surgeon or doctor looks.
    Refer,
    /// All of it goes back one level.
    BackOff,
    /// Nothing goes up.
    Hold,
    /// Nothing stands against a step up.
    Free,
}

/// What the log means for one direction, from least to most.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Step {
    /// Not done until a clinician has looked.
    Stop,
    /// Left out; another direction takes its place.
    LeaveOut,
    /// Shortened twice, slower, with support.
    Halve,
    /// Shortened once.
    Shorten,
    /// As it is.
    Hold,
    /// One variable may go up.
    Progress,
}

/// A rule that spoke, in words.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Reason {
    /// Its identifier, such as `LOG-MORNING`.
    pub rule: &'static str,
    /// A whole sentence.
    pub words: String,
    /// Bibliography key.
    pub source: String,
}

/// A rule that spoke about the whole programme.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct WholeReason {
    /// What it asks for.
    pub means: Whole,
    /// Why.
    #[serde(flatten)]
    pub reason: Reason,
}

/// What the log means for one direction of one limb.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct CellStep {
    /// Which.
    pub cell: Cell,
    /// What to do.
    pub step: Step,
    /// Where it stands on the pain rule now, beside what it was before anything hurt.
    pub rung: Rung,
    /// Sessions in which it was done.
    pub done: usize,
    /// Sessions in which it hurt, so that it counts.
    pub hurt: usize,
    /// What hurt before is quiet again and the whole is free: the therapist may take the notes of it out.
    pub quiet_again: bool,
    /// Why; never empty.
    pub reasons: Vec<Reason>,
}

/// A direction that the therapist may offer again, shorter: left out, or halved and not in this programme.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct OfferAgain {
    /// Which.
    pub direction: Carried,
    /// Why it may be offered; it never returns by itself.
    pub reason: Reason,
}

/// How much of a log there is.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Counted {
    /// Sessions of this programme in which something was done.
    pub sessions: usize,
    /// Days on which something was done.
    pub days: usize,
    /// The last of them.
    pub last: Option<Date>,
    /// Share of the sessions that were asked for; none before it is judged.
    pub practised: Option<Share>,
}

/// What the log means.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Adaptation {
    /// The day it was decided on.
    pub on: Date,
    /// The rule of pain: strict where none was set.
    pub monitored: Option<Monitored>,
    /// How much was logged.
    pub counted: Counted,
    /// About the whole programme: the least that any reason asks for.
    pub whole: Whole,
    /// Every rule that spoke about the whole, the strongest first; empty where nothing stands against a step up.
    pub reasons: Vec<WholeReason>,
    /// Every direction, in the order of the prescription; empty after a stop.
    pub cells: Vec<CellStep>,
    /// Directions that the therapist may offer again.
    pub offer_again: Vec<OfferAgain>,
}

impl Adaptation {
    /// Whether any rule sends the whole programme back one level, even where another says more.
    #[must_use]
    pub fn backs_off(&self) -> bool {
        self.reasons.iter().any(|one| one.means == Whole::BackOff)
    }
}

/// From what was prescribed and logged to what it means today.
///
/// Sessions before the programme, and of directions that are not in it, change nothing; a stop sign counts whatever
/// its day, until a clinician cleared that one. What nobody said (effort, the morning after, a number) never opens.
#[must_use]
pub fn adapt(asked: &Prescription, sessions: &[Session], around: &Circumstances<'_>) -> Adaptation {
    let log = Log::of(asked, sessions, around);
    let counted = whole::counted(&log);
    let mut reasons = whole::reasons(&log, &counted);
    let stops = reasons.iter().any(|one| one.means == Whole::Stop);
    let states: Vec<cell::State> = asked.cells.iter().map(|cell| cell::State::of(&log, *cell)).collect();
    if stops {
        reasons.retain(|one| one.means == Whole::Stop);
    } else {
        reasons.extend(whole::one_thing_at_a_time(&log, &states));
    }
    reasons.sort_by(|a, b| {
        (a.means, a.reason.rule, &a.reason.words).cmp(&(b.means, b.reason.rule, &b.reason.words))
    });
    let whole = reasons.first().map_or(Whole::Free, |one| one.means);
    let cells = if stops { Vec::new() } else { states.into_iter().map(|state| state.step(whole)).collect() };
    let offer_again = if whole < Whole::Hold { Vec::new() } else { whole::offer_again(&log) };
    Adaptation {
        on: around.today,
        monitored: around.monitored.cloned(),
        counted,
        whole,
        reasons,
        cells,
        offer_again,
    }
}

/// The sessions that count, in order, beside what was asked.
struct Log<'a> {
    asked: &'a Prescription,
    around: &'a Circumstances<'a>,
    /// Of this programme, up to today, by day and number.
    sessions: Vec<&'a Session>,
    /// Every session that was given.
    all: Vec<&'a Session>,
}

impl<'a> Log<'a> {
    fn of(asked: &'a Prescription, sessions: &'a [Session], around: &'a Circumstances<'a>) -> Self {
        let mut all: Vec<&Session> = sessions.iter().collect();
        all.sort();
        all.dedup();
        let counts = |session: &&&Session| asked.from <= session.on && session.on <= around.today;
        let sessions = all.iter().filter(counts).copied().collect();
        Self { asked, around, sessions, all }
    }

    /// Pain that was accepted on a day.
    fn monitored(&self, on: Date) -> Option<&Monitored> {
        self.around.monitored.filter(|monitored| monitored.since() <= on)
    }

    /// Days from a day to today.
    fn age(&self, day: Date) -> i32 {
        (self.around.today - day).get_days()
    }

    /// Whether a day is near enough to say something about today.
    fn is_recent(&self, day: Date) -> bool {
        self.age(day) <= adapt_figures().log_counts_days
    }
}
