//! What came home: sessions of practice, each direction of each limb of each exercise on its own.

use anatomy::Side;
use jiff::civil::Date;
use movement::{Bearing, Crossing, Family};
use serde::{Deserialize, Serialize};

/// One direction of one limb in one exercise of a programme: what is asked, done and logged as one thing.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
pub struct Cell {
    /// Place of the exercise in the programme, from 1.
    pub exercise: u8,
    /// The limb that moves.
    pub mover: Side,
    /// Where to, seen from above.
    pub bearing: Bearing,
    /// How it crosses.
    pub crossing: Crossing,
    /// The family.
    pub family: Family,
}

/// How a direction was done after the pain rule of the session had its say.
///
/// The order is the order of the rule: further down is less.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Rung {
    /// As it was prescribed.
    Whole,
    /// Shortened once.
    Shortened,
    /// Shortened twice, slower, with support.
    Supported,
    /// Left out for the day because it hurt.
    LeftOut,
}

/// What became of one direction in one session.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Done {
    /// Not reached, or skipped for another reason than pain.
    NotDone,
    /// It was done, as far as the rung says.
    Done {
        /// Worst new or increased pain while doing it, 0 to 10; none where it hurt, or may have hurt because
        /// nobody answered, and no number was given. Never read as no pain.
        pain: Option<u8>,
        /// The last rung of the pain rule that it was done on.
        rung: Rung,
    },
}

impl Done {
    /// Whether it hurt; `None` when it was not done.
    #[must_use]
    pub fn hurt(self) -> Option<bool> {
        match self {
            Self::NotDone => None,
            Self::Done { pain, .. } => Some(pain != Some(0)),
        }
    }
}

/// Pain and stiffness on the morning after, against what is usual for this person.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Morning {
    /// Better.
    Better,
    /// The same.
    Same,
    /// Worse, by so many points of 10; none where no number was given.
    Worse(Option<u8>),
}

/// A sign that ends the day's practice.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum StopSign {
    /// Pain that stays or grows after stopping.
    PainStays,
    /// The joint swells more.
    Swelling,
    /// Wobbled or stepped off more than twice.
    Unsteady,
    /// Dizzy, sick or short of breath.
    Unwell,
    /// A sign to be seen for today.
    SeenToday,
    /// A sign to call the emergency number for.
    Emergency,
}

impl StopSign {
    /// All of them, the lightest first.
    pub const ALL: [Self; 6] =
        [Self::PainStays, Self::Swelling, Self::Unsteady, Self::Unwell, Self::SeenToday, Self::Emergency];

    /// As it is stored and sent.
    #[must_use]
    pub fn key(self) -> &'static str {
        match self {
            Self::PainStays => "pain_stays",
            Self::Swelling => "swelling",
            Self::Unsteady => "unsteady",
            Self::Unwell => "unwell",
            Self::SeenToday => "seen_today",
            Self::Emergency => "emergency",
        }
    }

    /// What was told.
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            Self::PainStays => "pain stayed or grew after stopping",
            Self::Swelling => "the joint swelled more",
            Self::Unsteady => "wobbled or stepped off more than twice",
            Self::Unwell => "dizzy, sick or short of breath",
            Self::SeenToday => "a sign to be seen for the same day",
            Self::Emergency => "a sign to call the emergency number for",
        }
    }

    /// Whether nothing is done until a clinician has looked.
    #[must_use]
    pub fn stops_everything(self) -> bool {
        match self {
            Self::PainStays | Self::Swelling | Self::Unsteady => false,
            Self::Unwell | Self::SeenToday | Self::Emergency => true,
        }
    }
}

/// One session of practice.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
pub struct Session {
    /// The day.
    pub on: Date,
    /// Which session of that day, from 1.
    pub nth: u8,
    /// Pain before it began, 0 to 10; none when not asked.
    pub pain_before: Option<u8>,
    /// What became of each direction; one that is absent was not done.
    pub cells: Vec<(Cell, Done)>,
    /// Why it was ended early.
    pub stopped: Option<StopSign>,
    /// How hard all of it was, 0 to 10; none when not said.
    pub effort: Option<u8>,
    /// The morning after; none when not asked yet.
    pub morning: Option<Morning>,
}

/// What was asked for, as far as a log must know it.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Prescription {
    /// The first day.
    pub from: Date,
    /// The last day it may be used.
    pub until: Date,
    /// Sessions a day.
    pub a_day: u8,
    /// Every direction, in the order in which it is done.
    pub cells: Vec<Cell>,
}
