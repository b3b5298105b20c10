//! Letters: gathers what a letter is written from, asks the arrows before it, and has it written.

mod measured;
mod surgeon;
mod unknown;
mod ways;

use document::language::Language;
use document::{ClassMember, Letter, LetterFacts, LetterKind, Planned, Practised, Way, class_list, letter};
use jiff::civil::Date;
use person::{CaseFile, Clinic};
use programme::Programme;
use progress::{Activity, Prescription, Session};
use safety::Alert;
use serde::{Deserialize, Serialize};

use crate::survey::survey;
use crate::{Measures, Outcome, PersonToday, Progress, SpaceTable, plan_case, return_report, space_table};

pub use unknown::most_useful;

/// What came home, as `--log` and a record give it.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct PracticeLog {
    /// What was asked for; none where it is not known.
    #[serde(default)]
    pub prescription: Option<Prescription>,
    /// Every session.
    pub sessions: Vec<Session>,
    /// How many further entries tell no single session: remarks, and the summaries of typed codes.
    #[serde(default)]
    pub uncounted: usize,
    /// Typed codes that tell of a stop sign and not which, and of which nobody asked yet: the last day of each.
    #[serde(default)]
    pub unnamed_stops: Vec<Date>,
}

/// Why a log is not understood.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error(
    "the log is not understood ({why}); accepted: JSON with `sessions` and, where it is known, `prescription`"
)]
pub struct PracticeLogError {
    /// What the reader said.
    pub why: String,
}

impl PracticeLog {
    /// Reads a log.
    ///
    /// # Errors
    /// When it is no JSON of this shape; says where.
    pub fn read(text: &str) -> Result<Self, PracticeLogError> {
        serde_json::from_str(text).map_err(|error| PracticeLogError { why: error.to_string() })
    }
}

/// The movement space and the programme of one person on one day, computed once for several letters.
#[derive(Clone, Debug)]
pub struct LetterBase {
    programme: Made,
    ways: Vec<Way>,
}

#[derive(Clone, Debug)]
enum Made {
    None,
    NotPossible,
    Proposed(Box<Programme>),
    Accepted(Box<Programme>),
}

impl LetterBase {
    /// A base from what is known already: the accepted programme, if there is one, and the surveyed space.
    #[must_use]
    pub fn known(programme: Option<Programme>, space: Option<&SpaceTable>) -> Self {
        Self {
            programme: programme.map_or(Made::None, |one| Made::Accepted(Box::new(one))),
            ways: space.map(ways::ways).unwrap_or_default(),
        }
    }

    fn planned(&self) -> Planned<'_> {
        match &self.programme {
            Made::None => Planned::NoneMade,
            Made::NotPossible => Planned::NotPossible,
            Made::Proposed(programme) => Planned::Proposed(programme),
            Made::Accepted(programme) => Planned::Programme(programme),
        }
    }
}

/// Surveys the space and proposes a programme, as far as letters need them.
///
/// # Errors
/// The alert, where a red flag stands: then no letter is written.
pub fn letter_base(case: &CaseFile, today: Date, progress: Progress<'_>) -> Result<LetterBase, Box<Alert>> {
    match plan_case(case, today, progress) {
        Outcome::Alert(alert) => Err(Box::new(alert)),
        Outcome::Programme(plan) => Ok(LetterBase {
            ways: ways::ways(&space_table(case, &plan.space, today)),
            programme: Made::Proposed(Box::new(plan.programme)),
        }),
        Outcome::NoProgramme(_) => {
            let space = survey(&PersonToday::of(case, today), progress);
            Ok(LetterBase {
                programme: Made::NotPossible,
                ways: ways::ways(&space_table(case, &space, today)),
            })
        }
    }
}

/// What a letter about one person is made from.
#[derive(Clone, Copy, Debug)]
pub struct LetterSources<'a> {
    /// The case.
    pub case: &'a CaseFile,
    /// The day.
    pub today: Date,
    /// Who will sign; the therapist of the case where nobody is named, nobody where the name is empty.
    pub author: Option<&'a str>,
    /// What was measured.
    pub measures: Option<&'a Measures>,
    /// What was practised.
    pub log: Option<&'a PracticeLog>,
    /// The activity of a return statement; that of the measures or running where none is named.
    pub activity: Activity,
}

/// Writes a letter about one person.
///
/// # Errors
/// The alert, where a red flag stands: it goes before every letter.
pub fn letter_case(
    kind: LetterKind,
    from: &LetterSources<'_>,
    base: &LetterBase,
    language: Language,
) -> Result<Letter, Box<Alert>> {
    let LetterSources { case, today, .. } = *from;
    let person = PersonToday::of(case, today);
    if let Some(alert) = person.allowed.alert() {
        return Err(Box::new(alert.clone()));
    }
    let measured = from.measures.map(|measures| measured::measured(case, measures, today));
    let practised = from.log.map(|log| {
        Practised::of(&log.sessions, log.prescription.as_ref(), today)
            .with_uncounted(log.uncounted)
            .with_unnamed_stops(&log.unnamed_stops)
    });
    let unknown = most_useful(&person);
    let decision = (kind == LetterKind::ReturnToActivity).then(|| {
        let none = Measures::empty(case);
        return_report(case, from.measures.unwrap_or(&none), today, &[from.activity])
    });
    let question = match kind {
        LetterKind::QuestionToSurgeon => surgeon::question(&person),
        _ => Vec::new(),
    };
    let facts = LetterFacts {
        case,
        today,
        author: from.author,
        measured: measured.as_ref(),
        practised: practised.as_ref(),
        planned: base.planned(),
        ways: &base.ways,
        unknown: &unknown,
        decision: decision.as_ref().and_then(|report| report.decisions.first()),
        question: &question,
    };
    Ok(letter(kind, &facts, language))
}

/// One person of a class. A red flag or a space that closes everything is on the list with its reason.
#[must_use]
pub fn class_member(case: &CaseFile, today: Date, progress: Progress<'_>) -> ClassMember {
    let person = PersonToday::of(case, today);
    let space = survey(&person, progress);
    let ways = ways::ways(&space_table(case, &space, today));
    ClassMember::of(&LetterFacts {
        case,
        today,
        author: None,
        measured: None,
        practised: None,
        planned: Planned::NoneMade,
        ways: &ways,
        unknown: &[],
        decision: None,
        question: &[],
    })
}

/// The class list of several people.
#[must_use]
pub fn letter_class(members: &[ClassMember], clinic: &Clinic, today: Date, language: Language) -> Letter {
    class_list(members, clinic, today, language)
}
