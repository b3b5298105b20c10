//! Who needs attention today and why.

use jiff::civil::Date;
use jiff::{ToSpan, Unit};
use person::{CaseFile, Finding};
use store::PersonId;

use crate::{Desk, Error, Freshness, PersonState, Settings, Standing, defaults, findings_known};

/// One person who needs attention.
#[derive(Clone, Debug, PartialEq)]
pub struct Attention {
    /// Whom.
    pub person: PersonId,
    /// The name.
    pub name: String,
    /// The clinic's number.
    pub number: String,
    /// Why, the most pressing first; never empty.
    pub reasons: Vec<Reason>,
}

/// Why somebody needs attention. The order is that of the list.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Reason {
    /// A red flag stands in the findings.
    RedFlag,
    /// The worst pain rose from one log to the next.
    PainRising {
        /// Before, 0 to 10.
        from: u8,
        /// In the last log, 0 to 10.
        to: u8,
        /// The day of the last log.
        on: Date,
    },
    /// The programme may not be used any more.
    ProgrammePast {
        /// Its last day.
        until: Date,
    },
    /// An order ends soon: what depended on it closes or has to be asked again.
    OrderEnds {
        /// What was ordered.
        what: String,
        /// Its last day.
        on: Date,
    },
    /// Nothing was logged for a while.
    NothingLogged {
        /// The day of the last log.
        last: Date,
        /// Days since.
        days: i32,
    },
    /// Measures are due again.
    RetestDue {
        /// The day they were taken last.
        last: Date,
    },
    /// The programme ends soon.
    ProgrammeEnds {
        /// Its last day.
        until: Date,
    },
    /// Findings are past their shelf life and count as not assessed.
    FindingsPast {
        /// Which, in the trade's words.
        what: Vec<String>,
    },
    /// Nothing was found yet.
    NoCase,
}

impl std::fmt::Display for Reason {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Self::RedFlag => f.write_str("A red flag stands: no movement may be offered."),
            Self::PainRising { from, to, on } => {
                write!(f, "Pain rose from {from} to {to} of 10 in the log of {on}.")
            }
            Self::ProgrammePast { until } => write!(f, "The programme was to be used until {until}."),
            Self::OrderEnds { what, on } => write!(f, "{what} ends on {on}."),
            Self::NothingLogged { last, days } => {
                write!(f, "Nothing logged for {days} days; the last log is of {last}.")
            }
            Self::RetestDue { last } => write!(f, "Measured last on {last}: a re-test is due."),
            Self::ProgrammeEnds { until } => write!(f, "The programme may be used until {until}."),
            Self::FindingsPast { what } => {
                let shown: Vec<&str> = what.iter().take(3).map(String::as_str).collect();
                let more = what.len().saturating_sub(shown.len());
                write!(f, "Past the shelf life: {}", shown.join(", "))?;
                if more > 0 { write!(f, " and {more} more.") } else { f.write_str(".") }
            }
            Self::NoCase => f.write_str("Nothing was entered yet: begin with what was found."),
        }
    }
}

fn days_between(from: Date, to: Date) -> i32 {
    from.until((Unit::Day, to)).map_or(0, |span| span.get_days())
}

/// Why this person needs attention on the day of the standing; the most pressing first.
#[must_use]
pub fn reasons(standing: &Standing, settings: &Settings) -> Vec<Reason> {
    let day = standing.day;
    let soon = day.saturating_add(defaults().attention.ends_within_days.days());
    let Some(case) = standing.case.as_deref() else { return vec![Reason::NoCase] };
    let mut out = Vec::new();
    if matches!(&case.findings.red_flags, Finding::Found { value, .. } if !value.is_empty()) {
        out.push(Reason::RedFlag);
    }
    if let [last, before, ..] = standing.logs.as_slice()
        && let (Some(to), Some(from)) = (last.worst_pain(), before.worst_pain())
        && to >= from.saturating_add(defaults().attention.pain_rise)
    {
        out.push(Reason::PainRising { from, to, on: last.on });
    }
    if let Some(programme) = &standing.programme {
        let until = programme.use_until;
        if until < day {
            out.push(Reason::ProgrammePast { until });
        } else if until <= soon {
            out.push(Reason::ProgrammeEnds { until });
        }
    }
    out.extend(orders_ending(case, day, soon));
    if let Some(last) = standing.logs.first().map(|log| log.on) {
        let days = days_between(last, day);
        if days >= settings.nothing_logged_days {
            out.push(Reason::NothingLogged { last, days });
        }
    }
    if let Some(last) = standing.measured_on
        && days_between(last, day) >= settings.retest_days
    {
        out.push(Reason::RetestDue { last });
    }
    let what: Vec<String> = findings_known(case, day)
        .into_iter()
        .filter(|line| matches!(line.freshness, Freshness::Past { .. }))
        .map(|line| match line.side {
            Some(side) => format!("{}, {side}", line.what),
            None => line.what,
        })
        .collect();
    if !what.is_empty() {
        out.push(Reason::FindingsPast { what });
    }
    out.sort();
    out
}

fn orders_ending(case: &CaseFile, day: Date, soon: Date) -> Vec<Reason> {
    let ends = |until: Option<Date>| until.filter(|last| day <= *last && *last <= soon);
    let mut out = Vec::new();
    for side in anatomy::Side::BOTH {
        if let Finding::Found { value, .. } = case.findings.weight_bearing.get(side)
            && let Some(on) = ends(value.until)
        {
            out.push(Reason::OrderEnds { what: format!("The weight-bearing order for the {side} leg"), on });
        }
    }
    for order in &case.findings.orders {
        if let Some(on) = ends(order.until) {
            out.push(Reason::OrderEnds { what: format!("An order of {}", order.by), on });
        }
    }
    out
}

impl Desk {
    /// Everybody who needs attention, the most pressing first; closed records are left out.
    ///
    /// # Errors
    /// The session has ended, or an entry is damaged.
    pub async fn attention(&self) -> Result<Vec<Attention>, Error> {
        let settings = self.settings().await?;
        let mut out = Vec::new();
        for line in self.people().await? {
            if line.person.state != PersonState::Open {
                continue;
            }
            let standing = self.standing(line.id).await?;
            let reasons = reasons(&standing, &settings);
            if !reasons.is_empty() {
                let (name, number) = (line.person.name, line.person.number);
                out.push(Attention { person: line.id, name, number, reasons });
            }
        }
        out.sort_by(|a, b| a.reasons[0].cmp(&b.reasons[0]).then_with(|| a.name.cmp(&b.name)));
        Ok(out)
    }
}
