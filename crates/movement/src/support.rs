//! What the hands hold, where it stands and how much floor it takes.

use std::sync::OnceLock;

use quantity::reference::TableHead;
use quantity::{Length, Share};
use serde::{Deserialize, Serialize};

/// How the hands are supported.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Support {
    /// Nothing is held.
    None,
    /// One fingertip touches a fixed surface.
    Fingertip,
    /// One hand holds.
    OneHand,
    /// Both hands hold.
    BothHands,
}

/// How much of the body weight the hands take off the feet.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum HandShare {
    /// Nobody looked: the feet are taken to carry everything.
    NotAssessed,
    /// Seen, but not in figures: our own round share for this way of holding.
    Usual,
    /// The therapist's entry.
    Stated(Share),
}

impl HandShare {
    /// The share of body weight on the hands. Nothing is taken off where nothing is held.
    #[must_use]
    pub fn of(self, support: Support) -> Share {
        match (support, self) {
            (Support::None, _) | (_, Self::NotAssessed) => Share::ZERO,
            (_, Self::Stated(share)) => share,
            (held, Self::Usual) => usual_share(held),
        }
    }
}

fn usual_share(support: Support) -> Share {
    let usual = &table().usual_hand_share;
    Share::of_one(match support {
        Support::None => 0.0,
        Support::Fingertip => usual.fingertip,
        Support::OneHand => usual.one_hand,
        Support::BothHands => usual.both_hands,
    })
}

/// What is held.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum SupportKind {
    /// A fixed surface across the front, such as a kitchen bench.
    Bench,
    /// A walking frame around the front and sides.
    WalkingFrame,
    /// A heavy chair with its back toward the person.
    ChairBack,
}

impl SupportKind {
    /// The plain name.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::Bench => "bench",
            Self::WalkingFrame => "walking frame",
            Self::ChairBack => "chair back",
        }
    }
}

/// A rectangle on the floor, measured from the centre between the feet, that no foot may enter.
/// It stays where it is while the person moves.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Place {
    /// What stands there.
    pub kind: SupportKind,
    /// Forward of the centre: nearest edge, metres (negative is behind).
    pub front_from: f64,
    /// Forward of the centre: far edge, metres.
    pub front_to: f64,
    /// Toward the person's right: left edge, metres.
    pub right_from: f64,
    /// Toward the person's right: right edge, metres.
    pub right_to: f64,
    /// How high the hands hold it.
    pub hand_height: Length,
}

impl Place {
    /// The same support seen in a mirror that exchanges left and right.
    #[must_use]
    pub fn mirrored(self) -> Self {
        Self { right_from: -self.right_to, right_to: -self.right_from, ..self }
    }
}

/// A rectangle of floor that is really taken: forward from and to, right from and to, metres.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Solid {
    /// Forward: near edge.
    pub front_from: f64,
    /// Forward: far edge.
    pub front_to: f64,
    /// Right: left edge.
    pub right_from: f64,
    /// Right: right edge.
    pub right_to: f64,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Table {
    #[allow(dead_code, reason = "heads are checked by the repository's own tests")]
    table: TableHead,
    usual_hand_share: UsualHandShare,
    row: Vec<Row>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct UsualHandShare {
    fingertip: f64,
    one_hand: f64,
    both_hands: f64,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Row {
    kind: SupportKind,
    #[allow(dead_code, reason = "for the reader of the table")]
    name: String,
    front_from: f64,
    depth: f64,
    half_width: f64,
    bar: f64,
    hand_height_of_stature: Option<f64>,
    hand_height_m: Option<f64>,
}

fn table() -> &'static Table {
    static TABLE: OnceLock<Table> = OnceLock::new();
    TABLE.get_or_init(|| {
        toml::from_str(include_str!("../../../reference/supports.toml"))
            .unwrap_or_else(|e| panic!("reference/supports.toml: {e}"))
    })
}

fn rows() -> &'static [Row] {
    &table().row
}

impl Place {
    /// The usual places of a support for a person of this stature, closest first. The sizes are our
    /// own round figures; a therapist's measured place goes before.
    #[must_use]
    pub fn usual(kind: SupportKind, stature: Length) -> Vec<Self> {
        rows()
            .iter()
            .filter(|row| row.kind == kind)
            .map(|row| Self {
                kind,
                front_from: row.front_from,
                front_to: row.front_from + row.depth,
                right_from: -row.half_width,
                right_to: row.half_width,
                hand_height: row
                    .hand_height_m
                    .map_or_else(|| stature.times(row.hand_height_of_stature.unwrap_or(0.0)), Length::m),
            })
            .collect()
    }

    /// The floor it really takes. A bench or chair fills its rectangle; a walking frame has a bar
    /// across the front and one on each side, and is open inside and toward the person.
    #[must_use]
    pub fn solids(&self) -> Vec<Solid> {
        let whole = Solid {
            front_from: self.front_from,
            front_to: self.front_to,
            right_from: self.right_from,
            right_to: self.right_to,
        };
        match self.kind {
            SupportKind::Bench | SupportKind::ChairBack => vec![whole],
            SupportKind::WalkingFrame => {
                let bar = rows().iter().find(|r| r.kind == self.kind).map_or(0.0, |r| r.bar);
                vec![
                    Solid { right_to: self.right_from + bar, ..whole },
                    Solid { right_from: self.right_to - bar, ..whole },
                    Solid { front_from: self.front_to - bar, ..whole },
                ]
            }
        }
    }

    /// Where a hand of the given side (−1 left, +1 right) holds it, for a shoulder above `forward`
    /// and `right`: the nearest place on the near edge of furniture, on the side bar of a frame.
    #[must_use]
    pub fn hold(&self, side_sign: f64, forward: f64, right: f64) -> [f64; 3] {
        let up = self.hand_height.in_m();
        match self.kind {
            SupportKind::WalkingFrame => {
                let bar = if side_sign < 0.0 { self.right_from } else { self.right_to };
                [forward.clamp(self.front_from, self.front_to), up, bar]
            }
            SupportKind::Bench | SupportKind::ChairBack => {
                [self.front_from, up, right.clamp(self.right_from, self.right_to)]
            }
        }
    }
}
