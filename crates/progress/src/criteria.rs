//! The sets of criteria of `reference/return_criteria.toml`.

use std::sync::OnceLock;

use measurement::{InstrumentKey, Scale};
use quantity::reference::{HowRead, TableHead};
use safety::{Criterion, FindingKey};
use serde::{Deserialize, Serialize};

/// What somebody wants to return to.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Activity {
    /// Walking without an aid.
    WalkWithoutAid,
    /// The tasks of work.
    WorkTasks,
    /// Running.
    Run,
    /// Two-foot jumps.
    Jump,
    /// A sport of this kind.
    Sport(SportKind),
}

/// What a sport asks of the legs.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum SportKind {
    /// Straight ahead, no landings, such as running or cycling.
    Straight,
    /// Jumps and landings, no cuts.
    Jumping,
    /// Turns and cuts.
    Pivoting,
}

/// What a criterion is about.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Domain {
    /// Pain, swelling, how the day after is.
    Symptoms,
    /// What the body can do.
    Capacity,
    /// What was trained.
    Training,
    /// Whether the person relies on it.
    Confidence,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "snake_case")]
enum Goal {
    WalkWithoutAid,
    WorkTasks,
    Run,
    Jump,
    Sport,
}

impl Activity {
    /// Every activity.
    pub const ALL: [Self; 7] = [
        Self::WalkWithoutAid,
        Self::WorkTasks,
        Self::Run,
        Self::Jump,
        Self::Sport(SportKind::Straight),
        Self::Sport(SportKind::Jumping),
        Self::Sport(SportKind::Pivoting),
    ];

    /// The key as a file or a command line writes it.
    #[must_use]
    pub fn key(self) -> &'static str {
        match self {
            Self::WalkWithoutAid => "walk_without_aid",
            Self::WorkTasks => "work_tasks",
            Self::Run => "run",
            Self::Jump => "jump",
            Self::Sport(SportKind::Straight) => "sport_straight",
            Self::Sport(SportKind::Jumping) => "sport_jumping",
            Self::Sport(SportKind::Pivoting) => "sport_pivoting",
        }
    }

    fn goal(self) -> Goal {
        match self {
            Self::WalkWithoutAid => Goal::WalkWithoutAid,
            Self::WorkTasks => Goal::WorkTasks,
            Self::Run => Goal::Run,
            Self::Jump => Goal::Jump,
            Self::Sport(_) => Goal::Sport,
        }
    }

    /// The word that the tables of the presentations use, where they have criteria of return.
    pub(crate) fn in_presets(self) -> Option<&'static str> {
        match self {
            Self::Run => Some("running"),
            Self::Sport(_) => Some("sport"),
            _ => None,
        }
    }

    /// The level of the movement ladder that must be open.
    pub(crate) fn needs_level(self) -> Option<u8> {
        let row = table().level.iter().find(|row| row.goal == self.goal() && row.is_of(self));
        row.map(|row| row.level)
    }

    /// The easier activities that it builds on, the nearest first, each with what must be found as well.
    pub(crate) fn builds_on(self) -> Vec<(Self, &'static [Criterion])> {
        let mut out: Vec<(Self, &[Criterion])> = Vec::new();
        let mut of = self;
        // The table names easier activities only, so this ends; a test of this file sees to it.
        while let Some(row) = table().builds_on.iter().find(|row| row.goal == of.goal() && row.is_of(of)) {
            let Some(easier) = Self::ALL.into_iter().find(|one| one.key() == row.on) else { break };
            out.push((easier, row.holds.as_slice()));
            of = easier;
        }
        out
    }

    /// The activities that build on it.
    pub(crate) fn carries(self) -> impl Iterator<Item = Self> {
        Self::ALL.into_iter().filter(move |one| one.builds_on().iter().any(|(on, _)| *on == self))
    }

    /// The activity in words.
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            Self::WalkWithoutAid => "walking without an aid",
            Self::WorkTasks => "the tasks of work",
            Self::Run => "running",
            Self::Jump => "two-foot jumps",
            Self::Sport(SportKind::Straight) => "sport straight ahead",
            Self::Sport(SportKind::Jumping) => "sport with jumps",
            Self::Sport(SportKind::Pivoting) => "sport with turns and cuts",
        }
    }
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Table {
    #[allow(dead_code, reason = "heads are checked by the repository's own tests")]
    table: TableHead,
    level: Vec<LevelRow>,
    builds_on: Vec<BuildsOnRow>,
    observation: Vec<ObservationRow>,
    set: Vec<Set>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct LevelRow {
    goal: Goal,
    kind: Option<SportKind>,
    level: u8,
}

impl LevelRow {
    fn is_of(&self, activity: Activity) -> bool {
        is_kind(self.kind, activity)
    }
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct BuildsOnRow {
    goal: Goal,
    kind: Option<SportKind>,
    /// Key of the easier activity.
    on: String,
    #[serde(default)]
    holds: Vec<Criterion>,
}

impl BuildsOnRow {
    fn is_of(&self, activity: Activity) -> bool {
        is_kind(self.kind, activity)
    }
}

fn is_kind(kind: Option<SportKind>, activity: Activity) -> bool {
    kind.is_none() || matches!(activity, Activity::Sport(of) if Some(of) == kind)
}

/// Something a clinician says.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct ObservationRow {
    pub(crate) key: String,
    pub(crate) words: String,
    pub(crate) ages_as: FindingKey,
}

/// What a clinician can say beside the tests: key and words of every observation.
pub fn observations() -> impl Iterator<Item = (&'static str, &'static str)> {
    table().observation.iter().map(|row| (row.key.as_str(), row.words.as_str()))
}

/// The observation with this key.
pub(crate) fn observation(key: &str) -> Option<&'static ObservationRow> {
    table().observation.iter().find(|row| row.key == key)
}

/// One set of criteria.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct Set {
    pub(crate) key: String,
    goal: Goal,
    #[serde(default)]
    kinds: Vec<SportKind>,
    /// Only for these presentations; empty for all.
    #[serde(default)]
    pub(crate) presentations: Vec<String>,
    pub(crate) words: String,
    pub(crate) criterion: Vec<Row>,
}

impl Set {
    /// Whether it applies to an activity of somebody with these presentations.
    pub(crate) fn applies(&self, activity: Activity, presentations: &[&str]) -> bool {
        let kind = match activity {
            Activity::Sport(kind) => self.kinds.contains(&kind),
            _ => true,
        };
        let of = &self.presentations;
        self.goal == activity.goal()
            && kind
            && (of.is_empty() || of.iter().any(|p| presentations.contains(&p.as_str())))
    }
}

/// One criterion.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct Row {
    pub(crate) key: String,
    pub(crate) domain: Domain,
    pub(crate) measure: Option<Measure>,
    pub(crate) finding: Option<Criterion>,
    pub(crate) observed: Option<String>,
    /// A finding that counts where the test was not done.
    pub(crate) instead: Option<Criterion>,
    pub(crate) ages_as: Option<FindingKey>,
    pub(crate) source: String,
    pub(crate) read: HowRead,
    #[serde(default)]
    pub(crate) note: String,
}

/// A test and what it must show.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct Measure {
    pub(crate) instrument: InstrumentKey,
    pub(crate) or_instrument: Option<InstrumentKey>,
    pub(crate) scale: Scale,
    pub(crate) at_least: Option<f64>,
    pub(crate) above: Option<f64>,
    pub(crate) below: Option<f64>,
    /// Not worse than the other limb: by what error alone may make, see `beside_other`.
    #[serde(default)]
    pub(crate) like_other_limb: bool,
    /// The worse of both limbs counts.
    #[serde(default)]
    pub(crate) both_limbs: bool,
    /// What the answer is about.
    pub(crate) task_words: Option<String>,
}

fn table() -> &'static Table {
    static TABLE: OnceLock<Table> = OnceLock::new();
    TABLE.get_or_init(|| {
        toml::from_str(include_str!("../../../reference/return_criteria.toml"))
            .unwrap_or_else(|e| panic!("reference/return_criteria.toml: {e}"))
    })
}

/// Every set.
pub(crate) fn sets() -> &'static [Set] {
    &table().set
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_criterion_asks_one_thing_and_every_test_has_a_threshold() {
        for set in sets() {
            assert_eq!(set.goal == Goal::Sport, !set.kinds.is_empty(), "{}", set.key);
            for row in &set.criterion {
                let name = format!("{}/{}", set.key, row.key);
                let asks = [row.measure.is_some(), row.finding.is_some(), row.observed.is_some()];
                assert_eq!(asks.iter().filter(|asked| **asked).count(), 1, "{name}");
                if let Some(key) = &row.observed {
                    assert!(observation(key).is_some(), "{name}: {key}");
                }
                let Some(measure) = &row.measure else { continue };
                let limits = [measure.at_least, measure.above, measure.below].into_iter().flatten().count();
                assert_eq!(limits + usize::from(measure.like_other_limb), 1, "{name}: one threshold");
                assert!(row.ages_as.is_some(), "{name}: how long a result counts");
                for key in [Some(measure.instrument), measure.or_instrument].into_iter().flatten() {
                    assert!(key.instrument().offers(measure.scale), "{name}: {key}");
                }
            }
        }
    }

    #[test]
    fn an_activity_builds_on_easier_ones_and_running_on_walking_without_an_aid() {
        let place = |of: Activity| Activity::ALL.iter().position(|one| *one == of).expect("it is listed");
        for row in &table().builds_on {
            let known = Activity::ALL.iter().find(|one| one.key() == row.on);
            let easier = *known.unwrap_or_else(|| panic!("`{}` is no activity", row.on));
            for activity in Activity::ALL.into_iter().filter(|one| one.goal() == row.goal && row.is_of(*one))
            {
                assert!(place(easier) < place(activity), "{activity:?} on {easier:?}");
            }
        }
        for activity in Activity::ALL {
            let on: Vec<Activity> = activity.builds_on().into_iter().map(|(on, _)| on).collect();
            let free = matches!(activity, Activity::WalkWithoutAid | Activity::WorkTasks);
            assert_eq!(on.contains(&Activity::WalkWithoutAid), !free, "{activity:?}: {on:?}");
        }
    }

    #[test]
    fn every_activity_asks_about_confidence() {
        for activity in Activity::ALL {
            let mut rows =
                sets().iter().filter(|set| set.applies(activity, &[])).flat_map(|set| &set.criterion);
            assert!(rows.any(|row| row.domain == Domain::Confidence), "{activity:?}");
        }
    }

    #[test]
    fn a_criterion_stands_once_among_the_sets_that_apply_together() {
        for activity in [
            Activity::WalkWithoutAid,
            Activity::WorkTasks,
            Activity::Run,
            Activity::Jump,
            Activity::Sport(SportKind::Straight),
            Activity::Sport(SportKind::Jumping),
            Activity::Sport(SportKind::Pivoting),
        ] {
            for presentation in ["", "acl_reconstruction", "ankle_sprain", "achilles_repair"] {
                let keys: Vec<&str> = sets()
                    .iter()
                    .filter(|set| set.applies(activity, &[presentation]))
                    .flat_map(|set| set.criterion.iter().map(|row| row.key.as_str()))
                    .collect();
                let once: std::collections::BTreeSet<&str> = keys.iter().copied().collect();
                assert!(
                    !keys.is_empty() && keys.len() == once.len(),
                    "{activity:?} {presentation}: {keys:?}"
                );
            }
        }
    }

    /// Turning sports ask for 95, others for 90.
    #[test]
    fn turns_and_cuts_ask_for_more_symmetry() {
        let of = |kind| {
            sets()
                .iter()
                .filter(|set| set.applies(Activity::Sport(kind), &[]))
                .flat_map(|set| &set.criterion)
                .find(|row| row.key == "single_hop")
                .and_then(|row| row.measure.as_ref()?.at_least)
        };
        assert_eq!((of(SportKind::Straight), of(SportKind::Pivoting)), (Some(90.0), Some(95.0)));
    }
}
