//! Whatever is appended, corrected, taken back and sent twice: what is read is what a plain list says.

mod common;

use std::collections::BTreeMap;

use common::{Clinic, bodies};
use proptest::prelude::*;
use store::{Appended, Check, NewRecord, RecordId};

/// The kinds the laws are tried on: one that is kept in memory and two that are not.
const KINDS: [&str; 3] = ["summary", "finding", "log"];

#[derive(Clone, Debug)]
enum Step {
    Append { kind: usize },
    Correct { entry: usize },
    Withdraw { entry: usize },
    SendAgain,
    Restart,
}

fn steps() -> impl Strategy<Value = Vec<Step>> {
    let step = prop_oneof![
        4 => (0..KINDS.len()).prop_map(|kind| Step::Append { kind }),
        3 => (0_usize..100).prop_map(|entry| Step::Correct { entry }),
        2 => (0_usize..100).prop_map(|entry| Step::Withdraw { entry }),
        1 => Just(Step::SendAgain),
        1 => Just(Step::Restart),
    ];
    prop::collection::vec(step, 1..25)
}

/// One entry of the plain list: its kind and its versions; `None` where it was taken back.
struct Entry {
    kind: &'static str,
    versions: Vec<(RecordId, Option<String>)>,
}

async fn walk(steps: &[Step]) {
    let mut clinic = Clinic::new("laws").await;
    let person = clinic.person("1").await;
    let mut plain: Vec<Entry> = Vec::new();
    let mut last: Option<(NewRecord, RecordId)> = None;
    for (number, step) in steps.iter().enumerate() {
        let (body, once) = (format!("says {number}"), format!("form {number}"));
        match step {
            Step::Append { kind } => {
                let record = NewRecord::new(person, KINDS[*kind], body.as_str(), once);
                let id = clinic.session.append(record.clone()).await.expect("appended").id();
                plain.push(Entry { kind: KINDS[*kind], versions: vec![(id, Some(body))] });
                last = Some((record, id));
            }
            Step::Correct { entry } | Step::Withdraw { entry } if !plain.is_empty() => {
                let at = entry % plain.len();
                let newest = plain[at].versions.last().expect("one at least").0;
                let back = matches!(step, Step::Withdraw { .. });
                let done = if back {
                    clinic.session.withdraw(newest, "why", &once).await
                } else {
                    clinic.session.correct(newest, body.as_str(), "why", &once).await
                };
                let id = done.expect("a new version").id();
                plain[at].versions.push((id, (!back).then_some(body)));
            }
            Step::SendAgain => {
                if let Some((record, id)) = &last {
                    let again = clinic.session.append(record.clone()).await.expect("known");
                    assert_eq!(again, Appended::WasThere(*id));
                }
            }
            Step::Restart => clinic.restart().await,
            Step::Correct { .. } | Step::Withdraw { .. } => {}
        }
    }
    let standing: Vec<(&str, &str)> =
        plain.iter().filter_map(|entry| Some((entry.kind, entry.versions.last()?.1.as_deref()?))).collect();
    let said: Vec<&str> = standing.iter().map(|(_, body)| *body).collect();
    assert_eq!(bodies(&clinic.session.read(person).await.expect("read")), said);
    for kind in KINDS {
        let of_kind: Vec<&str> =
            standing.iter().filter(|(own, _)| *own == kind).map(|(_, body)| *body).collect();
        assert_eq!(bodies(&clinic.session.read_kind(person, kind).await.expect("read")), of_kind);
        let newest = clinic.session.latest_of(person, kind).await.expect("read");
        let newest: Vec<String> = newest.map(|record| bodies(&[record])).unwrap_or_default();
        assert_eq!(newest, of_kind.last().copied().into_iter().collect::<Vec<_>>(), "newest {kind}");
        assert_eq!(bodies(&clinic.session.latest(kind).await.expect("read")), newest, "in the list");
    }
    for entry in &plain {
        let history = clinic.session.history(entry.versions[0].0).await.expect("read");
        let versions: Vec<RecordId> = history.iter().map(store::Record::id).collect();
        assert_eq!(versions, entry.versions.iter().map(|(id, _)| *id).collect::<Vec<_>>());
    }
    let records = plain.iter().map(|entry| entry.versions.len() as u64).sum::<u64>();
    let numbers: BTreeMap<u64, RecordId> =
        clinic.session.all(person).await.expect("read").iter().map(|r| (r.number(), r.id())).collect();
    assert_eq!(numbers.keys().copied().collect::<Vec<_>>(), (1..=records).collect::<Vec<_>>(), "no gaps");
    let check = clinic.session.check().await.expect("an answer");
    // One record more: the account of the clinician.
    assert!(matches!(check, Check::Sound { records: all, .. } if all == records + 1), "{check:?}");
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 24, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn reading_agrees_with_a_plain_list_of_what_was_done(steps in steps()) {
        tokio::runtime::Builder::new_current_thread()
            .enable_all()
            .build()
            .expect("a runtime")
            .block_on(walk(&steps));
    }
}
