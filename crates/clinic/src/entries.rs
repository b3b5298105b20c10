//! Entries of a person: read, added, corrected, taken back.

use serde::de::DeserializeOwned;
use store::{AccountId, Appended, Moment, NewRecord, PersonId, Record, RecordId, Role};

use crate::{CaseRecord, Desk, Error, Settings, Shape};

/// One entry with who wrote it and when.
#[derive(Clone, Debug, PartialEq)]
pub struct Entry<T> {
    /// Its name, for correcting it.
    pub record: RecordId,
    /// When it was written.
    pub at: Moment,
    /// Who wrote it.
    pub author: AccountId,
    /// As what.
    pub role: Role,
    /// Why an earlier version was corrected; empty for a first version.
    pub reason: String,
    /// What it says.
    pub body: T,
}

impl<T: Shape> Entry<T> {
    pub(crate) fn of(record: &Record) -> Result<Self, Error> {
        Ok(Self {
            record: record.id(),
            at: record.at(),
            author: record.author(),
            role: record.role(),
            reason: record.reason().to_owned(),
            body: read_body(record.body())?,
        })
    }
}

/// Reads a stored body.
pub(crate) fn read_body<T: Shape>(body: &[u8]) -> Result<T, Error> {
    fn json<T: DeserializeOwned>(body: &[u8]) -> Result<T, String> {
        serde_json::from_slice(body).map_err(|error| error.to_string())
    }
    json(body).map_err(|why| Error::Body { kind: T::KIND, why })
}

fn write_body<T: Shape>(body: &T) -> Result<Vec<u8>, Error> {
    serde_json::to_vec(body).map_err(|error| Error::Body { kind: T::KIND, why: error.to_string() })
}

impl Desk {
    /// Every entry of a sort that stands, in the order they were begun.
    ///
    /// # Errors
    /// There is no such person, or an entry is damaged.
    pub async fn read<T: Shape>(&self, person: PersonId) -> Result<Vec<Entry<T>>, Error> {
        let records = self.session().read_kind(person, T::KIND).await?;
        records.iter().map(Entry::of).collect()
    }

    /// The entry of a sort that was begun last.
    ///
    /// # Errors
    /// As [`Desk::read`].
    pub async fn newest<T: Shape>(&self, person: PersonId) -> Result<Option<Entry<T>>, Error> {
        let record = self.session().latest_of(person, T::KIND).await?;
        record.as_ref().map(Entry::of).transpose()
    }

    /// The last `most` entries of a sort of everybody, with whom each is about. One look at the list,
    /// none at a person.
    ///
    /// # Errors
    /// As [`Desk::read`].
    pub async fn newest_of_all<T: Shape>(&self, most: u32) -> Result<Vec<(PersonId, Entry<T>)>, Error> {
        let records = self.session().newest(T::KIND, most).await?;
        records.iter().map(|record| Ok((record.person(), Entry::of(record)?))).collect()
    }

    /// Every version of one entry, oldest first.
    ///
    /// # Errors
    /// As [`Desk::read`].
    pub async fn versions<T: Shape>(&self, record: RecordId) -> Result<Vec<Entry<T>>, Error> {
        let records = self.session().history(record).await?;
        records.iter().filter(|record| !record.is_withdrawn()).map(Entry::of).collect()
    }

    /// Adds an entry; it is on the disk when this returns. The same `once` adds it once.
    ///
    /// # Errors
    /// The role may not write this sort, or the disk is full.
    pub async fn append<T: Shape>(&self, person: PersonId, body: &T, once: &str) -> Result<RecordId, Error> {
        let new = self.new_record(person, body, once)?;
        let appended = self.session().append(new).await?;
        self.clinic().got_an_entry(person);
        Ok(appended.id())
    }

    /// Adds several entries, all of them or none. The same `once` adds them once.
    ///
    /// # Errors
    /// As [`Desk::append`].
    pub async fn append_each<T: Shape>(
        &self,
        person: PersonId,
        bodies: &[T],
        once: &str,
    ) -> Result<(), Error> {
        let record = |(at, body)| self.new_record(person, body, &format!("{once}-{at}"));
        let records = bodies.iter().enumerate().map(record).collect::<Result<_, _>>()?;
        self.session().append_many(records).await?;
        self.clinic().got_an_entry(person);
        Ok(())
    }

    /// An entry before it is stored.
    pub(crate) fn new_record<T: Shape>(
        &self,
        person: PersonId,
        body: &T,
        once: &str,
    ) -> Result<NewRecord, Error> {
        Ok(NewRecord::new(person, T::KIND, write_body(body)?, once))
    }

    /// Writes a new version of an entry with its reason.
    ///
    /// # Errors
    /// No reason, somebody corrected it meanwhile, or those of [`Desk::append`].
    pub async fn correct<T: Shape>(
        &self,
        person: PersonId,
        record: RecordId,
        body: &T,
        reason: &str,
        once: &str,
    ) -> Result<RecordId, Error> {
        let appended: Appended = self.session().correct(record, write_body(body)?, reason, once).await?;
        self.clinic().got_an_entry(person);
        Ok(appended.id())
    }

    /// Takes an entry back with its reason; it stays readable in its history.
    ///
    /// # Errors
    /// As [`Desk::correct`].
    pub async fn withdraw(
        &self,
        person: PersonId,
        record: RecordId,
        reason: &str,
        once: &str,
    ) -> Result<(), Error> {
        self.session().withdraw(record, reason, once).await?;
        self.clinic().got_an_entry(person);
        Ok(())
    }

    /// Saves what was found: the whole text of a case file, as a new entry. It is read first, so that
    /// nothing is stored that the engine would not accept.
    ///
    /// # Errors
    /// Everything that is to be mended in the text, each with its line; or those of [`Desk::append`].
    pub async fn save_case(&self, person: PersonId, text: &str, once: &str) -> Result<RecordId, Error> {
        self.save_case_record(person, &CaseRecord { text: text.to_owned(), ..CaseRecord::default() }, once)
            .await
    }

    /// As [`Desk::save_case`], with what stands beside the text.
    ///
    /// # Errors
    /// As [`Desk::save_case`].
    pub async fn save_case_record(
        &self,
        person: PersonId,
        record: &CaseRecord,
        once: &str,
    ) -> Result<RecordId, Error> {
        person::case_file::read_bytes("the findings", record.text.as_bytes())?;
        self.append(person, record, once).await
    }

    /// What the clinic set for itself, or the defaults.
    ///
    /// # Errors
    /// The session has ended.
    pub async fn settings(&self) -> Result<Settings, Error> {
        let newest = self.newest::<Settings>(PersonId::CLINIC).await?;
        Ok(newest.map_or_else(Settings::before_any, |entry| entry.body))
    }

    /// Writes new settings.
    ///
    /// # Errors
    /// The role may not, or the disk is full.
    pub async fn save_settings(&self, settings: &Settings, once: &str) -> Result<(), Error> {
        self.append(PersonId::CLINIC, settings, once).await?;
        Ok(())
    }
}
