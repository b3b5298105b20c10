//! The posture of a frame with its landmarks, for drawings and checks.

use anatomy::Side;
use movement::Family;

use super::timed::{Course, TimedFrame};
use crate::arms::ArmPose;
use crate::body::Body;
use crate::constants::engine;
use crate::posture::{arms, posture};
use crate::result::Posture;
use crate::state::{NQ, Seg, State, V3};
use crate::task::FootTask;
use crate::tasks::base_task;
use crate::tree::{Scratch, Segment, Tree};

impl Course {
    /// The posture of one of its frames, with every landmark.
    #[must_use]
    pub fn posture(&self, body: &Body, frame: &TimedFrame) -> Posture {
        let state = State::new(body, &frame.q[..NQ]);
        let feet = Side::BOTH.map(|side| {
            let y = -body.ankle_height;
            let sole =
                |along: f64| state.point(Seg::Foot(side), V3::new(along - body.ankle_from_heel, y, 0.0));
            let (heel, ball) = (sole(0.0), sole(body.ball_from_heel));
            // A heel in the air over a ball on the floor: the toes lie flat.
            if heel.y > engine().heel_off && ball.y < engine().heel_off {
                FootTask::OnBall { ball: [ball.x, ball.z], yaw: None }
            } else {
                FootTask::Flat { middle: [0.0; 2], yaw: None }
            }
        });
        let mut task = base_task(body, &self.spec, feet);
        if self.spec.family == Family::BendAndReach {
            let side = self.spec.mover;
            let mut scratch = Scratch::new();
            let palm = V3::new(0.0, -(body.arm_reach - body.upper_arm), 0.0);
            let target = Tree::of(body, &[]).pose(&frame.q, &mut scratch).point(Segment::Forearm(side), palm);
            task.carry.arms[side as usize] = ArmPose::Reaching { target };
        }
        let links = arms(body, &state, &task);
        posture(body, &state, &frame.q[..NQ], &task, &links)
    }
}
