//! Backups that nobody asked for, what there are of them, and trying one.

use std::path::{Path, PathBuf};

use sqlx::Row;
use sqlx::sqlite::SqliteConnection;

use crate::audit::{self, Action};
use crate::backup::{self, Backup, Occasion, file_name};
use crate::check::{Check, CheckKeys, check};
use crate::error::Error;
use crate::file::{self, Connections};
use crate::ids::{Moment, PersonId};
use crate::secret::random;
use crate::session::{Session, uncancelled};
use crate::store::beside;

/// A backup that was made by itself, and what went for it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ByItself {
    /// The new one.
    pub backup: Backup,
    /// Files that were removed: older ones of the same sort in the same folder, beyond the newest that are kept.
    pub removed: Vec<PathBuf>,
}

/// A backup that was made once, wherever it is now.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Made {
    /// When.
    pub at: Moment,
    /// The file, where it was put.
    pub file: PathBuf,
    /// Whether nobody asked for it.
    pub by_itself: bool,
    /// Whether a file of this name is still there.
    pub there: bool,
}

/// What trying a backup showed.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Tried {
    /// Whether all of it opens where it was written, with counts.
    pub check: Check,
    /// When its newest record was written.
    pub newest: Option<Moment>,
}

impl Session {
    /// Makes a backup as [`Session::backup`] does, and writes down that nobody asked for it. When the new one
    /// was read back, those made by itself in the same folder beyond the newest `keep` are removed. A backup
    /// that somebody asked for is never removed, nor a file that this file of records did not make.
    ///
    /// # Errors
    /// As [`Session::backup`]; then nothing is removed.
    pub async fn backup_by_itself(&self, folder: &Path, keep: u32) -> Result<ByItself, Error> {
        let (me, folder) = (self.clone(), folder.to_owned());
        uncancelled(async move {
            let backup = me.backup_now(&folder, Occasion::ByItself).await?;
            let removed = me.thin_out(&folder, keep.max(1) as usize).await?;
            Ok(ByItself { backup, removed })
        })
        .await
    }

    /// Every backup that was made, the newest first.
    ///
    /// # Errors
    /// The session has ended, or the file could not be read.
    pub async fn backups(&self) -> Result<Vec<Made>, Error> {
        let key = self.permit()?.clinic.derive("backup");
        let mut conn = self.inner.conns.readers.acquire().await?;
        let rows = sqlx::query(
            "SELECT backup.at, backup.sealed, own.at IS NOT NULL FROM backup
             LEFT JOIN backup_by_itself AS own ON own.at = backup.at ORDER BY backup.at DESC",
        )
        .fetch_all(&mut *conn)
        .await?;
        let mut all = Vec::with_capacity(rows.len());
        for row in &rows {
            let at: i64 = row.try_get(0)?;
            let plain = key
                .open(row.try_get(1)?, &at.to_be_bytes())
                .ok_or_else(|| Error::damaged("where a backup lies is not what was written"))?;
            let at = Moment::unix_ms(at);
            let file = PathBuf::from(String::from_utf8_lossy(&plain).into_owned()).join(file_name(at));
            let there = file.is_file();
            all.push(Made { at, file, by_itself: row.try_get::<i64, _>(2)? != 0, there });
        }
        Ok(all)
    }

    /// Removes what was made by itself in a folder beyond the newest `keep`.
    async fn thin_out(&self, folder: &Path, keep: usize) -> Result<Vec<PathBuf>, Error> {
        let folder = folder.canonicalize()?;
        let all = self.backups().await?;
        let here = all.into_iter().filter(|made| made.by_itself && made.file.parent() == Some(&folder));
        let mut removed = Vec::new();
        for old in here.filter(|made| made.there).skip(keep) {
            if is_of(&old.file, &self.inner.id).await {
                std::fs::remove_file(&old.file)?;
                removed.push(old.file);
            }
        }
        if !removed.is_empty() {
            let names: Vec<_> = removed.iter().filter_map(|file| file.file_name()?.to_str()).collect();
            let words = format!("removed for newer ones: {}", names.join(", "));
            self.note(Action::BackedUp, PersonId::CLINIC, &words).await?;
        }
        Ok(removed)
    }

    /// Restores a backup to a throw-away file beside the records, opens everything in it, says what is in
    /// it, and removes the file. The ring of keys beside the backup is used, as in a real restoring.
    ///
    /// # Errors
    /// The role does not manage, the backup is missing, foreign, cut short, or of another file of records, or
    /// there is no room for the throw-away file. Damage is an answer, not an error.
    pub async fn try_backup(&self, backup: &Path) -> Result<Tried, Error> {
        let (me, backup) = (self.clone(), backup.to_owned());
        uncancelled(async move { me.try_now(&backup).await }).await
    }

    async fn try_now(&self, backup: &Path) -> Result<Tried, Error> {
        let permit = self.permit()?;
        if !permit.role.manages() {
            return Err(permit.refuse("try a backup"));
        }
        let aside = beside(&self.inner.path, &audit::hex(&random::<8>()?));
        backup::restore_now(backup, &aside, self.inner.options.now()).await?;
        let tried = async {
            let copy = file::open(&aside, file::RECORDS, None).await?;
            let looked = self.look_through(&copy, backup).await;
            copy.close().await?;
            looked
        }
        .await;
        file::discard(&aside);
        let tried = tried?;
        let name = backup.file_name().unwrap_or_default().to_string_lossy();
        let sound = if matches!(tried.check, Check::Sound { .. }) { "sound" } else { "not sound" };
        self.note(Action::BackedUp, PersonId::CLINIC, &format!("tried {name}: {sound}")).await?;
        Ok(tried)
    }

    async fn look_through(&self, copy: &Connections, backup: &Path) -> Result<Tried, Error> {
        let mut conn = copy.readers.acquire().await?;
        let keys = self.keys_in(&mut conn, backup).await?;
        let check = check(&mut conn, &keys, &self.inner.id).await?;
        let newest: Option<i64> =
            sqlx::query("SELECT max(at) FROM record").fetch_one(&mut *conn).await?.try_get(0)?;
        Ok(Tried { check, newest: newest.map(Moment::unix_ms) })
    }

    /// The keys that a restored file itself holds.
    async fn keys_in(&self, conn: &mut SqliteConnection, backup: &Path) -> Result<CheckKeys, Error> {
        let store: Vec<u8> =
            sqlx::query("SELECT store FROM header WHERE one = 1").fetch_one(&mut *conn).await?.try_get(0)?;
        if store != self.inner.id {
            return Err(Error::Backup {
                path: backup.to_owned(),
                why: "it is of another file of records; open that one, and try it there".to_owned(),
            });
        }
        let master = self.open_vault(|vault| Ok(vault.master.clone()))?;
        let mut keys = CheckKeys { clinic: self.permit()?.clinic, persons: Default::default() };
        for row in sqlx::query("SELECT person, wrapped FROM person").fetch_all(conn).await? {
            let person = PersonId::from_bytes(row.try_get(0)?)?;
            // A key that does not open is left out; the check then names whose records have none.
            if let Some(key) = master.unwrap_key(row.try_get(1)?, person.bytes()) {
                if person == PersonId::CLINIC {
                    keys.clinic = key;
                } else {
                    keys.persons.insert(person, key);
                }
            }
        }
        Ok(keys)
    }
}

/// Whether a file is a backup of this file of records.
async fn is_of(backup: &Path, store: &[u8]) -> bool {
    let Ok(there) = file::open(backup, file::BACKUP, None).await else { return false };
    let whose = async {
        let mut conn = there.readers.acquire().await?;
        let row = sqlx::query("SELECT store FROM header WHERE one = 1").fetch_one(&mut *conn).await?;
        Ok::<Vec<u8>, Error>(row.try_get(0)?)
    }
    .await;
    let closed = there.close().await;
    closed.is_ok() && whose.is_ok_and(|whose| whose == store)
}
