//! How long records are kept, closing them, destroying them, and taking everything out for the person.

use jiff::ToSpan;
use jiff::civil::Date;
use jiff::tz::TimeZone;
use store::{Destroyed, Destruction, Moment, PersonId, Record};

use crate::{Desk, Error, PersonLine, PersonRecord, PersonState, defaults};

/// The first day on which records may be destroyed: so many years after the last contact, and for
/// somebody who was a child then, so many years after growing up.
#[must_use]
pub fn retain_until(last_contact: Date, born: Option<Date>) -> Date {
    let keep = &defaults().keep;
    let years = keep.years_after_last_contact;
    let grown = born.map(|born| born.saturating_add(keep.adult_at.years()));
    let from = grown.map_or(last_contact, |grown| grown.max(last_contact));
    from.saturating_add(years.years())
}

fn moment_of(day: Date) -> Moment {
    let here = day.to_zoned_datetime(TimeZone::system());
    Moment::unix_ms(here.map_or(i64::MAX, |at| at.timestamp().as_millisecond()))
}

/// The day of a moment, by the clock of this machine.
#[must_use]
pub fn day_of_moment(at: Moment) -> Option<Date> {
    let stamp = jiff::Timestamp::from_millisecond(at.in_unix_ms()).ok()?;
    Some(stamp.to_zoned_datetime(TimeZone::system()).date())
}

/// One file of what is taken out for a person.
pub struct Taken {
    /// Its name.
    pub name: String,
    /// What is in it.
    pub bytes: Vec<u8>,
}

impl Desk {
    /// Closes the records: work has ended, and the years of keeping begin.
    ///
    /// # Errors
    /// The role may not, or somebody changed the person meanwhile.
    pub async fn close_person(&self, line: &PersonLine, reason: &str, once: &str) -> Result<(), Error> {
        let person = PersonRecord {
            state: PersonState::Closed { retain_until: retain_until(self.today(), line.person.born) },
            ..line.person.clone()
        };
        self.correct(line.id, line.record, &person, reason, once).await?;
        Ok(())
    }

    /// Opens closed records again.
    ///
    /// # Errors
    /// As [`Desk::close_person`].
    pub async fn reopen_person(&self, line: &PersonLine, reason: &str, once: &str) -> Result<(), Error> {
        let person = PersonRecord { state: PersonState::Open, ..line.person.clone() };
        self.correct(line.id, line.record, &person, reason, once).await?;
        Ok(())
    }

    /// Destroys everything about a person; a tombstone stays. It cannot be undone.
    ///
    /// # Errors
    /// No reason, the records are still to be kept and no reason for going earlier is given, or the
    /// role may not.
    pub async fn destroy_person(
        &self,
        line: &PersonLine,
        reason: &str,
        earlier_because: &str,
    ) -> Result<Destroyed, Error> {
        let until = match line.person.state {
            PersonState::Closed { retain_until } => retain_until,
            PersonState::Open => retain_until(self.today(), line.person.born),
        };
        let earlier = earlier_because.trim();
        let why = Destruction {
            reason: reason.trim().to_owned(),
            retain_until: moment_of(until),
            earlier_because: (!earlier.is_empty()).then(|| earlier.to_owned()),
        };
        let destroyed = self.session().destroy(line.id, why).await?;
        self.clinic().got_an_entry(line.id);
        Ok(destroyed)
    }

    /// Everything about a person in open formats: every version of every entry as JSON, a table of them
    /// as CSV, the newest case and measures in their own formats, and a page that says what is what.
    ///
    /// # Errors
    /// There is no such person, or the disk is full.
    pub async fn take_out(&self, person: PersonId) -> Result<Vec<Taken>, Error> {
        let export = self.session().export(person, "everything about the person").await?;
        let name_of = |record: &Record| {
            let author = export.authors.iter().find(|account| account.id == record.author());
            author.map_or("unknown", |account| account.name.as_str())
        };
        let mut table = String::from("number,entry,kind,written_at_utc,author,role,reason,withdrawn\n");
        let mut all = Vec::new();
        let mut out = Vec::new();
        for record in &export.records {
            let at = jiff::Timestamp::from_millisecond(record.at().in_unix_ms()).unwrap_or_default();
            let cells = [
                record.number().to_string(),
                record.origin().to_string(),
                record.kind().to_owned(),
                at.to_string(),
                name_of(record).to_owned(),
                record.role().to_string(),
                record.reason().to_owned(),
                record.is_withdrawn().to_string(),
            ];
            let quoted = cells.map(|cell| format!("\"{}\"", cell.replace('"', "\"\"")));
            table.push_str(&format!("{}\n", quoted.join(",")));
            let body: serde_json::Value = serde_json::from_slice(record.body()).unwrap_or_default();
            for (kind, ending) in [("case", "toml"), ("measures", "toml")] {
                if record.kind() == kind
                    && let Some(text) = body.get("text").and_then(|text| text.as_str())
                {
                    let name = format!("{kind}-{:04}.{ending}", record.number());
                    out.push(Taken { name, bytes: text.as_bytes().to_vec() });
                }
            }
            all.push(serde_json::json!({
                "number": record.number(),
                "entry": record.origin(),
                "kind": record.kind(),
                "shape": record.shape(),
                "written_at": at.to_string(),
                "author": name_of(record),
                "role": record.role().to_string(),
                "reason": record.reason(),
                "withdrawn": record.is_withdrawn(),
                "says": body,
            }));
        }
        let json = serde_json::json!({ "format": "footrose-export", "version": 1, "entries": all });
        let pretty = serde_json::to_vec_pretty(&json).map_err(|error| Error::Broken(error.to_string()))?;
        out.push(Taken { name: "entries.json".to_owned(), bytes: pretty });
        out.push(Taken { name: "entries.csv".to_owned(), bytes: table.into_bytes() });
        out.push(Taken { name: "README.txt".to_owned(), bytes: README.as_bytes().to_vec() });
        Ok(out)
    }
}

const README: &str = "\
Everything that stands in the records about one person.

entries.json     every version of every entry, with who wrote it and when
entries.csv      the list of them, for a spreadsheet
case-NNNN.toml   what was found, one file for each saved version
measures-NNNN.toml  what was measured

The numbers are the same in all of them. An entry that was corrected stands there in all its versions;
`entry` is the number of the first. Times are universal time.
";
