//! Hand-made postures for tests of rules and drawings: angles and points as given, nothing solved.

use std::collections::BTreeMap;

use anatomy::{Coordinate, PerSide, Side};
use movement::MovementSpec;
use quantity::{Angle, Share};

use crate::flight::GroundForce;
use crate::result::{ArmState, BalanceMargin, KeyFrame, Landmark, Motion, Phase, Posture, Turn};

/// A posture with these leg angles (degrees) and everything else at zero. The trunk-to-thigh angle
/// is the hip flexion.
#[must_use]
pub fn posture(angles: &[(Side, Coordinate, f64)], points: &[(Landmark, [f64; 3])]) -> Posture {
    let mut legs: PerSide<BTreeMap<Coordinate, Angle>> =
        PerSide::from_fn(|_| Coordinate::LEG.into_iter().map(|c| (c, Angle::ZERO)).collect());
    let mut trunk: BTreeMap<Coordinate, Angle> =
        Coordinate::TRUNK.into_iter().map(|c| (c, Angle::ZERO)).collect();
    for (side, coordinate, degrees) in angles {
        if let Some(angle) = trunk.get_mut(coordinate) {
            *angle = Angle::deg(*degrees);
        } else {
            legs.get_mut(*side).insert(*coordinate, Angle::deg(*degrees));
        }
    }
    let flexion = |side: Side| legs.get(side).get(&Coordinate::HipFlexion).copied().unwrap_or(Angle::ZERO);
    Posture {
        trunk_to_thigh: PerSide::from_fn(flexion),
        legs,
        trunk,
        trunk_lean: Angle::ZERO,
        pelvis_yaw: Angle::ZERO,
        pelvis_drop: 0.0,
        foot_yaw: PerSide::from_fn(|_| Angle::ZERO),
        heel_lifted: PerSide::from_fn(|_| false),
        landmarks: points.iter().copied().collect(),
    }
}

/// A frame that shows a posture, with the weight shared as given (left, right) and this balance margin.
#[must_use]
pub fn frame(phase: Phase, turn: Turn, posture: Posture, load: [f64; 2], balance_m: f64) -> KeyFrame {
    KeyFrame {
        phase,
        turn,
        posture,
        load_share: PerSide { left: Share::of_one(load[0]), right: Share::of_one(load[1]) },
        on_hands: PerSide::from_fn(|_| Share::ZERO),
        arms: PerSide::from_fn(|_| ArmState::AT_REST),
        force: GroundForce::STILL,
        centre_of_pressure: [0.0; 2],
        centre_of_mass: [0.0, 1.0, 0.0],
        balance: BalanceMargin { to_edge_m: balance_m, toward_deg: 0.0 },
        moments: Default::default(),
        iterations: 0,
        cost: 0.0,
        contacts: crate::continuity::Contacts::unknown(),
        x: Box::new([0.0; crate::statics::N]),
        setting: crate::statics::Setting {
            sole: [crate::statics::Sole::Flat; 2],
            carry: crate::arms::Carry::hanging(0.0),
        },
    }
}

/// A motion of hand-made frames.
#[must_use]
pub fn motion(spec: MovementSpec, frames: Vec<KeyFrame>) -> Motion {
    Motion { spec, frames, flight: None, barred_by: None }
}
