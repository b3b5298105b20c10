//! Words of what arms and trunk do while the legs move.

use serde::Deserialize;

use super::leaf::BySide;

/// What arms and trunk do; the height of the hands is said by the words of a limb.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ArmWords {
    /// `Bend and take both hands down.`
    pub bend: String,
    /// `Let your arms hang as you come up.`
    pub hang: String,
    /// `As you come back, bend your elbows.`
    pub curl: String,
    /// `Stay low. Pull your elbows back.`
    pub row: String,
    /// `As you come back, push both hands over your head.`
    pub press: String,
    /// `Turn your chest to the LEFT.`
    pub turn: BySide,
    /// `Lift both hands over your head.`
    pub overhead: String,
    /// `Push both hands out, as if you pass a ball.`
    pub pass: String,
    /// `Swing your LEFT arm over your head.`
    pub strike: BySide,
    /// `Swing your LEFT arm forward from your side.`
    pub forehand: BySide,
    /// `Cross your LEFT arm over you. Then swing it out.`
    pub backhand: BySide,
    /// `Lift from knee height up to your chest.`
    pub lift: String,
    /// `Carry it in front of you.`
    pub carry: String,
    /// `Rise as if from a car seat.`
    pub out_of_car: String,
    /// `Step up onto the stair.`
    pub up_stair: String,
    /// `Turn with what you hold. Set it on the bench.`
    pub set_down: String,
}
