//! Laws and worked examples of joint contact forces.

use anatomy::{BodySize, PerSide, Sex, Side};
use biomech::muscle::{Contact, ContactForces, JointLoads, LegFrame, WhyUnknown, contact, share};
use biomech::tree::{Coordinates, Scratch, Segment, TREE_COORDINATES, Tree, Wrench};
use biomech::{Body, Capacity};
use nalgebra::Vector3;
use quantity::{Angle, GRAVITY, Length, Mass, Moment};

fn size(stature: f64, kg: f64) -> BodySize {
    BodySize::new(Length::cm(stature), Mass::kg(kg), Sex::Male, 40, PerSide::default()).unwrap()
}

fn forces(size: &BodySize, side: Side, frame: &LegFrame, loads: &JointLoads) -> ContactForces {
    let (body, capacity) = (Body::of(size), Capacity::of(size, &[]));
    contact(&body, side, frame, loads, &share(&body, &capacity, side, frame))
}

fn frame(angles: [f64; 7], moments: [f64; 7]) -> LegFrame {
    LegFrame::held(angles.map(Angle::deg), moments.map(Moment::nm))
}

fn band(contact: Contact) -> [f64; 3] {
    match contact {
        Contact::Estimate { body_weights, low, high } => [low, body_weights, high],
        Contact::Unknown { why } => panic!("unknown: {why}"),
    }
}

/// Iglič's one-leg stance: 0.839 of body weight on 1.1117 half hip spacings, no other moment. On the
/// straight lines 248.5 % of body weight with squares and 278.7 % with cubes, by an independent
/// solver, for a body of any size; the reserve may take half a per cent.
#[test]
fn one_leg_stance_presses_every_body_with_as_many_body_weights() {
    for (size, side) in [(size(160.0, 55.0), Side::Left), (size(190.0, 95.0), Side::Right)] {
        let weight = size.mass().in_kg() * GRAVITY;
        let half = Body::of(&size).hip_spacing().in_m() / 2.0;
        let moment = 0.839 * weight * 1.1117 * half;
        let loads = JointLoads { hip: [0.0, 0.839 * weight, 0.0], knee: 0.94 * weight };
        let asked = frame([0.0; 7], [0.0, -moment, 0.0, 0.0, 0.0, 0.0, 0.0]);
        let [low, estimate, high] = band(forces(&size, side, &asked, &loads).hip);
        assert!((estimate - 2.485).abs() < 0.0125, "{estimate}");
        assert!(low <= estimate && (2.77..3.2).contains(&high), "{low} to {high}");
    }
}

#[test]
fn without_muscle_moments_a_joint_bears_its_load_and_no_more() {
    let size = size(175.0, 70.0);
    let loads = JointLoads { hip: [0.0, 500.0, 0.0], knee: 600.0 };
    let found = forces(&size, Side::Left, &frame([0.0; 7], [0.0; 7]), &loads);
    let weight = 70.0 * GRAVITY;
    assert!((band(found.hip)[1] - 500.0 / weight).abs() < 1e-9);
    assert!((band(found.knee)[1] - 600.0 / weight).abs() < 1e-9);
    assert!(band(found.patellofemoral)[1].abs() < 1e-9);
}

#[test]
fn left_and_right_hips_press_alike_in_the_mirror() {
    let size = size(175.0, 70.0);
    let asked = frame([10.0, -4.0, 5.0, 10.0, 0.0, 5.0, 0.0], [-20.0, -40.0, 3.0, -10.0, 0.0, -30.0, 0.0]);
    let pressed = |side: Side, right: f64| {
        let loads = JointLoads { hip: [20.0, 550.0, right], knee: 650.0 };
        forces(&size, side, &asked, &loads)
    };
    assert_eq!(pressed(Side::Right, 40.0), pressed(Side::Left, -40.0));
}

/// Sitting back on a bent knee: the quadriceps presses knee and kneecap, the hip is too bent for
/// straight lines, and a deeper knee than the ratio is remembered for is unknown.
#[test]
fn a_bent_hip_is_unknown_and_the_knee_is_pressed_by_its_extensors() {
    let size = size(175.0, 70.0);
    let loads = JointLoads { hip: [0.0, 350.0, 0.0], knee: 350.0 };
    let squat =
        |knee: f64| frame([80.0, 0.0, 0.0, knee, 0.0, 20.0, 0.0], [-60.0, 0.0, 0.0, -100.0, 0.0, -30.0, 0.0]);
    let found = forces(&size, Side::Left, &squat(85.0), &loads);
    let motion = anatomy::Coordinate::HipFlexion.positive();
    assert_eq!(found.hip, Contact::Unknown { why: WhyUnknown::OutsideRange { motion } });
    // 100 N m on levers of 17 to 25 mm are 4 to 6 kN of quadriceps, 6 to 9 body weights.
    let [_, knee, _] = band(found.knee);
    let [_, kneecap, _] = band(found.patellofemoral);
    assert!((5.0..12.0).contains(&knee) && (5.0..9.0).contains(&kneecap), "{knee} and {kneecap}");
    assert_eq!(forces(&size, Side::Left, &squat(100.0), &loads).patellofemoral.body_weights(), None);
}

#[test]
fn what_falls_freely_presses_nothing_and_what_stands_presses_its_weight() {
    let size = size(172.0, 68.0);
    let body = Body::of(&size);
    let tree = Tree::of(&body, &[]);
    let mut scratch = Scratch::new();
    let mut q: Coordinates = [0.0; TREE_COORDINATES];
    q[1] = 0.9;
    let still = [0.0; TREE_COORDINATES];
    let mut falling = still;
    falling[1] = -GRAVITY;
    let moving = tree.moving(&q, &still, &falling, &mut scratch);
    let loads = JointLoads::moving(&tree, &moving, &[], Side::Left);
    assert!(loads.knee.abs() < 1e-9 && loads.hip.iter().all(|f| f.abs() < 1e-9));

    let floor = Wrench {
        segment: Segment::Foot(Side::Left),
        point: Vector3::new(0.05, 0.0, -0.1),
        force: Vector3::new(0.0, tree.mass() * GRAVITY, 0.0),
        couple: Vector3::zeros(),
    };
    let standing = tree.moving(&q, &still, &still, &mut scratch);
    let loads = JointLoads::moving(&tree, &standing, &[floor], Side::Left);
    let leg: f64 = [Segment::Foot(Side::Left), Segment::Shank(Side::Left), Segment::Thigh(Side::Left)]
        .iter()
        .map(|s| tree.part(*s).mass)
        .sum();
    assert!((loads.hip[1] - (tree.mass() - leg) * GRAVITY).abs() < 1e-6);
    let other = JointLoads::moving(&tree, &standing, &[floor], Side::Right);
    assert!(other.hip[1] < 0.0 && other.knee < 0.0, "a leg that hangs pulls");
}
