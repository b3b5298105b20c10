//! A programme beside the life it prepares for.

use app::{TaskOutcome, bridge_case, demo_cases, silent};
use biomech::Whole;
use jiff::civil::date;
use movement::GoalTask;

#[test]
fn a_longer_list_of_movements_covers_no_less_of_turning_at_a_bench_and_every_line_is_an_estimate() {
    let case = demo_cases()[9].read().unwrap_or_else(|e| panic!("{e}"));
    let today = app::day_of(&case, None, date(2000, 1, 1));
    let sentences =
        ["right step anterior 30 cm".to_owned(), "left lunge anterolateral 50 cm depth 14 cm".to_owned()];
    let covered = |count: usize| {
        let table = bridge_case(&case, today, &[GoalTask::TurnAtBench], &sentences[..count], &silent)
            .unwrap_or_else(|e| panic!("{e}"));
        assert_eq!((table.movements.len(), table.tasks.len()), (count, 2), "{:?}", table.note);
        let text = table.text(true);
        assert!(text.contains("all are estimates") && text.contains("estimates: joint motions"), "{text}");
        table.tasks.into_iter().map(|row| match row.outcome {
            TaskOutcome::Covered { coverage } => match coverage.motions {
                Whole::Share { covered, .. } => covered.in_one(),
                Whole::Unknown => 0.0,
            },
            TaskOutcome::NotPossible { why } => panic!("{why}"),
        })
    };
    let (one, two): (Vec<f64>, Vec<f64>) = (covered(1).collect(), covered(2).collect());
    assert!(one.iter().zip(&two).all(|(a, b)| a <= b), "{one:?} {two:?}");
    assert!(one.iter().zip(&two).any(|(a, b)| a < b), "a lunge adds something: {one:?} {two:?}");
}
