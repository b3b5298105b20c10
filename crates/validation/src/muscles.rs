//! Muscle paths and the sharing of a moment beside independent computations.

use biomech::muscle::check::{arm_errors, lines_half_hip_spacing, stance_on_lines};

use crate::mechanics::iglic;
use crate::row::{Row, compared};
use crate::target::{number, target};

/// Every figure about muscles.
pub(crate) fn rows() -> Vec<Row> {
    let arms = arm_errors();
    let weight = number("stance", "body_weight");
    // The body without the standing leg hangs on the lever of the worked example.
    let supported = (1.0 - number("iglic", "leg_weight")) * weight;
    let stance = stance_on_lines(supported, iglic() * lines_half_hip_spacing());
    let percent = |force: [f64; 3]| force.iter().map(|f| f * f).sum::<f64>().sqrt() / weight * 100.0;
    vec![
        compared(target("arms_mean"), arms.mean_mm),
        compared(target("arms_worst"), arms.worst_mm),
        compared(target("lines_stance_forward"), stance.squares[0]),
        compared(target("lines_stance_up"), stance.squares[1]),
        compared(target("lines_stance_inward"), stance.squares[2]),
        compared(target("lines_stance_percent"), percent(stance.squares)),
        compared(target("lines_stance_cubes"), percent(stance.cubes)),
        compared(target("lines_stance_single"), stance.worst_line_force),
    ]
}
