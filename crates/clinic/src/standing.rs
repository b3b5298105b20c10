//! What follows from the entries of one person on a day, kept in memory until the next entry.

use std::sync::Arc;

use jiff::civil::Date;
use person::CaseFile;
use store::{PersonId, RecordId};

use crate::{
    CaseRecord, Desk, Error, MeasuresRecord, PersonLine, PersonRecord, PracticeRecord, ProgrammeRecord,
    Shape, TeachRecord,
};

/// Where one person stands.
#[derive(Clone, Debug)]
pub struct Standing {
    /// Who.
    pub line: PersonLine,
    /// The day all of this is about: the clinic's, or the day an invented case names.
    pub day: Date,
    /// The record of the newest case, for caches of what was computed from it.
    pub case_record: Option<RecordId>,
    /// The newest case; none before anything was found.
    pub case: Option<Arc<CaseFile>>,
    /// Its text, as it was saved.
    pub case_text: Arc<str>,
    /// The programme that was accepted last.
    pub programme: Option<ProgrammeRecord>,
    /// The last logs, lessons among them, newest first, three at most.
    pub logs: Vec<PracticeRecord>,
    /// How many logs there are.
    pub log_count: usize,
    /// The day on which something was measured last.
    pub measured_on: Option<Date>,
}

impl Standing {
    /// Who.
    #[must_use]
    pub fn person(&self) -> &PersonRecord {
        &self.line.person
    }

    /// Whether the person is invented.
    #[must_use]
    pub fn is_invented(&self) -> bool {
        self.case.as_ref().is_some_and(|case| case.invented)
    }
}

/// What is read of one person: one look.
const READ: [&str; 6] = [
    PersonRecord::KIND,
    CaseRecord::KIND,
    ProgrammeRecord::KIND,
    PracticeRecord::KIND,
    MeasuresRecord::KIND,
    TeachRecord::KIND,
];

/// Logs of one person that are looked at for a trend.
const LOGS_KEPT: usize = 3;

impl Desk {
    /// Where one person stands. From memory unless an entry was added since.
    ///
    /// # Errors
    /// There is no such person, or an entry is damaged.
    pub async fn standing(&self, person: PersonId) -> Result<Arc<Standing>, Error> {
        self.session().look_at(person, &READ).await?;
        let line = self.person(person).await?;
        let today = self.today();
        if let Some(known) = self.clinic().standing_known(person, today) {
            return Ok(known);
        }
        let mark = self.clinic().mark(person);
        let case = self.newest::<CaseRecord>(person).await?;
        let programme = self.newest::<ProgrammeRecord>(person).await?.map(|entry| entry.body);
        let mut logs: Vec<PracticeRecord> =
            self.read::<PracticeRecord>(person).await?.into_iter().map(|entry| entry.body).collect();
        logs.extend(self.lessons(person).await?.iter().map(|lesson| lesson.record.as_log()));
        let log_count = logs.len();
        // The sort is stable: of two logs of one day the one that was entered later comes first.
        logs.reverse();
        logs.sort_by_key(|log| std::cmp::Reverse(log.on));
        logs.truncate(LOGS_KEPT);
        let (case_record, text) = match &case {
            Some(entry) => (Some(entry.record), entry.body.text.as_str()),
            None => (None, ""),
        };
        let parsed = match case_record {
            Some(_) => Some(Arc::new(person::case_file::read("the findings", text)?)),
            None => None,
        };
        let day = parsed.as_ref().map_or(today, |case| app::day_of(case, None, today));
        let standing = Arc::new(Standing {
            line,
            day,
            case_record,
            case: parsed,
            case_text: text.into(),
            programme,
            logs,
            log_count,
            measured_on: self.last_measured(person).await?,
        });
        self.clinic().keep_standing(person, today, mark, &standing);
        Ok(standing)
    }
}
