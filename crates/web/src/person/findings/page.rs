//! The page of the findings: what changed, what to ask next, and the form in the order of a visit.

use maud::{Markup, html};

use super::fields::sections;
use super::shown::{Form, mended};
use super::{body, conditions, flags, goals, home, hurt, orders, parts, strength};
use crate::seat::{Seat, at};
use crate::words;

/// Sections of the form with their titles, in the order of the work.
const PLACES: [(&str, &str); 11] = [
    ("flags", "Red flags"),
    ("body", "Body"),
    ("conditions", "Condition"),
    ("orders", "Weight and orders"),
    ("pain", "Pain"),
    ("standing", "Standing and walking"),
    ("legs", "Each leg"),
    ("strength", "Strength"),
    ("others", "Other conditions"),
    ("goals", "Goals"),
    ("home", "Home"),
];

/// The whole page. `base` is the version the form was opened with; empty for the newest.
pub(super) fn view(seat: &Seat, form: &Form<'_>, changed: &Markup, questions: &Markup, base: &str) -> Markup {
    let id = form.standing.line.id;
    let newest = form.standing.case_record.map(|record| record.to_string()).unwrap_or_default();
    let base = if base.is_empty() { newest.as_str() } else { base };
    html! {
        (changed)
        div.work {
            div.beside {
                (questions)
                nav.places aria-label="Parts of the findings" {
                    ul { @for (id, title) in PLACES { li { a href=(format!("#{id}")) { (title) } } } }
                }
                p.acts {
                    a href=(at(id, "findings/versions")) { "Every version" }
                    a href=(at(id, "findings/text")) { "Whole case file" }
                }
            }
            form.findings method="post" action=(at(id, "findings")) data-keeps {
                (seat.form())
                input type="hidden" name="base" value=(base);
                @if form.text.is_none() && seat.desk.clinic().is_demo() { input type="hidden" name="invented" value="yes"; }
                (problems(form))
                @if form.text.is_none() {
                    p { "Nothing was entered yet. Every line may be left out: it then counts as not assessed, and opens nothing." }
                }
                @for (id, title) in PLACES {
                    section id=(id) aria-labelledby=(format!("title:{id}")) {
                        h2 id=(format!("title:{id}")) { (title) }
                        (part(form, id))
                    }
                }
                script type="module" src="/assets/findings.js" {}
                div.save {
                    label for="found_on" { "Found on" }
                    input type="date" id="found_on" name="found_on" value=(form.own("found_on", &form.standing.day.to_string())) aria-describedby="found_on-hint";
                    button.action type="submit" { "Save" span.wide { " and see what opened" } }
                    p.hint id="found_on-hint" { "the day of what you change now" }
                }
            }
        }
    }
}

fn part(form: &Form<'_>, id: &str) -> Markup {
    match id {
        "flags" => flags::view(form),
        "body" => body::view(form),
        "conditions" => conditions::view(form),
        "orders" => orders::view(form),
        "strength" => strength::view(form),
        "others" => flags::view_others(form),
        "goals" => goals::view(form),
        "home" => home::view(form),
        of_rows => rows(form, of_rows),
    }
}

fn rows(form: &Form<'_>, id: &str) -> Markup {
    let sections = sections();
    html! {
        @for section in sections.iter().filter(|section| section.id == id) {
            @for row in &section.rows { (parts::row(form, row)) }
        }
        @if id == "pain" { (hurt::view(form)) }
        // What only later criteria ask for stands folded under the legs.
        @if id == "legs" {
            @for section in sections.iter().filter(|section| section.folded) {
                details {
                    summary { (section.title) ": " (answered(form, section)) }
                    @for row in &section.rows { (parts::row(form, row)) }
                }
            }
        }
    }
}

fn answered(form: &Form<'_>, section: &super::fields::Section) -> String {
    let known =
        section.rows.iter().filter(|row| row.paths().iter().any(|path| form.day_of(path).is_some())).count();
    format!("{known} of {} known", section.rows.len())
}

/// Everything that is to be mended, each with a link to its field.
fn problems(form: &Form<'_>) -> Markup {
    html! {
        @if !form.problems.is_empty() {
            div.mend role="alert" {
                p { strong { "Not saved yet: " (form.problems.len()) @if form.problems.len() == 1 { " thing" } @else { " things" } " to mend. What you typed is still here." } }
                ul {
                    @for problem in &form.problems {
                        li { a href=(format!("#{}", problem.key.trim_end_matches(".on"))) { (label(&problem.key)) } ": " (mended(problem)) }
                    }
                }
            }
        }
    }
}

/// A key in words.
fn label(key: &str) -> String {
    if let Some(own) = key.strip_prefix("conditions.new.") {
        return format!("New condition, {}", own.replace(['_', '.'], " "));
    }
    let key = key.strip_prefix("findings.").or_else(|| key.strip_prefix("person.")).unwrap_or(key);
    words::capital(&key.replace(['_', '.'], " ").replace(".new", "").replace('[', " ").replace(']', ""))
}
