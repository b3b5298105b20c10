//! What goes home on a phone of what was accepted: the practice page as a file, and the address of the practice site.

use app::Again;
use axum::http::header;
use axum::response::IntoResponse;
use clinic::{HandedForm, HandedOut, ProgrammeRecord, may_write};
use document::{PageOrder, PageSettings, PageStore, PracticePage, Wording};
use exchange::{Programme, fragment};
use maud::{Markup, html};

use super::super::no_stop_stands;
use super::reads::{wording, wording_fields};
use super::sheet::clinic_of;
use super::{Accepted, Shown, Tab, keep, page};
use crate::fault::{Fault, sentence};
use crate::fields::Fields;
use crate::reckon::blocking;
use crate::seat::{Seat, Whose, at};
use crate::{Answer, words};

const ORDERS: [(&str, &str); 3] =
    [("round", "as listed"), ("reverse", "the other way round"), ("called", "called by chance")];

/// The form that hands out page and address.
pub(super) fn form(seat: &Seat, shown: &Shown) -> Markup {
    let id = shown.standing.line.id;
    let site = site_of(seat);
    html! {
        section.hand-out aria-labelledby="on-phone" {
            h3 id="on-phone" { "On a phone" }
            @if !may_write::<HandedOut>(shown.role) { p.quiet { "A reader hands nothing out." } } @else {
                form.sheet-choices method="post" action=(at(id, "programme/page.html")) {
                    (seat.form())
                    (wording_fields("phone"))
                    p {
                        label for="order" { "Order of the directions" }
                        select id="order" name="order" { @for (key, words) in ORDERS { option value=(key) { (words) } } }
                    }
                    div.acts {
                        button.action.second type="submit" data-file { "The practice page (file)" }
                        @if site.is_some() { button.action.second type="submit" formaction=(at(id, "programme/address")) { "The address, with a code to scan" } }
                    }
                }
                p.hint { "The page is one file that works without a network. Its log comes home as a code, a file or sixteen characters; read it under Home log." }
                @if site.is_none() { p.hint { "An address can be handed out once the address of the clinic’s practice site is set under " a href="/clinic/settings" { "Clinic, Settings" } "." } }
            }
        }
    }
}

/// The address of the clinic's practice site, if it is set.
fn site_of(seat: &Seat) -> Option<String> {
    let settings = seat.web.settings.read().ok()?;
    Some(settings.practice_site.clone()).filter(|address| !address.is_empty())
}

/// The words of a form, when the page that is made does not go back to the workbench.
struct Chosen {
    wording: Wording,
    order: PageOrder,
}

fn parse(fields: &Fields, chance: u32) -> Result<Chosen, String> {
    let order = match fields.get("order") {
        "" | "round" => PageOrder::Round,
        "reverse" => PageOrder::Reverse,
        "called" => PageOrder::Called { seed: chance },
        typed => {
            return Err(format!(
                "The order cannot be `{typed}`; accepted: round, reverse, called. Choose one of them."
            ));
        }
    };
    Ok(Chosen { wording: wording(fields)?, order })
}

fn chance<const N: usize>() -> Result<[u8; N], Fault> {
    let mut bytes = [0; N];
    getrandom::fill(&mut bytes)
        .map_err(|error| Fault::Broken(format!("the system gives no random bytes ({error}); try again")))?;
    Ok(bytes)
}

/// Makes the page of what was accepted and remembers that it went home.
async fn made(
    seat: &Seat,
    whose: &Whose,
    fields: &Fields,
    form: HandedForm,
) -> Result<(PracticePage, Programme), Fault> {
    const WAITS: &str =
        "The programme waits for a clinician’s countersignature; until then nothing goes home.";
    const NONE: &str = "No programme was accepted, so nothing goes home. Accept one first.";
    const NOTHING: &str = "No movement of the programme is permitted today, so nothing goes home.";
    let (standing, bench, now) = keep::opened(seat, whose).await?;
    let Some(now) = now else { return Err(Fault::NotFound(NONE)) };
    no_stop_stands(seat, whose).await?;
    if now.record.use_until < standing.day {
        return Err(Fault::Refused(format!(
            "The programme was to be used until {}; a page would not begin. Accept a programme of today first.",
            words::day(now.record.use_until)
        )));
    }
    let programme = match now {
        Accepted { waits: true, .. } => return Err(Fault::NotFound(WAITS)),
        Accepted { again: Again::Alert(_), .. } => {
            return Err(Fault::NotFound("A red flag stands open: nothing may be handed out."));
        }
        Accepted { again: Again::Today { programme, .. }, .. } if programme.exercises.is_empty() => {
            return Err(Fault::NotFound(NOTHING));
        }
        Accepted { again: Again::Today { programme, .. }, .. } => programme,
    };
    let Chosen { wording, order } = parse(fields, u32::from_le_bytes(chance()?)).map_err(Fault::Refused)?;
    let settings = PageSettings {
        language: wording.language,
        units: wording.units,
        order,
        store: PageStore::of(chance()?),
    };
    let space = match seat.reckon().plan(&standing).await?.as_deref() {
        Some(app::Outcome::Programme(plan)) => Some(plan.space.clone()),
        _ => None,
    };
    let clinic = clinic_of(seat, &bench.case);
    let page = blocking(move || {
        let sheet = document::SheetSettings::of(&bench.case, space.as_ref(), bench.day, wording);
        document::page(&programme, &bench.case.person, &clinic, &sheet, &settings)
    })
    .await?;
    let programme =
        Programme::from_json(&page.programme.to_string()).map_err(|why| Fault::Refused(sentence(&why)))?;
    if form == HandedForm::Address {
        // What an address cannot tell is refused before it counts as handed out.
        fragment::write(&programme).map_err(|why| Fault::Refused(sentence(&why)))?;
    }
    let accepted = seat.desk.newest::<ProgrammeRecord>(whose.0).await?.ok_or(Fault::NotFound(NONE))?;
    let out = HandedOut {
        on: standing.day,
        form,
        accepted: accepted.record.to_string(),
        programme: programme.clone(),
    };
    seat.desk.hand_out(whose.0, out).await?;
    Ok((page, programme))
}

/// The practice page, as a file to send or to put on the phone.
pub(super) async fn file(seat: Seat, whose: Whose, fields: Fields) -> Answer {
    let (page, programme) = made(&seat, &whose, &fields, HandedForm::Page).await?;
    let name = format!("attachment; filename=\"practice-{}.html\"", programme.mark);
    seat.desk.note(clinic::Action::Printed, whose.0, &format!("practice page, {}", programme.mark)).await?;
    let headers =
        [(header::CONTENT_TYPE, "text/html; charset=utf-8".to_owned()), (header::CONTENT_DISPOSITION, name)];
    Ok((headers, page.html).into_response())
}

/// The address of the practice site with the programme behind `#`, as text and as a code to scan.
pub(super) async fn address(seat: Seat, whose: Whose, fields: Fields) -> Answer {
    let Some(site) = site_of(&seat) else {
        return Err(Fault::Refused(
            "No address of a practice site is set. Set it under Clinic, Settings, or hand out the practice page as a file."
                .to_owned(),
        ));
    };
    let (_, programme) = made(&seat, &whose, &fields, HandedForm::Address).await?;
    let fragment = fragment::write(&programme).map_err(|why| Fault::Refused(sentence(&why)))?;
    seat.desk.note(clinic::Action::Printed, whose.0, &format!("address, {}", programme.mark)).await?;
    let address = format!("{}#{fragment}", site.trim_end_matches('#'));
    let standing = super::standing(&seat, &whose).await?;
    let until = words::day(programme.until);
    let body = html! {
        section aria-labelledby="address-head" {
            h2 id="address-head" { "The address for the phone" }
            p { "Let the person’s phone scan this, or send the address. To be used until " (until) ". What stands behind " span.code { "#" } " is the programme; it reaches no host and names nobody." }
            div.symbol id="symbol" data-text=(address) role="img" aria-label="The address as a code to scan" {}
            label for="address-text" { "The address" }
            textarea.code id="address-text" readonly rows="4" spellcheck="false" { (address) }
            p { a href=(at(whose.0, "programme")) { "Back to the programme" } }
        }
        script src="/assets/practice/code.js" {}
        script src="/assets/practice/qr.js" {}
        script type="module" src="/assets/symbol.js" {}
    };
    page(&seat, &standing, Tab::Programme, body)
}
