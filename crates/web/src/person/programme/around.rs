//! Beside one movement: a step up, a step back, to the side, and how much of the person's tasks is covered.

use app::{Around, BridgeTable, Neighbour, PersonToday};
use biomech::Beside;
use maud::{Markup, html};
use movement::GoalTask;
use person::GoalKind;
use programme::Way;

use super::wanted::Wanted;
use super::{Shown, at};
use crate::fault::Fault;
use crate::reckon::blocking;
use crate::words;

/// How many neighbours of a kind are shown.
const SHOWN: usize = 3;

/// Computes neighbours and bridge of the movement, and writes them.
pub(super) async fn compute(shown: &Shown, wanted: &Wanted) -> Result<Markup, Fault> {
    let (bench, wanted) = (shown.bench.clone(), wanted.clone());
    let base = at(shown.standing.line.id, "programme");
    let programme: Vec<String> =
        shown.accepted.iter().flat_map(|now| now.record.exercises.iter().flatten().cloned()).collect();
    let computed = blocking(move || {
        let person = PersonToday::of(&bench.case, bench.day);
        let spec = wanted.read(&person).ok()?;
        let around = app::neighbours_of(&person, &person.limits(), &spec);
        let tasks: Vec<GoalTask> = bench
            .case
            .wishes
            .goals
            .iter()
            .filter_map(|goal| match goal.kind {
                GoalKind::Task { task } => Some(task),
                _ => None,
            })
            .collect();
        let bridge = |sentences: &[String]| {
            app::bridge_case(&bench.case, bench.day, &tasks, sentences, &app::silent).ok()
        };
        let this = app::sentence_kept(&spec);
        let with: Vec<String> = programme.iter().cloned().chain([this]).collect();
        let before = if programme.is_empty() || tasks.is_empty() { None } else { bridge(&programme) };
        let after = if tasks.is_empty() { None } else { bridge(&with) };
        Some((around, before, after))
    })
    .await?;
    Ok(match computed {
        Some((around, before, after)) => view(&base, &around, before.as_ref(), after.as_ref()),
        None => html! { p { "This is no movement, so it has no neighbours." } },
    })
}

fn view(base: &str, around: &Around, before: Option<&BridgeTable>, after: Option<&BridgeTable>) -> Markup {
    html! {
        @if let Some(why) = &around.refused {
            p { "It is refused today, so there is nothing to step from: " (why) }
            @if let Some(held) = &around.in_place { p { (held.words) } }
        } @else {
            p.quiet {
                @match (&around.hardest, around.percent) {
                    (Some(hardest), Some(percent)) => { "Hardest work now: " (hardest) ", about " (format!("{percent:.0} %")) " of this person’s strength." }
                    _ => { "Strength is not known, so demands cannot be compared." }
                }
            }
            div.neighbours {
                (kind(base, "One step up", &around.up, Some(Way::Up)))
                (kind(base, "One step back", &around.back, Some(Way::Back)))
                (kind(base, "To the side", &around.sideways, None))
            }
            @if !around.none.is_empty() {
                details {
                    summary { "What stands in the way of other steps" }
                    ul { @for none in &around.none { li { @if none.way == Way::Up { "Up" } @else { "Back" } ", " (none.tried) ": " (none.because) } } }
                }
            }
        }
        (bridge(before, after))
    }
}

fn kind(base: &str, title: &str, all: &[Neighbour], way: Option<Way>) -> Markup {
    html! {
        section {
            h3 { (title) }
            @if all.is_empty() { p { "None is permitted." } }
            ul {
                @for one in all.iter().take(SHOWN) {
                    li {
                        a href=(format!("{base}?{}#build", Wanted::of(&one.movement).query())) { (words::capital(&one.sentence)) }
                        span.quiet { " " (demand(one, way)) }
                    }
                }
            }
        }
    }
}

fn demand(one: &Neighbour, way: Option<Way>) -> String {
    let mut out = match (one.percent, &one.compared) {
        (Some(percent), Some(motion)) => format!("{motion} about {percent:.0} %"),
        _ => "demand not known".to_owned(),
    };
    out.push_str(match (way, one.beside) {
        (Some(Way::Up), Beside::More) | (Some(Way::Back), Beside::Less) | (None, _) => "",
        (_, Beside::CannotSay) => "; cannot be compared",
        (_, Beside::AboutTheSame) => "; the estimate cannot tell it from now",
        (_, Beside::More) => "; harder for that joint",
        (_, Beside::Less) => "; easier for that joint",
    });
    if one.margin_change_cm.abs() >= 0.1 {
        out.push_str(&format!("; balance margin {:+.1} cm", one.margin_change_cm));
    }
    out
}

fn bridge(before: Option<&BridgeTable>, after: Option<&BridgeTable>) -> Markup {
    let Some(after) = after else {
        return html! {
            section { h3 { "The bridge" } p { "No task of sport, work or day stands among the goals; name one in the findings, and this says how much of it is covered." } }
        };
    };
    html! {
        section {
            h3 { "The bridge to this person’s tasks" }
            p.quiet { "Estimates. Covered does not mean ready." }
            @for (place, task) in after.together.iter().enumerate() {
                @let was = before.and_then(|before| before.together.get(place));
                p.bridge {
                    strong.number { (format!("{:.0} %", task.covered.in_percent())) } " of " (task.task.name())
                    @match was {
                        Some(was) => { " with this movement beside the programme, which alone covers " (format!("{:.0} %", was.covered.in_percent())) "." }
                        None => { " with this movement alone." }
                    }
                }
                @if !task.missing.is_empty() {
                    table.parts {
                        caption { "What is missing of " (task.task.name()) ", most first" }
                        thead { tr { th scope="col" { "Part" } th scope="col" { "Of the whole" } } }
                        tbody { @for missing in task.missing.iter().take(5) { tr { th scope="row" { (words::capital(&missing.what)) } td { (format!("{:.0} %", missing.share.in_percent())) } } } }
                    }
                }
                @if !task.unknown_parts.is_empty() { p { (format!("{:.0} %", task.unknown.in_percent())) " cannot be said: strength of the " (task.unknown_parts.join(", ")) " is not known." } }
            }
            @if let Some(note) = &after.note { p { (note) } }
        }
    }
}
