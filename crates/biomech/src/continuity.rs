//! When two neighbouring postures are one posture that moved on: same contacts, no angle over its bound.
//!
//! The contacts of a posture are a set: for each foot how it stands (flat, on the ball, not at all),
//! which of its four corners carry more than [`LOADED`] of body weight, whether its heel is on the
//! floor; which pairs of legs, which forearm and leg, which leg and support touch. What stops a joint
//! (its range, the limit of lean, a straight arm) is not a contact.
//!
//! Over a way `w` of the target an angle may change by 5° per centimetre, or by what geometry forces if
//! that is more. Thigh `t` and shank `s` are two links: the distance `r` from hip to ankle fixes the
//! knee, `cos κ = (r² − t² − s²) / 2ts`, and the angles of thigh and shank with the line from hip to
//! ankle. The bound of knee, hip flexion and ankle is what their own part of the triangle changes when
//! `r` changes as it did, by `w` at most, counted from the straighter end. For two links of length `l`
//! that is `dκ/dr = 1 / (l sin(κ/2))`: over 5° a centimetre wherever the knee is bent by less than
//! about 30°. Near a straight knee no model of posture can keep to 5° a centimetre.

use anatomy::{Coordinate, PerSide, Side};

use crate::body::Body;
use crate::capacity::Capacity;
use crate::motion::motion_near;
use crate::result::{KeyFrame, Landmark, Motion, Phase, Posture};
use crate::solve::Rows;
use crate::state::{Seg, State, V3};
use crate::statics::foot_vars;
use crate::task::{FootTask, PostureProblem, Task};

/// A corner of a foot that carries less than this share of body weight is not loaded.
pub const LOADED: f64 = 0.005;
/// What is nearer than this touches, metres; twice what the solver leaves open.
const TOUCHING: f64 = 0.001;
/// Degrees per centimetre that any angle may change.
pub const PER_CM: f64 = 5.0;

/// How one foot meets the floor.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Stands {
    Flat,
    OnBall,
    Unloaded,
}

/// What touches what in one posture; two sets are equal or a contact changed between them.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Contacts {
    feet: [(Stands, [bool; 4], bool); 2],
    touching: Vec<bool>,
}

impl Contacts {
    /// Of a hand-made posture that nobody solved.
    pub(crate) fn unknown() -> Self {
        Self { feet: [(Stands::Unloaded, [false; 4], false); 2], touching: Vec::new() }
    }

    pub(crate) fn of(body: &Body, capacity: &Capacity, task: &Task, state: &State, x: &[f64]) -> Self {
        let problem = PostureProblem::new(body, capacity, task);
        let mut rows = Rows::default();
        problem.clearances(state, &mut rows);
        let heel_local = V3::new(-body.ankle_from_heel, -body.ankle_height, 0.0);
        let feet = Side::BOTH.map(|side| {
            let first = foot_vars(side);
            let stands = match task.feet[side as usize] {
                FootTask::Flat { .. } => Stands::Flat,
                FootTask::OnBall { .. } | FootTask::LandedOnBall { .. } => Stands::OnBall,
                FootTask::ToeTouch { .. } | FootTask::Lifted { .. } => Stands::Unloaded,
            };
            let corners = std::array::from_fn(|k| x[first + k] > LOADED);
            let heel = state.point(Seg::Foot(side), heel_local);
            (stands, corners, heel.y - task.floor[side as usize] < TOUCHING)
        });
        Self { feet, touching: rows.at_most.iter().map(|(d, _)| *d > -TOUCHING).collect() }
    }
}

/// Angles of a two-link leg at one distance between its ends: knee, thigh and shank against the line, degrees.
fn triangle(t: f64, s: f64, r: f64) -> [f64; 3] {
    let r = r.clamp((t - s).abs() + 1e-9, t + s);
    let angle = |opposite: f64, a: f64, b: f64| {
        ((a * a + b * b - opposite * opposite) / (2.0 * a * b)).clamp(-1.0, 1.0).acos().to_degrees()
    };
    [180.0 - angle(r, t, s), angle(s, t, r), angle(t, s, r)]
}

fn apart(posture: &Posture, from: Landmark, to: Landmark) -> f64 {
    let (a, b) = (posture.point(from), posture.point(to));
    (0..3).map(|k| (a[k] - b[k]).powi(2)).sum::<f64>().sqrt()
}

/// What geometry forces on knee, hip flexion and ankle of one leg over a way of so many metres, degrees.
fn forced(a: &Posture, b: &Posture, side: Side, way: f64) -> [f64; 3] {
    let thigh = apart(a, Landmark::Hip(side), Landmark::Knee(side));
    let shank = apart(a, Landmark::Knee(side), Landmark::Ankle(side));
    if thigh <= 0.0 || shank <= 0.0 {
        return [0.0; 3];
    }
    let [ra, rb] = [a, b].map(|p| apart(p, Landmark::Hip(side), Landmark::Ankle(side)));
    let (straighter, other) = (ra.max(rb), ra.min(rb));
    let bent = other.max(straighter - way);
    let (one, two) = (triangle(thigh, shank, straighter), triangle(thigh, shank, bent));
    std::array::from_fn(|k| (one[k] - two[k]).abs())
}

/// The change of one angle between two postures.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Change {
    /// Which leg; the left where the trunk is meant.
    pub side: Side,
    /// Which angle.
    pub coordinate: Coordinate,
    /// By how much it differs, degrees.
    pub by_deg: f64,
    /// How much it may differ, degrees.
    pub bound_deg: f64,
}

/// The change that comes nearest to its bound or goes furthest beyond it, over a way of so many
/// centimetres (at least one) between the two targets.
#[must_use]
pub fn largest_change(a: &Posture, b: &Posture, way_cm: f64) -> Change {
    let way_cm = way_cm.max(1.0);
    let usual = PER_CM * way_cm;
    let legs = PerSide::from_fn(|side| forced(a, b, side, way_cm / 100.0));
    let leg = Side::BOTH.into_iter().flat_map(|side| Coordinate::LEG.map(|c| (side, c)));
    let all = leg.chain(Coordinate::TRUNK.map(|c| (Side::Left, c)));
    let mut worst =
        Change { side: Side::Left, coordinate: Coordinate::KneeFlexion, by_deg: 0.0, bound_deg: usual };
    for (side, coordinate) in all {
        let [knee, hip, ankle] = *legs.get(side);
        let bound_deg = match coordinate {
            Coordinate::KneeFlexion => usual.max(knee),
            Coordinate::HipFlexion => usual.max(hip),
            Coordinate::AnkleDorsiflexion => usual.max(ankle),
            _ => usual,
        };
        let by_deg = (a.angle(side, coordinate).in_deg() - b.angle(side, coordinate).in_deg()).abs();
        if by_deg / bound_deg > worst.by_deg / worst.bound_deg {
            worst = Change { side, coordinate, by_deg, bound_deg };
        }
    }
    worst
}

/// How one posture goes over into its neighbour.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Passage {
    /// The same contacts and every angle within its bound.
    Smooth,
    /// A contact changed; angles may change faster there.
    ContactChange(Change),
    /// The same contacts and an angle beyond its bound: another family of postures, or one that
    /// answers steeply.
    Jump(Change),
}

/// Slack on a bound: what two solutions may differ by because each is only solved so far, degrees.
const SLACK: f64 = 0.1;

/// How one frame goes over into the same frame of a neighbouring movement.
#[must_use]
pub fn passage(a: &KeyFrame, b: &KeyFrame, way_cm: f64) -> Passage {
    let change = largest_change(&a.posture, &b.posture, way_cm);
    if a.contacts != b.contacts {
        Passage::ContactChange(change)
    } else if change.by_deg > change.bound_deg + SLACK {
        Passage::Jump(change)
    } else {
        Passage::Smooth
    }
}

fn far_pairs<'a>(a: &'a Motion, b: &'a Motion) -> impl Iterator<Item = (&'a KeyFrame, Option<&'a KeyFrame>)> {
    a.of_phase(Phase::Far).map(|fa| (fa, b.of_phase(Phase::Far).find(|fb| fb.turn == fa.turn)))
}

/// Whether every frame that both movements share has the same contacts; a frame that only one of them
/// has is a change.
#[must_use]
pub fn same_contacts(a: &Motion, b: &Motion) -> bool {
    a.frames.len() == b.frames.len()
        && a.frames.iter().all(|fa| {
            let at = b.frames.iter().find(|fb| (fb.phase, fb.turn) == (fa.phase, fa.turn));
            at.is_some_and(|fb| fb.contacts == fa.contacts)
        })
}

/// Whether two neighbouring movements, some centimetres or another lever's small step apart, show the
/// same family of postures at the far point: no angle changes beyond its bound, whether or not a
/// contact changes. Where this is false a comparison of the two compares two ways of doing it.
#[must_use]
pub fn same_family(a: &Motion, b: &Motion) -> bool {
    let way_cm = (a.spec.distance.in_cm() - b.spec.distance.in_cm()).abs();
    far_pairs(a, b).all(|(fa, fb)| {
        fb.is_some_and(|fb| {
            let change = largest_change(&fa.posture, &fb.posture, way_cm);
            change.by_deg <= change.bound_deg + SLACK
        })
    })
}

/// How a posture answers when the target is a centimetre nearer or further.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Steadiness {
    /// No angle changes beyond its bound, whether or not a contact changes.
    Steady,
    /// This angle does: who places the foot a centimetre off stands otherwise than was computed.
    Steep(Change),
    /// A centimetre off there is no such posture.
    AtAnEdge,
}

/// How far off the target is tried on either side, centimetres.
const OFF_CM: f64 = 1.0;

/// How the far postures of a movement, square and turned, answer to a centimetre. Each neighbour is
/// followed from this movement, and also found on its own, as somebody who asks for it alone finds it;
/// what is prescribed must be steady, because nobody places a foot to the centimetre.
#[must_use]
pub fn steadiness(body: &Body, capacity: &Capacity, of: &Motion) -> Steadiness {
    let mut worst: Option<Change> = None;
    for off in [-OFF_CM, OFF_CM] {
        let at = quantity::Length::cm((of.spec.distance.in_cm() + off).max(0.0));
        for from in [Some(of), None] {
            let Some(beside) = motion_near(body, capacity, &of.spec.at(at), from) else {
                return Steadiness::AtAnEdge;
            };
            for (here, there) in far_pairs(of, &beside) {
                let Some(there) = there else { return Steadiness::AtAnEdge };
                let change = largest_change(&here.posture, &there.posture, OFF_CM);
                if worst.is_none_or(|w| change.by_deg / change.bound_deg > w.by_deg / w.bound_deg) {
                    worst = Some(change);
                }
            }
        }
    }
    match worst {
        Some(change) if change.by_deg > change.bound_deg + SLACK => Steadiness::Steep(change),
        _ => Steadiness::Steady,
    }
}
