//! Arrow 3: from a movement to its key postures, or to what is missing.
//!
//! The far point is solved free to turn and square to the front. When a direct solve fails, the
//! distance is approached in steps from nearer ones; when that fails too, the nearest distance
//! that can be solved is found and the difference is reported. Nothing falls back silently.

use anatomy::{PerSide, Side};
use movement::{AnatomicalDirection, Crossing, Family, MovementSpec, StanceFoot};
use quantity::{Length, Share};

use crate::balance::margin;
use crate::body::Body;
use crate::capacity::Capacity;
use crate::constants::engine;
use crate::posture::{posture, signed_moments};
use crate::result::{KeyFrame, Motion, MotionError, Phase, Turn};
use crate::solve::{Effort, Solved, solve};
use crate::state::{NQ, State, V3};
use crate::statics::{Reaching, Row, Statics, corners};
use crate::task::{
    FootTask, Passing, PostureProblem, Task, body_weight, centre_of_mass, centre_of_pressure, guess,
};

/// Where the moving foot (or toe, or hand) goes: forward and right of the centre, metres.
///
/// Diagonal and sideways bearings are rays from the centre. Straight ahead and straight back a
/// limb keeps its own lane, beside the centre line, as wide as the feet start (a hand passes
/// outside the leg); it still ends at the asked distance from the centre.
#[must_use]
pub fn landing_point(body: &Body, spec: &MovementSpec) -> [f64; 2] {
    let (ahead, right) = spec.bearing.forward_right();
    let d = spec.distance.in_m();
    if spec.bearing.side_sign() != 0 {
        return [d * ahead, d * right];
    }
    let beside = if spec.family == Family::BendAndReach { engine().hand_lane * body.stature } else { 0.0 };
    let lane = (body.half_hip_spacing + beside).min(d);
    [ahead * (d * d - lane * lane).sqrt(), spec.mover.sign() * lane]
}

fn start_foot(body: &Body, side: Side) -> FootTask {
    FootTask::Flat { middle: body.start_foot_centre(side), yaw: Some(0.0) }
}

fn start_ball(body: &Body, side: Side) -> [f64; 2] {
    let c = body.start_foot_centre(side);
    [c[0] + body.ball_from_heel - body.foot_length / 2.0, c[1]]
}

fn feet(stance: Side, stance_task: FootTask, mover_task: FootTask) -> [FootTask; 2] {
    match stance {
        Side::Left => [stance_task, mover_task],
        Side::Right => [mover_task, stance_task],
    }
}

fn passing(spec: &MovementSpec) -> Passing {
    let toward = match spec.crossing {
        Crossing::None => V3::new(0.0, 0.0, spec.mover.sign()),
        Crossing::InFront => V3::x(),
        Crossing::Behind => -V3::x(),
    };
    Passing { mover: spec.mover, toward, feet: spec.crosses() }
}

fn base_task(spec: &MovementSpec, feet: [FootTask; 2]) -> Task {
    Task {
        feet,
        reaching: None,
        min_drop: None,
        square: false,
        lean: match spec.family {
            Family::Step => Some(engine().step_lean_limit),
            Family::Lunge => Some(engine().lunge_lean_limit),
            Family::Reach => Some(engine().reach_lean_limit),
            Family::BendAndReach => None,
        },
        passing: passing(spec),
        hand_load: spec.load.total().in_kg() / 2.0,
        held: spec.place.map(|place| (spec.support, place)),
    }
}

/// The ways in which the feet may stand at the far point, first choice first.
fn far_tasks(body: &Body, spec: &MovementSpec) -> Vec<Task> {
    let stance = spec.stance();
    let target = landing_point(body, spec);
    let flat = start_foot(body, stance);
    let pivots = spec.stance_foot == StanceFoot::Pivoting;
    let on_ball =
        FootTask::OnBall { ball: start_ball(body, stance), yaw: if pivots { None } else { Some(0.0) } };
    let landed = FootTask::Flat { middle: target, yaw: None };
    let landed_on_ball = FootTask::LandedOnBall { middle: target };
    let backward = matches!(
        spec.bearing.named_from(spec.mover),
        AnatomicalDirection::Posterior
            | AnatomicalDirection::Posterolateral
            | AnatomicalDirection::Posteromedial
    );
    let sideways = matches!(
        spec.bearing.named_from(spec.mover),
        AnatomicalDirection::Lateral | AnatomicalDirection::Medial
    );
    let pairs: Vec<(FootTask, FootTask)> = match spec.family {
        Family::Reach => vec![(if pivots { on_ball } else { flat }, FootTask::ToeTouch { tip: target })],
        Family::BendAndReach => vec![(flat, start_foot(body, spec.mover))],
        Family::Step if pivots => vec![(on_ball, landed), (on_ball, landed_on_ball)],
        Family::Lunge if pivots && backward => vec![(on_ball, landed_on_ball), (on_ball, landed)],
        Family::Lunge if pivots => vec![(on_ball, landed)],
        // The standing foot was asked to stay flat and facing front.
        Family::Step | Family::Lunge if spec.crosses() => vec![(flat, landed), (flat, landed_on_ball)],
        Family::Step if backward => vec![(flat, landed), (flat, landed_on_ball)],
        Family::Step => vec![(flat, landed), (on_ball, landed)],
        Family::Lunge if backward => vec![(flat, landed_on_ball)],
        Family::Lunge if sideways => vec![(flat, landed), (on_ball, landed)],
        Family::Lunge => vec![(on_ball, landed)],
    };
    pairs
        .into_iter()
        .map(|(s, m)| {
            let mut task = base_task(spec, feet(stance, s, m));
            if spec.family == Family::Lunge {
                task.min_drop = spec.depth.map(Length::in_m);
            }
            if let (Family::BendAndReach, Some(height)) = (spec.family, spec.hand_height) {
                let target = V3::new(target[0], body.height_of(height).in_m(), target[1]);
                task.reaching = Some(Reaching { side: spec.mover, target });
            }
            task
        })
        .collect()
}

fn effort() -> Effort {
    Effort { outer: 12, inner: 14, tolerance: engine().tolerance, settle: 1e-4, rho: 2000.0 }
}

struct Found {
    task: Task,
    solved: Solved,
}

fn attempt(body: &Body, capacity: &Capacity, task: &Task, starts: &[Row]) -> Option<Solved> {
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

fn cold_starts(body: &Body, task: &Task) -> Vec<Row> {
    if task.passing.feet && !task.square {
        vec![guess(body, task, 0.35), guess(body, task, 0.0), guess(body, task, 0.8)]
    } else {
        vec![guess(body, task, 0.0)]
    }
}

/// Solves the far point directly: from a near solution where there is one, else cold.
fn direct(body: &Body, capacity: &Capacity, spec: &MovementSpec, near: Option<&Row>) -> Option<Found> {
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
struct Walked {
    value: f64,
    found: Option<Found>,
}

/// The smallest step of a walk, metres: what "out of reach by" is exact to.
const STEP: f64 = 0.005;

/// Walks from `from` toward `to`, each solution starting the next, halving the step where one fails.
fn walk(
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
fn walk_out(body: &Body, capacity: &Capacity, spec: &MovementSpec) -> Walked {
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
fn far(body: &Body, capacity: &Capacity, spec: &MovementSpec) -> Result<Found, MotionError> {
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

fn frame(body: &Body, task: &Task, solved: &Solved, phase: Phase, turn: Turn) -> KeyFrame {
    let x = &solved.x;
    let state = State::new(body, &x[..NQ]);
    let setting = crate::statics::Setting {
        sole: PostureProblem::soles(task),
        hand_load: task.hand_load,
        reaching: task.reaching,
    };
    let statics = Statics::new(body, &state, x, &setting);
    let mass = centre_of_mass(body, &state, &setting);
    let mut contacts = Vec::new();
    for side in Side::BOTH {
        if task.feet[side as usize].carries() {
            let points = corners(body, &state, side, setting.sole[side as usize]);
            contacts.extend(points.into_iter().map(|(p, _)| [p.x, p.z]));
        }
    }
    let carried = PerSide::from_fn(|side| {
        let first = crate::statics::foot_vars(side);
        x[first..first + 4].iter().sum::<f64>() * body_weight(body)
    });
    let total = carried.left + carried.right;
    KeyFrame {
        phase,
        turn,
        posture: posture(body, &state, x, task),
        load_share: carried.map(|n| Share::of_one((n / total).max(0.0))),
        centre_of_pressure: centre_of_pressure(body, &state, x, &setting),
        centre_of_mass: [mass.x, mass.y, mass.z],
        balance: margin(contacts, [mass.x, mass.z]),
        moments: signed_moments(&statics.tau),
        iterations: solved.steps,
        cost: solved.cost,
        x: Box::new(*x),
    }
}

fn standing(body: &Body, capacity: &Capacity, spec: &MovementSpec, single: bool) -> Option<KeyFrame> {
    let stance = spec.stance();
    let mover = if single {
        FootTask::Lifted { middle: body.start_foot_centre(spec.mover), height: engine().lift }
    } else {
        start_foot(body, spec.mover)
    };
    let mut task = base_task(spec, feet(stance, start_foot(body, stance), mover));
    task.passing = Passing { mover: spec.mover, toward: V3::new(0.0, 0.0, spec.mover.sign()), feet: false };
    let solved = attempt(body, capacity, &task, &[guess(body, &task, 0.0)])?;
    let phase = if single { Phase::SingleSupport } else { Phase::Start };
    Some(frame(body, &task, &solved, phase, Turn::Turned))
}

fn at_start(
    body: &Body,
    capacity: &Capacity,
    spec: &MovementSpec,
    near: Option<&Motion>,
) -> Option<Vec<KeyFrame>> {
    if let Some(near) = near
        && near.spec.mover == spec.mover
        && near.spec.load == spec.load
        && (near.spec.family == Family::BendAndReach) == (spec.family == Family::BendAndReach)
    {
        return Some(near.frames.iter().filter(|f| f.phase != Phase::Far).cloned().collect());
    }
    let mut frames = vec![standing(body, capacity, spec, false)?];
    if spec.family != Family::BendAndReach {
        frames.push(standing(body, capacity, spec, true)?);
    }
    Some(frames)
}

/// Adds the start and the square posture to a solved far point.
fn complete(
    body: &Body,
    capacity: &Capacity,
    spec: &MovementSpec,
    found: &Found,
    near: Option<&Motion>,
) -> Option<Motion> {
    let mut frames = at_start(body, capacity, spec, near)?;
    let mut square = found.task.clone();
    square.square = true;
    if let Some(solved) = attempt(body, capacity, &square, &[found.solved.x]) {
        frames.push(frame(body, &square, &solved, Phase::Far, Turn::Square));
    }
    frames.push(frame(body, &found.task, &found.solved, Phase::Far, Turn::Turned));
    Some(Motion { spec: spec.clone(), frames })
}

/// The key postures of a movement for this body.
///
/// # Errors
/// [`MotionError::OutOfReach`] with how much nearer it would have to be, or
/// [`MotionError::DepthNotReached`] with the missing depth, both to half a centimetre.
pub fn motion(body: &Body, capacity: &Capacity, spec: &MovementSpec) -> Result<Motion, MotionError> {
    let found = far(body, capacity, spec)?;
    complete(body, capacity, spec, &found, None).ok_or_else(|| MotionError::OutOfReach {
        movement: spec.sentence(),
        asked: spec.distance,
        by: spec.distance,
    })
}

/// As [`motion`], but tried directly only, from the solution of a neighbouring movement where there
/// is one; `None` when that does not succeed. For surveys that walk along a ray outward and do not
/// need to know by how much the next is out of reach.
#[must_use]
pub fn motion_near(
    body: &Body,
    capacity: &Capacity,
    spec: &MovementSpec,
    neighbour: Option<&Motion>,
) -> Option<Motion> {
    let near = neighbour.and_then(|m| {
        m.frames.iter().find(|f| f.phase == Phase::Far && f.turn == Turn::Turned).map(|f| *f.x)
    });
    let found = direct(body, capacity, spec, near.as_ref())?;
    complete(body, capacity, spec, &found, neighbour)
}
