//! Where and how often backups are made by themselves, and how many are kept.

use std::path::Path;

use axum::Router;
use axum::routing::post;
use clinic::{Settings, defaults};
use maud::{Markup, html};

use super::super::settings::whole;
use super::{Said, page};
use crate::fault::sentence;
use crate::fields::Fields;
use crate::seat::Seat;
use crate::{Answer, Web};

pub(super) fn routes() -> Router<Web> {
    Router::new().route("/clinic/backup/by-itself", post(take))
}

/// What the forms of the page show: what was typed, else what is set.
pub(super) fn known(settings: &Settings, typed: &Fields) -> Fields {
    let of = |name: &'static str, set: &str| {
        let shown = if typed.has(name) { typed.get(name) } else { set };
        (name, shown.to_owned())
    };
    Fields::known([
        of("place", &settings.backup_folder),
        of("every_days", &settings.backup_every_days.to_string()),
        of("keep", &settings.backup_keep.to_string()),
        of("folder", &settings.backup_folder),
        of("file", ""),
    ])
}

/// The settings with what was typed; the folder has to be there, so that a slip is noticed now.
fn parse(fields: &Fields, before: Settings) -> Result<Settings, String> {
    let folder = fields.get("place").trim();
    if !folder.is_empty() && !Path::new(folder).is_dir() {
        return Err(format!(
            "`{folder}` is no folder on this machine. Create it, or plug its disk in, and type the whole path. \
             Leave the field empty to have none made."
        ));
    }
    if !folder.is_empty() && Path::new(folder).is_relative() {
        return Err(format!("`{folder}` does not say where it begins. Type the whole path."));
    }
    let [least, most] = defaults().backup.every_days_between;
    let [fewest, many] = defaults().backup.keep_between;
    Ok(Settings {
        backup_folder: folder.to_owned(),
        backup_every_days: whole(fields, "every_days", "Days between two backups", least, most)?,
        backup_keep: whole(fields, "keep", "How many are kept", fewest, many)?,
        ..before
    })
}

async fn take(seat: Seat, fields: Fields) -> Answer {
    let before = seat.desk.settings().await?;
    let settings = match parse(&fields, before) {
        Ok(settings) => settings,
        Err(why) => return page(&seat, &fields, Said::Mend(&why)).await,
    };
    seat.desk.save_settings(&settings, fields.once()).await?;
    seat.web.adopt(settings.clone());
    // At once, so that a folder that does not serve is known today and not when it is needed.
    match seat.desk.backup_to_begin(&settings).await? {
        Some(made) => {
            let said = format!("Set. The first one was made and read back: {} records.", made.backup.records);
            page(&seat, &Fields::default(), Said::Done(&said)).await
        }
        None if settings.backup_folder.is_empty() => {
            page(&seat, &Fields::default(), Said::Done("Set. None is made by itself.")).await
        }
        None => {
            let state = seat.desk.backup_state(&settings).await?;
            let why = state.trouble.map_or_else(String::new, |trouble| sentence(&trouble.why));
            page(&seat, &fields, Said::Mend(&format!("It was set, and the first one failed. {why}"))).await
        }
    }
}

pub(super) fn view(seat: &Seat, typed: &Fields) -> Markup {
    let number = |name: &str, label: &str| {
        html! {
            label for=(name) { (label) }
            input id=(name) name=(name) inputmode="numeric" autocomplete="off" required value=(typed.get(name));
        }
    };
    html! {
        section {
            h2 { "By themselves" }
            p { "A backup is made when the first person of the day signs in or unlocks, if the last good one is older than set here, and again while the program runs. It is sealed, and read back before it counts." }
            form.entry method="post" action="/clinic/backup/by-itself" data-keeps {
                (seat.form())
                label for="place" { "Folder, on another disk than the records" }
                p.hint id="place-hint" { "The whole path of a folder that is there. Empty: none is made." }
                input.wide id="place" name="place" autocomplete="off" spellcheck="false" aria-describedby="place-hint" value=(typed.get("place"));
                (number("every_days", "Days after which the last good one is too old"))
                (number("keep", "How many are kept"))
                p { "When a new one was read back, the oldest beyond this number go. Only those that this workbench made by itself, in this folder: nothing made by hand and nobody else's file is ever removed." }
                button.action type="submit" { "Save, and make one now" }
            }
        }
    }
}
