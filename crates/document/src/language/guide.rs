//! Words of the floor guide.

use serde::Deserialize;

/// How the floor is laid out at home.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct FloorGuideWords {
    /// `Your floor guide`
    pub title: String,
    /// `With a tape measure`
    pub recipe_title: String,
    /// `Get a tape measure and sticky tape.`
    pub need: Vec<String>,
    /// `Put a cross of tape on the floor. That is the middle.`
    pub cross: String,
    /// `Stick a heel strip {length} behind the middle.`
    pub heels: String,
    /// `Stand with your heels on it. Look straight ahead.`
    pub stand: String,
    /// `Measure each way from the middle of the cross.`
    pub measure: String,
    /// `Put a short strip of tape at each number.`
    pub strips: String,
    /// `Straight ahead and back: lay the strip in line with that foot.`
    pub lane: String,
    /// `Press the tape flat, so you cannot trip.`
    pub flat: String,
    /// `Land with the middle of your foot on a strip.`
    pub land: String,
    /// `Touch a strip with your toes.`
    pub touch: String,
    /// `Reach out above a strip with your hand.`
    pub reach: String,
    /// `A corner way is half way between two straight ways.`
    pub corners: String,
    /// `Your distances`
    pub ways_title: String,
    /// `Or print it at true size`
    pub print_title: String,
    /// `Print at 100 %. Do not fit it to the page.`
    pub print_steps: Vec<String>,
    /// `Letters are rows. Same numbers lie under each other.`
    pub sheets: String,
    /// `Sheet {name}`
    pub tile: String,
    /// `This line is 100 mm long.`
    pub check: String,
    /// `This line is 4 in long.`
    pub check_inches: String,
    /// `Heels here`
    pub heel_line: String,
    /// `Middle`
    pub centre: String,
    /// `Ahead`
    pub ahead: String,
    /// `Corner {number}`
    pub tag_title: String,
    /// `Lay it at the back left.`
    pub tag_where: [String; 4],
    /// `This page is for a camera. You may not need it.`
    pub tag_use: Vec<String>,
}
