//! Turns a solution of the solver into named angles, landmarks and moments.

use std::collections::BTreeMap;

use anatomy::{Coordinate, PerSide, Side};
use movement::Support;
use quantity::{Angle, Moment};

use crate::arms::{ArmPose, Links};
use crate::body::Body;
use crate::constants::engine;
use crate::result::{Landmark, Posture};
use crate::state::{NQ, Seg, State, TRUNK, V3, YAW, leg};
use crate::statics::heading;
use crate::task::Task;

/// Whether this hand is on the support. One hand or a fingertip is the hand of the standing side.
pub(crate) fn holds(support: Support, mover: Side, side: Side) -> bool {
    match support {
        Support::BothHands => true,
        Support::OneHand | Support::Fingertip => side == mover.other(),
        Support::None => false,
    }
}

/// Both arms as they are drawn: shoulder, elbow, wrist and hand.
pub(crate) fn arms(body: &Body, state: &State, task: &Task) -> [Links; 2] {
    let (back, right) = (-state.dir(Seg::Trunk, V3::x()), state.dir(Seg::Trunk, V3::z()));
    Side::BOTH.map(|side| {
        let shoulder = state.point(Seg::Trunk, *body.shoulder_from_lumbar.get(side));
        let on_support = task
            .held
            .filter(|(support, _)| holds(*support, task.passing.mover, side))
            .map(|(_, place)| V3::from(place.hold(side.sign(), shoulder.x, shoulder.z)));
        let hand = match (task.carry.pose(side), on_support) {
            (ArmPose::Reaching { target }, _) => target,
            (ArmPose::Fixed { hand, .. }, _) => state.point(Seg::Trunk, hand),
            (ArmPose::Hanging, Some(held)) => held,
            (ArmPose::Hanging, None) => shoulder - V3::y() * (body.arm_reach * 0.995),
        };
        Links::of(body, side, shoulder, hand, back, right)
    })
}

/// Names everything about one solved posture.
pub(crate) fn posture(body: &Body, state: &State, x: &[f64], task: &Task, links: &[Links; 2]) -> Posture {
    let legs = PerSide::from_fn(|side| {
        let first = leg(side);
        Coordinate::LEG
            .iter()
            .enumerate()
            .map(|(k, c)| (*c, Angle::rad(x[first + k])))
            .collect::<BTreeMap<_, _>>()
    });
    let trunk: BTreeMap<_, _> =
        Coordinate::TRUNK.iter().enumerate().map(|(k, c)| (*c, Angle::rad(x[TRUNK + k]))).collect();

    let mut points = BTreeMap::new();
    let lumbar = state.point(Seg::Trunk, V3::zeros());
    points.insert(Landmark::MidHip, state.point(Seg::Pelvis, V3::zeros()));
    points.insert(Landmark::Lumbar, lumbar);
    points.insert(Landmark::Neck, state.point(Seg::Trunk, body.neck_from_lumbar));
    points.insert(Landmark::Vertex, state.point(Seg::Trunk, body.vertex_from_lumbar));
    let mut heel_lifted = PerSide::from_fn(|_| false);
    let y = -body.ankle_height;
    for side in Side::BOTH {
        let arm = &links[side as usize];
        points.insert(Landmark::Shoulder(side), arm.shoulder);
        points.insert(Landmark::Elbow(side), arm.elbow);
        points.insert(Landmark::Wrist(side), arm.wrist);
        points.insert(Landmark::Hand(side), arm.hand);
        points.insert(Landmark::Hip(side), state.point(Seg::Thigh(side), V3::zeros()));
        points.insert(Landmark::Knee(side), state.point(Seg::Shank(side), V3::zeros()));
        points.insert(Landmark::Ankle(side), state.point(Seg::Foot(side), V3::zeros()));
        let sole = |along: f64| state.point(Seg::Foot(side), V3::new(along - body.ankle_from_heel, y, 0.0));
        let heel = sole(0.0);
        points.insert(Landmark::Heel(side), heel);
        points.insert(Landmark::Ball(side), sole(body.ball_from_heel));
        let ball = sole(body.ball_from_heel);
        let on_forefoot = matches!(
            task.feet[side as usize],
            crate::task::FootTask::OnBall { .. } | crate::task::FootTask::LandedOnBall { .. }
        );
        // On the forefoot the toes stay flat.
        let toe = if on_forefoot {
            ball + heading(state, side).0 * (body.foot_length - body.ball_from_heel)
        } else {
            sole(body.foot_length)
        };
        points.insert(Landmark::ToeTip(side), toe);
        *heel_lifted.get_mut(side) = heel.y - task.floor[side as usize] > engine().heel_off;
    }
    let trunk_axis = state.dir(Seg::Trunk, V3::y());
    let trunk_to_thigh = PerSide::from_fn(|side| {
        // In the trunk's sagittal plane, so that abduction does not count as flexion.
        let thigh = -state.dir(Seg::Thigh(side), V3::y());
        let right = state.dir(Seg::Trunk, V3::z());
        let flat = thigh - right * right.dot(&thigh);
        let flat = flat / flat.norm().max(1e-9);
        let forward = state.dir(Seg::Trunk, V3::x());
        Angle::rad(flat.dot(&forward).atan2(flat.dot(&-trunk_axis)))
    });
    Posture {
        legs,
        trunk,
        trunk_to_thigh,
        trunk_lean: Angle::rad((-state.dir(Seg::Trunk, V3::x()).y).clamp(-1.0, 1.0).asin()),
        pelvis_yaw: Angle::rad(x[YAW]),
        pelvis_drop: body.standing_hip_height() - x[1],
        foot_yaw: PerSide::from_fn(|side| {
            let h = heading(state, side).0;
            Angle::rad(h.z.atan2(h.x))
        }),
        heel_lifted,
        landmarks: points.into_iter().map(|(k, p)| (k, [p.x, p.y, p.z])).collect(),
    }
}

/// Names the internal moments of one posture. Trunk moments are stored with the left leg's map
/// untouched: they live in both maps of the result under their own coordinates.
pub(crate) fn signed_moments(
    tau: &[f64; NQ],
) -> (PerSide<BTreeMap<Coordinate, Moment>>, BTreeMap<Coordinate, Moment>) {
    let legs = PerSide::from_fn(|side| {
        let first = leg(side);
        Coordinate::LEG.iter().enumerate().map(|(k, c)| (*c, Moment::nm(tau[first + k]))).collect()
    });
    let trunk = Coordinate::TRUNK.iter().enumerate().map(|(k, c)| (*c, Moment::nm(tau[TRUNK + k]))).collect();
    (legs, trunk)
}
