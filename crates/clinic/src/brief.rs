//! The little of each person that Today needs, for everybody at once, kept in memory.

use std::collections::HashMap;
use std::sync::Arc;

use jiff::civil::Date;
use person::{CaseFile, Finding};
use store::PersonId;

use crate::entries::read_body;
use crate::{
    CaseRecord, Desk, Error, Freshness, MeasuresRecord, PersonLine, PracticeRecord, ProgrammeRecord, Shape,
    TeachRecord, findings_known, measured,
};

/// What Today needs of one person. It holds days, not verdicts, so that it is as true tomorrow.
#[derive(Clone, Debug, PartialEq)]
pub struct Brief {
    /// What the newest case says; none before anything was found.
    pub case: Option<CaseBrief>,
    /// Last day of the programme that was accepted last.
    pub programme_until: Option<Date>,
    /// The last logs, newest first, two at most: the day and the worst pain.
    pub logs: Vec<(Date, Option<u8>)>,
    /// The day on which something was measured last.
    pub measured_on: Option<Date>,
}

/// What a case says of days.
#[derive(Clone, Debug, PartialEq)]
pub struct CaseBrief {
    /// The day an invented case names for itself.
    pub planned_for: Option<Date>,
    /// Whether a red flag was found.
    pub red_flag: bool,
    /// Orders with the last day of each.
    pub orders: Vec<(String, Date)>,
    /// Findings with the last day on which each counts.
    pub findings: Vec<(String, Date)>,
}

impl CaseBrief {
    fn of(case: &CaseFile) -> Self {
        let mut orders = Vec::new();
        for side in anatomy::Side::BOTH {
            if let Finding::Found { value, .. } = case.findings.weight_bearing.get(side)
                && let Some(until) = value.until
            {
                orders.push((format!("The weight-bearing order for the {side} leg"), until));
            }
        }
        for order in &case.findings.orders {
            if let Some(until) = order.until {
                orders.push((format!("An order of {}", order.by), until));
            }
        }
        let findings = findings_known(case, case.visit)
            .into_iter()
            .filter_map(|line| {
                let last = match line.freshness {
                    Freshness::Current { through } => through,
                    Freshness::Past { since } => since,
                    Freshness::NotAssessed => return None,
                };
                let name = match line.side {
                    Some(side) => format!("{}, {side}", line.what),
                    None => line.what,
                };
                Some((name, last))
            })
            .collect();
        Self {
            planned_for: case.planned_for.filter(|_| case.invented),
            red_flag: matches!(&case.findings.red_flags, Finding::Found { value, .. } if !value.is_empty()),
            orders,
            findings,
        }
    }
}

/// The last logs of one person, newest first by the day they were done.
fn logs_of(mut logs: Vec<PracticeRecord>) -> Vec<(Date, Option<u8>)> {
    logs.sort_by_key(|log| std::cmp::Reverse(log.on));
    logs.iter().take(2).map(|log| (log.on, log.worst_pain())).collect()
}

/// Logs and measures of one person that are read: those entered last are not always those done last.
const ENTRIES_READ: u32 = 4;

fn read_case(body: &[u8]) -> Result<CaseBrief, Error> {
    let record: CaseRecord = read_body(body)?;
    Ok(CaseBrief::of(&person::case_file::read("the findings", &record.text)?))
}

impl Desk {
    /// The brief of everybody in the list. The first call after an unlock reads everything once, the
    /// next ones only what was added since.
    pub(crate) async fn briefs(&self, people: &[PersonLine]) -> Result<HashMap<PersonId, Arc<Brief>>, Error> {
        if !self.clinic().has_briefs() {
            let marks = self.clinic().all_marks();
            let all = self.read_briefs().await?;
            self.clinic().keep_briefs(all, &marks);
        }
        let mut out = HashMap::with_capacity(people.len());
        for line in people {
            let known = self.clinic().brief_known(line.id);
            let brief = match known {
                Some(brief) => brief,
                None => {
                    let mark = self.clinic().mark(line.id);
                    let brief = Arc::new(self.read_brief(line.id).await?);
                    self.clinic().keep_brief(line.id, mark, &brief);
                    brief
                }
            };
            out.insert(line.id, brief);
        }
        Ok(out)
    }

    /// Reads what is needed of everybody: one look at each list, none at a person.
    async fn read_briefs(&self) -> Result<HashMap<PersonId, Arc<Brief>>, Error> {
        let cases = self.session().latest(CaseRecord::KIND).await?;
        let programmes = self.session().latest(ProgrammeRecord::KIND).await?;
        let measures = self.session().newest(MeasuresRecord::KIND, ENTRIES_READ).await?;
        let logs = self.session().newest(PracticeRecord::KIND, ENTRIES_READ).await?;
        let lessons = self.session().newest(TeachRecord::KIND, ENTRIES_READ).await?;
        let people = self.session().latest(crate::PersonRecord::KIND).await?;
        let read = move || -> Result<HashMap<PersonId, Arc<Brief>>, Error> {
            let mut all: HashMap<PersonId, Brief> = HashMap::with_capacity(people.len());
            let empty = Brief { case: None, programme_until: None, logs: Vec::new(), measured_on: None };
            for record in &people {
                all.insert(record.person(), empty.clone());
            }
            for record in &cases {
                if let Some(brief) = all.get_mut(&record.person()) {
                    brief.case = Some(read_case(record.body())?);
                }
            }
            for record in &programmes {
                if let Some(brief) = all.get_mut(&record.person()) {
                    let programme: ProgrammeRecord = read_body(record.body())?;
                    brief.programme_until = Some(programme.use_until);
                }
            }
            for record in &measures {
                if let Some(brief) = all.get_mut(&record.person()) {
                    let one: MeasuresRecord = read_body(record.body())?;
                    brief.measured_on = measured::days(&one.text).into_iter().max().max(brief.measured_on);
                }
            }
            let mut of_person: HashMap<PersonId, Vec<PracticeRecord>> = HashMap::new();
            for record in &logs {
                of_person.entry(record.person()).or_default().push(read_body(record.body())?);
            }
            for record in &lessons {
                let lesson: TeachRecord = read_body(record.body())?;
                of_person.entry(record.person()).or_default().push(lesson.as_log());
            }
            for (person, logs) in of_person {
                if let Some(brief) = all.get_mut(&person) {
                    brief.logs = logs_of(logs);
                }
            }
            Ok(all.into_iter().map(|(person, brief)| (person, Arc::new(brief))).collect())
        };
        tokio::task::spawn_blocking(read).await.map_err(|error| Error::Broken(error.to_string()))?
    }

    async fn read_brief(&self, person: PersonId) -> Result<Brief, Error> {
        let case = self.session().latest_of(person, CaseRecord::KIND).await?;
        let programme = self.newest::<ProgrammeRecord>(person).await?;
        let logs = self.read::<PracticeRecord>(person).await?;
        let lessons = self.read::<TeachRecord>(person).await?;
        Ok(Brief {
            case: case.map(|record| read_case(record.body())).transpose()?,
            programme_until: programme.map(|entry| entry.body.use_until),
            logs: logs_of(
                logs.into_iter()
                    .map(|entry| entry.body)
                    .rev()
                    .chain(lessons.into_iter().map(|entry| entry.body.as_log()))
                    .collect(),
            ),
            measured_on: self.last_measured(person).await?,
        })
    }
}
