//! How well a quantity separates two groups, and how often chance alone separates as well when many were tried.
//!
//! With `n₁` values of one group and `n₀` of the other the area under the curve is
//! `A = (#{x₁ > x₀} + ½ #{x₁ = x₀}) / (n₁ n₀)`: the probability that one drawn from the first group is the larger.
//! Of `Q` quantities of the same items, the probability that chance gives some area as large as `A_q` is the share
//! of all arrangements of the group labels over the items in which `max_q A_q` reaches it (Westfall and Young):
//! counted one by one while there are few, else drawn with a seed. Correlated quantities cost what they cost and
//! no more. The items are taken as exchangeable: nothing else about them decides which group they fall in.

use super::Problem;

/// How well each of several quantities separates the same items.
#[derive(Clone, Debug, PartialEq)]
pub struct Separation {
    /// The area of each quantity, in order.
    pub areas: Vec<f64>,
    /// For each, the probability that chance gives some quantity an area as large.
    pub chances: Vec<f64>,
    /// Arrangements that were looked at.
    pub arrangements: usize,
    /// Whether those were all there are.
    pub exact: bool,
}

/// Separates the items marked in `first` from the others by each column of values.
///
/// # Errors
/// A group is empty, a column has another length, or a value is no number.
///
/// ```
/// use measurement::statistics::separation::separate;
/// let s = separate(&[true, true, true, false, false], &[vec![3.0, 4.0, 5.0, 1.0, 2.0]], 1000, 7)?;
/// assert_eq!(s.areas, [1.0]);
/// assert!((s.chances[0] - 0.1).abs() < 1e-12); // one of the ten arrangements
/// # Ok::<(), measurement::statistics::Problem>(())
/// ```
pub fn separate(
    first: &[bool],
    columns: &[Vec<f64>],
    at_most: usize,
    seed: u64,
) -> Result<Separation, Problem> {
    let marked = first.iter().filter(|one| **one).count();
    for (what, given) in
        [("items of the first group", marked), ("items of the second group", first.len() - marked)]
    {
        if given == 0 {
            return Err(Problem::TooFew { what, given, least: 1 });
        }
    }
    let ranks = columns.iter().map(|column| ranked(first.len(), column)).collect::<Result<Vec<_>, _>>()?;
    let of = |marks: &[bool], ranks: &[f64]| area(marks, ranks, marked);
    let areas: Vec<f64> = ranks.iter().map(|ranks| of(first, ranks)).collect();
    let largest = |marks: &[bool]| ranks.iter().map(|ranks| of(marks, ranks)).fold(0.0, f64::max);
    let mut as_large = vec![0_usize; areas.len()];
    let mut count = |marks: &[bool]| {
        let most = largest(marks);
        for (n, area) in as_large.iter_mut().zip(&areas) {
            *n += usize::from(most >= area - 1e-9);
        }
    };
    let exact = combinations(first.len(), marked).is_some_and(|all| all <= at_most);
    let mut arrangements = 0;
    if exact {
        let mut places: Vec<usize> = (0..marked).collect();
        loop {
            let mut marks = vec![false; first.len()];
            places.iter().for_each(|place| marks[*place] = true);
            count(&marks);
            arrangements += 1;
            if !next_combination(&mut places, first.len()) {
                break;
            }
        }
    } else {
        // The arrangement that was found is one of them.
        count(first);
        let (mut marks, mut dice) = (first.to_vec(), Dice(seed));
        for _ in 0..at_most {
            for at in (1..marks.len()).rev() {
                marks.swap(at, dice.below(at + 1));
            }
            count(&marks);
        }
        arrangements = at_most + 1;
    }
    #[allow(clippy::cast_precision_loss)] // counts of arrangements
    let chances = as_large.into_iter().map(|n| n as f64 / arrangements as f64).collect();
    Ok(Separation { areas, chances, arrangements, exact })
}

/// An interval for an area, by the score-like method 5 of newcombe2006: the areas `θ` with
/// `|A − θ| ≤ z √V(θ)`, `V(θ) = θ(1−θ) [1 + N (1−θ)/(2−θ) + N θ/(1+θ)] / (n₁ n₀)`, `N = (n₁ + n₀)/2 − 1`. It does
/// not shrink to a point where the groups do not overlap.
#[must_use]
pub fn area_interval(area: f64, first: usize, second: usize, z: f64) -> (f64, f64) {
    #[allow(clippy::cast_precision_loss)] // sizes of groups
    let (m, n) = (first as f64, second as f64);
    let more = (m + n) / 2.0 - 1.0;
    let error = |theta: f64| {
        let by = 1.0 + more * (1.0 - theta) / (2.0 - theta) + more * theta / (1.0 + theta);
        z * (theta * (1.0 - theta) * by / (m * n)).max(0.0).sqrt()
    };
    let end = |mut inside: f64, mut outside: f64| {
        for _ in 0..60 {
            let middle = (inside + outside) / 2.0;
            if (area - middle).abs() <= error(middle) { inside = middle } else { outside = middle }
        }
        inside
    };
    (end(area, 0.0), end(area, 1.0))
}

/// Spearman's rank correlation; `None` where one of the two does not vary.
#[must_use]
pub fn rank_correlation(x: &[f64], y: &[f64]) -> Option<f64> {
    let (x, y) = (ranked(x.len(), x).ok()?, ranked(x.len(), y).ok()?);
    #[allow(clippy::cast_precision_loss)] // sizes of samples
    let mean = (x.len() as f64 + 1.0) / 2.0;
    let sum = |a: &[f64], b: &[f64]| a.iter().zip(b).map(|(a, b)| (a - mean) * (b - mean)).sum::<f64>();
    let (xx, yy) = (sum(&x, &x), sum(&y, &y));
    (xx > 0.0 && yy > 0.0).then(|| sum(&x, &y) / (xx * yy).sqrt())
}

/// Ranks from 1; equal values share the middle one. Values that differ by rounding only count as equal.
fn ranked(items: usize, values: &[f64]) -> Result<Vec<f64>, Problem> {
    if values.len() != items {
        return Err(Problem::Unequal { what: "items and values", first: items, second: values.len() });
    }
    if let Some(at) = values.iter().position(|value| !value.is_finite()) {
        let given = values[at].to_string();
        return Err(Problem::NotANumber { what: "values to separate by", at: at + 1, given });
    }
    let mut order: Vec<usize> = (0..items).collect();
    order.sort_by(|a, b| values[*a].total_cmp(&values[*b]));
    let mut out = vec![0.0; items];
    for same in order.chunk_by(|a, b| (values[*a] - values[*b]).abs() < 1e-9) {
        let first = order.iter().position(|at| at == &same[0]).unwrap_or(0);
        #[allow(clippy::cast_precision_loss)] // places in a sample
        let middle = (2 * first + same.len() + 1) as f64 / 2.0;
        same.iter().for_each(|at| out[*at] = middle);
    }
    Ok(out)
}

/// From the sum of ranks to the area.
fn area(marks: &[bool], ranks: &[f64], marked: usize) -> f64 {
    #[allow(clippy::cast_precision_loss)] // sizes of groups
    let (m, n) = (marked as f64, (marks.len() - marked) as f64);
    let sum: f64 = marks.iter().zip(ranks).filter(|(mark, _)| **mark).map(|(_, rank)| rank).sum();
    (sum - m * (m + 1.0) / 2.0) / (m * n)
}

/// `n` over `k`, `None` where it is too large to count.
fn combinations(n: usize, k: usize) -> Option<usize> {
    (0..k.min(n - k)).try_fold(1_usize, |all, at| Some(all.checked_mul(n - at)? / (at + 1)))
}

/// The next way to choose as many of `of` places; `false` after the last.
fn next_combination(places: &mut [usize], of: usize) -> bool {
    let k = places.len();
    let Some(at) = (0..k).rev().find(|at| places[*at] < of - k + at) else { return false };
    places[at] += 1;
    for next in at + 1..k {
        places[next] = places[next - 1] + 1;
    }
    true
}

/// A generator with a fixed seed (splitmix64): the same input gives the same answer.
struct Dice(u64);

impl Dice {
    fn below(&mut self, end: usize) -> usize {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        z ^= z >> 31;
        #[allow(clippy::cast_possible_truncation)] // below `end`, which is a usize
        let place = ((u128::from(z) * (end as u128)) >> 64) as usize;
        place
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// By counting pairs: 7 of 12 pairs are larger and 2 are equal.
    #[test]
    fn the_area_counts_pairs_and_halves_of_ties() {
        let first = [true, true, true, false, false, false, false];
        let column = vec![2.0, 4.0, 5.0, 1.0, 2.0, 4.0, 5.5];
        let s = separate(&first, std::slice::from_ref(&column), 1000, 1).unwrap();
        let (a, b) = column.split_at(3);
        let pairs = a.iter().flat_map(|x| {
            b.iter().map(move |y| {
                if x > y {
                    1.0
                } else if x == y {
                    0.5
                } else {
                    0.0
                }
            })
        });
        assert!((s.areas[0] - pairs.sum::<f64>() / 12.0).abs() < 1e-12);
        assert_eq!((s.exact, s.arrangements), (true, 35), "7 over 3");
    }

    /// 6 of 12 items: 924 arrangements. Drawn ones agree with counted ones within their error.
    #[test]
    fn drawn_arrangements_agree_with_counted_ones() {
        let first: Vec<bool> = (0..12).map(|k| k % 3 != 0 && k < 9 || k == 9).collect();
        let columns: Vec<Vec<f64>> =
            (0..4).map(|q| (0..12).map(|k| f64::from((k * (q + 5) + q) % 13)).collect()).collect();
        let all = separate(&first, &columns, 5000, 1).unwrap();
        let drawn = separate(&first, &columns, 700, 1).unwrap();
        assert!(all.exact && !drawn.exact);
        for (a, b) in all.chances.iter().zip(&drawn.chances) {
            assert!((a - b).abs() < 4.0 * (a * (1.0 - a) / 700.0).sqrt() + 2e-3, "{a} {b}");
        }
        // More quantities make every chance larger, never smaller.
        let one = separate(&first, &columns[..1], 5000, 1).unwrap();
        assert!(one.chances[0] <= all.chances[0]);
    }

    /// Under chance alone a result below 0.05 comes no more often than that, however many were tried.
    #[test]
    fn chance_alone_is_seldom_called_something() {
        let mut dice = Dice(3);
        let mut called = 0;
        for _ in 0..200 {
            let mut first = vec![false; 12];
            (0..5).for_each(|k| first[k] = true);
            for at in (1..12).rev() {
                first.swap(at, dice.below(at + 1));
            }
            #[allow(clippy::cast_precision_loss)] // invented values
            let columns: Vec<Vec<f64>> =
                (0..15).map(|_| (0..12).map(|_| dice.below(1000) as f64).collect()).collect();
            let s = separate(&first, &columns, 1000, 1).unwrap();
            called += usize::from(s.chances.iter().any(|chance| *chance <= 0.05));
        }
        // 10 are expected; 20 would be more than three standard errors away.
        assert!(called < 20, "{called} of 200");
    }

    #[test]
    fn the_interval_holds_the_area_and_is_no_point_where_groups_do_not_overlap() {
        let (low, high) = area_interval(1.0, 3, 5, 1.96);
        assert!(high > 0.999 && (0.4..0.8).contains(&low), "{low} {high}");
        let (more, _) = area_interval(1.0, 30, 50, 1.96);
        assert!(more > low);
        for area in [0.2, 0.5, 0.83] {
            let (low, high) = area_interval(area, 6, 9, 1.96);
            assert!(low < area && area < high && low > 0.0 && high < 1.0);
        }
        // The other group, the other way.
        let (a, b) = (area_interval(0.7, 4, 9, 1.96), area_interval(0.3, 9, 4, 1.96));
        assert!((a.0 - (1.0 - b.1)).abs() < 1e-9 && (a.1 - (1.0 - b.0)).abs() < 1e-9);
    }

    #[test]
    fn ranks_correlate() {
        assert!((rank_correlation(&[1.0, 2.0, 3.0], &[10.0, 20.0, 25.0]).unwrap() - 1.0).abs() < 1e-12);
        assert!((rank_correlation(&[1.0, 2.0, 3.0], &[3.0, 2.0, 1.0]).unwrap() + 1.0).abs() < 1e-12);
        assert_eq!(rank_correlation(&[1.0, 1.0], &[1.0, 2.0]), None);
    }
}
