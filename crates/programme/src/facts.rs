//! What the objective needs to know of a candidate: how much one repetition gives each goal on each leg.
//!
//! Every value lies between 0 and 1. With `s` a leg and `k` a candidate:
//!
//! - strength of a muscle group: `min(1, demand share / s)` with the share `s` from which work is
//!   called strength (harder than that is not better at home); where capacity is unknown,
//!   `u · moment_ks / max_ks moment` with the named `u` (a comparison between movements of the
//!   same person, which is all that may be claimed);
//! - range of a joint motion: `excursion_ks / max_ks excursion`, at the far point;
//! - control of a direction: `distance_k / max_k distance` for candidates that go that way, on
//!   the leg that moves;
//! - balance: `1 − margin_k / margin at quiet standing`, on the leg that stands.
//!
//! Strength, range and balance of a movement that crosses or goes out of sight behind are
//! multiplied by the named `e`: of two that give about the same the plainer one is chosen.

use anatomy::{JointMotion, PerSide, Side};
use biomech::{Demand, Phase};
use movement::{AnatomicalDirection, Family, MovementSpec};
use person::{Goal, GoalKind};

use crate::{Candidate, figures};

/// One candidate as the objective sees it.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Facts {
    /// The movement.
    pub spec: MovementSpec,
    /// Its rung on the ladder.
    pub level: u8,
    /// Seconds of one repetition.
    pub seconds: f64,
    /// By goal, what one repetition gives each leg.
    pub gives: Vec<PerSide<f64>>,
}

/// Facts of every candidate, in the same order.
pub(crate) fn facts(candidates: &[Candidate], goals: &[Goal]) -> Vec<Facts> {
    let columns: Vec<Vec<PerSide<f64>>> = goals.iter().map(|goal| column(candidates, &goal.kind)).collect();
    candidates
        .iter()
        .enumerate()
        .map(|(k, candidate)| Facts {
            spec: candidate.permitted.spec().clone(),
            level: candidate.permitted.level(),
            seconds: candidate.minutes.in_s(),
            gives: columns
                .iter()
                .zip(goals)
                .map(|(column, goal)| match goal.kind {
                    // The direction itself is the goal.
                    GoalKind::Control { .. } => column[k],
                    _ => column[k].map(|given| given * ease(candidate.permitted.spec())),
                })
                .collect(),
        })
        .collect()
}

fn ease(spec: &MovementSpec) -> f64 {
    let across = match spec.family {
        Family::BendAndReach => f64::from(spec.bearing.side_sign()) * spec.mover.sign() < 0.0,
        _ => spec.crosses(),
    };
    if across
        || matches!(
            spec.bearing.named_from(spec.mover),
            AnatomicalDirection::Posterolateral
                | AnatomicalDirection::Posterior
                | AnatomicalDirection::Posteromedial
        )
    {
        figures().crossing_or_behind_counts
    } else {
        1.0
    }
}

fn column(candidates: &[Candidate], goal: &GoalKind) -> Vec<PerSide<f64>> {
    match goal {
        GoalKind::Strength { group } => strength(candidates, group.motion()),
        GoalKind::Range { motion } => {
            relative(candidates.iter().map(|c| PerSide::from_fn(|s| excursion(c, s, *motion))).collect())
        }
        GoalKind::Control { direction } => {
            let raw = candidates.iter().map(|c| {
                let spec = c.permitted.spec();
                let goes_there = spec.bearing.named_from(spec.mover) == *direction;
                let d = if goes_there { spec.distance.in_m() } else { 0.0 };
                PerSide::from_fn(|s| if s == spec.mover { d } else { 0.0 })
            });
            relative(raw.collect())
        }
        GoalKind::Balance => candidates.iter().map(balance).collect(),
    }
}

fn strength(candidates: &[Candidate], motion: JointMotion) -> Vec<PerSide<f64>> {
    let moments = relative(
        candidates.iter().map(|c| PerSide::from_fn(|s| c.moments.peak(s, motion).in_nm())).collect(),
    );
    let unknown = figures().unknown_capacity_counts;
    candidates
        .iter()
        .zip(moments)
        .map(|(c, moment)| {
            PerSide::from_fn(|s| match c.demands.of(s, motion) {
                Some(Demand::Estimate { share, .. }) => {
                    (share.in_one() / figures().strength_threshold).min(1.0)
                }
                Some(Demand::Unknown) => unknown * moment.get(s),
                None => 0.0,
            })
        })
        .collect()
}

/// Largest excursion in a motion at the far point, degrees, zero when the joint does not go that way.
pub(crate) fn excursion(candidate: &Candidate, side: Side, motion: JointMotion) -> f64 {
    candidate
        .permitted
        .motion()
        .of_phase(Phase::Far)
        .map(|frame| frame.posture.excursion(side, motion).in_deg())
        .fold(0.0, f64::max)
}

fn balance(candidate: &Candidate) -> PerSide<f64> {
    let motion = candidate.permitted.motion();
    let quiet = motion.of_phase(Phase::Start).map(|f| f.balance.in_cm()).fold(0.0, f64::max);
    let least = motion.least_balance().in_cm();
    let challenge = if quiet > 0.0 { (1.0 - least / quiet).clamp(0.0, 1.0) } else { 0.0 };
    let spec = candidate.permitted.spec();
    PerSide::from_fn(|s| {
        let carries = s == spec.stance() || spec.family == Family::BendAndReach;
        if carries { challenge } else { 0.0 }
    })
}

fn relative(raw: Vec<PerSide<f64>>) -> Vec<PerSide<f64>> {
    let largest = raw.iter().flat_map(|p| [p.left, p.right]).fold(0.0, f64::max);
    if largest > 0.0 { raw.into_iter().map(|p| p.map(|x| x / largest)).collect() } else { raw }
}
