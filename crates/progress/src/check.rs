//! One criterion, and where somebody stands in it.

use jiff::civil::Date;
use measurement::{Scale, Unit};
use quantity::reference::HowRead;
use safety::{FindingKey, Looked, shelf_life};
use serde::Serialize;

use crate::criteria::{Activity, Domain, Row, Set, observation};
use crate::evidence::Evidence;
use crate::measure;

/// A measured value beside a threshold.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Measured {
    /// The value, in `unit`.
    pub value: f64,
    /// Its unit.
    pub unit: Unit,
    /// Its scale.
    pub scale: Scale,
    /// The threshold, in `unit`.
    pub threshold: f64,
    /// Standard error of the value, in `unit`; none where nobody knows it.
    pub error: Option<f64>,
    /// Where the error comes from, in words.
    pub error_from: String,
    /// Probability that the true value meets the criterion; none where the error is not known.
    pub chance_met: Option<f64>,
    /// Involved and other limb as measured, where the value compares them.
    pub limbs: Option<(f64, f64)>,
    /// Unit of the two limbs.
    pub limb_unit: Unit,
    /// The involved limb in per cent of height or limb length, where a symmetry could hide two weak limbs.
    pub of_body: Option<(f64, Scale)>,
    /// The involved limb in per cent of the other one before the operation, where that was measured: lower than
    /// the symmetry where the other limb lost strength too.
    pub before_injury: Option<f64>,
    /// The day of the test.
    pub on: Date,
}

/// Where somebody stands in a criterion.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[serde(tag = "standing", rename_all = "snake_case")]
pub enum Standing {
    /// It is met.
    Met {
        /// What was found, in words.
        found: String,
        /// The measurement, where it is one.
        measured: Option<Measured>,
    },
    /// It is not met.
    NotMet {
        /// What was found, in words.
        found: String,
        /// The measurement, where it is one.
        measured: Option<Measured>,
    },
    /// Nobody knows.
    NotTested {
        /// Why, in words.
        why: String,
    },
}

impl Standing {
    /// Whether it is met.
    #[must_use]
    pub fn is_met(&self) -> bool {
        matches!(self, Self::Met { .. })
    }
}

/// One criterion and where somebody stands in it.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Check {
    /// Set and criterion: `sport/single_hop`.
    pub key: String,
    /// The set it belongs to, in words.
    pub set: String,
    /// What it is about.
    pub domain: Domain,
    /// What is needed, in words.
    pub needed: String,
    /// Where somebody stands.
    pub standing: Standing,
    /// Bibliography key.
    pub source: String,
    /// How it was read.
    pub read: HowRead,
    /// What to know about it.
    pub note: String,
}

pub(crate) fn check(set: &Set, row: &Row, activity: Activity, evidence: &Evidence<'_>) -> Check {
    let (needed, standing) = if let Some(asked) = &row.measure {
        let ages_as = row.ages_as.expect("a test of this crate asks that every measured row says it");
        let standing = match (measure::stand(asked, ages_as, activity, evidence), &row.instead) {
            (Standing::NotTested { why }, Some(instead))
                if !measure::was_tried(asked, ages_as, activity, evidence) =>
            {
                let (_, standing) = look(instead, evidence);
                match standing {
                    Standing::NotTested { .. } => Standing::NotTested { why },
                    Standing::Met { found, .. } => {
                        Standing::Met { found: format!("{found} (no error known)"), measured: None }
                    }
                    other => other,
                }
            }
            (standing, _) => standing,
        };
        (measure::needed(asked), standing)
    } else if let Some(criterion) = &row.finding {
        look(criterion, evidence)
    } else {
        observe(row.observed.as_deref().unwrap_or_default(), evidence)
    };
    Check {
        key: format!("{}/{}", set.key, row.key),
        set: set.words.clone(),
        domain: row.domain,
        needed,
        standing,
        source: row.source.clone(),
        read: row.read,
        note: row.note.clone(),
    }
}

/// A criterion about findings, asked by the same rules as the gates ask it.
fn look(criterion: &safety::Criterion, evidence: &Evidence<'_>) -> (String, Standing) {
    let needed = criterion.wanted(evidence.involved);
    let standing = match criterion.look(evidence.findings, evidence.involved, evidence.today()) {
        Looked::Holds { words } => Standing::Met { found: words, measured: None },
        Looked::NotEnough { words, .. } => Standing::NotMet { found: words, measured: None },
        Looked::NotAssessed { words, .. } => Standing::NotTested { why: words },
    };
    (needed, standing)
}

fn observe(key: &str, evidence: &Evidence<'_>) -> (String, Standing) {
    let Some(row) = observation(key) else {
        return (key.to_owned(), Standing::NotTested { why: format!("`{key}` is not known") });
    };
    let latest = evidence
        .observed
        .iter()
        .filter(|one| one.key == key && is_fresh(one.on, row.ages_as, evidence))
        .max_by_key(|one| one.on);
    let standing = match latest {
        Some(one) if one.is => Standing::Met { found: format!("seen on {}", one.on), measured: None },
        Some(one) => Standing::NotMet { found: format!("not so on {}", one.on), measured: None },
        None => Standing::NotTested { why: "not observed, or too long ago".to_owned() },
    };
    (row.words.clone(), standing)
}

/// Whether a result of a day still counts: not in the future, and within the shelf life.
pub(crate) fn is_fresh(on: Date, ages_as: FindingKey, evidence: &Evidence<'_>) -> bool {
    let age = (evidence.today() - on).get_days();
    (0..=i32::from(shelf_life(ages_as).days)).contains(&age)
}
