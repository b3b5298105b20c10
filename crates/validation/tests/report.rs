//! The page in `validation/` is what the program computes now, and every published figure is on it.

use std::collections::BTreeSet;
use std::path::Path;

use validation::{Orderings, OrderingsError, Report, report, targets};

fn page() -> String {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../validation/REPORT.md");
    std::fs::read_to_string(&path).unwrap_or_else(|e| {
        panic!("`{}`: {e}; write it with `footrose validate --report validation/REPORT.md`", path.display())
    })
}

fn differing(old: &str, new: &str) -> String {
    let (olds, news): (BTreeSet<&str>, BTreeSet<&str>) = (old.lines().collect(), new.lines().collect());
    let gone = old.lines().filter(|line| !news.contains(line)).map(|line| format!("- {line}\n"));
    let come = new.lines().filter(|line| !olds.contains(line)).map(|line| format!("+ {line}\n"));
    gone.chain(come).collect()
}

fn is_as_computed(now: &Report) {
    let (old, new) = (page(), now.markdown());
    assert!(
        old == new,
        "validation/REPORT.md is not what is computed now; look at what changed, then write it again with \
         `footrose validate --report validation/REPORT.md`\n{}",
        differing(&old, &new)
    );
}

fn every_target_has_one_row(now: &Report) {
    for id in targets().keys() {
        let rows = now.rows.iter().filter(|row| row.id == *id).count();
        assert_eq!(rows, 1, "published figure `{id}` stands in {rows} rows");
    }
}

fn names_are_unique(now: &Report) {
    let names: BTreeSet<&str> = now.rows.iter().map(|row| row.id.as_str()).collect();
    assert_eq!(names.len(), now.rows.len(), "two rows of one name");
}

fn what_does_not_agree_says_why(now: &Report) {
    for row in &now.rows {
        let agrees = row.verdict == validation::Verdict::Agrees;
        assert_eq!(row.verdict.why().is_empty(), agrees, "`{}`: {:?}", row.id, row.verdict);
    }
}

/// One computation for four laws: it takes some seconds.
#[test]
fn the_page_is_what_is_computed_now_and_holds_every_published_figure_once() {
    let now = report();
    every_target_has_one_row(&now);
    names_are_unique(&now);
    what_does_not_agree_says_why(&now);
    is_as_computed(&now);
}

const ASIDE: &str = r#"
[table]
title = "an ordering kept aside"
source = "own"
read = "own"

[[movement]]
id = "short"
family = "step"
direction = "lateral"
named_from = "mover"

[[claim]]
id = "weight follows the foot"
what = "step, share of weight on both legs"
published = "all of it"
source = "own"
read = "own"
bodies = ["young_man"]
distances = [{ of_leg_length = 0.4 }]
expect = { kind = "order" }
term = [
    { name = "angle", movements = ["short"], measure = { kind = "angle", motion = "hip_abduction", limb = "mover" } },
    { name = "share", movements = ["short"], measure = { kind = "carried", limb = "mover" } },
]
"#;

#[test]
fn an_ordering_kept_aside_is_read_from_text_and_judged_by_the_same_rule() {
    let rows = Orderings::read(ASIDE).expect("it parses").judged();
    assert_eq!(rows.len(), 1);
    assert_eq!(rows[0].verdict.word(), "agrees", "degrees are more than a share of one: {:?}", rows[0]);
    let other_way = ASIDE.replace("kind = \"order\"", "kind = \"least\"");
    let rows = Orderings::read(&other_way).expect("it parses").judged();
    assert_eq!(rows[0].verdict.word(), "disagrees", "{:?}", rows[0]);
}

#[test]
fn a_movement_that_is_not_in_the_table_is_named_with_those_that_are() {
    let wrong = ASIDE.replace("movements = [\"short\"]", "movements = [\"long\"]");
    let Err(error) = Orderings::read(&wrong) else { panic!("there is no `long`") };
    assert!(matches!(error, OrderingsError::Unknown { .. }));
    let text = error.to_string();
    assert!(text.contains("`long`") && text.contains("short"), "{text}");
}

#[test]
fn the_example_of_the_document_is_read_and_answered() {
    let document = include_str!("../../../docs/ORDERINGS.md");
    let example =
        document.split("```toml\n").nth(1).and_then(|rest| rest.split("```").next()).expect("an example");
    let rows = Orderings::read(example).expect("it parses").judged();
    assert_eq!(rows.len(), 1);
    assert!(rows[0].model.contains("of 8 settings"), "two bodies, two distances, two depths: {:?}", rows[0]);
}
