//! A course at the tempo asked, or the shortest time in which it can be done.

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

/// No way is tried in less than this, seconds.
const SHORTEST_WAY: f64 = 0.1;
/// How much longer the next time is that is tried.
const LONGER: f64 = 1.5;
/// So many tenths of a second are tried for a round number.
const TENTHS: u32 = 3;

/// A movement in time from its key postures.
///
/// Takes the far posture that is shown ([`Motion::shown`]); the hands of a person who holds a support
/// are taken to give balance, not force, where nobody stated a share. The way back is computed for
/// its own duration. Where both ways take equally long it is the way out backward, since the
/// equations of motion do not tell forward from backward in time. The stillness after the movement
/// (`Tempo::settle`) is the first frame, held.
///
/// # Errors
/// [`MotionError::TempoNotFeasible`] where the feet cannot carry it at this tempo, with a time of both
/// ways at which the course was computed and they can; [`MotionError::NoTempoFeasible`] where they cannot
/// even at the slowest that is tried; [`MotionError::CourseNotFound`] where the method ends without a
/// course, which is a limit of the method; [`MotionError::ThroughTheAir`] for leaps, jumps and hops.
///
/// Feasible times have gaps: the method may fail at a time between two at which it succeeds.
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

fn way(traveller: &Traveller, seconds: f64) -> Result<Vec<WayFrame>, Failed> {
    if seconds > 0.0 { traveller.travel(seconds) } else { Err(Failed::NoPlan) }
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

/// A time of both ways that was computed and is feasible, not much longer than the shortest above one
/// that is not; in tenths of a second where one of the next tenths is feasible too. `Err` with what became
/// of the slowest that is tried.
fn feasible(traveller: &Traveller, from: f64) -> Result<f64, Failed> {
    let c = choices();
    let (mut no, mut next) = (from.max(SHORTEST_WAY), from.max(SHORTEST_WAY));
    let mut yes = loop {
        next = (next * LONGER).min(c.slowest_way_s).max(no);
        match way(traveller, next) {
            Ok(_) => break next,
            Err(failed) if next >= c.slowest_way_s => return Err(failed),
            Err(_) => no = next,
        }
    };
    while yes - no > c.tempo_within_share * yes {
        let middle = f64::midpoint(no, yes);
        if way(traveller, middle).is_ok() {
            yes = middle;
        } else {
            no = middle;
        }
    }
    let tenth = (yes * 10.0).ceil();
    let mut tenths = (0..TENTHS).map(|k| (tenth + f64::from(k)) / 10.0);
    Ok(tenths.find(|t| way(traveller, *t).is_ok()).unwrap_or(yes))
}

fn assemble(
    traveller: &Traveller,
    motion: &Motion,
    tempo: &Tempo,
    there: &[WayFrame],
    again: &[WayFrame],
) -> Course {
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
    for (k, frame) in there.iter().enumerate() {
        let phase = held(k, traveller.line.phase(k));
        frames.push(timed(traveller, frame, k, frame.time, phase, 1.0));
    }
    if hold > 0.0 {
        for k in 1..=HOLD_FRAMES {
            let time = out + hold * k as f64 / (HOLD_FRAMES + 1) as f64;
            frames.push(timed(traveller, &there[last], last, time, CoursePhase::Hold, 0.0));
        }
    }
    for (k, frame) in again.iter().enumerate().rev() {
        let phase = held(k, traveller.line.phase(k).undone());
        frames.push(timed(traveller, frame, k, out + hold + back - frame.time, phase, -1.0));
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
