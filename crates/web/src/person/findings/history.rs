//! Every version of the findings: who, when, what changed; one can be read whole and brought back.

use std::collections::BTreeMap;

use axum::extract::Query;
use clinic::{CaseRecord, CaseText, Entry, RecordId};
use maud::{Markup, html};
use serde::Deserialize;

use super::super::{Tab, page, standing};
use crate::fault::Fault;
use crate::fields::Fields;
use crate::seat::{Seat, Whose, at};
use crate::{Answer, words};

/// Which version is read whole.
#[derive(Deserialize)]
pub(super) struct Which {
    #[serde(default)]
    version: String,
}

pub(super) async fn show(seat: Seat, whose: Whose, Query(which): Query<Which>) -> Answer {
    let standing = standing(&seat, &whose).await?;
    let all = seat.desk.read::<CaseRecord>(whose.0).await?;
    let names = names(&seat)?;
    let body = match all.iter().find(|entry| entry.record.to_string() == which.version) {
        Some(entry) => one(&seat, &whose, entry, &names),
        None => list(&seat, &whose, &all, &names),
    };
    page(&seat, &standing, Tab::Findings, body)
}

/// Writes a new version that says what an earlier one said.
pub(super) async fn bring_back(seat: Seat, whose: Whose, fields: Fields) -> Answer {
    let all = seat.desk.read::<CaseRecord>(whose.0).await?;
    let wanted = all
        .iter()
        .find(|entry| entry.record.to_string() == fields.get("version"))
        .ok_or(Fault::NotFound("There is no such version of these findings."))?;
    let why = format!("brings back the version of {}", words::moment(wanted.at));
    let record = CaseRecord { why, ..wanted.body.clone() };
    seat.desk.save_case_record(whose.0, &record, fields.once()).await?;
    seat.saved(&format!("{}?changed=1", whose.at("findings")))
}

/// Names of accounts.
pub(super) fn names(seat: &Seat) -> Result<BTreeMap<String, String>, Fault> {
    let accounts = seat.desk.accounts()?;
    Ok(accounts.into_iter().map(|one| (one.id.to_string(), one.name)).collect())
}

fn author(names: &BTreeMap<String, String>, entry: &Entry<CaseRecord>) -> String {
    names.get(&entry.author.to_string()).cloned().unwrap_or_else(|| "somebody".to_owned())
}

/// The form that brings a version back.
pub(super) fn bring_back_form(seat: &Seat, whose: &Whose, version: RecordId, words: &str) -> Markup {
    html! {
        form method="post" action=(whose.at("findings/back")) {
            (seat.form())
            input type="hidden" name="version" value=(version);
            button type="submit" { (words) }
        }
    }
}

/// What differs between two texts, line by line, for a reader.
pub(super) fn differences(before: Option<&str>, after: &str) -> Vec<String> {
    let mut old = before.and_then(CaseText::of);
    let new = CaseText::of(after);
    // A finding that only got its day written down says the same.
    if let (Some(old), Some(visit)) = (&mut old, new.as_ref().and_then(CaseText::visit)) {
        old.move_visit(visit);
    }
    let all = |text: Option<CaseText>| text.map(|text| text.all()).unwrap_or_default();
    let (old, new) = (all(old), all(new));
    let keys: std::collections::BTreeSet<&String> = old.keys().chain(new.keys()).collect();
    keys.into_iter()
        .filter(|key| !matches!(key.as_str(), "format" | "version"))
        .filter_map(|key| match (old.get(key), new.get(key)) {
            (a, b) if a == b => None,
            (None, Some(b)) => Some(format!("{}: {}", read(key), value(b))),
            (Some(a), None) => Some(format!("{}: {} taken out", read(key), value(a))),
            (Some(a), Some(b)) => Some(format!("{}: {}, was {}", read(key), value(b), value(a))),
            (None, None) => None,
        })
        .collect()
}

/// A key as it is read: its parts in words.
fn read(key: &str) -> String {
    let key = key.strip_prefix("findings.").unwrap_or(key);
    words::capital(&key.replace('_', " ").replace('.', ", ").replace('[', " ").replace(']', ""))
}

fn value(text: &str) -> String {
    match text {
        "" => "none".to_owned(),
        "true" => "yes".to_owned(),
        "false" => "no".to_owned(),
        other => match other.split_once(", on ") {
            Some((found, on)) => match on.parse() {
                Ok(day) => format!("{}, on {}", value(found), words::day(day)),
                Err(_) => other.replace('_', " "),
            },
            None => other.parse().map_or_else(|_| other.replace('_', " "), words::day),
        },
    }
}

fn list(seat: &Seat, whose: &Whose, all: &[Entry<CaseRecord>], names: &BTreeMap<String, String>) -> Markup {
    html! {
        p { a href=(whose.at("findings")) { "Back to the findings" } }
        h2 { "Every version" }
        @if all.is_empty() { p { "Nothing was saved yet." } }
        ol.versions reversed start=(all.len()) {
            @for (place, entry) in all.iter().enumerate().rev() {
                @let before = place.checked_sub(1).and_then(|at| all.get(at)).map(|entry| entry.body.text.as_str());
                @let lines = differences(before, &entry.body.text);
                li {
                    p { strong { (words::moment(entry.at)) } ", " (author(names, entry)) @if !entry.body.why.is_empty() { ": " (entry.body.why) } }
                    @if before.is_none() { p.hint { "The first version, " (lines.len()) " lines." } }
                    @else if lines.is_empty() { p.hint { "No value differs from the version before." } }
                    @else {
                        details open[lines.len() <= 6] {
                            summary { (lines.len()) @if lines.len() == 1 { " line differs" } @else { " lines differ" } }
                            ul { @for line in &lines { li { (line) } } }
                        }
                    }
                    div.acts {
                        a href=(format!("{}?version={}", at(whose.0, "findings/versions"), entry.record)) { "Read it whole" span.unseen { ": version " (place + 1) } }
                        @if place + 1 < all.len() { (bring_back_form(seat, whose, entry.record, &format!("Bring version {} back", place + 1))) }
                    }
                }
            }
        }
    }
}

fn one(seat: &Seat, whose: &Whose, entry: &Entry<CaseRecord>, names: &BTreeMap<String, String>) -> Markup {
    html! {
        p { a href=(whose.at("findings/versions")) { "Back to every version" } }
        h2 { "The version of " (words::moment(entry.at)) ", " (author(names, entry)) }
        pre.code tabindex="0" { (entry.body.text) }
        (bring_back_form(seat, whose, entry.record, "Bring this version back"))
    }
}
