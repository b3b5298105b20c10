//! A direction that hurts once, twice, three times: what a plan makes of it, and what takes its place.

mod mirror;

use anatomy::Side;
use app::{Outcome, Plan, demo_cases, neighbours_case, plan_case, silent};
use jiff::ToSpan;
use jiff::civil::{Date, date};
use movement::{AnatomicalDirection, Family, MovementSpec, Support};
use person::{CaseFile, HurtAt};
use programme::{Exercise, ExerciseMovement, Taken};

fn story(index: usize) -> (CaseFile, Date) {
    let case = demo_cases()[index].read().unwrap_or_else(|e| panic!("{e}"));
    let today = app::day_of(&case, None, date(2000, 1, 1));
    (case, today)
}

fn planned(case: &CaseFile, today: Date) -> Box<Plan> {
    match plan_case(case, today, &silent) {
        Outcome::Programme(plan) => plan,
        other => panic!("{other:?}"),
    }
}

/// The case in which this movement hurt so many times, each time as far as it was done then.
fn hurt(case: &CaseFile, spec: &MovementSpec, times: u8, today: Date) -> CaseFile {
    let mut case = case.clone();
    for (before, share) in (0..times).zip([1.0, 0.75, 0.5]) {
        let on = today.checked_sub(i64::from(6 - 2 * before).days()).unwrap_or(today);
        let distance = spec.distance.times(share);
        let (mover, bearing) = (spec.mover, spec.bearing);
        case.findings.hurt.push(HurtAt {
            mover,
            bearing,
            family: Some(spec.family),
            distance,
            pain: Some(1),
            settled: None,
            spreads: false,
            on,
        });
    }
    case
}

fn movements(plan: &Plan) -> impl Iterator<Item = &ExerciseMovement> {
    plan.programme.exercises.iter().flat_map(Exercise::movements)
}

/// A person and a movement of their programme: the choir conductor's hand to the front, the postal
/// worker's reach to the front.
const STORIES: [(usize, Family); 2] = [(5, Family::BendAndReach), (4, Family::Reach)];

/// The movement that is going to hurt: the right limb to the front.
fn forward(plan: &Plan, family: Family) -> MovementSpec {
    let there = movements(plan)
        .map(ExerciseMovement::spec)
        .find(|s| (s.family, s.mover, s.direction()) == (family, Side::Right, AnatomicalDirection::Anterior));
    there.unwrap_or_else(|| panic!("no {family} to the front")).clone()
}

fn there<'a>(plan: &'a Plan, spec: &MovementSpec) -> Vec<&'a ExerciseMovement> {
    let way = |s: &MovementSpec| (s.family, s.mover, s.bearing);
    movements(plan).filter(|m| way(m.spec()) == way(spec)).collect()
}

/// How far each ray that way is open: none further, none freer, than with one entry less.
fn opens_no_more(before: &Plan, after: &Plan, spec: &MovementSpec) {
    let that_way = |plan: &Plan| -> Vec<_> {
        let rays = plan.space.rays.iter();
        rays.filter(|r| (r.ray.mover, r.ray.bearing) == (spec.mover, spec.bearing)).cloned().collect()
    };
    let reach = |rays: &[safety::SurveyedRay], like: &safety::Ray, free: bool| {
        rays.iter()
            .filter(|r| {
                (r.ray.family, r.ray.crossing, r.ray.hand_height)
                    == (like.family, like.crossing, like.hand_height)
                    && r.ray.depth == like.depth
                    && (!free || r.ray.support == Support::None)
            })
            .filter_map(|r| r.verdict.to())
            .map(quantity::Length::in_cm)
            .fold(0.0, f64::max)
    };
    let (old, new) = (that_way(before), that_way(after));
    for ray in &new {
        let free = ray.ray.support == Support::None;
        let (was, is) = (reach(&old, &ray.ray, free), reach(&new, &ray.ray, free));
        assert!(is <= was + 1e-6, "{:?}: {is} cm after {was} cm", ray.ray);
    }
}

#[test]
fn pain_once_shortens_twice_slows_and_the_third_time_another_direction_takes_the_place() {
    let mut slower = 0;
    for (index, family) in STORIES {
        let (case, today) = story(index);
        let before = planned(&case, today);
        let spec = forward(&before, family);
        let plans: Vec<Box<Plan>> =
            (1..=3).map(|times| planned(&hurt(&case, &spec, times, today), today)).collect();
        let (once, twice, thrice) = (&plans[0], &plans[1], &plans[2]);
        // Strict, pain 1: three quarters, then half, then left out.
        for (plan, share) in [(once, 0.75), (twice, 0.5)] {
            assert!(
                there(plan, &spec)
                    .iter()
                    .all(|m| { m.spec().distance.in_cm() <= spec.distance.in_cm() * share + 1e-6 })
            );
            assert!(plan.programme.in_place.is_empty());
        }
        for movement in there(twice, &spec) {
            slower += 1;
            assert!(
                movement.spec().family == Family::BendAndReach
                    || movement.spec().support == Support::BothHands
            );
            assert!(movement.tempo().out > programme::figures().tempo.out);
            assert!(movement.tempo().back > programme::figures().tempo.back);
        }
        assert!(there(thrice, &spec).is_empty());
        if family == Family::BendAndReach {
            // Both legs stand under either hand, so both hands are held that way.
            let held = |mover| {
                let mut all = thrice.programme.in_place.iter().map(|one| &one.held);
                all.any(|one| (one.family, one.mover, one.bearing) == (family, mover, spec.bearing))
            };
            assert!(Side::BOTH.into_iter().all(held), "{:?}", thrice.programme.in_place);
            opens_no_more(&before, once, &spec);
            opens_no_more(once, twice, &spec);
            opens_no_more(twice, thrice, &spec);
            continue;
        }
        let [held] = &thrice.programme.in_place[..] else { panic!("{:?}", thrice.programme.in_place) };
        assert_eq!((held.held.mover, held.held.bearing), (spec.mover, spec.bearing));
        assert_eq!(held.taken, Taken::Placed, "{}", held.words);
        assert!(thrice.programme.notes.contains(&held.words), "the therapist reads it");
        let instead = held.instead.as_ref().expect("another direction");
        assert!(instead.mover == spec.mover && instead.bearing != spec.bearing);
        // It is in the programme once, and both gates were asked about it today.
        let placed: Vec<_> = movements(thrice).filter(|m| m.spec() == instead).collect();
        assert_eq!(placed.len(), 1, "{}", held.words);
        assert_eq!(placed[0].permitted.valid_on(), today);
        assert!(thrice.programme.minutes <= case.wishes.minutes);
        opens_no_more(&before, once, &spec);
        opens_no_more(once, twice, &spec);
        opens_no_more(twice, thrice, &spec);
        // A week later it is as it was: it does not come back by itself.
        let later = today.checked_add(7.days()).unwrap_or(today);
        match plan_case(&hurt(&case, &spec, 3, today), later, &silent) {
            Outcome::Programme(plan) => assert!(there(&plan, &spec).is_empty()),
            Outcome::NoProgramme(_) => {}
            Outcome::Alert(alert) => panic!("{alert}"),
        }
    }
    assert!(slower > 0, "nothing that hurt twice stands in a programme");
}

#[test]
fn what_takes_the_place_in_a_mirror_is_the_mirror() {
    let (case, today) = story(11);
    let spec = forward(&planned(&case, today), Family::Step);
    let case = hurt(&case, &spec, 3, today);
    let (here, there) = (planned(&case, today), planned(&mirror::mirrored(&case), today));
    let [a] = &here.programme.in_place[..] else { panic!("{:?}", here.programme.in_place) };
    let [b] = &there.programme.in_place[..] else { panic!("{:?}", there.programme.in_place) };
    assert_eq!(a.held.mirrored(), b.held);
    assert_eq!(a.instead.as_ref().map(MovementSpec::mirrored), b.instead);
    assert_eq!((a.taken, a.degrees), (b.taken, b.degrees));
    assert_eq!(mirror::words(&a.words), b.words);
}

#[test]
fn the_neighbours_of_what_is_left_out_for_pain_say_what_can_be_done_in_its_place() {
    let (case, today) = story(9);
    let sentence = "right step lateral 35 cm";
    let ask = |case: &CaseFile| {
        let found = neighbours_case(case, today, Some(sentence), &silent).unwrap_or_else(|e| panic!("{e}"));
        found.movements[0].clone()
    };
    let spec = ask(&case).movement;
    for times in 0..=2 {
        assert_eq!(ask(&hurt(&case, &spec, times, today)).in_place, None, "{times}");
    }
    let case = hurt(&case, &spec, 3, today);
    let around = ask(&case);
    assert!(around.refused.is_some());
    let held = around.in_place.expect("something in its place");
    assert_eq!(held.taken, Taken::Proposed);
    let instead = held.instead.expect("another direction");
    assert_eq!((instead.family, instead.mover), (spec.family, spec.mover));
    assert_ne!(instead.bearing, spec.bearing);
    // The therapist may ask for it at once: it is permitted and has neighbours of its own.
    let other = neighbours_case(&case, today, Some(&instead.sentence()), &silent);
    assert_eq!(other.unwrap_or_else(|e| panic!("{e}")).movements[0].refused, None);
    // A movement that is closed for another reason gets none.
    let (case, today) = story(0);
    let closed = "right step medial 25 cm crossing in front";
    let found = neighbours_case(&case, today, Some(closed), &silent).unwrap_or_else(|e| panic!("{e}"));
    assert!(found.movements[0].refused.is_some() && found.movements[0].in_place.is_none());
}
