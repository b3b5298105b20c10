//! Solving one posture, and walking toward a far one where a direct solve fails.

use movement::{Family, MovementSpec};
use quantity::Length;

use crate::body::Body;
use crate::capacity::Capacity;
use crate::constants::engine;
use crate::result::MotionError;
use crate::solve::{Effort, Solved, solve};
use crate::statics::Row;
use crate::task::{PostureProblem, Task, guess};
use crate::tasks::far_tasks;

pub(crate) fn effort() -> Effort {
    Effort { outer: 12, inner: 14, tolerance: engine().tolerance, settle: 1e-4, rho: 2000.0 }
}

pub(crate) struct Found {
    pub(crate) task: Task,
    pub(crate) solved: Solved,
}

pub(crate) fn attempt(body: &Body, capacity: &Capacity, task: &Task, starts: &[Row]) -> Option<Solved> {
    let problem = PostureProblem::new(body, capacity, task);
    let mut steps = 0;
    let mut best: Option<Solved> = None;
    for start in starts {
        let solved = solve(&problem, start, effort());
        steps += solved.steps;
        if solved.violation < engine().tolerance && best.as_ref().is_none_or(|b| solved.cost < b.cost) {
            best = Some(solved);
            // Only crossing legs are known to have more than one posture.
            if !task.passing.feet {
                break;
            }
        }
    }
    best.map(|b| Solved { steps, ..b })
}

pub(crate) fn cold_starts(body: &Body, task: &Task) -> Vec<Row> {
    if task.passing.feet && !task.square {
        vec![guess(body, task, 0.35), guess(body, task, 0.0), guess(body, task, 0.8)]
    } else {
        vec![guess(body, task, 0.0)]
    }
}

/// Solves the far point directly: from a near solution where there is one, else cold.
pub(crate) fn direct(
    body: &Body,
    capacity: &Capacity,
    spec: &MovementSpec,
    near: Option<&Row>,
) -> Option<Found> {
    // A neighbour's posture is followed while it can be: the family of postures does not change
    // along a ray without need.
    if let Some(x) = near
        && let Some(found) = far_tasks(body, spec)
            .into_iter()
            .find_map(|task| attempt(body, capacity, &task, &[*x]).map(|solved| Found { task, solved }))
    {
        return Some(found);
    }
    far_tasks(body, spec).into_iter().find_map(|task| {
        let starts = cold_starts(body, &task);
        attempt(body, capacity, &task, &starts).map(|solved| Found { task, solved })
    })
}

/// How far a walk came: the last value that was solved, and its solution.
pub(crate) struct Walked {
    pub(crate) value: f64,
    pub(crate) found: Option<Found>,
}

/// The smallest step of a walk, metres: what "out of reach by" is exact to.
const STEP: f64 = 0.005;

/// Walks from `from` toward `to`, each solution starting the next, halving the step where one fails.
pub(crate) fn walk(
    body: &Body,
    capacity: &Capacity,
    from: f64,
    to: f64,
    first: Option<Row>,
    task_at: impl Fn(f64) -> Task,
) -> Walked {
    let mut at = Walked { value: from, found: None };
    let mut start = first;
    let mut next = f64::midpoint(from, to);
    while to - at.value > 1e-9 {
        let task = task_at(next);
        let starts = start.map_or_else(|| cold_starts(body, &task), |x| vec![x]);
        if let Some(solved) = attempt(body, capacity, &task, &starts) {
            start = Some(solved.x);
            at = Walked { value: next, found: Some(Found { task, solved }) };
            next = to;
        } else {
            if next - at.value < STEP {
                break;
            }
            next = f64::midpoint(at.value, next);
        }
    }
    at
}

/// Walks out along the ray, in each way the feet may stand; the furthest wins.
pub(crate) fn walk_out(body: &Body, capacity: &Capacity, spec: &MovementSpec) -> Walked {
    let (from, to) = (body.half_hip_spacing, spec.distance.in_m());
    let mut best = Walked { value: from.min(to), found: None };
    for kind in 0..far_tasks(body, spec).len() {
        let walked = walk(body, capacity, from.min(to), to, None, |d| {
            far_tasks(body, &spec.at(Length::m(d))).swap_remove(kind)
        });
        if walked.found.is_some() && walked.value > best.value {
            best = walked;
        }
        if best.value >= to {
            break;
        }
    }
    best
}

/// Solves the far point, or says what is missing.
pub(crate) fn far(body: &Body, capacity: &Capacity, spec: &MovementSpec) -> Result<Found, MotionError> {
    if let Some(found) = direct(body, capacity, spec, None) {
        return Ok(found);
    }
    let asked = spec.distance.in_m();
    let walked = walk_out(body, capacity, spec);
    if let (Some(found), true) = (walked.found, walked.value >= asked) {
        return Ok(found);
    }
    let out_of_reach = |by: f64| MotionError::OutOfReach {
        movement: spec.sentence(),
        asked: spec.distance,
        by: Length::m(by.max(STEP)),
    };
    let (Family::Lunge, Some(depth)) = (spec.family, spec.depth) else {
        return Err(out_of_reach(asked - walked.value));
    };
    // The place may be in reach, only not as deep.
    let shallow = MovementSpec { depth: Some(Length::ZERO), ..spec.clone() };
    let standing = match direct(body, capacity, &shallow, None) {
        Some(found) => found,
        None => {
            let walked = walk_out(body, capacity, &shallow);
            match walked.found {
                Some(found) if walked.value >= asked => found,
                _ => return Err(out_of_reach(asked - walked.value)),
            }
        }
    };
    let sunk = walk(body, capacity, 0.0, depth.in_m(), Some(standing.solved.x), |drop| Task {
        min_drop: Some(drop),
        ..standing.task.clone()
    });
    match sunk.found {
        Some(found) if sunk.value >= depth.in_m() => Ok(found),
        _ => Err(MotionError::DepthNotReached {
            movement: spec.sentence(),
            by: Length::m((depth.in_m() - sunk.value).max(STEP)),
        }),
    }
}
