//! Case and programme after what a therapist accepted; both gates are asked about all of it again.

use std::collections::BTreeMap;

use anatomy::Side;
use jiff::ToSpan;
use jiff::civil::Date;
use movement::{Bearing, Family, MovementSpec, Tempo};
use person::{CaseFile, HowKnown, HurtAt, OrderedLimit, SurgeonOrder};
use programme::{Exercise, ExerciseMovement, LimbPart, Programme, figures};
use progress::Whole;
use quantity::Span;
use safety::{Engine, Lapsed, counts_for};

use super::Adapted;
use super::back;
use super::lapsed;
use super::less;
use super::proposal::{Change, Proposal};
use crate::again::time;
use crate::amend::same_exercise;
use crate::candidates::permit;
use crate::plan::last_day;
use crate::{NoLonger, Outcome, PersonToday, Progress, plan_case};

/// What is there after the accepted proposals.
#[derive(Clone, Debug)]
pub struct Taken {
    /// The case, with what hurt and what was ordered.
    pub case: CaseFile,
    /// The programme; none where nothing of it is permitted any more.
    pub programme: Option<Programme>,
    /// What was in it and is not permitted today, with the reason.
    pub no_longer: Vec<NoLonger>,
}

/// Makes case and programme of the accepted proposals on a day. `by` is the therapist, who signs an order of level.
///
/// Every movement, changed or not, is asked of both gates on that day. A direction that is not permitted as it
/// stands is named and left out. After a stop there is no programme: a clinician clears it, and the log is asked again.
#[must_use]
pub fn taken(
    case: &CaseFile,
    (programme, adapted): (&Programme, &Adapted),
    accepted: &[&Proposal],
    by: &str,
    progress: Progress<'_>,
) -> Taken {
    let today = adapted.on;
    let mut case = case.clone();
    if adapted.adaptation.whole == Whole::Stop {
        return Taken { case, programme: None, no_longer: Vec::new() };
    }
    let mut exercises: Vec<Draft> = programme.exercises.iter().map(Draft::of).collect();
    let mut plan_anew = false;
    for change in accepted.iter().flat_map(|proposal| &proposal.changes) {
        match change {
            Change::Movement { exercise, was, is } => {
                exercises.get_mut(*exercise).into_iter().for_each(|one| one.replace(was, Some(is)));
            }
            Change::Out { exercise, was } => {
                exercises.get_mut(*exercise).into_iter().for_each(|one| one.replace(was, None));
            }
            Change::In { exercise, is } => {
                exercises.get_mut(*exercise).into_iter().for_each(|one| one.movements.push((**is).clone()));
            }
            Change::Repetitions { exercise, to } => {
                exercises.get_mut(*exercise).into_iter().for_each(|one| one.like.dose.repetitions = *to);
            }
            Change::Pace { exercise, to } => exercises.get_mut(*exercise).into_iter().for_each(|one| {
                one.chosen = Some(*to);
                one.like.tempo = *to;
            }),
            Change::Hurt { .. } => {}
            Change::Fewer { mover, bearing, family, keep } => {
                back::fewer(&mut case, (*mover, *bearing, *family), *keep);
            }
            Change::PlanUpTo { level } => {
                plan_anew = true;
                case.findings.orders.push(SurgeonOrder {
                    limit: OrderedLimit::LevelAtMost(*level),
                    side: None,
                    by: by.to_owned(),
                    known: HowKnown::SpokenToTeam,
                    from: today,
                    until: today.checked_add(i64::from(figures().use_for_days).days()).ok(),
                });
            }
            Change::PlanAgain => plan_anew = true,
        }
    }
    case.findings.hurt.extend(written_down(accepted));
    let hurts = |spec: &MovementSpec| case.findings.hurt.iter().any(|one| counts_for(one, spec));
    let all = programme.exercises.iter().flat_map(Exercise::movements).map(|one| one.spec());
    let told = adapted.adaptation.cells.iter().zip(all);
    // What nobody did was not tolerated, and what hurt was not, whether the note of it was accepted or declined.
    let done = told.filter(|(cell, spec)| cell.done > 0 && cell.hurt == 0 && !hurts(spec));
    case.last_programme.tolerated =
        done.map(|(_, spec)| MovementSpec { place: None, ..spec.clone() }).collect();
    if plan_anew {
        let (programme, no_longer) = match plan_case(&case, today, progress) {
            Outcome::Programme(plan) => (Some(plan.programme), Vec::new()),
            Outcome::NoProgramme(_) | Outcome::Alert(_) => (None, Vec::new()),
        };
        return Taken { case, programme, no_longer };
    }
    let (programme, no_longer) = permitted(&case, today, programme, exercises);
    Taken { case, programme, no_longer }
}

/// A direction of a limb in one family of movements.
type Way = (Side, Bearing, Option<Family>);

/// What hurt, of every direction and family once: two exercises that share them tell of the same, the longer list
/// counts.
fn written_down(accepted: &[&Proposal]) -> Vec<HurtAt> {
    let mut out: BTreeMap<Way, Vec<HurtAt>> = BTreeMap::new();
    for proposal in accepted {
        let mut told: BTreeMap<Way, Vec<HurtAt>> = BTreeMap::new();
        for change in &proposal.changes {
            if let Change::Hurt { entry } = change {
                let way = (entry.mover, entry.bearing, entry.family);
                told.entry(way).or_default().push(entry.clone());
            }
        }
        for (way, entries) in told {
            let there = out.entry(way).or_default();
            if entries.len() > there.len() {
                *there = entries;
            }
        }
    }
    out.into_values().flatten().collect()
}

/// An exercise on its way to be permitted again.
struct Draft {
    /// Whether it came out of another exercise, because it is held otherwise now.
    split: bool,
    /// The pace that was chosen for it by hand or by an accepted proposal.
    chosen: Option<Tempo>,
    like: Exercise,
    movements: Vec<MovementSpec>,
}

impl Draft {
    fn of(exercise: &Exercise) -> Self {
        let movements = exercise.movements().map(|one| one.spec().clone()).collect();
        let chosen = exercise.movements().find_map(|one| one.chosen);
        Self { split: false, chosen, like: exercise.clone(), movements }
    }

    fn replace(&mut self, was: &MovementSpec, is: Option<&MovementSpec>) {
        let Some(at) = self.movements.iter().position(|one| one == was) else { return };
        match is {
            Some(is) => self.movements[at] = is.clone(),
            None => {
                self.movements.remove(at);
            }
        }
    }
}

/// The drafts sorted by what is one exercise to somebody who does it: what is held otherwise now goes to another.
fn regrouped(drafts: Vec<Draft>) -> Vec<Draft> {
    let mut out: Vec<Draft> = Vec::new();
    for draft in drafts {
        let first = out.len();
        for spec in draft.movements {
            let same =
                |one: &&mut Draft| one.movements.first().is_some_and(|other| same_exercise(other, &spec));
            // An exercise of its own first: what is left of it may be alike another.
            let (before, own) = out.split_at_mut(first);
            match own.iter_mut().find(same).or_else(|| before.iter_mut().find(|one| same(one))) {
                Some(there) => there.movements.push(spec),
                None => {
                    let split = (spec.support, spec.place) != (draft.like.support, draft.like.place);
                    let (chosen, like) = (draft.chosen, draft.like.clone());
                    out.push(Draft { split, chosen, like, movements: vec![spec] });
                }
            }
        }
    }
    out
}

/// What is permitted today of what was accepted, as a programme; the smallest exercises go where there are too many.
fn permitted(
    case: &CaseFile,
    today: Date,
    programme: &Programme,
    drafts: Vec<Draft>,
) -> (Option<Programme>, Vec<NoLonger>) {
    let person = PersonToday::of(case, today);
    let engine = Engine { body: &person.body, capacity: &person.capacity };
    let mut no_longer = Vec::new();
    let mut drafts = regrouped(drafts);
    while drafts.len() > usize::from(figures().exercises_at_most.min(case.wishes.exercises)) {
        // What is held otherwise now goes first, because it hurt; then the smallest.
        let smallest = (0..drafts.len()).rev();
        let smallest =
            smallest.min_by_key(|at| (!drafts[*at].split, drafts[*at].movements.len())).unwrap_or(0);
        let gone = drafts.remove(smallest);
        no_longer.extend(gone.movements.iter().map(|spec| NoLonger {
            exercise: smallest + 1,
            sentence: spec.sentence(),
            because: "it needs an exercise of its own now, and there is no room for one".to_owned(),
        }));
    }
    let mut exercises = Vec::new();
    for (at, Draft { like, chosen, movements, .. }) in drafts.into_iter().enumerate() {
        let mut limbs: Vec<LimbPart> = Vec::new();
        for spec in movements {
            // The same direction of this limb hurt in another exercise: it goes less far here as well.
            let hurts = person.allowed.times_hurt(&spec) > 0;
            let found = permit(&person, &engine, &spec, None).or_else(|because| {
                let shorter =
                    less::shorter(&person, &spec).filter(|_| hurts).filter(|one| same_exercise(one, &spec));
                shorter.and_then(|one| permit(&person, &engine, &one, None).ok()).ok_or(because)
            });
            match found {
                Ok(found) => {
                    let one = ExerciseMovement { permitted: found.permitted, chosen };
                    match limbs.iter_mut().find(|limb| limb.mover == spec.mover) {
                        Some(limb) => limb.movements.push(one),
                        None => limbs.push(LimbPart { mover: spec.mover, movements: vec![one] }),
                    }
                }
                Err(mut because) => {
                    let old = lapsed::closes(&person, programme.for_day, &spec);
                    if !old.is_empty() {
                        because = format!("{because} {}", Lapsed::words(&old));
                    }
                    no_longer.push(NoLonger { exercise: at + 1, sentence: spec.sentence(), because });
                }
            }
        }
        limbs.sort_by_key(|limb| limb.mover == Side::Right);
        let Some(first) = limbs.first().and_then(|limb| limb.movements.first()).map(|one| one.spec().clone())
        else {
            continue;
        };
        exercises.push(Exercise {
            support: first.support,
            place: first.place,
            load: first.load,
            depth: first.depth,
            hand_height: first.hand_height,
            minutes: time(&limbs, like.dose),
            limbs,
            ..like
        });
    }
    if exercises.is_empty() {
        return (None, no_longer);
    }
    let minutes = Span::s(exercises.iter().map(|one| one.minutes.in_s()).sum());
    let use_until = today.checked_add(i64::from(figures().use_for_days).days()).unwrap_or(today);
    let next = Programme {
        exercises,
        minutes,
        for_day: today,
        use_until,
        why: vec![format!("What was accepted on {today} of the programme of {}.", programme.for_day)],
        tasks: Vec::new(),
        notes: programme.notes.clone(),
        dropped: Vec::new(),
        in_place: Vec::new(),
        score: 0.0,
    };
    let next = match last_day(case, &person, &next) {
        Some((last, why)) => next.not_beyond(last, &why),
        None => next,
    };
    (Some(next), no_longer)
}
