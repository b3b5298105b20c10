//! Arrow 7: from candidates, wishes and limits to a programme.

use anatomy::{MuscleGroup, PerSide, Side};
use jiff::ToSpan;
use jiff::civil::Date;
use movement::{Dose, Family, Load, Support, Tempo};
use person::{Goal, GoalKind, Wishes};
use quantity::Span;

use crate::choose::{Best, Terms, choose};
use crate::conflict::conflict;
use crate::distance::{dropped, floor_needed, name};
use crate::facts::{Facts, counts, facts};
use crate::in_place::{Draft, Held, fill};
use crate::option::{Choice, Group, choices, groups, with_tasks, without_beaten};
use crate::task::TaskTable;
use crate::trade::trade;
use crate::words::{self, Rank};
use crate::{
    Candidate, Days, Dropped, Exercise, ExerciseMovement, Figures, LimbPart, Limits, NoProgramme, Offer,
    Programme, Proof, Proposal, Strong, Taken, TaskAsked, TaskCovered, Trained, figures, tempo_of,
};

/// How the sentence begins that says how long a programme may be used.
const UNTIL: &str = "It may be used until";

/// Chooses at most three exercises; the objective is stated in `choose.rs`, what a movement gives
/// a goal in `facts.rs`.
///
/// Candidates are prescribed at the distance they come with (see [`crate::prescribed_distance`]);
/// those that do not fit the home are dropped with a reason. The same input gives the same
/// programme, and the mirrored person the mirrored programme.
///
/// `tasks` says what each task among the goals asks of this body; a task goal without it, and a
/// candidate without [`Candidate::profile`], count as nothing covered.
///
/// # Errors
/// When no candidate fits, or none serves a goal: says what is missing.
pub fn plan(
    candidates: &[Candidate],
    wishes: &Wishes,
    tasks: &[TaskAsked],
    limits: &Limits,
) -> Result<Programme, NoProgramme> {
    let mut offer = propose(candidates, wishes, tasks, limits, 1)?;
    Ok(offer.programmes.swap_remove(0).programme)
}

/// As [`plan`], with up to `wanted` distinct programmes (three at most), the best first: what each
/// gives every goal, what it trades away, whether the order is proven, and which wishes could be
/// dropped when no programme serves all of them.
///
/// # Errors
/// As [`plan`].
pub fn propose(
    candidates: &[Candidate],
    wishes: &Wishes,
    tasks: &[TaskAsked],
    limits: &Limits,
    wanted: usize,
) -> Result<Offer, NoProgramme> {
    propose_around(candidates, &Held::default(), (wishes, tasks), limits, wanted)
}

/// As [`propose`], for somebody in whom directions are left out because they hurt: says what takes the
/// place of each and, where there is time, puts it there (see `in_place.rs`).
///
/// # Errors
/// As [`plan`].
pub fn propose_around(
    candidates: &[Candidate],
    held: &Held,
    (wishes, tasks): (&Wishes, &[TaskAsked]),
    limits: &Limits,
    wanted: usize,
) -> Result<Offer, NoProgramme> {
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
        .filter(|candidate| match fits(candidate, limits, figures) {
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
    let goals: Vec<Goal> = wishes.goals.iter().filter(|goal| goal.weight > 0.0).cloned().collect();
    let kinds: Vec<GoalKind> = goals.iter().map(|goal| goal.kind.clone()).collect();
    let weights: Vec<f64> = goals.iter().map(|goal| goal.weight).collect();
    let facts = facts(&fitting, &goals, limits);
    let asked: Vec<Option<&TaskAsked>> = kinds.iter().map(|kind| asked_by(kind, tasks)).collect();
    let tables: Vec<_> = asked.iter().map(|asked| Some(table(asked.as_ref()?, &fitting, limits))).collect();
    let groups = with_tasks(groups(&facts), &tables, figures);
    let asked: Vec<&TaskAsked> = asked.into_iter().flatten().collect();
    let all = all_choices(&groups, &facts, &kinds, limits, figures);
    let muscle_groups: Vec<MuscleGroup> = kinds
        .iter()
        .filter_map(|kind| if let GoalKind::Strength { group } = kind { Some(*group) } else { None })
        .collect();
    let terms = terms(&weights, wishes, limits, figures, wanted.clamp(1, 3));
    let filled = |best: &Best| {
        let mut drafts: Vec<Draft> =
            best.chosen.iter().map(|choice| draft(choice, &groups[choice.group])).collect();
        let left = terms.time_s - best.seconds;
        let filled = fill(&mut drafts, held, &muscle_groups, &fitting, left, figures);
        (drafts, filled)
    };
    let mut found = choose(&all, terms);
    // The best programme seldom leaves time: where a substitute has a place in it and no time, the best
    // of those that leave as much is taken, if it has the place as well.
    let mut kept_free = None;
    let lacking_s = found.best.first().map_or(0.0, |best| filled(best).1.lacking_s);
    if lacking_s > 0.0 && lacking_s < terms.time_s {
        let shorter = choose(&all, Terms { time_s: terms.time_s - lacking_s, ..terms });
        let placed = |best: &Best| filled(best).1.in_place.iter().any(|p| p.taken == Taken::Placed);
        if shorter.best.first().is_some_and(placed) {
            found = shorter;
            kept_free = Some(Span::s(lacking_s));
        }
    }
    // Whether more time would do is asked of choices that take more time.
    let conflict = conflict(&all, &goals, terms, figures).and_then(|_| {
        let longest = Limits { minutes: figures.minutes_at_most, ..limits.clone() };
        let longer = all_choices(&groups, &facts, &kinds, &longest, figures);
        conflict(&longer, &goals, terms, figures)
    });
    if found.best.is_empty() {
        let time = limits.minutes.min(wishes.minutes).in_min();
        let mut missing = vec![format!(
            "nothing that is permitted today serves a stated goal within {time:.1} minutes; add a goal or time"
        )];
        missing.extend(conflict.map(|c| c.to_string()));
        missing.extend(asked.iter().flat_map(|asked| asked.impossible()));
        return Err(NoProgramme { missing });
    }
    let use_until = use_until(limits, figures);
    let until = format!("{UNTIL} {use_until}; after that, call before going further.");
    let compared = trade(&found.best, &goals, figures);
    let programmes = found
        .best
        .iter()
        .zip(compared)
        .enumerate()
        .map(|(place, (best, (gives, trades)))| {
            let (drafts, filled) = filled(best);
            let in_place = filled.in_place;
            let more: f64 =
                drafts.iter().zip(&best.chosen).map(|(draft, choice)| draft.seconds - choice.seconds).sum();
            let mut exercises: Vec<(u8, Exercise)> = best
                .chosen
                .iter()
                .zip(&drafts)
                .map(|(choice, draft)| {
                    let level = facts[draft.example].level;
                    (level, exercise(choice, draft, &fitting, (&kinds, tasks), (wishes, limits), figures))
                })
                .collect();
            exercises.sort_by_key(|(level, e)| (*level, e.family));
            let exercises: Vec<Exercise> = exercises.into_iter().map(|(_, e)| e).collect();
            let minutes = Span::s(best.seconds + more);
            let rank = if place > 0 {
                Rank::Other
            } else if found.proven || found.best_is_proven() {
                Rank::Best
            } else {
                Rank::Unproven
            };
            let used = drafts.iter().flat_map(|draft| used(draft, &fitting));
            let set = words::profiles(&used.collect::<Vec<_>>());
            let covered: Vec<TaskCovered> = asked.iter().map(|asked| asked.covered(&set)).collect();
            let mut notes = words::notes(&exercises, &in_place, (minutes, wishes), limits, figures);
            notes.extend(asked.iter().flat_map(|asked| asked.impossible()));
            let programme = Programme {
                why: words::why(&exercises, (minutes, kept_free), (&goals, &covered), &until, rank),
                tasks: covered,
                notes,
                exercises,
                in_place,
                minutes,
                for_day: limits.for_day,
                use_until,
                dropped: left_out.clone(),
                score: best.score,
            };
            Proposal { programme, gives, trades }
        })
        .collect();
    let proof = if found.proven {
        Proof::Proven
    } else {
        Proof::Stopped { none_better_than: found.bound, gap: found.bound - found.best[0].score }
    };
    Ok(Offer { programmes, proof, nodes: found.nodes, conflict })
}

/// What each candidate covers of a task, and counts.
fn table(asked: &TaskAsked, candidates: &[Candidate], limits: &Limits) -> TaskTable {
    asked.table(candidates.iter().map(|candidate| {
        let own_way = asked.goes_its_way(candidate.permitted.spec());
        (candidate.profile.as_ref(), counts(candidate, own_way, limits))
    }))
}

fn asked_by<'a>(goal: &GoalKind, tasks: &'a [TaskAsked]) -> Option<&'a TaskAsked> {
    match goal {
        GoalKind::Task { task } => tasks.iter().find(|asked| asked.task == *task),
        _ => None,
    }
}

/// The movements of an exercise, left limb first, each limb from straight ahead on: what is in sight goes
/// before what is behind, also where the arc runs past straight back.
fn used<'a>(draft: &Draft, candidates: &'a [Candidate]) -> Vec<&'a Candidate> {
    let mut used: Vec<&Candidate> =
        Side::BOTH.into_iter().flat_map(|side| draft.limbs.get(side)).map(|k| &candidates[*k]).collect();
    used.sort_by_key(|candidate| {
        let spec = candidate.permitted.spec();
        (spec.mover, spec.bearing.named_from(spec.mover), spec.crossing)
    });
    used
}

/// Every choice of every group that fits the time.
pub(crate) fn all_choices(
    groups: &[Group],
    facts: &[Facts],
    kinds: &[GoalKind],
    limits: &Limits,
    figures: &Figures,
) -> Vec<Choice> {
    groups
        .iter()
        .enumerate()
        .flat_map(|(index, group)| {
            without_beaten(for_both(choices(index, group, facts, kinds, limits, figures), group))
        })
        .collect()
}

/// Same work on the other limb: where some choice of a group has something for each limb to do, one that
/// leaves a limb out is none.
pub(crate) fn for_both(choices: Vec<Choice>, group: &Group) -> Vec<Choice> {
    let both = |choice: &Choice| {
        Side::BOTH
            .into_iter()
            .all(|side| choice.units.iter().any(|unit| group.units[*unit].limbs.get(side).is_some()))
    };
    let some = choices.iter().any(both);
    choices.into_iter().filter(|choice| !some || both(choice)).collect()
}

/// What the search is asked.
pub(crate) fn terms<'a>(
    weights: &'a [f64],
    wishes: &Wishes,
    limits: &Limits,
    figures: &Figures,
    wanted: usize,
) -> Terms<'a> {
    Terms {
        weights,
        again: figures.second_exercise_counts,
        change_s: figures.change_exercise.in_s(),
        time_s: limits.minutes.min(wishes.minutes).in_s(),
        most: usize::from(limits.exercises.min(wishes.exercises).min(figures.exercises_at_most)),
        wanted,
        budget: figures.nodes_at_most,
    }
}

/// Whether a movement fits the floor, what is at home, the ceiling of demand and the days between
/// impacts.
fn fits(candidate: &Candidate, limits: &Limits, figures: &Figures) -> Result<(), Dropped> {
    let spec = candidate.permitted.spec();
    if let Some(last) = limits.last_impact
        && spec.family.is_airborne()
    {
        let rested = rested(last, figures);
        if limits.for_day < rested {
            return Err(dropped(
                spec,
                format!(
                    "the {} waits until {rested}: leaps, jumps or hops were done on {last}, and {} days lie from one such day to the next",
                    name(spec),
                    figures.days_between_impacts
                ),
            ));
        }
    }
    let hardest = Side::BOTH
        .iter()
        .flat_map(|side| candidate.demands.leg(*side))
        .filter_map(|(_, demand)| demand.share())
        .fold(quantity::Share::ZERO, quantity::Share::max);
    if hardest > limits.demand_at_most {
        return Err(dropped(
            spec,
            format!(
                "the {} asks about {:.0} % of capacity, an estimate, more than the {:.0} % that is given for home",
                name(spec),
                hardest.in_percent().ceil(),
                limits.demand_at_most.in_percent()
            ),
        ));
    }
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

/// The candidates of a choice, limb by limb.
fn draft(choice: &Choice, group: &Group) -> Draft {
    Draft {
        example: group.example,
        limbs: PerSide::from_fn(|side| {
            choice.units.iter().filter_map(|u| *group.units[*u].limbs.get(side)).collect()
        }),
        times: (f64::from(choice.repetitions) * f64::from(choice.rounds), f64::from(choice.rounds)),
        seconds: choice.seconds,
    }
}

fn exercise(
    choice: &Choice,
    draft: &Draft,
    candidates: &[Candidate],
    (goals, tasks): (&[GoalKind], &[TaskAsked]),
    (wishes, limits): (&Wishes, &Limits),
    figures: &Figures,
) -> Exercise {
    let spec = candidates[draft.example].permitted.spec();
    let used = used(draft, candidates);
    let of_side = |side: Side| used.iter().filter(move |c| c.permitted.spec().mover == side);
    let limbs: Vec<LimbPart> = Side::BOTH
        .into_iter()
        .filter_map(|mover| {
            let movements: Vec<ExerciseMovement> = of_side(mover)
                .map(|c| ExerciseMovement { permitted: c.permitted.clone(), chosen: None })
                .collect();
            (!movements.is_empty()).then_some(LimbPart { mover, movements })
        })
        .collect();
    let trains = words::trains(&used, goals, tasks, figures);
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
            // Two sessions of one day would be closer than the days between impacts.
            per_day: if spec.family.is_airborne() { 1 } else { wishes.per_day },
        },
        tempo: tempo(&used, figures),
        minutes: Span::s(draft.seconds),
        days: days(spec.family, &trains),
        trains,
        why,
    }
}

/// The usual tempo, unless every movement is done slower.
fn tempo(used: &[&Candidate], figures: &Figures) -> Tempo {
    let mut all = used.iter().map(|c| tempo_of(c.permitted.notes()));
    match all.next() {
        Some(first) if all.all(|other| other == first) => first,
        _ => figures.tempo,
    }
}

/// Jumps and hops on alternate days; what is called strength on two or three days a week.
fn days(family: Family, trains: &[Trained]) -> Days {
    let strength = trains.iter().any(|t| matches!(t, Trained::Muscles { strong: Strong::Strength, .. }));
    match (family.is_airborne(), strength) {
        (true, _) => Days::Alternate,
        (false, true) => Days::TwoOrThreeApart,
        (false, false) => Days::Every,
    }
}

/// The first day after `last` on which leaps, jumps and hops may be done again.
pub(crate) fn rested(last: Date, figures: &Figures) -> Date {
    last.checked_add(i64::from(figures.days_between_impacts).days()).unwrap_or(last)
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
            self.why.retain(|why| !why.starts_with(UNTIL));
            self.why.push(format!(
                "{UNTIL} {}; after that, call before going further. From then on it is needed again that {needed}.",
                self.use_until
            ));
        }
        self
    }
}
