//! The list of people, and adding one.

use axum::Router;
use axum::extract::Query;
use axum::routing::get;
use clinic::{PersonLine, PersonRecord, PersonState};
use maud::{Markup, html};
use serde::Deserialize;

use crate::fault::sentence;
use crate::fields::Fields;
use crate::frame::{Here, mend};
use crate::seat::{Seat, at, to};
use crate::{Answer, Web, words};

/// The most people one page lists.
const MOST: usize = 100;

pub(crate) fn routes() -> Router<Web> {
    Router::new().route("/people", get(show)).route("/people/new", get(show_new).post(take_new))
}

#[derive(Deserialize)]
struct Search {
    #[serde(default)]
    q: String,
}

async fn show(seat: Seat, Query(search): Query<Search>) -> Answer {
    let (found, count) = seat.desk.find_people(&search.q, MOST).await?;
    // One hit of a search is the person that was meant.
    if let ([only], false) = (found.as_slice(), search.q.trim().is_empty()) {
        return Ok(to(&at(only.id, "findings")));
    }
    seat.page("People", Here::People, view(&found, count, &search.q))
}

fn view(found: &[PersonLine], count: usize, asked: &str) -> Markup {
    html! {
        @if !asked.trim().is_empty() {
            p role="status" { (words::number(count)) " found for “" (asked) "”. " a href="/people" { "Show all" } }
        }
        p { a.action href="/people/new" { "Add a person" } }
        @if found.is_empty() {
            p { "Nobody of that name or number is in the records. Look at the spelling, or add the person." }
        } @else {
            table {
                caption { "People by name" }
                thead { tr { th scope="col" { "Name" } th scope="col" { "Number" } th scope="col" { "Born" } th scope="col" { "Records" } } }
                tbody {
                    @for line in found {
                        tr {
                            th scope="row" { a href=(at(line.id, "findings")) { (line.person.name) } }
                            td { (line.person.number) }
                            td { @if let Some(born) = line.person.born { (words::day(born)) } }
                            td { @match line.person.state {
                                PersonState::Open => "open",
                                PersonState::Closed { retain_until } => { "closed, kept until " (words::day(retain_until)) }
                            } }
                        }
                    }
                }
            }
            @if count > found.len() {
                p { "The first " (found.len()) " of " (words::number(count)) " stand here. Type more of the name, or the number, to find the one you mean." }
            }
        }
    }
}

async fn show_new(seat: Seat) -> Answer {
    seat.page("Add a person", Here::People, view_new(&seat, &Fields::default(), None))
}

fn view_new(seat: &Seat, typed: &Fields, why: Option<&str>) -> Markup {
    html! {
        (mend(why))
        form.entry method="post" action="/people/new" data-keeps {
            (seat.form())
            label for="name" { "Name or initials" }
            input id="name" name="name" autocomplete="off" required value=(typed.get("name"));
            label for="number" { "The clinic’s number, if there is one" }
            input id="number" name="number" autocomplete="off" value=(typed.get("number"));
            label for="born" { "Day of birth, if needed" }
            input id="born" name="born" type="date" autocomplete="off" value=(typed.get("born"));
            button.action type="submit" { "Add" }
        }
    }
}

async fn take_new(seat: Seat, fields: Fields) -> Answer {
    let typed = [fields.get("name"), fields.get("born"), fields.get("number")];
    let person = match PersonRecord::from_typed(typed[0], typed[1], typed[2], seat.desk.today()) {
        Ok(person) => person,
        Err(error) => {
            let why = sentence(&error.to_string());
            return seat.again("Add a person", Here::People, view_new(&seat, &fields, Some(&why)));
        }
    };
    let id = seat.desk.add_person(&person, fields.once()).await?;
    seat.saved(&at(id, "findings"))
}
