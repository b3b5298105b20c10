//! What came home: by the camera, a picture or a file, a typed code, a pasted text; looked at, then saved.

mod known;
mod preview;
mod refused;
mod ways;

use axum::Router;
use axum::extract::DefaultBodyLimit;
use axum::response::IntoResponse;
use axum::routing::{get, post};
use clinic::{Instead, LogSource, Standing};
use exchange::Mark;
use maud::{Markup, html};

use super::{Tab, again, page, standing};
use crate::fields::Fields;
use crate::guard::Decodes;
use crate::seat::{Seat, Whose};
use crate::{Answer, Web};

pub(super) use ways::ways;

/// The largest form that is taken, bytes: a table of two million, written as a form is.
const FORM_AT_MOST: usize = 8 << 20;

pub(super) fn routes() -> Router<Web> {
    Router::new()
        .route("/people/{person}/home-log/came-home", get(show).post(look))
        .route("/people/{person}/home-log/came-home/save", post(save))
        .layer(DefaultBodyLimit::max(FORM_AT_MOST))
}

/// By which way something came.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Way {
    /// The clinic's camera, a picture of the code, or a text with the code.
    Page,
    /// A file that was brought or sent.
    File,
    /// Sixteen characters, typed at the visit.
    Typed,
    /// Sixteen characters, read over the telephone.
    Telephone,
}

impl Way {
    const ALL: [Self; 4] = [Self::Page, Self::File, Self::Typed, Self::Telephone];

    fn source(self) -> LogSource {
        match self {
            Self::Page => LogSource::Page,
            Self::File => LogSource::File,
            Self::Typed => LogSource::Typed,
            Self::Telephone => LogSource::Telephone,
        }
    }

    fn key(self) -> &'static str {
        self.source().key()
    }

    fn is_code(self) -> bool {
        matches!(self, Self::Typed | Self::Telephone)
    }
}

/// What was handed in.
struct Given {
    text: String,
    way: Way,
}

/// A text, or the groups of a typed code.
fn parse(fields: &Fields) -> Given {
    let said = fields.get("way");
    let groups: Vec<&str> = fields.all("group").map(str::trim).collect();
    if groups.is_empty() {
        let way = Way::ALL.into_iter().find(|way| way.key() == said).unwrap_or(Way::Page);
        return Given { text: fields.get("given").to_owned(), way };
    }
    let way = if said == Way::Typed.key() { Way::Typed } else { Way::Telephone };
    Given { text: groups.join(" "), way }
}

/// Sessions whose stored log is to give way, as the preview names them.
fn instead(fields: &Fields) -> Vec<Instead> {
    let one = |named: &str| {
        let mut parts = named.split(' ');
        let programme = Mark::parse(parts.next()?).ok()?;
        let (on, nth) = (parts.next()?.parse().ok()?, parts.next()?.parse().ok()?);
        Some(Instead { programme, on, nth })
    };
    fields.all("instead").filter_map(one).collect()
}

async fn show(seat: Seat, whose: Whose) -> Answer {
    let standing = standing(&seat, &whose).await?;
    let body = html! { (ways(&seat, &standing, None)) (back(&standing)) };
    Ok((Decodes, page(&seat, &standing, Tab::HomeLog, body)?).into_response())
}

async fn look(seat: Seat, whose: Whose, fields: Fields) -> Answer {
    let standing = standing(&seat, &whose).await?;
    let given = parse(&fields);
    let elsewhere = known::elsewhere(&seat, &standing).await?;
    match seat.desk.look_at_home(whose.0, &given.text, elsewhere).await? {
        Ok(came) => {
            let role = seat.desk.role()?;
            let body = preview::view(&seat, &standing, &given, &came, role);
            page(&seat, &standing, Tab::HomeLog, html! { (body) })
        }
        Err(refusal) => {
            let body = refused::view(&seat, &standing, &given, &refusal).await?;
            Ok((Decodes, again(&seat, &standing, Tab::HomeLog, body)?).into_response())
        }
    }
}

async fn save(seat: Seat, whose: Whose, fields: Fields) -> Answer {
    let standing = standing(&seat, &whose).await?;
    let given = parse(&fields);
    let elsewhere = known::elsewhere(&seat, &standing).await?;
    let what = (given.text.as_str(), given.way.source());
    match seat.desk.bring_home(whose.0, what, elsewhere, &instead(&fields), fields.once()).await? {
        Ok(_) => seat.saved(&whose.at("home-log")),
        Err(refusal) => {
            let body = refused::view(&seat, &standing, &given, &refusal).await?;
            Ok((Decodes, again(&seat, &standing, Tab::HomeLog, body)?).into_response())
        }
    }
}

fn back(standing: &Standing) -> Markup {
    let id = standing.line.id;
    html! { p { a href=(crate::seat::at(id, "home-log")) { "Back to the home log" } } }
}
