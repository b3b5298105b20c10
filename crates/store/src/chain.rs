//! Walking the whole audit: whether it is what was written, and what it says about records.

use std::collections::HashMap;

use sqlx::Row;
use sqlx::sqlite::{SqliteConnection, SqliteRow};

use crate::audit::{Detail, bound, bound_head, entry, hash_entry, hex, start};
use crate::error::Error;
use crate::ids::PersonId;
use crate::secret::Key;

/// Whether the chain is what was written.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Chain {
    /// Every entry follows from the one before, and the last end was sealed by this store.
    Intact {
        /// How many entries.
        length: u64,
        /// The end of the chain, in hexadecimal digits. Print it, keep it elsewhere: a file that was
        /// replaced as a whole by an older one is intact in itself, and only a kept end shows it.
        head: String,
    },
    /// Something was changed outside the program.
    Broken {
        /// The first entry that does not fit.
        at: u64,
        /// In what way.
        how: Break,
    },
}

/// In what way a chain is broken.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Break {
    /// An entry is missing: the numbers leap.
    Missing,
    /// An entry is not what was written: its hash differs.
    Changed,
    /// An entry does not open under the key of the clinic.
    NotOurs,
    /// Entries at the end are missing: a later end was sealed.
    Shortened,
    /// Entries were added without a key.
    Added,
    /// The sealed end itself was changed.
    HeadChanged,
}

/// How many records each person has according to the last entry that says so.
pub(crate) async fn counts(conn: &mut SqliteConnection, key: &Key) -> Result<HashMap<PersonId, i64>, Error> {
    let key = key.derive("audit");
    let mut counts = HashMap::new();
    let mut number = 0;
    loop {
        let rows = sqlx::query("SELECT * FROM audit WHERE seq > ?1 ORDER BY seq LIMIT ?2")
            .bind(number)
            .bind(STRIDE)
            .fetch_all(&mut *conn)
            .await?;
        let Some(last) = rows.last() else { return Ok(counts) };
        number = last.try_get("seq")?;
        for row in &rows {
            if let Some((person, up_to)) = up_to(&key, row)? {
                counts.insert(person, up_to);
            }
        }
    }
}

/// Whom an entry is about and how many records that person has after it, if it says so.
fn up_to(key: &Key, row: &SqliteRow) -> Result<Option<(PersonId, i64)>, Error> {
    let (person, sealed): (&[u8], &[u8]) = (row.try_get("person")?, row.try_get("sealed")?);
    let bound = bound(
        row.try_get("seq")?,
        row.try_get("at")?,
        row.try_get("account")?,
        row.try_get("action")?,
        person,
    );
    let detail: Option<Detail> =
        key.open(sealed, &bound).and_then(|plain| serde_json::from_slice(&plain).ok());
    match detail.and_then(|detail| detail.up_to) {
        Some(up_to) => Ok(Some((PersonId::from_bytes(person)?, up_to))),
        None => Ok(None),
    }
}

/// Rows read at once when the whole chain is walked.
const STRIDE: i64 = 5_000;

/// Walks the whole chain.
pub(crate) async fn verify(conn: &mut SqliteConnection, key: &Key, store: &[u8]) -> Result<Chain, Error> {
    let key = key.derive("audit");
    let head_row = sqlx::query("SELECT length, hash, sealed_length, sealed FROM audit_head WHERE one = 1")
        .fetch_one(&mut *conn)
        .await?;
    let length: i64 = head_row.try_get(0)?;
    let head: Vec<u8> = head_row.try_get(1)?;
    let sealed_length: i64 = head_row.try_get(2)?;
    let seal: Vec<u8> = head_row.try_get(3)?;
    let broken = |at: i64, how| Ok(Chain::Broken { at: at.unsigned_abs(), how });
    let mut before = start(store);
    let mut number = 0;
    loop {
        let rows = sqlx::query("SELECT * FROM audit WHERE seq > ?1 ORDER BY seq LIMIT ?2")
            .bind(number)
            .bind(STRIDE)
            .fetch_all(&mut *conn)
            .await?;
        for row in &rows {
            let seq: i64 = row.try_get("seq")?;
            let word: &str = row.try_get("action")?;
            let sealed: &[u8] = row.try_get("sealed")?;
            number += 1;
            if seq != number {
                return broken(number, Break::Missing);
            }
            let parts = (row.try_get("at")?, row.try_get("account")?, word, row.try_get("person")?);
            let hash = hash_entry(&before, number, parts, sealed);
            let stored: &[u8] = row.try_get("hash")?;
            if hash != stored {
                return broken(number, Break::Changed);
            }
            if number > sealed_length && !sealed.is_empty() {
                return broken(number, Break::Added);
            }
            if entry(&key, row)?.is_none() {
                return broken(number, Break::NotOurs);
            }
            if number == sealed_length && key.open(&seal, &bound_head(number, &hash)).is_none() {
                return broken(number, Break::HeadChanged);
            }
            before = hash;
        }
        if rows.is_empty() {
            break;
        }
    }
    if number < length.max(sealed_length) {
        return broken(number + 1, Break::Shortened);
    }
    if number > length {
        return broken(length + 1, Break::Added);
    }
    if before != head {
        return broken(number, Break::HeadChanged);
    }
    Ok(Chain::Intact { length: number.unsigned_abs(), head: hex(&before) })
}
