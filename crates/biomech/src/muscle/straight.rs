//! The hip muscles as straight lines: arms, directions and the force they press the joint with.
//!
//! An independent set (Dostal & Andrews 1981, cross-sections after Johnston 1979), used for the hip
//! contact force because length polynomials give no lines of action. Lines end where the thigh
//! carries their insertions; they are good near neutral only, since nothing wraps.

use std::sync::OnceLock;

use nalgebra::{Rotation3, Vector3};
use quantity::reference::{HowRead, TableHead};
use serde::Deserialize;

use super::sharing::{Found, Power, Shares};
use super::units::{UNITS, units};

/// Lines, filled up to a multiple of four with lines of no strength.
pub(crate) const LINES: usize = 28;

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct File {
    #[allow(dead_code, reason = "heads are checked by the repository's own tests")]
    table: TableHead,
    half_hip_spacing_m: f64,
    strength: Strength,
    row: Vec<Row>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
#[allow(dead_code, reason = "source and how it was read are for the reader of the table")]
struct Strength {
    source: String,
    read: HowRead,
    specific_tension_n_per_cm2: f64,
    gluteus_maximus_area_cm2: f64,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
#[cfg_attr(not(test), allow(dead_code, reason = "names serve the tests"))]
struct Row {
    muscle: String,
    origin: [f64; 3],
    insertion: [f64; 3],
    area: Option<f64>,
    parts: Option<u8>,
    stance_force: Option<f64>,
}

/// One line of a right hip, metres from the hip centre in neutral.
#[derive(Clone, Copy)]
struct Line {
    origin: Vector3<f64>,
    insertion: Vector3<f64>,
    strength: f64,
}

/// Rows with a cross-section first, then those that lend their direction only.
fn in_order(file: &File) -> impl Iterator<Item = &Row> {
    let with = |area: bool| file.row.iter().filter(move |row| row.area.is_some() == area);
    with(true).chain(with(false))
}

/// For every unit of the 40, the line it is taken to pull along.
fn line_of_unit() -> &'static [Option<usize>; UNITS] {
    static ALL: OnceLock<[Option<usize>; UNITS]> = OnceLock::new();
    ALL.get_or_init(|| {
        std::array::from_fn(|u| {
            let name = units()[u].line.as_deref()?;
            let at = in_order(&rows().0).position(|row| row.muscle == name);
            assert!(at.is_some(), "no straight line is called `{name}`");
            at
        })
    })
}

fn rows() -> &'static (File, [Line; LINES]) {
    static ALL: OnceLock<(File, [Line; LINES])> = OnceLock::new();
    ALL.get_or_init(|| {
        let file: File = toml::from_str(include_str!("../../../../reference/hip_muscles_dostal1981.toml"))
            .unwrap_or_else(|e| panic!("reference/hip_muscles_dostal1981.toml: {e}"));
        let whole = file.strength.specific_tension_n_per_cm2 * file.strength.gluteus_maximus_area_cm2;
        let nothing = Line { origin: Vector3::y(), insertion: Vector3::zeros(), strength: 0.0 };
        let mut lines = [nothing; LINES];
        for (line, row) in lines.iter_mut().zip(in_order(&file)) {
            let strength =
                row.area.zip(row.parts).map_or(0.0, |(area, parts)| whole * area / f64::from(parts));
            *line = Line {
                origin: Vector3::from(row.origin) * 0.01,
                insertion: Vector3::from(row.insertion) * 0.01,
                strength,
            };
        }
        (file, lines)
    })
}

/// Strength of each line and its force in the worked one-leg stance, N, in the order of [`Lines`].
pub(crate) fn stance_forces() -> impl Iterator<Item = (f64, f64)> {
    let (file, lines) = rows();
    let forces = file.row.iter().filter(|row| row.area.is_some()).filter_map(|row| row.stance_force);
    lines.iter().map(|line| line.strength).zip(forces)
}

/// The lines at one posture of the hip of one body.
pub(crate) struct Lines {
    /// Moment of each line at full strength about flexion, adduction and internal rotation, N·m.
    full: [[f64; LINES]; 3],
    /// Where each line pulls the pelvis to, of unit length, in pelvis axes of a right hip.
    toward: [Vector3<f64>; LINES],
}

impl Lines {
    /// Lines for hip flexion, adduction and internal rotation in radians; `size` scales the arms.
    pub(crate) fn new(angles: [f64; 3], size: f64) -> Self {
        let first = Rotation3::from_axis_angle(&Vector3::z_axis(), angles[0]);
        let second = first * Rotation3::from_axis_angle(&Vector3::x_axis(), angles[1]);
        let thigh = second * Rotation3::from_axis_angle(&Vector3::y_axis(), angles[2]);
        let axes = [Vector3::z(), first * Vector3::x(), second * Vector3::y()];
        let mut full = [[0.0; LINES]; 3];
        let mut toward = [Vector3::zeros(); LINES];
        for (k, line) in rows().1.iter().enumerate() {
            let insertion = thigh * line.insertion;
            let toward_origin = (line.origin - insertion).normalize();
            let moment = insertion.cross(&toward_origin) * (line.strength * size);
            for (row, axis) in full.iter_mut().zip(&axes) {
                row[k] = axis.dot(&moment);
            }
            toward[k] = -toward_origin;
        }
        Self { full, toward }
    }

    /// How much larger a body is than the one the lines were measured on, by half the distance
    /// between the hip centres, metres.
    pub(crate) fn size(half_hip_spacing: f64) -> f64 {
        half_hip_spacing / rows().0.half_hip_spacing_m
    }

    /// The moment of all lines together about each axis, the weaker direction, N·m.
    pub(crate) fn whole(&self) -> [f64; 3] {
        self.full.map(|row| {
            let (negative, positive) =
                row.iter().fold((0.0, 0.0), |(n, p), m| (n - m.min(0.0), p + m.max(0.0)));
            f64::min(negative, positive)
        })
    }

    /// What the lines must pull for these hip moments (flexion, adduction, internal rotation), and
    /// the force the thigh presses on the pelvis with when `net` is all that the leg exerts on it.
    pub(crate) fn press(
        &self,
        moment: &[f64; 3],
        net: Vector3<f64>,
        reserve: &[f64; 3],
        power: Power,
    ) -> (Vector3<f64>, Found<3>, [f64; LINES]) {
        let shares = Shares { full: &self.full, moment, reserve };
        let mut share = [0.0; LINES];
        let mut found = shares.solve(Power::Squares, None, &mut share);
        if power == Power::Cubes {
            let start = Shares::<3, LINES>::cubes_from_squares(&found, &share);
            found = shares.solve(power, Some(start), &mut share);
        }
        let lines = rows().1.iter().zip(&self.toward).zip(share);
        let pulls: Vector3<f64> = lines.map(|((line, toward), a)| toward * (line.strength * a)).sum();
        (net - pulls, found, share)
    }

    /// The same force when the 40 units pull with these forces (N) along the lines they belong to.
    pub(crate) fn press_with(&self, force: &[f64; UNITS], net: Vector3<f64>) -> Vector3<f64> {
        let units = line_of_unit().iter().zip(force);
        net - units.filter_map(|(line, f)| Some(self.toward[(*line)?] * *f)).sum::<Vector3<f64>>()
    }
}

#[cfg(test)]
mod tests {
    use super::super::paths::paths;
    use super::super::units::DOF;
    use super::*;

    const WEIGHT: f64 = 750.0;

    /// Iglič's one-leg stance on these lines: 0.839 of body weight on 1.1117 half hip spacings.
    fn one_leg_stance(power: Power) -> (Vector3<f64>, Found<3>, [f64; LINES]) {
        let half = rows().0.half_hip_spacing_m;
        let share = 1.0 - 0.161;
        let lever = (1.01 - 0.161 * 0.48) / share * half;
        let abduction = share * WEIGHT * lever;
        assert!((abduction - 59.111_130).abs() < 1e-6);
        let net = Vector3::new(0.0, share * WEIGHT, 0.0);
        Lines::new([0.0; 3], 1.0).press(&[0.0, -abduction, 0.0], net, &[0.0; 3], power)
    }

    /// An independent solver's answer to the same problem: contact force (85.8929 forward, 1835.1671
    /// up, 315.2168 toward the midline) N, 248.536 % of body weight, multipliers (-0.00194269,
    /// 0.0192943, -0.00240262) for flexion, abduction and internal rotation, single forces to five
    /// decimals.
    #[test]
    fn one_leg_stance_presses_the_hip_with_two_and_a_half_body_weights() {
        let (force, found, share) = one_leg_stance(Power::Squares);
        for (got, want) in force.iter().zip([85.8929, 1835.1671, -315.2168]) {
            assert!((got - want).abs() < 6e-5, "{force:?}");
        }
        assert!((force.norm() / WEIGHT * 100.0 - 248.536).abs() < 6e-4);
        for (got, want) in found.multiplier.iter().zip([-0.001_942_69, -0.019_294_3, -0.002_402_62]) {
            assert!((got - want).abs() < 6e-8, "{:?}", found.multiplier);
        }
        assert!(found.left.iter().all(|m| m.abs() < 1e-7));
        let (file, lines) = rows();
        let mut seen = 0;
        for ((row, line), a) in file.row.iter().filter(|r| r.area.is_some()).zip(lines).zip(share) {
            let want = row.stance_force.unwrap();
            assert!((a * line.strength - want).abs() < 6e-6, "{}: {}", row.muscle, a * line.strength);
            seen += 1;
        }
        assert_eq!(seen, 26);
    }

    /// The same with cubes: 278.7 % of body weight, by the same independent solver.
    #[test]
    fn with_cubes_one_leg_stance_presses_the_hip_harder() {
        let (force, found, _) = one_leg_stance(Power::Cubes);
        assert!((force.norm() / WEIGHT * 100.0 - 278.7).abs() < 0.06, "{}", force.norm() / WEIGHT * 100.0);
        assert!(found.left.iter().all(|m| m.abs() < 1e-6));
    }

    /// The 40 units share Iglič's moment on their own generic hip (154.5 mm between the centres, 75.3
    /// kg) and pull along these lines: an independent program with that model's own paths found 273.4
    /// (squares) and 280.3 (cubes) per cent of body weight.
    #[test]
    fn the_forty_units_along_these_lines_press_as_hard_as_along_their_own_paths() {
        let mut arms = [[0.0; UNITS]; DOF];
        paths().arms(&[0.0; DOF], &mut arms);
        let full: [[f64; UNITS]; 3] =
            std::array::from_fn(|j| std::array::from_fn(|u| arms[j][u] * units()[u].strength));
        let weight = 75.3 * quantity::GRAVITY;
        let net = Vector3::new(0.0, 0.839 * weight, 0.0);
        let moment = [0.0, -net.y * 1.111_70 * 0.5 * 0.1545, 0.0];
        for (power, want) in [(Power::Squares, 273.4), (Power::Cubes, 280.3)] {
            let mut force = [0.0; UNITS];
            Shares { full: &full, moment: &moment, reserve: &[1e-3; 3] }.solve(power, None, &mut force);
            for (f, unit) in force.iter_mut().zip(units()) {
                *f *= unit.strength;
            }
            let pressed = Lines::new([0.0; 3], 1.0).press_with(&force, net).norm() / weight * 100.0;
            assert!((pressed - want).abs() < 0.01 * want, "{power:?}: {pressed}, want {want}");
        }
    }

    /// Published lever arms as remembered (Dostal 1986): gluteus maximus 4.6 cm extension, middle
    /// gluteus medius 6.0 cm abduction, piriformis 3.1 cm external rotation, adductor longus 4.1 cm
    /// flexion and 7.1 cm adduction.
    #[test]
    fn lines_have_the_lever_arms_their_authors_printed() {
        let lines = Lines::new([0.0; 3], 1.0);
        let (file, all) = rows();
        let arm = |name: &str, k: usize| {
            let at = file.row.iter().filter(|r| r.area.is_some()).position(|r| r.muscle == name).unwrap();
            lines.full[k][at] / all[at].strength * 100.0
        };
        for (name, k, want) in [
            ("gluteus_maximus", 0, -4.6),
            ("gluteus_medius_middle", 1, -6.0),
            ("piriformis", 2, -3.1),
            ("adductor_longus", 0, 4.1),
            ("adductor_longus", 1, 7.1),
        ] {
            assert!((arm(name, k) - want).abs() < 0.05, "{name}: {}", arm(name, k));
        }
    }

    /// A line shortens by its arm times the turn, also away from neutral.
    #[test]
    fn turned_with_the_thigh_an_arm_is_still_minus_the_slope_of_the_length() {
        let length = |angles: [f64; 3], line: &Line| {
            let turn = Rotation3::from_axis_angle(&Vector3::z_axis(), angles[0])
                * Rotation3::from_axis_angle(&Vector3::x_axis(), angles[1])
                * Rotation3::from_axis_angle(&Vector3::y_axis(), angles[2]);
            (line.origin - turn * line.insertion).norm()
        };
        let base = [0.4, -0.2, 0.15];
        let lines = Lines::new(base, 1.0);
        for (k, line) in rows().1.iter().enumerate().filter(|(_, l)| l.strength > 0.0) {
            for j in 0..3 {
                let (mut up, mut down) = (base, base);
                up[j] += 1e-6;
                down[j] -= 1e-6;
                let slope = (length(up, line) - length(down, line)) / 2e-6;
                assert!((lines.full[j][k] / line.strength + slope).abs() < 1e-8, "line {k}, axis {j}");
            }
        }
    }

    /// The result does not depend on body size: moment and arms grow alike.
    #[test]
    fn a_larger_body_of_the_same_shape_presses_with_as_many_body_weights() {
        let force = |size: f64| {
            let net = Vector3::new(0.0, 600.0, 0.0);
            Lines::new([0.1, 0.05, 0.0], size)
                .press(&[5.0 * size, -50.0 * size, 0.0], net, &[0.0; 3], Power::Squares)
                .0
        };
        assert!((force(1.0) - force(1.3)).norm() < 1e-6);
    }
}
