//! Laws of sides, motions and body size.

use std::collections::BTreeSet;

use anatomy::{BodySize, BodySizeError, JointMotion, MuscleGroup, PerSide, Sex, Side};
use quantity::{Length, Mass};

#[test]
fn every_motion_has_one_key_and_is_found_by_it() {
    let keys: BTreeSet<String> = JointMotion::all().map(JointMotion::key).collect();
    assert_eq!(keys.len(), JointMotion::all().count());
    for motion in JointMotion::all() {
        assert_eq!(JointMotion::from_key(&motion.key()), Some(motion));
    }
}

#[test]
fn every_muscle_group_is_found_by_its_key_and_produces_its_own_motion() {
    let motions: BTreeSet<String> = MuscleGroup::ALL.iter().map(|g| g.motion().key()).collect();
    assert_eq!(motions.len(), MuscleGroup::ALL.len());
    for group in MuscleGroup::ALL {
        assert_eq!(MuscleGroup::from_key(&group.key()), Some(group));
    }
}

#[test]
fn sides_mirror() {
    let pair = PerSide { left: 1, right: 2 };
    assert_eq!(pair.mirrored().mirrored(), pair);
    for side in Side::BOTH {
        assert_eq!(pair.mirrored().get(side), pair.get(side.other()));
        assert!((side.sign() + side.other().sign()).abs() < f64::EPSILON);
    }
}

#[test]
fn a_leg_length_that_does_not_fit_the_stature_is_named_with_its_side() {
    let legs = PerSide { left: Some(Length::cm(88.0)), right: Some(Length::cm(60.0)) };
    let error = BodySize::new(Length::cm(170.0), Mass::kg(70.0), Sex::Female, 40, legs).unwrap_err();
    assert!(matches!(error, BodySizeError::LegLength { side: Side::Right, .. }));
    let words = error.to_string();
    assert!(words.contains("right leg length `60 cm` is 35 % of stature"), "{words}");
}
