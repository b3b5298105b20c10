//! The movements beside one movement: what one step up, one back or to the side changes, and how far.
//!
//! One thing is changed at a time. Every list begins with the smallest change and ends at the
//! ceiling of `reference/neighbours.toml`; whether a change is felt is for the engine to say, whether
//! it is allowed for the gates.

use std::collections::BTreeMap;
use std::sync::OnceLock;

use movement::{Bearing, Crossing, Family, HandHeight, Load, MovementSpec, StanceFoot, Support};
use quantity::{Length, Mass};
use serde::Serialize;

use crate::figures;
use crate::reference::Table;

/// Where a step ends.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct StepCeilings {
    /// The most that a step up goes further, share of leg length.
    pub further_at_most: f64,
    /// The most that a step up sinks deeper, share of leg length.
    pub deeper_at_most: f64,
    /// The most that a step up weighs more, share of the load now.
    pub heavier_at_most: f64,
    /// The least share of distance or depth that is left after a step back.
    pub back_to_at_least: f64,
    /// Two directions ask the same when they differ by no more points of capacity than this.
    pub same_demand_within: f64,
    /// The least share of the distance to another side.
    pub sideways_at_least: f64,
    /// The largest share of the distance to another side.
    pub sideways_at_most: f64,
}

/// The ceilings, parsed once.
///
/// # Panics
/// When the built-in table does not parse or lacks a key, which a test rules out.
#[must_use]
pub fn step_ceilings() -> &'static StepCeilings {
    static CEILINGS: OnceLock<StepCeilings> = OnceLock::new();
    CEILINGS.get_or_init(|| {
        let table: Table = toml::from_str(include_str!("../../../reference/neighbours.toml"))
            .unwrap_or_else(|e| panic!("reference/neighbours.toml: {e}"));
        let rows: BTreeMap<String, f64> = table.row.into_iter().map(|row| (row.key, row.value)).collect();
        let of =
            |key: &str| *rows.get(key).unwrap_or_else(|| panic!("reference/neighbours.toml lacks `{key}`"));
        StepCeilings {
            further_at_most: of("further_at_most"),
            deeper_at_most: of("deeper_at_most"),
            heavier_at_most: of("heavier_at_most"),
            back_to_at_least: of("back_to_at_least"),
            same_demand_within: of("same_demand_within"),
            sideways_at_least: of("sideways_at_least"),
            sideways_at_most: of("sideways_at_most"),
        }
    })
}

/// The one thing that a step changes, in the order in which a therapist would think of it.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Changed {
    /// How far it goes.
    Distance,
    /// How much the hands hold.
    Hands,
    /// What is carried.
    Load,
    /// How far the pelvis sinks.
    Depth,
    /// How low the hand goes.
    HandHeight,
}

impl Changed {
    /// All of them, in order.
    pub const ALL: [Self; 5] = [Self::Distance, Self::Hands, Self::Load, Self::Depth, Self::HandHeight];
}

/// Up or back.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Way {
    /// Harder.
    Up,
    /// Easier.
    Back,
}

fn whole_steps(from: Length, to: Length) -> Vec<Length> {
    let (from, to) = (from.in_cm(), to.in_cm());
    #[allow(clippy::cast_possible_truncation)] // centimetres on a floor
    let (first, last) = match to > from {
        true => ((from + 1e-6).floor() as i32 + 1, (to + 1e-6).floor() as i32),
        false => ((from - 1e-6).ceil() as i32 - 1, (to - 1e-6).ceil() as i32),
    };
    let up = to > from;
    let count = if up { last - first } else { first - last };
    (0..=count).map(|k| Length::cm(f64::from(if up { first + k } else { first - k }))).collect()
}

/// The movements that one change of this kind makes of `spec`, the smallest change first; empty where
/// the movement has no such measure or is at its end. `leg` is the length of the leg, `weights` the
/// pairs of hand weights at home.
#[must_use]
pub fn steps(
    spec: &MovementSpec,
    way: Way,
    changed: Changed,
    leg: Length,
    weights: &[Mass],
) -> Vec<MovementSpec> {
    let ends = step_ceilings();
    match changed {
        Changed::Distance => {
            let to = match way {
                Way::Up => spec.distance + leg.times(ends.further_at_most),
                Way::Back => spec.distance.times(ends.back_to_at_least).max(figures().shortest_distance),
            };
            if way == Way::Back && to >= spec.distance {
                return Vec::new();
            }
            whole_steps(spec.distance, to).into_iter().map(|d| spec.at(d)).collect()
        }
        Changed::Depth => {
            let Some(depth) = spec.depth else { return Vec::new() };
            let to = match way {
                Way::Up => depth + leg.times(ends.deeper_at_most),
                Way::Back => depth.times(ends.back_to_at_least),
            };
            let deep = |d: Length| MovementSpec { depth: Some(d), ..spec.clone() };
            whole_steps(depth, to).into_iter().map(deep).collect()
        }
        Changed::Hands => hands(spec, way).into_iter().collect(),
        Changed::Load => load(spec, way, weights).into_iter().collect(),
        Changed::HandHeight => {
            let next = spec.hand_height.and_then(|height| {
                let at = HandHeight::ALL.iter().position(|h| *h == height)?;
                let next = match way {
                    Way::Up => at.checked_add(1)?,
                    Way::Back => at.checked_sub(1)?,
                };
                HandHeight::ALL.get(next).copied()
            });
            next.map(|height| MovementSpec { hand_height: Some(height), ..spec.clone() })
                .into_iter()
                .collect()
        }
    }
}

fn hands(spec: &MovementSpec, way: Way) -> Option<MovementSpec> {
    const LESS: [Support; 4] = [Support::BothHands, Support::OneHand, Support::Fingertip, Support::None];
    let at = LESS.iter().position(|s| *s == spec.support)?;
    let next = match way {
        Way::Up => at.checked_add(1)?,
        Way::Back => at.checked_sub(1)?,
    };
    let support = *LESS.get(next)?;
    // Without a place nothing can be held; a share of weight is known only for the hold it was seen in.
    spec.place?;
    let place = spec.place.filter(|_| support != Support::None);
    Some(MovementSpec { support, place, hand_share: movement::HandShare::NotAssessed, ..spec.clone() })
}

fn load(spec: &MovementSpec, way: Way, weights: &[Mass]) -> Option<MovementSpec> {
    let now = match spec.load {
        Load::None => 0.0,
        Load::HandWeights { each } => each.in_kg(),
        Load::InBothHands { .. } | Load::OnTrunk { .. } => return None,
    };
    if spec.support == Support::BothHands {
        return None;
    }
    let mut sizes: Vec<Mass> = weights.to_vec();
    sizes.sort_by(|a, b| a.in_kg().total_cmp(&b.in_kg()));
    let next = match way {
        Way::Up => Load::HandWeights { each: *sizes.iter().find(|w| w.in_kg() > now + 1e-6)? },
        Way::Back if now <= 0.0 => return None,
        Way::Back => match sizes.iter().rev().find(|w| w.in_kg() < now - 1e-6) {
            Some(each) => Load::HandWeights { each: *each },
            None => Load::None,
        },
    };
    Some(MovementSpec { load: next, ..spec.clone() })
}

/// The same movement in every other direction of its limb, as far as it goes now: the nearest in angle
/// first, and of two as near the one whose name comes first, so that a mirror keeps the order. Turning
/// on the standing foot is never proposed.
#[must_use]
pub fn to_other_sides(spec: &MovementSpec) -> Vec<MovementSpec> {
    let mut bearings = Bearing::ALL;
    bearings.sort_by_key(|b| (b.angle_to(spec.bearing), b.named_from(spec.mover)));
    bearings
        .into_iter()
        .flat_map(|bearing| spec.family.ways(bearing, spec.mover).iter().map(move |way| (bearing, *way)))
        .filter(|(bearing, way)| *bearing != spec.bearing || *way != spec.crossing)
        .map(|(bearing, crossing)| MovementSpec {
            bearing,
            crossing,
            stance_foot: StanceFoot::Fixed,
            ..spec.clone()
        })
        .filter(|other| !chosen_by_a_therapist_only(other))
        .collect()
}

/// Turning on the standing foot, a lunge that crosses it, a hand that goes behind while the trunk
/// bends, and everything through the air: never proposed, only a therapist who sees it chooses it.
#[must_use]
pub fn chosen_by_a_therapist_only(spec: &MovementSpec) -> bool {
    match spec.family {
        Family::BendAndReach => spec.bearing.forward_right().0 < -1e-9,
        Family::Lunge => spec.crossing != Crossing::None,
        Family::Leap | Family::TwoFootJump | Family::Hop => true,
        Family::Reach | Family::Step => spec.stance_foot == StanceFoot::Pivoting,
    }
}

#[cfg(test)]
mod tests {
    use anatomy::Side;

    use super::*;

    const LEG: Length = Length::ZERO;

    fn leg() -> Length {
        LEG + Length::cm(80.0)
    }

    fn step() -> MovementSpec {
        MovementSpec::bare(Family::Step, Side::Right, Bearing::ALL[1], Crossing::None, Length::cm(40.0))
    }

    fn cm(all: &[MovementSpec]) -> Vec<f64> {
        all.iter().map(|s| s.distance.in_cm().round()).collect()
    }

    #[test]
    fn a_step_up_goes_centimetre_by_centimetre_to_the_ceiling_and_back_no_less_than_three_quarters() {
        // Own choice: 5 % of an 80 cm leg is 4 cm; three quarters of 40 cm are 30 cm.
        let up = steps(&step(), Way::Up, Changed::Distance, leg(), &[]);
        assert_eq!(cm(&up), [41.0, 42.0, 43.0, 44.0]);
        let back = steps(&step(), Way::Back, Changed::Distance, leg(), &[]);
        assert_eq!(cm(&back).first(), Some(&39.0));
        assert_eq!(cm(&back).last(), Some(&30.0));
        // Nothing shorter than what is worth doing.
        let short = step().at(Length::cm(20.0));
        assert_eq!(cm(&steps(&short, Way::Back, Changed::Distance, leg(), &[])), [19.0, 18.0]);
        let shortest = step().at(Length::cm(18.0));
        assert!(steps(&shortest, Way::Back, Changed::Distance, leg(), &[]).is_empty());
    }

    #[test]
    fn every_step_changes_one_thing_and_a_step_of_hands_or_load_back_undoes_the_step_up() {
        let weights = [Mass::kg(4.0), Mass::kg(2.0)];
        let heavier = steps(&step(), Way::Up, Changed::Load, leg(), &weights);
        assert_eq!(heavier, [MovementSpec { load: Load::HandWeights { each: Mass::kg(2.0) }, ..step() }]);
        assert_eq!(steps(&heavier[0], Way::Back, Changed::Load, leg(), &weights), [step()]);
        let place = movement::Place::usual(movement::SupportKind::Bench, Length::cm(170.0))[0];
        let held = MovementSpec { support: Support::BothHands, place: Some(place), ..step() };
        let one = steps(&held, Way::Up, Changed::Hands, leg(), &weights);
        assert_eq!(one[0].support, Support::OneHand);
        assert_eq!(steps(&one[0], Way::Back, Changed::Hands, leg(), &weights)[0], held);
        assert!(steps(&held, Way::Up, Changed::Load, leg(), &weights).is_empty(), "both hands hold");
        assert!(steps(&step(), Way::Up, Changed::Hands, leg(), &weights).is_empty(), "free already");
        assert!(steps(&step(), Way::Up, Changed::Depth, leg(), &weights).is_empty(), "a step has no depth");
    }

    #[test]
    fn the_sides_of_the_mirrored_movement_are_the_mirrored_sides() {
        let sides = |spec: &MovementSpec| {
            let mut all: Vec<String> = to_other_sides(spec).iter().map(|s| s.sentence()).collect();
            all.sort();
            all
        };
        let mirrored: Vec<String> = {
            let mut all: Vec<String> =
                to_other_sides(&step().mirrored()).iter().map(|s| s.mirrored().sentence()).collect();
            all.sort();
            all
        };
        assert_eq!(sides(&step()), mirrored);
        // Eight directions, medial in two ways, less the one it has.
        assert_eq!(sides(&step()).len(), 8);
    }
}
