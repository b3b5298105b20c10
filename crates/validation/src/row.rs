//! One compared figure: what the model says, what was published, and the verdict.

use quantity::reference::HowRead;
use serde::Serialize;

use crate::target::Target;

/// What a figure is about; the sections of the report.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, serde::Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Topic {
    /// Worked examples whose answer follows from their inputs.
    Mechanics,
    /// Body size, heights and the centre of mass.
    Body,
    /// The strength model and passive moments.
    Strength,
    /// Muscle paths, sharing of a moment between muscles.
    Muscles,
    /// Hip and knee contact force.
    Contact,
    /// Which movement, joint or leg is asked for more.
    Orderings,
    /// How far a foot or a centre of pressure gets.
    Reach,
    /// Flight and landing.
    Landing,
}

impl Topic {
    /// Every topic, in the order of the report.
    pub const ALL: [Self; 8] = [
        Self::Mechanics,
        Self::Body,
        Self::Strength,
        Self::Muscles,
        Self::Contact,
        Self::Orderings,
        Self::Reach,
        Self::Landing,
    ];

    /// The heading of its section.
    #[must_use]
    pub fn title(self) -> &'static str {
        match self {
            Self::Mechanics => "Mechanics: worked examples",
            Self::Body => "Body size and centre of mass",
            Self::Strength => "Strength model and passive moments",
            Self::Muscles => "Muscles",
            Self::Contact => "Hip and knee contact force",
            Self::Orderings => "Orderings",
            Self::Reach => "Reach and limits of stability",
            Self::Landing => "Flight and landing",
        }
    }
}

/// What comes out of a comparison.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[serde(tag = "verdict", rename_all = "snake_case")]
pub enum Verdict {
    /// The model is within the tolerance.
    Agrees,
    /// It is not.
    Disagrees {
        /// The likely reason, as far as it is known.
        likely: String,
    },
    /// The comparison cannot be made, or says nothing either way.
    CannotSay {
        /// Why.
        why: String,
    },
}

impl Verdict {
    /// One or two words.
    #[must_use]
    pub fn word(&self) -> &'static str {
        match self {
            Self::Agrees => "agrees",
            Self::Disagrees { .. } => "disagrees",
            Self::CannotSay { .. } => "cannot say",
        }
    }

    /// The likely reason or why nothing can be said; empty where the model agrees.
    #[must_use]
    pub fn why(&self) -> &str {
        match self {
            Self::Agrees => "",
            Self::Disagrees { likely } => likely,
            Self::CannotSay { why } => why,
        }
    }
}

/// One line of the report.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Row {
    /// Short name, unique in the report.
    pub id: String,
    /// Section.
    pub topic: Topic,
    /// What is compared, with the setting in which the model was asked.
    pub what: String,
    /// The model's answer, rounded as printed.
    pub model: String,
    /// The published answer with its spread, as printed.
    pub published: String,
    /// Unit of both; empty for a plain number.
    pub unit: String,
    /// Key of the bibliography.
    pub source: String,
    /// How the published figure was read.
    pub read: HowRead,
    /// The tolerance and why it is that wide.
    pub tolerance: String,
    /// What comes out.
    #[serde(flatten)]
    pub verdict: Verdict,
}

/// A number with so many decimals, without a negative zero.
#[must_use]
pub fn shown(value: f64, digits: usize) -> String {
    let text = format!("{value:.digits$}");
    let is_zero = text.chars().all(|c| matches!(c, '-' | '0' | '.'));
    if is_zero { text.trim_start_matches('-').to_owned() } else { text }
}

/// The row of a target that the model answers with one number.
#[must_use]
pub fn compared(target: &Target, model: f64) -> Row {
    let verdict = if target.accepts(model) {
        Verdict::Agrees
    } else {
        Verdict::Disagrees { likely: target.likely.clone() }
    };
    told(target, shown(model, target.digits), verdict)
}

/// The row of a target with a verdict that was found elsewhere.
#[must_use]
pub fn told(target: &Target, model: String, verdict: Verdict) -> Row {
    Row {
        id: target.id.clone(),
        topic: target.topic,
        what: target.what.clone(),
        model,
        published: target.published(),
        unit: target.unit.clone(),
        source: target.source.clone(),
        read: target.read,
        tolerance: target.tolerance_text(),
        verdict,
    }
}

/// The row of a target that this model has no answer to.
#[must_use]
pub fn cannot(target: &Target, why: &str) -> Row {
    told(target, "–".to_owned(), Verdict::CannotSay { why: why.to_owned() })
}

#[cfg(test)]
mod tests {
    use super::shown;

    #[test]
    fn a_rounded_zero_has_no_sign() {
        assert_eq!(shown(-0.001, 2), "0.00");
        assert_eq!(shown(-0.006, 2), "-0.01");
    }
}
