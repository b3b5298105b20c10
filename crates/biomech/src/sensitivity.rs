//! How much each demand changes per centimetre of distance, per kilogram, per degree of trunk lean.
//!
//! Exact differences: the movement is solved again a step further and a step nearer, each started
//! from the solution, and the change is divided by the way between them,
//! `(d(+h) − d(−h)) / 2h`. The steps `h` stand in `reference/step_up.toml`. Where one side cannot
//! be done the difference is one-sided and says so. Where feet stand differently on the two sides, or
//! the demand peaks at another moment of the movement, there is no one slope and the reason is given.
//! Estimates of a change between neighbours; what the person really does varies more than a step, see
//! [`Demand::beside`](crate::Demand::beside).

use std::sync::OnceLock;

use anatomy::{Coordinate, JointMotion, Side};
use movement::{Load, MovementSpec, Support};
use quantity::reference::TableHead;
use quantity::{Angle, Length, Mass};
use serde::{Deserialize, Serialize};

use crate::body::Body;
use crate::capacity::Capacity;
use crate::continuity::{same_contacts, same_family};
use crate::demand::{demands, moments};
use crate::motion::{motion_leaning, motion_near};
use crate::result::{Demand, Motion, Phase, Turn};

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct Steps {
    #[allow(dead_code, reason = "heads are checked by the repository's own tests")]
    table: TableHead,
    lever: LeverSteps,
    pub(crate) step: Tried,
    pub(crate) most: Tried,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct LeverSteps {
    distance_cm: f64,
    load_kg: f64,
    lean_deg: f64,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct Tried {
    pub(crate) distance_cm: f64,
    pub(crate) depth_cm: f64,
    pub(crate) load_kg: f64,
}

pub(crate) fn steps() -> &'static Steps {
    static TABLE: OnceLock<Steps> = OnceLock::new();
    TABLE.get_or_init(|| {
        toml::from_str(include_str!("../../../reference/step_up.toml"))
            .unwrap_or_else(|e| panic!("reference/step_up.toml: {e}"))
    })
}

/// What is changed.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Lever {
    /// One centimetre further.
    Distance,
    /// One kilogram more, carried as the load is; in the hands where nothing is.
    Load,
    /// One degree more forward lean of the trunk at the far point.
    Lean,
}

impl Lever {
    /// Every lever.
    pub const ALL: [Self; 3] = [Self::Distance, Self::Load, Self::Lean];

    /// What one unit of it is.
    #[must_use]
    pub fn unit(self) -> &'static str {
        match self {
            Self::Distance => "cm",
            Self::Load => "kg",
            Self::Lean => "degree of lean",
        }
    }
}

/// Why no slope can be said.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum NoSlope {
    /// Something touches on one side of the step and not on the other: a heel or a corner of a foot
    /// and the floor, the legs, an arm and a leg.
    ContactChange,
    /// The two sides of the step are done with postures too different for one to be the other moved on.
    OtherPosture,
    /// The demand is largest at another moment of the movement on one side of the step, or does not
    /// act or is not known there.
    PeakMoves,
    /// The movement cannot be done a step to either side.
    OutOfReach,
}

/// What one unit of a lever changes.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Slope {
    /// Estimate.
    PerUnit {
        /// Change of the moment's magnitude, N·m per unit; known where the capacity is not.
        moment: f64,
        /// Change of the share of capacity per unit (0.01: one per cent of capacity); nothing where
        /// the capacity is unknown.
        share: Option<f64>,
        /// Whether only one side of the step could be done.
        one_sided: bool,
    },
    /// There is no one slope.
    CannotSay {
        /// Why.
        why: NoSlope,
    },
}

/// How one demand answers to every lever.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Sensitivity {
    /// Which leg; `None` for the trunk.
    pub side: Option<Side>,
    /// Which motion.
    pub motion: JointMotion,
    /// The demand itself.
    pub demand: Demand,
    /// By lever, in the order of [`Lever::ALL`].
    pub slopes: [Slope; 3],
}

/// The same movement with so much more distance, depth or load; `None` where less than nothing is
/// left of it. A load is added where it is; where there is none it goes into the hands, or on the
/// back when both hands hold a support.
pub(crate) fn with_more_load(spec: &MovementSpec, kg: f64) -> Option<MovementSpec> {
    let more = |mass: Mass, kg: f64| {
        let sum = mass.in_kg() + kg;
        (sum >= 0.0).then(|| Mass::kg(sum))
    };
    let load = match spec.load {
        Load::None if kg < 0.0 => return None,
        Load::None if spec.support == Support::BothHands => Load::OnTrunk { mass: Mass::kg(kg) },
        Load::None => Load::HandWeights { each: Mass::kg(kg / 2.0) },
        Load::HandWeights { each } => Load::HandWeights { each: more(each, kg / 2.0)? },
        Load::InBothHands { mass } => Load::InBothHands { mass: more(mass, kg)? },
        Load::OnTrunk { mass } => Load::OnTrunk { mass: more(mass, kg)? },
    };
    Some(MovementSpec { load, ..spec.clone() })
}

pub(crate) fn further(spec: &MovementSpec, cm: f64) -> Option<MovementSpec> {
    let sum = spec.distance.in_cm() + cm;
    (sum > 0.0).then(|| spec.at(Length::cm(sum)))
}

/// Solves one lever moved by `by` units from a solved movement.
fn moved(body: &Body, capacity: &Capacity, base: &Motion, lever: Lever, by: f64) -> Option<Motion> {
    match lever {
        Lever::Distance => motion_near(body, capacity, &further(&base.spec, by)?, Some(base)),
        Lever::Load => motion_near(body, capacity, &with_more_load(&base.spec, by)?, Some(base)),
        Lever::Lean => {
            let far = base.frames.iter().find(|f| f.phase == Phase::Far && f.turn == Turn::Turned)?;
            let lean = Angle::deg(far.posture.trunk_lean().in_deg() + by);
            motion_leaning(body, capacity, &base.spec, lean, Some(base))
        }
    }
}

/// Where something peaks: which moment of the movement (square or turned counts as one), the moment's
/// magnitude, the share.
pub(crate) struct Peak {
    pub(crate) at: Phase,
    pub(crate) moment: f64,
    pub(crate) share: Option<f64>,
}

fn peak(body: &Body, capacity: &Capacity, found: &Motion, side: Side, motion: JointMotion) -> Option<Peak> {
    let mut best: Option<Peak> = None;
    for frame in &moments(body, found).frames {
        let moment = frame.moment(side, motion.coordinate).in_nm() * motion.sign();
        if moment <= 0.0 {
            continue;
        }
        let share = capacity
            .at(side, motion, frame.angle(side, motion.coordinate))
            .map(|(strength, _)| moment / strength.in_nm());
        let new = Peak { at: frame.phase, moment, share };
        if best.as_ref().is_none_or(|old| new.share.unwrap_or(new.moment) > old.share.unwrap_or(old.moment)) {
            best = Some(new);
        }
    }
    best
}

/// The moments that act at all: below this many newton metres a slope is noise.
const ACTS: f64 = 0.5;

/// A movement and itself a step less and a step more of every lever.
pub(crate) struct Around {
    pub(crate) base: Motion,
    ways: [(Moved, Moved); 3],
}

impl Around {
    /// Solves up to seven movements.
    pub(crate) fn of(body: &Body, capacity: &Capacity, found: &Motion) -> Self {
        // Started from its own solution once more, so that all of them have settled alike.
        let base = motion_near(body, capacity, &found.spec, Some(found)).unwrap_or_else(|| found.clone());
        let own = steps();
        let ways = Lever::ALL.map(|lever| {
            let h = match lever {
                Lever::Distance => own.lever.distance_cm,
                Lever::Load => own.lever.load_kg,
                Lever::Lean => own.lever.lean_deg,
            };
            let at = |by: f64| moved(body, capacity, &base, lever, by).map(|m| (by, m));
            (at(-h), at(h))
        });
        Self { base, ways }
    }

    /// The slope of anything that can be read off a movement, for every lever.
    pub(crate) fn slopes(&self, read: impl Fn(&Motion) -> Option<Peak>) -> [Slope; 3] {
        let here = read(&self.base);
        std::array::from_fn(|k| match &here {
            Some(here) => slope(here, &self.base, (&self.ways[k].0, &self.ways[k].1), &read),
            None => Slope::CannotSay { why: NoSlope::PeakMoves },
        })
    }
}

/// What one centimetre, one kilogram, one degree of lean changes in every demand of a solved movement:
/// legs first, left before right, in the order of the coordinates. Motions that hardly act (below half
/// a newton metre) are left out. Deterministic; up to seven movements are solved.
#[must_use]
pub fn sensitivities(body: &Body, capacity: &Capacity, found: &Motion) -> Vec<Sensitivity> {
    let around = Around::of(body, capacity, found);
    let all = demands(&moments(body, &around.base), capacity);
    let joints = Side::BOTH
        .into_iter()
        .flat_map(|side| Coordinate::LEG.map(|c| (Some(side), c)))
        .chain(Coordinate::TRUNK.map(|c| (None, c)));
    let mut out = Vec::new();
    for (side, coordinate) in joints {
        for motion in [coordinate.positive(), coordinate.negative()] {
            let leg = side.unwrap_or(Side::Left);
            let read = |m: &Motion| peak(body, capacity, m, leg, motion);
            if read(&around.base).is_none_or(|here| here.moment < ACTS) {
                continue;
            }
            let demand = all.of(leg, motion).unwrap_or(Demand::Unknown);
            out.push(Sensitivity { side, motion, demand, slopes: around.slopes(read) });
        }
    }
    out
}

type Moved = Option<(f64, Motion)>;

fn slope(
    here: &Peak,
    base: &Motion,
    (less, more): (&Moved, &Moved),
    peak: impl Fn(&Motion) -> Option<Peak>,
) -> Slope {
    let centre = (0.0, base.clone());
    let ((from, a), (to, b), one_sided) = match (less, more) {
        (Some(a), Some(b)) => (a, b, false),
        (Some(a), None) => (a, &centre, true),
        (None, Some(b)) => (&centre, b, true),
        (None, None) => return Slope::CannotSay { why: NoSlope::OutOfReach },
    };
    if !same_contacts(a, b) {
        return Slope::CannotSay { why: NoSlope::ContactChange };
    }
    if !same_family(a, b) {
        return Slope::CannotSay { why: NoSlope::OtherPosture };
    }
    let (Some(pa), Some(pb)) = (peak(a), peak(b)) else {
        return Slope::CannotSay { why: NoSlope::PeakMoves };
    };
    if pa.at != here.at || pb.at != here.at {
        return Slope::CannotSay { why: NoSlope::PeakMoves };
    }
    let way = to - from;
    let share = pa.share.zip(pb.share).map(|(a, b)| (b - a) / way);
    Slope::PerUnit { moment: (pb.moment - pa.moment) / way, share, one_sided }
}
