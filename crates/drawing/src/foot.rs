//! The print of a foot, seen from above.

use anatomy::Side;

/// Outline of a right foot: share of its length from heel to toe, share of its breadth toward the
/// person's right. Drawn by eye; the big toe is on the inner side.
const RIGHT_OUTLINE: [[f64; 2]; 14] = [
    [0.00, 0.00],
    [0.035, 0.20],
    [0.13, 0.31],
    [0.32, 0.32],
    [0.52, 0.40],
    [0.70, 0.50],
    [0.83, 0.45],
    [0.935, 0.23],
    [0.995, -0.12],
    [0.97, -0.36],
    [0.84, -0.47],
    [0.70, -0.50],
    [0.42, -0.29],
    [0.13, -0.30],
];

/// Points between two outline points (Catmull–Rom).
const BETWEEN: usize = 5;

/// The outline of a foot with its heel at the origin and its toes forward: forward, right, in the
/// unit of its length and breadth.
#[must_use]
pub fn outline(side: Side, length: f64, breadth: f64) -> Vec<[f64; 2]> {
    let n = RIGHT_OUTLINE.len();
    let mut out = Vec::with_capacity(n * BETWEEN);
    for k in 0..n {
        let p = [0, 1, 2, 3].map(|i| RIGHT_OUTLINE[(k + n + i - 1) % n]);
        for step in 0..BETWEEN {
            let t = step as f64 / BETWEEN as f64;
            let along = |axis: usize| {
                let [a, b, c, d] = [p[0][axis], p[1][axis], p[2][axis], p[3][axis]];
                0.5 * (2.0 * b
                    + (c - a) * t
                    + (2.0 * a - 5.0 * b + 4.0 * c - d) * t * t
                    + (3.0 * b - a - 3.0 * c + d) * t * t * t)
            };
            out.push([along(0) * length, along(1) * breadth * side.sign()]);
        }
    }
    out
}

/// The outline placed on the floor: middle of the print at `centre` (forward, right, metres),
/// toes toward `yaw_deg` (clockwise from straight ahead).
pub(crate) fn placed(side: Side, length: f64, breadth: f64, centre: [f64; 2], yaw_deg: f64) -> Vec<[f64; 2]> {
    let (sin, cos) = yaw_deg.to_radians().sin_cos();
    outline(side, length, breadth)
        .into_iter()
        .map(|[f, r]| {
            let f = f - length / 2.0;
            [centre[0] + f * cos - r * sin, centre[1] + f * sin + r * cos]
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_big_toe_of_each_foot_is_on_its_inner_side() {
        for side in Side::BOTH {
            let tip = outline(side, 0.26, 0.10)
                .into_iter()
                .max_by(|a, b| a[0].total_cmp(&b[0]))
                .unwrap_or_default();
            assert!(tip[1] * side.sign() < 0.0, "{side}: {tip:?}");
        }
    }

    #[test]
    fn a_foot_turned_a_quarter_clockwise_points_to_the_right() {
        let tip = placed(Side::Right, 0.26, 0.10, [0.0, 0.0], 90.0)
            .into_iter()
            .max_by(|a, b| a[1].total_cmp(&b[1]))
            .unwrap_or_default();
        assert!(tip[1] > 0.12);
    }
}
