//! What is proposed, as it is read in two minutes: stop, less, the same, more, offered again.

use app::{Adapted, Proposal, Toward};
use clinic::{AdaptationRecord, PracticeRecord, Role, Standing, Stop};
use maud::{Markup, html};
use progress::{Cell, Shared, Step, Whole, cell_words};

use super::answers::{INSTEAD, field, why_field};
use super::reckoned::Said;
use crate::fields::Fields;
use crate::frame::mend;
use crate::seat::{Seat, at};
use crate::words;

/// What was typed and what is to be mended in it.
pub(super) struct Typed<'a> {
    pub(super) fields: &'a Fields,
    pub(super) why: Option<&'a str>,
}

/// Whether somebody in this role may decide.
pub(super) fn may_decide(role: Role) -> bool {
    clinic::may_write::<AdaptationRecord>(role)
}

fn about_role(role: Role) -> Option<&'static str> {
    match role {
        Role::Clinician => None,
        Role::Student => Some(
            "What a student decides waits for a clinician’s countersignature; until then there is no sheet.",
        ),
        Role::Assistant => Some("An assistant logs and teaches; a clinician answers what is proposed."),
        Role::Reader | Role::Recovery => Some("A reader answers nothing."),
    }
}

/// What the rules said, with the form of the answers.
pub(super) fn view(
    seat: &Seat,
    standing: &Standing,
    (role, key): (Role, &str),
    said: &Said,
    typed: &Typed<'_>,
) -> Markup {
    let adapted = &said.adapted;
    if adapted.adaptation.whole == Whole::Stop {
        return stop(seat, standing, (role, key), said, typed);
    }
    let id = standing.line.id;
    let some = !adapted.proposals.is_empty();
    html! {
        (mend(typed.why))
        (told(said, || asked_form(seat, standing, (role, key), typed)))
        p.summary { (summary(adapted)) }
        p.quiet { (logged(standing, said)) }
        @for one in &adapted.adaptation.reasons {
            p.whole { strong { (whole(one.means)) " " } (one.reason.words) " " span.quiet { "(" (one.reason.rule) ")" } }
        }
        @if let Some(words) = about_role(role) { p.quiet { (words) } }
        form.proposed method="post" action=(at(id, "home-log/next-step")) {
            (seat.form())
            input type="hidden" name="key" value=(key);
            (group(adapted, Toward::Less, role, typed.fields))
            (same(adapted))
            (group(adapted, Toward::More, role, typed.fields))
            (group(adapted, Toward::OfferedAgain, role, typed.fields))
            @if some && may_decide(role) {
                div.acts {
                    button.action type="submit" { "Go on with these answers" }
                    @if adapted.proposals.iter().any(|one| !one.only_offered) {
                        button type="submit" name="all" value="yes" { "Accept all the rest" }
                    }
                }
                p.hint { "Nothing is changed yet: the new programme is shown first. What is not answered stays as it is." }
            }
        }
        (not_possible(said))
        (shared(&adapted.shared))
    }
}

/// What somebody has to ask about: harm that was told of no single direction, and words that no rule reads.
fn told(said: &Said, form: impl FnOnce() -> Markup) -> Markup {
    let hurt: Vec<&PracticeRecord> = said.told.iter().filter(|one| one.pain).map(|one| &one.record).collect();
    html! {
        @if !hurt.is_empty() {
            section.alert aria-label="Ask first" {
                h3 { "Nothing goes up before you asked" }
                @for one in hurt {
                    p { (words::capital(one.source.words())) ", " (words::day(one.on)) ": it tells of pain and not of the day, nor of the exercise." }
                }
                p { "Ask what hurt and when, and tap it in below as a log; then the rules are asked again." }
                (form())
            }
        }
        @if !said.remarks.is_empty() {
            details open {
                summary { "Read this too: no rule reads what was written in words" }
                ul { @for one in &said.remarks { li { (words::day(one.on)) ", " (one.source.words()) ": " (one.remark) } } }
            }
        }
    }
}

/// One line that says how much of what there is.
fn summary(adapted: &Adapted) -> String {
    let count = |toward| adapted.proposals.iter().filter(|one| one.toward() == toward).count();
    let steps = adapted.proposals.iter().filter(|one| one.variable.is_some()).count();
    let notes = count(Toward::More).saturating_sub(steps);
    let held = adapted.adaptation.cells.iter().filter(|cell| cell.step == Step::Hold).count();
    let mut parts: Vec<String> = Vec::new();
    for (count, one, many) in [
        (count(Toward::Less), "1 goes less far or is left out", "go less far or are left out"),
        (held, "1 direction stays as it is", "directions stay as they are"),
        (steps, "1 step up", "steps up"),
        (notes, "1 note of pain may go", "notes of pain may go"),
        (count(Toward::OfferedAgain), "1 may be offered again", "may be offered again"),
    ] {
        match count {
            0 => {}
            1 => parts.push(one.to_owned()),
            n => parts.push(format!("{n} {many}")),
        }
    }
    if parts.is_empty() { "Nothing changes.".to_owned() } else { format!("{}.", parts.join("; ")) }
}

fn logged(standing: &Standing, said: &Said) -> String {
    let counted = &said.adapted.adaptation.counted;
    let of = words::day(said.programme.for_day);
    let mut out = match counted.last {
        Some(last) => format!(
            "Programme of {of}. {} on {}, the last on {}",
            words::counted(counted.sessions, "session"),
            words::counted(counted.days, "day"),
            words::day(last)
        ),
        None => format!("Programme of {of}. Nothing was logged since"),
    };
    if let Some(share) = counted.practised {
        out.push_str(&format!("; about {:.0} % of what was asked for", share.in_percent()));
    }
    out.push_str(". ");
    out.push_str(&match &said.adapted.adaptation.monitored {
        Some(monitored) => format!("Pain is monitored. {}", monitored.words()),
        None => "Any new pain counts.".to_owned(),
    });
    if said.elsewhere > 0 {
        out.push_str(&format!(
            " {} of these days the programme does not have today and {} not counted.",
            words::counted(said.elsewhere, "direction"),
            if said.elsewhere == 1 { "is" } else { "are" }
        ));
    }
    if said.programme.use_until < standing.day {
        out.push_str(&format!(" It was to be used until {}.", words::day(said.programme.use_until)));
    }
    out
}

fn whole(whole: Whole) -> &'static str {
    match whole {
        Whole::Stop => "Stop.",
        Whole::Refer => "Nothing goes up until surgeon or doctor has looked.",
        Whole::BackOff => "All of it goes back one level.",
        Whole::Hold => "Nothing goes up.",
        Whole::Free => "",
    }
}

/// Where a clinician writes down what was found.
fn cleared_form(
    seat: &Seat,
    standing: &Standing,
    key: &str,
    typed: &Typed<'_>,
    (label, button): (&str, &str),
) -> Markup {
    html! {
        form.entry method="post" action=(at(standing.line.id, "home-log/next-step/cleared")) {
            (seat.form())
            input type="hidden" name="key" value=(key);
            label for="cleared" { (label) }
            input.wide id="cleared" name="why" autocomplete="off" required value=(typed.fields.get("why"));
            button type="submit" { (button) }
        }
    }
}

/// Of pain that a code told and that nobody can tap in.
fn asked_form(seat: &Seat, standing: &Standing, (role, key): (Role, &str), typed: &Typed<'_>) -> Markup {
    let words = (
        "You asked, and there is nothing to tap in. What was said?",
        "Write it down and ask the rules again",
    );
    html! { @if role == Role::Clinician { (cleared_form(seat, standing, key, typed, words)) } }
}

/// What stops everything, where the rules cannot say anything else.
pub(super) fn stops(
    seat: &Seat,
    standing: &Standing,
    (role, key): (Role, Option<&str>),
    stops: &[Stop],
    typed: &Typed<'_>,
) -> Markup {
    html! {
        @if !stops.is_empty() {
            section.alert aria-label="Stop" {
                h3 { "Stop: nothing is done until a clinician has looked" }
                @for one in stops { p { (one) } }
                p { (app::UNNAMED_SIGN) }
            }
            @if let (Role::Clinician, Some(key)) = (role, key) { (cleared_form(seat, standing, key, typed, LOOKED)) }
        }
    }
}

const UNNAMED: &str =
    "You asked which sign it was, have looked, and the person may go on. Which was it, and what was found?";
const LOOKED: (&str, &str) =
    ("You have looked and the person may go on. What was found?", "Write it down and ask the rules again");

/// A stop: why, whom to call, and what a clinician found; no proposal.
fn stop(
    seat: &Seat,
    standing: &Standing,
    (role, key): (Role, &str),
    said: &Said,
    typed: &Typed<'_>,
) -> Markup {
    let adapted = &said.adapted;
    html! {
        section.alert aria-label="Stop" {
            h3 { "Stop: nothing is done until a clinician has looked" }
            @for one in &adapted.adaptation.reasons { p { (one.reason.words) " " span.quiet { "(" (one.reason.rule) ")" } } }
            h3 { "Whom to call" }
            ul { @for line in &adapted.call { li { (line) } } }
        }
        (mend(typed.why))
        @if role == Role::Clinician {
            @if said.stops_unasked() {
                p { "Ask which sign it was. Tap the session in below with its sign, or write here what was told and found." }
                (cleared_form(seat, standing, key, typed, (UNNAMED, LOOKED.1)))
            } @else { (cleared_form(seat, standing, key, typed, LOOKED)) }
        } @else { p.quiet { "A clinician looks, and writes down here what was found." } }
    }
}

fn group(adapted: &Adapted, toward: Toward, role: Role, typed: &Fields) -> Markup {
    let all: Vec<&Proposal> = adapted.proposals.iter().filter(|one| one.toward() == toward).collect();
    let (title, hint) = match toward {
        Toward::Less => ("Less", ""),
        Toward::More if all.iter().any(|one| one.variable.is_some()) => ("More", "One thing at a time."),
        Toward::More => ("More", ""),
        Toward::OfferedAgain => (
            "Offered again, or not",
            "You know the person: nothing here comes back by itself, and it is no part of accepting the rest.",
        ),
    };
    html! {
        @if !all.is_empty() {
            section.toward {
                h3 { (title) }
                @if !hint.is_empty() { p.hint { (hint) } }
                @for proposal in all { (one(proposal, role, typed)) }
            }
        }
    }
}

/// What a proposal is called: its direction, or what it is about.
fn name(proposal: &Proposal) -> String {
    match (proposal.variable, proposal.cells.as_slice()) {
        (Some(variable), _) => format!("One step up: {}", variable.words()),
        (None, [cell]) => numbered(cell),
        _ if proposal.only_offered => "What was left out".to_owned(),
        _ => "The whole programme".to_owned(),
    }
}

fn numbered(cell: &Cell) -> String {
    format!("{}. {}", cell.exercise, words::capital(&cell_words(*cell)))
}

fn one(proposal: &Proposal, role: Role, typed: &Fields) -> Markup {
    let (answer, why) = (field(proposal), why_field(proposal));
    let given = typed.get(&answer);
    let choice = |value: &str, words: &str| {
        html! {
            label.choice { input type="radio" name=(answer) value=(value) checked[given == value]; " " (words) }
        }
    };
    html! {
        fieldset.one-proposal {
            legend { (name(proposal)) }
            p { (proposal.words) " " span.quiet { "(" (proposal.rules.join(", ")) ")" } }
            @if may_decide(role) {
                div.answers {
                    (choice("accept", "Accept"))
                    @for other in proposal.instead() {
                        (choice(&format!("{INSTEAD}{}", other.key), &format!("Instead: {}", other.proposal.words)))
                    }
                    (choice("decline", "Decline"))
                }
                p.why {
                    label for=(why) { "Why" }
                    input.wide id=(why) name=(why) autocomplete="off" value=(typed.get(&why));
                }
            }
        }
    }
}

/// What stays as it is, by the reason; what is clean and has no step up today too.
fn same(adapted: &Adapted) -> Markup {
    let held = adapted.held();
    let stepped =
        |cell: &Cell| adapted.proposals.iter().any(|one| one.variable.is_some() && one.cells.contains(cell));
    let clean: Vec<Cell> = adapted
        .adaptation
        .cells
        .iter()
        .filter(|cell| cell.step == Step::Progress && !stepped(&cell.cell))
        .map(|cell| cell.cell)
        .collect();
    let all = adapted.adaptation.cells.len();
    html! {
        @if !held.is_empty() || !clean.is_empty() {
            section.toward {
                h3 { "The same" }
                ul {
                    @for one in &held { li { (words::capital(&one.why)) " " span.quiet { "(" (one.rule) ")" } (which(&one.cells, all)) } }
                    @if !clean.is_empty() { li { "Clean, and nothing of it goes up today." (which(&clean, all)) } }
                }
            }
        }
    }
}

/// Directions in words: all of them, or each with its exercise.
fn which(cells: &[Cell], all: usize) -> Markup {
    html! {
        @if cells.len() == all { " Every direction." }
        @else if cells.len() > 3 {
            details { summary { (cells.len()) " directions" } ul { @for cell in cells { li { (numbered(cell)) } } } }
        } @else { " " (cells.iter().map(numbered).collect::<Vec<_>>().join("; ")) "." }
    }
}

fn not_possible(said: &Said) -> Markup {
    let adapted = &said.adapted;
    let gone = said.gone.iter().map(|one| format!("{}: {}", one.sentence, one.because));
    let not_possible: Vec<String> = adapted.not_possible.iter().cloned().chain(gone).collect();
    html! {
        @for (title, lines) in [
            ("Assess again, or it leaves the programme", &adapted.grown_old),
            ("Waits, to be offered again", &adapted.waiting),
            ("Not possible today", &not_possible),
        ] {
            @if !lines.is_empty() {
                section.toward { h3 { (title) } ul { @for line in lines { li { (words::capital(line)) } } } }
            }
        }
    }
}

/// What the painful directions share; silent where it cannot be said.
fn shared(shared: &Shared) -> Markup {
    let Shared::Shares(found) = shared else { return html! {} };
    let percent = |of: f64| format!("{:.0}", of * 100.0);
    html! {
        section.toward {
            h3 { "What the painful directions share" }
            p { (found.words) }
            p.hint {
                (found.painful) " painful and " (found.painless) " painless directions, " (found.tried) " quantities tried. "
                "Of 100 pairs, one painful and one painless, it is larger in the painful one in about " (percent(found.best.area))
                " (95 % interval " (percent(found.best.interval.0)) " to " (percent(found.best.interval.1)) ")."
            }
            @if let Some(movement) = &found.settle { p { strong { "One movement would settle it: " } (movement) "." } }
        }
    }
}
