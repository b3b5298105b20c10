//! Adding records, one or many at once; all of them or none.

use std::collections::hash_map::Entry;
use std::collections::{BTreeMap, HashMap};

use sqlx::sqlite::SqliteConnection;
use sqlx::{Connection, Row as _};

use crate::audit::{self, Action, Detail, NewEntry};
use crate::error::Error;
use crate::ids::{AccountId, Moment, PersonId, RecordId};
use crate::read;
use crate::record::{Appended, NewRecord, Row, WITHDRAWN, pack};
use crate::registry::Role;
use crate::secret::Key;
use crate::session::{Session, uncancelled};

/// Who writes, as what, and when.
#[derive(Clone, Copy)]
pub(crate) struct Author {
    pub(crate) account: AccountId,
    pub(crate) role: Role,
    pub(crate) at: Moment,
}

/// One record about to be written.
pub(crate) struct Draft<'a> {
    pub(crate) person: PersonId,
    pub(crate) kind: &'a str,
    pub(crate) shape: u32,
    pub(crate) reason: &'a str,
    pub(crate) body: &'a [u8],
    pub(crate) once: &'a str,
    /// The origin of the entry this is a new version of.
    pub(crate) corrects: Option<i64>,
}

/// What became of a draft.
pub(crate) struct Put {
    pub(crate) id: RecordId,
    pub(crate) seq: i64,
    pub(crate) was_there: bool,
}

/// How many records a person has.
pub(crate) async fn count(conn: &mut SqliteConnection, person: PersonId) -> Result<i64, Error> {
    let row = sqlx::query("SELECT coalesce(max(seq), 0) FROM record WHERE person = ?1")
        .bind(person.bytes())
        .fetch_one(conn)
        .await?;
    Ok(row.try_get(0)?)
}

/// Writes one record in the caller's transaction and says it is the newest.
pub(crate) async fn put(
    conn: &mut SqliteConnection,
    key: &Key,
    clinic: &Key,
    author: Author,
    draft: Draft<'_>,
) -> Result<Put, Error> {
    let seq = count(conn, draft.person).await? + 1;
    let (person, kind) = (draft.person, draft.kind.to_owned());
    let written = put_at(conn, key, &clinic.derive("once"), author, draft, seq).await?;
    if !written.was_there {
        renew_latest(conn, person, &kind).await?;
    }
    Ok(written)
}

/// Writes one record at a place that the caller knows to be the next.
async fn put_at(
    conn: &mut SqliteConnection,
    key: &Key,
    once_key: &Key,
    author: Author,
    draft: Draft<'_>,
    seq: i64,
) -> Result<Put, Error> {
    let id = RecordId::new(author.at)?;
    let once = &once_key.mac(&[draft.person.bytes(), draft.kind.as_bytes(), draft.once.as_bytes()])[..16];
    let row = Row {
        id: id.bytes(),
        person: draft.person.bytes(),
        seq,
        kind: draft.kind,
        shape: i64::from(draft.shape),
        origin: draft.corrects.unwrap_or(seq),
        at: author.at.in_unix_ms(),
        account: author.account.bytes(),
        role: author.role.word(),
    };
    let sealed = key.seal(&pack(draft.reason, draft.body), &row.bound())?;
    let done = sqlx::query(
        "INSERT INTO record (person, seq, id, once, kind, shape, origin, at, account, role, sealed)
         VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9, ?10, ?11)
         ON CONFLICT (once) DO NOTHING",
    )
    .bind(row.person)
    .bind(seq)
    .bind(row.id)
    .bind(once)
    .bind(draft.kind)
    .bind(row.shape)
    .bind(row.origin)
    .bind(row.at)
    .bind(row.account)
    .bind(row.role)
    .bind(sealed)
    .execute(&mut *conn)
    .await?;
    if done.rows_affected() == 1 {
        match (author.role, draft.corrects) {
            (Role::Student, _) => {
                sqlx::query("INSERT INTO awaiting (person, seq, origin) VALUES (?1, ?2, ?3)")
                    .bind(draft.person.bytes())
                    .bind(seq)
                    .bind(draft.corrects.unwrap_or(seq))
                    .execute(conn)
                    .await?;
            }
            (Role::Clinician, Some(origin)) => answered(conn, draft.person, origin, seq).await?,
            _ => {}
        }
        return Ok(Put { id, seq, was_there: false });
    }
    let row = sqlx::query("SELECT * FROM record WHERE once = ?1").bind(once).fetch_one(conn).await?;
    let before = read::open_as_written(key, &row)?;
    let same = before.body.as_slice() == draft.body && *before.reason == draft.reason;
    if same || before.written_as != draft.shape {
        Ok(Put { id: before.id, seq: before.seq, was_there: true })
    } else {
        Err(Error::SentDifferently { record: before.id })
    }
}

/// A clinician countersigned an entry or wrote a new version of it: nothing of it awaits any more, up
/// to that version.
pub(crate) async fn answered(
    conn: &mut SqliteConnection,
    person: PersonId,
    origin: i64,
    up_to: i64,
) -> Result<(), Error> {
    sqlx::query("DELETE FROM awaiting WHERE person = ?1 AND origin = ?2 AND seq <= ?3")
        .bind(person.bytes())
        .bind(origin)
        .bind(up_to)
        .execute(conn)
        .await?;
    Ok(())
}

/// Finds the newest entry of a kind again: the last one begun, in its last version, unless taken back.
async fn renew_latest(conn: &mut SqliteConnection, person: PersonId, kind: &str) -> Result<(), Error> {
    let newest = sqlx::query(
        "SELECT seq FROM record AS one WHERE person = ?1 AND kind = ?2 AND shape <> ?3
           AND seq = (SELECT max(seq) FROM record WHERE person = ?1 AND kind = ?2 AND origin = one.origin)
         ORDER BY origin DESC LIMIT 1",
    )
    .bind(person.bytes())
    .bind(kind)
    .bind(i64::from(WITHDRAWN))
    .fetch_optional(&mut *conn)
    .await?;
    match newest {
        Some(row) => set_latest(conn, person, kind, row.try_get(0)?).await,
        None => {
            sqlx::query("DELETE FROM latest WHERE kind = ?1 AND person = ?2")
                .bind(kind)
                .bind(person.bytes())
                .execute(conn)
                .await?;
            Ok(())
        }
    }
}

async fn set_latest(
    conn: &mut SqliteConnection,
    person: PersonId,
    kind: &str,
    seq: i64,
) -> Result<(), Error> {
    sqlx::query(
        "INSERT INTO latest (kind, person, seq, id, shape, origin, at, account, role, sealed)
         SELECT kind, person, seq, id, shape, origin, at, account, role, sealed
         FROM record WHERE kind = ?1 AND person = ?2 AND seq = ?3
         ON CONFLICT (kind, person) DO UPDATE SET
           seq = excluded.seq, id = excluded.id, shape = excluded.shape, origin = excluded.origin,
           at = excluded.at, account = excluded.account, role = excluded.role, sealed = excluded.sealed",
    )
    .bind(kind)
    .bind(person.bytes())
    .bind(seq)
    .execute(conn)
    .await?;
    Ok(())
}

impl Session {
    /// Writes one record; it is on the disk when this returns.
    ///
    /// # Errors
    /// The role may not write this kind, the person does not exist or was destroyed, the same
    /// submission said something else before, or the disk is full. Nothing is written then.
    pub async fn append(&self, record: NewRecord) -> Result<Appended, Error> {
        let mut all = self.append_many(vec![record]).await?;
        all.pop().ok_or_else(|| Error::damaged("one record went in and none came out"))
    }

    /// Writes many records, all or none, with one audit entry for each person among them.
    ///
    /// # Errors
    /// As [`Session::append`]; the first that cannot be written stops all of them.
    pub async fn append_many(&self, records: Vec<NewRecord>) -> Result<Vec<Appended>, Error> {
        let me = self.clone();
        uncancelled(async move { me.append_now(&records).await }).await
    }

    async fn append_now(&self, records: &[NewRecord]) -> Result<Vec<Appended>, Error> {
        let inner = &self.inner;
        let mut writer = inner.conns.writer.lock().await;
        let conn = writer.as_mut().ok_or(Error::Closed)?;
        let permit = self.permit()?;
        let author = permit.author(inner.options.now());
        let once_key = permit.clinic.derive("once");
        let mut change = conn.begin().await?;
        let mut places: HashMap<PersonId, (Key, i64, i64)> = HashMap::new();
        let mut newest: BTreeMap<(PersonId, &str), i64> = BTreeMap::new();
        let mut out = Vec::with_capacity(records.len());
        for record in records {
            permit.may_write(&inner.options.registry, &record.kind)?;
            let shape = inner.options.registry.kind(&record.kind)?.newest();
            let (key, _, has) = match places.entry(record.person) {
                Entry::Occupied(known) => known.into_mut(),
                Entry::Vacant(new) => {
                    let key = self.person_key(&mut change, record.person).await?;
                    let had = count(&mut change, record.person).await?;
                    new.insert((key, had, had))
                }
            };
            let draft = Draft {
                person: record.person,
                kind: &record.kind,
                shape,
                reason: "",
                body: &record.body,
                once: &record.once,
                corrects: None,
            };
            let put = put_at(&mut change, key, &once_key, author, draft, *has + 1).await?;
            if put.was_there {
                out.push(Appended::WasThere(put.id));
            } else {
                *has += 1;
                newest.insert((record.person, &record.kind), put.seq);
                out.push(Appended::Stored(put.id));
            }
        }
        for ((person, kind), seq) in &newest {
            set_latest(&mut change, *person, kind, *seq).await?;
        }
        for (person, (_, had, has)) in &places {
            if has > had {
                let kinds: Vec<String> =
                    newest.keys().filter(|(p, _)| p == person).map(|(_, kind)| (*kind).to_owned()).collect();
                let detail = Detail { kinds, up_to: Some(*has), ..Detail::default() };
                let entry = NewEntry {
                    at: author.at,
                    account: author.account,
                    action: Action::Wrote,
                    person: *person,
                    detail: &detail,
                };
                audit::add(&mut change, Some(&permit.clinic), entry).await?;
            }
        }
        let touched: Vec<(PersonId, &str)> = newest.keys().copied().collect();
        let fresh = self.opened_kept(&mut change, &touched).await?;
        change.commit().await?;
        self.keep(fresh);
        Ok(out)
    }
}
