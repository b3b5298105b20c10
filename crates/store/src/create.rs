//! Creating a file of records: whole under its name, or not there.

use std::path::Path;

use sqlx::Connection;
use sqlx::sqlite::SqliteConnection;

use crate::account::Account;
use crate::append::{self, Draft};
use crate::audit::{self, Action, Detail, NewEntry};
use crate::error::Error;
use crate::file;
use crate::ids::{AccountId, PersonId};
use crate::recovery::RecoveryKey;
use crate::registry::{ACCOUNT, Role};
use crate::secret::{Key, check_passphrase, random, stretch};
use crate::session::Session;
use crate::sign_in::SignIn;
use crate::store::{Options, Store, beside, put_access, recovery_tag, sync_folder};

/// The name and the passphrase of the first account, a clinician's.
pub struct First<'a> {
    /// What the person signs in with.
    pub name: &'a str,
    /// At least twelve characters.
    pub passphrase: &'a str,
}

impl Store {
    /// Creates a file with its first account, and gives the recovery key, which is not stored.
    ///
    /// # Errors
    /// The path exists, the passphrase is weak, the name is empty, or the disk refuses. A file that
    /// could not be finished is removed.
    pub async fn create(
        path: &Path,
        options: Options,
        first: First<'_>,
    ) -> Result<(Self, Session, RecoveryKey), Error> {
        check_passphrase(first.passphrase, first.name)?;
        if first.name.trim().is_empty() {
            return Err(Error::BadName { name: first.name.to_owned(), why: "it is empty" });
        }
        if path.exists() {
            return Err(Error::Exists { path: path.to_owned() });
        }
        // Finished under another name first: a file at `path` is always whole.
        let unfinished = beside(path, &audit::hex(&random::<8>()?));
        let made = async {
            file::create(&unfinished, file::RECORDS).await?;
            let conns = file::open(&unfinished, file::RECORDS, None).await?;
            let recovery = {
                let mut writer = conns.writer.lock().await;
                furnish(writer.as_mut().ok_or(Error::Closed)?, &options, &first).await?
            };
            conns.close().await?;
            drop(conns);
            std::fs::rename(&unfinished, path)?;
            sync_folder(path)?;
            Ok(recovery)
        }
        .await;
        let recovery = match made {
            Ok(recovery) => recovery,
            Err(error) => {
                file::discard(&unfinished);
                return Err(error);
            }
        };
        let store = Self::open(path, options).await?;
        match store.sign_in(first.name, first.passphrase).await? {
            SignIn::Welcome(session) => Ok((store, session, recovery)),
            SignIn::Refused { .. } | SignIn::Wait { .. } => {
                Err(Error::damaged("the file that was just created does not open"))
            }
        }
    }
}

/// Fills a new file: header, keys, the first account, the beginning of the audit.
async fn furnish(
    conn: &mut SqliteConnection,
    options: &Options,
    first: &First<'_>,
) -> Result<RecoveryKey, Error> {
    let (id, salt) = (random::<16>()?, random::<16>()?);
    let (master, clinic, recovery) = (Key::new()?, Key::new()?, RecoveryKey::new()?);
    let now = options.now();
    let account = Account {
        id: AccountId::new(now)?,
        name: first.name.trim().to_owned(),
        role: Role::Clinician,
        enabled: true,
    };
    let stretched = stretch(first.passphrase, &salt, first.name, options.cost)?;
    let mut change = conn.begin().await?;
    sqlx::query("INSERT INTO header VALUES (1, ?1, ?2, ?3, ?4, ?5, ?6)")
        .bind(id.as_slice())
        .bind(now.in_unix_ms())
        .bind(salt.as_slice())
        .bind(i64::from(options.cost.memory_kib))
        .bind(i64::from(options.cost.passes))
        .bind(i64::from(options.cost.lanes))
        .execute(&mut *change)
        .await?;
    sqlx::query("INSERT INTO audit_head VALUES (1, 0, ?1, 0, ?2)")
        .bind(audit::start(&id))
        .bind(Vec::new())
        .execute(&mut *change)
        .await?;
    put_access(&mut change, account.id, &stretched.tag, &stretched.key.wrap(&master, account.id.bytes())?)
        .await?;
    let recovery_key = recovery.key(&id);
    let wrapped = recovery_key.wrap(&master, AccountId::RECOVERY.bytes())?;
    put_access(&mut change, AccountId::RECOVERY, &recovery_tag(&recovery_key), &wrapped).await?;
    sqlx::query("INSERT INTO person (person, once, created, wrapped) VALUES (?1, ?1, ?2, ?3)")
        .bind(PersonId::CLINIC.bytes())
        .bind(now.in_unix_ms())
        .bind(master.wrap(&clinic, PersonId::CLINIC.bytes())?)
        .execute(&mut *change)
        .await?;
    let created = NewEntry {
        at: now,
        account: AccountId::NOBODY,
        action: Action::Created,
        person: PersonId::CLINIC,
        detail: &Detail::default(),
    };
    audit::add(&mut change, Some(&clinic), created).await?;
    let draft = Draft {
        person: PersonId::CLINIC,
        kind: ACCOUNT,
        shape: 1,
        reason: "",
        body: &account.body()?,
        once: &account.id.to_string(),
        corrects: None,
    };
    let author = append::Author { account: account.id, role: Role::Clinician, at: now };
    append::put(&mut change, &clinic, &clinic, author, draft).await?;
    let wrote = NewEntry {
        at: now,
        account: account.id,
        action: Action::AccountChanged,
        person: PersonId::CLINIC,
        detail: &Detail { kinds: vec![ACCOUNT.to_owned()], up_to: Some(1), ..Detail::default() },
    };
    audit::add(&mut change, Some(&clinic), wrote).await?;
    change.commit().await?;
    Ok(recovery)
}
