//! Worked examples from publications and course notes; each names where its numbers were read.

use anatomy::{BodySize, PerSide, Sex, Side};
use biomech::rigid::{Part, holding_moment, together};
use biomech::{Body, Capacity, Phase, motion};
use movement::{Bearing, Crossing, Family, MovementSpec};
use nalgebra::Vector3;
use quantity::{Length, Mass};

fn near(got: f64, want: f64, tolerance: f64, what: &str) {
    assert!((got - want).abs() <= tolerance, "{what}: got {got}, published {want} ± {tolerance}");
}

/// Open course notes on body segment parameters (demotu/BMC, `BodySegmentParameters` notebook,
/// executed output), points in metres, Winter 2009 fractions, 100 kg.
#[test]
fn lower_limb_centre_of_mass_and_inertia() {
    let toe = Vector3::new(1.011, 0.013, 0.0);
    let ankle = Vector3::new(0.849, 0.110, 0.0);
    let knee = Vector3::new(0.864, 0.549, 0.0);
    let hip = Vector3::new(0.721, 0.928, 0.0);
    let foot = Part::limb("foot", 100.0, ankle, toe).unwrap();
    let shank = Part::limb("shank", 100.0, knee, ankle).unwrap();
    let thigh = Part::limb("thigh", 100.0, hip, knee).unwrap();
    for (part, x, y, inertia, name) in [
        (foot, 0.930, 0.062, 0.012, "foot"),
        (shank, 0.858, 0.359, 0.082, "shank"),
        (thigh, 0.783, 0.764, 0.171, "thigh"),
    ] {
        near(part.centre.x, x, 0.0006, name);
        near(part.centre.y, y, 0.0006, name);
        near(part.inertia[(2, 2)], inertia, 0.0006, name);
    }
    let limb = together(&[foot, shank, thigh]).unwrap();
    near(limb.centre.x, 0.818, 0.0006, "limb x");
    near(limb.centre.y, 0.584, 0.0006, "limb y");
    near(limb.inertia[(2, 2)], 1.257, 0.002, "limb about its centre");
    near(limb.inertia_about(hip)[(2, 2)], 3.317, 0.003, "limb about the hip");
    // The notes' own warning: adding the segments' inertias about their centres and moving the
    // whole mass is not the same (2.324 there).
    let shortcut = limb.mass * (limb.centre - hip).norm_squared()
        + [foot, shank, thigh].iter().map(|p| p.inertia[(2, 2)]).sum::<f64>();
    near(shortcut, 2.324, 0.003, "the wrong shortcut");
}

/// Pauwels' one-leg stance (inputs from open hip-joint model data; answers follow from them):
/// 47.76 kg supported on a lever of 109.9 mm, abductors on 40 mm at 21° from the vertical.
#[test]
fn pauwels_one_leg_stance() {
    let head = Vector3::zeros();
    let supported = Part::point(47.76, Vector3::new(0.0, 0.3, -0.1099));
    let moment = holding_moment(&[supported], head).x;
    let abductors = moment.abs() / 0.040;
    near(abductors, 1287.3, 0.3, "abductor force");
    let lean = 21.0_f64.to_radians();
    let up = abductors * lean.cos() + 47.76 * 9.81;
    let across = abductors * lean.sin();
    near(up.hypot(across), 1732.8, 0.4, "joint force");
    near(across.atan2(up).to_degrees(), 15.4, 0.05, "its direction from the vertical");
    near(up.hypot(across) / (58.7 * 9.81), 3.01, 0.005, "in body weights");
}

/// Iglič's lever of the body without the standing leg: `W_L` = 0.161 BW at 0.48 l, body at 1.01 l.
#[test]
fn iglic_lever() {
    let at = |x: f64| Vector3::new(0.0, 0.0, x);
    let rest = together(&[Part::point(1.0, at(1.01)), Part::point(-0.161, at(0.48))]).unwrap();
    near(rest.centre.z, 1.11170, 5e-6, "lever in units of l");
}

/// Forearm and hand with 5 kg at a right-angled elbow, 75 kg, 1.75 m (Winter fractions).
#[test]
fn elbow_holding_five_kilograms() {
    let elbow = Vector3::zeros();
    let forearm = Part::limb("forearm_and_hand", 75.0, elbow, Vector3::new(0.146 * 1.75, 0.0, 0.0)).unwrap();
    let load = Part::point(5.0, Vector3::new(0.254 * 1.75, 0.0, 0.0));
    let moment = holding_moment(&[forearm, load], elbow).z;
    near(moment, 24.62, 0.01, "elbow flexion moment");
    near(moment / 0.04, 616.0, 1.0, "biceps at 4 cm");
}

/// de Leva 1996: whole-body centre of mass at 0.5544 (women) and 0.5558 (men) of stature, with
/// the sample's own lengths stacked. Given that sample's hip height (0.0400 + 0.2528 + 0.2124 of
/// stature for women, 0.0186 + 0.2529 + 0.2425 for men, Table 4) our body must agree within a
/// hundredth of stature. From stature alone our hips stand higher (0.530 after Drillis & Contini),
/// so the centre of mass is higher too: by up to 0.013.
#[test]
fn standing_centre_of_mass_height() {
    for (sex, hip_height, want) in [(Sex::Female, 0.5052, 0.5544), (Sex::Male, 0.5140, 0.5558)] {
        // Our ankle stands at 0.039 of stature.
        let legs = hip_height - 0.039;
        let stature = 1.74;
        // Hara 2016: the hip lies 0.009 m + 0.078 leg lengths below the iliac spine.
        let leg_length = Length::m((legs * stature + 0.009) / (1.0 - 0.078));
        for (given, tolerance) in [(Some(leg_length), 0.01), (None, 0.013)] {
            let limbs = PerSide { left: given, right: given };
            let size = BodySize::new(Length::m(stature), Mass::kg(68.0), sex, 25, limbs).unwrap();
            let body = Body::of(&size);
            let found = motion(&body, &Capacity::of(&size, &[]), &short_step()).unwrap();
            let start = found.of_phase(Phase::Start).next().unwrap();
            near(start.centre_of_mass[1] / stature, want, tolerance, "height of the centre of mass");
        }
    }
}

fn short_step() -> MovementSpec {
    MovementSpec::bare(Family::Step, Side::Right, Bearing::ALL[0], Crossing::None, Length::cm(30.0))
}
