//! The way of the swinging foot from one place to another, round the standing leg.

use movement::{Crossing, MovementSpec};

use crate::body::Body;
use crate::constants::engine;
use crate::state::V3;

/// Samples at which the detour is measured.
const SAMPLES: u8 = 120;
/// Where the detour is smaller than this share of its greatest, the ends of the way decide.
const NEAR_THE_ENDS: f64 = 0.2;
/// A little more room than needed, so that nothing is lost between the samples.
const SPARE: f64 = 1.1;
/// Least and greatest share of the way over which the detour is joined and left.
const RAMP: [f64; 2] = [0.1, 0.35];

/// A planned way of the middle of the sole.
///
/// Seen from above it is the straight line from `from` to `to`; where the leg crosses, an arch
/// in front of or behind the standing foot is added, just wide enough that the two prints, both
/// pointing ahead, stay a foot's breadth apart. In height it leaves and meets the floor upright
/// (`sin²`), at least `engine.lift_m` over the straight line, and over a higher landing place it is
/// up before it is above the place. The arch keeps shanks apart too: shanks are thinner than two
/// breadths of the foot and stand over the feet.
pub(crate) struct Swing {
    from: V3,
    to: V3,
    /// Greatest forward shift, metres; negative behind.
    arch: f64,
    /// Shares of the way over which the detour is joined and left.
    ramp: [f64; 2],
}

impl Swing {
    /// Plans the way; places are forward, up, right of the middle of the sole.
    pub(crate) fn plan(body: &Body, spec: &MovementSpec, from: [f64; 3], to: [f64; 3]) -> Self {
        let (from, to) = (V3::from(from), V3::from(to));
        let side = match spec.crossing {
            Crossing::None => return Self { from, to, arch: 0.0, ramp: [RAMP[1]; 2] },
            Crossing::InFront => 1.0,
            Crossing::Behind => -1.0,
        };
        let [stance_x, stance_z] = body.start_foot_centre(spec.stance());
        // Two stadiums of one foot's breadth, side by side: the middle of one stays out of a stadium
        // twice as broad around the other.
        let (reach, radius) = (body.foot_length - body.foot_breadth, body.foot_breadth * SPARE);
        // Half the detour is made before the standing foot's lane is entered, half is left when it is left.
        let lane = |end: V3| ((end.z - stance_z).abs() - radius) / (to.z - from.z).abs().max(1e-9);
        let ramp = [from, to].map(|end| (2.0 * lane(end)).clamp(RAMP[0], RAMP[1]));
        let mut arch: f64 = 0.0;
        for i in 1..SAMPLES {
            let u = f64::from(i) / f64::from(SAMPLES);
            let bump = around(u, ramp);
            let p = from + (to - from) * u;
            let across = (p.z - stance_z).abs();
            if across < radius && bump > NEAR_THE_ENDS {
                let needed = reach + (radius * radius - across * across).sqrt();
                let now = (p.x - stance_x) * side;
                arch = arch.max((needed - now) / bump);
            }
        }
        Self { from, to, arch: arch * side, ramp }
    }

    /// Where the middle of the sole is after the share `s` of the swing's time, 0 to 1. It starts and
    /// ends at rest (minimum jerk).
    pub(crate) fn at(&self, s: f64) -> [f64; 3] {
        let u = smooth(s.clamp(0.0, 1.0));
        let mut p = self.from + (self.to - self.from) * u;
        p.x += self.arch * around(u, self.ramp);
        let rise = self.to.y - self.from.y;
        // Up early, down late.
        let climbed =
            if rise > 0.0 { smooth((u / 0.6).min(1.0)) } else { smooth(((u - 0.4) / 0.6).max(0.0)) };
        let lifted = (std::f64::consts::PI * u).sin().powi(2) * engine().lift;
        p.y = self.from.y + rise * climbed + lifted;
        [p.x, p.y, p.z]
    }
}

/// Share of the detour after the share `u` of the way: out over the first ramp, back over the last.
fn around(u: f64, [join, leave]: [f64; 2]) -> f64 {
    smooth((u / join).min(1.0)) * smooth(((1.0 - u) / leave).min(1.0))
}

/// Minimum jerk from 0 to 1.
fn smooth(s: f64) -> f64 {
    s * s * s * (10.0 + s * (6.0 * s - 15.0))
}

/// Where the middle of the moving foot's sole is after the share `s` (0 to 1) of its swing from
/// `from` to `to` (forward, up, right, metres), round the standing leg where the movement crosses.
/// To ask for many moments of one swing, plan it once with [`Swing::plan`].
#[allow(dead_code, reason = "for one moment; the course plans once")]
pub(crate) fn swing_path(body: &Body, spec: &MovementSpec, from: [f64; 3], to: [f64; 3], s: f64) -> [f64; 3] {
    Swing::plan(body, spec, from, to).at(s)
}

#[cfg(test)]
mod tests {
    use anatomy::{BodySize, PerSide, Sex, Side};
    use movement::{Bearing, Family};
    use quantity::{Length, Mass};

    use super::*;
    use crate::task::closest;
    use crate::tasks::landing_point;

    fn crossing_steps() -> (Body, Vec<MovementSpec>) {
        let size =
            BodySize::new(Length::cm(171.0), Mass::kg(74.0), Sex::Female, 47, PerSide::default()).unwrap();
        let body = Body::of(&size);
        let mut specs = Vec::new();
        for mover in Side::BOTH {
            for bearing in Bearing::ALL {
                for crossing in Family::Step.ways(bearing, mover) {
                    for percent in [20.0, 40.0, 60.0, 80.0] {
                        specs.push(MovementSpec::bare(
                            Family::Step,
                            mover,
                            bearing,
                            *crossing,
                            body.leg_length(mover).times(percent / 100.0),
                        ));
                    }
                }
            }
        }
        (body, specs)
    }

    fn ends(body: &Body, spec: &MovementSpec, height: f64) -> ([f64; 3], [f64; 3]) {
        let [x, z] = body.start_foot_centre(spec.mover);
        let [to_x, to_z] = landing_point(body, spec);
        ([x, 0.0, z], [to_x, height, to_z])
    }

    #[test]
    fn a_swing_starts_and_ends_where_it_was_told_and_at_rest() {
        let (body, specs) = crossing_steps();
        for spec in specs {
            let (from, to) = ends(&body, &spec, 0.17);
            for (s, place) in [(0.0, from), (1.0, to)] {
                let at = swing_path(&body, &spec, from, to, s);
                let near = swing_path(&body, &spec, from, to, (s - 1e-4_f64).abs());
                for k in 0..3 {
                    assert!((at[k] - place[k]).abs() < 1e-9, "{}", spec.sentence());
                    assert!((near[k] - at[k]).abs() < 1e-7, "{}: not at rest", spec.sentence());
                }
            }
        }
    }

    /// Law: on the way the two prints never share floor, and the legs pass on the side that was asked.
    /// Only places whose landing itself leaves room are judged.
    #[test]
    fn on_the_way_the_feet_stay_a_breadth_apart_and_the_crossing_side_is_kept() {
        let (body, specs) = crossing_steps();
        for spec in specs {
            let (from, to) = ends(&body, &spec, 0.0);
            let half = (body.foot_length - body.foot_breadth) / 2.0;
            let axis = |x: f64, z: f64| (V3::new(x - half, 0.0, z), V3::new(x + half, 0.0, z));
            let [sx, sz] = body.start_foot_centre(spec.stance());
            let standing = axis(sx, sz);
            let gap = |p: [f64; 3]| {
                let moving = axis(p[0], p[2]);
                let (a, b) = closest(moving.0, moving.1, standing.0, standing.1);
                (a - b).norm()
            };
            if gap(to) < body.foot_breadth + 0.01 {
                continue;
            }
            for i in 0..=100 {
                let p = swing_path(&body, &spec, from, to, f64::from(i) / 100.0);
                assert!(gap(p) > body.foot_breadth - 0.004, "{} at {i}: {}", spec.sentence(), gap(p));
                assert!(p[1] >= -1e-12);
                if spec.crosses() && (p[2] - sz).abs() < 0.02 {
                    let ahead = if spec.crossing == Crossing::InFront { p[0] - sx } else { sx - p[0] };
                    assert!(ahead > 0.0, "{} passes on the wrong side", spec.sentence());
                }
            }
        }
    }

    #[test]
    fn onto_a_tread_the_foot_is_up_before_it_is_above_it() {
        let (body, specs) = crossing_steps();
        let spec = &specs[2];
        let (from, to) = ends(&body, spec, 0.17);
        for i in 0..=100 {
            let p = swing_path(&body, spec, from, to, f64::from(i) / 100.0);
            // The tread begins half a foot before the middle of the print.
            if p[0] + body.foot_length / 2.0 > to[0] + body.foot_length / 2.0 - 0.25 * (to[0] - from[0]) {
                assert!(p[1] >= 0.17 - 1e-9, "{p:?}");
            }
        }
    }
}
