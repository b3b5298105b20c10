//! Left becomes right: a task, a person's body and strength, and a solution in a mirror.
//!
//! Every posture is solved for a moving limb on the right; one that moves on the left is solved in
//! the mirror, with a mirrored body, and carried back. So a mirrored person moves in mirror to the
//! last digit, and limbs that differ are still each solved for what they are.

use anatomy::Side;

use crate::arms::{ArmPose, Carry, Prop};
use crate::state::{LIST, TRUNK, V3, YAW, leg};
use crate::statics::{Row, foot_vars};
use crate::task::{FootTask, Passing, Task};

fn point(p: V3) -> V3 {
    V3::new(p.x, p.y, -p.z)
}

fn place([ahead, right]: [f64; 2]) -> [f64; 2] {
    [ahead, -right]
}

fn swapped<T: Copy>([left, right]: [T; 2], each: impl Fn(T) -> T) -> [T; 2] {
    [each(right), each(left)]
}

/// To the nanometre (or nanoradian), zero without a sign: what a mirror leaves different in the last
/// digits becomes the same.
fn snapped(value: f64) -> f64 {
    (value * 1e9).round() * 1e-9 + 0.0
}

fn foot(task: FootTask) -> FootTask {
    let back = |yaw: Option<f64>| yaw.map(|angle| -angle);
    match task {
        FootTask::Flat { middle, yaw } => FootTask::Flat { middle: place(middle), yaw: back(yaw) },
        FootTask::OnBall { ball, yaw } => FootTask::OnBall { ball: place(ball), yaw: back(yaw) },
        FootTask::LandedOnBall { middle } => FootTask::LandedOnBall { middle: place(middle) },
        FootTask::ToeTouch { tip } => FootTask::ToeTouch { tip: place(tip) },
        FootTask::Lifted { middle, height } => FootTask::Lifted { middle: place(middle), height },
    }
}

fn arm(pose: ArmPose) -> ArmPose {
    match pose {
        ArmPose::Hanging => ArmPose::Hanging,
        ArmPose::Reaching { target } => ArmPose::Reaching { target: point(target) },
        ArmPose::Fixed { hand, centre } => ArmPose::Fixed { hand: point(hand), centre: point(centre) },
    }
}

impl Task {
    /// The same task in a mirror.
    pub(crate) fn mirrored(&self) -> Self {
        let carry = &self.carry;
        Self {
            feet: swapped(self.feet, foot),
            floor: swapped(self.floor, |height| height),
            carry: Carry {
                arms: swapped(carry.arms, arm),
                in_hand: swapped(carry.in_hand, |mass| mass),
                on_trunk: carry.on_trunk,
                props: swapped(carry.props, |prop| {
                    prop.map(|p| Prop { place: p.place.mirrored(), share: p.share })
                }),
            },
            facing: self.facing.map(|(side, angle)| (-side, angle)),
            passing: Passing {
                mover: self.passing.mover.other(),
                toward: point(self.passing.toward),
                feet: self.passing.feet,
            },
            held: self.held.map(|(support, place)| (support, place.mirrored())),
            min_drop: self.min_drop,
            square: self.square,
            lean: self.lean,
            lean_asked: self.lean_asked,
            stay_bent: self.stay_bent,
        }
    }
}

/// A task whose places are rounded to the nanometre.
pub(crate) fn snapped_task(task: &Task) -> Task {
    let place = |[ahead, right]: [f64; 2]| [snapped(ahead), snapped(right)];
    let mut out = task.clone();
    out.passing.toward = out.passing.toward.map(snapped);
    for foot in &mut out.feet {
        if let FootTask::Flat { yaw, .. } | FootTask::OnBall { yaw, .. } = foot {
            *yaw = yaw.map(snapped);
        }
        match foot {
            FootTask::Flat { middle: at, .. }
            | FootTask::OnBall { ball: at, .. }
            | FootTask::LandedOnBall { middle: at }
            | FootTask::ToeTouch { tip: at }
            | FootTask::Lifted { middle: at, .. } => *at = place(*at),
        }
    }
    for arm in &mut out.carry.arms {
        if let ArmPose::Reaching { target } = arm {
            *target = target.map(snapped);
        }
    }
    out
}

/// A start whose variables are rounded to the nanometre and nanoradian.
pub(crate) fn snapped_row(x: &Row) -> Row {
    x.map(snapped)
}

/// The solver's variables of a posture in a mirror.
pub(crate) fn row(x: &Row) -> Row {
    let mut out = *x;
    for i in [2, YAW, LIST, TRUNK + 1, TRUNK + 2] {
        out[i] = -x[i];
    }
    for side in Side::BOTH {
        let (to, from) = (leg(side), leg(side.other()));
        out[to..to + 7].copy_from_slice(&x[from..from + 7]);
        let (to, from) = (foot_vars(side), foot_vars(side.other()));
        // Corners lie left, right, left, right; then shear forward, shear right, torsion.
        for (k, (other, sign)) in
            [(1, 1.0), (0, 1.0), (3, 1.0), (2, 1.0), (4, 1.0), (5, -1.0), (6, -1.0)].into_iter().enumerate()
        {
            out[to + k] = sign * x[from + other];
        }
    }
    out
}
