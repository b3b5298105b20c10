//! Hip and knee contact force in standing beside instrumented joints.

use crate::row::{Row, cannot};
use crate::target::target;

/// Every figure about contact force.
pub(crate) fn rows() -> Vec<Row> {
    ["hip_one_leg_stance_mean", "hip_one_leg_stance_spread", "knee_one_leg_stance", "knee_two_leg_stance"]
        .into_iter()
        .map(|id| cannot(target(id), "the engine computes no contact force yet"))
        .collect()
}
