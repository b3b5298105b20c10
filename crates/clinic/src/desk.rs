//! Somebody at work in the records: who, in which role, and on which day.

use std::sync::Arc;

use jiff::civil::Date;
use store::{
    Account, AccountId, Action, AuditEntry, Backup, Chain, Check, Device, DeviceId, DeviceSecret, Made,
    PersonId, Record, RecordId, RecoveryKey, Role, Session, Tried,
};

use crate::{Clinic, Error};

/// Somebody at work. Cheap to clone; all clones end together.
#[derive(Clone)]
pub struct Desk {
    clinic: Arc<Clinic>,
    session: Session,
    name: Arc<str>,
}

impl Desk {
    pub(crate) fn new(clinic: Arc<Clinic>, session: Session, name: &str) -> Self {
        Self { clinic, session, name: name.into() }
    }

    pub(crate) fn session(&self) -> &Session {
        &self.session
    }

    /// The clinic.
    #[must_use]
    pub fn clinic(&self) -> &Clinic {
        &self.clinic
    }

    /// The name that was signed in with.
    #[must_use]
    pub fn name(&self) -> &str {
        &self.name
    }

    /// The account.
    #[must_use]
    pub fn account(&self) -> AccountId {
        self.session.account()
    }

    /// The role, as it is now.
    ///
    /// # Errors
    /// The session has ended.
    pub fn role(&self) -> Result<Role, Error> {
        Ok(self.session.role()?)
    }

    /// Whether the session still stands.
    #[must_use]
    pub fn is_signed_in(&self) -> bool {
        self.session.role().is_ok()
    }

    /// The day by the clinic's clock.
    #[must_use]
    pub fn today(&self) -> Date {
        self.clinic.today()
    }

    /// Ends the session; the last one to end wipes every key.
    ///
    /// # Errors
    /// It has ended already.
    pub async fn sign_out(&self) -> Result<(), Error> {
        let ended = self.session.sign_out().await;
        if self.clinic.is_locked() {
            self.clinic.forget_all();
        }
        Ok(ended?)
    }

    /// Writes into the audit what the store does not see itself.
    ///
    /// # Errors
    /// The session has ended, or the disk is full.
    pub async fn note(&self, action: Action, person: PersonId, words: &str) -> Result<(), Error> {
        Ok(self.session.note(action, person, words).await?)
    }

    /// Everybody who has an account, disabled ones too.
    ///
    /// # Errors
    /// The session has ended.
    pub fn accounts(&self) -> Result<Vec<Account>, Error> {
        Ok(self.session.accounts()?)
    }

    /// Audit entries from a number on, oldest first, of one person or of all.
    ///
    /// # Errors
    /// The role may not read it.
    pub async fn audit(
        &self,
        person: Option<PersonId>,
        from: u64,
        most: u32,
    ) -> Result<Vec<AuditEntry>, Error> {
        Ok(self.session.audit(person, from, most).await?)
    }

    /// Creates an account; its passphrase is typed by the person it is for.
    ///
    /// # Errors
    /// The role does not manage accounts, the name is empty or taken, or the passphrase is weak.
    pub async fn create_account(&self, name: &str, role: Role, passphrase: &str) -> Result<AccountId, Error> {
        Ok(self.session.create_account(name, role, passphrase).await?)
    }

    /// Gives an account another role.
    ///
    /// # Errors
    /// The role does not manage accounts, no reason, or it is the last clinician.
    pub async fn change_role(&self, account: AccountId, role: Role, reason: &str) -> Result<(), Error> {
        Ok(self.session.change_role(account, role, reason).await?)
    }

    /// Closes an account: its sessions end, its passphrase opens nothing any more.
    ///
    /// # Errors
    /// The role does not manage accounts, no reason, or it is the last clinician.
    pub async fn disable_account(&self, account: AccountId, reason: &str) -> Result<(), Error> {
        Ok(self.session.disable_account(account, reason).await?)
    }

    /// Changes the passphrase of the one who is signed in.
    ///
    /// # Errors
    /// The present passphrase is another, or the new one is weak.
    pub async fn change_passphrase(&self, present: &str, new: &str) -> Result<(), Error> {
        Ok(self.session.change_passphrase(present, new).await?)
    }

    /// Sets a new passphrase for somebody whose own is forgotten; only with the recovery key.
    ///
    /// # Errors
    /// This desk is not one of the recovery key, nobody has an open account of this name, or the passphrase is
    /// weak.
    pub async fn reset_passphrase(&self, name: &str, new: &str) -> Result<(), Error> {
        let open: Vec<Account> = self.accounts()?.into_iter().filter(|one| one.enabled).collect();
        let wanted = name.trim().to_lowercase();
        let Some(account) = open.iter().find(|one| one.name.to_lowercase() == wanted) else {
            let names: Vec<&str> = open.iter().map(|one| one.name.as_str()).collect();
            return Err(Error::Given {
                what: "the name",
                given: name.trim().to_owned(),
                accepted: names.join(", "),
                to_do: "type the name of an account as it was created",
            });
        };
        Ok(self.session.reset_passphrase(account.id, new).await?)
    }

    /// Makes a new recovery key, shown once; the one before opens nothing any more.
    ///
    /// # Errors
    /// The role does not manage accounts, or the disk is full.
    pub async fn new_recovery_key(&self) -> Result<RecoveryKey, Error> {
        Ok(self.session.new_recovery_key().await?)
    }

    /// Admits a device under a name; what it has to show is given once and stored nowhere.
    ///
    /// # Errors
    /// The role is not clinician, or the name is empty or too long.
    pub async fn admit_device(&self, name: &str) -> Result<(DeviceId, DeviceSecret), Error> {
        Ok(self.session.admit_device(name).await?)
    }

    /// Sends a device away for good.
    ///
    /// # Errors
    /// The role is not clinician, or there is no such device.
    pub async fn end_device(&self, device: DeviceId) -> Result<(), Error> {
        Ok(self.session.end_device(device).await?)
    }

    /// Every device that was ever admitted, the newest first.
    ///
    /// # Errors
    /// The session has ended.
    pub async fn devices(&self) -> Result<Vec<Device>, Error> {
        Ok(self.session.devices().await?)
    }

    /// Entries of students that no clinician has countersigned yet, oldest first.
    ///
    /// # Errors
    /// The session has ended.
    pub async fn awaiting_countersignature(&self) -> Result<Vec<Record>, Error> {
        Ok(self.session.awaiting_countersignature().await?)
    }

    /// Countersigns an entry of a student.
    ///
    /// # Errors
    /// The role is not clinician.
    pub async fn countersign(&self, record: RecordId) -> Result<(), Error> {
        self.session.countersign(record).await?;
        Ok(())
    }

    /// Reads everything once and says whether it is what was written.
    ///
    /// # Errors
    /// The role does not manage, or the file could not be read.
    pub async fn check(&self) -> Result<Check, Error> {
        Ok(self.session.check().await?)
    }

    /// Makes a backup in a folder and reads all of it back.
    ///
    /// # Errors
    /// The folder is not there or full, or what was read back is not what should be there.
    pub async fn backup(&self, folder: &std::path::Path) -> Result<Backup, Error> {
        Ok(self.session.backup(folder).await?)
    }

    /// Every backup that was made, the newest first.
    ///
    /// # Errors
    /// The session has ended.
    pub async fn backups(&self) -> Result<Vec<Made>, Error> {
        Ok(self.session.backups().await?)
    }

    /// Restores a backup to a throw-away file, opens everything in it, and says what is in it.
    ///
    /// # Errors
    /// The role may not, or the file is no backup of these records.
    pub async fn try_backup(&self, backup: &std::path::Path) -> Result<Tried, Error> {
        Ok(self.session.try_backup(backup).await?)
    }

    /// Walks the chain of the audit.
    ///
    /// # Errors
    /// The file could not be read.
    pub async fn verify_audit(&self) -> Result<Chain, Error> {
        Ok(self.session.verify_audit().await?)
    }
}
