//! Laws of leaps, jumps and hops: where they land, how hard, and that further is never gentler.

use anatomy::{BodySize, Coordinate, PerSide, Sex, Side};
use biomech::{
    Body, Capacity, Demand, Flight, LandingClass, Landmark, Motion, MotionError, Phase, Turn, demands,
    moments, motion,
};
use movement::{
    ArmTask, Bearing, Family, HandShare, Landing, Load, MovementSpec, StanceFoot, Support, repertoire,
};
use quantity::{GRAVITY, Length, Mass, Moment};

const AIRBORNE: [Family; 3] = [Family::Leap, Family::TwoFootJump, Family::Hop];

fn size(sex: Sex, stature: f64, mass: f64, age: u8) -> BodySize {
    BodySize::new(Length::cm(stature), Mass::kg(mass), sex, age, PerSide::default()).unwrap()
}

fn people() -> [BodySize; 3] {
    [size(Sex::Female, 158.0, 54.0, 34), size(Sex::Female, 171.0, 68.0, 22), size(Sex::Male, 188.0, 86.0, 24)]
}

fn spec(family: Family, mover: Side, bearing: Bearing, cm: f64) -> MovementSpec {
    MovementSpec {
        family,
        mover,
        bearing,
        crossing: family.ways(bearing, mover)[0],
        stance_foot: StanceFoot::Fixed,
        distance: Length::cm(cm),
        depth: None,
        hand_height: None,
        load: Load::None,
        support: Support::None,
        place: None,
        hand_share: HandShare::NotAssessed,
        arms: ArmTask::Free,
        landing: Some(Landing::Held),
        rise: Length::ZERO,
    }
}

fn solved(size: &BodySize, spec: &MovementSpec) -> Motion {
    motion(&Body::of(size), &Capacity::of(size, &[]), spec).unwrap_or_else(|e| panic!("{e}"))
}

fn flight(motion: &Motion) -> Flight {
    motion.flight.unwrap_or_else(|| panic!("{} flies", motion.spec.sentence()))
}

/// Middle of a print from heel and ball; the ball lies at 0.69 of the foot, the middle at half.
fn middle(motion: &Motion, phase: Phase, side: Side) -> [f64; 3] {
    let posture = &motion.of_phase(phase).last().unwrap().posture;
    let (heel, ball) = (posture.point(Landmark::Heel(side)), posture.point(Landmark::Ball(side)));
    std::array::from_fn(|k| heel[k] + (ball[k] - heel[k]) * (0.5 / 0.69))
}

#[test]
fn every_direction_short_has_start_take_off_and_landing_and_a_flight() {
    for size in people() {
        for family in AIRBORNE {
            for bearing in Bearing::ALL {
                let found = solved(&size, &spec(family, Side::Right, bearing, 35.0));
                let phases: Vec<Phase> = found.frames.iter().map(|f| f.phase).collect();
                assert_eq!(phases.first(), Some(&Phase::Start));
                assert!(phases.contains(&Phase::TakeOff) && phases.contains(&Phase::Far), "{phases:?}");
                assert_eq!(phases.contains(&Phase::SingleSupport), family != Family::TwoFootJump);
                assert!(flight(&found).time.in_s() > 0.1);
            }
        }
    }
}

/// Law: a hop lands its own foot, a jump both, each the asked distance from where it stood; a leap
/// lands the other foot at the asked distance from the centre.
#[test]
fn feet_land_where_they_were_sent() {
    let size = size(Sex::Female, 171.0, 68.0, 22);
    for bearing in Bearing::ALL {
        let (ahead, right) = bearing.forward_right();
        let hop = solved(&size, &spec(Family::Hop, Side::Left, bearing, 40.0));
        let from = middle(&hop, Phase::Start, Side::Left);
        assert!(from[0].hypot(from[2]) < 2e-3, "a hop starts at the centre: {from:?}");
        let jump = solved(&size, &spec(Family::TwoFootJump, Side::Right, bearing, 40.0));
        for (motion, side) in [(&hop, Side::Left), (&jump, Side::Left), (&jump, Side::Right)] {
            let (from, to) = (middle(motion, Phase::Start, side), middle(motion, Phase::Far, side));
            let off = (to[0] - from[0] - 0.4 * ahead).hypot(to[2] - from[2] - 0.4 * right);
            assert!(off < 4e-3, "{}: {off}", motion.spec.sentence());
        }
        let leap = solved(&size, &spec(Family::Leap, Side::Right, bearing, 40.0));
        let to = middle(&leap, Phase::Far, Side::Right);
        assert!((to[0].hypot(to[2]) - 0.4).abs() < 4e-3, "{to:?}");
        let load = leap.shown().load_share;
        assert!(load.right.in_one() > 0.999 && load.left.in_one() < 1e-6, "one leg lands");
    }
}

/// Law: further is faster, longer in the air and harder on landing; and `h = g t² / 8` on the level.
#[test]
fn further_is_never_gentler() {
    let size = size(Sex::Male, 188.0, 86.0, 24);
    for family in AIRBORNE {
        let mut last: Option<Flight> = None;
        for cm in [10.0, 20.0, 40.0, 60.0, 80.0, 100.0] {
            let now = flight(&solved(&size, &spec(family, Side::Right, Bearing::ALL[0], cm)));
            let rise = GRAVITY * now.time.in_s().powi(2) / 8.0;
            assert!((now.rise.in_m() - rise).abs() < 1e-9);
            if let Some(before) = last {
                assert!(now.speed > before.speed && now.time.in_s() >= before.time.in_s(), "{family} {cm}");
                assert!(now.landing.peak.typical >= before.landing.peak.typical);
                assert!(now.landing.class >= before.landing.class);
                assert!(now.push.needed >= before.push.needed);
            }
            let peak = now.landing.peak;
            assert!(peak.low < peak.typical && peak.typical < peak.high, "{peak:?}");
            last = Some(now);
        }
    }
}

/// Order of magnitude from the mechanics alone: between 2.4 and 7 weights for 0.3 to 1.5 m.
#[test]
fn the_range_of_landing_force_stays_within_the_order_of_magnitude_that_mechanics_gives() {
    let size = size(Sex::Male, 176.0, 75.0, 25);
    let body = Body::of(&size);
    // Strong legs, so that no push is refused.
    let strong =
        BodySize::new(Length::cm(176.0), Mass::kg(110.0), Sex::Male, 25, PerSide::default()).unwrap();
    for family in [Family::TwoFootJump, Family::Leap] {
        for cm in [30.0, 60.0, 90.0, 120.0, 150.0] {
            let found =
                motion(&body, &Capacity::of(&strong, &[]), &spec(family, Side::Right, Bearing::ALL[0], cm))
                    .unwrap_or_else(|e| panic!("{e}"));
            let landing = flight(&found).landing;
            assert!(landing.peak.low > 2.3 && landing.peak.high < 7.1, "{family} {cm}: {landing:?}");
        }
    }
}

#[test]
fn classes_follow_distance_from_low_to_high() {
    let size = size(Sex::Male, 188.0, 75.0, 24);
    let class = |cm: f64| {
        flight(&solved(&size, &spec(Family::TwoFootJump, Side::Right, Bearing::ALL[0], cm))).landing.class
    };
    assert_eq!(class(20.0), LandingClass::Low);
    assert_eq!(class(60.0), LandingClass::Moderate);
    assert_eq!(class(110.0), LandingClass::High);
}

/// Law: at the landing the moments are those of the still posture times the typical force, and the
/// band of the demand spans the class.
#[test]
fn landing_demands_carry_the_range_of_the_class() {
    let size = size(Sex::Female, 171.0, 68.0, 22);
    let body = Body::of(&size);
    let capacity = Capacity::of(&size, &[]);
    let knee = Coordinate::KneeFlexion.negative();
    let mut wide = solved(&size, &spec(Family::Hop, Side::Right, Bearing::ALL[0], 40.0));
    let typical = moments(&body, &wide).peak(Side::Right, knee);
    let band = |motion: &Motion| match demands(&moments(&body, motion), &capacity).of(Side::Right, knee) {
        Some(Demand::Estimate { share, low, high, .. }) => {
            [low.in_one() / share.in_one(), high.in_one() / share.in_one()]
        }
        other => panic!("{other:?}"),
    };
    let with_class = band(&wide);
    let peak = flight(&wide).landing.peak;
    for frame in &mut wide.frames {
        frame.force.low = frame.force.typical;
        frame.force.high = frame.force.typical;
    }
    let without = band(&wide);
    assert!((with_class[0] / without[0] - peak.low / peak.typical).abs() < 1e-6);
    assert!((with_class[1] / without[1] - peak.high / peak.typical).abs() < 1e-6);
    for frame in &mut wide.frames {
        frame.force = biomech::GroundForce::STILL;
    }
    let still = moments(&body, &wide).peak(Side::Right, knee);
    assert!(typical > Moment::nm(still.in_nm() * 2.0), "{typical} over {still}");
}

#[test]
fn a_push_beyond_the_legs_is_refused_with_both_figures() {
    let old = size(Sex::Female, 158.0, 80.0, 80);
    let body = Body::of(&old);
    let far = spec(Family::Hop, Side::Right, Bearing::ALL[0], 140.0);
    let Err(MotionError::PushTooWeak { needed, available, .. }) =
        motion(&body, &Capacity::of(&old, &[]), &far)
    else {
        panic!("nobody of 80 hops 1.4 m");
    };
    assert!(needed > available);
    // Unknown strength refuses nothing.
    let youth = size(Sex::Female, 158.0, 60.0, 15);
    let found = motion(&Body::of(&youth), &Capacity::of(&youth, &[]), &far).unwrap_or_else(|e| panic!("{e}"));
    assert_eq!(flight(&found).push.available, None);
}

#[test]
fn the_mirror_person_flies_and_lands_in_mirror() {
    let size = size(Sex::Female, 171.0, 68.0, 22);
    let body = Body::of(&size);
    for family in AIRBORNE {
        for bearing in Bearing::ALL {
            let spec = spec(family, Side::Right, bearing, 45.0);
            let (here, there) = (solved(&size, &spec), solved(&size, &spec.mirrored()));
            let (strain, mirror) = (moments(&body, &here), moments(&body, &there));
            for (k, (a, b)) in here.frames.iter().zip(&there.frames).enumerate() {
                assert_eq!((a.phase, a.turn), (b.phase, b.turn));
                for side in Side::BOTH {
                    for c in Coordinate::LEG {
                        let x = strain.frames[k].moment(side, c).in_nm();
                        let y = mirror.frames[k].moment(side.other(), c).in_nm();
                        assert!((x - y).abs() < 1.0, "{} {:?} {c:?}: {x} {y}", spec.sentence(), a.phase);
                    }
                }
            }
        }
    }
}

/// Law: a landing on a tread falls less far than it rose, and takes longer to get to.
#[test]
fn onto_a_tread_the_rise_is_higher_and_the_fall_shorter() {
    let size = size(Sex::Male, 188.0, 86.0, 24);
    let level = spec(Family::TwoFootJump, Side::Right, Bearing::ALL[0], 40.0);
    let up = MovementSpec { rise: Length::cm(17.0), ..level.clone() };
    let (level, onto) = (solved(&size, &level), solved(&size, &up));
    assert!(flight(&onto).rise > flight(&level).rise);
    let fall = flight(&onto).landing.touch_down_speed.powi(2) / (2.0 * GRAVITY);
    assert!((flight(&onto).rise.in_m() - 0.17 - fall).abs() < 1e-9);
    let foot = middle(&onto, Phase::Far, Side::Left);
    assert!((foot[1] - 0.17).abs() < 2e-3, "{foot:?}");
}

#[test]
fn every_load_of_the_repertoire_flies_and_more_mass_is_more_newtons_and_fewer_weights() {
    let size = size(Sex::Female, 171.0, 68.0, 22);
    for family in AIRBORNE {
        let mut last: Option<(f64, f64)> = None;
        let mut by_mass = repertoire(family);
        by_mass.sort_by(|a, b| a.1.total().in_kg().total_cmp(&b.1.total().in_kg()));
        for (arms, load) in by_mass {
            let found = solved(
                &size,
                &MovementSpec { arms, load, ..spec(family, Side::Right, Bearing::ALL[0], 35.0) },
            );
            let weights = flight(&found).landing.peak.typical;
            let newtons = weights * (68.0 + load.total().in_kg()) * GRAVITY;
            if let Some((w, n)) = last {
                assert!(weights < w && newtons > n, "{family} {load:?}");
            }
            last = Some((weights, newtons));
            assert!(found.of_phase(Phase::Far).any(|f| f.turn == Turn::Turned));
        }
    }
}
