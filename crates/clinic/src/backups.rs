//! Backups that are made by themselves: when one is due, what became of it, and what to say of it.

use std::path::{Path, PathBuf};
use std::sync::{Mutex, PoisonError};

use store::{ByItself, Moment};

use crate::{Desk, Error, Settings};

/// Milliseconds of a day.
const DAY_MS: i64 = 24 * 60 * 60 * 1000;

/// What is known of backups made by themselves, since the program began.
#[derive(Default)]
pub(crate) struct Keeper {
    /// One at a time.
    working: tokio::sync::Mutex<()>,
    trouble: Mutex<Option<BackupTrouble>>,
}

/// Why no backup could be made.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct BackupTrouble {
    /// When it failed first.
    pub since: Moment,
    /// What stood in the way, and what to do.
    pub why: String,
}

/// How it stands with backups.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct BackupState {
    /// Now.
    pub now: Moment,
    /// When the last good one was made.
    pub last: Option<Moment>,
    /// Where they are made by themselves; nowhere while it is empty.
    pub folder: String,
    /// Why the last try failed, if it did.
    pub trouble: Option<BackupTrouble>,
    /// Whether the last good one is older than was set.
    pub late: bool,
}

/// Whether a backup is due: there is none, or the last good one is older than so many days. A last one from
/// the future, as after a clock was set back, counts as too old: nobody knows how old it is.
fn is_due(last: Option<Moment>, now: Moment, every_days: u32) -> bool {
    last.is_none_or(|last| {
        let age = now.in_unix_ms() - last.in_unix_ms();
        !(0..i64::from(every_days) * DAY_MS).contains(&age)
    })
}

impl Keeper {
    fn trouble(&self) -> std::sync::MutexGuard<'_, Option<BackupTrouble>> {
        self.trouble.lock().unwrap_or_else(PoisonError::into_inner)
    }
}

impl Desk {
    /// How it stands with backups. The settings are handed in: nobody looks at them for this, and the audit
    /// says only what a hand did.
    ///
    /// # Errors
    /// The file could not be read.
    pub async fn backup_state(&self, settings: &Settings) -> Result<BackupState, Error> {
        let (now, last) = (self.clinic().now(), self.clinic().last_backup().await?);
        Ok(BackupState {
            now,
            last,
            late: is_due(last, now, settings.backup_every_days),
            folder: settings.backup_folder.clone(),
            trouble: self.clinic().keeper.trouble().clone(),
        })
    }

    /// Makes a backup in the folder that was set, if one is due or the folder cannot be reached; says nothing
    /// while no folder is set. What became of it stands in [`Desk::backup_state`].
    ///
    /// # Errors
    /// The session has ended. A backup that failed is no error here.
    pub async fn backup_if_due(&self, settings: &Settings) -> Result<Option<ByItself>, Error> {
        self.backup_by_itself(settings, false).await
    }

    /// As [`Desk::backup_if_due`], due or not: so that a folder that was just set is known to serve.
    ///
    /// # Errors
    /// As [`Desk::backup_if_due`].
    pub async fn backup_to_begin(&self, settings: &Settings) -> Result<Option<ByItself>, Error> {
        self.backup_by_itself(settings, true).await
    }

    async fn backup_by_itself(&self, settings: &Settings, anyhow: bool) -> Result<Option<ByItself>, Error> {
        let keeper = &self.clinic().keeper;
        let _one_at_a_time = keeper.working.lock().await;
        let Settings { backup_folder, backup_every_days, backup_keep, .. } = settings;
        if backup_folder.is_empty() {
            *keeper.trouble() = None;
            return Ok(None);
        }
        let folder = PathBuf::from(backup_folder);
        let now = self.clinic().now();
        let due = is_due(self.clinic().last_backup().await?, now, *backup_every_days);
        // A folder that has gone is told before the next backup is due, while there is time to mend it.
        if !due && !anyhow && is_reachable(&folder) {
            *keeper.trouble() = None;
            return Ok(None);
        }
        match self.session().backup_by_itself(&folder, *backup_keep).await {
            Ok(made) => {
                *keeper.trouble() = None;
                Ok(Some(made))
            }
            Err(error @ store::Error::SessionEnded) => Err(error.into()),
            Err(error) => {
                let mut trouble = keeper.trouble();
                let since = trouble.as_ref().map_or(now, |before| before.since);
                *trouble = Some(BackupTrouble { since, why: error.to_string() });
                Ok(None)
            }
        }
    }
}

fn is_reachable(folder: &Path) -> bool {
    std::fs::read_dir(folder).is_ok()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_backup_is_due_when_there_is_none_when_the_last_is_as_old_as_was_set_and_when_its_age_is_unknown() {
        let now = Moment::unix_ms(100 * DAY_MS);
        let before = |ms| Some(Moment::unix_ms(100 * DAY_MS - ms));
        assert!(is_due(None, now, 1));
        assert!(is_due(before(DAY_MS), now, 1));
        assert!(!is_due(before(DAY_MS - 1), now, 1));
        assert!(!is_due(before(DAY_MS), now, 2));
        assert!(is_due(before(-1), now, 1), "a clock that was set back");
    }
}
