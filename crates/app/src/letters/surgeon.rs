//! What a surgeon could change: each order asked again without it, and what that would open.

use anatomy::Side;
use document::{Opened, OrderAsked, RuleBehind, SurgeonQuestion, ToAsk};
use jiff::civil::Date;
use movement::{MovementSpec, StanceFoot};
use person::{
    Condition, Finding, Findings, HowKnown, Involved, OrderedLimit, SurgeonOrder, WeightBearing,
    WeightBearingGrade,
};
use quantity::reference::short_cite;
use safety::{AllowedSpace, Computed, FindingKey, NoteKind, Refusal, allowed_space_by, shelf_life};

use crate::PersonToday;
use crate::ask::computed;
use crate::progress::Shown;

type Candidate = (MovementSpec, std::sync::Arc<Computed>);

/// The question of one person. Movements are those that [`crate::ask_case`] tries: the grounded families, free and
/// held, at 30 % and 50 % of leg length.
pub(super) fn question(person: &PersonToday<'_>) -> SurgeonQuestion {
    let watch = Shown(&crate::silent);
    // Turning on the standing foot is tried only where somebody ordered about it: nothing else needs it.
    let turning = person.case.findings.orders.iter().any(|order| order.limit == OrderedLimit::NoPivot);
    let Ok(candidates) = computed(person, person.case, turning, &watch);
    let now = against(&person.allowed, &candidates, person.today);
    let open_now = opened(&candidates, &now);
    let mut asked: Vec<OrderAsked> = variants(person)
        .into_iter()
        .map(|(about, findings)| {
            let tables = &person.case.clinic.tables;
            let space = allowed_space_by(tables, &findings, &person.body, person.today);
            let then = against(&space, &candidates, person.today);
            let opens =
                opened(&candidates, &then).into_iter().filter(|one| !open_now.contains(one)).collect();
            let stood = now.iter().zip(&then).filter(|(before, after)| before != after).count();
            OrderAsked { about, opens, against: stood, rules: rules(&now, &then, person) }
        })
        .filter(worth_asking)
        .collect();
    asked.sort_by_key(|one| std::cmp::Reverse(one.opens.len()));
    SurgeonQuestion { tried: candidates.len(), open: now.iter().filter(|by| by.is_empty()).count(), asked }
}

/// An order of this person is always asked about; what holds by default only where an answer changes something.
fn worth_asking(one: &OrderAsked) -> bool {
    match &one.about {
        ToAsk::Order { .. } | ToAsk::WeightUnknown { .. } | ToAsk::ApproachUnknown => true,
        ToAsk::Weight { order, .. } => order.grade < WeightBearingGrade::AsTolerated || !one.opens.is_empty(),
        ToAsk::Precautions { .. } | ToAsk::Review => !one.opens.is_empty() || !one.rules.is_empty(),
    }
}

/// Everything against each candidate; empty where both gates let it pass.
fn against(space: &AllowedSpace, candidates: &[Candidate], today: Date) -> Vec<Vec<Refusal>> {
    crate::survey::on_all_cores(candidates, |(spec, computed)| match space.screen(spec.clone()) {
        Err(by) => by,
        Ok(screened) => {
            let (motion, moments, demands) = (&computed.motion, &computed.moments, &computed.demands);
            space.permit(screened, motion, moments, demands, today).err().unwrap_or_default()
        }
    })
}

fn opened(candidates: &[Candidate], against: &[Vec<Refusal>]) -> Vec<Opened> {
    let mut out: Vec<Opened> = candidates
        .iter()
        .zip(against)
        .filter(|(_, by)| by.is_empty())
        .map(|((spec, _), _)| Opened {
            family: spec.family,
            mover: spec.mover,
            bearing: spec.bearing,
            turning: spec.stance_foot == StanceFoot::Pivoting,
        })
        .collect();
    out.sort_unstable();
    out.dedup();
    out
}

/// The rules that stand against some movement today and would not with the answer.
fn rules(now: &[Vec<Refusal>], then: &[Vec<Refusal>], person: &PersonToday<'_>) -> Vec<RuleBehind> {
    let mut out: Vec<RuleBehind> = Vec::new();
    for (before, after) in now.iter().zip(then) {
        // A posture is only judged once the movement passed the screen: a movement that is stopped earlier than
        // today tells nothing about a rule.
        let gone = |refusal: &&Refusal| !after.iter().any(|one| one.rule == refusal.rule);
        for refusal in before.iter().filter(gone) {
            if refusal.rule == "ORDER" || out.iter().any(|known| known.rule == refusal.rule) {
                continue;
            }
            let varies = person
                .allowed
                .notes()
                .iter()
                .find(|note| note.kind == NoteKind::Varies && note.rule == refusal.rule)
                .map(|note| note.words.trim_start_matches("Varies: ").to_owned());
            out.push(RuleBehind {
                rule: refusal.rule.clone(),
                source: short_cite(&refusal.source).to_owned(),
                varies: varies.unwrap_or_default(),
            });
        }
    }
    out.sort_by(|a, b| a.rule.cmp(&b.rule));
    out
}

/// Every order or default that a surgeon could change, with the findings as they would be.
fn variants(person: &PersonToday<'_>) -> Vec<(ToAsk, Findings)> {
    let found = &person.case.findings;
    let today = person.today;
    let mut out = Vec::new();
    for (at, order) in found.orders.iter().enumerate().filter(|(_, order)| order.counts_on(today)) {
        if !order.limit.loosens() {
            let mut with = found.clone();
            with.orders.remove(at);
            out.push((ToAsk::Order { order: order.clone() }, with));
        }
    }
    for side in Side::BOTH {
        out.extend(weight(found, side, today));
    }
    let hips = hips(found);
    let lifted =
        found.orders.iter().any(|order| order.holds_on(today) && order.limit == OrderedLimit::NoPrecautions);
    if let (Some(involved), false) = (hips, lifted) {
        let mut with = found.clone();
        with.orders.push(SurgeonOrder {
            limit: OrderedLimit::NoPrecautions,
            side: None,
            by: String::new(),
            known: HowKnown::LetterSeen,
            from: today,
            until: None,
        });
        out.push((ToAsk::Precautions { involved }, with));
    }
    let approach_unknown = found
        .conditions
        .iter()
        .any(|one| matches!(one, Condition::HipReplacement { approach: Finding::NotAssessed, .. }));
    if approach_unknown {
        out.push((ToAsk::ApproachUnknown, found.clone()));
    }
    let operated = found.conditions.iter().any(|one| match one {
        Condition::HipReplacement { .. } | Condition::KneeReplacement { .. } => true,
        Condition::Presented(one) => one.presentation.clock() == person::Clock::Operation,
        _ => false,
    });
    let reviewed = found.surgeon_review.on(today, shelf_life(FindingKey::SurgeonReview));
    if operated && reviewed.current() != Some(&true) {
        let mut with = found.clone();
        with.surgeon_review = Finding::Found { value: true, on: today };
        out.push((ToAsk::Review, with));
    }
    out
}

fn hips(found: &Findings) -> Option<Involved> {
    found.conditions.iter().find_map(|one| match one {
        Condition::HipReplacement { involved, .. } => Some(*involved),
        _ => None,
    })
}

/// The weight order of one leg, asked as full weight.
fn weight(found: &Findings, side: Side, today: Date) -> Option<(ToAsk, Findings)> {
    let full = WeightBearing {
        grade: WeightBearingGrade::Full,
        share: None,
        known: HowKnown::SpokenToTeam,
        by: String::new(),
        until: None,
    };
    let about = match found.weight_bearing.get(side) {
        Finding::Found { value, .. }
            if value.until.is_none_or(|until| today <= until) && value.known != HowKnown::PatientSays =>
        {
            if value.grade == WeightBearingGrade::Full {
                return None;
            }
            ToAsk::Weight { side, order: value.clone() }
        }
        _ => ToAsk::WeightUnknown { side },
    };
    let mut with = found.clone();
    *with.weight_bearing.get_mut(side) = Finding::Found { value: full, on: today };
    Some((about, with))
}
