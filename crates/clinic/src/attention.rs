//! Who needs attention today and why.

use jiff::civil::Date;
use jiff::{ToSpan, Unit};
use safety::day_in_words as day;
use store::PersonId;

use crate::brief::Brief;
use crate::reading::LISTED;
use crate::{Desk, Error, Settings, Stop, defaults};

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
    /// A stop sign was told and nobody has looked: nothing goes home before.
    Stopped(Stop),
    /// Something in the records cannot be read.
    Unreadable {
        /// Why.
        why: String,
    },
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
            Self::Stopped(stop) => write!(f, "{stop}"),
            Self::Unreadable { why } => write!(f, "Something in the records cannot be read: {why}"),
            Self::PainRising { from, to, on } => {
                write!(f, "Pain rose from {from} to {to} of 10 in the log of {}.", day(*on))
            }
            Self::ProgrammePast { until } => write!(f, "The programme was to be used until {}.", day(*until)),
            Self::OrderEnds { what, on } => write!(f, "{what} ends on {}.", day(*on)),
            Self::NothingLogged { last, days } => {
                write!(f, "Nothing logged for {days} days; the last log is of {}.", day(*last))
            }
            Self::RetestDue { last } => write!(f, "Measured last on {}: a re-test is due.", day(*last)),
            Self::ProgrammeEnds { until } => write!(f, "The programme may be used until {}.", day(*until)),
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

/// Why this person needs attention on a day; the most pressing first.
pub(crate) fn reasons(brief: &Brief, settings: &Settings, today: Date) -> Vec<Reason> {
    let mut out: Vec<Reason> = brief.stops.iter().cloned().map(Reason::Stopped).collect();
    let Some(case) = &brief.case else {
        out.push(Reason::NoCase);
        return out;
    };
    let day = case.planned_for.unwrap_or(today);
    let soon = day.saturating_add(defaults().attention.ends_within_days.days());
    if case.red_flag {
        out.push(Reason::RedFlag);
    }
    if let [(on, Some(to)), (_, Some(from)), ..] = *brief.logs.as_slice()
        && to >= from.saturating_add(defaults().attention.pain_rise)
    {
        out.push(Reason::PainRising { from, to, on });
    }
    if let Some(until) = brief.programme_until {
        if until < day {
            out.push(Reason::ProgrammePast { until });
        } else if until <= soon {
            out.push(Reason::ProgrammeEnds { until });
        }
    }
    let ending = case.orders.iter().filter(|(_, on)| day <= *on && *on <= soon);
    out.extend(ending.map(|(what, on)| Reason::OrderEnds { what: what.clone(), on: *on }));
    if let Some((last, _)) = brief.logs.first() {
        let days = days_between(*last, day);
        if days >= settings.nothing_logged_days {
            out.push(Reason::NothingLogged { last: *last, days });
        }
    }
    if let Some(last) = brief.measured_on
        && days_between(last, day) >= settings.retest_days
    {
        out.push(Reason::RetestDue { last });
    }
    let past = case.findings.iter().filter(|(_, last)| *last < day);
    let what: Vec<String> = past.map(|(name, _)| name.clone()).collect();
    if !what.is_empty() {
        out.push(Reason::FindingsPast { what });
    }
    out.sort();
    out
}

/// A part of the list of those who need attention.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct AttentionList {
    /// The part that was asked for, the most pressing first.
    pub some: Vec<Attention>,
    /// How many need attention, of those who are read.
    pub needing: usize,
    /// How many people there are.
    pub people: usize,
    /// How many of them are read, of how many, while that is going on after an unlock.
    pub reading: Option<(usize, usize)>,
}

impl Desk {
    /// Those who need attention, the most pressing first, then by name: `most` of them from a place on,
    /// counted from 0. Closed records are left out. Every entry that was acknowledged is in it; while the
    /// entries of a large clinic are being read after an unlock, it holds those who are read and says so.
    ///
    /// # Errors
    /// The session has ended, or the settings are damaged.
    pub async fn attention(&self, from: usize, most: usize) -> Result<AttentionList, Error> {
        let settings = self.settings().await?;
        let today = self.today();
        self.session().look_at(PersonId::CLINIC, &LISTED).await?;
        self.catch_up().await?;
        let list = self.clinic().register(|all| {
            all.judge(today, &settings);
            AttentionList {
                some: all.attention(from, most),
                needing: all.needing(),
                people: all.len(),
                reading: all.reading(),
            }
        });
        Ok(list.unwrap_or_default())
    }
}
