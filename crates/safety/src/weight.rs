//! Weight-bearing grades: what a leg may carry, and what the other leg may then do.

use anatomy::{PerSide, Side};
use jiff::civil::Date;
use movement::{Family, MovementSpec, Support};
use person::{Finding, Findings, HowKnown, WeightBearingGrade};
use quantity::Share;

use crate::FindingKey;
use crate::finding_key::Value;
use crate::tables::weight_bearing;
use crate::words;
use crate::{Blocked, Layer, Refusal};

/// What one leg may carry today.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct WeightAllowed {
    pub(crate) grade: Grade,
    by: String,
    until: Option<Date>,
}

/// A grade with its cap.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) enum Grade {
    /// Nobody knows: nothing that loads this leg.
    Unknown(Why),
    /// Foot off the floor.
    Non,
    /// Touch for balance only.
    Touch,
    /// A stated share of body weight.
    Partial(Share),
    /// As comfortable, or all of it.
    Whole,
}

/// Why a grade is not known.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) enum Why {
    NotAssessed,
    OutOfDate(Date),
    OnlyPatientSays,
    NoShareStated,
}

pub(crate) fn resolve(findings: &Findings, today: Date) -> PerSide<WeightAllowed> {
    PerSide::from_fn(|side| {
        let Finding::Found { value: order, .. } = findings.weight_bearing.get(side) else {
            return WeightAllowed { grade: Grade::Unknown(Why::NotAssessed), by: String::new(), until: None };
        };
        let grade = match FindingKey::WeightBearing.value(findings, side, today) {
            _ if order.known == HowKnown::PatientSays => Grade::Unknown(Why::OnlyPatientSays),
            Value::Stale(on) => Grade::Unknown(Why::OutOfDate(on)),
            Value::Unknown => Grade::Unknown(Why::NotAssessed),
            Value::Is(_) => match (order.grade, order.share) {
                (WeightBearingGrade::NonWeightBearing, _) => Grade::Non,
                (WeightBearingGrade::TouchWeightBearing, _) => Grade::Touch,
                (WeightBearingGrade::PartialWeightBearing, Some(share)) => Grade::Partial(share),
                (WeightBearingGrade::PartialWeightBearing, None) => Grade::Unknown(Why::NoShareStated),
                (WeightBearingGrade::AsTolerated | WeightBearingGrade::Full, _) => Grade::Whole,
            },
        };
        WeightAllowed { grade, by: order.by.clone(), until: order.until }
    })
}

/// The share of body weight that hands on a support were seen to carry.
pub(crate) fn hands_can_carry() -> Share {
    Share::percent(weight_bearing().hands.at_most_percent)
}

impl WeightAllowed {
    /// The share this leg may carry.
    pub(crate) fn cap(&self) -> Share {
        match self.grade {
            Grade::Unknown(_) | Grade::Non => Share::ZERO,
            Grade::Touch => Share::percent(weight_bearing().touch.at_most_percent),
            Grade::Partial(share) => share.min(Share::of_one(1.0)),
            Grade::Whole => Share::of_one(1.0),
        }
    }

    fn refusal(&self, rule: &str, side: Side, computed: f64, reason: String, opens_when: String) -> Refusal {
        Refusal {
            rule: rule.to_owned(),
            layer: Layer::SurgeonOrder,
            blocked: match self.grade {
                Grade::Unknown(_) => {
                    Blocked::NotAssessed { finding: format!("weight-bearing order, {side} leg") }
                }
                _ => Blocked::Load {
                    side,
                    computed_percent: computed,
                    allowed_percent: self.cap().in_percent(),
                },
            },
            reason,
            source: weight_bearing().table.source.clone(),
            until: self.until,
            opens_when,
        }
    }

    /// Why nothing at all may be done on this leg; `None` when something may.
    pub(crate) fn closes_everything(&self, side: Side) -> Option<Refusal> {
        let team = "the surgeon or treating team states the grade (letter seen or spoken to)".to_owned();
        let (rule, reason, opens_when) = match self.grade {
            Grade::Unknown(why) => {
                let because = match why {
                    Why::NotAssessed => "was not assessed".to_owned(),
                    Why::OutOfDate(on) => {
                        format!("dates from {} or ended then, and counts as not assessed", words::day(on))
                    }
                    Why::OnlyPatientSays => {
                        "is known only from the patient, whose word can tighten but not open".to_owned()
                    }
                    Why::NoShareStated => "is partial, but no share of body weight was stated".to_owned(),
                };
                (
                    "WB-UNKNOWN",
                    format!("The weight-bearing order of the {side} leg {because}; it must not be loaded."),
                    team,
                )
            }
            Grade::Non => (
                "WB-NON",
                format!(
                    "The {side} leg must stay off the floor by order of {}; no standing movement is open.",
                    self.by
                ),
                format!("{} orders more weight on the {side} leg", self.by),
            ),
            Grade::Touch => (
                "WB-TOUCH",
                format!(
                    "The {side} leg may only touch the floor ({} of body weight at most) by order of {}; only a supported weight shift is open.",
                    self.cap(),
                    self.by
                ),
                format!("{} orders more weight on the {side} leg", self.by),
            ),
            Grade::Partial(_) | Grade::Whole => return None,
        };
        Some(self.refusal(rule, side, 100.0, reason, opens_when))
    }

    /// Why this leg's partial weight bearing closes a movement; empty when it does not.
    pub(crate) fn screen(&self, side: Side, spec: &MovementSpec) -> Vec<Refusal> {
        let Grade::Partial(share) = self.grade else { return Vec::new() };
        if share.in_one() >= 1.0 {
            return Vec::new();
        }
        let rest = Share::of_one(1.0 - share.in_one());
        let order = format!("the {side} leg may carry {share} of body weight by order of {}", self.by);
        let opens = format!("{} orders more weight on the {side} leg", self.by);
        let mut out = Vec::new();
        if spec.family != Family::Step {
            out.push(self.refusal(
                "WB-PARTIAL",
                side,
                100.0,
                format!(
                    "A {} is closed: {order}, which leaves only stepping with both hands held.",
                    spec.family
                ),
                opens,
            ));
            return out;
        }
        if spec.support != Support::BothHands {
            out.push(self.refusal(
                "WB-PARTIAL",
                side,
                100.0,
                format!("A step without both hands on a support is closed: {order}."),
                format!("both hands hold a support, or {opens}"),
            ));
        }
        let hands = hands_can_carry();
        if spec.stance() == side && rest.in_one() > hands.in_one() {
            out.push(Refusal {
                source: weight_bearing().hands.source.clone(),
                ..self.refusal(
                    "WB-OTHER-LEG",
                    side,
                    100.0,
                    format!(
                        "The {} leg must not step: {order}, so the hands would have to carry {rest}, and {hands} is the most that was seen.",
                        side.other()
                    ),
                    opens,
                )
            });
        }
        out
    }

    /// A leg's computed load against its cap; the hands may take the rest when both hold.
    pub(crate) fn check(
        &self,
        side: Side,
        spec: &MovementSpec,
        computed: Share,
    ) -> Result<Share, Box<Refusal>> {
        let over = computed.in_one() - self.cap().in_one();
        if over <= 1e-9 {
            return Ok(Share::ZERO);
        }
        let hands = if spec.support == Support::BothHands { hands_can_carry() } else { Share::ZERO };
        if over <= hands.in_one() + 1e-9 {
            return Ok(Share::of_one(over));
        }
        Err(Box::new(self.refusal(
            "WB-LOAD",
            side,
            computed.in_percent(),
            format!(
                "The {side} leg would carry {computed} of body weight; {} is allowed by order of {}{}.",
                self.cap(),
                self.by,
                if hands.in_one() > 0.0 { format!(" and hands take {hands} at most") } else { String::new() }
            ),
            format!("{} orders more weight on the {side} leg", self.by),
        )))
    }
}
