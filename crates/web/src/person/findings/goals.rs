//! What the person wants back, and what is worked on.

use anatomy::MuscleGroup;
use clinic::{CaseText, CaseValue};
use maud::{Markup, html};
use movement::{AnatomicalDirection, GoalTask};

use super::entry::Entry;
use super::fields::Ask;
use super::parts::{field, problem};
use super::shown::Form;
use crate::words::capital;

const ACTIVITIES: &str = "goals.activities";

const DOSE: [(&str, &str, Ask); 3] = [
    ("goals.minutes", "Minutes for all exercises", Ask::Whole),
    ("goals.per_day", "Times a day", Ask::Whole),
    ("goals.exercises", "Exercises at most", Ask::Whole),
];

/// A wish as one word: its sort and what it is about.
fn wish(text: &CaseText, at: usize) -> Option<String> {
    let key = |key: &str| text.given(&format!("goals.work_on[{at}].{key}")).map(|given| given.text);
    let kind = key("kind")?;
    Some(match kind.as_str() {
        "strength" => format!("strength:{}", key("group")?),
        "range" => format!("range:{}", key("motion")?),
        "control" => format!("control:{}", key("direction")?),
        "task" => format!("task:{}", key("task")?),
        other => other.to_owned(),
    })
}

fn wishes(text: Option<&CaseText>) -> Vec<String> {
    let Some(text) = text else { return Vec::new() };
    (1..=text.entries("goals.work_on")).filter_map(|at| wish(text, at)).collect()
}

/// Ranges that are usually worked on.
const RANGES: [(&str, &str); 6] = [
    ("knee_flexion", "knee flexion"),
    ("knee_extension", "knee extension"),
    ("ankle_dorsiflexion", "ankle dorsiflexion"),
    ("hip_flexion", "hip flexion"),
    ("hip_extension", "hip extension"),
    ("hip_abduction", "hip abduction"),
];

/// Every wish that can be ticked: a heading, then word and name of each.
fn choices() -> Vec<(&'static str, Vec<(String, String)>)> {
    let read = |key: &str| key.replace('_', " ");
    vec![
        (
            "Strength of",
            MuscleGroup::ALL.map(|one| (format!("strength:{}", one.key()), read(&one.key()))).to_vec(),
        ),
        (
            "Control going",
            AnatomicalDirection::ALL
                .map(|one| (format!("control:{}", one.name()), one.name().to_owned()))
                .to_vec(),
        ),
        ("Range of", RANGES.map(|(key, name)| (format!("range:{key}"), name.to_owned())).to_vec()),
        (
            "Tasks",
            GoalTask::ALL
                .map(|one| (format!("task:{}", one.key()), read(one.key())))
                .into_iter()
                .chain([("balance".to_owned(), "balance on one leg".to_owned())])
                .collect(),
        ),
    ]
}

pub(super) fn view(form: &Form<'_>) -> Markup {
    let list = form.text.as_ref().and_then(|text| text.list(ACTIVITIES)).unwrap_or_default();
    let known = wishes(form.text.as_ref());
    let choices = choices();
    let unusual: Vec<&String> = known
        .iter()
        .filter(|one| !choices.iter().any(|(_, all)| all.iter().any(|(word, _)| word == *one)))
        .collect();
    html! {
        div.finding id=(format!("at:{ACTIVITIES}")) {
            label.of for=(ACTIVITIES) { "In the person’s own words, one on each line" }
            textarea id=(ACTIVITIES) name=(ACTIVITIES) rows="3" { (form.own(ACTIVITIES, &list.join("\n"))) }
            (problem(form, ACTIVITIES))
        }
        input type="hidden" name="wishes" value="shown";
        @for (title, all) in &choices {
            details.ticks open[all.iter().any(|(word, _)| form.ticked("wish", word, known.contains(word)))] {
                summary { (title) " …" }
                fieldset.ticks {
                    legend.unseen { (title) }
                    @for (word, name) in all {
                        label.choice { input type="checkbox" name="wish" value=(word) checked[form.ticked("wish", word, known.contains(word))]; (name) }
                    }
                }
            }
        }
        @for one in unusual {
            label.choice { input type="checkbox" name="wish" value=(one) checked[form.ticked("wish", one, true)]; (capital(&one.replace(['_', ':'], " "))) }
        }
        div.pairs {
            @for (path, label, ask) in DOSE { div.finding { (field(form, path, ask, label)) } }
        }
        p.hint { "Left empty: 5 minutes, once a day, three exercises." }
    }
}

pub(super) fn take(entry: &mut Entry<'_>) {
    if let Some(typed) = entry.typed(ACTIVITIES) {
        let lines: Vec<String> =
            typed.lines().map(str::trim).filter(|line| !line.is_empty()).map(str::to_owned).collect();
        if lines != entry.base.list(ACTIVITIES).unwrap_or_default() {
            if lines.is_empty() {
                entry.text.remove(ACTIVITIES);
            } else {
                entry
                    .text
                    .set(ACTIVITIES, &CaseValue::List(lines.into_iter().map(CaseValue::Text).collect()));
            }
        }
    }
    for (path, _, ask) in DOSE {
        entry.plain(path, ask);
    }
    if entry.fields.has("wishes") {
        take_wishes(entry);
    }
}

fn take_wishes(entry: &mut Entry<'_>) {
    let ticked: Vec<&str> = entry.fields.all("wish").collect();
    let known = wishes(Some(&entry.base));
    let new: Vec<&str> = ticked.iter().copied().filter(|one| !known.iter().any(|k| k == one)).collect();
    let gone: Vec<usize> = known
        .iter()
        .enumerate()
        .filter(|(_, one)| !ticked.contains(&one.as_str()))
        .map(|(at, _)| at + 1)
        .collect();
    if (new.is_empty() && gone.is_empty()) || entry.list_moved("goals.work_on") {
        return;
    }
    for at in gone {
        entry.take_out("goals.work_on", at);
    }
    for one in new {
        let text = |word: &str| CaseValue::Text(word.to_owned());
        let (kind, about) = one.split_once(':').unwrap_or((one, ""));
        let mut wish = vec![("kind", text(kind))];
        match kind {
            "strength" => wish.push(("group", text(about))),
            "range" => wish.push(("motion", text(about))),
            "control" => wish.push(("direction", text(about))),
            "task" => wish.push(("task", text(about))),
            _ => {}
        }
        entry.text.push("goals.work_on", &wish);
    }
}
