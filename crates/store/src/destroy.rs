//! Destroying a person's records on purpose: the key goes, a tombstone stays.

use std::path::PathBuf;
use std::time::Duration;

use serde::{Deserialize, Serialize};
use sqlx::sqlite::SqliteConnection;
use sqlx::{Connection, Row};

use crate::audit::{self, Action, Detail, NewEntry};
use crate::error::Error;
use crate::ids::{AccountId, Moment, PersonId};
use crate::ring;
use crate::session::{Session, uncancelled};

/// Why records are destroyed, and until when they had to be kept.
#[derive(Clone, Debug)]
pub struct Destruction {
    /// Why, in words.
    pub reason: String,
    /// Until when the rule of the place keeps them. The rule is the caller's: it knows the last entry
    /// and the date of birth.
    pub retain_until: Moment,
    /// Why before that date, in words; only then may it be earlier.
    pub earlier_because: Option<String>,
}

/// What was done about the keys of a destroyed person.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Destroyed {
    /// Folders with backups in which the key is gone now too.
    pub renewed: Vec<PathBuf>,
    /// Folders that could not be reached, with the reason. Their backups still open this person with
    /// the ring of keys that lies there, until a backup is made there again or the folder is deleted.
    pub unreached: Vec<(PathBuf, String)>,
}

/// What stays of a destroyed person.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Tombstone {
    /// Who it was: the id, which means nothing to anybody else.
    pub person: PersonId,
    /// When the records were destroyed.
    pub at: Moment,
    /// By whom.
    pub account: AccountId,
    /// Why.
    pub reason: String,
    /// Until when the rule of the place kept them.
    pub retain_until: Moment,
    /// Why before that date, if it was before.
    pub earlier_because: Option<String>,
}

/// The sealed part of a tombstone.
#[derive(Serialize, Deserialize)]
struct Body {
    reason: String,
    retain_until: i64,
    earlier_because: Option<String>,
}

fn bound(person: &[u8], at: i64, account: &[u8]) -> Vec<u8> {
    [b"footrose tombstone 1".as_slice(), person, &at.to_be_bytes(), account].concat()
}

impl Session {
    /// Destroys everything about a person: the key, the records, and the key in every ring of keys
    /// beside backups that can be reached. It cannot be undone.
    ///
    /// # Errors
    /// The role is not clinician, no reason is given, the records are still to be kept and no reason
    /// for going earlier is given, or the person does not exist.
    pub async fn destroy(&self, person: PersonId, why: Destruction) -> Result<Destroyed, Error> {
        let me = self.clone();
        uncancelled(async move {
            me.destroy_now(person, &why).await?;
            let folders = me.backup_folders().await?;
            let (mut renewed, mut unreached) = (Vec::new(), Vec::new());
            for folder in folders {
                match ring::renew(&me.inner, &folder).await {
                    Ok(()) => renewed.push(folder),
                    Err(error) => unreached.push((folder, error.to_string())),
                }
            }
            Ok(Destroyed { renewed, unreached })
        })
        .await
    }

    async fn destroy_now(&self, person: PersonId, why: &Destruction) -> Result<(), Error> {
        let mut writer = self.inner.conns.writer.lock().await;
        let conn = writer.as_mut().ok_or(Error::Closed)?;
        let permit = self.permit()?;
        if permit.role != crate::Role::Clinician || person == PersonId::CLINIC {
            return Err(permit.refuse("destroy these records"));
        }
        if why.reason.trim().is_empty() {
            return Err(Error::NoReason { act: "destroying records" });
        }
        let now = self.inner.options.now();
        let early = now < why.retain_until;
        let earlier_because =
            why.earlier_because.as_deref().map(str::trim).filter(|words| early && !words.is_empty());
        if early && earlier_because.is_none() {
            return Err(Error::KeptLonger { until: why.retain_until.in_unix_ms(), now: now.in_unix_ms() });
        }
        let mut change = conn.begin().await?;
        self.person_key(&mut change, person).await?;
        let body = Body {
            reason: why.reason.trim().to_owned(),
            retain_until: why.retain_until.in_unix_ms(),
            earlier_because: earlier_because.map(str::to_owned),
        };
        let body = serde_json::to_vec(&body).map_err(|error| Error::damaged(error.to_string()))?;
        let at = now.in_unix_ms();
        let sealed = permit
            .clinic
            .derive("tombstone")
            .seal(&body, &bound(person.bytes(), at, permit.account.bytes()))?;
        sqlx::query("INSERT INTO tombstone (person, at, account, sealed) VALUES (?1, ?2, ?3, ?4)")
            .bind(person.bytes())
            .bind(at)
            .bind(permit.account.bytes())
            .bind(sealed)
            .execute(&mut *change)
            .await?;
        remove(&mut change, person).await?;
        let entry = NewEntry {
            at: now,
            account: permit.account,
            action: Action::Destroyed,
            person,
            detail: &Detail::words(if early { "before the end of the time they are kept" } else { "" }),
        };
        audit::add(&mut change, Some(&permit.clinic), entry).await?;
        change.commit().await?;
        self.change_vault(|vault| {
            vault.keys.remove(&person);
            for of_kind in vault.kept.values_mut() {
                of_kind.remove(&person);
            }
            for seat in vault.seats.values_mut() {
                seat.looks.retain(|(whom, _), _| *whom != person);
            }
        });
        empty_log(conn).await
    }

    /// What stays of everybody who was destroyed, oldest first.
    ///
    /// # Errors
    /// The session has ended, or a tombstone is damaged.
    pub async fn tombstones(&self) -> Result<Vec<Tombstone>, Error> {
        let key = self.permit()?.clinic.derive("tombstone");
        let mut conn = self.inner.conns.readers.acquire().await?;
        let rows = sqlx::query("SELECT person, at, account, sealed FROM tombstone ORDER BY at")
            .fetch_all(&mut *conn)
            .await?;
        rows.iter()
            .map(|row| {
                let (person, at): (&[u8], i64) = (row.try_get(0)?, row.try_get(1)?);
                let account: &[u8] = row.try_get(2)?;
                let body: Option<Body> = key
                    .open(row.try_get(3)?, &bound(person, at, account))
                    .and_then(|plain| serde_json::from_slice(&plain).ok());
                let body = body.ok_or_else(|| Error::damaged("a tombstone is not what was written"))?;
                Ok(Tombstone {
                    person: PersonId::from_bytes(person)?,
                    at: Moment::unix_ms(at),
                    account: AccountId::from_bytes(account)?,
                    reason: body.reason,
                    retain_until: Moment::unix_ms(body.retain_until),
                    earlier_because: body.earlier_because,
                })
            })
            .collect()
    }
}

/// Removes a person's key and records. The freed places are overwritten with zeros by the database.
pub(crate) async fn remove(conn: &mut SqliteConnection, person: PersonId) -> Result<(), Error> {
    for statement in [
        "UPDATE person SET wrapped = zeroblob(length(wrapped)) WHERE person = ?1",
        "DELETE FROM person WHERE person = ?1",
        "UPDATE record SET sealed = zeroblob(length(sealed)) WHERE person = ?1",
        "DELETE FROM record WHERE person = ?1",
        "UPDATE latest SET sealed = zeroblob(length(sealed)) WHERE person = ?1",
        "DELETE FROM latest WHERE person = ?1",
        "DELETE FROM awaiting WHERE person = ?1",
    ] {
        sqlx::query(statement).bind(person.bytes()).execute(&mut *conn).await?;
    }
    Ok(())
}

/// Times the log is tried to be emptied while others still read from it.
const TRIES: u32 = 50;

/// Carries the log into the file and empties it, so that nothing older is left in either.
pub(crate) async fn empty_log(conn: &mut SqliteConnection) -> Result<(), Error> {
    for _ in 0..TRIES {
        let row = sqlx::query("PRAGMA wal_checkpoint(TRUNCATE)").fetch_one(&mut *conn).await?;
        if row.try_get::<i64, _>(0)? == 0 {
            return Ok(());
        }
        tokio::time::sleep(Duration::from_millis(100)).await;
    }
    Err(Error::Failed { why: "somebody reads without end, so the log could not be emptied".to_owned() })
}
