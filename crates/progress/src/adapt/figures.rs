//! The figures of `reference/adaptation.toml`.

use std::collections::BTreeMap;
use std::sync::OnceLock;

use quantity::Share;
use quantity::reference::{HowRead, TableHead};
use serde::Deserialize;

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
#[allow(dead_code)] // the head and the provenance are read by people and by the repository's tests
struct Table {
    table: TableHead,
    row: Vec<Row>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
#[allow(dead_code)]
struct Row {
    key: String,
    value: f64,
    unit: String,
    source: String,
    read: HowRead,
    #[serde(default, rename = "where")]
    place: String,
    #[serde(default)]
    note: String,
}

/// When what was logged means which step.
#[derive(Clone, Debug, PartialEq)]
pub struct AdaptFigures {
    /// Clean days of practice in a row before a step up.
    pub clean_days: usize,
    /// The most effort, of 10, before a step up.
    pub effort_at_most: u8,
    /// Painless sessions in a row after which something is quiet.
    pub quiet_sessions: usize,
    /// Pain of 10 that is safe under monitored pain.
    pub safe_pain: u8,
    /// The most pain of 10 that a therapist can accept.
    pub most_pain: u8,
    /// Points by which a morning may not be worse.
    pub morning_rise: u8,
    /// The least share of the sessions asked for.
    pub practised_at_least: Share,
    /// Whole days before that is judged.
    pub practised_judged_after: i32,
    /// Days for which a session says something about today.
    pub log_counts_days: i32,
    /// Days between two steps up while irritability is moderate or more.
    pub steps_apart_days: i32,
    /// One step of speed: share of the time out and back.
    pub faster_times: f64,
    /// The least that a step goes further, as a share of leg length.
    pub further_at_least: f64,
    /// The most that chance may explain of what painful directions share.
    pub share_chance: f64,
    /// Rank correlation from which two quantities are named together.
    pub share_alike: f64,
    /// Painless sessions before a direction counts as painless.
    pub share_sessions: usize,
    /// Arrangements that are counted one by one.
    pub share_exact: usize,
    /// Standard errors of an interval.
    pub share_interval: f64,
}

/// The figures, parsed once.
///
/// # Panics
/// When the built-in table does not parse or lacks a key, which a test rules out.
#[must_use]
pub fn adapt_figures() -> &'static AdaptFigures {
    static FIGURES: OnceLock<AdaptFigures> = OnceLock::new();
    FIGURES.get_or_init(|| {
        let file = "reference/adaptation.toml";
        let table: Table = toml::from_str(include_str!("../../../../reference/adaptation.toml"))
            .unwrap_or_else(|e| panic!("{file}: {e}"));
        let rows: BTreeMap<String, f64> = table.row.into_iter().map(|row| (row.key, row.value)).collect();
        let of = |key: &str| *rows.get(key).unwrap_or_else(|| panic!("{file} lacks `{key}`"));
        #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // small counts of a table
        let count = |key: &str| of(key) as usize;
        let small = |key: &str| u8::try_from(count(key)).unwrap_or_else(|_| panic!("{file}: `{key}`"));
        let days = |key: &str| i32::from(small(key));
        AdaptFigures {
            clean_days: count("clean_days"),
            effort_at_most: small("effort_at_most"),
            quiet_sessions: count("quiet_sessions"),
            safe_pain: small("safe_pain"),
            most_pain: small("most_pain"),
            morning_rise: small("morning_rise"),
            practised_at_least: Share::of_one(of("practised_at_least")),
            practised_judged_after: days("practised_judged_after"),
            log_counts_days: days("log_counts_days"),
            steps_apart_days: days("steps_apart_days"),
            faster_times: of("faster_times"),
            further_at_least: of("further_at_least"),
            share_chance: of("share_chance"),
            share_alike: of("share_alike"),
            share_sessions: count("share_sessions"),
            share_exact: count("share_exact"),
            share_interval: of("share_interval"),
        }
    })
}
