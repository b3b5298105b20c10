//! Findings that criteria ask for and nothing else uses: one table of keys, each a number or a yes or no.

use anatomy::Side;
use serde::{Deserialize, Serialize};

use crate::Finding;

/// What kind of value an answer is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum AnswerKind {
    /// Yes (1) or no (0).
    Flag,
    /// A count.
    Count,
    /// Degrees.
    Degrees,
    /// Centimetres.
    Centimetres,
    /// Minutes.
    Minutes,
    /// Per cent.
    Percent,
}

macro_rules! answers {
    ($($(#[$doc:meta])* $name:ident $key:literal $kind:ident $sided:literal $about:literal $words:literal $example:literal;)*) => {
        /// Something that was asked or tested and only serves as a criterion.
        #[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
        #[serde(rename_all = "snake_case")]
        #[allow(missing_docs)]
        pub enum Answer { $($(#[$doc])* $name,)* }

        impl Answer {
            /// Every answer, in the order of the case file.
            pub const ALL: &'static [Self] = &[$(Self::$name,)*];

            /// The key in case files and tables.
            #[must_use]
            pub fn key(self) -> &'static str { match self { $(Self::$name => $key,)* } }

            /// What kind of value it is.
            #[must_use]
            pub fn kind(self) -> AnswerKind { match self { $(Self::$name => AnswerKind::$kind,)* } }

            /// Whether each leg has one.
            #[must_use]
            pub fn has_side(self) -> bool { match self { $(Self::$name => $sided,)* } }

            /// One line for whoever fills it in.
            #[must_use]
            pub fn about(self) -> &'static str { match self { $(Self::$name => $about,)* } }

            /// The finding in the trade's words, for a reason.
            #[must_use]
            pub fn words(self) -> &'static str { match self { $(Self::$name => $words,)* } }

            /// A value as it is written in a case file.
            #[must_use]
            pub fn example(self) -> &'static str { match self { $(Self::$name => $example,)* } }
        }
    };
}

answers! {
    ExtensionDeficit "extension_deficit" Degrees true
        "how far passive knee extension falls short of straight" "knee extension deficit" "\"0 deg\"";
    JointLinePain "joint_line_pain" Flag true
        "pressing the joint line of this knee hurts" "joint-line pain" "false";
    KneeGivesWay "knee_gives_way" Flag true
        "this knee gave way since the last visit" "giving way of the knee" "false";
    SwellingEpisodes "swelling_episodes" Count true
        "how often this knee was found with two plus of swelling or more in this course of treatment"
        "findings of two plus of swelling" "0";
    WalksWithoutLimp "walks_without_limp" Flag false
        "walks without a limp" "walking without a limp" "true";
    HeelRaises "heel_raises" Count true
        "single-leg heel raises in a row" "single-leg heel raises" "20";
    HeelRaiseHeight "heel_raise_height" Centimetres true
        "height of one single-leg heel raise" "height of the single-leg heel raise" "\"9 cm\"";
    SingleLegSquats "single_leg_squats" Count true
        "clean single-leg squats or step-downs in a row, knee over foot, without pain"
        "clean single-leg squats or step-downs" "10";
    HopDistance "hop_distance" Centimetres true
        "longest single-leg hop with a held landing" "single-leg hop" "\"120 cm\"";
    LungesAtFullDistance "lunges_at_full_distance" Flag false
        "two sessions of lunges at the full distance at an effort of 6 of 10 or less"
        "two sessions of lunges at the full distance" "true";
    QuietNextDay "quiet_next_day" Flag false
        "the last two sessions left no more pain or swelling the next morning"
        "a quiet next morning after the last two sessions" "true";
    JumpsQuiet "jumps_quiet" Flag false
        "two weeks of two-foot jumps without a reaction" "two weeks of two-foot jumps without a reaction" "true";
    CleanLandings "clean_landings" Flag false
        "landings on both feet were seen soft, with the knees over the feet" "clean landings" "true";
    RunsWithoutReaction "runs_without_reaction" Minutes false
        "longest straight run without a reaction" "running without a reaction" "\"30 min\"";
    WalksBriskly "walks_briskly" Minutes false
        "longest brisk walk without pain" "brisk walking without pain" "\"30 min\"";
    FullTrainingWeeks "full_training_weeks" Count false
        "weeks of full training with the team or group" "weeks of full training" "2";
    PriorSport "prior_sport" Flag false
        "did sport with jumps before" "sport with jumps before" "true";
    Confident "confident" Flag false
        "says that the leg can be relied on" "confidence in the leg" "true";
    BackFlexionProvokes "back_flexion_provokes" Flag false
        "bending forward provokes the known back pain" "back pain provoked by bending forward" "false";
    BackExtensionProvokes "back_extension_provokes" Flag false
        "bending back or standing provokes the known back pain" "back pain provoked by bending back" "false";
    BackRotationProvokes "back_rotation_provokes" Flag false
        "turning the trunk provokes the known back pain" "back pain provoked by turning" "false";
    SquatShare "squat_share" Percent false
        "heaviest squat as a share of body weight" "squat as a share of body weight" "\"150 %\"";
    CarerLeads "carer_leads" Flag false
        "somebody leads every exercise at home" "a carer who leads every exercise" "true";
    CardiacClearance "cardiac_clearance" Flag false
        "a doctor cleared exercise with this heart or blood pressure" "clearance of heart and blood pressure" "true";
    PelvicHealthClearance "pelvic_health_clearance" Flag false
        "a pelvic health therapist cleared jumping" "pelvic health clearance" "true";
    BoneSpecialistPlan "bone_specialist_plan" Flag false
        "a specialist's plan allows jumping with these bones" "a bone specialist's plan" "true";
}

impl Answer {
    /// Finds an answer by its key.
    #[must_use]
    pub fn from_key(key: &str) -> Option<Self> {
        Self::ALL.iter().copied().find(|one| one.key() == key)
    }

    /// The unit of its number; `None` for yes or no.
    #[must_use]
    pub fn unit(self) -> Option<&'static str> {
        match self.kind() {
            AnswerKind::Flag => None,
            AnswerKind::Count => Some(""),
            AnswerKind::Degrees => Some("°"),
            AnswerKind::Centimetres => Some("cm"),
            AnswerKind::Minutes => Some("min"),
            AnswerKind::Percent => Some("%"),
        }
    }
}

/// One answer with its leg and its day.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Answered {
    /// Which.
    pub answer: Answer,
    /// Which leg; `None` where it has none.
    pub side: Option<Side>,
    /// The number in the unit of [`Answer::unit`]; yes and no are 1 and 0.
    pub found: Finding<f64>,
}

/// Everything that was answered. What is not in it was not assessed.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
#[serde(transparent)]
pub struct Answers {
    rows: Vec<Answered>,
}

static NOT_ASSESSED: Finding<f64> = Finding::NotAssessed;

impl Answers {
    /// What was answered; a side is ignored where the answer has none.
    #[must_use]
    pub fn get(&self, answer: Answer, side: Side) -> &Finding<f64> {
        let side = answer.has_side().then_some(side);
        self.rows
            .iter()
            .find(|row| row.answer == answer && row.side == side)
            .map_or(&NOT_ASSESSED, |row| &row.found)
    }

    /// Sets one answer; a side is ignored where the answer has none.
    pub fn set(&mut self, answer: Answer, side: Side, found: Finding<f64>) {
        let side = answer.has_side().then_some(side);
        self.rows.retain(|row| row.answer != answer || row.side != side);
        if found != Finding::NotAssessed {
            self.rows.push(Answered { answer, side, found });
            self.rows.sort_by_key(|row| (row.answer, row.side));
        }
    }

    /// Every answer, in a fixed order.
    #[must_use]
    pub fn rows(&self) -> &[Answered] {
        &self.rows
    }

    /// The same in a mirror.
    #[must_use]
    pub fn mirrored(&self) -> Self {
        let mut out = Self::default();
        for row in &self.rows {
            out.set(row.answer, row.side.map_or(Side::Left, Side::other), row.found.clone());
        }
        out
    }
}
