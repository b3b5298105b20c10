//! Laws of supports as bodies: no leg stands or passes where a frame, bench or chair stands.

use anatomy::{BodySize, PerSide, Sex, Side};
use biomech::{Body, Capacity, Landmark, MotionError, Posture, motion};
use movement::{
    ArmTask, Bearing, Family, HandShare, Load, MovementSpec, Place, StanceFoot, Support, SupportKind,
};
use quantity::{Length, Mass};

fn size(sex: Sex, stature: f64, mass: f64, age: u8) -> BodySize {
    BodySize::new(Length::cm(stature), Mass::kg(mass), sex, age, PerSide::default()).unwrap()
}

fn spec(body: &Body, family: Family, bearing: Bearing, percent: f64, place: Place) -> MovementSpec {
    let mover = Side::Right;
    MovementSpec {
        family,
        mover,
        bearing,
        crossing: family.ways(bearing, mover)[0],
        stance_foot: StanceFoot::Fixed,
        distance: body.leg_length(mover).times(percent / 100.0),
        depth: (family == Family::Lunge).then(|| body.leg_length(mover).times(0.15)),
        hand_height: None,
        load: Load::None,
        support: Support::BothHands,
        place: Some(place),
        hand_share: HandShare::NotAssessed,
        arms: ArmTask::Free,
        landing: None,
        rise: Length::ZERO,
    }
}

/// Points along thighs, shanks and feet.
fn leg_points(posture: &Posture) -> Vec<[f64; 3]> {
    let mut out = Vec::new();
    for side in Side::BOTH {
        for (a, b) in [
            (Landmark::Hip(side), Landmark::Knee(side)),
            (Landmark::Knee(side), Landmark::Ankle(side)),
            (Landmark::Heel(side), Landmark::ToeTip(side)),
        ] {
            let (a, b) = (posture.point(a), posture.point(b));
            for i in 0..=10 {
                let t = f64::from(i) / 10.0;
                out.push(std::array::from_fn(|k| a[k] + (b[k] - a[k]) * t));
            }
        }
    }
    out
}

#[test]
fn no_leg_is_inside_a_support_in_any_key_posture() {
    let mut found_some = 0;
    for size in [size(Sex::Female, 150.0, 50.0, 78), size(Sex::Male, 193.0, 100.0, 40)] {
        let body = Body::of(&size);
        let capacity = Capacity::of(&size, &[]);
        for kind in [SupportKind::Bench, SupportKind::WalkingFrame, SupportKind::ChairBack] {
            for place in Place::usual(kind, size.stature()) {
                for family in [Family::Reach, Family::Step, Family::Lunge] {
                    for bearing in Bearing::ALL {
                        for percent in [20.0, 40.0, 60.0] {
                            let spec = spec(&body, family, bearing, percent, place);
                            let Ok(found) = motion(&body, &capacity, &spec) else { continue };
                            found_some += 1;
                            for frame in &found.frames {
                                for [x, y, z] in leg_points(&frame.posture) {
                                    let inside = place.solids().into_iter().any(|s| {
                                        x > s.front_from
                                            && x < s.front_to
                                            && z > s.right_from
                                            && z < s.right_to
                                    });
                                    assert!(
                                        !inside || y > place.hand_height.in_m(),
                                        "{} {:?}: {x} {y} {z}",
                                        spec.sentence(),
                                        frame.phase
                                    );
                                }
                            }
                        }
                    }
                }
            }
        }
    }
    assert!(found_some > 100, "{found_some}");
}

#[test]
fn a_step_into_a_bench_is_refused_and_one_through_the_side_of_a_frame_is_told() {
    let size = size(Sex::Male, 176.0, 80.0, 60);
    let body = Body::of(&size);
    let capacity = Capacity::of(&size, &[]);
    let step = |kind: SupportKind, bearing: usize, percent: f64| {
        let place = Place::usual(kind, size.stature()).remove(0);
        let spec = spec(&body, Family::Step, Bearing::ALL[bearing], percent, place);
        let free = MovementSpec { place: None, ..spec.clone() };
        assert!(motion(&body, &capacity, &free).is_ok_and(|m| m.barred_by.is_none()));
        motion(&body, &capacity, &spec)
    };
    let into = step(SupportKind::Bench, 0, 55.0).err();
    assert!(matches!(into, Some(MotionError::SupportInTheWay { kind: SupportKind::Bench, .. })), "{into:?}");
    let through = step(SupportKind::WalkingFrame, 1, 65.0).unwrap_or_else(|e| panic!("{e}"));
    assert_eq!(through.barred_by, Some(SupportKind::WalkingFrame));
    let inside = step(SupportKind::WalkingFrame, 0, 25.0).unwrap_or_else(|e| panic!("{e}"));
    assert_eq!(inside.barred_by, None);
}
