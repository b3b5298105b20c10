//! One criterion beside today's findings, for those who ask outside the gates.

use anatomy::Side;
use jiff::civil::Date;
use person::{Findings, Involved};
use serde::Serialize;

use crate::condition_state::is_older;
use crate::criteria::{Asked, Unmet, concerns, named, said};
use crate::finding_key::Value;
use crate::preset::{Criterion, Whose};

/// What today's findings say about a criterion.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
#[serde(tag = "looked", rename_all = "snake_case")]
pub enum Looked {
    /// It holds on every leg that it asks about.
    Holds {
        /// What was found.
        words: String,
    },
    /// It was found and is not enough.
    NotEnough {
        /// What was found.
        words: String,
        /// What is needed.
        needed: String,
    },
    /// Nobody looked, or too long ago.
    NotAssessed {
        /// What is missing.
        words: String,
        /// What is needed.
        needed: String,
    },
}

impl Criterion {
    /// Asks today's findings, by the same rules and words as the gates. Something not enough comes before
    /// something not assessed.
    #[must_use]
    pub fn look(&self, findings: &Findings, involved: Involved, today: Date) -> Looked {
        let asked = Asked { findings, today, involved, stance: Side::Left, older: is_older(findings) };
        let unmet = self.unmet(asked);
        let list = |of: &[Unmet]| {
            let words = of.iter().map(Unmet::words).collect::<Vec<_>>().join("; ");
            let needed = of.iter().map(Unmet::needed).collect::<Vec<_>>().join("; ");
            (words, needed)
        };
        if unmet.is_empty() {
            return Looked::Holds { words: self.found(findings, involved, today) };
        }
        let (words, needed) = list(&unmet);
        if unmet.iter().any(|one| matches!(one, Unmet::NotEnough { .. })) {
            Looked::NotEnough { words, needed }
        } else {
            Looked::NotAssessed { words, needed }
        }
    }

    /// What the criterion needs, in words, on the legs that it asks about.
    #[must_use]
    pub fn wanted(&self, involved: Involved) -> String {
        let words: Vec<String> = self
            .sides(involved)
            .into_iter()
            .map(|side| self.needed(&named(self.finding, side), side))
            .collect();
        words.join("; ")
    }

    fn sides(&self, involved: Involved) -> Vec<Side> {
        Side::BOTH
            .into_iter()
            .filter(|side| match self.of {
                Whose::Person | Whose::Stance => *side == Side::Left,
                Whose::Both => true,
                Whose::Involved => concerns(involved, *side),
            })
            .collect()
    }

    /// What was found, on the legs that it asks about.
    fn found(&self, findings: &Findings, involved: Involved, today: Date) -> String {
        let one = |side| match self.finding.value(findings, side, today) {
            Value::Is(value) => format!("{}: {}", named(self.finding, side), said(self.finding, value)),
            Value::Stale(_) | Value::Unknown => {
                format!("{}: met by another finding", named(self.finding, side))
            }
        };
        self.sides(involved).into_iter().map(one).collect::<Vec<_>>().join("; ")
    }
}
