//! Which allowed direction takes the place of one that is held because it hurt.
//!
//! Let `p` be the held movement and `x_t(m)` the share of capacity that leg motion `t` (of either leg)
//! needs at most in movement `m`, an estimate. The targets `T` are the motions of the muscle groups
//! that are goals of strength of which `p` asks as much as is worth naming (`smallest_share_named` of
//! `reference/planner.toml`); where there is none, every leg motion of which it asks as much; else
//! every leg motion; and where no capacity is known, every leg motion with its peak moment instead of
//! its share. With `β` the angle between two bearings (0 to 180°),
//!
//! - `kept(c) = Σ_T min(x_t(c), x_t(p)) / Σ_T x_t(p)`, between 0 and 1: more than `p` asked is not
//!   better, and what the other direction asks of other joints does not count;
//! - `V(c) = min(1, e(c) / e(p)) kept(c) + λ β(c, p) / 180°`, with `λ` the `opposite_counts` of
//!   `reference/neighbours.toml` and `e` what a movement that crosses or goes out of sight behind counts
//!   beside a plain one (`facts.rs`): a plain movement is not lightly replaced by one that is not;
//! - the substitute is the `c` of largest `V` among those with `kept(c) ≥ κ`, `substitute_keeps_at_least`.
//!
//! Candidates are the permitted movements of the same limb in the same exercise (family, hold and its
//! place, load, depth, height) for which no note of pain counts. A weighted sum, because the two wishes
//! pull apart: the direction beside the one that hurts keeps most of the work and is most likely to
//! hurt as well. It never takes what another as plain beats in both. Of two as good, the one whose direction
//! comes first when named from the limb, so that the person in a mirror gets the mirror.

use std::cmp::Ordering;
use std::sync::OnceLock;

use anatomy::{JointMotion, MuscleGroup, Side};
use biomech::Demand;
use movement::{Bearing, MovementSpec};
use person::HurtAt;
use quantity::{Moment, Share};

use crate::facts::ease;
use crate::option::same_exercise;
use crate::reference::rows;
use crate::{Candidate, figures};

/// What a movement asks of the legs: the part of it that the choice looks at.
#[derive(Clone, Debug, PartialEq)]
pub struct Asks {
    /// The movement.
    pub spec: MovementSpec,
    /// Each leg motion that acts in it, once.
    pub parts: Vec<AsksPart>,
}

/// What a movement asks of one motion of one leg.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct AsksPart {
    /// The leg.
    pub side: Side,
    /// The motion.
    pub motion: JointMotion,
    /// The largest share of capacity; absent where that is not known.
    pub share: Option<Share>,
    /// The largest internal moment.
    pub moment: Moment,
}

impl From<&Candidate> for Asks {
    fn from(candidate: &Candidate) -> Self {
        let parts = Side::BOTH
            .into_iter()
            .flat_map(|side| candidate.demands.leg(side).map(move |(motion, demand)| (side, motion, demand)))
            .map(|(side, motion, demand)| AsksPart {
                side,
                motion,
                share: Demand::share(demand),
                moment: candidate.moments.peak(side, motion),
            });
        Self { spec: candidate.permitted.spec().clone(), parts: parts.collect() }
    }
}

/// What takes the place of a held direction.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Substitution {
    /// This one.
    Found(Substitute),
    /// Something is permitted, but the best keeps less of the work than the named least.
    KeepsTooLittle {
        /// How much the best keeps.
        most: Share,
    },
    /// No other direction of this limb is permitted in this exercise that never hurt.
    NothingPermitted,
    /// The held movement asks nothing of the legs that could be kept.
    AsksNothing,
}

/// One of the candidates in the place of the held direction.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Substitute {
    /// Its place among the candidates.
    pub index: usize,
    /// How much of the work it keeps: an estimate.
    pub kept: Share,
    /// How far it points away from what hurts, degrees.
    pub degrees: u16,
    /// Whether the work is that of the muscle groups that are goals.
    pub of_goals: bool,
}

/// The substitute of `held` among the candidates; see the head of this file. `groups` are the muscle
/// groups that are goals of strength, `hurt` every note of pain there is.
#[must_use]
pub fn substitute(held: &Asks, groups: &[MuscleGroup], hurt: &[HurtAt], candidates: &[Asks]) -> Substitution {
    let Some(targets) = Targets::of(held, groups) else { return Substitution::AsksNothing };
    let may = |spec: &MovementSpec| {
        spec.mover == held.spec.mover
            && same_exercise(spec, &held.spec)
            && spec.bearing != held.spec.bearing
            && !hurt.iter().any(|note| safety::counts_for(note, spec))
    };
    let all: Vec<Substitute> = candidates
        .iter()
        .enumerate()
        .filter(|(_, c)| may(&c.spec))
        .map(|(index, c)| Substitute {
            index,
            kept: Share::of_one(targets.kept(c)),
            degrees: c.spec.bearing.angle_to(held.spec.bearing),
            of_goals: targets.of_goals,
        })
        .collect();
    let Some(most) = all.iter().map(|s| s.kept).reduce(Share::max) else {
        return Substitution::NothingPermitted;
    };
    let rules = rules();
    let value = |s: &Substitute| {
        let away = f64::from(s.degrees) / f64::from(Bearing::OPPOSITE);
        let plain = (ease(&candidates[s.index].spec) / ease(&held.spec)).min(1.0);
        plain * s.kept.in_one() + rules.opposite_counts * away
    };
    let better = |a: &Substitute, b: &Substitute| -> Ordering {
        let (x, y) = (&candidates[a.index].spec, &candidates[b.index].spec);
        let name = |s: &MovementSpec| (s.bearing.named_from(s.mover), s.crossing, s.stance_foot);
        as_good(value(b), value(a))
            .then(name(x).cmp(&name(y)))
            .then(x.distance.in_m().total_cmp(&y.distance.in_m()))
    };
    all.into_iter()
        .filter(|s| as_good(s.kept.in_one(), rules.keeps_at_least) != Ordering::Less)
        .min_by(better)
        .map_or(Substitution::KeepsTooLittle { most }, Substitution::Found)
}

/// Compares two values in steps so small that only the order of a sum could tell them apart.
fn as_good(a: f64, b: f64) -> Ordering {
    const STEP: f64 = 1e-9;
    (a / STEP).round().total_cmp(&(b / STEP).round())
}

struct Rules {
    keeps_at_least: f64,
    opposite_counts: f64,
}

fn rules() -> &'static Rules {
    static RULES: OnceLock<Rules> = OnceLock::new();
    RULES.get_or_init(|| {
        let rows = rows("neighbours.toml", include_str!("../../../reference/neighbours.toml"));
        let of =
            |key: &str| *rows.get(key).unwrap_or_else(|| panic!("reference/neighbours.toml lacks `{key}`"));
        Rules { keeps_at_least: of("substitute_keeps_at_least"), opposite_counts: of("opposite_counts") }
    })
}

/// What must be kept: leg motions with how much the held movement asks of each.
struct Targets {
    asked: Vec<(Side, JointMotion, f64)>,
    measure: fn(&AsksPart) -> f64,
    of_goals: bool,
}

impl Targets {
    /// `None` where the held movement asks nothing of the legs.
    fn of(held: &Asks, groups: &[MuscleGroup]) -> Option<Self> {
        let share = |part: &AsksPart| part.share.map_or(0.0, Share::in_one);
        let moment = |part: &AsksPart| part.moment.in_nm();
        let goal = |motion: JointMotion| groups.iter().any(|group| group.motion() == motion);
        let every = |_: JointMotion| true;
        let named = figures().smallest_share_named;
        Self::measured(held, &goal, (share, named), true)
            .or_else(|| Self::measured(held, &every, (share, named), false))
            .or_else(|| Self::measured(held, &every, (share, 0.0), false))
            .or_else(|| Self::measured(held, &every, (moment, 0.0), false))
    }

    fn measured(
        held: &Asks,
        counts: &dyn Fn(JointMotion) -> bool,
        (measure, least): (fn(&AsksPart) -> f64, f64),
        of_goals: bool,
    ) -> Option<Self> {
        let parts = held.parts.iter().filter(|part| counts(part.motion));
        let asked: Vec<(Side, JointMotion, f64)> = parts
            .map(|part| (part.side, part.motion, measure(part)))
            .filter(|(_, _, asked)| *asked > 0.0 && *asked >= least)
            .collect();
        (!asked.is_empty()).then_some(Self { asked, measure, of_goals })
    }

    fn kept(&self, by: &Asks) -> f64 {
        let of = |side: Side, motion: JointMotion| {
            let part = by.parts.iter().find(|part| (part.side, part.motion) == (side, motion));
            part.map_or(0.0, self.measure)
        };
        let kept: f64 = self.asked.iter().map(|(side, motion, asked)| of(*side, *motion).min(*asked)).sum();
        kept / self.asked.iter().map(|(_, _, asked)| *asked).sum::<f64>()
    }
}

#[cfg(test)]
mod tests {
    use jiff::civil::date;
    use movement::{AnatomicalDirection as D, Crossing, Family};
    use quantity::Length;

    use super::*;

    /// A step that asks so much (per cent) of knee extension of the leg that stands and of hip
    /// abduction of the leg that moves.
    fn asks(mover: Side, direction: D, knee: f64, hip: f64) -> Asks {
        let bearing = Bearing::of(direction, mover);
        let way = Family::Step.ways(bearing, mover)[0];
        let part = |side: Side, group: MuscleGroup, percent: f64| AsksPart {
            side,
            motion: group.motion(),
            share: Some(Share::percent(percent)),
            moment: Moment::nm(100.0 - percent),
        };
        Asks {
            spec: MovementSpec::bare(Family::Step, mover, bearing, way, Length::cm(40.0)),
            parts: vec![
                part(mover.other(), MuscleGroup::KneeExtensors, knee),
                part(mover, MuscleGroup::HipAbductors, hip),
            ],
        }
    }

    fn note(mover: Side, direction: D, family: Option<Family>) -> HurtAt {
        HurtAt {
            mover,
            bearing: Bearing::of(direction, mover),
            family,
            distance: Length::cm(40.0),
            pain: Some(2),
            settled: None,
            spreads: false,
            on: date(2026, 2, 3),
        }
    }

    fn chosen(held: &Asks, groups: &[MuscleGroup], hurt: &[D], all: &[Asks]) -> Substitution {
        let hurt: Vec<HurtAt> = hurt.iter().map(|d| note(held.spec.mover, *d, None)).collect();
        substitute(held, groups, &hurt, all)
    }

    fn direction(found: Substitution, all: &[Asks]) -> Option<D> {
        match found {
            Substitution::Found(s) => Some(all[s.index].spec.direction()),
            _ => None,
        }
    }

    const KNEE: [MuscleGroup; 1] = [MuscleGroup::KneeExtensors];

    #[test]
    fn as_much_work_further_away_goes_first_and_far_more_work_goes_before_further_away() {
        let held = asks(Side::Right, D::Posterior, 20.0, 10.0);
        let right = |d, knee| asks(Side::Right, d, knee, 10.0);
        let same = [right(D::Posterolateral, 20.0), right(D::Lateral, 20.0), right(D::Anterior, 20.0)];
        assert_eq!(direction(chosen(&held, &KNEE, &[], &same), &same), Some(D::Anterior));
        // Own choice: the opposite way is worth half of the work. 45° further is an eighth of it.
        let near = [right(D::Posterolateral, 20.0), right(D::Lateral, 17.6), right(D::Medial, 2.0)];
        assert_eq!(direction(chosen(&held, &KNEE, &[], &near), &near), Some(D::Lateral));
        let far = [right(D::Posterolateral, 20.0), right(D::Lateral, 17.4)];
        assert_eq!(direction(chosen(&held, &KNEE, &[], &far), &far), Some(D::Posterolateral));
    }

    #[test]
    fn what_keeps_less_than_half_takes_no_place_however_far_away_and_more_than_was_asked_is_not_better() {
        let held = asks(Side::Right, D::Posterior, 20.0, 0.0);
        let all = [asks(Side::Right, D::Anterior, 9.0, 60.0)];
        let Substitution::KeepsTooLittle { most } = chosen(&held, &KNEE, &[], &all) else {
            panic!("9 of 20 is less than half")
        };
        assert!((most.in_one() - 0.45).abs() < 1e-9, "{most:?}");
        let all = [asks(Side::Right, D::Lateral, 20.0, 0.0), asks(Side::Right, D::Posterolateral, 80.0, 0.0)];
        assert_eq!(direction(chosen(&held, &KNEE, &[], &all), &all), Some(D::Lateral));
    }

    #[test]
    fn a_direction_that_hurt_another_limb_and_another_exercise_never_take_the_place() {
        let held = asks(Side::Right, D::Posterior, 20.0, 10.0);
        let lateral = asks(Side::Right, D::Lateral, 20.0, 10.0);
        assert_eq!(
            chosen(&held, &[], &[D::Lateral], std::slice::from_ref(&lateral)),
            Substitution::NothingPermitted
        );
        // Unless what hurt there was a hand.
        let of = |family| {
            let note = note(Side::Right, D::Lateral, Some(family));
            substitute(&held, &[], &[note], std::slice::from_ref(&lateral))
        };
        assert_eq!(of(Family::Reach), Substitution::NothingPermitted);
        assert!(matches!(of(Family::BendAndReach), Substitution::Found(_)));
        let left = asks(Side::Left, D::Lateral, 20.0, 10.0);
        let mut reach = lateral.clone();
        reach.spec.family = Family::Reach;
        let itself = Asks { spec: held.spec.at(Length::cm(20.0)), ..held.clone() };
        assert_eq!(chosen(&held, &[], &[], &[left, reach, itself]), Substitution::NothingPermitted);
        assert!(matches!(chosen(&held, &[], &[], &[lateral]), Substitution::Found(s) if s.degrees == 90));
    }

    #[test]
    fn the_goals_say_what_is_kept_and_without_a_goal_all_the_work_of_both_legs_is() {
        let held = asks(Side::Right, D::Posterior, 20.0, 20.0);
        let all = [
            asks(Side::Right, D::Lateral, 20.0, 2.0),
            asks(Side::Right, D::Medial, 2.0, 20.0),
            asks(Side::Right, D::Posterolateral, 16.0, 16.0),
        ];
        assert_eq!(direction(chosen(&held, &KNEE, &[], &all), &all), Some(D::Lateral));
        let hip = [MuscleGroup::HipAbductors];
        assert_eq!(direction(chosen(&held, &hip, &[], &all), &all), Some(D::Medial));
        // Kept of both: 0.55, 0.55 and 0.8, with a quarter for 90° and an eighth for 45°.
        let Substitution::Found(found) = chosen(&held, &[], &[], &all) else { panic!("something") };
        assert_eq!(all[found.index].spec.direction(), D::Posterolateral);
        assert!((found.kept.in_one() - 0.8).abs() < 1e-9 && !found.of_goals, "{found:?}");
        // Where no capacity is known the moments are compared: here they fall as the shares rise.
        let unknown = |asks: &Asks| {
            let parts = asks.parts.iter().map(|part| AsksPart { share: None, ..*part });
            Asks { parts: parts.collect(), ..asks.clone() }
        };
        let all_unknown: Vec<Asks> = all.iter().map(unknown).collect();
        let found = chosen(&unknown(&held), &KNEE, &[], &all_unknown);
        assert_eq!(direction(found, &all), Some(D::Lateral), "160 of 160 N m and 90° away");
        // A goal that the held movement does not serve says nothing.
        assert_eq!(chosen(&held, &[MuscleGroup::HipFlexors], &[], &all), chosen(&held, &[], &[], &all));
    }

    #[test]
    fn the_person_in_a_mirror_gets_the_mirror_also_where_two_are_as_good() {
        let directions = [D::Posterolateral, D::Posteromedial, D::Lateral, D::Medial, D::Anterior];
        for held_at in D::ALL {
            for (knee, hip) in [(20.0, 10.0), (15.0, 15.0), (8.0, 20.0)] {
                let of = |mover| {
                    let all: Vec<Asks> = directions.map(|d| asks(mover, d, knee, hip)).into();
                    let held = asks(mover, held_at, 20.0, 20.0);
                    (chosen(&held, &[], &[], &all), all)
                };
                let ((right, a), (left, b)) = (of(Side::Right), of(Side::Left));
                assert_eq!(right, left, "{held_at}");
                assert_eq!(direction(right, &a), direction(left, &b));
                let mut turned: Vec<Asks> = a.clone();
                turned.reverse();
                let held = asks(Side::Right, held_at, 20.0, 20.0);
                assert_eq!(
                    direction(chosen(&held, &[], &[], &turned), &turned),
                    direction(right, &a),
                    "the order of the candidates says nothing"
                );
            }
        }
    }

    #[test]
    fn nothing_that_is_chosen_is_beaten_in_both_work_kept_and_angle() {
        let held = asks(Side::Right, D::Posterior, 20.0, 20.0);
        for seed in 0..50_u16 {
            let part = |k: u16| f64::from((seed * 7 + k * 13) % 21);
            let all: Vec<Asks> = (0_u16..)
                .zip(D::ALL)
                .filter(|(_, d)| *d != D::Posterior)
                .map(|(k, d)| asks(Side::Right, d, part(k), part(k + 3)))
                .collect();
            let Substitution::Found(found) = chosen(&held, &[], &[], &all) else { continue };
            for (k, other) in all.iter().enumerate().filter(|(k, _)| *k != found.index) {
                let alone = std::slice::from_ref(other);
                let kept = match chosen(&held, &[], &[], alone) {
                    Substitution::Found(s) => s.kept,
                    Substitution::KeepsTooLittle { most } => most,
                    _ => continue,
                };
                let degrees = other.spec.bearing.angle_to(held.spec.bearing);
                let beaten = kept > found.kept && degrees > found.degrees;
                assert!(!beaten, "seed {seed}: {k} beats {found:?}");
            }
        }
    }

    #[test]
    fn a_plain_movement_is_not_lightly_replaced_by_one_that_crosses_or_goes_behind() {
        // What crosses or goes behind counts 0.6 (reference/planner.toml).
        let held = asks(Side::Right, D::Lateral, 20.0, 20.0);
        let all = [
            asks(Side::Right, D::Medial, 14.0, 14.0),
            asks(Side::Right, D::Anterior, 14.0, 14.0),
            asks(Side::Right, D::Posterior, 20.0, 20.0),
        ];
        // 0.6 × 0.7 + 0.5, 0.7 + 0.25 and 0.6 + 0.25.
        assert_eq!(direction(chosen(&held, &[], &[], &all), &all), Some(D::Anterior));
        // One that goes behind itself may be replaced by another that does.
        let held = asks(Side::Right, D::Posterior, 20.0, 20.0);
        let all = [
            asks(Side::Right, D::Posterolateral, 20.0, 20.0),
            asks(Side::Right, D::Anterior, 12.0, 12.0),
            asks(Side::Right, D::Lateral, 15.0, 15.0),
        ];
        // 1 + 0.125, 0.6 + 0.5 and 0.75 + 0.25.
        assert_eq!(direction(chosen(&held, &[], &[], &all), &all), Some(D::Posterolateral));
    }

    #[test]
    fn crossing_and_bare_ways_of_one_direction_are_told_apart() {
        let held = asks(Side::Right, D::Anterior, 20.0, 20.0);
        let mut behind = asks(Side::Right, D::Medial, 20.0, 20.0);
        behind.spec.crossing = Crossing::Behind;
        let front = asks(Side::Right, D::Medial, 20.0, 20.0);
        let all = [behind, front];
        let Substitution::Found(found) = chosen(&held, &[], &[], &all) else { panic!("something") };
        assert_eq!(all[found.index].spec.crossing, Crossing::InFront);
    }
}
