//! Devices of the clinic's network: admitting one with a code, seeing which there are, sending one away.

use std::time::Instant;

use axum::Router;
use axum::http::header;
use axum::response::IntoResponse;
use axum::routing::{get, post};
use clinic::{Account, AccountId, Device, DeviceId, Role};
use maud::{Markup, html};

use crate::fault::Fault;
use crate::fields::Fields;
use crate::frame::Here;
use crate::network::{self, Network};
use crate::seat::{Seat, to};
use crate::{Answer, Web, words};

pub(super) fn routes() -> Router<Web> {
    Router::new()
        .route("/clinic/devices", get(show))
        .route("/clinic/devices/admit", post(admit))
        .route("/clinic/devices/stop", post(stop))
        .route("/clinic/devices/send-away", post(send_away))
        .route("/clinic/devices/footrose-clinic.crt", get(authority))
}

async fn show(seat: Seat) -> Answer {
    let devices = seat.desk.devices().await?;
    let accounts = seat.desk.accounts()?;
    let body = view(&seat, &devices, &accounts);
    seat.page("Devices", Here::Clinic, body)
}

async fn admit(seat: Seat, _fields: Fields) -> Answer {
    decides(&seat)?;
    seat.web.codes.begin(seat.desk.clone(), Instant::now());
    Ok(to("/clinic/devices"))
}

async fn stop(seat: Seat, _fields: Fields) -> Answer {
    decides(&seat)?;
    seat.web.codes.end();
    Ok(to("/clinic/devices"))
}

async fn send_away(seat: Seat, fields: Fields) -> Answer {
    let device: DeviceId = fields.get("device").parse().map_err(clinic::Error::from)?;
    decides(&seat)?;
    // It is out before it is written down: a full disk keeps nobody in.
    let written = seat.desk.end_device(device).await;
    network::send_away(&seat.web, device).await;
    written?;
    seat.saved("/clinic/devices")
}

fn decides(seat: &Seat) -> Result<(), Fault> {
    if seat.desk.role()? == Role::Clinician {
        return Ok(());
    }
    Err(Fault::Refused("Only a clinician admits devices and sends them away. Ask one.".to_owned()))
}

/// The certificate that a device may be told to trust, so that it warns no more.
async fn authority(seat: Seat) -> Answer {
    let Some(network) = &seat.web.network else {
        return Err(Fault::NotFound(
            "There is no certificate while the workbench is open on this machine only.",
        ));
    };
    Ok(([(header::CONTENT_TYPE, "application/x-x509-ca-cert")], network.authority.clone()).into_response())
}

fn view(seat: &Seat, devices: &[Device], accounts: &[Account]) -> Markup {
    let decides = seat.desk.role().is_ok_and(|role| role == Role::Clinician);
    html! {
        p { a href="/clinic" { "Clinic" } }
        @match &seat.web.network {
            Some(network) => (door(seat, network, decides)),
            None => section {
                h2 { "Open on this machine only" }
                p { "No device of the network can reach the workbench now. To let a tablet in, end the program and begin it with" }
                p.code { "footrose serve --clinic --records FILE" }
            }
        }
        (list(seat, devices, accounts, decides))
    }
}

fn door(seat: &Seat, network: &Network, decides: bool) -> Markup {
    let open = seat.web.codes.shown_to(seat.desk.account(), Instant::now());
    html! {
        section {
            h2 { "Admit a device" }
            @if let Some(code) = open {
                ol {
                    li { p { "On the tablet, open" } @for address in &network.addresses { p.code { strong { (address) } } } }
                    li {
                        p { "Its browser warns that it does not know the certificate. Let it show the certificate, and compare its SHA-256 fingerprint with this one. Another fingerprint is another machine: stop then." }
                        p.code.fingerprint { (network.fingerprint) }
                    }
                    li {
                        p { "Type this code there." }
                        p.pair-code { (code.code) }
                        p { "It works once, for " (code.left.as_secs().div_ceil(60)) " minutes, while you stay signed in." }
                    }
                }
                form method="post" action="/clinic/devices/stop" { (seat.form()) button type="submit" { "Take the code back" } }
                p { a href="/clinic/devices" { "Look whether it is in the list" } }
            } @else if decides {
                p { "A tablet opens the workbench over the clinic's own network, camera included. You get a code that is typed there once." }
                form method="post" action="/clinic/devices/admit" { (seat.form()) button.action type="submit" { "Admit a device" } }
            } @else {
                p { "A clinician admits devices." }
            }
            details {
                summary { "So that a device warns no more" }
                p { "Install the certificate of this clinic's own authority on it, from this file. It vouches for addresses and names inside a clinic's own network only, never for the internet. Compare the fingerprint before you trust it:" }
                p.code.fingerprint { (network.authority_fingerprint) }
                p { a href="/clinic/devices/footrose-clinic.crt" download { "The certificate (footrose-clinic.crt)" } }
            }
        }
    }
}

fn list(seat: &Seat, devices: &[Device], accounts: &[Account], decides: bool) -> Markup {
    let name_of =
        |id: AccountId| accounts.iter().find(|one| one.id == id).map_or("unknown", |one| one.name.as_str());
    let (now, before): (Vec<&Device>, Vec<&Device>) = devices.iter().partition(|one| one.ended.is_none());
    html! {
        section {
            h2 { "Admitted now" }
            @if now.is_empty() {
                p { "None." }
            } @else {
                table.stack {
                    caption { "Devices that may come in" }
                    thead { tr { th scope="col" { "Name" } th scope="col" { "Admitted" } th scope="col" { "Seen last" } th scope="col" { "Send away" } } }
                    tbody { @for one in &now { tr {
                        th scope="row" { (one.name) }
                        td { (words::moment(one.added)) ", by " (name_of(one.by)) }
                        td { (words::moment(one.seen)) }
                        td {
                            @if decides {
                                form method="post" action="/clinic/devices/send-away" {
                                    (seat.form())
                                    input type="hidden" name="device" value=(one.id);
                                    button type="submit" aria-label=(format!("Send away: {}", one.name)) { "Send away" }
                                }
                            }
                        }
                    } } }
                }
                p { "Sending away works at once: whoever is signed in there is out. Do it the moment a device is lost." }
            }
        }
        @if !before.is_empty() {
            section {
                h2 { "Sent away" }
                ul { @for one in &before {
                    li { (one.name) ", " @if let Some(ended) = one.ended { (words::moment(ended)) } }
                } }
            }
        }
    }
}
