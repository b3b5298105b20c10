//! Who is in the records: names, numbers, and whether the records are closed.

use jiff::civil::Date;
use serde::{Deserialize, Serialize};
use store::{PersonId, RecordId};

use crate::{CaseRecord, Desk, Error, MeasuresRecord, PracticeRecord, ProgrammeRecord, Shape};

/// Who somebody is, as far as the records need it. Initials and a number are enough.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct PersonRecord {
    /// Name or initials.
    pub name: String,
    /// Day of birth, where it was given.
    #[serde(default)]
    pub born: Option<Date>,
    /// The clinic's own number.
    #[serde(default)]
    pub number: String,
    /// Open or closed.
    pub state: PersonState,
}

/// Whether work goes on.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum PersonState {
    /// Work goes on.
    Open,
    /// Discharged; the records are kept until a day.
    Closed {
        /// First day on which they may be destroyed.
        retain_until: Date,
    },
}

/// Somebody who is taken over from other records, with what is known already.
#[derive(Clone, Debug)]
pub struct Newcomer {
    /// Who.
    pub person: PersonRecord,
    /// What was found, as the text of a case file.
    pub case: Option<String>,
    /// What was measured.
    pub measures: Option<MeasuresRecord>,
    /// The programme that was accepted last.
    pub programme: Option<ProgrammeRecord>,
    /// Logs, oldest first.
    pub logs: Vec<PracticeRecord>,
    /// The same `once` brings somebody in once.
    pub once: String,
}

/// One line of the list of people.
#[derive(Clone, Debug, PartialEq)]
pub struct PersonLine {
    /// The person.
    pub id: PersonId,
    /// The record it was read from, to correct it.
    pub record: RecordId,
    /// Who.
    pub person: PersonRecord,
}

impl PersonRecord {
    /// From what was typed.
    ///
    /// # Errors
    /// No name, or no such day of birth.
    pub fn from_typed(name: &str, born: &str, number: &str, today: Date) -> Result<Self, Error> {
        let name = name.trim();
        if name.is_empty() {
            return Err(Error::Given {
                what: "the name",
                given: String::new(),
                accepted: "a name, or initials".to_owned(),
                to_do: "type at least one letter",
            });
        }
        let born = match born.trim() {
            "" => None,
            text => match text.parse::<Date>() {
                Ok(day) if day <= today => Some(day),
                _ => {
                    return Err(Error::Given {
                        what: "the day of birth",
                        given: text.to_owned(),
                        accepted: "a day such as 1958-03-21, not after today, or nothing".to_owned(),
                        to_do: "type year, month and day, or leave it empty",
                    });
                }
            },
        };
        Ok(Self { name: name.to_owned(), born, number: number.trim().to_owned(), state: PersonState::Open })
    }

    /// What it is found by, in small letters: name, number and birth.
    pub(crate) fn words_to_find(&self) -> String {
        let mut words = format!("{} {}", self.name, self.number).to_lowercase();
        if let Some(born) = self.born {
            words.push_str(&format!(" {born}"));
        }
        words
    }
}

impl Desk {
    /// Everybody, by name.
    ///
    /// # Errors
    /// The session has ended, or a record is damaged.
    pub async fn people(&self) -> Result<Vec<PersonLine>, Error> {
        Ok(self.find_people("", usize::MAX).await?.0)
    }

    /// Those whose name, number or birth has every word of `asked`, by name: `most` of them, and how many
    /// there are.
    ///
    /// # Errors
    /// As [`Desk::people`].
    pub async fn find_people(&self, asked: &str, most: usize) -> Result<(Vec<PersonLine>, usize), Error> {
        self.session().look_at(PersonId::CLINIC, &[PersonRecord::KIND]).await?;
        self.catch_up().await?;
        Ok(self.clinic().register(|all| all.find(asked, most)).unwrap_or_default())
    }

    /// One person.
    ///
    /// # Errors
    /// There is no such person.
    pub async fn person(&self, id: PersonId) -> Result<PersonLine, Error> {
        let record = self
            .session()
            .latest_of(id, PersonRecord::KIND)
            .await?
            .ok_or(store::Error::NoPerson { person: id })?;
        Ok(PersonLine { id, record: record.id(), person: crate::entries::read_body(record.body())? })
    }

    /// Takes people over from other records, all of them or none of their entries.
    ///
    /// # Errors
    /// A case with something to mend, the role may not, or the disk is full.
    pub async fn bring_in(&self, people: &[Newcomer]) -> Result<Vec<PersonId>, Error> {
        for text in people.iter().filter_map(|one| one.case.as_deref()) {
            person::case_file::read("the findings", text)?;
        }
        let once: Vec<String> = people.iter().map(|one| one.once.clone()).collect();
        let ids = self.session().create_persons(&once).await?;
        let mut records = Vec::new();
        for (id, one) in ids.iter().zip(people) {
            records.push(self.new_record(*id, &one.person, &one.once)?);
            if let Some(text) = &one.case {
                records.push(self.new_record(
                    *id,
                    &CaseRecord { text: text.clone(), ..CaseRecord::default() },
                    &one.once,
                )?);
            }
            if let Some(measures) = &one.measures {
                records.push(self.new_record(*id, measures, &one.once)?);
            }
            if let Some(programme) = &one.programme {
                records.push(self.new_record(*id, programme, &one.once)?);
            }
            for (place, log) in one.logs.iter().enumerate() {
                records.push(self.new_record(*id, log, &format!("{}-{place}", one.once))?);
            }
        }
        self.session().append_many(records).await?;
        for id in &ids {
            self.clinic().got_an_entry(*id);
        }
        Ok(ids)
    }

    /// Adds a person; the same `once` adds them once.
    ///
    /// # Errors
    /// The role may not, or the disk is full.
    pub async fn add_person(&self, person: &PersonRecord, once: &str) -> Result<PersonId, Error> {
        let id = self.session().create_person(once).await?;
        self.append(id, person, once).await?;
        Ok(id)
    }
}
