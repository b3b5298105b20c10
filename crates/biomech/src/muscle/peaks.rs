//! The largest share each set of leg muscles gives over a whole motion.

use anatomy::{LegMuscles, PerSide, Side};

use super::demands::{MuscleDemand, MuscleScratch, share_sized};
use super::frame::LegFrame;
use super::strength::{SETS, place, sizes};
use crate::body::Body;
use crate::capacity::Capacity;

/// The largest demand of one set of muscles over a motion, and when.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct MusclePeak {
    /// The largest; unknown as soon as it is unknown at any moment, since it might be largest there.
    pub demand: MuscleDemand,
    /// Number of the frame: of the largest, or of the first unknown one.
    pub frame: usize,
}

/// The peaks of every set of one leg.
#[derive(Clone, Debug, PartialEq)]
pub struct MusclePeaks {
    sets: [MusclePeak; SETS],
}

impl MusclePeaks {
    /// The peak of one set.
    #[must_use]
    pub fn of(&self, set: LegMuscles) -> MusclePeak {
        self.sets[place(set)]
    }

    /// Every set, hip first.
    pub fn all(&self) -> impl Iterator<Item = (LegMuscles, MusclePeak)> + '_ {
        LegMuscles::ALL.into_iter().zip(self.sets)
    }
}

/// Shares the moments of both legs at every frame of a motion (see [`super::share`]), each frame
/// started from the one before, and keeps the largest. `None` for a motion without frames.
/// Allocates nothing.
#[must_use]
pub fn share_motion(
    body: &Body,
    capacity: &Capacity,
    frames: &[PerSide<LegFrame>],
    scratch: &mut MuscleScratch,
) -> Option<PerSide<MusclePeaks>> {
    if frames.is_empty() {
        return None;
    }
    Some(PerSide::from_fn(|side: Side| {
        let sizes = sizes(body, side);
        let mut peaks: Option<MusclePeaks> = None;
        for (number, frame) in frames.iter().enumerate() {
            let now = share_sized(capacity, side, frame.get(side), &sizes, scratch);
            match &mut peaks {
                None => {
                    let sets = LegMuscles::ALL.map(|set| MusclePeak { demand: now.of(set), frame: number });
                    peaks = Some(MusclePeaks { sets });
                }
                Some(peaks) => {
                    for (peak, (_, demand)) in peaks.sets.iter_mut().zip(now.all()) {
                        let larger = match (peak.demand.share(), demand.share()) {
                            (Some(old), Some(new)) => new > old,
                            (Some(_), None) => true,
                            (None, _) => false,
                        };
                        if larger {
                            *peak = MusclePeak { demand, frame: number };
                        }
                    }
                }
            }
        }
        peaks.unwrap_or_else(|| unreachable!("a motion with frames has peaks"))
    }))
}
