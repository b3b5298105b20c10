//! The few lengths of a body that rules need.

use anatomy::{PerSide, Side};
use biomech::Body;
use quantity::Length;

/// Lengths of one body.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct BodyMeasures {
    pub(crate) leg_length: PerSide<Length>,
    pub(crate) leg_length_estimated: PerSide<bool>,
    pub(crate) foot_length: f64,
    pub(crate) foot_breadth: f64,
    pub(crate) arm_length: f64,
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
            start: PerSide::from_fn(|side| body.start_foot_centre(side)),
        }
    }

    /// A share of the moving leg's length.
    pub(crate) fn percent_of_leg(&self, side: Side, percent: f64) -> Length {
        self.leg_length.get(side).times(percent / 100.0)
    }
}
