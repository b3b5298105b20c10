//! Settings: when the screen locks, when Today speaks up, what sheets say of the clinic.

use axum::Router;
use axum::routing::get;
use clinic::{Paper, Settings, defaults};
use maud::{Markup, html};

use crate::fields::Fields;
use crate::frame::{Here, mend};
use crate::seat::Seat;
use crate::{Answer, Web};

pub(super) fn routes() -> Router<Web> {
    Router::new().route("/clinic/settings", get(show).post(take))
}

async fn show(seat: Seat) -> Answer {
    let now = seat.desk.settings().await?;
    let known = Fields::known([
        ("clinic_name", now.clinic_name),
        ("phone", now.phone),
        ("practice_site", now.practice_site),
        ("lock_after_minutes", now.lock_after_minutes.to_string()),
        ("nothing_logged_days", now.nothing_logged_days.to_string()),
        ("retest_days", now.retest_days.to_string()),
        ("paper", paper_key(now.paper).to_owned()),
    ]);
    seat.page("Settings", Here::Clinic, view(&seat, &known, None))
}

async fn take(seat: Seat, fields: Fields) -> Answer {
    let before = seat.desk.settings().await?;
    match parse(&fields, before) {
        Ok(settings) => {
            seat.desk.save_settings(&settings, fields.once()).await?;
            seat.web.adopt(settings);
            seat.saved("/clinic/settings")
        }
        Err(why) => seat.again("Settings", Here::Clinic, view(&seat, &fields, Some(&why))),
    }
}

pub(super) fn whole(fields: &Fields, name: &str, what: &str, from: u32, to: u32) -> Result<u32, String> {
    let typed = fields.get(name).trim();
    typed
        .parse()
        .ok()
        .filter(|number| (from..=to).contains(number))
        .ok_or_else(|| format!("{what} cannot be `{typed}`; accepted: {from} to {to}. Type a whole number."))
}

/// The longest setting of days.
const LONGEST_DAYS: u32 = 366;

/// What stands on another page stays as it was `before`.
fn parse(fields: &Fields, before: Settings) -> Result<Settings, String> {
    let days = |name: &str, what: &str| {
        whole(fields, name, what, 1, LONGEST_DAYS).map(|days| i32::try_from(days).unwrap_or(i32::MAX))
    };
    Ok(Settings {
        clinic_name: fields.get("clinic_name").trim().to_owned(),
        phone: fields.get("phone").trim().to_owned(),
        practice_site: practice_site(fields.get("practice_site").trim())?,
        lock_after_minutes: whole(
            fields,
            "lock_after_minutes",
            "Minutes until the lock",
            1,
            defaults().lock.at_most_minutes,
        )?,
        nothing_logged_days: days("nothing_logged_days", "Days without a log")?,
        retest_days: days("retest_days", "Days until a re-test")?,
        paper: match fields.get("paper") {
            "" => before.paper,
            typed if typed == paper_key(Paper::Letter) => Paper::Letter,
            _ => Paper::A4,
        },
        ..before
    })
}

/// The address of the practice site; it is served over https, and what stands behind `#` is the programme's.
fn practice_site(typed: &str) -> Result<String, String> {
    let host = typed.strip_prefix("https://").map(|rest| rest.split('/').next().unwrap_or_default());
    let right = host.is_some_and(|host| !host.is_empty())
        && !typed.chars().any(|letter| letter.is_whitespace() || letter.is_control() || letter == '#');
    if typed.is_empty() || right {
        return Ok(typed.to_owned());
    }
    Err(format!(
        "The address of the practice site cannot be `{typed}`; accepted: an address such as \
         https://practice.example/ without `#`, or nothing. Type the address at which the folder of \
         `footrose practice-site` is served."
    ))
}

/// The word that a form sends for a paper.
fn paper_key(paper: Paper) -> &'static str {
    match paper {
        Paper::A4 => "a4",
        Paper::Letter => "letter",
    }
}

fn view(seat: &Seat, typed: &Fields, why: Option<&str>) -> Markup {
    let field = |name: &str, label: &str, kind: &str| {
        html! {
            label for=(name) { (label) }
            input id=(name) name=(name) inputmode=(kind) autocomplete="off" value=(typed.get(name));
        }
    };
    html! {
        p { a href="/clinic" { "Clinic" } }
        (mend(why))
        form.entry method="post" action="/clinic/settings" data-keeps {
            (seat.form())
            (field("clinic_name", "Name of the clinic", "text"))
            (field("phone", "Its telephone", "tel"))
            (field("practice_site", "Address of the practice site, if there is one", "url"))
            (field("lock_after_minutes", &format!("Lock after so many minutes without a touch, {} at most", defaults().lock.at_most_minutes), "numeric"))
            (field("nothing_logged_days", "Days without a log before Today says so", "numeric"))
            (field("retest_days", "Days after which measures are due again", "numeric"))
            fieldset {
                legend { "Paper of the home sheets" }
                @for (paper, words) in [(Paper::A4, "A4"), (Paper::Letter, "Letter")] {
                    label.choice { input type="radio" name="paper" value=(paper_key(paper)) checked[typed.get("paper") == paper_key(paper)]; (words) }
                }
            }
            button.action type="submit" { "Save" }
        }
        p { "Where and how often backups are made by themselves is set under " a href="/clinic/backup" { "Backup" } "." }
    }
}
