//! The audit: who did what to whom and when, and whether the chain is whole.

use std::collections::HashMap;

use axum::Router;
use axum::extract::Query;
use axum::routing::get;
use clinic::{AccountId, AuditEntry, Chain, PersonId};
use maud::{Markup, html};
use serde::Deserialize;

use crate::frame::Here;
use crate::seat::{Seat, at};
use crate::{Answer, Web, words};

/// Entries on one page.
const MOST: u32 = 100;

pub(super) fn routes() -> Router<Web> {
    Router::new().route("/clinic/audit", get(show))
}

#[derive(Deserialize)]
struct Page {
    /// The first entry of the page; the last page when not said.
    from: Option<u64>,
}

async fn show(seat: Seat, Query(page): Query<Page>) -> Answer {
    let chain = seat.desk.verify_audit().await?;
    let length = match &chain {
        Chain::Intact { length, .. } => *length,
        Chain::Broken { at, .. } => *at,
    };
    let from = page.from.unwrap_or_else(|| (length + 1).saturating_sub(u64::from(MOST))).max(1);
    let entries = seat.desk.audit(None, from, MOST).await?;
    let people = seat.desk.people().await?.into_iter().map(|line| (line.id, line.person.name)).collect();
    let accounts = seat.desk.accounts()?.into_iter().map(|account| (account.id, account.name)).collect();
    let names = Names { people, accounts };
    seat.page("Audit", Here::Clinic, view(&chain, from, &entries, &names))
}

struct Names {
    people: HashMap<PersonId, String>,
    accounts: HashMap<AccountId, String>,
}

fn view(chain: &Chain, from: u64, entries: &[AuditEntry], names: &Names) -> Markup {
    html! {
        p { a href="/clinic" { "Clinic" } }
        @match chain {
            Chain::Intact { length, head } => {
                p { "The chain is whole: " (length) " entries, each of them as it was written." }
                details { summary { "Its end, to keep elsewhere" } p.code { (head) } }
            }
            Chain::Broken { at, how } => {
                div.mend role="alert" { p { "The chain is broken at entry " (at) " (" (format!("{how:?}").to_lowercase()) "). Somebody changed the file outside the program. Keep the file, and compare with the last backup." } }
            }
        }
        table.stack {
            caption { "Entries, the newest first" }
            thead { tr { th scope="col" { "When" } th scope="col" { "Who" } th scope="col" { "Did" } th scope="col" { "About" } } }
            tbody {
                @for entry in entries.iter().rev() {
                    tr {
                        td { (words::moment(entry.at)) }
                        td { (names.accounts.get(&entry.account).map_or("nobody signed in", String::as_str)) }
                        td { (entry.action.word().replace('-', " ")) @if !entry.kinds.is_empty() { ": " (entry.kinds.join(", ")) } @if !entry.words.is_empty() { " (" (entry.words) ")" } }
                        td { @match names.people.get(&entry.person) {
                            Some(name) => { a href=(at(entry.person, "findings")) { (name) } }
                            None => { "the clinic" }
                        } }
                    }
                }
            }
        }
        nav aria-label="Pages of the audit" {
            @if from > 1 { a href=(format!("/clinic/audit?from={}", from.saturating_sub(u64::from(MOST)).max(1))) { "Earlier" } }
            " "
            @if entries.len() == MOST as usize { a href=(format!("/clinic/audit?from={}", from + u64::from(MOST))) { "Later" } }
        }
    }
}
