//! The figures the planner works with, from `reference/dose.toml` and `reference/planner.toml`.

use std::collections::BTreeMap;
use std::sync::OnceLock;

use movement::{Family, Tempo};
use quantity::reference::{HowRead, TableHead};
use quantity::{Length, Span};
use serde::Deserialize;

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
#[allow(dead_code)] // the head and the provenance are read by people and by the repository's tests
pub(crate) struct Table {
    table: TableHead,
    pub(crate) row: Vec<Row>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
#[allow(dead_code)]
pub(crate) struct Row {
    pub(crate) key: String,
    pub(crate) value: f64,
    unit: String,
    #[serde(default)]
    used: bool,
    source: String,
    read: HowRead,
    #[serde(default, rename = "where")]
    place: String,
    #[serde(default)]
    note: String,
}

/// Dose, tempo and the planner's own choices.
#[derive(Clone, Debug, PartialEq)]
pub struct Figures {
    /// Most exercises in a programme.
    pub exercises_at_most: u8,
    /// Longest time for all together.
    pub minutes_at_most: Span,
    /// Pace of every movement.
    pub tempo: Tempo,
    /// How much longer a movement that is done slower takes on its ways out and back.
    pub slower_times: f64,
    /// Fewest repetitions of a direction before changing.
    pub repetitions_at_least: u8,
    /// Most repetitions of a direction before changing.
    pub repetitions_at_most: u8,
    /// Most rounds.
    pub rounds_at_most: u8,
    /// Most times a day, unless the person's own wish is more.
    pub per_day_at_most: u8,
    /// The longest way out, hold or way back that may be chosen.
    pub pace_part_at_most: Span,
    /// Rest between rounds.
    pub rest: Span,
    /// Most rounds when pain is easily provoked.
    pub rounds_high_irritability: u8,
    /// Most directions on each limb when pain is easily provoked.
    pub directions_high_irritability: u8,
    /// Most rounds when pain is moderately easily provoked.
    pub rounds_moderate_irritability: u8,
    /// Least share of capacity that is called strength.
    pub strength_threshold: f64,
    /// Minutes a week that reduce falls.
    pub falls_minutes_a_week: f64,
    /// Share of the furthest computed distance that is prescribed.
    pub comfortable_share: f64,
    /// Shorter directions are left out.
    pub shortest_distance: Length,
    /// Clear floor on a bearing nobody measured.
    pub clear_floor_not_measured: Length,
    /// The longest distance a family is given for home, as a share of leg length.
    pub longest_at_home: Vec<(Family, f64)>,
    /// The longest distance given for home where the legs cross, as a share of leg length.
    pub longest_crossing: f64,
    /// The longest distance given for home on the first rungs, as a share of leg length.
    pub longest_early: f64,
    /// The highest rung that counts as first.
    pub early_rung: u8,
    /// The longest distance given for home while both hands hold, as a share of leg length.
    pub longest_held: f64,
    /// How much a movement that crosses or goes behind counts beside a plain one.
    pub crossing_or_behind_counts: f64,
    /// What a hand that goes out counts for control of a direction beside a foot.
    pub hand_counts_for_control: f64,
    /// What a movement counts that uses the margin past a limit at neutral.
    pub within_margin_counts: f64,
    /// The lowest a hand goes on the first rungs, counted from the thigh.
    pub lowest_hand_early: u8,
    /// A smaller share of capacity is not said to train anything.
    pub smallest_share_named: f64,
    /// How far the pelvis sinks in lunges that are offered, as shares of leg length.
    pub lunge_depths: Vec<f64>,
    /// How long a measured clear floor is relied on, days.
    pub home_shelf_life_days: u16,
    /// How long a programme is used, days.
    pub use_for_days: u16,
    /// How much the second exercise for the same goal counts.
    pub second_exercise_counts: f64,
    /// Repetitions of a whole set for strength.
    pub repetitions_for_strength: f64,
    /// Repetitions of a whole set for range.
    pub repetitions_for_range: f64,
    /// Repetitions of a whole set for control and balance.
    pub repetitions_for_control: f64,
    /// Weight of a relative moment where capacity is unknown.
    pub unknown_capacity_counts: f64,
    /// What a movement counts that was not among those tolerated last time.
    pub unfamiliar_counts: f64,
    /// Share of the available range from which a movement trains range.
    pub range_near_end: f64,
    /// Largest share of capacity that is given for home.
    pub demand_at_most: f64,
    /// Smallest share of capacity that counts for strength.
    pub demand_at_least: f64,
    /// Gain from which an exercise serves a goal.
    pub served_at_least: f64,
    /// How much muscles, angles, direction and arms count in what is covered of a task.
    pub task_aspects_count: [f64; 4],
    /// Difference of gains that is told.
    pub clearly_more: f64,
    /// A shorter exercise is none.
    pub exercise_at_least: Span,
    /// Nodes of the search.
    pub nodes_at_most: usize,
    /// Days from one day of jumps and hops to the next.
    pub days_between_impacts: u16,
    /// Shares of leg length at which a direction is tried to find what to ask next, the nearer first.
    pub asked_distances: [f64; 2],
    /// Time to change legs.
    pub change_limb: Span,
    /// Time to make ready for the next exercise.
    pub change_exercise: Span,
}

/// The figures, parsed once.
///
/// # Panics
/// When a built-in table does not parse or lacks a key, which a test rules out.
#[must_use]
pub fn figures() -> &'static Figures {
    static FIGURES: OnceLock<Figures> = OnceLock::new();
    FIGURES.get_or_init(|| {
        let dose = rows("dose.toml", include_str!("../../../reference/dose.toml"));
        let own = rows("planner.toml", include_str!("../../../reference/planner.toml"));
        let dose = |key: &str| *dose.get(key).unwrap_or_else(|| panic!("reference/dose.toml lacks `{key}`"));
        let own = |key: &str| *own.get(key).unwrap_or_else(|| panic!("reference/planner.toml lacks `{key}`"));
        Figures {
            exercises_at_most: count(dose("exercises_at_most")),
            minutes_at_most: Span::min_(dose("minutes_at_most")),
            tempo: Tempo {
                out: Span::s(dose("tempo_out")),
                hold: Span::s(dose("tempo_hold")),
                back: Span::s(dose("tempo_back")),
                settle: Span::s(dose("tempo_settle")),
            },
            slower_times: dose("slower_times"),
            repetitions_at_least: count(dose("repetitions")),
            repetitions_at_most: count(own("repetitions_at_most")),
            rounds_at_most: count(dose("rounds")),
            per_day_at_most: count(dose("times_a_day_at_most")),
            pace_part_at_most: Span::s(own("pace_part_at_most")),
            rest: Span::s(dose("rest_between_rounds")),
            rounds_high_irritability: count(dose("rounds_high_irritability")),
            directions_high_irritability: count(dose("directions_high_irritability")),
            rounds_moderate_irritability: count(dose("rounds_moderate_irritability")),
            strength_threshold: dose("strength_load_at_least"),
            falls_minutes_a_week: dose("falls_minutes_a_week_needed"),
            comfortable_share: own("comfortable_share"),
            shortest_distance: Length::cm(own("shortest_distance")),
            clear_floor_not_measured: Length::cm(own("clear_floor_not_measured")),
            longest_at_home: vec![
                (Family::Reach, own("longest_reach")),
                (Family::Step, own("longest_step")),
                (Family::Lunge, own("longest_lunge")),
                (Family::BendAndReach, own("longest_bend_and_reach")),
                (Family::TwoFootJump, own("longest_two_foot_jump")),
                (Family::Leap, own("longest_leap")),
                (Family::Hop, own("longest_hop")),
            ],
            longest_crossing: own("longest_crossing"),
            longest_held: own("longest_held"),
            longest_early: own("longest_early"),
            early_rung: count(own("early_rung")),
            crossing_or_behind_counts: own("crossing_or_behind_counts"),
            hand_counts_for_control: own("hand_counts_for_control"),
            within_margin_counts: own("within_margin_counts"),
            lowest_hand_early: count(own("lowest_hand_early")),
            smallest_share_named: own("smallest_share_named"),
            lunge_depths: vec![own("lunge_shallow"), own("lunge_deep")],
            home_shelf_life_days: days(own("home_shelf_life")),
            use_for_days: days(own("use_for_days")),
            second_exercise_counts: own("second_exercise_counts"),
            repetitions_for_strength: own("repetitions_for_strength"),
            repetitions_for_range: own("repetitions_for_range"),
            repetitions_for_control: own("repetitions_for_control"),
            unknown_capacity_counts: own("unknown_capacity_counts"),
            unfamiliar_counts: own("unfamiliar_counts"),
            range_near_end: own("range_near_end"),
            demand_at_most: own("demand_at_most"),
            demand_at_least: own("demand_at_least"),
            served_at_least: own("served_at_least"),
            task_aspects_count: ["muscles", "angles", "direction", "arms"]
                .map(|aspect| own(&format!("task_{aspect}_count"))),
            clearly_more: own("clearly_more"),
            exercise_at_least: Span::s(own("exercise_at_least")),
            nodes_at_most: whole(own("nodes_at_most")),
            days_between_impacts: days(dose("days_between_impacts")),
            asked_distances: [own("asked_near"), own("asked_far")],
            change_limb: Span::s(own("change_limb")),
            change_exercise: Span::s(own("change_exercise")),
        }
    })
}

/// The values of a table by key.
pub(crate) fn rows(file: &str, text: &str) -> BTreeMap<String, f64> {
    let table: Table = toml::from_str(text).unwrap_or_else(|e| panic!("reference/{file}: {e}"));
    table.row.into_iter().map(|row| (row.key, row.value)).collect()
}

#[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // counts in the tables are small and whole
fn count(value: f64) -> u8 {
    assert!((1.0..=100.0).contains(&value) && value.fract() == 0.0, "`{value}` is not a small whole count");
    value as u8
}

#[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
fn whole(value: f64) -> usize {
    assert!((1.0..=1e9).contains(&value) && value.fract() == 0.0, "`{value}` is not a whole count");
    value as usize
}

#[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
fn days(value: f64) -> u16 {
    assert!(
        (1.0..=3650.0).contains(&value) && value.fract() == 0.0,
        "`{value}` is not a whole number of days"
    );
    value as u16
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_tables_parse_and_no_programme_has_more_than_three_exercises() {
        // Common practice: at most three exercises, three to five minutes for all together.
        assert_eq!(figures().exercises_at_most, 3);
        assert_eq!(figures().minutes_at_most, Span::min_(5.0));
    }

    /// A question is only useful for what could be given for home.
    #[test]
    fn questions_are_tried_at_distances_that_are_given_for_home_the_nearer_first() {
        let [near, far] = figures().asked_distances;
        assert!(near < far);
        let longest = figures().longest_at_home.iter().map(|(_, longest)| *longest).fold(0.0, f64::max);
        assert!(far <= longest, "{far} of {longest}");
    }

    /// Seconds of three exercises in eight directions with both limbs, once each, with every change.
    fn round_the_floor(one_movement: f64) -> f64 {
        let changes = 3.0 * figures().change_limb.in_s() + 2.0 * figures().change_exercise.in_s();
        one_movement * 3.0 * 8.0 * 2.0 + changes
    }

    #[test]
    fn three_exercises_round_the_floor_on_both_sides_take_33_seconds_more_than_common_practice() {
        // Common practice, no source: three to five minutes together, 180 to 300 s.
        let tempo = figures().tempo;
        let moving = tempo.one_movement().in_s() * 48.0;
        assert!((180.0..=300.0).contains(&moving), "{moving} s of moving lie within");
        // With our own times to change legs and exercises they do not; DESIGN.md says why that stays.
        let together = round_the_floor(tempo.one_movement().in_s());
        assert!((together - 333.0).abs() < 1e-9, "{together} s");
        // At the middle of the 1 to 2 s each way that dose.toml gives for a beginner they would.
        let quicker = round_the_floor(1.5 + tempo.hold.in_s() + 1.5 + tempo.settle.in_s());
        assert!((180.0..=300.0).contains(&quicker), "{quicker} s");
    }
}
