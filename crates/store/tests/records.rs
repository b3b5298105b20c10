//! Records are appended, corrected by new ones, stored once, and read as they were written.

mod common;

use common::{Clinic, bodies};
use store::{Appended, Error, NewRecord};

#[tokio::test]
async fn what_was_written_is_read_again_after_a_restart() {
    let mut clinic = Clinic::new("written").await;
    let person = clinic.person("form 1").await;
    clinic.write(person, "finding", "knee 95 degrees", "a").await;
    clinic.write(person, "log", "done, pain 2", "b").await;
    clinic.restart().await;
    let all = clinic.session.read(person).await.expect("read");
    assert_eq!(bodies(&all), ["knee 95 degrees", "done, pain 2"]);
    assert_eq!(all.iter().map(store::Record::number).collect::<Vec<_>>(), [1, 2]);
    assert_eq!(clinic.session.persons().await.expect("persons"), [person]);
}

#[tokio::test]
async fn a_submission_sent_twice_is_stored_once_and_other_content_is_refused() {
    let clinic = Clinic::new("twice").await;
    let person = clinic.person("form 1").await;
    let first =
        clinic.session.append(NewRecord::new(person, "log", "pain 2", "form 7")).await.expect("stored");
    let again =
        clinic.session.append(NewRecord::new(person, "log", "pain 2", "form 7")).await.expect("known");
    assert_eq!(again, Appended::WasThere(first.id()));
    let other = clinic.session.append(NewRecord::new(person, "log", "pain 3", "form 7")).await;
    assert!(matches!(other, Err(Error::SentDifferently { record }) if record == first.id()), "{other:?}");
    assert_eq!(clinic.session.all(person).await.expect("all").len(), 1);
    assert_eq!(clinic.person("form 1").await, person, "the same form creates the same person");
}

#[tokio::test]
async fn a_correction_is_a_new_record_and_the_old_version_stays_readable() {
    let clinic = Clinic::new("corrected").await;
    let person = clinic.person("form 1").await;
    let first = clinic.write(person, "finding", "knee 59 degrees", "a").await;
    let second = clinic.write(person, "finding", "knee 100 degrees, six weeks on", "b").await;
    let fixed =
        clinic.session.correct(first, "knee 95 degrees", "digits swapped", "c").await.expect("corrected");
    let now = clinic.session.read(person).await.expect("read");
    assert_eq!(bodies(&now), ["knee 95 degrees", "knee 100 degrees, six weeks on"]);
    let history = clinic.session.history(fixed.id()).await.expect("history");
    assert_eq!(bodies(&history), ["knee 59 degrees", "knee 95 degrees"]);
    assert_eq!(history[1].reason(), "digits swapped");
    assert_eq!(history[1].author(), clinic.session.account());
    let newest = clinic.session.latest_of(person, "finding").await.expect("latest").expect("one");
    assert_eq!(newest.id(), second, "correcting an old visit does not make it the newest");
}

#[tokio::test]
async fn two_who_correct_the_same_version_do_not_overwrite_each_other() {
    let clinic = Clinic::new("both").await;
    let person = clinic.person("form 1").await;
    let read = clinic.write(person, "finding", "one", "a").await;
    let first = clinic.session.correct(read, "two", "better", "b").await.expect("the first");
    let late = clinic.session.correct(read, "three", "better still", "c").await;
    assert!(
        matches!(late, Err(Error::CorrectedMeanwhile { record, newer }) if record == read && newer == first.id()),
        "{late:?}"
    );
    let again = clinic.session.correct(read, "two", "better", "b").await.expect("sent twice");
    assert_eq!(again, Appended::WasThere(first.id()));
    assert_eq!(bodies(&clinic.session.read(person).await.expect("read")), ["two"]);
}

#[tokio::test]
async fn what_is_taken_back_is_gone_from_view_and_stays_in_the_history() {
    let clinic = Clinic::new("withdrawn").await;
    let person = clinic.person("form 1").await;
    clinic.write(person, "summary", "the first", "a").await;
    let wrong = clinic.write(person, "summary", "wrong person", "b").await;
    let taken = clinic.session.withdraw(wrong, "belongs to somebody else", "c").await.expect("withdrawn");
    assert_eq!(bodies(&clinic.session.read(person).await.expect("read")), ["the first"]);
    let newest = clinic.session.latest_of(person, "summary").await.expect("latest").expect("one");
    assert_eq!(newest.body(), b"the first");
    let undone = clinic.session.correct(taken.id(), "wrong person", "it was right after all", "d").await;
    undone.expect("a withdrawal is corrected like anything else");
    let newest = clinic.session.latest_of(person, "summary").await.expect("latest").expect("one");
    assert_eq!(newest.body(), b"wrong person");
    assert_eq!(clinic.session.history(wrong).await.expect("history").len(), 3);
}

#[tokio::test]
async fn many_are_written_together_or_not_at_all() {
    let clinic = Clinic::new("many").await;
    let (one, two) = (clinic.person("1").await, clinic.person("2").await);
    let good = (0..50).map(|n| {
        NewRecord::new(if n % 2 == 0 { one } else { two }, "log", format!("day {n}"), format!("{n}"))
    });
    let stored = clinic.session.append_many(good.collect()).await.expect("all of them");
    assert_eq!(stored.len(), 50);
    let bad = vec![NewRecord::new(one, "log", "day 99", "99"), NewRecord::new(one, "nonsense", "x", "y")];
    let refused = clinic.session.append_many(bad).await;
    assert!(matches!(refused, Err(Error::UnknownKind { .. })), "{refused:?}");
    assert_eq!(clinic.session.all(one).await.expect("all").len(), 25);
    let newest = clinic.session.latest("log").await.expect("latest");
    let mut said = bodies(&newest);
    said.sort();
    assert_eq!(said, ["day 48", "day 49"]);
}

#[tokio::test]
async fn the_last_entries_of_everybody_are_those_begun_last_in_their_last_version() {
    let clinic = Clinic::new("last of all").await;
    let (one, two) = (clinic.person("form 1").await, clinic.person("form 2").await);
    let first = clinic.write(one, "log", "one, first", "a").await;
    clinic.write(one, "log", "one, second", "b").await;
    let third = clinic.write(one, "log", "one, third", "c").await;
    clinic.write(two, "log", "two, only", "d").await;
    clinic.session.correct(first, "one, first, corrected", "misheard", "e").await.expect("corrected");
    let of = |records: Vec<store::Record>, person| -> Vec<String> {
        let mine: Vec<store::Record> = records.into_iter().filter(|r| r.person() == person).collect();
        bodies(&mine).into_iter().map(|body| body.to_string()).collect()
    };
    let last = clinic.session.newest("log", 2).await.expect("newest");
    assert_eq!(of(last.clone(), one), ["one, third", "one, second"]);
    assert_eq!(of(last, two), ["two, only"]);
    clinic.session.withdraw(third, "of another person", "f").await.expect("withdrawn");
    let last = clinic.session.newest("log", 2).await.expect("newest");
    assert_eq!(of(last, one), ["one, second", "one, first, corrected"]);
}
