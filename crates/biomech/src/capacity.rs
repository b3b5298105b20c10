//! How strong this person is in each joint motion: measured first, else the published model.
//!
//! `T(θ) = C1 · S · cos(C2 (θ − C3))`, `S = mass · 9.81 · stature` (Anderson, Madigan & Nussbaum
//! 2007), isometric; interpolated in age between the tested groups, floored at a named share of
//! its peak. Moving, that value is multiplied by `V(ω)`, which is 0.75 at the shortening speed `C4`
//! and 0.50 at `C5`. A measured moment scales the model of that side and motion. Motions without a
//! sourced model have a comparison capacity for posture only; their capacity stays unknown.

use anatomy::{BodySize, Coordinate, JointMotion, PerSide, Side};
use quantity::{Angle, AngularSpeed, GRAVITY, Moment};

use crate::constants::engine;
use crate::muscle::speed_choices;
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
    /// Strength by speed, where the source models it.
    speed: Option<BySpeed>,
    /// One standard deviation as a share of the value.
    spread: f64,
    origin: CapacityOrigin,
}

/// The published shape of strength by joint speed.
#[derive(Clone, Copy, Debug, PartialEq)]
struct BySpeed {
    c4: f64,
    c5: f64,
    c6: f64,
}

impl BySpeed {
    /// The equation as printed, speed in rad/s, positive when shortening. It cannot be used as it
    /// stands: lengthening it rises, falls and turns negative, and some rows lie below one.
    fn printed(self, w: f64) -> f64 {
        let Self { c4, c5, c6 } = self;
        let v = w.abs();
        let hyperbola = (2.0 * c4 * c5 + v * (c5 - 3.0 * c4)) / (2.0 * c4 * c5 + v * (2.0 * c5 - 4.0 * c4));
        if w >= 0.0 { hyperbola } else { hyperbola * (1.0 - c6 * w) }
    }

    /// The same, held inside what can be believed (`reference/muscle_choices.toml`).
    fn at(self, w: f64) -> f64 {
        let hold = speed_choices();
        if w >= 0.0 {
            self.printed(w.min(hold.fastest_rad_per_s)).clamp(hold.shortening_floor, 1.0)
        } else {
            self.printed(w.max(-hold.fastest_rad_per_s)).clamp(hold.lengthening_low, hold.lengthening_high)
        }
    }
}

/// Strength of one motion for the sharing of muscles.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Strength {
    /// N·m.
    pub(crate) moment: f64,
    /// One standard deviation as a share.
    pub(crate) spread: f64,
    /// Whether a demand may be formed from it.
    pub(crate) known: bool,
}

impl Curve {
    /// Value at an angle and a speed, positive when shortening.
    fn moving(&self, angle: f64, speed: f64) -> f64 {
        self.at(angle).0 * self.speed.map_or(1.0, |shape| shape.at(speed))
    }

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
    let curve =
        |row: &StrengthRow| [row.c1 * scale, row.c2, row.c3, row.c1_sd / row.c1, row.c4, row.c5, row.c6];
    let age = size.age();
    let inside = rows.iter().find(|row| (row.age_from..=row.age_to).contains(&age));
    let below = rows.iter().filter(|row| row.age_to < age).max_by_key(|row| row.age_to);
    let above = rows.iter().filter(|row| row.age_from > age).min_by_key(|row| row.age_from);
    let [peak, c2, c3, spread, c4, c5, c6] = match (inside, below, above) {
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
    Some(Curve { peak, c2, c3, speed: Some(BySpeed { c4, c5, c6 }), spread, origin })
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
        speed: None,
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

    /// The same strength in a mirror.
    pub(crate) fn mirrored(&self) -> Self {
        let [flexion, mut side_bend, mut rotation] = self.trunk;
        side_bend.reverse();
        rotation.reverse();
        Self { legs: self.legs.mirrored(), trunk: [flexion, side_bend, rotation], ..self.clone() }
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

    /// The capacity at a joint angle while the joint moves, with its spread as a share, or `None`
    /// where it is unknown.
    ///
    /// `speed` is positive when the joint moves in the direction of `motion` (the muscles shorten)
    /// and negative when it moves against it (they lengthen, as in lowering). `T(θ, ω) = T(θ) · V(ω)`
    /// with Anderson 2007's `V`, held between 1.0 and 1.3 when lengthening, never below a tenth when
    /// shortening, and constant beyond 6 rad/s (`reference/muscle_choices.toml` says why). Measured
    /// strength keeps the published shape over speed; a motion without a published shape is taken
    /// as at rest.
    ///
    /// ```
    /// use anatomy::{BodySize, Coordinate, PerSide, Sex, Side};
    /// use quantity::{Angle, AngularSpeed, Length, Mass};
    ///
    /// let size = BodySize::new(Length::cm(176.0), Mass::kg(78.0), Sex::Male, 22, PerSide::default())?;
    /// let capacity = biomech::Capacity::of(&size, &[]);
    /// let strength = |speed: f64| {
    ///     let moving = AngularSpeed::rad_per_s(speed);
    ///     let knee = Coordinate::KneeFlexion.negative();
    ///     capacity.at_speed(Side::Left, knee, Angle::deg(60.0), moving).map(|(moment, _)| moment.in_nm())
    /// };
    /// let ratio = strength(1.517).zip(strength(0.0)).map(|(moving, still)| moving / still);
    /// assert!(ratio.is_some_and(|r| (r - 0.75).abs() < 1e-9));
    /// # Ok::<(), anatomy::BodySizeError>(())
    /// ```
    #[must_use]
    pub fn at_speed(
        &self,
        side: Side,
        motion: JointMotion,
        angle: Angle,
        speed: AngularSpeed,
    ) -> Option<(Moment, f64)> {
        let curve = self.curve(side, motion);
        (curve.origin != CapacityOrigin::ComparisonOnly)
            .then(|| (Moment::nm(curve.moving(angle.in_rad(), speed.in_rad_per_s())), curve.spread))
    }

    /// For sharing a moment among muscles: strength in N·m (published, measured or for comparison),
    /// its spread, and whether it may be shown.
    pub(crate) fn for_sharing(
        &self,
        side: Side,
        k: usize,
        positive: bool,
        angle: f64,
        speed: f64,
    ) -> Strength {
        let curve = &self.legs.get(side)[k][usize::from(positive)];
        Strength {
            moment: curve.moving(angle, speed),
            spread: curve.spread,
            known: curve.origin != CapacityOrigin::ComparisonOnly,
        }
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

#[cfg(test)]
mod tests {
    use super::*;

    fn shapes() -> impl Iterator<Item = (&'static StrengthRow, BySpeed)> {
        strengths().iter().map(|row| (row, BySpeed { c4: row.c4, c5: row.c5, c6: row.c6 }))
    }

    /// The parameters are defined so: three quarters of strength are left at `C4`, half at `C5`.
    #[test]
    fn three_quarters_are_left_at_c4_and_half_at_c5() {
        assert_eq!(shapes().count(), 36);
        for (row, v) in shapes() {
            let name = (&row.joint, &row.direction, row.age_from);
            assert!((v.printed(row.c4) - 0.75).abs() < 1e-12, "{name:?}");
            assert!((v.printed(row.c5) - 0.50).abs() < 1e-12, "{name:?}");
        }
    }

    /// T / (mass · 9.81 · stature) of young men at the best angle, ω = 0, 1, 3 and −1 rad/s, computed
    /// from Table 3 with an independent program.
    #[test]
    fn young_men_have_the_published_strength_at_four_speeds() {
        for (joint, direction, want) in [
            ("hip", "extension", [0.16100, 0.13539, 0.08520, 0.16816]),
            ("hip", "flexion", [0.11300, 0.09939, 0.07285, 0.12106]),
            ("knee", "extension", [0.16300, 0.13429, 0.09495, 0.14705]),
            ("knee", "flexion", [0.08700, 0.07504, 0.05728, 0.09785]),
            ("ankle", "plantarflexion", [0.09500, 0.07103, 0.05067, 0.09199]),
            ("ankle", "dorsiflexion", [0.03300, 0.02221, 0.01240, 0.04060]),
        ] {
            let (row, v) = shapes()
                .find(|(r, _)| {
                    r.joint == joint
                        && r.direction == direction
                        && r.age_from == 18
                        && r.sex.fits(anatomy::Sex::Male)
                })
                .unwrap();
            for (w, want) in [0.0, 1.0, 3.0, -1.0].into_iter().zip(want) {
                let got = row.c1 * v.printed(w);
                assert!((got - want).abs() < 6e-6, "{joint} {direction} at {w}: {got}, published {want}");
            }
        }
    }

    /// Lowering never makes weaker than holding still, speed never makes stronger than that, and no
    /// speed makes strength vanish or jump to nonsense.
    #[test]
    fn at_any_speed_strength_stays_within_what_can_be_believed() {
        for (row, v) in shapes() {
            let mut last = 1.3 + 1e-12;
            for step in -120..=120 {
                let w = f64::from(step) * 0.1;
                let share = v.at(w);
                let name = (&row.joint, &row.direction, row.age_from, w);
                if w < 0.0 {
                    assert!((1.0..=1.3).contains(&share), "{name:?}: {share}");
                } else {
                    assert!((0.1..=1.0).contains(&share) && share <= last, "{name:?}: {share}");
                    last = share;
                }
            }
        }
    }
}
