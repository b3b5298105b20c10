//! The strength of the muscle units, brought down to what this person's joints can do.
//!
//! Model strengths add up to far more than people produce. Each set of muscles is scaled by
//! `capacity / Σ S_i max(0, ±r_i)`, this person's strength in the motion the set is named for over
//! the moment of all units that help that motion; a set named for two motions takes the mean.
//! Flexion and extension are scaled at the posture (strength there is known by angle), the other
//! motions in neutral, where their comparison strength belongs and the arms do not change sign.

use std::sync::OnceLock;

use anatomy::{Coordinate, JointMotion, LegMuscles, Side};

use super::frame::LegFrame;
use super::paths::paths;
use super::units::{DOF, MOVED, UNITS, choices, moved, units};
use crate::body::Body;
use crate::capacity::{Capacity, Strength};
use crate::tables::height;

/// How many sets there are.
pub(crate) const SETS: usize = LegMuscles::ALL.len();

/// Where a set stands in `LegMuscles::ALL`.
pub(crate) fn place(set: LegMuscles) -> usize {
    set as usize
}

/// For every unit, its set.
pub(crate) fn set_of_unit() -> &'static [usize; UNITS] {
    static ALL: OnceLock<[usize; UNITS]> = OnceLock::new();
    ALL.get_or_init(|| std::array::from_fn(|u| place(units()[u].set)))
}

fn raw() -> &'static [f64; UNITS] {
    static ALL: OnceLock<[f64; UNITS]> = OnceLock::new();
    ALL.get_or_init(|| std::array::from_fn(|u| units()[u].strength))
}

fn neutral() -> &'static [[f64; UNITS]; DOF] {
    static ALL: OnceLock<[[f64; UNITS]; DOF]> = OnceLock::new();
    ALL.get_or_init(|| {
        let mut arms = [[0.0; UNITS]; DOF];
        paths().arms(&[0.0; DOF], &mut arms);
        arms
    })
}

/// How much larger than the generic person the parts are that a unit spans: thigh for units of the
/// hip, the mean of thigh and shank for units that cross the knee from the hip or thigh, shank below.
pub(crate) fn sizes(body: &Body, side: Side) -> [f64; UNITS] {
    let stature = choices().sharing.generic_stature_m;
    let thigh = body.thigh.get(side) / ((height("hip_height") - height("knee_height")) * stature);
    let shank = body.shank.get(side) / ((height("knee_height") - height("ankle_height")) * stature);
    let paths = paths();
    std::array::from_fn(|u| {
        let (hip, knee, ankle) = (paths.crosses(u, 0), paths.crosses(u, 3), paths.crosses(u, 4));
        match (hip, knee, ankle) {
            (true, false, _) => thigh,
            (_, _, true) => shank,
            _ => f64::midpoint(thigh, shank),
        }
    })
}

/// Strengths of one leg in one posture.
pub(crate) struct Scaled {
    /// Strength of each unit, N.
    pub(crate) strength: [f64; UNITS],
    /// By coordinate: negative and positive direction.
    pub(crate) joint: [[Strength; 2]; DOF],
}

fn sagittal(coordinate: Coordinate) -> bool {
    matches!(coordinate, Coordinate::HipFlexion | Coordinate::KneeFlexion | Coordinate::AnkleDorsiflexion)
}

/// Moments of all units that help each direction of a coordinate.
fn whole(arms: &[f64; UNITS], sizes: &[f64; UNITS]) -> [f64; 2] {
    let (mut negative, mut positive) = (0.0, 0.0);
    for ((r, size), strength) in arms.iter().zip(sizes).zip(raw()) {
        let moment = r * size * strength;
        negative += (-moment).max(0.0);
        positive += moment.max(0.0);
    }
    // Below a newton metre nothing helps; a scale from it would mean nothing.
    [negative.max(1.0), positive.max(1.0)]
}

impl Scaled {
    /// `arms` are those of the generic person at this posture, `sizes` of [`sizes`].
    pub(crate) fn new(
        capacity: &Capacity,
        side: Side,
        frame: &LegFrame,
        arms: &[[f64; UNITS]; DOF],
        sizes: &[f64; UNITS],
    ) -> Self {
        let mut ratio = [[0.0; 2]; DOF];
        let joint: [[Strength; 2]; DOF] = std::array::from_fn(|k| {
            let coordinate = MOVED[k];
            let place = LegFrame::place(coordinate);
            let (angle, speed) = (frame.angles[place].in_rad(), frame.speeds[place].in_rad_per_s());
            let whole = whole(if sagittal(coordinate) { &arms[k] } else { &neutral()[k] }, sizes);
            let of = |way: usize| {
                let toward = if way == 1 { speed } else { -speed };
                capacity.for_sharing(side, place, way == 1, angle, toward)
            };
            let both = [of(0), of(1)];
            for way in 0..2 {
                ratio[k][way] = both[way].moment / whole[way];
            }
            both
        });
        let mut scale = [0.0; SETS];
        for set in LegMuscles::ALL {
            let motions = set.motions();
            let sum: f64 = motions.iter().map(|m| ratio[at(*m)][usize::from(m.positive)]).sum();
            scale[place(set)] = sum / motions.len() as f64;
        }
        let sets = set_of_unit();
        let strength = std::array::from_fn(|u| raw()[u] * scale[sets[u]]);
        Self { strength, joint }
    }

    /// Which sets no longer mostly produce the first motion they are named for: less than half of
    /// that lever is left beside neutral, or the set turns the same joint more about another axis.
    /// `full` are the units' moments at full strength in this posture.
    pub(crate) fn turned(&self, full: &[[f64; UNITS]; DOF], sizes: &[f64; UNITS]) -> [bool; SETS] {
        let mut here = [[0.0; DOF]; SETS];
        let mut straight = [0.0; SETS];
        let named: [(usize, f64); SETS] = LegMuscles::ALL.map(|set| {
            let motion = set.motions()[0];
            (at(motion), motion.sign())
        });
        for (u, set) in set_of_unit().iter().enumerate() {
            let (k, sign) = named[*set];
            for (sum, row) in here[*set].iter_mut().zip(full) {
                *sum += row[u];
            }
            straight[*set] += neutral()[k][u] * sizes[u] * self.strength[u] * sign;
        }
        std::array::from_fn(|i| {
            let (k, sign) = named[i];
            let does = here[i][k] * sign;
            let joint = MOVED[k].joint();
            let other = (0..DOF).filter(|j| *j != k && MOVED[*j].joint() == joint);
            let most = other.map(|j| here[i][j].abs()).fold(0.0, f64::max);
            does < 0.5 * straight[i] || does < most
        })
    }

    /// This person's strength in the motion.
    pub(crate) fn of(&self, motion: JointMotion) -> &Strength {
        &self.joint[at(motion)][usize::from(motion.positive)]
    }
}

fn at(motion: JointMotion) -> usize {
    moved(motion.coordinate).unwrap_or_else(|| panic!("no muscle is named for {motion}"))
}
