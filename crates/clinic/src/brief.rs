//! The little of each person that Today needs: days, from the newest entries.

use jiff::civil::Date;
use person::{CaseFile, Finding};

use crate::{CaseRecord, Error, Freshness, MeasuresRecord, PracticeRecord, Stop, findings_known, measured};

/// What Today needs of one person. It holds days, not verdicts, so that it is as true tomorrow.
#[derive(Clone, Debug, PartialEq)]
pub struct Brief {
    /// What the newest case says; none before anything was found.
    pub case: Option<CaseBrief>,
    /// Last day of the programme that was accepted last.
    pub programme_until: Option<Date>,
    /// The last logs, newest first, two at most: the day and the worst pain.
    pub logs: Vec<(Date, Option<u8>)>,
    /// Stop signs that nobody has looked at.
    pub stops: Vec<Stop>,
    /// The day on which something was measured last.
    pub measured_on: Option<Date>,
}

/// What a case says of days.
#[derive(Clone, Debug, PartialEq)]
pub struct CaseBrief {
    /// The day an invented case names for itself.
    pub planned_for: Option<Date>,
    /// Whether a red flag was found.
    pub red_flag: bool,
    /// Orders with the last day of each.
    pub orders: Vec<(String, Date)>,
    /// Findings with the last day on which each counts.
    pub findings: Vec<(String, Date)>,
}

impl CaseBrief {
    fn of(case: &CaseFile) -> Self {
        let mut orders = Vec::new();
        for side in anatomy::Side::BOTH {
            if let Finding::Found { value, .. } = case.findings.weight_bearing.get(side)
                && let Some(until) = value.until
            {
                orders.push((format!("The weight-bearing order for the {side} leg"), until));
            }
        }
        for order in &case.findings.orders {
            if let Some(until) = order.until {
                orders.push((format!("An order of {}", order.by), until));
            }
        }
        let findings = findings_known(case, case.visit)
            .into_iter()
            .filter_map(|line| {
                let last = match line.freshness {
                    Freshness::Current { through } => through,
                    Freshness::Past { since } => since,
                    Freshness::NotAssessed => return None,
                };
                let name = match line.side {
                    Some(side) => format!("{}, {side}", line.what),
                    None => line.what,
                };
                Some((name, last))
            })
            .collect();
        Self {
            planned_for: case.planned_for.filter(|_| case.invented),
            red_flag: matches!(&case.findings.red_flags, Finding::Found { value, .. } if !value.is_empty()),
            orders,
            findings,
        }
    }
}

/// The last logs of one person, newest first by the day they were done.
fn logs_of(mut logs: Vec<PracticeRecord>) -> Vec<(Date, Option<u8>)> {
    logs.sort_by_key(|log| std::cmp::Reverse(log.on));
    logs.iter().take(2).map(|log| (log.on, log.worst_pain())).collect()
}

impl Brief {
    /// What follows from the newest entries of one person, but stops, which need all of them. The logs stand
    /// in the order in which they count, where two are of one day: the one that was entered last first.
    pub(crate) fn of(
        case: Option<&CaseRecord>,
        programme_until: Option<Date>,
        measures: &[MeasuresRecord],
        logs: Vec<PracticeRecord>,
    ) -> Result<Self, Error> {
        let case = case.map(|case| person::case_file::read("the findings", &case.text)).transpose()?;
        Ok(Self {
            case: case.as_ref().map(CaseBrief::of),
            programme_until,
            logs: logs_of(logs),
            stops: Vec::new(),
            measured_on: measures.iter().flat_map(|one| measured::days(&one.text)).max(),
        })
    }
}
