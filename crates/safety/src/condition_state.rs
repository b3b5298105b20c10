//! Where a condition stands today: which preset, which phase, and what keeps the next one shut.

use jiff::ToSpan;
use jiff::civil::Date;
use person::{Clock, Condition, Finding, Findings, HipApproach, Involved, Known, PhaseConfirmation};

use crate::criteria::Asked;
use crate::preset::{Criterion, PhaseRow, Preset, ReturnRow};
use crate::returns::MissingForReturn;
use crate::tables::{self, shelf_life};
use crate::words;
use crate::{FindingKey, ServicePreset};

/// A condition with a preset, as it stands today.
#[derive(Clone, Debug)]
pub(crate) struct ConditionState<'a> {
    pub(crate) preset: &'a Preset,
    pub(crate) involved: Involved,
    /// The forms that are known to apply; `None` while that is unknown: then rows of every form apply.
    variants: Option<Vec<&'static str>>,
    /// What is not known while every form applies, as the case and as what is needed.
    unknown: Option<(String, String)>,
    /// The day the weeks are counted from; `None` while it is unknown.
    pub(crate) since: Option<Date>,
    since_words: &'static str,
    confirmed: &'a [PhaseConfirmation],
    pub(crate) has_phases: bool,
}

fn fact<T: Copy>(finding: &Finding<T>, key: FindingKey, today: Date) -> Option<T> {
    match finding.on(today, shelf_life(key)) {
        Known::Current(value) => Some(*value),
        Known::Stale { .. } | Known::NotAssessed => None,
    }
}

fn approach_key(approach: HipApproach) -> &'static str {
    match approach {
        HipApproach::Posterior => "posterior",
        HipApproach::Anterior => "anterior",
        HipApproach::Lateral => "lateral",
        HipApproach::Trochanteric => "trochanteric",
    }
}

/// The key of the table of a condition; `None` for one without a preset.
#[must_use]
pub fn table_of(condition: &Condition) -> Option<&'static str> {
    Some(match condition {
        Condition::HipReplacement { .. } => "hip_replacement",
        Condition::KneeReplacement { .. } => "knee_replacement",
        Condition::KneeOsteoarthritis { .. } => "knee_osteoarthritis",
        Condition::FallsRisk { .. } => "falls_risk",
        Condition::Presented(presented) => presented.presentation.key(),
        Condition::Other(_) => return None,
    })
}

impl<'a> ConditionState<'a> {
    /// `None` for a condition without a preset. A clinic's own table goes before the default.
    pub(crate) fn of(condition: &'a Condition, services: &'a [ServicePreset], today: Date) -> Option<Self> {
        let key = table_of(condition)?;
        let preset =
            services.iter().find(|s| s.is_for(key)).map_or_else(|| tables::preset(key), |s| s.preset());
        let without = |involved| Self {
            preset,
            involved,
            variants: Some(Vec::new()),
            unknown: None,
            since: None,
            since_words: Clock::Operation.words(),
            confirmed: &[],
            has_phases: !preset.phases.is_empty(),
        };
        Some(match condition {
            Condition::HipReplacement { involved, approach, operated_on, confirmed } => Self {
                variants: fact(approach, FindingKey::Approach, today).map(|one| vec![approach_key(one)]),
                since: fact(operated_on, FindingKey::OperatedOn, today),
                confirmed,
                ..without(*involved)
            },
            Condition::KneeReplacement { involved, operated_on, confirmed, surgery: _ } => Self {
                since: fact(operated_on, FindingKey::OperatedOn, today),
                confirmed,
                ..without(*involved)
            },
            Condition::KneeOsteoarthritis { involved, confirmed, .. } => {
                Self { confirmed, ..without(*involved) }
            }
            Condition::FallsRisk { .. } => without(Involved::General),
            Condition::Presented(presented) => {
                let pattern = fact(&presented.pattern, FindingKey::Approach, today);
                let forms = presented.presentation.patterns();
                let words: Vec<&str> = forms.iter().map(|one| one.words()).collect();
                let unknown = (pattern.is_none() && !forms.is_empty()).then(|| {
                    (
                        format!("which form it is was not assessed: {}", words.join(" or ")),
                        format!("the form is known ({})", words.join(" or ")),
                    )
                });
                Self {
                    variants: if forms.is_empty() {
                        Some(Vec::new())
                    } else {
                        pattern.map(|one| vec![one.key()])
                    },
                    unknown,
                    since: fact(&presented.since, FindingKey::OperatedOn, today),
                    since_words: presented.presentation.clock().words(),
                    confirmed: &presented.confirmed,
                    ..without(presented.involved)
                }
            }
            Condition::Other(_) => return None,
        })
    }

    /// Other conditions and medicines: while nobody asked, the rows of every one apply.
    pub(crate) fn of_other_conditions(findings: &Findings, today: Date) -> Self {
        let key = FindingKey::OtherConditions;
        let known = findings.other_conditions.on(today, shelf_life(key)).current();
        Self {
            preset: tables::other_conditions(),
            involved: Involved::General,
            variants: known.map(|list| list.iter().map(|one| one.key()).collect()),
            unknown: known.is_none().then(|| {
                (format!("{}: not assessed", key.words()), format!("{} are asked for", key.words()))
            }),
            since: None,
            since_words: Clock::None.words(),
            confirmed: &[],
            has_phases: false,
        }
    }

    /// Whether a row for these forms applies.
    pub(crate) fn concerns(&self, only: &[String]) -> bool {
        only.is_empty()
            || self.variants.as_ref().is_none_or(|known| only.iter().any(|key| known.contains(&key.as_str())))
    }

    /// Whether something that goes with these forms is told: only where the form is known.
    pub(crate) fn told(&self, only: &[String]) -> bool {
        only.is_empty() || (self.variants.is_some() && self.concerns(only))
    }

    /// Whether weeks are counted from a day at all.
    pub(crate) fn counts_weeks(&self) -> bool {
        self.preset.phases.iter().any(|row| row.from_week > 0)
    }

    pub(crate) fn since_words(&self) -> &'static str {
        self.since_words
    }

    /// While the form is unknown that a row is limited to: what is the case, and what opens the row.
    pub(crate) fn unknown_form(&self, only: &[String]) -> Option<(&str, String)> {
        if only.is_empty() {
            return None;
        }
        let (case, known) = self.unknown.as_ref()?;
        let forms: Vec<String> = only.iter().map(|key| key.replace('_', " ")).collect();
        Some((case.as_str(), format!("{known}, and {} is not among it", forms.join(" or "))))
    }

    /// How a row about another illness ends: nothing but its absence opens it.
    pub(crate) fn no_longer(&self, only: &[String]) -> Option<String> {
        self.preset.levels.is_none().then(|| {
            let forms: Vec<String> = only.iter().map(|key| key.replace('_', " ")).collect();
            format!("{} is no longer recorded for this person", forms.join(" or "))
        })
    }

    /// The presentation's name in a sentence.
    pub(crate) fn name(&self) -> String {
        self.preset.table.title.split(':').next().unwrap_or_default().to_owned()
    }

    /// The highest level this presentation ever opens.
    pub(crate) fn top(&self) -> Option<u8> {
        let levels = self.preset.levels.as_ref()?;
        levels.opens_level.or_else(|| self.preset.phases.iter().map(|row| row.opens_level).max())
    }

    /// First day on which a phase can be entered; `None` when the operation's day is unknown.
    pub(crate) fn gate_day(&self, from_week: u16) -> Option<Date> {
        self.since.and_then(|day| day.checked_add((i64::from(from_week) * 7).days()).ok())
    }

    fn row(&self, phase: u8) -> Option<&'a PhaseRow> {
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
                case: format!("{} is not known", self.since_words),
                needed: self.since_words.to_owned(),
            }),
            _ => {}
        }
        if row.phase > 1 {
            // A confirmation given before the time gate does not count: time alone must not open.
            let confirmed = self.confirmed.iter().any(|c| {
                c.phase >= row.phase
                    && c.on <= asked.today
                    && gate.map_or(row.from_week == 0, |day| c.on >= day)
            });
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

    /// What keeps a return to an activity shut, as the case and as what is needed.
    pub(crate) fn missing_for_return(&self, row: &ReturnRow, asked: Asked<'_>) -> Vec<MissingForReturn> {
        let mut out = Vec::new();
        let not_found = |because: String, needed: String| MissingForReturn { because, needed, on: None };
        match self.gate_day(row.from_week) {
            Some(day) if day > asked.today => out.push(not_found(
                format!("it is too early before {}", words::day(day)),
                format!("{} or later", words::day(day)),
            )),
            None if row.from_week > 0 => {
                out.push(not_found(
                    format!("{} is not known", self.since_words),
                    self.since_words.to_owned(),
                ));
            }
            _ => {}
        }
        let asked = self.ask(asked);
        let unmet = row.criteria.iter().flat_map(|criterion| criterion.unmet(asked));
        out.extend(unmet.map(|u| MissingForReturn {
            because: u.words().to_owned(),
            needed: u.needed().to_owned(),
            on: u.on(),
        }));
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
                opens_when: "the treating team orders another limit for this person, or the clinic's own table has one".to_owned(),
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
#[derive(Clone, Debug, PartialEq)]
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
