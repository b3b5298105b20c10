//! Choices of one kind as a binary tree that knows the largest gains and the least time below each node.

use crate::choose::Terms;
use crate::option::{Choice, Kind};

/// One node.
#[derive(Clone, Copy, Debug)]
pub(crate) struct TreeNode {
    /// Least time of any choice below.
    pub least_seconds: f64,
    /// First choice below, in the order of the choices.
    pub first: usize,
    /// The choice below with the largest weighted gain, the first of equals.
    pub best: usize,
    /// Its time.
    pub best_seconds: f64,
    /// By price of a second (see [`PRICES`]), the most that any choice below is worth beyond its time.
    pub worth: [f64; PRICES.len()],
    /// How far the choices below lie apart: weighted gains and time together.
    pub width: f64,
    /// Nodes below; none where there is a single choice.
    pub children: Option<[u32; 2]>,
}

/// The choices of one kind, without those that another beats.
#[derive(Clone, Debug)]
pub(crate) struct Tree {
    pub kind: Kind,
    /// The root first.
    pub nodes: Vec<TreeNode>,
    goals: usize,
    /// Largest gains by node and goal.
    largest: Vec<f64>,
    /// Least gains by node and goal.
    least: Vec<f64>,
}

/// Prices of a second, in shares of all weights over the whole time.
pub(crate) const PRICES: [f64; 5] = [0.0, 0.1, 0.2, 0.35, 0.6];

/// The price of a second in units of value.
pub(crate) fn price(share: f64, terms: &Terms<'_>) -> f64 {
    share * terms.weights.iter().sum::<f64>() / terms.time_s.max(1.0)
}

/// Choices that a new one is compared with, the best first: comparing with all costs more than it saves.
const COMPARED: usize = 256;

/// Choices as the tree is built from them.
struct Built<'a> {
    choices: &'a [Choice],
    terms: &'a Terms<'a>,
    tree: Tree,
}

impl Tree {
    /// The tree of all choices of this kind.
    pub(crate) fn of(kind: Kind, choices: &[Choice], terms: &Terms<'_>) -> Self {
        let mut kept = unbeaten(kind, choices, terms.weights);
        let goals = terms.weights.len();
        let tree = Self { kind, nodes: Vec::new(), goals, largest: Vec::new(), least: Vec::new() };
        let mut built = Built { choices, terms, tree };
        built.grow(&mut kept);
        built.tree
    }

    /// The largest gains of any choice below a node, by goal.
    pub(crate) fn largest(&self, node: u32) -> &[f64] {
        let from = node as usize * self.goals;
        &self.largest[from..from + self.goals]
    }
    /// The least gains of any choice below a node, by goal.
    pub(crate) fn least(&self, node: u32) -> &[f64] {
        let from = node as usize * self.goals;
        &self.least[from..from + self.goals]
    }
}

fn weighted(choice: &Choice, weights: &[f64]) -> f64 {
    choice.gains.iter().zip(weights).map(|(gain, weight)| gain * weight).sum()
}

/// The choices of a kind without those that another beats or equals in time and every goal. `J` grows
/// with every gain and falls with time not at all, so the best programme, ties included, stays.
fn unbeaten(kind: Kind, choices: &[Choice], weights: &[f64]) -> Vec<usize> {
    let mut all: Vec<(f64, usize)> = (0..choices.len())
        .filter(|i| choices[*i].kind == kind)
        .map(|i| (weighted(&choices[i], weights), i))
        .collect();
    all.sort_by(|(va, a), (vb, b)| {
        vb.total_cmp(va).then(choices[*a].seconds.total_cmp(&choices[*b].seconds)).then(a.cmp(b))
    });
    let mut kept: Vec<usize> = Vec::new();
    for (_, i) in all {
        let beaten = kept.iter().take(COMPARED).any(|k| beats(&choices[*k], &choices[i]));
        if !beaten {
            kept.push(i);
        }
    }
    kept
}

/// At least as much for every goal in no more time.
fn beats(a: &Choice, b: &Choice) -> bool {
    a.seconds <= b.seconds && a.gains.iter().zip(&b.gains).all(|(a, b)| a >= b)
}

impl Built<'_> {
    /// Grows the node of these choices and all below it; its index.
    fn grow(&mut self, of: &mut [usize]) -> u32 {
        let goals = self.tree.goals;
        let (mut least, mut most) = (vec![f64::INFINITY; goals + 1], vec![0.0_f64; goals + 1]);
        let mut best = (f64::NEG_INFINITY, usize::MAX);
        let mut worth = [f64::NEG_INFINITY; PRICES.len()];
        for i in of.iter().copied() {
            let choice = &self.choices[i];
            for (g, x) in choice.gains.iter().chain([&choice.seconds]).enumerate() {
                least[g] = least[g].min(*x);
                most[g] = most[g].max(*x);
            }
            let value = weighted(choice, self.terms.weights);
            for (most, share) in worth.iter_mut().zip(PRICES) {
                *most = most.max(value - price(share, self.terms) * choice.seconds);
            }
            if value > best.0 || (value >= best.0 && i < best.1) {
                best = (value, i);
            }
        }
        // A second counts as much as the whole value over the whole time.
        let all: f64 = self.terms.weights.iter().sum();
        let scale = |d: usize| match self.terms.weights.get(d) {
            Some(weight) => *weight,
            None => all / self.terms.time_s.max(1.0),
        };
        let spread = |d: usize| (most[d] - least[d]) * scale(d);
        let index = self.tree.nodes.len();
        self.tree.nodes.push(TreeNode {
            least_seconds: least[goals],
            first: of.iter().copied().min().unwrap_or(usize::MAX),
            best: best.1,
            best_seconds: self.choices.get(best.1).map_or(0.0, |c| c.seconds),
            worth,
            width: (0..=goals).map(spread).sum(),
            children: None,
        });
        self.tree.largest.extend_from_slice(&most[..goals]);
        self.tree.least.extend_from_slice(&least[..goals]);
        if of.len() > 1 {
            let along = (0..=goals).max_by(|a, b| spread(*a).total_cmp(&spread(*b)).then(b.cmp(a)));
            let along = along.unwrap_or(goals);
            let at = |i: usize| {
                let choice = &self.choices[i];
                choice.gains.get(along).copied().unwrap_or(choice.seconds)
            };
            let middle = of.len() / 2;
            of.select_nth_unstable_by(middle, |a, b| at(*a).total_cmp(&at(*b)).then(a.cmp(b)));
            let (low, high) = of.split_at_mut(middle);
            let children = [self.grow(low), self.grow(high)];
            self.tree.nodes[index].children = Some(children);
        }
        #[allow(clippy::cast_possible_truncation)] // far fewer than four thousand million choices
        let index = index as u32;
        index
    }
}
