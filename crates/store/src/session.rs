//! One person at work: every reading and writing goes through a session, so that it has an author.

use std::future::Future;
use std::sync::{Arc, PoisonError};

use sqlx::Connection;
use sqlx::sqlite::SqliteConnection;

use crate::append::Author;
use crate::audit::{self, Action, Detail, NewEntry};
use crate::error::Error;
use crate::ids::{AccountId, Moment, PersonId};
use crate::record::Record;
use crate::registry::{ACCOUNT, COUNTERSIGNATURE, Registry, Role};
use crate::secret::Key;
use crate::store::Inner;
use crate::vault::{ONE_LOOK_MS, Vault};

/// Somebody signed in. Cheap to clone; all clones end together.
#[derive(Clone)]
pub struct Session {
    pub(crate) inner: Arc<Inner>,
    pub(crate) number: u64,
    pub(crate) account: AccountId,
}

/// What a session may do at the moment it was asked.
pub(crate) struct Permit {
    pub(crate) account: AccountId,
    pub(crate) role: Role,
    pub(crate) clinic: Key,
}

impl Permit {
    pub(crate) fn author(&self, at: Moment) -> Author {
        Author { account: self.account, role: self.role, at }
    }

    pub(crate) fn refuse(&self, act: &str) -> Error {
        Error::NotPermitted { role: self.role, act: act.to_owned() }
    }

    /// Whether the role may write records of a kind.
    pub(crate) fn may_write(&self, registry: &Registry, kind: &str) -> Result<(), Error> {
        if kind == ACCOUNT || kind == COUNTERSIGNATURE {
            return Err(self.refuse("write what the store writes itself"));
        }
        if registry.kind(kind)?.writers.contains(&self.role) {
            Ok(())
        } else {
            Err(self.refuse(&format!("write `{kind}`")))
        }
    }
}

/// Runs something to its end even when nobody waits for it any more: a browser that goes away must
/// not leave memory and disk telling different things.
pub(crate) async fn uncancelled<T: Send + 'static>(
    work: impl Future<Output = Result<T, Error>> + Send + 'static,
) -> Result<T, Error> {
    match tokio::spawn(work).await {
        Ok(result) => result,
        Err(error) => Err(Error::Failed { why: error.to_string() }),
    }
}

impl Session {
    /// Whose session it is.
    #[must_use]
    pub fn account(&self) -> AccountId {
        self.account
    }

    /// The role of the account now.
    ///
    /// # Errors
    /// The session has ended.
    pub fn role(&self) -> Result<Role, Error> {
        self.permit().map(|permit| permit.role)
    }

    /// Ends this session. The last one to end wipes every key.
    ///
    /// # Errors
    /// The session has ended already, or the audit entry could not be written.
    pub async fn sign_out(&self) -> Result<(), Error> {
        let permit = self.permit()?;
        {
            let mut vault = self.inner.vault.write().unwrap_or_else(PoisonError::into_inner);
            if let Some(open) = vault.as_mut() {
                open.seats.remove(&self.number);
                if open.seats.is_empty() {
                    *vault = None;
                }
            }
        }
        let entry = (self.account, Action::SignedOut, PersonId::CLINIC, Detail::default());
        self.inner.audit(&permit.clinic, entry).await
    }

    /// Creates a person with a key of its own. The same `once` gives the same person.
    ///
    /// # Errors
    /// The role only reads, or the disk is full.
    pub async fn create_person(&self, once: &str) -> Result<PersonId, Error> {
        let mut made = self.create_persons(&[once.to_owned()]).await?;
        made.pop().ok_or_else(|| Error::damaged("one person was asked for and none came"))
    }

    /// Creates several persons, all or none, as when a list of people is taken over.
    ///
    /// # Errors
    /// As [`Session::create_person`].
    pub async fn create_persons(&self, once: &[String]) -> Result<Vec<PersonId>, Error> {
        let (me, once) = (self.clone(), once.to_owned());
        uncancelled(async move { me.create_now(&once).await }).await
    }

    async fn create_now(&self, names: &[String]) -> Result<Vec<PersonId>, Error> {
        let mut writer = self.inner.conns.writer.lock().await;
        let conn = writer.as_mut().ok_or(Error::Closed)?;
        let permit = self.permit()?;
        if matches!(permit.role, Role::Reader | Role::Recovery) {
            return Err(permit.refuse("create a person"));
        }
        let once_key = permit.clinic.derive("once");
        let mut change = conn.begin().await?;
        let (mut all, mut fresh) = (Vec::with_capacity(names.len()), Vec::new());
        for name in names {
            let once = &once_key.mac(&[b"person".as_slice(), name.as_bytes()])[..16];
            let there = sqlx::query("SELECT person FROM person WHERE once = ?1")
                .bind(once)
                .fetch_optional(&mut *change)
                .await?;
            if let Some(row) = there {
                all.push(PersonId::from_bytes(sqlx::Row::try_get(&row, 0)?)?);
                continue;
            }
            let now = self.inner.options.now();
            let (person, key) = (PersonId::new(now)?, Key::new()?);
            let wrapped = self.open_vault(|vault| vault.master.wrap(&key, person.bytes()))?;
            sqlx::query("INSERT INTO person (person, once, created, wrapped) VALUES (?1, ?2, ?3, ?4)")
                .bind(person.bytes())
                .bind(once)
                .bind(now.in_unix_ms())
                .bind(wrapped)
                .execute(&mut *change)
                .await?;
            let entry = NewEntry {
                at: now,
                account: permit.account,
                action: Action::Wrote,
                person,
                detail: &Detail { up_to: Some(0), ..Detail::default() },
            };
            audit::add(&mut change, Some(&permit.clinic), entry).await?;
            fresh.push((person, key));
            all.push(person);
        }
        change.commit().await?;
        self.change_vault(|vault| vault.keys.extend(fresh));
        Ok(all)
    }

    /// Everybody there are records of, in the order of their ids, which begin with the moment of creation.
    /// One look at the list.
    ///
    /// # Errors
    /// The session has ended, or the look could not be written down.
    pub async fn persons(&self) -> Result<Vec<PersonId>, Error> {
        self.look(PersonId::CLINIC, "list").await?;
        let mut all = self.open_vault(|vault| Ok(vault.keys.keys().copied().collect::<Vec<_>>()))?;
        all.sort_unstable();
        Ok(all)
    }

    /// Writes into the audit what the store does not see itself: printed, locked, a device admitted.
    ///
    /// # Errors
    /// The session has ended, or the disk is full.
    pub async fn note(&self, action: Action, person: PersonId, words: &str) -> Result<(), Error> {
        let permit = self.permit()?;
        self.inner.audit(&permit.clinic, (self.account, action, person, Detail::words(words))).await
    }

    /// What this session may do now.
    pub(crate) fn permit(&self) -> Result<Permit, Error> {
        self.open_vault(|vault| {
            let (account, role) = vault.role(self.number)?;
            Ok(Permit { account, role, clinic: vault.clinic.clone() })
        })
    }

    /// Looks into the vault; an ended session does not.
    pub(crate) fn open_vault<T>(&self, look: impl FnOnce(&Vault) -> Result<T, Error>) -> Result<T, Error> {
        let vault = self.inner.vault.read().unwrap_or_else(PoisonError::into_inner);
        match vault.as_ref() {
            Some(open) if open.seats.contains_key(&self.number) => look(open),
            _ => Err(Error::SessionEnded),
        }
    }

    /// Changes the vault, if it is still open.
    pub(crate) fn change_vault<T>(&self, change: impl FnOnce(&mut Vault) -> T) -> Option<T> {
        self.inner.vault.write().unwrap_or_else(PoisonError::into_inner).as_mut().map(change)
    }

    /// The key of a person who exists on the disk now.
    pub(crate) async fn person_key(
        &self,
        conn: &mut SqliteConnection,
        person: PersonId,
    ) -> Result<Key, Error> {
        let there = sqlx::query("SELECT 1 FROM person WHERE person = ?1")
            .bind(person.bytes())
            .fetch_optional(&mut *conn)
            .await?;
        if there.is_none() {
            let buried = sqlx::query("SELECT 1 FROM tombstone WHERE person = ?1")
                .bind(person.bytes())
                .fetch_optional(conn)
                .await?;
            return Err(if buried.is_some() {
                Error::Destroyed { person }
            } else {
                Error::NoPerson { person }
            });
        }
        self.open_vault(|vault| vault.key(person).cloned().ok_or(Error::NoPerson { person }))
    }

    /// Keeps records that were just written, where their kind is kept in memory.
    pub(crate) fn keep(&self, fresh: Vec<(PersonId, String, Option<Record>)>) {
        self.change_vault(|vault| {
            for (person, kind, record) in fresh {
                let Some((_, of_kind)) = vault.kept.iter_mut().find(|(known, _)| **known == kind) else {
                    continue;
                };
                match record {
                    Some(record) => of_kind.insert(person, record),
                    None => of_kind.remove(&person),
                };
            }
        });
    }

    /// Writes down that several kinds of records of somebody are looked at, as one look: what is read
    /// of them in the next five minutes is the same look. Of [`PersonId::CLINIC`]: the lists of everybody.
    ///
    /// # Errors
    /// The session has ended, or the look could not be written down.
    pub async fn look_at(&self, person: PersonId, kinds: &[&str]) -> Result<(), Error> {
        let now = self.inner.options.now();
        let permit = self.permit()?;
        let due: Vec<String> = self.open_vault(|vault| {
            let seat = vault.seats.get(&self.number).ok_or(Error::SessionEnded)?;
            let is_due = |kind: &&&str| {
                let last = seat.looks.get(&(person, (**kind).to_owned()));
                last.is_none_or(|last| !(0..ONE_LOOK_MS).contains(&(now.in_unix_ms() - last.in_unix_ms())))
            };
            Ok(kinds.iter().filter(is_due).map(|kind| (*kind).to_owned()).collect())
        })?;
        if due.is_empty() {
            return Ok(());
        }
        let me = self.clone();
        uncancelled(async move {
            let detail = Detail { kinds: due.clone(), ..Detail::default() };
            me.inner.audit(&permit.clinic, (me.account, Action::Viewed, person, detail)).await?;
            me.change_vault(|vault| {
                if let Some(seat) = vault.seats.get_mut(&me.number) {
                    seat.looks.extend(due.into_iter().map(|kind| ((person, kind), now)));
                }
            });
            Ok(())
        })
        .await
    }

    /// Writes down that records were looked at, once in five minutes for each person and set.
    pub(crate) async fn look(&self, person: PersonId, what: &str) -> Result<(), Error> {
        self.look_at(person, &[what]).await
    }
}
