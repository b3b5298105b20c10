//! A programme as the practice page knows it: version 1 of its JSON.

use anatomy::Side;
use jiff::civil::Date;
use movement::{Bearing, Crossing, Family, HandHeight, SupportKind};
use progress::{Cell, Prescription};
use serde::{Deserialize, Serialize};

use crate::mark::Mark;

/// The version of the JSON.
pub const VERSION: u8 = 1;

/// A programme: what is practised, without words and drawings.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "camelCase")]
pub struct Programme {
    /// The version, [`VERSION`].
    pub v: u8,
    /// Its mark.
    pub mark: Mark,
    /// The first day.
    pub from: Date,
    /// The last day it may be used.
    pub until: Date,
    /// Sessions a day.
    pub a_day: u8,
    /// The language of the words.
    pub lang: Language,
    /// The units of the words.
    pub units: Units,
    /// First name, or empty.
    #[serde(default)]
    pub person: String,
    /// Whether it shows a general figure instead of this person's.
    #[serde(default)]
    pub general: bool,
    /// Minutes of one session, where they are said.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub minutes: Option<u16>,
    /// At most three exercises.
    pub exercises: Vec<Exercise>,
}

/// A language of the page.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Language {
    /// English.
    En,
    /// French.
    Fr,
    /// Spanish.
    Es,
}

/// Units of the page.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Units {
    /// Centimetres, kilograms.
    Metric,
    /// Inches, pounds.
    Imperial,
}

/// One exercise.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "camelCase")]
pub struct Exercise {
    /// The family.
    pub family: Family,
    /// In which order directions come.
    pub order: Order,
    /// The seed of an order by chance.
    pub seed: u32,
    /// How many times the whole is done.
    pub rounds: u8,
    /// How many times each direction is done before the next.
    pub reps: u8,
    /// Time to go out, seconds.
    pub out_s: f64,
    /// Time held, seconds.
    pub hold_s: f64,
    /// Time to come back, seconds.
    pub back_s: f64,
    /// Rest between rounds, seconds.
    pub rest_s: f64,
    /// What the hands do.
    pub support: Hold,
    /// What is carried.
    pub load: Load,
    /// On which days.
    pub days: Days,
    /// How deep the knees bend, as drop of the hips, centimetres.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub depth_cm: Option<f64>,
    /// How low the hand goes.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub hand: Option<HandHeight>,
    /// Where the support stands.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub spot: Option<Spot>,
    /// Whether arms or trunk have a task of their own meanwhile. What it is only a page says that is made for one person.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub arms: bool,
    /// Each limb that moves, in order.
    pub limbs: Vec<Limb>,
}

/// Where the support stands, from the centre between the feet, whole centimetres.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Spot {
    /// What it is.
    pub kind: SupportKind,
    /// In front, from and to; behind is negative.
    pub front: [f64; 2],
    /// To the right, from and to; left is negative.
    pub right: [f64; 2],
}

/// In which order directions come.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Order {
    /// Round as listed.
    Round,
    /// Round, the other way.
    Reverse,
    /// Called by chance, balanced.
    Called,
}

/// What the hands do.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Hold {
    /// Nothing.
    None,
    /// A fingertip touches.
    Fingertip,
    /// One hand holds.
    OneHand,
    /// Both hands hold.
    BothHands,
    /// A walking frame.
    Frame,
    /// Two sticks.
    Sticks,
    /// Something fixed.
    Fixed,
    /// Another person.
    Person,
}

/// What is carried.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Load {
    /// How.
    pub kind: Carried,
    /// The mass, kilograms: of each hand weight, else of all.
    pub kg: f64,
}

/// How a load is carried.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Carried {
    /// Nothing.
    None,
    /// One weight in each hand.
    HandWeights,
    /// One thing in both hands.
    InBothHands,
    /// A backpack or a vest.
    OnTrunk,
}

/// On which days an exercise is done.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub enum Days {
    /// Every day.
    #[serde(rename = "daily")]
    Daily,
    /// Every other day.
    #[serde(rename = "alternate")]
    Alternate,
    /// Two days a week.
    #[serde(rename = "2_week")]
    TwoAWeek,
    /// Three days a week.
    #[serde(rename = "3_week")]
    ThreeAWeek,
}

/// The directions of one limb.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Limb {
    /// The limb that moves.
    pub mover: Side,
    /// Its directions, in order.
    pub cells: Vec<Target>,
}

/// One direction and how far.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "camelCase")]
pub struct Target {
    /// Where to.
    pub bearing: Bearing,
    /// How it crosses.
    pub crossing: Crossing,
    /// How far, centimetres.
    pub cm: f64,
    /// How far the foot is turned in its place, degrees clockwise.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub yaw: Option<f64>,
    /// Whether the standing foot turns along (or stays flat), where that is said.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub pivot: Option<bool>,
    /// Time to go out instead of that of the exercise, seconds.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub out_s: Option<f64>,
    /// Time to come back instead of that of the exercise, seconds.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub back_s: Option<f64>,
}

impl Programme {
    /// Reads the JSON that the practice page carries; words and drawings are passed over.
    ///
    /// # Errors
    /// Says what stands where, or that a newer version of this software wrote it.
    pub fn from_json(json: &str) -> Result<Self, String> {
        #[derive(Deserialize)]
        struct Head {
            v: u64,
        }
        let head: Head = serde_json::from_str(json).map_err(|error| {
            format!("this is no programme of a practice page ({error}); give the file that `footrose page` wrote as JSON")
        })?;
        if head.v != u64::from(VERSION) {
            return Err(format!(
                "this programme has format version `{}`; accepted: {VERSION}; update this software, or write the page again with it",
                head.v
            ));
        }
        let programme: Self = serde_json::from_str(json)
            .map_err(|error| format!("the programme cannot be read: {error}; write the page again"))?;
        if programme.until < programme.from {
            return Err(format!(
                "the programme ends on `{}`, before its first day `{}`; write the page again",
                programme.until, programme.from
            ));
        }
        Ok(programme)
    }

    /// What was asked for, as a log must know it.
    #[must_use]
    pub fn prescription(&self) -> Prescription {
        let cells = (1_u8..).zip(&self.exercises).flat_map(|(place, exercise)| {
            exercise.limbs.iter().flat_map(move |limb| {
                limb.cells.iter().map(move |target| Cell {
                    exercise: place,
                    mover: limb.mover,
                    bearing: target.bearing,
                    crossing: target.crossing,
                    family: exercise.family,
                })
            })
        });
        Prescription { from: self.from, until: self.until, a_day: self.a_day, cells: cells.collect() }
    }
}
