//! Accepting and changing a programme: what writes a record.

use app::{Amended, Outcome, PersonToday, Plan};
use clinic::{ProgrammeRecord, Role};
use jiff::ToSpan;
use maud::{Markup, html};

use super::{Accepted, Shown, accepted, kept, standing};
use crate::Answer;
use crate::fault::{Fault, sentence};
use crate::fields::Fields;
use crate::reckon::Bench;
use crate::seat::{Seat, Whose, at};

/// Whether somebody in this role may change a programme.
pub(super) fn may_change(role: Role) -> bool {
    clinic::may_write::<ProgrammeRecord>(role)
}

/// Why somebody may not, or what they should know.
pub(super) fn about_role(role: Role) -> Option<&'static str> {
    match role {
        Role::Clinician => None,
        Role::Student => Some(
            "What a student accepts waits for a clinician’s countersignature; until then there is no sheet.",
        ),
        Role::Assistant => Some("An assistant teaches and logs; a clinician changes the programme."),
        Role::Reader | Role::Recovery => Some("A reader changes nothing."),
    }
}

/// The button that puts the movement into the programme.
pub(super) fn put_form(seat: &Seat, shown: &Shown, sentence: &str, permitted: bool) -> Markup {
    let id = shown.standing.line.id;
    html! {
        @if may_change(shown.role) {
            form.put method="post" action=(at(id, "programme/put")) hidden[!permitted] id="put" {
                (seat.form())
                input type="hidden" name="sentence" value=(sentence);
                button.action type="submit" { "Put it into the programme" }
            }
        }
        @if let Some(words) = about_role(shown.role) { p.quiet { (words) } }
    }
}

const GONE: &str = "There is no such proposal any more: the findings have changed. Open the programme again.";

/// Accepts one of the proposals.
pub(super) async fn accept(seat: Seat, whose: Whose, fields: Fields) -> Answer {
    let standing = standing(&seat, &whose).await?;
    let outcome = seat.reckon().plan(&standing).await?;
    let (Some(Outcome::Programme(plan)), Some(case)) = (outcome.as_deref(), standing.case.as_deref()) else {
        return Err(Fault::NotFound(GONE));
    };
    let chosen: usize = fields.get("proposal").parse().unwrap_or(0);
    let plan = one_of(plan, chosen).ok_or(Fault::NotFound(GONE))?;
    let handout = app::handout_of_plan(&plan, case, standing.day);
    let record = ProgrammeRecord {
        for_day: plan.programme.for_day,
        use_until: plan.programme.use_until,
        exercises: plan
            .programme
            .exercises
            .iter()
            .map(|exercise| exercise.movements().map(|one| app::sentence_kept(one.spec())).collect())
            .collect(),
        json: app::programme_json(&plan, case, &handout),
        why: plan.programme.why.join(" "),
        by_hand: false,
    };
    seat.desk.append(whose.0, &record, fields.once()).await?;
    seat.saved(&whose.at("programme"))
}

/// The plan as if this proposal were its first.
pub(super) fn one_of(plan: &Plan, chosen: usize) -> Option<Plan> {
    if chosen == 0 {
        return Some(plan.clone());
    }
    let other = plan.others.get(chosen - 1)?;
    Some(Plan {
        programme: other.programme.clone(),
        trades: other.trades.clone(),
        others: Vec::new(),
        ..plan.clone()
    })
}

/// Puts the movement of a sentence into the programme.
pub(super) async fn put(seat: Seat, whose: Whose, fields: Fields) -> Answer {
    let (standing, bench, now) = opened(&seat, &whose).await?;
    let given = fields.get("sentence").to_owned();
    let of = bench.clone();
    let record = now.as_ref().map(|now| now.record.clone());
    let amended = crate::reckon::blocking(move || -> Result<Amended, String> {
        let person = PersonToday::of(&of.case, of.day);
        let limits = person.limits();
        let reader = app::SentenceReader { body: &person.body, supports: &limits.supports };
        let spec = reader.read(&given).map_err(|error| error.to_string())?;
        if !app::one_movement(&person, of.movements.as_ref(), &spec).is_permitted() {
            return Err(
                "this movement is not permitted today, so it cannot be put into the programme".to_owned()
            );
        }
        app::with_movement(&person, record.as_ref().map(kept), &spec).map_err(|error| error.to_string())
    })
    .await?;
    let amended = amended.map_err(|why| Fault::Refused(sentence(&why)))?;
    write(&seat, &whose, &standing, now.as_ref(), amended, &fields).await
}

/// Takes a movement out of the programme.
pub(super) async fn take_out(seat: Seat, whose: Whose, fields: Fields) -> Answer {
    let (standing, _, now) = opened(&seat, &whose).await?;
    let Some(now) = now else { return Err(Fault::NotFound("There is no programme to take it out of.")) };
    let amended = app::without_movement(kept(&now.record), fields.get("sentence"))
        .map_err(|error| Fault::Refused(sentence(&error.to_string())))?;
    write(&seat, &whose, &standing, Some(&now), amended, &fields).await
}

pub(super) async fn write(
    seat: &Seat,
    whose: &Whose,
    standing: &clinic::Standing,
    now: Option<&Accepted>,
    amended: Amended,
    fields: &Fields,
) -> Answer {
    let days = i64::from(programme::figures().use_for_days);
    let record = ProgrammeRecord {
        // A change by hand answers nothing of what hurt, so what came home since still counts.
        for_day: now.map_or(standing.day, |now| now.record.for_day),
        // A change does not make it last longer.
        use_until: now.map_or_else(
            || standing.day.saturating_add(days.days()),
            |now| now.record.use_until.max(standing.day),
        ),
        exercises: amended.exercises,
        json: amended.json,
        why: amended.what,
        by_hand: now.is_some(),
    };
    seat.desk.append(whose.0, &record, fields.once()).await?;
    seat.saved(&whose.at("programme"))
}

pub(super) type Opened = (std::sync::Arc<clinic::Standing>, Bench, Option<Accepted>);

pub(super) async fn opened(seat: &Seat, whose: &Whose) -> Result<Opened, Fault> {
    let standing = standing(seat, whose).await?;
    let Some(bench) = seat.reckon().bench(&standing).await? else {
        return Err(Fault::NotFound("Nothing is known of this person yet, so there is no programme."));
    };
    let now = accepted(seat, &standing, &bench).await?;
    Ok((standing, bench, now))
}
