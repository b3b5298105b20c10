//! How a body answers to exercise: irritability, and the figures of pain and swelling that others ask for too.

use anatomy::Side;
use jiff::civil::Date;
use person::Findings;
use serde::{Deserialize, Serialize};

use crate::FindingKey;
use crate::finding_key::Value;
use crate::tables::{level_criteria, margins};

/// How easily the condition is provoked.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Irritability {
    /// Pain in movement is little, and none at night or at rest.
    Low,
    /// In between.
    Moderate,
    /// Much pain in movement, consistent night or rest pain, or not known.
    High,
}

impl Irritability {
    /// The grade that a pain in movement, 0 to 10, stands for by itself.
    #[must_use]
    pub fn of_pain(pain: u8) -> Self {
        Self::of_number(f64::from(pain))
    }

    fn of_number(pain: f64) -> Self {
        let rules = &level_criteria().irritability;
        if pain >= rules.high_pain_from {
            Self::High
        } else if pain >= rules.moderate_pain_from {
            Self::Moderate
        } else {
            Self::Low
        }
    }

    /// The grade by what was found and may be relied on that day. What is not known counts as high.
    #[must_use]
    pub fn on(findings: &Findings, today: Date) -> Self {
        // Neither sign has a side.
        let value = |key: FindingKey| key.value(findings, Side::Left, today);
        match (value(FindingKey::PainInMovement), value(FindingKey::ConsistentNightPain)) {
            (Value::Is(pain), Value::Is(night)) if night < 0.5 => Self::of_number(pain),
            _ => Self::High,
        }
    }

    /// The word.
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            Self::Low => "low",
            Self::Moderate => "moderate",
            Self::High => "high",
        }
    }
}

/// The figures of the rule for a direction that hurts.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PainRule {
    /// What is left of the distance after it hurt once.
    pub first: f64,
    /// What is left of it after it hurt twice.
    pub second: f64,
    /// So many directions that hurt in one session send the whole programme back.
    pub back_off_from_directions: usize,
    /// Bibliography key.
    pub source: &'static str,
}

/// The figures of the rule for a direction that hurts.
#[must_use]
pub fn pain_rule() -> PainRule {
    let rule = &margins().pain;
    PainRule {
        first: rule.first_factor,
        second: rule.second_factor,
        back_off_from_directions: rule.back_off_from_directions,
        source: &rule.source,
    }
}

/// The figures of the rule for a swollen knee, by grades of the stroke test (0 none to 4 three plus).
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SwellingRule {
    /// From this grade on, nothing is stepped up.
    pub hold_from: f64,
    /// Found so many times: the surgeon or doctor sees it.
    pub refer_at: f64,
    /// Bibliography key.
    pub source: &'static str,
}

/// The figures of the rule for a swollen knee.
#[must_use]
pub fn swelling_rule() -> SwellingRule {
    let rule = &level_criteria().swelling;
    SwellingRule { hold_from: rule.hold_from, refer_at: rule.refer_at, source: &rule.source }
}
