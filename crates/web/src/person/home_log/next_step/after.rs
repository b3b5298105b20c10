//! What the answers make of case and programme: shown before it is saved, then saved with its trace.

use app::{Adapted, Proposal, Taken};
use clinic::{AdaptationRecord, AnsweredProposal, CaseRecord, CaseText, Decision, ProgrammeRecord, Standing};
use jiff::civil::Date;
use maud::{Markup, html};
use movement::MovementSpec;
use person::CaseFile;
use programme::{Exercise, Programme};
use progress::{Answer, Answered, Verdict};

use super::answers::{Answers, find};
use super::reckoned::Said;
use crate::fault::{Fault, sentence};
use crate::person::programme::{dose_words, head};
use crate::seat::{Seat, at};
use crate::words;

fn specs(programme: &Programme) -> Vec<&MovementSpec> {
    programme.exercises.iter().flat_map(Exercise::movements).map(|one| one.spec()).collect()
}

/// What became of the programme, as sentences.
fn became(before: &Programme, taken: &Taken) -> Vec<String> {
    let Some(after) = &taken.programme else {
        return vec!["Nothing of it is permitted any more: there is no programme.".to_owned()];
    };
    let (was, is) = (specs(before), specs(after));
    let mut out: Vec<String> = Vec::new();
    out.extend(
        was.iter().filter(|one| !is.contains(one)).map(|one| format!("No longer: {}.", one.sentence())),
    );
    out.extend(is.iter().filter(|one| !was.contains(one)).map(|one| format!("New: {}.", one.sentence())));
    for (at, exercise) in after.exercises.iter().enumerate() {
        let dose = dose_words(exercise);
        let known = before.exercises.get(at).is_none_or(|other| dose_words(other) == dose);
        if !known {
            out.push(format!("Exercise {}: {dose}.", at + 1));
        }
    }
    for gone in &taken.no_longer {
        out.push(format!("Not permitted: {}: {}", words::capital(&gone.sentence), sentence(&gone.because)));
    }
    if out.is_empty() {
        out.push("The movements stay as they were.".to_owned());
    }
    out
}

/// The trace of answers, before it is known what they make of the programme.
pub(super) fn trace(
    said: &Said,
    answers: &Answers,
    (by, on): (&str, Date),
) -> Result<AdaptationRecord, Fault> {
    let adapted = &said.adapted;
    let answered = |proposal: &Proposal, one: &super::answers::One| -> Result<AnsweredProposal, Fault> {
        let answer = Answer::new(one.verdict, by, on, &one.why)
            .map_err(|error| Fault::Refused(sentence(&error.to_string())))?;
        let instead = one.instead.as_deref().and_then(|key| find(proposal, key));
        Ok(AnsweredProposal {
            key: proposal.key(),
            step_up: proposal.variable.is_some(),
            answered: Answered {
                rules: proposal.rules.iter().map(|rule| (*rule).to_owned()).collect(),
                proposed: proposal.words.clone(),
                instead: instead.map_or_else(String::new, |other| other.proposal.words),
                answer,
            },
        })
    };
    let proposals = &adapted.proposals;
    let given = answers.all.iter().filter_map(|one| Some((proposals.get(one.at)?, one)));
    let is_open = |at: &usize| answers.all.iter().all(|one| one.at != *at);
    Ok(AdaptationRecord {
        on,
        programme_of: said.programme.for_day,
        of: answers.name(),
        said: adapted.adaptation.reasons.iter().map(|one| one.reason.words.clone()).collect(),
        answers: given.map(|(proposal, one)| answered(proposal, one)).collect::<Result<_, _>>()?,
        unanswered: (0..proposals.len()).filter(is_open).map(|at| proposals[at].words.clone()).collect(),
        became: Vec::new(),
        cleared: None,
        asked_about: Vec::new(),
        takes_back: None,
        why: String::new(),
        engine: engine(adapted),
    })
}

/// Everything that was said, without the name of the person: the trace is about nobody by itself.
fn engine(adapted: &Adapted) -> serde_json::Value {
    let mut json = serde_json::to_value(adapted).unwrap_or_default();
    if let Some(all) = json.as_object_mut() {
        all.remove("person");
    }
    json
}

/// What is stored: the trace, the case with what hurt and what was ordered, and the programme.
pub(super) fn decision(
    (standing, newest): (&Standing, &CaseRecord),
    said: &Said,
    (answers, taken): (&Answers, &Taken),
    by: &str,
) -> Result<Decision, Fault> {
    let day = standing.day;
    let mut adaptation = trace(said, answers, (by, day))?;
    adaptation.became = became(&said.programme, taken);
    let why = format!("Answered on {day} what was proposed after the home log.");
    let text = text_after(standing, &taken.case, day)?;
    let case = CaseRecord { text, absent: newest.absent.clone(), why: why.clone() };
    let programme = match &taken.programme {
        Some(programme) => {
            let (exercises, json) = app::programme_kept(programme);
            let (for_day, use_until) = (programme.for_day, programme.use_until);
            ProgrammeRecord { for_day, use_until, exercises, json, why, by_hand: false }
        }
        None => ProgrammeRecord {
            for_day: day,
            use_until: day,
            exercises: Vec::new(),
            json: serde_json::json!({ "exercises": [] }),
            why,
            by_hand: false,
        },
    };
    Ok(Decision { adaptation, after: Some((case, programme)) })
}

/// The text of the case after the decision, read again: it says what was decided, or nothing is stored.
fn text_after(standing: &Standing, after: &CaseFile, day: Date) -> Result<String, Fault> {
    let broken = |why: &str| Fault::Broken(why.to_owned());
    let before = standing.case.as_deref().ok_or_else(|| broken("there is no case"))?;
    let mut text = CaseText::of(&standing.case_text).ok_or_else(|| broken("the case is not TOML"))?;
    text.take_over(before, after, day);
    let text = text.text();
    let read = person::case_file::read("the findings", &text).map_err(|error| broken(&error.to_string()))?;
    let hurt = |case: &CaseFile| {
        let all = case.findings.hurt.iter();
        let mut all: Vec<_> =
            all.map(|one| (one.mover, one.bearing, one.family, one.on, one.pain, one.settled)).collect();
        all.sort();
        all
    };
    if hurt(&read) != hurt(after) || read.findings.orders != after.findings.orders {
        return Err(broken("what hurt could not be written into the findings"));
    }
    Ok(text)
}

/// What will be there, to be confirmed.
pub(super) fn view(
    seat: &Seat,
    standing: &Standing,
    said: &Said,
    (answers, taken): (&Answers, &Taken),
) -> Markup {
    let id = standing.line.id;
    let back = at(id, "home-log/next-step");
    let before = specs(&said.programme);
    let declined: Vec<_> = answers.all.iter().filter(|one| one.verdict == Verdict::Declined).collect();
    html! {
        h2 { "What will be there" }
        p { "Nothing is saved yet. Both gates were asked today about every movement of it." }
        ul.became { @for one in became(&said.programme, taken) { li { (one) } } }
        @match &taken.programme {
            Some(programme) => {
                section.accepted aria-labelledby="next-programme" {
                    h3 id="next-programme" { "The new programme, to be used until " (words::day(programme.use_until)) }
                    ol.exercises {
                        @for exercise in &programme.exercises {
                            li {
                                strong { (head(exercise)) }
                                p.quiet { (dose_words(exercise)) }
                                ul.movements {
                                    @for one in exercise.movements() {
                                        @let spec = one.spec();
                                        li { (words::capital(&spec.sentence())) ": permitted" @if !before.contains(&spec) { ", " strong { "new" } } }
                                    }
                                }
                            }
                        }
                    }
                    @if !programme.notes.is_empty() {
                        details { summary { "To know beside it" } ul { @for note in &programme.notes { li { (note) } } } }
                    }
                }
            }
            None => { p.mend { "After this no movement of the programme is permitted. Save it, then look for another programme under Programme; until then there is none." } }
        }
        (written(standing, taken))
        @if !declined.is_empty() {
            h3 { "Declined, and kept with its reason" }
            ul {
                @for one in &declined {
                    @if let Some(proposal) = said.adapted.proposals.get(one.at) { li { (proposal.words) " Why: " (one.why) "." } }
                }
            }
        }
        form.acts method="post" action=(at(id, "home-log/next-step/save")) {
            (seat.form())
            input type="hidden" name="of" value=(answers.name());
            button.action type="submit" { @if taken.programme.is_some() { "Save the new programme" } @else { "Save this decision" } }
            a.button href=(back) { "Answer otherwise" }
        }
    }
}

/// What is written into the findings, where the gates read it.
fn written(standing: &Standing, taken: &Taken) -> Markup {
    let Some(before) = standing.case.as_deref() else { return html! {} };
    let (was, is) = (&before.findings.hurt, &taken.case.findings.hurt);
    let fewer = was.len().saturating_sub(is.len());
    let new: Vec<_> = is.iter().filter(|one| !was.contains(one)).collect();
    let orders = taken.case.findings.orders.iter().filter(|one| !before.findings.orders.contains(one));
    let levels: Vec<String> = orders
        .filter_map(|order| match order.limit {
            person::OrderedLimit::LevelAtMost(level) => {
                let until = order.until.map_or_else(String::new, |day| format!(" until {}", words::day(day)));
                Some(format!("Nothing above level {level}{until}, by {}.", order.by))
            }
            _ => None,
        })
        .collect();
    html! {
        @if !new.is_empty() || !levels.is_empty() || fewer > 0 {
            h3 { "Written into the findings" }
            ul {
                @for one in new {
                    li {
                        (words::capital(&one.mover.to_string())) @if one.family == Some(movement::Family::BendAndReach) { " hand" } @else { " leg" } ", going " (one.bearing.plain_words()) ", hurt at " (format!("{:.0} cm", one.distance.in_cm())) " on " (words::day(one.on))
                        @match one.pain { Some(pain) => { ", " (pain) " of 10" } None => ", no number" }
                    }
                }
                @if fewer > 0 { li { (fewer) @if fewer == 1 { " note of pain goes" } @else { " notes of pain go" } } }
                @for level in levels { li { (level) } }
            }
        }
    }
}
