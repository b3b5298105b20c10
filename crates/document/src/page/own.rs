//! What only the page of one person says: minutes, what the arms do, what stays closed, rules, whom to call.
//!
//! It stands beside the programme and not in it: the mark, the codes of a log and the address know nothing of it.

use anatomy::Side;
use biomech::Motion;
use jiff::civil::Date;
use person::Clinic;
use quantity::Span;
use serde_json::{Value, json};

use super::PageSettings;
use crate::data::Contact;
use crate::language::{Language, Wording};
use crate::make::{ExerciseFacts, arms, contacts as lines, pain_rule, whole_minutes};
use crate::settings::SheetSettings;

/// Adds what only this person's page says.
pub(super) fn with_person(
    carried: &mut Value,
    exercises: &[ExerciseFacts<'_>],
    (minutes, until): (Span, Date),
    clinic: &Clinic,
    sheet: &SheetSettings,
    settings: &PageSettings,
) {
    let wording = Wording { language: settings.language, units: settings.units };
    carried["minutes"] = json!(whole_minutes(minutes));
    carried["invented"] = json!(sheet.invented);
    carried["operated"] = json!(sheet.operated);
    carried["newJoint"] = json!(sheet.new_joint);
    carried["newHip"] = json!(sheet.new_hip);
    carried["rules"] = json!(sheet.rules);
    if let Some(pain) = sheet.accepted_pain {
        carried["acceptedPain"] = json!({
            "upTo": pain.up_to,
            "until": pain.until.map_or(until, |last| last.min(until)),
            "safe": progress::adapt_figures().safe_pain,
            "rule": pain_rule(pain, until, wording),
        });
    }
    carried["emergency"] = json!(clinic.emergency_number);
    carried["contacts"] = contacts(clinic, settings.language, sheet.operated, true);
    for (e, facts) in exercises.iter().enumerate() {
        let limbs = facts.limbs.iter().filter(|(_, motions)| !motions.is_empty());
        for (l, (mover, motions)) in limbs.enumerate() {
            let limb = &mut carried["exercises"][e]["limbs"][l];
            limb["arms"] = json!(arms(facts.arms(), *mover, wording));
            limb["closed"] = json!(closed(facts, *mover, motions, sheet));
        }
    }
}

/// The bearings that are drawn as closed, as on the floor of the sheet.
fn closed(
    facts: &ExerciseFacts<'_>,
    mover: Side,
    motions: &[&Motion],
    sheet: &SheetSettings,
) -> Vec<movement::Bearing> {
    sheet.closed_beside((facts.family, mover), |bearing| motions.iter().any(|m| m.spec.bearing == bearing))
}

/// Whom to call, with `null` for what the clinic has not told us; the therapist's name only where it is asked for.
pub(super) fn contacts(clinic: &Clinic, language: Language, operated: bool, therapist: bool) -> Value {
    let mut all = lines(clinic, operated, language);
    if !therapist {
        // The last line.
        all.pop();
    }
    all.into_iter().map(|Contact { label, value }| json!({ "label": label, "value": value })).collect()
}
