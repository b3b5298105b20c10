//! Letters: what will stand here.

use axum::Router;
use axum::routing::get;
use maud::{Markup, html};

use super::{Tab, page, standing};
use crate::seat::{Seat, Whose};
use crate::{Answer, Web};

pub(super) fn routes() -> Router<Web> {
    Router::new().route("/people/{person}/letters", get(show))
}

async fn show(seat: Seat, whose: Whose) -> Answer {
    let standing = standing(&seat, &whose).await?;
    page(&seat, &standing, Tab::Letters, view())
}

fn view() -> Markup {
    html! {
        p { "No letter is written here yet. These will be, from what stands in the other tabs:" }
        ul {
            li { "a progress note" }
            li { "a letter to the referrer" }
            li { "a statement about return: which criteria are met, not met, not tested" }
            li { "a plan for after discharge" }
            li { "a question to the surgeon" }
            li { "one page for a colleague who covers" }
        }
    }
}
