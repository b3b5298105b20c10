//! How much of the tasks a person comes back to is covered by the programme, or by stated movements.

use anatomy::Side;
use biomech::{ArmsCoverage, Coverage, Covered, PartCoverage, Profile, Whole, covers, motion};
use jiff::civil::Date;
use movement::GoalTask;
use person::CaseFile;
use programme::{TaskAsked, TaskCovered};
use serde::Serialize;

use crate::{Outcome, PersonToday, Progress, SentenceError, SentenceReader, plan_case};

/// What became of one task.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[serde(rename_all = "snake_case", tag = "outcome")]
pub enum TaskOutcome {
    /// How much of it is covered.
    Covered {
        /// By part, direction and whole.
        coverage: Box<Coverage>,
    },
    /// This body cannot do the base movement of the task.
    NotPossible {
        /// Why.
        why: String,
    },
}

/// One task to one side.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct TaskRow {
    /// The task.
    pub task: GoalTask,
    /// The leg that moves.
    pub mover: Side,
    /// Its base movement as a sentence.
    pub movement: String,
    /// What became of it.
    #[serde(flatten)]
    pub outcome: TaskOutcome,
}

/// Tasks of one person beside a set of movements. Every share is an estimate.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct BridgeTable {
    /// The person.
    pub person: String,
    /// Whether the person is invented.
    pub invented: bool,
    /// The day.
    pub on: Date,
    /// The movements that cover, as sentences.
    pub movements: Vec<String>,
    /// What must be known about the set.
    pub note: Option<String>,
    /// The tasks.
    pub tasks: Vec<TaskRow>,
    /// How much of each task, both sides together: the number the planner works with.
    pub together: Vec<TaskCovered>,
}

/// Why nothing can be said.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum BridgeError {
    /// A red flag: the alert and nothing else may be shown.
    #[error("{0}")]
    Alert(safety::Alert),
    /// A sentence is not a movement.
    #[error("{0}")]
    Sentence(#[from] SentenceError),
}

/// How much of each task is covered, for both sides: by the movements of these sentences, or by
/// today's programme where none is given. Nothing here permits a movement or a task.
///
/// # Errors
/// A red flag is present, or a sentence does not read.
pub fn bridge_case(
    case: &CaseFile,
    today: Date,
    tasks: &[GoalTask],
    sentences: &[String],
    progress: Progress<'_>,
) -> Result<BridgeTable, BridgeError> {
    let person = PersonToday::of(case, today);
    if let Some(alert) = person.allowed.alert() {
        return Err(BridgeError::Alert(alert.clone()));
    }
    let (body, capacity) = (&person.body, &person.capacity);
    let mut note = None;
    let mut set: Vec<Profile> = Vec::new();
    if sentences.is_empty() {
        match plan_case(case, today, progress) {
            Outcome::Programme(plan) => {
                let movements = plan.programme.exercises.iter().flat_map(|e| e.movements());
                set.extend(movements.map(|m| Profile::of(body, capacity, m.permitted.motion())));
            }
            Outcome::Alert(alert) => return Err(BridgeError::Alert(alert)),
            Outcome::NoProgramme(none) => note = Some(none.to_string()),
        }
    }
    let limits = person.limits();
    for sentence in sentences {
        let spec = SentenceReader { body, supports: &limits.supports }.read(sentence)?;
        match motion(body, capacity, &spec) {
            Ok(found) => set.push(Profile::of(body, capacity, &found)),
            Err(why) => note = Some(format!("left out: {why}")),
        }
    }
    let mut rows = Vec::new();
    let mut together = Vec::new();
    for &task in tasks {
        let asked = TaskAsked::of(body, capacity, task);
        together.push(asked.covered(&set));
        for mover in Side::BOTH {
            let spec = biomech::goal_movement(body, task, mover);
            let outcome = match asked.sides.get(mover) {
                Ok(profile) => TaskOutcome::Covered { coverage: Box::new(covers(profile, &set)) },
                Err(why) => TaskOutcome::NotPossible { why: why.clone() },
            };
            rows.push(TaskRow { task, mover, movement: spec.sentence(), outcome });
        }
    }
    Ok(BridgeTable {
        person: case.person.name.clone(),
        invented: case.invented,
        on: today,
        movements: set.iter().map(|p| p.spec.sentence()).collect(),
        note,
        tasks: rows,
        together,
    })
}

fn whole(whole: Whole) -> String {
    match whole {
        Whole::Share { covered, unknown: 0 } => format!("{:.0} %", covered.in_percent()),
        Whole::Share { covered, unknown } => {
            format!("{:.0} % (and {unknown} unknown, which never count)", covered.in_percent())
        }
        Whole::Unknown => "unknown".to_owned(),
    }
}

fn part(row: &PartCoverage) -> String {
    let side = row.side.map_or_else(String::new, |s| format!("{s} "));
    let name = format!("{side}{}", row.part.name());
    match row.covered {
        Covered::Share { asked, reached, covered } => format!(
            "    {name:<36} asks {:>3.0} %, reached {:>3.0} %, covered {:>3.0} %\n",
            asked.in_percent(),
            reached.in_percent(),
            covered.in_percent()
        ),
        Covered::Unknown => format!("    {name:<36} not known\n"),
    }
}

impl BridgeTable {
    /// The table as text; with `whole_profiles` every part of every task, else what is missing most.
    #[must_use]
    pub fn text(&self, whole_profiles: bool) -> String {
        let mut out = String::from("Covered by (shares of this person's capacity; all are estimates)\n");
        for sentence in &self.movements {
            out.push_str(&format!("- {sentence}\n"));
        }
        if self.movements.is_empty() {
            out.push_str("- nothing\n");
        }
        if let Some(note) = &self.note {
            out.push_str(&format!("Note: {note}\n"));
        }
        out.push_str("\nWith both legs\n");
        for covered in &self.together {
            out.push_str(&format!("- {covered}\n"));
        }
        for row in &self.tasks {
            let name = row.task.name();
            out.push_str(&format!("\n{}{}, {} leg\n", name[..1].to_uppercase(), &name[1..], row.mover));
            out.push_str(&format!("  {}\n", row.movement));
            match &row.outcome {
                TaskOutcome::NotPossible { why } => out.push_str(&format!("  cannot be computed: {why}\n")),
                TaskOutcome::Covered { coverage } => {
                    let d = &coverage.direction;
                    let arms = match d.arms {
                        ArmsCoverage::NotAsked => "",
                        ArmsCoverage::Practised => "; arms and trunk practised",
                        ArmsCoverage::NotPractised => "; arms and trunk not practised",
                    };
                    out.push_str(&format!(
                        "  estimates: joint motions {}; muscle groups {}; joint angles {:.0} %;\n  \
                         direction: {} of {}{arms}\n",
                        whole(coverage.motions),
                        whole(coverage.groups),
                        coverage.range.in_percent(),
                        d.reached,
                        d.asked,
                    ));
                    let missing = coverage.missing();
                    let shown: Vec<&PartCoverage> = if whole_profiles {
                        coverage.parts.iter().collect()
                    } else {
                        missing.iter().take(3).collect()
                    };
                    for row in shown {
                        out.push_str(&part(row));
                    }
                }
            }
        }
        out
    }
}
