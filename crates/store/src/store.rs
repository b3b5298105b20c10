//! Opening, locking and closing one file of records.

use std::path::{Path, PathBuf};
use std::sync::atomic::AtomicU64;
use std::sync::{Arc, RwLock};

use sqlx::sqlite::SqliteConnection;
use sqlx::{Connection, Row};

use crate::audit::{self, Action, Detail, NewEntry};
use crate::error::Error;
use crate::file::{self, Connections};
use crate::ids::{AccountId, Moment, PersonId};
use crate::registry::Registry;
use crate::secret::{Key, KeyCost};
use crate::vault::Vault;

/// Tells the time. The system's clock, or a test's.
pub type Clock = Arc<dyn Fn() -> Moment + Send + Sync>;

/// What the store has to be told before it opens a file.
#[derive(Clone)]
pub struct Options {
    pub(crate) registry: Arc<Registry>,
    pub(crate) clock: Clock,
    pub(crate) cost: KeyCost,
    pub(crate) pages: Option<u32>,
}

impl Options {
    /// The kinds of record and the system's clock.
    #[must_use]
    pub fn new(registry: Registry) -> Self {
        let clock = || {
            let since = std::time::SystemTime::now().duration_since(std::time::UNIX_EPOCH);
            Moment::unix_ms(since.map_or(0, |since| i64::try_from(since.as_millis()).unwrap_or(i64::MAX)))
        };
        Self {
            registry: Arc::new(registry),
            clock: Arc::new(clock),
            cost: KeyCost::recommended(),
            pages: None,
        }
    }

    /// Another clock.
    #[must_use]
    pub fn with_clock(mut self, clock: Clock) -> Self {
        self.clock = clock;
        self
    }

    /// Another cost of trying a passphrase, for a file that is created.
    #[must_use]
    pub fn with_cost(mut self, cost: KeyCost) -> Self {
        self.cost = cost;
        self
    }

    /// The file may have so many pages of 4096 bytes and then counts as a full disk.
    #[must_use]
    pub fn at_most_pages(mut self, pages: u32) -> Self {
        self.pages = Some(pages);
        self
    }

    pub(crate) fn now(&self) -> Moment {
        (self.clock)()
    }
}

pub(crate) struct Inner {
    pub(crate) path: PathBuf,
    pub(crate) options: Options,
    pub(crate) conns: Connections,
    /// The random name of this file: keys and chains are bound to it.
    pub(crate) id: Vec<u8>,
    pub(crate) salt: Vec<u8>,
    pub(crate) cost: KeyCost,
    pub(crate) vault: RwLock<Option<Vault>>,
    pub(crate) sessions: AtomicU64,
    /// One passphrase is stretched at a time: each takes 64 MiB.
    pub(crate) signing: tokio::sync::Mutex<()>,
}

/// One open file of records. Cheap to clone; all clones are the same file.
///
/// While nobody is signed in, it can say only what is not personal: when the last backup was made.
#[derive(Clone)]
pub struct Store {
    pub(crate) inner: Arc<Inner>,
}

impl Store {
    /// Opens a file that exists. Everything in it stays sealed until somebody signs in.
    ///
    /// # Errors
    /// One of its own for a file that is missing, foreign, cut short, from a newer version, or open
    /// elsewhere; nothing is changed then.
    pub async fn open(path: &Path, options: Options) -> Result<Self, Error> {
        let conns = file::open(path, file::RECORDS, options.pages).await?;
        let header = {
            let mut writer = conns.writer.lock().await;
            let conn = writer.as_mut().ok_or(Error::Closed)?;
            sqlx::query("SELECT * FROM header WHERE one = 1").fetch_optional(conn).await?
        };
        let Some(header) = header else { return Err(Error::damaged("the header is missing")) };
        let count = |name: &str| -> Result<u32, Error> {
            u32::try_from(header.try_get::<i64, _>(name)?)
                .map_err(|_| Error::damaged(format!("`{name}` in the header is out of range")))
        };
        let cost =
            KeyCost { memory_kib: count("memory_kib")?, passes: count("passes")?, lanes: count("lanes")? };
        let inner = Inner {
            path: path.to_owned(),
            options,
            id: header.try_get("store")?,
            salt: header.try_get("salt")?,
            cost,
            conns,
            vault: RwLock::new(None),
            sessions: AtomicU64::new(1),
            signing: tokio::sync::Mutex::new(()),
        };
        Ok(Self { inner: Arc::new(inner) })
    }

    /// Where the file is.
    #[must_use]
    pub fn path(&self) -> &Path {
        &self.inner.path
    }

    /// The moment by the clock it was opened with.
    #[must_use]
    pub fn now(&self) -> Moment {
        self.inner.options.now()
    }

    /// Whether no key is in memory: nobody is signed in.
    #[must_use]
    pub fn is_locked(&self) -> bool {
        self.inner.vault.read().map_or(true, |vault| vault.is_none())
    }

    /// Ends every session and wipes every key. The audit says so.
    ///
    /// # Errors
    /// The audit entry could not be written; the keys are wiped all the same.
    pub async fn lock(&self) -> Result<(), Error> {
        let clinic = {
            let mut vault = self.inner.vault.write().unwrap_or_else(std::sync::PoisonError::into_inner);
            vault.take().map(|vault| vault.clinic.clone())
        };
        match clinic {
            Some(clinic) => {
                let entry = (AccountId::NOBODY, Action::Locked, PersonId::CLINIC, Detail::default());
                self.inner.audit(&clinic, entry).await
            }
            None => Ok(()),
        }
    }

    /// Locks, and closes the file: afterwards only the one file is left and may be copied.
    ///
    /// # Errors
    /// The disk refused; what was acknowledged is safe all the same.
    pub async fn close(&self) -> Result<(), Error> {
        let locked = self.lock().await;
        self.inner.conns.close().await?;
        locked
    }

    /// When a backup was last made and read back whole.
    ///
    /// # Errors
    /// The file could not be read.
    pub async fn last_backup(&self) -> Result<Option<Moment>, Error> {
        let mut conn = self.inner.conns.readers.acquire().await?;
        let row = sqlx::query("SELECT max(at) FROM backup").fetch_one(&mut *conn).await?;
        Ok(row.try_get::<Option<i64>, _>(0)?.map(Moment::unix_ms))
    }
}

impl Inner {
    /// Writes one audit entry in a transaction of its own.
    pub(crate) async fn audit(
        &self,
        clinic: &Key,
        (account, action, person, detail): (AccountId, Action, PersonId, Detail),
    ) -> Result<(), Error> {
        let mut writer = self.conns.writer.lock().await;
        let conn = writer.as_mut().ok_or(Error::Closed)?;
        let mut change = conn.begin().await?;
        let entry = NewEntry { at: self.options.now(), account, action, person, detail: &detail };
        audit::add(&mut change, Some(clinic), entry).await?;
        change.commit().await?;
        Ok(())
    }
}

/// Under which tag the wrap of the recovery key is found.
pub(crate) fn recovery_tag(key: &Key) -> [u8; 16] {
    let mac = key.mac(&[b"tag".as_slice()]);
    let mut tag = [0; 16];
    tag.copy_from_slice(&mac[..16]);
    tag
}

/// Sets how an account unwraps the master key; what was there before is overwritten.
pub(crate) async fn put_access(
    conn: &mut SqliteConnection,
    account: AccountId,
    tag: &[u8; 16],
    wrapped: &[u8],
) -> Result<(), Error> {
    sqlx::query(
        "INSERT INTO access (account, tag, wrapped) VALUES (?1, ?2, ?3)
         ON CONFLICT (account) DO UPDATE SET tag = excluded.tag, wrapped = excluded.wrapped",
    )
    .bind(account.bytes())
    .bind(tag.as_slice())
    .bind(wrapped)
    .execute(conn)
    .await?;
    Ok(())
}

/// A name beside a path that says the file is not finished.
pub(crate) fn beside(path: &Path, word: &str) -> PathBuf {
    let mut name = path.file_name().unwrap_or_default().to_owned();
    name.push(".unfinished-");
    name.push(word);
    path.with_file_name(name)
}

/// Makes the name of a file durable, not only its bytes.
pub(crate) fn sync_folder(path: &Path) -> Result<(), Error> {
    if cfg!(unix) {
        let folder = path.parent().filter(|p| !p.as_os_str().is_empty()).unwrap_or(Path::new("."));
        std::fs::File::open(folder)?.sync_all()?;
    }
    Ok(())
}
