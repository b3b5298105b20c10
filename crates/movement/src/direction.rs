//! Floor bearings, and the one function that turns a bearing into an anatomical name.
//!
//! A bearing is stored in degrees clockwise from straight ahead, seen from above. It never
//! mirrors. The anatomical name depends on the limb it is named from, so that limb is always
//! an argument.

use anatomy::Side;
use serde::{Deserialize, Serialize};

/// One of the eight floor bearings, degrees clockwise from straight ahead, seen from above.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(into = "u16", try_from = "u16")]
pub struct Bearing(u16);

impl From<Bearing> for u16 {
    fn from(bearing: Bearing) -> Self {
        bearing.0
    }
}

impl TryFrom<u16> for Bearing {
    type Error = String;
    fn try_from(degrees: u16) -> Result<Self, Self::Error> {
        Self::ALL
            .into_iter()
            .find(|b| b.0 == degrees)
            .ok_or_else(|| format!("bearing `{degrees}` is not one of 0, 45, 90, 135, 180, 225, 270, 315"))
    }
}

impl Bearing {
    /// The eight bearings, clockwise from straight ahead.
    pub const ALL: [Self; 8] =
        [Self(0), Self(45), Self(90), Self(135), Self(180), Self(225), Self(270), Self(315)];

    /// Degrees clockwise from straight ahead.
    #[must_use]
    pub fn degrees(self) -> u16 {
        self.0
    }

    /// Forward and rightward parts of the unit vector along this bearing.
    #[must_use]
    pub fn forward_right(self) -> (f64, f64) {
        let radians = f64::from(self.0).to_radians();
        (radians.cos(), radians.sin())
    }

    /// The bearing seen in a mirror that exchanges left and right.
    #[must_use]
    pub fn mirrored(self) -> Self {
        Self((360 - self.0) % 360)
    }

    /// The angle between two opposite bearings, degrees.
    pub const OPPOSITE: u16 = 180;

    /// The angle between two bearings, whole degrees from 0 to [`Self::OPPOSITE`].
    #[must_use]
    pub fn angle_to(self, other: Self) -> u16 {
        let turn = self.0.abs_diff(other.0);
        turn.min(360 - turn)
    }

    /// The bearing a direction name stands for, when named from the given limb.
    #[must_use]
    pub fn of(direction: AnatomicalDirection, named_from: Side) -> Self {
        let right_sided = Self(u16::from(direction.steps()) * 45);
        match named_from {
            Side::Right => right_sided,
            Side::Left => right_sided.mirrored(),
        }
    }

    /// The anatomical name of this bearing, named from the given limb.
    #[must_use]
    pub fn named_from(self, limb: Side) -> AnatomicalDirection {
        let right_sided = match limb {
            Side::Right => self,
            Side::Left => self.mirrored(),
        };
        AnatomicalDirection::ALL[usize::from(right_sided.0 / 45)]
    }

    /// −1 when the bearing points to the person's left, +1 to the right, 0 straight ahead or back.
    #[must_use]
    pub fn side_sign(self) -> i8 {
        match self.0 {
            0 | 180 => 0,
            1..=179 => 1,
            _ => -1,
        }
    }

    /// Plain words from the floor, never from anatomy: `forward-right`.
    #[must_use]
    pub fn plain_words(self) -> &'static str {
        match self.0 {
            0 => "forward",
            45 => "forward-right",
            90 => "right",
            135 => "back-right",
            180 => "back",
            225 => "back-left",
            270 => "left",
            _ => "forward-left",
        }
    }
}

/// A direction as the trade names it, relative to one limb.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
#[allow(missing_docs)]
pub enum AnatomicalDirection {
    Anterior,
    Anterolateral,
    Lateral,
    Posterolateral,
    Posterior,
    Posteromedial,
    Medial,
    Anteromedial,
}

impl AnatomicalDirection {
    /// The eight names, from anterior through lateral round to anteromedial.
    pub const ALL: [Self; 8] = [
        Self::Anterior,
        Self::Anterolateral,
        Self::Lateral,
        Self::Posterolateral,
        Self::Posterior,
        Self::Posteromedial,
        Self::Medial,
        Self::Anteromedial,
    ];

    fn steps(self) -> u8 {
        self as u8
    }

    /// The name in lower case.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::Anterior => "anterior",
            Self::Anterolateral => "anterolateral",
            Self::Lateral => "lateral",
            Self::Posterolateral => "posterolateral",
            Self::Posterior => "posterior",
            Self::Posteromedial => "posteromedial",
            Self::Medial => "medial",
            Self::Anteromedial => "anteromedial",
        }
    }

    /// Finds a direction by its name.
    #[must_use]
    pub fn from_name(name: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|d| d.name() == name)
    }
}

impl std::fmt::Display for AnatomicalDirection {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(self.name())
    }
}

/// Whether the moving limb stays on its own side, or how it passes the standing leg.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Crossing {
    /// The limb stays on its own side.
    None,
    /// It passes in front of the standing leg.
    InFront,
    /// It passes behind the standing leg.
    Behind,
}

impl Crossing {
    /// The ways in which a limb of this side can go out on this bearing. Own-side and sagittal
    /// bearings do not cross; forward diagonals cross in front, backward diagonals behind; pure
    /// medial is two movements.
    #[must_use]
    pub fn ways(bearing: Bearing, mover: Side) -> &'static [Self] {
        match bearing.named_from(mover) {
            AnatomicalDirection::Anteromedial => &[Self::InFront],
            AnatomicalDirection::Posteromedial => &[Self::Behind],
            AnatomicalDirection::Medial => &[Self::InFront, Self::Behind],
            _ => &[Self::None],
        }
    }
}
