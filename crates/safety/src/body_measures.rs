//! The few lengths of a body that rules need.

use anatomy::{Joint, JointMotion, PerSide, Side};
use biomech::Body;
use quantity::{Angle, Length};

/// Lengths of one body.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct BodyMeasures {
    pub(crate) leg_length: PerSide<Length>,
    pub(crate) leg_length_estimated: PerSide<bool>,
    pub(crate) foot_length: f64,
    pub(crate) foot_breadth: f64,
    pub(crate) arm_length: f64,
    /// End of each range of motion, where one is known.
    pub(crate) ranges: Vec<(Side, JointMotion, Angle)>,
    /// Forward and right of the centre, metres.
    pub(crate) start: PerSide<[f64; 2]>,
}

impl BodyMeasures {
    pub(crate) fn of(body: &Body) -> Self {
        Self {
            leg_length: PerSide::from_fn(|side| body.leg_length(side)),
            leg_length_estimated: PerSide::from_fn(|side| body.leg_length_is_estimated(side)),
            foot_length: body.foot_length().in_m(),
            foot_breadth: body.foot_breadth().in_m(),
            arm_length: body.arm_length().in_m(),
            ranges: Side::BOTH
                .into_iter()
                .flat_map(|side| JointMotion::all().map(move |motion| (side, motion)))
                .filter(|(_, motion)| motion.coordinate.joint() != Joint::Lumbar)
                .map(|(side, motion)| (side, motion, body.range_of(side, motion)))
                .collect(),
            start: PerSide::from_fn(|side| body.start_foot_centre(side)),
        }
    }

    /// The end of one range, where it is known.
    pub(crate) fn range_of(&self, side: Side, motion: JointMotion) -> Option<Angle> {
        self.ranges.iter().find(|(s, m, _)| (*s, *m) == (side, motion)).map(|(_, _, end)| *end)
    }

    /// A share of the moving leg's length.
    pub(crate) fn percent_of_leg(&self, side: Side, percent: f64) -> Length {
        self.leg_length.get(side).times(percent / 100.0)
    }
}
