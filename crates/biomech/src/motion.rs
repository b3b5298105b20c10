//! Arrow 3: from a movement to its key postures, or to what is missing.
//!
//! The far point is solved free to turn and square to the front. When a direct solve fails, the
//! distance is approached in steps from nearer ones; when that fails too, the nearest distance
//! that can be solved is found and the difference is reported. Nothing falls back silently.

use anatomy::{PerSide, Side};
use movement::{Family, HandShare, MovementSpec, Place};
use quantity::Share;

use crate::arm_tasks::{key_poses, pose_name};
use crate::arms::ArmPose;
use crate::balance::margin;
use crate::body::Body;
use crate::capacity::Capacity;
use crate::constants::engine;
use crate::continuity::Contacts;
use crate::flight::{self, GroundForce};
use crate::obstacles::swing_passes_through;
use crate::posture::{arms, posture, signed_moments};
use crate::result::{ArmState, KeyFrame, Motion, MotionError, Phase, Turn};
use crate::rigid::together;
use crate::search::{Found, attempt, direct, far, turned_and_square};
use crate::solve::Solved;
use crate::state::{NQ, Seg, State, V3};
use crate::statics::{Statics, corners};
use crate::task::{
    FootTask, Passing, PostureProblem, Task, body_weight, centre_of_mass, centre_of_pressure, guess, parts,
};
use crate::tasks::{base_task, feet, start_foot};

fn frame(
    (body, capacity): (&Body, &Capacity),
    task: &Task,
    solved: &Solved,
    phase: Phase,
    turn: Turn,
) -> KeyFrame {
    let x = &solved.x;
    let state = State::new(body, &x[..NQ]);
    let setting = crate::statics::Setting { sole: PostureProblem::soles(task), carry: task.carry };
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
    let held = PerSide::from_fn(|side| {
        task.carry.props[side as usize].map_or(0.0, |prop| prop.share * body_weight(body))
    });
    let total = carried.left + carried.right + held.left + held.right;
    let pressure = centre_of_pressure(body, &state, x, &setting);
    let hands_carry = held.left + held.right > 0.0;
    let links = arms(body, &state, task);
    let trunk_up = state.dir(Seg::Trunk, V3::y());
    KeyFrame {
        phase,
        turn,
        posture: posture(body, &state, x, task, &links),
        load_share: carried.map(|n| Share::of_one((n / total).max(0.0))),
        on_hands: held.map(|n| Share::of_one(n / total)),
        arms: PerSide::from_fn(|side| {
            let (arm, load) = (&links[side as usize], task.carry.in_hand[side as usize]);
            let state = arm.state(body, trunk_up, load, *held.get(side));
            // A hanging arm is drawn a little bent; it hangs and needs no moment.
            match task.carry.pose(side) {
                ArmPose::Hanging if *held.get(side) <= 0.0 => {
                    ArmState { shoulder_elevation: state.shoulder_elevation, ..ArmState::AT_REST }
                }
                _ => state,
            }
        }),
        centre_of_pressure: pressure,
        centre_of_mass: [mass.x, mass.y, mass.z],
        force: GroundForce::STILL,
        balance: margin(contacts, if hands_carry { pressure } else { [mass.x, mass.z] }),
        moments: signed_moments(&statics.tau),
        iterations: solved.steps,
        cost: solved.cost,
        contacts: Contacts::of(body, capacity, task, &state, x),
        x: Box::new(*x),
        setting,
    }
}

fn standing(body: &Body, capacity: &Capacity, spec: &MovementSpec, single: bool) -> Option<KeyFrame> {
    if spec.family.is_airborne() {
        let (both, alone) = flight::start_tasks(body, spec);
        let (task, phase) = if single { (alone?, Phase::SingleSupport) } else { (both, Phase::Start) };
        let solved = attempt(body, capacity, &task, &[guess(body, &task, 0.0)])?;
        return Some(frame((body, capacity), &task, &solved, phase, Turn::Turned));
    }
    let stance = spec.stance();
    let mover = if single {
        FootTask::Lifted { middle: body.start_foot_centre(spec.mover), height: engine().lift }
    } else {
        start_foot(body, spec.mover)
    };
    let mut task = base_task(body, spec, feet(stance, start_foot(body, stance), mover));
    task.passing = Passing { mover: spec.mover, toward: V3::new(0.0, 0.0, spec.mover.sign()), feet: false };
    let solved = attempt(body, capacity, &task, &[guess(body, &task, 0.0)])?;
    let phase = if single { Phase::SingleSupport } else { Phase::Start };
    Some(frame((body, capacity), &task, &solved, phase, Turn::Turned))
}

/// Whether two movements begin with the same postures.
fn same_start(a: &MovementSpec, b: &MovementSpec) -> bool {
    a.mover == b.mover
        && a.load == b.load
        && a.arms == b.arms
        && a.support == b.support
        && a.place == b.place
        && a.hand_share == b.hand_share
        && (a.family == Family::BendAndReach) == (b.family == Family::BendAndReach)
        && (a.family == b.family && a.depth == b.depth || !a.family.is_airborne() && !b.family.is_airborne())
}

fn at_start(
    body: &Body,
    capacity: &Capacity,
    spec: &MovementSpec,
    near: Option<&Motion>,
) -> Option<Vec<KeyFrame>> {
    if let Some(near) = near
        && same_start(&near.spec, spec)
    {
        let at_start =
            |f: &&KeyFrame| matches!(f.phase, Phase::Start | Phase::SingleSupport | Phase::TakeOff);
        return Some(near.frames.iter().filter(at_start).cloned().collect());
    }
    let mut frames = vec![standing(body, capacity, spec, false)?];
    if spec.family.is_airborne() {
        frames.extend(standing(body, capacity, spec, true));
        let task = flight::take_off_task(body, spec);
        let solved = attempt(body, capacity, &task, &[guess(body, &task, 0.0)])?;
        frames.push(frame((body, capacity), &task, &solved, Phase::TakeOff, Turn::Turned));
    } else if spec.family != Family::BendAndReach {
        frames.push(standing(body, capacity, spec, true)?);
    }
    Some(frames)
}

/// Adds the start, the square posture and the key poses of the arm task to a solved far point.
fn complete(
    body: &Body,
    capacity: &Capacity,
    spec: &MovementSpec,
    found: &Found,
    near: Option<&Motion>,
) -> Result<Motion, MotionError> {
    let not_found = |pose: String| MotionError::ArmTaskNotReached { movement: spec.sentence(), pose };
    let mut frames = at_start(body, capacity, spec, near).ok_or_else(|| {
        hand_that_misses(body, capacity, spec)
            .map_or_else(|| not_found(pose_name(spec, Phase::Start)), |hand| support_out_of_reach(spec, hand))
    })?;
    let (turned, square) = turned_and_square(body, capacity, found);
    if let Some((task, solved)) = &square {
        frames.push(frame((body, capacity), task, solved, Phase::Far, Turn::Square));
    }
    frames.push(frame((body, capacity), &found.task, &turned, Phase::Far, Turn::Turned));
    let mut flight = None;
    if let Some(k) = frames.iter().position(|f| f.phase == Phase::TakeOff) {
        let (before, landings) = frames.split_at_mut(k + 1);
        flight = Some(flight::fly(body, capacity, spec, &mut before[k], landings)?);
    }
    for mut pose in key_poses(body, spec, &found.task, &turned.x) {
        let earlier =
            |phase: Phase| near.and_then(|m| m.frames.iter().find(|f| f.phase == phase)).map(|f| *f.x);
        let mut starts: Vec<_> = earlier(pose.phase).into_iter().collect();
        if pose.stays_bent
            && let Some(before) = frames.last()
        {
            let trunk = State::new(body, &before.x[..NQ]).dir(Seg::Trunk, V3::y());
            pose.task.stay_bent = Some(trunk.y.clamp(-1.0, 1.0).acos());
            starts.push(*before.x);
        }
        if pose.from_far {
            starts.push(turned.x);
        } else if let Some(start) = frames.first() {
            starts.push(*start.x);
        }
        starts.push(guess(body, &pose.task, 0.0));
        let solved = starts
            .iter()
            .find_map(|start| attempt(body, capacity, &pose.task, std::slice::from_ref(start)))
            .ok_or_else(|| not_found(pose_name(spec, pose.phase)))?;
        frames.push(frame((body, capacity), &pose.task, &solved, pose.phase, Turn::Turned));
    }
    let barred_by =
        spec.place.filter(|place| way_is_barred(body, spec, place, found)).map(|place| place.kind);
    Ok(Motion { spec: spec.clone(), frames, flight, barred_by })
}

fn in_the_way(spec: &MovementSpec, place: &Place) -> MotionError {
    MotionError::SupportInTheWay { movement: spec.sentence(), kind: place.kind }
}

/// Whether the moving foot would pass through the support on its way to this far point.
fn way_is_barred(body: &Body, spec: &MovementSpec, place: &Place, found: &Found) -> bool {
    if spec.family == Family::BendAndReach {
        return false;
    }
    let state = State::new(body, &found.solved.x[..NQ]);
    let middle = V3::new(body.foot_length / 2.0 - body.ankle_from_heel, -body.ankle_height, 0.0);
    let barred = |side: Side| {
        let foot = Seg::Foot(side);
        let at = state.point(foot, middle);
        let heading = state.dir(foot, V3::x());
        let from = flight::start_middle(body, spec, side);
        swing_passes_through(body, spec, place, from, [at.x, at.y, at.z], heading.z.atan2(heading.x))
    };
    barred(spec.mover) || (spec.family == Family::TwoFootJump && barred(spec.mover.other()))
}

fn support_out_of_reach(spec: &MovementSpec, hand: Side) -> MotionError {
    MotionError::SupportOutOfReach { movement: spec.sentence(), hand }
}

/// Which hand keeps a far point from being solved, where it can be solved without the hands.
fn hand_that_misses(body: &Body, capacity: &Capacity, spec: &MovementSpec) -> Option<Side> {
    if spec.place.is_none() || spec.hand_share.of(spec.support).in_one() <= 0.0 {
        return None;
    }
    let free = MovementSpec { hand_share: HandShare::NotAssessed, ..spec.clone() };
    let found = far(body, capacity, &free).ok()?;
    let state = State::new(body, &found.solved.x[..NQ]);
    let carry = crate::tasks::carry(body, spec);
    let miss = |side: Side| {
        carry.props[side as usize].map_or(0.0, |prop| {
            let shoulder = state.point(Seg::Trunk, *body.shoulder_from_lumbar.get(side));
            (prop.hold(side, shoulder).0 - shoulder).norm()
        })
    };
    let [left, right] = Side::BOTH.map(miss);
    Some(if left > right { Side::Left } else { Side::Right })
}

/// The key postures of a movement for this body.
///
/// Frames in order: start, single support, for a flight the take-off, the far point square and
/// turned, then the key poses of the arm task. Far and start are solved with what is carried where it is carried.
///
/// # Errors
/// [`MotionError::OutOfReach`] with how much nearer it would have to be,
/// [`MotionError::DepthNotReached`] with the missing depth, both to half a centimetre;
/// [`MotionError::TooNear`] where a crossing foot would stand on the other one, with where there is room;
/// [`MotionError::SupportOutOfReach`] where the hands that carry weight would miss the support;
/// [`MotionError::PushTooWeak`] where a push would need clearly more than the legs can hold;
/// [`MotionError::SupportInTheWay`] where a leg would pass through the support;
/// [`MotionError::ArmTaskNotReached`] where the feet reach and the arms' task does not.
pub fn motion(body: &Body, capacity: &Capacity, spec: &MovementSpec) -> Result<Motion, MotionError> {
    let found = far(body, capacity, spec).map_err(|error| {
        if let Some(hand) = hand_that_misses(body, capacity, spec) {
            return support_out_of_reach(spec, hand);
        }
        let free = MovementSpec { place: None, hand_share: HandShare::NotAssessed, ..spec.clone() };
        match spec.place {
            Some(place) if far(body, capacity, &free).is_ok() => in_the_way(spec, &place),
            _ => error,
        }
    })?;
    complete(body, capacity, spec, &found, None)
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
    complete(body, capacity, spec, &found, neighbour).ok()
}

/// As [`motion_near`], for another load or arm task at the same place: the far point starts from
/// `beside`, the plain movement there; the start and the key poses of the arms from `begun`, a movement
/// with the same load and arms at another distance, where there is one.
#[must_use]
pub fn motion_beside(
    body: &Body,
    capacity: &Capacity,
    spec: &MovementSpec,
    beside: &Motion,
    begun: Option<&Motion>,
) -> Option<Motion> {
    let found = direct(body, capacity, spec, beside.far_start().as_ref())?;
    complete(body, capacity, spec, &found, begun.or(Some(beside))).ok()
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
    complete(body, capacity, spec, &found, near).ok()
}

/// Room beside an asked forward lean for the trunk to lean sideways as well, radians (half a degree).
const LEAN_SLACK: f64 = 0.0087;

impl KeyFrame {
    /// Moment of inertia of the body with what it carries, as point masses, about the vertical through
    /// its centre of mass, kg m².
    pub(crate) fn inertia_about_vertical(&self, body: &Body) -> f64 {
        let state = State::new(body, &self.x[..NQ]);
        together(&parts(body, &state, &self.setting)).map_or(0.0, |whole| whole.inertia[(1, 1)])
    }
}

impl Motion {
    /// The solver's variables at the far point, free to turn.
    pub(crate) fn far_start(&self) -> Option<crate::statics::Row> {
        self.frames.iter().find(|f| f.phase == Phase::Far && f.turn == Turn::Turned).map(|f| *f.x)
    }
}
