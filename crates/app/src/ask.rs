//! What to ask next about one case: the movements that serve the goals, and what each answer could open.

use std::sync::atomic::{AtomicUsize, Ordering};

use anatomy::Side;
use biomech::Profile;
use jiff::civil::Date;
use movement::{AnatomicalDirection, Family, MovementSpec, Support};
use person::{CaseFile, Goal, GoalKind};
use programme::TaskAsked;
use safety::{Alert, Computed, Engine, Movements, Question, Questions, Setup, questions, rays};
use serde::Serialize;

use crate::progress::Shown;
use crate::survey::{FREE, choices, on_all_cores, try_on_all_cores};
use crate::{Part, PersonToday, Watch, tasks};

/// What to ask about one person on one day.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Asked {
    /// The person.
    pub person: String,
    /// Whether the person is invented.
    pub invented: bool,
    /// The day.
    pub on: Date,
    /// The alert: then nothing is asked.
    pub alert: Option<Alert>,
    /// What to ask, the most useful first; `None` under an alert.
    pub questions: Option<Questions>,
}

/// The questions of one case. Movements are those of the grounded families, free and held, at the two
/// distances of `reference/planner.toml`, that serve a goal; all of them where no goal was stated.
#[must_use]
pub fn ask_case(case: &CaseFile, today: Date) -> Asked {
    let Ok(asked) = ask_watched(case, today, &Shown(&crate::silent));
    asked
}

/// As [`ask_case`], for somebody who may stop it.
///
/// # Errors
/// It was stopped.
pub fn ask_watched<W: Watch>(case: &CaseFile, today: Date, watch: &W) -> Result<Asked, W::Stop> {
    let person = PersonToday::of(case, today);
    let alert = person.allowed.alert().cloned();
    let asked = |questions| Asked {
        person: case.person.name.clone(),
        invented: case.invented,
        on: today,
        alert: alert.clone(),
        questions,
    };
    if alert.is_some() {
        return Ok(asked(None));
    }
    let candidates = computed(&person, case, watch)?;
    let goals: &[Goal] = &case.wishes.goals;
    let figures: Vec<Vec<Option<f64>>> = figures(&person, goals, &candidates);
    let medians: Vec<Option<f64>> = figures.iter().map(|of_goal| median(of_goal)).collect();
    let serves = |k: usize| {
        goals.is_empty()
            || figures.iter().zip(&medians).any(|(of_goal, median)| match (of_goal[k], median) {
                (Some(figure), Some(median)) => figure > *median - 1e-9,
                _ => false,
            })
    };
    let wished: Vec<(MovementSpec, Option<&Computed>)> = candidates
        .iter()
        .enumerate()
        .filter(|(k, _)| serves(*k))
        .map(|(_, (spec, computed))| (spec.clone(), Some(computed.as_ref())))
        .collect();
    Ok(asked(Some(questions(&case.findings, &case.clinic.tables, &person.body, today, &wished))))
}

type Candidate = (MovementSpec, std::sync::Arc<Computed>);

/// The movements that are tried, with their postures; those the body cannot do are left out.
fn computed<W: Watch>(
    person: &PersonToday<'_>,
    case: &CaseFile,
    watch: &W,
) -> Result<Vec<Candidate>, W::Stop> {
    let specs = tried(person, case, false);
    let engine = Engine { body: &person.body, capacity: &person.capacity };
    let (done, of) = (AtomicUsize::new(0), specs.len());
    let found = try_on_all_cores(&specs, |spec| {
        let computed = engine.near(spec, None);
        watch.on(Part::Movements { done: done.fetch_add(1, Ordering::Relaxed) + 1, of })?;
        Ok(computed)
    })?;
    Ok(specs.into_iter().zip(found).filter_map(|(spec, computed)| Some((spec, computed?))).collect())
}

/// The movements that are tried: the grounded families, free and held, at the two distances of
/// `reference/planner.toml`, turning on the standing foot only where it is asked for.
pub(crate) fn tried(person: &PersonToday<'_>, case: &CaseFile, turning: bool) -> Vec<MovementSpec> {
    let stature = case.person.body.stature();
    let held = person
        .limits()
        .supports
        .first()
        .and_then(|kind| movement::Place::usual(*kind, stature).into_iter().next());
    let mut setups = vec![FREE];
    setups.extend(held.map(|place| Setup { support: Support::BothHands, place: Some(place) }));
    let mut choices = choices(person, setups);
    choices.pivoting = turning;
    choices.depths.truncate(1);
    let distances = programme::figures().asked_distances;
    rays(&choices)
        .into_iter()
        .flat_map(|ray| distances.map(|share| ray.at(person.body.leg_length(ray.mover).times(share))))
        .collect()
}

/// By goal and candidate, as [`figure`] says; for a task of the person's own, how much of it the
/// candidate covers.
fn figures(person: &PersonToday<'_>, goals: &[Goal], candidates: &[Candidate]) -> Vec<Vec<Option<f64>>> {
    let tasks = tasks::asked(person, goals);
    let profile = |(_, one): &Candidate| Profile::of(&person.body, &person.capacity, &one.motion);
    let profiles = if tasks.is_empty() { Vec::new() } else { on_all_cores(candidates, profile) };
    let of_task = |asked: &TaskAsked| {
        on_all_cores(&profiles, |one| {
            let covered = asked.covered(std::slice::from_ref(one)).covered.in_one();
            (covered > 0.0).then_some(covered)
        })
    };
    goals
        .iter()
        .map(|goal| match goal.kind {
            GoalKind::Task { task } => {
                tasks.iter().find(|asked| asked.task == task).map(of_task).unwrap_or_default()
            }
            _ => candidates.iter().map(|(spec, computed)| figure(goal, spec, computed)).collect(),
        })
        .collect()
}

/// How much a movement does for a goal, larger is more; `None` where it does nothing, and for a task.
fn figure(goal: &Goal, spec: &MovementSpec, computed: &Computed) -> Option<f64> {
    let most = |of: &dyn Fn(Side) -> f64| Side::BOTH.into_iter().map(of).fold(f64::NEG_INFINITY, f64::max);
    match &goal.kind {
        GoalKind::Strength { group } => {
            Some(most(&|side| computed.moments.peak(side, group.motion()).in_nm()))
        }
        GoalKind::Range { motion } => Some(most(&|side| {
            let frames = computed.motion.frames.iter();
            frames.map(|f| f.posture.excursion(side, *motion).in_deg()).fold(f64::NEG_INFINITY, f64::max)
        })),
        GoalKind::Control { direction } => {
            let goes: AnatomicalDirection = spec.bearing.named_from(spec.mover);
            (goes == *direction && spec.family != Family::BendAndReach).then_some(1.0)
        }
        GoalKind::Balance => Some(-computed.motion.least_balance().in_cm()),
        GoalKind::Task { .. } => None,
    }
}

fn median(of_goal: &[Option<f64>]) -> Option<f64> {
    let mut figures: Vec<f64> = of_goal.iter().flatten().copied().collect();
    figures.sort_by(f64::total_cmp);
    figures.get(figures.len() / 2).copied()
}

impl Asked {
    /// What to ask, line by line.
    #[must_use]
    pub fn text(&self) -> String {
        self.questions.as_ref().map_or_else(String::new, ToString::to_string)
    }

    /// The most useful questions.
    #[must_use]
    pub fn first(&self, how_many: usize) -> &[Question] {
        let all = self.questions.as_ref().map_or(&[][..], |q| q.questions.as_slice());
        all.get(..how_many).unwrap_or(all)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_person_whose_red_flags_were_not_asked_for_is_asked_that_first_and_one_with_an_alert_nothing() {
        let mut cases = crate::demo_cases().iter().map(|demo| demo.read().unwrap_or_else(|e| panic!("{e}")));
        let mut case = cases.next().unwrap_or_else(|| panic!("no case"));
        let today = crate::day_of(&case, None, case.visit);
        case.findings.red_flags = person::Finding::NotAssessed;
        let asked = ask_case(&case, today);
        assert_eq!(asked.first(1)[0].key, "red_flags");
        assert!(asked.first(1)[0].opens > 0, "{}", asked.text());
        let flagged = cases.next_back().unwrap_or_else(|| panic!("no last case"));
        let today = crate::day_of(&flagged, None, flagged.visit);
        let asked = ask_case(&flagged, today);
        assert!(asked.alert.is_some() && asked.questions.is_none());
    }
}
