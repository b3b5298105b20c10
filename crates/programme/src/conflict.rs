//! Wishes that no programme serves together, and the fewest that have to be dropped.
//!
//! A goal is served when one exercise gives it at least the named share of a whole set. For a set of
//! goals the least time of at most `k` exercises of different families that serve all of them is
//! computed exactly, family after family (`least[count][goals]`, all subsets of the goals). Wishes
//! are the goals and the time; the answer is every smallest set of wishes without which the rest is
//! possible, by trying sets of one wish, then two, and so on.

use std::collections::BTreeMap;

use movement::Family;
use person::Goal;
use quantity::Span;
use serde::Serialize;

use crate::Figures;
use crate::choose::Terms;
use crate::option::Choice;
use crate::words::{capital, goal_name, list, time};

/// One wish that could be dropped.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[serde(rename_all = "snake_case", tag = "wish")]
pub enum Wish {
    /// This goal, in words.
    Goal {
        /// Such as `control going lateral`.
        name: String,
    },
    /// The time: the rest needs this much.
    Minutes {
        /// Least time of a programme that serves the rest.
        needed: Span,
    },
}

impl std::fmt::Display for Wish {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Self::Goal { name } => write!(f, "drop {name}"),
            Self::Minutes { needed } => write!(f, "give it {}", time(*needed)),
        }
    }
}

/// No programme serves all wishes; each of these sets, dropped, makes the rest possible, and no
/// smaller set does.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Conflict {
    /// Sets of the same, smallest size; the least heavy goals first.
    pub drop: Vec<Vec<Wish>>,
}

impl std::fmt::Display for Conflict {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let sets: Vec<String> = self
            .drop
            .iter()
            .map(|set| list(&set.iter().map(ToString::to_string).collect::<Vec<_>>()))
            .collect();
        write!(f, "No programme serves all wishes: {}.", capital(&sets.join(", or ")))
    }
}

/// More goals than this are not asked about: the table doubles with each.
const GOALS_AT_MOST: usize = 10;

/// Exercises at most, by how many of them there are in a table.
const EXERCISES: usize = 3;

/// The fewest wishes to drop; none when all are served together, or when there are too many goals.
pub(crate) fn conflict(
    choices: &[Choice],
    goals: &[Goal],
    terms: Terms<'_>,
    figures: &Figures,
) -> Option<Conflict> {
    if goals.is_empty() || goals.len() > GOALS_AT_MOST {
        return None;
    }
    let all = (1_usize << goals.len()) - 1;
    let least = least_seconds(choices, goals.len(), terms, figures.served_at_least);
    let longest = figures.minutes_at_most.in_s().max(terms.time_s);
    if least[all] <= terms.time_s {
        return None;
    }
    // Dropping the time means the longest that is ever given.
    let wishes = goals.len() + 1;
    let size = |set: usize| (set as u64).count_ones();
    let possible = |dropped: usize| {
        let kept = all & !dropped;
        let time = if dropped >> goals.len() == 1 { longest } else { terms.time_s };
        least[kept] <= time
    };
    let smallest = (1..1_usize << wishes).filter(|set| possible(*set)).map(size).min()?;
    let mut sets: Vec<usize> =
        (1..1_usize << wishes).filter(|set| size(*set) == smallest && possible(*set)).collect();
    let weight = |set: usize| -> f64 {
        goals.iter().enumerate().filter(|(g, _)| set >> g & 1 == 1).map(|(_, goal)| goal.weight).sum()
    };
    sets.sort_by(|a, b| weight(*a).total_cmp(&weight(*b)).then(a.cmp(b)));
    let drop = sets
        .into_iter()
        .map(|set| {
            let named = goals.iter().enumerate().filter(|(g, _)| set >> g & 1 == 1);
            let mut wishes: Vec<Wish> =
                named.map(|(_, goal)| Wish::Goal { name: goal_name(&goal.kind) }).collect();
            if set >> goals.len() == 1 {
                wishes.push(Wish::Minutes { needed: Span::s(least[all & !set]) });
            }
            wishes
        })
        .collect();
    Some(Conflict { drop })
}

/// By set of goals, the least seconds that serve all of it; infinite when nothing does.
fn least_seconds(choices: &[Choice], goals: usize, terms: Terms<'_>, served: f64) -> Vec<f64> {
    let sets = 1_usize << goals;
    let mut by_family: BTreeMap<Family, Vec<f64>> = BTreeMap::new();
    for choice in choices {
        let set: usize = (0..goals).filter(|g| choice.gains[*g] >= served).map(|g| 1 << g).sum();
        let least = by_family.entry(choice.kind.family).or_insert_with(|| vec![f64::INFINITY; sets]);
        least[set] = least[set].min(choice.seconds);
    }
    // After some families: by count of exercises and set served.
    let most = terms.most.min(EXERCISES);
    let mut least = vec![vec![f64::INFINITY; sets]; most + 1];
    least[0][0] = 0.0;
    for family in by_family.values() {
        let before = least.clone();
        for count in 0..most {
            let change = if count > 0 { terms.change_s } else { 0.0 };
            for (set, seconds) in before[count].iter().enumerate().filter(|(_, s)| s.is_finite()) {
                for (more, added) in family.iter().enumerate().filter(|(_, s)| s.is_finite()) {
                    let slot = &mut least[count + 1][set | more];
                    *slot = slot.min(seconds + change + added);
                }
            }
        }
    }
    // What serves more serves less.
    (0..sets)
        .map(|wanted| {
            let serving = (0..sets).filter(|set| set & wanted == wanted);
            serving.flat_map(|set| least.iter().map(move |of| of[set])).fold(f64::INFINITY, f64::min)
        })
        .collect()
}
