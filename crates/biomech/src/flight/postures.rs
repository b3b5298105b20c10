//! The postures of a leap, jump or hop: start, the crouch before the push, the crouch after landing.

use anatomy::Side;
use movement::{Family, MovementSpec};

use crate::body::Body;
use crate::constants::engine;
use crate::flight::{choices, crouch};
use crate::state::V3;
use crate::task::{FootTask, Passing, Task};
use crate::tasks::{base_task, feet, landing_point, start_foot};

fn flat(middle: [f64; 2], yaw: Option<f64>) -> FootTask {
    FootTask::Flat { middle, yaw }
}

/// The legs do not cross while they stand.
fn uncrossed(mut task: Task, spec: &MovementSpec) -> Task {
    task.passing = Passing { mover: spec.mover, toward: V3::new(0.0, 0.0, spec.mover.sign()), feet: false };
    task
}

/// Where the hopping foot starts, or where a foot stands before a leap or jump.
pub(crate) fn start_middle(body: &Body, spec: &MovementSpec, side: Side) -> [f64; 2] {
    match spec.family {
        Family::Hop if side == spec.mover => [0.0, 0.0],
        Family::Hop => [0.0, side.sign() * 2.0 * body.half_hip_spacing],
        _ => body.start_foot_centre(side),
    }
}

/// Standing before it, and standing on the pushing leg alone where only one pushes. Before a hop both
/// are the same.
pub(crate) fn start_tasks(body: &Body, spec: &MovementSpec) -> (Task, Option<Task>) {
    let stance = spec.stance();
    let lifted = FootTask::Lifted { middle: start_middle(body, spec, stance.other()), height: engine().lift };
    let on_one = |middle: [f64; 2]| {
        uncrossed(base_task(body, spec, feet(stance, flat(middle, Some(0.0)), lifted)), spec)
    };
    match spec.family {
        Family::Hop => (on_one([0.0, 0.0]), Some(on_one([0.0, 0.0]))),
        Family::TwoFootJump => (both(body, spec), None),
        _ => (both(body, spec), Some(on_one(body.start_foot_centre(stance)))),
    }
}

fn both(body: &Body, spec: &MovementSpec) -> Task {
    uncrossed(base_task(body, spec, Side::BOTH.map(|side| start_foot(body, side))), spec)
}

/// The deepest point before the push.
pub(crate) fn take_off_task(body: &Body, spec: &MovementSpec) -> Task {
    let (start, alone) = start_tasks(body, spec);
    Task { min_drop: Some(crouch(body, spec)), ..alone.unwrap_or(start) }
}

/// The deepest point after touch-down.
pub(crate) fn landing_tasks(body: &Body, spec: &MovementSpec) -> Vec<Task> {
    let target = landing_point(body, spec);
    let (ahead, right) = spec.bearing.forward_right();
    let rise = spec.rise.in_m();
    let mut task = if spec.family == Family::TwoFootJump {
        let d = spec.distance.in_m();
        let to = |side: Side| {
            let [x, z] = body.start_foot_centre(side);
            flat([x + d * ahead, z + d * right], None)
        };
        base_task(body, spec, Side::BOTH.map(to))
    } else {
        let other = spec.mover.other();
        let c = choices();
        // Beside the landing foot on its own side; in an own-side leap also behind along the way.
        let trail = if spec.family == Family::Leap && !spec.crosses() {
            c.trail_of_leg * body.leg_length(spec.mover).in_m()
        } else {
            0.0
        };
        let beside = other.sign() * 2.0 * body.half_hip_spacing;
        let hangs = FootTask::Lifted {
            middle: [target[0] - trail * ahead, target[1] + beside - trail * right],
            height: c.trail_height_m,
        };
        base_task(body, spec, feet(other, hangs, flat(target, None)))
    };
    task.floor = [rise; 2];
    // The pelvis sinks from its height over the landing place.
    task.min_drop = Some(crouch(body, spec) - rise);
    vec![uncrossed(task, spec)]
}
