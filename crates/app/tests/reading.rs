//! What was odd when a physiotherapist read the programmes of the invented people, and must not come back.

use app::{Outcome, PersonToday, Plan, day_of, demo_cases, plan_case, silent};
use jiff::civil::{Date, date};
use movement::{Family, HandHeight};
use person::{CaseFile, GoalKind};

fn planned() -> Vec<(&'static str, CaseFile, Date, Box<Plan>)> {
    demo_cases()
        .iter()
        .filter_map(|demo| {
            let case = demo.read().unwrap_or_else(|e| panic!("{e}"));
            let today = day_of(&case, None, date(2000, 1, 1));
            match plan_case(&case, today, &silent) {
                Outcome::Programme(plan) => Some((demo.file, case, today, plan)),
                Outcome::Alert(_) | Outcome::NoProgramme(_) => None,
            }
        })
        .collect()
}

#[test]
fn programmes_read_as_a_therapist_would_give_them() {
    let mut early = 0;
    let mut anterior_by_foot = 0;
    for (name, case, today, plan) in planned() {
        let wished =
            |direction| case.wishes.goals.iter().any(|goal| goal.kind == GoalKind::Control { direction });
        let person = PersonToday::of(&case, today);
        let moves: Vec<_> = plan
            .programme
            .exercises
            .iter()
            .flat_map(|exercise| &exercise.limbs)
            .flat_map(|limb| &limb.movements)
            .collect();
        if person.is_early() {
            early += 1;
            for one in &moves {
                // Single plane before crossing, high before low.
                let direction = one.spec().bearing.named_from(one.spec().mover);
                assert!(!one.spec().crosses() || wished(direction), "{name}: {}", one.spec().sentence());
                let low = one.spec().hand_height.is_some_and(|hand| hand > HandHeight::Knee);
                assert!(!low, "{name}: {}", one.spec().sentence());
            }
        }
        // Each limb begins where the eyes are.
        for limb in plan.programme.exercises.iter().flat_map(|exercise| &exercise.limbs) {
            let directions: Vec<_> =
                limb.movements.iter().map(|one| one.spec().bearing.named_from(limb.mover)).collect();
            assert!(directions.is_sorted(), "{name}: {directions:?}");
        }
        // Control of a direction is trained by a foot that goes there, wherever a foot may.
        for goal in &case.wishes.goals {
            let GoalKind::Control { direction } = goal.kind else { continue };
            let by_foot = moves.iter().any(|one| {
                one.spec().family != Family::BendAndReach
                    && one.spec().bearing.named_from(one.spec().mover) == direction
            });
            assert!(by_foot, "{name}: {direction} is left to the hands");
            anterior_by_foot += 1;
        }
    }
    assert!(early >= 4 && anterior_by_foot >= 8, "{early}, {anterior_by_foot}");
}
