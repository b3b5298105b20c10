//! What was decided before: every proposal with its answer, by whom and why; the last one can be taken back.

use std::collections::BTreeMap;

use clinic::{AdaptationRecord, AnsweredProposal, Entry, Role};
use maud::{Markup, html};
use progress::Verdict;

use super::shown::may_decide;
use crate::seat::{Seat, Whose};
use crate::words;

/// All decisions, the newest first.
pub(super) fn view(
    seat: &Seat,
    whose: &Whose,
    (all, names, role): (&[Entry<AdaptationRecord>], &BTreeMap<String, String>, Role),
) -> Markup {
    if all.is_empty() {
        return html! {};
    }
    let taken_back = |entry: &Entry<AdaptationRecord>| {
        let id = entry.record.to_string();
        all.iter().find(|one| one.body.takes_back.as_deref() == Some(&id))
    };
    let stands =
        |entry: &&Entry<AdaptationRecord>| entry.body.takes_back.is_none() && taken_back(entry).is_none();
    let last = all.iter().rev().find(stands).map(|entry| entry.record);
    let decisions: Vec<_> = all.iter().rev().filter(|one| one.body.takes_back.is_none()).collect();
    let name = |entry: &Entry<AdaptationRecord>| {
        names.get(&entry.author.to_string()).map_or("somebody", String::as_str)
    };
    html! {
        section.trace aria-labelledby="decided" {
            h2 id="decided" { "What was decided" }
            @for (place, entry) in decisions.into_iter().enumerate() {
                @let gone = taken_back(entry);
                details open[place == 0] {
                    summary { (words::day(entry.body.on)) ", " (name(entry)) ": " (in_short(&entry.body)) @if gone.is_some() { ", taken back" } }
                    @if let Some(back) = gone { p { strong { "Taken back by " (name(back)) ", " (words::moment(back.at)) ". " } (back.body.why) } }
                    (decision(&entry.body))
                    @if Some(entry.record) == last && may_decide(role) {
                        form.back method="post" action=(whose.at("home-log/next-step/back")) {
                            (seat.form())
                            input type="hidden" name="decision" value=(entry.record);
                            label for="back-why" { "Take it back: findings and programme say again what they said before. Why" }
                            input.wide id="back-why" name="why" autocomplete="off" required;
                            button type="submit" { "Take it back" }
                        }
                    }
                }
            }
        }
    }
}

fn in_short(of: &AdaptationRecord) -> String {
    if of.cleared.is_some() {
        return "looked at by a clinician".to_owned();
    }
    let count = |verdict| of.answers.iter().filter(|one| one.answered.answer.verdict == verdict).count();
    let parts: Vec<String> = [
        (count(Verdict::Accepted), "accepted"),
        (count(Verdict::Changed), "changed"),
        (count(Verdict::Declined), "declined"),
    ]
    .into_iter()
    .filter(|(count, _)| *count > 0)
    .map(|(count, what)| format!("{count} {what}"))
    .collect();
    parts.join(", ")
}

fn decision(of: &AdaptationRecord) -> Markup {
    html! {
        p.quiet { "About the programme of " (words::day(of.programme_of)) "." }
        @if let Some(cleared) = &of.cleared { p { (cleared.by) ", " (words::day(cleared.on)) ": " (cleared.why) } }
        ul.answered { @for answer in &of.answers { (answered(answer)) } }
        @if !of.unanswered.is_empty() {
            p { "Not answered, and not changed:" }
            ul { @for one in &of.unanswered { li { (one) } } }
        }
        @if !of.said.is_empty() { p { "What the rules said: " (of.said.join(" ")) } }
        @if !of.became.is_empty() {
            p { "What became of the programme:" }
            ul { @for one in &of.became { li { (one) } } }
        }
    }
}

fn answered(one: &AnsweredProposal) -> Markup {
    let answered = &one.answered;
    html! {
        li {
            strong {
                @match answered.answer.verdict {
                    Verdict::Accepted => "Accepted. ",
                    Verdict::Changed => "Changed. ",
                    Verdict::Declined => "Declined. ",
                }
            }
            @if !answered.answer.why.is_empty() { "Why: " (answered.answer.why) ". " }
            @if !answered.instead.is_empty() { "Taken instead: " (answered.instead) " " }
            span.quiet { "Proposed: " (answered.proposed) " (" (answered.rules.join(", ")) ")" }
        }
    }
}
