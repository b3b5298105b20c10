//! Supports as bodies: legs do not pass through a frame, a bench or a chair.
//!
//! Each solid of [`movement::Place::solids`] is a box from the floor to the height of the hands.
//! Thighs, shanks and feet are capsules. A constraint row is `radius − distance`, where a capsule
//! that has entered is pushed out on the side where the person stands.

use anatomy::Side;
use movement::{MovementSpec, Place, Solid};

use crate::body::Body;
use crate::constants::engine;
use crate::solve::Rows;
use crate::state::{Seg, State, V3};
use crate::statics::N;
use crate::swing::Swing;

/// Beyond this distance, metres, a capsule is left alone.
const NEAR: f64 = 0.08;

/// A box that stands on the floor.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Block {
    low: V3,
    high: V3,
}

impl Block {
    fn of(solid: &Solid, height: f64) -> Self {
        Self {
            low: V3::new(solid.front_from, 0.0, solid.right_from),
            high: V3::new(solid.front_to, height, solid.right_to),
        }
    }

    /// The boxes of a support.
    pub(crate) fn all(place: &Place) -> Vec<Self> {
        place.solids().iter().map(|solid| Self::of(solid, place.hand_height.in_m())).collect()
    }

    fn nearest(&self, p: V3) -> V3 {
        V3::from_fn(|k, _| p[k].clamp(self.low[k], self.high[k]))
    }

    fn far_from(&self, a: V3, b: V3, reach: f64) -> bool {
        (0..3).any(|k| a[k].min(b[k]) > self.high[k] + reach || a[k].max(b[k]) < self.low[k] - reach)
    }

    /// Outward directions of the faces that look at the place where the person stands, and how deep
    /// a point lies behind each.
    fn ways_out(&self, p: V3) -> impl Iterator<Item = (V3, f64)> + '_ {
        [(0, V3::x()), (2, V3::z())].into_iter().flat_map(move |(k, axis)| {
            let before = (self.low[k] > 0.0).then_some((-axis, p[k] - self.low[k]));
            let behind = (self.high[k] < 0.0).then_some((axis, self.high[k] - p[k]));
            [before, behind].into_iter().flatten()
        })
    }

    /// Signed distance of a segment to the box with the share along it and the direction outward.
    fn distance(&self, a: V3, b: V3) -> (f64, f64, V3) {
        let at = |t: f64| a + (b - a) * t;
        let gap = |t: f64| (at(t) - self.nearest(at(t))).norm_squared();
        // The distance to a convex body is convex along a line.
        let (mut low, mut high) = (0.0, 1.0);
        for _ in 0..40 {
            let third = (high - low) / 3.0;
            let (c, d) = (low + third, high - third);
            if gap(c) <= gap(d) {
                high = d;
            } else {
                low = c;
            }
        }
        let t = f64::midpoint(low, high);
        let out = at(t) - self.nearest(at(t));
        if out.norm() > 1e-6 {
            return (out.norm(), t, out / out.norm());
        }
        // Inside: the deepest of a few points, by its shortest way out.
        (0..=10)
            .map(|i| f64::from(i) / 10.0)
            .chain([t])
            .filter(|t| gap(*t) < 1e-12)
            .filter_map(|t| {
                self.ways_out(at(t)).min_by(|x, y| x.1.total_cmp(&y.1)).map(|(n, depth)| (-depth, t, n))
            })
            .min_by(|x, y| x.0.total_cmp(&y.0))
            .unwrap_or((0.0, t, -V3::x()))
    }
}

/// Adds a row for every leg part and box; their number does not change with the posture.
pub(crate) fn rows(body: &Body, state: &State, blocks: &[Block], out: &mut Rows) {
    let e = engine();
    let down = |l: f64| V3::new(0.0, -l, 0.0);
    for side in Side::BOTH {
        let y = -body.ankle_height;
        let heel = V3::new(-body.ankle_from_heel + body.foot_breadth / 2.0, y, 0.0);
        let toe = V3::new(body.foot_length - body.ankle_from_heel - body.foot_breadth / 2.0, y, 0.0);
        let parts = [
            (Seg::Thigh(side), V3::zeros(), down(*body.thigh.get(side)), e.thigh_radius * body.stature),
            (Seg::Shank(side), V3::zeros(), down(*body.shank.get(side)), e.shank_radius * body.stature),
            (Seg::Foot(side), heel, toe, body.foot_breadth / 2.0),
        ];
        for (seg, from, to, radius) in parts {
            let (a, b) = (state.point(seg, from), state.point(seg, to));
            for block in blocks {
                let mut row = [0.0; N];
                if block.far_from(a, b, radius + NEAR) {
                    out.at_most.push((-1.0, row));
                    continue;
                }
                let (distance, t, n) = block.distance(a, b);
                state.d_point(seg.last(), state.point(seg, from + (to - from) * t), |i, v| {
                    row[i] -= n.dot(&v)
                });
                out.at_most.push((radius - distance, row));
            }
        }
    }
}

/// Whether a foot that starts with its middle at `from` would pass through the support on its planned way, seen from above: its
/// print, turning evenly from straight ahead to how it lands (`yaw`), is looked at in 25 places. Feet
/// are not lifted over a support, so height does not matter.
pub(crate) fn swing_passes_through(
    body: &Body,
    spec: &MovementSpec,
    place: &Place,
    from: [f64; 2],
    landing: [f64; 3],
    yaw: f64,
) -> bool {
    const PIECES: u8 = 24;
    let swing = Swing::plan(body, spec, [from[0], 0.0, from[1]], landing);
    let half = (body.foot_length - body.foot_breadth) / 2.0;
    let blocks = Block::all(place);
    (0..=PIECES).any(|i| {
        let s = f64::from(i) / f64::from(PIECES);
        let [x, _, z] = swing.at(s);
        let along = V3::new((yaw * s).cos(), 0.0, (yaw * s).sin()) * half;
        let middle = V3::new(x, 0.0, z);
        // A touch is not a passage: half a centimetre is left to the solver's own row.
        let room = body.foot_breadth / 2.0 - 0.005;
        blocks.iter().any(|block| block.distance(middle - along, middle + along).0 < room)
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_distance_to_a_box_is_that_of_the_nearest_points_and_negative_inside() {
        let block = Block { low: V3::new(0.3, 0.0, -1.0), high: V3::new(0.9, 0.9, 1.0) };
        let (d, t, n) = block.distance(V3::new(0.0, 0.4, 0.0), V3::new(0.2, 0.4, 0.1));
        assert!((d - 0.1).abs() < 1e-6 && (t - 1.0).abs() < 1e-6 && (n + V3::x()).norm() < 1e-9);
        // Over the edge of the box: three and four give five.
        let (d, _, _) = block.distance(V3::new(0.27, 0.94, 0.0), V3::new(0.27, 1.4, 0.0));
        assert!((d - 0.05).abs() < 1e-6);
        let (d, _, n) = block.distance(V3::new(0.2, 0.4, 0.0), V3::new(0.36, 0.4, 0.0));
        assert!((d + 0.06).abs() < 1e-6 && (n + V3::x()).norm() < 1e-12, "{d} {n}");
    }
}
