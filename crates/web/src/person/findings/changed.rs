//! What saving changed, as a short list with its details.

use anatomy::Side;
use maud::{Markup, html};
use movement::Family;
use quantity::Length;

use super::compare::{Became, Change, Difference};
use crate::words;

/// One limb and family, with how many directions became what.
fn groups(difference: &Difference) -> Vec<(Family, Side, Vec<&Change>)> {
    let mut out: Vec<(Family, Side, Vec<&Change>)> = Vec::new();
    for change in &difference.changes {
        match out.iter_mut().find(|(family, mover, _)| (*family, *mover) == (change.family, change.mover)) {
            Some((_, _, list)) => list.push(change),
            None => out.push((change.family, change.mover, vec![change])),
        }
    }
    out
}

fn counts(changes: &[&Change]) -> String {
    let parts: Vec<String> = Became::ALL
        .into_iter()
        .filter_map(|became| {
            let count = changes.iter().filter(|one| one.became == became).count();
            (count > 0).then(|| format!("{count} {}", became.words()))
        })
        .collect();
    parts.join(", ")
}

fn told(change: &Change) -> String {
    let cm = |length: Length| format!("{:.0} cm", length.in_cm().floor());
    match (change.from, change.to) {
        (None, Some(to)) => format!("opened, to {}", cm(to)),
        (Some(from), None) => format!("closed, was {}", cm(from)),
        (Some(from), Some(to)) => format!("{}, {}, was {}", change.became.words(), cm(to), cm(from)),
        (None, None) => change.became.words().to_owned(),
    }
}

/// The list. `undo` is the form that brings the version before back.
pub(super) fn view(difference: &Difference, keys: &[String], undo: &Markup, space: &str) -> Markup {
    let all: Vec<&Change> = difference.changes.iter().collect();
    html! {
        section.changed aria-labelledby="changed" tabindex="-1" {
            h2 id="changed" { "What this changed" }
            @match difference.alert {
                Some(true) => { p { strong { "A red flag was found: everything is closed." } } }
                Some(false) => { p { strong { "No red flag any more." } } }
                None => {}
            }
            @if all.is_empty() {
                p { "No direction opened or closed, and none became longer or shorter." }
            } @else {
                p { strong { (words::capital(&counts(&all))) } " of " (difference.all.max(all.len())) " directions. " (difference.open) " may be used today." }
                ul.groups {
                    @for (family, mover, changes) in groups(difference) {
                        li {
                            details {
                                summary { (words::capital(&mover.to_string())) " " @if family == Family::BendAndReach { "hand" } @else { "leg" } ", " (family.name()) ": " (counts(&changes)) }
                                ul {
                                    @for change in changes {
                                        li {
                                            (words::capital(&change.direction)) @if !change.task.is_empty() { ", " (change.task) } ": "
                                            (told(change))
                                            @if !change.because.is_empty() && change.became != Became::Opened { p.hint { (change.because) } }
                                        }
                                    }
                                }
                            }
                        }
                    }
                }
            }
            @if !keys.is_empty() {
                details {
                    summary { "Written: " (keys.len()) @if keys.len() == 1 { " line" } @else { " lines" } }
                    ul { @for key in keys { li { (key) } } }
                }
            }
            div.acts { (undo) a href=(space) { "See the movement space" } }
        }
    }
}
