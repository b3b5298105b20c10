//! Accounts: one for each person who works here, with a role and a passphrase of their own.

use serde::{Deserialize, Serialize};

use crate::error::Error;
use crate::ids::AccountId;
use crate::record::Record;
use crate::registry::Role;

/// Somebody who works here.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Account {
    /// Its random name.
    pub id: AccountId,
    /// What the person signs in with.
    pub name: String,
    /// What the person may do.
    pub role: Role,
    /// Whether the person may sign in.
    pub enabled: bool,
}

/// The stored body of an account.
#[derive(Serialize, Deserialize)]
pub(crate) struct Body {
    pub(crate) account: String,
    pub(crate) name: String,
    pub(crate) role: Role,
    pub(crate) enabled: bool,
}

impl Account {
    pub(crate) fn body(&self) -> Result<Vec<u8>, Error> {
        let body = Body {
            account: self.id.to_string(),
            name: self.name.clone(),
            role: self.role,
            enabled: self.enabled,
        };
        serde_json::to_vec(&body).map_err(|error| Error::damaged(error.to_string()))
    }

    pub(crate) fn from_record(record: &Record) -> Result<Self, Error> {
        let body: Body = serde_json::from_slice(record.body())
            .map_err(|error| Error::damaged(format!("an account cannot be read: {error}")))?;
        Ok(Self { id: body.account.parse()?, name: body.name, role: body.role, enabled: body.enabled })
    }
}
