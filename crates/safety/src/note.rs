//! What a therapist must know about a movement although it is allowed.

use anatomy::{JointMotion, Side};
use quantity::{Angle, Share};
use serde::Serialize;

/// What a note is about.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[serde(tag = "about", rename_all = "snake_case")]
pub enum NoteKind {
    /// A joint comes close to a limit at neutral.
    CloseToLimit {
        /// Which leg.
        side: Side,
        /// Which motion.
        motion: JointMotion,
        /// The computed angle in the direction of the motion.
        computed: Angle,
        /// The limit.
        limit: Angle,
    },
    /// An order loosened a limit that the preset would have kept.
    LooserOrder,
    /// A danger pose is to be avoided although the limits were lifted.
    PoseAvoidance,
    /// The hands must carry part of the weight.
    HandsCarry {
        /// Share of body weight.
        share: Share,
    },
    /// A figure is an estimate because something was not measured.
    Estimate,
    /// Sources disagree; the stricter end gates.
    Varies,
    /// Something to arrange before the first session.
    Arrange,
    /// A clinic's own table is looser than the default.
    LooserService,
    /// No step up until this has settled.
    Hold,
    /// It hurt more than once: slower than other movements.
    Slower,
    /// Somebody else must look at this.
    Refer,
}

/// A note that goes with a permitted movement or with a person's space.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Note {
    /// What it is about.
    pub kind: NoteKind,
    /// The rule, such as `THA-P2`.
    pub rule: String,
    /// The note as a whole sentence.
    pub words: String,
    /// Bibliography key.
    pub source: String,
}

impl Note {
    /// Sources disagree; the stricter reading gates.
    pub(crate) fn varies(rule: &str, what: &str, source: &str) -> Self {
        Self {
            kind: NoteKind::Varies,
            rule: rule.to_owned(),
            words: format!("Varies: {what} The stricter reading gates."),
            source: source.to_owned(),
        }
    }
}

impl std::fmt::Display for Note {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "{} ({})", self.words, self.rule)
    }
}
