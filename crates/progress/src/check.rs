//! One criterion, and where somebody stands in it.

use anatomy::Side;
use jiff::civil::Date;
use measurement::{InstrumentKey, Scale, Unit};
use quantity::reference::HowRead;
use safety::{Bar, CriterionAsked, FindingKey, FoundToday, Looked, shelf_life};
use serde::Serialize;

use crate::conflict::with_day;
use crate::criteria::{Activity, Domain, Measure, Row, Set, observation};
use crate::evidence::{Evidence, Observed};
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
    /// The limb that counted, where a limb was tested by itself.
    pub side: Option<Side>,
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
    /// It was measured, and the error of the test leaves open whether the limb is worse than the other one.
    CannotTell {
        /// What was found, in words.
        found: String,
        /// The measurement.
        measured: Measured,
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

    /// What was measured, where it is a measurement.
    #[must_use]
    pub fn measured(&self) -> Option<&Measured> {
        match self {
            Self::Met { measured, .. } | Self::NotMet { measured, .. } => measured.as_ref(),
            Self::CannotTell { measured, .. } => Some(measured),
            Self::NotTested { .. } => None,
        }
    }
}

/// What a criterion asks, as data.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[serde(tag = "asks", rename_all = "snake_case")]
pub enum Asks {
    /// A test.
    Test {
        /// The test.
        test: InstrumentKey,
        /// Another one that counts as well.
        or: Option<InstrumentKey>,
        /// The scale of the bar.
        scale: Scale,
        /// What it must show; none where it must not be worse than the other limb.
        bar: Option<Bar>,
        /// Whether the worse of both limbs counts.
        both_limbs: bool,
    },
    /// A finding, then what counts instead of it.
    Finding {
        /// Any one of these.
        any_of: Vec<CriterionAsked>,
    },
    /// Something that a clinician says.
    Observed {
        /// Its key.
        key: String,
        /// What was said last, and when; none where nobody said anything that counts.
        said: Option<(bool, Date)>,
    },
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
    /// What is needed, as data.
    pub asks: Asks,
    /// What is needed, in words.
    pub needed: String,
    /// Where somebody stands.
    pub standing: Standing,
    /// The finding that was looked at, where one decides.
    pub known: Option<FoundToday>,
    /// Bibliography key.
    pub source: String,
    /// How it was read.
    pub read: HowRead,
    /// What to know about it.
    pub note: String,
    /// The finding of the case about the same thing, where a test was done and the finding still counts.
    pub finding_beside: Option<FoundToday>,
}

pub(crate) fn check(set: &Set, row: &Row, activity: Activity, evidence: &Evidence<'_>) -> Check {
    let mut finding_beside = None;
    let (needed, standing) = if let Some(asked) = &row.measure {
        let ages_as = row.ages_as.expect("a test of this crate asks that every measured row says it");
        let mut standing = match (measure::stand(asked, ages_as, activity, evidence), &row.instead) {
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
        if row.domain == Domain::Confidence && matches!(standing, Standing::NotTested { .. }) {
            standing = answered_for_more(asked, ages_as, activity, evidence).unwrap_or(standing);
        }
        if standing.measured().is_some() {
            let known = |one: &safety::Criterion| {
                one.known_today(evidence.findings, evidence.involved, evidence.today())
            };
            finding_beside = row.instead.as_ref().and_then(known);
        }
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
        asks: asks(row, evidence),
        needed,
        known: known(row, &standing, evidence),
        standing,
        source: row.source.clone(),
        read: row.read,
        note: row.note.clone(),
        finding_beside,
    }
}

/// What a row asks.
fn asks(row: &Row, evidence: &Evidence<'_>) -> Asks {
    if let Some(asked) = &row.measure {
        let bars =
            [asked.at_least.map(Bar::AtLeast), asked.above.map(Bar::Above), asked.below.map(Bar::Below)];
        return Asks::Test {
            test: asked.instrument,
            or: asked.or_instrument,
            scale: asked.scale,
            bar: bars.into_iter().flatten().next(),
            both_limbs: asked.both_limbs,
        };
    }
    if let Some(criterion) = &row.finding {
        return Asks::Finding { any_of: criterion.asks() };
    }
    let key = row.observed.clone().unwrap_or_default();
    let said = latest(&key, evidence)
        .filter(|one| observation(&key).is_some_and(|row| is_fresh(one.on, row.ages_as, evidence)));
    Asks::Observed { said: said.map(|one| (one.is, one.on)), key }
}

/// The finding that decided: that of a criterion about findings, or the one that stood in for a test.
fn known(row: &Row, standing: &Standing, evidence: &Evidence<'_>) -> Option<FoundToday> {
    let criterion = match (&row.finding, &row.instead, standing) {
        (Some(criterion), _, _) => criterion,
        (
            None,
            Some(instead),
            Standing::Met { measured: None, .. } | Standing::NotMet { measured: None, .. },
        ) => instead,
        _ => return None,
    };
    criterion.known_today(evidence.findings, evidence.involved, evidence.today())
}

/// Who relies on the leg in something harder relies on it in what that builds on. An answer that is not enough
/// there says nothing here.
fn answered_for_more(
    asked: &Measure,
    ages_as: FindingKey,
    activity: Activity,
    evidence: &Evidence<'_>,
) -> Option<Standing> {
    activity.carries().find_map(|harder| match measure::stand(asked, ages_as, harder, evidence) {
        Standing::Met { found, measured } => {
            let found = format!("{found}, asked about {}, which builds on it", harder.words());
            Some(Standing::Met { found, measured })
        }
        _ => None,
    })
}

/// A criterion about findings, asked by the same rules as the gates ask it.
fn look(criterion: &safety::Criterion, evidence: &Evidence<'_>) -> (String, Standing) {
    let needed = criterion.wanted(evidence.involved);
    let known = criterion.known_today(evidence.findings, evidence.involved, evidence.today());
    let dated = |words: String| match &known {
        Some(one) => with_day(&words, &one.words, one.on),
        None => words,
    };
    let standing = match criterion.look(evidence.findings, evidence.involved, evidence.today()) {
        Looked::Holds { words } => Standing::Met { found: dated(words), measured: None },
        Looked::NotEnough { words, .. } => Standing::NotMet { found: dated(words), measured: None },
        Looked::NotAssessed { words, .. } => Standing::NotTested { why: words },
    };
    (needed, standing)
}

fn observe(key: &str, evidence: &Evidence<'_>) -> (String, Standing) {
    let Some(row) = observation(key) else {
        return (key.to_owned(), Standing::NotTested { why: format!("`{key}` is not known") });
    };
    let standing = match latest(key, evidence) {
        Some(one) if !is_fresh(one.on, row.ages_as, evidence) => {
            Standing::NotTested { why: too_long_ago("observed", one.on, row.ages_as) }
        }
        Some(one) if one.is => Standing::Met { found: format!("seen on {}", one.on), measured: None },
        Some(one) => Standing::NotMet { found: format!("not so on {}", one.on), measured: None },
        None => Standing::NotTested { why: "nobody has observed it".to_owned() },
    };
    (row.words.clone(), standing)
}

/// What a clinician said last.
fn latest<'a>(key: &str, evidence: &Evidence<'a>) -> Option<&'a Observed> {
    let about = evidence.observed.iter().filter(|one| one.key == key && one.on <= evidence.today());
    about.max_by_key(|one| one.on)
}

/// What is said of a result that does not count any more.
pub(crate) fn too_long_ago(done: &str, on: Date, ages_as: FindingKey) -> String {
    format!("last {done} on {on}, too long ago; it counts for {} days", shelf_life(ages_as).days)
}

/// Whether a result of a day still counts: not in the future, and within the shelf life.
pub(crate) fn is_fresh(on: Date, ages_as: FindingKey, evidence: &Evidence<'_>) -> bool {
    let age = (evidence.today() - on).get_days();
    (0..=i32::from(shelf_life(ages_as).days)).contains(&age)
}
