//! How much harder each set of leg muscles works for a centimetre, a kilogram, a degree of lean.
//!
//! The same exact differences as [`sensitivities`](crate::sensitivities), read off the shares of the
//! muscles instead of the joint moments. Where a set's share is unknown on any side of a step nothing
//! is said about it. Estimates.

use anatomy::{LegMuscles, Side};
use serde::Serialize;

use crate::body::Body;
use crate::capacity::Capacity;
use crate::demand::moments;
use crate::muscle::{LegFrame, MuscleDemand, share};
use crate::result::{Motion, Phase};
use crate::sensitivity::{Around, NoSlope, Peak, Slope};

/// How one set of muscles answers to one lever.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum SetSlope {
    /// Estimate.
    PerUnit {
        /// Change of the share of the set's strength per unit (0.01: one per cent of its strength).
        share: f64,
        /// Whether only one side of the step could be done.
        one_sided: bool,
    },
    /// There is no one slope.
    CannotSay {
        /// Why.
        why: NoSlope,
    },
}

/// How one set of muscles answers to every lever.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct SetSensitivity {
    /// Which leg.
    pub side: Side,
    /// Which set; the vasti are one.
    pub set: LegMuscles,
    /// The largest share over the key moments.
    pub demand: MuscleDemand,
    /// By lever, in the order of [`Lever::ALL`](crate::Lever::ALL).
    pub slopes: [SetSlope; 3],
}

/// The largest demand of every set of one leg over the key moments, and when. A set that is unknown at
/// any moment is unknown.
fn largest(
    body: &Body,
    capacity: &Capacity,
    found: &Motion,
    side: Side,
) -> Vec<(LegMuscles, Phase, MuscleDemand)> {
    let mut out: Vec<(LegMuscles, Phase, MuscleDemand)> = Vec::new();
    for (k, frame) in moments(body, found).frames.iter().enumerate() {
        let shares = share(body, capacity, side, &LegFrame::of(frame, side));
        for (place, (set, new)) in shares.all().enumerate() {
            if k == 0 {
                out.push((set, frame.phase, new));
                continue;
            }
            let old = &mut out[place];
            let replaces = match (old.2.share(), new.share()) {
                (Some(old), Some(new)) => new > old,
                (Some(_), None) => true,
                (None, _) => false,
            };
            if replaces {
                *old = (set, frame.phase, new);
            }
        }
    }
    out
}

/// What one centimetre, one kilogram, one degree of lean changes in the share of every set of muscles
/// that is known, left leg before right. Up to seven movements are solved.
#[must_use]
pub fn set_sensitivities(body: &Body, capacity: &Capacity, found: &Motion) -> Vec<SetSensitivity> {
    let around = Around::of(body, capacity, found);
    let mut out = Vec::new();
    for side in Side::BOTH {
        for (set, _, demand) in largest(body, capacity, &around.base, side) {
            if demand.share().is_none() {
                continue;
            }
            let slopes = around.slopes(|m: &Motion| {
                let (_, at, demand) =
                    largest(body, capacity, m, side).into_iter().find(|(other, _, _)| *other == set)?;
                let share = demand.share()?.in_one();
                Some(Peak { at, moment: 0.0, share: Some(share) })
            });
            out.push(SetSensitivity {
                side,
                set,
                demand,
                slopes: slopes.map(|slope| match slope {
                    Slope::PerUnit { share: Some(share), one_sided, .. } => {
                        SetSlope::PerUnit { share, one_sided }
                    }
                    Slope::PerUnit { share: None, .. } => SetSlope::CannotSay { why: NoSlope::PeakMoves },
                    Slope::CannotSay { why } => SetSlope::CannotSay { why },
                }),
            });
        }
    }
    out
}
