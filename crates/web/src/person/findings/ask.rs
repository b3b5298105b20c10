//! The next best questions, each a link to its field.

use app::Asked;
use clinic::PersonId;
use maud::{Markup, html};
use safety::Question;

use super::shown::Form;
use super::{super::alert, conditions};
use crate::seat::at;
use crate::words;

/// Where a question is answered.
fn place(form: &Form<'_>, question: &Question) -> String {
    let of_condition = |keys: &[&str]| {
        form.text.as_ref().map_or_else(|| "conditions".to_owned(), |text| conditions::place_of(text, keys))
    };
    let key = question.key.as_str();
    match key {
        "red_flags" | "other_conditions" => format!("at:findings.{key}"),
        "weight_bearing" | "full_weight_allowed" => "at:weight_bearing".to_owned(),
        "aids_held" | "walking_frame" => "at:findings.aid".to_owned(),
        "knee_flexion_deg" | "knee_flexion_percent" => "at:findings.knee_flexion".to_owned(),
        "extension_lag_deg" => "at:findings.extension_lag".to_owned(),
        "dorsiflexion_deficit_deg" => "at:findings.ankle_dorsiflexion".to_owned(),
        "quadriceps_strength_percent" => "at:strength.knee_extension".to_owned(),
        "hamstring_strength_percent" => "at:strength.knee_flexion".to_owned(),
        "abductor_strength_percent" => "at:strength.hip_abduction".to_owned(),
        "operated_on" => of_condition(&["operated_on", "injured_on"]),
        "approach" => of_condition(&["approach", "pattern"]),
        "ceiling" | "someone_at_home" | "alone_waived" | "medial_or_varus_thrust" => of_condition(&[key]),
        other if other.starts_with("confirmation") => confirmation(form, other),
        other => format!("at:findings.{other}"),
    }
}

fn confirmation(form: &Form<'_>, key: &str) -> String {
    let table = key.rsplit(' ').next().unwrap_or_default();
    let conditions =
        form.standing.case.as_deref().map(|case| case.findings.conditions.as_slice()).unwrap_or_default();
    conditions
        .iter()
        .position(|one| safety::table_of(one) == Some(table))
        .map_or_else(|| "conditions".to_owned(), |at| format!("at:conditions[{}].confirmed", at + 1))
}

/// The first three, what the rest would do, and what a first programme needs.
pub(super) fn view(form: &Form<'_>, asked: &Asked) -> Markup {
    if let Some(flag) = &asked.alert {
        return alert(flag);
    }
    let Some(questions) = &asked.questions else { return html! {} };
    let first = asked.first(3);
    html! {
        section.ask aria-labelledby="ask" {
            h2 id="ask" { @if first.is_empty() { "Nothing more to ask today" } @else { "Ask next" } }
            @if first.is_empty() {
                p { "Nothing that was not assessed would open more of what the goals need." }
            }
            ol {
                @for question in first {
                    li {
                        a href=(format!("#{}", place(form, question))) { (words::capital(&question.words)) }
                        p.hint { (opens(question)) }
                    }
                }
            }
            @if questions.questions.len() > 3 {
                details {
                    summary { (questions.questions.len() - 3) " more" }
                    ul { @for question in &questions.questions[3..] { li { a href=(format!("#{}", place(form, question))) { (words::capital(&question.words)) } } } }
                }
            }
            @if questions.wished > 0 {
                p.hint { "Of " (questions.wished) " movements that serve the goals, " (questions.open) " are open today, " (questions.open_at_best) " if every answer were the best. An answer may as well close." }
            }
        }
    }
}

/// The place of the questions while they are not worked out.
pub(super) fn later(person: PersonId) -> Markup {
    let (asked, beside) = (at(person, "findings?ask=1#ask"), at(person, "findings/ask"));
    html! {
        section.ask data-later=(beside) aria-labelledby="ask" aria-busy="true" {
            h2 id="ask" { "Ask next" }
            p { a href=(asked) { "Work out what to ask next" } }
        }
    }
}

fn opens(question: &Question) -> String {
    match (question.opens, question.waiting) {
        (0, 1) => "1 movement waits for it.".to_owned(),
        (0, n) => format!("{n} movements wait for it, with others."),
        (1, _) => "could open 1 movement by itself.".to_owned(),
        (n, _) => format!("could open {n} movements by itself."),
    }
    .replace("could", "Could")
}
