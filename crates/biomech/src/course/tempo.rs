//! A course at the tempo asked, or a time in which it can be done.

use anatomy::{PerSide, Side};
use movement::{Family, Tempo};
use quantity::{GRAVITY, Share, Span};

use super::centre::Floor;
use super::choices::choices;
use super::phases::{CoursePhase, HOLD_FRAMES};
use super::timed::{Course, FootGround, Leftover, TimedFrame};
use super::way::{Failed, Traveller, WayFrame};
use crate::balance::margin_of;
use crate::body::Body;
use crate::capacity::Capacity;
use crate::result::{CourseGap, Motion, MotionError};

/// The times in which a way is tried: whole parts of a second, so many.
const PARTS: f64 = 10.0;

/// A shorter wait is rounding, seconds.
const LEAST_WAIT: f64 = 1e-6;

/// A way that can be gone, and how long the body stands still at the start before it goes.
struct Gone {
    frames: Vec<WayFrame>,
    waits: f64,
}

/// A movement in time from its key postures.
///
/// Takes the far posture that is shown ([`Motion::shown`]); the hands of a person who holds a support
/// are taken to give balance, not force, where nobody stated a share. The way back is computed for
/// its own duration. Where both ways take equally long it is the way out backward, since the
/// equations of motion do not tell forward from backward in time. The stillness after the movement
/// (`Tempo::settle`) is the first frame, held.
///
/// Who can move quickly can move slowly: a way is gone in the longest whole tenth of a second, no longer
/// than asked, in which the method finds that the feet carry it; for what is left of the time the body stands
/// at the start ([`CoursePhase::Wait`]). So if a tempo is carried every slower one is, and the time that a
/// refusal names is taken when it is asked for.
///
/// # Errors
/// [`MotionError::TempoNotFeasible`] where the feet cannot carry it at this tempo, with a time of both
/// ways at which the course was computed and they can; [`MotionError::NoTempoFeasible`] where they cannot
/// even at the slowest that is tried; [`MotionError::CourseNotFound`] where the method ends without a
/// course, which is a limit of the method; [`MotionError::ThroughTheAir`] for leaps, jumps and hops.
pub fn course(
    body: &Body,
    capacity: &Capacity,
    motion: &Motion,
    tempo: &Tempo,
) -> Result<Course, MotionError> {
    let movement = motion.spec.sentence();
    if motion.spec.family.is_airborne() {
        return Err(MotionError::ThroughTheAir { movement });
    }
    let Some(traveller) = Traveller::new(body, capacity, motion) else {
        return Err(MotionError::CourseNotFound { movement, why: CourseGap::NoStart, found: None });
    };
    let (out, back) = (tempo.out.in_s(), tempo.back.in_s());
    let there = way(&traveller, out);
    let again = if out == back { None } else { Some(way(&traveller, back)) };
    match (there, again) {
        (Ok(there), None) => Ok(assemble(&traveller, motion, tempo, &there, &there)),
        (Ok(there), Some(Ok(again))) => Ok(assemble(&traveller, motion, tempo, &there, &again)),
        (Err(failed), Some(Err(other))) if out > back => {
            Err(refusal(&traveller, movement, back, other, failed))
        }
        (Err(failed), Some(Err(other))) => Err(refusal(&traveller, movement, out, failed, other)),
        (Err(failed), _) => Err(refusal(&traveller, movement, out, failed, failed)),
        (_, Some(Err(failed))) => Err(refusal(&traveller, movement, back, failed, failed)),
    }
}

/// The way in at most so many seconds, moving as slowly as the method can; `Err` with what became of the
/// slowest.
fn way(traveller: &Traveller, seconds: f64) -> Result<Gone, Failed> {
    let slowest = parts(seconds);
    let mut failed = None;
    for k in (1..=slowest).rev() {
        match traveller.travel(f64::from(k) / PARTS) {
            Ok(frames) => return Ok(Gone { frames, waits: (seconds - f64::from(k) / PARTS).max(0.0) }),
            Err(now) => failed = failed.or(Some(now)),
        }
    }
    Err(failed.unwrap_or(Failed::NoPlan))
}

/// Whole tenths of a second within a time.
fn parts(seconds: f64) -> u32 {
    (seconds * PARTS + 1e-6).floor().max(0.0) as u32
}

/// Which refusal it is: `failed` and `other` are what became of the ways out and back, the quicker first.
///
/// A plan that does not exist at one time and does at a longer one is a matter of tempo. One that exists
/// at no time, and joints that do not follow, may be the method's fault.
fn refusal(traveller: &Traveller, movement: String, from: f64, failed: Failed, other: Failed) -> MotionError {
    let joints = |f: Failed| matches!(f, Failed::Misses { .. });
    match feasible(traveller, from) {
        Ok(seconds) if joints(failed) || joints(other) => {
            MotionError::CourseNotFound { movement, why: CourseGap::Joints, found: Some(Span::s(seconds)) }
        }
        Ok(seconds) => MotionError::TempoNotFeasible { movement, feasible: Span::s(seconds) },
        Err(Failed::LeftOver { .. }) => {
            MotionError::NoTempoFeasible { movement, slowest: Span::s(choices().slowest_way_s) }
        }
        Err(Failed::NoPlan) => MotionError::CourseNotFound { movement, why: CourseGap::Plan, found: None },
        Err(Failed::Misses { .. }) => {
            MotionError::CourseNotFound { movement, why: CourseGap::Joints, found: None }
        }
    }
}

/// A time of both ways, in whole tenths of a second, that was computed and is feasible, the shortest that is
/// near one that is not. Nothing up to `from` is. `Err` with what became of the slowest that is tried.
fn feasible(traveller: &Traveller, from: f64) -> Result<f64, Failed> {
    let c = choices();
    let last = parts(c.slowest_way_s);
    let mut no = parts(from);
    let yes = loop {
        let next = ((f64::from(no) * (1.0 + c.tempo_within_share)).ceil() as u32).max(no + 1);
        let next = if no < last { next.min(last) } else { next };
        match traveller.travel(f64::from(next) / PARTS) {
            Ok(_) => break next,
            Err(failed) if next >= last => return Err(failed),
            Err(_) => no = next,
        }
    };
    let nearer = (no + 1..yes).find(|k| traveller.travel(f64::from(*k) / PARTS).is_ok());
    Ok(f64::from(nearer.unwrap_or(yes)) / PARTS)
}

fn assemble(traveller: &Traveller, motion: &Motion, tempo: &Tempo, there: &Gone, again: &Gone) -> Course {
    let (waits, waits_after) = (there.waits, again.waits);
    let (there, again) = (&there.frames, &again.frames);
    let last = there.len() - 1;
    let (out, hold, back) = (tempo.out.in_s(), tempo.hold.in_s(), tempo.back.in_s());
    let mut frames = Vec::with_capacity(2 * there.len() + HOLD_FRAMES);
    let held = |k: usize, phase: CoursePhase| {
        if k == last && (hold > 0.0 || motion.spec.family == Family::Reach) {
            CoursePhase::Hold
        } else {
            phase
        }
    };
    if waits > LEAST_WAIT {
        frames.push(timed(traveller, &there[0], 0, 0.0, CoursePhase::Wait, 0.0));
    }
    for (k, frame) in there.iter().enumerate() {
        let phase = held(k, traveller.line.phase(k));
        frames.push(timed(traveller, frame, k, waits + frame.time, phase, 1.0));
    }
    if hold > 0.0 {
        for k in 1..=HOLD_FRAMES {
            let time = out + hold * k as f64 / (HOLD_FRAMES + 1) as f64;
            frames.push(timed(traveller, &there[last], last, time, CoursePhase::Hold, 0.0));
        }
    }
    for (k, frame) in again.iter().enumerate().rev() {
        let still = k == 0 && waits_after > LEAST_WAIT;
        let phase = if still { CoursePhase::Wait } else { held(k, traveller.line.phase(k).undone()) };
        frames.push(timed(traveller, frame, k, out + hold + back - waits_after - frame.time, phase, -1.0));
    }
    if waits_after > LEAST_WAIT {
        frames.push(timed(traveller, &again[0], 0, out + hold + back, CoursePhase::Wait, 0.0));
    }
    Course { spec: motion.spec.clone(), tempo: *tempo, frames }
}

/// One frame; `pace` is 1 on the way out, −1 on the way back, 0 in the hold.
fn timed(
    traveller: &Traveller,
    frame: &WayFrame,
    k: usize,
    time: f64,
    phase: CoursePhase,
    pace: f64,
) -> TimedFrame {
    let feet = PerSide::from_fn(|side: Side| {
        let foot = &frame.feet[side as usize];
        FootGround { force_n: foot.force.into(), centre_of_pressure: foot.pressure, twist_nm: foot.twist }
    });
    let up = feet.left.force_n[1] + feet.right.force_n[1];
    let base = &traveller.bases[k];
    let centre: Floor = [frame.centre.x, frame.centre.z];
    let drift = frame.drift * pace;
    let seconds = (frame.centre.y / GRAVITY).sqrt();
    let extrapolated = [centre[0] + drift.x * seconds, centre[1] + drift.z * seconds];
    TimedFrame {
        time: Span::s(time.max(0.0)),
        phase,
        feet,
        load_share: PerSide::from_fn(|side| Share::of_one((feet.get(side).force_n[1] / up).max(0.0))),
        centre_of_mass: frame.centre.into(),
        centre_of_mass_velocity: drift.into(),
        zero_moment_point: frame.zero_moment_point,
        balance: margin_of(base, centre),
        pressure_margin: margin_of(base, frame.zero_moment_point),
        capture_margin: margin_of(base, extrapolated),
        leftover: Leftover {
            force: Share::of_one(frame.leftover[0]),
            moment: Share::of_one(frame.leftover[1]),
        },
        energy_j: [frame.kinetic, frame.potential],
        q: frame.q,
        v: frame.v.map(|v| v * pace),
        a: frame.a,
        tau: frame.tau,
    }
}
