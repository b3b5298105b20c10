//! Which findings the form asks for, in the order of a first visit.

use person::{Answer, AnswerKind};
use safety::FindingKey;

/// How a finding is asked.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Ask {
    /// Yes, no, not asked.
    YesNo,
    /// 0 to 10 at a touch.
    Score,
    /// A whole number.
    Whole,
    /// A number with this unit.
    Quantity(&'static str),
    /// One word of a few: what is written, what is read.
    Choice(&'static [(&'static str, &'static str)]),
    /// One number of a few.
    Grade(&'static [(&'static str, &'static str)]),
    /// Words.
    Text,
    /// A day.
    Day,
}

/// One finding.
#[derive(Clone, Debug)]
pub(super) struct Row {
    /// Its key in the case file.
    pub path: String,
    pub label: String,
    pub hint: &'static str,
    pub ask: Ask,
    /// Whether each leg has one.
    pub sided: bool,
    /// What says how long it may be relied on; none where it has no end.
    pub life: Option<FindingKey>,
}

/// Findings that are asked together.
pub(super) struct Section {
    pub id: &'static str,
    pub title: &'static str,
    pub rows: Vec<Row>,
    /// Asked only where a criterion needs it.
    pub folded: bool,
}

pub(super) const AID: Ask = Ask::Choice(&[
    ("none", "none"),
    ("one_stick", "one stick"),
    ("two_sticks", "two sticks"),
    ("one_crutch", "one crutch"),
    ("two_crutches", "two crutches"),
    ("walking_frame", "frame"),
]);

const SWELLING: Ask = Ask::Grade(&[("0", "none"), ("1", "trace"), ("2", "1+"), ("3", "2+"), ("4", "3+")]);

fn row(key: &str, label: &str, ask: Ask, life: impl Into<Option<FindingKey>>) -> Row {
    Row {
        path: format!("findings.{key}"),
        label: label.to_owned(),
        hint: "",
        ask,
        sided: false,
        life: life.into(),
    }
}

fn sided(key: &str, label: &str, ask: Ask, life: FindingKey) -> Row {
    Row { sided: true, ..row(key, label, ask, life) }
}

fn hint(hint: &'static str, row: Row) -> Row {
    Row { hint, ..row }
}

fn answer(answer: Answer) -> Row {
    let ask = match answer.kind() {
        AnswerKind::Flag => Ask::YesNo,
        AnswerKind::Count => Ask::Whole,
        AnswerKind::Degrees => Ask::Quantity("deg"),
        AnswerKind::Centimetres => Ask::Quantity("cm"),
        AnswerKind::Minutes => Ask::Quantity("min"),
        AnswerKind::Percent => Ask::Quantity("%"),
    };
    Row {
        sided: answer.has_side(),
        ..row(answer.key(), &crate::words::capital(answer.about()), ask, FindingKey::Answer(answer))
    }
}

/// Answers that are asked above the fold.
const EARLY: [Answer; 2] = [Answer::QuietNextDay, Answer::WalksWithoutLimp];

/// Every section of dated findings.
pub(super) fn sections() -> Vec<Section> {
    use FindingKey as K;
    let open = |id, title, rows| Section { id, title, rows, folded: false };
    vec![
        open(
            "pain",
            "Pain and irritability",
            vec![
                row("pain_at_rest", "Pain at rest now, 0 to 10", Ask::Score, K::PainAtRest),
                row(
                    "pain_in_movement",
                    "Worst pain in movement over the last day, 0 to 10",
                    Ask::Score,
                    K::PainInMovement,
                ),
                row(
                    "consistent_night_pain",
                    "Pain at night or at rest, every time",
                    Ask::YesNo,
                    K::ConsistentNightPain,
                ),
                answer(Answer::QuietNextDay),
            ],
        ),
        open(
            "standing",
            "Standing and walking",
            vec![
                row("aid", "Walking aid", AID, K::AidsHeld),
                row("stands_and_shifts", "Stands for 30 s and shifts weight", Ask::YesNo, K::StandsAndShifts),
                row("wound_dry", "The wound is dry", Ask::YesNo, K::WoundDry),
                row(
                    "dizzy_bending",
                    "Dizzy on standing up or on bending head down",
                    Ask::YesNo,
                    K::DizzyBending,
                ),
                row("stairs_reciprocal", "Stairs foot over foot", Ask::YesNo, K::StairsReciprocal),
                answer(Answer::WalksWithoutLimp),
                row(
                    "surgeon_review",
                    "Surgeon’s review done, nothing against the next phase",
                    Ask::YesNo,
                    K::SurgeonReview,
                ),
                row("falls_past_year", "Falls in the past year", Ask::Whole, None),
                row("timed_up_and_go", "Timed up and go", Ask::Quantity("s"), K::TimedUpAndGo),
                row("sit_to_stands", "Sit-to-stands in a row, no hands", Ask::Whole, K::SitToStands),
                row("tandem_stance", "Standing heel to toe", Ask::Quantity("s"), K::TandemStance),
            ],
        ),
        open(
            "legs",
            "Each leg",
            vec![
                sided(
                    "single_leg_stance",
                    "Standing on this leg, no hands",
                    Ask::Quantity("s"),
                    K::SingleLegStance,
                ),
                sided(
                    "single_leg_stance_fingertip",
                    "Standing on this leg, fingertip held",
                    Ask::Quantity("s"),
                    K::SingleLegStanceFingertip,
                ),
                hint(
                    "the pelvis drops to the other side",
                    sided("trendelenburg", "Trendelenburg sign", Ask::YesNo, K::Trendelenburg),
                ),
                hint("stroke test", sided("effusion", "Knee swelling", SWELLING, K::Effusion)),
                sided("knee_flexion", "Knee flexion, passive", Ask::Quantity("deg"), K::KneeFlexionDeg),
                sided("extension_lag", "Knee extension lag", Ask::Quantity("deg"), K::ExtensionLagDeg),
                hint(
                    "weight on it, knee to wall, angle of the shank",
                    sided(
                        "ankle_dorsiflexion",
                        "Ankle dorsiflexion",
                        Ask::Quantity("deg"),
                        K::DorsiflexionDeficitDeg,
                    ),
                ),
            ],
        ),
        Section {
            id: "criteria",
            title: "What later criteria ask for",
            rows: [
                row(
                    "clean_step_directions",
                    "Directions stepped clean without hands, 0 to 8",
                    Ask::Whole,
                    K::CleanStepDirections,
                ),
                row(
                    "clean_reaches",
                    "Reaches on both legs seen clean, quiet for a day, twice",
                    Ask::YesNo,
                    K::CleanReaches,
                ),
            ]
            .into_iter()
            .chain(Answer::ALL.iter().copied().filter(|one| !EARLY.contains(one)).map(answer))
            .collect(),
            folded: true,
        },
    ]
}
