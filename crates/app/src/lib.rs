//! The use cases: the arrows in order, with today's date.

#![forbid(unsafe_code)]

mod adapt;
mod again;
mod agreement;
mod amend;
mod ask;
mod bridge;
mod candidates;
mod demo;
mod explain;
mod full_space;
mod held;
mod in_time;
mod inside;
mod letters;
mod load_effect;
mod measures;
mod motion_cache;
mod neighbours;
mod one_movement;
mod page;
mod person_today;
mod plan;
mod progress;
mod sentence;
mod sheet;
mod space;
mod survey;
mod tasks;
mod tests_today;
mod wishes;

pub use adapt::{
    AdaptError, Adapted, Change, Earlier, Held, Instead, LOG_FORM, LogError, Proposal, Taken, Toward,
    UNNAMED_SIGN, Variable, adapt_case, adapt_programme, prescription_of, read_log, taken,
};
pub use again::{AcceptedProgramme, Again, NoLonger, programme_again};
pub use agreement::{
    AgreementReport, AgreementSettings, Answer, ErrorRow, GradePair, GradesReport, LeftOut, Pair,
    RatingTable, TableError, agreement_report, grades_report,
};
pub use amend::{
    AmendError, Amended, DoseRefused, sentence_kept, with_dose, with_movement, without_movement,
};
pub use ask::{Asked, ask_case, ask_watched};
pub use bridge::{BridgeError, BridgeTable, TaskOutcome, TaskRow, bridge_case};
pub use demo::{DemoCase, demo_cases, demo_measures};
pub use explain::{DemandWords, ExplainError, Explanation, Row, Verdict, explain_case};
pub use full_space::{FullSpace, Repertoire, full_space};
pub use in_time::{InTime, PeakRow, PhaseRow};
pub use inside::{ChangeRow, Inside, MuscleRow, StepRow};
pub use letters::{
    LetterBase, LetterSources, PracticeLog, PracticeLogError, class_member, letter_base, letter_case,
    letter_class, most_useful,
};
pub use load_effect::{LoadEffect, LoadRow};
pub use measures::{
    ChangeChart, ChangeReport, ChangedResult, ChangedTest, CourseRow, Entry, MeasureReport, MeasuredDay,
    MeasuredRow, Measures, OnScale, RefusedTest, ReturnReport, SeriesFile, SymmetryRow, activity_of,
    change_report, gates_of, measure_report, measures_template, read_measures, return_report, tests_list,
};
pub use motion_cache::MotionCache;
pub use neighbours::{
    Around, Neighbour, Neighbours, NeighboursError, NotFound, neighbours_case, neighbours_of,
};
pub use one_movement::{GroupRow, OneMovement, WrittenAngle, one_movement, one_movement_at_once};
pub use page::{page_of_plan, practice_site};
pub use person_today::{PersonToday, day_of};
pub use plan::{Outcome, Plan, plan_case, plan_case_again, plan_case_with_others, plan_watched};
pub use progress::{Part, Progress, Watch, silent};
pub use sentence::{GRAMMAR, SentenceError, SentenceReader};
pub use sheet::{
    floor_guide_of_plan, handout_in, handout_of_plan, programme_json, programme_kept, programme_text,
};
pub use space::{SpaceRow, SpaceTable, space_case, space_table};
pub use survey::{survey, survey_again, survey_watched};
pub use tests_today::{
    Caution, Nearest, OneTestError, Override, OverrideError, TestAnswer, TestToday, TestsToday, one_test,
    tests_today, tests_watched,
};
pub use wishes::{GOALS_GRAMMAR, WishError, goals};
