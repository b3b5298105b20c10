//! What is in memory while somebody is signed in: keys, accounts, sessions, the newest records.

use std::collections::{BTreeMap, HashMap};

use crate::account::Account;
use crate::error::Error;
use crate::ids::{AccountId, Moment, PersonId};
use crate::record::Record;
use crate::registry::Role;
use crate::secret::Key;

/// For how long looking at the same records again is the same look.
pub(crate) const ONE_LOOK_MS: i64 = 5 * 60 * 1000;

/// One person at work.
pub(crate) struct Seat {
    pub(crate) account: AccountId,
    /// When each set of records was last said to have been looked at.
    pub(crate) looks: HashMap<(PersonId, String), Moment>,
}

/// Everything that is wiped when the store is locked.
pub(crate) struct Vault {
    pub(crate) master: Key,
    /// The key of the clinic's own records, of audit entries and of tombstones.
    pub(crate) clinic: Key,
    /// The key of every person, by whom it belongs to.
    pub(crate) keys: HashMap<PersonId, Key>,
    /// Every account, disabled ones too.
    pub(crate) accounts: BTreeMap<AccountId, Account>,
    /// Who is signed in, by the number of the session.
    pub(crate) seats: HashMap<u64, Seat>,
    /// The newest record of each kept kind of each person.
    pub(crate) kept: HashMap<&'static str, HashMap<PersonId, Record>>,
}

impl Vault {
    /// The key of one person, or of the clinic.
    pub(crate) fn key(&self, person: PersonId) -> Option<&Key> {
        if person == PersonId::CLINIC { Some(&self.clinic) } else { self.keys.get(&person) }
    }

    /// What the session with this number may do now.
    pub(crate) fn role(&self, session: u64) -> Result<(AccountId, Role), Error> {
        let seat = self.seats.get(&session).ok_or(Error::SessionEnded)?;
        if seat.account == AccountId::RECOVERY {
            return Ok((seat.account, Role::Recovery));
        }
        match self.accounts.get(&seat.account) {
            Some(account) if account.enabled => Ok((account.id, account.role)),
            _ => Err(Error::SessionEnded),
        }
    }
}
