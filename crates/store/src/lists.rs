//! Reading lists: the newest of a kind for everybody, or for a part of them.

use std::collections::HashMap;
use std::ops::RangeInclusive;

use sqlx::Row as _;
use sqlx::sqlite::{SqliteConnection, SqliteRow};

use crate::error::Error;
use crate::ids::PersonId;
use crate::read::{PERSON, open};
use crate::record::{Record, WITHDRAWN};
use crate::registry::Registry;
use crate::secret::Key;
use crate::session::Session;

/// Everybody there can be, and the clinic itself.
const EVERYBODY: RangeInclusive<PersonId> = PersonId::CLINIC..=PersonId::LAST;

/// The newest record of a kind of everybody in a range who has one; in the order of their ids.
async fn latest_rows(
    conn: &mut SqliteConnection,
    kind: &str,
    persons: &RangeInclusive<PersonId>,
) -> Result<Vec<SqliteRow>, Error> {
    let rows = sqlx::query(
        "SELECT person, seq, id, id, kind, shape, origin, at, account, role, sealed
         FROM latest WHERE kind = ?1 AND person BETWEEN ?2 AND ?3 ORDER BY person",
    )
    .bind(kind)
    .bind(persons.start().bytes())
    .bind(persons.end().bytes())
    .fetch_all(conn)
    .await?;
    Ok(rows)
}

impl Session {
    /// The newest entry of a kind of everybody who has one, for lists. One look at the list.
    ///
    /// From memory for a kind that is kept there, from the disk for others.
    ///
    /// # Errors
    /// As [`Session::read_kind`].
    pub async fn latest(&self, kind: &str) -> Result<Vec<Record>, Error> {
        self.inner.options.registry.kind(kind)?;
        self.look(PersonId::CLINIC, kind).await?;
        let kept = self.open_vault(|vault| {
            Ok(vault.kept.get(kind).map(|of_kind| of_kind.values().cloned().collect()))
        })?;
        let mut all: Vec<Record> = match kept {
            Some(all) => all,
            None => {
                let mut conn = self.inner.conns.readers.acquire().await?;
                let rows = latest_rows(&mut conn, kind, &EVERYBODY).await?;
                self.open_vault(|vault| open_all(&self.inner.options.registry, |p| vault.key(p), &rows))?
            }
        };
        all.sort_unstable_by_key(|record| record.person);
        Ok(all)
    }

    /// The last `most` entries of a kind of everybody who has one: by person, the one begun last first,
    /// each in its last version, without those that were taken back. One look at the list.
    ///
    /// # Errors
    /// As [`Session::latest`].
    pub async fn newest(&self, kind: &str, most: u32) -> Result<Vec<Record>, Error> {
        self.newest_among(kind, most, EVERYBODY).await
    }

    /// As [`Session::newest`], of those whose ids lie in a range: a part of the list, so that a long one
    /// is read part by part. One look at the list.
    ///
    /// # Errors
    /// As [`Session::latest`].
    pub async fn newest_among(
        &self,
        kind: &str,
        most: u32,
        persons: RangeInclusive<PersonId>,
    ) -> Result<Vec<Record>, Error> {
        self.inner.options.registry.kind(kind)?;
        self.look(PersonId::CLINIC, kind).await?;
        let mut conn = self.inner.conns.readers.acquire().await?;
        // The newest of each lie side by side; more of them are looked up person by person.
        let rows = if most == 1 {
            latest_rows(&mut conn, kind, &persons).await?
        } else {
            sqlx::query(
                "SELECT record.* FROM latest JOIN record ON record.person = latest.person
                 WHERE latest.kind = ?1 AND latest.person BETWEEN ?4 AND ?5 AND record.seq IN (
                   SELECT one.seq FROM record AS one
                   WHERE one.person = latest.person AND one.kind = ?1 AND one.shape <> ?2
                     AND one.seq = (SELECT max(version.seq) FROM record AS version
                       WHERE version.person = one.person AND version.kind = ?1 AND version.origin = one.origin)
                   ORDER BY one.origin DESC LIMIT ?3)
                 ORDER BY record.person, record.origin DESC",
            )
            .bind(kind)
            .bind(i64::from(WITHDRAWN))
            .bind(i64::from(most))
            .bind(persons.start().bytes())
            .bind(persons.end().bytes())
            .fetch_all(&mut *conn)
            .await?
        };
        self.open_vault(|vault| open_all(&self.inner.options.registry, |p| vault.key(p), &rows))
    }
}

/// Opens rows of several persons; rows of persons who have no key any more are left out.
pub(crate) fn open_all<'a>(
    registry: &Registry,
    key: impl Fn(PersonId) -> Option<&'a Key>,
    rows: &[SqliteRow],
) -> Result<Vec<Record>, Error> {
    let mut out = Vec::with_capacity(rows.len());
    for row in rows {
        if let Some(key) = key(PersonId::from_bytes(row.try_get(PERSON)?)?) {
            out.push(open(registry, key, row)?);
        }
    }
    Ok(out)
}

/// The newest record of every kept kind of everybody.
pub(crate) async fn kept(
    conn: &mut SqliteConnection,
    registry: &Registry,
    keys: &HashMap<PersonId, Key>,
    clinic: &Key,
) -> Result<HashMap<&'static str, HashMap<PersonId, Record>>, Error> {
    let mut all = HashMap::new();
    for kind in registry.kept() {
        let rows = latest_rows(conn, kind, &EVERYBODY).await?;
        let key = |person| if person == PersonId::CLINIC { Some(clinic) } else { keys.get(&person) };
        let records = open_all(registry, key, &rows)?;
        all.insert(kind, records.into_iter().map(|record| (record.person, record)).collect());
    }
    Ok(all)
}
