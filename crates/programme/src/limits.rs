//! What bounds a programme: time, number, clear floor, what is at home, and the day.

use std::collections::BTreeMap;

use jiff::civil::Date;
use movement::{Bearing, Family, MovementSpec, SupportKind};
use person::{Aid, CaseFile, Condition, Known, ShelfLife};
use quantity::{Length, Mass, Share, Span};
use serde::Serialize;

use crate::figures;

/// Clear floor from the centre on one bearing, and how we know it.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
#[serde(rename_all = "snake_case", tag = "known")]
pub enum ClearFloor {
    /// Somebody measured it and the finding is current.
    Measured {
        /// From the centre between the feet to the first obstacle.
        length: Length,
    },
    /// Nobody measured it, or too long ago: no more than a named default is used.
    Assumed {
        /// The default.
        length: Length,
    },
}

impl ClearFloor {
    /// The length that may be used.
    #[must_use]
    pub fn length(self) -> Length {
        match self {
            Self::Measured { length } | Self::Assumed { length } => length,
        }
    }
}

/// The floor a foot takes beyond its middle.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct FootSize {
    /// Heel to toe.
    pub length: Length,
    /// Across the ball.
    pub breadth: Length,
}

/// What bounds a programme.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Limits {
    /// The day it is made for.
    pub for_day: Date,
    /// Longest time for all exercises together.
    pub minutes: Span,
    /// Most exercises, never above three.
    pub exercises: u8,
    /// Most directions on each limb in one exercise, when pain is easily provoked.
    pub directions: Option<u8>,
    /// Most rounds of one exercise, when pain is easily provoked.
    pub rounds: Option<u8>,
    /// Clear floor at home, one for each of the eight bearings.
    pub clear_floor: Vec<(Bearing, ClearFloor)>,
    /// The person's foot.
    pub foot: FootSize,
    /// Supports that are at hand at home.
    pub supports: Vec<SupportKind>,
    /// Hand weights at home, each.
    pub hand_weights: Vec<Mass>,
    /// The longest distance each family is given for home.
    pub longest_of_leg: BTreeMap<Family, Length>,
    /// The longest distance given for home where the legs cross.
    pub longest_crossing: Length,
    /// The longest distance given for home while both hands hold a support.
    pub longest_held: Length,
    /// The largest share of capacity, an estimate, that is given for home.
    pub demand_at_most: Share,
    /// The smallest share of capacity, an estimate, that counts for strength.
    pub demand_at_least: Share,
    /// The last day on which jumps or hops were done; none known.
    pub last_impact: Option<Date>,
    /// What was done and tolerated last time; empty when there was no last time.
    pub tolerated: Vec<MovementSpec>,
    /// Whether the programme is for a person at risk of falling, for whom short bouts are an under-dose.
    pub falls_risk: bool,
}

impl Limits {
    /// The limits of one case on one day. Nothing here permits a movement; it only bounds the choice.
    #[must_use]
    pub fn of(case: &CaseFile, foot: FootSize, leg_length: Length, today: Date) -> Self {
        let figures = figures();
        let life = ShelfLife { days: figures.home_shelf_life_days };
        let clear_floor = Bearing::ALL
            .into_iter()
            .map(|bearing| {
                let floor = match case.home.clear(bearing).on(today, life) {
                    Known::Current(length) => ClearFloor::Measured { length: *length },
                    Known::Stale { .. } | Known::NotAssessed => {
                        ClearFloor::Assumed { length: figures.clear_floor_not_measured }
                    }
                };
                (bearing, floor)
            })
            .collect();
        let mut supports = case.home.equipment.supports.clone();
        let frame = matches!(case.findings.aid, person::Finding::Found { value: Aid::WalkingFrame, .. });
        if frame && !supports.contains(&SupportKind::WalkingFrame) {
            supports.push(SupportKind::WalkingFrame);
        }
        Self {
            for_day: today,
            minutes: case.wishes.minutes.min(figures.minutes_at_most),
            exercises: case.wishes.exercises.min(figures.exercises_at_most),
            directions: None,
            rounds: None,
            clear_floor,
            foot,
            supports,
            hand_weights: case.home.equipment.hand_weights.clone(),
            longest_crossing: leg_length.times(figures.longest_crossing),
            longest_held: leg_length.times(figures.longest_held),
            longest_of_leg: figures.longest_at_home.iter().map(|(f, s)| (*f, leg_length.times(*s))).collect(),
            demand_at_most: Share::of_one(figures.demand_at_most),
            demand_at_least: Share::of_one(figures.demand_at_least),
            last_impact: case.last_programme.last_jumps,
            tolerated: case.last_programme.tolerated.clone(),
            falls_risk: case.findings.conditions.iter().any(|c| matches!(c, Condition::FallsRisk { .. })),
        }
    }

    /// The clear floor on one bearing; a bearing that is not listed has none.
    #[must_use]
    pub fn clear(&self, bearing: Bearing) -> ClearFloor {
        self.clear_floor
            .iter()
            .find(|(b, _)| *b == bearing)
            .map_or(ClearFloor::Assumed { length: Length::ZERO }, |(_, floor)| *floor)
    }
}
