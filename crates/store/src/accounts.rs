//! Managing accounts: create, change, disable, and the passphrases and the recovery key.

use std::collections::BTreeMap;

use sqlx::sqlite::SqliteConnection;
use sqlx::{Connection, Row};
use zeroize::Zeroizing;

use crate::account::Account;
use crate::append::{self, Draft};
use crate::audit::{self, Action, Detail, NewEntry};
use crate::error::Error;
use crate::ids::{AccountId, PersonId};
use crate::recovery::RecoveryKey;
use crate::registry::{ACCOUNT, Role};
use crate::secret::{FromPassphrase, check_passphrase, stretch, tidy_name};
use crate::session::{Permit, Session, uncancelled};
use crate::store::{put_access, recovery_tag};

impl Session {
    /// Every account, disabled ones too: records name their authors by these.
    ///
    /// # Errors
    /// The session has ended.
    pub fn accounts(&self) -> Result<Vec<Account>, Error> {
        self.open_vault(|vault| Ok(vault.accounts.values().cloned().collect()))
    }

    /// Creates an account with a passphrase of its own, typed by the person it is for.
    ///
    /// # Errors
    /// The role does not manage accounts, the name is empty or taken, or the passphrase is weak.
    pub async fn create_account(&self, name: &str, role: Role, passphrase: &str) -> Result<AccountId, Error> {
        let name = name.trim().to_owned();
        self.manage("create an account")?;
        if role == Role::Recovery {
            return Err(Error::BadName {
                name,
                why: "an account is a clinician, assistant, student or reader",
            });
        }
        check_passphrase(passphrase, &name)?;
        self.name_is_free(&name, None)?;
        let stretched = self.stretch(passphrase, &name).await?;
        let me = self.clone();
        uncancelled(async move {
            let mut writer = me.inner.conns.writer.lock().await;
            let conn = writer.as_mut().ok_or(Error::Closed)?;
            let permit = me.manage("create an account")?;
            me.name_is_free(&name, None)?;
            let account = Account { id: AccountId::new(me.inner.options.now())?, name, role, enabled: true };
            let mut change = conn.begin().await?;
            me.wrap_for(&mut change, account.id, &stretched).await?;
            me.put_account(&mut change, &permit, &account, "").await?;
            change.commit().await?;
            let id = account.id;
            me.change_vault(|vault| vault.accounts.insert(id, account));
            Ok(id)
        })
        .await
    }

    /// Gives an account another role.
    ///
    /// # Errors
    /// The role does not manage accounts, or it is the last clinician.
    pub async fn change_role(&self, account: AccountId, role: Role, reason: &str) -> Result<(), Error> {
        if role == Role::Recovery {
            return Err(Error::BadName {
                name: role.to_string(),
                why: "an account is a clinician, assistant, student or reader",
            });
        }
        self.change_account(account, reason, move |account| account.role = role).await
    }

    /// Disables an account: its sessions end, its passphrase opens nothing any more.
    ///
    /// # Errors
    /// The role does not manage accounts, no reason is given, or it is the last clinician.
    pub async fn disable_account(&self, account: AccountId, reason: &str) -> Result<(), Error> {
        self.change_account(account, reason, |account| account.enabled = false).await
    }

    async fn change_account(
        &self,
        account: AccountId,
        reason: &str,
        change_it: impl FnOnce(&mut Account) + Send + 'static,
    ) -> Result<(), Error> {
        let reason = reason.trim().to_owned();
        if reason.is_empty() {
            return Err(Error::NoReason { act: "changing an account" });
        }
        let me = self.clone();
        uncancelled(async move {
            let mut writer = me.inner.conns.writer.lock().await;
            let conn = writer.as_mut().ok_or(Error::Closed)?;
            let permit = me.manage("change an account")?;
            let changed = me.open_vault(|vault| {
                let mut changed = vault
                    .accounts
                    .get(&account)
                    .filter(|a| a.enabled)
                    .ok_or(Error::NoAccount { account })?
                    .clone();
                change_it(&mut changed);
                let decides = |a: &Account| a.enabled && a.role == Role::Clinician;
                let others = vault.accounts.values().any(|a| a.id != account && decides(a));
                if others || decides(&changed) { Ok(changed) } else { Err(Error::LastClinician) }
            })?;
            let mut change = conn.begin().await?;
            if !changed.enabled {
                sqlx::query("DELETE FROM access WHERE account = ?1")
                    .bind(account.bytes())
                    .execute(&mut *change)
                    .await?;
            }
            me.put_account(&mut change, &permit, &changed, &reason).await?;
            change.commit().await?;
            me.change_vault(|vault| {
                if !changed.enabled {
                    vault.seats.retain(|_, seat| seat.account != account);
                }
                vault.accounts.insert(account, changed);
            });
            Ok(())
        })
        .await
    }

    /// Changes the passphrase of the account that is signed in.
    ///
    /// # Errors
    /// The present passphrase is another, or the new one is weak.
    pub async fn change_passphrase(&self, present: &str, new: &str) -> Result<(), Error> {
        let name = self.own_name()?;
        check_passphrase(new, &name)?;
        let present = self.stretch(present, &name).await?;
        let new = self.stretch(new, &name).await?;
        let me = self.clone();
        uncancelled(async move {
            let mut writer = me.inner.conns.writer.lock().await;
            let conn = writer.as_mut().ok_or(Error::Closed)?;
            let permit = me.permit()?;
            let mut change = conn.begin().await?;
            let row = sqlx::query("SELECT wrapped FROM access WHERE account = ?1 AND tag = ?2")
                .bind(me.account.bytes())
                .bind(present.tag.as_slice())
                .fetch_optional(&mut *change)
                .await?
                .ok_or(Error::WrongPassphrase)?;
            present.key.unwrap_key(row.try_get(0)?, me.account.bytes()).ok_or(Error::WrongPassphrase)?;
            me.wrap_for(&mut change, me.account, &new).await?;
            me.audit_key_change(&mut change, &permit, "own passphrase").await?;
            change.commit().await?;
            Ok(())
        })
        .await
    }

    /// Sets a new passphrase for an account whose own is forgotten. Only with the recovery key.
    ///
    /// # Errors
    /// The session is not one of the recovery key, no such account, or the passphrase is weak.
    pub async fn reset_passphrase(&self, account: AccountId, new: &str) -> Result<(), Error> {
        let named = self.open_vault(|vault| {
            let (_, role) = vault.role(self.number)?;
            if role != Role::Recovery {
                return Err(Error::NotPermitted {
                    role,
                    act: "set the passphrase of another account".to_owned(),
                });
            }
            vault.accounts.get(&account).filter(|a| a.enabled).cloned().ok_or(Error::NoAccount { account })
        })?;
        check_passphrase(new, &named.name)?;
        let new = self.stretch(new, &named.name).await?;
        let me = self.clone();
        uncancelled(async move {
            let mut writer = me.inner.conns.writer.lock().await;
            let conn = writer.as_mut().ok_or(Error::Closed)?;
            let permit = me.permit()?;
            let mut change = conn.begin().await?;
            me.wrap_for(&mut change, account, &new).await?;
            me.audit_key_change(&mut change, &permit, &format!("passphrase of account {account}")).await?;
            change.commit().await?;
            Ok(())
        })
        .await
    }

    /// Makes a new recovery key; the one before opens nothing any more.
    ///
    /// # Errors
    /// The role does not manage accounts, or the disk is full.
    pub async fn new_recovery_key(&self) -> Result<RecoveryKey, Error> {
        let me = self.clone();
        uncancelled(async move {
            let recovery = RecoveryKey::new()?;
            let key = recovery.key(&me.inner.id);
            let mut writer = me.inner.conns.writer.lock().await;
            let conn = writer.as_mut().ok_or(Error::Closed)?;
            let permit = me.manage("make a new recovery key")?;
            let mut change = conn.begin().await?;
            let from_key = FromPassphrase { tag: recovery_tag(&key), key };
            me.wrap_for(&mut change, AccountId::RECOVERY, &from_key).await?;
            me.audit_key_change(&mut change, &permit, "recovery key").await?;
            change.commit().await?;
            Ok(recovery)
        })
        .await
    }

    /// What this session may do, if it manages accounts.
    fn manage(&self, act: &str) -> Result<Permit, Error> {
        let permit = self.permit()?;
        if permit.role.manages() { Ok(permit) } else { Err(permit.refuse(act)) }
    }

    fn own_name(&self) -> Result<String, Error> {
        let account = self.account;
        self.open_vault(|vault| {
            vault.accounts.get(&account).map(|a| a.name.clone()).ok_or(Error::NoAccount { account })
        })
    }

    /// A name is free if no account, disabled ones included, is called so: records name authors.
    fn name_is_free(&self, name: &str, except: Option<AccountId>) -> Result<(), Error> {
        let bad = |why| Err(Error::BadName { name: name.to_owned(), why });
        if name.is_empty() {
            return bad("it is empty");
        }
        let names: BTreeMap<String, AccountId> = self
            .open_vault(|vault| Ok(vault.accounts.values().map(|a| (tidy_name(&a.name), a.id)).collect()))?;
        match names.get(&tidy_name(name)) {
            Some(other) if Some(*other) != except => bad("somebody is, or was, called so already"),
            _ => Ok(()),
        }
    }

    /// Stretches a passphrase where it may take its time, one at a time.
    async fn stretch(&self, passphrase: &str, name: &str) -> Result<FromPassphrase, Error> {
        let _one_at_a_time = self.inner.signing.lock().await;
        let passphrase = Zeroizing::new(passphrase.to_owned());
        let (salt, name, cost) = (self.inner.salt.clone(), name.to_owned(), self.inner.cost);
        tokio::task::spawn_blocking(move || stretch(&passphrase, &salt, &name, cost))
            .await
            .map_err(|error| Error::Failed { why: error.to_string() })?
    }

    /// Wraps the master key for an account.
    async fn wrap_for(
        &self,
        conn: &mut SqliteConnection,
        account: AccountId,
        from: &FromPassphrase,
    ) -> Result<(), Error> {
        let wrapped = self.open_vault(|vault| from.key.wrap(&vault.master, account.bytes()))?;
        put_access(conn, account, &from.tag, &wrapped).await
    }

    /// Writes the record of an account: its first, or a new version of it.
    async fn put_account(
        &self,
        conn: &mut SqliteConnection,
        permit: &Permit,
        account: &Account,
        reason: &str,
    ) -> Result<(), Error> {
        let author = permit.author(self.inner.options.now());
        let body = account.body()?;
        let origin = self.account_origin(conn, permit, account.id).await?;
        let seq = append::count(conn, PersonId::CLINIC).await? + 1;
        let draft = Draft {
            person: PersonId::CLINIC,
            kind: ACCOUNT,
            shape: 1,
            reason,
            body: &body,
            once: &format!("{} {seq}", account.id),
            corrects: origin,
        };
        append::put(conn, &permit.clinic, &permit.clinic, author, draft).await?;
        let detail = Detail {
            words: format!("{} {reason}", account.id).trim().to_owned(),
            kinds: vec![ACCOUNT.to_owned()],
            up_to: Some(seq),
        };
        let entry = NewEntry {
            at: author.at,
            account: permit.account,
            action: Action::AccountChanged,
            person: PersonId::CLINIC,
            detail: &detail,
        };
        audit::add(conn, Some(&permit.clinic), entry).await?;
        Ok(())
    }

    /// Where the entry of an account begins; `None` for an account that has none yet.
    async fn account_origin(
        &self,
        conn: &mut SqliteConnection,
        permit: &Permit,
        account: AccountId,
    ) -> Result<Option<i64>, Error> {
        let rows = sqlx::query("SELECT * FROM record WHERE person = ?1 AND kind = ?2 ORDER BY seq")
            .bind(PersonId::CLINIC.bytes())
            .bind(ACCOUNT)
            .fetch_all(conn)
            .await?;
        for row in &rows {
            let record = crate::read::open(&self.inner.options.registry, &permit.clinic, row)?;
            if Account::from_record(&record)?.id == account {
                return Ok(Some(record.origin));
            }
        }
        Ok(None)
    }

    async fn audit_key_change(
        &self,
        conn: &mut SqliteConnection,
        permit: &Permit,
        words: &str,
    ) -> Result<(), Error> {
        let entry = NewEntry {
            at: self.inner.options.now(),
            account: permit.account,
            action: Action::KeyChanged,
            person: PersonId::CLINIC,
            detail: &Detail::words(words),
        };
        audit::add(conn, Some(&permit.clinic), entry).await?;
        Ok(())
    }
}
