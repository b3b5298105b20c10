//! A story as text: week by week what was done, what was logged, what the rules said, what was answered, what changed.

use std::collections::BTreeMap;

use app::{Adapted, NoLonger, Proposal};
use jiff::civil::Date;
use movement::{Family, MovementSpec};
use person::CaseFile;
use programme::{Exercise, Programme};
use progress::{Answer, Cell, Cleared, Done, Morning, Rung, Session, Verdict, cell_words};

use crate::lives::Life;

pub(crate) fn head(life: &Life, case: &CaseFile, programme: &Programme) -> String {
    format!(
        "{}, {}\nInvented person, simulated log. {}\nAt every visit everything is found again as in the case, unless the story says otherwise; orders are renewed in time, but for a step back in level.\n\nThe programme of {}, once or more a day, no visit later than its last day:\n{}",
        case.person.name,
        case.person.about,
        life.behaves,
        programme.for_day,
        listed(programme)
    )
}

/// One line an exercise, one a movement.
fn listed(programme: &Programme) -> String {
    let mut out = String::new();
    for (at, exercise) in programme.exercises.iter().enumerate() {
        out.push_str(&format!("  {}. {}\n", at + 1, how(exercise)));
        for movement in exercise.movements() {
            out.push_str(&format!("     - {}\n", movement.spec().sentence()));
        }
    }
    out
}

fn how(exercise: &Exercise) -> String {
    format!(
        "{}: {} times, {} round{}, {} a day, {}, {:.1} s out",
        exercise.family,
        exercise.dose.repetitions,
        exercise.dose.rounds,
        if exercise.dose.rounds == 1 { "" } else { "s" },
        exercise.dose.per_day,
        exercise.days,
        exercise.tempo.out.in_s()
    )
}

/// Everything about one week.
pub(crate) struct Week<'a> {
    pub(crate) week: usize,
    pub(crate) visit: Date,
    pub(crate) programme: &'a Programme,
    pub(crate) log: &'a [Session],
    pub(crate) adapted: &'a Adapted,
    pub(crate) answers: &'a [(&'a Proposal, Option<Answer>)],
    pub(crate) cleared: Option<&'a Cleared>,
    /// The exercise that the therapist took out by hand.
    pub(crate) by_hand: Option<Family>,
    pub(crate) next: &'a Programme,
    pub(crate) no_longer: &'a [NoLonger],
}

pub(crate) fn week(of: &Week<'_>) -> String {
    let mut out =
        format!("\n===== WEEK {}: {} to the visit of {} =====\n", of.week, of.programme.for_day, of.visit);
    out.push_str("LOGGED\n");
    out.push_str(&logged(of));
    out.push_str("THE RULES\n");
    let said: String = of.adapted.text().lines().map(|line| format!("  {line}\n")).collect();
    out.push_str(&said);
    out.push_str("ANSWERED\n");
    for (proposal, answer) in of.answers {
        let said = match answer {
            Some(answer) => {
                let verdict = match answer.verdict {
                    Verdict::Accepted => "accepted",
                    Verdict::Changed => "changed",
                    Verdict::Declined => "declined",
                };
                let why = if answer.why.is_empty() { String::new() } else { format!(": {}", answer.why) };
                format!("{verdict} by {}{why}", answer.by)
            }
            None => "not offered".to_owned(),
        };
        out.push_str(&format!("  {said} ({})\n", proposal.rules.join(", ")));
    }
    if let Some(cleared) = of.cleared {
        out.push_str(&format!(
            "  the stop was cleared by {} on {}: {}\n",
            cleared.by, cleared.on, cleared.why
        ));
    }
    if let Some(family) = of.by_hand {
        out.push_str(&format!("  the {family} was taken out by hand\n"));
    }
    if of.answers.is_empty() && of.cleared.is_none() && of.by_hand.is_none() {
        out.push_str("  nothing was asked\n");
    }
    out.push_str("CHANGED\n");
    out.push_str(&changed(of));
    out
}

fn logged(of: &Week<'_>) -> String {
    let of_week: Vec<&Session> =
        of.log.iter().filter(|session| of.programme.for_day <= session.on && session.on < of.visit).collect();
    if of_week.is_empty() {
        return "  nothing\n".to_owned();
    }
    let days: std::collections::BTreeSet<Date> = of_week.iter().map(|session| session.on).collect();
    let efforts: std::collections::BTreeSet<u8> =
        of_week.iter().filter_map(|session| session.effort).collect();
    let efforts: Vec<String> = efforts.iter().map(u8::to_string).collect();
    let mut out =
        format!("  sessions: {}, days: {}, effort: {}\n", of_week.len(), days.len(), efforts.join(" and "));
    let mut hurt: BTreeMap<Cell, Vec<String>> = BTreeMap::new();
    for session in &of_week {
        for (cell, done) in &session.cells {
            if let Done::Done { pain: Some(pain), rung } = done
                && (*pain > 0 || *rung > Rung::Whole)
            {
                let rung = match rung {
                    Rung::Whole => "",
                    Rung::Shortened => ", then shorter",
                    Rung::Supported => ", then half and held",
                    Rung::LeftOut => ", then left out",
                };
                hurt.entry(*cell).or_default().push(format!("{pain} on {}{rung}", session.on));
            }
        }
    }
    for (cell, told) in hurt {
        out.push_str(&format!("  {}. {}: {}\n", cell.exercise, cell_words(cell), told.join("; ")));
    }
    for session in of_week {
        if let Some(Morning::Worse(by)) = session.morning {
            let by = by.map_or_else(String::new, |by| format!(" by {by}"));
            out.push_str(&format!("  the morning after {} was worse{by}\n", session.on));
        }
        if let Some(sign) = session.stopped {
            out.push_str(&format!("  stopped on {}: {sign:?}\n", session.on));
        }
    }
    out
}

/// What the next programme has that this one had not, and the other way round.
fn changed(of: &Week<'_>) -> String {
    let specs = |programme: &Programme| -> Vec<MovementSpec> {
        programme.exercises.iter().flat_map(Exercise::movements).map(|one| one.spec().clone()).collect()
    };
    let (was, is) = (specs(of.programme), specs(of.next));
    let mut out = String::new();
    for spec in was.iter().filter(|spec| !is.contains(spec)) {
        out.push_str(&format!("  - {}\n", spec.sentence()));
    }
    for spec in is.iter().filter(|spec| !was.contains(spec)) {
        out.push_str(&format!("  + {}\n", spec.sentence()));
    }
    for (at, exercise) in of.next.exercises.iter().enumerate() {
        let same = of.programme.exercises.get(at).is_some_and(|before| how(before) == how(exercise));
        if !same {
            out.push_str(&format!("  {}. {}\n", at + 1, how(exercise)));
        }
    }
    for gone in of.no_longer {
        out.push_str(&format!("  no longer: {}: {}\n", gone.sentence, gone.because));
    }
    if out.is_empty() {
        out.push_str("  nothing\n");
    }
    out.push_str(&format!("  to be used until {}\n", of.next.use_until));
    out
}
