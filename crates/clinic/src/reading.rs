//! Reading what the register needs: a few people while a page waits, everybody else beside the pages.

use std::collections::HashMap;

use store::{PersonId, Record};

use crate::brief::Brief;
use crate::entries::read_body;
use crate::register::{Register, Row};
use crate::stops::{may_stop, stops};
use crate::{
    AdaptationRecord, CaseRecord, Desk, Entry, Error, MeasuresRecord, PersonLine, PersonRecord,
    PracticeRecord, ProgrammeRecord, Shape, Stop, TeachRecord,
};

/// So many people are read while a page waits: some twenty milliseconds.
const WAITED_FOR: usize = 32;

/// So many people are read in one go beside the pages.
const PART: usize = 100;

/// What is read of everybody. Whoever opens Today looked at all of these lists.
pub(crate) const LISTED: [&str; 7] = [
    PersonRecord::KIND,
    CaseRecord::KIND,
    ProgrammeRecord::KIND,
    MeasuresRecord::KIND,
    PracticeRecord::KIND,
    TeachRecord::KIND,
    AdaptationRecord::KIND,
];

/// Measures and lessons of one person that are read: those entered last are not always those done last.
const ENTRIES_READ: u32 = 8;

/// Logs of one person that are read: a sheet's fourteen days, three times a day. A stop sign that nobody
/// looked at and that lies further back stands in the home log and holds everything back all the same.
const LOGS_READ: u32 = 42;

impl Desk {
    /// Brings the register up to the last entry that was acknowledged. Those who were never read since the
    /// unlock are read beside the pages, unless they are few.
    pub(crate) async fn catch_up(&self) -> Result<(), Error> {
        if self.clinic().register(|_| ()).is_none() {
            let marks = self.clinic().all_marks();
            let records = self.session().latest(PersonRecord::KIND).await?;
            let lines: Result<Vec<PersonLine>, Error> = records.iter().map(line).collect();
            self.clinic().open_register(Register::of(lines?), &marks);
        }
        for (person, mark) in self.clinic().few_behind(WAITED_FOR) {
            let row = self.read_one(person).await?;
            self.clinic().take_read(person, mark, row);
        }
        self.read_beside();
        Ok(())
    }

    /// Begins to read those who were not read yet, unless somebody does. It ends by itself when all are
    /// read or when this session ends; the next list that is asked for begins it again.
    fn read_beside(&self) {
        let Some(turn) = self.clinic().begin_reading() else { return };
        let me = self.clone();
        tokio::spawn(async move {
            let _ended = Ended { desk: &me, turn };
            loop {
                let part = me.clinic().next_unread(turn, PART);
                if part.is_empty() {
                    return;
                }
                if me.read_part(&part).await.is_err() {
                    return;
                }
            }
        });
    }

    /// Reads a part of the list; one by one where one of them cannot be read.
    async fn read_part(&self, part: &[(PersonId, crate::clinic::Mark)]) -> Result<(), Error> {
        let (Some((first, _)), Some((last, _))) = (part.first(), part.last()) else { return Ok(()) };
        if let Ok(mut rows) = self.read_rows(*first, *last).await {
            for (person, mark) in part {
                self.clinic().take_read(*person, *mark, rows.remove(person));
            }
            return Ok(());
        }
        for (person, mark) in part {
            let row = self.read_one(*person).await?;
            self.clinic().take_read(*person, *mark, row);
        }
        Ok(())
    }

    /// One person; none when there is no such person. What is damaged is said in the row, so that one
    /// damaged record does not hide everybody else.
    async fn read_one(&self, person: PersonId) -> Result<Option<Row>, Error> {
        match self.read_rows(person, person).await {
            Ok(mut rows) => Ok(rows.remove(&person)),
            Err(error) => {
                let newest = self.session().newest_among(PersonRecord::KIND, 1, person..=person).await?;
                let Some(record) = newest.first() else { return Ok(None) };
                Ok(Some(Row { line: line(record)?, brief: Err(error.to_string()) }))
            }
        }
    }

    /// Everybody from one id to another: one look at each list, none at a person.
    async fn read_rows(&self, first: PersonId, last: PersonId) -> Result<HashMap<PersonId, Row>, Error> {
        let session = self.session();
        session.look_at(PersonId::CLINIC, &LISTED).await?;
        let people = session.newest_among(PersonRecord::KIND, 1, first..=last).await?;
        let cases = session.newest_among(CaseRecord::KIND, 1, first..=last).await?;
        let programmes = session.newest_among(ProgrammeRecord::KIND, 1, first..=last).await?;
        let measures = session.newest_among(MeasuresRecord::KIND, ENTRIES_READ, first..=last).await?;
        let logs = session.newest_among(PracticeRecord::KIND, LOGS_READ, first..=last).await?;
        let lessons = session.newest_among(TeachRecord::KIND, ENTRIES_READ, first..=last).await?;
        let read = move || {
            let mut of_all = [cases, programmes, measures, logs, lessons].map(by_person);
            let rows = people.iter().map(|person| {
                let (id, line) = (person.person(), line(person)?);
                let records = of_all.each_mut().map(|of| of.remove(&id).unwrap_or_default());
                let (brief, may_stop) = brief(&records)?;
                Ok((id, (line, brief, may_stop)))
            });
            rows.collect::<Result<HashMap<_, _>, Error>>()
        };
        let read = tokio::task::spawn_blocking(read);
        let read = read.await.map_err(|error| Error::Broken(error.to_string()))??;
        let mut rows = HashMap::with_capacity(read.len());
        for (id, (line, mut brief, may_stop)) in read {
            if may_stop {
                brief.stops = self.stops_listed(id).await?;
            }
            rows.insert(id, Row { line, brief: Ok(brief) });
        }
        Ok(rows)
    }

    /// As [`Desk::stops`], for a list: it is looked at as a whole, not at this person.
    async fn stops_listed(&self, id: PersonId) -> Result<Vec<Stop>, Error> {
        let logs = self.all_listed::<PracticeRecord>(id).await?;
        Ok(stops(&logs, &self.all_listed::<AdaptationRecord>(id).await?))
    }

    /// Every entry of a sort in the order they were begun.
    async fn all_listed<T: Shape>(&self, id: PersonId) -> Result<Vec<Entry<T>>, Error> {
        let records = self.session().newest_among(T::KIND, u32::MAX, id..=id).await?;
        records.iter().rev().map(Entry::of).collect()
    }
}

/// Says that nobody reads any more, however the reading ended.
struct Ended<'a> {
    desk: &'a Desk,
    turn: u64,
}

impl Drop for Ended<'_> {
    fn drop(&mut self) {
        self.desk.clinic().end_reading(self.turn);
    }
}

fn line(record: &Record) -> Result<PersonLine, Error> {
    Ok(PersonLine { id: record.person(), record: record.id(), person: read_body(record.body())? })
}

fn by_person(records: Vec<Record>) -> HashMap<PersonId, Vec<Record>> {
    let mut all: HashMap<PersonId, Vec<Record>> = HashMap::new();
    for record in records {
        all.entry(record.person()).or_default().push(record);
    }
    all
}

/// What follows from the newest records of one person: case, programme, measures, logs; and whether one of
/// those logs tells of a stop sign, so that all of them have to be asked.
fn brief([cases, programmes, measures, logs, lessons]: &[Vec<Record>; 5]) -> Result<(Brief, bool), Error> {
    let bodies = |records: &[Record]| -> Result<Vec<PracticeRecord>, Error> {
        records.iter().map(|record| read_body(record.body())).collect()
    };
    let case: Option<CaseRecord> = cases.first().map(|record| read_body(record.body())).transpose()?;
    let until = programmes.first().map(|record| ProgrammeRecord::last_day(record.body())).transpose()?;
    let measures: Result<Vec<MeasuresRecord>, Error> =
        measures.iter().map(|record| read_body(record.body())).collect();
    let mut logs = bodies(logs)?;
    let may_stop = logs.iter().any(may_stop);
    for record in lessons {
        let lesson: TeachRecord = read_body(record.body())?;
        logs.push(lesson.as_log());
    }
    Ok((Brief::of(case.as_ref(), until, &measures?, logs)?, may_stop))
}
