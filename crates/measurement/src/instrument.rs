//! The tests as data: unit, trials, which way is better, what is stored beside a result.

mod form;
mod rows;

use movement::{AnatomicalDirection, Family};
use quantity::reference::HowRead;
use serde::{Deserialize, Serialize};

use crate::StanceDirection;
use crate::trial::InvalidReason;
use crate::unit::{Scale, Unit};

pub use form::ScoreForm;

/// Which way is better.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Better {
    /// More is better.
    Higher,
    /// Less is better.
    Lower,
    /// It depends on something that is not stored: no change is judged.
    Neither,
}

impl Better {
    /// +1 where more on the scale is better, −1 where less is; 0 where nobody knows. A symmetry is always better
    /// when higher, since timed tests are inverted in it.
    #[must_use]
    pub fn sign(self, scale: Scale) -> f64 {
        match (scale, self) {
            (_, Self::Neither) => 0.0,
            (Scale::Symmetry, _) | (_, Self::Higher) => 1.0,
            (_, Self::Lower) => -1.0,
        }
    }
}

/// What one result belongs to.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Per {
    /// The person.
    Person,
    /// One limb.
    Limb,
    /// One limb and one direction.
    Direction,
}

/// What a score is made from.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum MadeFrom {
    /// Trials of a movement.
    #[default]
    Trials,
    /// One answer of the person.
    Answer,
    /// Several answers, their mean.
    Items,
    /// A total that somebody else computed: score and date only.
    Stored,
    /// Scores of other tests.
    Derived,
}

/// How two limbs are set beside each other.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum LimbComparison {
    /// 100 times involved over uninvolved.
    Ratio,
    /// 100 times uninvolved over involved, for times: below 100 is worse here too.
    InvertedRatio,
    /// Involved minus uninvolved.
    Difference,
    /// Limbs are not compared.
    None,
}

/// One test. The units of every figure stand in [`Instrument::unit`], rests in seconds.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Instrument {
    /// Its key.
    pub key: InstrumentKey,
    /// Its name, in plain words.
    pub name: String,
    /// Unit of a trial and of its score.
    pub unit: Unit,
    /// Which way is better.
    pub better: Better,
    /// What one result belongs to.
    pub per: Per,
    /// Directions of the test, named from the standing limb.
    pub directions: Vec<StanceDirection>,
    /// What a score is made from.
    pub from: MadeFrom,
    /// Trials that are scored, or fewest items.
    pub trials: u8,
    /// Most items; otherwise the same as the trials.
    pub most_trials: u8,
    /// Practice before the first scored trial.
    pub practice: u8,
    /// Rest between trials.
    pub rest_s: Option<f64>,
    /// Rest between directions, tests or limbs.
    pub rest_between_s: Option<f64>,
    /// Failed attempts after which it is recorded as not possible.
    pub stop_after_failed: Option<u8>,
    /// Score forms offered, the usual one first. They are never mixed.
    pub forms: Vec<ScoreForm>,
    /// Scales beside the raw one.
    pub normalise: Vec<Scale>,
    /// How limbs are compared.
    pub limbs: LimbComparison,
    /// Smallest value that is believed.
    pub least: f64,
    /// Largest value that is believed.
    pub most: f64,
    /// Where the test is stopped: a value there is a lower limit.
    pub cap: Option<f64>,
    /// Whether values are whole numbers.
    pub whole: bool,
    /// Whether values are so skewed that a z-score would mislead.
    pub skewed: bool,
    /// Whether "not possible" can be recorded.
    pub unable: bool,
    /// An anchor, never compared with itself over time.
    pub anchor_only: bool,
    /// Why a trial may not count.
    pub invalid: Vec<InvalidReason>,
    /// Protocol fields without which results are not compared and norms not used.
    pub needs: Vec<&'static str>,
    /// Which family of movement the test is, where it is one: it passes the same gates.
    pub movement: Option<Family>,
    /// For whom the test is not, in words; empty when nobody is named. The gates decide beside it.
    pub not_for: String,
    /// Bibliography key of the protocol.
    pub source: String,
    /// How the protocol was read.
    pub read: HowRead,
    /// Anything to know before using it.
    pub note: String,
}

impl Instrument {
    /// Whether a result can be said on this scale.
    #[must_use]
    pub fn offers(&self, scale: Scale) -> bool {
        match scale {
            Scale::Raw => true,
            Scale::Symmetry => {
                matches!(self.limbs, LimbComparison::Ratio | LimbComparison::InvertedRatio)
            }
            Scale::SideDifference => self.limbs != LimbComparison::None,
            other => self.normalise.contains(&other),
        }
    }

    /// Whether `candidate` is a better result than `than`; never for a test without a better way.
    #[must_use]
    pub fn is_better(&self, candidate: f64, than: f64) -> bool {
        match self.better {
            Better::Higher => candidate > than,
            Better::Lower => candidate < than,
            Better::Neither => false,
        }
    }
}

/// The key of a test that exists.
///
/// ```
/// # use measurement::InstrumentKey;
/// assert_eq!(InstrumentKey::find("single_hop").unwrap().instrument().trials, 2);
/// assert!(InstrumentKey::find("single_hopp").is_err());
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
pub struct InstrumentKey(&'static str);

/// A key that no test has.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("test `{given}` is not known; tests are listed in reference/instruments, for example `star_reach`")]
pub struct UnknownInstrument {
    /// What was given.
    pub given: String,
}

impl<'de> Deserialize<'de> for InstrumentKey {
    fn deserialize<D: serde::Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        Self::find(&String::deserialize(deserializer)?).map_err(serde::de::Error::custom)
    }
}

impl InstrumentKey {
    /// Finds a test by its key.
    ///
    /// # Errors
    /// When no test has this key.
    pub fn find(key: &str) -> Result<Self, UnknownInstrument> {
        rows::all()
            .get_key_value(key)
            .map(|(key, _)| Self(key.as_str()))
            .ok_or_else(|| UnknownInstrument { given: key.to_owned() })
    }

    /// Every test, in the order of the keys.
    pub fn all() -> impl Iterator<Item = Self> {
        rows::all().keys().map(|key| Self(key.as_str()))
    }

    /// The test.
    ///
    /// # Panics
    /// Never: a key is only made for a test that exists.
    #[must_use]
    pub fn instrument(self) -> &'static Instrument {
        &rows::all()[self.0]
    }

    /// The key as text.
    #[must_use]
    pub fn as_str(self) -> &'static str {
        self.0
    }
}

impl std::fmt::Display for InstrumentKey {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(self.0)
    }
}

/// Names from the standing limb, as a table gives them.
fn directions(names: &[AnatomicalDirection]) -> Vec<StanceDirection> {
    names.iter().copied().map(StanceDirection::named).collect()
}
