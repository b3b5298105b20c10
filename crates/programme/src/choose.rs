//! The exact choice of at most three exercises within the time.
//!
//! Maximise over sets `P` of at most `k ≤ 3` exercises of different families
//!
//! ```text
//! J(P) = Σ_g w_g Σ_i r^(i−1) a_g(i)        subject to   Σ_{e∈P} t_e + (|P|−1)·t_change ≤ T
//! ```
//!
//! where `w_g > 0` is the weight of goal `g`, `a_g(1) ≥ a_g(2) ≥ a_g(3)` are the gains of the
//! chosen exercises for that goal in falling order (each between 0 and 1), `r` is how much the
//! second exercise for the same goal counts, `t_e` the time of an exercise and `T` the time
//! there is. Among equals the shorter programme wins, then the first in the order of families.
//!
//! Adding an exercise raises `J` by at most its own weighted gain `v_e = Σ_g w_g a_g(e)` (it
//! enters each falling order at some place and can only push others back). With the choices of a
//! family sorted by falling `v`, the search stops as soon as `J` so far plus what the remaining
//! slots could add at most cannot pass the best; nothing is lost by that.

use crate::option::Choice;

/// The best set and its value.
#[derive(Clone, Debug)]
pub(crate) struct Best {
    pub chosen: Vec<Choice>,
    pub score: f64,
    pub seconds: f64,
}

struct Search<'a> {
    families: Vec<Vec<(f64, &'a Choice)>>,
    weights: &'a [f64],
    again: f64,
    change_s: f64,
    time_s: f64,
    most: usize,
    best_score: f64,
    best_seconds: f64,
    best: Vec<&'a Choice>,
}

/// The value of a set of choices.
pub(crate) fn objective(chosen: &[&Choice], weights: &[f64], again: f64) -> f64 {
    let mut total = 0.0;
    let mut gains: Vec<f64> = Vec::with_capacity(chosen.len());
    for (g, weight) in weights.iter().enumerate() {
        gains.clear();
        gains.extend(chosen.iter().map(|c| c.gains[g]));
        gains.sort_by(|a, b| b.total_cmp(a));
        let mut counts = 1.0;
        for gain in &gains {
            total += weight * counts * gain;
            counts *= again;
        }
    }
    total
}

/// Chooses at most `most` choices, one from each family at most.
pub(crate) fn choose(
    families: &[Vec<Choice>],
    weights: &[f64],
    again: f64,
    change_s: f64,
    time_s: f64,
    most: usize,
) -> Best {
    let families = families
        .iter()
        .map(|choices| {
            let mut sorted: Vec<(f64, &Choice)> =
                choices.iter().map(|c| (c.gains.iter().zip(weights).map(|(a, w)| a * w).sum(), c)).collect();
            sorted.sort_by(|(va, a), (vb, b)| vb.total_cmp(va).then(a.seconds.total_cmp(&b.seconds)));
            sorted
        })
        .collect();
    let mut search = Search {
        families,
        weights,
        again,
        change_s,
        time_s,
        most,
        best_score: 0.0,
        best_seconds: 0.0,
        best: Vec::new(),
    };
    search.extend(0, &mut Vec::new(), 0.0, 0.0);
    Best {
        chosen: search.best.into_iter().cloned().collect(),
        score: search.best_score,
        seconds: search.best_seconds,
    }
}

/// Two values of the objective nearer than this are equal: rounding, not meaning.
const EQUAL: f64 = 1e-9;

impl<'a> Search<'a> {
    fn extend(&mut self, from: usize, chosen: &mut Vec<&'a Choice>, score: f64, seconds: f64) {
        if chosen.len() == self.most {
            return;
        }
        for family in from..self.families.len() {
            // What the slots after this one could add at most.
            let mut later: Vec<f64> =
                self.families[family + 1..].iter().filter_map(|f| f.first().map(|(v, _)| *v)).collect();
            later.sort_by(|a, b| b.total_cmp(a));
            let later: f64 = later.iter().take(self.most - chosen.len() - 1).sum();
            for i in 0..self.families[family].len() {
                let (value, choice) = self.families[family][i];
                if score + value + later < self.best_score - EQUAL {
                    break;
                }
                let change = if chosen.is_empty() { 0.0 } else { self.change_s };
                let now = seconds + change + choice.seconds;
                if now > self.time_s {
                    continue;
                }
                chosen.push(choice);
                let reached = objective(chosen, self.weights, self.again);
                let better = reached > self.best_score + EQUAL
                    || (reached > self.best_score - EQUAL
                        && reached > EQUAL
                        && now < self.best_seconds - EQUAL);
                if better {
                    self.best_score = reached;
                    self.best_seconds = now;
                    self.best.clone_from(chosen);
                }
                self.extend(family + 1, chosen, reached, now);
                chosen.pop();
            }
        }
    }
}
