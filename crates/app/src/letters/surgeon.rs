//! What a surgeon could change: each order asked again without it, and what that would open.

use std::collections::BTreeMap;
use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::{Mutex, PoisonError};

use anatomy::Side;
use document::{Opened, OrderAsked, RuleBehind, ToAsk};
use jiff::civil::Date;
use movement::{MovementSpec, StanceFoot};
use person::{
    Condition, Finding, Findings, HowKnown, Involved, OrderedLimit, SurgeonOrder, WeightBearing,
    WeightBearingGrade,
};
use quantity::reference::short_cite;
use safety::{
    AllowedSpace, Computed, Engine, FindingKey, Movements, NoteKind, Refusal, allowed_space_by, shelf_life,
};

use crate::PersonToday;
use crate::ask::tried;
use crate::survey::on_all_cores;

/// The rule of an order, which is the question itself and none behind it.
const ORDER: &str = "ORDER";

/// The question of one person, the answer that would open most first. Movements are those that [`crate::ask_case`]
/// tries: the grounded families, free and held, at 30 % and 50 % of leg length.
pub(super) fn question(person: &PersonToday<'_>) -> Vec<OrderAsked> {
    let answers = answers(person);
    let directions = directions(specs(person));
    let changed = on_all_cores(&directions, |(_, specs)| changed(person, &answers, specs));
    let with = |(at, answer): (usize, &Answer)| {
        let opens = directions.iter().zip(&changed).filter(|(_, opens)| opens[at]);
        OrderAsked {
            about: answer.about.clone(),
            opens: opens.map(|((direction, _), _)| *direction).collect(),
            stands: answer.stands.load(Ordering::Relaxed),
            rules: rules(answer.gone(), person),
        }
    };
    let mut asked: Vec<OrderAsked> = answers.iter().enumerate().map(with).filter(worth_asking).collect();
    asked.sort_by_key(|one| std::cmp::Reverse(one.opens.len()));
    asked
}

/// What a surgeon could answer.
struct Answer {
    about: ToAsk,
    /// The space it would leave.
    space: AllowedSpace,
    /// Whether something else would stand against some movement than today; true once one is found.
    stands: AtomicBool,
    /// What stands against some movement today and would not, of each rule once it is found.
    gone: Mutex<Vec<Refusal>>,
}

impl Answer {
    fn gone(&self) -> Vec<Refusal> {
        self.gone.lock().unwrap_or_else(PoisonError::into_inner).clone()
    }

    fn knows(&self, rule: &str) -> bool {
        let gone = self.gone.lock().unwrap_or_else(PoisonError::into_inner);
        rule == ORDER || gone.iter().any(|one| one.rule == rule)
    }

    /// What stands against a movement today, and what would with this answer.
    fn learn(&self, before: &[Refusal], after: &[Refusal]) {
        if before != after {
            self.stands.store(true, Ordering::Relaxed);
        }
        let stays = |refusal: &&Refusal| after.iter().any(|one| one.rule == refusal.rule);
        let new = before.iter().filter(|one| !stays(one)).filter(|one| !self.knows(&one.rule));
        let new: Vec<Refusal> = new.cloned().collect();
        self.gone.lock().unwrap_or_else(PoisonError::into_inner).extend(new);
    }
}

fn answers(person: &PersonToday<'_>) -> Vec<Answer> {
    let tables = &person.case.clinic.tables;
    let answer = |(about, findings): (ToAsk, Findings)| {
        let space = allowed_space_by(tables, &findings, &person.body, person.today);
        Answer { about, space, stands: AtomicBool::new(false), gone: Mutex::default() }
    };
    variants(person).into_iter().map(answer).collect()
}

/// Turning on the standing foot is tried only where somebody ordered about it: nothing else needs it.
fn specs(person: &PersonToday<'_>) -> Vec<MovementSpec> {
    let turning = person.case.findings.orders.iter().any(|order| order.limit == OrderedLimit::NoPivot);
    tried(person, person.case, turning)
}

fn directions(specs: Vec<MovementSpec>) -> Vec<(Opened, Vec<MovementSpec>)> {
    let mut out: BTreeMap<Opened, Vec<MovementSpec>> = BTreeMap::new();
    for spec in specs {
        let turning = spec.stance_foot == StanceFoot::Pivoting;
        let MovementSpec { family, mover, bearing, .. } = spec;
        out.entry(Opened { family, mover, bearing, turning }).or_default().push(spec);
    }
    out.into_iter().collect()
}

/// Whether each answer would open one direction; each is told what it would change there. Postures take almost all of
/// the time: computed are those of movements of which the gates may say something with some answer that is not known
/// already, and, to know whether the direction is open today, as many of the others as it needs. What stops at the
/// first gate with and without an answer is compared as it stands, whether or not the body could do it. The result
/// does not depend on the order in which directions are looked at: what was found elsewhere only spares postures that
/// can add nothing.
fn changed(person: &PersonToday<'_>, answers: &[Answer], specs: &[MovementSpec]) -> Vec<bool> {
    let engine = Engine { body: &person.body, capacity: &person.capacity };
    let mut opens = vec![false; answers.len()];
    let mut open_today = false;
    let mut others = Vec::new();
    for spec in specs {
        let screen = |space: &AllowedSpace| space.screen(spec.clone()).err();
        let (today, then) = (screen(&person.allowed), answers.iter().map(|answer| screen(&answer.space)));
        let then: Vec<Option<Vec<Refusal>>> = then.collect();
        let needs_posture = |((opens, answer), then): ((&bool, &Answer), &Option<Vec<Refusal>>)| {
            let about: Vec<&str> = match (&today, then) {
                (Some(_), Some(_)) => return false,
                (Some(by), None) => by.iter().map(|refusal| refusal.rule.as_str()).collect(),
                (None, None) => match person.allowed.judges_otherwise(&answer.space, spec) {
                    None => return false,
                    Some(only_today) => only_today,
                },
                (None, Some(_)) => return true,
            };
            let is_open = *opens || open_today;
            let learns_nothing = || about.iter().all(|rule| answer.knows(rule));
            !(is_open && answer.stands.load(Ordering::Relaxed) && learns_nothing())
        };
        let needed = opens.iter().zip(answers).zip(&then).any(needs_posture);
        // None, too, where the body cannot do it: then no answer opens it.
        let computed = needed.then(|| engine.near(spec, None)).flatten();
        let judged = |space: &AllowedSpace, screened: &Option<Vec<Refusal>>| match (screened, &computed) {
            (Some(by), _) => Some(by.clone()),
            (None, Some(computed)) => Some(against(space, spec, computed, person.today)),
            (None, None) => None,
        };
        let Some(before) = judged(&person.allowed, &today) else {
            if !needed {
                others.push(spec);
            }
            continue;
        };
        open_today |= before.is_empty();
        for ((opens, answer), then) in opens.iter_mut().zip(answers).zip(&then) {
            let Some(after) = judged(&answer.space, then) else { continue };
            *opens |= after.is_empty();
            answer.learn(&before, &after);
        }
    }
    if !open_today && opens.contains(&true) {
        open_today = others.into_iter().any(|spec| {
            let computed = engine.near(spec, None);
            computed.is_some_and(|one| against(&person.allowed, spec, &one, person.today).is_empty())
        });
    }
    opens.into_iter().map(|opens| opens && !open_today).collect()
}

/// Everything against a movement; empty where both gates let it pass.
fn against(space: &AllowedSpace, spec: &MovementSpec, computed: &Computed, today: Date) -> Vec<Refusal> {
    let Computed { motion, moments, demands } = computed;
    match space.screen(spec.clone()) {
        Err(by) => by,
        Ok(screened) => space.permit(screened, motion, moments, demands, today).err().unwrap_or_default(),
    }
}

/// An order of this person is always asked about; what holds by default only where an answer changes something.
fn worth_asking(one: &OrderAsked) -> bool {
    match &one.about {
        ToAsk::Order { .. } | ToAsk::WeightUnknown { .. } | ToAsk::ApproachUnknown => true,
        ToAsk::Weight { order, .. } => order.grade < WeightBearingGrade::AsTolerated || !one.opens.is_empty(),
        ToAsk::Precautions { .. } | ToAsk::Review => !one.opens.is_empty() || !one.rules.is_empty(),
    }
}

/// Of what stands against a movement today and would not with the answer, the rules, each once.
fn rules(mut gone: Vec<Refusal>, person: &PersonToday<'_>) -> Vec<RuleBehind> {
    // In whatever order they were found.
    gone.sort_by(|a, b| (&a.rule, &a.source).cmp(&(&b.rule, &b.source)));
    let mut out: Vec<RuleBehind> = Vec::new();
    for refusal in gone {
        if refusal.rule == ORDER || out.iter().any(|known| known.rule == refusal.rule) {
            continue;
        }
        let varies = person
            .allowed
            .notes()
            .iter()
            .find(|note| note.kind == NoteKind::Varies && note.rule == refusal.rule)
            .map(|note| note.words.trim_start_matches("Varies: ").to_owned());
        out.push(RuleBehind {
            rule: refusal.rule.clone(),
            source: short_cite(&refusal.source).to_owned(),
            varies: varies.unwrap_or_default(),
        });
    }
    out
}

/// Every order or default that a surgeon could change, with the findings as they would be.
fn variants(person: &PersonToday<'_>) -> Vec<(ToAsk, Findings)> {
    let found = &person.case.findings;
    let today = person.today;
    let mut out = Vec::new();
    for (at, order) in found.orders.iter().enumerate().filter(|(_, order)| order.counts_on(today)) {
        if !order.limit.loosens() {
            let mut with = found.clone();
            with.orders.remove(at);
            out.push((ToAsk::Order { order: order.clone() }, with));
        }
    }
    for side in Side::BOTH {
        out.extend(weight(found, side, today));
    }
    let hips = hips(found);
    let lifted =
        found.orders.iter().any(|order| order.holds_on(today) && order.limit == OrderedLimit::NoPrecautions);
    if let (Some(involved), false) = (hips, lifted) {
        let mut with = found.clone();
        with.orders.push(SurgeonOrder {
            limit: OrderedLimit::NoPrecautions,
            side: None,
            by: String::new(),
            known: HowKnown::LetterSeen,
            from: today,
            until: None,
        });
        out.push((ToAsk::Precautions { involved }, with));
    }
    let approach_unknown = found
        .conditions
        .iter()
        .any(|one| matches!(one, Condition::HipReplacement { approach: Finding::NotAssessed, .. }));
    if approach_unknown {
        out.push((ToAsk::ApproachUnknown, found.clone()));
    }
    let operated = found.conditions.iter().any(|one| match one {
        Condition::HipReplacement { .. } | Condition::KneeReplacement { .. } => true,
        Condition::Presented(one) => one.presentation.clock() == person::Clock::Operation,
        _ => false,
    });
    let reviewed = found.surgeon_review.on(today, shelf_life(FindingKey::SurgeonReview));
    if operated && reviewed.current() != Some(&true) {
        let mut with = found.clone();
        with.surgeon_review = Finding::Found { value: true, on: today };
        out.push((ToAsk::Review, with));
    }
    out
}

fn hips(found: &Findings) -> Option<Involved> {
    found.conditions.iter().find_map(|one| match one {
        Condition::HipReplacement { involved, .. } => Some(*involved),
        _ => None,
    })
}

/// The weight order of one leg, asked as full weight.
fn weight(found: &Findings, side: Side, today: Date) -> Option<(ToAsk, Findings)> {
    let full = WeightBearing {
        grade: WeightBearingGrade::Full,
        share: None,
        known: HowKnown::SpokenToTeam,
        by: String::new(),
        until: None,
    };
    let about = match found.weight_bearing.get(side) {
        Finding::Found { value, .. }
            if value.until.is_none_or(|until| today <= until) && value.known != HowKnown::PatientSays =>
        {
            if value.grade == WeightBearingGrade::Full {
                return None;
            }
            ToAsk::Weight { side, order: value.clone() }
        }
        _ => ToAsk::WeightUnknown { side },
    };
    let mut with = found.clone();
    *with.weight_bearing.get_mut(side) = Finding::Found { value: full, on: today };
    Some((about, with))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// As if nothing were known beforehand: every posture, and both gates for every answer.
    fn by_every_posture(person: &PersonToday<'_>) -> Vec<OrderAsked> {
        let engine = Engine { body: &person.body, capacity: &person.capacity };
        let specs = specs(person);
        let found = on_all_cores(&specs, |spec| engine.near(spec, None));
        let tried: Vec<_> =
            specs.iter().zip(found).filter_map(|(spec, computed)| Some((spec, computed?))).collect();
        let against = |space: &AllowedSpace| -> Vec<Vec<Refusal>> {
            tried.iter().map(|(spec, computed)| super::against(space, spec, computed, person.today)).collect()
        };
        let open = |against: &[Vec<Refusal>]| -> Vec<Opened> {
            let open = tried.iter().zip(against).filter(|(_, by)| by.is_empty());
            directions(open.map(|((spec, _), _)| (*spec).clone()).collect())
                .into_iter()
                .map(|(one, _)| one)
                .collect()
        };
        let now = against(&person.allowed);
        let mut asked: Vec<OrderAsked> = answers(person)
            .into_iter()
            .map(|Answer { about, space, .. }| {
                let then = against(&space);
                let gone = now.iter().zip(&then).flat_map(|(now, then)| {
                    now.iter().filter(|one| !then.iter().any(|other| other.rule == one.rule)).cloned()
                });
                OrderAsked {
                    about,
                    opens: open(&then).into_iter().filter(|one| !open(&now).contains(one)).collect(),
                    stands: now != then,
                    rules: rules(gone.collect(), person),
                }
            })
            .filter(worth_asking)
            .collect();
        asked.sort_by_key(|one| std::cmp::Reverse(one.opens.len()));
        asked
    }

    #[test]
    fn postures_that_were_not_computed_change_no_word_of_the_question() {
        let (mut opening, mut with_rules) = (0, 0);
        for (at, demo) in crate::demo_cases().iter().enumerate() {
            let mut case = demo.read().unwrap_or_else(|e| panic!("{e}"));
            let today = crate::day_of(&case, None, case.visit);
            // As they are, and every third where nobody knows how much weight the left leg may carry.
            for unknown in [false, true].into_iter().take(if at % 3 == 0 { 2 } else { 1 }) {
                if unknown {
                    case.findings.weight_bearing.left = Finding::NotAssessed;
                }
                let person = PersonToday::of(&case, today);
                if person.allowed.alert().is_some() {
                    continue;
                }
                let asked = question(&person);
                assert_eq!(asked, by_every_posture(&person), "{}, {unknown}", case.person.name);
                opening += asked.iter().filter(|one| !one.opens.is_empty()).count();
                with_rules += asked.iter().filter(|one| !one.rules.is_empty()).count();
            }
        }
        assert!(
            opening > 0 && with_rules > 0,
            "{opening} open something, {with_rules} have rules behind them"
        );
    }
}
