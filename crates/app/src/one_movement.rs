//! One movement at once: its posture, what it asks of each muscle group, its balance, and both gates.
//!
//! Nothing here needs a second movement (no slopes, no neighbours, nothing in time), so that a hand that
//! drags a distance is answered while it drags. [`crate::explain_case`] says the rest.

use std::sync::Arc;

use anatomy::{Coordinate, JointMotion, MuscleGroup, Side};
use biomech::MotionError;
use movement::MovementSpec;
use quantity::{Angle, Share, Span};
use safety::{AngleCheck, Computed, Engine, Movements};

use crate::PersonToday;
use crate::explain::{DemandWords, Verdict, demand_words};

/// A joint that bends less than this is not written on the figure, degrees; half of it where a limit
/// speaks and is kept. A choice of display.
const WRITTEN_FROM_DEG: f64 = 10.0;

/// What a movement asks of one muscle group at its hardest moment. An estimate.
#[derive(Clone, Debug, PartialEq)]
pub struct GroupRow {
    /// Which leg; absent for the trunk.
    pub side: Option<Side>,
    /// Which group.
    pub group: MuscleGroup,
    /// The estimate with its band, or unknown.
    pub demand: DemandWords,
}

/// A joint angle that is worth writing on the figure. An estimate.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct WrittenAngle {
    /// Which leg; absent for the trunk.
    pub side: Option<Side>,
    /// In which direction it is named.
    pub motion: JointMotion,
    /// The angle: of the posture that is shown, or the worst of all where a limit speaks.
    pub angle: Angle,
    /// The limit that speaks about it, and whether it is kept.
    pub limit: Option<(Angle, bool)>,
}

/// One movement of one person today.
#[derive(Clone, Debug, PartialEq)]
pub struct OneMovement {
    /// The movement.
    pub movement: MovementSpec,
    /// The distance as a share of the length of the moving leg.
    pub of_leg: Share,
    /// Its rung on the movement ladder.
    pub level: u8,
    /// What both gates say, or why the body cannot do it.
    pub verdict: Verdict,
    /// Postures, moments and demands; none where the body cannot do it.
    pub computed: Option<Arc<Computed>>,
    /// Muscle groups that act in it.
    pub groups: Vec<GroupRow>,
    /// Limits that speak about it.
    pub checks: Vec<AngleCheck>,
    /// Time of one such movement, out and back and still again.
    pub takes: Span,
}

/// Computes one movement. The posture is computed even when gate A refuses, so that the reason can be
/// seen. The same input gives the same answer, whatever the cache holds.
#[must_use]
pub fn one_movement(
    person: &PersonToday<'_>,
    movements: &impl Movements,
    spec: &MovementSpec,
) -> OneMovement {
    let engine = Engine { body: &person.body, capacity: &person.capacity };
    let tried = movements.near(spec, None).map_or_else(
        || match biomech::motion(&person.body, &person.capacity, spec) {
            Ok(motion) => Ok(Arc::new(Computed::of(engine, motion))),
            Err(error) => Err(error),
        },
        Ok,
    );
    judged(person, spec, tried)
}

/// As [`one_movement`], but tried directly only: `None` where no posture is found at once. Then
/// [`one_movement`] looks longer, and says by how much it is out of reach.
#[must_use]
pub fn one_movement_at_once(
    person: &PersonToday<'_>,
    movements: &impl Movements,
    spec: &MovementSpec,
) -> Option<OneMovement> {
    Some(judged(person, spec, Ok(movements.near(spec, None)?)))
}

/// Asks both gates about what was computed.
fn judged(
    person: &PersonToday<'_>,
    spec: &MovementSpec,
    tried: Result<Arc<Computed>, MotionError>,
) -> OneMovement {
    let screened = person.allowed.screen(spec.clone());
    let gate_a = screened.as_ref().err().cloned().unwrap_or_default();
    let notes = screened.as_ref().map_or(&[][..], |passed| passed.notes());
    let mut out = OneMovement {
        of_leg: Share::of_one(spec.distance.ratio(person.body.leg_length(spec.mover))),
        level: safety::level(spec),
        takes: programme::tempo_of(notes).one_movement(),
        movement: spec.clone(),
        verdict: Verdict::Refused { gate: 'A', by: gate_a },
        computed: None,
        groups: Vec::new(),
        checks: Vec::new(),
    };
    let computed = match tried {
        Ok(computed) => computed,
        Err(error) => {
            if screened.is_ok() {
                out.verdict = Verdict::NotPossible { words: error.to_string(), error };
            }
            return out;
        }
    };
    out.groups = groups(&computed);
    out.checks = person.allowed.angle_checks(&computed.motion);
    if let Ok(screened) = screened {
        let Computed { motion, moments, demands } = computed.as_ref();
        out.verdict = match person.allowed.permit(screened, motion, moments, demands, person.today) {
            Ok(permitted) => Verdict::Permitted { notes: permitted.notes().to_vec() },
            Err(by) => Verdict::Refused { gate: 'B', by },
        };
    }
    out.computed = Some(computed);
    out
}

fn groups(computed: &Computed) -> Vec<GroupRow> {
    let row = |group: MuscleGroup, side: Option<Side>| {
        let demand = computed.demands.of(side.unwrap_or(Side::Left), group.motion())?;
        Some(GroupRow { side, group, demand: demand_words(demand) })
    };
    MuscleGroup::ALL
        .into_iter()
        .flat_map(|group| match group {
            MuscleGroup::TrunkExtensors => vec![row(group, None)],
            _ => Side::BOTH.map(|side| row(group, Some(side))).to_vec(),
        })
        .flatten()
        .collect()
}

impl OneMovement {
    /// Whether both gates passed.
    #[must_use]
    pub fn is_permitted(&self) -> bool {
        matches!(self.verdict, Verdict::Permitted { .. })
    }

    /// The angles worth writing on the figure, `most` at most: those of which a limit speaks, then the
    /// largest. Hip flexion is that of the thigh against the pelvis, but for a limit of the trunk.
    #[must_use]
    pub fn written_angles(&self, most: usize) -> Vec<WrittenAngle> {
        let Some(computed) = &self.computed else { return Vec::new() };
        let posture = &computed.motion.shown().posture;
        let mut out: Vec<WrittenAngle> = self
            .checks
            .iter()
            .filter(|check| !check.passes() || check.computed.in_deg() >= WRITTEN_FROM_DEG / 2.0)
            .map(|check| WrittenAngle {
                side: Some(check.side),
                motion: check.motion,
                angle: check.computed,
                limit: Some((check.blocked_above, check.passes())),
            })
            .collect();
        out.sort_by(|a, b| {
            let kept = |one: &WrittenAngle| one.limit.is_some_and(|(_, kept)| kept);
            kept(a).cmp(&kept(b))
        });
        let flexions = [
            Coordinate::HipFlexion,
            Coordinate::KneeFlexion,
            Coordinate::AnkleDorsiflexion,
            Coordinate::HipAdduction,
        ];
        let legs = Side::BOTH.into_iter().flat_map(|side| flexions.map(|c| (Some(side), c)));
        let mut rest: Vec<WrittenAngle> = legs
            .chain([(None, Coordinate::LumbarFlexion)])
            .map(|(side, coordinate)| {
                let angle = posture.angle(side.unwrap_or(Side::Left), coordinate);
                let motion = if angle < Angle::ZERO { coordinate.negative() } else { coordinate.positive() };
                WrittenAngle { side, motion, angle: angle.times(motion.sign()), limit: None }
            })
            .filter(|one| one.angle.in_deg() >= WRITTEN_FROM_DEG)
            .filter(|one| !out.iter().any(|known| (known.side, known.motion) == (one.side, one.motion)))
            .collect();
        rest.sort_by(|a, b| b.angle.in_deg().total_cmp(&a.angle.in_deg()));
        out.extend(rest);
        // One limit may speak in two rules; the first of them is the stricter.
        let mut seen: Vec<(Option<Side>, JointMotion)> = Vec::new();
        out.retain(|one| {
            let new = !seen.contains(&(one.side, one.motion));
            seen.push((one.side, one.motion));
            new
        });
        out.truncate(most);
        out
    }
}
