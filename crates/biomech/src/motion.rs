//! Arrow 3: from a movement to its key postures, or to what is missing.
//!
//! The far point is solved free to turn and square to the front. When a direct solve fails, the
//! distance is approached in steps from nearer ones; when that fails too, the nearest distance
//! that can be solved is found and the difference is reported. Nothing falls back silently.

use anatomy::{PerSide, Side};
use movement::{Family, MovementSpec};
use quantity::Share;

use crate::balance::margin;
use crate::body::Body;
use crate::capacity::Capacity;
use crate::constants::engine;
use crate::posture::{posture, signed_moments};
use crate::result::{KeyFrame, Motion, MotionError, Phase, Turn};
use crate::search::{Found, attempt, direct, far};
use crate::solve::Solved;
use crate::state::{NQ, State, V3};
use crate::statics::{Statics, corners};
use crate::task::{
    FootTask, Passing, PostureProblem, Task, body_weight, centre_of_mass, centre_of_pressure, guess,
};
use crate::tasks::{base_task, feet, start_foot};

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
    let near = neighbour.and_then(Motion::far_start);
    let found = direct(body, capacity, spec, near.as_ref())?;
    complete(body, capacity, spec, &found, neighbour)
}

/// As [`motion`], but the trunk leans forward exactly so far at the far point instead of as far as
/// least effort wants; for asking what leaning changes. Tried directly only, from `near` where
/// there is one; `None` when no such posture is found. The usual limit of lean gives way to what
/// is asked.
#[must_use]
pub fn motion_leaning(
    body: &Body,
    capacity: &Capacity,
    spec: &MovementSpec,
    lean: quantity::Angle,
    near: Option<&Motion>,
) -> Option<Motion> {
    let start = near.and_then(Motion::far_start);
    let leaning = |task: Task| Task {
        lean: task.lean.map(|limit| limit.max(lean.in_rad().abs() + LEAN_SLACK)),
        lean_asked: Some(lean.in_rad()),
        ..task
    };
    let found = crate::tasks::far_tasks(body, spec).into_iter().map(leaning).find_map(|task| {
        let starts = start.map_or_else(|| crate::search::cold_starts(body, &task), |x| vec![x]);
        attempt(body, capacity, &task, &starts).map(|solved| Found { task, solved })
    })?;
    complete(body, capacity, spec, &found, near)
}

/// Room beside an asked forward lean for the trunk to lean sideways as well, radians (half a degree).
const LEAN_SLACK: f64 = 0.0087;

impl Motion {
    /// The solver's variables at the far point, free to turn.
    pub(crate) fn far_start(&self) -> Option<crate::statics::Row> {
        self.frames.iter().find(|f| f.phase == Phase::Far && f.turn == Turn::Turned).map(|f| *f.x)
    }
}
