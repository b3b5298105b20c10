//! What a movement in time asks of each joint over its whole course, and how near balance comes to its edge.

use std::collections::BTreeMap;

use anatomy::{Coordinate, JointMotion, PerSide, Side};
use movement::Family;
use quantity::{Moment, Span};
use serde::Serialize;

use super::phases::CoursePhase;
use super::timed::{Course, TimedFrame};
use crate::result::{BalanceMargin, FrameMoments, JointMoments, Phase, Turn};

/// Work of one joint coordinate over a course.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize)]
pub struct JointWork {
    /// Joules of lifting and speeding up.
    pub positive_j: f64,
    /// Joules of lowering and braking, not negative.
    pub negative_j: f64,
}

/// One phase of a course.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct PhaseSpan {
    /// Which.
    pub phase: CoursePhase,
    /// Begins at.
    pub from: Span,
    /// Ends at.
    pub to: Span,
}

fn least<'a>(margins: impl Iterator<Item = &'a BalanceMargin>) -> Option<BalanceMargin> {
    margins.copied().min_by(|a, b| a.to_edge_m.total_cmp(&b.to_edge_m))
}

impl Course {
    /// Integral over time by the trapezium rule.
    fn over_time(&self, value: impl Fn(&TimedFrame) -> f64) -> f64 {
        self.frames
            .windows(2)
            .map(|w| (w[1].time.in_s() - w[0].time.in_s()) * 0.5 * (value(&w[0]) + value(&w[1])))
            .sum()
    }

    /// The largest internal moment in the direction of a motion over the course, lowering and braking
    /// included; zero if it never acts. The side is ignored for the trunk.
    #[must_use]
    pub fn peak(&self, side: Side, motion: JointMotion) -> Moment {
        self.frames
            .iter()
            .map(|f| Moment::nm(f.moment(side, motion.coordinate).in_nm() * motion.sign()))
            .fold(Moment::ZERO, Moment::max)
    }

    /// Work at one coordinate over the course.
    #[must_use]
    pub fn work(&self, side: Side, coordinate: Coordinate) -> JointWork {
        JointWork {
            positive_j: self.over_time(|f| f.power_w(side, coordinate).max(0.0)),
            negative_j: self.over_time(|f| (-f.power_w(side, coordinate)).max(0.0)),
        }
    }

    /// Time integral of the moment in the direction of a motion, N·m·s.
    #[must_use]
    pub fn angular_impulse_nms(&self, side: Side, motion: JointMotion) -> f64 {
        self.over_time(|f| (f.moment(side, motion.coordinate).in_nm() * motion.sign()).max(0.0))
    }

    /// The phases in order with their times; phases that this movement lacks are absent.
    #[must_use]
    pub fn phases(&self) -> Vec<PhaseSpan> {
        let mut out: Vec<PhaseSpan> = Vec::new();
        for frame in &self.frames {
            match out.last_mut() {
                Some(last) if last.phase == frame.phase => last.to = frame.time,
                last => {
                    let from = last.map_or(Span::ZERO, |l| {
                        l.to = l.to.max(frame.time);
                        l.to
                    });
                    out.push(PhaseSpan { phase: frame.phase, from, to: frame.time });
                }
            }
        }
        out
    }

    fn on_one_leg(&self) -> impl Iterator<Item = &TimedFrame> {
        self.frames.iter().filter(|f| f.phase.on_one_leg(self.spec.family))
    }

    /// While one foot carries everything: the least distance from the zero-moment point to the edge of
    /// that foot. `None` for movements with both feet down throughout.
    #[must_use]
    pub fn least_single_support_margin(&self) -> Option<BalanceMargin> {
        least(self.on_one_leg().map(|f| &f.pressure_margin))
    }

    /// While one foot carries everything: the least capture margin. Where it is negative, the body
    /// cannot stop on that foot any more and the other must land as planned.
    #[must_use]
    pub fn least_capture_margin(&self) -> Option<BalanceMargin> {
        least(self.on_one_leg().map(|f| &f.capture_margin))
    }

    /// The least distance from the zero-moment point to the edge of the feet that carry, over the course.
    #[must_use]
    pub fn least_margin(&self) -> Option<BalanceMargin> {
        least(self.frames.iter().map(|f| &f.pressure_margin))
    }

    /// The joint moments of every frame, for demands. The phases of key postures are given to frames
    /// as: one foot off the floor, [`Phase::SingleSupport`]; landed and beyond, [`Phase::Far`]; else
    /// [`Phase::Start`].
    #[must_use]
    pub fn joint_moments(&self) -> JointMoments {
        JointMoments { frames: self.frames.iter().map(|f| self.frame_moments(f)).collect() }
    }

    fn frame_moments(&self, frame: &TimedFrame) -> FrameMoments {
        let phase = match frame.phase {
            CoursePhase::Wait | CoursePhase::Shift | CoursePhase::Settle => Phase::Start,
            CoursePhase::Swing | CoursePhase::SwingBack => Phase::SingleSupport,
            CoursePhase::Hold if self.spec.family == Family::Reach => Phase::SingleSupport,
            _ => Phase::Far,
        };
        let leg = |side: Side| -> BTreeMap<Coordinate, Moment> {
            Coordinate::LEG.into_iter().map(|c| (c, frame.moment(side, c))).collect()
        };
        FrameMoments {
            force: crate::flight::GroundForce::STILL,
            phase,
            turn: Turn::Turned,
            legs: PerSide::from_fn(leg),
            trunk: Coordinate::TRUNK.into_iter().map(|c| (c, frame.moment(Side::Left, c))).collect(),
            angles: PerSide::from_fn(|side| {
                Coordinate::LEG.into_iter().map(|c| (c, frame.angle(side, c))).collect()
            }),
        }
    }
}
