//! Laws that every posture obeys, whatever the body.

use anatomy::{BodySize, Coordinate, JointMotion, PerSide, Sex, Side};
use biomech::{
    Body, Capacity, CapacityOrigin, Demand, Landmark, MeasuredMoment, Motion, MotionError, Phase, Turn,
    demands, landing_point, moments, motion,
};
use movement::{Bearing, Crossing, Family, HandHeight, MovementSpec};
use quantity::{Length, Mass, Moment};

fn size(sex: Sex, stature: f64, mass: f64, age: u8) -> BodySize {
    BodySize::new(Length::cm(stature), Mass::kg(mass), sex, age, PerSide::default()).unwrap()
}

fn people() -> [BodySize; 4] {
    [
        size(Sex::Female, 150.0, 50.0, 78),
        size(Sex::Female, 166.0, 66.0, 41),
        size(Sex::Male, 176.0, 80.0, 60),
        size(Sex::Male, 193.0, 100.0, 24),
    ]
}

fn spec(body: &Body, family: Family, mover: Side, bearing: Bearing, percent: f64) -> MovementSpec {
    MovementSpec {
        depth: (family == Family::Lunge).then(|| body.leg_length(mover).times(0.15)),
        hand_height: (family == Family::BendAndReach).then_some(HandHeight::Knee),
        ..MovementSpec::bare(
            family,
            mover,
            bearing,
            family.ways(bearing, mover)[0],
            body.leg_length(mover).times(percent / 100.0),
        )
    }
}

/// Every family and bearing at a distance all these bodies can do.
fn everyday(body: &Body, mover: Side) -> Vec<MovementSpec> {
    Family::GROUNDED
        .into_iter()
        .flat_map(|family| Bearing::ALL.map(|bearing| spec(body, family, mover, bearing, 30.0)))
        .collect()
}

fn solved(body: &Body, size: &BodySize, spec: &MovementSpec) -> Motion {
    motion(body, &Capacity::of(size, &[]), spec).unwrap_or_else(|e| panic!("{e}"))
}

#[test]
fn the_weight_is_carried_once_and_its_line_passes_through_the_centre_of_pressure() {
    for size in people() {
        let body = Body::of(&size);
        for spec in everyday(&body, Side::Right) {
            for frame in &solved(&body, &size, &spec).frames {
                let sum = frame.load_share.left.in_one() + frame.load_share.right.in_one();
                assert!((sum - 1.0).abs() < 1e-3, "{}: {sum}", spec.sentence());
                for (pressure, mass) in [
                    (frame.centre_of_pressure[0], frame.centre_of_mass[0]),
                    (frame.centre_of_pressure[1], frame.centre_of_mass[2]),
                ] {
                    assert!((pressure - mass).abs() < 5e-3, "{}: {pressure} {mass}", spec.sentence());
                }
                assert!(frame.balance.to_edge_m > -5e-3, "{}: {:?}", spec.sentence(), frame.balance);
            }
        }
    }
}

#[test]
fn the_foot_lands_where_it_was_sent() {
    for size in people() {
        let body = Body::of(&size);
        for mover in Side::BOTH {
            for spec in everyday(&body, mover) {
                let target = landing_point(&body, &spec);
                let found = solved(&body, &size, &spec);
                for frame in found.of_phase(Phase::Far) {
                    let at = |l| frame.posture.point(l);
                    let point = match spec.family {
                        Family::Reach => at(Landmark::ToeTip(mover)),
                        Family::BendAndReach => at(Landmark::Hand(mover)),
                        Family::Leap | Family::TwoFootJump | Family::Hop => continue,
                        Family::Step | Family::Lunge => {
                            let (heel, ball) = (at(Landmark::Heel(mover)), at(Landmark::Ball(mover)));
                            if frame.posture.heel_lifted(mover) {
                                continue;
                            }
                            // Middle of the print: half the foot ahead of the heel; the ball lies at 0.69.
                            std::array::from_fn(|k| heel[k] + (ball[k] - heel[k]) * (0.5 / 0.69))
                        }
                    };
                    let tolerance = if spec.family == Family::BendAndReach { 0.03 } else { 2e-3 };
                    let off = (point[0] - target[0]).hypot(point[2] - target[1]);
                    assert!(off < tolerance, "{} off by {off}", spec.sentence());
                }
            }
        }
    }
}

#[test]
fn the_mirror_person_moves_and_strains_in_mirror() {
    for size in people() {
        let body = Body::of(&size);
        let capacity = Capacity::of(&size, &[]);
        for spec in everyday(&body, Side::Right) {
            let here = motion(&body, &capacity, &spec).unwrap();
            let there = motion(&body, &capacity, &spec.mirrored()).unwrap();
            let (strain, mirror_strain) = (moments(&body, &here), moments(&body, &there));
            for (k, (a, b)) in here.frames.iter().zip(&there.frames).enumerate() {
                assert_eq!((a.phase, a.turn), (b.phase, b.turn));
                for side in Side::BOTH {
                    for c in Coordinate::LEG {
                        let (x, y) = (a.posture.angle(side, c), b.posture.angle(side.other(), c));
                        assert!((x.in_deg() - y.in_deg()).abs() < 0.5, "{} {c:?}", spec.sentence());
                        let x = strain.frames[k].moment(side, c).in_nm();
                        let y = mirror_strain.frames[k].moment(side.other(), c).in_nm();
                        assert!((x - y).abs() < 0.5, "{} {c:?}: {x} {y}", spec.sentence());
                    }
                }
            }
        }
    }
}

/// With strength in proportion to body mass, a heavier person of the same size takes the same
/// posture and bears moments in proportion.
#[test]
fn moments_grow_with_mass_and_the_posture_stays() {
    let (light, heavy) = (size(Sex::Male, 176.0, 60.0, 40), size(Sex::Male, 176.0, 90.0, 40));
    let (a_body, b_body) = (Body::of(&light), Body::of(&heavy));
    for spec in everyday(&a_body, Side::Left) {
        let (a, b) = (solved(&a_body, &light, &spec), solved(&b_body, &heavy, &spec));
        let (am, bm) = (moments(&a_body, &a), moments(&b_body, &b));
        for (k, (x, y)) in a.frames.iter().zip(&b.frames).enumerate() {
            for c in Coordinate::LEG {
                let (p, q) = (x.posture.angle(Side::Left, c), y.posture.angle(Side::Left, c));
                assert!((p.in_deg() - q.in_deg()).abs() < 0.5, "{}", spec.sentence());
                let (p, q) =
                    (am.frames[k].moment(Side::Left, c).in_nm(), bm.frames[k].moment(Side::Left, c).in_nm());
                assert!((p * 1.5 - q).abs() < 0.5 + 0.02 * q.abs(), "{} {c:?}: {p} {q}", spec.sentence());
            }
        }
    }
}

#[test]
fn up_to_half_a_metre_a_centimetre_changes_no_angle_by_more_than_five_degrees_on_the_own_side() {
    let size = size(Sex::Male, 176.0, 80.0, 60);
    let body = Body::of(&size);
    for family in Family::GROUNDED {
        let own_side = |b: &Bearing| {
            // A hand that goes across and down passes the other leg, which is a change of contact.
            let hand_across = family == Family::BendAndReach && b.side_sign() < 0;
            family.ways(*b, Side::Right) == [Crossing::None] && !hand_across
        };
        for bearing in Bearing::ALL.into_iter().filter(own_side) {
            let mut last: Option<Motion> = None;
            let mut cm = 20.0;
            while cm < 50.0 {
                let spec = spec(&body, family, Side::Right, bearing, 30.0).at(Length::cm(cm));
                let now = solved(&body, &size, &spec);
                if let Some(before) = &last {
                    for (a, b) in before.of_phase(Phase::Far).zip(now.of_phase(Phase::Far)) {
                        let same_contact =
                            Side::BOTH.iter().all(|s| a.posture.heel_lifted(*s) == b.posture.heel_lifted(*s));
                        if a.turn != b.turn || !same_contact {
                            continue;
                        }
                        for side in Side::BOTH {
                            for c in Coordinate::LEG {
                                let change = (a.posture.angle(side, c).in_deg()
                                    - b.posture.angle(side, c).in_deg())
                                .abs();
                                assert!(change < 5.0, "{} {side} {c:?} jumps by {change}", spec.sentence());
                            }
                        }
                    }
                }
                last = Some(now);
                cm += 1.0;
            }
        }
    }
}

#[test]
fn a_deeper_lunge_asks_more_of_the_knee_extensors() {
    let size = size(Sex::Female, 166.0, 66.0, 41);
    let body = Body::of(&size);
    let knee = Coordinate::KneeFlexion.negative();
    let mut last = Moment::ZERO;
    for share in [0.05, 0.10, 0.15, 0.20] {
        let spec = MovementSpec {
            depth: Some(body.leg_length(Side::Right).times(share)),
            ..spec(&body, Family::Lunge, Side::Right, Bearing::ALL[0], 50.0)
        };
        let found = solved(&body, &size, &spec);
        let far = found.of_phase(Phase::Far).next().unwrap();
        assert!(far.posture.pelvis_drop_m() >= spec.depth.unwrap().in_m() - 1e-3, "the depth asked is found");
        let sum = |side| moments(&body, &found).peak(side, knee);
        let both = Moment::nm(sum(Side::Left).in_nm() + sum(Side::Right).in_nm());
        assert!(both > last, "at depth {share}: {both} after {last}");
        last = both;
    }
}

#[test]
fn out_of_reach_says_by_how_much_and_is_right() {
    let size = size(Sex::Female, 150.0, 50.0, 78);
    let body = Body::of(&size);
    let capacity = Capacity::of(&size, &[]);
    for (family, bearing) in [
        (Family::Reach, Bearing::ALL[0]),
        (Family::BendAndReach, Bearing::ALL[0]),
        (Family::Step, Bearing::ALL[2]),
    ] {
        let far = spec(&body, family, Side::Right, bearing, 190.0);
        let Err(MotionError::OutOfReach { by, asked, .. }) = motion(&body, &capacity, &far) else {
            panic!("{} is out of reach", far.sentence());
        };
        assert_eq!(asked, far.distance);
        let nearer = far.at(Length::m(far.distance.in_m() - by.in_m() - 0.01));
        assert!(motion(&body, &capacity, &nearer).is_ok(), "{} can be done", nearer.sentence());
        let still_far = far.at(Length::m(far.distance.in_m() - by.in_m() + 0.05));
        assert!(motion(&body, &capacity, &still_far).is_err(), "{} cannot", still_far.sentence());
    }
}

#[test]
fn a_depth_that_cannot_be_reached_says_what_is_missing() {
    let size = size(Sex::Male, 176.0, 80.0, 60);
    let body = Body::of(&size);
    let deep = MovementSpec {
        depth: Some(Length::cm(75.0)),
        ..spec(&body, Family::Lunge, Side::Left, Bearing::ALL[0], 40.0)
    };
    let Err(MotionError::DepthNotReached { by, .. }) = motion(&body, &Capacity::of(&size, &[]), &deep) else {
        panic!("nobody sinks 75 cm in a lunge of 40 % leg length");
    };
    let shallower = MovementSpec { depth: Some(Length::m(0.75 - by.in_m() - 0.01)), ..deep };
    assert!(motion(&body, &Capacity::of(&size, &[]), &shallower).is_ok());
}

/// Standing on one leg without reach, the hip abductors of the standing leg must hold the pelvis.
#[test]
fn single_support_loads_the_abductors_of_the_standing_leg() {
    for size in people() {
        let body = Body::of(&size);
        let found = solved(&body, &size, &spec(&body, Family::Step, Side::Right, Bearing::ALL[0], 30.0));
        let k = found.frames.iter().position(|f| f.phase == Phase::SingleSupport).unwrap();
        let strain = moments(&body, &found);
        let abduction = -strain.frames[k].moment(Side::Left, Coordinate::HipAdduction).in_nm();
        let per_kg = abduction / size.mass().in_kg();
        assert!((0.3..1.2).contains(&per_kg), "{per_kg} N·m/kg");
        assert!((found.frames[k].load_share.left.in_one() - 1.0).abs() < 1e-9);
    }
}

#[test]
fn unknown_strength_gives_unknown_demand_and_measured_strength_replaces_the_model() {
    let youth = size(Sex::Female, 168.0, 60.0, 16);
    let body = Body::of(&youth);
    let step = spec(&body, Family::Lunge, Side::Right, Bearing::ALL[0], 50.0);
    let knee = Coordinate::KneeFlexion.negative();
    let found = motion(&body, &Capacity::of(&youth, &[]), &step).unwrap();
    let of = |capacity: &Capacity| demands(&moments(&body, &found), capacity).of(Side::Right, knee);
    assert_eq!(of(&Capacity::of(&youth, &[])), Some(Demand::Unknown), "no model under 18");
    let measured = |nm: f64| {
        Capacity::of(
            &youth,
            &[MeasuredMoment { side: Side::Right, motion: knee, moment: Moment::nm(nm), at_angle: None }],
        )
    };
    assert_eq!(measured(150.0).origin(Side::Right, knee), CapacityOrigin::Measured);
    let (weak, strong) = (of(&measured(75.0)).unwrap(), of(&measured(150.0)).unwrap());
    let ratio = weak.share().unwrap().ratio(strong.share().unwrap());
    assert!((ratio - 2.0).abs() < 1e-9, "half the strength, twice the demand: {ratio}");
}

#[test]
fn motions_without_a_sourced_strength_model_stay_unknown() {
    let adult = size(Sex::Male, 176.0, 80.0, 60);
    let capacity = Capacity::of(&adult, &[]);
    let known: Vec<JointMotion> =
        JointMotion::all().filter(|m| capacity.origin(Side::Left, *m) == CapacityOrigin::Published).collect();
    let published = [
        Coordinate::HipFlexion.positive(),
        Coordinate::HipFlexion.negative(),
        Coordinate::KneeFlexion.positive(),
        Coordinate::KneeFlexion.negative(),
        Coordinate::AnkleDorsiflexion.positive(),
        Coordinate::AnkleDorsiflexion.negative(),
    ];
    assert_eq!(known, published);
}

#[test]
fn the_square_posture_is_square_and_costs_no_less_than_the_turned_one() {
    let size = size(Sex::Female, 166.0, 66.0, 41);
    let body = Body::of(&size);
    for spec in everyday(&body, Side::Left) {
        let found = solved(&body, &size, &spec);
        let far = |turn| found.frames.iter().find(|f| f.phase == Phase::Far && f.turn == turn);
        let turned = far(Turn::Turned).unwrap();
        if let Some(square) = far(Turn::Square) {
            assert!(square.posture.pelvis_yaw().in_deg().abs() < 0.1);
            assert!(
                square.cost() > turned.cost() - 0.01,
                "{}: {} {}",
                spec.sentence(),
                square.cost(),
                turned.cost()
            );
        }
    }
}
