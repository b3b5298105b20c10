//! Signing in: by name and passphrase, or with the recovery key; slower after every failure.

use std::collections::{BTreeMap, HashMap};
use std::sync::PoisonError;
use std::sync::atomic::Ordering;
use std::time::Duration;

use sqlx::sqlite::SqliteConnection;
use sqlx::{Connection, Row};

use crate::account::Account;
use crate::audit::{self, Action, Detail, NewEntry};
use crate::error::Error;
use crate::ids::{AccountId, Moment, PersonId};
use crate::read;
use crate::recovery::RecoveryKey;
use crate::registry::ACCOUNT;
use crate::secret::{Key, bucket, stretch};
use crate::session::{Session, uncancelled};
use crate::store::{Inner, Store, recovery_tag};
use crate::vault::{Seat, Vault};

/// What came of trying to sign in.
#[derive(Clone)]
pub enum SignIn {
    /// Name and passphrase belong together.
    Welcome(Session),
    /// They do not, or there is no such account, or it is disabled: which of these is not told.
    Refused {
        /// How long the next try has to wait.
        wait: Duration,
    },
    /// Too many failures lately; the passphrase was not looked at.
    Wait {
        /// How long to wait.
        wait: Duration,
    },
}

/// Whether a try may be made.
enum Counted {
    /// It may, and counts as the failure of this number until it succeeds.
    Try(i64),
    /// Not before so long.
    Wait(Duration),
}

/// Failures that cost no waiting: people mistype.
const FREE_FAILURES: i64 = 3;

/// The counter of the recovery key, beside the sixteen of names.
const RECOVERY: i64 = 16;

/// The longest wait.
const LONGEST_WAIT_MS: i64 = 5 * 60 * 1000;

/// How long to wait after so many failures: none after three, then 2 s, doubled each time, at most
/// five minutes.
fn wait_after(failures: i64) -> i64 {
    let beyond = failures - FREE_FAILURES;
    if beyond <= 0 { 0 } else { (1000 << beyond.min(20)).min(LONGEST_WAIT_MS) }
}

/// Milliseconds that must still pass. A clock that was set back waits no longer than the full wait.
fn still(failures: i64, last: i64, now: Moment) -> i64 {
    let wait = wait_after(failures);
    (last.saturating_add(wait) - now.in_unix_ms()).clamp(0, wait)
}

fn duration(ms: i64) -> Duration {
    Duration::from_millis(ms.unsigned_abs())
}

impl Store {
    /// Signs in with the name and the passphrase of an account.
    ///
    /// The count of failures is on the disk before the passphrase is tried, so that ending the
    /// program does not make the next try free.
    ///
    /// # Errors
    /// The file could not be read or written. A wrong passphrase is an answer, not an error.
    pub async fn sign_in(&self, name: &str, passphrase: &str) -> Result<SignIn, Error> {
        let (me, name) = (self.clone(), name.to_owned());
        let passphrase = zeroize::Zeroizing::new(passphrase.to_owned());
        uncancelled(async move { me.sign_in_now(name, passphrase).await }).await
    }

    async fn sign_in_now(
        &self,
        name: String,
        passphrase: zeroize::Zeroizing<String>,
    ) -> Result<SignIn, Error> {
        let _one_at_a_time = self.inner.signing.lock().await;
        let inner = &self.inner;
        let bucket = bucket(&inner.salt, &name);
        let failures = match self.count_try(bucket).await? {
            Counted::Try(failures) => failures,
            Counted::Wait(wait) => return Ok(SignIn::Wait { wait }),
        };
        let (salt, cost) = (inner.salt.clone(), inner.cost);
        let stretched = tokio::task::spawn_blocking(move || stretch(&passphrase, &salt, &name, cost))
            .await
            .map_err(|error| Error::Failed { why: error.to_string() })??;
        if let Some((account, master)) = self.unwrap_master(&stretched.tag, &stretched.key).await?
            && let Some(session) = self.welcome(account, master, Action::SignedIn, Some(bucket)).await?
        {
            return Ok(SignIn::Welcome(session));
        }
        self.refuse().await?;
        Ok(SignIn::Refused { wait: duration(wait_after(failures)) })
    }

    /// Signs in with the recovery key. The audit says so, for everybody to see. Failures are counted and
    /// slowed down as those of a passphrase are.
    ///
    /// # Errors
    /// The file could not be read or written. A wrong key is an answer, not an error.
    pub async fn recover(&self, key: &RecoveryKey) -> Result<SignIn, Error> {
        let (me, key) = (self.clone(), key.key(&self.inner.id));
        uncancelled(async move {
            let _one_at_a_time = me.inner.signing.lock().await;
            let failures = match me.count_try(RECOVERY).await? {
                Counted::Try(failures) => failures,
                Counted::Wait(wait) => return Ok(SignIn::Wait { wait }),
            };
            if let Some((account, master)) = me.unwrap_master(&recovery_tag(&key), &key).await?
                && let Some(session) = me.welcome(account, master, Action::Recovered, Some(RECOVERY)).await?
            {
                return Ok(SignIn::Welcome(session));
            }
            me.refuse().await?;
            Ok(SignIn::Refused { wait: duration(wait_after(failures)) })
        })
        .await
    }

    /// Counts a try on the disk before it is made, or says how long it has to wait.
    async fn count_try(&self, bucket: i64) -> Result<Counted, Error> {
        let mut writer = self.inner.conns.writer.lock().await;
        let conn = writer.as_mut().ok_or(Error::Closed)?;
        let now = self.inner.options.now();
        let row = sqlx::query("SELECT failures, last FROM attempt WHERE bucket = ?1")
            .bind(bucket)
            .fetch_optional(&mut *conn)
            .await?;
        let (failures, last): (i64, i64) = match row {
            Some(row) => (row.try_get(0)?, row.try_get(1)?),
            None => (0, 0),
        };
        let wait = still(failures, last, now);
        if wait > 0 {
            return Ok(Counted::Wait(duration(wait)));
        }
        sqlx::query(
            "INSERT INTO attempt (bucket, failures, last) VALUES (?1, ?2, ?3)
             ON CONFLICT (bucket) DO UPDATE SET failures = excluded.failures, last = excluded.last",
        )
        .bind(bucket)
        .bind(failures + 1)
        .bind(now.in_unix_ms())
        .execute(conn)
        .await?;
        Ok(Counted::Try(failures + 1))
    }

    /// The account and the master key behind a tag, if the key unwraps it.
    async fn unwrap_master(&self, tag: &[u8; 16], key: &Key) -> Result<Option<(AccountId, Key)>, Error> {
        let mut conn = self.inner.conns.readers.acquire().await?;
        let row = sqlx::query("SELECT account, wrapped FROM access WHERE tag = ?1")
            .bind(tag.as_slice())
            .fetch_optional(&mut *conn)
            .await?;
        let Some(row) = row else { return Ok(None) };
        let account = AccountId::from_bytes(row.try_get(0)?)?;
        Ok(key.unwrap_key(row.try_get(1)?, account.bytes()).map(|master| (account, master)))
    }

    /// Writes a failure into the audit, sealed if a key is there.
    async fn refuse(&self) -> Result<(), Error> {
        let clinic = {
            let vault = self.inner.vault.read().unwrap_or_else(PoisonError::into_inner);
            vault.as_ref().map(|vault| vault.clinic.clone())
        };
        let mut writer = self.inner.conns.writer.lock().await;
        let conn = writer.as_mut().ok_or(Error::Closed)?;
        let mut change = conn.begin().await?;
        let entry = NewEntry {
            at: self.inner.options.now(),
            account: AccountId::NOBODY,
            action: Action::SignInFailed,
            person: PersonId::CLINIC,
            detail: &Detail::default(),
        };
        audit::add(&mut change, clinic.as_ref(), entry).await?;
        change.commit().await?;
        Ok(())
    }

    /// Opens the vault if it is closed, and gives the account a seat; `None` for an account that the
    /// records do not know, as after restoring a backup from before it was created.
    async fn welcome(
        &self,
        account: AccountId,
        master: Key,
        action: Action,
        bucket: Option<i64>,
    ) -> Result<Option<Session>, Error> {
        let inner = &self.inner;
        let mut writer = inner.conns.writer.lock().await;
        let conn = writer.as_mut().ok_or(Error::Closed)?;
        let is_open = {
            let vault = inner.vault.read().unwrap_or_else(PoisonError::into_inner);
            vault.as_ref().is_some_and(|vault| vault.master.same(&master))
        };
        let opened = if is_open { None } else { Some(open_vault(conn, inner, master).await?) };
        let known = |vault: &Vault| {
            let enabled = vault.accounts.get(&account).is_some_and(|known| known.enabled);
            (vault.clinic.clone(), enabled || account == AccountId::RECOVERY)
        };
        let (clinic, enabled) = match &opened {
            Some(vault) => known(vault),
            None => {
                let vault = inner.vault.read().unwrap_or_else(PoisonError::into_inner);
                known(vault.as_ref().ok_or(Error::SessionEnded)?)
            }
        };
        if !enabled {
            return Ok(None);
        }
        let mut change = conn.begin().await?;
        if let Some(bucket) = bucket {
            sqlx::query("DELETE FROM attempt WHERE bucket = ?1").bind(bucket).execute(&mut *change).await?;
        }
        let entry = NewEntry {
            at: inner.options.now(),
            account,
            action,
            person: PersonId::CLINIC,
            detail: &Detail::default(),
        };
        audit::add(&mut change, Some(&clinic), entry).await?;
        change.commit().await?;
        let number = inner.sessions.fetch_add(1, Ordering::Relaxed);
        let mut vault = inner.vault.write().unwrap_or_else(PoisonError::into_inner);
        if let Some(opened) = opened {
            *vault = Some(opened);
        }
        let vault = vault.as_mut().ok_or(Error::SessionEnded)?;
        vault.seats.insert(number, Seat { account, looks: HashMap::new() });
        Ok(Some(Session { inner: self.inner.clone(), number, account }))
    }
}

/// Unwraps every key and reads what is kept in memory.
async fn open_vault(conn: &mut SqliteConnection, inner: &Inner, master: Key) -> Result<Vault, Error> {
    let rows = sqlx::query("SELECT person, wrapped FROM person").fetch_all(&mut *conn).await?;
    let mut keys = HashMap::with_capacity(rows.len());
    for row in &rows {
        let person = PersonId::from_bytes(row.try_get(0)?)?;
        let key = master
            .unwrap_key(row.try_get(1)?, person.bytes())
            .ok_or_else(|| Error::damaged(format!("the key of person {person} does not open")))?;
        keys.insert(person, key);
    }
    let clinic =
        keys.remove(&PersonId::CLINIC).ok_or_else(|| Error::damaged("the key of the clinic is missing"))?;
    let registry = &inner.options.registry;
    let rows = sqlx::query("SELECT * FROM record WHERE person = ?1 AND kind = ?2 ORDER BY seq")
        .bind(PersonId::CLINIC.bytes())
        .bind(ACCOUNT)
        .fetch_all(&mut *conn)
        .await?;
    let mut accounts = BTreeMap::new();
    for row in &rows {
        let account = Account::from_record(&read::open(registry, &clinic, row)?)?;
        accounts.insert(account.id, account);
    }
    let kept = crate::lists::kept(conn, registry, &keys, &clinic).await?;
    Ok(Vault { master, clinic, keys, accounts, seats: HashMap::new(), kept })
}
