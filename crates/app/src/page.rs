//! The practice page of a plan, and the site for phones that refuse files.

use document::{PageSettings, PracticePage, PracticeSite, SheetSettings, Wording};
use jiff::civil::Date;
use person::CaseFile;

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
