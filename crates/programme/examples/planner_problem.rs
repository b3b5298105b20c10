//! Writes an invented planning problem with our own answer as JSON, for another solver to solve:
//! `planner_problem MOVEMENTS SEED`.

use std::time::Instant;

use programme::trial::Trial;

fn main() {
    let mut asked = std::env::args().skip(1);
    let mut number = |name: &str| -> u64 {
        let given = asked.next().unwrap_or_default();
        given.parse().unwrap_or_else(|_| panic!("{name}: `{given}` is not a whole number"))
    };
    let (movements, seed) = (number("MOVEMENTS"), number("SEED"));
    let trial = Trial::invented(seed, usize::try_from(movements).unwrap_or(usize::MAX));
    let start = Instant::now();
    let answer = trial.answer(1);
    let whole = start.elapsed().as_secs_f64();
    let told = serde_json::json!({
        "movements": movements,
        "seed": seed,
        "terms": trial.terms(),
        "choices": trial.choices(),
        "answer": answer,
        "seconds_of_ours": whole,
    });
    println!("{told}");
}
