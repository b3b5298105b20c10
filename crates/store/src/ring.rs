//! The ring of keys beside backups: one file in each folder, always the newest.
//!
//! A backup holds records without keys. The keys lie beside it in one ring that is replaced whenever
//! a backup is made there and whenever a person is destroyed. So a destroyed person is gone from
//! every backup in the folder at once, old ones too, and an old passphrase opens none of them.

use std::fs::OpenOptions;
use std::io::{Seek, Write};
use std::path::{Path, PathBuf};

use sqlx::sqlite::SqliteConnection;
use sqlx::{Connection, Row};

use crate::audit;
use crate::error::Error;
use crate::file;
use crate::secret::random;
use crate::store::{Inner, beside, sync_folder};

/// The name of the ring in its folder.
pub(crate) const NAME: &str = "keys.ring";

/// A connection of its own that can attach other files; it sees one moment of this one.
pub(crate) async fn aside(inner: &Inner) -> Result<SqliteConnection, Error> {
    Ok(SqliteConnection::connect_with(&file::settings(&inner.path, file::RECORDS)).await?)
}

/// Attaches a new file under a name, copies tables into it in one transaction, and lets it go.
pub(crate) async fn copy_into(
    conn: &mut SqliteConnection,
    to: &Path,
    statements: &[&'static str],
) -> Result<(), Error> {
    let name = to.to_str().ok_or_else(|| Error::Failed {
        why: format!("`{}` has letters the database cannot read; name another folder", to.display()),
    })?;
    sqlx::query("ATTACH DATABASE ?1 AS copy").bind(name).execute(&mut *conn).await?;
    // What is only read needs no log; a file of records gets its own when it is opened.
    sqlx::query("PRAGMA copy.journal_mode = DELETE").execute(&mut *conn).await?;
    let mut change = conn.begin().await?;
    for statement in statements {
        sqlx::query(*statement).execute(&mut *change).await?;
    }
    change.commit().await?;
    sqlx::query("DETACH DATABASE copy").execute(conn).await?;
    Ok(())
}

/// Replaces the ring of keys in a folder by the keys of now.
pub(crate) async fn renew(inner: &Inner, folder: &Path) -> Result<(), Error> {
    if !folder.is_dir() {
        return Err(Error::Backup { path: folder.to_owned(), why: "the folder is not there".to_owned() });
    }
    let ring = folder.join(NAME);
    if ring.exists() {
        check_ours(&ring, &inner.id).await?;
    }
    let unfinished = beside(&ring, &audit::hex(&random::<8>()?));
    let made = async {
        file::create(&unfinished, file::KEYS).await?;
        let mut conn = aside(inner).await?;
        copy_into(
            &mut conn,
            &unfinished,
            &[
                "INSERT INTO copy.header SELECT * FROM main.header",
                "INSERT INTO copy.access SELECT * FROM main.access",
                "INSERT INTO copy.person SELECT * FROM main.person",
                "INSERT INTO copy.tombstone SELECT * FROM main.tombstone",
                "INSERT INTO copy.audit_head SELECT * FROM main.audit_head",
            ],
        )
        .await?;
        conn.close().await?;
        OpenOptions::new().write(true).open(&unfinished)?.sync_all()?;
        replace(&unfinished, &ring)
    }
    .await;
    if made.is_err() {
        file::discard(&unfinished);
    }
    made
}

/// Refuses to replace the ring of another file of records, whose backups would be lost with it.
async fn check_ours(ring: &Path, store: &[u8]) -> Result<(), Error> {
    let there = file::open(ring, file::KEYS, None).await?;
    let whose = async {
        let mut conn = there.readers.acquire().await?;
        let row = sqlx::query("SELECT store FROM header WHERE one = 1").fetch_optional(&mut *conn).await?;
        Ok::<_, Error>(row.map(|row| row.try_get::<Vec<u8>, _>(0)).transpose()?)
    }
    .await;
    there.close().await?;
    if whose?.is_some_and(|whose| whose == store) {
        return Ok(());
    }
    Err(Error::Backup {
        path: ring.to_owned(),
        why: "it holds the keys of another file of records; name a folder of its own for each".to_owned(),
    })
}

/// Puts a file in another's place and overwrites the bytes of the other, so that they are gone from
/// disks that write in place.
fn replace(new: &Path, old: &PathBuf) -> Result<(), Error> {
    let before = OpenOptions::new().write(true).open(old).ok();
    std::fs::rename(new, old)?;
    sync_folder(old)?;
    if let Some(mut before) = before {
        let length = before.metadata()?.len();
        before.rewind()?;
        let zeros = [0_u8; 65_536];
        let mut left = length;
        while left > 0 {
            let part = left.min(zeros.len() as u64);
            before.write_all(&zeros[..part as usize])?;
            left -= part;
        }
        before.sync_all()?;
    }
    Ok(())
}
