//! Published orderings from a table, tried on several bodies, distances and depths.
//!
//! An ordering is a statement about movements, muscles, joints or legs. It is tried in every
//! setting the table names, since the publications rarely say how far or how deep. It *agrees*
//! where it holds in at least two thirds of the settings that the engine could answer, it
//! *disagrees* where it holds in no more than one third, and in between nothing can be said.
//! These shares were fixed before any result was seen.

use std::collections::BTreeMap;

use quantity::reference::{HowRead, TableHead};
use serde::Deserialize;

use crate::asked::{Asked, Computed, Distance};
use crate::claim::{Claim, Expectation, Outcome, change, outcome, percent_above, slope};
use crate::measure::{At, Measure};
use crate::people::{Person, people};
use crate::row::{Row, Topic, Verdict, shown};

/// A share of settings in which a claim must hold to agree; the rest of one is where it disagrees.
const MOST: f64 = 2.0 / 3.0;

/// One thing that is compared: a measure over one or several movements.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
struct Term {
    /// As it is printed.
    name: String,
    /// Movements by id; several count with their mean unless the claim is about a change.
    movements: Vec<String>,
    measure: Measure,
    #[serde(default)]
    at: At,
}

/// One statement of a publication.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
struct ClaimRow {
    id: String,
    what: String,
    /// As the publication says it, with its figures.
    published: String,
    source: String,
    #[serde(default, rename = "where")]
    #[allow(dead_code, reason = "printed on the reference page only")]
    place: String,
    read: HowRead,
    #[serde(default)]
    #[allow(dead_code, reason = "printed on the reference page only")]
    note: String,
    /// Why it cannot be tried, where it cannot.
    cannot: Option<String>,
    #[serde(default)]
    bodies: Vec<String>,
    #[serde(default)]
    distances: Vec<Distance>,
    #[serde(default = "no_depth")]
    depths: Vec<f64>,
    /// Seconds of one way, for measures in time.
    #[serde(default = "usual_tempo")]
    seconds: Vec<f64>,
    expect: Option<Expectation>,
    #[serde(default = "same_within")]
    same_within: f64,
    #[serde(default)]
    term: Vec<Term>,
    #[serde(default = "unexplained")]
    likely: String,
    #[serde(default = "two_digits")]
    digits: usize,
    #[serde(default)]
    unit: String,
}

fn no_depth() -> Vec<f64> {
    vec![0.0]
}

fn usual_tempo() -> Vec<f64> {
    vec![2.0]
}

fn same_within() -> f64 {
    0.02
}

fn two_digits() -> usize {
    2
}

fn unexplained() -> String {
    "not explained yet".to_owned()
}

/// A table of orderings.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Orderings {
    #[allow(dead_code, reason = "heads are checked by the repository's own tests")]
    table: TableHead,
    movement: Vec<Asked>,
    claim: Vec<ClaimRow>,
}

/// Why a table of orderings cannot be used.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum OrderingsError {
    /// It does not parse.
    #[error("the table of orderings is not understood: {0}")]
    Format(String),
    /// A claim names a movement or a body that is not there.
    #[error("claim `{claim}` names {kind} `{name}`, which the table does not hold; it holds: {known}")]
    Unknown {
        /// The claim.
        claim: String,
        /// `movement` or `body`.
        kind: &'static str,
        /// What was named.
        name: String,
        /// What there is.
        known: String,
    },
    /// A claim has neither terms nor a reason why it cannot be tried.
    #[error(
        "claim `{claim}` needs `expect`, `bodies`, `distances` and at least one `term`, or `cannot` with a reason"
    )]
    Empty {
        /// The claim.
        claim: String,
    },
}

/// One setting in which a claim is tried.
#[derive(Clone, Copy)]
struct Setting<'a> {
    body: &'a str,
    distance: Distance,
    depth: f64,
    seconds: f64,
}

/// What one setting said.
struct Said {
    outcome: Outcome,
    terms: Vec<Vec<f64>>,
}

type Known = BTreeMap<String, Result<Computed, String>>;

impl Orderings {
    /// Reads a table in the form of `reference/validation/orderings.toml`.
    ///
    /// # Errors
    /// Names the line that is not understood, or the claim with a name that is not there.
    pub fn read(text: &str) -> Result<Self, OrderingsError> {
        let all: Self = toml::from_str(text).map_err(|e| OrderingsError::Format(e.to_string()))?;
        let movements: Vec<&str> = all.movement.iter().map(|m| m.id.as_str()).collect();
        let bodies: Vec<&str> = people().keys().map(String::as_str).collect();
        let check = |claim: &str, kind: &'static str, name: &str, known: &[&str]| {
            if known.contains(&name) {
                return Ok(());
            }
            Err(OrderingsError::Unknown {
                claim: claim.to_owned(),
                kind,
                name: name.to_owned(),
                known: known.join(", "),
            })
        };
        for claim in &all.claim {
            let complete = claim.expect.is_some()
                && !claim.bodies.is_empty()
                && !claim.distances.is_empty()
                && !claim.term.is_empty()
                && claim.term.iter().all(|term| !term.movements.is_empty());
            if !complete && claim.cannot.is_none() {
                return Err(OrderingsError::Empty { claim: claim.id.clone() });
            }
            for body in &claim.bodies {
                check(&claim.id, "body", body, &bodies)?;
            }
            for name in claim.term.iter().flat_map(|term| &term.movements) {
                check(&claim.id, "movement", name, &movements)?;
            }
        }
        Ok(all)
    }

    /// Tries every claim.
    #[must_use]
    pub fn judged(&self) -> Vec<Row> {
        let mut known = Known::new();
        self.claim.iter().map(|claim| self.row(claim, &mut known)).collect()
    }

    fn row(&self, claim: &ClaimRow, known: &mut Known) -> Row {
        let (model, verdict) = match (&claim.cannot, &claim.expect) {
            (Some(why), _) => ("–".to_owned(), Verdict::CannotSay { why: why.clone() }),
            (None, None) => ("–".to_owned(), Verdict::CannotSay { why: String::new() }),
            (None, Some(expect)) => {
                let shape = Claim { expect: expect.clone(), same_within: claim.same_within };
                self.tried(claim, &shape, known)
            }
        };
        Row {
            id: claim.id.clone(),
            topic: Topic::Orderings,
            what: claim.what.clone(),
            model,
            published: claim.published.clone(),
            unit: claim.unit.clone(),
            source: claim.source.clone(),
            read: claim.read,
            tolerance: tolerance(claim),
            verdict,
        }
    }

    fn tried(&self, claim: &ClaimRow, shape: &Claim, known: &mut Known) -> (String, Verdict) {
        let mut said = Vec::new();
        let mut refused = Vec::new();
        for body in &claim.bodies {
            for distance in &claim.distances {
                for depth in &claim.depths {
                    for seconds in &claim.seconds {
                        let setting = Setting { body, distance: *distance, depth: *depth, seconds: *seconds };
                        match self.setting(claim, shape, setting, known) {
                            Ok(answer) => said.push(answer),
                            Err(why) => refused.push(why),
                        }
                    }
                }
            }
        }
        let asked = said.len() + refused.len();
        if said.is_empty() {
            return ("–".to_owned(), Verdict::CannotSay { why: unanswered(&refused, asked) });
        }
        let count = |wanted: Outcome| said.iter().filter(|s| s.outcome == wanted).count();
        let (holds, close) = (count(Outcome::Holds), count(Outcome::TooClose));
        let mut model = summary(claim, &shape.expect, &said, &self.places(claim));
        model.push_str(&format!("; holds in {holds} of {} settings", said.len()));
        if close > 0 {
            model.push_str(&format!(", about the same in {close}"));
        }
        if !refused.is_empty() {
            model.push_str(&format!(", no answer in {} more", refused.len()));
        }
        let share = holds as f64 / said.len() as f64;
        let verdict = if said.len() * 2 < asked {
            Verdict::CannotSay { why: unanswered(&refused, asked) }
        } else if share >= MOST - 1e-9 {
            Verdict::Agrees
        } else if share <= 1.0 - MOST + 1e-9 {
            Verdict::Disagrees { likely: claim.likely.clone() }
        } else {
            Verdict::CannotSay { why: "it depends on body, distance or depth".to_owned() }
        };
        (model, verdict)
    }

    fn setting(
        &self,
        claim: &ClaimRow,
        shape: &Claim,
        setting: Setting<'_>,
        known: &mut Known,
    ) -> Result<Said, String> {
        let person = &people()[setting.body];
        let mut terms = Vec::new();
        for term in &claim.term {
            let mut values = Vec::new();
            for name in &term.movements {
                let done = self.computed(name, person, setting, known)?;
                values.push(term.measure.of(person, done, term.at, setting.seconds)?);
            }
            terms.push(values);
        }
        Ok(Said { outcome: outcome(shape, &terms, &self.places(claim)), terms })
    }

    fn computed<'k>(
        &self,
        name: &str,
        person: &Person,
        setting: Setting<'_>,
        known: &'k mut Known,
    ) -> Result<&'k Computed, String> {
        let asked =
            self.movement.iter().find(|m| m.id == name).ok_or_else(|| format!("no movement `{name}`"))?;
        let Setting { body, distance, depth, seconds } = setting;
        let key = format!("{name} {body} {distance:?} {depth} {seconds}");
        let make = || asked.compute(person, distance, depth);
        known.entry(key).or_insert_with(make).as_ref().map_err(Clone::clone)
    }

    /// Where the movements of a claim about change lie: the load they carry, else the lean they
    /// ask for, else their order.
    fn places(&self, claim: &ClaimRow) -> Vec<f64> {
        let Some(term) = claim.term.first() else { return Vec::new() };
        let of = |read: &dyn Fn(&Asked) -> f64| -> Vec<f64> {
            term.movements
                .iter()
                .filter_map(|name| self.movement.iter().find(|m| m.id == *name))
                .map(read)
                .collect()
        };
        let differ = |places: &[f64]| places.windows(2).any(|pair| pair[0] != pair[1]);
        let load = of(&|m| m.load_of_body_mass);
        if differ(&load) {
            return load;
        }
        let lean = of(&|m| m.lean_deg.unwrap_or(0.0));
        if differ(&lean) {
            return lean;
        }
        (0..term.movements.len()).map(|k| k as f64).collect()
    }
}

/// How often the engine had no answer, and why the first time.
fn unanswered(refused: &[String], asked: usize) -> String {
    let first = refused.first().map_or("", String::as_str);
    format!("no answer in {} of {asked} settings; the first: {first}", refused.len())
}

fn tolerance(claim: &ClaimRow) -> String {
    match &claim.expect {
        None => String::new(),
        Some(Expectation::Percent { within, .. }) => {
            format!(
                "± {within} points: half the published difference and at least ten points; no spread was read"
            )
        }
        Some(Expectation::Same { within, relative } | Expectation::Flat { within, relative }) => {
            let unit = if *relative {
                format!("{} % of the mean", shown(within * 100.0, 0))
            } else {
                format!("{within} {}", claim.unit)
            };
            format!("spread up to {unit} counts as unchanged")
        }
        Some(Expectation::ShareOfSum { within, .. }) => format!("± {within}"),
        Some(
            Expectation::Order
            | Expectation::Greatest
            | Expectation::Least
            | Expectation::SlopeOrder
            | Expectation::ChangesLeast
            | Expectation::Rises,
        ) => {
            format!("within {} % counts as the same", shown(claim.same_within * 100.0, 0))
        }
    }
}

fn median(mut values: Vec<f64>) -> f64 {
    values.sort_by(f64::total_cmp);
    let n = values.len();
    if n == 0 {
        return f64::NAN;
    }
    f64::midpoint(values[(n - 1) / 2], values[n / 2])
}

/// Medians over the settings, in the form of the claim.
fn summary(claim: &ClaimRow, expect: &Expectation, said: &[Said], places: &[f64]) -> String {
    let mean = |values: &[f64]| values.iter().sum::<f64>() / values.len() as f64;
    let over = |read: &dyn Fn(&Said) -> f64| median(said.iter().map(read).collect());
    let show = |x: f64| shown(x, claim.digits);
    let unit = if claim.unit.is_empty() { String::new() } else { format!(" {}", claim.unit) };
    match expect {
        Expectation::Percent { .. } => {
            let all: Vec<f64> =
                said.iter().map(|s| percent_above(mean(&s.terms[0]), mean(&s.terms[1]))).collect();
            let least = all.iter().copied().fold(f64::INFINITY, f64::min);
            let most = all.iter().copied().fold(f64::NEG_INFINITY, f64::max);
            format!("{} % (settings: {} to {})", signed(median(all)), signed(least), signed(most))
        }
        Expectation::ShareOfSum { .. } => {
            let share = over(&|s| mean(&s.terms[0]) / s.terms.iter().map(|t| mean(t)).sum::<f64>());
            format!("{} of the sum", show(share))
        }
        Expectation::SlopeOrder => {
            let parts: Vec<String> = claim
                .term
                .iter()
                .enumerate()
                .map(|(k, term)| format!("{} {}", term.name, show(over(&|s| slope(&s.terms[k], places)))))
                .collect();
            format!("slopes: {}{unit}", parts.join(", "))
        }
        Expectation::ChangesLeast => {
            let parts: Vec<String> = claim
                .term
                .iter()
                .enumerate()
                .map(|(k, term)| {
                    let changed = over(&|s| change(&s.terms[k]));
                    let sign = if changed > 0.0 { "+" } else { "" };
                    format!("{} {sign}{}", term.name, show(changed).replace('-', "−"))
                })
                .collect();
            format!("changes: {}{unit}", parts.join(", "))
        }
        Expectation::Rises | Expectation::Flat { .. } => {
            let parts: Vec<String> = claim
                .term
                .iter()
                .enumerate()
                .map(|(k, term)| {
                    let values: Vec<String> =
                        (0..term.movements.len()).map(|m| show(over(&|s| s.terms[k][m]))).collect();
                    format!("{} {}", term.name, values.join(" → "))
                })
                .collect();
            format!("{}{unit}", parts.join(", "))
        }
        Expectation::Order | Expectation::Greatest | Expectation::Least | Expectation::Same { .. } => {
            let parts: Vec<String> = claim
                .term
                .iter()
                .enumerate()
                .map(|(k, term)| format!("{} {}", term.name, show(over(&|s| mean(&s.terms[k])))))
                .collect();
            format!("{}{unit}", parts.join(", "))
        }
    }
}

fn signed(percent: f64) -> String {
    let text = shown(percent, 0);
    if text.starts_with('-') || text == "0" { text.replace('-', "−") } else { format!("+{text}") }
}

/// The orderings of `reference/validation/orderings.toml`.
///
/// # Panics
/// When the built-in table does not parse, which a test rules out.
pub(crate) fn rows() -> Vec<Row> {
    Orderings::read(include_str!("../../../reference/validation/orderings.toml"))
        .unwrap_or_else(|e| panic!("reference/validation/orderings.toml: {e}"))
        .judged()
}
