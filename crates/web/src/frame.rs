//! The one frame around every page: where I am, who I am, whether all is saved.

use axum::response::Html;
use maud::{DOCTYPE, Markup, html};

use crate::seat::Seat;

/// Which part of the workbench a page belongs to.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Here {
    Today,
    People,
    Clinic,
}

/// Seconds after which a page that is being worked out is asked for again where no module does it.
const AGAIN_S: u8 = 2;

/// What stands at a page's head: name, style, modules.
fn head(title: &str, again: bool) -> Markup {
    head_of(title, again, html! { script type="module" src="/assets/footrose.js" {} })
}

fn head_of(title: &str, again: bool, modules: Markup) -> Markup {
    html! {
        head {
            meta charset="utf-8";
            @if again { noscript { meta http-equiv="refresh" content=(AGAIN_S); } }
            meta name="viewport" content="width=device-width, initial-scale=1";
            title { (title) " · Footrose" }
            link rel="stylesheet" href="/assets/footrose.css";
            link rel="icon" href="/assets/icon.svg" type="image/svg+xml";
            (modules)
        }
    }
}

/// A page without the bar: signing in, a locked screen, an error.
pub(crate) fn bare(title: &str, body: Markup) -> Html<String> {
    alone(title, head(title, false), body)
}

/// A page without the bar and without modules: for a device that was not admitted.
pub(crate) fn outside(title: &str, body: Markup) -> Html<String> {
    alone(title, head_of(title, false, html! {}), body)
}

fn alone(title: &str, head: Markup, body: Markup) -> Html<String> {
    let page = html! {
        (DOCTYPE)
        html lang="en" {
            (head)
            body.bare {
                main id="main" {
                    h1 { (title) }
                    (body)
                }
            }
        }
    };
    Html(page.into_string())
}

/// A part of a page, for a module that asks again.
pub(crate) fn piece(body: Markup) -> Html<String> {
    Html(body.into_string())
}

/// A page of the workbench.
pub(crate) fn framed(seat: &Seat, title: &str, here: Here, body: Markup) -> Html<String> {
    around(seat, (title, false), here, body)
}

/// A page that says how far something is, and looks again by itself.
pub(crate) fn looking_again(seat: &Seat, title: &str, here: Here, body: Markup) -> Html<String> {
    around(seat, (title, true), here, body)
}

fn around(seat: &Seat, (title, again): (&str, bool), here: Here, body: Markup) -> Html<String> {
    let current = |of: Here| (of == here).then_some("page");
    let page = html! {
        (DOCTYPE)
        html lang="en" {
            (head(title, again))
            body data-lock-after=(seat.lock_after().as_secs()) {
                a.skip href="#main" { "Skip to the page" }
                header {
                    @if seat.desk.clinic().is_demo() {
                        p.invented { "Invented people. Nothing here is about anybody, and it is thrown away at the end." }
                    }
                    div.bar {
                        nav aria-label="Workbench" {
                            a href="/" aria-current=[current(Here::Today)] { "Today" }
                            form.search role="search" action="/people" method="get" {
                                label for="search" { "Find a person" }
                                input type="search" id="search" name="q" autocomplete="off" placeholder="name or number";
                                button type="submit" { "Find" }
                            }
                            a href="/clinic" aria-current=[current(Here::Clinic)] { "Clinic" }
                        }
                        div.self {
                            p id="saved" role="status" {
                                @if seat.was_saved() { "Saved." } @else { "All saved." }
                            }
                            details.me {
                                summary { (seat.desk.name()) }
                                div {
                                    form method="post" action="/lock" id="lock" { (seat.form()) button type="submit" { "Lock, or change user" } }
                                    button type="button" id="blank" hidden { "Blank the screen (F9)" }
                                    button type="button" id="clean" hidden { "Wipe the screen clean (F8)" }
                                    form method="post" action="/sign-out" { (seat.form()) button type="submit" { "Sign out" } }
                                }
                            }
                        }
                    }
                }
                main id="main" tabindex="-1" {
                    h1 { (title) }
                    (body)
                }
                footer {
                    p { "Figures of the model are estimates for comparison, not measurements. A licensed clinician decides." }
                }
            }
        }
    };
    Html(page.into_string())
}

/// What is to be mended in a form, at its head and announced.
pub(crate) fn mend(why: Option<&str>) -> Markup {
    html! {
        @if let Some(why) = why {
            div.mend role="alert" { p { (why) } }
        }
    }
}
