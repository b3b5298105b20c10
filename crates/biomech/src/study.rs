//! What random starts find at one target: a yardstick for the search, for studies and tests only.

use movement::MovementSpec;

use crate::body::Body;
use crate::capacity::Capacity;
use crate::result::{KeyFrame, Turn};
use crate::search::effort;
use crate::solve::{Problem, Rows, solve};
use crate::state::{LIST, NQ, TILT, YAW};
use crate::statics::Row;
use crate::task::{PostureProblem, Task, guess};
use crate::tasks::far_tasks;

/// One posture that a start ended in.
#[derive(Clone, Debug, PartialEq)]
pub struct Ending {
    /// Which of the ways the feet may stand, first choice first.
    pub stand: usize,
    /// Half the sum of squared shares of capacity, plus comfort.
    pub cost: f64,
    /// Turn, tilt and list of the pelvis, then trunk and legs, degrees.
    pub angles_deg: Vec<f64>,
}

impl Ending {
    /// The largest difference in any angle, degrees.
    #[must_use]
    pub fn differs_by_deg(&self, other: &Self) -> f64 {
        self.angles_deg.iter().zip(&other.angles_deg).map(|(a, b)| (a - b).abs()).fold(0.0, f64::max)
    }
}

/// A small seeded generator (`SplitMix64`, Steele, Lea & Flood 2014).
pub(crate) struct Dice(pub(crate) u64);

impl Dice {
    pub(crate) fn between(&mut self, low: f64, high: f64) -> f64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        z ^= z >> 31;
        low + (high - low) * ((z >> 11) as f64 / (1u64 << 53) as f64)
    }
}

/// Anywhere in the joint ranges, or the usual first guess with up to half a radian on every angle.
fn start(body: &Body, task: &Task, problem: &PostureProblem<'_>, dice: &mut Dice, anywhere: bool) -> Row {
    let mut x = guess(body, task, 0.0);
    for place in &mut x[..3] {
        *place += dice.between(-0.2, 0.2);
    }
    let (lower, upper) = (problem.lower(), problem.upper());
    for i in YAW..NQ {
        // The whole pelvis is not thrown about as far as it may turn: half of that.
        let whole = if [YAW, TILT, LIST].contains(&i) { 0.5 } else { 1.0 };
        x[i] = if anywhere {
            dice.between(lower[i] * whole, upper[i] * whole)
        } else {
            (x[i] + dice.between(-0.5, 0.5)).clamp(lower[i], upper[i])
        };
    }
    x
}

/// Solves the far point of a movement from this many random starts, every way the feet may stand
/// each time, under the constraints and tolerances of [`crate::motion`]; half of the starts lie
/// anywhere in the joint ranges, half around the usual guess. Ends after `enough` successes.
#[must_use]
pub fn from_random_starts(
    body: &Body,
    capacity: &Capacity,
    spec: &MovementSpec,
    starts: usize,
    enough: usize,
    seed: u64,
) -> Vec<Ending> {
    let mut dice = Dice(seed);
    let tasks = far_tasks(body, spec);
    let mut endings = Vec::new();
    for k in 0..starts {
        for (stand, task) in tasks.iter().enumerate() {
            let problem = PostureProblem::new(body, capacity, task);
            let x = start(body, task, &problem, &mut dice, k % 2 == 0);
            let solved = solve(&problem, &x, effort());
            if solved.violation < effort().tolerance {
                let angles_deg = solved.x[YAW..NQ].iter().map(|a| a.to_degrees()).collect();
                endings.push(Ending { stand, cost: solved.cost, angles_deg });
                if endings.len() >= enough {
                    return endings;
                }
            }
        }
    }
    endings
}

/// The constraints of a task with another cost: as near as possible to given joint angles.
struct Nearest<'a> {
    problem: PostureProblem<'a>,
    to: Row,
}

impl Problem for Nearest<'_> {
    fn rows(&self, x: &Row, out: &mut Rows) {
        self.problem.rows(x, out);
        out.cost.clear();
        out.single.clear();
        for (i, (at, to)) in x.iter().zip(&self.to).enumerate().skip(YAW) {
            // Joints count; the pelvis may turn as it likes, forces may be what they must.
            let (w, to) = match i {
                YAW..6 => (0.05, *to),
                6..NQ => (1.0, *to),
                _ => (0.01, 0.0),
            };
            out.single.push((i, (at - to) * w, w));
        }
    }

    fn lower(&self) -> &Row {
        self.problem.lower()
    }

    fn upper(&self) -> &Row {
        self.problem.upper()
    }
}

/// How far the joint that moves furthest goes, degrees, from a far posture to the nearest posture (least
/// squares over joint angles) that another movement allows: what its constraints alone force. Nothing
/// where no such posture is found.
#[must_use]
pub fn nearest_change(body: &Body, capacity: &Capacity, from: &KeyFrame, spec: &MovementSpec) -> Option<f64> {
    far_tasks(body, spec)
        .into_iter()
        .filter_map(|task| {
            let task = Task { square: from.turn == Turn::Square, ..task };
            let nearest = Nearest { problem: PostureProblem::new(body, capacity, &task), to: *from.x };
            let solved = solve(&nearest, &from.x, effort());
            let joints = 6..NQ;
            (solved.violation < effort().tolerance)
                .then(|| joints.map(|i| (solved.x[i] - from.x[i]).abs().to_degrees()).fold(0.0, f64::max))
        })
        .reduce(f64::min)
}
