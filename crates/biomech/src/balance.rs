//! The base of support and how far the centre of mass is from its edge.

use crate::result::BalanceMargin;

/// Convex hull of points on the floor (forward, right), counter-clockwise in that plane (Andrew's
/// monotone chain).
pub(crate) fn hull(mut points: Vec<[f64; 2]>) -> Vec<[f64; 2]> {
    points.sort_by(|a, b| a[0].total_cmp(&b[0]).then(a[1].total_cmp(&b[1])));
    let cross =
        |o: [f64; 2], a: [f64; 2], b: [f64; 2]| (a[0] - o[0]) * (b[1] - o[1]) - (a[1] - o[1]) * (b[0] - o[0]);
    let half = |points: &mut dyn Iterator<Item = [f64; 2]>| {
        let mut out: Vec<[f64; 2]> = Vec::new();
        for p in points {
            while out.len() >= 2 && cross(out[out.len() - 2], out[out.len() - 1], p) <= 0.0 {
                out.pop();
            }
            out.push(p);
        }
        out.pop();
        out
    };
    let mut lower = half(&mut points.iter().copied());
    lower.extend(half(&mut points.iter().rev().copied()));
    lower
}

/// Signed distance from a point to the nearest edge of the hull of `contacts`, negative outside.
pub(crate) fn margin(contacts: Vec<[f64; 2]>, point: [f64; 2]) -> BalanceMargin {
    margin_of(&hull(contacts), point)
}

/// The same for a hull that is known.
pub(crate) fn margin_of(hull: &[[f64; 2]], point: [f64; 2]) -> BalanceMargin {
    let mut least = BalanceMargin { to_edge_m: f64::INFINITY, toward_deg: 0.0 };
    for (k, a) in hull.iter().enumerate() {
        let b = hull[(k + 1) % hull.len()];
        let edge = [b[0] - a[0], b[1] - a[1]];
        let length = edge[0].hypot(edge[1]);
        if length < 1e-9 {
            continue;
        }
        let outward = [edge[1] / length, -edge[0] / length];
        let inside = (a[0] - point[0]) * outward[0] + (a[1] - point[1]) * outward[1];
        if inside < least.to_edge_m {
            least = BalanceMargin {
                to_edge_m: inside,
                toward_deg: outward[1].atan2(outward[0]).to_degrees().rem_euclid(360.0),
            };
        }
    }
    least
}

#[cfg(test)]
mod tests {
    use super::margin;

    #[test]
    fn a_point_in_a_rectangle_knows_its_nearest_edge_and_its_direction() {
        let box_ = vec![[-0.1, -0.2], [0.2, -0.2], [0.2, 0.2], [-0.1, 0.2]];
        let right = margin(box_.clone(), [0.05, 0.15]);
        assert!((right.to_edge_m - 0.05).abs() < 1e-12 && (right.toward_deg - 90.0).abs() < 1e-9);
        let behind = margin(box_, [-0.13, 0.0]);
        assert!((behind.to_edge_m + 0.03).abs() < 1e-12 && (behind.toward_deg - 180.0).abs() < 1e-9);
    }
}
