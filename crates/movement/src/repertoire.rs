//! Which arm tasks and loads are searched for each family of movement.

use std::sync::OnceLock;

use quantity::Mass;
use quantity::reference::TableHead;
use serde::Deserialize;

use crate::{ArmTask, Family, HandHeight, Load, OnReturn, TurnToward};

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Table {
    #[allow(dead_code, reason = "heads are checked by the repository's own tests")]
    table: TableHead,
    loads: Loads,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Loads {
    light_hand_weight_kg: f64,
    heavy_hand_weight_kg: f64,
    ball_kg: f64,
    pack_kg: f64,
}

fn loads() -> &'static Loads {
    static TABLE: OnceLock<Table> = OnceLock::new();
    &TABLE
        .get_or_init(|| {
            toml::from_str(include_str!("../../../reference/repertoire.toml"))
                .unwrap_or_else(|e| panic!("reference/repertoire.toml: {e}"))
        })
        .loads
}

/// The arm tasks and loads that are searched with a family, in order of the screens, no pair twice.
///
/// | family | pairs | made of |
/// |---|---|---|
/// | reach | 9 | arms free (nothing, light hand weights, pack), overhead (nothing, ball), turn to either side (nothing, ball) |
/// | step, lunge | 52 | arms free (5 loads), bend to 4 heights and hang (nothing, two weights, ball) or curl, row, press (two weights), overhead (nothing, light weights, ball), turn to either side (nothing, ball) |
/// | leap, two-foot jump, single-leg hop | 3 | arms free (nothing, ball, pack) |
/// | bend and reach | 4 | arms free, which reach (nothing, two weights, pack) |
///
/// Goal tasks are not in it: each has its own base movement (the engine's `goal_movement`).
/// Supports and hand shares are not in it either; they belong to a person, not to a movement.
#[must_use]
pub fn repertoire(family: Family) -> Vec<(ArmTask, Load)> {
    let own = loads();
    let weights = |kg: f64| Load::HandWeights { each: Mass::kg(kg) };
    let (light, heavy) = (weights(own.light_hand_weight_kg), weights(own.heavy_hand_weight_kg));
    let ball = Load::InBothHands { mass: Mass::kg(own.ball_kg) };
    let pack = Load::OnTrunk { mass: Mass::kg(own.pack_kg) };
    let with = |arms: ArmTask, loads: &[Load]| loads.iter().map(|l| (arms, *l)).collect::<Vec<_>>();
    let turns = || {
        [TurnToward::SameSide, TurnToward::OtherSide]
            .into_iter()
            .flat_map(|toward| with(ArmTask::Turn { toward }, &[Load::None, ball]))
    };
    match family {
        Family::Reach => {
            let mut out = with(ArmTask::Free, &[Load::None, light, pack]);
            out.extend(with(ArmTask::Overhead, &[Load::None, ball]));
            out.extend(turns());
            out
        }
        Family::Step | Family::Lunge => {
            let mut out = with(ArmTask::Free, &[Load::None, light, heavy, ball, pack]);
            for to in HandHeight::ALL {
                for then in OnReturn::ALL {
                    let loads: &[Load] = match then {
                        OnReturn::Hang => &[Load::None, light, heavy, ball],
                        OnReturn::Curl | OnReturn::Row | OnReturn::Press => &[light, heavy],
                    };
                    out.extend(with(ArmTask::BendAndReturn { to, then }, loads));
                }
            }
            out.extend(with(ArmTask::Overhead, &[Load::None, light, ball]));
            out.extend(turns());
            out
        }
        Family::Leap | Family::TwoFootJump | Family::Hop => with(ArmTask::Free, &[Load::None, ball, pack]),
        Family::BendAndReach => with(ArmTask::Free, &[Load::None, light, heavy, pack]),
    }
}

#[cfg(test)]
mod tests {
    use anatomy::Side;

    use super::repertoire;
    use crate::{Bearing, Family};

    #[test]
    fn no_pair_stands_twice_and_the_counts_are_as_documented() {
        let expected = [(Family::Reach, 9), (Family::Step, 52), (Family::Lunge, 52), (Family::Hop, 3)];
        for (family, count) in expected {
            assert_eq!(repertoire(family).len(), count, "{family}");
        }
        for family in Family::ALL {
            let pairs = repertoire(family);
            for (i, a) in pairs.iter().enumerate() {
                assert!(pairs[i + 1..].iter().all(|b| a != b), "{family}: {a:?} stands twice");
            }
        }
    }

    /// The full space that a person's survey may be asked for: every family, side, way out, distance
    /// from 20 to 110 % of leg length in steps of five, arm task and load.
    #[test]
    fn the_whole_space_has_more_than_ten_thousand_movements() {
        let distances = (20..=110).step_by(5).count();
        let mut movements = 0;
        for family in Family::ALL {
            for side in Side::BOTH {
                for bearing in Bearing::ALL {
                    let ways = family.ways(bearing, side).len();
                    movements += ways * distances * repertoire(family).len();
                }
            }
        }
        assert!(movements > 10_000, "{movements}");
    }
}
