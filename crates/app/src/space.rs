//! The movement space as a table: family × limb × direction, each open, limited or closed, with the reason.

use anatomy::Side;
use jiff::civil::Date;
use movement::{AnatomicalDirection, Bearing, Crossing, Family, StanceFoot, Support};
use person::CaseFile;
use quantity::Length;
use safety::{
    Alert, Blocked, Note, OpenTo, PhaseToday, RayVerdict, Refusal, ReturnToday, Space, SurveyedRay,
};
use serde::Serialize;

use crate::survey::survey;
use crate::{PersonToday, Progress};

/// One line of the table: the best verdict for a family, limb, direction and way of crossing.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct SpaceRow {
    /// Family.
    pub family: Family,
    /// For bend and reach the hand height, for lunges the depth.
    pub task: String,
    /// The limb that moves.
    pub mover: Side,
    /// Where to, seen from above.
    pub bearing: Bearing,
    /// The trade's name, and the limb it is named from.
    pub direction: AnatomicalDirection,
    /// The limb the direction is named from.
    pub named_from: Side,
    /// How it crosses.
    pub crossing: Crossing,
    /// What the standing foot does.
    pub stance_foot: StanceFoot,
    /// What the hands do in this verdict.
    pub support: Support,
    /// What is held.
    pub held: Option<String>,
    /// The verdict: `open`, `limited` or `closed`.
    pub verdict: &'static str,
    /// How far; absent when closed.
    pub to: Option<Length>,
    /// What ends it, or the reasons, as sentences with rule and source.
    pub because: Vec<String>,
    /// The reasons in full.
    pub refusals: Vec<Refusal>,
}

/// The movement space of one person on one day.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct SpaceTable {
    /// The person.
    pub person: String,
    /// Whether the person is invented.
    pub invented: bool,
    /// The day.
    pub on: Date,
    /// The alert: then there are no rows.
    pub alert: Option<Alert>,
    /// Phases of the conditions that have phases.
    pub phases: Vec<PhaseToday>,
    /// What closes everything, when something does.
    pub closed: Vec<Refusal>,
    /// What goes with the whole space.
    pub notes: Vec<Note>,
    /// How far the person is from running, sport and the like, where a presentation says.
    pub returns: Vec<ReturnToday>,
    /// The lines, by family, task, limb and bearing.
    pub rows: Vec<SpaceRow>,
}

/// The table of one case on one day. Of several ways to go in one direction (free hands, each
/// support; standing foot fixed or turning) the line shows the least help that opens it, and how far.
#[must_use]
pub fn space_case(case: &CaseFile, today: Date, progress: Progress<'_>) -> SpaceTable {
    let person = PersonToday::of(case, today);
    let space = survey(&person, progress);
    table(&person, &space)
}

/// The table of a space that was surveyed before, for the same case and day.
#[must_use]
pub fn space_table(case: &CaseFile, space: &Space, today: Date) -> SpaceTable {
    table(&PersonToday::of(case, today), space)
}

fn table(person: &PersonToday<'_>, space: &Space) -> SpaceTable {
    let (case, today) = (person.case, person.today);
    let mut rows: Vec<(RowKey, &SurveyedRay)> = Vec::new();
    for ray in &space.rays {
        let key = RowKey::of(ray);
        match rows.iter_mut().find(|(known, _)| *known == key) {
            Some((_, best)) if better(ray, best) => *best = ray,
            Some(_) => {}
            None => rows.push((key, ray)),
        }
    }
    // By family, task, limb, then clockwise; the survey went through its ways in another order.
    rows.sort_by_key(|(key, ray)| {
        let r = &ray.ray;
        let depth_mm = r.depth.map_or(0.0, Length::in_mm);
        (key.family, depth_mm.to_bits(), r.hand_height, key.mover, key.bearing, key.crossing)
    });
    SpaceTable {
        person: case.person.name.clone(),
        invented: case.invented,
        on: today,
        alert: space.alert.clone(),
        phases: person.allowed.phases().to_vec(),
        closed: person.allowed.closed().to_vec(),
        notes: space.notes.clone(),
        returns: person.allowed.returns().to_vec(),
        rows: rows.into_iter().map(|(_, ray)| row(ray)).collect(),
    }
}

#[derive(PartialEq)]
struct RowKey {
    family: Family,
    mover: Side,
    bearing: Bearing,
    crossing: Crossing,
    task: String,
}

impl RowKey {
    fn of(ray: &SurveyedRay) -> Self {
        let r = &ray.ray;
        Self { family: r.family, mover: r.mover, bearing: r.bearing, crossing: r.crossing, task: task(ray) }
    }
}

fn task(ray: &SurveyedRay) -> String {
    match (ray.ray.depth, ray.ray.hand_height) {
        (Some(depth), _) => format!("pelvis sinks {depth}"),
        (_, Some(height)) => format!("hand to {}", height.name()),
        _ => String::new(),
    }
}

/// Open beats closed; then less help; then the fixed standing foot; then further.
fn better(new: &SurveyedRay, old: &SurveyedRay) -> bool {
    match (new.verdict.to(), old.verdict.to()) {
        (Some(_), None) => true,
        (Some(a), Some(b)) if new.ray.support == old.ray.support => a > b,
        // Closed in every way: the way that got furthest tells most, a computed body before a rung.
        (None, None) => told(new) > told(old),
        // The least help that opens it stays.
        _ => false,
    }
}

/// How much a closed ray tells: nothing was computed, a rule about the movement, a computed body.
fn told(ray: &SurveyedRay) -> u8 {
    ray.verdict
        .reasons()
        .iter()
        .map(|refusal| match refusal.blocked {
            Blocked::RedFlag | Blocked::Level { .. } | Blocked::NotAssessed { .. } => 0,
            Blocked::Direction | Blocked::Distance { .. } | Blocked::Support | Blocked::Carried => 1,
            Blocked::Load { .. } | Blocked::OutOfReach { .. } | Blocked::Balance { .. } => 2,
            Blocked::JointAngle { .. } | Blocked::Impact { .. } => 3,
        })
        .min()
        .unwrap_or(0)
}

fn row(ray: &SurveyedRay) -> SpaceRow {
    let (direction, named_from) = ray.ray.direction();
    let (verdict, because) = match &ray.verdict {
        RayVerdict::Open { set_by, .. } => (
            "open",
            vec![match set_by {
                OpenTo::LongestTried => {
                    "nothing stopped it up to the longest distance that is tried".to_owned()
                }
                OpenTo::BodyReach { .. } => "the body goes no further".to_owned(),
            }],
        ),
        RayVerdict::Limited { by, .. } => ("limited", by.iter().map(ToString::to_string).collect()),
        RayVerdict::Closed { by } => ("closed", by.iter().map(ToString::to_string).collect()),
    };
    SpaceRow {
        family: ray.ray.family,
        task: task(ray),
        mover: ray.ray.mover,
        bearing: ray.ray.bearing,
        direction,
        named_from,
        crossing: ray.ray.crossing,
        stance_foot: ray.ray.stance_foot,
        support: ray.ray.support,
        held: ray.ray.place.map(|p| p.kind.name().to_owned()),
        verdict,
        to: ray.verdict.to(),
        because,
        refusals: ray.verdict.reasons().to_vec(),
    }
}

impl SpaceTable {
    /// The table as text: a block for each family, task and limb, a line for each direction.
    #[must_use]
    pub fn text(&self) -> String {
        let mut out = String::new();
        if let Some(alert) = &self.alert {
            return format!("{alert}\n");
        }
        for phase in &self.phases {
            out.push_str(&format!("{}: phase {}\n", phase.condition, phase.phase));
        }
        for refusal in &self.closed {
            out.push_str(&format!("Everything is closed: {refusal}\n  opens when {}\n", refusal.opens_when));
        }
        for one in &self.returns {
            out.push_str(&format!("{one}\n"));
        }
        for note in &self.notes {
            out.push_str(&format!("Note: {note}\n"));
        }
        if !self.closed.is_empty() {
            return out;
        }
        let mut head = String::new();
        for row in &self.rows {
            let limb = if row.family == Family::BendAndReach { "hand" } else { "leg" };
            let task = if row.task.is_empty() { String::new() } else { format!(", {}", row.task) };
            let new = format!(
                "\n{} {limb}, {}{task} (directions named from the {} {limb})\n",
                capital(&row.mover.to_string()),
                row.family,
                row.named_from
            );
            if new != head {
                out.push_str(&new);
                head = new;
            }
            out.push_str(&row.line());
        }
        out
    }
}

impl SpaceRow {
    fn line(&self) -> String {
        let mut way = match self.crossing {
            Crossing::None => self.direction.to_string(),
            Crossing::InFront => format!("{}, in front", self.direction),
            Crossing::Behind => format!("{}, behind", self.direction),
        };
        if self.stance_foot == StanceFoot::Pivoting {
            way.push_str(", pivoting");
        }
        let distance = self.to.map(|to| format!("{:.0} cm", to.in_cm().floor())).unwrap_or_default();
        let help = match (self.support, &self.held) {
            (Support::BothHands, Some(held)) => format!("both hands on {held}; "),
            _ => String::new(),
        };
        let because = self.because.first().cloned().unwrap_or_default();
        let more = match self.because.len() {
            0 | 1 => String::new(),
            n => format!(" (and {} more)", n - 1),
        };
        format!("  {way:<32} {:<8} {distance:>7}  {help}{because}{more}\n", self.verdict)
    }
}

fn capital(text: &str) -> String {
    let mut chars = text.chars();
    chars.next().map(|c| c.to_uppercase().chain(chars).collect()).unwrap_or_default()
}
