//! Devices of the clinic's network, over real connections: admitted with a code, let in, sent away.

mod common;

use std::sync::Arc;

use axum::http::StatusCode;
use clinic::{Action, Admitted, Clinic, DEMO_NAME, DEMO_PASSPHRASE, Desk};
use common::tls::{Both, Device, plain};

const DEVICE: &str = "__Host-footrose-device";
const SESSION: &str = "__Host-footrose";

async fn clinic() -> Arc<Clinic> {
    let today = Arc::new(|| jiff::civil::date(2026, 2, 4));
    Clinic::demo(today).await.expect("the invented clinic")
}

async fn desk(clinic: &Arc<Clinic>) -> Desk {
    match clinic.sign_in(DEMO_NAME, DEMO_PASSPHRASE).await {
        Ok(Admitted::Welcome(desk)) => desk,
        _ => panic!("the invented clinic opens"),
    }
}

/// A clinician at the machine asks for a code.
async fn code(machine: &mut Device) -> String {
    if machine.get("/clinic/devices").await.status != StatusCode::OK {
        let page = machine.sign_in(DEMO_NAME, DEMO_PASSPHRASE).await;
        assert_eq!(page.location(), "/", "{}", page.body);
    }
    machine.send("/clinic/devices", "/clinic/devices/admit", &[]).await;
    let body = machine.get("/clinic/devices").await.body;
    let at = body.find("class=\"pair-code\">").unwrap_or_else(|| panic!("no code: {body}")) + 18;
    body[at..at + 9].to_owned()
}

/// A code that differs in its last digit.
fn other(code: &str) -> String {
    format!("{}{}", &code[..8], if code.ends_with('0') { '1' } else { '0' })
}

/// A device that was admitted.
async fn admitted(both: &Both, machine: &mut Device, name: &str) -> Device {
    let code = code(machine).await;
    let mut device = both.device();
    let page = device.post("/pair", &[("code", &code), ("name", name)]).await;
    assert_eq!(page.status, StatusCode::OK, "{}", page.body);
    assert!(page.body.contains("This device is admitted"), "{}", page.body);
    device
}

async fn words(clinic: &Arc<Clinic>, action: Action) -> Vec<String> {
    let desk = desk(clinic).await;
    let audit = desk.audit(None, 1, 1000).await.expect("the audit");
    desk.sign_out().await.expect("out");
    audit.into_iter().filter(|entry| entry.action == action).map(|entry| entry.words).collect()
}

#[tokio::test]
async fn a_device_that_was_not_admitted_sees_the_page_to_be_admitted_on_and_nothing_else() {
    let both = Both::begin(clinic().await).await;
    let mut device = both.device();
    let page = device.get("/").await;
    assert_eq!((page.status, page.location()), (StatusCode::SEE_OTHER, "/pair"));
    let page = device.get("/pair").await;
    assert_eq!(page.status, StatusCode::OK);
    assert!(page.body.contains("Admit this device") && !page.body.contains("<script"), "{}", page.body);
    let policy = page.headers.get("content-security-policy").expect("a policy");
    assert!(policy.to_str().expect("text").contains("default-src 'none'"));
    for style in ["/assets/footrose.css", "/assets/regular.ttf"] {
        assert_eq!(device.get(style).await.status, StatusCode::OK, "{style}");
    }
    for path in [
        "/sign-in",
        "/recover",
        "/locked",
        "/hand-over",
        "/people",
        "/people/new",
        "/clinic",
        "/clinic/devices",
        "/clinic/devices/footrose-clinic.crt",
        "/clinic/audit",
        "/assets/footrose.js",
        "/still",
        "/nothing",
    ] {
        let page = device.get(path).await;
        assert_eq!(page.status, StatusCode::FORBIDDEN, "{path}");
        assert!(page.body.contains("This device is not admitted"), "{path}: {}", page.body);
    }
    for path in ["/", "/sign-in", "/recover", "/clinic/devices/admit", "/lock"] {
        let fields = [("name", DEMO_NAME), ("passphrase", DEMO_PASSPHRASE)];
        assert_eq!(device.post(path, &fields).await.status, StatusCode::FORBIDDEN, "{path}");
    }
    assert!(device.cookies.is_empty(), "it is given nothing to keep");
    // The machine itself goes on as before, and has no such page.
    let mut machine = both.machine();
    assert_eq!(machine.get("/pair").await.status, StatusCode::NOT_FOUND);
    assert_eq!(machine.sign_in(DEMO_NAME, DEMO_PASSPHRASE).await.location(), "/");
    both.end().await;
}

#[tokio::test]
async fn a_device_is_admitted_with_the_code_works_and_stays_admitted_after_a_restart() {
    let folder = std::env::temp_dir().join(format!("web-pairing-{}", std::process::id()));
    let _ = std::fs::remove_dir_all(&folder);
    std::fs::create_dir_all(&folder).expect("a folder");
    let file = folder.join("a.footrose");
    let opening = || clinic::Opening::invented(Arc::new(|| jiff::civil::date(2026, 2, 4)));
    let first = clinic::First { name: DEMO_NAME, passphrase: DEMO_PASSPHRASE };
    let (clinic, desk, _) = Clinic::create(&file, opening(), first).await.expect("a clinic");
    desk.sign_out().await.expect("out");
    let both = Both::begin(clinic).await;
    let mut machine = both.machine();
    let code = code(&mut machine).await;
    let shown = machine.get("/clinic/devices").await.body;
    assert!(
        shown.contains(&both.fingerprint) && shown.contains(&format!("https://{}/", both.network)),
        "{shown}"
    );
    let mut device = both.device();
    let page = device.post("/pair", &[("code", &code), ("name", "")]).await;
    assert!(page.body.contains("Give the device a name"), "the code is not used up: {}", page.body);
    let page = device.post("/pair", &[("code", &code.replace(' ', "")), ("name", "tablet")]).await;
    let set = page.headers.get("set-cookie").expect("a cookie").to_str().expect("text");
    for part in ["Secure", "HttpOnly", "SameSite=Strict", "Path=/", "Max-Age="] {
        assert!(set.contains(part), "{set}");
    }
    assert!(!page.body.contains(&device.cookie(DEVICE).expect("kept")), "what it holds is not on the page");
    let page = device.sign_in(DEMO_NAME, DEMO_PASSPHRASE).await;
    assert_eq!(page.location(), "/", "{}", page.body);
    let set: Vec<&str> =
        page.headers.get_all("set-cookie").iter().map(|one| one.to_str().expect("text")).collect();
    assert!(set.iter().all(|one| one.contains("; Secure")), "{set:?}");
    assert!(device.get("/").await.body.contains("Today"));
    let listed = machine.get("/clinic/devices").await.body;
    assert!(listed.contains("tablet") && listed.contains("Seen last"), "{listed}");
    // Another device cannot use the same code again.
    let page = both.device().post("/pair", &[("code", &code), ("name", "another")]).await;
    assert_eq!(page.status, StatusCode::FORBIDDEN);
    assert!(page.body.contains("There is no such code now"), "{}", page.body);
    let fingerprint = both.fingerprint.clone();
    both.end().await;

    let clinic = Clinic::open(&file, opening()).await.expect("opens again");
    let both = Both::begin(clinic.clone()).await;
    assert_ne!(both.network, device.at, "another port");
    device.at.clone_from(&both.network);
    device.origin = format!("https://{}", both.network);
    assert_eq!(both.fingerprint, fingerprint, "the certificate stays");
    assert_eq!(device.get("/").await.location(), "/sign-in", "the device is known, the session is over");
    assert_eq!(device.sign_in(DEMO_NAME, DEMO_PASSPHRASE).await.location(), "/");
    assert_eq!(words(&clinic, Action::Device).await, ["admitted: tablet"]);
    both.end().await;
    std::fs::remove_dir_all(folder).expect("removed");
}

#[tokio::test]
async fn wrong_codes_are_counted_void_the_right_one_and_stand_in_the_audit() {
    let clinic = clinic().await;
    let both = Both::begin(clinic.clone()).await;
    // Nobody asked for a code, and nobody is signed in.
    let mut device = both.device();
    let page = device.post("/pair", &[("code", "1234 5678"), ("name", "tablet")]).await;
    assert!(page.body.contains("There is no such code now"), "{}", page.body);
    let mut machine = both.machine();
    let code = code(&mut machine).await;
    for (number, said) in
        [(1, "tries left: 4"), (2, "tries left: 3"), (3, "tries left: 2"), (4, "tries left: 1")]
    {
        let page = device.post("/pair", &[("code", &other(&code)), ("name", "tablet")]).await;
        assert_eq!(page.status, StatusCode::FORBIDDEN, "{number}: {}", page.body);
        assert!(
            page.body.contains(said) && page.body.contains("value=\"tablet\""),
            "{number}: {}",
            page.body
        );
    }
    let page = device.post("/pair", &[("code", &code), ("name", "tablet")]).await;
    assert_eq!(
        page.status,
        StatusCode::TOO_MANY_REQUESTS,
        "not even the right one is looked at: {}",
        page.body
    );
    assert!(page.body.contains("Wait 2 seconds, then type the code again"), "{}", page.body);
    assert!(device.cookies.is_empty());
    machine.send("/clinic/devices", "/clinic/devices/stop", &[]).await;
    assert!(!machine.get("/clinic/devices").await.body.contains("pair-code"));
    let refused = words(&clinic, Action::DeviceRefused).await;
    let from = "a wrong code, from 127.0.0.1".to_owned();
    assert_eq!(refused, ["".to_owned(), from.clone(), from.clone(), from.clone(), from]);
    both.end().await;
}

#[tokio::test]
async fn sending_a_device_away_ends_its_session_at_once_and_wipes_the_keys_if_nobody_else_is_in() {
    let clinic = clinic().await;
    let both = Both::begin(clinic.clone()).await;
    let mut machine = both.machine();
    let mut lost = admitted(&both, &mut machine, "lost phone").await;
    let mut kept = admitted(&both, &mut machine, "tablet").await;
    for device in [&mut lost, &mut kept] {
        assert_eq!(device.sign_in(DEMO_NAME, DEMO_PASSPHRASE).await.location(), "/");
        assert_eq!(device.get("/people").await.status, StatusCode::OK);
        assert_eq!(device.get("/still").await.status, StatusCode::NO_CONTENT);
    }
    let listed = machine.get("/clinic/devices").await.body;
    let at = listed.find("Send away: lost phone").expect("it is listed");
    let id = listed[..at].rsplit("name=\"device\" value=\"").next().expect("an id")[..36].to_owned();
    let page = machine.send("/clinic/devices", "/clinic/devices/send-away", &[("device", &id)]).await;
    assert_eq!(page.location(), "/clinic/devices?saved=1", "{}", page.body);
    for path in ["/people", "/still", "/sign-in", "/locked"] {
        assert_eq!(lost.get(path).await.status, StatusCode::FORBIDDEN, "{path}");
    }
    assert_eq!(lost.get("/").await.location(), "/pair");
    assert_eq!(kept.get("/people").await.status, StatusCode::OK, "the other one stays");
    assert_eq!(machine.get("/people").await.status, StatusCode::OK, "the machine stays");
    let said = words(&clinic, Action::Device).await;
    assert_eq!(said, ["admitted: lost phone", "admitted: tablet", "sent away: lost phone"]);
    // The last one in: sent away by itself, no key stays in memory.
    machine.send("/", "/sign-out", &[]).await;
    assert!(!clinic.is_locked());
    let listed = kept.get("/clinic/devices").await.body;
    let id = listed.split("name=\"device\" value=\"").nth(1).expect("an id")[..36].to_owned();
    kept.send("/clinic/devices", "/clinic/devices/send-away", &[("device", &id)]).await;
    assert!(clinic.is_locked());
    assert_eq!(kept.get("/people").await.status, StatusCode::FORBIDDEN);
    both.end().await;
}

#[tokio::test]
async fn a_session_is_worth_nothing_at_another_device_or_at_the_other_door() {
    let both = Both::begin(clinic().await).await;
    let mut machine = both.machine();
    let mut device = admitted(&both, &mut machine, "tablet").await;
    let mut second = admitted(&both, &mut machine, "second").await;
    device.sign_in(DEMO_NAME, DEMO_PASSPHRASE).await;
    let token = device.cookie(SESSION).expect("a session");
    // At another device that is admitted.
    second.cookies.push((SESSION.to_owned(), token.clone()));
    assert_eq!(second.get("/people").await.location(), "/sign-in");
    // Without the device's own cookie.
    let mut stolen = both.device();
    stolen.cookies.push((SESSION.to_owned(), token.clone()));
    assert_eq!(stolen.get("/people").await.status, StatusCode::FORBIDDEN);
    // On the machine, and the machine's at the device.
    let mut here = both.machine();
    here.cookies.push(("footrose".to_owned(), token));
    assert_eq!(here.get("/people").await.location(), "/sign-in");
    let own = machine.cookie("footrose").expect("a session");
    for name in ["footrose", SESSION] {
        let mut crossed = device.clone();
        crossed.cookies.retain(|(known, _)| known == DEVICE);
        crossed.cookies.push((name.to_owned(), own.clone()));
        assert_eq!(crossed.get("/people").await.location(), "/sign-in", "{name}");
    }
    assert_eq!(device.get("/people").await.status, StatusCode::OK, "its own is good");
    both.end().await;
}

#[tokio::test]
async fn a_foreign_host_a_foreign_origin_and_plain_http_are_refused_in_words() {
    let both = Both::begin(clinic().await).await;
    let mut machine = both.machine();
    let mut device = admitted(&both, &mut machine, "tablet").await;
    let port = both.network.rsplit(':').next().expect("a port").to_owned();
    for host in [
        "attacker.example",
        &both.here,
        "127.0.0.1",
        &format!("localhost:{port}"),
        &format!("attacker.local:{port}"),
    ] {
        let page = device.ask("GET", "/sign-in", host, "").await;
        assert_eq!(page.status, StatusCode::FORBIDDEN, "{host}");
        assert!(page.body.contains("This address is not the one"), "{host}: {}", page.body);
    }
    let page = device.ask("GET", "/sign-in", &format!("reception.local:{port}"), "").await;
    assert_eq!(page.status, StatusCode::OK, "a name that was given");
    let own = device.origin.clone();
    for origin in
        [format!("http://{}", both.network), "https://attacker.example".to_owned(), "null".to_owned()]
    {
        device.origin.clone_from(&origin);
        for path in ["/pair", "/sign-in", "/clinic/devices/admit"] {
            let page = device.post(path, &[("code", "1")]).await;
            assert_eq!(page.status, StatusCode::FORBIDDEN, "{origin} {path}");
            assert!(page.body.contains("This form did not come from a page"), "{}", page.body);
        }
    }
    device.origin = own;
    let answer = plain(&both.network).await;
    assert!(answer.starts_with("HTTP/1.1 400"), "{answer}");
    assert!(
        answer.contains("answers in https only") && answer.contains(&format!("https://{}/", both.network)),
        "{answer}"
    );
    assert!(both.vouches_for("reception.local").await && both.vouches_for("127.0.0.1").await);
    assert!(!both.vouches_for("192.168.1.20").await && !both.vouches_for("attacker.local").await);
    both.end().await;
}

#[tokio::test]
async fn only_a_clinician_opens_a_code_and_it_is_over_when_the_clinician_signs_out() {
    let clinic = clinic().await;
    let first = desk(&clinic).await;
    first
        .create_account("Noor", clinic::Role::Assistant, "four boats seven lanterns")
        .await
        .expect("an account");
    first.sign_out().await.expect("out");
    let both = Both::begin(clinic).await;
    let mut assistant = both.machine();
    assistant.sign_in("Noor", "four boats seven lanterns").await;
    let page = assistant.get("/clinic/devices").await;
    assert!(
        page.body.contains("A clinician admits devices") && !page.body.contains("/admit\""),
        "{}",
        page.body
    );
    let hidden = assistant.get("/clinic/accounts").await.hidden();
    let fields: Vec<(&str, &str)> = hidden.iter().map(|(a, b)| (a.as_str(), b.as_str())).collect();
    let page = assistant.post("/clinic/devices/admit", &fields).await;
    assert!(page.body.contains("Only a clinician admits devices"), "{}", page.body);
    let mut machine = both.machine();
    let code = code(&mut machine).await;
    assert!(!assistant.get("/clinic/devices").await.body.contains(&code), "it is shown to who asked for it");
    machine.send("/", "/sign-out", &[]).await;
    let page = both.device().post("/pair", &[("code", &code), ("name", "tablet")]).await;
    assert!(page.body.contains("There is no such code now"), "{}", page.body);
    both.end().await;
}
