//! One case on one day: body, capacity and what is allowed, made once for every use case.

use anatomy::Side;
use biomech::{Body, Capacity, MeasuredMoment};
use jiff::civil::Date;
use person::{CaseFile, Finding};
use programme::{FootSize, Limits, figures};
use safety::{AllowedSpace, allowed_space};

/// The day a case is planned for: what was asked, else the day an invented case names, else today.
#[must_use]
pub fn day_of(case: &CaseFile, asked: Option<Date>, today: Date) -> Date {
    asked.or(case.planned_for.filter(|_| case.invented)).unwrap_or(today)
}

/// A case with what is derived from it for one day.
#[derive(Clone, Debug)]
pub struct PersonToday<'a> {
    /// The case.
    pub case: &'a CaseFile,
    /// The day.
    pub today: Date,
    /// The skeleton.
    pub body: Body,
    /// The strength.
    pub capacity: Capacity,
    /// What is allowed.
    pub allowed: AllowedSpace,
}

impl<'a> PersonToday<'a> {
    /// Arrow 1 with the body it needs.
    #[must_use]
    pub fn of(case: &'a CaseFile, today: Date) -> Self {
        let body = Body::of(&case.person.body);
        let measured: Vec<MeasuredMoment> = case
            .findings
            .strength
            .iter()
            .filter_map(|strength| match &strength.moment {
                Finding::Found { value, .. } => Some(MeasuredMoment {
                    side: strength.side,
                    motion: strength.motion,
                    moment: *value,
                    at_angle: strength.at_angle,
                }),
                Finding::NotAssessed => None,
            })
            .collect();
        let capacity = Capacity::of(&case.person.body, &measured);
        let allowed = allowed_space(&case.findings, &body, today);
        Self { case, today, body, capacity, allowed }
    }

    /// What bounds a programme of this person.
    #[must_use]
    pub fn limits(&self) -> Limits {
        let foot = FootSize { length: self.body.foot_length(), breadth: self.body.foot_breadth() };
        let leg = self.body.leg_length(Side::Left).min(self.body.leg_length(Side::Right));
        let mut limits = Limits::of(self.case, foot, leg, self.today);
        let figures = figures();
        // While one leg is still on the first rungs, everything stays short.
        let rung = Side::BOTH.into_iter().map(|side| self.allowed.open_level(side)).min().unwrap_or(0);
        if rung <= figures.early_rung {
            let early = leg.times(figures.longest_early);
            for longest in limits.longest_of_leg.values_mut() {
                *longest = longest.min(early);
            }
        }
        // Gate A closes levels above 2 when pain is easily provoked or nobody asked, and above 4
        // when moderately; the dose follows the same verdict.
        let capped = |level: u8| {
            Side::BOTH.iter().any(|side| {
                self.allowed.why_level_shut(*side, level).iter().any(|r| r.rule == "IRRITABILITY")
            })
        };
        if capped(3) {
            limits.directions = Some(figures.directions_high_irritability);
            limits.rounds = Some(figures.rounds_high_irritability);
        } else if capped(5) {
            limits.rounds = Some(figures.rounds_moderate_irritability);
        }
        limits
    }
}
