//! From an arm task to the key poses that come after the far point.

use anatomy::Side;
use movement::{AnatomicalDirection, ArmTask, Family, HandHeight, Load, MovementSpec, OnReturn, TurnToward};

use crate::arms::{ArmPose, curl, fixed, places, poses};
use crate::body::Body;
use crate::goals::{Arms, Feet, Goal, Pose, goal, goal_poses};
use crate::result::Phase;
use crate::state::{NQ, Seg, State, V3};
use crate::statics::{Row, heading};
use crate::task::{FootTask, Passing, Task};
use crate::tasks::{base_task, feet, landing_point, start_foot};

/// One key pose to solve after the far point.
pub(crate) struct KeyPose {
    pub(crate) phase: Phase,
    pub(crate) task: Task,
    /// Whether the far posture is the better start; else standing is.
    pub(crate) from_far: bool,
    /// The trunk stays as bent as the pose before left it.
    pub(crate) stays_bent: bool,
}

/// What a key pose is called where it fails.
pub(crate) fn pose_name(spec: &MovementSpec, phase: Phase) -> String {
    match (phase, spec.arms) {
        (Phase::Bent, ArmTask::BendAndReturn { to, .. }) => format!("hands to {} height", to.name()),
        (Phase::Rowed, _) => "row".to_owned(),
        (Phase::Returned, ArmTask::BendAndReturn { then, .. }) => format!("back with {}", then.name()),
        (Phase::TurnedTrunk, _) => "trunk turned".to_owned(),
        (Phase::Overhead, _) => "hands overhead".to_owned(),
        (Phase::GoalPose(k), ArmTask::Goal(task)) => {
            goal_poses(task).get(usize::from(k)).copied().unwrap_or("pose").to_owned()
        }
        _ => "standing".to_owned(),
    }
}

/// The far task with the feet planted as they landed: a foot that was free to turn no longer is.
fn planted(body: &Body, far: &Task, far_x: &Row) -> Task {
    let state = State::new(body, &far_x[..NQ]);
    let mut task = far.clone();
    for side in Side::BOTH {
        if let FootTask::Flat { middle, yaw: None } = task.feet[side as usize] {
            let h = heading(&state, side).0;
            task.feet[side as usize] = FootTask::Flat { middle, yaw: Some(h.z.atan2(h.x)) };
        }
    }
    task
}

fn standing(body: &Body, spec: &MovementSpec) -> Task {
    let mut task = base_task(
        body,
        spec,
        feet(spec.stance(), start_foot(body, spec.stance()), start_foot(body, spec.mover)),
    );
    task.passing = Passing { mover: spec.mover, toward: V3::new(0.0, 0.0, spec.mover.sign()), feet: false };
    task
}

/// Both hands down at a height. They go down over the foot that lands, or over the standing foot
/// where the leg goes backward or only touches: beside the print on both sides, or, holding one
/// thing together, just ahead of its toes.
fn bent(body: &Body, spec: &MovementSpec, far_x: &Row, mut task: Task, to: HandHeight) -> Task {
    let backward = matches!(
        spec.bearing.named_from(spec.mover),
        AnatomicalDirection::Posterior
            | AnatomicalDirection::Posterolateral
            | AnatomicalDirection::Posteromedial
    );
    let over = if backward || spec.family == Family::Reach { spec.stance() } else { spec.mover };
    let state = State::new(body, &far_x[..NQ]);
    let (ahead, _) = heading(&state, over);
    let right = V3::new(-ahead.z, 0.0, ahead.x);
    let p = places();
    let h = body.stature;
    let along = |from_heel: f64| {
        state.point(Seg::Foot(over), V3::new(from_heel - body.ankle_from_heel, -body.ankle_height, 0.0))
    };
    let together = matches!(spec.load, Load::InBothHands { .. });
    let (at, beside) = if together {
        (along(body.foot_length) + ahead * (p.hands_ahead_of_stature * h), p.hands_apart_of_stature * h)
    } else {
        (along(body.ball_from_heel), body.foot_breadth / 2.0 + p.hands_beside_of_stature * h)
    };
    let height = body.height_of(to).in_m() + task.floor[over as usize];
    task.carry = task.carry.both(|side| {
        let hand = at + right * (beside * side.sign());
        ArmPose::Reaching { target: V3::new(hand.x, height, hand.z) }
    });
    task.lean = None;
    task.lean_asked = None;
    task.min_drop = None;
    task
}

/// The key poses that follow the far point, in order.
pub(crate) fn key_poses(body: &Body, spec: &MovementSpec, far: &Task, far_x: &Row) -> Vec<KeyPose> {
    let at_far = |phase, task| KeyPose { phase, task, from_far: true, stays_bent: false };
    let at_start = |phase, task| KeyPose { phase, task, from_far: false, stays_bent: false };
    match spec.arms {
        ArmTask::Free => Vec::new(),
        ArmTask::BendAndReturn { to, then } => {
            let far = planted(body, far, far_x);
            let mut out = vec![at_far(Phase::Bent, bent(body, spec, far_x, far.clone(), to))];
            let mut up = standing(body, spec);
            match then {
                OnReturn::Hang => {}
                OnReturn::Curl => up.carry = up.carry.both(|side| curl(body, side)),
                OnReturn::Press => up.carry = up.carry.both(|side| fixed(body, side, poses().overhead)),
                OnReturn::Row => {
                    let mut rowed = far;
                    rowed.carry = rowed.carry.both(|side| fixed(body, side, poses().row));
                    rowed.lean = None;
                    rowed.lean_asked = None;
                    rowed.min_drop = None;
                    out.push(KeyPose { stays_bent: true, ..at_far(Phase::Rowed, rowed) });
                }
            }
            out.push(at_start(Phase::Returned, up));
            out
        }
        ArmTask::Turn { toward } => {
            let mut task = planted(body, far, far_x);
            let side = match toward {
                TurnToward::SameSide => spec.mover.sign(),
                TurnToward::OtherSide => -spec.mover.sign(),
            };
            task.facing = Some((side, places().turn_deg.to_radians()));
            vec![at_far(Phase::TurnedTrunk, task)]
        }
        ArmTask::Overhead => {
            let mut task = planted(body, far, far_x);
            task.carry = task.carry.both(|side| fixed(body, side, poses().overhead));
            vec![at_far(Phase::Overhead, task)]
        }
        ArmTask::Goal(name) => {
            let row = goal(name);
            (0_u8..)
                .zip(&row.pose)
                .map(|(k, pose)| {
                    let phase = Phase::GoalPose(k);
                    let task = goal_pose(body, spec, far, far_x, row, pose);
                    if pose.feet == Feet::Start { at_start(phase, task) } else { at_far(phase, task) }
                })
                .collect()
        }
    }
}

fn goal_pose(body: &Body, spec: &MovementSpec, far: &Task, far_x: &Row, row: &Goal, pose: &Pose) -> Task {
    let mut task = match pose.feet {
        Feet::Start => standing(body, spec),
        Feet::Far => planted(body, far, far_x),
        Feet::Over => over_the_far_foot(body, spec),
    };
    if let Some(hand) = pose.hand {
        for side in Side::BOTH {
            if row.arm.takes(side, spec.mover) {
                task.carry.arms[side as usize] = fixed(body, side, hand);
            } else if row.arm != Arms::Both {
                task.carry.arms[side as usize] = ArmPose::Hanging;
            }
        }
    }
    if let Some(to) = pose.hands_at {
        task = bent(body, spec, far_x, task, to);
    }
    if let Some(turn) = pose.turn_deg {
        task.facing = Some((spec.mover.sign() * turn.signum(), turn.abs().to_radians()));
    }
    if let Some(height) = pose.hip_height_m {
        task.min_drop = Some(body.standing_hip_height() - height);
        task.lean = None;
        task.lean_asked = None;
    }
    task
}

/// The far foot carries all; the other's toe tip still touches where it stood.
fn over_the_far_foot(body: &Body, spec: &MovementSpec) -> Task {
    let [x, z] = body.start_foot_centre(spec.stance());
    let left = FootTask::ToeTouch { tip: [x + body.foot_length / 2.0, z] };
    let landed = FootTask::Flat { middle: landing_point(body, spec), yaw: None };
    let mut task = base_task(body, spec, feet(spec.stance(), left, landed));
    task.floor[spec.mover as usize] = spec.rise.in_m();
    task
}
