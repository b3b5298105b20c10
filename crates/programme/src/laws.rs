//! Laws of the choice, on invented facts: they need no body, only what movements give goals.

use anatomy::{MuscleGroup, PerSide, Side};
use jiff::civil::date;
use movement::{AnatomicalDirection, Bearing, Crossing, Family, HandHeight, MovementSpec, SupportKind};
use person::{GoalKind, Wishes};
use quantity::{Length, Span};

use crate::choose::{Best, Found, choose, objective};
use crate::facts::Facts;
use crate::option::{Choice, Group, choices, groups};
use crate::plan::{all_choices, for_both, terms};
use crate::trial::Dice;
use crate::{ClearFloor, FootSize, Limits, figures};

pub(crate) fn limits(minutes: f64) -> Limits {
    Limits {
        for_day: date(2030, 5, 6),
        minutes: Span::min_(minutes),
        exercises: 3,
        directions: None,
        rounds: None,
        clear_floor: Bearing::ALL.map(|b| (b, ClearFloor::Measured { length: Length::cm(90.0) })).to_vec(),
        foot: FootSize { length: Length::cm(26.0), breadth: Length::cm(10.0) },
        supports: vec![SupportKind::Bench],
        hand_weights: Vec::new(),
        falls_risk: false,
        demand_at_most: quantity::Share::of_one(1.0),
        demand_at_least: quantity::Share::ZERO,
        last_impact: None,
        tolerated: Vec::new(),
        longest_of_leg: Family::GROUNDED.map(|f| (f, Length::cm(500.0))).into(),
        longest_held: Length::cm(500.0),
        longest_crossing: Length::cm(500.0),
    }
}

fn kinds() -> Vec<GoalKind> {
    vec![
        GoalKind::Strength { group: MuscleGroup::KneeExtensors },
        GoalKind::Control { direction: AnatomicalDirection::Lateral },
        GoalKind::Balance,
    ]
}

const WEIGHTS: [f64; 3] = [1.0, 0.7, 1.3];

pub(crate) fn wishes() -> Wishes {
    Wishes { activities: Vec::new(), goals: Vec::new(), minutes: Span::min_(60.0), per_day: 2, exercises: 3 }
}

fn spec(family: Family, mover: Side, bearing: Bearing, height: Option<HandHeight>) -> MovementSpec {
    MovementSpec {
        depth: (family == Family::Lunge).then(|| Length::cm(20.0)),
        hand_height: height,
        ..MovementSpec::bare(family, mover, bearing, Crossing::ways(bearing, mover)[0], Length::cm(40.0))
    }
}

/// An invented person: each family and direction permitted by the dice, gains by the dice.
fn invented(seed: u64, families: &[Family]) -> Vec<Facts> {
    let mut dice = Dice(seed);
    let mut out = Vec::new();
    for family in families {
        let heights: &[Option<HandHeight>] = match family {
            Family::BendAndReach => &[Some(HandHeight::Knee), Some(HandHeight::Shin)],
            _ => &[None],
        };
        for height in heights {
            for mover in Side::BOTH {
                for bearing in Bearing::ALL {
                    if dice.unit() < 0.4 {
                        continue;
                    }
                    let gives = kinds().iter().map(|_| PerSide::from_fn(|_| dice.unit() * 0.6)).collect();
                    out.push(Facts {
                        spec: spec(*family, mover, bearing, *height),
                        level: 2,
                        seconds: 6.0,
                        gives,
                    });
                }
            }
        }
    }
    out
}

fn found(facts: &[Facts], limits: &Limits, wanted: usize) -> Found {
    let figures = figures();
    let all = all_choices(&groups(facts), facts, &kinds(), limits, figures);
    choose(&all, terms(&WEIGHTS, &wishes(), limits, figures, wanted))
}

fn best(facts: &[Facts], minutes: f64) -> Best {
    let mut found = found(facts, &limits(minutes), 1);
    assert!(found.proven, "{} nodes", found.nodes);
    found.best.swap_remove(0)
}

#[test]
fn more_minutes_never_give_a_lower_objective() {
    for seed in 0..10 {
        let facts = invented(seed, &Family::GROUNDED);
        let mut last = 0.0;
        for minutes in [0.5, 1.0, 2.0, 3.0, 4.0, 5.0, 8.0] {
            let score = best(&facts, minutes).score;
            assert!(score >= last - 1e-9, "seed {seed}: {minutes} min gave {score}, less than {last}");
            last = score;
        }
        assert!(last > 0.0);
    }
}

#[test]
fn never_more_than_three_exercises_nor_more_time_nor_the_same_family_twice() {
    for seed in 0..16 {
        let facts = invented(seed, &Family::GROUNDED);
        let groups = groups(&facts);
        let best = best(&facts, 4.0);
        assert!((1..=3).contains(&best.chosen.len()));
        let change = figures().change_exercise.in_s();
        #[allow(clippy::cast_precision_loss)]
        let together: f64 =
            best.chosen.iter().map(|c| c.seconds).sum::<f64>() + change * (best.chosen.len() as f64 - 1.0);
        assert!(together <= 240.0 + 1e-9, "{together}");
        assert!((together - best.seconds).abs() < 1e-9);
        let mut families: Vec<Family> =
            best.chosen.iter().map(|c| facts[groups[c.group].example].spec.family).collect();
        families.dedup();
        assert_eq!(families.len(), best.chosen.len());
    }
}

/// What was chosen, as family, repetitions, rounds and the directions of each limb.
fn told(facts: &[Facts], best: &Best) -> Vec<(Family, u8, u8, Vec<AnatomicalDirection>)> {
    let groups = groups(facts);
    best.chosen
        .iter()
        .map(|c| {
            let group = &groups[c.group];
            let directions = c.units.iter().map(|u| group.units[*u].direction).collect();
            (facts[group.example].spec.family, c.repetitions, c.rounds, directions)
        })
        .collect()
}

#[test]
fn the_mirrored_person_gets_the_mirrored_programme() {
    for seed in 0..16 {
        let facts = invented(seed, &Family::GROUNDED);
        let mirrored: Vec<Facts> = facts
            .iter()
            .map(|f| Facts {
                spec: f.spec.mirrored(),
                gives: f.gives.iter().map(|p| p.mirrored()).collect(),
                ..f.clone()
            })
            .collect();
        let (a, b) = (best(&facts, 4.0), best(&mirrored, 4.0));
        // Named from the moving limb, the mirrored person does the same.
        assert_eq!(told(&facts, &a), told(&mirrored, &b), "seed {seed}");
        assert!((a.score - b.score).abs() < 1e-12);
    }
}

#[test]
fn the_same_candidates_in_another_order_give_the_same_programme() {
    for seed in 0..10 {
        let facts = invented(seed, &Family::GROUNDED);
        let turned: Vec<Facts> = facts.iter().rev().cloned().collect();
        assert_eq!(told(&facts, &best(&facts, 4.0)), told(&turned, &best(&turned, 4.0)), "seed {seed}");
    }
}

#[test]
fn where_both_limbs_have_something_to_do_no_exercise_leaves_one_out() {
    let limb_has_work = |choice: &Choice, group: &Group, side: Side| {
        choice.units.iter().any(|unit| group.units[*unit].limbs.get(side).is_some())
    };
    for seed in 0..10 {
        let facts = invented(seed, &Family::GROUNDED);
        let groups = groups(&facts);
        for choice in all_choices(&groups, &facts, &kinds(), &limits(4.0), figures()) {
            for side in Side::BOTH {
                assert!(limb_has_work(&choice, &groups[choice.group], side), "seed {seed}: {choice:?}");
            }
        }
        // Where only one limb may work, it still does.
        let right: Vec<Facts> = facts.iter().filter(|f| f.spec.mover == Side::Right).cloned().collect();
        assert!(!best(&right, 4.0).chosen.is_empty());
    }
}

/// Second route: every pair of every two choices, nothing pruned.
#[test]
fn the_search_finds_what_trying_everything_finds() {
    for seed in 0..4 {
        let facts = invented(seed, &[Family::Step, Family::BendAndReach]);
        let groups = groups(&facts);
        let limits = limits(2.5);
        let figures = figures();
        let all: Vec<Choice> = groups
            .iter()
            .enumerate()
            .flat_map(|(i, g)| for_both(choices(i, g, &facts, &kinds(), &limits, figures), g))
            .collect();
        let family = |c: &Choice| facts[groups[c.group].example].spec.family;
        let again = figures.second_exercise_counts;
        let mut most: f64 = 0.0;
        for (i, a) in all.iter().enumerate() {
            most = most.max(objective(&[a], &WEIGHTS, again));
            for b in &all[i + 1..] {
                let together = a.seconds + b.seconds + figures.change_exercise.in_s();
                if family(a) != family(b) && together <= 150.0 {
                    most = most.max(objective(&[a, b], &WEIGHTS, again));
                }
            }
        }
        let found = best(&facts, 2.5).score;
        assert!((found - most).abs() < 1e-9, "seed {seed}: found {found}, best {most}");
    }
}

#[test]
fn both_limbs_do_the_same_arc_and_a_limb_that_may_not_leaves_it_out() {
    // A sound leg that may go everywhere, and a leg that may not cross.
    let mut facts = Vec::new();
    for mover in Side::BOTH {
        for bearing in Bearing::ALL {
            let spec = spec(Family::Step, mover, bearing, None);
            if mover == Side::Left && spec.crosses() {
                continue;
            }
            let gives = kinds().iter().map(|_| PerSide { left: 0.3, right: 0.3 }).collect();
            facts.push(Facts { spec, level: 2, seconds: 6.0, gives });
        }
    }
    let groups = groups(&facts);
    assert_eq!(groups.len(), 1);
    // Eight bearings; a fact list holds one way for medial.
    assert_eq!(groups[0].units.len(), 8);
    for unit in &groups[0].units {
        let crosses = unit.crossing != Crossing::None;
        assert!(unit.limbs.right.is_some());
        assert_eq!(unit.limbs.left.is_none(), crosses, "{:?}", unit.direction);
    }
}

#[test]
fn when_pain_is_easily_provoked_at_most_the_named_directions_and_rounds_are_given() {
    // Own choice in reference/dose.toml: one round, two directions.
    let facts = invented(3, &Family::GROUNDED);
    let figures = figures();
    let limits = Limits {
        directions: Some(figures.directions_high_irritability),
        rounds: Some(figures.rounds_high_irritability),
        ..limits(5.0)
    };
    let best = found(&facts, &limits, 1).best.swap_remove(0);
    assert!(!best.chosen.is_empty());
    assert!(best.chosen.iter().all(|c| c.units.len() <= 2 && c.rounds == 1));
}

#[test]
fn nothing_shorter_than_the_named_least_is_called_an_exercise() {
    // Own choice in reference/planner.toml: 30 s. One direction on one leg twice would be 12 s.
    let one = vec![Facts {
        spec: spec(Family::Reach, Side::Left, Bearing::ALL[0], None),
        level: 2,
        seconds: 6.0,
        gives: kinds().iter().map(|_| PerSide { left: 0.5, right: 0.5 }).collect(),
    }];
    let groups = groups(&one);
    let all = choices(0, &groups[0], &one, &kinds(), &limits(5.0), figures());
    assert!(!all.is_empty());
    assert!(all.iter().all(|c| c.seconds >= 30.0), "{:?}", all.iter().map(|c| c.seconds).collect::<Vec<_>>());
}
