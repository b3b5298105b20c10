//! The skeleton of one person: segment lengths, masses, joint places and ranges.
//!
//! Joint heights come from Drillis & Contini's fractions of stature, masses and centres of mass
//! from de Leva's fractions applied to these lengths. A measured leg length sets thigh and
//! shank: the hip lies `0.009 m + 0.078 LL` below the anterior superior iliac spine (Hara 2016),
//! so thigh and shank share `0.922 LL − 0.009 m`; the trunk takes up the rest of the stature.

use anatomy::{BodySize, Coordinate, JointMotion, PerSide, Side};
use movement::HandHeight;
use quantity::{Angle, Length};

use crate::constants::engine;
use crate::state::{NQ, Seg, TRUNK, V3, leg};
use crate::tables::{foot_hip, height, range, segment};

/// One person's skeleton. It never changes while movements are computed.
#[derive(Clone, Debug, PartialEq)]
pub struct Body {
    size: BodySize,
    leg_length: PerSide<f64>,
    pub(crate) stature: f64,
    pub(crate) mass: f64,
    pub(crate) half_hip_spacing: f64,
    pub(crate) thigh: PerSide<f64>,
    pub(crate) shank: PerSide<f64>,
    pub(crate) ankle_height: f64,
    pub(crate) foot_length: f64,
    pub(crate) foot_breadth: f64,
    pub(crate) ankle_from_heel: f64,
    pub(crate) ball_from_heel: f64,
    pub(crate) lumbar_from_mid_hip: V3,
    pub(crate) shoulder_from_lumbar: PerSide<V3>,
    pub(crate) neck_from_lumbar: V3,
    pub(crate) vertex_from_lumbar: V3,
    pub(crate) upper_arm: f64,
    pub(crate) forearm: f64,
    /// Shoulder to the middle of the hand, arm straight.
    pub(crate) arm_reach: f64,
    /// Whole arm.
    pub(crate) arm_mass: f64,
    /// Centre of mass of the straight arm as a share of `arm_reach` from the shoulder.
    pub(crate) arm_com: f64,
    /// Upper arm, forearm, hand: kilograms, and centre of mass as a share from the upper end.
    pub(crate) arm_parts: [(f64, f64); 3],
    pub(crate) segments: [(f64, V3); 8],
    lower: [f64; NQ],
    upper: [f64; NQ],
}

impl Body {
    /// Builds the skeleton from body size.
    #[must_use]
    pub fn of(size: &BodySize) -> Self {
        let sex = size.sex();
        let h = size.stature().in_m();
        let m = size.mass().in_kg();
        let ankle_height = height("ankle_height") * h;
        let thigh_share =
            (height("hip_height") - height("knee_height")) / (height("hip_height") - height("ankle_height"));
        let below = -foot_hip("hip_centre_up_constant", sex);
        let below_per = -foot_hip("hip_centre_up_per_leg_length", sex);
        let legs_from_stature = (height("hip_height") - height("ankle_height")) * h;
        let legs = size.leg_length().map(|measured| {
            measured.map_or(legs_from_stature, |length| length.in_m() * (1.0 - below_per) - below)
        });
        let leg_length = PerSide::from_fn(|side| {
            size.leg_length().get(side).map_or((legs_from_stature + below) / (1.0 - below_per), Length::in_m)
        });
        let longer = legs.left.max(legs.right);
        let hip_height = ankle_height + longer;
        let mean_leg = (leg_length.left + leg_length.right) / 2.0;
        let half_hip_spacing = foot_hip("hip_centre_lateral_constant", sex)
            + foot_hip("hip_centre_lateral_per_leg_length", sex) * mean_leg;

        let lower_trunk = segment("lower_trunk", sex);
        let middle_trunk = segment("middle_trunk", sex);
        let upper_trunk = segment("upper_trunk", sex);
        let head = segment("head", sex);
        // Head and trunk take up what the legs leave of the stature, in de Leva's proportions.
        let stacked = lower_trunk.length + middle_trunk.length + upper_trunk.length + head.length;
        let t = (h - hip_height) / stacked;
        let lumbar = lower_trunk.length * t;
        let cervicale = (lower_trunk.length + middle_trunk.length + upper_trunk.length) * t - lumbar;
        let xiphion = middle_trunk.length * t;
        let vertex = h - hip_height - lumbar;
        let shoulder = foot_hip("shoulder_over_hip", sex) * t - lumbar;
        let shoulder_z = height("shoulder_half_breadth") * h * (1.0 - engine().shoulder_joint_inside);

        let up = |y: f64| V3::new(0.0, y, 0.0);
        // de Leva's `cm` runs from the upper landmark of each part downward.
        let middle_com = xiphion - middle_trunk.cm * xiphion;
        let upper_com = cervicale - upper_trunk.cm * (cervicale - xiphion);
        let head_com = vertex - head.cm * (vertex - cervicale);
        let trunk_mass = middle_trunk.mass + upper_trunk.mass + head.mass;
        let trunk_com =
            (middle_trunk.mass * middle_com + upper_trunk.mass * upper_com + head.mass * head_com)
                / trunk_mass;
        let pelvis_com = lumbar - lower_trunk.cm * lumbar;

        let foot_length = foot_hip("foot_length", sex) * h;
        let ankle_from_heel = foot_hip("ankle_from_heel", sex) * foot_length;
        let foot = segment("foot", sex);
        let foot_com = V3::new(foot.cm * foot_length - ankle_from_heel, -ankle_height / 2.0, 0.0);
        let (thigh_row, shank_row) = (segment("thigh", sex), segment("shank", sex));
        let thigh = legs.map(|l| l * thigh_share);
        let shank = legs.map(|l| l * (1.0 - thigh_share));
        let limb = |side: Side| {
            [
                (thigh_row.mass * m, up(-thigh_row.cm * thigh.get(side))),
                (shank_row.mass * m, up(-shank_row.cm * shank.get(side))),
                (foot.mass * m, foot_com),
            ]
        };
        let (l, r) = (limb(Side::Left), limb(Side::Right));
        let segments = [
            (lower_trunk.mass * m, up(pelvis_com)),
            (trunk_mass * m, up(trunk_com)),
            l[0],
            l[1],
            l[2],
            r[0],
            r[1],
            r[2],
        ];

        let (upper_arm_row, forearm_row, hand_row) =
            (segment("upper_arm", sex), segment("forearm", sex), segment("hand", sex));
        let upper_arm = height("upper_arm_length") * h;
        let forearm = height("forearm_length") * h;
        let hand = height("hand_length") * h / 2.0;
        let arm_reach = upper_arm + forearm + hand;
        let arm_share = upper_arm_row.mass + forearm_row.mass + hand_row.mass;
        let arm_com = (upper_arm_row.mass * upper_arm_row.cm * upper_arm
            + forearm_row.mass * (upper_arm + forearm_row.cm * forearm)
            + hand_row.mass * (upper_arm + forearm + hand_row.cm * hand))
            / arm_share
            / arm_reach;

        let mut lower = [0.0; NQ];
        let mut upper = [0.0; NQ];
        let mut bound = |j: usize, c: Coordinate| {
            let of = |motion: JointMotion| {
                range(&motion.key(), sex, size.age())
                    .unwrap_or_else(|| panic!("range of {motion} is in the table"))
                    .to_radians()
            };
            lower[j] = -of(c.negative());
            upper[j] = of(c.positive());
        };
        for (k, c) in Coordinate::TRUNK.into_iter().enumerate() {
            bound(TRUNK + k, c);
        }
        for side in Side::BOTH {
            for (k, c) in Coordinate::LEG.into_iter().enumerate() {
                bound(leg(side) + k, c);
            }
        }
        Self {
            size: *size,
            leg_length,
            stature: h,
            mass: m,
            half_hip_spacing,
            thigh,
            shank,
            ankle_height,
            foot_length,
            foot_breadth: foot_hip("foot_breadth", sex) * h,
            ankle_from_heel,
            ball_from_heel: foot_hip("toe_joint_from_heel", sex) * foot_length,
            lumbar_from_mid_hip: up(lumbar),
            shoulder_from_lumbar: PerSide::from_fn(|side| V3::new(0.0, shoulder, side.sign() * shoulder_z)),
            neck_from_lumbar: up(cervicale),
            vertex_from_lumbar: up(vertex),
            upper_arm,
            forearm,
            arm_reach,
            arm_mass: arm_share * m,
            arm_com,
            arm_parts: [upper_arm_row, forearm_row, hand_row].map(|row| (row.mass * m, row.cm)),
            segments,
            lower,
            upper,
        }
    }

    /// The same body with a measured range in place of the tabulated one, such as the person's own
    /// weight-bearing lunge angle for ankle dorsiflexion.
    #[must_use]
    pub fn with_range(mut self, side: Side, motion: JointMotion, reached: Angle) -> Self {
        if let Some(k) = Coordinate::LEG.iter().position(|c| *c == motion.coordinate) {
            let j = leg(side) + k;
            if motion.positive {
                self.upper[j] = reached.in_rad();
            } else {
                self.lower[j] = -reached.in_rad();
            }
        }
        self
    }

    /// How far a leg motion goes in this body: measured where [`Self::with_range`] was told, else
    /// tabulated. Zero for motions that are not of a leg.
    #[must_use]
    pub fn range_of(&self, side: Side, motion: JointMotion) -> Angle {
        Coordinate::LEG.iter().position(|c| *c == motion.coordinate).map_or(Angle::ZERO, |k| {
            let j = leg(side) + k;
            Angle::rad(if motion.positive { self.upper[j] } else { -self.lower[j] })
        })
    }

    /// The body size it was built from.
    #[must_use]
    pub fn size(&self) -> &BodySize {
        &self.size
    }

    /// Leg length, anterior superior iliac spine to medial malleolus: measured, or modelled from
    /// stature where nobody measured (for planning only, never for a percentage of a measure).
    #[must_use]
    pub fn leg_length(&self, side: Side) -> Length {
        Length::m(*self.leg_length.get(side))
    }

    /// Whether the leg length of this side is an estimate from stature.
    #[must_use]
    pub fn leg_length_is_estimated(&self, side: Side) -> bool {
        self.size.leg_length().get(side).is_none()
    }

    /// Heel to toe tip.
    #[must_use]
    pub fn foot_length(&self) -> Length {
        Length::m(self.foot_length)
    }

    /// Breadth of the foot.
    #[must_use]
    pub fn foot_breadth(&self) -> Length {
        Length::m(self.foot_breadth)
    }

    /// Distance between the hip centres; the feet start this far apart.
    #[must_use]
    pub fn hip_spacing(&self) -> Length {
        Length::m(2.0 * self.half_hip_spacing)
    }

    /// Where the middle of a foot's print is at the start: forward and right of the centre, metres.
    #[must_use]
    pub fn start_foot_centre(&self, side: Side) -> [f64; 2] {
        [0.0, side.sign() * self.half_hip_spacing]
    }

    /// Shoulder to the middle of the hand, arm straight.
    #[must_use]
    pub fn arm_length(&self) -> Length {
        Length::m(self.arm_reach)
    }

    /// Height of the shoulder joint, standing.
    #[must_use]
    pub fn shoulder_height(&self) -> Length {
        let hip = self.standing_hip_height();
        Length::m(hip + self.lumbar_from_mid_hip.y + self.shoulder_from_lumbar.left.y)
    }

    /// Height of a landmark that a hand can aim at, standing. Thigh and shin are the middles of
    /// their segments.
    #[must_use]
    pub fn height_of(&self, landmark: HandHeight) -> Length {
        let knee = self.ankle_height + self.shank.left.min(self.shank.right);
        let hip = self.standing_hip_height();
        Length::m(match landmark {
            HandHeight::Thigh => f64::midpoint(knee, hip),
            HandHeight::Knee => knee,
            HandHeight::Shin => f64::midpoint(self.ankle_height, knee),
            HandHeight::Ankle => self.ankle_height,
        })
    }

    /// The same body in a mirror.
    pub(crate) fn mirrored(&self) -> Self {
        let mut out = self.clone();
        out.size = self.size.mirrored();
        out.leg_length = self.leg_length.mirrored();
        out.thigh = self.thigh.mirrored();
        out.shank = self.shank.mirrored();
        out.shoulder_from_lumbar = self.shoulder_from_lumbar.mirrored().map(|p| V3::new(p.x, p.y, -p.z));
        for (_, centre) in &mut out.segments {
            centre.z = 0.0 - centre.z;
        }
        for k in 2..5 {
            out.segments.swap(k, k + 3);
        }
        for (left, right) in (leg(Side::Left)..).zip(leg(Side::Right)..NQ) {
            out.lower.swap(left, right);
            out.upper.swap(left, right);
        }
        // Bending and turning to the right becomes bending and turning to the left.
        for k in [TRUNK + 1, TRUNK + 2] {
            (out.lower[k], out.upper[k]) = (-self.upper[k], -self.lower[k]);
        }
        out
    }

    pub(crate) fn standing_hip_height(&self) -> f64 {
        self.ankle_height + (self.thigh.left + self.shank.left).min(self.thigh.right + self.shank.right)
    }

    /// Mass and centre of mass (in the segment's frame) of a segment without arms.
    pub(crate) fn segment(&self, seg: Seg) -> (f64, V3) {
        self.segments[seg.index()]
    }

    pub(crate) fn range(&self, j: usize) -> (f64, f64) {
        (self.lower[j], self.upper[j])
    }
}
