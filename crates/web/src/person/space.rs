//! Movement space: one family at a time, both limbs beside each other, each direction with its reason.

mod floors;
mod reasons;

use app::{PersonToday, SpaceRow, SpaceTable};
use axum::Router;
use axum::extract::Query;
use axum::routing::get;
use clinic::Standing;
use maud::{Markup, html};
use movement::Family;
use serde::Deserialize;

use super::{Tab, alert, nothing_found, page, standing};
use crate::seat::{Seat, Whose};
use crate::{Answer, Web, words};

pub(super) fn routes() -> Router<Web> {
    Router::new().route("/people/{person}/space", get(show))
}

/// What is looked at.
#[derive(Deserialize)]
struct Looked {
    /// The family, by its key.
    #[serde(default)]
    family: String,
    /// `off` hides the names at the rim.
    #[serde(default)]
    names: String,
}

async fn show(seat: Seat, whose: Whose, Query(looked): Query<Looked>) -> Answer {
    let standing = standing(&seat, &whose).await?;
    let table = seat.reckon().space(&standing).await?;
    let body = match &table {
        Some(table) => view(&standing, table, &whose.at("space"), &looked),
        None => nothing_found(&standing),
    };
    page(&seat, &standing, Tab::Space, body)
}

/// One family with what goes with it: both limbs stand beside each other.
struct Block<'a> {
    family: Family,
    task: &'a str,
    rows: Vec<&'a SpaceRow>,
}

fn blocks(table: &SpaceTable) -> Vec<Block<'_>> {
    let mut out: Vec<Block<'_>> = Vec::new();
    for row in &table.rows {
        match out.iter_mut().find(|block| block.family == row.family && block.task == row.task) {
            Some(block) => block.rows.push(row),
            None => out.push(Block { family: row.family, task: &row.task, rows: vec![row] }),
        }
    }
    out
}

/// The families of the table, each with how many directions may be used and how many there are.
fn families(table: &SpaceTable) -> Vec<(Family, usize, usize)> {
    let mut out: Vec<(Family, usize, usize)> = Vec::new();
    for row in &table.rows {
        let open = usize::from(row.to.is_some());
        match out.iter_mut().find(|(family, ..)| *family == row.family) {
            Some((_, some, all)) => {
                *some += open;
                *all += 1;
            }
            None => out.push((row.family, open, 1)),
        }
    }
    out
}

/// The word of a family in an address.
fn key(family: Family) -> String {
    family.name().replace([' ', '-'], "_")
}

fn view(standing: &Standing, table: &SpaceTable, here: &str, looked: &Looked) -> Markup {
    if let Some(flag) = &table.alert {
        return alert(flag);
    }
    let Some(case) = standing.case.as_deref() else { return nothing_found(standing) };
    let body = PersonToday::of(case, standing.day).body;
    let families = families(table);
    // What is asked for, else the first in which something may be done, in the order of the ladder.
    let asked = families.iter().find(|(family, ..)| key(*family) == looked.family);
    let first = families.iter().find(|(_, open, _)| *open > 0).or(families.first());
    let Some((family, ..)) = asked.or(first) else { return nothing_found(standing) };
    let named = looked.names != "off";
    let address = |family: Family, named: bool| {
        format!("{here}?family={}{}", key(family), if named { "" } else { "&names=off" })
    };
    html! {
        @for refusal in &table.closed {
            p.closed-all { strong { "Everything is closed. " } (refusal) " It opens when " (refusal.opens_when) "." }
        }
        nav.families aria-label="Movement families" {
            ul {
                @for (one, open, all) in &families {
                    li {
                        a href=(address(*one, named)) aria-current=[(one == family).then_some("page")] {
                            (words::capital(one.name())) " " span.hint { (open) " of " (all) }
                        }
                    }
                }
            }
        }
        p.space-bar {
            "Seen from above, the person facing up the page. "
            a.names href=(address(*family, !named)) { @if named { "Hide the names" } @else { "Show the names" } }
        }
        @for block in blocks(table).iter().filter(|block| block.family == *family) {
            section.space {
                h2 { (words::capital(block.family.name())) @if !block.task.is_empty() { ", " (block.task) } }
                (floors::view(block, &body, named))
            }
        }
        @if !table.phases.is_empty() || !table.notes.is_empty() || !table.returns.is_empty() {
            section {
                h2 { "What goes with the whole space" }
                ul {
                    @for phase in &table.phases { li { (words::capital(&phase.condition.to_string())) ": phase " (phase.phase) } }
                    @for note in &table.notes { li { (note) } }
                    @for one in &table.returns { li { (one) } }
                }
            }
        }
        script type="module" src="/assets/space.js" {}
    }
}
