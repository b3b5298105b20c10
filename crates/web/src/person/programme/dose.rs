//! Dose and pace of one exercise, chosen within the rules of today.

use app::{PersonToday, sentence_kept};
use axum::http::StatusCode;
use axum::response::IntoResponse;
use maud::{Markup, html};
use movement::{Dose, Tempo};
use programme::{DoseRules, Exercise};
use quantity::Span;

use super::keep::{may_change, opened, write};
use super::{Shown, kept};
use crate::Answer;
use crate::fault::{Fault, sentence};
use crate::fields::Fields;
use crate::seat::{Seat, Whose, at};

/// A choice that was not accepted, as it was typed, with why.
pub(super) struct Refused {
    pub fields: Fields,
    pub why: String,
}

/// The form of one exercise, with what is accepted beside each number.
pub(super) fn form(seat: &Seat, shown: &Shown, person: &PersonToday<'_>, exercise: &Exercise) -> Markup {
    let Some(first) = exercise.movements().next().map(|one| sentence_kept(one.spec())) else {
        return html! {};
    };
    let kept =
        shown.accepted.iter().flat_map(|now| now.record.exercises.iter().flatten()).any(|one| *one == first);
    if !may_change(shown.role) || !kept {
        return html! {};
    }
    let rules = DoseRules::of(exercise.family, &person.limits(), shown.bench.case.wishes.per_day);
    let typed = shown.refused.as_ref().filter(|refused| refused.fields.get("of") == first);
    let of = typed.map(|refused| &refused.fields);
    let place = at(shown.standing.line.id, "programme/dose");
    let counts = [
        ("repetitions", "Repetitions of each direction", exercise.dose.repetitions, rules.repetitions),
        ("rounds", "Rounds", exercise.dose.rounds, rules.rounds),
        ("per_day", "Times a day", exercise.dose.per_day, rules.per_day),
    ];
    let times = [
        ("out", "Out, s", exercise.tempo.out, rules.way),
        ("hold", "Hold, s", exercise.tempo.hold, rules.hold),
        ("back", "Back, s", exercise.tempo.back, rules.way),
    ];
    let id = |name: &str| format!("{name}-{}", exercise_id(exercise));
    html! {
        details.dose open[typed.is_some()] {
            summary { "Change dose and pace" }
            form method="post" action=(place) data-keeps=(exercise_id(exercise)) {
                (seat.form())
                @if let Some(refused) = typed { div.mend role="alert" { p { (refused.why) } } }
                input type="hidden" name="of" value=(first);
                div.numbers {
                    @for (name, label, now, (least, most)) in counts {
                        p {
                            label for=(id(name)) { (label) }
                            input.short id=(id(name)) name=(name) inputmode="numeric" autocomplete="off" value=(shown_value(of, name, &now.to_string())) aria-describedby=(id(&format!("{name}-range")));
                            span.hint id=(id(&format!("{name}-range"))) { @if least == most { "only " (least) } @else { (least) " to " (most) } }
                        }
                    }
                    @for (name, label, now, (least, most)) in times {
                        p {
                            label for=(id(name)) { (label) }
                            input.short id=(id(name)) name=(name) inputmode="numeric" autocomplete="off" value=(shown_value(of, name, &now.in_s().to_string())) aria-describedby=(id(&format!("{name}-range")));
                            span.hint id=(id(&format!("{name}-range"))) { (least.in_s()) " to " (most.in_s()) }
                        }
                    }
                }
                p.hint { "Days follow from what is trained. Rest between rounds is " (exercise.dose.rest.in_s()) " s. Nothing quicker than " (rules.way.0.in_s()) " s is computed, so nothing quicker is offered; a direction that hurt goes slower than this by itself." }
                button type="submit" { "Save dose and pace" }
            }
        }
    }
}

/// A name for the fields of one exercise that no other exercise of the page has.
fn exercise_id(exercise: &Exercise) -> String {
    let first = exercise.movements().next().map(|one| sentence_kept(one.spec())).unwrap_or_default();
    first.chars().map(|c| if c.is_ascii_alphanumeric() { c } else { '-' }).collect()
}

fn shown_value(typed: Option<&Fields>, name: &str, now: &str) -> String {
    typed.map_or(now, |fields| fields.get(name)).to_owned()
}

/// What was typed.
///
/// # Errors
/// The first number that cannot be read, with what is accepted.
fn parse(fields: &Fields, before: (Dose, Tempo)) -> Result<(Dose, Tempo), String> {
    let count = |name: &str, what: &str| {
        let typed = fields.get(name).trim();
        typed.parse::<u8>().map_err(|_| {
            format!("{what} cannot be `{typed}`; accepted: a whole number such as 3. Type it again.")
        })
    };
    // Whole seconds: the person counts them.
    let time = |name: &str, what: &str| {
        let typed = fields.get(name).trim();
        typed.parse::<u8>().map(|seconds| Span::s(f64::from(seconds))).map_err(|_| {
            format!("{what} cannot be `{typed}`; accepted: whole seconds, such as 3, as they are counted. Type it again.")
        })
    };
    let (dose, tempo) = before;
    Ok((
        Dose {
            repetitions: count("repetitions", "Repetitions")?,
            rounds: count("rounds", "Rounds")?,
            per_day: count("per_day", "Times a day")?,
            ..dose
        },
        Tempo {
            out: time("out", "The way out")?,
            hold: time("hold", "The hold")?,
            back: time("back", "The way back")?,
            ..tempo
        },
    ))
}

/// Writes another dose and pace; both gates and the rules of the dose are asked again.
pub(super) async fn take(seat: Seat, whose: Whose, fields: Fields) -> Answer {
    let (standing, bench, now) = opened(&seat, &whose).await?;
    let Some(now) = now else {
        return Err(Fault::NotFound("There is no programme whose dose could change."));
    };
    let app::Again::Today { programme, .. } = &now.again else {
        return Err(Fault::NotFound("A red flag stands open: nothing of the programme may be done."));
    };
    let of = fields.get("of");
    let is_it = |one: &&Exercise| one.movements().any(|one| sentence_kept(one.spec()) == of);
    let Some(exercise) = programme.exercises.iter().find(is_it) else {
        return Err(Fault::Refused(sentence(&app::DoseRefused::NotThere(of.to_owned()).to_string())));
    };
    let person = PersonToday::of(&bench.case, bench.day);
    let amended = parse(&fields, (exercise.dose, exercise.tempo)).and_then(|(dose, tempo)| {
        app::with_dose(&person, (kept(&now.record), programme), of, dose, tempo)
            .map_err(|error| sentence(&error.to_string()))
    });
    match amended {
        Ok(amended) => write(&seat, &whose, &standing, Some(&now), amended, &fields).await,
        Err(why) => {
            let page =
                super::page_with(&seat, &whose, Fields::default(), Some(Refused { fields, why })).await?;
            Ok((StatusCode::UNPROCESSABLE_ENTITY, page).into_response())
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_cannot_be_read_is_named_with_what_is_accepted() {
        let usual = programme::figures().tempo;
        let before = (Dose { repetitions: 2, rounds: 1, rest: Span::s(30.0), per_day: 1 }, usual);
        let typed = |out: &str, rounds: &str| {
            Fields::known([
                ("repetitions", "3".to_owned()),
                ("rounds", rounds.to_owned()),
                ("per_day", "1".to_owned()),
                ("out", out.to_owned()),
                ("hold", "1".to_owned()),
                ("back", "2".to_owned()),
            ])
        };
        let (dose, tempo) = parse(&typed("4", "2"), before).expect("reads");
        assert_eq!((dose.repetitions, dose.rounds, tempo.out.in_s()), (3, 2, 4.0));
        let told = parse(&typed("2.5", "2"), before).expect_err("nobody counts halves");
        assert!(told.contains("`2.5`") && told.contains("whole seconds"), "{told}");
        assert!(parse(&typed("2", "two"), before).expect_err("no number").contains("Rounds"));
    }
}
