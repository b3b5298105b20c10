//! A forgotten passphrase: the recovery key sets a new one, and the audit says so.

use axum::Router;
use axum::extract::State;
use axum::http::{HeaderMap, StatusCode};
use axum::response::{Html, Response};
use axum::routing::get;
use clinic::{Admitted, RecoveryKey};
use maud::html;

use crate::fault::sentence;
use crate::fields::Fields;
use crate::frame::{bare, mend};
use crate::seat::form_fields;
use crate::sign_in::{give, too_many};
use crate::{Answer, Web};

pub(crate) fn routes() -> Router<Web> {
    Router::new().route("/recover", get(show).post(take))
}

async fn show(State(web): State<Web>, headers: HeaderMap) -> Response {
    give(&web, &headers, StatusCode::OK, |form| view(form, &Fields::default(), None))
}

/// What was typed: the key, and for whom which passphrase.
struct Typed<'a> {
    key: RecoveryKey,
    name: &'a str,
    passphrase: &'a str,
}

fn parse(fields: &Fields) -> Result<Typed<'_>, String> {
    let key = fields.get("key").parse::<RecoveryKey>().map_err(|error| sentence(&error.to_string()))?;
    let (name, passphrase) = (fields.get("name").trim(), fields.get("passphrase"));
    if name.is_empty() {
        return Err("Type the name of the account whose passphrase is forgotten.".to_owned());
    }
    if passphrase != fields.get("again") {
        return Err("The two new passphrases differ. Type both again.".to_owned());
    }
    Ok(Typed { key, name, passphrase })
}

async fn take(State(web): State<Web>, headers: HeaderMap, fields: Fields) -> Answer {
    let again = |status, why: &str| Ok(give(&web, &headers, status, |form| view(form, &fields, Some(why))));
    let typed = match parse(&fields) {
        Ok(typed) => typed,
        Err(why) => return again(StatusCode::UNPROCESSABLE_ENTITY, &why),
    };
    let desk = match web.clinic.recover(&typed.key).await? {
        Admitted::Welcome(desk) => desk,
        Admitted::Refused { wait } if wait.is_zero() => {
            let why = "This recovery key does not open these records. It may be of another file, or a newer \
                       one was made since. Look whether there is another paper, then type it again.";
            return again(StatusCode::FORBIDDEN, why);
        }
        Admitted::Refused { wait } | Admitted::Wait { wait } => {
            return again(StatusCode::TOO_MANY_REQUESTS, &too_many(wait, "type the key again"));
        }
    };
    // Whatever came of it, nobody stays signed in with the recovery key.
    let done = desk.reset_passphrase(typed.name, typed.passphrase).await;
    desk.sign_out().await?;
    if web.clinic.is_locked() {
        web.clinic.forget_all();
    }
    match done {
        Ok(()) => Ok(give(&web, &headers, StatusCode::OK, |_| is_set(typed.name))),
        Err(error) => again(StatusCode::UNPROCESSABLE_ENTITY, &sentence(&error.to_string())),
    }
}

fn view(form: &str, typed: &Fields, why: Option<&str>) -> Html<String> {
    bare(
        "Set a new passphrase",
        html! {
            p { "Your passphrase is forgotten, and you hold the recovery key that was printed when these records were created. It sets a new passphrase for one account. The audit says that it was used, for everybody to see." }
            p { "Is somebody else signed in as a clinician? They cannot see or set your passphrase either. Only this key can." }
            (mend(why))
            form.entry method="post" action="/recover" {
                (form_fields(form))
                label for="key" { "The recovery key" }
                p.hint id="key-hint" { "Eight groups of five, as on the paper. Capitals, spaces and hyphens do not matter." }
                input.wide id="key" name="key" autocomplete="off" autocapitalize="characters" spellcheck="false" required aria-describedby="key-hint" value=(typed.get("key"));
                label for="name" { "The name you sign in with" }
                input id="name" name="name" autocomplete="username" required value=(typed.get("name"));
                label for="passphrase" { "A new passphrase" }
                p.hint id="pass-hint" { "At least 12 characters, for example four words that do not belong together." }
                input id="passphrase" name="passphrase" type="password" autocomplete="new-password" required aria-describedby="pass-hint";
                label for="again" { "The same again" }
                input id="again" name="again" type="password" autocomplete="new-password" required;
                button.action type="submit" { "Set it" }
            }
            p { a href="/sign-in" { "Back to signing in" } }
        },
    )
}

fn is_set(name: &str) -> Html<String> {
    bare(
        "The new passphrase is set",
        html! {
            p { "Sign in as " (name) " with it. The one before opens nothing any more. No record was changed." }
            p { "Lock the recovery key away again. If somebody else may have seen it, make a new one: Clinic, Accounts." }
            p { a.action href="/sign-in" { "Sign in" } }
        },
    )
}
