//! Invented people and findings that the tests of the gates share.
#![allow(dead_code)]

use anatomy::{BodySize, PerSide, Sex, Side};
use biomech::{Body, Capacity, demands, moments, motion};
use jiff::ToSpan;
use jiff::civil::{Date, date};
use movement::{Bearing, Crossing, Family, Load, MovementSpec, Place, StanceFoot, Support, SupportKind};
use person::{
    Aid, Condition, Finding, Findings, HipApproach, HowKnown, Involved, KneeSurgery, PhaseConfirmation,
    WeightBearing, WeightBearingGrade,
};
use quantity::{Length, Mass, Share};
use safety::{AllowedSpace, PermittedMovement, Refusal, allowed_space};

/// The day the tests stand on.
pub const TODAY: Date = date(2026, 3, 2);

/// Something found today.
pub fn found<T>(value: T) -> Finding<T> {
    Finding::Found { value, on: TODAY }
}

/// The day that lies so many weeks before today.
pub fn weeks_ago(weeks: i64) -> Date {
    TODAY.checked_sub((weeks * 7).days()).unwrap()
}

/// Nobody has looked at anything.
pub fn nothing() -> Findings {
    fn none<T>() -> PerSide<Finding<T>> {
        PerSide::from_fn(|_| Finding::NotAssessed)
    }
    Findings {
        conditions: Vec::new(),
        red_flags: Finding::NotAssessed,
        weight_bearing: none(),
        orders: Vec::new(),
        aid: Finding::NotAssessed,
        pain_at_rest: Finding::NotAssessed,
        pain_in_movement: Finding::NotAssessed,
        consistent_night_pain: Finding::NotAssessed,
        stands_and_shifts: Finding::NotAssessed,
        wound_dry: Finding::NotAssessed,
        effusion: none(),
        knee_flexion: none(),
        extension_lag: none(),
        ankle_dorsiflexion: none(),
        single_leg_stance: none(),
        single_leg_stance_fingertip: none(),
        trendelenburg: none(),
        tandem_stance: Finding::NotAssessed,
        timed_up_and_go: Finding::NotAssessed,
        sit_to_stands: Finding::NotAssessed,
        stairs_reciprocal: Finding::NotAssessed,
        dizzy_bending: Finding::NotAssessed,
        clean_step_directions: Finding::NotAssessed,
        clean_reaches: Finding::NotAssessed,
        surgeon_review: Finding::NotAssessed,
        falls_past_year: Finding::NotAssessed,
        consent: Finding::NotAssessed,
        other_conditions: Finding::NotAssessed,
        answers: person::Answers::default(),
        strength: Vec::new(),
        hurt: Vec::new(),
    }
}

/// Weight bearing as told in a letter that was seen.
pub fn weight(grade: WeightBearingGrade, share: Option<f64>) -> Finding<WeightBearing> {
    found(WeightBearing {
        grade,
        share: share.map(Share::percent),
        known: HowKnown::LetterSeen,
        by: "Dr Ferrow".to_owned(),
        until: None,
    })
}

/// Everything that is asked for was found in its best state.
pub fn all_well(conditions: Vec<Condition>) -> Findings {
    Findings {
        conditions,
        red_flags: found(Vec::new()),
        weight_bearing: PerSide::from_fn(|_| weight(WeightBearingGrade::Full, None)),
        aid: found(Aid::None),
        pain_at_rest: found(0),
        pain_in_movement: found(0),
        consistent_night_pain: found(false),
        stands_and_shifts: found(true),
        wound_dry: found(true),
        effusion: PerSide::from_fn(|_| found(0)),
        knee_flexion: PerSide::from_fn(|_| found(quantity::Angle::deg(130.0))),
        extension_lag: PerSide::from_fn(|_| found(quantity::Angle::ZERO)),
        ankle_dorsiflexion: PerSide::from_fn(|_| found(quantity::Angle::deg(40.0))),
        single_leg_stance: PerSide::from_fn(|_| found(20.0)),
        single_leg_stance_fingertip: PerSide::from_fn(|_| found(20.0)),
        trendelenburg: PerSide::from_fn(|_| found(false)),
        tandem_stance: found(20.0),
        timed_up_and_go: found(8.0),
        sit_to_stands: found(15),
        stairs_reciprocal: found(true),
        dizzy_bending: found(false),
        clean_step_directions: found(8),
        clean_reaches: found(true),
        surgeon_review: found(true),
        falls_past_year: found(0),
        consent: found(true),
        other_conditions: found(Vec::new()),
        answers: well_answers(),
        strength: well_strength(),
        ..nothing()
    }
}

/// Every answer in its best state.
pub fn well_answers() -> person::Answers {
    use person::Answer as A;
    let mut out = person::Answers::default();
    for answer in A::ALL.iter().copied() {
        let value = match answer {
            A::ExtensionDeficit
            | A::JointLinePain
            | A::KneeGivesWay
            | A::SwellingEpisodes
            | A::BackFlexionProvokes
            | A::BackExtensionProvokes
            | A::BackRotationProvokes => 0.0,
            A::HeelRaises => 25.0,
            A::HeelRaiseHeight => 10.0,
            A::SingleLegSquats => 12.0,
            A::HopDistance => 140.0,
            A::RunsWithoutReaction | A::WalksBriskly => 30.0,
            A::FullTrainingWeeks => 3.0,
            A::SquatShare => 160.0,
            _ => 1.0,
        };
        for side in Side::BOTH {
            out.set(answer, side, found(value));
        }
    }
    out
}

/// Both knees and hips equally strong, measured today.
pub fn well_strength() -> Vec<person::Strength> {
    let motions = [
        anatomy::Coordinate::KneeFlexion.negative(),
        anatomy::Coordinate::KneeFlexion.positive(),
        anatomy::Coordinate::HipAdduction.negative(),
    ];
    motions
        .into_iter()
        .flat_map(|motion| Side::BOTH.map(|side| (motion, side)))
        .map(|(motion, side)| person::Strength {
            motion,
            side,
            moment: found(quantity::Moment::nm(120.0)),
            at_angle: None,
        })
        .collect()
}

/// One of the presentations with a table of its own.
pub fn presented(
    presentation: person::Presentation,
    involved: Involved,
    pattern: Option<person::Pattern>,
    weeks: i64,
    confirmed: &[u8],
) -> Condition {
    Condition::Presented(person::Presented {
        presentation,
        involved,
        pattern: pattern.map_or(Finding::NotAssessed, found),
        since: found(weeks_ago(weeks)),
        confirmed: confirmed.iter().map(|phase| confirmation(*phase)).collect(),
    })
}

/// A hip replacement so many weeks ago, with the phases that were confirmed today.
pub fn hip(involved: Involved, approach: Option<HipApproach>, weeks: i64, confirmed: &[u8]) -> Condition {
    Condition::HipReplacement {
        involved,
        approach: approach.map_or(Finding::NotAssessed, found),
        operated_on: found(weeks_ago(weeks)),
        confirmed: confirmed.iter().map(|phase| confirmation(*phase)).collect(),
    }
}

/// A knee replacement so many weeks ago.
pub fn knee(involved: Involved, weeks: i64, confirmed: &[u8]) -> Condition {
    Condition::KneeReplacement {
        involved,
        surgery: KneeSurgery::TotalReplacement,
        operated_on: found(weeks_ago(weeks)),
        confirmed: confirmed.iter().map(|phase| confirmation(*phase)).collect(),
    }
}

/// A clinician's word of today.
pub fn confirmation(phase: u8) -> PhaseConfirmation {
    PhaseConfirmation { phase, by: "M. Quill".to_owned(), on: TODAY }
}

/// An older adult at risk of falling who is not alone.
pub fn falls_risk() -> Condition {
    Condition::FallsRisk {
        someone_at_home: found(true),
        programme_began: found(TODAY),
        alone_waived: Finding::NotAssessed,
    }
}

/// Small, average and tall bodies of both sexes.
pub fn bodies() -> Vec<BodySize> {
    [
        (Sex::Female, 150.0, 50.0),
        (Sex::Female, 163.0, 66.0),
        (Sex::Female, 178.0, 75.0),
        (Sex::Male, 165.0, 62.0),
        (Sex::Male, 176.0, 80.0),
        (Sex::Male, 193.0, 100.0),
    ]
    .into_iter()
    .map(|(sex, cm, kg)| size(sex, cm, kg))
    .collect()
}

/// One body size without measured legs.
pub fn size(sex: Sex, cm: f64, kg: f64) -> BodySize {
    BodySize::new(Length::cm(cm), Mass::kg(kg), sex, 66, PerSide::from_fn(|_| None)).unwrap()
}

/// The average man of these tests.
pub fn average() -> Body {
    Body::of(&size(Sex::Male, 176.0, 80.0))
}

/// What nobody measured.
pub fn capacity(size: &BodySize) -> Capacity {
    Capacity::of(size, &[])
}

/// A walking frame where it usually stands for a person of this stature.
pub fn frame(stature: Length) -> Place {
    Place::usual(SupportKind::WalkingFrame, stature)[0]
}

/// A step of this leg in this direction, named from the leg that moves, in a walking frame.
pub fn step(
    mover: Side,
    direction: movement::AnatomicalDirection,
    crossing: Crossing,
    distance: Length,
) -> MovementSpec {
    MovementSpec {
        family: Family::Step,
        mover,
        bearing: Bearing::of(direction, mover),
        crossing,
        stance_foot: StanceFoot::Fixed,
        distance,
        depth: None,
        hand_height: None,
        load: Load::None,
        support: Support::BothHands,
        place: Some(frame(Length::cm(176.0))),
        hand_share: movement::HandShare::NotAssessed,
        arms: movement::ArmTask::Free,
        landing: None,
        rise: quantity::Length::ZERO,
    }
}

/// Whether a reason can be acted on: whose rule, what exactly, and what would open it.
///
/// # Errors
/// What is missing.
pub fn is_specific(refusal: &safety::Refusal) -> Result<(), &'static str> {
    use safety::Blocked as B;
    let (reason, opens) = (&refusal.reason, &refusal.opens_when);
    if refusal.rule.is_empty() || !refusal.rule.chars().any(|c| c.is_ascii_uppercase()) {
        return Err("no rule");
    }
    if refusal.rule.starts_with("PHASE") {
        return Err("which presentation's phase");
    }
    if let Some(until) = refusal.until
        && !reason.contains(&until.year().to_string())
    {
        return Err("until when");
    }
    if !reason.ends_with(['.', '!']) || reason.len() < 30 {
        return Err("no whole sentence");
    }
    let figure = |text: &str| text.chars().any(|c| c.is_ascii_digit());
    let named = match &refusal.blocked {
        // What was computed and what is allowed both stand in the sentence.
        B::JointAngle { computed, limit, .. } => {
            reason.contains(&computed.to_string())
                && (reason.contains(&limit.to_string())
                    || reason.contains("neutral")
                    || reason.contains("midline"))
        }
        B::Distance { at_most } => reason.contains(&at_most.to_string()),
        B::Load { .. } | B::Impact { .. } | B::Balance { .. } | B::Level { .. } => figure(reason),
        B::NotAssessed { finding } => {
            reason.contains(finding.as_str())
                || reason.contains("not assessed")
                || reason.contains("weight-bearing")
                || reason.contains("asked")
                || reason.contains("recorded")
        }
        // A rule about the movement names the movement and says why.
        B::Direction | B::Carried | B::Support | B::OutOfReach { .. } | B::RedFlag => {
            reason.contains(": ") || figure(reason) || reason.contains("order of")
        }
    };
    if !named {
        return Err("neither a figure nor a finding");
    }
    if opens.len() < 10 || opens.contains("otherwise, with a reason") {
        return Err("nothing that opens it");
    }
    let by_surgeon = refusal.layer == safety::Layer::SurgeonOrder && refusal.rule == "ORDER";
    if by_surgeon && !reason.contains("Dr Ferrow") {
        return Err("whose order");
    }
    Ok(())
}

/// An order for the right leg by the team, since three weeks, without an end.
pub fn order_of(limit: person::OrderedLimit) -> person::SurgeonOrder {
    person::SurgeonOrder {
        limit,
        side: Some(Side::Right),
        by: "Dr Ferrow".to_owned(),
        known: HowKnown::SpokenToTeam,
        from: weeks_ago(3),
        until: None,
    }
}

/// The rules of refusals, in order.
pub fn rules(refusals: &[Refusal]) -> Vec<&str> {
    refusals.iter().map(|r| r.rule.as_str()).collect()
}

/// What these findings allow today.
pub fn space(findings: &Findings) -> AllowedSpace {
    allowed_space(findings, &average(), TODAY)
}

/// Both gates over a movement of the average man, computed.
pub fn both_gates(findings: &Findings, spec: MovementSpec) -> Result<PermittedMovement, Vec<Refusal>> {
    let size = size(Sex::Male, 176.0, 80.0);
    let (body, capacity) = (Body::of(&size), capacity(&size));
    let screened = space(findings).screen(spec)?;
    let motion = motion(&body, &capacity, screened.spec()).unwrap_or_else(|e| panic!("{e}"));
    let moments = moments(&body, &motion);
    let demands = demands(&moments, &capacity);
    space(findings).permit(screened, &motion, &moments, &demands, TODAY)
}
