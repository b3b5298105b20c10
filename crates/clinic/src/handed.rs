//! What went home in a form that a log comes back from: the programme with its mark, and which entry it is of.

use std::collections::BTreeMap;

use exchange::{Known, Mark, Programme};
use jiff::civil::Date;
use serde::{Deserialize, Serialize};
use store::{PersonId, RecordId};

use crate::{Desk, Error, ProgrammeRecord};

/// A programme that was handed out.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct HandedOut {
    /// The day.
    pub on: Date,
    /// In which form.
    pub form: HandedForm,
    /// The entry of the programme that was accepted; its text, as in [`RecordId`].
    pub accepted: String,
    /// The programme as the practice page has it, without the person's name.
    pub programme: Programme,
}

/// In which form a programme went home.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum HandedForm {
    /// The practice page, as one file.
    Page,
    /// An address of the practice site.
    Address,
    /// Not from here: its log came home and fitted the programme that was accepted.
    Elsewhere,
}

impl HandedForm {
    /// In words.
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            Self::Page => "practice page",
            Self::Address => "address of the practice site",
            Self::Elsewhere => "made elsewhere",
        }
    }
}

/// A programme that a log of one person may be of.
#[derive(Clone, Debug, PartialEq)]
pub struct KnownProgramme {
    /// What a code is read against.
    pub known: Known,
    /// What is practised.
    pub programme: Programme,
    /// The entry of the accepted programme.
    pub accepted: String,
    /// Whether it was handed out from these records.
    pub handed_out: bool,
}

impl KnownProgramme {
    /// How far a direction was asked for, centimetres.
    #[must_use]
    pub fn distance_cm(&self, cell: &progress::Cell) -> Option<f64> {
        let exercise = self.programme.exercises.get(usize::from(cell.exercise).checked_sub(1)?)?;
        let limb = exercise.limbs.iter().find(|limb| limb.mover == cell.mover)?;
        let asked = |target: &&exchange::programme::Target| {
            target.bearing == cell.bearing && target.crossing == cell.crossing
        };
        limb.cells.iter().find(asked).map(|target| target.cm)
    }
}

impl Desk {
    /// Remembers what goes home. The same programme in the same form is remembered once.
    ///
    /// # Errors
    /// As [`Desk::append`].
    pub async fn hand_out(&self, person: PersonId, out: HandedOut) -> Result<RecordId, Error> {
        let out = HandedOut { programme: nameless(out.programme), ..out };
        let once = format!("handed out {} {} {}", out.programme.mark, out.accepted, out.form.words());
        self.append(person, &out, &once).await
    }

    /// Every programme that a log of this person may be of: what was handed out, and what might have been
    /// handed out elsewhere of the programme that was accepted last.
    ///
    /// # Errors
    /// There is no such person, or an entry is damaged.
    pub async fn known_programmes(
        &self,
        person: PersonId,
        elsewhere: Vec<Programme>,
    ) -> Result<Vec<KnownProgramme>, Error> {
        let newest = self
            .newest::<ProgrammeRecord>(person)
            .await?
            .map_or_else(String::new, |one| one.record.to_string());
        let mut stored: BTreeMap<Mark, Vec<progress::Session>> = BTreeMap::new();
        for one in self.logged(person).await? {
            if let Some(mark) = one.programme {
                stored.entry(mark).or_default().push(one.session);
            }
        }
        let mut all: Vec<KnownProgramme> = Vec::new();
        let handed = self.read::<HandedOut>(person).await?.into_iter().map(|entry| entry.body);
        let handed = handed.map(|out| (out.accepted, out.programme, true));
        let might = elsewhere.into_iter().map(|one| (newest.clone(), nameless(one), false));
        for (accepted, programme, handed_out) in handed.chain(might) {
            let replaced = accepted != newest;
            if let Some(one) = all.iter_mut().find(|one| one.known.mark == programme.mark) {
                // The same programme may have been accepted again.
                one.known.replaced &= replaced;
                continue;
            }
            let known = Known {
                mark: programme.mark,
                prescription: programme.prescription(),
                stored: stored.get(&programme.mark).cloned().unwrap_or_default(),
                replaced,
            };
            all.push(KnownProgramme { known, programme, accepted, handed_out });
        }
        Ok(all)
    }
}

/// The mark says nothing of anybody; neither does what is stored beside it.
fn nameless(programme: Programme) -> Programme {
    Programme { person: String::new(), ..programme }
}
