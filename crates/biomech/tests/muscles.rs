//! Laws of the sharing of joint moments among leg muscles.

use anatomy::{BodySize, Coordinate, JointMotion, LegMuscles, MuscleGroup, PerSide, Sex, Side};
use biomech::muscle::{Arms, LegFrame, MuscleDemand, MuscleScratch, WhyUnknown, share, share_warm};
use biomech::{Body, Capacity, MeasuredMoment};
use quantity::{Angle, AngularSpeed, Length, Mass, Moment};

fn size(age: u8) -> BodySize {
    BodySize::new(Length::cm(176.0), Mass::kg(78.0), Sex::Male, age, PerSide::default()).unwrap()
}

fn person(age: u8) -> (Body, Capacity) {
    (Body::of(&size(age)), Capacity::of(&size(age), &[]))
}

/// Hip flexion, adduction, rotation, knee, shank, ankle, subtalar; degrees and N·m.
fn frame(angles: [f64; 7], moments: [f64; 7]) -> LegFrame {
    LegFrame::held(angles.map(Angle::deg), moments.map(Moment::nm))
}

/// A lunge's front leg: bent hip and knee, extensor moments, some abductor moment.
fn lunge() -> LegFrame {
    frame([70.0, -2.0, 3.0, 80.0, 0.0, 12.0, 2.0], [-90.0, -25.0, 2.0, -80.0, 1.0, -40.0, 3.0])
}

/// Standing on one leg: hardly bent, the abductors carry the trunk.
fn stance() -> LegFrame {
    frame([8.0, 2.0, 0.0, 5.0, 0.0, 3.0, 0.0], [2.0, -60.0, 0.0, -5.0, 0.0, -35.0, 2.0])
}

fn one(demand: MuscleDemand) -> (f64, f64, f64) {
    match demand {
        MuscleDemand::Estimate { share, low, high, .. } => (share.in_one(), low.in_one(), high.in_one()),
        MuscleDemand::Unknown { why } => panic!("unknown: {why}"),
    }
}

#[test]
fn what_asks_nothing_takes_nothing() {
    let (body, capacity) = person(40);
    let asked = share(&body, &capacity, Side::Left, &frame([30.0, 0.0, 0.0, 40.0, 0.0, 5.0, 0.0], [0.0; 7]));
    for (set, demand) in asked.all() {
        if let MuscleDemand::Estimate { share, .. } = demand {
            assert!(share.in_one() < 1e-12, "{set}: {share}");
        }
    }
}

#[test]
fn twice_the_moments_are_twice_the_shares() {
    let (body, capacity) = person(40);
    let base = lunge();
    let double = LegFrame { moments: base.moments.map(|m| m.times(2.0)), ..base };
    let (once, twice) =
        (share(&body, &capacity, Side::Left, &base), share(&body, &capacity, Side::Left, &double));
    for set in LegMuscles::ALL {
        if let (Some(a), Some(b)) = (once.of(set).share(), twice.of(set).share()) {
            assert!((2.0 * a.in_one() - b.in_one()).abs() < 1e-7, "{set}");
        }
    }
}

#[test]
fn left_and_right_are_the_same_leg() {
    let (body, capacity) = person(60);
    let (left, right) =
        (share(&body, &capacity, Side::Left, &lunge()), share(&body, &capacity, Side::Right, &lunge()));
    for set in LegMuscles::ALL {
        assert_eq!(left.of(set), right.of(set));
    }
}

#[test]
fn a_larger_person_of_the_same_shape_uses_the_same_shares() {
    let frame_of = |scale: f64| {
        let base = lunge();
        LegFrame { moments: base.moments.map(|m| m.times(scale)), ..base }
    };
    let shares = |stature: f64, mass: f64| {
        let size =
            BodySize::new(Length::m(stature), Mass::kg(mass), Sex::Female, 60, PerSide::default()).unwrap();
        share(&Body::of(&size), &Capacity::of(&size, &[]), Side::Left, &frame_of(mass * stature / 120.0))
    };
    let (small, large) = (shares(1.60, 60.0), shares(1.60, 90.0));
    for set in [LegMuscles::Vasti, LegMuscles::Soleus] {
        let (a, b) = (one(small.of(set)).0, one(large.of(set)).0);
        assert!((a - b).abs() < 0.02 * a, "{set}: {a} and {b}");
    }
}

/// A moment equal to the whole capacity takes the whole of the muscles named for it, give or take
/// what two-joint muscles and the sets named for other motions add.
#[test]
fn a_moment_of_the_whole_capacity_takes_about_the_whole_strength() {
    let (body, capacity) = person(22);
    for (motion, angles, sets) in [
        (Coordinate::KneeFlexion.negative(), [40.0, 0.0, 0.0, 60.0, 0.0, 0.0, 0.0], &[LegMuscles::Vasti][..]),
        (
            Coordinate::AnkleDorsiflexion.negative(),
            [20.0, 0.0, 0.0, 20.0, 0.0, 10.0, 0.0],
            &[LegMuscles::Soleus, LegMuscles::Gastrocnemius],
        ),
        (
            Coordinate::AnkleDorsiflexion.positive(),
            [20.0, 0.0, 0.0, 20.0, 0.0, 0.0, 0.0],
            &[LegMuscles::Dorsiflexors],
        ),
        (
            Coordinate::HipFlexion.negative(),
            [60.0, 0.0, 0.0, 60.0, 0.0, 0.0, 0.0],
            &[LegMuscles::GluteusMaximus, LegMuscles::Hamstrings],
        ),
    ] {
        let place = Coordinate::LEG.iter().position(|c| *c == motion.coordinate).unwrap();
        let (whole, _) = capacity.at(Side::Left, motion, Angle::deg(angles[place])).unwrap();
        let mut moments = [0.0; 7];
        moments[place] = whole.in_nm() * motion.sign();
        let asked = share(&body, &capacity, Side::Left, &frame(angles, moments));
        let largest = sets.iter().map(|s| one(asked.of(*s)).0).fold(0.0, f64::max);
        assert!((0.8..1.6).contains(&largest), "{motion}: {largest}");
    }
}

#[test]
fn the_band_holds_the_estimate() {
    let (body, capacity) = person(60);
    let asked = share(&body, &capacity, Side::Left, &lunge());
    for (set, demand) in asked.all() {
        if let MuscleDemand::Estimate { share, low, high, .. } = demand {
            assert!(low <= share && share <= high, "{set}");
        }
    }
    let (vasti, low, high) = one(asked.of(LegMuscles::Vasti));
    assert!(low < vasti && vasti < high && vasti > 0.1);
}

/// Hip abduction has no published strength here: its muscles are unknown until it is measured.
#[test]
fn unknown_capacity_gives_unknown_demand_until_somebody_measures() {
    let abduction = Coordinate::HipAdduction.negative();
    let (body, capacity) = person(60);
    let why = MuscleDemand::Unknown { why: WhyUnknown::NoCapacity { motion: abduction } };
    assert_eq!(share(&body, &capacity, Side::Left, &stance()).of(LegMuscles::GluteusMedius), why);
    let measured = |nm: f64| {
        let own =
            MeasuredMoment { side: Side::Left, motion: abduction, moment: Moment::nm(nm), at_angle: None };
        share(&body, &Capacity::of(&size(60), &[own]), Side::Left, &stance())
    };
    let (strong, weak) = (measured(130.0), measured(70.0));
    let of = |demands: &biomech::muscle::MuscleDemands| one(demands.of(LegMuscles::GluteusMedius)).0;
    assert!(of(&weak) > of(&strong) && of(&strong) > 0.0);
    assert!(one(strong.group(MuscleGroup::HipAbductors).unwrap()).0 > 0.0);
    assert_eq!(strong.group(MuscleGroup::TrunkExtensors), None);
}

#[test]
fn under_eighteen_nothing_is_said_without_dynamometry() {
    let (body, capacity) = person(16);
    let asked = share(&body, &capacity, Side::Left, &lunge());
    assert!(asked.all().all(|(_, demand)| demand.share().is_none()));
}

#[test]
fn a_hip_bent_beyond_the_known_paths_has_unknown_muscles_and_the_calf_stays_known() {
    let (body, capacity) = person(30);
    let asked = share(
        &body,
        &capacity,
        Side::Right,
        &frame([118.0, 0.0, 0.0, 10.0, 0.0, 0.0, 0.0], [-60.0, 0.0, 0.0, 10.0, 0.0, -20.0, 0.0]),
    );
    let outside =
        MuscleDemand::Unknown { why: WhyUnknown::OutsideRange { motion: Coordinate::HipFlexion.positive() } };
    assert_eq!(asked.of(LegMuscles::GluteusMaximus), outside);
    assert_eq!(asked.of(LegMuscles::Hamstrings), outside);
    assert!(asked.of(LegMuscles::Soleus).share().is_some());
}

#[test]
fn stronger_people_use_a_smaller_share() {
    let extension = Coordinate::KneeFlexion.negative();
    let (body, plain) = person(60);
    let (now, _) = plain.at(Side::Left, extension, Angle::deg(80.0)).unwrap();
    let of = |factor: f64| {
        let own = MeasuredMoment {
            side: Side::Left,
            motion: extension,
            moment: now.times(factor),
            at_angle: Some(Angle::deg(80.0)),
        };
        one(share(&body, &Capacity::of(&size(60), &[own]), Side::Left, &lunge()).of(LegMuscles::Vasti)).0
    };
    assert!(of(0.6) > of(1.0) && of(1.0) > of(1.5));
}

/// Shortening leaves less strength, so the same moment is a larger share of it.
#[test]
fn the_same_moment_takes_more_of_a_muscle_that_shortens() {
    let (body, capacity) = person(60);
    let rising = |speed: f64| {
        let mut moving = lunge();
        moving.speeds[3] = AngularSpeed::deg_per_s(-speed);
        one(share(&body, &capacity, Side::Left, &moving).of(LegMuscles::Vasti)).0
    };
    assert!(rising(90.0) > rising(30.0) && rising(30.0) > rising(0.0));
    assert!(rising(-60.0) <= rising(0.0), "lowering is not harder than holding");
}

#[test]
fn a_start_from_the_neighbour_changes_nothing() {
    let (body, capacity) = person(50);
    let mut scratch = MuscleScratch::new();
    for step in 0..30 {
        let t = f64::from(step) / 29.0;
        let base = lunge();
        let moving = LegFrame {
            angles: base.angles.map(|a| a.times(t)),
            moments: base.moments.map(|m| m.times(0.3 + t)),
            ..base
        };
        let warm = share_warm(&body, &capacity, Side::Left, &moving, &mut scratch);
        let cold = share(&body, &capacity, Side::Left, &moving);
        for set in LegMuscles::ALL {
            if let (MuscleDemand::Estimate { .. }, MuscleDemand::Estimate { .. }) =
                (warm.of(set), cold.of(set))
            {
                let (a, b) = (one(warm.of(set)), one(cold.of(set)));
                assert!((a.0 - b.0).abs() < 1e-6 && (a.1 - b.1).abs() < 1e-6, "{set} at {t}: {a:?} {b:?}");
            }
        }
    }
}

#[test]
fn every_set_is_named_for_a_motion_and_belongs_to_the_group_of_that_motion() {
    for set in LegMuscles::ALL {
        let first: JointMotion = set.motions()[0];
        assert!(set.group().is_none_or(|group| group.motion() == first), "{set}");
    }
    assert_eq!(LegMuscles::Vasti.group(), Some(MuscleGroup::KneeExtensors));
    assert_eq!(LegMuscles::RectusFemoris.group(), Some(MuscleGroup::KneeExtensors));
}

/// A bent hip has turned the gluteus medius into a rotator: the share is marked as saying little.
#[test]
fn in_a_bent_hip_the_gluteus_medius_is_marked_as_turned() {
    let own = MeasuredMoment {
        side: Side::Left,
        motion: Coordinate::HipAdduction.negative(),
        moment: Moment::nm(100.0),
        at_angle: None,
    };
    let (body, capacity) = (Body::of(&size(40)), Capacity::of(&size(40), &[own]));
    let arms =
        |frame: &LegFrame| match share(&body, &capacity, Side::Left, frame).of(LegMuscles::GluteusMedius) {
            MuscleDemand::Estimate { arms, .. } => arms,
            MuscleDemand::Unknown { why } => panic!("unknown: {why}"),
        };
    assert_eq!(arms(&lunge()), Arms::Turned);
    assert_eq!(arms(&stance()), Arms::Variable);
}

/// Nothing in a leg turns the thigh inward with 60 N m while the hip is straight and everything else
/// rests: the answer is that muscles cannot, not a number.
#[test]
fn what_muscles_cannot_hold_is_unknown_and_says_so() {
    let (body, capacity) = person(40);
    let asked = frame([-15.0, 20.0, 28.0, 0.0, 0.0, 0.0, 0.0], [0.0, 0.0, 60.0, 0.0, 0.0, 0.0, 0.0]);
    let demands = share(&body, &capacity, Side::Left, &asked);
    let why = demands.of(LegMuscles::GluteusMaximus);
    assert!(matches!(why, MuscleDemand::Unknown { why: WhyUnknown::NotCarried { .. } }), "{why:?}");
    assert!(demands.reserve().in_one() > 0.05);
}
