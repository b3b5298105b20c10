//! Shapes are only ever added: what was written in an old one is read in the newest.

mod common;

use common::{Folder, NAME, PASSPHRASE, Time, WRITERS, bodies, welcome};
use store::{Error, First, KeyCost, Kind, NewRecord, Options, Registry, Store};

fn unit_added(body: &[u8]) -> Result<Vec<u8>, String> {
    Ok([body, b" degrees"].concat())
}

fn side_added(body: &[u8]) -> Result<Vec<u8>, String> {
    if body.starts_with(b"knee") {
        Ok([b"right ".as_slice(), body].concat())
    } else {
        Err("no joint".to_owned())
    }
}

fn options(kind: Kind) -> Options {
    Options::new(Registry::new([kind]).expect("one kind")).with_cost(KeyCost::cheap_for_tests_only())
}

#[tokio::test]
async fn a_record_of_an_old_shape_is_read_in_the_newest_and_stays_as_written_on_the_disk() {
    let (folder, _time) = (Folder::new("shapes"), Time::new());
    let path = folder.file("x.records");
    let first = || Kind::new("finding", WRITERS);
    let (store, session, _) =
        Store::create(&path, options(first()), First { name: NAME, passphrase: PASSPHRASE })
            .await
            .expect("created");
    let person = session.create_person("1").await.expect("a person");
    session.append(NewRecord::new(person, "finding", "knee 95", "a")).await.expect("written");
    store.close().await.expect("closed");

    let store = Store::open(&path, options(first().then(unit_added))).await.expect("opens");
    let session = welcome(store.sign_in(NAME, PASSPHRASE).await.expect("answers"));
    session.append(NewRecord::new(person, "finding", "knee 100 degrees", "b")).await.expect("written");
    let all = session.read(person).await.expect("read");
    assert_eq!(bodies(&all), ["knee 95 degrees", "knee 100 degrees"]);
    assert_eq!(all.iter().map(|r| (r.shape(), r.written_as())).collect::<Vec<_>>(), [(2, 1), (2, 2)]);
    store.close().await.expect("closed");

    let third = first().then(unit_added).then(side_added);
    let store = Store::open(&path, options(third)).await.expect("opens");
    let session = welcome(store.sign_in(NAME, PASSPHRASE).await.expect("answers"));
    let all = session.read(person).await.expect("read");
    assert_eq!(bodies(&all), ["right knee 95 degrees", "right knee 100 degrees"]);
    assert_eq!(all.iter().map(|r| (r.shape(), r.written_as())).collect::<Vec<_>>(), [(3, 1), (3, 2)]);
    store.close().await.expect("closed");

    // An older program, which knows one shape only.
    let store = Store::open(&path, options(first())).await.expect("opens");
    let session = welcome(store.sign_in(NAME, PASSPHRASE).await.expect("answers"));
    let read = session.read(person).await;
    assert!(matches!(read, Err(Error::NewerShape { shape: 2, newest: 1, .. })), "{read:?}");
}

#[tokio::test]
async fn a_shape_that_cannot_be_raised_names_the_record_and_the_reason() {
    let folder = Folder::new("unraised");
    let path = folder.file("x.records");
    let first = || Kind::new("finding", WRITERS);
    let (store, session, _) =
        Store::create(&path, options(first()), First { name: NAME, passphrase: PASSPHRASE })
            .await
            .expect("created");
    let person = session.create_person("1").await.expect("a person");
    let written = session.append(NewRecord::new(person, "finding", "95", "a")).await.expect("written").id();
    store.close().await.expect("closed");
    let store = Store::open(&path, options(first().then(side_added))).await.expect("opens");
    let session = welcome(store.sign_in(NAME, PASSPHRASE).await.expect("answers"));
    let Err(Error::Upcast { record, shape: 1, why, .. }) = session.read(person).await else {
        panic!("it was raised")
    };
    assert_eq!((record, why.as_str()), (written, "no joint"));
}

#[test]
fn a_kind_has_a_short_plain_name_of_its_own_and_no_reader_writes_it() {
    for bad in ["", "Finding", "red flag", "store.account", "a-name-that-is-far-too-long-to-be-a-kind"] {
        assert!(Registry::new([Kind::new(bad, WRITERS)]).is_err(), "`{bad}`");
    }
    assert!(Registry::new([Kind::new("log", WRITERS), Kind::new("log", WRITERS)]).is_err(), "twice");
    assert!(Registry::new([Kind::new("log", &[store::Role::Reader])]).is_err(), "a reader");
}
