//! The centre of mass in the air: a projectile over a distance, thrown as gently as can be.
//!
//! Over the distance `d` to a place `r` higher the least speed is `v² = g (r + √(r² + d²))` at the
//! angle `tan θ = v² / (g d)`. Where that would not clear the landing place by the named least rise, the
//! vertical speed is raised to `√(2 g (r + least))` and the horizontal speed follows from the time.

use quantity::GRAVITY;

/// One flight, in metres and seconds.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Throw {
    up: f64,
    along: f64,
    /// How much higher the landing place is.
    higher: f64,
}

impl Throw {
    /// The gentlest throw over `distance` to a place `higher`, at least `least_rise` above the higher end.
    pub(crate) fn least(distance: f64, higher: f64, least_rise: f64) -> Self {
        let squared = GRAVITY * (higher + higher.hypot(distance));
        let steep = squared.atan2(GRAVITY * distance);
        let up = squared.sqrt() * steep.sin();
        let needed = (2.0 * GRAVITY * (higher.max(0.0) + least_rise)).sqrt();
        let up = up.max(needed);
        let without = Self { up, along: 0.0, higher };
        Self { along: distance / without.time(), ..without }
    }

    /// Time in the air.
    pub(crate) fn time(&self) -> f64 {
        (self.up + self.touch_down_speed()) / GRAVITY
    }

    /// Rise of the centre of mass above take-off.
    pub(crate) fn rise(&self) -> f64 {
        self.up * self.up / (2.0 * GRAVITY)
    }

    /// Vertical speed at touch-down, downward.
    pub(crate) fn touch_down_speed(&self) -> f64 {
        (self.up * self.up - 2.0 * GRAVITY * self.higher).max(0.0).sqrt()
    }

    /// Speed at take-off.
    pub(crate) fn speed(&self) -> f64 {
        self.up.hypot(self.along)
    }

    /// Angle of take-off above the horizontal, radians.
    pub(crate) fn angle(&self) -> f64 {
        self.up.atan2(self.along)
    }

    /// Mean vertical force in weights of a push over so many metres: `1 + v² / (2 g s)`.
    pub(crate) fn mean_push(&self, over: f64) -> f64 {
        1.0 + self.rise() / over
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Published identities: `h = g t² / 8` for level flight, and a drop from 0.30 m ends at 2.426 m/s.
    #[test]
    fn flight_time_and_fall_speed_are_those_of_a_projectile() {
        let throw = Throw::least(0.8, 0.0, 0.05);
        assert!((throw.rise() - GRAVITY * throw.time().powi(2) / 8.0).abs() < 1e-12);
        let straight_up = Throw::least(0.0, 0.0, 0.30);
        assert!((straight_up.touch_down_speed() - 2.426).abs() < 1e-3);
        assert!((straight_up.rise() - 0.30).abs() < 1e-12);
    }

    #[test]
    fn no_other_angle_needs_less_speed_and_level_ground_wants_forty_five_degrees() {
        for (d, r) in [(0.6, 0.0), (1.2, 0.0), (0.8, 0.17)] {
            let throw = Throw::least(d, r, 0.0);
            for degrees in 20..80 {
                let a = f64::from(degrees).to_radians();
                // Through (d, r) at this angle: v² = g d² / (2 cos² a (d tan a − r)).
                let below = 2.0 * a.cos().powi(2) * (d * a.tan() - r);
                if below > 0.0 {
                    assert!(throw.speed().powi(2) <= GRAVITY * d * d / below + 1e-9, "{d} {r} {degrees}");
                }
            }
        }
        assert!((Throw::least(1.0, 0.0, 0.0).angle().to_degrees() - 45.0).abs() < 1e-9);
    }

    #[test]
    fn it_lands_where_it_was_thrown_to() {
        for (d, r) in [(0.3, 0.0), (1.2, 0.0), (0.4, 0.17), (0.5, -0.2)] {
            let throw = Throw::least(d, r, 0.05);
            let t = throw.time();
            assert!((throw.along * t - d).abs() < 1e-12);
            assert!((throw.up * t - GRAVITY * t * t / 2.0 - r).abs() < 1e-12);
            assert!(throw.rise() >= r.max(0.0) + 0.05 - 1e-12, "it clears the higher end");
        }
    }
}
