//! Laws of tasks as goals: what a set of movements covers, and what a choice of them gives.

use anatomy::{BodySize, MuscleGroup, PerSide, Sex, Side};
use biomech::{ArmsCoverage, Asked, Body, Capacity, Coverage, Covered, Profile, covers, motion};
use movement::{AnatomicalDirection, Bearing, Family, GoalTask, MovementSpec};
use person::GoalKind;
use quantity::{Length, Mass};

use crate::choose::choose;
use crate::facts::Facts;
use crate::laws::{limits, wishes};
use crate::option::{Choice, Group, choices, groups, with_tasks};
use crate::plan::terms;
use crate::{Limits, TaskAsked, figures};

fn person(age: u8) -> (Body, Capacity) {
    let size =
        BodySize::new(Length::cm(168.0), Mass::kg(66.0), Sex::Female, age, PerSide::default()).unwrap();
    (Body::of(&size), Capacity::of(&size, &[]))
}

fn spec(body: &Body, family: Family, mover: Side, bearing: Bearing, percent: f64) -> MovementSpec {
    let leg = body.leg_length(mover);
    MovementSpec {
        depth: (family == Family::Lunge).then(|| leg.times(0.15)),
        ..MovementSpec::bare(
            family,
            mover,
            bearing,
            family.ways(bearing, mover)[0],
            leg.times(percent / 100.0),
        )
    }
}

/// Steps of both legs all round and lunges of both legs forward, those that this body can do.
fn set(body: &Body, capacity: &Capacity) -> Vec<Profile> {
    let mut specs: Vec<MovementSpec> = Side::BOTH
        .into_iter()
        .flat_map(|mover| Bearing::ALL.map(|bearing| spec(body, Family::Step, mover, bearing, 35.0)))
        .collect();
    specs.extend(Side::BOTH.map(|mover| spec(body, Family::Lunge, mover, Bearing::ALL[0], 50.0)));
    let found: Vec<Profile> = specs
        .iter()
        .filter_map(|spec| Some(Profile::of(body, capacity, &motion(body, capacity, spec).ok()?)))
        .collect();
    assert!(found.len() >= 14, "{} of {} movements can be done", found.len(), specs.len());
    found
}

fn tasks(body: &Body, capacity: &Capacity) -> Vec<TaskAsked> {
    let all: Vec<TaskAsked> = GoalTask::ALL
        .into_iter()
        .map(|task| TaskAsked::of(body, capacity, task))
        .filter(|asked| asked.impossible().is_empty())
        .collect();
    assert!(all.len() >= 6, "only {} tasks can be computed", all.len());
    all
}

#[test]
fn standing_still_covers_nothing_and_another_movement_never_covers_less() {
    let (body, capacity) = person(44);
    let set = set(&body, &capacity);
    let standing = Profile::standing(&body, &capacity).unwrap();
    for asked in tasks(&body, &capacity) {
        let told = asked.task;
        assert_eq!(asked.covered(&[]).covered.in_one(), 0.0, "{told:?}");
        assert!(asked.covered(std::slice::from_ref(&standing)).covered.in_one() < 1e-12, "{told:?}");
        let mut before = 0.0;
        for count in 1..=set.len() {
            let now = asked.covered(&set[..count]).covered.in_one();
            assert!(now >= before - 1e-12, "{told:?}: {before} falls to {now} with movement {count}");
            before = now;
        }
        assert!((0.1..=1.0).contains(&before), "{told:?}: {before}");
    }
}

#[test]
fn its_own_base_movement_to_both_sides_covers_all_of_a_task_that_is_known() {
    let (body, capacity) = person(44);
    for asked in tasks(&body, &capacity) {
        let own: Vec<Profile> = Side::BOTH.map(|side| asked.sides.get(side).clone().unwrap()).to_vec();
        let covered = asked.covered(&own);
        assert!(covered.missing.iter().all(|m| m.share.in_one() < 1e-12), "{covered:?}");
        assert!((covered.covered.in_one() + covered.unknown.in_one() - 1.0).abs() < 1e-9, "{covered:?}");
        // The hip abductors have no sourced capacity; they are told and never counted.
        assert!(covered.unknown.in_one() > 0.05 && covered.unknown_parts.contains(&"hip abductors".into()));
        // To one side it is half of it at most, and what the other leg does by the way.
        let one = asked.covered(&own[..1]);
        assert!(one.covered < covered.covered, "{one:?}");
    }
}

/// Under 18 no capacity is known without dynamometry: muscles are neither covered nor told as missing.
#[test]
fn what_is_unknown_never_counts_as_covered() {
    let (body, capacity) = person(15);
    let work = |what: &str| what.starts_with("work of");
    let asked = TaskAsked::of(&body, &capacity, GoalTask::UpStair);
    let own: Vec<Profile> = Side::BOTH.map(|side| asked.sides.get(side).clone().unwrap()).to_vec();
    let covered = asked.covered(&own);
    let (of_muscles, arms) = (figures().task_aspects_count[0], figures().task_aspects_count[3]);
    // A stair asks nothing of the arms. Standing still covers something of the rest, so muscles weigh more.
    assert!(covered.unknown.in_one() >= of_muscles / (1.0 - arms) - 1e-9, "{covered:?}");
    assert!(covered.covered.in_one() <= 1.0 - covered.unknown.in_one() + 1e-9, "{covered:?}");
    assert!(!covered.missing.iter().any(|m| work(&m.what)));

    // Movements of unknown demand leave the work of a task that is known wholly missing.
    let (body, capacity) = person(44);
    let known = TaskAsked::of(&body, &capacity, GoalTask::UpStair);
    let lack = |set: &[Profile]| -> f64 {
        known.covered(set).missing.iter().filter(|m| work(&m.what)).map(|m| m.share.in_one()).sum()
    };
    assert!((lack(&own) - lack(&[])).abs() < 1e-12, "{} {}", lack(&own), lack(&[]));
    assert!(lack(&set(&body, &capacity)) < lack(&[]) - 0.05);
}

#[test]
fn the_mirrored_movements_cover_as_much_of_a_task() {
    let (body, capacity) = person(44);
    let specs = [
        spec(&body, Family::Step, Side::Right, Bearing::ALL[0], 40.0),
        spec(&body, Family::Lunge, Side::Right, Bearing::ALL[1], 50.0),
        spec(&body, Family::Reach, Side::Left, Bearing::ALL[0], 40.0),
    ];
    let mirrored = specs.each_ref().map(MovementSpec::mirrored);
    let profiles = |specs: &[MovementSpec]| -> Vec<Profile> {
        specs.iter().map(|s| Profile::of(&body, &capacity, &motion(&body, &capacity, s).unwrap())).collect()
    };
    for asked in tasks(&body, &capacity) {
        let [a, b] = [&specs, &mirrored].map(|set| asked.covered(&profiles(set)));
        // As near as the solver finds the mirrored posture.
        assert!((a.covered.in_one() - b.covered.in_one()).abs() < 0.01, "{a:?} {b:?}");
    }
}

/// `B` of `facts.rs` for one side, read from the bridge part by part.
fn with_standing(coverage: &Coverage) -> f64 {
    let [muscles, angles, direction, arms] = figures().task_aspects_count;
    let (mut sum, mut of, mut known, mut all) = (0.0, 0.0, 0.0, 0.0);
    for part in &coverage.parts {
        let extensors = Asked::Motion(MuscleGroup::TrunkExtensors.motion());
        if !matches!(part.part, Asked::Group(_)) && part.part != extensors {
            continue;
        }
        all += 1.0;
        if let Covered::Share { asked, reached, .. } = part.covered {
            known += 1.0;
            sum += asked.in_one().min(reached.in_one());
            of += asked.in_one();
        }
    }
    let arms_asked = coverage.direction.arms != ArmsCoverage::NotAsked;
    let practised = coverage.direction.arms == ArmsCoverage::Practised;
    let parts = muscles * known / all * sum / of
        + angles * coverage.range.in_one()
        + direction * coverage.direction.covered.in_one()
        + if practised { arms } else { 0.0 };
    parts / (muscles + angles + direction + if arms_asked { arms } else { 0.0 })
}

#[test]
fn the_number_is_the_one_that_is_worked_out_from_the_parts_that_the_bridge_tells() {
    let (body, capacity) = person(44);
    let standing = Profile::standing(&body, &capacity).unwrap();
    let set = set(&body, &capacity);
    for asked in tasks(&body, &capacity) {
        for of in [&set[..1], &set[3..6], &set[..]] {
            let with: Vec<Profile> = of.iter().chain([&standing]).cloned().collect();
            let by_hand: f64 = Side::BOTH
                .map(|side| {
                    let task = asked.sides.get(side).as_ref().unwrap();
                    let still = with_standing(&covers(task, std::slice::from_ref(&standing)));
                    (with_standing(&covers(task, &with)) - still) / (1.0 - still) / 2.0
                })
                .iter()
                .sum();
            let told = asked.covered(of).covered.in_one();
            assert!((told - by_hand).abs() < 1e-12, "{:?}: {told}, by hand {by_hand}", asked.task);
        }
    }
}

/// Every choice of the steps and lunges, with the groups and the profiles behind them.
fn all_choices(asked: &TaskAsked, profiles: &[Profile], limits: &Limits) -> (Vec<Group>, Vec<Choice>) {
    let facts: Vec<Facts> = profiles
        .iter()
        .map(|profile| Facts {
            spec: profile.spec.clone(),
            level: 2,
            seconds: 6.0,
            gives: vec![PerSide { left: 0.0, right: 0.0 }],
        })
        .collect();
    let table = asked.table(profiles.iter().map(|profile| (Some(profile), 1.0)));
    let groups = with_tasks(groups(&facts), &[Some(table)], figures());
    let kinds = [GoalKind::Task { task: asked.task }];
    let all = groups
        .iter()
        .enumerate()
        .flat_map(|(i, group)| choices(i, group, &facts, &kinds, limits, figures()))
        .collect();
    (groups, all)
}

#[test]
fn what_a_choice_gives_is_what_the_bridge_says_of_its_movements_times_its_dose() {
    let (body, capacity) = person(44);
    let profiles = set(&body, &capacity);
    let limits = limits(5.0);
    let figures = figures();
    for task in [GoalTask::UpStair, GoalTask::TurnAtBench] {
        let asked = TaskAsked::of(&body, &capacity, task);
        let (groups, all) = all_choices(&asked, &profiles, &limits);
        assert!(all.len() > 50, "{}", all.len());
        let mut whole = 0;
        for choice in &all {
            let covered = covered_by(&asked, &groups, std::slice::from_ref(choice), &profiles);
            let gain = choice.gains[0];
            let done = f64::from(choice.repetitions) * f64::from(choice.rounds);
            if done >= figures.repetitions_for_strength {
                whole += 1;
                assert!((gain - covered).abs() < 1e-12, "{gain} {covered}");
            } else {
                // Every aspect has had at least its share of the longest set.
                let least = covered * done / figures.repetitions_for_strength;
                assert!((least - 1e-12..=covered + 1e-12).contains(&gain), "{least} {gain} {covered}");
            }
        }
        assert!(whole > 0);
    }
}

#[test]
fn more_directions_more_repetitions_and_more_rounds_never_give_a_task_less() {
    let (body, capacity) = person(44);
    let profiles = set(&body, &capacity);
    let asked = TaskAsked::of(&body, &capacity, GoalTask::UpStair);
    let (_, all) = all_choices(&asked, &profiles, &limits(5.0));
    let mut compared = 0;
    for small in &all {
        for large in all.iter().filter(|c| c.group == small.group) {
            let more = small.units.iter().all(|u| large.units.contains(u))
                && small.repetitions <= large.repetitions
                && small.rounds <= large.rounds;
            if more {
                compared += 1;
                assert!(large.gains[0] >= small.gains[0] - 1e-12, "{small:?} {large:?}");
            }
        }
    }
    assert!(compared > 1000, "{compared}");
}

#[test]
fn a_task_that_this_body_cannot_do_is_told_and_covered_by_nothing() {
    let (body, capacity) = person(44);
    let mut asked = TaskAsked::of(&body, &capacity, GoalTask::UpStair);
    let set = set(&body, &capacity);
    let whole = asked.covered(&set).covered.in_one();
    asked.sides.right = Err("the hip does not bend so far".to_owned());
    let half = asked.covered(&set);
    assert!(half.covered.in_one() < whole && half.covered.in_one() <= 0.5);
    assert!(half.unknown.in_one() >= 0.5);
    let told = asked.impossible();
    assert!(
        told.len() == 1 && told[0].contains("right leg") && told[0].contains("does not bend"),
        "{told:?}"
    );
}

#[test]
fn what_goes_the_way_of_the_task_is_known_from_the_limb_that_moves() {
    let (body, capacity) = person(44);
    let asked = |task| TaskAsked::of(&body, &capacity, task);
    for mover in Side::BOTH {
        let toward = |direction| spec(&body, Family::Step, mover, Bearing::of(direction, mover), 30.0);
        let (ahead, across) = (AnatomicalDirection::Anterior, AnatomicalDirection::Anteromedial);
        assert!(asked(GoalTask::UpStair).goes_its_way(&toward(ahead)));
        assert!(!asked(GoalTask::UpStair).goes_its_way(&toward(across)));
        // A backhand crosses itself.
        assert!(asked(GoalTask::Backhand).goes_its_way(&toward(across)));
    }
}

/// Of a choice's movements, what the bridge says.
fn covered_by(asked: &TaskAsked, groups: &[Group], chosen: &[Choice], profiles: &[Profile]) -> f64 {
    let of_choice = |choice: &Choice| -> Vec<Profile> {
        let units = choice.units.iter().map(|u| &groups[choice.group].units[*u]);
        units
            .flat_map(|unit| Side::BOTH.map(|side| *unit.limbs.get(side)))
            .flatten()
            .map(|k| profiles[k].clone())
            .collect()
    };
    let set: Vec<Profile> = chosen.iter().flat_map(of_choice).collect();
    asked.covered(&set).covered.in_one()
}

#[test]
fn a_programme_for_a_task_alone_covers_at_least_what_any_single_choice_gives_it() {
    let (body, capacity) = person(44);
    let profiles = set(&body, &capacity);
    for task in [GoalTask::UpStair, GoalTask::OutOfCar, GoalTask::LiftAndTurn] {
        let asked = TaskAsked::of(&body, &capacity, task);
        for minutes in [1.0, 2.0, 5.0] {
            let limits = limits(minutes);
            let (groups, all) = all_choices(&asked, &profiles, &limits);
            let most = all.iter().map(|c| c.gains[0]).fold(0.0, f64::max);
            let found = choose(&all, terms(&[1.0], &wishes(), &limits, figures(), 1));
            let best = &found.best[0];
            let covered = covered_by(&asked, &groups, &best.chosen, &profiles);
            assert!(most > 0.1 && best.score >= most - 1e-9, "{task:?}: {} {most}", best.score);
            assert!(covered >= most - 1e-9, "{task:?}, {minutes} min: covers {covered}, one gives {most}");
        }
    }
}
