//! Which movements a row of a table is about.

use anatomy::Side;
use movement::{AnatomicalDirection, Crossing, Family, MovementSpec};
use person::Involved;

use crate::body_measures::BodyMeasures;
use crate::ladder;
use crate::preset::{Leg, Scope};

/// The legs a condition is on.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Legs {
    pub(crate) left: bool,
    pub(crate) right: bool,
}

impl Legs {
    pub(crate) const BOTH: Self = Self { left: true, right: true };

    pub(crate) fn of(involved: Involved) -> Self {
        let on = |side| crate::criteria::concerns(involved, side);
        Self { left: on(Side::Left), right: on(Side::Right) }
    }

    pub(crate) fn only(side: Side) -> Self {
        Self { left: side == Side::Left, right: side == Side::Right }
    }

    pub(crate) fn has(self, side: Side) -> bool {
        match side {
            Side::Left => self.left,
            Side::Right => self.right,
        }
    }
}

/// The leg that is left behind and pushes off: the one that goes backward, or the one that stands
/// while the other goes forward. `None` straight to the side, and where both feet stay.
pub(crate) fn trailing(spec: &MovementSpec) -> Option<Side> {
    use AnatomicalDirection as D;
    if !matches!(spec.family, Family::Step | Family::Lunge | Family::Leap) {
        return None;
    }
    match spec.bearing.named_from(spec.mover) {
        D::Posterior | D::Posterolateral | D::Posteromedial => Some(spec.mover),
        D::Anterior | D::Anterolateral | D::Anteromedial => Some(spec.mover.other()),
        D::Lateral | D::Medial => None,
    }
}

impl Scope {
    /// Whether the direction is one of these. A two-foot jump is named from the leg the row is about,
    /// because its own moving side says nothing.
    fn goes(&self, spec: &MovementSpec, legs: Legs) -> bool {
        let named_from = |side| self.directions.contains(&spec.bearing.named_from(side));
        if spec.family == Family::TwoFootJump {
            Side::BOTH.into_iter().any(|side| legs.has(side) && named_from(side))
        } else {
            named_from(spec.mover)
        }
    }

    /// Whether the row is about this movement of somebody whose condition is on these legs.
    pub(crate) fn includes(&self, spec: &MovementSpec, legs: Legs, body: &BodyMeasures) -> bool {
        // Both legs leave the floor in a two-foot jump, whichever side it is written with.
        let two_feet = spec.family == Family::TwoFootJump;
        let leg = |which: Leg, side: Option<Side>| {
            which == Leg::Either
                || if two_feet { legs.left || legs.right } else { side.is_some_and(|s| legs.has(s)) }
        };
        (self.families.is_empty() || self.families.contains(&spec.family))
            && (self.directions.is_empty() || self.goes(spec, legs))
            && self.crossing.is_none_or(|crossing| crossing == spec.crosses())
            && self.behind.is_none_or(|behind| behind == (spec.crossing == Crossing::Behind))
            && leg(self.mover, Some(spec.mover))
            && leg(self.stance, Some(spec.stance()))
            && (self.trails == Leg::Either || trailing(spec).is_some_and(|side| legs.has(side)))
            && (self.levels.is_empty() || self.levels.contains(&ladder::level(spec)))
            && self.shorter_than_percent_leg_length.is_none_or(|percent| {
                spec.distance.in_m() < body.percent_of_leg(spec.mover, percent).in_m() - 1e-9
            })
    }
}
