//! Arrow 7: from candidates, wishes and limits to a programme.

use std::collections::BTreeMap;

use anatomy::Side;
use jiff::ToSpan;
use jiff::civil::Date;
use movement::{Dose, Family, Load, Support};
use person::{GoalKind, Wishes};
use quantity::Span;

use crate::choose::choose;
use crate::distance::{dropped, floor_needed, name};
use crate::facts::{Facts, facts};
use crate::option::{Choice, Group, choices, groups, without_beaten};
use crate::words;
use crate::{
    Candidate, Dropped, Exercise, ExerciseMovement, Figures, LimbPart, Limits, NoProgramme, Programme,
    figures,
};

/// Chooses at most three exercises; the objective is stated in `choose.rs`, what a movement gives
/// a goal in `facts.rs`.
///
/// Candidates are prescribed at the distance they come with (see [`crate::prescribed_distance`]);
/// those that do not fit the home are dropped with a reason. The same input gives the same
/// programme, and the mirrored person the mirrored programme.
///
/// # Errors
/// When no candidate fits, or none serves a goal: says what is missing.
pub fn plan(candidates: &[Candidate], wishes: &Wishes, limits: &Limits) -> Result<Programme, NoProgramme> {
    let figures = figures();
    let mut missing = Vec::new();
    if wishes.goals.iter().all(|goal| goal.weight <= 0.0) {
        missing.push("state at least one goal with a weight above zero".to_owned());
    }
    if candidates.is_empty() {
        missing
            .push("no movement is permitted today; the movement space names what closes each one".to_owned());
    }
    let mut left_out = Vec::new();
    let fitting: Vec<Candidate> = candidates
        .iter()
        .filter(|candidate| match fits_home(candidate, limits) {
            Ok(()) => candidate.permitted.valid_on() == limits.for_day,
            Err(reason) => {
                left_out.push(reason);
                false
            }
        })
        .cloned()
        .collect();
    if fitting.is_empty() && !candidates.is_empty() {
        missing.push("movements are permitted today, but none fits the home".to_owned());
        missing.extend(left_out.iter().take(3).map(|d| d.reason.clone()));
    }
    if !missing.is_empty() {
        return Err(NoProgramme { missing });
    }
    let goals: Vec<_> = wishes.goals.iter().filter(|goal| goal.weight > 0.0).cloned().collect();
    let kinds: Vec<GoalKind> = goals.iter().map(|goal| goal.kind.clone()).collect();
    let weights: Vec<f64> = goals.iter().map(|goal| goal.weight).collect();
    let facts = facts(&fitting, &goals);
    let groups = groups(&facts);
    let best = best_of(&groups, &facts, &kinds, &weights, wishes, limits, figures);
    if best.chosen.is_empty() {
        let time = limits.minutes.min(wishes.minutes).in_min();
        return Err(NoProgramme {
            missing: vec![format!(
                "nothing that is permitted today serves a stated goal within {time:.1} minutes; add a goal or time"
            )],
        });
    }
    let mut exercises: Vec<(u8, Exercise)> = best
        .chosen
        .iter()
        .map(|choice| {
            let level = facts[groups[choice.group].example].level;
            (level, exercise(choice, &groups[choice.group], &fitting, &kinds, (wishes, limits), figures))
        })
        .collect();
    exercises.sort_by_key(|(level, e)| (*level, e.family));
    let exercises: Vec<Exercise> = exercises.into_iter().map(|(_, e)| e).collect();
    let minutes = Span::s(best.seconds);
    let use_until = use_until(limits, figures);
    let until = format!("It may be used until {use_until}; after that, call before going further.");
    let per_day = wishes.per_day;
    Ok(Programme {
        why: words::why(&exercises, minutes, &goals, &until),
        notes: words::notes(&exercises, minutes, per_day, limits, figures),
        exercises,
        minutes,
        for_day: limits.for_day,
        use_until,
        dropped: left_out,
        score: best.score,
    })
}

pub(crate) fn best_of(
    groups: &[Group],
    facts: &[Facts],
    kinds: &[GoalKind],
    weights: &[f64],
    wishes: &Wishes,
    limits: &Limits,
    figures: &Figures,
) -> crate::choose::Best {
    let time = limits.minutes.min(wishes.minutes);
    let limits = Limits { minutes: time, ..limits.clone() };
    let mut by_family: BTreeMap<Family, Vec<Choice>> = BTreeMap::new();
    for (index, group) in groups.iter().enumerate() {
        let family = facts[group.example].spec.family;
        let of_group = choices(index, group, facts, kinds, &limits, figures);
        by_family.entry(family).or_default().extend(without_beaten(of_group));
    }
    let families: Vec<Vec<Choice>> = by_family.into_values().map(without_beaten).collect();
    let most = limits.exercises.min(wishes.exercises).min(figures.exercises_at_most);
    choose(
        &families,
        weights,
        figures.second_exercise_counts,
        figures.change_exercise.in_s(),
        time.in_s(),
        usize::from(most),
    )
}

/// Whether a movement fits the floor and what is at home.
fn fits_home(candidate: &Candidate, limits: &Limits) -> Result<(), Dropped> {
    let spec = candidate.permitted.spec();
    let floor = limits.clear(spec.bearing).length();
    if floor_needed(candidate.permitted.motion()).in_mm().floor() > floor.in_mm().floor() {
        return Err(dropped(
            spec,
            format!("the {} needs more than the {floor} of clear floor at home", name(spec)),
        ));
    }
    if spec.support != Support::None {
        match spec.place {
            Some(place) if limits.supports.contains(&place.kind) => {}
            Some(place) => {
                let kind = place.kind.name();
                return Err(dropped(
                    spec,
                    format!("the {} needs a {kind}, and none is noted at home", name(spec)),
                ));
            }
            None => {
                return Err(dropped(
                    spec,
                    format!("the {} needs something to hold, and none is named", name(spec)),
                ));
            }
        }
    }
    if let Load::HandWeights { each } = spec.load {
        let has = limits.hand_weights.iter().any(|w| (w.in_kg() - each.in_kg()).abs() < 0.05);
        if !has {
            return Err(dropped(
                spec,
                format!("the {} needs two weights of {each}, and none are noted at home", name(spec)),
            ));
        }
    }
    Ok(())
}

fn exercise(
    choice: &Choice,
    group: &Group,
    candidates: &[Candidate],
    goals: &[GoalKind],
    (wishes, limits): (&Wishes, &Limits),
    figures: &Figures,
) -> Exercise {
    let spec = candidates[group.example].permitted.spec();
    let of_side = |side: Side| -> Vec<&Candidate> {
        choice.units.iter().filter_map(|u| *group.units[*u].limbs.get(side)).map(|k| &candidates[k]).collect()
    };
    let limbs: Vec<LimbPart> = Side::BOTH
        .into_iter()
        .filter_map(|mover| {
            let movements: Vec<ExerciseMovement> = of_side(mover)
                .into_iter()
                .map(|c| ExerciseMovement { permitted: c.permitted.clone() })
                .collect();
            (!movements.is_empty()).then_some(LimbPart { mover, movements })
        })
        .collect();
    let used: Vec<&Candidate> = Side::BOTH.into_iter().flat_map(of_side).collect();
    let trains = words::trains(&used, goals, figures);
    let why = words::exercise_why(&used, &trains, limits);
    Exercise {
        family: spec.family,
        support: spec.support,
        place: spec.place,
        load: spec.load,
        depth: spec.depth,
        hand_height: spec.hand_height,
        limbs,
        dose: Dose {
            repetitions: choice.repetitions,
            rounds: choice.rounds,
            rest: figures.rest,
            per_day: wishes.per_day,
        },
        tempo: figures.tempo,
        minutes: Span::s(choice.seconds),
        trains,
        why,
    }
}

/// The last day of use: the named number of days after the first.
fn use_until(limits: &Limits, figures: &Figures) -> Date {
    limits.for_day.checked_add(i64::from(figures.use_for_days).days()).unwrap_or(limits.for_day)
}

impl Programme {
    /// The same programme, to be used no longer than `last`: the last day on which everything that
    /// permitted it still holds. `needed` says what must hold again then.
    #[must_use]
    pub fn not_beyond(mut self, last: Date, needed: &str) -> Self {
        if last < self.use_until {
            self.use_until = last.max(self.for_day);
            self.why.pop();
            self.why.push(format!(
                "It may be used until {}; after that, call before going further. From then on it is needed again that {needed}.",
                self.use_until
            ));
        }
        self
    }
}
