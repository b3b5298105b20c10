//! What came home and cannot be used: why, and what to do.

use clinic::Standing;
use exchange::Refusal;
use maud::{Markup, html};

use super::{Given, Way, back, ways};
use crate::fault::{Fault, sentence};
use crate::seat::{Seat, at};
use crate::words;

pub(super) async fn view(
    seat: &Seat,
    standing: &Standing,
    given: &Given,
    refusal: &Refusal,
) -> Result<Markup, Fault> {
    let why = match refusal {
        Refusal::TypedOneWrong { group, proposal, .. } => one_wrong(seat, standing, given, *group, proposal),
        Refusal::WrongProgramme { given: mark, .. } => wrong_programme(seat, standing, given, mark).await?,
        other => html! { p { (sentence(&other.to_string())) } },
    };
    let code = given.way.is_code().then_some((given.text.as_str(), given.way == Way::Typed));
    Ok(html! {
        div.mend role="alert" {
            h2 { @if matches!(refusal, Refusal::TypedOneWrong { .. }) { "One character is probably wrong" } @else { "This cannot be used" } }
            (why)
            p { "Nothing was saved." }
        }
        (ways(seat, standing, code))
        (back(standing))
    })
}

/// One correction is possible: the person is asked, nobody guesses.
fn one_wrong(seat: &Seat, standing: &Standing, given: &Given, group: usize, proposal: &str) -> Markup {
    let letters: Vec<char> = given.text.chars().filter(|letter| letter.is_ascii_alphanumeric()).collect();
    let four = |all: &[char]| -> String {
        all.iter().skip((group - 1) * 4).take(4).map(char::to_ascii_uppercase).collect()
    };
    let proposed: Vec<char> = proposal.chars().filter(|letter| *letter != '-').collect();
    let (was, is) = (four(&letters), four(&proposed));
    html! {
        p { "Ask the person to read group " (group) " again. Typed: " strong.code { (was) } ". It would be right as " strong.code { (is) } "." }
        form method="post" action=(at(standing.line.id, "home-log/came-home")) {
            (seat.form())
            input type="hidden" name="way" value=(given.way.key());
            @for part in proposed.chunks(4) { input type="hidden" name="group" value=(part.iter().collect::<String>()); }
            button.action type="submit" { "They read " (is) ": use it" }
        }
        p { "If they read something else, correct the groups below." }
    }
}

/// Another person's, or one that was not handed out from here.
async fn wrong_programme(
    seat: &Seat,
    standing: &Standing,
    given: &Given,
    mark: &str,
) -> Result<Markup, Fault> {
    let name = &standing.person().name;
    let other = match seat.desk.whose_log(&given.text).await?.filter(|person| *person != standing.line.id) {
        Some(person) => Some(seat.desk.person(person).await?),
        None => None,
    };
    let here =
        seat.desk.known_programmes(standing.line.id, super::known::elsewhere(seat, standing).await?).await?;
    // The same programme in another language has the same days.
    let mut days: Vec<_> = here.iter().map(|one| (one.programme.from, one.programme.until)).collect();
    days.sort_unstable();
    days.dedup();
    Ok(html! {
        p { "It is of a programme with the mark " span.code { (mark) "…" } ", which " (name) " does not have." }
        @match &other {
            Some(line) => {
                p { "That programme went home with " strong { (line.person.name) } ". " a href=(at(line.id, "home-log/came-home")) { "Open what came home for " (line.person.name) } " and read it there." }
            }
            None => {
                p { "It may be another person’s, or of a page that was not handed out from these records. Look whose phone it is, and open that person." }
            }
        }
        @if days.is_empty() {
            p { "No programme of " (name) " went home yet: accept one and hand it out from the Programme tab; then its log can be read here." }
        } @else {
            p { "Accepted for " (name) ": "
                @for (place, (from, until)) in days.iter().enumerate() {
                    @if place > 0 { ", " } "the programme from " (words::day(*from)) " to " (words::day(*until))
                } "."
            }
        }
    })
}
