//! From a movement to the tasks its postures must achieve: where feet and hands go, how they stand.

use anatomy::Side;
use movement::{AnatomicalDirection, ArmTask, Crossing, Family, Load, MovementSpec, StanceFoot, Support};
use quantity::Length;

use crate::arms::{ArmPose, Carry, Prop, fixed, poses};
use crate::body::Body;
use crate::constants::engine;
use crate::flight::landing_tasks;
use crate::posture::holds;
use crate::state::V3;
use crate::task::{FootTask, Passing, Task};

/// Where the moving foot (or toe, or hand) goes: forward and right of the centre, metres.
///
/// Diagonal and sideways bearings are rays from the centre. Straight ahead and straight back a
/// limb keeps its own lane, beside the centre line, as wide as the feet start (a hand passes
/// outside the leg); it still ends at the asked distance from the centre.
#[must_use]
pub fn landing_point(body: &Body, spec: &MovementSpec) -> [f64; 2] {
    let (ahead, right) = spec.bearing.forward_right();
    let d = spec.distance.in_m();
    match spec.family {
        // The hopping foot starts at the centre; in a jump each foot keeps its own lane.
        Family::Hop => return [d * ahead, d * right],
        Family::TwoFootJump => {
            let [x, z] = body.start_foot_centre(spec.mover);
            return [x + d * ahead, z + d * right];
        }
        _ => {}
    }
    if spec.bearing.side_sign() != 0 {
        return [d * ahead, d * right];
    }
    let beside = if spec.family == Family::BendAndReach { engine().hand_lane * body.stature } else { 0.0 };
    let lane = (body.half_hip_spacing + beside).min(d);
    [ahead * (d * d - lane * lane).sqrt(), spec.mover.sign() * lane]
}

pub(crate) fn start_foot(body: &Body, side: Side) -> FootTask {
    FootTask::Flat { middle: body.start_foot_centre(side), yaw: Some(0.0) }
}

pub(crate) fn start_ball(body: &Body, side: Side) -> [f64; 2] {
    let c = body.start_foot_centre(side);
    [c[0] + body.ball_from_heel - body.foot_length / 2.0, c[1]]
}

pub(crate) fn feet(stance: Side, stance_task: FootTask, mover_task: FootTask) -> [FootTask; 2] {
    match stance {
        Side::Left => [stance_task, mover_task],
        Side::Right => [mover_task, stance_task],
    }
}

pub(crate) fn passing(spec: &MovementSpec) -> Passing {
    let toward = match spec.crossing {
        Crossing::None => V3::new(0.0, 0.0, spec.mover.sign()),
        Crossing::InFront => V3::x(),
        Crossing::Behind => -V3::x(),
    };
    Passing { mover: spec.mover, toward, feet: spec.crosses() }
}

/// What is carried while nothing else is asked of the arms: hand weights hang, one thing in both
/// hands is held before the chest (in a turn also empty hands), a pack sits on the trunk; hands that
/// take weight off the feet do so on the support.
pub(crate) fn carry(body: &Body, spec: &MovementSpec) -> Carry {
    let mut carry = Carry::hanging(match spec.load {
        Load::HandWeights { each } => each.in_kg(),
        Load::InBothHands { mass } => mass.in_kg() / 2.0,
        Load::None | Load::OnTrunk { .. } => 0.0,
    });
    if let Load::OnTrunk { mass } = spec.load {
        carry.on_trunk = mass.in_kg();
    }
    if matches!(spec.load, Load::InBothHands { .. }) || matches!(spec.arms, ArmTask::Turn { .. }) {
        carry = carry.both(|side| fixed(body, side, poses().chest));
    }
    let share = spec.hand_share.of(spec.support).in_one();
    if let (Some(place), true) = (spec.place, share > 0.0) {
        let hands = if spec.support == Support::BothHands { 2.0 } else { 1.0 };
        carry.props = Side::BOTH.map(|side| {
            holds(spec.support, spec.mover, side).then_some(Prop { place, share: share / hands })
        });
    }
    carry
}

pub(crate) fn base_task(body: &Body, spec: &MovementSpec, feet: [FootTask; 2]) -> Task {
    Task {
        feet,
        floor: [0.0; 2],
        carry: carry(body, spec),
        min_drop: None,
        square: false,
        stay_bent: None,
        facing: None,
        lean: match spec.family {
            Family::Step => Some(engine().step_lean_limit),
            Family::Lunge => Some(engine().lunge_lean_limit),
            Family::Reach => Some(engine().reach_lean_limit),
            Family::BendAndReach => Some(engine().bend_lean_limit),
            Family::Leap | Family::TwoFootJump | Family::Hop => Some(engine().lunge_lean_limit),
        },
        lean_asked: None,
        passing: passing(spec),
        held: spec.place.map(|place| (spec.support, place)),
    }
}

/// The ways in which the feet may stand at the far point, first choice first.
pub(crate) fn far_tasks(body: &Body, spec: &MovementSpec) -> Vec<Task> {
    let stance = spec.stance();
    let target = landing_point(body, spec);
    let flat = start_foot(body, stance);
    let pivots = spec.stance_foot == StanceFoot::Pivoting;
    let on_ball =
        FootTask::OnBall { ball: start_ball(body, stance), yaw: if pivots { None } else { Some(0.0) } };
    let landed = FootTask::Flat { middle: target, yaw: None };
    let landed_on_ball = FootTask::LandedOnBall { middle: target };
    let backward = matches!(
        spec.bearing.named_from(spec.mover),
        AnatomicalDirection::Posterior
            | AnatomicalDirection::Posterolateral
            | AnatomicalDirection::Posteromedial
    );
    let sideways = matches!(
        spec.bearing.named_from(spec.mover),
        AnatomicalDirection::Lateral | AnatomicalDirection::Medial
    );
    let pairs: Vec<(FootTask, FootTask)> = match spec.family {
        Family::Reach => vec![(if pivots { on_ball } else { flat }, FootTask::ToeTouch { tip: target })],
        Family::BendAndReach => vec![(flat, start_foot(body, spec.mover))],
        Family::Step if pivots => vec![(on_ball, landed), (on_ball, landed_on_ball)],
        Family::Lunge if pivots && backward => vec![(on_ball, landed_on_ball), (on_ball, landed)],
        Family::Lunge if pivots => vec![(on_ball, landed)],
        // The standing foot was asked to stay flat and facing front.
        Family::Step | Family::Lunge if spec.crosses() => vec![(flat, landed), (flat, landed_on_ball)],
        Family::Step if backward => vec![(flat, landed), (flat, landed_on_ball)],
        Family::Step => vec![(flat, landed), (on_ball, landed)],
        Family::Lunge if backward => vec![(flat, landed_on_ball)],
        Family::Lunge if sideways => vec![(flat, landed), (on_ball, landed)],
        Family::Lunge => vec![(on_ball, landed)],
        // Through the air: where it lands.
        Family::Leap | Family::TwoFootJump | Family::Hop => return landing_tasks(body, spec),
    };
    pairs
        .into_iter()
        .map(|(s, m)| {
            let mut task = base_task(body, spec, feet(stance, s, m));
            task.floor[spec.mover as usize] = spec.rise.in_m();
            if spec.family == Family::Lunge {
                task.min_drop = spec.depth.map(Length::in_m);
            }
            if let (Family::BendAndReach, Some(height)) = (spec.family, spec.hand_height) {
                let target = V3::new(target[0], body.height_of(height).in_m(), target[1]);
                task.carry.arms[spec.mover as usize] = ArmPose::Reaching { target };
            }
            task
        })
        .collect()
}
