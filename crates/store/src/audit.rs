//! Who did what to whom and when, as a chain in which every entry holds the hash of all before it.

use blake2::Blake2b;
use blake2::Digest;
use blake2::digest::consts::U32;
use serde::{Deserialize, Serialize};
use sqlx::Row;
use sqlx::sqlite::{SqliteConnection, SqliteRow};

use crate::error::Error;
use crate::ids::{AccountId, Moment, PersonId};
use crate::secret::Key;

/// What was done.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Action {
    /// The file was created.
    Created,
    /// Somebody signed in.
    SignedIn,
    /// A sign-in failed.
    SignInFailed,
    /// Somebody signed out.
    SignedOut,
    /// The screen was locked, or everybody was signed out at once.
    Locked,
    /// A locked screen was opened again.
    Unlocked,
    /// The recovery key was used.
    Recovered,
    /// Records were looked at.
    Viewed,
    /// Records were added.
    Wrote,
    /// A record was corrected or withdrawn.
    Corrected,
    /// A student's record was countersigned.
    Countersigned,
    /// Something was printed.
    Printed,
    /// Something was exported.
    Exported,
    /// A person's records were destroyed.
    Destroyed,
    /// An account was created, changed or disabled.
    AccountChanged,
    /// A passphrase or the recovery key was changed.
    KeyChanged,
    /// A backup was made.
    BackedUp,
    /// The file came from a backup.
    Restored,
    /// A device was admitted or sent away.
    Device,
    /// A device asked to be admitted and was not.
    DeviceRefused,
}

/// Every action with the word that is stored.
const WORDS: [(Action, &str); 20] = [
    (Action::Created, "created"),
    (Action::SignedIn, "signed-in"),
    (Action::SignInFailed, "sign-in-failed"),
    (Action::SignedOut, "signed-out"),
    (Action::Locked, "locked"),
    (Action::Unlocked, "unlocked"),
    (Action::Recovered, "recovered"),
    (Action::Viewed, "viewed"),
    (Action::Wrote, "wrote"),
    (Action::Corrected, "corrected"),
    (Action::Countersigned, "countersigned"),
    (Action::Printed, "printed"),
    (Action::Exported, "exported"),
    (Action::Destroyed, "destroyed"),
    (Action::AccountChanged, "account-changed"),
    (Action::KeyChanged, "key-changed"),
    (Action::BackedUp, "backed-up"),
    (Action::Restored, "restored"),
    (Action::Device, "device"),
    (Action::DeviceRefused, "device-refused"),
];

impl Action {
    /// The word that is stored.
    #[must_use]
    pub fn word(self) -> &'static str {
        WORDS.iter().find(|(action, _)| *action == self).map_or("", |(_, word)| word)
    }

    fn from_word(word: &str) -> Option<Self> {
        WORDS.iter().find(|(_, known)| *known == word).map(|(action, _)| *action)
    }

    /// Whether it may be written while nobody is signed in, when no key is there to seal with.
    fn needs_no_key(self) -> bool {
        matches!(self, Self::SignInFailed | Self::Restored | Self::DeviceRefused)
    }
}

/// What an entry says beyond who, what and when; sealed.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub(crate) struct Detail {
    /// In words: a reason, what was printed.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub(crate) words: String,
    /// The kinds of record it is about.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub(crate) kinds: Vec<String>,
    /// How many records this person has after the entry, if records were added.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub(crate) up_to: Option<i64>,
}

impl Detail {
    /// Words only.
    pub(crate) fn words(words: impl Into<String>) -> Self {
        Self { words: words.into(), ..Self::default() }
    }
}

/// One entry, opened.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct AuditEntry {
    /// Its number, from 1.
    pub number: u64,
    /// When.
    pub at: Moment,
    /// Who; [`AccountId::NOBODY`] if nobody was signed in.
    pub account: AccountId,
    /// What.
    pub action: Action,
    /// Whom it is about; [`PersonId::CLINIC`] if nobody in particular.
    pub person: PersonId,
    /// In words: a reason, what was printed.
    pub words: String,
    /// The kinds of record it is about.
    pub kinds: Vec<String>,
}

/// Where a chain ends.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Head {
    pub(crate) length: i64,
    pub(crate) hash: Vec<u8>,
}

/// What one entry is made of.
pub(crate) struct NewEntry<'a> {
    pub(crate) at: Moment,
    pub(crate) account: AccountId,
    pub(crate) action: Action,
    pub(crate) person: PersonId,
    pub(crate) detail: &'a Detail,
}

pub(crate) fn hash_entry(
    before: &[u8],
    number: i64,
    row: (i64, &[u8], &str, &[u8]),
    sealed: &[u8],
) -> Vec<u8> {
    let (at, account, action, person) = row;
    let mut hash = Blake2b::<U32>::new();
    hash.update(b"footrose audit 1");
    for part in [before, &number.to_be_bytes(), &at.to_be_bytes(), account, action.as_bytes(), person, sealed]
    {
        hash.update((part.len() as u64).to_be_bytes());
        hash.update(part);
    }
    hash.finalize().to_vec()
}

/// The bytes an entry's sealed part is bound to.
pub(crate) fn bound(number: i64, at: i64, account: &[u8], action: &str, person: &[u8]) -> Vec<u8> {
    [
        b"footrose audit entry 1".as_slice(),
        &number.to_be_bytes(),
        &at.to_be_bytes(),
        account,
        person,
        action.as_bytes(),
    ]
    .concat()
}

pub(crate) fn bound_head(length: i64, hash: &[u8]) -> Vec<u8> {
    [b"footrose audit head 1".as_slice(), &length.to_be_bytes(), hash].concat()
}

/// Where the chain ends now.
pub(crate) async fn head(conn: &mut SqliteConnection) -> Result<Head, Error> {
    let row = sqlx::query("SELECT length, hash FROM audit_head WHERE one = 1").fetch_one(conn).await?;
    Ok(Head { length: row.try_get(0)?, hash: row.try_get(1)? })
}

/// Adds one entry within the caller's transaction; with the clinic's key the entry and the end are
/// sealed, without it only a failed sign-in, a refused device or a restoring can be added.
pub(crate) async fn add(
    conn: &mut SqliteConnection,
    key: Option<&Key>,
    entry: NewEntry<'_>,
) -> Result<Head, Error> {
    let before = head(conn).await?;
    let number = before.length + 1;
    let (at, word) = (entry.at.in_unix_ms(), entry.action.word());
    let sealed = match key {
        Some(key) => {
            let plain =
                serde_json::to_vec(entry.detail).map_err(|error| Error::damaged(error.to_string()))?;
            key.derive("audit")
                .seal(&plain, &bound(number, at, entry.account.bytes(), word, entry.person.bytes()))?
        }
        None => Vec::new(),
    };
    let row = (at, entry.account.bytes(), word, entry.person.bytes());
    let hash = hash_entry(&before.hash, number, row, &sealed);
    sqlx::query(
        "INSERT INTO audit (seq, at, account, action, person, sealed, hash) VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7)",
    )
    .bind(number)
    .bind(at)
    .bind(entry.account.bytes())
    .bind(word)
    .bind(entry.person.bytes())
    .bind(sealed)
    .bind(&hash)
    .execute(&mut *conn)
    .await?;
    sqlx::query("UPDATE audit_head SET length = ?1, hash = ?2 WHERE one = 1")
        .bind(number)
        .bind(&hash)
        .execute(&mut *conn)
        .await?;
    if let Some(key) = key.map(|key| key.derive("audit"))
        && (before.length == 0 || seal_holds(conn, &key).await?)
    {
        let seal = key.seal(&[], &bound_head(number, &hash))?;
        sqlx::query("UPDATE audit_head SET sealed_length = ?1, sealed = ?2 WHERE one = 1")
            .bind(number)
            .bind(seal)
            .execute(conn)
            .await?;
    }
    Ok(Head { length: number, hash })
}

/// Whether the end that was sealed last is still in the chain. If not, it is not sealed anew: what
/// was cut off or changed while nobody was signed in stays visible for ever.
async fn seal_holds(conn: &mut SqliteConnection, key: &Key) -> Result<bool, Error> {
    let row = sqlx::query(
        "SELECT sealed_length, sealed, (SELECT hash FROM audit WHERE seq = sealed_length) AS hash
         FROM audit_head WHERE one = 1",
    )
    .fetch_one(conn)
    .await?;
    let (length, seal): (i64, &[u8]) = (row.try_get(0)?, row.try_get(1)?);
    let hash: Option<&[u8]> = row.try_get(2)?;
    Ok(hash.is_some_and(|hash| key.open(seal, &bound_head(length, hash)).is_some()))
}

/// The end of a chain without entries.
pub(crate) fn start(store: &[u8]) -> Vec<u8> {
    let mut hash = Blake2b::<U32>::new();
    hash.update(b"footrose audit start 1");
    hash.update(store);
    hash.finalize().to_vec()
}

/// Opens one stored row.
pub(crate) fn entry(key: &Key, row: &SqliteRow) -> Result<Option<AuditEntry>, Error> {
    let number: i64 = row.try_get("seq")?;
    let at: i64 = row.try_get("at")?;
    let account: &[u8] = row.try_get("account")?;
    let word: &str = row.try_get("action")?;
    let person: &[u8] = row.try_get("person")?;
    let sealed: &[u8] = row.try_get("sealed")?;
    let Some(action) = Action::from_word(word) else { return Ok(None) };
    let detail = if sealed.is_empty() {
        if !action.needs_no_key() {
            return Ok(None);
        }
        Detail::default()
    } else {
        let Some(plain) = key.open(sealed, &bound(number, at, account, word, person)) else {
            return Ok(None);
        };
        let Ok(detail) = serde_json::from_slice(&plain) else { return Ok(None) };
        detail
    };
    Ok(Some(AuditEntry {
        number: number.unsigned_abs(),
        at: Moment::unix_ms(at),
        account: AccountId::from_bytes(account)?,
        action,
        person: PersonId::from_bytes(person)?,
        words: detail.words,
        kinds: detail.kinds,
    }))
}

/// Entries from a number on, oldest first, of one person or of all.
pub(crate) async fn entries(
    conn: &mut SqliteConnection,
    key: &Key,
    person: Option<PersonId>,
    from: u64,
    most: u32,
) -> Result<Vec<AuditEntry>, Error> {
    let from = i64::try_from(from).unwrap_or(i64::MAX);
    let rows = match person {
        Some(person) => {
            sqlx::query("SELECT * FROM audit WHERE person = ?1 AND seq >= ?2 ORDER BY seq LIMIT ?3")
                .bind(person.bytes().to_vec())
                .bind(from)
                .bind(i64::from(most))
                .fetch_all(conn)
                .await?
        }
        None => {
            sqlx::query("SELECT * FROM audit WHERE seq >= ?1 ORDER BY seq LIMIT ?2")
                .bind(from)
                .bind(i64::from(most))
                .fetch_all(conn)
                .await?
        }
    };
    let key = key.derive("audit");
    rows.iter()
        .map(|row| {
            entry(&key, row)?.ok_or_else(|| {
                let number: i64 = row.try_get("seq").unwrap_or_default();
                Error::damaged(format!("audit entry {number} does not open; verify the audit"))
            })
        })
        .collect()
}

/// Bytes as hexadecimal digits.
pub(crate) fn hex(bytes: &[u8]) -> String {
    bytes.iter().map(|byte| format!("{byte:02x}")).collect()
}
