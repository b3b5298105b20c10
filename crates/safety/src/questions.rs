//! The next best question: what was not assessed, ranked by how many wished movements each answer could open.

use anatomy::{Coordinate, JointMotion, PerSide, Side};
use biomech::Body;
use jiff::civil::Date;
use movement::MovementSpec;
use person::{
    Answer, AnswerKind, Condition, Finding, Findings, HipApproach, HowKnown, PhaseConfirmation, Strength,
    WeightBearing, WeightBearingGrade,
};
use quantity::{Angle, Moment};
use serde::Serialize;

use crate::condition_state::table_of;
use crate::finding_key::Value;
use crate::{AllowedSpace, Computed, FindingKey, allowed_space_by};

/// One thing to ask or test, with what it could open.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Question {
    /// The finding, or `confirmation`.
    pub key: String,
    /// What to ask, in the trade's words.
    pub words: String,
    /// Wished movements that the best answer would open by itself.
    pub opens: usize,
    /// Wished movements that stay closed while only this is not known and everything else is at its best.
    pub waiting: usize,
}

/// What to ask, the most useful first.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Questions {
    /// How many movements were wished.
    pub wished: usize,
    /// How many of them are open today.
    pub open: usize,
    /// How many would be open if every answer were the best one.
    pub open_at_best: usize,
    /// Everything that was not assessed and could open something.
    pub questions: Vec<Question>,
    /// The keys of a smallest set (none can be left out) whose best answers open the first movements;
    /// empty when something is open already or nothing can be opened.
    pub first_visit: Vec<String>,
}

/// Something that can be asked.
#[derive(Clone, Debug, PartialEq)]
enum Topic {
    Finding(FindingKey),
    /// A clinician's word about the next phases of one condition.
    Confirmation(usize),
}

/// A number that is enough wherever more is better.
const PLENTY: u8 = u8::MAX;

/// Ranks what was not assessed. The best answer is what would open most, not what is likely: an
/// answer may as well close. `wished` are the movements that serve the goals; what was computed for
/// them lets angle limits count too.
///
/// For n questions it resolves the space 2 n + 2 times; a question that nothing waits for is left out.
#[must_use]
pub fn questions(
    findings: &Findings,
    tables: &[String],
    body: &Body,
    today: Date,
    wished: &[(MovementSpec, Option<&Computed>)],
) -> Questions {
    let open = |findings: &Findings| {
        let space = allowed_space_by(tables, findings, body, today);
        wished.iter().filter(|(spec, computed)| passes(&space, spec, *computed, today)).count()
    };
    let open_now = open(findings);
    let unknown: Vec<Topic> =
        topics(findings).into_iter().filter(|topic| topic.is_unknown(findings, today)).collect();
    let answered = |of: &dyn Fn(usize) -> bool| {
        let mut with = findings.clone();
        for (_, topic) in unknown.iter().enumerate().filter(|(at, _)| of(*at)) {
            topic.answer(&mut with, today);
        }
        with
    };
    let open_at_best = open(&answered(&|_| true));
    let mut ranked: Vec<(usize, Question)> = unknown
        .iter()
        .enumerate()
        .map(|(at, topic)| {
            let opens = open(&answered(&|other| other == at)).saturating_sub(open_now);
            let waiting = open_at_best.saturating_sub(open(&answered(&|other| other != at)));
            (at, Question { key: topic.key(findings), words: topic.words(findings), opens, waiting })
        })
        .filter(|(_, question)| question.opens > 0 || question.waiting > 0)
        .collect();
    ranked.sort_by_key(|(at, q)| (std::cmp::Reverse(q.opens), std::cmp::Reverse(q.waiting), *at));
    let first_visit = if open_now == 0 && open_at_best > 0 {
        // Leave out, the least useful first, whatever something opens without.
        let mut kept: Vec<usize> = ranked.iter().map(|(at, _)| *at).collect();
        for (at, _) in ranked.iter().rev() {
            let fewer: Vec<usize> = kept.iter().copied().filter(|one| one != at).collect();
            if open(&answered(&|one| fewer.contains(&one))) > 0 {
                kept = fewer;
            }
        }
        kept.iter().map(|at| unknown[*at].key(findings)).collect()
    } else {
        Vec::new()
    };
    Questions {
        wished: wished.len(),
        open: open_now,
        open_at_best,
        questions: ranked.into_iter().map(|(_, question)| question).collect(),
        first_visit,
    }
}

fn passes(space: &AllowedSpace, spec: &MovementSpec, computed: Option<&Computed>, today: Date) -> bool {
    let Ok(screened) = space.screen(spec.clone()) else { return false };
    computed.is_none_or(|c| space.permit(screened, &c.motion, &c.moments, &c.demands, today).is_ok())
}

/// Everything that can be asked about this person, in the order a visit takes it.
fn topics(findings: &Findings) -> Vec<Topic> {
    use FindingKey as K;
    let plain = [
        K::RedFlags,
        K::OtherConditions,
        K::OperatedOn,
        K::Approach,
        K::Ceiling,
        K::WeightBearing,
        K::SomeoneAtHome,
        K::AloneWaived,
        K::MedialOrVarusThrust,
        K::SurgeonReview,
        K::WoundDry,
        K::AidsHeld,
        K::PainAtRest,
        K::PainInMovement,
        K::ConsistentNightPain,
        K::StandsAndShifts,
        K::DizzyBending,
        K::Effusion,
        K::KneeFlexionDeg,
        K::ExtensionLagDeg,
        K::DorsiflexionDeficitDeg,
        K::SingleLegStance,
        K::SingleLegStanceFingertip,
        K::Trendelenburg,
        K::TandemStance,
        K::TimedUpAndGo,
        K::SitToStands,
        K::StairsReciprocal,
        K::CleanStepDirections,
        K::CleanReaches,
        K::AbductorStrengthPercent,
        K::QuadricepsStrengthPercent,
        K::HamstringStrengthPercent,
    ];
    plain
        .into_iter()
        .chain(Answer::ALL.iter().map(|answer| K::Answer(*answer)))
        .map(Topic::Finding)
        .chain((0..findings.conditions.len()).map(Topic::Confirmation))
        .collect()
}

impl Topic {
    fn key(&self, findings: &Findings) -> String {
        match self {
            Self::Finding(key) => key.key(),
            Self::Confirmation(at) => {
                format!("confirmation of {}", findings.conditions.get(*at).and_then(table_of).unwrap_or("?"))
            }
        }
    }

    fn words(&self, findings: &Findings) -> String {
        match self {
            Self::Finding(key) if key.has_side() => format!("{}, both legs", key.words()),
            Self::Finding(key) => key.words().to_owned(),
            Self::Confirmation(at) => {
                let table = findings.conditions.get(*at).and_then(table_of).unwrap_or("the condition");
                format!(
                    "a clinician's confirmation of the phase that may begin ({})",
                    table.replace('_', " ")
                )
            }
        }
    }

    fn is_unknown(&self, findings: &Findings, today: Date) -> bool {
        match self {
            Self::Finding(key) => {
                let sides: &[Side] = if key.has_side() { &Side::BOTH } else { &[Side::Left] };
                sides.iter().any(|side| !matches!(key.value(findings, *side, today), Value::Is(_)))
            }
            // A later phase may always be confirmed; whether that opens anything is counted.
            Self::Confirmation(_) => true,
        }
    }

    /// Fills in the answer that opens most, where nothing that counts today is known.
    fn answer(&self, findings: &mut Findings, today: Date) {
        match self {
            Self::Finding(key) => {
                let known = PerSide::from_fn(|side| matches!(key.value(findings, side, today), Value::Is(_)));
                best(*key, findings, today, &known);
            }
            Self::Confirmation(at) => confirm(findings.conditions.get_mut(*at), today),
        }
    }
}

fn confirm(condition: Option<&mut Condition>, today: Date) {
    let confirmed = match condition {
        Some(
            Condition::HipReplacement { confirmed, .. }
            | Condition::KneeReplacement { confirmed, .. }
            | Condition::KneeOsteoarthritis { confirmed, .. },
        ) => confirmed,
        Some(Condition::Presented(presented)) => &mut presented.confirmed,
        Some(Condition::FallsRisk { .. } | Condition::Other(_)) | None => return,
    };
    confirmed.push(PhaseConfirmation { phase: PLENTY, by: "a clinician".to_owned(), on: today });
}

/// Sets each side that is not known.
fn set<T: Clone>(to: &mut PerSide<Finding<T>>, value: T, today: Date, known: &PerSide<bool>) {
    for side in Side::BOTH {
        if !*known.get(side) {
            *to.get_mut(side) = Finding::Found { value: value.clone(), on: today };
        }
    }
}

fn best(key: FindingKey, f: &mut Findings, today: Date, known: &PerSide<bool>) {
    use FindingKey as K;
    fn at<T>(value: T, on: Date) -> Finding<T> {
        Finding::Found { value, on }
    }
    let plenty = f64::from(PLENTY);
    match key {
        K::RedFlags => f.red_flags = at(Vec::new(), today),
        K::OtherConditions => f.other_conditions = at(Vec::new(), today),
        K::WeightBearing | K::FullWeightAllowed => {
            let order = WeightBearing {
                grade: WeightBearingGrade::Full,
                share: None,
                known: HowKnown::SpokenToTeam,
                by: "the team".to_owned(),
                until: None,
            };
            set(&mut f.weight_bearing, order, today, known);
        }
        K::AidsHeld | K::WalkingFrame => f.aid = at(person::Aid::None, today),
        K::PainAtRest => f.pain_at_rest = at(0, today),
        K::PainInMovement => f.pain_in_movement = at(0, today),
        K::ConsistentNightPain => f.consistent_night_pain = at(false, today),
        K::StandsAndShifts => f.stands_and_shifts = at(true, today),
        K::WoundDry => f.wound_dry = at(true, today),
        K::Effusion => set(&mut f.effusion, 0, today, known),
        K::KneeFlexionDeg | K::KneeFlexionPercent => {
            set(&mut f.knee_flexion, Angle::deg(plenty), today, known);
        }
        K::ExtensionLagDeg => set(&mut f.extension_lag, Angle::ZERO, today, known),
        K::DorsiflexionDeficitDeg => set(&mut f.ankle_dorsiflexion, Angle::deg(plenty), today, known),
        K::SingleLegStance => set(&mut f.single_leg_stance, plenty, today, known),
        K::SingleLegStanceFingertip => set(&mut f.single_leg_stance_fingertip, plenty, today, known),
        K::Trendelenburg => set(&mut f.trendelenburg, false, today, known),
        K::TandemStance => f.tandem_stance = at(plenty, today),
        K::TimedUpAndGo => f.timed_up_and_go = at(1.0, today),
        K::SitToStands => f.sit_to_stands = at(PLENTY, today),
        K::StairsReciprocal => f.stairs_reciprocal = at(true, today),
        K::DizzyBending => f.dizzy_bending = at(false, today),
        K::CleanStepDirections => f.clean_step_directions = at(8, today),
        K::CleanReaches => f.clean_reaches = at(true, today),
        K::SurgeonReview => f.surgeon_review = at(true, today),
        K::AbductorStrengthPercent => strong(f, Coordinate::HipAdduction.negative(), today),
        K::QuadricepsStrengthPercent => strong(f, Coordinate::KneeFlexion.negative(), today),
        K::HamstringStrengthPercent => strong(f, Coordinate::KneeFlexion.positive(), today),
        K::Answer(answer) => {
            for side in Side::BOTH.into_iter().filter(|side| !*known.get(*side)) {
                f.answers.set(answer, side, at(best_answer(answer), today));
            }
        }
        K::HopPercent | K::HeelRaisePercent | K::HeelRaiseHeightPercent => {}
        K::SomeoneAtHome
        | K::AloneWaived
        | K::MedialOrVarusThrust
        | K::OperatedOn
        | K::Approach
        | K::Ceiling => best_of_conditions(key, f, today),
    }
}

/// The least of what is counted against somebody, the most of what is counted for them.
fn best_answer(answer: Answer) -> f64 {
    match answer {
        Answer::ExtensionDeficit
        | Answer::JointLinePain
        | Answer::KneeGivesWay
        | Answer::SwellingEpisodes
        | Answer::BackFlexionProvokes
        | Answer::BackExtensionProvokes
        | Answer::BackRotationProvokes => 0.0,
        other if other.kind() == AnswerKind::Flag => 1.0,
        _ => f64::from(PLENTY),
    }
}

/// Both sides equally strong.
fn strong(f: &mut Findings, motion: JointMotion, today: Date) {
    f.strength.retain(|one| one.motion != motion);
    f.strength.extend(Side::BOTH.map(|side| Strength {
        motion,
        side,
        moment: Finding::Found { value: Moment::nm(100.0), on: today },
        at_angle: None,
    }));
}

fn best_of_conditions(key: FindingKey, f: &mut Findings, today: Date) {
    use FindingKey as K;
    fn fill<T>(to: &mut Finding<T>, value: T, on: Date) {
        *to = Finding::Found { value, on };
    }
    // Two years back: every clock of the tables has run out.
    let long_ago = today.checked_sub(jiff::Span::new().years(2)).unwrap_or(today);
    for condition in &mut f.conditions {
        match (key, condition) {
            (
                K::OperatedOn,
                Condition::HipReplacement { operated_on, .. }
                | Condition::KneeReplacement { operated_on, .. },
            ) if *operated_on == Finding::NotAssessed => fill(operated_on, long_ago, today),
            (K::OperatedOn, Condition::Presented(presented)) if presented.since == Finding::NotAssessed => {
                fill(&mut presented.since, long_ago, today);
            }
            (K::Approach, Condition::HipReplacement { approach, .. })
                if *approach == Finding::NotAssessed =>
            {
                // The anterior rows leave most steps open.
                fill(approach, HipApproach::Anterior, today);
            }
            (K::Approach, Condition::Presented(presented)) => {
                if let (Finding::NotAssessed, Some(first)) =
                    (&presented.pattern, presented.presentation.patterns().first())
                {
                    fill(&mut presented.pattern, *first, today);
                }
            }
            (K::Ceiling, Condition::Other(other)) if other.ceiling == Finding::NotAssessed => {
                fill(&mut other.ceiling, crate::tables::ladder().loaded.level, today);
            }
            (K::SomeoneAtHome, Condition::FallsRisk { someone_at_home, .. }) => {
                fill(someone_at_home, true, today);
            }
            (K::AloneWaived, Condition::FallsRisk { alone_waived, .. }) => fill(alone_waived, true, today),
            (K::MedialOrVarusThrust, Condition::KneeOsteoarthritis { medial_or_varus_thrust, .. }) => {
                fill(medial_or_varus_thrust, false, today);
            }
            _ => {}
        }
    }
}

impl std::fmt::Display for Questions {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        writeln!(
            f,
            "Of {} movements that serve the goals {} are open today, {} if every answer were the best one.",
            self.wished, self.open, self.open_at_best
        )?;
        for (at, question) in self.questions.iter().enumerate() {
            writeln!(
                f,
                "{}. {}: opens {} by itself; {} wait for it.",
                at + 1,
                crate::words::sentence(&question.words),
                question.opens,
                question.waiting
            )?;
        }
        if self.questions.is_empty() {
            writeln!(f, "Nothing that was not assessed would open more of them.")?;
        }
        if !self.first_visit.is_empty() {
            let words: Vec<String> = self
                .questions
                .iter()
                .filter(|question| self.first_visit.contains(&question.key))
                .map(|question| question.words.clone())
                .collect();
            writeln!(
                f,
                "For a first programme these are enough, and none of them can be left out: {}.",
                crate::words::list(&words)
            )?;
        }
        f.write_str("An answer may as well close. The counts say what could open, not what is likely.\n")
    }
}
