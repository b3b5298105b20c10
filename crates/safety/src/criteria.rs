//! Whether a criterion holds today, and in which words it does not.

use anatomy::Side;
use jiff::civil::Date;
use person::{Findings, Involved};

use crate::FindingKey;
use crate::finding_key::Value;
use crate::preset::{Criterion, Whose};
use crate::words;

/// Why a criterion does not hold.
#[derive(Clone, Debug, PartialEq)]
pub(crate) enum Unmet {
    /// Nobody looked, or too long ago.
    NotAssessed { finding: String, words: String, needed: String },
    /// It was found and is not enough.
    NotEnough { words: String, needed: String, on: Option<Date> },
}

impl Unmet {
    /// What is the case.
    pub(crate) fn words(&self) -> &str {
        match self {
            Self::NotAssessed { words, .. } | Self::NotEnough { words, .. } => words,
        }
    }

    /// The day of the finding that is not enough, where it is known.
    pub(crate) fn on(&self) -> Option<Date> {
        match self {
            Self::NotAssessed { .. } => None,
            Self::NotEnough { on, .. } => *on,
        }
    }

    /// What would be needed.
    pub(crate) fn needed(&self) -> &str {
        match self {
            Self::NotAssessed { needed, .. } | Self::NotEnough { needed, .. } => needed,
        }
    }
}

/// Whose findings criteria are asked about.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Asked<'a> {
    pub(crate) findings: &'a Findings,
    pub(crate) today: Date,
    /// Which legs the condition is on.
    pub(crate) involved: Involved,
    /// The leg that stands in the movement.
    pub(crate) stance: Side,
    /// An older adult at risk of falling is among the conditions.
    pub(crate) older: bool,
}

impl Criterion {
    /// Everything in which this criterion fails; empty when it holds.
    pub(crate) fn unmet(&self, asked: Asked<'_>) -> Vec<Unmet> {
        let sides: Vec<Side> = match self.of {
            Whose::Person => vec![asked.stance],
            Whose::Stance => vec![asked.stance],
            Whose::Both => Side::BOTH.to_vec(),
            Whose::Involved => Side::BOTH.into_iter().filter(|s| concerns(asked.involved, *s)).collect(),
        };
        sides.into_iter().filter_map(|side| self.unmet_on(asked, side)).collect()
    }

    pub(crate) fn unmet_on(&self, asked: Asked<'_>, side: Side) -> Option<Unmet> {
        let value = self.finding.value(asked.findings, side, asked.today);
        if matches!(value, Value::Is(v) if self.holds(v)) {
            return None;
        }
        if self.or.iter().any(|other| other.unmet_on(asked, side).is_none()) {
            return None;
        }
        if asked.older
            && let (Some(finding), Some(least)) = (self.or_older_finding, self.or_older_at_least)
            && matches!(finding.value(asked.findings, side, asked.today), Value::Is(v) if v >= least)
        {
            return None;
        }
        let name = named(self.finding, side);
        let needed = self.needed(&name, side);
        Some(match value {
            Value::Is(v) => Unmet::NotEnough {
                words: format!("{name}: {}", said(self.finding, v)),
                needed,
                on: self.finding.dates_from(asked.findings, side),
            },
            Value::Stale(on) => Unmet::NotAssessed {
                words: format!(
                    "{name}: what is known dates from {} and counts as not assessed",
                    words::day(on)
                ),
                finding: name,
                needed,
            },
            Value::Unknown => {
                Unmet::NotAssessed { words: format!("{name}: not assessed"), finding: name, needed }
            }
        })
    }

    pub(crate) fn holds(&self, value: f64) -> bool {
        self.is.is_none_or(|want| (value > 0.5) == want)
            && self.at_most.is_none_or(|limit| value <= limit)
            && self.at_least.is_none_or(|limit| value >= limit)
            && self.below.is_none_or(|limit| value < limit)
            && self.above.is_none_or(|limit| value > limit)
    }

    pub(crate) fn needed(&self, name: &str, side: Side) -> String {
        let unit = self.finding.unit().unwrap_or_default();
        let with_unit = |v: f64| {
            if self.finding == FindingKey::Effusion {
                return said(self.finding, v);
            }
            let gap = if unit.is_empty() || unit == "°" { "" } else { " " };
            format!("{}{gap}{unit}", words::number(v))
        };
        let mut parts = Vec::new();
        if let Some(want) = self.is {
            parts.push(if want { "yes".to_owned() } else { "no".to_owned() });
        }
        if let Some(v) = self.at_most {
            parts.push(format!("at most {}", with_unit(v)));
        }
        if let Some(v) = self.at_least {
            parts.push(format!("at least {}", with_unit(v)));
        }
        if let Some(v) = self.below {
            parts.push(format!("below {}", with_unit(v)));
        }
        if let Some(v) = self.above {
            parts.push(format!("above {}", with_unit(v)));
        }
        let mut needed = format!("{name}: {}", words::list(&parts));
        for other in &self.or {
            needed.push_str(&format!(" (or {})", other.needed(&named(other.finding, side), side)));
        }
        needed
    }
}

/// Whether a condition is about this leg; one without a side is about both.
pub(crate) fn concerns(involved: Involved, side: Side) -> bool {
    involved == Involved::General || involved.includes(side)
}

/// A finding with its side.
pub(crate) fn named(finding: FindingKey, side: Side) -> String {
    if finding.has_side() { format!("{}, {side} leg", finding.words()) } else { finding.words().to_owned() }
}

pub(crate) fn said(finding: FindingKey, value: f64) -> String {
    const GRADES: [&str; 5] = ["none", "trace", "one plus", "two plus", "three plus"];
    match finding.unit() {
        _ if finding == FindingKey::AidsHeld && value > 1.0 => {
            "two, or a frame that takes both hands".to_owned()
        }
        _ if finding == FindingKey::Effusion => {
            // Grades 0 to 4; anything above is as bad as the worst.
            GRADES
                .iter()
                .enumerate()
                .find(|(i, _)| value <= *i as f64)
                .map_or("three plus", |(_, g)| g)
                .to_owned()
        }
        None if value > 0.5 => "yes".to_owned(),
        None => "no".to_owned(),
        Some("") => words::number(value),
        Some("°") => format!("{}°", words::number(value)),
        Some(unit) => format!("{} {unit}", words::number(value)),
    }
}
