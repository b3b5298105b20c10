//! What is typed and not saved yet, kept in memory for the one who typed it until it is saved or thrown away.
//!
//! A lock, a reload, another page or a change of user loses nothing that was typed. Nothing of it is
//! written to the disk or kept in the browser, and only the account that typed it gets it back.

use std::collections::HashMap;
use std::time::Instant;

use axum::Router;
use axum::extract::Query;
use axum::http::{StatusCode, header};
use axum::response::IntoResponse;
use axum::routing::{get, post};
use serde::Deserialize;

use crate::fields::Fields;
use crate::seat::Seat;
use crate::{Answer, Web};

/// The most forms that are kept for one account at one browser; the oldest goes first.
const MOST: usize = 24;
/// The most submissions that are remembered as saved.
const SAVED: usize = 48;

pub(crate) fn routes() -> Router<Web> {
    Router::new().route("/draft", get(show).post(keep)).route("/draft/drop", post(drop_it))
}

/// What one account typed at one browser, and where it was last.
#[derive(Default)]
pub(crate) struct Kept {
    /// The page that was asked for last, with when.
    at: Option<(Instant, String)>,
    /// By the address that the form is sent to, the oldest first.
    forms: Vec<(String, Vec<(String, String)>)>,
    /// The submission that was sent last.
    pub(crate) sent: String,
    /// Submissions that were saved: what arrives of them later is no draft.
    saved: Vec<String>,
}

impl Kept {
    /// A page was shown that was asked for at this moment. One that took long and was left meanwhile
    /// does not count.
    pub(crate) fn shown(&mut self, asked: Instant, at: &str) {
        if self.at.as_ref().is_none_or(|(before, _)| *before <= asked) {
            self.at = Some((asked, at.to_owned()));
        }
    }

    /// The page that was asked for last.
    pub(crate) fn at(&self) -> Option<String> {
        self.at.as_ref().map(|(_, at)| at.clone())
    }

    fn keep(&mut self, to: &str, fields: Vec<(String, String)>) {
        let once = fields.iter().find(|(name, _)| name == "once").map(|(_, value)| value.as_str());
        if once.is_some_and(|once| self.saved.iter().any(|known| known == once)) {
            return;
        }
        self.forms.retain(|(known, _)| known != to);
        self.forms.push((to.to_owned(), fields));
        if self.forms.len() > MOST {
            self.forms.remove(0);
        }
    }

    fn get(&self, to: &str) -> Option<&[(String, String)]> {
        self.forms.iter().find(|(known, _)| known == to).map(|(_, fields)| fields.as_slice())
    }

    /// What was sent to this address is saved, or is not wanted any more.
    pub(crate) fn done(&mut self, to: &str) {
        let sent = self.sent.as_str();
        self.forms.retain(|(known, fields)| match known.split_once('#') {
            None => known != to,
            // One of several forms that are sent to the same address.
            Some((path, _)) => {
                known != to
                    && (path != to || !fields.iter().any(|(name, value)| name == "once" && value == sent))
            }
        });
        self.saved.push(std::mem::take(&mut self.sent));
        if self.saved.len() > SAVED {
            self.saved.remove(0);
        }
    }
}

/// Of every account that sat at one browser.
pub(crate) type KeptOf = HashMap<clinic::AccountId, Kept>;

#[derive(Deserialize)]
struct To {
    to: String,
}

/// What was typed into a form that is sent to this address.
async fn show(seat: Seat, Query(of): Query<To>) -> Answer {
    let fields = seat.kept(|kept| kept.get(&of.to).map(<[_]>::to_vec)).flatten();
    let json = serde_json::to_string(&fields.unwrap_or_default()).unwrap_or_default();
    Ok(([(header::CONTENT_TYPE, "application/json")], json).into_response())
}

/// Keeps what is typed; the field `draft-to` says where the form is sent.
async fn keep(seat: Seat, fields: Fields) -> Answer {
    let to = fields.get(TO).to_owned();
    let pairs = fields.into_pairs().into_iter().filter(|(name, _)| name != TO && name != "form").collect();
    seat.kept(|kept| kept.keep(&to, pairs));
    Ok(StatusCode::NO_CONTENT.into_response())
}

async fn drop_it(seat: Seat, fields: Fields) -> Answer {
    seat.kept(|kept| kept.done(fields.get(TO)));
    Ok(StatusCode::NO_CONTENT.into_response())
}

/// Where the form is sent that a draft is of.
pub(crate) const TO: &str = "draft-to";

#[cfg(test)]
mod tests {
    use super::*;

    fn typed(once: &str, words: &str) -> Vec<(String, String)> {
        vec![("once".to_owned(), once.to_owned()), ("remark".to_owned(), words.to_owned())]
    }

    #[test]
    fn the_last_that_was_typed_is_what_comes_back() {
        let mut kept = Kept::default();
        kept.keep("/a", typed("1", "it hu"));
        kept.keep("/a", typed("1", "it hurt"));
        assert_eq!(kept.get("/a"), Some(typed("1", "it hurt").as_slice()));
        assert_eq!(kept.get("/b"), None);
    }

    /// The request that keeps and the one that saves may cross on the way.
    #[test]
    fn what_was_saved_does_not_come_back_as_a_draft() {
        let mut kept = Kept::default();
        kept.keep("/a", typed("1", "it hurt"));
        kept.sent = "1".to_owned();
        kept.done("/a");
        kept.keep("/a", typed("1", "it hurt"));
        assert_eq!(kept.get("/a"), None);
        kept.keep("/a", typed("2", "again"));
        assert!(kept.get("/a").is_some());
    }

    #[test]
    fn of_several_forms_to_one_address_only_the_one_that_was_sent_is_done() {
        let mut kept = Kept::default();
        kept.keep("/dose#first", typed("1", "3"));
        kept.keep("/dose#second", typed("2", "4"));
        kept.sent = "1".to_owned();
        kept.done("/dose");
        assert!(kept.get("/dose#first").is_none() && kept.get("/dose#second").is_some());
    }

    #[test]
    fn a_page_that_was_left_while_it_was_worked_out_is_not_come_back_to() {
        let mut kept = Kept::default();
        let first = Instant::now();
        let second = first + std::time::Duration::from_secs(1);
        kept.shown(second, "/people/1/home-log");
        kept.shown(first, "/people/1/findings");
        assert_eq!(kept.at().as_deref(), Some("/people/1/home-log"));
    }

    #[test]
    fn the_oldest_form_goes_when_too_many_are_kept() {
        let mut kept = Kept::default();
        for n in 0..=MOST {
            kept.keep(&format!("/{n}"), typed("1", "x"));
        }
        assert!(kept.get("/0").is_none() && kept.get("/1").is_some());
    }
}
