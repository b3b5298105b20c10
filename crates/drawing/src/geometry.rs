//! Plane geometry for drawings: hulls of round bodies, hatching, arrows.

use crate::scene::Point;

/// The outline around circles, as a rubber band would lie (monotone chain over sampled circles).
pub(crate) fn hull_of_circles(circles: &[(Point, f64)]) -> Vec<Point> {
    const SAMPLES: usize = 36;
    let mut points: Vec<Point> = Vec::with_capacity(circles.len() * SAMPLES);
    for (centre, radius) in circles {
        for k in 0..SAMPLES {
            let angle = std::f64::consts::TAU * k as f64 / SAMPLES as f64;
            points.push([centre[0] + radius * angle.cos(), centre[1] + radius * angle.sin()]);
        }
    }
    convex_hull(points)
}

/// The convex hull, in one turning direction.
pub(crate) fn convex_hull(mut points: Vec<Point>) -> Vec<Point> {
    points.sort_by(|a, b| a[0].total_cmp(&b[0]).then(a[1].total_cmp(&b[1])));
    points.dedup();
    if points.len() < 3 {
        return points;
    }
    let cross = |o: Point, a: Point, b: Point| (a[0] - o[0]) * (b[1] - o[1]) - (a[1] - o[1]) * (b[0] - o[0]);
    let half = |points: &mut dyn Iterator<Item = Point>| {
        let mut chain: Vec<Point> = Vec::new();
        for p in points {
            while chain.len() >= 2 && cross(chain[chain.len() - 2], chain[chain.len() - 1], p) <= 0.0 {
                chain.pop();
            }
            chain.push(p);
        }
        chain.pop();
        chain
    };
    let mut hull = half(&mut points.iter().copied());
    hull.extend(half(&mut points.iter().rev().copied()));
    hull
}

/// Parallel lines that fill a closed outline (even–odd), `spacing` apart, at an angle to the page.
pub(crate) fn hatch(outline: &[Point], spacing: f64, angle_deg: f64) -> Vec<[Point; 2]> {
    let (sin, cos) = angle_deg.to_radians().sin_cos();
    // Turn the outline so that hatch lines run along the first axis.
    let turned: Vec<Point> =
        outline.iter().map(|p| [p[0] * cos + p[1] * sin, -p[0] * sin + p[1] * cos]).collect();
    let low = turned.iter().map(|p| p[1]).fold(f64::INFINITY, f64::min);
    let high = turned.iter().map(|p| p[1]).fold(f64::NEG_INFINITY, f64::max);
    if !(low.is_finite() && high.is_finite()) || spacing <= 0.0 {
        return Vec::new();
    }
    let mut out = Vec::new();
    let mut level = (low / spacing).ceil() * spacing;
    while level < high {
        let mut crossings: Vec<f64> = Vec::new();
        for (k, a) in turned.iter().enumerate() {
            let b = turned[(k + 1) % turned.len()];
            if (a[1] <= level) != (b[1] <= level) {
                crossings.push(a[0] + (level - a[1]) / (b[1] - a[1]) * (b[0] - a[0]));
            }
        }
        crossings.sort_by(f64::total_cmp);
        for pair in crossings.chunks_exact(2) {
            if pair[1] - pair[0] > 0.3 {
                let back = |x: f64| [x * cos - level * sin, x * sin + level * cos];
                out.push([back(pair[0]), back(pair[1])]);
            }
        }
        level += spacing;
    }
    out
}

/// A straight band with an arrowhead at both ends: out and back.
pub(crate) fn out_and_back_arrow(from: Point, to: Point, half_width: f64, head: f64) -> Vec<Point> {
    let (dx, dy) = (to[0] - from[0], to[1] - from[1]);
    let length = dx.hypot(dy);
    if length < 1e-9 {
        return Vec::new();
    }
    let (ux, uy) = (dx / length, dy / length);
    let head = head.min(length * 0.42);
    let wide = head * 0.62;
    let at =
        |along: f64, across: f64| [from[0] + ux * along - uy * across, from[1] + uy * along + ux * across];
    vec![
        at(0.0, 0.0),
        at(head, wide),
        at(head, half_width),
        at(length - head, half_width),
        at(length - head, wide),
        at(length, 0.0),
        at(length - head, -wide),
        at(length - head, -half_width),
        at(head, -half_width),
        at(head, -wide),
    ]
}

/// An ellipse as a polygon.
pub(crate) fn ellipse(centre: Point, rx: f64, ry: f64) -> Vec<Point> {
    (0..48)
        .map(|k| {
            let angle = std::f64::consts::TAU * f64::from(k) / 48.0;
            [centre[0] + rx * angle.cos(), centre[1] + ry * angle.sin()]
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn hatching_a_square_stays_inside_and_has_the_expected_length() {
        let square = [[0.0, 0.0], [10.0, 0.0], [10.0, 10.0], [0.0, 10.0]];
        let lines = hatch(&square, 2.0, 0.0);
        // Levels 0, 2, 4, 6, 8: five lines of length 10.
        assert_eq!(lines.len(), 5);
        for [a, b] in lines {
            assert!((b[0] - a[0] - 10.0).abs() < 1e-9);
        }
    }

    #[test]
    fn the_hull_of_two_equal_circles_is_a_capsule() {
        let hull = hull_of_circles(&[([0.0, 0.0], 1.0), ([10.0, 0.0], 1.0)]);
        let area: f64 = hull
            .iter()
            .enumerate()
            .map(|(k, a)| {
                let b = hull[(k + 1) % hull.len()];
                (a[0] * b[1] - b[0] * a[1]) / 2.0
            })
            .sum();
        // Rectangle 10 × 2 and one whole circle; the polygon loses half a per cent of the circle.
        assert!((area.abs() - (20.0 + std::f64::consts::PI)).abs() < 0.03, "{area}");
    }
}
