//! What the objective needs to know of a candidate: how much one repetition gives each goal on each leg.
//!
//! Every value lies between 0 and 1. With `s` a leg and `k` a candidate:
//!
//! - strength of a muscle group: `min(1, demand share / s)` with the share `s` from which work is
//!   called strength (harder than that is not better at home); where capacity is unknown,
//!   `u · moment_ks / max_ks moment` with the named `u` (a comparison between movements of the
//!   same person, which is all that may be claimed);
//!   below the floor of demand it is nothing;
//! - range of a joint motion: `(excursion_ks / available_s − n) / (1 − n)`, at the far point, with the
//!   named `n` of the person's own available range: range is trained near its end, and what stays
//!   short of `n` gives nothing;
//! - control of a direction: `distance_k / max_k distance` for candidates that go that way, on
//!   the leg that moves; a hand that goes there over two planted feet counts the named `h` of it;
//! - balance: `c_k / max_k c`, on the leg that stands, with `c_k = 1 − margin_k / margin at quiet
//!   standing`: a held posture says which of two movements is harder to balance, not how hard it is;
//! - a task of the person's own, through the bridge (`biomech::covers`). Its base movement to each
//!   side `σ` has parts `p` in four aspects `a`: muscle groups (of the legs, and the extensors of the
//!   trunk), joint angles, direction, and arms where it asks anything of them. One movement `k` covers
//!   `b_pk = min(1, reached / asked)` of a part (arms: all or nothing), zero where its own demand is
//!   unknown; `b_p0` is the same of quiet standing with free hands, which is no practice. A set `S` covers
//!
//!   ```text
//!   B_σ  = Σ_a ω_a κ_σa Σ_p u_p b_p0
//!   C(S) = ½ Σ_σ [ Σ_a ω_a κ_σa Σ_p u_p (max_{k ∈ S ∪ 0} b_pk − b_p0) ] / (1 − B_σ)
//!   ```
//!
//!   with `u_p` what is asked of the part over what is asked of all known parts of the aspect (demands,
//!   angles), `κ` the share of the acting muscle groups whose demand in the task is known (1 for the
//!   other aspects), and the named `ω` made to sum to 1 over the aspects that are asked. So `C` lies in
//!   [0, 1], another movement never covers less, standing still covers nothing, the task's own base
//!   movement covers all that is known, what is unknown never counts as covered, and a mirror changes
//!   nothing. In a choice whose movements `S` are each done `n` times, `max_{k∈S} (b_pk − b_p0)⁺`
//!   becomes `min(max_{k∈S} (b_pk − b_p0)⁺, n / n_a · Σ_{k∈S} (b_pk − b_p0)⁺)`, `n_a` being the
//!   repetitions of a whole set of strength (muscles), range (angles) and control (the rest): every
//!   movement that works a part adds to its dose, and the hardest says how much of it is reached. In a
//!   whole set the choice gives `C(S)`.
//!
//! Strength, range, balance and tasks of a movement that crosses or goes out of sight behind are
//! multiplied by the named `e`, unless the task itself goes that way: of two that give about the same
//! the plainer one is chosen. So a choice gives a task `C(S)` in a whole set of plain movements, and
//! less than `C(S)` otherwise. All is multiplied by the named `f` where something was tolerated last time and this was not among it, and
//! by the named `w` where a joint lies past a limit at neutral, within the margin of the gates.

use anatomy::{JointMotion, PerSide, Side};
use biomech::{Demand, Phase};
use movement::{AnatomicalDirection, Family, HandHeight, MovementSpec};
use person::{Goal, GoalKind};
use safety::NoteKind;

use crate::{Candidate, Limits, figures};

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
pub(crate) fn facts(candidates: &[Candidate], goals: &[Goal], limits: &Limits) -> Vec<Facts> {
    let columns: Vec<Vec<PerSide<f64>>> =
        goals.iter().map(|goal| column(candidates, &goal.kind, limits)).collect();
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
                .map(|(column, goal)| {
                    // For control the direction itself is the goal.
                    let own_way = matches!(goal.kind, GoalKind::Control { .. });
                    let counts = counts(candidate, own_way, limits);
                    column[k].map(|given| given * counts)
                })
                .collect(),
        })
        .collect()
}

/// What a movement counts beside a plain, familiar one that needs no margin; `own_way` where it goes
/// the way that the goal itself asks for.
pub(crate) fn counts(candidate: &Candidate, own_way: bool, limits: &Limits) -> f64 {
    let spec = candidate.permitted.spec();
    let plain = if own_way { 1.0 } else { ease(spec) };
    plain * known(spec, limits) * clear_of_limits(candidate)
}

/// What was tolerated last time goes before what is new.
fn known(spec: &MovementSpec, limits: &Limits) -> f64 {
    let counts_fully = limits.tolerated.is_empty() || was_tolerated(spec, &limits.tolerated);
    if counts_fully { 1.0 } else { figures().unfamiliar_counts }
}

/// Whether this was among what was tolerated: the same way with the hands holding alike, and then as
/// far, as deep, as low and as heavy, or more.
pub(crate) fn was_tolerated(spec: &MovementSpec, tolerated: &[MovementSpec]) -> bool {
    tolerated.iter().any(|old| {
        (old.family, old.mover, old.bearing, old.crossing, old.support)
            == (spec.family, spec.mover, spec.bearing, spec.crossing, spec.support)
            && old.distance >= spec.distance
            && old.depth >= spec.depth
            && lowered(old) >= lowered(spec)
            && old.load.total() >= spec.load.total()
    })
}

/// How low the hand goes, in steps from the highest.
fn lowered(spec: &MovementSpec) -> Option<usize> {
    HandHeight::ALL.iter().position(|height| Some(*height) == spec.hand_height)
}

/// Of two that give about the same the one that needs no margin of the gates is chosen.
fn clear_of_limits(candidate: &Candidate) -> f64 {
    let past = candidate.permitted.notes().iter().any(|note| match note.kind {
        NoteKind::CloseToLimit { computed, limit, .. } => computed.in_deg() > limit.in_deg() + PAST_DEG,
        _ => false,
    });
    if past { figures().within_margin_counts } else { 1.0 }
}

/// Less than this past a limit is printed as standing at it, degrees.
const PAST_DEG: f64 = 0.5;

/// What a movement that crosses or goes out of sight behind counts beside a plain one.
pub(crate) fn ease(spec: &MovementSpec) -> f64 {
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

fn column(candidates: &[Candidate], goal: &GoalKind, limits: &Limits) -> Vec<PerSide<f64>> {
    match goal {
        GoalKind::Strength { group } => strength(candidates, group.motion(), limits),
        GoalKind::Range { motion } => {
            candidates.iter().map(|c| PerSide::from_fn(|s| near_end(c, s, *motion))).collect()
        }
        GoalKind::Control { direction } => {
            let raw = candidates.iter().map(|c| {
                let spec = c.permitted.spec();
                let goes_there = spec.bearing.named_from(spec.mover) == *direction;
                let limb =
                    if spec.family == Family::BendAndReach { figures().hand_counts_for_control } else { 1.0 };
                let d = if goes_there { limb * spec.distance.in_m() } else { 0.0 };
                PerSide::from_fn(|s| if s == spec.mover { d } else { 0.0 })
            });
            relative(raw.collect())
        }
        GoalKind::Balance => relative(candidates.iter().map(balance).collect()),
        // Counted part by part over a whole choice: see `option.rs`.
        GoalKind::Task { .. } => candidates.iter().map(|_| PerSide::from_fn(|_| 0.0)).collect(),
    }
}

fn strength(candidates: &[Candidate], motion: JointMotion, limits: &Limits) -> Vec<PerSide<f64>> {
    let moments = relative(
        candidates.iter().map(|c| PerSide::from_fn(|s| c.moments.peak(s, motion).in_nm())).collect(),
    );
    let unknown = figures().unknown_capacity_counts;
    candidates
        .iter()
        .zip(moments)
        .map(|(c, moment)| {
            PerSide::from_fn(|s| match c.demands.of(s, motion) {
                Some(Demand::Estimate { share, .. }) if share >= limits.demand_at_least => {
                    (share.in_one() / figures().strength_threshold).min(1.0)
                }
                Some(Demand::Estimate { .. }) => 0.0,
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

/// How near the end of this person's range, between 0 where range training begins and 1 at the end.
pub(crate) fn near_end(candidate: &Candidate, side: Side, motion: JointMotion) -> f64 {
    let available = candidate.available.of(side, motion).in_deg();
    if available <= 0.0 {
        return 0.0;
    }
    let near = figures().range_near_end;
    ((excursion(candidate, side, motion) / available - near) / (1.0 - near)).clamp(0.0, 1.0)
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

#[cfg(test)]
mod tests {
    use movement::{Bearing, Crossing, Load};
    use quantity::{Length, Mass};

    use super::*;

    #[test]
    fn tolerated_is_the_same_way_as_far_as_deep_as_low_and_as_heavy_and_nothing_beyond() {
        let way = |family, mover, cm| {
            MovementSpec::bare(family, mover, Bearing::ALL[0], Crossing::None, Length::cm(cm))
        };
        let deep = |cm: f64| MovementSpec {
            depth: Some(Length::cm(cm)),
            load: Load::HandWeights { each: Mass::kg(2.0) },
            ..way(Family::Lunge, Side::Left, 50.0)
        };
        let low = |height| MovementSpec {
            hand_height: Some(height),
            ..way(Family::BendAndReach, Side::Left, 40.0)
        };
        let tolerated = [way(Family::Step, Side::Right, 40.0), deep(10.0), low(HandHeight::Knee)];
        let lighter = MovementSpec { load: Load::None, ..deep(10.0) };
        let heavier = MovementSpec { load: Load::HandWeights { each: Mass::kg(4.0) }, ..deep(10.0) };
        for known in [
            way(Family::Step, Side::Right, 40.0),
            way(Family::Step, Side::Right, 30.0),
            deep(8.0),
            lighter,
            low(HandHeight::Knee),
            low(HandHeight::Thigh),
        ] {
            assert!(was_tolerated(&known, &tolerated), "{}", known.sentence());
        }
        for new in [
            way(Family::Step, Side::Right, 41.0),
            way(Family::Step, Side::Left, 40.0),
            way(Family::Reach, Side::Right, 40.0),
            MovementSpec { support: movement::Support::OneHand, ..way(Family::Step, Side::Right, 40.0) },
            deep(12.0),
            heavier,
            low(HandHeight::Shin),
        ] {
            assert!(!was_tolerated(&new, &tolerated), "{}", new.sentence());
        }
    }
}
