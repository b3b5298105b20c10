//! Writes the practice page of a case, and the practice site.

use std::path::{Path, PathBuf};

use app::Outcome;
use document::{PageOrder, PageSettings, PageStore, PageUnits};
use serde_json::json;

use crate::args::{CaseArgs, OrderArg, PageArgs, UnitsArg};
use crate::end::{End, Failure};
use crate::run::{first_line, stem, tell_alert, warn_of_older_sheets};
use crate::{folder, input, say};

/// How the name of a page ends.
pub const PAGE: &str = "practice.html";

/// `footrose page`.
pub fn page(args: &CaseArgs, out: &Path, look: PageArgs) -> Result<End, Failure> {
    let (case, today) = input::case(args)?;
    let stem = stem(args);
    let watch = say::Watch::start();
    let plan = match app::plan_case(&case, today, &|part| watch.see(part)) {
        Outcome::Alert(alert) => {
            warn_of_older_sheets(out, &stem);
            return Ok(tell_alert(&alert, &case, today, args.json));
        }
        Outcome::NoProgramme(none) => return Err(Failure::NoProgramme(none)),
        Outcome::Programme(plan) => plan,
    };
    let mut chance = [0; 40];
    getrandom::fill(&mut chance).map_err(|error| {
        Failure::NoChance(format!("the system gives no random bytes ({error}); try again"))
    })?;
    let choice = PageSettings {
        language: look.language,
        units: match look.units {
            UnitsArg::Metric => PageUnits::Metric,
            UnitsArg::Imperial => PageUnits::Imperial,
        },
        order: match look.order {
            OrderArg::Round => PageOrder::Round,
            OrderArg::Reverse => PageOrder::Reverse,
            OrderArg::Called => PageOrder::Called { seed: look.seed },
        },
        store: PageStore::of(chance),
    };
    let made = app::page_of_plan(&plan, &case, today, &choice);
    let files = [
        (format!("{stem}{PAGE}"), made.html.into_bytes()),
        (format!("{stem}practice.json"), format!("{:#}\n", made.programme).into_bytes()),
    ];
    let borrowed: Vec<(&str, &[u8])> =
        files.iter().map(|(name, bytes)| (name.as_str(), bytes.as_slice())).collect();
    let written = folder::write(out, &borrowed)?;
    if args.json {
        tell_files(&written);
    } else {
        let list: String = written.iter().map(|path| format!("wrote {}\n", path.display())).collect();
        say::text(&format!(
            "{}Use until {}. Send the page to the phone; keep the JSON to read its log.\n{list}",
            first_line(&case, today),
            plan.programme.use_until
        ));
    }
    Ok(End::Done)
}

/// `footrose practice-site`.
pub fn site(dir: &Path, clinic: Option<&Path>, as_json: bool) -> Result<End, Failure> {
    let case = clinic.map(input::case_file).transpose()?;
    let site = app::practice_site(case.as_ref());
    let files: Vec<(&str, &[u8])> =
        site.files.iter().map(|(name, content)| (*name, content.as_bytes())).collect();
    let written = folder::write(dir, &files)?;
    if as_json {
        tell_files(&written);
    } else {
        let list: String = written.iter().map(|path| format!("wrote {}\n", path.display())).collect();
        say::text(&format!("{list}Put this folder behind an https address of the clinic.\n"));
    }
    Ok(End::Done)
}

fn tell_files(written: &[PathBuf]) {
    let names: Vec<String> = written.iter().map(|path| path.display().to_string()).collect();
    say::json(&json!({ "files": names }));
}
