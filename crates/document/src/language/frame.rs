//! Words that frame a sheet: title, dates, dose, days, and the grid to write on.

use serde::{Deserialize, Serialize};

use super::leaf::{BySide, Counted, Referred};

/// How days, lengths and masses are written.
#[derive(Clone, Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Names {
    /// `English`
    pub language: String,
    /// `January`
    pub months: Vec<String>,
    /// `Jan`
    pub months_short: Vec<String>,
    /// `Mon`
    pub weekdays_short: Vec<String>,
    /// `{day} {month} {year}`
    pub date: String,
    /// `1`
    pub first_of_month: String,
    /// `{number} cm`
    pub cm: String,
    /// `{number} in`
    pub inches: String,
    /// `{number} kg`
    pub kg: String,
    /// `{number} lb`
    pub pounds: String,
    /// `.`
    pub decimal: String,
    /// `and`
    pub and: String,
    /// `L`
    pub foot_letter: BySide,
}

/// What frames a sheet: title, dates, who comes first.
#[derive(Clone, Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct SheetWords {
    /// `Your home exercises`
    pub title: String,
    /// `For {name}, made on {date}.`
    pub for_whom: String,
    /// `Made on {date}.`
    pub made_on: String,
    /// `Use until {date}.`
    pub use_until: String,
    /// `Use until {date}`
    pub use_until_short: String,
    /// `Then call before you go on.`
    pub then_call: String,
    /// `Invented person, for demonstration`
    pub invented: String,
    /// `Figures are drawn from a computed estimate.`
    pub estimate: String,
    /// `Your surgeon and your therapist come first.`
    pub authority: Vec<String>,
    /// `In {language}:`
    pub interpreter: String,
    /// `Do not go: {directions}.`
    pub do_not_go: String,
}

/// On which days.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct DayWords {
    /// `Not every exercise is for every day.`
    pub differ: Vec<String>,
    /// `Never two days in a row.`
    pub apart: String,
    /// `Do this every day.`
    pub every: Referred,
    /// `Do this every other day.`
    pub alternate: Referred,
    /// `Do this 2 or 3 days a week.`
    pub two_or_three: Referred,
}

/// How much and how fast.
#[derive(Clone, Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct DoseWords {
    /// `exercise`
    pub exercises: Counted,
    /// `minute in all`
    pub minutes_in_all: Counted,
    /// `minute at most`
    pub minutes_at_most: Counted,
    /// `time a day`
    pub times_a_day: Counted,
    /// `time that day`
    pub times_that_day: Counted,
    /// `time each arrow`
    pub times_each_arrow: Counted,
    /// `time each side`
    pub times_each_side: Counted,
    /// `round`
    pub rounds: Counted,
    /// `Do {times}, {rounds}, {per_day}.`
    pub do_it: String,
    /// `Rest {seconds} seconds between rounds.`
    pub rest: String,
    /// `Count {out} out, count {back} back.`
    pub count: String,
    /// `Count {out} out, hold for {hold}, count {back} back.`
    pub count_and_hold: String,
    /// `Stand still in the middle before you go again.`
    pub stand_still: String,
    /// `Go slower with your LEFT foot {to}.`
    pub slower_foot: BySide,
    /// `Go slower with your LEFT hand {to}.`
    pub slower_hand: BySide,
}

/// The grid on paper.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct LogWords {
    /// `My log, week {week}`
    pub title: String,
    /// `Tick each time you are done.`
    pub sentences: Vec<String>,
    /// `Done`
    pub done: String,
    /// `0–10`
    pub before: String,
    /// `Worse`
    pub morning: String,
    /// `A stop sign? Write it here:`
    pub stop_sign: String,
}
