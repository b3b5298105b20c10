//! The lever of the quadriceps and the force behind the kneecap by knee flexion, from memory.

use std::sync::OnceLock;

use quantity::reference::TableHead;
use quantity::{Angle, Length};
use serde::Deserialize;

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct File {
    #[allow(dead_code, reason = "heads are checked by the repository's own tests")]
    table: TableHead,
    lever: Lever,
    ratio: Ratio,
    range: Range,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Lever {
    coefficients: Vec<f64>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Ratio {
    above: Vec<f64>,
    below: Vec<f64>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Range {
    low_deg: f64,
    high_deg: f64,
}

fn file() -> &'static File {
    static ALL: OnceLock<File> = OnceLock::new();
    ALL.get_or_init(|| {
        toml::from_str(include_str!("../../../../reference/quadriceps_lever.toml"))
            .unwrap_or_else(|e| panic!("reference/quadriceps_lever.toml: {e}"))
    })
}

fn polynomial(coefficients: &[f64], x: f64) -> f64 {
    coefficients.iter().rev().fold(0.0, |sum, c| sum * x + c)
}

fn inside(degrees: f64) -> bool {
    (file().range.low_deg..=file().range.high_deg).contains(&degrees)
}

/// The lever on which the quadriceps extends the knee, from memory (after van Eijden 1986);
/// `None` outside 0° to 90° of knee flexion.
#[must_use]
pub fn quadriceps_lever(knee_flexion: Angle) -> Option<Length> {
    let x = knee_flexion.in_deg();
    inside(x).then(|| Length::m(polynomial(&file().lever.coefficients, x)))
}

/// Force behind the kneecap per quadriceps force at so many degrees of knee flexion. A knee a little
/// beyond straight counts as straight.
pub(crate) fn behind_the_kneecap(degrees: f64) -> Option<f64> {
    let x = if (-5.0..0.0).contains(&degrees) { 0.0 } else { degrees };
    let ratio = &file().ratio;
    inside(x).then(|| polynomial(&ratio.above, x) / polynomial(&ratio.below, x))
}

#[cfg(test)]
mod tests {
    use super::super::paths::paths;
    use super::super::units::{DOF, UNITS, units};
    use super::*;

    /// From memory: 44.9, 33.3 and 24.2 mm at 30, 60 and 90 degrees; ratios 0.462, 0.947 and 0.981.
    #[test]
    fn lever_and_ratio_have_the_values_remembered() {
        for (degrees, mm) in [(30.0, 44.9), (60.0, 33.3), (90.0, 24.2)] {
            let lever = quadriceps_lever(Angle::deg(degrees)).unwrap().in_mm();
            assert!((lever - mm).abs() < 0.06, "{degrees}: {lever}");
        }
        for (degrees, want) in [(0.0, 0.462), (60.0, 0.947), (90.0, 0.981)] {
            let ratio = behind_the_kneecap(degrees).unwrap();
            assert!((ratio - want).abs() < 6e-4, "{degrees}: {ratio}");
        }
        assert_eq!(quadriceps_lever(Angle::deg(95.0)), None);
    }

    /// Two routes to one lever: this polynomial and the tendon travel of the three vasti.
    #[test]
    fn the_lever_agrees_with_the_travel_of_the_vasti_within_six_millimetres() {
        for degrees in [15.0, 30.0, 45.0, 60.0, 75.0, 90.0] {
            let mut arms = [[0.0; UNITS]; DOF];
            paths().arms(&[0.0, 0.0, 0.0, f64::to_radians(degrees), 0.0, 0.0], &mut arms);
            let vasti: Vec<(f64, f64)> = units()
                .iter()
                .zip(arms[3])
                .filter(|(u, _)| u.set == anatomy::LegMuscles::Vasti)
                .map(|(u, r)| (u.strength, -r))
                .collect();
            let whole: f64 = vasti.iter().map(|(s, _)| s).sum();
            let travel = vasti.iter().map(|(s, r)| s * r).sum::<f64>() / whole * 1000.0;
            let lever = quadriceps_lever(Angle::deg(degrees)).unwrap().in_mm();
            assert!((travel - lever).abs() < 6.0, "{degrees}: {travel} and {lever} mm");
        }
    }
}
