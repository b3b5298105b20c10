//! Everything that was found in one person, and the case that carries it.

use anatomy::{BodySize, JointMotion, PerSide, Side};
use jiff::civil::Date;
use quantity::{Angle, Length, Moment};
use serde::Serialize;

use crate::{
    Answers, Comorbidity, Condition, Finding, Hearing, Home, LastProgramme, RedFlag, Sight, SurgeonOrder,
    WeightBearing, Wishes,
};

/// A walking aid.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
#[serde(rename_all = "snake_case")]
#[allow(missing_docs)]
pub enum Aid {
    None,
    OneStick,
    TwoSticks,
    OneCrutch,
    TwoCrutches,
    WalkingFrame,
}

/// One measured joint strength.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Strength {
    /// Which motion.
    pub motion: JointMotion,
    /// Which side.
    pub side: Side,
    /// The moment that was measured.
    pub moment: Finding<Moment>,
    /// The joint angle at which it was measured, if noted.
    pub at_angle: Option<Angle>,
}

/// What was found. Nothing here is mandatory; what is missing is `NotAssessed` and closes.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Findings {
    /// Conditions and operations.
    pub conditions: Vec<Condition>,
    /// Red flags that are present; an empty list means that they were asked for and absent.
    pub red_flags: Finding<Vec<RedFlag>>,
    /// Other conditions and medicines that tighten; an empty list means asked for and absent.
    pub other_conditions: Finding<Vec<Comorbidity>>,
    /// Weight-bearing order per leg.
    pub weight_bearing: PerSide<Finding<WeightBearing>>,
    /// What was ordered for this person.
    pub orders: Vec<SurgeonOrder>,
    /// Walking aid.
    pub aid: Finding<Aid>,
    /// Pain at rest now, 0 to 10.
    pub pain_at_rest: Finding<u8>,
    /// Worst pain in movement over the last day, 0 to 10.
    pub pain_in_movement: Finding<u8>,
    /// Night or rest pain: `true` when consistent.
    pub consistent_night_pain: Finding<bool>,
    /// Can stand 30 s and shift weight.
    pub stands_and_shifts: Finding<bool>,
    /// The wound is dry.
    pub wound_dry: Finding<bool>,
    /// Knee swelling by the stroke test: 0 none, 1 trace, 2 one plus, 3 two plus, 4 three plus.
    pub effusion: PerSide<Finding<u8>>,
    /// Passive knee flexion.
    pub knee_flexion: PerSide<Finding<Angle>>,
    /// How far active extension falls short of passive.
    pub extension_lag: PerSide<Finding<Angle>>,
    /// Weight-bearing ankle dorsiflexion (knee to wall, tibia angle).
    pub ankle_dorsiflexion: PerSide<Finding<Angle>>,
    /// Standing on one leg, seconds.
    pub single_leg_stance: PerSide<Finding<f64>>,
    /// Standing on one leg with a fingertip held, seconds.
    pub single_leg_stance_fingertip: PerSide<Finding<f64>>,
    /// The pelvis drops to the other side when standing on this leg.
    pub trendelenburg: PerSide<Finding<bool>>,
    /// Tandem stance, seconds.
    pub tandem_stance: Finding<f64>,
    /// Timed up and go, seconds.
    pub timed_up_and_go: Finding<f64>,
    /// Sit-to-stands in a row without hands.
    pub sit_to_stands: Finding<u8>,
    /// Steps up stairs foot over foot.
    pub stairs_reciprocal: Finding<bool>,
    /// Dizzy on standing up or on head-down bending.
    pub dizzy_bending: Finding<bool>,
    /// Directions (0 to 8) in which level-2 steps were seen clean.
    pub clean_step_directions: Finding<u8>,
    /// A reach on both sides was seen with level pelvis and knee over foot, 24 hours quiet, twice.
    pub clean_reaches: Finding<bool>,
    /// The surgeon's review was done and nothing stands against the next phase.
    pub surgeon_review: Finding<bool>,
    /// Falls in the past year.
    pub falls_past_year: Finding<u8>,
    /// The person agrees to examination, exercises and the record of them.
    pub consent: Finding<bool>,
    /// What was asked or tested for criteria only.
    pub answers: Answers,
    /// Measured joint strengths.
    pub strength: Vec<Strength>,
    /// Directions that hurt: limb that moved, bearing (degrees), distance at which it hurt, in which movement.
    pub hurt: Vec<HurtAt>,
}

/// A direction that hurt.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct HurtAt {
    /// The leg that moved, or the side of the hand that reached. A two-foot jump moves both.
    pub mover: Side,
    /// The floor bearing.
    pub bearing: movement::Bearing,
    /// In which family of movements; `None` when nobody said, which counts as all of them.
    pub family: Option<movement::Family>,
    /// The distance at which it hurt.
    pub distance: Length,
    /// How much, 0 to 10; `None` when it was not said, which counts as too much.
    pub pain: Option<u8>,
    /// Whether it was back to its level by the next morning; `None` when nobody asked.
    pub settled: Option<bool>,
    /// Pain that spread further down the leg, or shooting or tingling pain.
    pub spreads: bool,
    /// The day.
    pub on: Date,
}

/// Who the person is, as far as a sheet needs it.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Person {
    /// What the sheet calls them.
    pub name: String,
    /// Work, sport or setting in a few words.
    pub about: String,
    /// Body size.
    pub body: BodySize,
    /// What type the person can read.
    pub sight: Sight,
    /// Whether a sound can pace the person.
    pub hearing: Hearing,
    /// Language the person reads, or one that needs an interpreter.
    pub interpreter: Option<String>,
}

/// One case: a person, what was found on a day, and what is wished.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct CaseFile {
    /// Whether the person is invented.
    pub invented: bool,
    /// The day an invented case is planned for; real cases are planned for today.
    pub planned_for: Option<Date>,
    /// The day of the visit: the date of every finding that names no other.
    pub visit: Date,
    /// Who.
    pub person: Person,
    /// What was found.
    pub findings: Findings,
    /// What came home from the last programme.
    pub last_programme: LastProgramme,
    /// What is at home.
    pub home: Home,
    /// What is wished.
    pub wishes: Wishes,
    /// Lines about the clinic; blank when unknown.
    pub clinic: Clinic,
}

/// Lines of the sheet that only the clinic knows.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct Clinic {
    /// Name of the clinic.
    pub name: Option<String>,
    /// Telephone of the clinic.
    pub phone: Option<String>,
    /// Telephone of the surgical team.
    pub surgical_team_phone: Option<String>,
    /// Emergency number.
    pub emergency_number: Option<String>,
    /// The therapist.
    pub therapist: Option<String>,
    /// The clinic's own tables of rules, as they are written. They come from beside the case file,
    /// never from it, and are read where rules are resolved; one that cannot be read closes.
    pub tables: Vec<String>,
}
