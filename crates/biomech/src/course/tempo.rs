//! A course at the tempo asked, or the shortest time in which it can be done.

use anatomy::{PerSide, Side};
use movement::{Family, Tempo};
use quantity::{GRAVITY, Share, Span};

use super::centre::Floor;
use super::choices::choices;
use super::phases::{CoursePhase, HOLD_FRAMES};
use super::timed::{Course, FootGround, Leftover, TimedFrame};
use super::way::{Traveller, WayFrame};
use crate::balance::margin_of;
use crate::body::Body;
use crate::capacity::Capacity;
use crate::result::{Motion, MotionError};

/// A movement in time from its key postures.
///
/// Takes the far posture that is shown ([`Motion::shown`]); the hands of a person who holds a support
/// are taken to give balance, not force, where nobody stated a share. The way back is computed for
/// its own duration. Where both ways take equally long it is the way out backward, since the
/// equations of motion do not tell forward from backward in time. The stillness after the movement
/// (`Tempo::settle`) is the first frame, held.
///
/// # Errors
/// [`MotionError::TempoNotFeasible`] with the shortest time of one way that the feet can carry,
/// [`MotionError::NoTempoFeasible`] when even the slowest that is tried cannot be carried or needs a
/// posture the body does not have, [`MotionError::ThroughTheAir`] for leaps, jumps and hops.
pub fn course(
    body: &Body,
    _capacity: &Capacity,
    motion: &Motion,
    tempo: &Tempo,
) -> Result<Course, MotionError> {
    let movement = || motion.spec.sentence();
    if motion.spec.family.is_airborne() {
        return Err(MotionError::ThroughTheAir { movement: movement() });
    }
    let c = choices();
    let slowest = c.slowest_way_s;
    let Some(traveller) = Traveller::new(body, motion) else {
        return Err(MotionError::NoTempoFeasible { movement: movement(), slowest: Span::s(slowest) });
    };
    let (out, back) = (tempo.out.in_s(), tempo.back.in_s());
    let asked = (way(&traveller, out), if out == back { None } else { way(&traveller, back) });
    match asked {
        (Some(there), None) if out == back => Ok(assemble(&traveller, motion, tempo, &there, &there)),
        (Some(there), Some(again)) => Ok(assemble(&traveller, motion, tempo, &there, &again)),
        _ => Err(match feasible(&traveller, out.min(back)) {
            Some(seconds) => {
                MotionError::TempoNotFeasible { movement: movement(), feasible: Span::s(seconds) }
            }
            None => MotionError::NoTempoFeasible { movement: movement(), slowest: Span::s(slowest) },
        }),
    }
}

fn way(traveller: &Traveller, seconds: f64) -> Option<Vec<WayFrame>> {
    if seconds > 0.0 { traveller.travel(seconds).ok() } else { None }
}

/// The shortest time of one way that is feasible, from one that is not, rounded up to a tenth of a second.
fn feasible(traveller: &Traveller, from: f64) -> Option<f64> {
    let c = choices();
    let (mut no, mut yes) = (from.max(0.1), None);
    let mut next = no;
    while yes.is_none() && next < c.slowest_way_s {
        next = (next * 1.5).min(c.slowest_way_s);
        if way(traveller, next).is_some() {
            yes = Some(next);
        } else {
            no = next;
        }
    }
    let mut yes = yes?;
    while yes - no > c.tempo_within_share * yes {
        let middle = f64::midpoint(no, yes);
        if way(traveller, middle).is_some() {
            yes = middle;
        } else {
            no = middle;
        }
    }
    let rounded = (yes * 10.0).ceil() / 10.0;
    Some(if way(traveller, rounded).is_some() { rounded } else { yes })
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
