//! The engine's own named choices, read from `reference/engine.toml`.

use std::sync::OnceLock;

use serde::Deserialize;

use crate::state::{TRUNK, leg};
use anatomy::Side;

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct File {
    #[allow(dead_code, reason = "the head is checked by the repository's own tests")]
    table: quantity::reference::TableHead,
    engine: Raw,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Raw {
    comfort: f64,
    hip_flexion_deg: f64,
    hip_adduction_deg: f64,
    hip_internal_rotation_deg: f64,
    knee_flexion_deg: f64,
    tibial_internal_rotation_deg: f64,
    ankle_dorsiflexion_deg: f64,
    subtalar_inversion_deg: f64,
    lumbar_flexion_deg: f64,
    lumbar_side_bend_deg: f64,
    lumbar_rotation_deg: f64,
    pelvis_tilt_deg: f64,
    pelvis_list_deg: f64,
    pelvis_yaw_deg: f64,
    foot_turn_deg: f64,
    foot_roll_deg: f64,
    pelvis_list_limit_deg: f64,
    pelvis_backward_limit_deg: f64,
    pelvis_forward_limit_deg: f64,
    pelvis_turn_limit_deg: f64,
    toe_out_limit_deg: f64,
    toe_in_limit_deg: f64,
    toe_bend_limit_deg: f64,
    bend_lean_limit_deg: f64,
    reach_lean_limit_deg: f64,
    lunge_lean_limit_deg: f64,
    step_lean_limit_deg: f64,
    backward_lean_limit_deg: f64,
    friction: f64,
    torsion: f64,
    thigh_radius_of_stature: f64,
    shank_radius_of_stature: f64,
    even_pressure: f64,
    even_shear: f64,
    capacity_floor: f64,
    measured_strength_spread: f64,
    shoulder_joint_inside: f64,
    hand_lane_of_stature: f64,
    lift_m: f64,
    heel_off_m: f64,
    tolerance: f64,
}

/// The choices in radians and metres.
pub(crate) struct Engine {
    pub(crate) comfort: f64,
    leg_scale: [f64; 7],
    trunk_scale: [f64; 3],
    pub(crate) pelvis_tilt_scale: f64,
    pub(crate) pelvis_list_scale: f64,
    pub(crate) pelvis_yaw_scale: f64,
    pub(crate) foot_turn_scale: f64,
    pub(crate) roll_scale: f64,
    pub(crate) pelvis_list_limit: f64,
    pub(crate) pelvis_backward_limit: f64,
    pub(crate) pelvis_forward_limit: f64,
    pub(crate) pelvis_turn_limit: f64,
    pub(crate) toe_out_limit: f64,
    pub(crate) toe_in_limit: f64,
    pub(crate) toe_bend_limit: f64,
    pub(crate) bend_lean_limit: f64,
    pub(crate) reach_lean_limit: f64,
    pub(crate) lunge_lean_limit: f64,
    pub(crate) step_lean_limit: f64,
    pub(crate) backward_lean_limit: f64,
    pub(crate) friction: f64,
    pub(crate) torsion: f64,
    pub(crate) thigh_radius: f64,
    pub(crate) shank_radius: f64,
    pub(crate) even_pressure: f64,
    pub(crate) even_shear: f64,
    pub(crate) capacity_floor: f64,
    pub(crate) measured_strength_spread: f64,
    pub(crate) shoulder_joint_inside: f64,
    pub(crate) hand_lane: f64,
    pub(crate) lift: f64,
    pub(crate) heel_off: f64,
    pub(crate) tolerance: f64,
}

impl Engine {
    /// How far coordinate `j` may leave neutral before comfort costs one unit.
    pub(crate) fn scale(&self, j: usize) -> f64 {
        if j < leg(Side::Left) {
            self.trunk_scale[j - TRUNK]
        } else {
            self.leg_scale[(j - leg(Side::Left)) % 7]
        }
    }

    /// Where coordinate `j` rests.
    #[allow(clippy::unused_self, reason = "neutral is zero for every coordinate of this model")]
    pub(crate) fn neutral(&self, _j: usize) -> f64 {
        0.0
    }
}

/// The engine's choices.
pub(crate) fn engine() -> &'static Engine {
    static ENGINE: OnceLock<Engine> = OnceLock::new();
    ENGINE.get_or_init(|| {
        let file: File = toml::from_str(include_str!("../../../reference/engine.toml"))
            .unwrap_or_else(|e| panic!("reference/engine.toml: {e}"));
        let raw = file.engine;
        let rad = f64::to_radians;
        Engine {
            comfort: raw.comfort,
            leg_scale: [
                rad(raw.hip_flexion_deg),
                rad(raw.hip_adduction_deg),
                rad(raw.hip_internal_rotation_deg),
                rad(raw.knee_flexion_deg),
                rad(raw.tibial_internal_rotation_deg),
                rad(raw.ankle_dorsiflexion_deg),
                rad(raw.subtalar_inversion_deg),
            ],
            trunk_scale: [
                rad(raw.lumbar_flexion_deg),
                rad(raw.lumbar_side_bend_deg),
                rad(raw.lumbar_rotation_deg),
            ],
            pelvis_tilt_scale: rad(raw.pelvis_tilt_deg),
            pelvis_list_scale: rad(raw.pelvis_list_deg),
            pelvis_yaw_scale: rad(raw.pelvis_yaw_deg),
            foot_turn_scale: rad(raw.foot_turn_deg),
            roll_scale: rad(raw.foot_roll_deg),
            pelvis_list_limit: rad(raw.pelvis_list_limit_deg),
            pelvis_backward_limit: rad(raw.pelvis_backward_limit_deg),
            pelvis_forward_limit: rad(raw.pelvis_forward_limit_deg),
            pelvis_turn_limit: rad(raw.pelvis_turn_limit_deg),
            toe_out_limit: rad(raw.toe_out_limit_deg),
            toe_in_limit: rad(raw.toe_in_limit_deg),
            toe_bend_limit: rad(raw.toe_bend_limit_deg),
            bend_lean_limit: rad(raw.bend_lean_limit_deg),
            reach_lean_limit: rad(raw.reach_lean_limit_deg),
            lunge_lean_limit: rad(raw.lunge_lean_limit_deg),
            step_lean_limit: rad(raw.step_lean_limit_deg),
            backward_lean_limit: rad(raw.backward_lean_limit_deg),
            friction: raw.friction,
            torsion: raw.torsion,
            thigh_radius: raw.thigh_radius_of_stature,
            shank_radius: raw.shank_radius_of_stature,
            even_pressure: raw.even_pressure,
            even_shear: raw.even_shear,
            capacity_floor: raw.capacity_floor,
            measured_strength_spread: raw.measured_strength_spread,
            shoulder_joint_inside: raw.shoulder_joint_inside,
            hand_lane: raw.hand_lane_of_stature,
            lift: raw.lift_m,
            heel_off: raw.heel_off_m,
            tolerance: raw.tolerance,
        }
    })
}
