//! Words of a movement: where to, which limb, what the hands do, what the pictures show.

use movement::Bearing;
use serde::{Deserialize, Serialize};

use super::leaf::{ByFurniture, BySide, ByThing};

/// Where a direction goes, alone: at the rim of the floor, in a list of distances.
#[derive(Clone, Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Directions {
    /// `forward`
    pub b0: String,
    /// `forward-right`
    pub b45: String,
    /// `right`
    pub b90: String,
    /// `back-right`
    pub b135: String,
    /// `back`
    pub b180: String,
    /// `back-left`
    pub b225: String,
    /// `left`
    pub b270: String,
    /// `forward-left`
    pub b315: String,
    /// `in front`
    pub in_front: String,
    /// `behind`
    pub behind: String,
    /// `{direction}, across, in front`
    pub across_in_front: String,
    /// `{direction}, across, behind`
    pub across_behind: String,
}

/// Where a direction goes, after a verb.
#[derive(Clone, Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Toward {
    /// `forward`
    pub b0: String,
    /// `forward-right`
    pub b45: String,
    /// `to the right`
    pub b90: String,
    /// `back-right`
    pub b135: String,
    /// `back`
    pub b180: String,
    /// `back-left`
    pub b225: String,
    /// `to the left`
    pub b270: String,
    /// `forward-left`
    pub b315: String,
    /// `out`
    pub out: String,
}

/// Plain titles of the families.
#[derive(Clone, Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct FamilyWords {
    /// `Touch out with your toes`
    pub reach: String,
    /// `Step out and back`
    pub step: String,
    /// `Long step and bend`
    pub lunge: String,
    /// `Leap out and land softly`
    pub leap: String,
    /// `Jump with both feet`
    pub two_foot_jump: String,
    /// `Hop on one leg`
    pub hop: String,
    /// `Bend and reach`
    pub bend_and_reach: String,
}

/// What one limb does.
#[derive(Clone, Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct LimbWords {
    /// `LEFT leg moves`
    pub leg_moves: BySide,
    /// `LEFT hand moves`
    pub hand_moves: BySide,
    /// `Your LEFT foot stays.`
    pub foot_stays: BySide,
    /// `Your LEFT foot stays flat.`
    pub foot_stays_flat: BySide,
    /// `Both feet stay.`
    pub feet_stay: String,
    /// `As you cross, turn on your LEFT toes.`
    pub turn_on_toes: BySide,
    /// `Cross in front.`
    pub cross_in_front: String,
    /// `Cross behind.`
    pub cross_behind: String,
    /// `Come back to the middle.`
    pub back_to_middle: String,
    /// `Step your LEFT foot {to}.`
    pub step: BySide,
    /// `Put weight on it.`
    pub weight_on: String,
    /// `Reach your LEFT toes {to}.`
    pub touch: BySide,
    /// `Touch lightly. No weight.`
    pub touch_lightly: String,
    /// `Push off your LEFT foot.`
    pub push_off: BySide,
    /// `Leap {to} onto your LEFT foot.`
    pub leap: BySide,
    /// `Land softly. Bend your knee.`
    pub land: String,
    /// `Jump {to} with both feet.`
    pub jump: String,
    /// `Land softly. Bend your knees.`
    pub land_on_both: String,
    /// `Stand on your LEFT leg.`
    pub stand_on: BySide,
    /// `Hop {to} on your LEFT leg.`
    pub hop: BySide,
    /// `Step your LEFT foot far {to}.`
    pub lunge: BySide,
    /// `Sink down about {length}.`
    pub sink: String,
    /// `Bend your knees a little.`
    pub bend_a_little: String,
    /// `Reach your LEFT hand {to}.`
    pub hand: BySide,
    /// `Go down to thigh height.`
    pub down_to_thigh: String,
    /// `Go down to knee height.`
    pub down_to_knee: String,
    /// `Go down to shin height.`
    pub down_to_shin: String,
    /// `Go down to ankle height.`
    pub down_to_ankle: String,
    /// `Bend as far as feels easy.`
    pub bend_as_feels_easy: String,
    /// `Stand up tall again.`
    pub stand_tall: String,
    /// `Your LEFT leg does not do this one.`
    pub leg_does_not: BySide,
    /// `Your LEFT hand does not do this one.`
    pub hand_does_not: BySide,
    /// `LEFT leg: tap what hurt.`
    pub leg_hurt: BySide,
    /// `LEFT hand: tap what hurt.`
    pub hand_hurt: BySide,
}

/// What the hands do.
#[derive(Clone, Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct HandWords {
    /// `Hold the bench with both hands.`
    pub both: ByThing<String>,
    /// `Keep the bench within reach.`
    pub near: ByThing<String>,
    /// `Hold the bench with your LEFT hand.`
    pub one: ByThing<BySide>,
    /// `Rest a LEFT fingertip on the bench.`
    pub fingertip: ByThing<BySide>,
    /// `Hold {mass} in each hand.`
    pub weights: Vec<String>,
    /// `Hold {mass} in both hands.`
    pub both_hands_load: Vec<String>,
    /// `Wear {mass} on your back or chest.`
    pub worn_load: String,
}

/// What the pictures show.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct FloorSentences {
    /// `Rings are {length} apart.`
    pub rings: String,
    /// `Grey block: the bench.`
    pub thing: ByFurniture,
    /// `Grey brackets: do not go there.`
    pub closed: String,
    /// `Dotted line: the clear floor ends.`
    pub clear_floor: String,
    /// `You see the floor from above.`
    pub seen: Vec<String>,
    /// `Your LEFT foot stands.`
    pub foot_stands: BySide,
    /// `Both feet stand.`
    pub feet_stand: String,
    /// `Your LEFT foot goes out and back: {ways}.`
    pub foot_goes: BySide,
    /// `Your LEFT hand goes out and back: {ways}.`
    pub hand_goes: BySide,
    /// `Here: both feet {to}.`
    pub shown_feet: String,
    /// `Here: LEFT foot {to}.`
    pub shown_foot: BySide,
    /// `Here: LEFT toes {to}.`
    pub shown_toes: BySide,
    /// `Here: LEFT hand {to}.`
    pub shown_hand: BySide,
    /// `The body seen from the back.`
    pub figure_back: String,
    /// `The body seen from the left.`
    pub figure_side: BySide,
}

/// The eight directions in the order of their bearings.
fn eighth(all: [&str; 8], bearing: Bearing) -> &str {
    all[usize::from(bearing.degrees() / 45) % 8]
}

impl Directions {
    /// All eight, clockwise from straight ahead.
    #[must_use]
    pub fn all(&self) -> [&str; 8] {
        [&self.b0, &self.b45, &self.b90, &self.b135, &self.b180, &self.b225, &self.b270, &self.b315]
    }

    /// One of them.
    #[must_use]
    pub fn of(&self, bearing: Bearing) -> &str {
        eighth(self.all(), bearing)
    }
}

impl Toward {
    /// One of them.
    #[must_use]
    pub fn of(&self, bearing: Bearing) -> &str {
        let all =
            [&self.b0, &self.b45, &self.b90, &self.b135, &self.b180, &self.b225, &self.b270, &self.b315];
        eighth(all.map(String::as_str), bearing)
    }
}
