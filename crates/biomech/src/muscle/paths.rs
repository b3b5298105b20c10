//! Lengths and moment arms of the muscle units by joint angle.
//!
//! Length is a polynomial of the angles a unit crosses; the moment arm about a coordinate is
//! `r = −∂L/∂q`, positive when the unit pushes toward the positive angle. Units that cross the
//! same joints share their monomials: those stand in graded order, so a polynomial of lower
//! degree uses the first of them. Angles outside the fitted range are held at its end and said so.

use std::ops::Range;
use std::sync::OnceLock;

use anatomy::{Coordinate, JointMotion};
use quantity::reference::TableHead;
use serde::Deserialize;

use super::units::{DOF, MOVED, UNITS, moved, units};

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct File {
    #[allow(dead_code, reason = "heads are checked by the repository's own tests")]
    table: TableHead,
    range: Vec<RangeRow>,
    row: Vec<Row>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct RangeRow {
    coordinate: Coordinate,
    low_deg: f64,
    high_deg: f64,
    held_down_to_deg: Option<f64>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Row {
    muscle: String,
    over: Vec<Coordinate>,
    degree: usize,
    arm_rms: Vec<f64>,
    #[serde(default)]
    arm_max: Vec<f64>,
    coefficients: Vec<f64>,
}

/// How far the arms of one unit were from the paths they were fitted to, metres.
#[derive(Clone, Debug)]
#[cfg_attr(not(test), allow(dead_code, reason = "read by the tests of the fit"))]
pub(crate) struct FitError {
    pub(crate) rms: Vec<f64>,
    pub(crate) max: Vec<f64>,
}

/// One polynomial: which unit, where its coefficients begin, how many there are.
struct Polynomial {
    unit: usize,
    coefficients: Range<usize>,
}

/// How a monomial follows from an earlier one: the earlier one times a variable.
#[derive(Clone, Copy)]
struct Step {
    from: usize,
    by: usize,
}

/// Units that cross the same coordinates.
struct Family {
    over: Vec<usize>,
    steps: Vec<Step>,
    polynomials: Vec<Polynomial>,
}

/// The polynomials of all units.
pub(crate) struct Paths {
    families: Vec<Family>,
    coefficients: Vec<f64>,
    /// Fitted range and how far below it the low end is still used, radians.
    range: [(f64, f64, f64); DOF],
    crosses: [[bool; DOF]; UNITS],
    #[cfg_attr(not(test), allow(dead_code, reason = "read by the tests of the fit"))]
    pub(crate) errors: Vec<FitError>,
}

/// More monomials than any family has.
const MOST: usize = 126;
/// More coordinates than any unit crosses.
const WIDEST: usize = 4;

/// Exponents in graded order: by total degree, then the higher exponent of the first variable first.
fn exponents(variables: usize, degree: usize) -> Vec<Vec<usize>> {
    fn of_degree(variables: usize, degree: usize) -> Vec<Vec<usize>> {
        if variables == 1 {
            return vec![vec![degree]];
        }
        (0..=degree)
            .rev()
            .flat_map(|first| {
                of_degree(variables - 1, degree - first)
                    .into_iter()
                    .map(move |rest| std::iter::once(first).chain(rest).collect())
            })
            .collect()
    }
    (0..=degree).flat_map(|d| of_degree(variables, d)).collect()
}

fn steps(variables: usize, degree: usize) -> Vec<Step> {
    let all = exponents(variables, degree);
    all[1..]
        .iter()
        .map(|e| {
            let by = e.iter().position(|n| *n > 0).unwrap_or(0);
            let mut lower = e.clone();
            lower[by] -= 1;
            let from = all.iter().position(|other| *other == lower).unwrap_or(0);
            Step { from, by }
        })
        .collect()
}

/// A sum of products in four lanes.
fn dot(a: &[f64], b: &[f64]) -> f64 {
    let (a4, a_rest) = a.as_chunks::<4>();
    let (b4, b_rest) = b.as_chunks::<4>();
    let mut lanes = [0.0; 4];
    for (x, y) in a4.iter().zip(b4) {
        for k in 0..4 {
            lanes[k] += x[k] * y[k];
        }
    }
    let rest: f64 = a_rest.iter().zip(b_rest).map(|(x, y)| x * y).sum();
    lanes.iter().sum::<f64>() + rest
}

impl Paths {
    fn read() -> Self {
        let file: File = toml::from_str(include_str!("../../../../reference/muscle_length_polynomials.toml"))
            .unwrap_or_else(|e| panic!("reference/muscle_length_polynomials.toml: {e}"));
        let mut range = [(0.0, 0.0, 0.0); DOF];
        for row in file.range {
            let k = moved(row.coordinate).unwrap_or_else(|| panic!("no muscle moves {:?}", row.coordinate));
            let low = row.low_deg.to_radians();
            range[k] = (low, row.high_deg.to_radians(), row.held_down_to_deg.map_or(low, f64::to_radians));
        }
        let mut families: Vec<Family> = Vec::new();
        let mut coefficients = Vec::new();
        let mut crosses = [[false; DOF]; UNITS];
        let mut errors = vec![FitError { rms: Vec::new(), max: Vec::new() }; UNITS];
        for row in file.row {
            let name = &row.muscle;
            let unit = units()
                .iter()
                .position(|u| u.name == *name)
                .unwrap_or_else(|| panic!("the polynomial of `{name}` has no muscle unit"));
            let over: Vec<usize> = row.over.iter().filter_map(|c| moved(*c)).collect();
            assert!(
                exponents(over.len(), row.degree).len() == row.coefficients.len(),
                "the polynomial of `{name}` has {} coefficients, not those of degree {}",
                row.coefficients.len(),
                row.degree,
            );
            for k in &over {
                crosses[unit][*k] = true;
            }
            let mm = |list: &[f64]| list.iter().map(|e| e * 0.001).collect();
            errors[unit] = FitError { rms: mm(&row.arm_rms), max: mm(&row.arm_max) };
            let start = coefficients.len();
            coefficients.extend(&row.coefficients);
            let polynomial = Polynomial { unit, coefficients: start..coefficients.len() };
            let needed = steps(over.len(), row.degree);
            match families.iter_mut().find(|f| f.over == over) {
                Some(family) => {
                    if needed.len() > family.steps.len() {
                        family.steps = needed;
                    }
                    family.polynomials.push(polynomial);
                }
                None => families.push(Family { over, steps: needed, polynomials: vec![polynomial] }),
            }
        }
        assert!(crosses.iter().all(|c| c.contains(&true)), "a muscle unit has no polynomial");
        Self { families, coefficients, range, crosses, errors }
    }

    /// Whether a unit crosses a coordinate.
    pub(crate) fn crosses(&self, unit: usize, coordinate: usize) -> bool {
        self.crosses[unit][coordinate]
    }

    /// The angles held inside the fitted range, and for those that were outside in which direction. The knee a
    /// little beyond straight counts as straight.
    pub(crate) fn hold(&self, angles: &[f64; DOF]) -> ([f64; DOF], Blocked) {
        let mut held = [0.0; DOF];
        let mut outside = [None; DOF];
        for k in 0..DOF {
            let (low, high, down_to) = self.range[k];
            held[k] = angles[k].clamp(low, high);
            if angles[k] > high + 1e-9 {
                outside[k] = Some(MOVED[k].positive());
            } else if angles[k] < down_to - 1e-9 {
                outside[k] = Some(MOVED[k].negative());
            }
        }
        (held, outside)
    }

    /// Moment arms in metres of the generic person, by coordinate and unit. Angles in radians,
    /// inside the fitted range (see [`Self::hold`]).
    pub(crate) fn arms(&self, angles: &[f64; DOF], out: &mut [[f64; UNITS]; DOF]) {
        let mut value = [0.0; MOST];
        let mut slope = [[0.0; MOST]; WIDEST];
        for family in &self.families {
            let n = family.over.len();
            value[0] = 1.0;
            for row in slope.iter_mut().take(n) {
                row[0] = 0.0;
            }
            for (k, step) in family.steps.iter().enumerate() {
                let q = angles[family.over[step.by]];
                value[k + 1] = value[step.from] * q;
                for row in slope.iter_mut().take(n) {
                    row[k + 1] = row[step.from] * q;
                }
                slope[step.by][k + 1] += value[step.from];
            }
            for p in &family.polynomials {
                let c = &self.coefficients[p.coefficients.clone()];
                for (j, row) in family.over.iter().zip(&slope) {
                    out[*j][p.unit] = -dot(c, &row[..c.len()]);
                }
            }
        }
    }

    /// Musculotendon lengths in metres of the generic person, by unit.
    #[cfg_attr(not(test), allow(dead_code, reason = "lengths serve the law r = -dL/dq"))]
    pub(crate) fn lengths(&self, angles: &[f64; DOF]) -> [f64; UNITS] {
        let mut out = [0.0; UNITS];
        let mut value = [0.0; MOST];
        for family in &self.families {
            value[0] = 1.0;
            for (k, step) in family.steps.iter().enumerate() {
                value[k + 1] = value[step.from] * angles[family.over[step.by]];
            }
            for p in &family.polynomials {
                let c = &self.coefficients[p.coefficients.clone()];
                out[p.unit] = dot(c, &value[..c.len()]);
            }
        }
        out
    }
}

/// The polynomials, parsed once.
pub(crate) fn paths() -> &'static Paths {
    static ALL: OnceLock<Paths> = OnceLock::new();
    ALL.get_or_init(Paths::read)
}

/// For every coordinate, the motion in which it cannot be answered for.
pub(crate) type Blocked = [Option<JointMotion>; DOF];

/// The first blocked motion among the coordinates that are crossed.
pub(crate) fn first(blocked: &Blocked, crossed: impl Fn(usize) -> bool) -> Option<JointMotion> {
    (0..DOF).filter(|k| crossed(*k)).find_map(|k| blocked[k])
}

#[cfg(test)]
mod tests {
    use std::collections::BTreeMap;

    use super::*;

    #[derive(Deserialize)]
    struct Vectors {
        row: Vec<Vector>,
    }

    #[derive(Deserialize)]
    struct Vector {
        posture: String,
        angles: [f64; DOF],
        unit: BTreeMap<String, Vec<f64>>,
    }

    /// `reference/muscle_arm_vectors.toml`, 240 vectors of length and arms. Stated for the
    /// polynomials: mean error of an arm 0.2 to 0.35 mm, worst 2.6 mm (quadriceps, straight knee).
    #[test]
    fn arms_and_lengths_are_those_of_the_paths_within_the_stated_error_of_the_fit() {
        let vectors: Vectors =
            toml::from_str(include_str!("../../../../reference/muscle_arm_vectors.toml")).unwrap();
        let mut checked = 0;
        for vector in &vectors.row {
            let angles = vector.angles.map(f64::to_radians);
            let (held, outside) = paths().hold(&angles);
            assert_eq!(outside, [None; DOF], "{}", vector.posture);
            let mut arms = [[0.0; UNITS]; DOF];
            paths().arms(&held, &mut arms);
            let lengths = paths().lengths(&held);
            let mut sum = 0.0;
            let mut count = 0;
            for (u, unit) in units().iter().enumerate() {
                let want = &vector.unit[&unit.name];
                checked += 1;
                assert!((lengths[u] - want[0]).abs() < 0.0012, "{}: length of {}", vector.posture, unit.name);
                let crossed: Vec<usize> = (0..DOF).filter(|k| paths().crosses(u, *k)).collect();
                for (k, mm) in crossed.into_iter().zip(&want[1..]) {
                    let error = (arms[k][u] * 1000.0 - mm).abs();
                    sum += error;
                    count += 1;
                    assert!(
                        error < 2.65,
                        "{}: arm {k} of {} is off by {error} mm",
                        vector.posture,
                        unit.name
                    );
                }
            }
            let mean = sum / f64::from(count);
            assert!(mean < 0.36, "{}: mean error {mean} mm", vector.posture);
        }
        assert_eq!(checked, 240);
    }

    /// Tendon travel: what a muscle shortens is what it turns, so `r = −dL/dq`.
    #[test]
    fn an_arm_is_minus_the_slope_of_the_length() {
        let base = [0.7, -0.2, 0.15, 1.1, 0.1, -0.12];
        let mut arms = [[0.0; UNITS]; DOF];
        paths().arms(&base, &mut arms);
        for (k, row) in arms.iter().enumerate() {
            let h = 1e-6;
            let (mut up, mut down) = (base, base);
            up[k] += h;
            down[k] -= h;
            let (up, down) = (paths().lengths(&up), paths().lengths(&down));
            for (u, arm) in row.iter().enumerate() {
                let slope = (up[u] - down[u]) / (2.0 * h);
                assert!((arm + slope).abs() < 1e-8, "{} about {:?}", units()[u].name, MOVED[k]);
                assert!(paths().crosses(u, k) || *arm == 0.0);
            }
        }
    }

    /// Every published RMS of the fit is at most 1.2 mm (1.16 for tensor fasciae latae).
    #[test]
    fn no_unit_is_fitted_worse_than_twelve_tenths_of_a_millimetre() {
        for (unit, error) in units().iter().zip(&paths().errors) {
            assert!(error.rms.iter().all(|e| *e < 0.0012), "{}", unit.name);
            assert!(error.max.iter().zip(&error.rms).all(|(max, rms)| max > rms), "{}", unit.name);
        }
    }

    #[test]
    fn beyond_the_fitted_range_an_angle_is_held_and_named() {
        let (held, outside) = paths().hold(&[120_f64.to_radians(), 0.0, 0.0, 0.0, 0.0, 0.0]);
        assert!((held[0] - 115_f64.to_radians()).abs() < 1e-12);
        assert_eq!(first(&outside, |_| true), Some(Coordinate::HipFlexion.positive()));
        let (held, outside) = paths().hold(&[0.0, 0.0, 0.0, -2_f64.to_radians(), 0.0, 0.0]);
        assert!(held[3].abs() < 1e-12 && outside[3].is_none(), "a straight knee stands");
        let (_, outside) = paths().hold(&[0.0, 0.0, 0.0, -7_f64.to_radians(), 0.0, 0.0]);
        assert_eq!(outside[3], Some(Coordinate::KneeFlexion.negative()));
    }
}
