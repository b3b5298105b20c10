//! Runs a life week by week: sessions by its rules, then a visit at which everything is found again.

use app::{
    AdaptError, Adapted, Change, Earlier, Outcome, Proposal, adapt_programme, demo_cases, plan_case,
    prescription_of, silent, taken,
};
use biomech::Motion;
use jiff::ToSpan;
use jiff::civil::Date;
use movement::MovementSpec;
use person::{CaseFile, Finding, HowKnown, OrderedLimit, SurgeonOrder};
use programme::{Days, Exercise, Programme};
use progress::{Answer, Cleared, Done, Effusion, Rung, Session, Verdict, Whole};
use quantity::{Length, Span};

use crate::lives::{Life, When};
use crate::told::{self, Week};

const THERAPIST: &str = "Tarn, physiotherapist";

/// The case of the file with everything that names no day found on `day`.
fn found_on(file: usize, day: Date, otherwise: &[(&str, &str)]) -> CaseFile {
    let text = demo_cases()[file].text;
    let first = demo_cases()[file].read().unwrap_or_else(|e| panic!("{e}"));
    let visit = format!("[visit]\ndate = {}", first.visit);
    assert!(text.contains(&visit), "{}", demo_cases()[file].file);
    let text = text.replacen(&visit, &format!("[visit]\ndate = {day}"), 1);
    let planned = format!("planned_for = {}", first.planned_for.expect("every invented person names a day"));
    let text = text.replacen(&planned, &format!("planned_for = {day}"), 1);
    let text = otherwise.iter().fold(text, |text, (was, is)| {
        assert!(text.contains(was), "{was}");
        text.replacen(was, is, 1)
    });
    person::case_file::read(demo_cases()[file].file, &text).unwrap_or_else(|e| panic!("{e}"))
}

/// What the page makes of a direction that hurts as it is prescribed: shorter, then half and held, then left out.
fn practised(
    life: &Life,
    when: When,
    spec: &MovementSpec,
    computed: &dyn Fn(&MovementSpec) -> Option<Motion>,
) -> Done {
    let pain_at = |share: f64| {
        let shorter = spec.at(Length::cm((spec.distance.in_cm() * share).floor()));
        computed(&shorter).map_or(0, |motion| (life.pain)(when, &shorter, &motion))
    };
    let rule = safety::pain_rule();
    let mut worst = 0;
    for (share, rung) in [(1.0, Rung::Whole), (rule.first, Rung::Shortened), (rule.second, Rung::Supported)] {
        let pain = pain_at(share);
        worst = worst.max(pain);
        // Within what is accepted the page goes on.
        if pain <= life.monitored.unwrap_or(0) {
            return Done::Done { pain: Some(worst), rung };
        }
    }
    Done::Done { pain: Some(worst), rung: Rung::LeftOut }
}

fn is_on(exercise: &Exercise, day: usize) -> bool {
    match exercise.days {
        Days::Every => true,
        Days::Alternate => day.is_multiple_of(2),
        Days::TwoOrThreeApart => [0, 2, 4].contains(&day),
    }
}

/// One week of practice of a programme, up to the day of the visit.
fn week_of(life: &Life, week: usize, case: &CaseFile, programme: &Programme, visit: Date) -> Vec<Session> {
    let asked = prescription_of(programme);
    let person = app::PersonToday::of(case, programme.for_day);
    let computed = |spec: &MovementSpec| biomech::motion(&person.body, &person.capacity, spec).ok();
    let mut out = Vec::new();
    for day in 0_usize..7 {
        let on = programme.for_day.checked_add(i64::try_from(day).unwrap().days()).unwrap();
        let when = When { week, day };
        if on >= visit || !(life.practises)(when) {
            continue;
        }
        for nth in 1..=asked.a_day {
            let mut cells = asked.cells.iter();
            let mut told = Vec::new();
            for exercise in &programme.exercises {
                for movement in exercise.movements() {
                    let cell = *cells.next().expect("a cell for each movement");
                    let done = match is_on(exercise, day) {
                        true => practised(life, when, movement.spec(), &computed),
                        false => Done::NotDone,
                    };
                    told.push((cell, done));
                }
            }
            let last = nth == asked.a_day;
            let stopped = (life.stops)(when).filter(|_| last);
            out.push(Session {
                on,
                nth,
                pain_before: Some(0),
                cells: told,
                stopped,
                effort: Some((life.effort)(when)),
                morning: last.then(|| (life.morning)(when)),
            });
            // Who is to be seen does not go on.
            if stopped.is_some_and(|sign| sign >= progress::StopSign::Unwell) {
                return out;
            }
        }
    }
    out
}

fn answer(life: &Life, week: usize, proposal: &Proposal, on: Date) -> Option<Answer> {
    let said =
        |verdict, why: &str| Answer::new(verdict, THERAPIST, on, why).unwrap_or_else(|e| panic!("{e}"));
    if proposal.only_offered {
        return (life.offers)(week)
            .then(|| said(Verdict::Accepted, "offered again after a talk and a trial in the room"));
    }
    Some(match (life.declines)(week).filter(|_| proposal.variable.is_some()) {
        Some(why) => said(Verdict::Declined, why),
        None => said(Verdict::Accepted, ""),
    })
}

fn planned(case: &CaseFile, day: Date) -> Programme {
    match plan_case(case, day, &silent) {
        Outcome::Programme(plan) => plan.programme,
        other => panic!("no programme: {other:?}"),
    }
}

/// Six weeks of one life, as text.
pub(crate) fn six_weeks(life: &Life) -> (String, String) {
    let file = demo_cases()[life.person];
    let name = file.file.trim_end_matches(".toml").to_owned();
    let mut case = file.read().unwrap_or_else(|e| panic!("{e}"));
    let start = case.planned_for.expect("every invented person names a day");
    if let Some(pain) = life.monitored {
        case.findings.orders.push(SurgeonOrder {
            limit: OrderedLimit::PainUpTo(pain),
            side: None,
            by: THERAPIST.to_owned(),
            known: HowKnown::SpokenToTeam,
            from: start,
            until: None,
        });
    }
    let mut programme = planned(&case, start);
    let mut earlier = Earlier::default();
    let mut log: Vec<Session> = Vec::new();
    let mut text = told::head(life, &case, &programme);
    for week in 1..=6 {
        let visit = programme.for_day.checked_add(7.days()).unwrap().min(programme.use_until);
        log.extend(week_of(life, week, &case, &programme, visit));
        case = found_again(life, week, &case, visit, &mut earlier);
        let adapt = |earlier: &Earlier| match adapt_programme(&case, visit, &programme, &log, earlier) {
            Ok(adapted) => adapted,
            Err(AdaptError::Alert(alert)) => panic!("{name}, week {week}: {alert}"),
            Err(error) => panic!("{name}, week {week}: {error}"),
        };
        let first = adapt(&earlier);
        let cleared = (first.adaptation.whole == Whole::Stop).then(|| Cleared {
            by: THERAPIST.to_owned(),
            on: visit,
            why: "seen the same day, examined, nothing found; may go on".to_owned(),
            signs: progress::stop_signs(&log),
        });
        if cleared.is_some() {
            assert!(
                taken(&case, (&programme, &first), &[], THERAPIST, &silent).programme.is_none(),
                "{name}"
            );
            earlier.cleared.clone_from(&cleared);
        }
        // What was cleared is asked again.
        let adapted = if cleared.is_some() { adapt(&earlier) } else { first.clone() };
        laws_of_a_visit(&name, week, &adapted);
        let answers: Vec<(&Proposal, Option<Answer>)> =
            adapted.proposals.iter().map(|one| (one, answer(life, week, one, visit))).collect();
        let accepted: Vec<&Proposal> = answers
            .iter()
            .filter(|(_, answer)| answer.as_ref().is_some_and(|one| one.verdict == Verdict::Accepted))
            .map(|(proposal, _)| *proposal)
            .collect();
        if accepted.iter().any(|one| one.variable.is_some()) {
            earlier.last_step_up = Some(visit);
        }
        let after = taken(&case, (&programme, &adapted), &accepted, THERAPIST, &silent);
        every_step_up_is_there(&name, week, &accepted, after.programme.as_ref());
        let mut next = after.programme.unwrap_or_else(|| planned(&after.case, visit));
        let by_hand = (life.takes_out)(week);
        if let Some(family) = by_hand {
            next.exercises.retain(|one| one.family != family);
            next.minutes = Span::s(next.exercises.iter().map(|one| one.minutes.in_s()).sum());
        }
        text.push_str(&told::week(&Week {
            week,
            visit,
            programme: &programme,
            log: &log,
            adapted: &first,
            answers: &answers,
            cleared: cleared.as_ref(),
            by_hand,
            next: &next,
            no_longer: &after.no_longer,
        }));
        (case, programme) = (after.case, next);
    }
    (name, text)
}

/// The visit: everything is looked at again and found as in the file, but for what the story says.
fn found_again(life: &Life, week: usize, case: &CaseFile, visit: Date, earlier: &mut Earlier) -> CaseFile {
    let mut now = found_on(life.person, visit, (life.finds)(week));
    let of_the_file = std::mem::replace(&mut now.findings.orders, case.findings.orders.clone());
    now.findings.hurt.clone_from(&case.findings.hurt);
    now.last_programme.clone_from(&case.last_programme);
    // Who ordered something with a last day is asked again in time; a step back in level ends when it said.
    let asked_again = |order: &SurgeonOrder| {
        of_the_file.iter().any(|one| (&one.limit, one.from) == (&order.limit, order.from))
    };
    if (life.lifts)(week) {
        let level = |order: &SurgeonOrder| matches!(order.limit, OrderedLimit::LevelAtMost(_));
        now.findings.orders.retain(|order| asked_again(order) || !level(order));
    }
    for order in now.findings.orders.iter_mut().filter(|order| asked_again(order)) {
        order.until = order.until.map(|until| until.max(visit.checked_add(21.days()).unwrap()));
    }
    if let Some((side, grade)) = (life.swelling)(week) {
        *now.findings.effusion.get_mut(side) = Finding::Found { value: grade, on: visit };
        earlier.effusion.push(Effusion { on: visit, side, grade });
    }
    now
}

/// What was accepted as a step up stands in the next programme, where both gates were asked about it again.
fn every_step_up_is_there(name: &str, week: usize, accepted: &[&Proposal], next: Option<&Programme>) {
    let there: Vec<&MovementSpec> = next
        .iter()
        .flat_map(|one| &one.exercises)
        .flat_map(Exercise::movements)
        .map(|one| one.spec())
        .collect();
    for change in accepted.iter().filter(|one| one.variable.is_some()).flat_map(|one| &one.changes) {
        if let Change::Movement { is, .. } = change {
            assert!(there.contains(&&**is), "{name}, week {week}: {}", is.sentence());
        }
    }
}

/// What holds at every visit of every story.
fn laws_of_a_visit(name: &str, week: usize, adapted: &Adapted) {
    let up = adapted.proposals.iter().filter(|one| one.variable.is_some()).count();
    assert!(up <= 1, "{name}, week {week}: one variable at a time");
    assert!(up == 0 || adapted.adaptation.whole == Whole::Free, "{name}, week {week}");
    let everything = format!("{}{:?}", adapted.text(), adapted.proposals);
    assert!(!everything.contains("vastus"), "{name}, week {week}");
    let bad = adapted.adaptation.reasons.iter().any(|one| matches!(one.means, Whole::BackOff | Whole::Stop));
    assert!(!bad || up == 0, "{name}, week {week}");
}
