//! Arrows 4 and 5: joint moments of a motion, and what share of this person's capacity they are.

use std::collections::BTreeMap;

use anatomy::{Coordinate, JointMotion, PerSide, Side};
use quantity::{Angle, AngularSpeed, Moment};

use crate::body::Body;
use crate::capacity::Capacity;
use crate::flight::GroundForce;
use crate::result::{Demand, Demands, FrameMoments, JointMoments, Motion};
use crate::uncertainty::estimate;

/// Arrow 4: the internal joint moments in each key posture. Static: no swing, no braking of a step; at
/// the take-off and landing of a flight the still moments times the typical force of the floor, as if
/// all parts of the body were sped up or slowed alike.
#[must_use]
pub fn moments(_body: &Body, motion: &Motion) -> JointMoments {
    JointMoments {
        frames: motion
            .frames
            .iter()
            .map(|f| FrameMoments {
                phase: f.phase,
                turn: f.turn,
                legs: PerSide::from_fn(|side| times(f.moments.0.get(side), f.force.typical)),
                trunk: times(&f.moments.1, f.force.typical),
                force: f.force,
                angles: PerSide::from_fn(|side| {
                    Coordinate::LEG.into_iter().map(|c| (c, f.posture.angle(side, c))).collect()
                }),
            })
            .collect(),
    }
}

fn times(moments: &BTreeMap<Coordinate, Moment>, factor: f64) -> BTreeMap<Coordinate, Moment> {
    moments.iter().map(|(c, m)| (*c, Moment::nm(m.in_nm() * factor))).collect()
}

/// Widens a band by the range of the floor's force, taken as certain beside the rest.
fn over_force(demand: Demand, force: GroundForce) -> Demand {
    match demand {
        Demand::Estimate { share, low, high, repeat } => Demand::Estimate {
            share,
            low: low.times(force.low / force.typical),
            high: high.times(force.high / force.typical),
            repeat,
        },
        Demand::Unknown => Demand::Unknown,
    }
}

/// Arrow 5: the largest share of capacity each motion reaches over the frames, with a band of one
/// standard deviation of body, task and strength together; `Unknown` where the capacity is unknown.
/// At the landing of a flight the band also spans the class of its force.
#[must_use]
pub fn demands(moments: &JointMoments, capacity: &Capacity) -> Demands {
    let side_demands = |side: Side, coordinates: &[Coordinate]| {
        let mut out: BTreeMap<JointMotion, Demand> = BTreeMap::new();
        for frame in &moments.frames {
            for c in coordinates {
                let moment = frame.moment(side, *c);
                let motion = acting(*c, moment);
                let still = demand_at(capacity, side, *c, moment, frame.angle(side, *c), AngularSpeed::ZERO);
                let demand = over_force(still, frame.force);
                let larger = match (out.get(&motion), demand) {
                    (Some(Demand::Estimate { share: old, .. }), Demand::Estimate { share: new, .. }) => {
                        new > *old
                    }
                    (Some(_), _) => false,
                    (None, _) => true,
                };
                if larger {
                    out.insert(motion, demand);
                }
            }
        }
        out
    };
    Demands {
        legs: PerSide::from_fn(|side| side_demands(side, &Coordinate::LEG)),
        trunk: side_demands(Side::Left, &Coordinate::TRUNK),
    }
}

/// The motion an internal moment of this sign acts toward.
fn acting(coordinate: Coordinate, moment: Moment) -> JointMotion {
    if moment.in_nm() >= 0.0 { coordinate.positive() } else { coordinate.negative() }
}

/// What share of this person's capacity one internal moment is, at an angle and a joint speed.
///
/// `moment` and `speed` carry the sign of the coordinate: a moment that acts the way the joint moves
/// meets the strength of shortening muscles, one that acts against it that of lengthening muscles
/// (see [`Capacity::at_speed`]). `Unknown` where the capacity is unknown.
#[must_use]
pub fn demand_at(
    capacity: &Capacity,
    side: Side,
    coordinate: Coordinate,
    moment: Moment,
    angle: Angle,
    speed: AngularSpeed,
) -> Demand {
    let motion = acting(coordinate, moment);
    match capacity.at_speed(side, motion, angle, speed.times(motion.sign())) {
        None => Demand::Unknown,
        Some((strength, spread)) => {
            estimate(motion, moment.in_nm().abs(), strength.in_nm(), spread, capacity.mass)
        }
    }
}

#[cfg(test)]
mod tests {
    use anatomy::{BodySize, Sex};
    use quantity::{Length, Mass};

    use super::*;

    /// A knee that straightens under a knee extension moment shortens its extensors, a knee that
    /// bends under it lengthens them; the sign of both is that of knee flexion.
    #[test]
    fn lifting_takes_more_of_the_strength_than_holding_and_lowering_no_more() {
        let size =
            BodySize::new(Length::cm(170.0), Mass::kg(70.0), Sex::Female, 30, PerSide::default()).unwrap();
        let capacity = Capacity::of(&size, &[]);
        let share = |speed: f64| {
            let (moment, angle) = (Moment::nm(-60.0), Angle::deg(60.0));
            demand_at(
                &capacity,
                Side::Left,
                Coordinate::KneeFlexion,
                moment,
                angle,
                AngularSpeed::deg_per_s(speed),
            )
            .share()
            .unwrap()
            .in_one()
        };
        assert!(share(-60.0) > 1.1 * share(0.0), "straightening");
        assert!(share(60.0) <= share(0.0), "bending");
        let unknown = demand_at(
            &capacity,
            Side::Left,
            Coordinate::HipAdduction,
            Moment::nm(-40.0),
            Angle::ZERO,
            AngularSpeed::ZERO,
        );
        assert_eq!(unknown, Demand::Unknown);
    }
}
