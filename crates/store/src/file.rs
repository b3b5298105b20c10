//! One file, one process: the lock, the checks before anything is touched, the connections.

use std::collections::BTreeSet;
use std::fs::{File, OpenOptions, TryLockError};
use std::io::{Read, Seek};
use std::path::{Path, PathBuf};
use std::sync::{Mutex, PoisonError};

use sqlx::sqlite::{
    SqliteConnectOptions, SqliteConnection, SqliteJournalMode, SqlitePool, SqlitePoolOptions,
    SqliteSynchronous,
};
use sqlx::{ConnectOptions, Connection, Executor, Row};

use crate::error::Error;

/// The four bytes that mark a file of records (`Frec`).
pub(crate) const RECORDS: u32 = 0x4672_6563;
/// The four bytes that mark the ring of keys beside backups (`Fkey`).
pub(crate) const KEYS: u32 = 0x466b_6579;
/// The four bytes that mark a backup: records without keys (`Fbak`).
pub(crate) const BACKUP: u32 = 0x4662_616b;

/// Changes of the tables, in order; the format of a file is how many it has seen. Only ever added.
const MIGRATIONS: [&str; 3] = [
    include_str!("../migrations/0001_first.sql"),
    include_str!("../migrations/0002_backup_by_itself.sql"),
    include_str!("../migrations/0003_device.sql"),
];

/// The newest format this version reads and writes.
pub(crate) const FORMAT: u32 = MIGRATIONS.len() as u32;

/// Files that this process has open: a second handle must not even be opened, because closing it
/// would take the database's own locks away.
static OPEN: Mutex<BTreeSet<PathBuf>> = Mutex::new(BTreeSet::new());

/// Holds a file for this process alone. The operating system lets go of it when the process ends,
/// whatever ends it.
pub(crate) struct Guard {
    path: PathBuf,
    /// Never closed before the connections: closing any handle to a file takes away the locks that
    /// the database holds on it.
    file: File,
}

impl Guard {
    /// Takes the file, or says who has it.
    fn take(path: &Path) -> Result<Self, Error> {
        let canonical = path.canonicalize().map_err(|_| Error::Missing { path: path.to_owned() })?;
        let in_use = || Error::InUse { path: path.to_owned() };
        if !OPEN.lock().unwrap_or_else(PoisonError::into_inner).insert(canonical.clone()) {
            return Err(in_use());
        }
        let taken = || -> Result<File, Error> {
            let file = OpenOptions::new().read(true).write(true).open(&canonical)?;
            lock(&file).map_err(|error| match error {
                TryLockError::WouldBlock => in_use(),
                TryLockError::Error(error) => error.into(),
            })?;
            Ok(file)
        };
        match taken() {
            Ok(file) => Ok(Self { path: canonical, file }),
            Err(error) => {
                OPEN.lock().unwrap_or_else(PoisonError::into_inner).remove(&canonical);
                Err(error)
            }
        }
    }
}

impl Drop for Guard {
    fn drop(&mut self) {
        OPEN.lock().unwrap_or_else(PoisonError::into_inner).remove(&self.path);
    }
}

/// An advisory lock on the whole file, which the database's own locks do not see.
#[cfg(unix)]
fn lock(file: &File) -> Result<(), TryLockError> {
    file.try_lock()
}

/// Elsewhere a lock on the whole file would shut out the database itself; its own locks must do.
#[cfg(not(unix))]
fn lock(_file: &File) -> Result<(), TryLockError> {
    Ok(())
}

/// The file beside a database that holds what was committed last.
pub(crate) fn log_of(path: &Path) -> PathBuf {
    let mut name = path.as_os_str().to_owned();
    name.push("-wal");
    PathBuf::from(name)
}

/// Looks at the first hundred bytes before the database does.
fn check_header(path: &Path, mut file: &File, mark: u32) -> Result<(), Error> {
    let length = file.metadata()?.len();
    file.rewind()?;
    let mut head = Vec::with_capacity(100);
    file.by_ref().take(100).read_to_end(&mut head)?;
    let foreign = |found: &str| Err(Error::Foreign { path: path.to_owned(), found: found.to_owned() });
    if head.is_empty() {
        return foreign("it is empty");
    }
    let magic = b"SQLite format 3\0";
    if !head.starts_with(&magic[..head.len().min(magic.len())]) {
        return foreign("it begins with other bytes");
    }
    let Ok(head) = <[u8; 100]>::try_from(head) else {
        return Err(Error::Truncated { path: path.to_owned(), found: length, expected: 100 });
    };
    let word = |at: usize| u32::from_be_bytes([head[at], head[at + 1], head[at + 2], head[at + 3]]);
    // Places in the first page of a database: sqlite.org/fileformat2.html, section 1.3.
    let (application, format) = (word(68), word(60));
    if application != mark {
        return foreign(match application {
            RECORDS => "it is a file of records in use, not a backup",
            KEYS => "it is a ring of keys beside backups",
            BACKUP => "it is a backup: restore it to a new file",
            0 => "it is a database of another program",
            _ => "it is a database that another program has marked as its own",
        });
    }
    if format > FORMAT {
        return Err(Error::Newer { path: path.to_owned(), found: format, known: FORMAT });
    }
    let page = match u16::from_be_bytes([head[16], head[17]]) {
        1 => 65_536,
        size => u64::from(size),
    };
    let expected = page * u64::from(word(28));
    // While a log lies beside it, the file may be behind: the database reads both together.
    let log = std::fs::metadata(log_of(path)).map_or(0, |meta| meta.len());
    if length < expected && log == 0 {
        return Err(Error::Truncated { path: path.to_owned(), found: length, expected });
    }
    Ok(())
}

/// The connections to one file: one that writes, a few that read beside it.
pub(crate) struct Connections {
    /// The only one that writes; `None` once closed.
    pub(crate) writer: tokio::sync::Mutex<Option<SqliteConnection>>,
    /// Those that read what is committed, beside the writer.
    pub(crate) readers: SqlitePool,
    /// Let go after the connections are closed; dropped after them otherwise.
    guard: Mutex<Option<Guard>>,
}

/// How a connection is set up. Only a file of records keeps a log beside it: a backup and a ring of
/// keys are read, and reading must not change a byte of them.
pub(crate) fn settings(path: &Path, mark: u32) -> SqliteConnectOptions {
    let options = SqliteConnectOptions::new().filename(path).create_if_missing(false);
    let options = if mark == RECORDS { options.journal_mode(SqliteJournalMode::Wal) } else { options };
    options
        .synchronous(SqliteSynchronous::Full)
        .foreign_keys(false)
        .pragma("secure_delete", "ON")
        .pragma("temp_store", "MEMORY")
        .pragma("cache_size", "-16384")
        .disable_statement_logging()
}

/// Creates a file with the tables of this version; the path must not exist.
pub(crate) async fn create(path: &Path, mark: u32) -> Result<(), Error> {
    match OpenOptions::new().write(true).create_new(true).open(path) {
        Ok(file) => drop(file),
        Err(error) if error.kind() == std::io::ErrorKind::AlreadyExists => {
            return Err(Error::Exists { path: path.to_owned() });
        }
        Err(error) => return Err(error.into()),
    }
    let made = async {
        let mut conn = SqliteConnection::connect_with(&settings(path, mark)).await?;
        let marked = format!("PRAGMA application_id = {mark}; PRAGMA auto_vacuum = NONE");
        conn.execute(sqlx::AssertSqlSafe(marked)).await?;
        migrate(&mut conn, 0).await?;
        conn.close().await?;
        Ok(())
    }
    .await;
    if made.is_err() {
        discard(path);
    }
    made
}

/// Removes a file that was not finished, and what lies beside it.
pub(crate) fn discard(path: &Path) {
    for end in ["", "-wal", "-shm"] {
        let mut name = path.as_os_str().to_owned();
        name.push(end);
        // Nothing can be done about a file that cannot be removed; its name says it is unfinished.
        let _ = std::fs::remove_file(name);
    }
}

/// Brings the tables from one format to the newest, each step whole or not at all.
async fn migrate(conn: &mut SqliteConnection, from: u32) -> Result<(), Error> {
    for (step, sql) in (1_u32..).zip(MIGRATIONS).skip(from as usize) {
        let mut change = conn.begin().await?;
        change.execute(sql).await?;
        change.execute(sqlx::AssertSqlSafe(format!("PRAGMA user_version = {step}"))).await?;
        change.commit().await?;
    }
    Ok(())
}

/// Opens a file that exists: takes it, checks it, brings it to the newest format.
pub(crate) async fn open(path: &Path, mark: u32, pages: Option<u32>) -> Result<Connections, Error> {
    let guard = Guard::take(path)?;
    check_header(path, &guard.file, mark)?;
    let mut options = settings(path, mark);
    if let Some(pages) = pages {
        options = options.pragma("max_page_count", pages.to_string());
    }
    let mut conn = SqliteConnection::connect_with(&options).await.map_err(|error| busy(path, error))?;
    let format: i64 = sqlx::query("PRAGMA user_version").fetch_one(&mut conn).await?.try_get(0)?;
    // A backup and a ring stay as they were written: nothing that came later is read in them.
    if mark == RECORDS {
        migrate(&mut conn, u32::try_from(format).unwrap_or(0)).await?;
    }
    // What a killed process left in the log goes into the file now, and then lengths must agree.
    // On a full disk it stays where it is, and is read from there.
    match sqlx::query("PRAGMA wal_checkpoint(TRUNCATE)").execute(&mut conn).await.map_err(Error::from) {
        Ok(_) | Err(Error::DiskFull) => {}
        Err(error) => return Err(error),
    }
    check_header(path, &guard.file, mark)?;
    let readers = SqlitePoolOptions::new()
        .max_connections(3)
        .connect_with(settings(path, mark).read_only(true).pragma("query_only", "ON"))
        .await?;
    Ok(Connections { writer: tokio::sync::Mutex::new(Some(conn)), readers, guard: Mutex::new(Some(guard)) })
}

/// A database that another program holds says so with result code 5.
fn busy(path: &Path, error: sqlx::Error) -> Error {
    match error.as_database_error().and_then(|database| database.code()).as_deref() {
        Some("5") => Error::InUse { path: path.to_owned() },
        _ => error.into(),
    }
}

impl Connections {
    /// Closes all of them; what was in the log is then in the file and the log is gone.
    pub(crate) async fn close(&self) -> Result<(), Error> {
        self.readers.close().await;
        if let Some(conn) = self.writer.lock().await.take() {
            conn.close().await?;
        }
        drop(self.guard.lock().unwrap_or_else(PoisonError::into_inner).take());
        Ok(())
    }
}
