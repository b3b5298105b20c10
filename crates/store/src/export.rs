//! Everything about one person, for the person: every record in every version, and who wrote it.

use crate::account::Account;
use crate::audit::{Action, Detail};
use crate::error::Error;
use crate::ids::{Moment, PersonId};
use crate::record::Record;
use crate::session::Session;

/// Everything about one person. The caller makes paper, tables or text of it.
#[derive(Clone)]
pub struct Export {
    /// Whom it is about.
    pub person: PersonId,
    /// When it was taken.
    pub at: Moment,
    /// Every version of every record, in the order of writing.
    pub records: Vec<Record>,
    /// The accounts that the records name as authors.
    pub authors: Vec<Account>,
}

impl Session {
    /// Takes everything about a person out; the audit says so before anything is handed over.
    ///
    /// # Errors
    /// The person does not exist or was destroyed, a record is damaged, or the disk is full.
    pub async fn export(&self, person: PersonId, words: &str) -> Result<Export, Error> {
        let permit = self.permit()?;
        let records = self.all_unseen(person).await?;
        let mut authors = self.accounts()?;
        authors.retain(|account| records.iter().any(|record| record.author() == account.id));
        let at = self.inner.options.now();
        let entry = (self.account, Action::Exported, person, Detail::words(words));
        self.inner.audit(&permit.clinic, entry).await?;
        Ok(Export { person, at, records, authors })
    }
}
