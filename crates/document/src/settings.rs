//! What a sheet needs to know beside the programme: dates, marks, rules, the floor at home.

use anatomy::Side;
use jiff::civil::Date;
use movement::{Bearing, Family};
use person::{CaseFile, Clock, Comorbidity, Condition, Finding, Footwear, Presentation, ShelfLife, Sight};
use quantity::Length;
use safety::{AcceptedPain, RayVerdict, Space, accepted_pain};

use crate::data::{Edition, RuleBlock};
use crate::language::{Language, Wording};
use crate::rules::person_rules;

/// A direction of one family and limb that stays closed.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct ClosedDirection {
    /// The family.
    pub family: Family,
    /// The limb that would move.
    pub mover: Side,
    /// Where to.
    pub bearing: Bearing,
}

/// What a sheet needs beside the programme, the person and the clinic.
#[derive(Clone, Debug, PartialEq)]
pub struct SheetSettings {
    /// The day the sheet is made.
    pub made_on: Date,
    /// Whether the person is invented, which every page then says.
    pub invented: bool,
    /// Language and units of the patient.
    pub wording: Wording,
    /// For which reader it is set.
    pub edition: Edition,
    /// Somebody reads the sheet out.
    pub read_out: bool,
    /// A sound may pace the person.
    pub sound: bool,
    /// What is on the feet while practising, where it was asked.
    pub footwear: Option<Footwear>,
    /// The feet feel little: never barefoot (common practice).
    pub numb_feet: bool,
    /// Rules for this person, in their language.
    pub rules: Vec<RuleBlock>,
    /// The same in the clinician's language, for the bilingual edition.
    pub rules_beside: Vec<RuleBlock>,
    /// Something was operated on.
    pub operated: bool,
    /// A joint was replaced.
    pub new_joint: bool,
    /// A hip was replaced.
    pub new_hip: bool,
    /// Clear floor that was measured.
    pub clear_floor: Vec<(Bearing, Length)>,
    /// Directions that stay closed; drawn as notches.
    pub closed: Vec<ClosedDirection>,
    /// Pain that an order accepts; none where the strict rule holds.
    pub accepted_pain: Option<AcceptedPain>,
}

impl SheetSettings {
    /// The settings of one case on one day.
    #[must_use]
    pub fn of(case: &CaseFile, space: Option<&Space>, today: Date, wording: Wording) -> Self {
        let conditions = &case.findings.conditions;
        let new_hip = conditions.iter().any(|c| matches!(c, Condition::HipReplacement { .. }));
        let new_knee = conditions.iter().any(|c| matches!(c, Condition::KneeReplacement { .. }));
        let life = ShelfLife { days: programme::figures().home_shelf_life_days };
        let clear_floor = case
            .home
            .clear_floor
            .iter()
            .filter_map(|(bearing, found)| Some((*bearing, *found.on(today, life).current()?)))
            .collect();
        Self {
            made_on: today,
            invented: case.invented,
            edition: if case.person.sight.is_poor() { Edition::LargeType } else { Edition::Standard },
            read_out: case.person.sight == Sight::NoType,
            sound: !case.person.hearing.is_poor(),
            footwear: case.home.footwear,
            numb_feet: match &case.findings.other_conditions {
                Finding::Found { value, .. } => value.contains(&Comorbidity::Neuropathy),
                Finding::NotAssessed => false,
            },
            rules: person_rules(&case.findings, today, wording.language),
            rules_beside: Vec::new(),
            wording,
            operated: conditions.iter().any(operated),
            new_joint: new_hip || new_knee,
            new_hip,
            clear_floor,
            closed: space.map(closed).unwrap_or_default(),
            accepted_pain: accepted(case, today),
        }
    }
}

/// Whether there is a wound to look after. Of a torn Achilles tendon nobody says whether it was sewn: then there may be.
fn operated(condition: &Condition) -> bool {
    match condition {
        Condition::HipReplacement { .. } | Condition::KneeReplacement { .. } => true,
        Condition::Presented(one) => {
            one.presentation.clock() == Clock::Operation || one.presentation == Presentation::AchillesRepair
        }
        Condition::KneeOsteoarthritis { .. } | Condition::FallsRisk { .. } | Condition::Other(_) => false,
    }
}

/// What is accepted, no more than anybody may accept; none of 10 is the strict rule.
pub(crate) fn accepted(case: &CaseFile, today: Date) -> Option<AcceptedPain> {
    let most = progress::adapt_figures().most_pain;
    let accepted = accepted_pain(&case.findings.orders, today)?;
    Some(AcceptedPain { up_to: accepted.up_to.min(most), ..accepted }).filter(|pain| pain.up_to > 0)
}

impl SheetSettings {
    /// Directions of one family and limb that stay closed and are not among those that are done.
    pub(crate) fn closed_beside(
        &self,
        (family, mover): (Family, Side),
        done: impl Fn(Bearing) -> bool,
    ) -> Vec<Bearing> {
        let here = self.closed.iter().filter(|c| c.family == family && c.mover == mover);
        here.map(|c| c.bearing).filter(|bearing| !done(*bearing)).collect()
    }

    /// The same case for another reader.
    #[must_use]
    pub fn for_edition(self, edition: Edition, case: &CaseFile) -> Self {
        let beside = |language: Language| person_rules(&case.findings, self.made_on, language);
        let rules_beside = match edition {
            Edition::Bilingual { beside: language } => beside(language),
            Edition::Standard | Edition::LargeType | Edition::Numerals => Vec::new(),
        };
        Self { edition, rules_beside, ..self }
    }
}

/// Directions in which no way of going out is open.
fn closed(space: &Space) -> Vec<ClosedDirection> {
    let key = |r: &safety::SurveyedRay| ClosedDirection {
        family: r.ray.family,
        mover: r.ray.mover,
        bearing: r.ray.bearing,
    };
    let mut out: Vec<ClosedDirection> = space
        .rays
        .iter()
        .filter(|r| matches!(r.verdict, RayVerdict::Closed { .. }))
        .map(key)
        .filter(|direction| {
            !space
                .rays
                .iter()
                .any(|r| key(r) == *direction && !matches!(r.verdict, RayVerdict::Closed { .. }))
        })
        .collect();
    out.sort_unstable();
    out.dedup();
    out
}
