//! What the painful directions share: which computed quantity best separates them from the painless ones.
//!
//! The unit is the direction of a limb in an exercise, never the session: a direction that was done forty times is
//! one. It is painful when it ever hurt, painless when it was done at least twice and never did. Every quantity of
//! [`crate::Quantity::all`] is tried, each the way round that is suspected; the best is named only when chance over
//! all that were tried gives as much less often than the named share (`measurement::statistics::separation`).
//! Quantities that go together in the directions that were done are named together: the data cannot tell them
//! apart. It is a hint where to look, not a cause: directions are few, and not drawn by lot.

use measurement::statistics::separation::{area_interval, rank_correlation, separate};
use serde::Serialize;

use crate::adapt::adapt_figures;
use crate::quantities::Quantity;
use crate::session::Cell;

/// A direction of a limb as it was tried, with what was computed of it.
#[derive(Clone, Debug, PartialEq)]
pub struct Tried {
    /// Which.
    pub cell: Cell,
    /// Sessions in which it was done.
    pub done: usize,
    /// Sessions in which it hurt.
    pub hurt: usize,
    /// Its quantities, as [`crate::quantities`] gives them.
    pub values: Vec<Option<f64>>,
}

/// A movement that is permitted today and could be tried.
#[derive(Clone, Debug, PartialEq)]
pub struct Probe {
    /// The movement, as a sentence.
    pub sentence: String,
    /// Its quantities.
    pub values: Vec<Option<f64>>,
}

/// One quantity as it separates.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Separates {
    /// Which.
    pub quantity: Quantity,
    /// In words.
    pub words: String,
    /// Probability that it is more in a painful direction than in a painless one: 0.5 is chance, 1 is always.
    pub area: f64,
    /// 95 % interval of that.
    pub interval: (f64, f64),
    /// Probability that chance gives some quantity as large an area.
    pub chance: f64,
    /// The least in a painful direction (the most, for balance).
    pub painful_from: f64,
    /// The most in a painless direction (the least, for balance).
    pub painless_to: f64,
}

/// What the painful directions share, or why that cannot be said.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[serde(tag = "answer", rename_all = "snake_case")]
pub enum Shared {
    /// Nothing may be said.
    CannotSay {
        /// Why, as a sentence.
        why: String,
        /// Painful directions.
        painful: usize,
        /// Painless directions.
        painless: usize,
    },
    /// One quantity, and what cannot be told from it.
    Shares(Box<InCommon>),
}

/// The quantity that separates best.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct InCommon {
    /// The best.
    pub best: Separates,
    /// Those that go together with it, and cannot be told apart.
    pub alike: Vec<Separates>,
    /// The next one that the data do not rule out.
    pub next: Option<Separates>,
    /// The permitted movement that would settle it: much of the next, little of the best.
    pub settle: Option<String>,
    /// Painful directions.
    pub painful: usize,
    /// Painless directions.
    pub painless: usize,
    /// Quantities that were tried.
    pub tried: usize,
    /// All of it, in sentences.
    pub words: String,
}

/// The quantities of the directions that say something, one column each.
struct Columns {
    quantities: Vec<(usize, Quantity)>,
    values: Vec<Vec<f64>>,
}

/// What the painful of these directions share.
#[must_use]
pub fn shared(tried: &[Tried], probes: &[Probe]) -> Shared {
    let figures = adapt_figures();
    // In one order, whatever the order of the log.
    let mut tried: Vec<&Tried> =
        tried.iter().filter(|one| one.hurt > 0 || one.done >= figures.share_sessions).collect();
    tried.sort_by_key(|one| one.cell);
    let hurts: Vec<bool> = tried.iter().map(|one| one.hurt > 0).collect();
    let painful = hurts.iter().filter(|hurt| **hurt).count();
    let painless = hurts.len() - painful;
    let cannot = |why: String| Shared::CannotSay { why, painful, painless };
    if painful == 0 {
        return cannot("No direction hurt.".to_owned());
    }
    if painless == 0 {
        return cannot("Every direction that was done hurt: there is nothing to compare with.".to_owned());
    }
    let columns = columns(&tried);
    let Ok(found) = separate(&hurts, &columns.values, figures.share_exact, 0) else {
        return cannot("The computed quantities cannot be compared.".to_owned());
    };
    let all: Vec<Separates> = columns
        .quantities
        .iter()
        .enumerate()
        .map(|(at, (_, quantity))| {
            let (area, chance) = (found.areas[at], found.chances[at]);
            separates(*quantity, &columns.values[at], &hurts, (area, chance))
        })
        .collect();
    let best = (0..all.len()).reduce(|a, b| {
        let better = |at: usize| (all[at].area, gap(&columns.values[at], &hurts));
        if better(b).partial_cmp(&better(a)) == Some(std::cmp::Ordering::Greater) { b } else { a }
    });
    let Some(best) = best.filter(|at| all[*at].chance <= figures.share_chance) else {
        let directions = |count: usize, what: &str| {
            format!("{count} {what} direction{}", if count == 1 { "" } else { "s" })
        };
        return cannot(format!(
            "{} and {}: of {} quantities tried none separates them better than chance would.",
            directions(painful, "painful"),
            directions(painless, "painless"),
            all.len()
        ));
    };
    let goes_with = |at: usize| {
        rank_correlation(&columns.values[best], &columns.values[at])
            .is_some_and(|together| together >= figures.share_alike)
    };
    let others = || (0..all.len()).filter(move |at| *at != best);
    let mut alike: Vec<usize> = others().filter(|at| goes_with(*at)).collect();
    alike.sort_by(|a, b| all[*b].area.total_cmp(&all[*a].area));
    let next = others()
        .filter(|at| !goes_with(*at) && all[*at].interval.1 >= all[best].area && all[*at].area > 0.5)
        .reduce(|a, b| if all[b].area > all[a].area { b } else { a });
    let place = |at: usize| (columns.quantities[at].0, &columns.values[at]);
    let settle = next.and_then(|next| settles(probes, (place(best), place(next)), &hurts));
    let mut finding = InCommon {
        best: all[best].clone(),
        alike: alike.into_iter().map(|at| all[at].clone()).collect(),
        next: next.map(|at| all[at].clone()),
        settle,
        painful,
        painless,
        tried: all.len(),
        words: String::new(),
    };
    finding.words = words(&finding);
    Shared::Shares(Box::new(finding))
}

/// Each quantity that is known of every direction, the way round that is suspected.
fn columns(tried: &[&Tried]) -> Columns {
    let known = Quantity::all().into_iter().enumerate().filter_map(|(at, quantity)| {
        let value = |one: &&Tried| one.values.get(at).copied().flatten().map(|value| value * quantity.sign());
        let values = tried.iter().map(value).collect::<Option<Vec<f64>>>()?;
        Some(((at, quantity), values))
    });
    let (quantities, values) = known.unzip();
    Columns { quantities, values }
}

fn split<'a>(values: &'a [f64], hurts: &'a [bool], which: bool) -> impl Iterator<Item = f64> + 'a {
    values.iter().zip(hurts).filter(move |(_, hurt)| **hurt == which).map(|(value, _)| *value)
}

fn separates(quantity: Quantity, values: &[f64], hurts: &[bool], (area, chance): (f64, f64)) -> Separates {
    let (painful, painless) = (split(values, hurts, true).count(), split(values, hurts, false).count());
    let sign = quantity.sign();
    Separates {
        quantity,
        words: quantity.words(),
        area,
        interval: area_interval(area, painful, painless, adapt_figures().share_interval),
        chance,
        painful_from: sign * split(values, hurts, true).fold(f64::INFINITY, f64::min),
        painless_to: sign * split(values, hurts, false).fold(f64::NEG_INFINITY, f64::max),
    }
}

/// The middles of the two groups.
fn middles(values: &[f64], hurts: &[bool]) -> (f64, f64) {
    let middle = |which: bool| {
        let mut all: Vec<f64> = split(values, hurts, which).collect();
        all.sort_by(f64::total_cmp);
        let half = all.len() / 2;
        if all.len() % 2 == 1 { all[half] } else { (all[half - 1] + all[half]) / 2.0 }
    };
    (middle(true), middle(false))
}

/// How far the groups lie apart, beside how far all values do: of two areas alike the wider one is taken.
fn gap(values: &[f64], hurts: &[bool]) -> f64 {
    let (painful, painless) = middles(values, hurts);
    let range = values.iter().copied().fold(f64::NEG_INFINITY, f64::max)
        - values.iter().copied().fold(f64::INFINITY, f64::min);
    // Rounded, so that the same figures computed in a mirror give the same answer.
    if range > 0.0 { ((painful - painless) / range / 1e-6).round() } else { 0.0 }
}

/// One quantity by its place, and its values over the cells.
type Column<'a> = (usize, &'a Vec<f64>);

/// The permitted movement with most of the next and least of the best: painless, the best is right; painful, the
/// next is. The other way round would be expected to hurt, and is never proposed.
fn settles(probes: &[Probe], (best, next): (Column<'_>, Column<'_>), hurts: &[bool]) -> Option<String> {
    // +1 at the middle of the painful, −1 at that of the painless; more says no more.
    let stands = |(at, values): (usize, &Vec<f64>), probe: &Probe| {
        let (painful, painless) = middles(values, hurts);
        let half = (painful - painless) / 2.0;
        let value = probe.values.get(at).copied().flatten()? * Quantity::all().get(at)?.sign();
        (half > 0.0).then(|| ((value - painless - half) / half).clamp(-1.0, 1.0))
    };
    let told = probes.iter().filter_map(|probe| {
        let (little, much) = (stands(best, probe)?, stands(next, probe)?);
        (little < 0.0 && much > 0.0).then_some((much - little, probe))
    });
    // Of two as telling the one whose sentence comes first.
    let chosen = told.reduce(|a, b| {
        let larger = b.0 > a.0 + 1e-9 || (b.0 > a.0 - 1e-9 && b.1.sentence < a.1.sentence);
        if larger { b } else { a }
    });
    chosen.map(|(_, probe)| probe.sentence.clone())
}

fn words(found: &InCommon) -> String {
    let best = &found.best;
    let (painful, painless) = best.quantity.say_both(best.painful_from, best.painless_to);
    let mut out = format!(
        "What the {} painful directions share: {}, {} or {} in each of them and {} or {} in the {} painless ones",
        found.painful,
        best.words,
        painful,
        if best.quantity.sign() > 0.0 { "more" } else { "less" },
        painless,
        if best.quantity.sign() > 0.0 { "less" } else { "more" },
        found.painless
    );
    out.push_str(&format!(
        " (area {:.2}, 95 % interval {:.2} to {:.2}; of {} quantities tried chance gives some as much in {} of 100 cases). All are the model's estimates, and a hint where to look, not a cause.",
        best.area,
        best.interval.0,
        best.interval.1,
        found.tried,
        percent(best.chance)
    ));
    if !found.alike.is_empty() {
        let alike: Vec<&str> = found.alike.iter().map(|one| one.words.as_str()).collect();
        out.push_str(&format!(" It cannot be told apart here from {}.", alike.join(", ")));
    }
    if let Some(next) = &found.next {
        out.push_str(&format!(" Next comes {} (area {:.2})", next.words, next.area));
        out.push_str(&match &found.settle {
            Some(movement) => format!(
                "; what would settle it: {movement}. It has much of this and little of the other: if it does not hurt, it is {} rather.",
                best.words
            ),
            None => "; no movement permitted today would tell the two apart.".to_owned(),
        });
    }
    out
}

fn percent(chance: f64) -> String {
    let percent = chance * 100.0;
    if percent < 1.0 { "less than 1".to_owned() } else { format!("about {percent:.0}") }
}
