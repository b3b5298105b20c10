//! Who the person is, as far as body and sheet need it.

use anatomy::Side;
use clinic::CaseText;
use jiff::Unit;
use maud::{Markup, html};

use super::entry::Entry;
use super::fields::{Ask, Row};
use super::parts::{field, row};
use super::shown::Form;

const SEX: Ask = Ask::Choice(&[("female", "female"), ("male", "male")]);

const SIGHT: Ask = Ask::Choice(&[
    ("usual_type", "usual type"),
    ("large_type", "large type only: 24-point sheet"),
    ("no_type", "no type: somebody reads it out"),
]);
const HEARING: Ask =
    Ask::Choice(&[("usual", "usual"), ("hard", "hard of hearing: no beeps"), ("none", "none: no beeps")]);
pub(super) const SIGHT_KEY: &str = "person.sight";
const POOR_SIGHT: &str = "person.poor_sight";

const PLAIN: [(&str, &str, Ask); 9] = [
    ("person.age", "Age in years", Ask::Whole),
    ("person.sex", "Body table used", SEX),
    ("person.stature", "Standing height", Ask::Quantity("cm")),
    ("person.mass", "Body mass", Ask::Quantity("kg")),
    ("person.name", "Name on the sheet", Ask::Text),
    ("person.about", "Work, sport or setting", Ask::Text),
    ("person.interpreter", "Interpreter needed for", Ask::Text),
    (SIGHT_KEY, "Sight: what can be read", SIGHT),
    ("person.hearing", "Hearing", HEARING),
];

pub(super) fn view(form: &Form<'_>) -> Markup {
    html! {
        p.hint { "Age, body table, height and mass are what a computation cannot do without." }
        div.pairs {
            @for (path, label, ask) in &PLAIN[..4] { div.finding id=(format!("at:{path}")) { (field(form, path, *ask, label)) } }
        }
        (row(form, &consent()))
        details open[form.problems.iter().any(|p| p.key.starts_with("person."))] {
            summary { "Name on the sheet, work, leg length, sight, hearing, interpreter" }
            div.pairs {
                @for (path, label, ask) in &PLAIN[4..] { div.finding { (field(form, path, *ask, label)) } }
                @for side in Side::BOTH {
                    @let path = format!("person.leg_length.{side}");
                    div.finding { (field(form, &path, Ask::Quantity("cm"), &format!("Leg length, {side}"))) }
                }
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

/// What a case says of sight: in the newer word, or in the older one.
pub(super) fn sight(text: &CaseText) -> Option<String> {
    let older =
        || text.given(POOR_SIGHT).filter(|given| given.text == "true").map(|_| "large_type".to_owned());
    text.given(SIGHT_KEY).map(|given| given.text).or_else(older)
}

pub(super) fn take(entry: &mut Entry<'_>) {
    for (path, _, ask) in PLAIN {
        // The older word for sight is shown in the newer one: shown again it is no change.
        if path == SIGHT_KEY && entry.typed(path) == Some(sight(&entry.base).unwrap_or_default().as_str()) {
            continue;
        }
        if path == SIGHT_KEY && entry.typed(path).is_some() {
            entry.text.remove(POOR_SIGHT);
        }
        entry.plain(path, ask);
    }
    for side in Side::BOTH {
        entry.plain(&format!("person.leg_length.{side}"), Ask::Quantity("cm"));
    }
    entry.row(&consent());
}

/// Whether the person agrees, with its day.
fn consent() -> Row {
    Row {
        path: "findings.consent".to_owned(),
        label: "Agrees to examination, exercises and the record".to_owned(),
        hint: "",
        ask: Ask::YesNo,
        sided: false,
        life: None,
    }
}
