//! Invented problems of any size, for benches and for comparison with a general solver.
//!
//! Nobody's movements: what each gives is a smooth function of family, direction and load with some
//! chance on top, so that choices compete as computed ones do.

use anatomy::{MuscleGroup, PerSide, Side};
use jiff::civil::Date;
use movement::{AnatomicalDirection, Bearing, Crossing, Family, Load, MovementSpec};
use person::{GoalKind, Wishes};
use quantity::{Length, Mass, Share, Span};
use serde::Serialize;

use crate::choose::{Found, choose};
use crate::facts::Facts;
use crate::option::{Choice, groups};
use crate::plan::{all_choices, terms};
use crate::{ClearFloor, Figures, FootSize, Limits, figures};

const FAMILIES: [Family; 7] = [
    Family::Reach,
    Family::Step,
    Family::Lunge,
    Family::BendAndReach,
    Family::Leap,
    Family::TwoFootJump,
    Family::Hop,
];

/// Goals of an invented problem, unless said.
const GOALS: usize = 4;

const WEIGHTS: [f64; 10] = [1.0, 0.7, 1.3, 0.5, 0.9, 0.6, 1.1, 0.8, 0.4, 1.2];

/// An invented problem.
#[derive(Clone, Debug)]
pub struct Trial {
    kinds: Vec<GoalKind>,
    facts: Vec<Facts>,
    limits: Limits,
    wishes: Wishes,
}

/// What came of it.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct TrialAnswer {
    /// Values of the best distinct programmes, the best first.
    pub values: Vec<f64>,
    /// Their times, seconds.
    pub seconds: Vec<f64>,
    /// Whether that is proven.
    pub proven: bool,
    /// Nodes of the search.
    pub nodes: usize,
    /// Ways to make an exercise that the search chose from.
    pub choices: usize,
}

/// One way to make an exercise, as a general solver needs it.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct TrialChoice {
    /// At most one of a family is chosen.
    pub family: Family,
    /// Its time.
    pub seconds: f64,
    /// By goal.
    pub gains: Vec<f64>,
}

/// The terms, as a general solver needs them.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct TrialTerms {
    /// By goal.
    pub weights: Vec<f64>,
    /// How much the second exercise for the same goal counts.
    pub again: f64,
    /// Between two exercises, seconds.
    pub change_s: f64,
    /// For all together, seconds.
    pub time_s: f64,
    /// Most exercises.
    pub most: usize,
}

/// A small linear congruential generator: the same invented problems on every run.
pub(crate) struct Dice(pub u64);

impl Dice {
    /// The next number from 0 to 1, 1 excluded.
    pub fn unit(&mut self) -> f64 {
        self.0 = self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        #[allow(clippy::cast_precision_loss)]
        let x = (self.0 >> 40) as f64 / (1_u64 << 24) as f64;
        x
    }
}

fn kinds(goals: usize) -> Vec<GoalKind> {
    let strength = |group| GoalKind::Strength { group };
    let control = |direction| GoalKind::Control { direction };
    let mut kinds = vec![
        strength(MuscleGroup::KneeExtensors),
        strength(MuscleGroup::HipAbductors),
        control(AnatomicalDirection::Lateral),
        GoalKind::Balance,
        strength(MuscleGroup::HipExtensors),
        control(AnatomicalDirection::Posterior),
        strength(MuscleGroup::AnklePlantarflexors),
        control(AnatomicalDirection::Anterior),
        strength(MuscleGroup::HipAdductors),
        control(AnatomicalDirection::Anteromedial),
    ];
    kinds.truncate(goals);
    kinds
}

impl Trial {
    /// As many invented movements; the same seed gives the same ones.
    #[must_use]
    pub fn invented(seed: u64, movements: usize) -> Self {
        Self::with_goals(seed, movements, GOALS)
    }

    /// As [`Trial::invented`], with this many goals, ten at most.
    #[must_use]
    #[allow(clippy::cast_precision_loss)] // small counts
    pub fn with_goals(seed: u64, movements: usize, goals: usize) -> Self {
        let kinds = kinds(goals.clamp(1, WEIGHTS.len()));
        let mut dice = Dice(seed);
        let mut facts = Vec::with_capacity(movements);
        let mut exercise = 0_usize;
        while facts.len() < movements {
            let family = FAMILIES[exercise % FAMILIES.len()];
            let variant = (exercise / FAMILIES.len()) as f64;
            exercise += 1;
            let phases: Vec<(f64, f64, f64)> = (0..kinds.len())
                .map(|_| (dice.unit() * 360.0, 0.05 + 0.3 * dice.unit(), 0.2 * dice.unit()))
                .collect();
            for mover in Side::BOTH {
                for (at, bearing) in Bearing::ALL.into_iter().enumerate() {
                    if facts.len() == movements {
                        break;
                    }
                    let along = at as f64 * 45.0 * mover.sign();
                    let gives = phases
                        .iter()
                        .map(|(phase, size, floor)| {
                            let smooth = floor + size * (along - phase).to_radians().cos().max(0.0);
                            PerSide::from_fn(|_| (smooth * (0.8 + 0.4 * dice.unit())).clamp(0.0, 1.0))
                        })
                        .collect();
                    let spec = spec(family, mover, bearing, variant);
                    facts.push(Facts { spec, level: 2, seconds: 6.0, gives });
                }
            }
        }
        Self { kinds, facts, limits: limits(), wishes: wishes() }
    }

    /// From movements to the best distinct programmes.
    #[must_use]
    pub fn answer(&self, wanted: usize) -> TrialAnswer {
        let (found, choices) = self.found(wanted, figures());
        TrialAnswer {
            values: found.best.iter().map(|b| b.score).collect(),
            seconds: found.best.iter().map(|b| b.seconds).collect(),
            proven: found.proven,
            nodes: found.nodes,
            choices,
        }
    }

    fn found(&self, wanted: usize, figures: &Figures) -> (Found, usize) {
        let all = self.all(figures);
        let found =
            choose(&all, terms(&WEIGHTS[..self.kinds.len()], &self.wishes, &self.limits, figures, wanted));
        (found, all.len())
    }

    fn all(&self, figures: &Figures) -> Vec<Choice> {
        all_choices(&groups(&self.facts), &self.facts, &self.kinds, &self.limits, figures)
    }

    /// What the search chooses from.
    #[must_use]
    pub fn choices(&self) -> Vec<TrialChoice> {
        let plain = |c: Choice| TrialChoice { family: c.kind.family, seconds: c.seconds, gains: c.gains };
        self.all(figures()).into_iter().map(plain).collect()
    }

    /// The terms.
    #[must_use]
    pub fn terms(&self) -> TrialTerms {
        let terms = terms(&WEIGHTS[..self.kinds.len()], &self.wishes, &self.limits, figures(), 1);
        TrialTerms {
            weights: terms.weights.to_vec(),
            again: terms.again,
            change_s: terms.change_s,
            time_s: terms.time_s,
            most: terms.most,
        }
    }
}

fn spec(family: Family, mover: Side, bearing: Bearing, variant: f64) -> MovementSpec {
    MovementSpec {
        load: Load::HandWeights { each: Mass::kg(0.01 * variant) },
        ..MovementSpec::bare(family, mover, bearing, Crossing::ways(bearing, mover)[0], Length::cm(40.0))
    }
}

fn limits() -> Limits {
    let length = Length::cm(90.0);
    Limits {
        for_day: Date::constant(2030, 5, 6),
        minutes: Span::min_(5.0),
        exercises: 3,
        directions: None,
        rounds: None,
        clear_floor: Bearing::ALL.map(|b| (b, ClearFloor::Measured { length })).to_vec(),
        foot: FootSize { length: Length::cm(26.0), breadth: Length::cm(10.0) },
        supports: Vec::new(),
        hand_weights: Vec::new(),
        longest_of_leg: FAMILIES.map(|f| (f, Length::cm(500.0))).into(),
        longest_crossing: Length::cm(500.0),
        longest_held: Length::cm(500.0),
        demand_at_most: Share::of_one(1.0),
        demand_at_least: quantity::Share::ZERO,
        last_impact: None,
        tolerated: Vec::new(),
        falls_risk: false,
    }
}

fn wishes() -> Wishes {
    Wishes { activities: Vec::new(), goals: Vec::new(), minutes: Span::min_(5.0), per_day: 1, exercises: 3 }
}
