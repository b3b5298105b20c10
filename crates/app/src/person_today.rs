//! One case on one day: body, capacity and what is allowed, made once for every use case.

use std::sync::Arc;

use anatomy::{Coordinate, Side};
use biomech::{Body, Capacity, MeasuredMoment};
use jiff::civil::Date;
use person::CaseFile;
use programme::{Available, FootSize, Limits, figures};
use safety::{AllowedSpace, FindingKey, allowed_space_by, shelf_life};

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
    available: Arc<Available>,
}

impl<'a> PersonToday<'a> {
    /// Arrow 1 with the body it needs.
    #[must_use]
    pub fn of(case: &'a CaseFile, today: Date) -> Self {
        let found = &case.findings;
        let range = shelf_life(FindingKey::KneeFlexionDeg);
        let mut body = Body::of(&case.person.body);
        // A range found on this person, and still to be relied on, goes before the table.
        for side in Side::BOTH {
            for (finding, motion) in [
                (found.ankle_dorsiflexion.get(side), Coordinate::AnkleDorsiflexion.positive()),
                (found.knee_flexion.get(side), Coordinate::KneeFlexion.positive()),
            ] {
                if let Some(reached) = finding.on(today, range).current() {
                    body = body.with_range(side, motion, *reached);
                }
            }
        }
        let strength = shelf_life(FindingKey::QuadricepsStrengthPercent);
        let measured: Vec<MeasuredMoment> = found
            .strength
            .iter()
            .filter_map(|one| {
                let moment = *one.moment.on(today, strength).current()?;
                Some(MeasuredMoment { side: one.side, motion: one.motion, moment, at_angle: one.at_angle })
            })
            .collect();
        let capacity = Capacity::of(&case.person.body, &measured);
        let allowed = allowed_space_by(&case.clinic.tables, &case.findings, &body, today);
        let available = Arc::new(Available::of_body(&body));
        Self { case, today, body, capacity, allowed, available }
    }

    /// How far this person's joints go.
    #[must_use]
    pub fn available(&self) -> Arc<Available> {
        Arc::clone(&self.available)
    }

    /// Whether one leg is still on the first rungs of the ladder.
    #[must_use]
    pub fn is_early(&self) -> bool {
        let rung = Side::BOTH.into_iter().map(|side| self.allowed.open_level(side)).min().unwrap_or(0);
        rung <= figures().early_rung
    }

    /// What bounds a programme of this person.
    #[must_use]
    pub fn limits(&self) -> Limits {
        let foot = FootSize { length: self.body.foot_length(), breadth: self.body.foot_breadth() };
        let leg = self.body.leg_length(Side::Left).min(self.body.leg_length(Side::Right));
        let mut limits = Limits::of(self.case, foot, leg, self.today);
        let figures = figures();
        // While one leg is still on the first rungs, everything stays short.
        if self.is_early() {
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

#[cfg(test)]
mod tests {
    use jiff::ToSpan;
    use person::Finding;
    use quantity::Angle;

    use super::*;

    /// The furthest the ankle of a person with this finding may bend, by the engine.
    fn bends_to(finding: Finding<Angle>, today: Date) -> Angle {
        let mut case = crate::demo_cases()[7].read().unwrap_or_else(|e| panic!("{e}"));
        *case.findings.ankle_dorsiflexion.get_mut(Side::Left) = finding;
        PersonToday::of(&case, today).body.range_of(Side::Left, Coordinate::AnkleDorsiflexion.positive())
    }

    #[test]
    fn a_measured_ankle_bounds_the_posture_while_the_finding_may_be_relied_on() {
        let today = jiff::civil::date(2026, 2, 20);
        let found = |days: i64| Finding::Found {
            value: Angle::deg(17.0),
            on: today.checked_sub(days.days()).unwrap_or_else(|e| panic!("{e}")),
        };
        let unknown = bends_to(Finding::NotAssessed, today);
        assert!((bends_to(found(3), today).in_deg() - 17.0).abs() < 1e-9);
        assert_eq!(bends_to(found(43), today), unknown, "older than six weeks counts as not assessed");
        assert!(unknown.in_deg() > 30.0, "the table's weight-bearing range");
    }

    #[test]
    fn what_came_home_bounds_and_orders_the_next_choice() {
        let case = crate::demo_cases()[3].read().unwrap_or_else(|e| panic!("{e}"));
        let limits = PersonToday::of(&case, jiff::civil::date(2026, 2, 6)).limits();
        assert_eq!(limits.last_impact, Some(jiff::civil::date(2026, 2, 5)));
        let told: Vec<String> = limits.tolerated.iter().map(movement::MovementSpec::sentence).collect();
        assert_eq!(told.len(), 8);
        assert_eq!(
            told[0],
            "left leg lunge, anterolateral (named from the left leg), 71 cm, pelvis sinking 18 cm"
        );
        assert_eq!(
            told[7],
            "right leg reach, posteromedial (named from the left leg), 71 cm, 2 kg in each hand"
        );
    }
}
