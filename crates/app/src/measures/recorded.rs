//! What a measures file holds once it is read: sessions of tests, and what stands beside them.

use jiff::civil::Date;
use measurement::series::{Landing, Sway};
use measurement::{OwnRepeats, Population, Raters, Session};
use person::CaseFile;
use progress::{Activity, ExternalSupport, Observed, Tested};
use serde::Serialize;

use crate::Override;

/// One test of one limb and direction on one day, with what stands beside it.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Entry {
    /// The line of the file where it stands.
    pub line: usize,
    /// The result with its trials.
    pub session: Session,
    /// A brace or tape that was worn.
    pub support: Option<ExternalSupport>,
    /// The activity that an answer is about.
    pub about: Option<Activity>,
    /// Why it was done although it was refused.
    pub done_anyway: Option<Override>,
    /// Where the foot came down beside the remembered spot, degrees clockwise from straight ahead, one for each
    /// trial; empty for other tests.
    pub error_toward_deg: Vec<u16>,
    /// Every figure of sway of the recordings, one a trial.
    pub sway: Vec<Sway>,
    /// Every landing of the recordings, one a trial.
    pub landings: Vec<Landing>,
}

/// Everything in a measures file.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Measures {
    /// The group whose error of measurement is looked up.
    pub population: Population,
    /// Whether the file said so, or it follows from the conditions of the case.
    pub population_said: bool,
    /// Whether one person measured at all dates.
    pub raters: Raters,
    /// Every result, in the order of the days and then of the file.
    pub entries: Vec<Entry>,
    /// What a clinician observed.
    pub observed: Vec<Observed>,
    /// The clinic's own errors of measurement.
    pub own: Vec<OwnRepeats>,
}

impl Measures {
    /// No measures of this person yet; the group follows from the conditions.
    #[must_use]
    pub fn empty(case: &CaseFile) -> Self {
        Self {
            population: super::read::group_of(case),
            population_said: false,
            raters: Raters::Unknown,
            entries: Vec::new(),
            observed: Vec::new(),
            own: Vec::new(),
        }
    }

    /// The days on which something was measured, each once, in order.
    #[must_use]
    pub fn days(&self) -> Vec<Date> {
        let mut days: Vec<Date> = self.entries.iter().map(|entry| entry.session.taken().date).collect();
        days.dedup();
        days
    }

    /// The results of one day.
    pub fn on(&self, day: Date) -> impl Iterator<Item = &Entry> {
        self.entries.iter().filter(move |entry| entry.session.taken().date == day)
    }

    /// The results as criteria of return take them.
    pub(super) fn tested(&self) -> Vec<Tested> {
        self.entries
            .iter()
            .map(|entry| Tested {
                session: entry.session.clone(),
                support: entry.support,
                about: entry.about,
            })
            .collect()
    }
}
