//! One criterion beside today's findings, for those who ask outside the gates.

use anatomy::Side;
use jiff::civil::Date;
use person::{Findings, Involved};
use serde::Serialize;

use crate::FindingKey;
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

/// A finding that is known today, and the day it dates from.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct FoundToday {
    /// Which.
    pub finding: FindingKey,
    /// The finding with its value, as reasons say it.
    pub words: String,
    /// Its value in its unit; yes and no are 1 and 0.
    pub value: f64,
    /// The day it was found.
    pub on: Date,
}

impl Criterion {
    /// Asks today's findings, by the same rules and words as the gates. Something not enough comes before
    /// something not assessed.
    #[must_use]
    pub fn look(&self, findings: &Findings, involved: Involved, today: Date) -> Looked {
        let asked = self.asked(findings, involved, today);
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

    /// The finding that the criterion asks about, as it is known today, with its day; none where it asks about
    /// two legs, nobody looked, or what is known is too old.
    #[must_use]
    pub fn known_today(&self, findings: &Findings, involved: Involved, today: Date) -> Option<FoundToday> {
        let sides = self.sides(involved);
        let [side] = sides.as_slice() else { return None };
        let Value::Is(value) = self.finding.value(findings, *side, today) else { return None };
        let words = format!("{}: {}", named(self.finding, *side), said(self.finding, value));
        Some(FoundToday {
            finding: self.finding,
            words,
            value,
            on: self.finding.dates_from(findings, *side)?,
        })
    }

    fn asked<'a>(&self, findings: &'a Findings, involved: Involved, today: Date) -> Asked<'a> {
        Asked { findings, today, involved, stance: Side::Left, older: is_older(findings) }
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
        let asked = self.asked(findings, involved, today);
        let one = |side| match self.finding.value(findings, side, today) {
            Value::Is(value) if self.or.is_empty() || self.holds(value) => {
                format!("{}: {}", named(self.finding, side), said(self.finding, value))
            }
            _ => {
                let holds = |other: &&Self| other.unmet_on(asked, side).is_none();
                match self.or.iter().find(holds) {
                    Some(other) => other.found(findings, involved, today),
                    None => format!("{}: met by another finding", named(self.finding, side)),
                }
            }
        };
        self.sides(involved).into_iter().map(one).collect::<Vec<_>>().join("; ")
    }
}
