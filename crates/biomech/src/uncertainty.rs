//! The band of a computed moment or demand, and when two of them are about the same.
//!
//! With `m` the moment per kilogram of body mass, one standard deviation of it is
//! `√(floor² + (share · m)²)`, once for the body's parameters and once for how the same person does
//! the same movement; floors and shares per joint motion stand in `reference/uncertainty.toml`,
//! fitted by the committed example `uncertainty` to postures that were solved again with drawn
//! bodies, strengths, distances, depths and leans. Strength enters with the spread of its own
//! model. The three are taken as independent and add as squares. First order: a band wider than
//! the figure itself is a statement of ignorance, not a distribution.
//!
//! Not in it: the choice of the cost that stands for a person's habit, and everything that a held
//! posture leaves out (braking, haste).

use std::sync::OnceLock;

use anatomy::JointMotion;
use quantity::reference::TableHead;
use quantity::{Mass, Moment, Share};
use serde::{Deserialize, Serialize};

use crate::result::Demand;

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Table {
    #[allow(dead_code, reason = "heads are checked by the repository's own tests")]
    table: TableHead,
    row: Vec<Row>,
}

#[derive(Clone, Deserialize)]
#[serde(deny_unknown_fields)]
struct Row {
    motion: String,
    body_floor: f64,
    body_share: f64,
    done_floor: f64,
    done_share: f64,
}

fn row(motion: JointMotion) -> &'static Row {
    static ROWS: OnceLock<Vec<Row>> = OnceLock::new();
    let rows = ROWS.get_or_init(|| {
        let table: Table = toml::from_str(include_str!("../../../reference/uncertainty.toml"))
            .unwrap_or_else(|e| panic!("reference/uncertainty.toml: {e}"));
        JointMotion::all()
            .map(|motion| {
                let found = table.row.iter().find(|row| row.motion == motion.key());
                found.cloned().unwrap_or_else(|| panic!("uncertainty of {motion} is in the table"))
            })
            .collect()
    });
    let at = JointMotion::all().position(|m| m == motion).unwrap_or(0);
    &rows[at]
}

/// One standard deviation of a computed moment, by where it comes from.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Spread {
    /// The body's parameters: the same in everything one person does.
    pub body: Moment,
    /// How the same person does the same movement from one time to the next.
    pub done: Moment,
}

impl Spread {
    /// Both together.
    #[must_use]
    pub fn whole(self) -> Moment {
        Moment::nm(self.body.in_nm().hypot(self.done.in_nm()))
    }
}

/// The spread of an internal moment of this size in a person of this mass. An estimate of the error
/// of an estimate: first order, from the table.
#[must_use]
pub fn moment_spread(motion: JointMotion, moment: Moment, mass: Mass) -> Spread {
    let row = row(motion);
    let (m, kg) = (moment.in_nm().abs(), mass.in_kg());
    let of = |floor: f64, share: f64| Moment::nm((floor * kg).hypot(share * m));
    Spread { body: of(row.body_floor, row.body_share), done: of(row.done_floor, row.done_share) }
}

/// The demand of a moment (N·m, not negative) against a strength with its spread as a share.
pub(crate) fn estimate(
    motion: JointMotion,
    moment: f64,
    strength: f64,
    strength_spread: f64,
    mass: f64,
) -> Demand {
    let spread = moment_spread(motion, Moment::nm(moment), Mass::kg(mass));
    let share = moment / strength;
    let model = spread.whole().in_nm() / strength;
    // A strength one standard deviation higher or lower.
    let weaker = share / (1.0 - strength_spread).max(WEAKEST) - share;
    let stronger = share - share / (1.0 + strength_spread);
    Demand::Estimate {
        share: Share::of_one(share),
        low: Share::of_one((share - model.hypot(stronger)).max(0.0)),
        high: Share::of_one(share + model.hypot(weaker)),
        repeat: Share::of_one(spread.done.in_nm() / strength),
    }
}

/// A strength is not taken to be smaller than this share of its model, however wide its spread.
const WEAKEST: f64 = 0.2;

/// How one demand stands beside another.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Beside {
    /// More, by more than the band of the difference.
    More,
    /// Less, by more than the band of the difference.
    Less,
    /// The difference lies inside its band.
    AboutTheSame,
    /// One of them is unknown.
    CannotSay,
}

impl Demand {
    /// How this demand stands beside another **of the same joint motion, side and person**: strength
    /// and the body's parameters are the same in both, so only how the movements are done sets them
    /// apart. The band of the difference is one standard deviation of it.
    #[must_use]
    pub fn beside(self, other: Self) -> Beside {
        let (Self::Estimate { share: a, repeat: ra, .. }, Self::Estimate { share: b, repeat: rb, .. }) =
            (self, other)
        else {
            return Beside::CannotSay;
        };
        let band = ra.in_one().hypot(rb.in_one());
        order(a.in_one() - b.in_one(), band)
    }

    /// How this demand stands beside one of another motion, side or person: everything may differ, so
    /// the bands must not meet.
    #[must_use]
    pub fn across(self, other: Self) -> Beside {
        let (
            Self::Estimate { low: a_low, high: a_high, .. },
            Self::Estimate { low: b_low, high: b_high, .. },
        ) = (self, other)
        else {
            return Beside::CannotSay;
        };
        if a_low > b_high {
            Beside::More
        } else if a_high < b_low {
            Beside::Less
        } else {
            Beside::AboutTheSame
        }
    }
}

fn order(difference: f64, band: f64) -> Beside {
    if difference > band {
        Beside::More
    } else if difference < -band {
        Beside::Less
    } else {
        Beside::AboutTheSame
    }
}

/// Whether two demands of the same joint motion, side and person differ by no more than the band of
/// their difference; `false` where one is unknown.
#[must_use]
pub fn about_the_same(a: Demand, b: Demand) -> bool {
    a.beside(b) == Beside::AboutTheSame
}

#[cfg(test)]
mod tests {
    use anatomy::Coordinate;

    use super::*;

    const KNEE: fn() -> JointMotion = || Coordinate::KneeFlexion.negative();

    fn at(moment: f64) -> Demand {
        estimate(KNEE(), moment, 150.0, 0.2, 75.0)
    }

    #[test]
    fn a_band_holds_its_estimate_and_is_wider_than_that_of_strength_alone() {
        for moment in [0.0, 5.0, 40.0, 120.0] {
            let Demand::Estimate { share, low, high, repeat } = at(moment) else { panic!("known") };
            assert!(low <= share && share < high, "{moment}");
            assert!(high.in_one() > share.in_one() / 0.8, "{moment}: {high:?}");
            assert!(repeat > Share::ZERO);
        }
    }

    #[test]
    fn comparing_is_antisymmetric_and_a_demand_is_about_the_same_as_itself() {
        for (a, b) in [(10.0, 90.0), (60.0, 62.0), (5.0, 5.5), (100.0, 30.0)] {
            let swapped = match at(b).beside(at(a)) {
                Beside::More => Beside::Less,
                Beside::Less => Beside::More,
                other => other,
            };
            assert_eq!(at(a).beside(at(b)), swapped);
            assert!(about_the_same(at(a), at(a)));
        }
        assert_eq!(at(100.0).beside(at(30.0)), Beside::More);
    }

    #[test]
    fn what_is_unknown_is_never_about_the_same() {
        assert!(!about_the_same(Demand::Unknown, Demand::Unknown));
        assert_eq!(at(10.0).beside(Demand::Unknown), Beside::CannotSay);
        assert_eq!(Demand::Unknown.across(at(10.0)), Beside::CannotSay);
    }

    /// Two movements of one person can be told apart where two people cannot: strength is the same.
    #[test]
    fn movements_of_one_person_are_told_apart_sooner_than_people() {
        let (a, b) = (at(80.0), at(110.0));
        assert_eq!(b.across(a), Beside::AboutTheSame);
        assert_eq!(b.beside(a), Beside::More);
    }
}
