//! Accounts: who works here, in which role; a new colleague, another role, closing an account.

use axum::Router;
use axum::routing::{get, post};
use clinic::{Account, AccountId, Role};
use maud::{Markup, html};

use crate::fault::sentence;
use crate::fields::Fields;
use crate::frame::{Here, mend};
use crate::seat::Seat;
use crate::{Answer, Web, words};

pub(super) fn routes() -> Router<Web> {
    Router::new()
        .route("/clinic/accounts", get(show).post(take))
        .route("/clinic/accounts/close", post(close))
        .route("/clinic/accounts/passphrase", post(passphrase))
        .route("/clinic/accounts/recovery", post(recovery))
}

/// The roles that can be given, each with what it may do.
const ROLES: [(Role, &str); 4] = [
    (Role::Clinician, "decides: findings, programmes, settings, accounts"),
    (Role::Assistant, "teaches, measures and logs; never decides"),
    (Role::Student, "enters findings, measures and logs; a clinician countersigns each"),
    (Role::Reader, "reads"),
];

async fn show(seat: Seat) -> Answer {
    page(&seat, &Fields::default(), None)
}

fn page(seat: &Seat, typed: &Fields, why: Option<&str>) -> Answer {
    let accounts = seat.desk.accounts()?;
    let body = view(seat, &accounts, typed, why);
    match why {
        None => seat.page("Accounts", Here::Clinic, body),
        Some(_) => seat.again("Accounts", Here::Clinic, body),
    }
}

/// What the store refused is said beside the form; the passphrase is not sent back.
fn answer(seat: &Seat, fields: &Fields, done: Result<(), String>) -> Answer {
    match done {
        Ok(()) => seat.saved("/clinic/accounts"),
        Err(why) => page(seat, fields, Some(&sentence(&why))),
    }
}

async fn take(seat: Seat, fields: Fields) -> Answer {
    let role = ROLES.into_iter().map(|(role, _)| role).find(|role| role.word() == fields.get("role"));
    let done = match (role, fields.get("passphrase") == fields.get("again")) {
        (None, _) => Err("Choose what the new colleague may do".to_owned()),
        (_, false) => Err("The two passphrases differ; let the new colleague type both again".to_owned()),
        (Some(role), true) => {
            let made = seat.desk.create_account(fields.get("name"), role, fields.get("passphrase")).await;
            made.map(drop).map_err(|error| error.to_string())
        }
    };
    answer(&seat, &fields, done)
}

async fn close(seat: Seat, fields: Fields) -> Answer {
    let done = match fields.get("account").parse::<AccountId>() {
        Ok(account) => {
            let closed = seat.desk.disable_account(account, fields.get("reason")).await;
            closed.map_err(|error| error.to_string())
        }
        Err(error) => Err(error.to_string()),
    };
    answer(&seat, &fields, done)
}

async fn passphrase(seat: Seat, fields: Fields) -> Answer {
    let done = if fields.get("new") == fields.get("new_again") {
        let changed = seat.desk.change_passphrase(fields.get("present"), fields.get("new")).await;
        changed.map_err(|error| error.to_string())
    } else {
        Err("The two new passphrases differ; type both again".to_owned())
    };
    answer(&seat, &fields, done)
}

/// The new key stands on this one page and nowhere else.
async fn recovery(seat: Seat, _fields: Fields) -> Answer {
    let key = seat.desk.new_recovery_key().await?;
    let body = html! {
        p { "Write it down now and lock it away: it is shown this once and stored nowhere. The key before opens nothing any more." }
        p.code { (key) }
        p { a.action href="/clinic/accounts" { "It is written down" } }
    };
    seat.page("The new recovery key", Here::Clinic, body)
}

fn view(seat: &Seat, accounts: &[Account], typed: &Fields, why: Option<&str>) -> Markup {
    let others = accounts.iter().filter(|one| one.enabled && one.id != seat.desk.account());
    html! {
        p { a href="/clinic" { "Clinic" } }
        (mend(why))
        table {
            caption { "Everybody who has, or had, an account" }
            thead { tr { th scope="col" { "Name" } th scope="col" { "Role" } th scope="col" { "May sign in" } } }
            tbody { @for one in accounts { tr {
                th scope="row" { (one.name) @if one.id == seat.desk.account() { " (you)" } }
                td { (words::capital(one.role.word())) }
                td { @if one.enabled { "yes" } @else { "no, closed" } }
            } } }
        }
        section {
            h2 { "A new colleague" }
            form.entry method="post" action="/clinic/accounts" data-keeps {
                (seat.form())
                label for="name" { "Name" }
                input id="name" name="name" autocomplete="off" required value=(typed.get("name"));
                fieldset.tall {
                    legend { "What they may do" }
                    @for (role, may) in ROLES {
                        label.choice { input type="radio" name="role" value=(role.word()) required checked[typed.get("role") == role.word()]; span { (words::capital(role.word())) ": " (may) } }
                    }
                }
                label for="passphrase" { "Passphrase, typed by the new colleague" }
                p.hint id="pass-hint" { "At least 12 characters, for example four words that do not belong together. There is none to begin with." }
                input id="passphrase" name="passphrase" type="password" autocomplete="new-password" required aria-describedby="pass-hint";
                label for="again" { "The same again" }
                input id="again" name="again" type="password" autocomplete="new-password" required;
                button.action type="submit" { "Create the account" }
            }
        }
        section {
            h2 { "Your passphrase" }
            form.entry method="post" action="/clinic/accounts/passphrase" {
                (seat.form())
                label for="present" { "The present one" }
                input id="present" name="present" type="password" autocomplete="current-password" required;
                label for="new" { "The new one" }
                input id="new" name="new" type="password" autocomplete="new-password" required;
                label for="new_again" { "The new one again" }
                input id="new_again" name="new_again" type="password" autocomplete="new-password" required;
                button type="submit" { "Change it" }
            }
        }
        section {
            h2 { "The recovery key" }
            p { "It sets a new passphrase when one is forgotten. Make a new one if the paper is lost, or somebody else may have seen it." }
            form method="post" action="/clinic/accounts/recovery" { (seat.form()) button type="submit" { "Make a new recovery key" } }
        }
        section {
            h2 { "Close an account" }
            form.entry method="post" action="/clinic/accounts/close" data-keeps {
                (seat.form())
                p { "Its sessions end at once. What the colleague wrote stays, under the name." }
                label for="account" { "Whose" }
                select id="account" name="account" required {
                    option value="" { "Choose" }
                    @for one in others { option value=(one.id) selected[typed.get("account") == one.id.to_string()] { (one.name) } }
                }
                label for="reason" { "Why" }
                input id="reason" name="reason" autocomplete="off" required value=(typed.get("reason"));
                button type="submit" { "Close it" }
            }
        }
    }
}
