//! Laws of the exact search, on invented choices, against trying everything.

use movement::Family;

use crate::choose::{EQUAL, Found, Terms, choose, objective, whole};
use crate::column::{Columns, Rank, Thresholds};
use crate::option::{Choice, Kind, without_beaten};
use crate::trial::Dice;

fn below(dice: &mut Dice, n: usize) -> usize {
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss, clippy::cast_precision_loss)]
    let x = (dice.unit() * n as f64) as usize;
    x.min(n - 1)
}

const FAMILIES: [Family; 5] = [Family::Reach, Family::Step, Family::Lunge, Family::BendAndReach, Family::Hop];

/// Invented choices. Gains and times are coarse, so that ties are frequent.
fn invented(dice: &mut Dice, count: usize, goals: usize) -> Vec<Choice> {
    let coarse = |x: f64, steps: f64| (x * steps).floor() / steps;
    (0..count)
        .map(|group| Choice {
            group,
            kind: Kind { family: FAMILIES[below(dice, FAMILIES.len())], held: dice.unit() < 0.3 },
            units: Vec::new(),
            repetitions: 1,
            rounds: 1,
            seconds: 20.0 + 10.0 * coarse(dice.unit() * 20.0, 1.0),
            gains: (0..goals)
                .map(|_| if dice.unit() < 0.3 { 0.0 } else { coarse(dice.unit(), 16.0) })
                .collect(),
        })
        .collect()
}

const WEIGHTS: [f64; 5] = [1.0, 0.7, 1.3, 0.25, 2.0];

fn terms(goals: usize, time_s: f64, most: usize, wanted: usize) -> Terms<'static> {
    Terms { weights: &WEIGHTS[..goals], again: 0.5, change_s: 15.0, time_s, most, wanted, budget: 1_000_000 }
}

/// Every set, nothing pruned: value and time of the best of each set of kinds, the best first.
fn everything(choices: &[Choice], terms: Terms<'_>) -> Vec<(Vec<Kind>, f64, f64)> {
    let mut sets: Vec<Vec<&Choice>> = Vec::new();
    for (i, a) in choices.iter().enumerate() {
        sets.push(vec![a]);
        for (j, b) in choices.iter().enumerate().skip(i + 1) {
            sets.push(vec![a, b]);
            for c in &choices[j + 1..] {
                sets.push(vec![a, b, c]);
            }
        }
    }
    let mut best: Vec<(Vec<Kind>, f64, f64)> = Vec::new();
    for set in sets {
        let mut kinds: Vec<Kind> = set.iter().map(|c| c.kind).collect();
        kinds.sort_unstable();
        let alike = kinds.windows(2).any(|two| two[0].family == two[1].family);
        #[allow(clippy::cast_precision_loss)]
        let changes = terms.change_s * (set.len() as f64 - 1.0);
        let seconds = set.iter().map(|c| c.seconds).sum::<f64>() + changes;
        let value = objective(&set, terms.weights, terms.again);
        if alike || set.len() > terms.most || seconds > terms.time_s || value < EQUAL {
            continue;
        }
        match best.iter_mut().find(|(known, ..)| *known == kinds) {
            Some((_, v, s)) if value > *v + EQUAL || (value > *v - EQUAL && seconds < *s) => {
                (*v, *s) = (value, seconds);
            }
            Some(_) => {}
            None => best.push((kinds, value, seconds)),
        }
    }
    // Equal but for rounding is equal: then the shorter goes first.
    let whole = |value: f64| (value / EQUAL).round();
    best.sort_by(|a, b| whole(b.1).total_cmp(&whole(a.1)).then(a.2.total_cmp(&b.2)));
    best
}

fn assert_same(found: &Found, all: &[(Vec<Kind>, f64, f64)], wanted: usize, told: &str) {
    assert!(found.proven, "{told}");
    assert_eq!(found.best.len(), wanted.min(all.len()), "{told}");
    for (one, (_, value, seconds)) in found.best.iter().zip(all) {
        assert!((one.score - value).abs() < 1e-8, "{told}: {} found, {value} by trying all", one.score);
        // Which of equals is told next to the budget of rounding is left open; its time is not.
        assert!((one.seconds - seconds).abs() < 1e-6, "{told}: {} s, {seconds} s", one.seconds);
    }
}

#[test]
fn the_best_and_the_next_distinct_are_what_trying_everything_finds() {
    let mut dice = Dice(1);
    for problem in 0..400 {
        let goals = 1 + below(&mut dice, 5);
        let count = 1 + below(&mut dice, 22);
        let choices = invented(&mut dice, count, goals);
        let most = 1 + below(&mut dice, 3);
        let terms = terms(goals, 60.0 + 420.0 * dice.unit(), most, 3);
        let found = choose(&choices, terms);
        assert_same(&found, &everything(&choices, terms), 3, &format!("problem {problem}"));
    }
}

#[test]
fn distinct_programmes_use_different_kinds_and_no_family_twice() {
    let mut dice = Dice(2);
    for _ in 0..100 {
        let choices = invented(&mut dice, 60, 4);
        let found = choose(&choices, terms(4, 300.0, 3, 3));
        let mut told: Vec<Vec<Kind>> = Vec::new();
        for one in &found.best {
            let mut kinds: Vec<Kind> = one.chosen.iter().map(|c| c.kind).collect();
            kinds.sort_unstable();
            assert!(kinds.windows(2).all(|two| two[0].family != two[1].family));
            assert!(!told.contains(&kinds));
            told.push(kinds);
        }
        assert!(found.best.windows(2).all(|two| two[0].score >= two[1].score - EQUAL));
    }
}

#[test]
fn a_frontier_bounds_every_set_and_is_exact_where_all_is_decided() {
    let mut dice = Dice(3);
    for _ in 0..200 {
        let goals = 3;
        let choices = invented(&mut dice, 3, goals);
        let terms = terms(goals, 400.0, 3, 1);
        let columns: Vec<Columns> =
            choices.iter().map(|c| Columns::of(c.kind, std::slice::from_ref(c), &terms)).collect();
        let at: Vec<Thresholds> = (0..goals)
            .map(|_| Thresholds { first: whole(dice.unit() * 0.5), second: whole(dice.unit() * 0.3) })
            .collect();
        let truth = objective(&choices.iter().collect::<Vec<_>>(), terms.weights, terms.again);
        let sum = |ranks: &dyn Fn(usize) -> Vec<(Rank, Rank)>| -> i64 {
            columns.iter().enumerate().map(|(k, c)| c.frontier(&ranks(k), &at)[0].value).sum()
        };
        let open = sum(&|_| vec![(Rank::Open, Rank::Open); goals])
            + at.iter().map(|at| at.first + 2 * at.second).sum::<i64>();
        assert!(open >= whole(truth) - 9, "{open} is said to bound {truth}");
        // Every way to decide is at most the truth, and one of them is the truth.
        let place = |is: bool| if is { Rank::In } else { Rank::Out };
        let mut best = 0;
        for way in 0..9_usize.pow(3) {
            let of = |g: u32| (way / 9_usize.pow(g) % 3, way / 9_usize.pow(g) / 3 % 3);
            let decided = sum(&|k| (0..3).map(|g| (place(of(g).0 == k), place(of(g).1 != k))).collect());
            assert!(decided <= whole(truth) + 9);
            best = best.max(decided);
        }
        assert!((best - whole(truth)).abs() <= 9, "{best}, {truth}");
    }
}

#[test]
fn a_search_that_is_stopped_tells_a_bound_that_holds() {
    let mut dice = Dice(4);
    let mut stopped = 0;
    for _ in 0..60 {
        let choices = invented(&mut dice, 80, 5);
        let whole = choose(&choices, terms(5, 300.0, 3, 1));
        let best = whole.best[0].score;
        for budget in [1, 20, 60, 150] {
            let early = choose(&choices, Terms { budget, ..terms(5, 300.0, 3, 1) });
            stopped += usize::from(!early.proven);
            let reached = early.best.first().map_or(0.0, |b| b.score);
            assert!(reached <= best + 1e-8);
            assert!(early.bound >= best - 1e-8, "{} says none exceeds it, {best} does", early.bound);
            assert!(early.bound >= reached);
            // Something is always in hand, and a proven answer is the best.
            assert!(!early.best.is_empty());
            assert!(!early.best_is_proven() || (reached - best).abs() < 1e-8);
        }
    }
    assert!(stopped > 60, "{stopped}");
}

#[test]
fn leaving_out_what_is_beaten_never_changes_the_best() {
    let mut dice = Dice(5);
    for _ in 0..100 {
        let all = invented(&mut dice, 50, 3);
        let terms = terms(3, 280.0, 3, 3);
        let mut kinds: Vec<Kind> = all.iter().map(|c| c.kind).collect();
        kinds.sort_unstable();
        kinds.dedup();
        let filtered: Vec<Choice> = kinds
            .iter()
            .flat_map(|kind| without_beaten(all.iter().filter(|c| c.kind == *kind).cloned().collect()))
            .collect();
        assert!(filtered.len() <= all.len());
        let (a, b) = (choose(&all, terms), choose(&filtered, terms));
        assert_eq!(a.best.len(), b.best.len());
        for (x, y) in a.best.iter().zip(&b.best) {
            assert!((x.score - y.score).abs() < 1e-8 && (x.seconds - y.seconds).abs() < 1e-6);
        }
    }
}

#[test]
fn more_choices_more_time_or_more_exercises_are_never_worse() {
    let mut dice = Dice(6);
    for _ in 0..60 {
        let all = invented(&mut dice, 60, 4);
        let value = |choices: &[Choice], time: f64, most: usize| {
            choose(choices, terms(4, time, most, 1)).best.first().map_or(0.0, |b| b.score)
        };
        for fewer in [10, 30, 50] {
            assert!(value(&all[..fewer], 240.0, 3) <= value(&all, 240.0, 3) + 1e-8);
        }
        let by_time: Vec<f64> = [60.0, 120.0, 240.0, 600.0].map(|t| value(&all, t, 3)).to_vec();
        assert!(by_time.windows(2).all(|two| two[0] <= two[1] + 1e-8), "{by_time:?}");
        let by_count: Vec<f64> = [1, 2, 3].map(|k| value(&all, 300.0, k)).to_vec();
        assert!(by_count.windows(2).all(|two| two[0] <= two[1] + 1e-8), "{by_count:?}");
    }
}

#[test]
fn five_thousand_choices_without_any_pattern_are_settled_within_the_budget() {
    for seed in 10..13 {
        let mut dice = Dice(seed);
        let choices = invented(&mut dice, 5_000, 5);
        let budget = crate::figures().nodes_at_most;
        let found = choose(&choices, Terms { budget, ..terms(5, 300.0, 3, 3) });
        assert!(found.proven && found.best.len() == 3, "{} nodes", found.nodes);
    }
}
