//! Where a condition stands today: which preset, which phase, and what keeps the next one shut.

use jiff::ToSpan;
use jiff::civil::Date;
use person::{Condition, Finding, Findings, HipApproach, Involved, Known, PhaseConfirmation};

use crate::FindingKey;
use crate::criteria::Asked;
use crate::tables::{self, Criterion, HipApproachKey, PhaseRow, Preset, shelf_life};
use crate::words;

/// A condition with a preset, as it stands today.
#[derive(Clone, Copy, Debug)]
pub(crate) struct ConditionState<'a> {
    pub(crate) preset: &'static Preset,
    pub(crate) involved: Involved,
    /// `None` while it is unknown: then every approach applies.
    pub(crate) approach: Option<HipApproach>,
    /// `None` while it is unknown.
    pub(crate) operated_on: Option<Date>,
    confirmed: &'a [PhaseConfirmation],
    pub(crate) has_phases: bool,
}

fn fact<T: Copy>(finding: &Finding<T>, key: FindingKey, today: Date) -> Option<T> {
    match finding.on(today, shelf_life(key)) {
        Known::Current(value) => Some(*value),
        Known::Stale { .. } | Known::NotAssessed => None,
    }
}

impl<'a> ConditionState<'a> {
    /// `None` for a condition without a preset.
    pub(crate) fn of(condition: &'a Condition, today: Date) -> Option<Self> {
        let without = |preset, involved| Self {
            preset,
            involved,
            approach: None,
            operated_on: None,
            confirmed: &[],
            has_phases: false,
        };
        Some(match condition {
            Condition::HipReplacement { involved, approach, operated_on, confirmed } => Self {
                preset: tables::hip_replacement(),
                involved: *involved,
                approach: fact(approach, FindingKey::Approach, today),
                operated_on: fact(operated_on, FindingKey::OperatedOn, today),
                confirmed,
                has_phases: true,
            },
            Condition::KneeReplacement { involved, operated_on, confirmed, surgery: _ } => Self {
                preset: tables::knee_replacement(),
                involved: *involved,
                approach: None,
                operated_on: fact(operated_on, FindingKey::OperatedOn, today),
                confirmed,
                has_phases: true,
            },
            Condition::KneeOsteoarthritis { involved, .. } => {
                without(tables::knee_osteoarthritis(), *involved)
            }
            Condition::FallsRisk { .. } => without(tables::falls_risk(), Involved::General),
            Condition::Other(_) => return None,
        })
    }

    /// Whether a row for these approaches applies.
    pub(crate) fn concerns(&self, approaches: &[HipApproachKey]) -> bool {
        approaches.is_empty() || self.approach.is_none_or(|known| approaches.iter().any(|key| key.is(known)))
    }

    /// First day on which a phase can be entered; `None` when the operation's day is unknown.
    pub(crate) fn gate_day(&self, from_week: u16) -> Option<Date> {
        self.operated_on.and_then(|day| day.checked_add((i64::from(from_week) * 7).days()).ok())
    }

    fn row(&self, phase: u8) -> Option<&'static PhaseRow> {
        self.preset.phases.iter().find(|row| row.phase == phase)
    }

    /// Everything that keeps a phase shut, as the case and as what is needed; empty when it is open.
    fn missing(&self, row: &PhaseRow, asked: Asked<'_>) -> Vec<Missing> {
        let mut out = Vec::new();
        let gate = self.gate_day(row.from_week);
        match gate {
            Some(day) if day > asked.today => out.push(Missing {
                case: format!("it begins no earlier than {}", words::day(day)),
                needed: format!("{} or later", words::day(day)),
            }),
            None if row.from_week > 0 => out.push(Missing {
                case: "the day of the operation is not known".to_owned(),
                needed: "the day of the operation".to_owned(),
            }),
            _ => {}
        }
        if row.phase > 1 {
            // A confirmation given before the time gate does not count: time alone must not open.
            let confirmed = self
                .confirmed
                .iter()
                .any(|c| c.phase >= row.phase && c.on <= asked.today && gate.is_some_and(|day| c.on >= day));
            if !confirmed {
                out.push(Missing {
                    case: format!("no clinician has confirmed phase {} since it may begin", row.phase),
                    needed: format!("a clinician's confirmation of phase {}", row.phase),
                });
            }
        }
        for criterion in &row.criteria {
            out.extend(
                criterion
                    .unmet(asked)
                    .into_iter()
                    .map(|u| Missing { case: u.words().to_owned(), needed: u.needed().to_owned() }),
            );
        }
        out
    }

    /// The highest phase that is open today; 0 when not even the first is.
    pub(crate) fn phase(&self, asked: Asked<'_>) -> u8 {
        self.preset
            .phases
            .iter()
            .filter(|row| self.missing(row, self.ask(asked)).is_empty())
            .map(|row| row.phase)
            .max()
            .unwrap_or(0)
    }

    /// The same question about this condition's legs.
    pub(crate) fn ask<'b>(&self, asked: Asked<'b>) -> Asked<'b> {
        Asked { involved: self.involved, ..asked }
    }

    /// Whether a row that holds until a phase was entered still holds.
    pub(crate) fn holds(&self, before_phase: Option<u8>, phase: u8) -> bool {
        before_phase.is_none_or(|end| phase < end)
    }

    /// Last day on which a row certainly holds, and what opens it after.
    pub(crate) fn end_of(&self, before_phase: Option<u8>, asked: Asked<'_>) -> End {
        let Some(row) = before_phase.and_then(|phase| self.row(phase)) else {
            return End {
                until: None,
                opens_when: "the treating team orders another limit for this person".to_owned(),
            };
        };
        let gate = self.gate_day(row.from_week);
        let until = gate.filter(|day| *day > asked.today).and_then(|day| day.checked_sub(1.days()).ok());
        End { until, opens_when: self.opens_when(row.phase, asked) }
    }

    /// What would open a phase, as a sentence without its full stop.
    pub(crate) fn opens_when(&self, phase: u8, asked: Asked<'_>) -> String {
        let Some(row) = self.row(phase) else { return String::new() };
        let needed: Vec<String> = self.missing(row, self.ask(asked)).into_iter().map(|m| m.needed).collect();
        format!("phase {phase} is entered; it still needs {}", words::list(&needed))
    }

    /// Why a phase is shut, as a phrase.
    pub(crate) fn why_shut(&self, phase: u8, asked: Asked<'_>) -> String {
        let Some(row) = self.row(phase) else { return String::new() };
        let case: Vec<String> = self.missing(row, self.ask(asked)).into_iter().map(|m| m.case).collect();
        words::list(&case)
    }
}

/// How a rule ends.
#[derive(Clone, Debug)]
pub(crate) struct End {
    pub(crate) until: Option<Date>,
    pub(crate) opens_when: String,
}

struct Missing {
    case: String,
    needed: String,
}

/// Whether every criterion holds, and in which words not.
pub(crate) fn unmet_words(criteria: &[Criterion], asked: Asked<'_>) -> Vec<String> {
    criteria.iter().flat_map(|c| c.unmet(asked)).map(|u| u.words().to_owned()).collect()
}

/// What is needed for every criterion that does not hold.
pub(crate) fn needed_words(criteria: &[Criterion], asked: Asked<'_>) -> Vec<String> {
    criteria.iter().flat_map(|c| c.unmet(asked)).map(|u| u.needed().to_owned()).collect()
}

/// Whether the person is an older adult at risk of falling.
pub(crate) fn is_older(findings: &Findings) -> bool {
    findings.conditions.iter().any(|c| matches!(c, Condition::FallsRisk { .. }))
}
