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
//! **Search.** The choices of one kind (family, held or free) form a binary tree
//! (`tree.rs`) whose nodes know the largest gain for every goal and the least time below them. A
//! node of the search is one tree node for each of up to three kinds of different families. `J`
//! grows with every gain and time is a sum, so `J` of the largest gains bounds every set below and
//! the sum of least times bounds its time. A second bound is often tighter: the gains of a set, each
//! counted whole, are `Σ_e v_e` with `v_e = Σ_g w_g a_g(e)`, and `J` takes from them `1 − r` of the second and
//! `1 − r²` of the third gain of every goal, which are at least the second and third of the least
//! gains below; and for any price `λ ≥ 0` of a second, `Σ_e v_e ≤ Σ_e max(v − λt) + λ (T − changes)`.
//! The smaller bound counts; that is the whole proof. Best first, so the first set of
//! single choices that leaves the queue is the best, ties included, because (value, time, order) of
//! a node is never behind that of a set below it. Rounding does not break it: sums and products of
//! numbers that are not negative are monotone in floating point too.
//!
//! **Distinct.** Two programmes are distinct when they use different sets of kinds: somebody who
//! does one of them would say that it is another one. So the next best distinct programme is the
//! next set of single choices of kinds not yet told.
//!
//! **Stopped early.** The budget counts nodes, not time. What was found until then is told with the
//! value that nothing can exceed.

use std::cmp::Ordering;
use std::collections::BinaryHeap;

use crate::option::{Choice, Kind};
use crate::tree::{PRICES, Tree, TreeNode, price};

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
fn whole(value: f64) -> i64 {
    (value / EQUAL).round() as i64
}

/// Tree nodes, one for each kind of a set of kinds.
#[derive(Clone, Debug)]
struct Node {
    /// Value that nothing below exceeds, in units of [`EQUAL`].
    bound: i64,
    /// Time that nothing below undercuts, in units of [`EQUAL`].
    seconds: i64,
    /// First choices, in the order of families.
    first: [usize; 3],
    /// Trees and nodes in them, in the order of families.
    parts: [(u16, u32); 3],
    len: u8,
}

impl Node {
    fn parts(&self) -> &[(u16, u32)] {
        &self.parts[..usize::from(self.len)]
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
            .then_with(|| other.first.cmp(&self.first))
            .then_with(|| other.parts.cmp(&self.parts))
    }
}

struct Search<'a> {
    choices: &'a [Choice],
    trees: &'a [Tree],
    terms: Terms<'a>,
    queue: BinaryHeap<Node>,
    /// By set of trees, the best so far, not proven.
    seen: Vec<([u16; 3], Node)>,
    /// Value below which a node is of no use: as many distinct sets as are wanted are better.
    useless_below: i64,
    nodes: usize,
}

/// The best distinct programmes. `choices` come in an order that a mirror does not change.
pub(crate) fn choose(choices: &[Choice], terms: Terms<'_>) -> Found {
    let mut kinds: Vec<Kind> = choices.iter().map(|c| c.kind).collect();
    kinds.sort_unstable();
    kinds.dedup();
    let trees: Vec<Tree> = kinds.iter().map(|kind| Tree::of(*kind, choices, &terms)).collect();
    let mut search = Search {
        choices,
        trees: &trees,
        terms,
        queue: BinaryHeap::new(),
        seen: Vec::new(),
        useless_below: 1,
        nodes: 0,
    };
    search.sow(0, &mut Vec::new());
    search.run()
}

/// No tree: the place is not used.
const NONE: (u16, u32) = (u16::MAX, 0);

impl Search<'_> {
    /// Every set of kinds of different families, from the roots.
    fn sow(&mut self, from: usize, parts: &mut Vec<(u16, u32)>) {
        if parts.len() == self.terms.most.min(3) {
            return;
        }
        for tree in from..self.trees.len() {
            let family = self.trees[tree].kind.family;
            if parts.iter().any(|(other, _)| self.trees[usize::from(*other)].kind.family == family) {
                continue;
            }
            let Ok(index) = u16::try_from(tree) else { continue };
            parts.push((index, 0));
            self.look_at(parts);
            self.sow(tree + 1, parts);
            parts.pop();
        }
    }

    fn tree_node(&self, part: (u16, u32)) -> &TreeNode {
        &self.trees[usize::from(part.0)].nodes[part.1 as usize]
    }

    fn node(&self, parts: &[(u16, u32)], single: bool) -> Option<Node> {
        let mut seconds = 0.0;
        let mut first = [usize::MAX; 3];
        let mut all = [NONE; 3];
        let mut gains: [&[f64]; 3] = [&[]; 3];
        for (i, part) in parts.iter().enumerate() {
            let node = self.tree_node(*part);
            if i > 0 {
                seconds += self.terms.change_s;
            }
            if single {
                seconds += node.best_seconds;
                first[i] = node.best;
                gains[i] = &self.choices[node.best].gains;
            } else {
                seconds += node.least_seconds;
                first[i] = node.first;
                gains[i] = self.trees[usize::from(part.0)].largest(part.1);
            }
            all[i] = *part;
        }
        if seconds > self.terms.time_s {
            return None;
        }
        let used = gains[..parts.len()].iter().copied();
        let mut bound = whole(value(used, self.terms.weights, self.terms.again));
        if !single && parts.iter().any(|part| self.tree_node(*part).children.is_some()) {
            // A unit more: here rounding is not monotone.
            bound = bound.min(whole(self.priced(parts)) + 1);
        }
        let len = u8::try_from(parts.len()).unwrap_or(3);
        Some(Node { bound, seconds: whole(seconds), first, parts: all, len })
    }

    /// The second bound at the top of this file.
    fn priced(&self, parts: &[(u16, u32)]) -> f64 {
        let terms = &self.terms;
        let mut least: [&[f64]; 3] = [&[]; 3];
        let mut changes = 0.0;
        for (i, part) in parts.iter().enumerate() {
            least[i] = self.trees[usize::from(part.0)].least(part.1);
            changes += if i > 0 { terms.change_s } else { 0.0 };
        }
        let mut taken = 0.0;
        if parts.len() > 1 {
            for (g, weight) in terms.weights.iter().enumerate() {
                let mut gains = [0.0_f64; 3];
                for (gain, of) in gains.iter_mut().zip(&least[..parts.len()]) {
                    *gain = of[g];
                }
                let [a, b, c] = gains;
                let third = if parts.len() > 2 { a.min(b).min(c) } else { 0.0 };
                let first = a.max(b).max(c);
                let second = a + b + c - first - third;
                taken += weight * ((1.0 - terms.again) * second + (1.0 - terms.again * terms.again) * third);
            }
        }
        let mut bound = f64::INFINITY;
        for (k, share) in PRICES.into_iter().enumerate() {
            let worth: f64 = parts.iter().map(|part| self.tree_node(*part).worth[k]).sum();
            bound = bound.min(worth + price(share, terms) * (terms.time_s - changes));
        }
        bound - taken
    }

    /// Queues what is of use; and tries the best single choices below it.
    fn look_at(&mut self, parts: &[(u16, u32)]) {
        self.nodes += 1;
        let Some(node) = self.node(parts, false) else { return };
        if node.bound < self.useless_below {
            return;
        }
        if let Some(single) = self.node(parts, true) {
            self.remember(&single);
        }
        self.queue.push(node);
    }

    fn remember(&mut self, single: &Node) {
        if single.bound < self.useless_below {
            return;
        }
        let trees = single.parts.map(|(tree, _)| tree);
        match self.seen.iter_mut().find(|(known, _)| *known == trees) {
            Some((_, best)) if *best < *single => *best = single.clone(),
            Some(_) => return,
            None => self.seen.push((trees, single.clone())),
        }
        self.seen.sort_by(|a, b| b.1.cmp(&a.1));
        self.seen.truncate(self.terms.wanted);
        if self.seen.len() == self.terms.wanted
            && let Some((_, last)) = self.seen.last()
        {
            self.useless_below = self.useless_below.max(last.bound);
        }
    }

    fn run(mut self) -> Found {
        let mut told: Vec<([u16; 3], Node)> = Vec::new();
        let mut stopped_at = None;
        while let Some(node) = self.queue.pop() {
            let trees = node.parts.map(|(tree, _)| tree);
            if told.iter().any(|(known, _)| *known == trees) {
                continue;
            }
            if self.nodes >= self.terms.budget {
                stopped_at = Some(node.bound);
                break;
            }
            let widest = (0..usize::from(node.len))
                .filter(|i| self.tree_node(node.parts[*i]).children.is_some())
                .max_by(|a, b| {
                    let width = |i: usize| self.tree_node(node.parts[i]).width;
                    width(*a).total_cmp(&width(*b)).then(b.cmp(a))
                });
            let Some(widest) = widest else {
                told.push((trees, node));
                if told.len() == self.terms.wanted {
                    break;
                }
                continue;
            };
            let tree = node.parts[widest].0;
            for child in self.tree_node(node.parts[widest]).children.into_iter().flatten() {
                let mut parts = node.parts;
                parts[widest] = (tree, child);
                self.look_at(&parts[..usize::from(node.len)]);
            }
        }
        let proven = stopped_at.is_none();
        if !proven {
            // What is proven comes first; the rest as it was seen.
            let seen = std::mem::take(&mut self.seen);
            for (trees, node) in seen {
                if told.len() < self.terms.wanted && !told.iter().any(|(known, _)| *known == trees) {
                    told.push((trees, node));
                }
            }
        }
        let best: Vec<Best> = told.iter().map(|(_, node)| self.best(node)).collect();
        let reached = best.first().map_or(0.0, |b| b.score);
        #[allow(clippy::cast_precision_loss)] // values are small
        let bound = stopped_at.map_or(reached, |bound| (bound as f64 * EQUAL).max(reached));
        Found { best, bound, proven, nodes: self.nodes }
    }

    fn best(&self, node: &Node) -> Best {
        let chosen: Vec<Choice> =
            node.first[..node.parts().len()].iter().map(|i| self.choices[*i].clone()).collect();
        let score = value(chosen.iter().map(|c| c.gains.as_slice()), self.terms.weights, self.terms.again);
        let mut seconds = 0.0;
        for (i, choice) in chosen.iter().enumerate() {
            seconds += choice.seconds + if i > 0 { self.terms.change_s } else { 0.0 };
        }
        Best { chosen, score, seconds }
    }
}
