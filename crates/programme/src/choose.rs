//! The exact choice of at most three exercises within the time, and the next best distinct ones.
//!
//! Maximise over sets `P` of at most `k ≤ 3` choices of different families
//!
//! ```text
//! J(P) = Σ_g w_g Σ_i r^(i−1) a_g(i)        subject to   Σ_{e∈P} t_e + (|P|−1)·t_change ≤ T
//! ```
//!
//! where `w_g > 0` is the weight of goal `g`, `a_g(1) ≥ a_g(2) ≥ a_g(3)` are the gains of the
//! chosen exercises for that goal in falling order (each between 0 and 1), `r` is how much the
//! second exercise for the same goal counts, `t_e` the time of an exercise and `T` the time there
//! is. Equal values (to [`EQUAL`]) go to the shorter programme, then to the first in the order of
//! the choices, which a mirror does not change. Equipment, clear floor, both sides, the ceiling and
//! the floor of demand are settled before, in what a choice is.
//!
//! **Bound.** Fix a set of kinds (family, held or free), three at most, of different families. With
//! `d_g = (1 − r) w_g a_g` and `d'_g = (r − r²) w_g a_g` the value of three choices is
//!
//! ```text
//! Σ_g [ Σ_e r² w_g a_g(e)  +  max_e d_g(e)  +  (two largest of d'_g) ]
//! max_e d(e)         ≤ θ  + Σ_e max(0, d(e) − θ)         for every threshold θ
//! two largest of d'  ≤ 2θ' + Σ_e max(0, d'(e) − θ')      for every θ'
//! ```
//!
//! (an ordered weighted sum, bounded as in its linear programme). What stands on the right is a sum
//! over exercises, so its largest value within the time is found exactly: for each kind the choices
//! that are worth more than every shorter one, and over all pairs of two kinds the best of the third
//! that still fits. Once it is decided which of the exercises comes first for a goal, or which comes
//! third, the sum holds as an equality there. Two exercises have the first maximum only.
//!
//! **Search.** A node is a set of kinds with what is decided of each goal; its bound is that largest
//! value, and the choices that reach it are a programme of its own. Where the value of that programme
//! equals the bound nothing below is better; elsewhere the goal with the largest difference is decided
//! in each possible way. Best first: the node that leaves the queue has the largest (bound, then least
//! time, then order), and every programme below a node comes behind its node in that order, so the
//! first node whose programme reaches its bound is the best, ties included. That is the whole proof.
//! The thresholds change how long it takes, never the answer. Values and times are counted in whole
//! units of [`EQUAL`], so no sum is rounded.
//!
//! **Distinct.** Two programmes are distinct when they use different sets of kinds: somebody who
//! does one of them would say that it is another one. So the next best distinct programme is the
//! best of the next set of kinds.
//!
//! **Stopped early.** The budget counts nodes, not time. What was found until then is told with the
//! value that nothing can exceed.

use std::cmp::Ordering;
use std::collections::{BTreeMap, BinaryHeap};
use std::rc::Rc;

use crate::column::{Columns, Rank, Step, Thresholds, best_within};
use crate::option::{Choice, Kind};

/// Two values of the objective, or two times, nearer than this are equal: rounding, not meaning.
pub(crate) const EQUAL: f64 = 1e-9;

/// One set of choices with its value and time.
#[derive(Clone, Debug)]
pub(crate) struct Best {
    pub chosen: Vec<Choice>,
    pub score: f64,
    pub seconds: f64,
}

/// What is to be chosen.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Terms<'a> {
    /// By goal.
    pub weights: &'a [f64],
    /// How much the second exercise for the same goal counts.
    pub again: f64,
    /// Between two exercises.
    pub change_s: f64,
    /// For all together.
    pub time_s: f64,
    /// Most exercises.
    pub most: usize,
    /// How many distinct programmes.
    pub wanted: usize,
    /// Nodes that may be looked at.
    pub budget: usize,
}

/// What the search found.
#[derive(Clone, Debug)]
pub(crate) struct Found {
    /// Distinct, the best first; as many as were wanted or as there are.
    pub best: Vec<Best>,
    /// No programme is better than this. Equal to the best value when that is proven.
    pub bound: f64,
    /// Whether the order of `best` is proven, all of it.
    pub proven: bool,
    /// Nodes that were looked at.
    pub nodes: usize,
}

impl Found {
    /// Whether the first is proven to be the best, even where the order of the others is not.
    pub(crate) fn best_is_proven(&self) -> bool {
        self.best.first().is_some_and(|best| whole(best.score) >= whole(self.bound))
    }
}

/// The value of gains, one list for each exercise.
pub(crate) fn value<'a>(gains: impl Iterator<Item = &'a [f64]> + Clone, weights: &[f64], again: f64) -> f64 {
    let mut total = 0.0;
    for (g, weight) in weights.iter().enumerate() {
        let mut top = [0.0_f64; 3];
        for gain in gains.clone().map(|all| all[g]) {
            if gain > top[0] {
                top = [gain, top[0], top[1]];
            } else if gain > top[1] {
                top = [top[0], gain, top[1]];
            } else if gain > top[2] {
                top[2] = gain;
            }
        }
        total += weight * (top[0] + again * (top[1] + again * top[2]));
    }
    total
}

/// The value of a set of choices, three at most.
#[cfg(test)]
pub(crate) fn objective(chosen: &[&Choice], weights: &[f64], again: f64) -> f64 {
    value(chosen.iter().map(|c| c.gains.as_slice()), weights, again)
}

#[allow(clippy::cast_possible_truncation)] // values and times are small
pub(crate) fn whole(value: f64) -> i64 {
    (value / EQUAL).round() as i64
}

/// What is decided of one goal: which exercise of the set comes first for it, and which third.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord)]
struct Decided {
    first: Option<u8>,
    third: Option<u8>,
}

impl Decided {
    /// How the exercise in this place of a set of so many counts.
    fn ranks(self, place: u8, of: usize) -> (Rank, Rank) {
        let first = match self.first {
            _ if of < 2 => Rank::In,
            None => Rank::Open,
            Some(p) if p == place => Rank::In,
            Some(_) => Rank::Out,
        };
        let second = match self.third {
            _ if of < 3 => Rank::In,
            None => Rank::Open,
            Some(p) if p == place => Rank::Out,
            Some(_) => Rank::In,
        };
        (first, second)
    }
}

/// A set of kinds with what is decided of each goal.
#[derive(Clone, Debug)]
struct Node {
    /// Value that nothing below exceeds, in units of [`EQUAL`].
    bound: i64,
    /// Time of the shortest choices that reach it, in units of [`EQUAL`].
    seconds: i64,
    /// These choices, in the order of families.
    chosen: [usize; 3],
    /// Their rows.
    rows: [usize; 3],
    /// The kinds, in the order of families; [`NONE`] where there is none.
    kinds: [u16; 3],
    /// By goal.
    decided: Vec<Decided>,
    /// Value of these choices: not below the best below the node where it equals the bound.
    value: i64,
}

/// No kind: the place is not used.
const NONE: u16 = u16::MAX;

impl Node {
    fn len(&self) -> usize {
        self.kinds.iter().filter(|kind| **kind != NONE).count()
    }

    fn reached(&self) -> bool {
        self.value >= self.bound
    }
}

impl PartialEq for Node {
    fn eq(&self, other: &Self) -> bool {
        self.cmp(other) == Ordering::Equal
    }
}

impl Eq for Node {}

impl PartialOrd for Node {
    fn partial_cmp(&self, other: &Self) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}

impl Ord for Node {
    /// What should be looked at first is the greatest.
    fn cmp(&self, other: &Self) -> Ordering {
        self.bound
            .cmp(&other.bound)
            .then_with(|| other.seconds.cmp(&self.seconds))
            .then_with(|| other.chosen.cmp(&self.chosen))
            .then_with(|| self.reached().cmp(&other.reached()))
            .then_with(|| other.kinds.cmp(&self.kinds))
            .then_with(|| other.decided.cmp(&self.decided))
    }
}

/// By kind, how many exercises, and what is decided of each goal as this kind sees it.
type Seen = (u16, u8, Vec<(Rank, Rank)>);

/// A set of choices as it is compared: value, time below zero, the choices from behind.
type Ranked = (i64, i64, std::cmp::Reverse<[usize; 3]>);

struct Search<'a> {
    choices: &'a [Choice],
    columns: &'a [Columns],
    terms: Terms<'a>,
    /// By count of exercises and goal.
    thresholds: [Vec<Thresholds>; 4],
    frontiers: BTreeMap<Seen, Rc<Vec<Step>>>,
    queue: BinaryHeap<Node>,
    /// By set of kinds, the best so far, not proven.
    seen: Vec<([u16; 3], Ranked)>,
    /// Value below which a node is of no use: as many distinct sets as are wanted are better.
    useless_below: i64,
    nodes: usize,
}

/// The best distinct programmes. `choices` come in an order that a mirror does not change.
pub(crate) fn choose(choices: &[Choice], terms: Terms<'_>) -> Found {
    let mut kinds: Vec<Kind> = choices.iter().map(|c| c.kind).collect();
    kinds.sort_unstable();
    kinds.dedup();
    let columns: Vec<Columns> = kinds.iter().map(|kind| Columns::of(*kind, choices, &terms)).collect();
    let mut search = Search {
        choices,
        columns: &columns,
        terms,
        thresholds: [(); 4].map(|()| vec![Thresholds::default(); terms.weights.len()]),
        frontiers: BTreeMap::new(),
        queue: BinaryHeap::new(),
        seen: Vec::new(),
        useless_below: 1,
        nodes: 0,
    };
    search.sow();
    search.run()
}

/// How often the thresholds are set anew before the search.
const SETTINGS: u32 = 8;

impl Search<'_> {
    /// Every set of kinds of different families.
    fn sets(&self) -> Vec<[u16; 3]> {
        let count = u16::try_from(self.columns.len()).unwrap_or(NONE);
        let family = |kind: u16| self.columns[usize::from(kind)].kind.family;
        let mut sets = Vec::new();
        for a in 0..count {
            sets.push([a, NONE, NONE]);
            for b in (a + 1..count).filter(|b| family(*b) != family(a)) {
                sets.push([a, b, NONE]);
                for c in (b + 1..count).filter(|c| family(*c) != family(a) && family(*c) != family(b)) {
                    sets.push([a, b, c]);
                }
            }
        }
        let most = self.terms.most.min(3);
        sets.retain(|set| set.iter().filter(|kind| **kind != NONE).count() <= most);
        sets
    }

    /// Queues every set of kinds, after thresholds were found that keep the bounds low.
    fn sow(&mut self) {
        let sets = self.sets();
        let open = vec![Decided::default(); self.terms.weights.len()];
        for size in [1, 2, 3] {
            let of_size: Vec<[u16; 3]> = sets
                .iter()
                .filter(|set| set.iter().filter(|k| **k != NONE).count() == size)
                .copied()
                .collect();
            self.set_thresholds(size, &of_size, &open);
            for set in of_size {
                if let Some(node) = self.node(set, open.clone()) {
                    self.queue.push(node);
                }
            }
        }
    }

    /// Moves the thresholds of sets of this size to where the largest bound of all of them is low.
    fn set_thresholds(&mut self, size: usize, sets: &[[u16; 3]], open: &[Decided]) {
        if size < 2 {
            return;
        }
        let most = |g: usize, place: usize| {
            self.columns.iter().map(|c| c.most(g)).map(|m| m[place] - m[place + 1]).max().unwrap_or(0)
        };
        let mut at: Vec<Thresholds> = (0..open.len())
            .map(|g| Thresholds { first: most(g, 0) / 2, second: if size > 2 { most(g, 1) / 2 } else { 0 } })
            .collect();
        let mut best: Option<(i64, Vec<Thresholds>)> = None;
        for setting in 0..SETTINGS {
            self.thresholds[size].clone_from(&at);
            self.frontiers.retain(|(_, of, _), _| usize::from(*of) != size);
            let highest = sets.iter().filter_map(|set| self.node(*set, open.to_vec())).max();
            let Some(highest) = highest else { return };
            if best.as_ref().is_none_or(|(bound, _)| highest.bound < *bound) {
                best = Some((highest.bound, at.clone()));
            }
            if highest.reached() {
                break;
            }
            for (g, at) in at.iter_mut().enumerate() {
                let counts = self.counts(&highest, g);
                let toward = |at: &mut i64, mut steps: Vec<i64>, within: usize| {
                    steps.sort_unstable_by(|a, b| b.cmp(a));
                    // As many as count lie above: between the last of them and the next.
                    let (high, low) = (steps[within - 1], steps.get(within).copied().unwrap_or(0));
                    let target = (*at).clamp(low, high);
                    *at += (target - *at) * i64::from(SETTINGS - setting) / i64::from(SETTINGS);
                };
                toward(&mut at.first, counts.iter().map(|c| c[0] - c[1]).collect(), 1);
                if size > 2 {
                    toward(&mut at.second, counts.iter().map(|c| c[1] - c[2]).collect(), 2);
                }
            }
        }
        self.frontiers.retain(|(_, of, _), _| usize::from(*of) != size);
        if let Some((_, at)) = best {
            self.thresholds[size] = at;
        }
    }

    /// By exercise of a node, what it counts for a goal in first, second and third place.
    fn counts(&self, node: &Node, goal: usize) -> Vec<[i64; 3]> {
        let columns = |place: usize| &self.columns[usize::from(node.kinds[place])];
        (0..node.len()).map(|place| columns(place).counts(goal, node.rows[place])).collect()
    }

    fn frontier(&mut self, kind: u16, size: usize, ranks: Vec<(Rank, Rank)>) -> Rc<Vec<Step>> {
        let columns = &self.columns[usize::from(kind)];
        let thresholds = &self.thresholds[size];
        #[allow(clippy::cast_possible_truncation)] // three at most
        let seen = (kind, size as u8, ranks);
        if let Some(known) = self.frontiers.get(&seen) {
            return Rc::clone(known);
        }
        let made = Rc::new(columns.frontier(&seen.2, thresholds));
        self.frontiers.insert(seen, Rc::clone(&made));
        made
    }

    /// The node of a set with what is decided, when it is of use.
    fn node(&mut self, kinds: [u16; 3], decided: Vec<Decided>) -> Option<Node> {
        self.nodes += 1;
        let size = kinds.iter().filter(|kind| **kind != NONE).count();
        let changes: i64 = (1..size).map(|_| whole(self.terms.change_s)).sum();
        let time = whole(self.terms.time_s) - changes;
        let mut frontiers: Vec<Rc<Vec<Step>>> = Vec::with_capacity(3);
        for (place, kind) in (0_u8..).zip(&kinds[..size]) {
            let ranks = decided.iter().map(|d| d.ranks(place, size)).collect();
            frontiers.push(self.frontier(*kind, size, ranks));
        }
        let constant: i64 = self.thresholds[size]
            .iter()
            .zip(&decided)
            .map(|(at, d)| {
                let first = if size > 1 && d.first.is_none() { at.first } else { 0 };
                let second = if size > 2 && d.third.is_none() { 2 * at.second } else { 0 };
                first + second
            })
            .sum();
        let at_least = self.useless_below - constant;
        let slices: Vec<&[Step]> = frontiers.iter().map(|f| f.as_slice()).collect();
        let columns = |place: usize| &self.columns[usize::from(kinds[place])];
        let steps = best_within(&slices, time, at_least, |place, row| columns(place).choice[row])?;
        let mut node = Node {
            bound: constant + steps[..size].iter().map(|s| s.value).sum::<i64>(),
            seconds: changes + steps[..size].iter().map(|s| s.seconds).sum::<i64>(),
            chosen: [usize::MAX; 3],
            rows: [usize::MAX; 3],
            kinds,
            decided,
            value: 0,
        };
        for (place, step) in steps[..size].iter().enumerate() {
            node.rows[place] = step.row;
            node.chosen[place] = columns(place).choice[step.row];
        }
        node.value = (0..self.terms.weights.len()).map(|g| whole_value(&self.counts(&node, g))).sum();
        self.remember(&node);
        Some(node)
    }

    /// Keeps the choices of a node when no better ones of its kinds are known.
    fn remember(&mut self, node: &Node) {
        if node.value < self.useless_below {
            return;
        }
        let found: Ranked = (node.value, -node.seconds, std::cmp::Reverse(node.chosen));
        match self.seen.iter_mut().find(|(known, _)| *known == node.kinds) {
            Some((_, best)) if *best < found => *best = found,
            Some(_) => return,
            None => self.seen.push((node.kinds, found)),
        }
        self.seen.sort_by(|a, b| b.1.cmp(&a.1).then(a.0.cmp(&b.0)));
        self.seen.truncate(self.terms.wanted);
        if self.seen.len() == self.terms.wanted
            && let Some((_, (value, ..))) = self.seen.last()
        {
            self.useless_below = self.useless_below.max(*value);
        }
    }

    fn run(mut self) -> Found {
        let mut told: Vec<([u16; 3], [usize; 3])> = Vec::new();
        let mut stopped_at = None;
        while told.len() < self.terms.wanted
            && let Some(node) = self.queue.pop()
        {
            if told.iter().any(|(known, _)| *known == node.kinds) {
                continue;
            }
            if node.reached() {
                told.push((node.kinds, node.chosen));
                continue;
            }
            if self.nodes >= self.terms.budget {
                stopped_at = Some(node.bound);
                break;
            }
            self.decide(node);
        }
        let proven = stopped_at.is_none();
        if !proven {
            // What is proven comes first; the rest as it was seen.
            let seen = std::mem::take(&mut self.seen);
            for (kinds, (_, _, std::cmp::Reverse(chosen))) in seen {
                if told.len() < self.terms.wanted && !told.iter().any(|(known, _)| *known == kinds) {
                    told.push((kinds, chosen));
                }
            }
        }
        let best: Vec<Best> = told.iter().map(|(_, chosen)| self.best(chosen)).collect();
        let reached = best.first().map_or(0.0, |b| b.score);
        #[allow(clippy::cast_precision_loss)] // values are small
        let bound = stopped_at.map_or(reached, |bound| (bound as f64 * EQUAL).max(reached));
        Found { best, bound, proven, nodes: self.nodes }
    }

    /// Queues a node's children: the goal whose bound is furthest off is decided in every way.
    fn decide(&mut self, node: Node) {
        let size = node.len();
        // Too much for the first place, or for the first two, of each goal.
        let mut widest: Option<(i64, usize, bool)> = None;
        for (g, d) in node.decided.iter().enumerate() {
            let counts = self.counts(&node, g);
            let at = self.thresholds[size][g];
            let over = |steps: Vec<i64>, at: i64, within: usize| {
                let mut sorted = steps.clone();
                sorted.sort_unstable_by(|a, b| b.cmp(a));
                let told: i64 = steps.iter().map(|s| (s - at).max(0)).sum::<i64>();
                let times = i64::try_from(within).unwrap_or(0);
                times * at + told - sorted[..within].iter().sum::<i64>()
            };
            let mut offer = |over: i64, first: bool| {
                if widest.is_none_or(|(most, ..)| over > most) {
                    widest = Some((over, g, first));
                }
            };
            if size > 1 && d.first.is_none() {
                offer(over(counts.iter().map(|c| c[0] - c[1]).collect(), at.first, 1), true);
            }
            if size > 2 && d.third.is_none() {
                offer(over(counts.iter().map(|c| c[1] - c[2]).collect(), at.second, 2), false);
            }
        }
        // All decided and the choices are worth more otherwise: they stand below another node.
        let Some((_, goal, first)) = widest else { return };
        for place in (0_u8..).take(size) {
            let mut decided = node.decided.clone();
            if first {
                decided[goal].first = Some(place);
            } else {
                decided[goal].third = Some(place);
            }
            if let Some(child) = self.node(node.kinds, decided) {
                self.queue.push(child);
            }
        }
    }

    fn best(&self, chosen: &[usize; 3]) -> Best {
        let used = chosen.iter().filter(|i| **i != usize::MAX);
        let chosen: Vec<Choice> = used.map(|i| self.choices[*i].clone()).collect();
        let score = value(chosen.iter().map(|c| c.gains.as_slice()), self.terms.weights, self.terms.again);
        let mut seconds = 0.0;
        for (i, choice) in chosen.iter().enumerate() {
            seconds += choice.seconds + if i > 0 { self.terms.change_s } else { 0.0 };
        }
        Best { chosen, score, seconds }
    }
}

/// The value of exercises for one goal: first, second and third place in the way that counts most.
fn whole_value(counts: &[[i64; 3]]) -> i64 {
    let mut first: Vec<i64> = counts.iter().map(|c| c[0] - c[1]).collect();
    let mut second: Vec<i64> = counts.iter().map(|c| c[1] - c[2]).collect();
    first.sort_unstable_by(|a, b| b.cmp(a));
    second.sort_unstable_by(|a, b| b.cmp(a));
    counts.iter().map(|c| c[2]).sum::<i64>()
        + second.iter().take(2).sum::<i64>()
        + first.iter().take(1).sum::<i64>()
}
