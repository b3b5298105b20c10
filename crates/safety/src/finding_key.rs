//! The findings that rules ask about, each with its words, its unit and how it is looked up.

use anatomy::{Coordinate, JointMotion, Side};
use jiff::civil::Date;
use person::{Aid, Answer, Clock, Condition, Finding, Findings, HowKnown, Known, WeightBearingGrade};
use serde::{Deserialize, Serialize};

use crate::tables::shelf_life;

/// A finding that opens something, or lets it shut. Sided ones are asked for one leg.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
#[allow(missing_docs)]
pub enum FindingKey {
    StandsAndShifts,
    PainAtRest,
    PainInMovement,
    ConsistentNightPain,
    WoundDry,
    RedFlags,
    AidsHeld,
    WalkingFrame,
    Effusion,
    KneeFlexionDeg,
    ExtensionLagDeg,
    SingleLegStance,
    SingleLegStanceFingertip,
    Trendelenburg,
    TandemStance,
    TimedUpAndGo,
    SitToStands,
    StairsReciprocal,
    DizzyBending,
    CleanStepDirections,
    CleanReaches,
    SurgeonReview,
    OtherConditions,
    KneeFlexionPercent,
    HamstringStrengthPercent,
    HopPercent,
    HeelRaisePercent,
    HeelRaiseHeightPercent,
    DorsiflexionDeficitDeg,
    AbductorStrengthPercent,
    QuadricepsStrengthPercent,
    FullWeightAllowed,
    WeightBearing,
    Ceiling,
    SomeoneAtHome,
    AloneWaived,
    MedialOrVarusThrust,
    OperatedOn,
    Approach,
    /// Asked or tested for criteria only.
    #[serde(untagged)]
    Answer(Answer),
}

/// What a finding says today, as a number; yes and no are 1 and 0.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) enum Value {
    /// Known and current.
    Is(f64),
    /// Known, but too old.
    Stale(Date),
    /// Nobody looked.
    Unknown,
}

fn of<T>(finding: &Finding<T>, key: FindingKey, today: Date, number: impl Fn(&T) -> f64) -> Value {
    match finding.on(today, shelf_life(key)) {
        Known::Current(value) => Value::Is(number(value)),
        Known::Stale { on } => Value::Stale(on),
        Known::NotAssessed => Value::Unknown,
    }
}

fn flag(value: &bool) -> f64 {
    if *value { 1.0 } else { 0.0 }
}

fn aids(aid: &Aid) -> f64 {
    match aid {
        Aid::None => 0.0,
        Aid::OneStick | Aid::OneCrutch => 1.0,
        // A frame takes both hands, as two sticks do.
        Aid::TwoSticks | Aid::TwoCrutches | Aid::WalkingFrame => 2.0,
    }
}

impl FindingKey {
    /// Every finding but the answers.
    pub const ALL: [Self; 39] = [
        Self::StandsAndShifts,
        Self::PainAtRest,
        Self::PainInMovement,
        Self::ConsistentNightPain,
        Self::WoundDry,
        Self::RedFlags,
        Self::AidsHeld,
        Self::WalkingFrame,
        Self::Effusion,
        Self::KneeFlexionDeg,
        Self::ExtensionLagDeg,
        Self::SingleLegStance,
        Self::SingleLegStanceFingertip,
        Self::Trendelenburg,
        Self::TandemStance,
        Self::TimedUpAndGo,
        Self::SitToStands,
        Self::StairsReciprocal,
        Self::DizzyBending,
        Self::CleanStepDirections,
        Self::CleanReaches,
        Self::SurgeonReview,
        Self::OtherConditions,
        Self::KneeFlexionPercent,
        Self::HamstringStrengthPercent,
        Self::HopPercent,
        Self::HeelRaisePercent,
        Self::HeelRaiseHeightPercent,
        Self::DorsiflexionDeficitDeg,
        Self::AbductorStrengthPercent,
        Self::QuadricepsStrengthPercent,
        Self::FullWeightAllowed,
        Self::WeightBearing,
        Self::Ceiling,
        Self::SomeoneAtHome,
        Self::AloneWaived,
        Self::MedialOrVarusThrust,
        Self::OperatedOn,
        Self::Approach,
    ];

    /// The key as tables write it, such as `wound_dry`.
    #[must_use]
    pub fn key(self) -> String {
        if let Self::Answer(answer) = self {
            return answer.key().to_owned();
        }
        let mut out = String::new();
        for c in format!("{self:?}").chars() {
            if c.is_uppercase() && !out.is_empty() {
                out.push('_');
            }
            out.extend(c.to_lowercase());
        }
        out
    }

    /// The finding with this key.
    #[must_use]
    pub fn from_key(key: &str) -> Option<Self> {
        let plain = Self::ALL.into_iter().find(|one| one.key() == key);
        plain.or_else(|| Answer::from_key(key).map(Self::Answer))
    }

    /// What this finding says on `today`, for one side where it has sides.
    pub(crate) fn value(self, findings: &Findings, side: Side, today: Date) -> Value {
        use FindingKey as K;
        let f = findings;
        let byte = |v: &u8| f64::from(*v);
        match self {
            K::StandsAndShifts => of(&f.stands_and_shifts, self, today, flag),
            K::PainAtRest => of(&f.pain_at_rest, self, today, byte),
            K::PainInMovement => of(&f.pain_in_movement, self, today, byte),
            K::ConsistentNightPain => of(&f.consistent_night_pain, self, today, flag),
            K::WoundDry => of(&f.wound_dry, self, today, flag),
            K::RedFlags => of(&f.red_flags, self, today, |flags| if flags.is_empty() { 0.0 } else { 1.0 }),
            K::AidsHeld => of(&f.aid, self, today, aids),
            K::WalkingFrame => of(&f.aid, self, today, |aid| flag(&(*aid == Aid::WalkingFrame))),
            K::Effusion => of(f.effusion.get(side), self, today, byte),
            K::KneeFlexionDeg => of(f.knee_flexion.get(side), self, today, |a| a.in_deg()),
            K::ExtensionLagDeg => of(f.extension_lag.get(side), self, today, |a| a.in_deg()),
            K::SingleLegStance => of(f.single_leg_stance.get(side), self, today, |s| *s),
            K::SingleLegStanceFingertip => of(f.single_leg_stance_fingertip.get(side), self, today, |s| *s),
            K::Trendelenburg => of(f.trendelenburg.get(side), self, today, flag),
            K::TandemStance => of(&f.tandem_stance, self, today, |s| *s),
            K::TimedUpAndGo => of(&f.timed_up_and_go, self, today, |s| *s),
            K::SitToStands => of(&f.sit_to_stands, self, today, byte),
            K::StairsReciprocal => of(&f.stairs_reciprocal, self, today, flag),
            K::DizzyBending => of(&f.dizzy_bending, self, today, flag),
            K::CleanStepDirections => of(&f.clean_step_directions, self, today, byte),
            K::CleanReaches => of(&f.clean_reaches, self, today, flag),
            K::Answer(answer) => of(f.answers.get(answer, side), self, today, |value| *value),
            K::OtherConditions => of(&f.other_conditions, self, today, |list| list.len() as f64),
            K::KneeFlexionPercent => {
                percent_of_other(side, |side| of(f.knee_flexion.get(side), self, today, |a| a.in_deg()))
            }
            K::HamstringStrengthPercent => {
                strength_percent(f, Coordinate::KneeFlexion.positive(), side, today)
            }
            K::HopPercent => answer_percent(f, Answer::HopDistance, side, today),
            K::HeelRaisePercent => answer_percent(f, Answer::HeelRaises, side, today),
            K::HeelRaiseHeightPercent => answer_percent(f, Answer::HeelRaiseHeight, side, today),
            K::DorsiflexionDeficitDeg => {
                let of_side = |side: Side| of(f.ankle_dorsiflexion.get(side), self, today, |a| a.in_deg());
                both(of_side(side), of_side(side.other()), |this, other| Some(other - this))
            }
            K::SurgeonReview => of(&f.surgeon_review, self, today, flag),
            K::AbductorStrengthPercent => {
                strength_percent(f, Coordinate::HipAdduction.negative(), side, today)
            }
            K::QuadricepsStrengthPercent => {
                strength_percent(f, Coordinate::KneeFlexion.negative(), side, today)
            }
            K::FullWeightAllowed => weight(f, side, self, today, |grade| {
                flag(&matches!(grade, WeightBearingGrade::AsTolerated | WeightBearingGrade::Full))
            }),
            K::WeightBearing => weight(f, side, self, today, |_| 1.0),
            K::Ceiling => condition(f, |c| match c {
                Condition::Other(other) => Some(of(&other.ceiling, self, today, byte)),
                _ => None,
            }),
            K::SomeoneAtHome => condition(f, |c| match c {
                Condition::FallsRisk { someone_at_home, .. } => Some(of(someone_at_home, self, today, flag)),
                _ => None,
            }),
            K::AloneWaived => condition(f, |c| match c {
                Condition::FallsRisk { alone_waived, .. } => Some(of(alone_waived, self, today, flag)),
                _ => None,
            }),
            K::MedialOrVarusThrust => condition(f, |c| match c {
                Condition::KneeOsteoarthritis { medial_or_varus_thrust, involved, .. }
                    if involved.includes(side) =>
                {
                    Some(of(medial_or_varus_thrust, self, today, flag))
                }
                _ => None,
            }),
            K::OperatedOn => condition(f, |c| match c {
                Condition::HipReplacement { operated_on, .. }
                | Condition::KneeReplacement { operated_on, .. } => {
                    Some(of(operated_on, self, today, |_| 1.0))
                }
                Condition::Presented(presented) if presented.presentation.clock() != Clock::None => {
                    Some(of(&presented.since, self, today, |_| 1.0))
                }
                _ => None,
            }),
            K::Approach => condition(f, |c| match c {
                Condition::HipReplacement { approach, .. } => Some(of(approach, self, today, |_| 1.0)),
                _ => None,
            }),
        }
    }

    /// The day it dates from; of a comparison of two sides the day of one of them.
    pub(crate) fn dates_from(self, findings: &Findings, side: Side) -> Option<Date> {
        if matches!(self, Self::FullWeightAllowed | Self::WeightBearing) {
            return match findings.weight_bearing.get(side) {
                Finding::Found { on, .. } => Some(*on),
                Finding::NotAssessed => None,
            };
        }
        // On the last of all days everything has grown too old, and what is too old says its day.
        match self.value(findings, side, Date::MAX) {
            Value::Stale(on) => Some(on),
            Value::Is(_) | Value::Unknown => None,
        }
    }

    /// Whether it is asked for one leg.
    #[must_use]
    pub fn has_side(self) -> bool {
        use FindingKey as K;
        matches!(
            self,
            K::Effusion
                | K::KneeFlexionDeg
                | K::ExtensionLagDeg
                | K::SingleLegStance
                | K::SingleLegStanceFingertip
                | K::Trendelenburg
                | K::AbductorStrengthPercent
                | K::QuadricepsStrengthPercent
                | K::FullWeightAllowed
                | K::WeightBearing
                | K::MedialOrVarusThrust
                | K::KneeFlexionPercent
                | K::HamstringStrengthPercent
                | K::HopPercent
                | K::HeelRaisePercent
                | K::HeelRaiseHeightPercent
                | K::DorsiflexionDeficitDeg
        ) || matches!(self, K::Answer(answer) if answer.has_side())
    }

    /// The finding in the trade's words.
    #[must_use]
    pub fn words(self) -> &'static str {
        use FindingKey as K;
        match self {
            K::StandsAndShifts => "standing 30 s and shifting weight",
            K::PainAtRest => "pain at rest",
            K::PainInMovement => "pain in movement",
            K::ConsistentNightPain => "consistent night or rest pain",
            K::WoundDry => "a dry wound",
            K::RedFlags => "red flags",
            K::AidsHeld => "walking aids held",
            K::WalkingFrame => "use of a walking frame",
            K::Effusion => "knee swelling (stroke test)",
            K::KneeFlexionDeg => "knee flexion",
            K::ExtensionLagDeg => "knee extension lag",
            K::SingleLegStance => "standing on one leg",
            K::SingleLegStanceFingertip => "standing on one leg with a fingertip held",
            K::Trendelenburg => "Trendelenburg sign",
            K::TandemStance => "tandem stance",
            K::TimedUpAndGo => "timed up and go",
            K::SitToStands => "sit-to-stands in a row",
            K::StairsReciprocal => "stairs foot over foot",
            K::DizzyBending => "dizziness on standing up or bending",
            K::CleanStepDirections => "directions stepped clean without hands",
            K::CleanReaches => "clean reaches on both legs, quiet for 24 hours, twice",
            K::OtherConditions => "other conditions and medicines",
            K::KneeFlexionPercent => "knee flexion against the other side",
            K::HamstringStrengthPercent => "knee flexor strength against the other side",
            K::HopPercent => "single-leg hop against the other side",
            K::HeelRaisePercent => "single-leg heel raises against the other side",
            K::HeelRaiseHeightPercent => "height of the single-leg heel raise against the other side",
            K::DorsiflexionDeficitDeg => "weight-bearing dorsiflexion short of the other side",
            K::Answer(answer) => answer.words(),
            K::SurgeonReview => "the surgeon's review",
            K::AbductorStrengthPercent => "hip abductor strength against the other side",
            K::QuadricepsStrengthPercent => "knee extensor strength against the other side",
            K::FullWeightAllowed => "full weight bearing",
            K::WeightBearing => "weight-bearing order",
            K::Ceiling => "the clinician's highest level",
            K::SomeoneAtHome => "somebody at home",
            K::AloneWaived => "a clinician's waiver for practising alone",
            K::MedialOrVarusThrust => "varus thrust or wear on the medial side of the knee",
            K::OperatedOn => "the day of the operation",
            K::Approach => "the surgical approach",
        }
    }

    /// The unit of its number; `None` for yes or no.
    #[must_use]
    pub fn unit(self) -> Option<&'static str> {
        use FindingKey as K;
        match self {
            K::PainAtRest | K::PainInMovement => Some("of 10"),
            K::KneeFlexionDeg | K::ExtensionLagDeg => Some("°"),
            K::SingleLegStance | K::SingleLegStanceFingertip | K::TandemStance | K::TimedUpAndGo => Some("s"),
            K::AbductorStrengthPercent
            | K::QuadricepsStrengthPercent
            | K::HamstringStrengthPercent
            | K::KneeFlexionPercent
            | K::HopPercent
            | K::HeelRaisePercent
            | K::HeelRaiseHeightPercent => Some("%"),
            K::DorsiflexionDeficitDeg => Some("°"),
            K::Answer(answer) => answer.unit(),
            K::OtherConditions => Some(""),
            K::Effusion | K::AidsHeld | K::SitToStands | K::CleanStepDirections | K::Ceiling => Some(""),
            _ => None,
        }
    }
}

/// What the conditions say; when two of them disagree, nothing is known.
fn condition(findings: &Findings, read: impl Fn(&Condition) -> Option<Value>) -> Value {
    findings
        .conditions
        .iter()
        .filter_map(read)
        .reduce(|a, b| match (a, b) {
            (Value::Is(x), Value::Is(y)) if x == y => a,
            (Value::Is(_), Value::Is(_)) | (Value::Unknown, _) | (_, Value::Unknown) => Value::Unknown,
            (Value::Stale(x), Value::Stale(y)) => Value::Stale(x.min(y)),
            (Value::Stale(x), Value::Is(_)) | (Value::Is(_), Value::Stale(x)) => Value::Stale(x),
        })
        .unwrap_or(Value::Unknown)
}

fn weight(
    findings: &Findings,
    side: Side,
    key: FindingKey,
    today: Date,
    number: impl Fn(WeightBearingGrade) -> f64,
) -> Value {
    let finding = findings.weight_bearing.get(side);
    if let Finding::Found { value, on } = finding {
        if value.known == HowKnown::PatientSays {
            return Value::Unknown;
        }
        // An order with an end date holds until then, whatever its age.
        if let Some(until) = value.until {
            return if *on <= today && today <= until {
                Value::Is(number(value.grade))
            } else {
                Value::Stale(until)
            };
        }
    }
    of(finding, key, today, |order| number(order.grade))
}

/// Two values made into one; unknown when either is, stale when either is.
fn both(a: Value, b: Value, make: impl Fn(f64, f64) -> Option<f64>) -> Value {
    match (a, b) {
        (Value::Is(a), Value::Is(b)) => make(a, b).map_or(Value::Unknown, Value::Is),
        (Value::Stale(on), _) | (_, Value::Stale(on)) => Value::Stale(on),
        _ => Value::Unknown,
    }
}

/// One side as per cent of the other.
fn percent_of_other(side: Side, of_side: impl Fn(Side) -> Value) -> Value {
    both(of_side(side), of_side(side.other()), |this, other| (other > 0.0).then(|| this / other * 100.0))
}

fn answer_percent(findings: &Findings, answer: Answer, side: Side, today: Date) -> Value {
    percent_of_other(side, |side| FindingKey::Answer(answer).value(findings, side, today))
}

/// Strength of one side as per cent of the other, when both were measured within their shelf life.
fn strength_percent(findings: &Findings, motion: JointMotion, side: Side, today: Date) -> Value {
    let key = FindingKey::QuadricepsStrengthPercent;
    percent_of_other(side, |side| {
        findings
            .strength
            .iter()
            .filter(|s| s.motion == motion && s.side == side)
            .map(|s| of(&s.moment, key, today, |m| m.in_nm()))
            .fold(Value::Unknown, |best, next| match (best, next) {
                (Value::Is(a), Value::Is(b)) => Value::Is(a.min(b)),
                (Value::Is(a), _) => Value::Is(a),
                (Value::Unknown, next) => next,
                (stale, Value::Unknown) => stale,
                (Value::Stale(_), next) => next,
            })
    })
}
