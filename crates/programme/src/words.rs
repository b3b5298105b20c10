//! Reasons and notes in the words a therapist would use.

use anatomy::{MuscleGroup, Side};
use biomech::{Demand, Profile};
use movement::{AnatomicalDirection, Family, GoalTask, Support};
use person::{Goal, GoalKind, Wishes};
use quantity::{Angle, Share, Span};

use crate::facts::{excursion, near_end, was_tolerated};
use crate::plan::rested;
use crate::{
    Candidate, ClearFloor, Days, Exercise, Figures, InPlace, Limits, Strong, TaskAsked, TaskCovered, Trained,
};

/// What a set of movements trains: the goals it serves first, then the two hardest-working other groups.
pub(crate) fn trains(
    used: &[&Candidate],
    goals: &[GoalKind],
    tasks: &[TaskAsked],
    figures: &Figures,
) -> Vec<Trained> {
    let mut out: Vec<Trained> = Vec::new();
    for goal in goals {
        let one = match goal {
            GoalKind::Strength { group } => muscles(used, *group, figures),
            GoalKind::Range { motion } => range(used, *motion),
            GoalKind::Control { direction } => control(used, *direction),
            GoalKind::Balance => balance(used),
            GoalKind::Task { task } => of_task(used, *task, tasks, figures),
        };
        if let Some(one) = one.filter(|one| !out.contains(one)) {
            out.push(one);
        }
    }
    let named =
        |g: MuscleGroup| goals.iter().any(|k| matches!(k, GoalKind::Strength { group } if *group == g));
    let mut others: Vec<(f64, Trained)> = MuscleGroup::ALL
        .into_iter()
        .filter(|g| !named(*g))
        .filter_map(|g| match muscles(used, g, figures) {
            Some(trained @ Trained::Muscles { share: Some(share), .. }) => Some((share.in_one(), trained)),
            _ => None,
        })
        .collect();
    others.sort_by(|a, b| b.0.total_cmp(&a.0));
    out.extend(others.into_iter().take(2).map(|(_, trained)| trained));
    out
}

fn muscles(used: &[&Candidate], group: MuscleGroup, figures: &Figures) -> Option<Trained> {
    let motion = group.motion();
    let demands: Vec<(Side, Demand)> = used
        .iter()
        .flat_map(|c| Side::BOTH.map(|s| c.demands.of(s, motion).map(|d| (s, d))))
        .flatten()
        .collect();
    if demands.is_empty() {
        return None;
    }
    if demands.iter().any(|(_, d)| *d == Demand::Unknown) {
        return Some(Trained::Muscles { group, share: None, strong: Strong::Unknown });
    }
    let peak = |side: Side| {
        demands
            .iter()
            .filter(|(s, _)| *s == side)
            .filter_map(|(_, d)| d.share())
            .fold(0.0, |most: f64, share| most.max(share.in_one()))
    };
    let mean = (peak(Side::Left) + peak(Side::Right)) / 2.0;
    if mean < figures.smallest_share_named {
        return None;
    }
    let strong = if mean >= figures.strength_threshold { Strong::Strength } else { Strong::BelowThreshold };
    Some(Trained::Muscles { group, share: Some(Share::of_one(mean)), strong })
}

fn range(used: &[&Candidate], motion: anatomy::JointMotion) -> Option<Trained> {
    // Range is trained near the end of what is available; what stays short of it is not called so.
    if !used.iter().any(|c| Side::BOTH.iter().any(|s| near_end(c, *s, motion) > 0.0)) {
        return None;
    }
    let most = |side: Side| used.iter().map(|c| excursion(c, side, motion)).fold(0.0, f64::max);
    let mean = (most(Side::Left) + most(Side::Right)) / 2.0;
    (mean > 0.0).then(|| Trained::Range { motion, angle: Angle::deg(mean) })
}

fn control(used: &[&Candidate], direction: AnatomicalDirection) -> Option<Trained> {
    used.iter()
        .map(|c| c.permitted.spec())
        .any(|spec| spec.bearing.named_from(spec.mover) == direction)
        .then_some(Trained::Control { direction })
}

fn balance(used: &[&Candidate]) -> Option<Trained> {
    used.iter()
        .map(|c| c.permitted.motion().least_balance().in_cm())
        .reduce(f64::min)
        .map(|margin_cm| Trained::Balance { margin_cm })
}

fn of_task(used: &[&Candidate], task: GoalTask, tasks: &[TaskAsked], figures: &Figures) -> Option<Trained> {
    let asked = tasks.iter().find(|asked| asked.task == task)?;
    let covered = asked.covered(&profiles(used)).covered;
    (covered.in_one() >= figures.served_at_least).then_some(Trained::Task { task, covered })
}

/// The profiles of these movements.
pub(crate) fn profiles(used: &[&Candidate]) -> Vec<Profile> {
    used.iter().filter_map(|candidate| candidate.profile.clone()).collect()
}

/// To the nearest five, as estimates are told.
pub(crate) fn about(share: Share) -> f64 {
    (share.in_percent() / 5.0).round() * 5.0
}

impl std::fmt::Display for Trained {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Self::Muscles { group, share: Some(share), strong } => {
                let group = group.name();
                let percent = about(*share);
                let called = if *strong == Strong::Strength { "strength of" } else { "work for" };
                write!(f, "{called} the {group} (about {percent:.0} % of capacity, an estimate)")
            }
            Self::Muscles { group, share: None, .. } => {
                write!(f, "work for the {} (capacity not known)", group.name())
            }
            Self::Range { motion, angle } => write!(f, "{motion} to about {angle}"),
            Self::Control { direction } => write!(f, "control going {direction}"),
            Self::Task { task, covered } => {
                write!(f, "about {:.0} % of {} (an estimate)", about(*covered), task.name())
            }
            Self::Balance { .. } => f.write_str("balance"),
        }
    }
}

/// `a`, `a and b`, `a, b and c`.
pub(crate) fn list(parts: &[String]) -> String {
    match parts {
        [] => String::new(),
        [one] => one.clone(),
        [first @ .., last] => format!("{} and {last}", first.join(", ")),
    }
}

/// Two sentences: what it trains, and why these directions and distances.
pub(crate) fn exercise_why(used: &[&Candidate], trains: &[Trained], limits: &Limits) -> String {
    let what = list(&trains.iter().take(3).map(ToString::to_string).collect::<Vec<_>>());
    let of = |side: Side| -> Vec<AnatomicalDirection> {
        let mut all: Vec<AnatomicalDirection> = used
            .iter()
            .map(|c| c.permitted.spec())
            .filter(|s| s.mover == side)
            .map(movement::MovementSpec::direction)
            .collect();
        all.dedup();
        all
    };
    let (left, right) = (of(Side::Left), of(Side::Right));
    let names = |all: &[AnatomicalDirection]| list(&all.iter().map(ToString::to_string).collect::<Vec<_>>());
    let limb =
        if used.iter().any(|c| c.permitted.spec().family == Family::BendAndReach) { "hand" } else { "leg" };
    let reach = used.iter().any(|c| c.permitted.spec().family == Family::Reach);
    let from = if reach { "standing leg".to_owned() } else { format!("moving {limb}") };
    let who = if left == right {
        format!("Both {limb}s go {} (named from the {from})", names(&left))
    } else {
        let one = |side: &str, all: &[AnatomicalDirection]| {
            if all.is_empty() {
                format!("the {side} {limb} does none")
            } else {
                format!("the {side} {limb} goes {}", names(all))
            }
        };
        let text = format!("{}, {}", one("left", &left), one("right", &right));
        format!(
            "{} (named from the {from}); the rest is closed today or does not fit the home",
            capital(&text)
        )
    };
    let assumed =
        used.iter().any(|c| matches!(limits.clear(c.permitted.spec().bearing), ClearFloor::Assumed { .. }));
    let how_far = if assumed {
        "each to a comfortable distance that both gates passed, on a floor nobody measured"
    } else {
        "each to a comfortable distance that both gates passed and the clear floor holds"
    };
    let gives = if what.is_empty() { String::new() } else { format!("It gives {what}. ") };
    format!("{gives}{who}, {how_far}.")
}

/// What may be said of a programme beside all others.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Rank {
    /// None is better.
    Best,
    /// None better was found.
    Unproven,
    /// A distinct one that is not the best.
    Other,
}

/// Why this programme: two sentences and the day.
pub(crate) fn why(
    exercises: &[Exercise],
    (minutes, kept_free): (Span, Option<Span>),
    (goals, tasks): (&[Goal], &[TaskCovered]),
    until: &str,
    rank: Rank,
) -> Vec<String> {
    let count = exercises.len();
    let names = list(&exercises.iter().map(|e| e.family.to_string()).collect::<Vec<_>>());
    let first = format!(
        "{} ({names}) {} {} together; {}.",
        if count == 1 { "One exercise".to_owned() } else { format!("{count} exercises") },
        if count == 1 { "takes" } else { "take" },
        time(minutes),
        match rank {
            Rank::Best => {
                let kept = kept_free.map_or_else(String::new, |kept| {
                    format!(", {} of it kept for what takes the place of a direction that hurt,", time(kept))
                });
                format!(
                    "no other choice of at most three that is permitted, fits the home and the time{kept} serves the goals better"
                )
            }
            Rank::Unproven => "no better choice was found before the search stopped".to_owned(),
            Rank::Other => {
                "of the programmes with other exercises it serves the goals next best".to_owned()
            }
        },
    );
    // Of a task it is told how much, below.
    let plain: Vec<&Goal> = goals.iter().filter(|goal| !matches!(goal.kind, GoalKind::Task { .. })).collect();
    let served: Vec<String> = plain
        .iter()
        .filter_map(|goal| {
            let of: Vec<String> =
                exercises.iter().filter(|e| serves(e, &goal.kind)).map(|e| e.family.to_string()).collect();
            (!of.is_empty()).then(|| format!("{} by {}", goal_name(&goal.kind), list(&of)))
        })
        .collect();
    let not_served: Vec<String> = plain
        .iter()
        .filter(|goal| !exercises.iter().any(|e| serves(e, &goal.kind)))
        .map(|goal| goal_name(&goal.kind))
        .collect();
    let mut second: Vec<String> = Vec::new();
    if !served.is_empty() {
        second.push(format!("{}.", capital(&served.join("; "))));
    }
    if !not_served.is_empty() {
        second.push(format!("It does not reach {}.", list(&not_served)));
    }
    second.extend(tasks.iter().map(|covered| format!("It covers {covered}.")));
    vec![first, second.join(" "), until.to_owned()]
}

fn serves(exercise: &Exercise, goal: &GoalKind) -> bool {
    exercise.trains.iter().any(|t| match (t, goal) {
        (Trained::Muscles { group, .. }, GoalKind::Strength { group: wanted }) => group == wanted,
        (Trained::Range { motion, .. }, GoalKind::Range { motion: wanted }) => motion == wanted,
        (Trained::Control { direction }, GoalKind::Control { direction: wanted }) => direction == wanted,
        (Trained::Balance { .. }, GoalKind::Balance) => true,
        _ => false,
    })
}

pub(crate) fn goal_name(goal: &GoalKind) -> String {
    match goal {
        GoalKind::Strength { group } => format!("work of the {}", group.name()),
        GoalKind::Range { motion } => format!("range of {motion}"),
        GoalKind::Control { direction } => format!("control going {direction}"),
        GoalKind::Balance => "balance".to_owned(),
        GoalKind::Task { task } => task.name().to_owned(),
    }
}

/// What the therapist must know beside the programme.
pub(crate) fn notes(
    exercises: &[Exercise],
    in_place: &[InPlace],
    (minutes, wishes): (Span, &Wishes),
    limits: &Limits,
    figures: &Figures,
) -> Vec<String> {
    let mut out =
        vec!["Demands and angles are computed estimates for comparison, not measurements.".to_owned()];
    out.extend(in_place.iter().map(|held| held.words.clone()));
    if limits.falls_risk {
        // What is not for every day takes its minutes from the week.
        let left_out: f64 = exercises
            .iter()
            .map(|e| e.minutes.in_min() * f64::from(Days::Every.most_a_week() - e.days.most_a_week()))
            .sum();
        let every_day = minutes.in_min() * f64::from(Days::Every.most_a_week());
        let week = (every_day - left_out) * f64::from(wishes.per_day);
        out.push(format!(
            "This is {week:.0} minutes a week; to reduce falls, balance work of at least {:.0} minutes a week is needed. Add a group or clinic class.",
            figures.falls_minutes_a_week
        ));
    }
    let of_days = |days: Days| -> Vec<String> {
        exercises.iter().filter(|e| e.days == days).map(|e| e.family.to_string()).collect()
    };
    let (strength, impact) = (of_days(Days::TwoOrThreeApart), of_days(Days::Alternate));
    if !strength.is_empty() {
        out.push(format!(
            "Called strength: {}. Two or three days a week that do not follow one another are enough; on the days between it is left out or made easier.",
            list(&strength)
        ));
    }
    if !impact.is_empty() {
        let wished = match wishes.per_day {
            1 => "every day".to_owned(),
            n => format!("{n} times every day"),
        };
        out.push(format!(
            "Every other day and once on that day, not {wished} as wished for the rest: {}. Tendon, bone and cartilage answer to landings more slowly than muscle, and {} days lie from one day of leaps, jumps or hops to the next.",
            list(&impact),
            figures.days_between_impacts
        ));
    }
    if let Some(last) = limits.last_impact {
        let first = rested(last, figures);
        if limits.for_day < first {
            out.push(format!("Leaps, jumps or hops were done on {last}: none before {first}."));
        }
    }
    if !limits.tolerated.is_empty() {
        let (known, new): (Vec<&Exercise>, Vec<&Exercise>) =
            exercises.iter().partition(|e| e.movements().any(|m| was_tolerated(m.spec(), &limits.tolerated)));
        let names = |of: &[&Exercise]| list(&of.iter().map(|e| e.family.to_string()).collect::<Vec<_>>());
        out.push(match (known.is_empty(), new.is_empty()) {
            (true, _) => "Nothing of it was among what was tolerated last time.".to_owned(),
            (false, true) => format!("Tolerated last time, at least in part: {}.", names(&known)),
            (false, false) => {
                format!("Tolerated last time, at least in part: {}; new: {}.", names(&known), names(&new))
            }
        });
    }
    let mut assumed: Vec<&'static str> = Vec::new();
    for spec in exercises.iter().flat_map(Exercise::movements).map(crate::ExerciseMovement::spec) {
        let words = spec.bearing.plain_words();
        let unknown = matches!(limits.clear(spec.bearing), ClearFloor::Assumed { .. });
        if unknown && !assumed.contains(&words) {
            assumed.push(words);
        }
    }
    if !assumed.is_empty() {
        let names = list(&assumed.iter().map(ToString::to_string).collect::<Vec<_>>());
        out.push(format!(
            "Clear floor was not measured {names}; no more than {} was used.",
            figures.clear_floor_not_measured
        ));
    }
    if exercises.iter().any(|e| e.limbs.len() == 1) {
        out.push("One limb does less than the other, because a rule closes the rest.".to_owned());
    }
    if exercises.iter().any(|e| e.support != Support::None) {
        out.push("The support must stand where it is drawn and must not move.".to_owned());
    }
    let mut seen: Vec<String> = Vec::new();
    for note in exercises.iter().flat_map(Exercise::movements).flat_map(|m| m.permitted.notes()) {
        let words = note.to_string();
        if !seen.contains(&words) {
            seen.push(words);
        }
    }
    out.extend(seen);
    out
}

/// `4 min 10 s`.
pub(crate) fn time(span: Span) -> String {
    let seconds = span.in_s().round();
    let minutes = (seconds / 60.0).floor();
    let rest = seconds - minutes * 60.0;
    match (minutes > 0.0, rest > 0.0) {
        (true, true) => format!("{minutes:.0} min {rest:.0} s"),
        (true, false) => format!("{minutes:.0} min"),
        (false, _) => format!("{rest:.0} s"),
    }
}

pub(crate) fn capital(text: &str) -> String {
    let mut chars = text.chars();
    chars.next().map(|c| c.to_uppercase().chain(chars).collect()).unwrap_or_default()
}
