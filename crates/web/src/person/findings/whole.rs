//! The whole case file as text: every key can be reached here.

use clinic::CaseRecord;
use maud::{Markup, html};

use super::super::{Tab, again, page, standing};
use crate::Answer;
use crate::fault::sentence;
use crate::fields::Fields;
use crate::frame::mend;
use crate::seat::{Seat, Whose};

pub(super) async fn show(seat: Seat, whose: Whose) -> Answer {
    let standing = standing(&seat, &whose).await?;
    let text = if standing.case_text.is_empty() {
        person::case_file::template()
    } else {
        standing.case_text.to_string()
    };
    let body = view(&seat, &whose, &text, None);
    page(&seat, &standing, Tab::Findings, body)
}

pub(super) async fn take(seat: Seat, whose: Whose, fields: Fields) -> Answer {
    let before = standing(&seat, &whose).await?;
    // A browser sends line ends of its own kind.
    let text = fields.get("text").replace("\r\n", "\n");
    let newest = seat.desk.newest::<CaseRecord>(whose.0).await?;
    let absent = newest.map(|entry| entry.body.absent).unwrap_or_default();
    let record = CaseRecord { text, absent, why: "written as text".to_owned() };
    match seat.desk.save_case_record(whose.0, &record, fields.once()).await {
        Ok(_) => seat.saved(&format!("{}?changed=1#main", whose.at("findings"))),
        Err(error @ clinic::Error::Case(_)) => {
            let body = view(&seat, &whose, &record.text, Some(&sentence(&error.to_string())));
            again(&seat, &before, Tab::Findings, body)
        }
        Err(error) => Err(error.into()),
    }
}

fn view(seat: &Seat, whose: &Whose, text: &str, why: Option<&str>) -> Markup {
    html! {
        p { a href=(whose.at("findings")) { "Back to the findings" } }
        (mend(why))
        form.entry method="post" action=(whose.at("findings/text")) data-keeps {
            (seat.form())
            label for="text" { "The whole case file" }
            p.hint id="text-hint" { "Every key of the format, with its comments. Every saved version is kept with its author and time." }
            textarea id="text" name="text" rows="28" spellcheck="false" aria-describedby="text-hint" { (text) }
            button.action type="submit" { "Save as a new version" }
        }
    }
}
