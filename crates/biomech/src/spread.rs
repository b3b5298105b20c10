//! Draws other bodies, strengths and ways of doing a movement that the same findings would allow.
//!
//! The spreads stand in `reference/spread.toml` and, for strength, in its own tables. Nothing here
//! is random: a draw is an argument, in standard deviations, so a caller with a seeded generator
//! decides. The committed example `uncertainty` does, and writes `reference/uncertainty.toml`.

use std::sync::OnceLock;

use anatomy::{PerSide, Side};
use quantity::reference::{HowRead, TableHead};
use quantity::{Angle, Length};
use serde::Deserialize;

use crate::body::Body;
use crate::capacity::Capacity;
use crate::result::{Motion, Phase, Turn};
use crate::state::Seg;

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Table {
    #[allow(dead_code, reason = "heads are checked by the repository's own tests")]
    table: TableHead,
    row: Vec<Row>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
#[allow(dead_code, reason = "how a figure was read is for the reader of the table")]
struct Row {
    key: String,
    sd: f64,
    read: HowRead,
    #[serde(default)]
    note: String,
}

fn sd(key: &str) -> f64 {
    static TABLE: OnceLock<Table> = OnceLock::new();
    TABLE
        .get_or_init(|| {
            toml::from_str(include_str!("../../../reference/spread.toml"))
                .unwrap_or_else(|e| panic!("reference/spread.toml: {e}"))
        })
        .row
        .iter()
        .find(|row| row.key == key)
        .unwrap_or_else(|| panic!("spread `{key}` is in the table"))
        .sd
}

/// How far a body is from its tables, in standard deviations: five masses, four centres of mass,
/// three lengths.
pub type BodyDraw = [f64; 12];

/// How far the strength of each joint motion is from its model, in standard deviations, in the order
/// of [`anatomy::JointMotion::all`]; the same for both sides.
pub type StrengthDraw = [f64; 20];

impl Body {
    /// The same findings in a body whose parameters differ from the tables by so many standard
    /// deviations. Body mass and stature stay, because they were measured; the trunk takes up what
    /// the other masses leave, and both legs differ alike.
    #[must_use]
    pub fn drawn(&self, z: &BodyDraw) -> Self {
        let mut body = self.clone();
        let by = |key: &str, z: f64| (1.0 + sd(key) * z).max(0.3);
        let whole = PerSide::from_fn(|side| {
            (self.thigh.get(side) + self.shank.get(side)) * by("leg_length_share", z[9])
        });
        let thigh_part = (self.thigh.left / (self.thigh.left + self.shank.left)
            + sd("knee_place_of_leg") * z[10])
            .clamp(0.35, 0.65);
        body.thigh = whole.map(|l| l * thigh_part);
        body.shank = whole.map(|l| l * (1.0 - thigh_part));
        body.half_hip_spacing *= by("hip_spacing_share", z[11]);

        for side in Side::BOTH {
            for (seg, key, z) in [
                (Seg::Thigh(side), "thigh_mass_share", z[0]),
                (Seg::Shank(side), "shank_mass_share", z[1]),
                (Seg::Foot(side), "foot_mass_share", z[2]),
            ] {
                body.segments[seg.index()].0 *= by(key, z);
            }
            for (seg, key, length, old, z) in [
                (Seg::Thigh(side), "thigh_centre_of_length", body.thigh, self.thigh, z[5]),
                (Seg::Shank(side), "shank_centre_of_length", body.shank, self.shank, z[6]),
            ] {
                let centre = &mut body.segments[seg.index()].1;
                centre.y *= length.get(side) / old.get(side);
                centre.y -= sd(key) * z * length.get(side);
            }
        }
        body.segments[Seg::Pelvis.index()].0 *= by("pelvis_mass_share", z[3]);
        body.arm_mass *= by("arm_mass_share", z[4]);
        let trunk = Seg::Trunk.index();
        let others: f64 =
            Seg::ALL.into_iter().filter(|s| *s != Seg::Trunk).map(|s| body.segments[s.index()].0).sum();
        let before: f64 = self.segments.iter().map(|(m, _)| m).sum::<f64>() + 2.0 * self.arm_mass;
        body.segments[trunk].0 = (before - others - 2.0 * body.arm_mass).max(0.1 * before);
        body.segments[trunk].1.y += sd("trunk_centre_up_of_length") * z[7] * self.vertex_from_lumbar.y;
        body.segments[trunk].1.x += sd("trunk_centre_ahead_m") * z[8];
        body
    }
}

impl Capacity {
    /// The same person with strengths that differ from the model by so many standard deviations.
    #[must_use]
    pub fn drawn(&self, z: &StrengthDraw) -> Self {
        self.scaled(|motion, spread| (1.0 + spread * z[motion]).max(0.3))
    }
}

/// How differently a movement is done: distance, depth and lean, in standard deviations.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct DoneDraw {
    /// Of the distance.
    pub distance: f64,
    /// Of the depth.
    pub depth: f64,
    /// Of the trunk's lean.
    pub lean: f64,
}

/// The movement as it is done this time instead of as it was computed: a little further or nearer,
/// deeper or less deep, the trunk leaning more or less. `None` when no such posture is found.
#[must_use]
pub fn done_differently(body: &Body, capacity: &Capacity, motion: &Motion, z: DoneDraw) -> Option<Motion> {
    let mut spec = motion.spec.clone();
    let moved = |length: Length, by: f64| Length::m((length.in_m() + by).max(0.01));
    spec.distance = moved(spec.distance, sd("distance_m") * z.distance);
    spec.depth = spec.depth.map(|d| moved(d, sd("depth_m") * z.depth));
    let far = motion.frames.iter().find(|f| f.phase == Phase::Far && f.turn == Turn::Turned)?;
    let lean = Angle::rad(far.posture.trunk_lean().in_rad() + sd("lean_deg").to_radians() * z.lean);
    crate::motion::motion_leaning(body, capacity, &spec, lean, Some(motion))
}
