//! Laws of directions, movements and supports.

use anatomy::Side;
use movement::{
    AnatomicalDirection, Bearing, Crossing, Family, Load, MovementSpec, Place, SpecError, StanceFoot,
    Support, SupportKind,
};
use quantity::{Length, Mass};

fn step(mover: Side, bearing: Bearing) -> MovementSpec {
    MovementSpec::bare(Family::Step, mover, bearing, Crossing::ways(bearing, mover)[0], Length::cm(30.0))
}

#[test]
fn lateral_for_one_limb_is_medial_for_the_other() {
    for bearing in Bearing::ALL {
        use AnatomicalDirection as D;
        let (l, r) = (bearing.named_from(Side::Left), bearing.named_from(Side::Right));
        let opposite = match l {
            D::Anterior => D::Anterior,
            D::Posterior => D::Posterior,
            D::Lateral => D::Medial,
            D::Medial => D::Lateral,
            D::Anterolateral => D::Anteromedial,
            D::Anteromedial => D::Anterolateral,
            D::Posterolateral => D::Posteromedial,
            D::Posteromedial => D::Posterolateral,
        };
        assert_eq!(r, opposite);
    }
}

#[test]
fn a_name_and_its_limb_give_back_the_bearing() {
    for limb in Side::BOTH {
        for bearing in Bearing::ALL {
            assert_eq!(Bearing::of(bearing.named_from(limb), limb), bearing);
        }
    }
}

#[test]
fn the_right_of_the_person_is_a_bearing_of_ninety_degrees() {
    let right = Bearing::of(AnatomicalDirection::Lateral, Side::Right);
    assert_eq!((right.degrees(), right.plain_words()), (90, "right"));
    let (ahead, to_right) = right.forward_right();
    assert!(ahead.abs() < 1e-12 && (to_right - 1.0).abs() < 1e-12);
}

#[test]
fn the_angle_between_two_bearings_is_the_shorter_way_round_and_the_same_in_a_mirror() {
    let of = |a: usize, b: usize| Bearing::ALL[a].angle_to(Bearing::ALL[b]);
    assert_eq!([of(0, 0), of(0, 1), of(1, 7), of(7, 0), of(2, 6), of(6, 1)], [0, 45, 90, 45, 180, 135]);
    for (a, b) in Bearing::ALL.into_iter().flat_map(|a| Bearing::ALL.map(|b| (a, b))) {
        assert_eq!(a.angle_to(b), b.angle_to(a));
        assert_eq!(a.angle_to(b), a.mirrored().angle_to(b.mirrored()));
    }
}

#[test]
fn reaches_are_named_from_the_standing_limb_and_steps_from_the_moving_one() {
    let out = step(Side::Right, Bearing::ALL[2]);
    assert_eq!(out.direction(), AnatomicalDirection::Lateral);
    let reach = MovementSpec { family: Family::Reach, ..out };
    assert_eq!((reach.direction(), reach.named_from()), (AnatomicalDirection::Medial, Side::Left));
}

#[test]
fn three_bearings_cross_for_each_leg_and_pure_medial_is_two_movements() {
    for mover in Side::BOTH {
        let ways: Vec<usize> = Bearing::ALL
            .into_iter()
            .filter(|b| Crossing::ways(*b, mover) != [Crossing::None])
            .map(|b| Crossing::ways(b, mover).len())
            .collect();
        assert_eq!((ways.len(), ways.iter().sum::<usize>()), (3, 4));
    }
}

#[test]
fn the_mirror_of_the_mirror_is_the_movement() {
    for mover in Side::BOTH {
        for bearing in Bearing::ALL {
            let place = Place::usual(SupportKind::WalkingFrame, Length::cm(170.0)).pop();
            let spec = MovementSpec { place, ..step(mover, bearing) };
            assert_eq!(spec.mirrored().mirrored(), spec);
            assert_eq!(spec.mirrored().direction(), spec.direction());
        }
    }
}

#[test]
fn choices_that_are_not_one_movement_are_named() {
    let forward = step(Side::Left, Bearing::ALL[0]);
    let pivot = MovementSpec { stance_foot: StanceFoot::Pivoting, ..forward.clone() };
    assert_eq!(pivot.checked(), Err(SpecError::Pivot));
    let lunge = MovementSpec { family: Family::Lunge, ..forward.clone() };
    assert_eq!(lunge.checked(), Err(SpecError::NoDepth));
    let bend = MovementSpec { family: Family::BendAndReach, ..forward.clone() };
    assert_eq!(bend.checked(), Err(SpecError::NoHandHeight));
    let held = MovementSpec {
        family: Family::BendAndReach,
        hand_height: Some(movement::HandHeight::Knee),
        support: Support::BothHands,
        ..forward.clone()
    };
    assert_eq!(held.checked(), Err(SpecError::ReachingHandHeld));
    let full = MovementSpec {
        support: Support::BothHands,
        load: Load::HandWeights { each: Mass::kg(2.0) },
        ..forward.clone()
    };
    assert_eq!(full.checked(), Err(SpecError::HandsFull));
    let crossing = MovementSpec { crossing: Crossing::InFront, ..forward };
    let words = crossing.checked().unwrap_err().to_string();
    assert!(words.contains("InFront") && words.contains("accepted"), "{words}");
}

#[test]
fn a_walking_frame_is_open_inside_and_a_bench_is_not() {
    let solids = |kind| Place::usual(kind, Length::cm(170.0))[0].solids();
    let inside = |s: &movement::Solid| {
        s.front_from < 0.3 && 0.3 < s.front_to && s.right_from < 0.0 && 0.0 < s.right_to
    };
    assert!(!solids(SupportKind::WalkingFrame).iter().any(inside));
    assert!(solids(SupportKind::Bench).iter().any(inside));
}
