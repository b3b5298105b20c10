//! Which phase follows which, and at what times the frames stand.

use movement::Family;
use serde::Serialize;

use super::choices::choices;

/// What happens at a moment of a movement in time.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum CoursePhase {
    /// Still at the start: the movement takes less than the time asked for it.
    Wait,
    /// Both feet carry; the weight goes over to the standing foot.
    Shift,
    /// The moving foot is off the floor on its way out; the standing foot carries everything.
    Swing,
    /// The moving foot has landed and takes weight, the pelvis sinks to its depth.
    LandAndLoad,
    /// Held at the far point.
    Hold,
    /// Both feet carry; the moving foot pushes the weight back over the standing foot.
    PushOff,
    /// The moving foot is off the floor on its way back.
    SwingBack,
    /// Both feet are at the start again; the weight comes to rest between them.
    Settle,
    /// Both feet stay; the body goes down and out to the point.
    Lower,
    /// Both feet stay; the body comes back up.
    Rise,
}

impl CoursePhase {
    /// Plain words.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::Wait => "wait",
            Self::Shift => "shift",
            Self::Swing => "swing",
            Self::LandAndLoad => "land and load",
            Self::Hold => "hold",
            Self::PushOff => "push off",
            Self::SwingBack => "swing back",
            Self::Settle => "settle",
            Self::Lower => "lower",
            Self::Rise => "rise",
        }
    }

    /// Whether one foot is off the floor or bears nothing.
    #[must_use]
    pub fn on_one_leg(self, family: Family) -> bool {
        match self {
            Self::Swing | Self::SwingBack => true,
            Self::Hold => family == Family::Reach,
            _ => false,
        }
    }

    /// The phase that undoes this one on the way back.
    pub(crate) fn undone(self) -> Self {
        match self {
            Self::Shift => Self::Settle,
            Self::Swing => Self::SwingBack,
            Self::LandAndLoad => Self::PushOff,
            Self::Lower => Self::Rise,
            other => other,
        }
    }
}

/// Frames of one way, both ends counted.
pub(crate) const WAY_FRAMES: usize = 27;
/// Frames of the hold, between the ends of the two ways.
pub(crate) const HOLD_FRAMES: usize = 6;

/// Steps between frames spent in shift, swing and load.
const STEPS: [usize; 3] = [8, 10, 8];
/// The same for a reach, which has no load.
const REACH_STEPS: [usize; 3] = [11, 15, 0];

/// The frames of one way at a duration, as shares of it.
pub(crate) struct Timeline {
    /// Time of every frame as a share of the way.
    pub(crate) share: [f64; WAY_FRAMES],
    /// Frame in which the moving foot leaves the floor, frame in which it arrives.
    pub(crate) swing: Option<(usize, usize)>,
}

impl Timeline {
    /// The frames of a family: evenly spread within each phase.
    pub(crate) fn of(family: Family) -> Self {
        let c = choices();
        let (steps, shares) = match family {
            Family::BendAndReach => ([WAY_FRAMES - 1, 0, 0], [1.0, 0.0, 0.0]),
            Family::Reach => {
                let both = c.shift_share + c.swing_share;
                (REACH_STEPS, [c.shift_share / both, c.swing_share / both, 0.0])
            }
            _ => {
                let all = c.shift_share + c.swing_share + c.load_share;
                (STEPS, [c.shift_share / all, c.swing_share / all, c.load_share / all])
            }
        };
        let mut share = [1.0; WAY_FRAMES];
        let (mut k, mut from) = (0, 0.0);
        for (steps, length) in steps.into_iter().zip(shares) {
            for i in 0..steps {
                share[k] = from + length * i as f64 / steps as f64;
                k += 1;
            }
            from += length;
        }
        let swing = (steps[1] > 0).then_some((steps[0], steps[0] + steps[1]));
        Self { share, swing }
    }

    /// The phase of a frame on the way out.
    pub(crate) fn phase(&self, k: usize) -> CoursePhase {
        match self.swing {
            None => CoursePhase::Lower,
            Some((off, _)) if k < off => CoursePhase::Shift,
            Some((_, on)) if k <= on => CoursePhase::Swing,
            Some(_) => CoursePhase::LandAndLoad,
        }
    }

    /// Whether the moving foot takes weight at the end of its way.
    pub(crate) fn lands(&self) -> bool {
        self.swing.is_some_and(|(_, on)| on + 1 < WAY_FRAMES)
    }

    /// Whether one foot carries everything in this frame.
    pub(crate) fn on_one_leg(&self, k: usize) -> bool {
        self.swing.is_some_and(|(off, on)| off <= k && k <= on)
    }

    /// How near in time a frame is to the landing: 1 there, nothing before the middle of the swing and after
    /// half the load.
    pub(crate) fn touchdown(&self, k: usize) -> f64 {
        let Some((off, on)) = self.swing.filter(|_| self.lands()) else { return 0.0 };
        let (off, on) = (self.share[off], self.share[on]);
        self.between(k, f64::midpoint(off, on), on) * (1.0 - self.between(k, on, f64::midpoint(on, 1.0)))
    }

    /// How far a frame is between two frames in time, minimum jerk, 0 before and 1 after.
    pub(crate) fn between(&self, k: usize, from: f64, to: f64) -> f64 {
        smooth(((self.share[k] - from) / (to - from).max(1e-9)).clamp(0.0, 1.0))
    }
}

/// Minimum jerk from 0 to 1 (Flash & Hogan 1985).
pub(crate) fn smooth(s: f64) -> f64 {
    s * s * s * (10.0 + s * (6.0 * s - 15.0))
}
