//! Why a movement is not allowed: which rule, whose, what was computed, until when, what would open it.

use anatomy::{JointMotion, Side};
use jiff::civil::Date;
use quantity::{Angle, Length};
use serde::Serialize;

/// Whose word decides. The first layer that states a limit wins; layers below may only tighten.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Layer {
    /// A red flag stops everything.
    RedFlag,
    /// The surgeon's or treating team's order for this person.
    SurgeonOrder,
    /// The clinic's own protocol.
    ServicePreset,
    /// The presets that come with the tool.
    DefaultPreset,
    /// No rule: the body itself cannot do it.
    Body,
}

impl Layer {
    /// The layer of a row: a clinic that changed it owns it.
    pub(crate) fn of_row(edited: Option<&crate::Edited>) -> Self {
        if edited.is_some() { Self::ServicePreset } else { Self::DefaultPreset }
    }
}

/// What exactly stood in the way.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[serde(tag = "what", rename_all = "snake_case")]
pub enum Blocked {
    /// A red flag is present or was not asked for.
    RedFlag,
    /// The rung of the movement ladder is above what is open.
    Level {
        /// Rung of this movement.
        level: u8,
        /// Highest rung that is open.
        open_to: u8,
    },
    /// Something that opens this was not assessed or is out of date.
    NotAssessed {
        /// The finding.
        finding: String,
    },
    /// The direction itself is closed.
    Direction,
    /// The distance is above what is allowed; a shorter one may pass.
    Distance {
        /// The longest that passes this rule.
        at_most: Length,
    },
    /// Something is carried that must not be.
    Carried,
    /// A landing presses harder than allowed.
    Impact {
        /// Computed peak for a stiff leg, in weights of body and load.
        computed: f64,
        /// Allowed peak.
        at_most: f64,
    },
    /// Weight on a leg is above what is allowed.
    Load {
        /// The leg.
        side: Side,
        /// Computed share of body weight.
        computed_percent: f64,
        /// Allowed share.
        allowed_percent: f64,
    },
    /// A joint goes further than allowed.
    JointAngle {
        /// Which leg.
        side: Side,
        /// Which motion.
        motion: JointMotion,
        /// The computed angle in the direction of the motion.
        computed: Angle,
        /// The limit.
        limit: Angle,
        /// The margin kept for the error of the model.
        margin: Angle,
    },
    /// A foot or leg would be where the support stands, or the hands could not reach it.
    Support,
    /// The body cannot do it, or not at this distance or depth.
    OutOfReach {
        /// How much nearer it would have to be.
        by: Length,
    },
    /// Balance.
    Balance {
        /// Computed margin, centimetres.
        margin_cm: f64,
        /// Smallest accepted margin, centimetres.
        needed_cm: f64,
    },
}

/// One reason why a movement is not allowed. It always prints as a whole sentence.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Refusal {
    /// The rule, such as `THA-P2`.
    pub rule: String,
    /// Whose rule.
    pub layer: Layer,
    /// What stood in the way.
    pub blocked: Blocked,
    /// The reason as a whole sentence for the therapist.
    pub reason: String,
    /// Bibliography key of the rule.
    pub source: String,
    /// Last day it holds, when one is known.
    pub until: Option<Date>,
    /// What would open it, as a sentence.
    pub opens_when: String,
}

impl Refusal {
    /// The support stands where a foot goes, or the hands do not reach it.
    pub(crate) fn of_support(reason: String, opens_when: &str) -> Self {
        Self {
            rule: "SUPPORT".to_owned(),
            layer: Layer::DefaultPreset,
            blocked: Blocked::Support,
            reason,
            source: "own".to_owned(),
            until: None,
            opens_when: opens_when.to_owned(),
        }
    }
}

impl std::fmt::Display for Refusal {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "{} ({}; {})", self.reason, self.rule, quantity::reference::short_cite(&self.source))
    }
}
