//! Laws of the search: what random starts find is found, and left is right in a mirror.

use anatomy::{BodySize, Coordinate, PerSide, Sex, Side};
use biomech::study::from_random_starts;
use biomech::{Body, Capacity, MotionError, motion};
use movement::{Bearing, Family, HandHeight, MovementSpec, StanceFoot};
use quantity::{Length, Mass};

fn size(legs: PerSide<Option<Length>>) -> BodySize {
    BodySize::new(Length::cm(176.0), Mass::kg(80.0), Sex::Male, 60, legs).unwrap()
}

/// Every family, bearing and crossing of one limb, the standing foot fixed and pivoting.
fn rays(body: &Body, mover: Side) -> Vec<MovementSpec> {
    let mut out = Vec::new();
    for family in Family::GROUNDED {
        for bearing in Bearing::ALL {
            for crossing in family.ways(bearing, mover) {
                let spec = MovementSpec {
                    depth: (family == Family::Lunge).then(|| body.leg_length(mover).times(0.15)),
                    hand_height: (family == Family::BendAndReach).then_some(HandHeight::Knee),
                    ..MovementSpec::bare(family, mover, bearing, *crossing, Length::cm(20.0))
                };
                if spec.crosses() {
                    out.push(MovementSpec { stance_foot: StanceFoot::Pivoting, ..spec.clone() });
                }
                out.push(spec);
            }
        }
    }
    out
}

/// The study with all its targets is `cargo run --release -p biomech --example robustness`.
#[test]
fn where_a_random_start_finds_a_posture_the_search_finds_one() {
    let size = size(PerSide::default());
    let (body, capacity) = (Body::of(&size), Capacity::of(&size, &[]));
    let (mut solvable, mut missed) = (0, Vec::new());
    for ray in rays(&body, Side::Right) {
        for percent in [30.0, 60.0, 90.0] {
            let spec = ray.at(body.leg_length(Side::Right).times(percent / 100.0));
            if from_random_starts(&body, &capacity, &spec, 10, 1, 7).is_empty() {
                continue;
            }
            solvable += 1;
            if let Err(error) = motion(&body, &capacity, &spec) {
                missed.push(error.to_string());
            }
        }
    }
    assert!(solvable > 100, "{solvable} targets can be solved");
    assert!(missed.len() * 200 <= solvable, "of {solvable}: {missed:?}");
}

/// Also where legs cross and where the legs differ: each side is solved for what it is.
#[test]
fn a_mirrored_person_crosses_in_mirror() {
    let uneven = PerSide { left: Some(Length::cm(94.0)), right: Some(Length::cm(92.0)) };
    for here in [size(PerSide::default()), size(uneven)] {
        let there = here.mirrored();
        let (body, capacity) = (Body::of(&here), Capacity::of(&here, &[]));
        let (mirror_body, mirror_capacity) = (Body::of(&there), Capacity::of(&there, &[]));
        for ray in rays(&body, Side::Right).into_iter().filter(MovementSpec::crosses) {
            let spec = ray.at(Length::cm(40.0));
            let a = motion(&body, &capacity, &spec);
            let b = motion(&mirror_body, &mirror_capacity, &spec.mirrored());
            let (a, b) = match (a, b) {
                (Ok(a), Ok(b)) => (a, b),
                (Err(a), Err(b)) => {
                    assert_eq!(missing_cm(&a), missing_cm(&b), "{}", spec.sentence());
                    continue;
                }
                (a, b) => panic!("{}: {:?} {:?}", spec.sentence(), a.err(), b.err()),
            };
            assert_eq!(a.frames.len(), b.frames.len());
            for (a, b) in a.frames.iter().zip(&b.frames) {
                for side in Side::BOTH {
                    for c in Coordinate::LEG {
                        let (x, y) = (a.posture.angle(side, c), b.posture.angle(side.other(), c));
                        let off = (x.in_deg() - y.in_deg()).abs();
                        assert!(off < 1e-3, "{} {c:?}: {off}", spec.sentence());
                    }
                }
            }
        }
    }
}

/// What is missing, in tenths of a millimetre.
fn missing_cm(error: &MotionError) -> i64 {
    match error {
        MotionError::OutOfReach { by, .. } | MotionError::DepthNotReached { by, .. } => {
            (by.in_cm() * 100.0).round() as i64
        }
        other => panic!("{other}"),
    }
}

/// Asked again with what is missing taken off, a refused movement is found; a centimetre more is refused.
#[test]
fn what_is_said_to_be_missing_is_missing() {
    let size = size(PerSide::default());
    let (body, capacity) = (Body::of(&size), Capacity::of(&size, &[]));
    let (mut far, mut deep) = (0, 0);
    for (k, ray) in rays(&body, Side::Right).into_iter().enumerate() {
        let share = [0.7, 0.9, 1.1][k % 3];
        let spec = MovementSpec { depth: ray.depth.map(|d| d.times(2.0)), ..ray };
        let spec = spec.at(body.leg_length(Side::Right).times(share));
        let (less, more) = match motion(&body, &capacity, &spec) {
            Err(MotionError::OutOfReach { by, .. }) => {
                far += 1;
                let at = |m: f64| MovementSpec {
                    depth: spec.depth.map(|_| Length::ZERO),
                    ..spec.at(Length::m((spec.distance.in_m() - by.in_m() + m).max(0.0)))
                };
                (at(-1e-6), (by.in_m() > 0.01).then(|| at(0.01)))
            }
            Err(MotionError::DepthNotReached { by, .. }) => {
                deep += 1;
                let at = |m: f64| MovementSpec {
                    depth: spec.depth.map(|d| Length::m((d.in_m() - by.in_m() + m).max(0.0))),
                    ..spec.clone()
                };
                (at(-1e-6), (by.in_m() > 0.01).then(|| at(0.01)))
            }
            Err(error) => panic!("{error}"),
            Ok(_) => continue,
        };
        assert!(motion(&body, &capacity, &less).is_ok(), "{}", less.sentence());
        if let Some(more) = more {
            assert!(motion(&body, &capacity, &more).is_err(), "{}", more.sentence());
        }
    }
    assert!(far > 8 && deep > 1, "{far} out of reach, {deep} not as deep");
}

/// A foot that would be put down on the other one is not "out of reach": it is too near, and where it says
/// that there is room, there is.
#[test]
fn a_crossing_foot_that_finds_no_room_is_told_where_there_is_some() {
    let size = size(PerSide::default());
    let (body, capacity) = (Body::of(&size), Capacity::of(&size, &[]));
    let mut told = 0;
    for ray in rays(&body, Side::Right).into_iter().filter(|ray| ray.crosses() && ray.family == Family::Step)
    {
        match motion(&body, &capacity, &ray.at(Length::cm(10.0))) {
            Err(MotionError::TooNear { asked, from, .. }) => {
                told += 1;
                assert!(from > asked, "{}: {from}", ray.sentence());
                let there = motion(&body, &capacity, &ray.at(from));
                assert!(there.is_ok(), "{}: {:?}", ray.sentence(), there.err());
            }
            Err(MotionError::OutOfReach { .. }) => panic!("{}: said to be out of reach", ray.sentence()),
            _ => {}
        }
    }
    assert!(told > 0, "no crossing step was too near at 10 cm");
}
