//! Laws of statics at a fixed posture: the floor may turn, the body may grow, a load adds up.

use anatomy::{BodySize, PerSide, Sex, Side};
use movement::{Bearing, Crossing, Family, MovementSpec};
use quantity::{Length, Mass};

use crate::body::Body;
use crate::capacity::Capacity;
use crate::search::direct;
use crate::state::{NQ, State, TRUNK, YAW};
use crate::statics::{Row, Setting, Statics, foot_vars};
use crate::task::PostureProblem;

/// A solved step to the right and forward: body, variables, setting.
fn stepping() -> (Body, Row, Setting) {
    let size = BodySize::new(Length::cm(176.0), Mass::kg(80.0), Sex::Male, 60, PerSide::default()).unwrap();
    let (body, capacity) = (Body::of(&size), Capacity::of(&size, &[]));
    let spec =
        MovementSpec::bare(Family::Step, Side::Right, Bearing::ALL[1], Crossing::None, Length::cm(50.0));
    let found = direct(&body, &capacity, &spec, None).unwrap();
    let setting = PostureProblem::new(&body, &capacity, &found.task).setting;
    (body, found.solved.x, setting)
}

fn moments(body: &Body, x: &Row, setting: &Setting) -> [f64; NQ] {
    Statics::new(body, &State::new(body, &x[..NQ]), x, setting).tau
}

#[test]
fn turning_the_floor_turns_nothing_inside_the_body() {
    let (body, x, setting) = stepping();
    let before = moments(&body, &x, &setting);
    for turn in [0.4f64, 1.9, -2.7] {
        let (sin, cos) = turn.sin_cos();
        // Clockwise seen from above: forward goes toward right.
        let rotated = |ahead: f64, right: f64| (cos * ahead - sin * right, sin * ahead + cos * right);
        let mut y = x;
        y[YAW] += turn;
        (y[0], y[2]) = rotated(x[0], x[2]);
        for side in Side::BOTH {
            let shear = foot_vars(side) + 4;
            (y[shear], y[shear + 1]) = rotated(x[shear], x[shear + 1]);
        }
        let after = moments(&body, &y, &setting);
        for j in TRUNK..NQ {
            assert!((before[j] - after[j]).abs() < 1e-9, "{j} turned by {turn}: {} {}", before[j], after[j]);
        }
    }
}

#[test]
fn what_a_load_adds_to_a_moment_is_proportional_to_the_load() {
    let (body, x, setting) = stepping();
    let with = |kg: f64| {
        let mut setting = setting;
        setting.carry.in_hand = [kg; 2];
        moments(&body, &x, &setting)
    };
    let (none, light, heavy) = (with(0.0), with(3.0), with(9.0));
    let mut adds = 0.0f64;
    for j in TRUNK..NQ {
        let (a, b) = (light[j] - none[j], heavy[j] - none[j]);
        assert!((3.0 * a - b).abs() < 1e-9, "{j}: {a} {b}");
        adds = adds.max(a.abs());
    }
    assert!(adds > 0.1, "a load in the hands is felt at some joint: {adds} N·m");
}

#[test]
fn similar_bodies_in_the_same_posture_bear_moments_in_proportion_to_weight_times_length() {
    let (body, x, setting) = stepping();
    let (longer, heavier) = (1.2, 1.7);
    let mut big = body.clone();
    for length in [
        &mut big.stature,
        &mut big.half_hip_spacing,
        &mut big.thigh.left,
        &mut big.thigh.right,
        &mut big.shank.left,
        &mut big.shank.right,
        &mut big.ankle_height,
        &mut big.foot_length,
        &mut big.foot_breadth,
        &mut big.ankle_from_heel,
        &mut big.ball_from_heel,
        &mut big.upper_arm,
        &mut big.forearm,
        &mut big.arm_reach,
    ] {
        *length *= longer;
    }
    big.lumbar_from_mid_hip *= longer;
    big.shoulder_from_lumbar = big.shoulder_from_lumbar.map(|p| p * longer);
    for (mass, centre) in &mut big.segments {
        *mass *= heavier;
        *centre *= longer;
    }
    big.mass *= heavier;
    big.arm_mass *= heavier;
    let mut y = x;
    for place in &mut y[..3] {
        *place *= longer;
    }
    let (small, large) = (moments(&body, &x, &setting), moments(&big, &y, &setting));
    for j in TRUNK..NQ {
        let expected = small[j] * longer * heavier;
        assert!((large[j] - expected).abs() < 1e-9 * (1.0 + expected.abs()), "{j}: {} {expected}", large[j]);
    }
}
