//! Reading everything once: every record, the whole audit, and whether the two agree.

use std::collections::{BTreeSet, HashMap};

use sqlx::sqlite::SqliteConnection;
use sqlx::{Connection, Row};

use crate::audit::{self, Chain};
use crate::error::Error;
use crate::ids::PersonId;
use crate::read;
use crate::secret::Key;
use crate::session::Session;

/// What reading everything once showed.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Check {
    /// Every record opens where it was written, none is missing, and the audit is intact.
    Sound {
        /// Persons who have records.
        persons: u64,
        /// Records in all their versions.
        records: u64,
        /// Entries of the audit.
        audit: u64,
        /// The end of the audit, in hexadecimal digits.
        head: String,
    },
    /// Something is not what was written.
    Unsound {
        /// What, in words: at most a hundred findings.
        findings: Vec<String>,
    },
}

/// Findings that are told at most.
const MOST: usize = 100;

/// Persons whose records are read at once.
const STRIDE: usize = 50;

/// The keys a check reads with.
pub(crate) struct CheckKeys {
    pub(crate) clinic: Key,
    pub(crate) persons: HashMap<PersonId, Key>,
}

impl Session {
    /// Reads everything once, as it stands at one moment; others go on working meanwhile.
    ///
    /// # Errors
    /// The role does not manage, or the file could not be read. Damage is an answer, not an error.
    pub async fn check(&self) -> Result<Check, Error> {
        let permit = self.permit()?;
        if !permit.role.manages() {
            return Err(permit.refuse("check the whole file"));
        }
        let mut conn = self.inner.conns.readers.acquire().await?;
        let mut steady = conn.begin().await?;
        // One row is read before the keys are copied: from here on both are of the same moment.
        sqlx::query("SELECT one FROM header").fetch_one(&mut *steady).await?;
        let keys = self.check_keys()?;
        check(&mut steady, &keys, &self.inner.id).await
    }

    /// Copies of every key, for a check that outlasts a look into the vault.
    pub(crate) fn check_keys(&self) -> Result<CheckKeys, Error> {
        self.open_vault(|vault| Ok(CheckKeys { clinic: vault.clinic.clone(), persons: vault.keys.clone() }))
    }
}

/// Reads everything once in a file of records or in a backup of it.
pub(crate) async fn check(
    conn: &mut SqliteConnection,
    keys: &CheckKeys,
    store: &[u8],
) -> Result<Check, Error> {
    let mut findings = Vec::new();
    let pages = sqlx::query("PRAGMA quick_check(10)").fetch_all(&mut *conn).await?;
    for row in &pages {
        let said: String = row.try_get(0)?;
        if said != "ok" {
            findings.push(format!("pages of the file: {said}"));
        }
    }
    let (length, head) = match audit::verify(conn, &keys.clinic, store).await? {
        Chain::Intact { length, head } => (length, head),
        Chain::Broken { at, how } => {
            findings.push(format!("the audit is broken at entry {at}: {how:?}"));
            (at, String::new())
        }
    };
    let promised = audit::counts(conn, &keys.clinic).await?;
    let mut buried = BTreeSet::new();
    for row in sqlx::query("SELECT person FROM tombstone").fetch_all(&mut *conn).await? {
        buried.insert(PersonId::from_bytes(row.try_get(0)?)?);
    }
    let mut everybody: BTreeSet<PersonId> = promised.keys().copied().collect();
    for row in sqlx::query("SELECT DISTINCT person FROM record").fetch_all(&mut *conn).await? {
        everybody.insert(PersonId::from_bytes(row.try_get(0)?)?);
    }
    let living: Vec<PersonId> = everybody.into_iter().filter(|person| !buried.contains(person)).collect();
    let (mut persons, mut records) = (0_u64, 0_u64);
    for some in living.chunks(STRIDE) {
        for person in some {
            let found = check_person(conn, keys, *person, &mut findings).await?;
            let should = promised.get(person).copied().unwrap_or(0);
            if found != should.unsigned_abs() {
                findings.push(format!("person {person} has {found} records where the audit says {should}"));
            }
            persons += u64::from(*person != PersonId::CLINIC);
            records += found;
        }
        if findings.len() > MOST {
            break;
        }
        // A long walk lets others have the processor.
        tokio::task::yield_now().await;
    }
    if findings.is_empty() {
        return Ok(Check::Sound { persons, records, audit: length, head });
    }
    findings.truncate(MOST);
    Ok(Check::Unsound { findings })
}

/// Opens every record of one person and counts them.
async fn check_person(
    conn: &mut SqliteConnection,
    keys: &CheckKeys,
    person: PersonId,
    findings: &mut Vec<String>,
) -> Result<u64, Error> {
    let rows = sqlx::query("SELECT * FROM record WHERE person = ?1 ORDER BY seq")
        .bind(person.bytes())
        .fetch_all(conn)
        .await?;
    let key = if person == PersonId::CLINIC { Some(&keys.clinic) } else { keys.persons.get(&person) };
    let Some(key) = key else {
        if !rows.is_empty() {
            findings.push(format!("person {person} has {} records and no key", rows.len()));
        }
        return Ok(rows.len() as u64);
    };
    for (number, row) in (1_i64..).zip(&rows) {
        match read::open_as_written(key, row) {
            Ok(record) if record.seq != number => {
                findings.push(format!("person {person} has no record {number}"));
                break;
            }
            Ok(_) => {}
            Err(error) => findings.push(error.to_string()),
        }
    }
    Ok(rows.len() as u64)
}
