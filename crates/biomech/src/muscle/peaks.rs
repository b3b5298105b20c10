//! The largest share each set of leg muscles gives over a whole motion, and the hardest press.

use anatomy::{LegMuscles, PerSide, Side};

use super::contact::{Contact, ContactForces, JointLoads, contact};
use super::demands::{MuscleDemand, MuscleDemands, MuscleScratch, share_sized};
use super::frame::LegFrame;
use super::strength::{SETS, place, sizes};
use crate::body::Body;
use crate::capacity::Capacity;
use crate::course::Course;
use crate::tree::{Scratch, Tree};

/// The largest of something over a motion, and when.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Peak<T> {
    /// The largest; unknown as soon as it is unknown at any moment, since it might be largest there.
    pub value: T,
    /// Number of the frame: of the largest, or of the first unknown one.
    pub frame: usize,
}

impl<T: Copy> Peak<T> {
    /// Takes another moment into account; `size` is `None` where it is unknown.
    fn meet(&mut self, value: T, frame: usize, size: impl Fn(T) -> Option<f64>) {
        let larger = match (size(self.value), size(value)) {
            (Some(old), Some(new)) => new > old,
            (Some(_), None) => true,
            (None, _) => false,
        };
        if larger {
            *self = Self { value, frame };
        }
    }
}

/// The peaks of every set of muscles of one leg.
#[derive(Clone, Debug, PartialEq)]
pub struct MusclePeaks {
    sets: [Peak<MuscleDemand>; SETS],
}

impl MusclePeaks {
    fn first(demands: &MuscleDemands) -> Self {
        Self { sets: LegMuscles::ALL.map(|set| Peak { value: demands.of(set), frame: 0 }) }
    }

    fn meet(&mut self, demands: &MuscleDemands, frame: usize) {
        for (peak, (_, demand)) in self.sets.iter_mut().zip(demands.all()) {
            peak.meet(demand, frame, |d| Some(d.share()?.in_one()));
        }
    }

    /// The peak of one set.
    #[must_use]
    pub fn of(&self, set: LegMuscles) -> Peak<MuscleDemand> {
        self.sets[place(set)]
    }

    /// Every set, hip first.
    pub fn all(&self) -> impl Iterator<Item = (LegMuscles, Peak<MuscleDemand>)> + '_ {
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
    frames: impl IntoIterator<Item = PerSide<LegFrame>>,
    scratch: &mut MuscleScratch,
) -> Option<PerSide<MusclePeaks>> {
    let sizes = PerSide::from_fn(|side| sizes(body, side));
    let mut peaks: Option<PerSide<MusclePeaks>> = None;
    for (number, frame) in frames.into_iter().enumerate() {
        let now =
            PerSide::from_fn(|side| share_sized(capacity, side, frame.get(side), sizes.get(side), scratch));
        match &mut peaks {
            None => peaks = Some(PerSide::from_fn(|side| MusclePeaks::first(now.get(side)))),
            Some(peaks) => {
                for side in Side::BOTH {
                    peaks.get_mut(side).meet(now.get(side), number);
                }
            }
        }
    }
    peaks
}

/// What one leg goes through in a movement in time.
#[derive(Clone, Debug, PartialEq)]
pub struct LegPeaks {
    /// Demands of its muscles.
    pub muscles: MusclePeaks,
    /// Thigh bone against the socket, coarse; see [`ContactForces`].
    pub hip: Peak<Contact>,
    /// Thigh bone against shank, coarse.
    pub knee: Peak<Contact>,
    /// Kneecap against thigh bone, coarse.
    pub patellofemoral: Peak<Contact>,
}

/// Muscle demands and joint contact forces over a whole movement in time, braking and lowering
/// included: the peaks of both legs. Strength is that at each joint's speed. `None` for a course
/// without frames.
#[must_use]
pub fn course_peaks(
    body: &Body,
    capacity: &Capacity,
    course: &Course,
    scratch: &mut MuscleScratch,
) -> Option<PerSide<LegPeaks>> {
    let tree = Tree::of(body, &[]);
    let mut room = Scratch::new();
    let sizes = PerSide::from_fn(|side| sizes(body, side));
    let mut peaks: Option<PerSide<LegPeaks>> = None;
    for (number, frame) in course.frames.iter().enumerate() {
        let loads = JointLoads::in_course(&tree, frame, &mut room);
        let now: PerSide<(MuscleDemands, ContactForces)> = PerSide::from_fn(|side| {
            let leg = LegFrame::in_course(frame, side);
            let demands = share_sized(capacity, side, &leg, sizes.get(side), scratch);
            let pressed = contact(body, side, &leg, loads.get(side), &demands);
            (demands, pressed)
        });
        match &mut peaks {
            None => {
                peaks = Some(now.map(|(demands, pressed)| {
                    let first = |value| Peak { value, frame: 0 };
                    LegPeaks {
                        muscles: MusclePeaks::first(&demands),
                        hip: first(pressed.hip),
                        knee: first(pressed.knee),
                        patellofemoral: first(pressed.patellofemoral),
                    }
                }));
            }
            Some(peaks) => {
                for side in Side::BOTH {
                    let (demands, pressed) = now.get(side);
                    let leg = peaks.get_mut(side);
                    leg.muscles.meet(demands, number);
                    leg.hip.meet(pressed.hip, number, Contact::body_weights);
                    leg.knee.meet(pressed.knee, number, Contact::body_weights);
                    leg.patellofemoral.meet(pressed.patellofemoral, number, Contact::body_weights);
                }
            }
        }
    }
    peaks
}
