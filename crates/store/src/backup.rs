//! Backups that were read back before they count, and restoring one to a new file.

use std::path::{Path, PathBuf};

use sqlx::sqlite::SqliteConnection;
use sqlx::{Connection, Row};

use crate::audit::{self, Action, Detail, NewEntry};
use crate::check::{Check, check};
use crate::destroy;
use crate::error::Error;
use crate::file;
use crate::ids::{AccountId, Moment, PersonId};
use crate::ring;
use crate::secret::random;
use crate::session::{Session, uncancelled};
use crate::store::{beside, sync_folder};

/// A backup that was read back whole.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Backup {
    /// The file with the records. It is of use only together with the ring of keys in its folder.
    pub file: PathBuf,
    /// The ring of keys.
    pub keys: PathBuf,
    /// When it was made.
    pub at: Moment,
    /// Records in it.
    pub records: u64,
    /// Entries of the audit in it.
    pub audit: u64,
    /// The end of the audit in it; print it and keep it elsewhere.
    pub head: String,
}

/// Whether somebody asked for a backup.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Occasion {
    Asked,
    ByItself,
}

/// The name of a backup that was made at a moment.
pub(crate) fn file_name(at: Moment) -> String {
    format!("records-{}.backup", stamp(at))
}

/// A folder that is there.
fn check_folder(folder: &Path) -> Result<(), Error> {
    let bad = |why: &str| Err(Error::Backup { path: folder.to_owned(), why: why.to_owned() });
    match std::fs::metadata(folder) {
        Ok(known) if known.is_dir() => Ok(()),
        Ok(_) => bad("it is a file; name a folder"),
        Err(error) if error.kind() == std::io::ErrorKind::PermissionDenied => {
            bad("the folder may not be looked into; allow this program to, or choose another folder")
        }
        Err(_) => bad("the folder is not there; create it, or plug the disk in"),
    }
}

/// An error of the disk said of the folder of backups, not of the file of records, which is as it was.
fn of_folder(error: Error, folder: &Path) -> Error {
    let why = match error {
        Error::DiskFull => "its disk is full; free some space there, or choose another folder".to_owned(),
        Error::Failed { why } => {
            format!("nothing could be written there ({why}); allow it, or choose another folder")
        }
        other => return other,
    };
    let why = format!("{why}; the records and the backups before are as they were");
    Error::Backup { path: folder.to_owned(), why }
}

/// The moment in the name of a backup: `2026-11-25T190000Z`, so that names sort by time.
fn stamp(at: Moment) -> String {
    let seconds = at.in_unix_ms().div_euclid(1000);
    let (day, second) = (seconds.div_euclid(86_400), seconds.rem_euclid(86_400));
    let (year, month, date) = civil(day);
    format!("{year:04}-{month:02}-{date:02}T{:02}{:02}{:02}Z", second / 3600, second / 60 % 60, second % 60)
}

/// The date of a day counted from 1970-01-01, in the Gregorian calendar (H. Hinnant's algorithm).
fn civil(day: i64) -> (i64, i64, i64) {
    let shifted = day + 719_468;
    let era = shifted.div_euclid(146_097);
    let of_era = shifted.rem_euclid(146_097);
    let year_of_era = (of_era - of_era / 1460 + of_era / 36_524 - of_era / 146_096) / 365;
    let of_year = of_era - (365 * year_of_era + year_of_era / 4 - year_of_era / 100);
    let month_from_march = (5 * of_year + 2) / 153;
    let date = of_year - (153 * month_from_march + 2) / 5 + 1;
    let month = if month_from_march < 10 { month_from_march + 3 } else { month_from_march - 9 };
    (year_of_era + era * 400 + i64::from(month <= 2), month, date)
}

impl Session {
    /// Makes a backup in a folder, reads all of it back, and only then calls it one.
    ///
    /// Others go on working meanwhile. The folder gets a file of records named by the moment and the
    /// ring of keys, which is replaced; copy the folder as a whole when you carry it elsewhere.
    ///
    /// # Errors
    /// The folder is not there or full, or what was read back is not what should be there; the
    /// unfinished file is removed and the backups before stay as they are.
    pub async fn backup(&self, folder: &Path) -> Result<Backup, Error> {
        let (me, folder) = (self.clone(), folder.to_owned());
        uncancelled(async move { me.backup_now(&folder, Occasion::Asked).await }).await
    }

    pub(crate) async fn backup_now(&self, folder: &Path, occasion: Occasion) -> Result<Backup, Error> {
        self.permit()?;
        check_folder(folder)?;
        self.backup_in(folder, occasion).await.map_err(|error| of_folder(error, folder))
    }

    async fn backup_in(&self, folder: &Path, occasion: Occasion) -> Result<Backup, Error> {
        let at = self.inner.options.now();
        let name = folder.join(file_name(at));
        if name.exists() {
            return Err(Error::Exists { path: name });
        }
        let unfinished = beside(&name, &audit::hex(&random::<8>()?));
        let made = self.copy_and_check(&unfinished, folder).await;
        let (records, length, head) = match made {
            Ok(made) => made,
            Err(error) => {
                file::discard(&unfinished);
                return Err(error);
            }
        };
        std::fs::rename(&unfinished, &name)?;
        sync_folder(&name)?;
        sweep(folder);
        self.remember((at, occasion), &name, folder, (length, &head)).await?;
        Ok(Backup { file: name, keys: folder.join(ring::NAME), at, records, audit: length, head })
    }

    async fn copy_and_check(&self, to: &Path, folder: &Path) -> Result<(u64, u64, String), Error> {
        file::create(to, file::BACKUP).await?;
        let mut conn = ring::aside(&self.inner).await?;
        ring::copy_into(
            &mut conn,
            to,
            &[
                "INSERT INTO copy.header SELECT * FROM main.header",
                "INSERT INTO copy.tombstone SELECT * FROM main.tombstone",
                "INSERT INTO copy.record SELECT * FROM main.record",
                "INSERT INTO copy.latest SELECT * FROM main.latest",
                "INSERT INTO copy.awaiting SELECT * FROM main.awaiting",
                "INSERT INTO copy.audit SELECT * FROM main.audit",
                "INSERT INTO copy.audit_head SELECT * FROM main.audit_head",
                "INSERT INTO copy.backup SELECT * FROM main.backup",
            ],
        )
        .await?;
        conn.close().await?;
        std::fs::OpenOptions::new().write(true).open(to)?.sync_all()?;
        // Keys that were made since are in the ring too; keys that were destroyed since are not.
        ring::renew(&self.inner, folder).await?;
        let keys = self.check_keys()?;
        let copy = file::open(to, file::BACKUP, None).await?;
        let checked = {
            let mut conn = copy.readers.acquire().await?;
            check(&mut conn, &keys, &self.inner.id).await
        };
        copy.close().await?;
        match checked? {
            Check::Sound { records, audit, head, .. } => Ok((records, audit, head)),
            Check::Unsound { findings } => Err(Error::Backup {
                path: to.to_owned(),
                why: format!("what was read back is not sound: {}", findings.join("; ")),
            }),
        }
    }

    /// Writes down that a backup was made, and in which folder.
    async fn remember(
        &self,
        (at, occasion): (Moment, Occasion),
        name: &Path,
        folder: &Path,
        (length, head): (u64, &str),
    ) -> Result<(), Error> {
        let permit = self.permit()?;
        let place = folder.canonicalize()?.to_string_lossy().into_owned();
        let mut writer = self.inner.conns.writer.lock().await;
        let conn = writer.as_mut().ok_or(Error::Closed)?;
        let mut change = conn.begin().await?;
        let ms = at.in_unix_ms();
        let sealed = permit.clinic.derive("backup").seal(place.as_bytes(), &ms.to_be_bytes())?;
        sqlx::query("INSERT INTO backup (at, length, hash, sealed) VALUES (?1, ?2, ?3, ?4)")
            .bind(ms)
            .bind(i64::try_from(length).unwrap_or(i64::MAX))
            .bind(head.as_bytes())
            .bind(sealed)
            .execute(&mut *change)
            .await?;
        let mut said = name.file_name().unwrap_or_default().to_string_lossy().into_owned();
        if occasion == Occasion::ByItself {
            said.push_str(", by itself");
            sqlx::query("INSERT INTO backup_by_itself (at) VALUES (?1)")
                .bind(ms)
                .execute(&mut *change)
                .await?;
        }
        let entry = NewEntry {
            at,
            account: permit.account,
            action: Action::BackedUp,
            person: PersonId::CLINIC,
            detail: &Detail::words(said),
        };
        audit::add(&mut change, Some(&permit.clinic), entry).await?;
        change.commit().await?;
        Ok(())
    }

    /// Every folder in which a backup was ever made.
    pub(crate) async fn backup_folders(&self) -> Result<Vec<PathBuf>, Error> {
        let key = self.permit()?.clinic.derive("backup");
        let mut conn = self.inner.conns.readers.acquire().await?;
        let rows = sqlx::query("SELECT at, sealed FROM backup ORDER BY at").fetch_all(&mut *conn).await?;
        let mut folders = Vec::new();
        for row in &rows {
            let at: i64 = row.try_get(0)?;
            let plain = key
                .open(row.try_get(1)?, &at.to_be_bytes())
                .ok_or_else(|| Error::damaged("where a backup lies is not what was written"))?;
            let folder = PathBuf::from(String::from_utf8_lossy(&plain).into_owned());
            if !folders.contains(&folder) {
                folders.push(folder);
            }
        }
        Ok(folders)
    }
}

/// Removes what a killed process left unfinished in a folder of ours.
fn sweep(folder: &Path) {
    let ours = |name: &str| {
        (name.starts_with("records-") || name.starts_with(ring::NAME)) && name.contains(".unfinished-")
    };
    for entry in std::fs::read_dir(folder).into_iter().flatten().flatten() {
        if ours(&entry.file_name().to_string_lossy()) {
            // It is only in the way; the next backup tries again.
            let _ = std::fs::remove_file(entry.path());
        }
    }
}

/// Makes a new file of records from a backup and the ring of keys that lies beside it.
///
/// Whoever can sign in today can sign in to the new file, as far as the account was there when the
/// backup was made; who was destroyed since stays destroyed. Sign in and run [`Session::check`]
/// afterwards: without a key nothing in it can be read, only copied.
///
/// # Errors
/// The new file exists, the backup or the ring is missing, foreign or cut short, or they do not
/// belong together. An unfinished file is removed.
pub async fn restore(backup: &Path, to: &Path, now: Moment) -> Result<(), Error> {
    let (backup, to) = (backup.to_owned(), to.to_owned());
    uncancelled(async move { restore_now(&backup, &to, now).await }).await
}

pub(crate) async fn restore_now(backup: &Path, to: &Path, now: Moment) -> Result<(), Error> {
    if to.exists() {
        return Err(Error::Exists { path: to.to_owned() });
    }
    let ring = backup.with_file_name(ring::NAME);
    if backup.exists() && !ring.exists() {
        return Err(Error::Backup {
            path: backup.to_owned(),
            why: format!("the ring of keys `{}` is not beside it; bring the whole folder", ring::NAME),
        });
    }
    let records = file::open(backup, file::BACKUP, None).await?;
    let keys = match file::open(&ring, file::KEYS, None).await {
        Ok(keys) => keys,
        Err(error) => {
            records.close().await?;
            return Err(error);
        }
    };
    let unfinished = beside(to, &audit::hex(&random::<8>()?));
    let made = async {
        let mut writer = records.writer.lock().await;
        let conn = writer.as_mut().ok_or(Error::Closed)?;
        let ring_name = ring.to_str().ok_or_else(|| Error::Backup {
            path: ring.clone(),
            why: "its name has letters the database cannot read".to_owned(),
        })?;
        sqlx::query("ATTACH DATABASE ?1 AS ring").bind(ring_name).execute(&mut *conn).await?;
        let same: i64 = sqlx::query(
            "SELECT count(*) FROM main.header JOIN ring.header AS other ON header.store = other.store",
        )
        .fetch_one(&mut *conn)
        .await?
        .try_get(0)?;
        if same != 1 {
            return Err(Error::Backup {
                path: backup.to_owned(),
                why: "the ring of keys beside it belongs to another file of records".to_owned(),
            });
        }
        file::create(&unfinished, file::RECORDS).await?;
        ring::copy_into(
            conn,
            &unfinished,
            &[
                "INSERT INTO copy.header SELECT * FROM ring.header",
                "INSERT INTO copy.access SELECT * FROM ring.access",
                "INSERT INTO copy.tombstone SELECT * FROM ring.tombstone",
                "INSERT INTO copy.person SELECT * FROM ring.person
                 WHERE person IN (SELECT DISTINCT person FROM main.record)",
                "INSERT INTO copy.record SELECT * FROM main.record
                 WHERE person NOT IN (SELECT person FROM ring.tombstone)",
                "INSERT INTO copy.latest SELECT * FROM main.latest
                 WHERE person NOT IN (SELECT person FROM ring.tombstone)",
                "INSERT INTO copy.awaiting SELECT * FROM main.awaiting
                 WHERE person NOT IN (SELECT person FROM ring.tombstone)",
                "INSERT INTO copy.audit SELECT * FROM main.audit",
                "INSERT INTO copy.audit_head SELECT * FROM main.audit_head",
                "INSERT INTO copy.backup SELECT * FROM main.backup",
            ],
        )
        .await?;
        sqlx::query("DETACH DATABASE ring").execute(&mut *conn).await?;
        let new = file::open(&unfinished, file::RECORDS, None).await?;
        let noted = note_restored(new.writer.lock().await.as_mut().ok_or(Error::Closed)?, now).await;
        new.close().await?;
        noted?;
        std::fs::rename(&unfinished, to)?;
        sync_folder(to)
    }
    .await;
    keys.close().await?;
    records.close().await?;
    if made.is_err() {
        file::discard(&unfinished);
    }
    made
}

/// The one entry that can be written about this without a key.
async fn note_restored(conn: &mut SqliteConnection, now: Moment) -> Result<(), Error> {
    let mut change = conn.begin().await?;
    let entry = NewEntry {
        at: now,
        account: AccountId::NOBODY,
        action: Action::Restored,
        person: PersonId::CLINIC,
        detail: &Detail::default(),
    };
    audit::add(&mut change, None, entry).await?;
    change.commit().await?;
    destroy::empty_log(conn).await
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_the_disk_of_backups_refuses_is_said_of_its_folder_and_says_what_to_do() {
        let folder = Path::new("usb");
        for (error, expected) in [
            (Error::DiskFull, "its disk is full; free some space there"),
            (
                Error::Failed { why: "Permission denied".to_owned() },
                "nothing could be written there (Permission denied)",
            ),
        ] {
            let said = of_folder(error, folder).to_string();
            assert!(
                said.starts_with("`usb` cannot be used as a backup") && said.contains(expected),
                "{said}"
            );
            assert!(said.contains("choose another folder") && said.contains("are as they were"), "{said}");
        }
    }
}
