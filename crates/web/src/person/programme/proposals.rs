//! What was accepted, and up to three programmes that are proposed, each with its reasons.

use app::{Again, NoLonger, Outcome, PersonToday};
use maud::{Markup, html};
use movement::MovementSpec;
use programme::{Exercise, Programme};

use super::keep::{about_role, may_change};
use super::wanted::Wanted;
use super::{Accepted, Shown};
use crate::seat::{Seat, at};
use crate::words;

/// The programme that was accepted last, permitted again today.
pub(super) fn accepted(seat: &Seat, shown: &Shown, person: &PersonToday<'_>) -> Markup {
    let id = shown.standing.line.id;
    let Some(Accepted { record, again, waits }) = &shown.accepted else {
        return html! {
            p { "No programme was accepted yet. " a href="#proposed" { "Look at what is proposed" } ", or build one movement after another below." }
        };
    };
    let Again::Today { programme, no_longer, lowered } = again else { return html! {} };
    let past = record.use_until < shown.standing.day;
    html! {
        section.accepted aria-labelledby="accepted" {
            h2 id="accepted" { "The programme" @if *waits { ", waiting for a countersignature" } }
            p {
                "Accepted for " (words::day(record.for_day)) ", to be used until " (words::day(record.use_until)) ". "
                (minutes(programme)) " together."
                @if past { " " strong { "It is past its date." } }
            }
            @if *waits { p { strong { "A student accepted it. " } "A clinician countersigns it before it goes home." } }
            (refused(seat, shown, no_longer))
            @for place in lowered {
                p role="note" { strong { "Exercise " (place) " is less than was accepted: " } "the rules of today allow no more." }
            }
            (exercises(seat, shown, programme, Some(person)))
            div.acts {
                @if !waits && !programme.exercises.is_empty() {
                    a.action href=(at(id, "teach")) { "Teach it now" }
                }
            }
            @if !waits && !programme.exercises.is_empty() {
                section aria-labelledby="hand-out" {
                    h2 id="hand-out" { "Hand it out" }
                    div.both { (super::sheet::form(seat, shown)) (super::phone::form(seat, shown)) }
                }
            }
        }
    }
}

/// Movements that were accepted and are not permitted any more.
fn refused(seat: &Seat, shown: &Shown, no_longer: &[NoLonger]) -> Markup {
    let id = shown.standing.line.id;
    html! {
        @if !no_longer.is_empty() {
            div.mend role="note" {
                p { strong { "No longer permitted, and not on the sheet:" } }
                @for one in no_longer {
                    p { (words::capital(&one.sentence)) ". " (one.because) }
                    @if may_change(shown.role) {
                        form method="post" action=(at(id, "programme/take-out")) {
                            (seat.form()) input type="hidden" name="sentence" value=(one.sentence);
                            button type="submit" { "Take it out" }
                        }
                    }
                }
            }
        }
    }
}

fn minutes(programme: &Programme) -> String {
    let seconds = programme.minutes.in_s().round();
    format!("{:.0} min {:02.0} s", (seconds / 60.0).floor(), seconds % 60.0)
}

/// `person` is there for what was accepted: its dose may be changed.
fn exercises(seat: &Seat, shown: &Shown, programme: &Programme, person: Option<&PersonToday<'_>>) -> Markup {
    html! {
        ol.exercises {
            @for exercise in &programme.exercises {
                li {
                    h3 { (head(exercise)) }
                    p.quiet { (dose_words(exercise)) }
                    @if !exercise.why.is_empty() { p { (exercise.why) } }
                    details { summary { (count(exercise)) } (movements(seat, shown, exercise)) }
                    @if let Some(person) = person { (super::dose::form(seat, shown, person, exercise)) }
                }
            }
        }
    }
}

fn count(exercise: &Exercise) -> String {
    let count = exercise.movements().count();
    if count == 1 { "One movement".to_owned() } else { format!("{count} movements") }
}

fn movements(seat: &Seat, shown: &Shown, exercise: &Exercise) -> Markup {
    let id = shown.standing.line.id;
    html! {
        ul.movements {
            @for one in exercise.movements() {
                @let spec = one.spec();
                li {
                    a href=(format!("{}?{}#build", at(id, "programme"), Wanted::of(spec).query())) { (short(spec)) }
                    @if may_change(shown.role) && kept(shown, spec) {
                        form method="post" action=(at(id, "programme/take-out")) {
                            (seat.form())
                            input type="hidden" name="sentence" value=(app::sentence_kept(spec));
                            button.small type="submit" aria-label=(format!("Take out: {}", short(spec))) { "Take out" }
                        }
                    }
                }
            }
        }
    }
}

/// Whether the movement stands in the accepted programme in these words.
fn kept(shown: &Shown, spec: &MovementSpec) -> bool {
    let sentence = app::sentence_kept(spec);
    let all = shown.accepted.iter().flat_map(|now| now.record.exercises.iter().flatten());
    all.into_iter().any(|one| *one == sentence)
}

/// What differs between the movements of one exercise.
pub(super) fn short(spec: &MovementSpec) -> String {
    let way = match spec.crossing {
        movement::Crossing::None => "",
        movement::Crossing::InFront => ", crossing in front",
        movement::Crossing::Behind => ", crossing behind",
    };
    format!(
        "{} {}{way}, {:.0} cm",
        words::capital(&spec.mover.to_string()),
        spec.direction(),
        spec.distance.in_cm()
    )
}

/// `Step, both hands on the walking frame`.
pub(in crate::person) fn head(exercise: &Exercise) -> String {
    let mut out = words::capital(exercise.family.name());
    if let Some(depth) = exercise.depth {
        out.push_str(&format!(", pelvis sinks {:.0} cm", depth.in_cm()));
    }
    if let Some(hand) = exercise.hand_height {
        out.push_str(&format!(", hand to {}", hand.name()));
    }
    match exercise.load {
        movement::Load::None => {}
        movement::Load::HandWeights { each } => out.push_str(&format!(", {each} in each hand")),
        movement::Load::InBothHands { mass } => out.push_str(&format!(", {mass} in both hands")),
        movement::Load::OnTrunk { mass } => out.push_str(&format!(", {mass} on the back")),
    }
    if let Some(place) = exercise.place {
        let hands = match exercise.support {
            movement::Support::BothHands => "both hands on",
            movement::Support::OneHand => "one hand on",
            movement::Support::Fingertip => "a fingertip on",
            movement::Support::None => "beside",
        };
        out.push_str(&format!(", {hands} the {}", place.kind.name()));
    }
    out
}

pub(in crate::person) fn dose_words(exercise: &Exercise) -> String {
    let d = exercise.dose;
    let t = exercise.tempo;
    format!(
        "{} times each direction on each limb, {}, {} a day, {}; {:.0} s out, {:.0} s hold, {:.0} s back; {:.0} s in all",
        d.repetitions,
        if d.rounds == 1 { "one round".to_owned() } else { format!("{} rounds", d.rounds) },
        match d.per_day {
            1 => "once".to_owned(),
            2 => "twice".to_owned(),
            n => format!("{n} times"),
        },
        exercise.days,
        t.out.in_s(),
        t.hold.in_s(),
        t.back.in_s(),
        exercise.minutes.in_s(),
    )
}

/// What is proposed: up to three, the best first.
pub(super) fn proposed(seat: &Seat, shown: &Shown) -> Markup {
    let plan = match shown.outcome.as_ref() {
        Outcome::Programme(plan) => plan,
        Outcome::NoProgramme(none) => {
            return html! {
                section aria-labelledby="proposed" {
                    h2 id="proposed" { "Nothing can be proposed today" }
                    @if shown.bench.case.wishes.goals.is_empty() {
                        p { strong { "Nobody said what is worked on. " } a href=(at(shown.standing.line.id, "findings#goals")) { "Tick one goal under Findings" } ", then three programmes are looked for." }
                    }
                    p { "What stands in the way:" }
                    ul { @for missing in &none.missing { li { (missing) } } }
                }
            };
        }
        Outcome::Alert(_) => return html! {},
    };
    let all = std::iter::once((&plan.programme, &plan.trades))
        .chain(plan.others.iter().map(|other| (&other.programme, &other.trades)));
    html! {
        section aria-labelledby="proposed" {
            h2 id="proposed" { "Proposed for " (words::day(plan.programme.for_day)) }
            details open[shown.accepted.is_none()] {
                summary { @if plan.others.is_empty() { "One programme, with its reasons" } @else { (plan.others.len() + 1) " programmes, each with its reasons" } }
                div.proposals {
                    @for (place, (programme, trades)) in all.enumerate() {
                        (proposal(seat, shown, programme, trades, place))
                    }
                }
            }
        }
    }
}

fn proposal(seat: &Seat, shown: &Shown, programme: &Programme, trades: &str, place: usize) -> Markup {
    let id = shown.standing.line.id;
    let name = ["First", "Second", "Third"].get(place).copied().unwrap_or("Another");
    html! {
        section.proposal {
            h3 { (name) ": " (programme.exercises.iter().map(|one| one.family.name()).collect::<Vec<_>>().join(", ")) ", " (minutes(programme)) }
            @for why in &programme.why { p { (why) } }
            @if !trades.is_empty() { p { strong { "What it trades. " } (trades) } }
            (exercises(seat, shown, programme, None))
            @for task in &programme.tasks { p { (words::capital(&task.to_string())) "." } }
            @if !programme.notes.is_empty() {
                details { summary { "To know beside it" } ul { @for note in &programme.notes { li { (note) } } } }
            }
            @if !programme.dropped.is_empty() {
                details { summary { "Permitted but left out" } ul { @for dropped in &programme.dropped { li { (dropped.reason) } } } }
            }
            @if may_change(shown.role) {
                form method="post" action=(at(id, "programme/accept")) {
                    (seat.form())
                    input type="hidden" name="proposal" value=(place);
                    button.action type="submit" aria-label=(format!("Accept the {} proposal", name.to_lowercase())) { "Accept" }
                }
            } @else if let Some(words) = about_role(shown.role) { p.quiet { (words) } }
        }
    }
}
