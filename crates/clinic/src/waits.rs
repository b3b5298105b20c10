//! Whether a student's programme still waits for a clinician.

use store::{PersonId, Role};

use crate::{Desk, Error, ProgrammeRecord};

impl Desk {
    /// Whether the programme that was accepted last was accepted by a student and nobody has countersigned it.
    ///
    /// # Errors
    /// There is no such person, or an entry is damaged.
    pub async fn programme_waits(&self, person: PersonId) -> Result<bool, Error> {
        let Some(newest) = self.newest::<ProgrammeRecord>(person).await? else { return Ok(false) };
        if newest.role != Role::Student {
            return Ok(false);
        }
        let waiting = self.awaiting_countersignature().await?;
        Ok(waiting.iter().any(|record| record.id() == newest.record))
    }
}
