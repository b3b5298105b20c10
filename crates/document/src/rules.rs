//! What this person must keep to, in plain sentences, because of what was operated on or found.

use anatomy::Side;
use jiff::civil::Date;
use person::{
    Condition, Finding, Findings, HipApproach, Involved, OrderedLimit, Presentation, Presented,
    WeightBearingGrade,
};

use crate::data::RuleBlock;
use crate::language::{Language, RuleWords, words};

fn block(title: &str, sentences: Vec<&str>) -> RuleBlock {
    RuleBlock { title: title.to_owned(), sentences: sentences.into_iter().map(str::to_owned).collect() }
}

fn all(sentences: &[String]) -> impl Iterator<Item = &str> {
    sentences.iter().map(String::as_str)
}

/// The rules of one person in one language. They are kept until a clinician says otherwise; time
/// alone drops none.
#[must_use]
pub fn person_rules(findings: &Findings, today: Date, language: Language) -> Vec<RuleBlock> {
    let rules = &words(language).rules;
    let mut out = Vec::new();
    for condition in &findings.conditions {
        match condition {
            Condition::HipReplacement { involved, approach, .. } => {
                let sentences = hip(findings, today, *involved, approach, rules);
                out.push(block(rules.hip_new.of(*involved), sentences));
            }
            Condition::KneeReplacement { involved, .. } => {
                let mut sentences = vec![rules.knee_twist.of(*involved)];
                sentences.extend(all(&rules.knee_new_bend));
                out.push(block(rules.knee_new.of(*involved), sentences));
            }
            Condition::KneeOsteoarthritis { involved, .. } => {
                out.push(block(rules.knee_arthritis.of(*involved), vec![&rules.knee_grinds]));
            }
            Condition::FallsRisk { alone_waived, .. } => {
                let mut sentences = vec![rules.falls_reach.as_str()];
                if !matches!(alone_waived, Finding::Found { value: true, .. }) {
                    sentences.push(&rules.falls_alone);
                }
                sentences.extend(all(&rules.falls_class));
                out.push(block(&rules.falls_title, sentences));
            }
            Condition::Presented(presented) => out.extend(presented_block(presented, rules)),
            Condition::Other(_) => {}
        }
    }
    out.extend(weight_bearing(findings, rules));
    out
}

/// What somebody with one of these must keep to; nothing where nothing is forbidden for good.
fn presented_block(presented: &Presented, rules: &RuleWords) -> Option<RuleBlock> {
    let involved = presented.involved;
    Some(match presented.presentation {
        Presentation::AclReconstruction
        | Presentation::AclWithoutOperation
        | Presentation::MeniscusRepair => {
            block(&rules.knee_healing, vec![rules.knee_twist.of(involved), &rules.knee_gives_way])
        }
        Presentation::AchillesRepair => {
            block(&rules.tendon_healing, vec![rules.push_off_hard.of(involved), &rules.snap])
        }
        Presentation::GlutealTendinopathy => block(&rules.hip_tendon, all(&rules.hip_tendon_rules).collect()),
        Presentation::LowBackPain => block(&rules.back_sore, vec![&rules.back_leg_pain]),
        Presentation::HipOsteoarthritis
        | Presentation::PatellofemoralPain
        | Presentation::AnkleSprain
        | Presentation::AchillesTendinopathy
        | Presentation::HealthyAthlete => return None,
    })
}

fn hip<'a>(
    findings: &Findings,
    today: Date,
    involved: Involved,
    approach: &Finding<HipApproach>,
    rules: &'a RuleWords,
) -> Vec<&'a str> {
    let lifted = |leg: Side| {
        findings.orders.iter().any(|order| {
            order.limit == OrderedLimit::NoPrecautions
                && order.known.may_loosen()
                && order.side.is_none_or(|s| s == leg)
                && order.holds_on(today)
        })
    };
    if Side::BOTH.into_iter().filter(|s| involved.includes(*s)).all(lifted) {
        return vec![&rules.hip_all_at_once];
    }
    let posterior: Vec<&str> = all(&rules.hip_posterior).collect();
    let anterior = vec![rules.hip_far_back.of(involved), rules.hip_toes_out.as_str()];
    let lateral = vec![rules.hip_lift_out.of(involved)];
    let mut out = match approach {
        Finding::Found { value: HipApproach::Posterior, .. } => posterior,
        Finding::Found { value: HipApproach::Anterior, .. } => anterior,
        Finding::Found { value: HipApproach::Lateral | HipApproach::Trochanteric, .. } => {
            [lateral, vec![rules.hip_cross.as_str()]].concat()
        }
        // Nobody knows how the hip was opened: every rule is kept.
        Finding::NotAssessed => [posterior, anterior, lateral].concat(),
    };
    out.push(&rules.hip_until);
    out
}

fn weight_bearing(findings: &Findings, rules: &RuleWords) -> Vec<RuleBlock> {
    Side::BOTH
        .into_iter()
        .filter_map(|leg| match findings.weight_bearing.get(leg) {
            Finding::Found { value, .. } => Some((leg, value.grade)),
            Finding::NotAssessed => None,
        })
        .filter_map(|(leg, grade)| {
            let sentence = match grade {
                WeightBearingGrade::NonWeightBearing => rules.foot_off.of(leg),
                WeightBearingGrade::TouchWeightBearing => rules.foot_touch.of(leg),
                WeightBearingGrade::PartialWeightBearing => rules.foot_part.of(leg),
                WeightBearingGrade::AsTolerated | WeightBearingGrade::Full => return None,
            };
            Some(block(rules.protect.of(leg), vec![sentence]))
        })
        .collect()
}
