//! What a letter is written from: computed elsewhere, plain data here.

use anatomy::Side;
use jiff::civil::Date;
use measurement::{Change, InstrumentKey, Scale, StanceDirection, Unit};
use movement::{Bearing, Crossing, Family, Support, SupportKind};
use person::{CaseFile, Involved, SurgeonOrder, WeightBearing};
use programme::Programme;
use progress::Decision;
use quantity::Length;
use safety::Layer;
use serde::Serialize;

use super::practice::Practised;

/// One result with its standard error, where that is known.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Value {
    /// The value, in the unit of the scale.
    pub value: f64,
    /// Standard error of measurement, in the same unit.
    pub error: Option<f64>,
}

/// One result on two days.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Changed {
    /// The test.
    pub test: InstrumentKey,
    /// The limb, in a reach the one that stands.
    pub side: Option<Side>,
    /// The direction, named from the standing limb.
    pub direction: Option<StanceDirection>,
    /// Whether the limb is an involved one, or the result belongs to no limb.
    pub involved: bool,
    /// The scale.
    pub scale: Scale,
    /// Its unit.
    pub unit: Unit,
    /// First day.
    pub from: Date,
    /// Last day.
    pub to: Date,
    /// The first result; none where there is no value.
    pub first: Option<Value>,
    /// The last result.
    pub last: Option<Value>,
    /// How many results were judged together.
    pub together: usize,
    /// The judgement.
    pub change: Change,
}

/// Something that was measured on one day only.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct MeasuredOnce {
    /// The test.
    pub test: InstrumentKey,
    /// The day.
    pub on: Date,
}

/// What was measured.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct MeasuredFacts {
    /// Results of two days or more, composites before their directions.
    pub changed: Vec<Changed>,
    /// Tests of one day.
    pub once: Vec<MeasuredOnce>,
}

/// What is planned.
#[derive(Clone, Copy, Debug)]
pub enum Planned<'a> {
    /// Nobody made a programme.
    NoneMade,
    /// No programme is possible today.
    NotPossible,
    /// This one was computed, and nobody accepted it.
    Proposed(&'a Programme),
    /// This one, which a clinician accepted.
    Programme(&'a Programme),
}

/// The best way to go in one direction: of all ways of crossing, supports and tasks of a family.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Way {
    /// Family.
    pub family: Family,
    /// The limb that moves.
    pub mover: Side,
    /// Where to.
    pub bearing: Bearing,
    /// How it crosses.
    pub crossing: Crossing,
    /// How far it is open; none where it is closed.
    pub open: Option<Length>,
    /// What the hands do.
    pub support: Support,
    /// What they hold.
    pub held: Option<SupportKind>,
    /// Whose rule closes it.
    pub closed_by: Option<Layer>,
}

/// What one letter is written from.
#[derive(Clone, Copy, Debug)]
pub struct LetterFacts<'a> {
    /// The case.
    pub case: &'a CaseFile,
    /// The day.
    pub today: Date,
    /// Who will sign it; the therapist of the case where nobody is named, nobody where the name is empty.
    pub author: Option<&'a str>,
    /// What was measured; none where no measures were handed in.
    pub measured: Option<&'a MeasuredFacts>,
    /// What was practised; none where no log was handed in.
    pub practised: Option<&'a Practised>,
    /// What is planned.
    pub planned: Planned<'a>,
    /// The movement space; empty where it was not computed.
    pub ways: &'a [Way],
    /// Keys of what was not assessed and could open something, the most useful first.
    pub unknown: &'a [String],
    /// The decision about the activity that is asked for.
    pub decision: Option<&'a Decision>,
    /// What is asked of the surgeon, the one that would open most first.
    pub question: &'a [OrderAsked],
}

/// What is asked about.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[serde(tag = "about", rename_all = "snake_case")]
pub enum ToAsk {
    /// An order about movements: may it be lifted?
    Order {
        /// The order.
        order: SurgeonOrder,
    },
    /// An order about weight: may it be full?
    Weight {
        /// The leg.
        side: Side,
        /// The order.
        order: WeightBearing,
    },
    /// Nobody knows how much weight is allowed.
    WeightUnknown {
        /// The leg.
        side: Side,
    },
    /// Precautions that hold by default: may they be lifted?
    Precautions {
        /// Which hips.
        involved: Involved,
    },
    /// The approach is not known.
    ApproachUnknown,
    /// The surgeon's review was not done.
    Review,
}

/// One question with what its answer would open.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct OrderAsked {
    /// What is asked about.
    pub about: ToAsk,
    /// Movements that would be open and are not today.
    pub opens: Vec<Opened>,
    /// Whether it stands against any movement tried today, alone or with other rules.
    pub stands: bool,
    /// Rules that would no longer stand against a movement.
    pub rules: Vec<RuleBehind>,
}

/// One direction that an answer would open.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize)]
pub struct Opened {
    /// Family.
    pub family: Family,
    /// The limb that moves.
    pub mover: Side,
    /// Where to.
    pub bearing: Bearing,
    /// Whether the standing foot turns.
    pub turning: bool,
}

/// A rule that stands behind a closed movement.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct RuleBehind {
    /// Its name, such as `THA-P2`.
    pub rule: String,
    /// Its source in short.
    pub source: String,
    /// Where sources differ, in English; empty where they do not.
    pub varies: String,
}
