//! What each of several programmes gives every goal, and what is traded by taking it.

use person::Goal;

use crate::Figures;
use crate::choose::{Best, value};
use crate::words::{goal_name, list};

/// By programme: what it gives each goal, and what it trades, in whole sentences.
pub(crate) fn trade(programmes: &[Best], goals: &[Goal], figures: &Figures) -> Vec<(Vec<f64>, String)> {
    let gives: Vec<Vec<f64>> = programmes
        .iter()
        .map(|programme| {
            (0..goals.len())
                .map(|g| {
                    let of_goal = programme.chosen.iter().map(|c| &c.gains[g..=g]);
                    value(of_goal, &[1.0], figures.second_exercise_counts)
                })
                .collect()
        })
        .collect();
    (0..programmes.len()).map(|i| (gives[i].clone(), told(i, programmes, &gives, goals, figures))).collect()
}

/// Goals for which `a` gives clearly more than `b`.
fn more(a: &[f64], b: &[f64], goals: &[Goal], figures: &Figures) -> Vec<String> {
    let clearly = |g: &usize| a[*g] - b[*g] >= figures.clearly_more;
    (0..goals.len()).filter(clearly).map(|g| goal_name(&goals[g].kind)).collect()
}

fn told(i: usize, programmes: &[Best], gives: &[Vec<f64>], goals: &[Goal], figures: &Figures) -> String {
    if i == 0 {
        let mut parts: Vec<String> = Vec::new();
        for (k, name) in [(1, "second"), (2, "third")] {
            let Some(other) = gives.get(k) else { continue };
            let goals = more(other, &gives[0], goals, figures);
            if !goals.is_empty() {
                parts.push(format!("the {name} gives more for {}", list(&goals)));
            }
        }
        return match (programmes.len(), parts.is_empty()) {
            (1, _) => "There is no programme with other exercises.".to_owned(),
            (_, true) => "It gives up nothing for which one of the others is clearly better.".to_owned(),
            (_, false) => format!("It serves the goals best together; {}.", list(&parts)),
        };
    }
    let less = more(&gives[0], &gives[i], goals, figures);
    let gained = more(&gives[i], &gives[0], goals, figures);
    let percent = 100.0 * (1.0 - programmes[i].score / programmes[0].score);
    let mut parts = Vec::new();
    if !less.is_empty() {
        parts.push(format!("less for {}", list(&less)));
    }
    if !gained.is_empty() {
        parts.push(format!("more for {}", list(&gained)));
    }
    let seconds = programmes[i].seconds - programmes[0].seconds;
    if seconds.abs() >= 1.0 {
        let way = if seconds < 0.0 { "shorter" } else { "longer" };
        parts.push(format!("{:.0} s {way}", seconds.abs()));
    }
    let beside = if parts.is_empty() { "about the same for every goal".to_owned() } else { list(&parts) };
    format!("Beside the first it serves the goals {percent:.0} % less well: {beside}.")
}
