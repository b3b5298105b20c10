//! One log of practice as it is stored: what was done on a day, what hurt, and how we know.
//!
//! It holds a whole [`progress::Session`] and what a session does not know: the source, the programme, a
//! remark, distances. Every field that came later has a default, so that the oldest log still reads.

use anatomy::Side;
use exchange::{Mark, typed};
use jiff::civil::Date;
use movement::{Bearing, Crossing, Family};
use progress::{Cell, Morning, Rung, Session, StopSign};
use serde::{Deserialize, Serialize};

/// One log: what was done on a day and what hurt.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct PracticeRecord {
    /// The day it was done; of a summary, the last day with a session.
    pub on: Date,
    /// How we know.
    pub source: LogSource,
    /// Pain before it began, 0 to 10; none when not asked.
    #[serde(default)]
    pub pain_before: Option<u8>,
    /// What was done.
    pub items: Vec<PracticeItem>,
    /// A remark in the person's words.
    #[serde(default)]
    pub remark: String,
    /// Which session of its day, from 1; none where nobody counted.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub nth: Option<u8>,
    /// Why it was ended early; none where it was not, or nobody asked.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub stopped: Option<StopSign>,
    /// How hard all of it was, 0 to 10; none when not said.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub effort: Option<u8>,
    /// The morning after; none when not asked yet.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub morning: Option<Morning>,
    /// The mark of the programme it is of, as the practice page has it; none where nobody said.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub programme: Option<Mark>,
    /// What a typed code told: a summary of fourteen days and no single session.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub summary: Option<typed::Summary>,
}

impl PracticeRecord {
    /// A log of which nothing is known but its day and how we know.
    #[must_use]
    pub fn bare(on: Date, source: LogSource) -> Self {
        Self {
            on,
            source,
            pain_before: None,
            items: Vec::new(),
            remark: String::new(),
            nth: None,
            stopped: None,
            effort: None,
            morning: None,
            programme: None,
            summary: None,
        }
    }

    /// A session as a log. Nothing of it is lost: [`PracticeRecord::session`] gives the same session back.
    #[must_use]
    pub fn of_session(session: &Session, source: LogSource, programme: Option<Mark>) -> Self {
        Self {
            pain_before: session.pain_before,
            items: session.cells.iter().map(|(cell, done)| PracticeItem::of(*cell, *done)).collect(),
            nth: Some(session.nth),
            stopped: session.stopped,
            effort: session.effort,
            morning: session.morning,
            programme,
            ..Self::bare(session.on, source)
        }
    }

    /// What a typed code told, as a log.
    #[must_use]
    pub fn of_summary(summary: typed::Summary, source: LogSource, programme: Mark) -> Self {
        let bare = Self::bare(summary.last, source);
        Self { programme: Some(programme), summary: Some(summary), ..bare }
    }

    /// The session it holds; none in a remark or a summary, which tell no single session. Pain
    /// before it began is one: the rules look at it.
    ///
    /// Where nobody counted the sessions of that day it is called the first. A direction of which neither pain
    /// nor a rung was said is left away: it counts neither as painless nor as painful.
    #[must_use]
    pub fn session(&self) -> Option<Session> {
        let tells = !self.items.is_empty()
            || self.nth.is_some()
            || self.pain_before.is_some()
            || self.stopped.is_some()
            || self.effort.is_some()
            || self.morning.is_some();
        tells.then(|| Session {
            on: self.on,
            nth: self.nth.unwrap_or(1),
            pain_before: self.pain_before,
            cells: self.items.iter().filter_map(PracticeItem::told).collect(),
            stopped: self.stopped,
            effort: self.effort,
            morning: self.morning,
        })
    }

    /// The worst pain in it; none where no number was said. Of a summary, the lower end of the worst band.
    #[must_use]
    pub fn worst_pain(&self) -> Option<u8> {
        let told = self.items.iter().filter_map(|item| item.pain).max();
        let bands = self.summary.iter().flat_map(|summary| &summary.worst);
        told.max(bands.filter_map(|(_, _, worst)| worst.from()).max())
    }
}

/// How we know of a log.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum LogSource {
    /// Taught and seen in the room.
    Taught,
    /// The page on the person's own device.
    Page,
    /// A file that was brought or sent.
    File,
    /// A short code, typed from the person's own device.
    Typed,
    /// The grid on paper.
    Paper,
    /// A telephone call.
    Telephone,
    /// Told at the visit.
    Told,
}

impl LogSource {
    /// All of them, in the order of a form.
    pub const ALL: [Self; 7] =
        [Self::Told, Self::Paper, Self::Telephone, Self::Page, Self::File, Self::Typed, Self::Taught];

    /// In words.
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            Self::Taught => "taught in the room",
            Self::Page => "from the practice page",
            Self::File => "from a file",
            Self::Typed => "from a typed code",
            Self::Paper => "from paper",
            Self::Telephone => "by telephone",
            Self::Told => "told at the visit",
        }
    }

    /// The word that a form sends.
    #[must_use]
    pub fn key(self) -> &'static str {
        match self {
            Self::Taught => "taught",
            Self::Page => "page",
            Self::File => "file",
            Self::Typed => "typed",
            Self::Paper => "paper",
            Self::Telephone => "telephone",
            Self::Told => "told",
        }
    }
}

/// Whether one direction of an exercise was done.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Done {
    /// Done as asked.
    Done,
    /// Done in part.
    InPart,
    /// Left out: because it hurt where its rung says so, else nobody said why.
    LeftOut,
    /// Not reached, or skipped for another reason than pain.
    NotDone,
}

impl Done {
    /// In words.
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            Self::Done => "done",
            Self::InPart => "done in part",
            Self::LeftOut => "left out",
            Self::NotDone => "not done",
        }
    }
}

/// One direction of one leg in a log.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct PracticeItem {
    /// Place of the exercise in the programme, from 1.
    pub exercise: u8,
    /// The family.
    pub family: Family,
    /// The limb that moved.
    pub mover: Side,
    /// Where to.
    pub bearing: Bearing,
    /// How it crossed.
    #[serde(default = "not_crossing")]
    pub crossing: Crossing,
    /// How far, centimetres, as it was prescribed.
    #[serde(default)]
    pub distance_cm: Option<f64>,
    /// Whether it was done.
    pub done: Done,
    /// Worst pain while doing it, 0 to 10. None when not said; with a rung it hurt, or may have hurt, and no
    /// number was given. Never read as no pain.
    #[serde(default)]
    pub pain: Option<u8>,
    /// The last rung of the pain rule that it was done on; none where nobody said, and where it was not done.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub rung: Option<Rung>,
    /// Whether it was back to its level by the next morning; none when not asked.
    #[serde(default)]
    pub settled: Option<bool>,
}

impl PracticeItem {
    /// What became of one direction, as it is stored.
    #[must_use]
    pub fn of(cell: Cell, done: progress::Done) -> Self {
        let (done, pain, rung) = match done {
            progress::Done::NotDone => (Done::NotDone, None, None),
            progress::Done::Done { pain, rung } => {
                let done = match rung {
                    Rung::Whole => Done::Done,
                    Rung::Shortened | Rung::Supported => Done::InPart,
                    Rung::LeftOut => Done::LeftOut,
                };
                (done, pain, Some(rung))
            }
        };
        let Cell { exercise, mover, bearing, crossing, family } = cell;
        Self {
            exercise,
            family,
            mover,
            bearing,
            crossing,
            distance_cm: None,
            done,
            pain,
            rung,
            settled: None,
        }
    }

    /// The direction.
    #[must_use]
    pub fn cell(&self) -> Cell {
        let Self { exercise, mover, bearing, crossing, family, .. } = *self;
        Cell { exercise, mover, bearing, crossing, family }
    }

    /// Whether it hurt, with a number or without; `None` when it was not done, or nobody said.
    pub(crate) fn hurt(&self) -> Option<bool> {
        self.told()?.1.hurt()
    }

    /// What became of it; none where nobody said whether it hurt.
    ///
    /// Without a rung, what was done in part counts as shortened and what was left out as not done: nobody said
    /// that it was because of pain.
    fn told(&self) -> Option<(Cell, progress::Done)> {
        let done = match (self.done, self.rung, self.pain) {
            (Done::NotDone, ..) | (Done::LeftOut, None, _) => progress::Done::NotDone,
            (_, Some(rung), pain) => progress::Done::Done { pain, rung },
            (Done::InPart, None, Some(pain)) => {
                progress::Done::Done { pain: Some(pain), rung: Rung::Shortened }
            }
            (Done::Done, None, Some(pain)) => progress::Done::Done { pain: Some(pain), rung: Rung::Whole },
            (Done::InPart | Done::Done, None, None) => return None,
        };
        Some((self.cell(), done))
    }
}

pub(crate) fn not_crossing() -> Crossing {
    Crossing::None
}
