//! What the tasks among a person's goals ask of this body, and the profiles that are set beside them.

use movement::GoalTask;
use person::{Goal, GoalKind};
use programme::{Candidate, TaskAsked};

use crate::PersonToday;
use crate::survey::on_all_cores;

/// The tasks among these goals, each computed once.
pub(crate) fn asked(person: &PersonToday<'_>, goals: &[Goal]) -> Vec<TaskAsked> {
    let mut tasks: Vec<GoalTask> = Vec::new();
    for goal in goals {
        if let GoalKind::Task { task } = goal.kind
            && !tasks.contains(&task)
        {
            tasks.push(task);
        }
    }
    on_all_cores(&tasks, |task| TaskAsked::of(&person.body, &person.capacity, *task))
}

/// The candidates with their profiles; as they are where no task asks for them.
pub(crate) fn with_profiles(
    person: &PersonToday<'_>,
    tasks: &[TaskAsked],
    candidates: Vec<Candidate>,
) -> Vec<Candidate> {
    if tasks.is_empty() {
        return candidates;
    }
    on_all_cores(&candidates, |one| one.clone().with_profile(&person.body, &person.capacity))
}

#[cfg(test)]
mod tests {
    use std::collections::BTreeMap;

    use anatomy::Side;
    use biomech::Profile;
    use movement::MovementSpec;
    use programme::{Figures, figures};
    use safety::Engine;

    use super::*;
    use crate::candidates::candidates;
    use crate::survey::survey;
    use crate::{Outcome, bridge_case, demo_cases, plan_case, silent};

    fn story(file: &str) -> (person::CaseFile, jiff::civil::Date) {
        let demo = demo_cases().iter().find(|demo| demo.file.starts_with(file));
        let mut case = demo.unwrap_or_else(|| panic!("{file}")).read().unwrap_or_else(|e| panic!("{e}"));
        case.wishes.goals = vec![Goal { kind: GoalKind::Task { task: GoalTask::UpStair }, weight: 1.0 }];
        let today = crate::day_of(&case, None, case.visit);
        (case, today)
    }

    /// What is one exercise to somebody who does it.
    fn exercise(spec: &MovementSpec) -> String {
        let place = (spec.support, spec.place);
        format!("{:?} {place:?} {:?} {:?} {:?}", spec.family, spec.load, spec.depth, spec.hand_height)
    }

    /// Seconds of both limbs with so many repetitions in each of so many rounds.
    fn seconds(of: &[&Candidate], repetitions: u8, rounds: u8, figures: &Figures) -> f64 {
        let moving: f64 = of.iter().map(|c| c.minutes.in_s() * f64::from(repetitions)).sum();
        f64::from(rounds) * (moving + figures.change_limb.in_s())
            + f64::from(rounds - 1) * figures.rest.in_s()
    }

    /// The most that one exercise alone covers: every unbroken arc of directions of every exercise that
    /// fits the time in this dose.
    fn most_of_one_exercise(
        asked: &TaskAsked,
        found: &[Candidate],
        longest: f64,
        (repetitions, rounds): (u8, u8),
    ) -> f64 {
        let mut by_exercise: BTreeMap<String, Vec<&Candidate>> = BTreeMap::new();
        for one in found {
            by_exercise.entry(exercise(one.permitted.spec())).or_default().push(one);
        }
        let mut most: f64 = 0.0;
        for of in by_exercise.values() {
            let way = |c: &Candidate| {
                let spec = c.permitted.spec();
                (spec.bearing.named_from(spec.mover), spec.crossing)
            };
            let mut ways: Vec<_> = of.iter().map(|c| way(c)).collect();
            ways.sort_unstable();
            ways.dedup();
            for start in 0..ways.len() {
                for length in 1..=ways.len() {
                    let arc: Vec<_> = (start..start + length).map(|i| ways[i % ways.len()]).collect();
                    let used: Vec<&Candidate> =
                        of.iter().filter(|c| arc.contains(&way(c))).copied().collect();
                    if seconds(&used, repetitions, rounds, figures()) <= longest {
                        let set: Vec<Profile> = used.iter().filter_map(|c| c.profile.clone()).collect();
                        most = most.max(asked.covered(&set).covered.in_one());
                    }
                }
            }
        }
        most
    }

    /// A whole set, because what is done too seldom is not called covered by the objective: once round the
    /// floor, every direction twice, may touch more parts than a programme that works them.
    #[test]
    fn no_single_exercise_in_a_whole_set_covers_more_of_a_stair_than_the_programme_for_it_and_the_bridge_agrees()
     {
        for file in ["05", "09"] {
            let (case, today) = story(file);
            let person = PersonToday::of(&case, today);
            let engine = Engine { body: &person.body, capacity: &person.capacity };
            let limits = person.limits();
            let watch = crate::progress::Shown(&silent);
            let space = survey(&person, &silent);
            let Ok((found, _)) = candidates(&person, &engine, &space, &limits, &watch);
            let tasks = asked(&person, &case.wishes.goals);
            let found = with_profiles(&person, &tasks, found);
            assert!(found.iter().all(|c| c.profile.is_some()));
            let set = (figures().repetitions_at_most, figures().rounds_at_most);
            let single = most_of_one_exercise(&tasks[0], &found, case.wishes.minutes.in_s(), set);

            let Outcome::Programme(plan) = plan_case(&case, today, &silent) else { panic!("{file}") };
            let covered = &plan.programme.tasks[0];
            assert!(
                single > 0.1 && covered.covered.in_one() >= single - 1e-9,
                "{file}: {} by the programme, {single} by one exercise",
                covered.covered
            );

            // What the bridge tells of the programme, and of its movements as sentences.
            let table = bridge_case(&case, today, &[GoalTask::UpStair], &[], &silent)
                .unwrap_or_else(|e| panic!("{e}"));
            assert_eq!(table.together[0], *covered, "{file}");
            assert!(table.text(false).contains(&format!("- {covered}\n")), "{file}");
            assert!(plan.programme.why[1].contains(&format!("It covers {covered}.")), "{file}");
            for side in Side::BOTH {
                assert!(table.tasks.iter().any(|row| row.mover == side));
            }
        }
    }
}
