//! Reading records: of one person, the history of one entry.

use std::collections::BTreeMap;
use std::sync::Arc;

use sqlx::Row as _;
use sqlx::sqlite::{SqliteConnection, SqliteRow};
use zeroize::Zeroizing;

use crate::audit::{self, AuditEntry};
use crate::chain::{self, Chain};
use crate::error::Error;
use crate::ids::{AccountId, Moment, PersonId, RecordId};
use crate::lists::open_all;
use crate::record::{Record, Row, WITHDRAWN, unpack};
use crate::registry::{COUNTERSIGNATURE, Registry, Role};
use crate::secret::Key;
use crate::session::Session;

/// Where a row of the table of records names the person.
pub(crate) const PERSON: usize = 0;

/// Opens one row with all columns of the table of records, in the shape it was written in.
pub(crate) fn open_as_written(key: &Key, row: &SqliteRow) -> Result<Record, Error> {
    // In the order of the columns of the table, without `once`.
    let stored = Row {
        person: row.try_get(PERSON)?,
        seq: row.try_get(1)?,
        id: row.try_get(2)?,
        kind: row.try_get(4)?,
        shape: row.try_get(5)?,
        origin: row.try_get(6)?,
        at: row.try_get(7)?,
        account: row.try_get(8)?,
        role: row.try_get(9)?,
    };
    let id = RecordId::from_bytes(stored.id)?;
    let sealed: &[u8] = row.try_get(10)?;
    let plain = key.open(sealed, &stored.bound()).ok_or_else(|| {
        Error::damaged(format!("record {id} is not what was written, or not where it was written"))
    })?;
    let (reason, body) =
        unpack(&plain).ok_or_else(|| Error::damaged(format!("record {id} has no whole body")))?;
    let shape = u32::try_from(stored.shape)
        .map_err(|_| Error::damaged(format!("record {id} has shape {}", stored.shape)))?;
    Ok(Record {
        id,
        person: PersonId::from_bytes(stored.person)?,
        seq: stored.seq,
        kind: stored.kind.into(),
        shape,
        written_as: shape,
        origin: stored.origin,
        at: Moment::unix_ms(stored.at),
        account: AccountId::from_bytes(stored.account)?,
        role: Role::from_word(stored.role)?,
        reason,
        body: Arc::new(body),
    })
}

/// Opens one row and brings it to the newest shape of its kind.
pub(crate) fn open(registry: &Registry, key: &Key, row: &SqliteRow) -> Result<Record, Error> {
    raise(registry, open_as_written(key, row)?)
}

/// Brings a record to the newest shape of its kind.
fn raise(registry: &Registry, mut record: Record) -> Result<Record, Error> {
    let kind = registry.kind(&record.kind)?;
    let newest = kind.newest();
    if record.shape == WITHDRAWN {
        record.shape = newest;
        return Ok(record);
    }
    if record.shape > newest {
        return Err(Error::NewerShape {
            record: record.id,
            kind: record.kind.to_string(),
            shape: record.shape,
            newest,
        });
    }
    for upcast in &kind.upcasts[record.shape as usize - 1..] {
        let raised = upcast(&record.body).map_err(|why| Error::Upcast {
            record: record.id,
            kind: record.kind.to_string(),
            shape: record.shape,
            why,
        })?;
        record.body = Arc::new(Zeroizing::new(raised));
        record.shape += 1;
    }
    Ok(record)
}

async fn latest_row(
    conn: &mut SqliteConnection,
    person: PersonId,
    kind: &str,
) -> Result<Option<SqliteRow>, Error> {
    let row = sqlx::query(
        "SELECT person, seq, id, id, kind, shape, origin, at, account, role, sealed
         FROM latest WHERE kind = ?1 AND person = ?2",
    )
    .bind(kind)
    .bind(person.bytes())
    .fetch_optional(conn)
    .await?;
    Ok(row)
}

impl Session {
    /// Every version of every record of a person, in the order of writing. One look at the person.
    ///
    /// # Errors
    /// The person does not exist or was destroyed, or a record is damaged.
    pub async fn all(&self, person: PersonId) -> Result<Vec<Record>, Error> {
        self.look(person, "all").await?;
        self.all_unseen(person).await
    }

    /// As [`Session::all`], where the audit says otherwise what was done.
    pub(crate) async fn all_unseen(&self, person: PersonId) -> Result<Vec<Record>, Error> {
        let mut conn = self.inner.conns.readers.acquire().await?;
        let key = self.person_key(&mut conn, person).await?;
        let rows = sqlx::query("SELECT * FROM record WHERE person = ?1 ORDER BY seq")
            .bind(person.bytes())
            .fetch_all(&mut *conn)
            .await?;
        rows.iter().map(|row| open(&self.inner.options.registry, &key, row)).collect()
    }

    /// What stands about a person now: the newest version of every entry that was not taken back, in
    /// the order the entries were begun. One look at the person.
    ///
    /// # Errors
    /// As [`Session::all`].
    pub async fn read(&self, person: PersonId) -> Result<Vec<Record>, Error> {
        Ok(standing(self.all(person).await?))
    }

    /// As [`Session::read`], of one kind only.
    ///
    /// # Errors
    /// As [`Session::all`], or nobody registered the kind.
    pub async fn read_kind(&self, person: PersonId, kind: &str) -> Result<Vec<Record>, Error> {
        self.inner.options.registry.kind(kind)?;
        self.look(person, kind).await?;
        let mut conn = self.inner.conns.readers.acquire().await?;
        let key = self.person_key(&mut conn, person).await?;
        let rows = sqlx::query("SELECT * FROM record WHERE person = ?1 AND kind = ?2 ORDER BY origin, seq")
            .bind(person.bytes())
            .bind(kind)
            .fetch_all(&mut *conn)
            .await?;
        let all: Result<Vec<Record>, Error> =
            rows.iter().map(|row| open(&self.inner.options.registry, &key, row)).collect();
        Ok(standing(all?))
    }

    /// The newest entry of a kind of one person: the last one begun, in its last version.
    ///
    /// # Errors
    /// As [`Session::read_kind`].
    pub async fn latest_of(&self, person: PersonId, kind: &str) -> Result<Option<Record>, Error> {
        self.inner.options.registry.kind(kind)?;
        self.look(person, kind).await?;
        let kept =
            self.open_vault(|vault| Ok(vault.kept.get(kind).map(|of_kind| of_kind.get(&person).cloned())))?;
        if let Some(record) = kept {
            return Ok(record);
        }
        let mut conn = self.inner.conns.readers.acquire().await?;
        let key = self.person_key(&mut conn, person).await?;
        let row = latest_row(&mut conn, person, kind).await?;
        row.map(|row| open(&self.inner.options.registry, &key, &row)).transpose()
    }

    /// One version of an entry. One look at the person.
    ///
    /// # Errors
    /// There is no such record, or it is damaged.
    pub async fn record(&self, record: RecordId) -> Result<Record, Error> {
        let mut conn = self.inner.conns.readers.acquire().await?;
        let found = self.stored(&mut conn, record).await?;
        drop(conn);
        self.look(found.person, &found.kind).await?;
        Ok(found)
    }

    /// Every version of the entry a record belongs to, oldest first. One look at the person.
    ///
    /// # Errors
    /// As [`Session::record`].
    pub async fn history(&self, record: RecordId) -> Result<Vec<Record>, Error> {
        let found = self.record(record).await?;
        let mut conn = self.inner.conns.readers.acquire().await?;
        let key = self.person_key(&mut conn, found.person).await?;
        let rows =
            sqlx::query("SELECT * FROM record WHERE person = ?1 AND kind = ?2 AND origin = ?3 ORDER BY seq")
                .bind(found.person.bytes())
                .bind(&*found.kind)
                .bind(found.origin)
                .fetch_all(&mut *conn)
                .await?;
        rows.iter().map(|row| open(&self.inner.options.registry, &key, row)).collect()
    }

    /// Records of students that no clinician has countersigned or rewritten yet, oldest first.
    ///
    /// # Errors
    /// As [`Session::latest`].
    pub async fn awaiting_countersignature(&self) -> Result<Vec<Record>, Error> {
        self.look(PersonId::CLINIC, COUNTERSIGNATURE).await?;
        let mut conn = self.inner.conns.readers.acquire().await?;
        let rows = sqlx::query(
            "SELECT record.* FROM awaiting JOIN record
               ON record.person = awaiting.person AND record.seq = awaiting.seq
             ORDER BY record.at, record.person, record.seq",
        )
        .fetch_all(&mut *conn)
        .await?;
        self.open_vault(|vault| open_all(&self.inner.options.registry, |p| vault.key(p), &rows))
    }

    /// Audit entries from a number on, oldest first, of one person or of all.
    ///
    /// # Errors
    /// The role is neither clinician nor recovery, or an entry does not open.
    pub async fn audit(
        &self,
        person: Option<PersonId>,
        from: u64,
        most: u32,
    ) -> Result<Vec<AuditEntry>, Error> {
        let permit = self.permit()?;
        if !permit.role.manages() {
            return Err(permit.refuse("read the audit"));
        }
        let mut conn = self.inner.conns.readers.acquire().await?;
        audit::entries(&mut conn, &permit.clinic, person, from, most).await
    }

    /// Walks the whole chain of the audit and says whether it is what was written.
    ///
    /// # Errors
    /// The file could not be read. A broken chain is an answer, not an error.
    pub async fn verify_audit(&self) -> Result<Chain, Error> {
        let permit = self.permit()?;
        let mut conn = self.inner.conns.readers.acquire().await?;
        let mut steady = sqlx::Connection::begin(&mut *conn).await?;
        chain::verify(&mut steady, &permit.clinic, &self.inner.id).await
    }

    /// One stored record, found by its name.
    pub(crate) async fn stored(
        &self,
        conn: &mut SqliteConnection,
        record: RecordId,
    ) -> Result<Record, Error> {
        let row = sqlx::query("SELECT * FROM record WHERE id = ?1")
            .bind(record.bytes())
            .fetch_optional(&mut *conn)
            .await?
            .ok_or(Error::NoRecord { record })?;
        let person = PersonId::from_bytes(row.try_get(PERSON)?)?;
        let key = self.person_key(conn, person).await?;
        open(&self.inner.options.registry, &key, &row)
    }

    /// The newest records of kinds that are kept in memory, as they stand in a transaction.
    pub(crate) async fn opened_kept(
        &self,
        conn: &mut SqliteConnection,
        touched: &[(PersonId, &str)],
    ) -> Result<Vec<(PersonId, String, Option<Record>)>, Error> {
        let registry = &self.inner.options.registry;
        let mut fresh = Vec::new();
        for &(person, kind) in touched {
            if registry.kind(kind)?.kept {
                let row = latest_row(conn, person, kind).await?;
                let record = self.open_vault(|vault| {
                    let key = vault.key(person).ok_or(Error::NoPerson { person })?;
                    row.map(|row| open(registry, key, &row)).transpose()
                })?;
                fresh.push((person, kind.to_owned(), record));
            }
        }
        Ok(fresh)
    }
}

/// The newest version of every entry that was not taken back, in the order the entries were begun.
fn standing(all: Vec<Record>) -> Vec<Record> {
    let mut newest: BTreeMap<i64, Record> = BTreeMap::new();
    for record in all {
        newest.insert(record.origin, record);
    }
    newest.into_values().filter(|record| !record.is_withdrawn()).collect()
}
