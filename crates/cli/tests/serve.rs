//! The workbench as a stranger starts it: created on a terminal, served on this machine, backed up, restored.

use std::io::{BufRead, BufReader, Read, Write};
use std::net::TcpStream;
use std::path::{Path, PathBuf};
use std::process::{Child, Command, Output, Stdio};

const PASSPHRASE: &str = "gravel lantern seven boats";

/// A fresh folder for one test.
fn folder(name: &str) -> PathBuf {
    let path = Path::new(env!("CARGO_TARGET_TMPDIR")).join(name);
    let _ = std::fs::remove_dir_all(&path);
    std::fs::create_dir_all(&path).expect("a folder");
    path
}

/// Starts the program and types lines.
fn start(args: &[&str], typed: &str) -> Child {
    let mut child = Command::new(env!("CARGO_BIN_EXE_footrose"))
        .args(args)
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .expect("the binary runs");
    child.stdin.take().expect("piped").write_all(typed.as_bytes()).expect("typed");
    child
}

fn run(args: &[&str], typed: &str) -> Output {
    start(args, typed).wait_with_output().expect("the binary ends")
}

/// Reads what is printed until the address, and gives both.
fn address(child: &mut Child) -> (String, String) {
    let mut lines = BufReader::new(child.stdout.take().expect("piped")).lines();
    let mut said = String::new();
    loop {
        let line = lines.next().unwrap_or_else(|| panic!("no address in: {said}")).expect("text");
        said.push_str(&line);
        said.push('\n');
        if let Some(at) = line.find("http://127.0.0.1:") {
            let rest = &line[at + "http://".len()..];
            let end = rest.find('/').expect("an address ends with a stroke");
            return (rest[..end].to_owned(), said);
        }
    }
}

/// Asks for a page.
fn ask(address: &str, path: &str) -> String {
    let mut stream = TcpStream::connect(address).expect("somebody listens");
    let question = format!("GET {path} HTTP/1.1\r\nHost: {address}\r\nConnection: close\r\n\r\n");
    stream.write_all(question.as_bytes()).expect("sent");
    let mut answer = String::new();
    stream.read_to_string(&mut answer).expect("answered");
    answer
}

/// Sends a form, from a page of `origin`.
fn send(address: &str, origin: &str, path: &str, form: &str) -> String {
    let mut stream = TcpStream::connect(address).expect("somebody listens");
    let length = form.len();
    write!(
        stream,
        "POST {path} HTTP/1.1\r\nHost: {address}\r\nOrigin: {origin}\r\nConnection: close\r\n\
         Content-Type: application/x-www-form-urlencoded\r\nContent-Length: {length}\r\n\r\n{form}"
    )
    .expect("sent");
    let mut answer = String::new();
    stream.read_to_string(&mut answer).expect("answered");
    answer
}

/// Asks a process to end, as a terminal or the system does.
fn end(child: Child) -> Output {
    let id = child.id().to_string();
    assert!(Command::new("kill").args(["-TERM", &id]).status().expect("kill runs").success());
    child.wait_with_output().expect("it ends")
}

fn out(output: &Output) -> String {
    String::from_utf8_lossy(&output.stdout).into_owned()
}

#[test]
fn without_an_argument_the_invented_clinic_opens_and_leaves_nothing_behind() {
    let place = folder("invented");
    let mut child = Command::new(env!("CARGO_BIN_EXE_footrose"))
        .env("TMPDIR", &place)
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .expect("the binary runs");
    let (address, said) = address(&mut child);
    assert!(said.contains("thirteen invented people") && said.contains("Sign in as Tarn"), "{said}");
    let page = ask(&address, "/sign-in");
    assert!(page.starts_with("HTTP/1.1 200") && page.contains("Everybody in it is invented"), "{page}");
    assert_eq!(std::fs::read_dir(&place).expect("the folder").count(), 1);
    assert_eq!(end(child).status.code(), Some(0));
    assert_eq!(std::fs::read_dir(&place).expect("the folder").count(), 0);
}

#[test]
fn records_are_created_served_backed_up_and_restored() {
    let place = folder("records");
    let text = |path: &Path| path.to_str().expect("a path that is text").to_owned();
    let records = text(&place.join("clinic.footrose"));
    let mut child = start(
        &["serve", "--terminal", "--records", &records],
        &format!("Imre\n{PASSPHRASE}\n{PASSPHRASE}\n"),
    );
    let (at, said) = address(&mut child);
    let key = said.lines().find(|line| line.matches('-').count() == 7).expect("the recovery key");
    assert_eq!(key.trim().len(), 8 * 5 + 7);
    let page = ask(&at, "/sign-in");
    assert!(page.contains("Sign in") && !page.contains("invented"), "{page}");
    let again = run(&["serve", "--records", &records], "");
    assert_eq!(again.status.code(), Some(16));
    assert!(String::from_utf8_lossy(&again.stderr).contains("open in another window or process"));
    assert_eq!(end(child).status.code(), Some(0));

    let signed = format!("{PASSPHRASE}\n");
    let verify = ["audit", "verify", "--records", &records, "--name", "Imre"];
    let verified = run(&verify, &signed);
    assert_eq!(verified.status.code(), Some(0));
    assert!(out(&verified).starts_with("The audit is whole"), "{}", out(&verified));

    let backups = place.join("backups");
    std::fs::create_dir(&backups).expect("a folder");
    let made = run(&["backup", "--records", &records, "--name", "Imre", "--to", &text(&backups)], &signed);
    assert!(out(&made).contains("read back whole"), "{}", out(&made));
    let backup = std::fs::read_dir(&backups)
        .expect("the folder")
        .map(|entry| entry.expect("an entry").path())
        .find(|path| path.extension().is_some_and(|end| end == "backup"))
        .expect("a backup");
    let restored = text(&place.join("restored.footrose"));
    let done = run(&["restore", &text(&backup), "--records", &restored], "");
    assert_eq!(done.status.code(), Some(0), "{}", String::from_utf8_lossy(&done.stderr));
    let verified = run(&["audit", "verify", "--records", &restored, "--name", "Imre"], &signed);
    assert_eq!(verified.status.code(), Some(0));
}

#[test]
fn records_that_are_not_there_are_begun_in_the_browser_and_the_key_stays_until_it_is_written_down() {
    let records = folder("first-use").join("clinic.footrose");
    let path = records.to_str().expect("a path that is text");
    let mut child = start(&["serve", "--records", path], "");
    let mut lines = BufReader::new(child.stdout.take().expect("piped")).lines();
    let mut next = || lines.next().expect("a line").expect("text");
    assert!(next().contains("is not there yet"));
    let line = next();
    let from = line.find("http://").expect("an address") + "http://".len();
    let (at, path) = line[from..].split_once('/').expect("a path");
    let page = format!("/{}", path.split_whitespace().next().expect("its end"));
    let origin = format!("http://{at}");

    // Nobody without the word, and no page of another address, comes anywhere.
    for other in ["/", "/sign-in", "/first-use/0123456789abcdef"] {
        let answer = ask(at, other);
        assert!(answer.starts_with("HTTP/1.1 404") && !answer.contains("<form"), "{answer}");
    }
    let same = format!("name=Imre&passphrase={PASSPHRASE}&again={PASSPHRASE}").replace(' ', "+");
    let other = page.replace(&page[page.len() - 4..], "0000");
    assert!(send(at, &origin, &other, &same).starts_with("HTTP/1.1 404"));
    assert!(send(at, "http://elsewhere.example", &page, &same).starts_with("HTTP/1.1 403"));
    // What cannot be used says why, keeps the name, and creates nothing.
    for (form, why) in [
        ("name=Imre&passphrase=plum9&again=plum9", "passphrase"),
        ("name=Imre&passphrase=gravel+lantern+seven+boats&again=another+one+altogether", "differ"),
        ("name=+&passphrase=gravel+lantern+seven+boats&again=gravel+lantern+seven+boats", "Type your name"),
    ] {
        let answer = send(at, &origin, &page, form);
        assert!(answer.starts_with("HTTP/1.1 422") && answer.contains(why), "{answer}");
        assert!(form.starts_with("name=+") || answer.contains("value=\"Imre\""), "{answer}");
        assert!(!answer.contains("plum9") && !records.exists());
    }
    // The key stays through a reload and a second sending; it is one key.
    let key = |answer: &str| {
        let from = answer.find("recovery\"><strong>").expect("the key") + "recovery\"><strong>".len();
        answer[from..from + 8 * 5 + 7].to_owned()
    };
    assert!(send(at, &origin, &page, &same).starts_with("HTTP/1.1 303"));
    assert!(records.exists());
    let shown = key(&ask(at, &page));
    assert!(send(at, &origin, &page, &same).starts_with("HTTP/1.1 303"));
    assert_eq!(key(&ask(at, &page)), shown);
    let not_ticked = send(at, &origin, &format!("{page}/written"), "");
    assert!(not_ticked.starts_with("HTTP/1.1 422") && key(&not_ticked) == shown, "{not_ticked}");
    assert!(send(at, &origin, &format!("{page}/written"), "written=yes").starts_with("HTTP/1.1 303"));
    // The workbench answers at the same address, and the page of the first use is gone. What comes in while the
    // door changes hands is told to ask again, as a browser does.
    let mut sign_in = ask(at, "/sign-in");
    while sign_in.starts_with("HTTP/1.1 307") {
        assert!(sign_in.to_lowercase().contains("location: /sign-in"), "{sign_in}");
        sign_in = ask(at, "/sign-in");
    }
    assert!(sign_in.starts_with("HTTP/1.1 200") && sign_in.contains("Your passphrase"), "{sign_in}");
    assert!(!ask(at, &page).contains(&shown));
    assert_eq!(end(child).status.code(), Some(0));
    let verified = run(
        &["audit", "verify", "--records", records.to_str().expect("text"), "--name", "Imre"],
        &format!("{PASSPHRASE}\n"),
    );
    assert_eq!(verified.status.code(), Some(0));
}

#[test]
fn two_passphrases_that_differ_create_nothing() {
    let records = folder("differ").join("clinic.footrose");
    let path = records.to_str().expect("a path that is text");
    let done = run(
        &["serve", "--terminal", "--records", path],
        &format!("Imre\n{PASSPHRASE}\nanother one altogether\n"),
    );
    assert_eq!(done.status.code(), Some(16));
    assert!(!records.exists());
}

#[test]
fn the_network_is_served_when_it_is_asked_for_and_an_address_that_is_open_to_others_is_refused() {
    let place = folder("network");
    let records = place.join("clinic.footrose");
    let records = records.to_str().expect("a path");
    let serve = ["serve", "--records", records, "--name", "Imre"];
    let typed = format!("{PASSPHRASE}\n{PASSPHRASE}\n");
    for (address, expected) in [
        ("0.0.0.0:0", "one for guests too; name the one address"),
        ("203.0.113.5:0", "an address of the open internet"),
        ("clinic.example:0", "vouches for names of a network of one's own only"),
    ] {
        let ended = run(&[&serve[..], &["--clinic", "--address", address]].concat(), "");
        assert_eq!(ended.status.code(), Some(16), "{address}");
        let said = String::from_utf8_lossy(&ended.stderr);
        assert!(
            said.contains("the clinic's network cannot be served") && said.contains(expected),
            "{address}: {said}"
        );
    }
    let ended = run(&[&serve[..], &["--address", "127.0.0.1:0"]].concat(), "");
    assert_eq!(ended.status.code(), Some(2), "an address of the network without the network");
    assert!(!place.join("clinic.footrose").exists(), "nothing is created before it can be served");
    let mut child = start(&[&serve[..], &["--clinic", "--address", "127.0.0.1:0"]].concat(), &typed);
    let (here, said) = address(&mut child);
    let at = said.find("https://127.0.0.1:").unwrap_or_else(|| panic!("no address in: {said}"));
    let network = said[at + 8..].split('/').next().expect("an address").to_owned();
    assert!(said.contains("fingerprint (SHA-256)") && said.contains("Clinic, Devices"), "{said}");
    assert!(ask(&here, "/sign-in").contains("Your passphrase"), "the machine goes on");
    let answer = ask(&network, "/");
    assert!(answer.starts_with("HTTP/1.1 400") && answer.contains("answers in https only"), "{answer}");
    assert!(place.join("clinic.footrose.network").is_file(), "the keys lie beside the records");
    assert!(end(child).status.success());
}
