//! What a publication claims about several movements, muscles or legs, and whether numbers bear it out.
//!
//! Knows nothing of the engine: any numbers can be judged, so that an ordering nobody had in mind
//! when this was written is judged by the same rule.

use serde::Deserialize;

/// The shape of a claim over its terms, in the order in which the terms stand.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[serde(tag = "kind", rename_all = "snake_case", deny_unknown_fields)]
pub enum Expectation {
    /// Each term is greater than the next.
    Order,
    /// The first term is greater than every other.
    Greatest,
    /// The first term is less than every other.
    Least,
    /// All terms are about the same.
    Same {
        /// How far the largest may be from the smallest.
        within: f64,
        /// Whether `within` is a share of their mean or in the unit of the measure.
        relative: bool,
    },
    /// The first term is so many per cent above the second.
    Percent {
        /// Per cent.
        by: f64,
        /// Accepted deviation in points of per cent.
        within: f64,
    },
    /// The first term is such a share of the sum of all.
    ShareOfSum {
        /// The share.
        share: f64,
        /// Accepted deviation.
        within: f64,
    },
    /// Every term rises from its first movement to its last, and the first term most, the next less.
    SlopeOrder,
    /// Every term rises from each of its movements to the next.
    Rises,
    /// From its first movement to its last the first term changes less than every other, up or down.
    ChangesLeast,
    /// No term changes over its movements.
    Flat {
        /// How far the largest may be from the smallest.
        within: f64,
        /// Whether `within` is a share of their mean or in the unit of the measure.
        relative: bool,
    },
}

/// A claim with its expectation and the difference below which two values count as the same.
#[derive(Clone, Debug, PartialEq)]
pub struct Claim {
    /// The shape.
    pub expect: Expectation,
    /// Values closer than this share of the larger count as the same.
    pub same_within: f64,
}

/// What numbers say to a claim.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Outcome {
    /// They bear it out.
    Holds,
    /// They are too close to one another to say.
    TooClose,
    /// They say otherwise.
    Fails,
}

fn mean(values: &[f64]) -> f64 {
    values.iter().sum::<f64>() / values.len() as f64
}

fn spread(values: &[f64]) -> f64 {
    let most = values.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    let least = values.iter().copied().fold(f64::INFINITY, f64::min);
    most - least
}

/// Slope per step of a line through values at 0, 1, 2 … in equal steps unless places are given.
pub(crate) fn slope(values: &[f64], at: &[f64]) -> f64 {
    let (x, y) = (mean(at), mean(values));
    let above: f64 = at.iter().zip(values).map(|(a, v)| (a - x) * (v - y)).sum();
    let below: f64 = at.iter().map(|a| (a - x).powi(2)).sum();
    above / below
}

/// From the first value to the last.
pub(crate) fn change(values: &[f64]) -> f64 {
    values.last().zip(values.first()).map_or(0.0, |(last, first)| last - first)
}

fn descends(values: &[f64], same_within: f64) -> Outcome {
    let mut worst = Outcome::Holds;
    for pair in values.windows(2) {
        let margin = same_within * pair[0].abs().max(pair[1].abs());
        if pair[0] < pair[1] - margin {
            return Outcome::Fails;
        }
        if pair[0] <= pair[1] + margin {
            worst = Outcome::TooClose;
        }
    }
    worst
}

fn within(values: &[f64], limit: f64, relative: bool) -> Outcome {
    let scale = if relative { mean(values).abs() } else { 1.0 };
    if spread(values) <= limit * scale { Outcome::Holds } else { Outcome::Fails }
}

/// Percentage by which the first is above the second.
pub(crate) fn percent_above(first: f64, second: f64) -> f64 {
    (first / second - 1.0) * 100.0
}

/// Judges values. `terms` holds for each term one value a movement; `at` is the place of each
/// movement on the axis along which a slope is meant (such as the load carried).
///
/// Terms of several movements count with their mean where the claim is not about a change.
#[must_use]
pub fn outcome(claim: &Claim, terms: &[Vec<f64>], at: &[f64]) -> Outcome {
    let means: Vec<f64> = terms.iter().map(|values| mean(values)).collect();
    match &claim.expect {
        Expectation::Order => descends(&means, claim.same_within),
        Expectation::Greatest => means[1..]
            .iter()
            .map(|other| descends(&[means[0], *other], claim.same_within))
            .fold(Outcome::Holds, worse),
        Expectation::Least => means[1..]
            .iter()
            .map(|other| descends(&[*other, means[0]], claim.same_within))
            .fold(Outcome::Holds, worse),
        Expectation::Same { within: limit, relative } => within(&means, *limit, *relative),
        Expectation::Percent { by, within } => {
            let off = percent_above(means[0], means[1]) - by;
            if off.abs() <= *within { Outcome::Holds } else { Outcome::Fails }
        }
        Expectation::ShareOfSum { share, within } => {
            let off = means[0] / means.iter().sum::<f64>() - share;
            if off.abs() <= *within { Outcome::Holds } else { Outcome::Fails }
        }
        Expectation::SlopeOrder => {
            let slopes: Vec<f64> = terms.iter().map(|values| slope(values, at)).collect();
            if slopes.iter().any(|s| *s < 0.0) {
                return Outcome::Fails;
            }
            descends(&slopes, claim.same_within)
        }
        Expectation::Rises => terms
            .iter()
            .map(|values| {
                let down: Vec<f64> = values.iter().rev().copied().collect();
                descends(&down, claim.same_within)
            })
            .fold(Outcome::Holds, worse),
        Expectation::ChangesLeast => {
            let changes: Vec<f64> = terms.iter().map(|values| change(values).abs()).collect();
            changes[1..]
                .iter()
                .map(|other| descends(&[*other, changes[0]], claim.same_within))
                .fold(Outcome::Holds, worse)
        }
        Expectation::Flat { within: limit, relative } => {
            terms.iter().map(|values| within(values, *limit, *relative)).fold(Outcome::Holds, worse)
        }
    }
}

fn worse(a: Outcome, b: Outcome) -> Outcome {
    match (a, b) {
        (Outcome::Fails, _) | (_, Outcome::Fails) => Outcome::Fails,
        (Outcome::TooClose, _) | (_, Outcome::TooClose) => Outcome::TooClose,
        _ => Outcome::Holds,
    }
}

#[cfg(test)]
mod tests {
    use super::{Claim, Expectation, Outcome, outcome};

    fn judged(expect: Expectation, terms: &[Vec<f64>], at: &[f64]) -> Outcome {
        outcome(&Claim { expect, same_within: 0.02 }, terms, at)
    }

    #[test]
    fn an_order_holds_only_when_every_step_is_clear_and_fails_when_one_is_reversed() {
        let order = |values: &[f64]| {
            judged(Expectation::Order, &values.iter().map(|v| vec![*v]).collect::<Vec<_>>(), &[])
        };
        assert_eq!(order(&[3.0, 2.0, 1.0]), Outcome::Holds);
        assert_eq!(order(&[3.0, 2.99, 1.0]), Outcome::TooClose);
        assert_eq!(order(&[3.0, 1.0, 2.0]), Outcome::Fails);
    }

    #[test]
    fn the_greatest_and_the_least_need_no_order_among_the_others() {
        let terms = [vec![1.0], vec![3.0], vec![2.0]];
        assert_eq!(judged(Expectation::Least, &terms, &[]), Outcome::Holds);
        assert_eq!(judged(Expectation::Greatest, &terms, &[]), Outcome::Fails);
    }

    #[test]
    fn groups_count_with_their_mean() {
        let terms = [vec![1.0, 5.0], vec![2.0, 2.0]];
        assert_eq!(judged(Expectation::Order, &terms, &[]), Outcome::Holds);
    }

    #[test]
    fn per_cent_is_of_the_second_term() {
        let percent = |by| Expectation::Percent { by, within: 1.0 };
        let terms = [vec![1.25], vec![1.0]];
        assert_eq!(judged(percent(25.0), &terms, &[]), Outcome::Holds);
        assert_eq!(judged(percent(20.0), &terms, &[]), Outcome::Fails);
    }

    #[test]
    fn slopes_are_against_the_places_given_and_must_rise() {
        let at = [0.0, 1.0, 4.0];
        let steep = vec![0.0, 2.0, 8.0];
        let gentle = vec![5.0, 6.0, 9.0];
        assert_eq!(judged(Expectation::SlopeOrder, &[steep.clone(), gentle.clone()], &at), Outcome::Holds);
        assert_eq!(judged(Expectation::SlopeOrder, &[gentle, steep], &at), Outcome::Fails);
        let falling = vec![1.0, 0.5, 0.0];
        assert_eq!(judged(Expectation::SlopeOrder, &[vec![0.0, 1.0, 2.0], falling], &at), Outcome::Fails);
    }

    #[test]
    fn what_changes_least_is_told_by_size_up_or_down_and_not_by_where_it_starts() {
        let least = |terms: &[Vec<f64>]| judged(Expectation::ChangesLeast, terms, &[]);
        let (small, up, down) = (vec![9.0, 9.1], vec![1.0, 2.0], vec![5.0, 3.0]);
        assert_eq!(least(&[small.clone(), up.clone(), down.clone()]), Outcome::Holds);
        assert_eq!(least(&[up.clone(), small, down.clone()]), Outcome::Fails);
        assert_eq!(least(&[up, vec![4.0, 3.0], down]), Outcome::TooClose);
    }

    #[test]
    fn flat_means_every_term_by_itself() {
        let flat = Expectation::Flat { within: 0.1, relative: true };
        assert_eq!(judged(flat.clone(), &[vec![1.0, 1.05], vec![9.0, 9.5]], &[]), Outcome::Holds);
        assert_eq!(judged(flat, &[vec![1.0, 1.05], vec![9.0, 12.0]], &[]), Outcome::Fails);
    }
}
