//! One movement of one person, step by step: gate A, postures, moments, demands, gate B.

use anatomy::{Coordinate, JointMotion, Side};
use biomech::{
    Demand, JointMoments, Motion, MotionError, Phase, Turn, demands, moment_spread, moments, motion,
};
use jiff::civil::Date;
use movement::MovementSpec;
use person::CaseFile;
use quantity::{Mass, Moment};
use safety::{AngleCheck, Note, Refusal};
use serde::Serialize;

use crate::in_time::InTime;
use crate::load_effect::LoadEffect;
use crate::{Inside, PersonToday, SentenceError, SentenceReader};

/// One line of numbers.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Row {
    /// Which leg; absent for the trunk.
    pub side: Option<Side>,
    /// What.
    pub name: String,
    /// At the start, square at the far point, turned at the far point: degrees or newton metres.
    pub values: Vec<f64>,
    /// One standard deviation of each value, where one is estimated: newton metres.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub spread: Vec<f64>,
}

/// The share of capacity one motion needs.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct DemandRow {
    /// Which leg; absent for the trunk.
    pub side: Option<Side>,
    /// Which motion.
    pub motion: String,
    /// The estimate with its band.
    #[serde(flatten)]
    pub demand: DemandWords,
}

/// A demand in per cent.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[serde(rename_all = "snake_case", tag = "demand")]
pub enum DemandWords {
    /// Estimated.
    Estimate {
        /// Per cent of capacity.
        percent: f64,
        /// Lower end.
        low: f64,
        /// Upper end.
        high: f64,
    },
    /// Capacity unknown.
    Unknown,
}

/// Balance and load of one frame.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct FrameRow {
    /// Which moment of the movement.
    pub phase: Phase,
    /// Which way the body faces.
    pub turn: Turn,
    /// Per cent of the weight on the left foot.
    pub left_percent: f64,
    /// Per cent of the weight on the right foot.
    pub right_percent: f64,
    /// Distance from the line of the centre of mass to the nearest edge of the base, centimetres.
    pub margin_cm: f64,
    /// Steps of the solver.
    pub iterations: usize,
}

/// What became of the movement.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[serde(rename_all = "snake_case", tag = "verdict")]
pub enum Verdict {
    /// Both gates passed.
    Permitted {
        /// What the therapist must know about it.
        notes: Vec<Note>,
    },
    /// A gate refused it.
    Refused {
        /// `A` before the posture, `B` after it.
        gate: char,
        /// The reasons.
        by: Vec<Refusal>,
    },
    /// The body cannot do it.
    NotPossible {
        /// Why.
        error: MotionError,
        /// The same as a sentence.
        words: String,
    },
}

/// Everything computed for one movement.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Explanation {
    /// The person.
    pub person: String,
    /// Whether the person is invented.
    pub invented: bool,
    /// The day.
    pub on: Date,
    /// The movement.
    pub movement: MovementSpec,
    /// The movement as a sentence.
    pub sentence: String,
    /// Its rung on the movement ladder.
    pub level: u8,
    /// What gate A refused; empty when it passed.
    pub gate_a: Vec<Refusal>,
    /// Frames in order.
    pub frames: Vec<FrameRow>,
    /// Joint angles, degrees: start, then each far frame.
    pub angles: Vec<Row>,
    /// Internal joint moments, newton metres, signed by coordinate.
    pub moments: Vec<Row>,
    /// Peak demands.
    pub demands: Vec<DemandRow>,
    /// Muscles, what changes the demands, the next step up; absent when there is no posture.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub inside: Option<Inside>,
    /// What the load changes; absent where nothing is carried or there is no posture.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub load_effect: Option<LoadEffect>,
    /// The movement in time at the tempo of the plans; absent where there are no key postures.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub in_time: Option<InTime>,
    /// Limits that speak about it, each with the worst computed angle.
    pub checks: Vec<AngleCheck>,
    /// What became of it.
    #[serde(flatten)]
    pub verdict: Verdict,
}

/// Why nothing can be explained.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum ExplainError {
    /// A red flag: the alert and nothing else may be shown.
    #[error("{0}")]
    Alert(safety::Alert),
    /// The sentence is not a movement.
    #[error("{0}")]
    Sentence(#[from] SentenceError),
}

/// Explains the movement of a sentence for one case on one day. The posture is computed even when
/// gate A refuses, so that the reason can be seen.
///
/// # Errors
/// The sentence does not read, or a red flag is present.
pub fn explain_case(case: &CaseFile, sentence: &str, today: Date) -> Result<Explanation, ExplainError> {
    let person = PersonToday::of(case, today);
    if let Some(alert) = person.allowed.alert() {
        return Err(ExplainError::Alert(alert.clone()));
    }
    let limits = person.limits();
    let spec = SentenceReader { body: &person.body, supports: &limits.supports }.read(sentence)?;
    let screened = person.allowed.screen(spec.clone());
    let gate_a = screened.as_ref().err().cloned().unwrap_or_default();
    let mut out = Explanation {
        person: case.person.name.clone(),
        invented: case.invented,
        on: today,
        sentence: spec.sentence(),
        level: safety::level(&spec),
        gate_a: gate_a.clone(),
        frames: Vec::new(),
        angles: Vec::new(),
        moments: Vec::new(),
        demands: Vec::new(),
        inside: None,
        load_effect: None,
        in_time: None,
        checks: Vec::new(),
        verdict: Verdict::Refused { gate: 'A', by: gate_a },
        movement: spec.clone(),
    };
    let motion = match motion(&person.body, &person.capacity, &spec) {
        Ok(motion) => motion,
        Err(error) => {
            if screened.is_ok() {
                out.verdict = Verdict::NotPossible { words: error.to_string(), error };
            }
            return Ok(out);
        }
    };
    let moments = moments(&person.body, &motion);
    let demands = demands(&moments, &person.capacity);
    out.frames = frames(&motion);
    out.angles = angles(&motion);
    out.moments = moment_rows(&moments, case.person.body.mass());
    out.demands = demand_rows(&demands);
    out.inside = Some(Inside::of(&person.body, &person.capacity, &motion));
    let mass_kg = case.person.body.mass().in_kg();
    out.load_effect = LoadEffect::of(&person.body, &person.capacity, mass_kg, &spec, &moments);
    let notes = screened.as_ref().map_or(&[][..], |passed| passed.notes());
    let tempo = &programme::tempo_of(notes);
    out.in_time = Some(InTime::of(&person.body, &person.capacity, &motion, &moments, tempo));
    out.checks = person.allowed.angle_checks(&motion);
    if let Ok(screened) = screened {
        out.verdict = match person.allowed.permit(screened, &motion, &moments, &demands, today) {
            Ok(permitted) => Verdict::Permitted { notes: permitted.notes().to_vec() },
            Err(by) => Verdict::Refused { gate: 'B', by },
        };
    }
    Ok(out)
}

fn frames(motion: &Motion) -> Vec<FrameRow> {
    motion
        .frames
        .iter()
        .map(|frame| FrameRow {
            phase: frame.phase,
            turn: frame.turn,
            left_percent: frame.load_share.left.in_percent(),
            right_percent: frame.load_share.right.in_percent(),
            margin_cm: frame.balance.in_cm(),
            iterations: frame.iterations(),
        })
        .collect()
}

fn coordinates() -> impl Iterator<Item = (Option<Side>, Coordinate)> {
    Side::BOTH
        .into_iter()
        .flat_map(|side| Coordinate::LEG.map(|c| (Some(side), c)))
        .chain(Coordinate::TRUNK.map(|c| (None, c)))
}

fn angles(motion: &Motion) -> Vec<Row> {
    let mut rows: Vec<Row> = coordinates()
        .map(|(side, coordinate)| Row {
            side,
            name: coordinate.positive().name().to_owned(),
            values: motion
                .frames
                .iter()
                .map(|f| f.posture.angle(side.unwrap_or(Side::Left), coordinate).in_deg())
                .collect(),
            spread: Vec::new(),
        })
        .collect();
    rows.extend(Side::BOTH.map(|side| Row {
        side: Some(side),
        name: "thigh against trunk".to_owned(),
        values: motion.frames.iter().map(|f| f.posture.trunk_to_thigh(side).in_deg()).collect(),
        spread: Vec::new(),
    }));
    rows
}

fn moment_rows(moments: &JointMoments, mass: Mass) -> Vec<Row> {
    coordinates()
        .map(|(side, coordinate)| {
            let values: Vec<f64> = moments
                .frames
                .iter()
                .map(|f| f.moment(side.unwrap_or(Side::Left), coordinate).in_nm())
                .collect();
            let spread = values
                .iter()
                .map(|&value| {
                    let motion = if value >= 0.0 { coordinate.positive() } else { coordinate.negative() };
                    moment_spread(motion, Moment::nm(value), mass).whole().in_nm()
                })
                .collect();
            Row { side, name: coordinate.positive().name().to_owned(), values, spread }
        })
        .collect()
}

/// A demand in per cent.
pub(crate) fn demand_words(demand: Demand) -> DemandWords {
    match demand {
        Demand::Estimate { share, low, high, .. } => DemandWords::Estimate {
            percent: share.in_percent(),
            low: low.in_percent(),
            high: high.in_percent(),
        },
        Demand::Unknown => DemandWords::Unknown,
    }
}

fn demand_rows(demands: &biomech::Demands) -> Vec<DemandRow> {
    let row = |side: Option<Side>, motion: JointMotion| {
        demands.of(side.unwrap_or(Side::Left), motion).map(|demand| DemandRow {
            side,
            motion: motion.name().to_owned(),
            demand: demand_words(demand),
        })
    };
    coordinates()
        .flat_map(|(side, c)| [c.positive(), c.negative()].map(|motion| row(side, motion)))
        .flatten()
        .collect()
}

impl Explanation {
    /// The explanation as text, step by step.
    #[must_use]
    pub fn text(&self) -> String {
        let mut out = format!("Movement: {}\n", self.sentence);
        out.push_str(&format!("Level {} of the movement ladder.\n", self.level));
        out.push_str("\n1. Gate A, what is known before the posture: ");
        if self.gate_a.is_empty() {
            out.push_str("passed.\n");
        } else {
            out.push_str("refused.\n");
            refusals(&mut out, &self.gate_a);
        }
        if let Verdict::NotPossible { words, .. } = &self.verdict {
            out.push_str(&format!("\n2. Posture: not possible. {words}.\n"));
            return out;
        }
        if self.frames.is_empty() {
            out.push_str("\n2. Posture: the body cannot do it either.\n");
            return out;
        }
        out.push_str("\n2. Posture of least effort (estimates)\n");
        for frame in &self.frames {
            out.push_str(&format!(
                "  {:<22} weight left {:>3.0} %, right {:>3.0} %; balance margin {:.1} cm\n",
                frame_name(frame),
                frame.left_percent,
                frame.right_percent,
                frame.margin_cm
            ));
        }
        table(&mut out, "\n  Joint angles, degrees (estimates)", &self.frames, &self.angles);
        table(&mut out, "\n3. Internal joint moments, N·m (estimates)", &self.frames, &self.moments);
        out.push_str(
            "\n4. Demand, share of this person's capacity (estimates; in brackets one standard deviation of body, task and strength)\n",
        );
        for row in &self.demands {
            let side = row.side.map_or_else(String::new, |s| format!("{s} "));
            match row.demand {
                DemandWords::Estimate { percent, low, high } => out.push_str(&format!(
                    "  {:<34} {percent:>4.0} %  ({low:.0} to {high:.0})\n",
                    format!("{side}{}", row.motion)
                )),
                DemandWords::Unknown => {
                    out.push_str(&format!("  {:<34} capacity not known\n", format!("{side}{}", row.motion)))
                }
            }
        }
        if let Some(inside) = &self.inside {
            out.push_str(&inside.text());
        }
        if let Some(load_effect) = &self.load_effect {
            out.push_str(&load_effect.text());
        }
        if let Some(in_time) = &self.in_time {
            out.push_str(&in_time.text());
        }
        out.push_str("\n5. Gate B, the computed body against today's limits\n");
        for check in &self.checks {
            let verdict = if check.passes() { "passes" } else { "REFUSED" };
            let thigh = if check.trunk_to_thigh { " (thigh against trunk)" } else { "" };
            let alone = check
                .reference
                .map(|r| format!("; standing on that leg alone needs {r}"))
                .unwrap_or_default();
            out.push_str(&format!(
                "  {} {} {}{thigh}: computed {}, limit {}, refused above {}{alone}: {verdict}\n",
                check.rule, check.side, check.motion, check.computed, check.limit, check.blocked_above
            ));
        }
        if self.checks.is_empty() {
            out.push_str("  No joint-angle limit speaks about this movement.\n");
        }
        match &self.verdict {
            Verdict::Permitted { notes } => {
                out.push_str("\nPermitted today.\n");
                for note in notes {
                    out.push_str(&format!("  Note: {note}\n"));
                }
            }
            Verdict::Refused { gate, by } => {
                out.push_str(&format!("\nRefused by gate {gate}.\n"));
                refusals(&mut out, by);
            }
            Verdict::NotPossible { .. } => {}
        }
        out
    }

    /// Whether both gates passed.
    #[must_use]
    pub fn is_permitted(&self) -> bool {
        matches!(self.verdict, Verdict::Permitted { .. })
    }
}

fn refusals(out: &mut String, by: &[Refusal]) {
    for refusal in by {
        out.push_str(&format!("  {refusal}\n    opens when {}\n", refusal.opens_when));
    }
}

fn frame_name(frame: &FrameRow) -> String {
    match (frame.phase, frame.turn) {
        (Phase::Start, _) => "start".to_owned(),
        (Phase::SingleSupport, _) => "on one leg".to_owned(),
        (Phase::Far, Turn::Square) => "far, square".to_owned(),
        (Phase::Far, Turn::Turned) => "far, turned".to_owned(),
        (Phase::TakeOff, _) => "take-off".to_owned(),
        (Phase::Bent, _) => "bent".to_owned(),
        (Phase::Rowed, _) => "rowed".to_owned(),
        (Phase::Returned, _) => "returned".to_owned(),
        (Phase::TurnedTrunk, _) => "trunk turned".to_owned(),
        (Phase::Overhead, _) => "overhead".to_owned(),
        (Phase::GoalPose(k), _) => format!("pose {}", k + 1),
    }
}

fn table(out: &mut String, title: &str, frames: &[FrameRow], rows: &[Row]) {
    out.push_str(&format!("{title:<44}"));
    for frame in frames {
        out.push_str(&format!("{:>13}", frame_name(frame)));
    }
    out.push('\n');
    for row in rows {
        let side = row.side.map_or_else(String::new, |s| format!("{s} "));
        out.push_str(&format!("  {:<41}", format!("{side}{}", row.name)));
        for (k, value) in row.values.iter().enumerate() {
            let rounded = value.round();
            let shown = if rounded == 0.0 { 0.0 } else { rounded };
            let cell = match row.spread.get(k) {
                Some(spread) => format!("{shown:.0} ± {:.0}", spread.ceil()),
                None => format!("{shown:.0}"),
            };
            out.push_str(&format!("{cell:>13}"));
        }
        out.push('\n');
    }
}
