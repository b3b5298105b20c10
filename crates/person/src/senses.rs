//! What the person sees and hears, as far as a sheet and a pace depend on it.

use serde::Serialize;

/// What type the person can read.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Sight {
    /// Nobody asked: the sheet is printed in its usual type.
    #[default]
    NotAssessed,
    /// Type of the usual sheet.
    UsualType,
    /// Large type only.
    LargeType,
    /// No type at all: somebody reads the sheet out.
    NoType,
}

impl Sight {
    /// Whether the sheet is proposed in large type. For somebody who reads no type too: large
    /// pictures may still be of use, and whoever reads it out loses nothing.
    #[must_use]
    pub fn is_poor(self) -> bool {
        matches!(self, Self::LargeType | Self::NoType)
    }
}

/// Whether a sound can pace the person.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Hearing {
    /// Nobody asked.
    #[default]
    NotAssessed,
    /// A spoken count and a beep are heard.
    Usual,
    /// Hard of hearing: a beep may be missed.
    Hard,
    /// Nothing is heard.
    None,
}

impl Hearing {
    /// Whether no sound may be relied on.
    #[must_use]
    pub fn is_poor(self) -> bool {
        matches!(self, Self::Hard | Self::None)
    }
}

/// What stands on the feet at home while practising.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Footwear {
    /// Closed shoes.
    ClosedShoes,
    /// Slippers, sandals, clogs: nothing holds the heel.
    OpenShoes,
    /// Socks or stockings.
    Socks,
    /// Nothing.
    Barefoot,
}

impl Footwear {
    /// In the trade's words.
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            Self::ClosedShoes => "closed shoes",
            Self::OpenShoes => "slippers or open shoes",
            Self::Socks => "socks",
            Self::Barefoot => "barefoot",
        }
    }
}
