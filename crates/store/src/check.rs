//! Reading everything once: every record, the whole audit, and whether the two agree.

use std::collections::{BTreeMap, BTreeSet, HashMap};

use sqlx::sqlite::SqliteConnection;
use sqlx::{Connection, Row};

use crate::chain::{self, Chain};
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
    let mut walk = Walk::default();
    let pages = sqlx::query("PRAGMA quick_check(10)").fetch_all(&mut *conn).await?;
    for row in &pages {
        let said: String = row.try_get(0)?;
        if said != "ok" {
            walk.findings.push(format!("pages of the file: {said}"));
        }
    }
    let (length, head) = match chain::verify(conn, &keys.clinic, store).await? {
        Chain::Intact { length, head } => (length, head),
        Chain::Broken { at, how } => {
            walk.findings.push(format!("the audit is broken at entry {at}: {how:?}"));
            (at, String::new())
        }
    };
    let promised = chain::counts(conn, &keys.clinic).await?;
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
            let found = check_person(conn, keys, *person, &mut walk).await?;
            let should = promised.get(person).copied().unwrap_or(0);
            if found != should.unsigned_abs() {
                walk.findings
                    .push(format!("person {person} has {found} records where the audit says {should}"));
            }
            persons += u64::from(*person != PersonId::CLINIC);
            records += found;
        }
        if walk.findings.len() > MOST {
            break;
        }
        // A long walk lets others have the processor.
        tokio::task::yield_now().await;
    }
    if walk.findings.is_empty() {
        check_copies(conn, &mut walk).await?;
    }
    let Walk { mut findings, .. } = walk;
    if findings.is_empty() {
        return Ok(Check::Sound { persons, records, audit: length, head });
    }
    findings.truncate(MOST);
    Ok(Check::Unsound { findings })
}

/// What a walk through everything has found.
#[derive(Default)]
struct Walk {
    findings: Vec<String>,
    /// The newest record of each kind of each person, by its number.
    newest: BTreeMap<(String, PersonId), i64>,
}

/// Whether the copies for lists are the newest records, byte for byte.
async fn check_copies(conn: &mut SqliteConnection, walk: &mut Walk) -> Result<(), Error> {
    let mut is = BTreeMap::new();
    for row in sqlx::query("SELECT kind, person, seq FROM latest").fetch_all(&mut *conn).await? {
        let person = PersonId::from_bytes(row.try_get(1)?)?;
        is.insert((row.try_get::<String, _>(0)?, person), row.try_get::<i64, _>(2)?);
    }
    if is != walk.newest {
        walk.findings.push("the copies for lists are not of the newest records".to_owned());
    }
    let differ: i64 = sqlx::query(
        "SELECT count(*) FROM latest AS copy LEFT JOIN record AS own
           ON own.person = copy.person AND own.seq = copy.seq AND own.kind = copy.kind
         WHERE own.seq IS NULL OR own.id <> copy.id OR own.sealed <> copy.sealed
            OR own.shape <> copy.shape OR own.origin <> copy.origin OR own.at <> copy.at
            OR own.account <> copy.account OR own.role <> copy.role",
    )
    .fetch_one(conn)
    .await?
    .try_get(0)?;
    if differ > 0 {
        walk.findings.push(format!("{differ} copies for lists differ from their record"));
    }
    Ok(())
}

/// Opens every record of one person and counts them.
async fn check_person(
    conn: &mut SqliteConnection,
    keys: &CheckKeys,
    person: PersonId,
    walk: &mut Walk,
) -> Result<u64, Error> {
    let rows = sqlx::query("SELECT * FROM record WHERE person = ?1 ORDER BY seq")
        .bind(person.bytes())
        .fetch_all(&mut *conn)
        .await?;
    let key = if person == PersonId::CLINIC { Some(&keys.clinic) } else { keys.persons.get(&person) };
    let Some(key) = key else {
        if !rows.is_empty() {
            walk.findings.push(format!("person {person} has {} records and no key", rows.len()));
        }
        return Ok(rows.len() as u64);
    };
    // By kind and origin: the newest version of every entry, and whether it was taken back.
    let mut versions: BTreeMap<String, BTreeMap<i64, (i64, bool)>> = BTreeMap::new();
    for (number, row) in (1_i64..).zip(&rows) {
        match read::open_as_written(key, row) {
            Ok(record) if record.seq != number => {
                walk.findings.push(format!("person {person} has no record {number}"));
                break;
            }
            Ok(record) => {
                let newest = (record.seq, record.is_withdrawn());
                versions.entry(record.kind.to_string()).or_default().insert(record.origin, newest);
            }
            Err(error) => walk.findings.push(error.to_string()),
        }
    }
    for (kind, entries) in versions {
        if let Some((seq, _)) = entries.into_values().rfind(|(_, withdrawn)| !withdrawn) {
            walk.newest.insert((kind, person), seq);
        }
    }
    Ok(rows.len() as u64)
}
