//! What is proposed: one sentence, the rules behind it, and the changes it would make.

use anatomy::Side;
use movement::{Bearing, Crossing, Family, MovementSpec, Tempo};
use person::HurtAt;
use programme::Programme;
use progress::{Adaptation, Cell, Prescription, Session, Step, Whole};
use serde::Serialize;

use super::{again, back, less, more};
use crate::PersonToday;

/// The one thing that a step up changes, in the order in which it is tried.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Variable {
    /// How often.
    Repetitions,
    /// How far.
    Distance,
    /// How much the hands hold.
    Hands,
    /// How fast.
    Speed,
    /// What is carried.
    Load,
    /// The next level of the ladder.
    Level,
}

impl Variable {
    /// In the order in which they are tried.
    pub const ORDER: [Self; 6] =
        [Self::Repetitions, Self::Distance, Self::Hands, Self::Speed, Self::Load, Self::Level];

    /// The word.
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            Self::Repetitions => "repetitions",
            Self::Distance => "distance",
            Self::Hands => "hands",
            Self::Speed => "speed",
            Self::Load => "load",
            Self::Level => "level",
        }
    }
}

/// One change of case or programme.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[serde(tag = "change", rename_all = "snake_case")]
pub enum Change {
    /// A movement takes the place of another; permitted today.
    Movement {
        /// Place of the exercise, from 0.
        exercise: usize,
        /// As it was.
        was: Box<MovementSpec>,
        /// As it becomes.
        is: Box<MovementSpec>,
    },
    /// A movement comes in.
    In {
        /// Place of the exercise, from 0.
        exercise: usize,
        /// Which.
        is: Box<MovementSpec>,
    },
    /// A movement is taken out, and nothing takes its place.
    Out {
        /// Place of the exercise, from 0.
        exercise: usize,
        /// As it was.
        was: Box<MovementSpec>,
    },
    /// Another number of repetitions.
    Repetitions {
        /// Place of the exercise, from 0.
        exercise: usize,
        /// How many.
        to: u8,
    },
    /// Another pace.
    Pace {
        /// Place of the exercise, from 0.
        exercise: usize,
        /// The pace.
        to: Tempo,
    },
    /// What hurt is written into the findings.
    Hurt {
        /// As the findings keep it.
        entry: HurtAt,
    },
    /// Of the notes of pain that count for a direction only so many are kept, those of the shortest distances.
    Fewer {
        /// The limb.
        mover: Side,
        /// Where to.
        bearing: Bearing,
        /// In which family; none where no note names one.
        family: Option<Family>,
        /// How many.
        keep: usize,
    },
    /// A new programme, no higher than this level of the ladder.
    PlanUpTo {
        /// The level.
        level: u8,
    },
    /// A new programme with what is permitted today.
    PlanAgain,
}

/// One proposal, for a therapist to accept, change or decline.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Proposal {
    /// What a step up changes; absent where it is none.
    pub variable: Option<Variable>,
    /// Which directions.
    pub cells: Vec<Cell>,
    /// What is proposed, in whole sentences.
    pub words: String,
    /// The rules that led to it.
    pub rules: Vec<&'static str>,
    /// Whether only a therapist who offers it can set it off: never part of accepting everything.
    pub only_offered: bool,
    /// What it would change.
    pub changes: Vec<Change>,
}

/// Which way a proposal goes. The order is the order in which a therapist reads them.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Toward {
    /// Less than now.
    Less,
    /// More than now, or a note of pain that goes.
    More,
    /// Back in after it was left out, where a therapist offers it.
    OfferedAgain,
}

impl Proposal {
    /// Which way it goes.
    #[must_use]
    pub fn toward(&self) -> Toward {
        let notes_go = self.changes.iter().any(|one| matches!(one, Change::Fewer { .. }));
        if self.only_offered {
            Toward::OfferedAgain
        } else if self.variable.is_some() || notes_go {
            Toward::More
        } else {
            Toward::Less
        }
    }

    /// Its name among the proposals of one day: the same log, case and programme give the same.
    ///
    /// `less-1-L-0`, `quiet-2-R-90`, `again-R-45-step`, `up-distance`, `level`.
    #[must_use]
    pub fn key(&self) -> String {
        let fewer = self.changes.iter().find_map(|one| match one {
            Change::Fewer { mover, bearing, family, .. } => Some((mover, bearing, family)),
            _ => None,
        });
        match (self.variable, fewer, self.cells.first()) {
            (Some(variable), ..) => format!("up-{}", variable.words()),
            (None, Some((mover, bearing, family)), None) => {
                let family =
                    family.map_or_else(String::new, |family| format!("-{}", family.name().replace(' ', "_")));
                format!("again-{}-{}{family}", mover.letter(), bearing.degrees())
            }
            (None, fewer, Some(cell)) => {
                let crossing = match cell.crossing {
                    Crossing::None => "",
                    Crossing::InFront => "-in_front",
                    Crossing::Behind => "-behind",
                };
                let what = if fewer.is_some() { "quiet" } else { "less" };
                let (mover, to) = (cell.mover.letter(), cell.bearing.degrees());
                format!("{what}-{}-{mover}-{to}{crossing}", cell.exercise)
            }
            (None, None, None) => "level".to_owned(),
        }
    }
}

/// Everything that is proposed today, what was looked for in vain, and what waits for room.
pub(super) struct Proposed {
    pub(super) proposals: Vec<Proposal>,
    pub(super) not_possible: Vec<String>,
    pub(super) waiting: Vec<String>,
}

/// What is proposed today.
pub(super) fn proposals(
    person: &PersonToday<'_>,
    programme: &Programme,
    asked: &Prescription,
    sessions: &[Session],
    adaptation: &Adaptation,
) -> Proposed {
    let mut out = Vec::new();
    let mut in_vain = Vec::new();
    if adaptation.whole == Whole::Stop {
        return Proposed { proposals: out, not_possible: in_vain, waiting: Vec::new() };
    }
    out.extend(back::quiet(person, programme, adaptation));
    let (fewer, hurt) = less::directions(person, programme, sessions, adaptation);
    out.extend(fewer);
    if adaptation.backs_off() {
        out.push(less::one_level(person, programme, adaptation, &hurt));
    }
    let eligible =
        |cell: &Cell| adaptation.cells.iter().any(|one| one.cell == *cell && one.step == Step::Progress);
    if asked.cells.iter().any(eligible) {
        match more::one_step_up(person, programme, adaptation) {
            Ok(up) => out.push(up),
            Err(why) => in_vain = why,
        }
    }
    let (again, waiting) = again::offered_again(person, programme, adaptation);
    out.extend(again);
    Proposed { proposals: out, not_possible: in_vain, waiting }
}
