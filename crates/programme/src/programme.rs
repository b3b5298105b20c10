//! The programme: exercises, their parts, and why it is what it is.

use anatomy::Side;
use biomech::Demands;
use jiff::civil::Date;
use movement::{Dose, Family, HandHeight, Load, MovementSpec, Place, Support, Tempo};
use quantity::{Length, Span};
use safety::PermittedMovement;
use serde::Serialize;

use crate::{Conflict, InPlace, TaskCovered, Trained, figures, tempo_from};

/// One direction of an exercise on one limb, at the distance that is prescribed.
#[derive(Clone, Debug)]
pub struct ExerciseMovement {
    /// The movement, permitted for the day of the programme, with its computed postures.
    pub permitted: PermittedMovement,
    /// The pace that a therapist chose for the exercise; none leaves the usual one.
    pub chosen: Option<Tempo>,
}

impl ExerciseMovement {
    /// Which movement.
    #[must_use]
    pub fn spec(&self) -> &MovementSpec {
        self.permitted.spec()
    }

    /// How fast: slower than the exercise where the direction hurt before.
    #[must_use]
    pub fn tempo(&self) -> Tempo {
        tempo_from(self.chosen.unwrap_or(figures().tempo), self.permitted.notes())
    }

    /// What it asks: estimates.
    #[must_use]
    pub fn demands(&self) -> &Demands {
        self.permitted.demands()
    }
}

/// What one limb does.
#[derive(Clone, Debug)]
pub struct LimbPart {
    /// The limb that moves.
    pub mover: Side,
    /// In the order in which they are done: clockwise from straight ahead for the right limb,
    /// counter-clockwise for the left, so that both limbs do the same work in the same order.
    pub movements: Vec<ExerciseMovement>,
}

/// On which days an exercise is done.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Days {
    /// Every day.
    Every,
    /// Jumps and hops: never on two days that follow one another.
    Alternate,
    /// Called strength: two or three days a week that do not follow one another.
    TwoOrThreeApart,
}

impl Days {
    /// The most days a week on which it is done: every other day makes four in some weeks.
    #[must_use]
    pub fn most_a_week(self) -> u8 {
        match self {
            Self::Every => 7,
            Self::Alternate => 4,
            Self::TwoOrThreeApart => 3,
        }
    }
}

impl std::fmt::Display for Days {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(match self {
            Self::Every => "every day",
            Self::Alternate => "every other day",
            Self::TwoOrThreeApart => "two or three days a week, never two in a row",
        })
    }
}

/// One exercise: a family with its support, load and depth, the directions of both limbs, and a dose.
#[derive(Clone, Debug)]
pub struct Exercise {
    /// What kind of movement.
    pub family: Family,
    /// What the hands do.
    pub support: Support,
    /// What is held and where it stands.
    pub place: Option<Place>,
    /// What is carried.
    pub load: Load,
    /// How far the pelvis sinks, for a lunge.
    pub depth: Option<Length>,
    /// How low the hand goes, for bend and reach.
    pub hand_height: Option<HandHeight>,
    /// The left limb first, then the right; a limb that may not do it is absent.
    pub limbs: Vec<LimbPart>,
    /// How much.
    pub dose: Dose,
    /// How fast, but for movements that are done slower.
    pub tempo: Tempo,
    /// Time of this exercise with its rests.
    pub minutes: Span,
    /// On which days.
    pub days: Days,
    /// What it trains, the most important for the goals first.
    pub trains: Vec<Trained>,
    /// Two sentences a therapist would say.
    pub why: String,
}

impl Exercise {
    /// Every movement, limb after limb.
    pub fn movements(&self) -> impl Iterator<Item = &ExerciseMovement> {
        self.limbs.iter().flat_map(|limb| &limb.movements)
    }
}

/// A movement that was permitted but is not prescribed, and why.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Dropped {
    /// The movement.
    pub movement: Box<MovementSpec>,
    /// Why, as a whole sentence.
    pub reason: String,
}

/// At most three exercises that fit the time, the floor and what is permitted.
#[derive(Clone, Debug)]
pub struct Programme {
    /// In the order in which they are done.
    pub exercises: Vec<Exercise>,
    /// Time of one session.
    pub minutes: Span,
    /// The day it was made for.
    pub for_day: Date,
    /// Last day it may be used; after that, call before going further.
    pub use_until: Date,
    /// Why this programme, in sentences for the therapist.
    pub why: Vec<String>,
    /// How much of each task among the goals all its movements cover together.
    pub tasks: Vec<TaskCovered>,
    /// What the therapist must know beside it, in sentences.
    pub notes: Vec<String>,
    /// What was permitted and is left out because of the home, with the reason.
    pub dropped: Vec<Dropped>,
    /// Directions that are held because they hurt, with what takes the place of each.
    pub in_place: Vec<InPlace>,
    /// Value of the objective, for comparison between programmes of the same person only.
    pub score: f64,
}

/// Distinct programmes, the best first. Distinct: some family is in one and not in the other, or the
/// same family is held in one and free in the other. The same exercise with or without weights is a
/// step up or back and not another programme.
#[derive(Clone, Debug)]
pub struct Offer {
    /// One to three.
    pub programmes: Vec<Proposal>,
    /// Whether the order is proven.
    pub proof: Proof,
    /// Nodes of the search that were looked at.
    pub nodes: usize,
    /// Which wishes could be dropped, when no programme serves all of them.
    pub conflict: Option<Conflict>,
}

/// One programme among others.
#[derive(Clone, Debug)]
pub struct Proposal {
    /// The programme.
    pub programme: Programme,
    /// What it gives every goal, in the order of the goals with a weight above zero: the sum of the
    /// objective without the weight.
    pub gives: Vec<f64>,
    /// What is gained and lost by taking it instead of the others, as whole sentences.
    pub trades: String,
}

/// Whether the search came to its end.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Proof {
    /// No programme is better than the first, and none that is distinct is missing between the others.
    Proven,
    /// The search stopped at its budget.
    Stopped {
        /// No programme has a higher value than this.
        none_better_than: f64,
        /// How much better than the first it could be at most.
        gap: f64,
    },
}

/// No exercise can be offered, and what is missing for one.
#[derive(Clone, Debug, PartialEq, Serialize, thiserror::Error)]
#[error("no programme: {}", .missing.join("; "))]
pub struct NoProgramme {
    /// What stands in the way, in whole sentences.
    pub missing: Vec<String>,
}
