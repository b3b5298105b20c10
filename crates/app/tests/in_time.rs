//! That an explanation holds the block "In time"; what the block says is tested beside it.

use app::{Explanation, InTime, demo_cases, explain_case};
use jiff::civil::date;

/// The postal worker.
fn explained(sentence: &str) -> Explanation {
    let case = demo_cases()[4].read().unwrap_or_else(|e| panic!("{e}"));
    let today = app::day_of(&case, None, date(2000, 1, 1));
    explain_case(&case, sentence, today).unwrap_or_else(|e| panic!("{sentence}: {e:?}"))
}

#[test]
fn an_explanation_tells_the_movement_in_time_and_calls_it_an_estimate() {
    let told = explained("right lunge anterior 45 cm depth 14 cm");
    let Some(InTime::Course { peaks, .. }) = &told.in_time else { panic!("{:?}", told.in_time) };
    let text = told.text();
    for words in
        ["In time (estimates; not used by the gates)", "held, in time", "inside the edge of the foot"]
    {
        assert!(text.contains(words), "{text}");
    }
    for peak in peaks {
        assert!(text.contains(&peak.motion), "{}", peak.motion);
    }
}
