//! The first use: a file of records that is not there yet is created in the browser, with its first account.
//!
//! Until that is done nothing else is served. The address has a word in it that only the terminal shows, so that
//! nobody else on this machine can make the first account. The recovery key stands on the page until somebody
//! says that it was written down; it is stored nowhere.

use std::net::{Ipv4Addr, SocketAddr};
use std::path::PathBuf;
use std::sync::Arc;
use std::time::Duration;

use axum::extract::{Form, Path, Request, State};
use axum::http::{StatusCode, Uri, header};
use axum::middleware::Next;
use axum::response::{Html, IntoResponse, Redirect, Response};
use axum::routing::{get, post};
use axum::{Router, middleware};
use clinic::{Clinic, First, Opening};
use maud::html;
use serde::Deserialize;
use tokio::net::TcpListener;
use tokio::sync::{Mutex, watch};

use crate::fault::sentence;
use crate::frame::{mend, outside};
use crate::serve::ServeError;
use crate::{assets, browsers, guard};

/// How long the door may take to change hands.
const CHANGE: Duration = Duration::from_millis(200);

/// A page that makes the first account, bound and not yet running.
pub struct FirstUse {
    listener: TcpListener,
    address: SocketAddr,
    inner: Arc<Inner>,
}

struct Inner {
    records: PathBuf,
    opening: Opening,
    word: String,
    hosts: Vec<String>,
    created: Mutex<Option<Created>>,
    written: watch::Sender<bool>,
}

struct Created {
    clinic: Arc<Clinic>,
    name: String,
    recovery: String,
}

/// Binds 127.0.0.1 for the first use of a file of records that is not there yet.
///
/// # Errors
/// The port is taken.
pub async fn first_use(records: PathBuf, opening: Opening, port: u16) -> Result<FirstUse, ServeError> {
    let bind = |why| ServeError::Bind { port, why };
    let listener = TcpListener::bind((Ipv4Addr::LOCALHOST, port)).await.map_err(bind)?;
    let address = listener.local_addr().map_err(bind)?;
    let bound = address.port();
    let inner = Inner {
        records,
        opening,
        word: browsers::chance().chars().take(16).collect(),
        hosts: vec![format!("127.0.0.1:{bound}"), format!("localhost:{bound}")],
        created: Mutex::new(None),
        written: watch::Sender::new(false),
    };
    Ok(FirstUse { listener, address, inner: Arc::new(inner) })
}

impl FirstUse {
    /// Where it is, with the word.
    #[must_use]
    pub fn address(&self) -> String {
        format!("http://{}/first-use/{}", self.address, self.inner.word)
    }

    /// Serves until the recovery key is said to be written down, then gives the records and the port, still bound;
    /// or until `stop` is done. Nothing is given when no file was created.
    ///
    /// # Errors
    /// The server stopped by itself.
    pub async fn run(
        self,
        stop: impl Future<Output = ()> + Send + 'static,
    ) -> Result<Option<(Arc<Clinic>, TcpListener)>, ServeError> {
        let bound = self.listener.into_std().map_err(ServeError::Stopped)?;
        // A second handle keeps the port: what a browser asks meanwhile waits, and is answered by the workbench.
        let kept = bound.try_clone().map_err(ServeError::Stopped)?;
        let listener = TcpListener::from_std(bound).map_err(ServeError::Stopped)?;
        let mut written = self.inner.written.subscribe();
        let ended = async move {
            tokio::select! {
                // The sender lives as long as the pages are served.
                _ = written.wait_for(|written| *written) => {}
                () = stop => {}
            }
        };
        let app = router(&self.inner);
        axum::serve(listener, app).with_graceful_shutdown(ended).await.map_err(ServeError::Stopped)?;
        let Some(created) = self.inner.created.lock().await.take() else { return Ok(None) };
        let listener = TcpListener::from_std(kept).map_err(ServeError::Stopped)?;
        Ok(Some((created.clinic, listener)))
    }
}

fn router(inner: &Arc<Inner>) -> Router {
    Router::new()
        .route("/first-use/{word}", get(show).post(create))
        .route("/first-use/{word}/written", post(written))
        .merge(assets::routes())
        .fallback(not_here)
        .layer(middleware::from_fn_with_state(inner.clone(), pass))
        .with_state(inner.clone())
}

async fn pass(State(inner): State<Arc<Inner>>, request: Request, next: Next) -> Response {
    let why = guard::refusal(&inner.hosts, "http://", request.method(), request.headers());
    let over = *inner.written.borrow();
    let response = match why {
        Some(why) => guard::refused(why),
        None if over => ask_again(request.uri().clone()).await,
        None => next.run(request).await,
    };
    guard::secured(response)
}

/// A request that came in while the door changes hands: the same once more, on a connection of its own, which the
/// workbench answers.
async fn ask_again(asked: Uri) -> Response {
    tokio::time::sleep(CHANGE).await;
    let same = asked.path_and_query().map_or("/sign-in", |same| same.as_str());
    ([(header::CONNECTION, "close")], Redirect::temporary(same)).into_response()
}

async fn not_here() -> Response {
    let body = html! {
        p { "There are no records yet. Open the whole address that the terminal shows: it has a word in it, so that only whoever started Footrose can make the first account." }
    };
    (StatusCode::NOT_FOUND, outside("No records yet", body)).into_response()
}

/// What was typed.
#[derive(Default, Deserialize)]
struct Typed {
    #[serde(default)]
    name: String,
    #[serde(default)]
    passphrase: String,
    #[serde(default)]
    again: String,
}

async fn show(State(inner): State<Arc<Inner>>, Path(word): Path<String>) -> Response {
    if word != inner.word {
        return not_here().await;
    }
    match &*inner.created.lock().await {
        Some(created) => key(&inner, created, None).into_response(),
        None => form(&inner, &Typed::default(), None).into_response(),
    }
}

async fn create(
    State(inner): State<Arc<Inner>>,
    Path(word): Path<String>,
    Form(typed): Form<Typed>,
) -> Response {
    if word != inner.word {
        return not_here().await;
    }
    let mut created = inner.created.lock().await;
    // Sent twice, or sent again by going back: the key is shown again, nothing is created again.
    if created.is_none() {
        match make(&inner, &typed).await {
            Ok(made) => *created = Some(made),
            Err(why) => {
                let page = form(&inner, &typed, Some(&why));
                return (StatusCode::UNPROCESSABLE_ENTITY, page).into_response();
            }
        }
    }
    Redirect::to(&format!("/first-use/{word}")).into_response()
}

async fn make(inner: &Inner, typed: &Typed) -> Result<Created, String> {
    let name = typed.name.trim();
    if name.is_empty() {
        return Err("Type your name, as it stands under what you sign.".to_owned());
    }
    if typed.passphrase != typed.again {
        return Err("The two passphrases differ, so nothing was created. Type both again.".to_owned());
    }
    let first = First { name, passphrase: &typed.passphrase };
    let made = Clinic::create(&inner.records, inner.opening.clone(), first).await;
    let (clinic, desk, recovery) = made.map_err(|error| sentence(&error.to_string()))?;
    let made = Created { clinic, name: name.to_owned(), recovery: recovery.to_string() };
    // The account is there whatever becomes of this session.
    desk.sign_out().await.ok();
    Ok(made)
}

#[derive(Deserialize)]
struct Said {
    #[serde(default)]
    written: String,
}

async fn written(
    State(inner): State<Arc<Inner>>,
    Path(word): Path<String>,
    Form(said): Form<Said>,
) -> Response {
    if word != inner.word {
        return not_here().await;
    }
    match &*inner.created.lock().await {
        None => Redirect::to(&format!("/first-use/{word}")).into_response(),
        Some(created) if said.written.is_empty() => {
            let why = "Tick that the key is written down, once it is.";
            (StatusCode::UNPROCESSABLE_ENTITY, key(&inner, created, Some(why))).into_response()
        }
        Some(_) => {
            inner.written.send_replace(true);
            // By then this door takes no more connections, and whoever is sent on comes to the workbench's.
            tokio::time::sleep(CHANGE).await;
            Redirect::to("/sign-in").into_response()
        }
    }
}

fn form(inner: &Inner, typed: &Typed, why: Option<&str>) -> Html<String> {
    outside(
        "Begin the clinic's records",
        html! {
            p { "The records will be one file on this machine. Everything personal in it is sealed with a key that your passphrase opens." }
            p.quiet { (inner.records.display()) }
            (mend(why))
            form.entry method="post" action={ "/first-use/" (inner.word) } {
                label for="name" { "Your name" }
                p.hint id="name-hint" { "You are the first clinician. Under Clinic, Accounts you let others in." }
                input id="name" name="name" autocomplete="username" required aria-describedby="name-hint" value=(typed.name);
                label for="passphrase" { "A passphrase" }
                p.hint id="pass-hint" { "At least 12 characters, for example four words that do not belong together. Nobody can look it up." }
                input id="passphrase" name="passphrase" type="password" autocomplete="new-password" required aria-describedby="pass-hint";
                label for="again" { "The same again" }
                input id="again" name="again" type="password" autocomplete="new-password" required;
                button.action type="submit" { "Create the records" }
            }
        },
    )
}

fn key(inner: &Inner, created: &Created, why: Option<&str>) -> Html<String> {
    outside(
        "Write this key down",
        html! {
            p { "The records are there, " (created.name) ". This is their recovery key. It sets a new passphrase when one is forgotten, and nothing else does. It is shown only here and now, and stored nowhere." }
            p.code.recovery { strong { (created.recovery) } }
            p.quiet { "Of the records in " (inner.records.display()) }
            p { "Write it on paper, or print this page, and lock it away. Not beside the machine, and not on it." }
            (mend(why))
            form.entry method="post" action={ "/first-use/" (inner.word) "/written" } {
                label.choice { input type="checkbox" name="written" value="yes" required; " It is written down" }
                button.action type="submit" { "Go to signing in" }
            }
        },
    )
}
