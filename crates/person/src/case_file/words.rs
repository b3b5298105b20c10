//! The words a case file uses for each choice.

use anatomy::Sex;
use movement::{Crossing, Family, HandHeight, Support, SupportKind};

use std::sync::OnceLock;

use crate::{
    Aid, Answer, Footwear, Hearing, HipApproach, HowKnown, Involved, KneeSurgery, Presentation, Sight,
    WeightBearingGrade,
};

/// Words and what they stand for.
pub(super) type Words<T> = [(&'static str, T)];

pub(super) const SEX: &Words<Sex> = &[("female", Sex::Female), ("male", Sex::Male)];

/// Sides, for what always has one.
pub(super) const LEG_OR_BOTH: &Words<Involved> =
    &[("left", Involved::Left), ("right", Involved::Right), ("both", Involved::Both)];

/// Sides, for what may have none.
pub(super) const ANY_SIDE: &Words<Involved> = &[
    ("left", Involved::Left),
    ("right", Involved::Right),
    ("both", Involved::Both),
    ("general", Involved::General),
];

pub(super) const LEG: &Words<anatomy::Side> =
    &[("left", anatomy::Side::Left), ("right", anatomy::Side::Right)];

pub(super) const APPROACH: &Words<HipApproach> = &[
    ("posterior", HipApproach::Posterior),
    ("anterior", HipApproach::Anterior),
    ("lateral", HipApproach::Lateral),
    ("trochanteric", HipApproach::Trochanteric),
];

pub(super) const KNEE_SURGERY: &Words<KneeSurgery> = &[("total_replacement", KneeSurgery::TotalReplacement)];

pub(super) const AID: &Words<Aid> = &[
    ("none", Aid::None),
    ("one_stick", Aid::OneStick),
    ("two_sticks", Aid::TwoSticks),
    ("one_crutch", Aid::OneCrutch),
    ("two_crutches", Aid::TwoCrutches),
    ("walking_frame", Aid::WalkingFrame),
];

pub(super) const GRADE: &Words<WeightBearingGrade> = &[
    ("non_weight_bearing", WeightBearingGrade::NonWeightBearing),
    ("touch_weight_bearing", WeightBearingGrade::TouchWeightBearing),
    ("partial_weight_bearing", WeightBearingGrade::PartialWeightBearing),
    ("as_tolerated", WeightBearingGrade::AsTolerated),
    ("full", WeightBearingGrade::Full),
];

pub(super) const KNOWN: &Words<HowKnown> = &[
    ("letter_seen", HowKnown::LetterSeen),
    ("spoken_to_team", HowKnown::SpokenToTeam),
    ("patient_says", HowKnown::PatientSays),
];

pub(super) const SUPPORT: &Words<SupportKind> = &[
    ("bench", SupportKind::Bench),
    ("walking_frame", SupportKind::WalkingFrame),
    ("chair_back", SupportKind::ChairBack),
];

pub(super) const FAMILY: &Words<Family> = &[
    ("reach", Family::Reach),
    ("step", Family::Step),
    ("lunge", Family::Lunge),
    ("leap", Family::Leap),
    ("two_foot_jump", Family::TwoFootJump),
    ("single_leg_hop", Family::Hop),
    ("bend_and_reach", Family::BendAndReach),
];

pub(super) const CROSSING: &Words<Crossing> =
    &[("in_front", Crossing::InFront), ("behind", Crossing::Behind)];

pub(super) const HANDS: &Words<Support> = &[
    ("none", Support::None),
    ("fingertip", Support::Fingertip),
    ("one_hand", Support::OneHand),
    ("both_hands", Support::BothHands),
];

/// What the hand that goes out can hold on to is the other one.
pub(super) const OTHER_HAND: &Words<Support> =
    &[("none", Support::None), ("fingertip", Support::Fingertip), ("one_hand", Support::OneHand)];

pub(super) const SIGHT: &Words<Sight> =
    &[("usual_type", Sight::UsualType), ("large_type", Sight::LargeType), ("no_type", Sight::NoType)];

pub(super) const HEARING: &Words<Hearing> =
    &[("usual", Hearing::Usual), ("hard", Hearing::Hard), ("none", Hearing::None)];

pub(super) const FOOTWEAR: &Words<Footwear> = &[
    ("closed_shoes", Footwear::ClosedShoes),
    ("open_shoes", Footwear::OpenShoes),
    ("socks", Footwear::Socks),
    ("barefoot", Footwear::Barefoot),
];

pub(super) const HAND_HEIGHT: &Words<HandHeight> = &[
    ("thigh", HandHeight::Thigh),
    ("knee", HandHeight::Knee),
    ("shin", HandHeight::Shin),
    ("ankle", HandHeight::Ankle),
];

/// A word in quotation marks, as an example in the format.
pub(super) fn quoted(word: &str) -> &'static str {
    static QUOTED: OnceLock<Vec<(&str, String)>> = OnceLock::new();
    let known = QUOTED.get_or_init(|| {
        let patterns = Presentation::ALL.into_iter().flat_map(|one| one.patterns());
        patterns.map(|one| (one.key(), format!("\"{}\"", one.key()))).collect()
    });
    known.iter().find(|(key, _)| *key == word).map_or("", |(_, quoted)| quoted)
}

/// Where the bounds of an answer stand in `reference/case_bounds.toml`.
pub(super) fn path_of(answer: Answer) -> &'static str {
    static PATHS: OnceLock<Vec<(Answer, String)>> = OnceLock::new();
    let known = PATHS
        .get_or_init(|| Answer::ALL.iter().map(|one| (*one, format!("findings.{}", one.key()))).collect());
    known.iter().find(|(one, _)| *one == answer).map_or("", |(_, path)| path)
}

/// The words alone.
pub(super) fn names<T>(words: &Words<T>) -> Vec<String> {
    words.iter().map(|(word, _)| (*word).to_owned()).collect()
}

/// What a word stands for.
pub(super) fn meaning<T: Copy>(words: &Words<T>, word: &str) -> Option<T> {
    words.iter().find(|(name, _)| *name == word).map(|(_, meaning)| *meaning)
}
