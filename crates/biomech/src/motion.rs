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
        passing: passing(spec),
        hand_load: spec.load.total().in_kg() / 2.0,
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
    Effort { outer: 12, inner: 14, tolerance: engine().tolerance, settle: 1e-4, rho: 300.0 }
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

/// Solves the far point, from a near solution where there is one, else cold, else by approach.
fn far(body: &Body, capacity: &Capacity, spec: &MovementSpec, near: Option<&Row>) -> Option<Found> {
    for task in far_tasks(body, spec) {
        let mut starts: Vec<Row> = near.copied().into_iter().collect();
        starts.extend(cold_starts(body, &task));
        if let Some(solved) = attempt(body, capacity, &task, &starts) {
            return Some(Found { task, solved });
        }
    }
    // Approach from nearer distances.
    let lane = body.half_hip_spacing;
    let asked = spec.distance.in_m();
    let count = far_tasks(body, spec).len();
    for kind in 0..count {
        let mut last: Option<Row> = None;
        let mut done = None;
        for share in [0.5, 0.7, 0.85, 0.95, 1.0] {
            let d = lane + (asked - lane).max(0.0) * share;
            let step = spec.at(Length::m(d));
            let task = far_tasks(body, &step).swap_remove(kind);
            let starts = last.map_or_else(|| cold_starts(body, &task), |x| vec![x]);
            let Some(solved) = attempt(body, capacity, &task, &starts) else { break };
            last = Some(solved.x);
            if share == 1.0 {
                done = Some(Found { task, solved });
            }
        }
        if done.is_some() {
            return done;
        }
    }
    None
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

fn solve_motion(
    body: &Body,
    capacity: &Capacity,
    spec: &MovementSpec,
    near: Option<&Motion>,
) -> Option<Motion> {
    let near_x = near.and_then(|m| {
        m.frames.iter().find(|f| f.phase == Phase::Far && f.turn == Turn::Turned).map(|f| *f.x)
    });
    let found = far(body, capacity, spec, near_x.as_ref())?;
    let mut frames = at_start(body, capacity, spec, near)?;
    let mut square = found.task.clone();
    square.square = true;
    if let Some(solved) = attempt(body, capacity, &square, &[found.solved.x]) {
        frames.push(frame(body, &square, &solved, Phase::Far, Turn::Square));
    }
    frames.push(frame(body, &found.task, &found.solved, Phase::Far, Turn::Turned));
    Some(Motion { spec: spec.clone(), frames })
}

/// The longest distance below the asked one that can be solved, to the nearest 5 mm.
fn reachable(body: &Body, capacity: &Capacity, spec: &MovementSpec) -> f64 {
    let (mut low, mut high) = (body.half_hip_spacing, spec.distance.in_m());
    let mut near: Option<Row> = None;
    while high - low > 0.005 {
        let d = f64::midpoint(low, high);
        let step = spec.at(Length::m(d));
        let found = far_tasks(body, &step).into_iter().find_map(|task| {
            let mut starts: Vec<Row> = near.into_iter().collect();
            starts.extend(cold_starts(body, &task));
            attempt(body, capacity, &task, &starts)
        });
        if let Some(solved) = found {
            near = Some(solved.x);
            low = d;
        } else {
            high = d;
        }
    }
    low
}

fn why_not(body: &Body, capacity: &Capacity, spec: &MovementSpec) -> MotionError {
    let movement = spec.sentence();
    if let (Family::Lunge, Some(depth)) = (spec.family, spec.depth) {
        let shallow = MovementSpec { depth: Some(Length::ZERO), ..spec.clone() };
        if let Some(found) = far(body, capacity, &shallow, None) {
            let (mut low, mut high) = (0.0, depth.in_m());
            let mut near = found.solved.x;
            while high - low > 0.005 {
                let d = f64::midpoint(low, high);
                let mut task = found.task.clone();
                task.min_drop = Some(d);
                if let Some(solved) = attempt(body, capacity, &task, &[near]) {
                    near = solved.x;
                    low = d;
                } else {
                    high = d;
                }
            }
            return MotionError::DepthNotReached { movement, by: Length::m(depth.in_m() - low) };
        }
    }
    let by = spec.distance.in_m() - reachable(body, capacity, spec);
    MotionError::OutOfReach { movement, asked: spec.distance, by: Length::m(by) }
}

/// The key postures of a movement for this body.
///
/// # Errors
/// [`MotionError::OutOfReach`] with how much nearer it would have to be, or
/// [`MotionError::DepthNotReached`] with the missing depth.
pub fn motion(body: &Body, capacity: &Capacity, spec: &MovementSpec) -> Result<Motion, MotionError> {
    solve_motion(body, capacity, spec, None).ok_or_else(|| why_not(body, capacity, spec))
}

/// As [`motion`], started from the solution of a neighbouring movement; `None` when it cannot be
/// solved. For surveys that walk along a ray and do not need to know by how much.
#[must_use]
pub fn motion_near(
    body: &Body,
    capacity: &Capacity,
    spec: &MovementSpec,
    neighbour: Option<&Motion>,
) -> Option<Motion> {
    solve_motion(body, capacity, spec, neighbour)
}
