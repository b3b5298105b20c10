//! What can go wrong with a file of records, said to the person in front of it.

use std::path::PathBuf;

use crate::ids::{AccountId, PersonId, RecordId};

/// Why the store did not do what was asked. Nothing was lost or half done.
#[derive(Debug, thiserror::Error)]
pub enum Error {
    /// There is no such file.
    #[error(
        "there is no file `{}`; name a file of records, or create one", .path.display()
    )]
    Missing {
        /// Which file was asked for.
        path: PathBuf,
    },
    /// A new file was asked for where one is.
    #[error(
        "`{}` is there already and was not touched; open it, or name a file that does not exist yet", .path.display()
    )]
    Exists {
        /// Which file was asked for.
        path: PathBuf,
    },
    /// The file belongs to another program.
    #[error(
        "`{}` is not a file of records of this program ({found}); it was not touched; name a file that this program created", .path.display()
    )]
    Foreign {
        /// Which file.
        path: PathBuf,
        /// What it is instead.
        found: String,
    },
    /// Bytes are missing at the end of the file.
    #[error(
        "`{}` has {found} bytes where its first page promises {expected}; it was cut short while it was copied, or the disk failed; it was not touched; restore the last backup to a new file and keep this one", .path.display()
    )]
    Truncated {
        /// Which file.
        path: PathBuf,
        /// Bytes that are there.
        found: u64,
        /// Bytes that should be there.
        expected: u64,
    },
    /// A newer version of this program wrote the file.
    #[error(
        "`{}` was written by a newer version (format {found}; this version reads up to {known}); it was not touched; install the newer version", .path.display()
    )]
    Newer {
        /// Which file.
        path: PathBuf,
        /// Its format.
        found: u32,
        /// The newest format this version reads.
        known: u32,
    },
    /// Another process has the file open.
    #[error(
        "`{}` is open in another window or process; use that one, or close it first; two at once could lose entries", .path.display()
    )]
    InUse {
        /// Which file.
        path: PathBuf,
    },
    /// The disk has no room for what was to be written.
    #[error(
        "the disk is full: what was just to be saved was not, everything before is; free some space, then save again"
    )]
    DiskFull,
    /// Something in the file is not what was written.
    #[error(
        "the file of records is damaged: {what}; stop, keep the file, and restore the last backup to a new file"
    )]
    Damaged {
        /// What was found.
        what: String,
    },
    /// The database or the operating system refused.
    #[error(
        "the file of records could not be used: {why}; nothing was changed; try again, and look at the disk"
    )]
    Failed {
        /// What it said.
        why: String,
    },
    /// The operating system gave no random bytes or no memory.
    #[error("the operating system refused what a key needs: {why}; try again")]
    NoChance {
        /// What it said.
        why: String,
    },
    /// The session has ended.
    #[error("the session has ended: it was signed out, locked, or the account was changed; sign in again")]
    SessionEnded,
    /// The store was closed.
    #[error("the file of records is closed; open it again")]
    Closed,
    /// A passphrase that is easily guessed.
    #[error(
        "this passphrase is too weak: {why}; take at least 12 characters, 5 of them different, for example four words that do not belong together; whoever copies the file can try short ones without end"
    )]
    WeakPassphrase {
        /// What is weak about it.
        why: String,
    },
    /// The passphrase given for a change is not the present one.
    #[error("the present passphrase is not the one given; nothing was changed; type it again")]
    WrongPassphrase,
    /// A mistyped recovery key.
    #[error("`{given}` is not a recovery key: {why}; it has eight groups of five characters as printed")]
    NotARecoveryKey {
        /// What was typed, shortened to the group in question.
        given: String,
        /// What is wrong with it.
        why: String,
    },
    /// An id that is none.
    #[error("`{given}` does not name {what}; an id has 32 hexadecimal digits")]
    NotAnId {
        /// What was given.
        given: String,
        /// What it should name.
        what: &'static str,
    },
    /// The role of this account does not include the act.
    #[error("the role {role} may not {act}; ask somebody whose role may")]
    NotPermitted {
        /// The role of the account.
        role: crate::Role,
        /// What was to be done.
        act: String,
    },
    /// A kind nobody registered.
    #[error(
        "no kind of record is called `{kind}`; register it when the file is opened, with its shapes and who may write it"
    )]
    UnknownKind {
        /// The kind.
        kind: String,
    },
    /// A name of a kind that cannot be one.
    #[error("`{kind}` cannot name a kind of record: {why}")]
    BadKind {
        /// The kind.
        kind: String,
        /// What is wrong with it.
        why: &'static str,
    },
    /// A stored shape could not be brought to the newest.
    #[error("record {record} of kind `{kind}` could not be brought from shape {shape} to the next: {why}")]
    Upcast {
        /// Which record.
        record: RecordId,
        /// Its kind.
        kind: String,
        /// The shape that could not be raised.
        shape: u32,
        /// What the function said.
        why: String,
    },
    /// A record in a shape this version does not know.
    #[error(
        "record {record} of kind `{kind}` has shape {shape}, this version knows {newest}; install the version that wrote it"
    )]
    NewerShape {
        /// Which record.
        record: RecordId,
        /// Its kind.
        kind: String,
        /// Its shape.
        shape: u32,
        /// The newest known one.
        newest: u32,
    },
    /// No such person.
    #[error("there is no person {person}; a person is created before the first record")]
    NoPerson {
        /// Whom.
        person: PersonId,
    },
    /// The person was destroyed.
    #[error("the records of person {person} were destroyed on purpose; a tombstone says when and why")]
    Destroyed {
        /// Whom.
        person: PersonId,
    },
    /// No such record.
    #[error("there is no record {record}")]
    NoRecord {
        /// Which.
        record: RecordId,
    },
    /// Somebody else corrected the record first.
    #[error(
        "record {record} was corrected meanwhile by {newer}; read that one, then correct it if it is still needed"
    )]
    CorrectedMeanwhile {
        /// The record that was to be corrected.
        record: RecordId,
        /// The newest version of it.
        newer: RecordId,
    },
    /// The same submission key with another content.
    #[error(
        "this entry was sent before with other content, as record {record}; that one was kept; send what differs as a correction"
    )]
    SentDifferently {
        /// What was stored the first time.
        record: RecordId,
    },
    /// A reason is missing.
    #[error("{act} needs a reason in words; say why")]
    NoReason {
        /// What was to be done.
        act: &'static str,
    },
    /// Destruction before the records may go.
    #[error(
        "these records are to be kept until {until} (milliseconds since 1970) and now is {now}; destroy them later, or say in words why earlier"
    )]
    KeptLonger {
        /// Until when.
        until: i64,
        /// Now.
        now: i64,
    },
    /// No such account, or it is disabled.
    #[error("there is no account {account} that can be used")]
    NoAccount {
        /// Which.
        account: AccountId,
    },
    /// A name of an account that is taken or empty.
    #[error("an account cannot be called `{name}`: {why}")]
    BadName {
        /// What was given.
        name: String,
        /// What is wrong with it.
        why: &'static str,
    },
    /// No such device.
    #[error("there is no device {device}; look at the list again")]
    NoDevice {
        /// Which.
        device: crate::ids::DeviceId,
    },
    /// A name of a device that cannot be one.
    #[error(
        "a device cannot be called `{name}`; accepted: 1 to {most} characters; type a name that says which it is"
    )]
    BadDeviceName {
        /// What was given.
        name: String,
        /// The longest.
        most: usize,
    },
    /// The last clinician cannot be disabled.
    #[error(
        "this is the last account of a clinician; nobody could manage accounts without it; create another first"
    )]
    LastClinician,
    /// A backup that cannot be used.
    #[error("`{}` cannot be used as a backup: {why}", .path.display())]
    Backup {
        /// Which file.
        path: PathBuf,
        /// What is wrong with it.
        why: String,
    },
}

impl Error {
    /// Something in the file is not what was written.
    pub(crate) fn damaged(what: impl Into<String>) -> Self {
        Self::Damaged { what: what.into() }
    }
}

impl From<sqlx::Error> for Error {
    fn from(error: sqlx::Error) -> Self {
        // Primary result codes of SQLite: 5 busy, 10 disk I/O, 11 corrupt, 13 full, 26 not a database.
        let code = error
            .as_database_error()
            .and_then(|database| database.code())
            .and_then(|code| code.parse::<i32>().ok())
            .map(|code| code & 0xff);
        match (code, &error) {
            (Some(13), _) => Self::DiskFull,
            (Some(11 | 26), _) => Self::damaged(error.to_string()),
            (_, sqlx::Error::PoolClosed | sqlx::Error::WorkerCrashed) => Self::Closed,
            _ => Self::Failed { why: error.to_string() },
        }
    }
}

impl From<std::io::Error> for Error {
    fn from(error: std::io::Error) -> Self {
        if error.kind() == std::io::ErrorKind::StorageFull {
            Self::DiskFull
        } else {
            Self::Failed { why: error.to_string() }
        }
    }
}
