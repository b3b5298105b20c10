//! A mass that lands on a spring: `m y″ = k (l₀ − y) − m g` from touch-down at speed `v`.
//!
//! With `x = l₀ − y` the spring gives way by `x = (m g / k)(1 + √(1 + k v² / (m g²)))` and presses
//! with `F / (m g) = 1 + √(1 + k v² / (m g²))`.

use quantity::GRAVITY;

/// Legs as one spring under one mass: newtons per metre, kilograms.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Spring {
    pub(crate) stiffness: f64,
    pub(crate) mass: f64,
}

impl Spring {
    /// How far it gives way after touching down at this speed, metres.
    pub(crate) fn gives_way(&self, speed: f64) -> f64 {
        peak_in_weights(self, speed) * self.mass * GRAVITY / self.stiffness
    }
}

/// Peak force in weights after touching down at this vertical speed.
pub(crate) fn peak_in_weights(spring: &Spring, speed: f64) -> f64 {
    1.0 + (1.0 + spring.stiffness * speed * speed / (spring.mass * GRAVITY * GRAVITY)).sqrt()
}

/// Mean force in weights when a fall at this speed is absorbed over a depth: `1 + v² / (2 g s)`.
pub(crate) fn mean_over(depth: f64, speed: f64) -> f64 {
    1.0 + speed * speed / (2.0 * GRAVITY * depth.max(1e-3))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Two routes: the closed form against stepping the equation of motion (Runge–Kutta 4).
    #[test]
    fn the_peak_agrees_with_the_equation_of_motion_stepped_through() {
        for (stiffness, mass, speed) in [(17_800.0, 75.0, 1.2), (7_000.0, 60.0, 2.4), (32_600.0, 90.0, 2.7)] {
            let spring = Spring { stiffness, mass };
            let slope = |[x, v]: [f64; 2]| [v, GRAVITY - stiffness / mass * x];
            let add = |[x, v]: [f64; 2], [a, b]: [f64; 2], h: f64| [x + a * h, v + b * h];
            let (mut state, h, mut deepest) = ([0.0, speed], 1e-5, 0.0_f64);
            while state[1] > 0.0 {
                let k1 = slope(state);
                let k2 = slope(add(state, k1, h / 2.0));
                let k3 = slope(add(state, k2, h / 2.0));
                let k4 = slope(add(state, k3, h));
                for i in 0..2 {
                    state[i] += h / 6.0 * (k1[i] + 2.0 * k2[i] + 2.0 * k3[i] + k4[i]);
                }
                deepest = deepest.max(state[0]);
            }
            assert!((deepest - spring.gives_way(speed)).abs() < 1e-6, "{deepest}");
            let force = stiffness * deepest / (mass * GRAVITY);
            assert!((force - peak_in_weights(&spring, speed)).abs() < 1e-5, "{force}");
        }
    }

    /// Published law (drop landings): peak force grows with the square root of drop height, in a line.
    #[test]
    fn peak_force_is_nearly_a_line_in_the_square_root_of_the_height_of_the_fall() {
        let spring = Spring { stiffness: 17_800.0, mass: 75.0 };
        let at = |h: f64| peak_in_weights(&spring, (2.0 * GRAVITY * h).sqrt());
        let (from, to) = (0.2_f64, 0.6_f64);
        let slope = (at(to) - at(from)) / (to.sqrt() - from.sqrt());
        for h in [0.3_f64, 0.4, 0.5] {
            let line = at(from) + slope * (h.sqrt() - from.sqrt());
            assert!((at(h) / line - 1.0).abs() < 0.01, "{h}: {} {line}", at(h));
        }
    }

    #[test]
    fn a_stiffer_leg_and_a_faster_fall_press_harder_and_no_fall_presses_twice_the_weight() {
        let soft = Spring { stiffness: 7_000.0, mass: 75.0 };
        let stiff = Spring { stiffness: 16_300.0, mass: 75.0 };
        for speed in [0.5, 1.0, 2.0, 3.0] {
            assert!(peak_in_weights(&soft, speed) < peak_in_weights(&stiff, speed));
            assert!(peak_in_weights(&soft, speed) < peak_in_weights(&soft, speed + 0.1));
            assert!(soft.gives_way(speed) > stiff.gives_way(speed));
        }
        assert!((peak_in_weights(&soft, 0.0) - 2.0).abs() < 1e-12, "a weight let go on a spring");
    }
}
