//! Ways to make one exercise: which arc of directions, how many repetitions, how many rounds.
//!
//! Candidates that differ only in limb, direction and distance belong to one group. Within a
//! group the directions, named from the limb that moves, lie on a ring; an exercise takes an
//! unbroken arc of those that are permitted, because an arc can be taught in a sentence. Both
//! limbs do the same arc; a limb that may not do a direction leaves it out.

use std::cmp::Ordering;

use anatomy::{PerSide, Side};
use movement::{AnatomicalDirection, Bearing, Crossing, Family, MovementSpec, Support};
use person::GoalKind;

use crate::facts::Facts;
use crate::task::TaskTable;
use crate::{Figures, Limits};

/// A direction of a group on the limbs that may do it: index of the candidate for each.
#[derive(Clone, Debug)]
pub(crate) struct Unit {
    pub direction: AnatomicalDirection,
    pub crossing: Crossing,
    pub limbs: PerSide<Option<usize>>,
}

/// Candidates of one family, support, load, depth and height.
#[derive(Clone, Debug)]
pub(crate) struct Group {
    pub units: Vec<Unit>,
    /// Any one of the candidates.
    pub example: usize,
    /// By goal, what every arc gives it; empty without tasks among the goals.
    pub arcs: Vec<Option<Arcs>>,
}

/// What every unbroken arc of a group gives one task, by first unit, length and how often it is done.
#[derive(Clone, Debug)]
pub(crate) struct Arcs {
    gives: Vec<Vec<Vec<f64>>>,
    /// How often each direction may be done, rounds and all, the least first.
    done: Vec<f64>,
}

impl Arcs {
    /// All arcs, each grown by one direction from the one before it.
    fn of(units: &[Unit], table: &TaskTable, figures: &Figures) -> Self {
        let mut done: Vec<f64> = (figures.repetitions_at_least..=figures.repetitions_at_most)
            .flat_map(|repetitions| {
                (1..=figures.rounds_at_most).map(move |rounds| f64::from(repetitions) * f64::from(rounds))
            })
            .collect();
        done.sort_by(f64::total_cmp);
        done.dedup();
        let from = |start: usize| {
            let mut so_far = table.nothing();
            let along = (start..start + units.len()).map(|u| &units[u % units.len()]);
            along
                .map(|unit| {
                    for k in Side::BOTH.into_iter().filter_map(|side| *unit.limbs.get(side)) {
                        table.add(&mut so_far, k);
                    }
                    done.iter().map(|done| table.gives(&so_far, *done, figures)).collect()
                })
                .collect()
        };
        Self { gives: (0..units.len()).map(from).collect(), done }
    }

    /// Of these units, done so often; nothing when that is less often than is ever asked.
    fn gives(&self, units: &[usize], done: f64) -> f64 {
        match (units, self.done.iter().rposition(|least| *least <= done)) {
            ([first, ..], Some(dose)) => self.gives[*first][units.len() - 1][dose],
            _ => 0.0,
        }
    }
}

/// The groups with what their arcs give the tasks among the goals; `tables` by goal.
pub(crate) fn with_tasks(
    mut groups: Vec<Group>,
    tables: &[Option<TaskTable>],
    figures: &Figures,
) -> Vec<Group> {
    for group in &mut groups {
        let arcs = |table: &TaskTable| Arcs::of(&group.units, table, figures);
        group.arcs = tables.iter().map(|table| table.as_ref().map(arcs)).collect();
    }
    groups
}

/// What makes two exercises different ones to somebody who does them.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub(crate) struct Kind {
    pub family: Family,
    /// Hands hold something.
    pub held: bool,
}

impl Kind {
    pub(crate) fn of(spec: &MovementSpec) -> Self {
        Self { family: spec.family, held: spec.support != Support::None }
    }
}

/// One way to make an exercise of a group.
#[derive(Clone, Debug)]
pub(crate) struct Choice {
    pub group: usize,
    pub kind: Kind,
    pub units: Vec<usize>,
    pub repetitions: u8,
    pub rounds: u8,
    pub seconds: f64,
    /// By goal, between 0 and 1.
    pub gains: Vec<f64>,
}

pub(crate) fn same_exercise(a: &MovementSpec, b: &MovementSpec) -> bool {
    a.family == b.family
        && a.support == b.support
        && a.place == b.place
        && a.load == b.load
        && a.depth == b.depth
        && a.hand_height == b.hand_height
        && a.arms == b.arms
        && a.landing == b.landing
        && a.rise == b.rise
}

/// An order that does not depend on which side is which.
fn group_order(a: &MovementSpec, b: &MovementSpec) -> Ordering {
    let key = |s: &MovementSpec| {
        let place = s.place.map_or((0.0, 0.0), |p| (p.front_from, p.right_to - p.right_from));
        (s.load.total().in_kg(), s.depth.map_or(0.0, quantity::Length::in_m), place.0, place.1)
    };
    let (ka, kb) = (key(a), key(b));
    (a.family, a.support, a.place.map(|p| p.kind), a.hand_height)
        .cmp(&(b.family, b.support, b.place.map(|p| p.kind), b.hand_height))
        .then(ka.0.total_cmp(&kb.0))
        .then(ka.1.total_cmp(&kb.1))
        .then(ka.2.total_cmp(&kb.2))
        .then(ka.3.total_cmp(&kb.3))
}

/// Groups of the candidates, in an order that a mirror does not change. Of several distances on
/// one direction the furthest is kept.
pub(crate) fn groups(facts: &[Facts]) -> Vec<Group> {
    // Those of one group stand together in this order, so only the last few groups are asked.
    let mut order: Vec<usize> = (0..facts.len()).collect();
    order.sort_by(|a, b| group_order(&facts[*a].spec, &facts[*b].spec));
    let mut groups: Vec<Group> = Vec::new();
    for k in order {
        let fact = &facts[k];
        let at = groups
            .iter()
            .enumerate()
            .rev()
            .take_while(|(_, g)| group_order(&facts[g.example].spec, &fact.spec) == Ordering::Equal)
            .find(|(_, g)| same_exercise(&facts[g.example].spec, &fact.spec))
            .map(|(i, _)| i);
        let group = match at {
            Some(i) => &mut groups[i],
            None => {
                groups.push(Group { units: Vec::new(), example: k, arcs: Vec::new() });
                let last = groups.len() - 1;
                &mut groups[last]
            }
        };
        let direction = fact.spec.bearing.named_from(fact.spec.mover);
        let crossing = fact.spec.crossing;
        let at = group.units.iter().position(|u| u.direction == direction && u.crossing == crossing);
        let unit = match at {
            Some(i) => &mut group.units[i],
            None => {
                group.units.push(Unit { direction, crossing, limbs: PerSide::from_fn(|_| None) });
                let last = group.units.len() - 1;
                &mut group.units[last]
            }
        };
        let slot = unit.limbs.get_mut(fact.spec.mover);
        let nearer = slot.is_some_and(|old| prefer(&facts[old].spec, &fact.spec));
        if !nearer {
            *slot = Some(k);
        }
    }
    for group in &mut groups {
        group.units.sort_by_key(|u| (u.direction, u.crossing));
    }
    groups
}

/// Whether `old` stays although `new` came: the furthest wins, then the fixed standing foot.
fn prefer(old: &MovementSpec, new: &MovementSpec) -> bool {
    match old.distance.in_m().total_cmp(&new.distance.in_m()) {
        Ordering::Greater => true,
        Ordering::Less => false,
        Ordering::Equal => old.stance_foot <= new.stance_foot,
    }
}

/// Every choice of one group that fits the limits.
pub(crate) fn choices(
    index: usize,
    group: &Group,
    facts: &[Facts],
    goals: &[GoalKind],
    limits: &Limits,
    figures: &Figures,
) -> Vec<Choice> {
    let count = group.units.len();
    let rounds_at_most = limits.rounds.unwrap_or(figures.rounds_at_most).min(figures.rounds_at_most).max(1);
    let mut out = Vec::new();
    for length in 1..=count {
        if limits.directions.is_some_and(|most| length > usize::from(most.max(1))) {
            break;
        }
        let starts = if length == count { 1 } else { count };
        for start in 0..starts {
            let units: Vec<usize> = (start..start + length).map(|u| u % count).collect();
            // As many repetitions in fewer rounds give as much in less time.
            let mut done_before = [false; 256];
            for rounds in 1..=rounds_at_most {
                for repetitions in figures.repetitions_at_least..=figures.repetitions_at_most {
                    let done = usize::from(repetitions) * usize::from(rounds);
                    if done_before.get(done).copied().unwrap_or(false) {
                        continue;
                    }
                    let seconds = seconds(group, &units, facts, repetitions, rounds, figures);
                    if seconds > limits.minutes.in_s() || seconds < figures.exercise_at_least.in_s() {
                        continue;
                    }
                    if let Some(before) = done_before.get_mut(done) {
                        *before = true;
                    }
                    let done = f64::from(repetitions) * f64::from(rounds);
                    let gains = goals
                        .iter()
                        .enumerate()
                        .map(|(g, goal)| gain(goal, g, group, &units, facts, done, figures))
                        .collect();
                    out.push(Choice {
                        group: index,
                        kind: Kind::of(&facts[group.example].spec),
                        units: units.clone(),
                        repetitions,
                        rounds,
                        seconds,
                        gains,
                    });
                }
            }
        }
    }
    out
}

fn seconds(group: &Group, units: &[usize], facts: &[Facts], reps: u8, rounds: u8, figures: &Figures) -> f64 {
    let of_side = |side: Side| -> Option<f64> {
        units
            .iter()
            .filter_map(|u| *group.units[*u].limbs.get(side))
            .map(|k| facts[k].seconds * f64::from(reps))
            .reduce(|a, b| a + b)
    };
    let (left, right) = (of_side(Side::Left), of_side(Side::Right));
    let change = if left.is_some() && right.is_some() { figures.change_limb.in_s() } else { 0.0 };
    let rounds = f64::from(rounds);
    rounds * (left.unwrap_or(0.0) + right.unwrap_or(0.0) + change) + (rounds - 1.0) * figures.rest.in_s()
}

/// What a choice gives one goal, mean of both legs; a task, mean of both its sides.
fn gain(
    goal: &GoalKind,
    g: usize,
    group: &Group,
    units: &[usize],
    facts: &[Facts],
    done: f64,
    figures: &Figures,
) -> f64 {
    let of_leg = |leg: Side| {
        // Both movers of one direction first, then along the arc: the same sum in a mirror.
        let by_direction = units.iter().map(|u| {
            let of_mover =
                |mover: Side| group.units[*u].limbs.get(mover).map(|k| *facts[k].gives[g].get(leg));
            (of_mover(Side::Left), of_mover(Side::Right))
        });
        let sum: f64 = by_direction.clone().map(|(l, r)| l.unwrap_or(0.0) + r.unwrap_or(0.0)).sum();
        let largest =
            by_direction.fold(0.0, |most: f64, (l, r)| most.max(l.unwrap_or(0.0)).max(r.unwrap_or(0.0)));
        match goal {
            GoalKind::Strength { .. } => (sum * done / figures.repetitions_for_strength).min(1.0),
            GoalKind::Range { .. } => largest * (done / figures.repetitions_for_range).min(1.0),
            GoalKind::Control { .. } => largest * (done / figures.repetitions_for_control).min(1.0),
            GoalKind::Balance => {
                #[allow(clippy::cast_precision_loss)] // eight
                let directions = Bearing::ALL.len() as f64;
                // Both hands of a bend and reach load both legs: each bearing counts once.
                let hands = if facts[group.example].spec.family == Family::BendAndReach { 2.0 } else { 1.0 };
                (sum / (hands * directions)).min(1.0) * (done / figures.repetitions_for_control).min(1.0)
            }
            // Both sides of the task are in it already.
            GoalKind::Task { .. } => {
                let arcs = group.arcs.get(g).and_then(Option::as_ref);
                arcs.map_or(0.0, |arcs| arcs.gives(units, done))
            }
        }
    };
    (of_leg(Side::Left) + of_leg(Side::Right)) / 2.0
}

/// Removes choices that another of the same family beats or equals in time and in every goal.
/// The objective grows with every gain, so this never removes the best programme.
pub(crate) fn without_beaten(mut choices: Vec<Choice>) -> Vec<Choice> {
    choices.sort_by(|a, b| {
        a.seconds
            .total_cmp(&b.seconds)
            .then(b.gains.iter().sum::<f64>().total_cmp(&a.gains.iter().sum::<f64>()))
    });
    let mut kept: Vec<Choice> = Vec::new();
    for choice in choices {
        let beaten = kept.iter().any(|k| k.gains.iter().zip(&choice.gains).all(|(a, b)| a >= b));
        if !beaten {
            kept.push(choice);
        }
    }
    kept
}
