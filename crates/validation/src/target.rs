//! Published figures of `reference/validation/`, parsed once.

use std::collections::BTreeMap;
use std::sync::OnceLock;

use quantity::reference::{HowRead, TableHead};
use serde::Deserialize;

use crate::row::{Topic, shown};

/// One published figure with its spread and the tolerance it is judged by.
///
/// With a `tolerance` the model must lie within it of `value`; without one it must lie between
/// `low` and `high`. A target with neither is printed and never judged.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Target {
    /// Short name, unique in the report.
    pub id: String,
    /// Section of the report.
    pub topic: Topic,
    /// What the figure is.
    pub what: String,
    /// The figure; none where only its place is known.
    pub value: Option<f64>,
    /// One standard deviation, where it was read.
    pub sd: Option<f64>,
    /// Lower end of the published range or interval.
    pub low: Option<f64>,
    /// Upper end of the published range or interval.
    pub high: Option<f64>,
    /// How far the model may be off.
    pub tolerance: Option<f64>,
    /// Why that tolerance.
    pub why: String,
    /// Unit; empty for a plain number.
    #[serde(default)]
    pub unit: String,
    /// Decimals that are printed.
    pub digits: usize,
    /// Key of the bibliography.
    pub source: String,
    /// Table, figure or page of that source.
    #[serde(default, rename = "where")]
    pub place: String,
    /// How the figure was read.
    pub read: HowRead,
    /// Anything a reader must know.
    #[serde(default)]
    pub note: String,
    /// The likely reason when the model disagrees.
    #[serde(default = "unexplained")]
    pub likely: String,
}

fn unexplained() -> String {
    "not explained yet".to_owned()
}

impl Target {
    /// The figure, for a target that has one.
    ///
    /// # Panics
    /// When the table gives none: a row that needs it names its target in code.
    #[must_use]
    pub fn figure(&self) -> f64 {
        self.value.unwrap_or_else(|| panic!("target `{}` has no figure", self.id))
    }

    /// Whether a model's answer is within the tolerance or the published range.
    #[must_use]
    pub fn accepts(&self, model: f64) -> bool {
        match (self.value, self.tolerance, self.low, self.high) {
            (Some(value), Some(tolerance), ..) => (model - value).abs() <= tolerance,
            (_, None, Some(low), Some(high)) => (low..=high).contains(&model),
            _ => false,
        }
    }

    /// The figure with its spread.
    #[must_use]
    pub fn published(&self) -> String {
        let show = |x: f64| shown(x, self.digits);
        let mut text = self.value.map_or_else(|| "–".to_owned(), show);
        if let Some(sd) = self.sd {
            text.push_str(&format!(" ± {}", show(sd)));
        }
        if let (Some(low), Some(high)) = (self.low, self.high) {
            text.push_str(&format!(" ({} to {})", show(low), show(high)));
        }
        text
    }

    /// The tolerance and its reason.
    #[must_use]
    pub fn tolerance_text(&self) -> String {
        match self.tolerance {
            Some(tolerance) => format!("± {}: {}", trimmed(tolerance), self.why),
            None => self.why.clone(),
        }
    }
}

/// A tolerance as it stands in the table, without trailing zeros.
fn trimmed(value: f64) -> String {
    format!("{value}")
}

#[derive(Deserialize)]
struct Table {
    #[allow(dead_code, reason = "heads are checked by the repository's own tests")]
    table: TableHead,
    target: Vec<Target>,
    /// What worked examples start from, by example and name.
    #[serde(flatten)]
    inputs: BTreeMap<String, BTreeMap<String, Input>>,
}

/// What a worked example starts from.
#[derive(Clone, Copy, Debug, Deserialize)]
#[serde(untagged)]
enum Input {
    Number(f64),
    Point([f64; 2]),
}

fn input(example: &str, name: &str) -> Input {
    static ALL: OnceLock<BTreeMap<String, BTreeMap<String, Input>>> = OnceLock::new();
    let all = ALL.get_or_init(|| FILES.iter().flat_map(|(name, text)| parsed(name, text).inputs).collect());
    all.get(example)
        .and_then(|inputs| inputs.get(name))
        .copied()
        .unwrap_or_else(|| panic!("reference/validation/ holds no input `{name}` of `{example}`"))
}

/// A number that a worked example starts from.
pub(crate) fn number(example: &str, name: &str) -> f64 {
    match input(example, name) {
        Input::Number(value) => value,
        Input::Point(_) => panic!("input `{name}` of `{example}` is a point"),
    }
}

/// A point that a worked example starts from: forward and up.
pub(crate) fn point(example: &str, name: &str) -> [f64; 2] {
    match input(example, name) {
        Input::Point(value) => value,
        Input::Number(_) => panic!("input `{name}` of `{example}` is a number"),
    }
}

fn parsed(name: &str, text: &str) -> Table {
    toml::from_str(text).unwrap_or_else(|e| panic!("reference/validation/{name}: {e}"))
}

const FILES: [(&str, &str); 8] = [
    ("worked_examples.toml", include_str!("../../../reference/validation/worked_examples.toml")),
    ("body.toml", include_str!("../../../reference/validation/body.toml")),
    ("contact_force.toml", include_str!("../../../reference/validation/contact_force.toml")),
    ("knee_strength.toml", include_str!("../../../reference/validation/knee_strength.toml")),
    ("lunge_moments.toml", include_str!("../../../reference/validation/lunge_moments.toml")),
    ("muscles.toml", include_str!("../../../reference/validation/muscles.toml")),
    ("strength.toml", include_str!("../../../reference/validation/strength.toml")),
    ("reach_and_stability.toml", include_str!("../../../reference/validation/reach_and_stability.toml")),
];

/// Every published figure by its short name.
///
/// # Panics
/// When a built-in table does not parse or a name stands twice, which a test rules out.
#[must_use]
pub fn targets() -> &'static BTreeMap<String, Target> {
    static ALL: OnceLock<BTreeMap<String, Target>> = OnceLock::new();
    ALL.get_or_init(|| {
        let mut all = BTreeMap::new();
        for (name, text) in FILES {
            for target in parsed(name, text).target {
                let id = target.id.clone();
                assert!(all.insert(id.clone(), target).is_none(), "target `{id}` stands twice");
            }
        }
        all
    })
}

/// One published figure.
///
/// # Panics
/// When no table holds it: a row names its target in code, so that is a mistake of the program.
#[must_use]
pub fn target(id: &str) -> &'static Target {
    targets().get(id).unwrap_or_else(|| panic!("reference/validation/ holds no target `{id}`"))
}
