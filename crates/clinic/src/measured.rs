//! What was measured of a person: entries in the format of a measures file, read together.

use app::Measures;
use jiff::civil::Date;
use measurement::ProtocolMatch;
use store::{PersonId, RecordId};

use crate::{Desk, Entry, Error, MeasuresRecord};

/// Everything that was measured of one person, from all entries together.
#[derive(Clone, Debug)]
pub struct Measured {
    /// The entries.
    pub entries: Vec<Entry<MeasuresRecord>>,
    /// What they say together; none where there is no entry or no case.
    pub measures: Option<Measures>,
}

impl Desk {
    /// Saves measures: the text of a measures file, as a new entry, read first.
    ///
    /// # Errors
    /// No case yet, everything that is to be mended in the text, or those of [`Desk::append`].
    pub async fn save_measures(
        &self,
        person: PersonId,
        measures: &MeasuresRecord,
        once: &str,
    ) -> Result<RecordId, Error> {
        let standing = self.standing(person).await?;
        let case = standing.case.as_ref().ok_or(Error::NoCase)?;
        read_measures(measures, case, self.today().max(standing.day))?;
        self.append(person, measures, once).await
    }

    /// Everything that was measured, all entries together.
    ///
    /// # Errors
    /// As [`Desk::read`], or an entry that does not fit the case any more.
    pub async fn measured(&self, person: PersonId) -> Result<Measured, Error> {
        let entries = self.read::<MeasuresRecord>(person).await?;
        let standing = self.standing(person).await?;
        let Some(case) = standing.case.as_ref() else { return Ok(Measured { entries, measures: None }) };
        let mut together: Option<Measures> = None;
        for entry in &entries {
            let read = read_measures(&entry.body, case, self.today().max(standing.day))?;
            match &mut together {
                None => together = Some(read),
                Some(all) => {
                    // Measured again on one day, the later entry counts; the earlier one stays in the records.
                    all.entries.retain(|earlier| !read.entries.iter().any(|later| is_again(earlier, later)));
                    all.entries.extend(read.entries);
                    all.observed.extend(read.observed);
                    all.own.extend(read.own);
                }
            }
        }
        if let Some(all) = &mut together {
            all.entries.sort_by_key(|entry| entry.session.taken().date);
        }
        Ok(Measured { entries, measures: together })
    }

    /// The day on which something was measured last.
    ///
    /// # Errors
    /// As [`Desk::read`].
    pub(crate) async fn last_measured(&self, person: PersonId) -> Result<Option<Date>, Error> {
        let entries = self.read::<MeasuresRecord>(person).await?;
        Ok(entries.iter().flat_map(|entry| days(&entry.body.text)).max())
    }
}

/// Whether two results are of one thing in one way on one day.
fn is_again(earlier: &app::Entry, later: &app::Entry) -> bool {
    let (one, two) = (earlier.session.taken(), later.session.taken());
    let key = earlier.session.instrument();
    key == later.session.instrument()
        && (one.side, one.direction, one.date) == (two.side, two.direction, two.date)
        && (earlier.about, earlier.support) == (later.about, later.support)
        && one.protocol.matches(&two.protocol, key.instrument()) == ProtocolMatch::Same
}

/// The days that stand in a measures file, read without the rest of it.
pub(crate) fn days(text: &str) -> Vec<Date> {
    let lines = text.lines().filter_map(|line| line.trim().strip_prefix("date"));
    lines
        .filter_map(|rest| {
            let value = rest.trim_start().strip_prefix('=')?;
            value.trim().trim_matches('"').get(..10)?.parse().ok()
        })
        .collect()
}

fn read_measures(record: &MeasuresRecord, case: &person::CaseFile, today: Date) -> Result<Measures, Error> {
    let recording = |name: &str| -> Result<String, String> {
        let found = record.recordings.iter().find(|(known, _)| known == name);
        found.map(|(_, text)| text.clone()).ok_or_else(|| format!("there is no recording `{name}` with it"))
    };
    app::read_measures("the measures", &record.text, case, today, &recording).map_err(Error::Measures)
}
