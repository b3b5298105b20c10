//! How much of a task of the person's own a set of movements covers, as one number through the bridge.
//!
//! The formula stands in `facts.rs` beside those of the other goals. What covers a part is what
//! [`biomech::covers`] says; here its parts are weighed and added up.

use anatomy::{JointMotion, MuscleGroup, PerSide, Side};
use biomech::{ArmsCoverage, Asked, Body, Capacity, Coverage, Covered, Profile, covers};
use movement::{AnatomicalDirection, GoalTask, MovementSpec};
use quantity::Share;
use serde::Serialize;

use crate::words::{about, capital, list};
use crate::{Figures, figures};

/// What a task asks of one body, to both sides.
#[derive(Clone, Debug, PartialEq)]
pub struct TaskAsked {
    /// Which task.
    pub task: GoalTask,
    /// By the leg that moves; why not, where this body cannot do its base movement.
    pub sides: PerSide<Result<Profile, String>>,
    /// Quiet standing with free hands: what it covers does not count.
    standing: Option<Profile>,
}

/// What makes up a task.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Aspect {
    /// Muscle groups of the legs, and the extensors of the trunk.
    Muscles,
    /// Joint angles.
    Angles,
    /// The direction of its base movement.
    Direction,
    /// What arms and trunk do.
    Arms,
}

impl Aspect {
    /// Every aspect.
    pub const ALL: [Self; 4] = [Self::Muscles, Self::Angles, Self::Direction, Self::Arms];

    fn weight(self, figures: &Figures) -> f64 {
        figures.task_aspects_count[self as usize]
    }

    /// Repetitions of a whole set.
    fn repetitions(self, figures: &Figures) -> f64 {
        match self {
            Self::Muscles => figures.repetitions_for_strength,
            Self::Angles => figures.repetitions_for_range,
            Self::Direction | Self::Arms => figures.repetitions_for_control,
        }
    }
}

/// One number for each aspect.
type ByAspect = [f64; Aspect::ALL.len()];

/// Something of a task that is not wholly covered.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Missing {
    /// In words, such as `work of the knee extensors`.
    pub what: String,
    /// How much of the whole task it is, both sides and both legs together.
    pub share: Share,
}

/// How much of a task a set of movements covers: estimates. Covered does not mean ready.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct TaskCovered {
    /// Which task.
    pub task: GoalTask,
    /// `C`, mean of the task to the left and to the right.
    pub covered: Share,
    /// What no movement could be said to cover, because it is not known.
    pub unknown: Share,
    /// What is not known, in words.
    pub unknown_parts: Vec<String>,
    /// What is known and not covered, most first.
    pub missing: Vec<Missing>,
}

/// Things that are missing of a task and are told.
const MISSING_TOLD: usize = 2;

impl std::fmt::Display for TaskCovered {
    /// What somebody says of it, without a full stop.
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "about {:.0} % of {}, an estimate", about(self.covered), self.task.name())?;
        if !self.unknown_parts.is_empty() {
            write!(
                f,
                " (about {:.0} % cannot be said: strength of the {} is not known)",
                about(self.unknown),
                list(&self.unknown_parts)
            )?;
        }
        let most: Vec<String> = self.missing.iter().take(MISSING_TOLD).map(|m| m.what.clone()).collect();
        if most.is_empty() {
            f.write_str("; of what is known nothing is missing")
        } else {
            write!(f, "; most is missing at {}", list(&most))
        }
    }
}

/// What a part is of; both legs are told together.
#[derive(Clone, Copy, Debug, PartialEq)]
enum What {
    Work(MuscleGroup),
    Angle(JointMotion),
    Going(AnatomicalDirection),
    Arms,
}

impl std::fmt::Display for What {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Self::Work(group) => write!(f, "work of the {}", group.name()),
            Self::Angle(motion) => f.write_str(motion.name()),
            Self::Going(direction) => write!(f, "going {direction}"),
            Self::Arms => f.write_str("what arms and trunk do"),
        }
    }
}

/// One part of a task to one side.
struct Part {
    aspect: Aspect,
    /// What the whole of it adds to `C`.
    weight: f64,
    /// How much of it is covered.
    covered: f64,
    /// Moving leg, standing leg, neither: an order that a mirror does not change.
    leg: u8,
    what: What,
}

/// A part as the bridge tells it: what is asked, and how much of that is reached.
struct Raw {
    aspect: Aspect,
    asked: f64,
    reached: f64,
    leg: u8,
    what: What,
}

/// The parts of known demand, in the order of the bridge, and the share `κ` of muscle groups that is known.
fn raw(coverage: &Coverage, spec: &MovementSpec) -> (Vec<Raw>, f64) {
    let leg = |side: Option<Side>| side.map_or(2, |s| u8::from(s != coverage.direction.mover));
    let mut out: Vec<Raw> = Vec::new();
    let mut unknown = 0_u8;
    for part in &coverage.parts {
        let Some(group) = group_of(part.part) else { continue };
        match part.covered {
            Covered::Share { asked, covered, .. } => out.push(Raw {
                aspect: Aspect::Muscles,
                asked: asked.in_one(),
                reached: covered.in_one(),
                leg: leg(part.side),
                what: What::Work(group),
            }),
            Covered::Unknown => unknown += 1,
        }
    }
    #[allow(clippy::cast_precision_loss)] // a few groups
    let known = out.len() as f64 / (out.len() as f64 + f64::from(unknown)).max(1.0);
    out.extend(coverage.angles.iter().map(|angle| Raw {
        aspect: Aspect::Angles,
        asked: angle.asked.in_rad(),
        reached: (angle.reached.in_rad() / angle.asked.in_rad()).min(1.0),
        leg: leg(angle.side),
        what: What::Angle(angle.motion),
    }));
    out.push(Raw {
        aspect: Aspect::Direction,
        asked: 1.0,
        reached: coverage.direction.covered.in_one(),
        leg: 0,
        what: What::Going(spec.direction()),
    });
    out.push(Raw {
        aspect: Aspect::Arms,
        asked: f64::from(u8::from(coverage.direction.arms != ArmsCoverage::NotAsked)),
        reached: f64::from(u8::from(coverage.direction.arms == ArmsCoverage::Practised)),
        leg: 2,
        what: What::Arms,
    });
    (out, known)
}

/// The parts of a task to one side beyond quiet standing (`still`), in an order that neither the set nor
/// a mirror changes.
fn parts(task: &Profile, still: &[Raw], set: &[Profile], figures: &Figures) -> Vec<Part> {
    let (found, known) = raw(&covers(task, set), &task.spec);
    let mut asked = ByAspect::default();
    for part in &found {
        asked[part.aspect as usize] += part.asked;
    }
    let counts = Aspect::ALL.map(|aspect| {
        // Only arms may not be asked; a group of muscles or an angle that is not known still counts.
        let is_asked = asked[aspect as usize] > 0.0 || aspect != Aspect::Arms;
        if is_asked { aspect.weight(figures) } else { 0.0 }
    });
    let together: f64 = counts.iter().sum();
    // What a part counts with standing still in it; half of the whole for each side.
    let whole = |part: &Raw| {
        let (of_aspect, counts) = (asked[part.aspect as usize], counts[part.aspect as usize]);
        let known = if part.aspect == Aspect::Muscles { known } else { 1.0 };
        if of_aspect > 0.0 { known * counts / together * part.asked / of_aspect / 2.0 } else { 0.0 }
    };
    let stood: f64 = still.iter().map(|part| whole(part) * part.reached).sum();
    let beyond = 1.0 - 2.0 * stood;
    let mut out: Vec<Part> = found
        .iter()
        .zip(still)
        .filter(|(part, still)| still.reached < 1.0 && whole(part) > 0.0)
        .map(|(part, still)| Part {
            aspect: part.aspect,
            weight: whole(part) * (1.0 - still.reached) / beyond,
            covered: ((part.reached - still.reached) / (1.0 - still.reached)).max(0.0),
            leg: part.leg,
            what: part.what,
        })
        .collect();
    out.sort_by(|a, b| a.aspect.cmp(&b.aspect).then(b.weight.total_cmp(&a.weight)).then(a.leg.cmp(&b.leg)));
    out
}

/// The muscle group of a part; the extensors of the trunk stand as a joint motion.
fn group_of(part: Asked) -> Option<MuscleGroup> {
    match part {
        Asked::Group(group) => Some(group),
        Asked::Motion(motion) => {
            (motion == MuscleGroup::TrunkExtensors.motion()).then_some(MuscleGroup::TrunkExtensors)
        }
    }
}

impl TaskAsked {
    /// What a task asks of this body. Programmes are made with it where the task is a goal.
    #[must_use]
    pub fn of(body: &Body, capacity: &Capacity, task: GoalTask) -> Self {
        let (standing, why_not) = match Profile::standing(body, capacity) {
            Ok(standing) => (Some(standing), String::new()),
            Err(why) => (None, why.to_string()),
        };
        let side = |side| {
            if standing.is_none() {
                return Err(why_not.clone());
            }
            Profile::of_goal(body, capacity, task, side).map_err(|why| why.to_string())
        };
        Self { task, sides: PerSide::from_fn(side), standing }
    }

    /// Sides on which this body cannot do the task, in whole sentences. Nothing covers them.
    #[must_use]
    pub fn impossible(&self) -> Vec<String> {
        let told = |side: Side| {
            self.sides.get(side).as_ref().err().map(|why| {
                format!(
                    "{} with the {side} leg cannot be computed for this body and counts as not covered: {why}.",
                    capital(self.task.name())
                )
            })
        };
        Side::BOTH.into_iter().filter_map(told).collect()
    }

    /// How much of it these movements cover together, whatever their dose. All must come from the
    /// same body and capacity. An empty set covers nothing.
    #[must_use]
    pub fn covered(&self, set: &[Profile]) -> TaskCovered {
        let figures = figures();
        let (mut covered, mut known) = (0.0, 0.0);
        let mut missing: Vec<(What, f64)> = Vec::new();
        let mut unknown_parts: Vec<String> = Vec::new();
        for side in Side::BOTH {
            let (Ok(profile), Some(standing)) = (self.sides.get(side), &self.standing) else { continue };
            for part in &covers(profile, &[]).parts {
                let name = group_of(part.part).map(|g| g.name().to_owned());
                if let (Covered::Unknown, Some(name)) = (part.covered, name)
                    && !unknown_parts.contains(&name)
                {
                    unknown_parts.push(name);
                }
            }
            let (still, _) = raw(&covers(profile, std::slice::from_ref(standing)), &profile.spec);
            for part in parts(profile, &still, set, figures) {
                covered += part.weight * part.covered;
                known += part.weight;
                let lack = part.weight * (1.0 - part.covered);
                match missing.iter_mut().find(|(what, _)| *what == part.what) {
                    Some((_, sum)) => *sum += lack,
                    None => missing.push((part.what, lack)),
                }
            }
        }
        missing.retain(|(_, lack)| *lack > 0.0);
        missing.sort_by(|a, b| b.1.total_cmp(&a.1));
        let share = |x: f64| Share::of_one(x.clamp(0.0, 1.0));
        TaskCovered {
            task: self.task,
            covered: share(covered),
            unknown: share(1.0 - known),
            unknown_parts,
            missing: missing
                .into_iter()
                .map(|(what, lack)| Missing { what: what.to_string(), share: share(lack) })
                .collect(),
        }
    }

    /// Whether a movement goes the way of the task, named from the limb that moves.
    pub(crate) fn goes_its_way(&self, spec: &MovementSpec) -> bool {
        let way = |spec: &MovementSpec| spec.bearing.named_from(spec.mover);
        let asked =
            Side::BOTH.into_iter().find_map(|side| Some(way(&self.sides.get(side).as_ref().ok()?.spec)));
        asked == Some(way(spec))
    }

    /// What each of many movements covers, each asked once, times what it counts.
    pub(crate) fn table<'a>(
        &self,
        of: impl Iterator<Item = (Option<&'a Profile>, f64)> + Clone,
    ) -> TaskTable {
        let figures = figures();
        let side = |side: Side| -> Option<SideTable> {
            let profile = self.sides.get(side).as_ref().ok()?;
            let standing = self.standing.as_ref()?;
            let (still, _) = raw(&covers(profile, std::slice::from_ref(standing)), &profile.spec);
            let parts_of = |set: &[Profile]| parts(profile, &still, set, figures);
            let weights: Vec<(Aspect, f64)> =
                parts_of(&[]).into_iter().map(|part| (part.aspect, part.weight)).collect();
            let covered = |(one, counts): (Option<&Profile>, f64)| match one {
                Some(one) => {
                    parts_of(std::slice::from_ref(one)).into_iter().map(|p| p.covered * counts).collect()
                }
                None => vec![0.0; weights.len()],
            };
            let covered = of.clone().map(covered).collect();
            Some(SideTable { weights, covered })
        };
        TaskTable { sides: Side::BOTH.into_iter().filter_map(side).collect() }
    }
}

/// A task with what each of many movements covers of it, part by part.
#[derive(Clone, Debug, Default)]
pub(crate) struct TaskTable {
    sides: Vec<SideTable>,
}

#[derive(Clone, Debug)]
struct SideTable {
    /// By part: what the whole of it adds to `C`.
    weights: Vec<(Aspect, f64)>,
    /// By movement and part, times what the movement counts.
    covered: Vec<Vec<f64>>,
}

/// Of every part the most that one movement covers, and the sum over the movements, by side.
#[derive(Clone, Debug)]
pub(crate) struct SoFar(Vec<Vec<(f64, f64)>>);

impl TaskTable {
    /// No movement yet.
    pub(crate) fn nothing(&self) -> SoFar {
        SoFar(self.sides.iter().map(|side| vec![(0.0, 0.0); side.weights.len()]).collect())
    }

    /// One movement more.
    pub(crate) fn add(&self, so_far: &mut SoFar, movement: usize) {
        for (side, parts) in self.sides.iter().zip(&mut so_far.0) {
            for ((most, sum), covered) in parts.iter_mut().zip(&side.covered[movement]) {
                *most = most.max(*covered);
                *sum += covered;
            }
        }
    }

    /// What all of them give when each is done so many times.
    pub(crate) fn gives(&self, so_far: &SoFar, done: f64, figures: &Figures) -> f64 {
        let doses = Aspect::ALL.map(|aspect| done / aspect.repetitions(figures));
        let of_side = |(side, parts): (&SideTable, &Vec<(f64, f64)>)| -> f64 {
            let dosed = side.weights.iter().zip(parts);
            dosed
                .map(|((aspect, weight), (most, sum))| weight * most.min(sum * doses[*aspect as usize]))
                .sum()
        };
        self.sides.iter().zip(&so_far.0).map(of_side).sum()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// By hand: two movements, a part of muscles (10 repetitions a whole set) and the direction (4),
    /// each half of the task.
    #[test]
    fn what_is_done_too_seldom_counts_in_part_and_every_movement_adds_to_the_dose() {
        let side = SideTable {
            weights: vec![(Aspect::Muscles, 0.5), (Aspect::Direction, 0.5)],
            covered: vec![vec![0.6, 0.0], vec![0.4, 1.0]],
        };
        let table = TaskTable { sides: vec![side] };
        let figures = figures();
        assert_eq!((figures.repetitions_for_strength, figures.repetitions_for_control), (10.0, 4.0));
        let mut so_far = table.nothing();
        table.add(&mut so_far, 0);
        // 0.5 · min(0.6, 0.6 · 5/10).
        assert!((table.gives(&so_far, 5.0, figures) - 0.15).abs() < 1e-12);
        table.add(&mut so_far, 1);
        // 0.5 · min(0.6, 1.0 · 2/10) + 0.5 · min(1, 1 · 2/4), and with enough 0.5 · 0.6 + 0.5.
        assert!((table.gives(&so_far, 2.0, figures) - 0.35).abs() < 1e-12);
        assert!((table.gives(&so_far, 5.0, figures) - (0.25 + 0.5)).abs() < 1e-12);
        assert!((table.gives(&so_far, 10.0, figures) - 0.8).abs() < 1e-12);
    }
}
