//! The pieces of the form: choices at a touch, numbers with their unit, the day beside them.

use anatomy::Side;
use clinic::Freshness;
use maud::{Markup, html};

use super::fields::{Ask, Row};
use super::shown::{Form, mended};
use crate::words;

/// What is to be mended at a key, for the field to point to.
pub(super) fn problem(form: &Form<'_>, path: &str) -> Markup {
    html! {
        @if form.problems_at(path).next().is_some() {
            p.wrong id=(format!("wrong:{path}")) {
                @for one in form.problems_at(path) { (mended(one)) " " }
            }
        }
    }
}

/// The id of the sentence that says what is wrong, where there is one.
pub(super) fn wrong_id(form: &Form<'_>, path: &str) -> Option<String> {
    form.problems_at(path).next().map(|_| format!("wrong:{path}"))
}

/// Choices at a touch, the first of them: nobody looked.
pub(super) fn chips(name: &str, given: &str, none: &str, choices: &[(&str, &str)]) -> Markup {
    let other = !given.is_empty() && !choices.iter().any(|(word, _)| *word == given);
    html! {
        span.chips {
            label.chip.none { input type="radio" name=(name) value="" checked[given.is_empty()]; span { (none) } }
            @for (word, read) in choices {
                label.chip { input type="radio" name=(name) value=(word) checked[*word == given]; span { (read) } }
            }
            @if other { label.chip { input type="radio" name=(name) value=(given) checked; span { (given) } } }
        }
    }
}

const SCORE: [(&str, &str); 11] = [
    ("0", "0"),
    ("1", "1"),
    ("2", "2"),
    ("3", "3"),
    ("4", "4"),
    ("5", "5"),
    ("6", "6"),
    ("7", "7"),
    ("8", "8"),
    ("9", "9"),
    ("10", "10"),
];

pub(super) const YES_NO: [(&str, &str); 2] = [("yes", "yes"), ("no", "no")];

/// The choices of a way of asking; none where something is typed.
fn choices(ask: Ask) -> Option<&'static [(&'static str, &'static str)]> {
    match ask {
        Ask::YesNo => Some(&YES_NO),
        Ask::Score => Some(&SCORE),
        Ask::Choice(all) | Ask::Grade(all) => Some(all),
        Ask::Whole | Ask::Quantity(_) | Ask::Text | Ask::Day => None,
    }
}

/// A field that is typed; `label` is read by those who do not see the table around it.
pub(super) fn typed(form: &Form<'_>, path: &str, ask: Ask, label: &str) -> Markup {
    let value = form.value(path, ask);
    let (kind, unit, mode) = match ask {
        Ask::Day => ("date", "", None),
        Ask::Quantity("deg") => ("text", "°", Some("decimal")),
        Ask::Quantity(unit) => ("text", unit, Some("decimal")),
        Ask::Whole => ("text", "", Some("numeric")),
        _ => ("text", "", None),
    };
    html! {
        span.typed {
            input.short[ask != Ask::Text] type=(kind) id=(path) name=(path) value=(value) inputmode=[mode]
                autocomplete="off" aria-label=(label) aria-describedby=[wrong_id(form, path)]
                aria-invalid=[wrong_id(form, path).map(|_| "true")];
            @if !unit.is_empty() { span.unit { (unit) } }
        }
    }
}

/// A number that is typed.
pub(super) fn number(name: &str, value: &str, unit: &str) -> Markup {
    html! {
        span.typed {
            input.short type="text" inputmode="decimal" autocomplete="off" id=(name) name=(name) value=(value);
            span.unit { (unit) }
        }
    }
}

/// One value, however it is asked, with its name.
pub(super) fn field(form: &Form<'_>, path: &str, ask: Ask, label: &str) -> Markup {
    html! {
        @if choices(ask).is_some() {
            span.what id=(format!("of:{path}")) { (label) }
        } @else {
            label.what for=(path) { (label) }
        }
        (control(form, path, ask, label))
        (problem(form, path))
    }
}

/// What is touched or typed; a group of choices is named by `of:` and its key.
fn control(form: &Form<'_>, path: &str, ask: Ask, label: &str) -> Markup {
    html! {
        @match choices(ask) {
            Some(all) => {
                div.control role="radiogroup" id=(path) aria-labelledby=(format!("of:{path}")) aria-describedby=[wrong_id(form, path)] {
                    (chips(path, &form.value(path, ask), "not asked", all))
                }
            }
            None => { div.control { (typed(form, path, ask, label)) } }
        }
    }
}

/// One finding with its day.
pub(super) fn row(form: &Form<'_>, row: &Row) -> Markup {
    html! {
        div.finding.row id=(format!("at:{}", row.path)) {
            @if row.sided {
                span.what { (row.label) @if !row.hint.is_empty() { span.hint { " (" (row.hint) ")" } } }
                div.control.two-legs {
                    @for side in Side::BOTH {
                        @let path = format!("{}.{side}", row.path);
                        div.side {
                            @if choices(row.ask).is_some() {
                                span.of id=(format!("of:{path}")) { span.unseen { (row.label) ", " } (words::capital(&side.to_string())) }
                            } @else {
                                label.of for=(path) { span.unseen { (row.label) ", " } (words::capital(&side.to_string())) }
                            }
                            (control(form, &path, row.ask, &format!("{}, {side}", row.label)))
                            (problem(form, &path))
                        }
                    }
                }
            } @else {
                (field(form, &row.path, row.ask, &row.label))
            }
            (marks(form, row))
            (day(form, row))
        }
    }
}

/// When it was found and whether it counts; once where both legs say the same.
fn marks(form: &Form<'_>, row: &Row) -> Markup {
    let mut all: Vec<(String, String)> = Vec::new();
    for (at, path) in row.paths().iter().enumerate() {
        let Some((on, fresh)) = form.freshness(path, row.life) else { continue };
        let side = if row.sided { words::capital(&Side::BOTH[at].to_string()) } else { String::new() };
        let (past, found) = match fresh {
            Some(Freshness::Past { since }) => (
                format!("Counts as not assessed since {}", words::day(since)),
                format!(" (found on {})", words::day(on)),
            ),
            Some(Freshness::Current { through }) => {
                (String::new(), format!("{}, counts through {}", words::day(on), words::day(through)))
            }
            _ => (String::new(), words::day(on)),
        };
        match all.first_mut() {
            Some((known, _)) if *known == format!("{past}|{found}") => all[0].1.clear(),
            _ => all.push((format!("{past}|{found}"), side)),
        }
    }
    html! {
        @if !all.is_empty() {
            div.mark {
                @for (said, side) in &all {
                    @let (past, found) = said.split_once('|').unwrap_or_default();
                    p { @if !side.is_empty() { (side) ": " } @if !past.is_empty() { strong { (past) } } (found) }
                }
            }
        }
    }
}

/// The same value again today, or another day.
fn day(form: &Form<'_>, row: &Row) -> Markup {
    let known = row.paths().iter().any(|path| form.day_of(path).is_some());
    let past = row
        .paths()
        .iter()
        .any(|path| matches!(form.freshness(path, row.life), Some((_, Some(Freshness::Past { .. })))));
    let on = format!("on:{}", row.path);
    let again = form.ticked("again", &row.path, false);
    html! {
        @if past {
            label.choice.again { input type="checkbox" name="again" value=(row.path) checked[again]; "Looked again, and the same" span.unseen { ": " (row.label) } }
        }
        details.day open[form.typed.is_some() && !form.own(&on, "").is_empty()] {
            summary { "day" span.unseen { " of: " (row.label) } }
            @if known && !past {
                label.choice { input type="checkbox" name="again" value=(row.path) checked[again]; "Looked again, and the same" span.unseen { ": " (row.label) } }
            }
            label.of for=(on) { "Found on" span.unseen { ": " (row.label) } }
            input type="date" id=(on) name=(on) value=(form.own(&on, ""));
        }
    }
}
