//! The practice page of a plan, and the site for phones that refuse files.

use document::{PageSettings, PracticePage, PracticeSite, SheetSettings, Wording};
use jiff::civil::Date;
use movement::ArmTask;
use person::CaseFile;
use programme::{Exercise, Programme};

use crate::Plan;

/// The page of one plan.
#[must_use]
pub fn page_of_plan(plan: &Plan, case: &CaseFile, today: Date, settings: &PageSettings) -> PracticePage {
    let wording = Wording { language: settings.language, units: settings.units };
    let sheet = SheetSettings::of(case, Some(&plan.space), today, wording);
    document::page(&plan.programme, &case.person, &case.clinic, &sheet, settings)
}

/// The site, with the numbers of the clinic of this case where one is given.
#[must_use]
pub fn practice_site(case: Option<&CaseFile>) -> PracticeSite {
    document::practice_site(&case.map(|case| case.clinic.clone()).unwrap_or_default())
}

/// Whether an address can carry a programme: what stands behind `#` has directions, distances and doses, and no words
/// of what the arms do.
#[must_use]
pub fn fits_an_address(programme: &Programme) -> bool {
    programme.exercises.iter().flat_map(Exercise::movements).all(|one| one.spec().arms == ArmTask::Free)
}
