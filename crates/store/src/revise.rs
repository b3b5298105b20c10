//! New versions of an entry: corrected, taken back, countersigned.

use sqlx::sqlite::SqliteConnection;
use sqlx::{Connection, Row as _};

use crate::append::{Draft, Put, answered, put};
use crate::audit::{self, Action, Detail, NewEntry};
use crate::error::Error;
use crate::ids::RecordId;
use crate::record::{Appended, Record, WITHDRAWN};
use crate::registry::{COUNTERSIGNATURE, Role};
use crate::session::{Permit, Session, uncancelled};

impl Session {
    /// Writes a new version of an entry, with the reason; the earlier versions stay readable.
    ///
    /// `record` is the version that was read; if somebody corrected it meanwhile, nothing is written.
    ///
    /// # Errors
    /// No reason, a record that is not the newest version, and those of [`Session::append`].
    pub async fn correct(
        &self,
        record: RecordId,
        body: impl Into<Vec<u8>>,
        reason: &str,
        once: &str,
    ) -> Result<Appended, Error> {
        self.revise(record, Some(body.into()), reason, once).await
    }

    /// Takes an entry back, with the reason; it stays readable in the history.
    ///
    /// # Errors
    /// As [`Session::correct`].
    pub async fn withdraw(&self, record: RecordId, reason: &str, once: &str) -> Result<Appended, Error> {
        self.revise(record, None, reason, once).await
    }

    async fn revise(
        &self,
        record: RecordId,
        body: Option<Vec<u8>>,
        reason: &str,
        once: &str,
    ) -> Result<Appended, Error> {
        if reason.trim().is_empty() {
            return Err(Error::NoReason { act: "correcting a record" });
        }
        let (me, reason, once) = (self.clone(), reason.trim().to_owned(), once.to_owned());
        uncancelled(async move {
            let mut writer = me.inner.conns.writer.lock().await;
            let conn = writer.as_mut().ok_or(Error::Closed)?;
            let permit = me.permit()?;
            let mut change = conn.begin().await?;
            let before = me.stored(&mut change, record).await?;
            permit.may_write(&me.inner.options.registry, &before.kind)?;
            let shape = match body {
                Some(_) => me.inner.options.registry.kind(&before.kind)?.newest(),
                None => WITHDRAWN,
            };
            let body = zeroize::Zeroizing::new(body.unwrap_or_default());
            let put = me.put_version(&mut change, &permit, &before, (shape, &body), &reason, &once).await?;
            let fresh = me.opened_kept(&mut change, &[(before.person, &*before.kind)]).await?;
            change.commit().await?;
            me.keep(fresh);
            Ok(if put.was_there { Appended::WasThere(put.id) } else { Appended::Stored(put.id) })
        })
        .await
    }

    /// Writes a version of an entry in the caller's transaction, with its audit entry.
    pub(crate) async fn put_version(
        &self,
        conn: &mut SqliteConnection,
        permit: &Permit,
        before: &Record,
        (shape, body): (u32, &[u8]),
        reason: &str,
        once: &str,
    ) -> Result<Put, Error> {
        let key = self.person_key(conn, before.person).await?;
        let author = permit.author(self.inner.options.now());
        let draft = Draft {
            person: before.person,
            kind: &before.kind,
            shape,
            reason,
            body,
            once,
            corrects: Some(before.origin),
        };
        let newest = newest_version(conn, before).await?;
        let put = put(conn, &key, &permit.clinic, author, draft).await?;
        if put.was_there {
            return Ok(put);
        }
        if newest != before.id {
            // The caller's transaction is dropped and nothing of this stays.
            return Err(Error::CorrectedMeanwhile { record: before.id, newer: newest });
        }
        let detail =
            Detail { words: reason.to_owned(), kinds: vec![before.kind.to_string()], up_to: Some(put.seq) };
        let entry = NewEntry {
            at: author.at,
            account: author.account,
            action: Action::Corrected,
            person: before.person,
            detail: &detail,
        };
        audit::add(conn, Some(&permit.clinic), entry).await?;
        Ok(put)
    }

    /// Countersigns a student's record. That is a record itself, by a clinician.
    ///
    /// # Errors
    /// The role is not clinician, or those of [`Session::append`].
    pub async fn countersign(&self, record: RecordId) -> Result<Appended, Error> {
        let me = self.clone();
        uncancelled(async move {
            let mut writer = me.inner.conns.writer.lock().await;
            let conn = writer.as_mut().ok_or(Error::Closed)?;
            let permit = me.permit()?;
            if permit.role != Role::Clinician {
                return Err(permit.refuse("countersign"));
            }
            let author = permit.author(me.inner.options.now());
            let mut change = conn.begin().await?;
            let signed = me.stored(&mut change, record).await?;
            let key = me.person_key(&mut change, signed.person).await?;
            let name = record.to_string();
            let draft = Draft {
                person: signed.person,
                kind: COUNTERSIGNATURE,
                shape: 1,
                reason: "",
                body: name.as_bytes(),
                once: &name,
                corrects: None,
            };
            let put = put(&mut change, &key, &permit.clinic, author, draft).await?;
            if put.was_there {
                return Ok(Appended::WasThere(put.id));
            }
            answered(&mut change, signed.person, signed.origin, signed.seq).await?;
            let detail =
                Detail { kinds: vec![signed.kind.to_string()], up_to: Some(put.seq), ..Detail::default() };
            let entry = NewEntry {
                at: author.at,
                account: author.account,
                action: Action::Countersigned,
                person: signed.person,
                detail: &detail,
            };
            audit::add(&mut change, Some(&permit.clinic), entry).await?;
            change.commit().await?;
            Ok(Appended::Stored(put.id))
        })
        .await
    }
}

/// The last version of the entry a record belongs to.
async fn newest_version(conn: &mut SqliteConnection, record: &Record) -> Result<RecordId, Error> {
    let row = sqlx::query(
        "SELECT id FROM record WHERE person = ?1 AND kind = ?2 AND origin = ?3 ORDER BY seq DESC LIMIT 1",
    )
    .bind(record.person.bytes())
    .bind(&*record.kind)
    .bind(record.origin)
    .fetch_one(conn)
    .await?;
    RecordId::from_bytes(row.try_get(0)?)
}
