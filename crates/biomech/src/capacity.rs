//! How strong this person is in each joint motion: measured first, else the published model.
//!
//! `T(θ) = C1 · S · cos(C2 (θ − C3))`, `S = mass · 9.81 · stature` (Anderson, Madigan & Nussbaum
//! 2007), isometric; interpolated in age between the tested groups, floored at a named share of
//! its peak. A measured moment scales the model of that side and motion. Motions without a
//! sourced model have a comparison capacity for posture only; their capacity stays unknown.

use anatomy::{BodySize, Coordinate, JointMotion, PerSide, Side};
use quantity::{Angle, GRAVITY, Moment};

use crate::constants::engine;
use crate::state::{TRUNK, leg};
use crate::statics::side_of;
use crate::tables::{StrengthRow, comparisons, strengths};

/// One moment measured on this person.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct MeasuredMoment {
    /// Which side.
    pub side: Side,
    /// Which motion.
    pub motion: JointMotion,
    /// The moment.
    pub moment: Moment,
    /// The joint angle at which it was measured, if noted; else the model's best angle is assumed.
    pub at_angle: Option<Angle>,
}

/// Where a capacity comes from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum CapacityOrigin {
    /// This person's own dynamometry.
    Measured,
    /// The published model for age, sex and size.
    Published,
    /// A comparison value for posture only; the capacity is unknown.
    ComparisonOnly,
}

#[derive(Clone, Copy, Debug, PartialEq)]
struct Curve {
    peak: f64,
    c2: f64,
    c3: f64,
    /// One standard deviation as a share of the value.
    spread: f64,
    origin: CapacityOrigin,
}

impl Curve {
    /// Value and slope at an angle of the coordinate.
    fn at(&self, angle: f64) -> (f64, f64) {
        let phase = self.c2 * (angle - self.c3);
        let share = phase.cos();
        let floor = engine().capacity_floor;
        if share > floor && phase.abs() < std::f64::consts::PI {
            (self.peak * share, -self.peak * self.c2 * phase.sin())
        } else {
            (self.peak * floor, 0.0)
        }
    }
}

/// What one person can produce in every joint motion.
#[derive(Clone, Debug, PartialEq)]
pub struct Capacity {
    /// Body mass, kilograms: the floor of an uncertainty is stated per kilogram.
    pub(crate) mass: f64,
    /// By leg coordinate, negative and positive direction.
    legs: PerSide<[[Curve; 2]; 7]>,
    trunk: [[Curve; 2]; 3],
}

fn published(motion: JointMotion, size: &BodySize) -> Option<Curve> {
    use Coordinate as C;
    let (joint, direction) = match (motion.coordinate, motion.positive) {
        (C::HipFlexion, true) => ("hip", "flexion"),
        (C::HipFlexion, false) => ("hip", "extension"),
        (C::KneeFlexion, true) => ("knee", "flexion"),
        (C::KneeFlexion, false) => ("knee", "extension"),
        (C::AnkleDorsiflexion, true) => ("ankle", "dorsiflexion"),
        (C::AnkleDorsiflexion, false) => ("ankle", "plantarflexion"),
        _ => return None,
    };
    let rows: Vec<&StrengthRow> = strengths()
        .iter()
        .filter(|row| row.joint == joint && row.direction == direction && row.sex.fits(size.sex()))
        .collect();
    let scale = size.mass().in_kg() * GRAVITY * size.stature().in_m();
    let curve = |row: &StrengthRow| [row.c1 * scale, row.c2, row.c3, row.c1_sd / row.c1];
    let age = size.age();
    let inside = rows.iter().find(|row| (row.age_from..=row.age_to).contains(&age));
    let below = rows.iter().filter(|row| row.age_to < age).max_by_key(|row| row.age_to);
    let above = rows.iter().filter(|row| row.age_from > age).min_by_key(|row| row.age_from);
    let [peak, c2, c3, spread] = match (inside, below, above) {
        (Some(row), _, _) => curve(row),
        (None, Some(young), Some(old)) => {
            let share = f64::from(age - young.age_to) / f64::from(old.age_from - young.age_to);
            let (a, b) = (curve(young), curve(old));
            std::array::from_fn(|k| a[k] + (b[k] - a[k]) * share)
        }
        (None, Some(row), None) | (None, None, Some(row)) => curve(row),
        (None, None, None) => return None,
    };
    // The model was measured on adults; under 18 it serves posture only.
    let adult = rows.iter().map(|row| row.age_from).min().is_some_and(|youngest| age >= youngest);
    let origin = if adult { CapacityOrigin::Published } else { CapacityOrigin::ComparisonOnly };
    Some(Curve { peak, c2, c3, spread, origin })
}

fn comparison(motion: JointMotion, size: &BodySize) -> Curve {
    let row = comparisons()
        .iter()
        .find(|row| row.motion == motion.key() && row.sex.fits(size.sex()))
        .unwrap_or_else(|| panic!("comparison capacity of {motion} is in the table"));
    let middle = f64::midpoint(row.low, row.high);
    Curve {
        peak: middle * size.mass().in_kg(),
        c2: 0.0,
        c3: 0.0,
        spread: (row.high - row.low) / 2.0 / middle,
        origin: CapacityOrigin::ComparisonOnly,
    }
}

impl Capacity {
    /// Capacity of a person of this size, with what was measured on them.
    #[must_use]
    pub fn of(size: &BodySize, measured: &[MeasuredMoment]) -> Self {
        let curve = |motion: JointMotion, side: Option<Side>| {
            let mut curve = published(motion, size).unwrap_or_else(|| comparison(motion, size));
            let own = measured.iter().find(|m| m.motion == motion && side.is_none_or(|s| s == m.side));
            if let Some(own) = own {
                let at = own.at_angle.map_or(curve.c3, Angle::in_rad);
                let (model, _) = curve.at(at);
                curve.peak *= own.moment.in_nm().abs() / model;
                curve.origin = CapacityOrigin::Measured;
                // One session of hand-held dynamometry; the spread between people no longer counts.
                curve.spread = curve.spread.min(measured_spread());
            }
            curve
        };
        let both = |c: Coordinate, side: Option<Side>| [curve(c.negative(), side), curve(c.positive(), side)];
        Self {
            mass: size.mass().in_kg(),
            legs: PerSide::from_fn(|side| Coordinate::LEG.map(|c| both(c, Some(side)))),
            trunk: Coordinate::TRUNK.map(|c| both(c, None)),
        }
    }

    /// Every strength times a factor of its spread and the number of its motion in the order of
    /// [`JointMotion::all`].
    pub(crate) fn scaled(&self, factor: impl Fn(usize, f64) -> f64) -> Self {
        let mut out = self.clone();
        let curves = |first: usize, of: &mut [[Curve; 2]]| {
            for (k, pair) in of.iter_mut().enumerate() {
                for (way, curve) in pair.iter_mut().enumerate() {
                    curve.peak *= factor(2 * (first + k) + (1 - way), curve.spread);
                }
            }
        };
        curves(0, &mut out.legs.left);
        curves(0, &mut out.legs.right);
        curves(Coordinate::LEG.len(), &mut out.trunk);
        out
    }

    fn curve(&self, side: Side, motion: JointMotion) -> &Curve {
        let way = usize::from(motion.positive);
        match Coordinate::LEG.iter().position(|c| *c == motion.coordinate) {
            Some(k) => &self.legs.get(side)[k][way],
            None => {
                let k = Coordinate::TRUNK.iter().position(|c| *c == motion.coordinate).unwrap_or(0);
                &self.trunk[k][way]
            }
        }
    }

    /// The capacity at a joint angle with its spread (one standard deviation) as a share, or `None`
    /// where it is unknown.
    #[must_use]
    pub fn at(&self, side: Side, motion: JointMotion, angle: Angle) -> Option<(Moment, f64)> {
        let curve = self.curve(side, motion);
        (curve.origin != CapacityOrigin::ComparisonOnly)
            .then(|| (Moment::nm(curve.at(angle.in_rad()).0), curve.spread))
    }

    /// Where the capacity of a motion comes from.
    #[must_use]
    pub fn origin(&self, side: Side, motion: JointMotion) -> CapacityOrigin {
        self.curve(side, motion).origin
    }

    /// For the effort of a posture: capacity in the direction of `tau` at coordinate `j`, and its slope.
    pub(crate) fn for_posture(&self, j: usize, angle: f64, tau: f64) -> (f64, f64) {
        let way = usize::from(tau > 0.0);
        let curve = match side_of(j) {
            Some(side) => &self.legs.get(side)[j - leg(side)][way],
            None => &self.trunk[j - TRUNK][way],
        };
        curve.at(angle)
    }
}

fn measured_spread() -> f64 {
    engine().measured_strength_spread
}
