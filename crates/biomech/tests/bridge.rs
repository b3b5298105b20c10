//! Laws of coverage: what a set of movements covers of a task.

use anatomy::{BodySize, JointMotion, PerSide, Sex, Side};
use biomech::{ArmsCoverage, Asked, Body, Capacity, Coverage, Covered, Profile, Whole, covers, motion};
use movement::{Bearing, Family, GoalTask, HandHeight, MovementSpec};
use quantity::{Length, Mass};

fn person(age: u8) -> (Body, Capacity) {
    let size =
        BodySize::new(Length::cm(168.0), Mass::kg(66.0), Sex::Female, age, PerSide::default()).unwrap();
    (Body::of(&size), Capacity::of(&size, &[]))
}

fn spec(body: &Body, family: Family, mover: Side, bearing: usize, percent: f64) -> MovementSpec {
    let bearing = Bearing::ALL[bearing];
    MovementSpec {
        depth: (family == Family::Lunge).then(|| body.leg_length(mover).times(0.15)),
        ..MovementSpec::bare(
            family,
            mover,
            bearing,
            family.ways(bearing, mover)[0],
            body.leg_length(mover).times(percent / 100.0),
        )
    }
}

/// A few movements of both legs.
fn set(body: &Body, capacity: &Capacity) -> Vec<Profile> {
    [
        spec(body, Family::Step, Side::Right, 0, 40.0),
        spec(body, Family::Step, Side::Left, 6, 40.0),
        spec(body, Family::Lunge, Side::Right, 1, 50.0),
        spec(body, Family::Reach, Side::Left, 0, 40.0),
    ]
    .iter()
    .map(|spec| Profile::of(body, capacity, &motion(body, capacity, spec).unwrap()))
    .collect()
}

fn tasks(body: &Body, capacity: &Capacity) -> Vec<(GoalTask, Profile)> {
    let found: Vec<(GoalTask, Profile)> = GoalTask::ALL
        .into_iter()
        .filter_map(|task| Some((task, Profile::of_goal(body, capacity, task, Side::Right).ok()?)))
        .collect();
    assert!(found.len() >= 6, "only {} tasks can be computed", found.len());
    found
}

fn share(whole: Whole) -> f64 {
    match whole {
        Whole::Share { covered, .. } => covered.in_one(),
        Whole::Unknown => 0.0,
    }
}

/// Every figure of a coverage that may only grow.
fn figures(coverage: &Coverage) -> Vec<f64> {
    let mut out: Vec<f64> = coverage
        .parts
        .iter()
        .map(|p| match p.covered {
            Covered::Share { covered, .. } => covered.in_one(),
            Covered::Unknown => 0.0,
        })
        .collect();
    let direction = coverage.direction.covered.in_one();
    out.extend([share(coverage.motions), share(coverage.groups), coverage.range.in_one(), direction]);
    out
}

#[test]
fn another_movement_never_covers_less() {
    let (body, capacity) = person(44);
    let set = set(&body, &capacity);
    for (task, profile) in tasks(&body, &capacity) {
        let mut before = figures(&covers(&profile, &[]));
        assert!(before.iter().all(|f| *f == 0.0), "{task:?}: an empty set covers nothing");
        for count in 1..=set.len() {
            let now = figures(&covers(&profile, &set[..count]));
            for (a, b) in before.iter().zip(&now) {
                assert!(b >= a, "{task:?}: {a} falls to {b} with movement {count}");
            }
            before = now;
        }
        assert!(before.iter().any(|f| *f > 0.2), "{task:?}: the set covers something");
    }
}

#[test]
fn a_task_covers_itself_whole() {
    let (body, capacity) = person(44);
    for (task, profile) in tasks(&body, &capacity) {
        let own = covers(&profile, std::slice::from_ref(&profile));
        assert!(own.missing().is_empty(), "{task:?}: {:?}", own.missing());
        assert!((share(own.motions) - 1.0).abs() < 1e-12, "{task:?}");
        assert!((own.range.in_one() - 1.0).abs() < 1e-12, "{task:?}");
        assert!((own.direction.covered.in_one() - 1.0).abs() < 1e-12, "{task:?}");
        let arms = if task == GoalTask::UpStair { ArmsCoverage::NotAsked } else { ArmsCoverage::Practised };
        assert_eq!(own.direction.arms, arms, "{task:?}");
    }
}

/// Under 18 no capacity is known without dynamometry: nothing may count as covered, not even by the
/// task itself.
#[test]
fn what_is_unknown_is_never_covered() {
    let (body, capacity) = person(15);
    let profile = Profile::of_goal(&body, &capacity, GoalTask::Pass, Side::Right).unwrap();
    let own = covers(&profile, std::slice::from_ref(&profile));
    assert!(own.parts.iter().all(|p| p.covered == Covered::Unknown));
    assert_eq!((own.motions, own.groups), (Whole::Unknown, Whole::Unknown));
    assert!(own.missing().is_empty(), "unknown is not told as missing either");

    let (body, capacity) = person(44);
    let profile = Profile::of_goal(&body, &capacity, GoalTask::Pass, Side::Right).unwrap();
    let Whole::Share { unknown, .. } = covers(&profile, &set(&body, &capacity)).motions else {
        panic!("hip and knee are known")
    };
    assert!(unknown > 0, "hip abduction has no sourced capacity");
}

#[test]
fn the_mirror_task_is_covered_alike_by_the_mirror_set() {
    let (body, capacity) = person(44);
    let specs =
        [spec(&body, Family::Step, Side::Right, 0, 40.0), spec(&body, Family::Lunge, Side::Right, 1, 50.0)];
    let profiles = |specs: &[MovementSpec]| -> Vec<Profile> {
        specs.iter().map(|s| Profile::of(&body, &capacity, &motion(&body, &capacity, s).unwrap())).collect()
    };
    let mirrored: Vec<MovementSpec> = specs.iter().map(MovementSpec::mirrored).collect();
    for task in [GoalTask::Pass, GoalTask::UpStair, GoalTask::TurnAtBench] {
        let [a, b] = [(Side::Right, &specs[..]), (Side::Left, &mirrored[..])].map(|(side, set)| {
            let profile = Profile::of_goal(&body, &capacity, task, side).unwrap();
            covers(&profile, &profiles(set))
        });
        assert!(
            (share(a.motions) - share(b.motions)).abs() < 0.02,
            "{task:?}: {:?} {:?}",
            a.motions,
            b.motions
        );
        assert!((a.range.in_one() - b.range.in_one()).abs() < 0.02, "{task:?}");
        assert_eq!(a.direction.covered, b.direction.covered, "{task:?}");
    }
}

#[test]
fn a_hand_that_goes_out_does_not_cover_the_direction_of_a_leg() {
    let (body, capacity) = person(44);
    let task = Profile::of_goal(&body, &capacity, GoalTask::UpStair, Side::Right).unwrap();
    let covered = |spec: MovementSpec| {
        let profile = Profile::of(&body, &capacity, &motion(&body, &capacity, &spec).unwrap());
        covers(&task, &[profile]).direction.covered.in_one()
    };
    let hand = spec(&body, Family::BendAndReach, Side::Right, 0, 30.0);
    let hand = MovementSpec { hand_height: Some(HandHeight::Knee), ..hand };
    assert_eq!(covered(hand), 0.0);
    assert!(covered(spec(&body, Family::Step, Side::Right, 0, 30.0)) > 0.5);
}

/// The worked sum: parts of the task weigh as much as they are asked.
#[test]
fn the_whole_is_the_mean_of_the_parts_weighted_by_what_is_asked() {
    let (body, capacity) = person(44);
    let profile = Profile::of_goal(&body, &capacity, GoalTask::UpStair, Side::Right).unwrap();
    let coverage = covers(&profile, &set(&body, &capacity)[..1]);
    let (mut sum, mut of) = (0.0, 0.0);
    for part in &coverage.parts {
        let Asked::Motion(JointMotion { .. }) = part.part else { continue };
        let Covered::Share { asked, reached, covered } = part.covered else { continue };
        assert!((covered.in_one() - (reached.in_one() / asked.in_one()).min(1.0)).abs() < 1e-12);
        sum += asked.in_one() * covered.in_one();
        of += asked.in_one();
    }
    assert!((share(coverage.motions) - sum / of).abs() < 1e-12);
}
