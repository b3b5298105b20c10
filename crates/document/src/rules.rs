//! What this person must keep to, in plain sentences, because of what was operated on or found.

use anatomy::Side;
use jiff::civil::Date;
use person::{
    Condition, Finding, Findings, HipApproach, Involved, OrderedLimit, Presentation, Presented,
    WeightBearingGrade,
};

use crate::data::RuleBlock;
use crate::words::side;

fn block(title: String, sentences: Vec<String>) -> RuleBlock {
    RuleBlock { title, sentences }
}

fn sides(involved: Involved) -> Vec<Side> {
    Side::BOTH.into_iter().filter(|s| involved.includes(*s)).collect()
}

/// The rules of one person. They are kept until a clinician says otherwise; time alone drops none.
#[must_use]
pub fn person_rules(findings: &Findings, today: Date) -> Vec<RuleBlock> {
    let mut out = Vec::new();
    for condition in &findings.conditions {
        match condition {
            Condition::HipReplacement { involved, approach, .. } => {
                let (title, legs) = new_joint(*involved, "hip", "hips");
                out.push(block(title, hip(findings, today, *involved, approach, legs)));
            }
            Condition::KneeReplacement { involved, .. } => {
                let (title, legs) = new_joint(*involved, "knee", "knees");
                out.push(block(
                    title,
                    vec![
                        format!("Do not twist on {legs}."),
                        "Do not force the knee to bend.".to_owned(),
                        "Do not kneel until your therapist agrees.".to_owned(),
                    ],
                ));
            }
            Condition::KneeOsteoarthritis { involved, .. } => {
                let title = match involved {
                    Involved::Left | Involved::Right => {
                        let which = sides(*involved).first().map_or("", |s| side(*s));
                        format!("Your {which} knee is worn.")
                    }
                    Involved::Both | Involved::General => "Your knees are worn.".to_owned(),
                };
                out.push(block(title, vec!["If the knee grinds and hurts, bend it less.".to_owned()]));
            }
            Condition::FallsRisk { alone_waived, .. } => {
                let mut sentences = vec![
                    "Keep a bench or heavy chair in reach all the time.".to_owned(),
                    "This sheet alone will not stop falls. Ask us about a class.".to_owned(),
                ];
                if !matches!(alone_waived, Finding::Found { value: true, .. }) {
                    sentences.insert(1, "Have someone at home for the first two weeks.".to_owned());
                }
                out.push(block("Take care not to fall.".to_owned(), sentences));
            }
            Condition::Presented(presented) => out.extend(presented_block(presented)),
            Condition::Other(_) => {}
        }
    }
    out.extend(weight_bearing(findings));
    out
}

/// What somebody with one of these must keep to; nothing where nothing is forbidden for good.
fn presented_block(presented: &Presented) -> Option<RuleBlock> {
    let legs = sides(presented.involved);
    let leg = match legs.as_slice() {
        [only] => format!("{} leg", side(*only)),
        _ => "sore leg".to_owned(),
    };
    let (title, sentences) = match presented.presentation {
        Presentation::AclReconstruction
        | Presentation::AclWithoutOperation
        | Presentation::MeniscusRepair => (
            "Your knee is healing.",
            vec![
                format!("Do not twist on your {leg}."),
                "If the knee gives way or locks, stop and call us.".to_owned(),
            ],
        ),
        Presentation::AchillesRepair => (
            "Your tendon is healing.",
            vec![
                format!("Do not push off hard with your {leg}."),
                "If you feel a snap, stop and call us.".to_owned(),
            ],
        ),
        Presentation::GlutealTendinopathy => (
            "Your hip tendon is sore.",
            vec!["Do not cross your legs.".to_owned(), "Do not hang on one hip.".to_owned()],
        ),
        Presentation::LowBackPain => {
            ("Your back is sore.", vec!["If pain runs down your leg, leave that direction out.".to_owned()])
        }
        Presentation::HipOsteoarthritis
        | Presentation::PatellofemoralPain
        | Presentation::AnkleSprain
        | Presentation::AchillesTendinopathy
        | Presentation::HealthyAthlete => return None,
    };
    Some(block(title.to_owned(), sentences))
}

fn new_joint(involved: Involved, one: &str, two: &str) -> (String, String) {
    match sides(involved).as_slice() {
        [only] => (format!("Your {} {one} is new.", side(*only)), format!("your {} leg", side(*only))),
        _ => (format!("Both your {two} are new."), "either leg".to_owned()),
    }
}

fn hip(
    findings: &Findings,
    today: Date,
    involved: Involved,
    approach: &Finding<HipApproach>,
    legs: String,
) -> Vec<String> {
    let lifted = |leg: Side| {
        findings.orders.iter().any(|order| {
            order.limit == OrderedLimit::NoPrecautions
                && order.known.may_loosen()
                && order.side.is_none_or(|s| s == leg)
                && order.from <= today
                && order.until.is_none_or(|until| today <= until)
        })
    };
    if sides(involved).into_iter().all(lifted) {
        return vec!["Do not bend, cross and turn in the hip all at once.".to_owned()];
    }
    let posterior = [
        "Do not bend the hip past a right angle.".to_owned(),
        "Do not cross your legs or step across your body.".to_owned(),
        "Do not turn your toes in.".to_owned(),
    ];
    let anterior = [
        format!("Do not step far back on {legs}."),
        "Do not turn your toes out while that leg is behind you.".to_owned(),
    ];
    let lateral = [format!("Do not lift {legs} out to the side.")];
    let mut out = match approach {
        Finding::Found { value: HipApproach::Posterior, .. } => posterior.to_vec(),
        Finding::Found { value: HipApproach::Anterior, .. } => anterior.to_vec(),
        Finding::Found { value: HipApproach::Lateral | HipApproach::Trochanteric, .. } => {
            let mut both = lateral.to_vec();
            both.push("Do not cross your legs or step across your body.".to_owned());
            both
        }
        // Nobody knows how the hip was opened: every rule is kept.
        Finding::NotAssessed => [posterior.to_vec(), anterior.to_vec(), lateral.to_vec()].concat(),
    };
    out.push("Keep these rules until your surgeon tells you to stop.".to_owned());
    out
}

fn weight_bearing(findings: &Findings) -> Vec<RuleBlock> {
    Side::BOTH
        .into_iter()
        .filter_map(|leg| match findings.weight_bearing.get(leg) {
            Finding::Found { value, .. } => Some((leg, value.grade)),
            Finding::NotAssessed => None,
        })
        .filter_map(|(leg, grade)| {
            let which = side(leg);
            let sentence = match grade {
                WeightBearingGrade::NonWeightBearing => format!("Keep your {which} foot off the floor."),
                WeightBearingGrade::TouchWeightBearing => {
                    format!("Only touch the floor with your {which} foot.")
                }
                WeightBearingGrade::PartialWeightBearing => {
                    format!("Put only part of your weight on your {which} leg.")
                }
                WeightBearingGrade::AsTolerated | WeightBearingGrade::Full => return None,
            };
            Some(block(format!("Protect your {which} leg."), vec![sentence]))
        })
        .collect()
}
