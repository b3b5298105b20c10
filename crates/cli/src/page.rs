//! Writes the practice page of a case, and the practice site.

use std::path::{Path, PathBuf};

use app::Outcome;
use document::{PageOrder, PageSettings, PageStore};
use serde_json::json;

use crate::args::{CaseArgs, OrderArg, PageArgs, SiteArgs};
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
    let choice = settings(look)?;
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

/// How the page reads, with a store of its own.
fn settings(look: PageArgs) -> Result<PageSettings, Failure> {
    let mut chance = [0; 40];
    getrandom::fill(&mut chance).map_err(|error| {
        Failure::NoChance(format!("the system gives no random bytes ({error}); try again"))
    })?;
    Ok(PageSettings {
        language: look.language,
        units: look.units.into(),
        order: match look.order {
            OrderArg::Round => PageOrder::Round,
            OrderArg::Reverse => PageOrder::Reverse,
            OrderArg::Called => PageOrder::Called { seed: look.seed },
        },
        store: PageStore::of(chance),
    })
}

/// `footrose practice-site`.
pub fn site(dir: &Path, clinic: Option<&Path>, of: &SiteArgs, look: PageArgs) -> Result<End, Failure> {
    let clinic = clinic.map(input::case_file).transpose()?;
    let address = match (&of.case, &of.address) {
        (Some(case), Some(address)) => match personal(case, address, of, look)? {
            Ok(address) => Some(address),
            Err(end) => return Ok(end),
        },
        _ => None,
    };
    let site = app::practice_site(clinic.as_ref());
    let files: Vec<(&str, &[u8])> =
        site.files.iter().map(|(name, content)| (*name, content.as_bytes())).collect();
    let written = folder::write(dir, &files)?;
    if of.json {
        let names: Vec<String> = written.iter().map(|path| path.display().to_string()).collect();
        say::json(&json!({ "files": names, "address": address }));
    } else {
        let list: String = written.iter().map(|path| format!("wrote {}\n", path.display())).collect();
        say::text(&format!("{list}Put this folder behind an https address of the clinic.\n"));
        if let Some(address) = address {
            say::text(&format!(
                "Give this address to the person; what follows `#` reaches no host:\n{address}\n"
            ));
        }
    }
    Ok(End::Done)
}

/// The address of the site with the programme of one case behind `#`; how the run ends where there is a red flag.
fn personal(
    path: &Path,
    address: &str,
    of: &SiteArgs,
    look: PageArgs,
) -> Result<Result<String, End>, Failure> {
    let args = CaseArgs { file: path.to_owned(), today: of.today, services: Vec::new(), json: of.json };
    let (case, today) = input::case(&args)?;
    let watch = say::Watch::start();
    let plan = match app::plan_case(&case, today, &|part| watch.see(part)) {
        Outcome::Alert(alert) => return Ok(Err(tell_alert(&alert, &case, today, of.json))),
        Outcome::NoProgramme(none) => return Err(Failure::NoProgramme(none)),
        Outcome::Programme(plan) => plan,
    };
    let made = app::page_of_plan(&plan, &case, today, &settings(look)?);
    let fragment = exchange::Programme::from_json(&made.programme.to_string())
        .and_then(|programme| exchange::fragment::write(&programme))
        .map_err(Failure::Sheet)?;
    Ok(Ok(format!("{}#{fragment}", address.trim_end_matches('#'))))
}

fn tell_files(written: &[PathBuf]) {
    let names: Vec<String> = written.iter().map(|path| path.display().to_string()).collect();
    say::json(&json!({ "files": names }));
}
