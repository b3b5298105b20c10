//! Solving one posture, and walking toward a far one where a direct solve fails.
//!
//! A far point is tried from the guesses of every known family of postures: pelvis to the front or
//! turned either way, standing knee straight or bent, trunk upright or leaning. Where legs cross the
//! cheapest of the first guesses is taken; elsewhere the first guess that succeeds is, because there
//! the random-start study finds one posture. The order is fixed, so the answer is too.

use anatomy::Side;
use movement::{Crossing, Family, MovementSpec};
use quantity::Length;

use crate::arms::ArmPose;
use crate::body::Body;
use crate::capacity::Capacity;
use crate::constants::engine;
use crate::mirror;
use crate::result::MotionError;
use crate::solve::{Effort, Solved, solve};
use crate::state::{NQ, TILT, TRUNK, YAW, leg};
use crate::statics::Row;
use crate::study::Dice;
use crate::task::{PostureProblem, Task, guess};
use crate::tasks::far_tasks;

pub(crate) fn effort() -> Effort {
    Effort { outer: 12, inner: 14, tolerance: engine().tolerance, settle: 1e-2, polish: 3e-7, rho: 2000.0 }
}

pub(crate) struct Found {
    pub(crate) task: Task,
    pub(crate) solved: Solved,
}

/// The cheapest of what these starts end in where legs cross, else the first that succeeds; `Err`
/// with the smallest violation that was left.
fn from_starts(body: &Body, capacity: &Capacity, task: &Task, starts: &[Row]) -> Result<Solved, f64> {
    if task.passing.mover == Side::Left {
        let starts: Vec<Row> = starts.iter().map(mirror::row).collect();
        let (body, capacity) = (body.mirrored(), capacity.mirrored());
        return from_starts(&body, &capacity, &task.mirrored(), &starts)
            .map(|solved| Solved { x: mirror::row(&solved.x), ..solved });
    }
    let task = mirror::snapped_task(task);
    let problem = PostureProblem::new(body, capacity, &task);
    let mut steps = 0;
    let mut least = f64::INFINITY;
    let mut best: Option<Solved> = None;
    for start in starts {
        let solved = solve(&problem, &mirror::snapped_row(start), effort());
        steps += solved.steps;
        least = least.min(solved.violation);
        if solved.violation < engine().tolerance && best.as_ref().is_none_or(|b| solved.cost < b.cost) {
            best = Some(solved);
            // Only crossing legs are known to have more than one posture.
            if !task.passing.feet {
                break;
            }
        }
    }
    best.map(|b| Solved { steps, ..b }).ok_or(least)
}

/// Solves a task from these starts.
pub(crate) fn attempt(body: &Body, capacity: &Capacity, task: &Task, starts: &[Row]) -> Option<Solved> {
    from_starts(body, capacity, task, starts).ok()
}

/// The first guesses.
pub(crate) fn cold_starts(body: &Body, task: &Task) -> Vec<Row> {
    if task.passing.feet && !task.square {
        vec![guess(body, task, 0.35), guess(body, task, 0.0), guess(body, task, 0.8)]
    } else {
        vec![guess(body, task, 0.0)]
    }
}

/// How much lower the other families begin (shares of stature), how far the pelvis tips forward with
/// the trunk and how far it turns (radians).
const LOWER: [f64; 2] = [0.12, 0.22];
const TIPPED: [f64; 2] = [0.6, 0.9];
const TURNED: f64 = 0.5;
/// How many guesses are scattered, and the seed that makes them the same every time.
const SCATTERED: usize = 12;
/// As many where a lunge crosses deeply, the narrowest targets of all.
const SCATTERED_DEEP: usize = 32;
const SCATTER_SEED: u64 = 20_061;
/// How far the trunk bends on the pelvis where a hand reaches far, radians.
const LEANT: f64 = 0.6;

/// Guesses of the other families: lower, tipped forward, turned either way.
fn other_starts(body: &Body, task: &Task) -> Vec<Row> {
    let low = |share: f64| {
        let drop = task.min_drop.unwrap_or(0.0) + share * body.stature;
        guess(body, &Task { min_drop: Some(drop), ..task.clone() }, 0.0)
    };
    let tipped = |mut x: Row, by: f64| {
        x[TILT] -= by;
        for side in Side::BOTH {
            x[leg(side)] += by;
        }
        x
    };
    let turned = |mut x: Row, by: f64| {
        x[YAW] += by;
        for side in Side::BOTH {
            x[leg(side) + 2] += by * side.sign();
        }
        x
    };
    let squat = low(LOWER[0]);
    let bow = tipped(guess(body, task, 0.0), TIPPED[0]);
    let fold = tipped(low(LOWER[1]), TIPPED[1]);
    let mut starts = vec![squat, bow, fold];
    for by in [TURNED, -TURNED].map(|by| by * task.passing.mover.sign()) {
        starts.extend([turned(squat, by), turned(fold, by)]);
        if task.carry.arms.iter().any(|a| matches!(a, ArmPose::Reaching { .. })) {
            let mut twisted = turned(fold, by);
            twisted[TRUNK] += LEANT;
            twisted[TRUNK + 2] += by;
            starts.push(twisted);
        }
    }
    if task.passing.feet {
        let deep = Task { min_drop: task.min_drop.map(|d| d + LOWER[0] * body.stature), ..task.clone() };
        starts.extend([guess(body, &deep, 0.35), guess(body, &deep, 0.8), guess(body, task, -0.35)]);
    }
    starts
}

/// Solves the far point directly: from a near solution where there is one, else from the guesses.
pub(crate) fn direct(
    body: &Body,
    capacity: &Capacity,
    spec: &MovementSpec,
    near: Option<&Row>,
) -> Option<Found> {
    let tasks = far_tasks(body, spec);
    let first = |starts: &dyn Fn(&Task) -> Vec<Row>| {
        tasks.iter().find_map(|task| {
            attempt(body, capacity, task, &starts(task)).map(|solved| Found { task: task.clone(), solved })
        })
    };
    // A neighbour's posture is followed while it can be: the family of postures does not change
    // along a ray without need.
    let along = near.copied().or_else(|| followed(body, capacity, spec));
    along.and_then(|x| first(&|_| vec![x])).or_else(|| first(&|task| cold_starts(body, task)))
}

/// Where a ray is first solved, as shares of the leg; the first that can be. From there it is followed
/// in rungs of this share, so that neighbours are of one family wherever that family goes on.
const ANCHORS: [f64; 3] = [0.45, 0.35, 0.28];
const RUNG: f64 = 0.05;

/// The posture at the last rung before this distance, followed from the anchor of the ray; nothing at
/// the anchor itself, and for families that have one posture only. Where the way breaks off the
/// guesses begin again and are followed from there.
fn followed(body: &Body, capacity: &Capacity, spec: &MovementSpec) -> Option<Row> {
    let many = matches!(spec.family, Family::BendAndReach | Family::Reach) || spec.crosses();
    if !many || spec.family.is_airborne() {
        return None;
    }
    let leg = body.leg_length(spec.mover).in_m();
    let solved = |at: f64, start: Option<Row>| {
        let tasks = far_tasks(body, &spec.at(Length::m(at * leg)));
        let first = |starts: &dyn Fn(&Task) -> Vec<Row>| {
            tasks.iter().find_map(|task| attempt(body, capacity, task, &starts(task)))
        };
        let found =
            start.and_then(|x| first(&|_| vec![x])).or_else(|| first(&|task| cold_starts(body, task)));
        found.map(|solved| solved.x)
    };
    let to = spec.distance.in_m() / leg;
    let (mut at, mut x) = ANCHORS.into_iter().find_map(|at| solved(at, None).map(|x| (at, x)))?;
    if (to - at).abs() < 1e-9 {
        return None;
    }
    while (to - at).abs() > RUNG {
        at += RUNG.copysign(to - at);
        x = solved(at, Some(x))?;
    }
    Some(x)
}

/// Guesses scattered around the first one, always the same, and in a mirror the same.
fn scattered_starts(body: &Body, task: &Task) -> Vec<Row> {
    if task.passing.mover == Side::Left {
        let starts = scattered_starts(&body.mirrored(), &task.mirrored());
        return starts.iter().map(mirror::row).collect();
    }
    let mut dice = Dice(SCATTER_SEED);
    let first = guess(body, task, 0.0);
    let many = if task.passing.feet { SCATTERED_DEEP } else { SCATTERED };
    (0..many)
        .map(|_| {
            let mut x = first;
            for angle in &mut x[YAW..NQ] {
                *angle += dice.between(-TURNED, TURNED);
            }
            x
        })
        .collect()
}

/// As [`direct`] from the guesses of the other families.
fn direct_otherwise(body: &Body, capacity: &Capacity, spec: &MovementSpec) -> Option<Found> {
    far_tasks(body, spec).into_iter().find_map(|task| {
        let mut starts = other_starts(body, &task);
        // Deep crossing lunges and far hands are the narrowest targets.
        if task.min_drop.is_some_and(|d| d > 0.0) || spec.family == Family::BendAndReach {
            starts.extend(scattered_starts(body, &task));
        }
        starts.into_iter().find_map(|start| {
            attempt(body, capacity, &task, &[start]).map(|solved| Found { task: task.clone(), solved })
        })
    })
}

/// How far a walk came: the last value that was solved, and its solution.
pub(crate) struct Walked {
    pub(crate) value: f64,
    pub(crate) found: Option<Found>,
}

/// The smallest step of a walk, metres: what "out of reach by" is exact to.
const STEP: f64 = 0.005;
/// Where a walk looks for a first posture, as shares of the way.
const LOOKS: [f64; 5] = [0.75, 0.5, 0.25, 0.9, 0.1];
/// A step that leaves this violation per metre is that much too long.
const SHORTFALL: f64 = 3.0;

/// Walks from `first` at `from` toward `to`, each solution starting the next; a step that fails is
/// shortened by what its violation suggests, at least halved.
fn walk(
    body: &Body,
    capacity: &Capacity,
    from: f64,
    to: f64,
    first: Row,
    task_at: impl Fn(f64) -> Task,
) -> Walked {
    let mut at = Walked { value: from, found: None };
    let mut start = first;
    let mut step = to - from;
    while to - at.value > 1e-9 {
        let next = (at.value + step).min(to);
        let task = task_at(next);
        match from_starts(body, capacity, &task, &[start]) {
            Ok(solved) => {
                start = solved.x;
                at = Walked { value: next, found: Some(Found { task, solved }) };
                step *= 1.5;
            }
            Err(_) if step <= STEP => break,
            Err(violation) => {
                let short = step - SHORTFALL * violation;
                step = if short < 0.25 * step { 0.4 * step } else { short.min(0.75 * step) }.max(STEP);
            }
        }
    }
    at
}

/// How far ahead of where a walk ended other guesses are tried once more, metres.
const AHEAD: [f64; 2] = [0.02, 0.045];

/// Walks out along the ray, in each way the feet may stand; the furthest wins. Where it ends the
/// guesses are tried once more a little further out: a family may end where another goes on.
fn walk_out(body: &Body, capacity: &Capacity, spec: &MovementSpec) -> Walked {
    let to = spec.distance.in_m();
    let from = body.half_hip_spacing.min(to);
    let on = |value: f64, kind: usize, found: Found| {
        let task_at = |d: f64| far_tasks(body, &spec.at(Length::m(d))).swap_remove(kind);
        let walked = walk(body, capacity, value, to, found.solved.x, task_at);
        if walked.found.is_some() { walked } else { Walked { value, found: Some(found) } }
    };
    let start = |value: f64, kind: usize| {
        let task = far_tasks(body, &spec.at(Length::m(value))).swap_remove(kind);
        let solved = attempt(body, capacity, &task, &cold_starts(body, &task))?;
        Some(Found { task, solved })
    };
    let kinds = far_tasks(body, spec).len();
    let mut best = Walked { value: from, found: None };
    for kind in 0..kinds {
        let look = LOOKS.into_iter().map(|share| from + share * (to - from)).filter(|v| *v > best.value);
        if let Some((value, found)) = { look }.find_map(|v| start(v, kind).map(|found| (v, found))) {
            best = on(value, kind, found);
        }
    }
    while best.found.is_some() && best.value < to {
        let mut ahead = AHEAD.into_iter().map(|a| best.value + a).filter(|v| *v < to);
        let further = ahead.find_map(|v| (0..kinds).find_map(|k| start(v, k).map(|found| (v, k, found))));
        match further {
            Some((value, kind, found)) => best = on(value, kind, found),
            None => break,
        }
    }
    best
}

/// Sinks from a posture that stands there, as deep as asked or as far as it goes.
fn sink(body: &Body, capacity: &Capacity, standing: &Found, from: f64, depth: f64) -> Walked {
    walk(body, capacity, from, depth, standing.solved.x, |drop| Task {
        min_drop: Some(drop),
        ..standing.task.clone()
    })
}

/// Everything that is tried at one place without walking there.
fn anyhow(body: &Body, capacity: &Capacity, spec: &MovementSpec) -> Option<Found> {
    direct(body, capacity, spec, None).or_else(|| direct_otherwise(body, capacity, spec))
}

/// Everything that is tried at one place.
fn by_any_way(body: &Body, capacity: &Capacity, spec: &MovementSpec) -> Option<Found> {
    anyhow(body, capacity, spec).or_else(|| {
        let walked = walk_out(body, capacity, spec);
        walked.found.filter(|_| walked.value >= spec.distance.in_m())
    })
}

/// How far beyond the end of a walk everything is tried once more, metres: what is said to be missing is
/// exact to this, unless nothing is found there and something further out.
const BEYOND: f64 = 0.01;

/// Walks on with `walk` wherever everything that is tried finds a posture a little beyond its end.
fn as_far_as_anything(
    mut at: Walked,
    to: f64,
    try_at: impl Fn(f64) -> Option<Found>,
    walk: impl Fn(f64, &Found) -> Walked,
) -> Walked {
    while at.value < to - 1e-9 {
        let next = (at.value + BEYOND).min(to);
        let Some(found) = try_at(next) else { break };
        let walked = walk(next, &found);
        at = if walked.found.is_some() { walked } else { Walked { value: next, found: Some(found) } };
    }
    at
}

/// What the place can be sunk to, or why not even standing there is possible.
fn deepest(body: &Body, capacity: &Capacity, spec: &MovementSpec, depth: f64) -> Option<Walked> {
    let at = |depth: f64| MovementSpec { depth: Some(Length::m(depth)), ..spec.clone() };
    let standing = by_any_way(body, capacity, &at(0.0))?;
    let sunk = sink(body, capacity, &standing, 0.0, depth);
    Some(as_far_as_anything(
        Walked { value: sunk.value, found: sunk.found.or(Some(standing)) },
        depth,
        |d| by_any_way(body, capacity, &at(d)),
        |d, found| sink(body, capacity, found, d, depth),
    ))
}

/// How far out it goes at the asked depth, and what was found there.
fn furthest(body: &Body, capacity: &Capacity, spec: &MovementSpec) -> Walked {
    let at = |d: f64| spec.at(Length::m(d));
    let to = spec.distance.in_m();
    let mut walked = as_far_as_anything(
        walk_out(body, capacity, spec),
        to,
        |d| by_any_way(body, capacity, &at(d)),
        |d, found| {
            let same = |kind: &usize| far_tasks(body, &at(d))[*kind].feet == found.task.feet;
            let kind = (0..far_tasks(body, spec).len()).find(same).unwrap_or(0);
            let task_at = |d: f64| far_tasks(body, &at(d)).swap_remove(kind);
            walk(body, capacity, d, to, found.solved.x, task_at)
        },
    );
    // Asked again there the way is another one: what is said must be found.
    while walked.found.is_some() && walked.value < to {
        match by_any_way(body, capacity, &at((walked.value - ASKED_AGAIN).max(0.0))) {
            Some(_) => break,
            None => walked.value -= BACK,
        }
    }
    walked
}

/// How much nearer than the end of a walk it is asked again, and in what steps it goes back, metres.
const ASKED_AGAIN: f64 = 1e-6;
const BACK: f64 = 0.002;

/// How far beyond a crossing foot that finds no room another place is looked for, in what strides, and how
/// exact the answer is, metres: a foot's length clears the other foot.
const ROOM_WITHIN: f64 = 0.30;
const ROOM_STRIDE: f64 = 0.04;
const ROOM_EXACT: f64 = 0.01;

/// Where a crossing foot finds room beyond the asked place, when nothing nearer was found either.
fn room_from(body: &Body, capacity: &Capacity, spec: &MovementSpec) -> Option<Length> {
    if spec.crossing == Crossing::None {
        return None;
    }
    let stands = |d: f64| anyhow(body, capacity, &spec.at(Length::m(d))).is_some();
    let asked = spec.distance.in_m();
    let strides = (1..).map(|n| asked + f64::from(n) * ROOM_STRIDE).take_while(|d| *d <= asked + ROOM_WITHIN);
    let mut stands_at = { strides }.find(|d| stands(*d))?;
    let mut fails_at = stands_at - ROOM_STRIDE;
    while stands_at - fails_at > ROOM_EXACT {
        let middle = f64::midpoint(stands_at, fails_at);
        if stands(middle) { stands_at = middle } else { fails_at = middle }
    }
    Some(Length::cm((stands_at * 100.0).ceil()))
}

/// Solves the far point, or says what is missing.
pub(crate) fn far(body: &Body, capacity: &Capacity, spec: &MovementSpec) -> Result<Found, MotionError> {
    if let Some(found) = by_any_way(body, capacity, spec) {
        return Ok(found);
    }
    let asked = spec.distance.in_m();
    // The place may be in reach, only not as deep.
    if let (Family::Lunge, Some(depth)) = (spec.family, spec.depth.map(Length::in_m))
        && let Some(sunk) = deepest(body, capacity, spec, depth)
    {
        return match sunk.found {
            Some(found) if sunk.value >= depth => Ok(found),
            _ => Err(MotionError::DepthNotReached {
                movement: spec.sentence(),
                by: Length::m((depth - sunk.value).max(STEP)),
            }),
        };
    }
    let out = match spec.family {
        Family::Lunge => MovementSpec { depth: Some(Length::ZERO), ..spec.clone() },
        _ => spec.clone(),
    };
    let walked = furthest(body, capacity, &out);
    if walked.found.is_none()
        && let Some(from) = room_from(body, capacity, &out)
    {
        return Err(MotionError::TooNear { movement: spec.sentence(), asked: spec.distance, from });
    }
    match walked.found {
        Some(found) if walked.value >= asked && out == *spec => Ok(found),
        _ => Err(MotionError::OutOfReach {
            movement: spec.sentence(),
            asked: spec.distance,
            by: Length::m((asked - walked.value).max(STEP)),
        }),
    }
}

/// A far point free to turn and square to the front. Turning that costs more than not turning was a
/// poorer family: it is solved again from the square posture.
pub(crate) fn turned_and_square(
    body: &Body,
    capacity: &Capacity,
    found: &Found,
) -> (Solved, Option<(Task, Solved)>) {
    let square_task = Task { square: true, ..found.task.clone() };
    let square = attempt(body, capacity, &square_task, &[found.solved.x]);
    let turned = square
        .as_ref()
        .filter(|square| square.cost < found.solved.cost)
        .and_then(|square| attempt(body, capacity, &found.task, &[square.x]))
        .filter(|turned| turned.cost < found.solved.cost)
        .unwrap_or_else(|| found.solved.clone());
    (turned, square.map(|solved| (square_task, solved)))
}
