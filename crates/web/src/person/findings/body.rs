//! Who the person is, as far as body and sheet need it.

use anatomy::Side;
use clinic::CaseValue;
use jiff::Unit;
use maud::{Markup, html};

use super::entry::Entry;
use super::fields::Ask;
use super::parts::field;
use super::shown::Form;

const SEX: Ask = Ask::Choice(&[("female", "female"), ("male", "male")]);

const PLAIN: [(&str, &str, Ask); 7] = [
    ("person.age", "Age in years", Ask::Whole),
    ("person.sex", "Body table used", SEX),
    ("person.stature", "Standing height", Ask::Quantity("cm")),
    ("person.mass", "Body mass", Ask::Quantity("kg")),
    ("person.name", "Name on the sheet", Ask::Text),
    ("person.about", "Work, sport or setting", Ask::Text),
    ("person.interpreter", "Interpreter needed for", Ask::Text),
];

pub(super) fn view(form: &Form<'_>) -> Markup {
    html! {
        p.hint { "Age, body table, height and mass are what a computation cannot do without." }
        div.pairs {
            @for (path, label, ask) in &PLAIN[..4] { div.finding id=(format!("at:{path}")) { (field(form, path, *ask, label)) } }
        }
        details open[form.problems.iter().any(|p| p.key.starts_with("person."))] {
            summary { "Name on the sheet, work, leg length, sight, interpreter" }
            div.pairs {
                @for (path, label, ask) in &PLAIN[4..] { div.finding { (field(form, path, *ask, label)) } }
                @for side in Side::BOTH {
                    @let path = format!("person.leg_length.{side}");
                    div.finding { (field(form, &path, Ask::Quantity("cm"), &format!("Leg length, {side}"))) }
                }
                div.finding { (field(form, "person.poor_sight", Ask::YesNo, "Poor sight: larger type")) }
            }
            p.hint { "Leg length from the anterior superior iliac spine to the medial malleolus; left empty, it is estimated from height." }
        }
    }
}

/// What a new person's record says already.
pub(super) fn known(form: &Form<'_>) -> Vec<(&'static str, String)> {
    let person = form.standing.person();
    let mut known = vec![("person.name", person.name.clone())];
    if let Some(born) = person.born
        && let Ok(age) = born.until((Unit::Year, form.standing.day))
    {
        known.push(("person.age", age.get_years().to_string()));
    }
    known
}

pub(super) fn take(entry: &mut Entry<'_>) {
    for (path, _, ask) in PLAIN {
        entry.plain(path, ask);
    }
    for side in Side::BOTH {
        entry.plain(&format!("person.leg_length.{side}"), Ask::Quantity("cm"));
    }
    // No poor sight is what stands when nothing is written.
    match entry.changed("person.poor_sight", Ask::YesNo) {
        Some("yes") => entry.text.set("person.poor_sight", &CaseValue::Flag(true)),
        Some(_) => entry.text.remove("person.poor_sight"),
        None => {}
    }
}
