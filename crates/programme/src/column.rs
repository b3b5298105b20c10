//! The choices of one kind as columns of whole numbers, and the best of them within any time.
//!
//! Gains and times are counted in units of [`EQUAL`], so that sums do not depend on their order and
//! equal means equal. What a gain of a goal counts in first, second and third place is kept as
//! three columns.

use crate::choose::{Terms, whole};
use crate::option::{Choice, Kind};

/// How one exercise of a set counts for one goal in a relaxed problem: whether it may be the first
/// and whether it may be among the first two, each known or open.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum Rank {
    /// It is.
    In,
    /// It is not.
    Out,
    /// Not decided: counts what lies above the threshold.
    Open,
}

/// Thresholds of one goal: of the step from second to first place, and from third to second.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(crate) struct Thresholds {
    pub first: i64,
    pub second: i64,
}

/// The choices of one kind, the shortest first, then in the order of the choices.
#[derive(Clone, Debug)]
pub(crate) struct Columns {
    pub kind: Kind,
    /// Which choice each row is.
    pub choice: Vec<usize>,
    /// Time of each row, with what is needed to change to it.
    seconds: Vec<i64>,
    /// By goal and place, what each row counts.
    places: Vec<[Vec<i64>; 3]>,
}

/// One step of a frontier: within this time nothing is worth more.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Step {
    pub seconds: i64,
    pub value: i64,
    /// Row of the columns.
    pub row: usize,
}

impl Columns {
    /// The columns of all choices of this kind.
    pub(crate) fn of(kind: Kind, choices: &[Choice], terms: &Terms<'_>) -> Self {
        let mut rows: Vec<(i64, usize)> = choices
            .iter()
            .enumerate()
            .filter(|(_, c)| c.kind == kind)
            .map(|(i, c)| (whole(c.seconds), i))
            .collect();
        rows.sort_unstable();
        let again = [1.0, terms.again, terms.again * terms.again];
        let column = |g: usize, weight: f64| -> Vec<i64> {
            rows.iter().map(|(_, i)| whole(weight * choices[*i].gains[g])).collect()
        };
        let places = terms
            .weights
            .iter()
            .enumerate()
            .map(|(g, weight)| again.map(|counts| column(g, weight * counts)))
            .collect();
        Self {
            kind,
            choice: rows.iter().map(|(_, i)| *i).collect(),
            seconds: rows.iter().map(|(s, _)| *s).collect(),
            places,
        }
    }

    /// What a row counts for a goal in first, second and third place.
    pub(crate) fn counts(&self, goal: usize, row: usize) -> [i64; 3] {
        let [first, second, third] = &self.places[goal];
        [first[row], second[row], third[row]]
    }

    /// The most that any row counts for a goal, by place.
    pub(crate) fn most(&self, goal: usize) -> [i64; 3] {
        [0, 1, 2].map(|place| self.places[goal][place].iter().copied().max().unwrap_or(0))
    }

    /// The rows that are worth more than every shorter one, where each goal counts as its ranks say:
    /// first place, and among the first two. Of equal rows the first stands.
    pub(crate) fn frontier(&self, ranks: &[(Rank, Rank)], thresholds: &[Thresholds]) -> Vec<Step> {
        let mut worth = vec![0_i64; self.seconds.len()];
        for ((places, (first, second)), threshold) in self.places.iter().zip(ranks).zip(thresholds) {
            add(&mut worth, places, (*first, *second), *threshold);
        }
        let mut out: Vec<Step> = Vec::new();
        for (row, (seconds, value)) in self.seconds.iter().zip(&worth).enumerate() {
            let step = Step { seconds: *seconds, value: *value, row };
            match out.last_mut() {
                Some(last) if last.value >= *value => {}
                Some(last) if last.seconds == *seconds => *last = step,
                _ => out.push(step),
            }
        }
        out
    }
}

/// Adds to each row what it counts for one goal.
fn add(worth: &mut [i64], [q1, q2, q3]: &[Vec<i64>; 3], ranks: (Rank, Rank), at: Thresholds) {
    let rows = worth.iter_mut().zip(q1).zip(q2).zip(q3);
    match ranks {
        (Rank::In, Rank::In) => rows.for_each(|(((w, a), _), _)| *w += a),
        (Rank::Out, Rank::In) => rows.for_each(|(((w, _), b), _)| *w += b),
        (Rank::Open, Rank::In) => rows.for_each(|(((w, a), b), _)| *w += b + (a - b - at.first).max(0)),
        (Rank::In, Rank::Out) => rows.for_each(|(((w, a), b), c)| *w += c + a - b),
        (Rank::Out, Rank::Out) => rows.for_each(|(((w, _), _), c)| *w += c),
        (Rank::Open, Rank::Out) => rows.for_each(|(((w, a), b), c)| *w += c + (a - b - at.first).max(0)),
        (Rank::In, Rank::Open) => {
            rows.for_each(|(((w, a), b), c)| *w += c + (b - c - at.second).max(0) + a - b);
        }
        (Rank::Out, Rank::Open) => rows.for_each(|(((w, _), b), c)| *w += c + (b - c - at.second).max(0)),
        (Rank::Open, Rank::Open) => rows.for_each(|(((w, a), b), c)| {
            *w += c + (b - c - at.second).max(0) + (a - b - at.first).max(0);
        }),
    }
}

/// The best of one step from each frontier within the time: worth most, then shortest, then first in
/// the order of `order`. None where nothing fits, or nothing is worth `at_least`.
pub(crate) fn best_within<'a>(
    frontiers: &[&'a [Step]],
    time: i64,
    at_least: i64,
    order: impl Fn(usize, usize) -> usize,
) -> Option<[&'a Step; 3]> {
    let mut best: Option<(i64, i64, [&Step; 3])> = None;
    let mut offer = |steps: [&'a Step; 3], count: usize| {
        let value: i64 = steps[..count].iter().map(|s| s.value).sum();
        let seconds: i64 = steps[..count].iter().map(|s| s.seconds).sum();
        let better = match &best {
            None => value >= at_least,
            Some((v, s, old)) => {
                (value, -seconds) > (*v, -*s)
                    || ((value, seconds) == (*v, *s) && {
                        let places = |steps: &[&Step; 3]| {
                            (0..count).map(|k| order(k, steps[k].row)).collect::<Vec<usize>>()
                        };
                        places(&steps) < places(old)
                    })
            }
        };
        if better {
            best = Some((value, seconds, steps));
        }
        best.as_ref().map_or(at_least, |(v, ..)| *v)
    };
    let within = |steps: &'a [Step], time: i64| steps.partition_point(|s| s.seconds <= time);
    match frontiers {
        [a] => {
            let step = &a[within(a, time).checked_sub(1)?];
            offer([step; 3], 1);
        }
        [a, b] => pairs(a, b, time, |x, y| {
            offer([x, y, y], 2);
        }),
        [a, b, c] => {
            let least = b.first()?.seconds + c.first()?.seconds;
            let rest = b.last()?.value + c.last()?.value;
            let mut needed = at_least;
            for x in a.iter().take_while(|x| x.seconds + least <= time) {
                if x.value + rest < needed {
                    continue;
                }
                pairs(b, c, time - x.seconds, |y, z| needed = offer([x, y, z], 3));
            }
        }
        _ => {}
    }
    best.map(|(_, _, steps)| steps)
}

/// Every step of `a` with the best step of `b` in what time is left.
fn pairs<'a>(a: &'a [Step], b: &'a [Step], time: i64, mut offer: impl FnMut(&'a Step, &'a Step)) {
    let mut end = b.len();
    for x in a {
        while end > 0 && b[end - 1].seconds + x.seconds > time {
            end -= 1;
        }
        if end == 0 {
            return;
        }
        offer(x, &b[end - 1]);
    }
}
