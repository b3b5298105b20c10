//! The block "In time" of an explanation: what is told, and that it says when there is nothing to tell.

use app::{Explanation, InTime, demo_cases, explain_case};
use jiff::civil::date;

/// The postal worker.
fn explained(sentence: &str) -> Explanation {
    let case = demo_cases()[4].read().unwrap_or_else(|e| panic!("{e}"));
    let today = app::day_of(&case, None, date(2000, 1, 1));
    explain_case(&case, sentence, today).unwrap_or_else(|e| panic!("{sentence}: {e:?}"))
}

#[test]
fn a_course_is_told_from_its_beginning_to_its_end_and_called_an_estimate() {
    let told = explained("right lunge anterior 45 cm depth 14 cm");
    let Some(InTime::Course { tempo_s, phases, peaks, on_one_leg_margin_cm }) = &told.in_time else {
        panic!("{:?}", told.in_time)
    };
    let whole: f64 = tempo_s.iter().sum();
    assert!(phases[0].from_s.abs() < 1e-9);
    assert!(phases.windows(2).all(|p| (p[0].to_s - p[1].from_s).abs() < 1e-9), "{phases:?}");
    assert!(phases.last().is_some_and(|p| p.to_s <= whole + 1e-9), "{phases:?} within {whole} s");
    assert!(peaks.windows(2).all(|p| p[0].in_time_nm >= p[1].in_time_nm));
    assert!(peaks.iter().all(|p| p.held_nm.max(p.in_time_nm) >= 20.0), "{peaks:?}");
    assert!(on_one_leg_margin_cm.is_some_and(|cm| cm > 0.0), "{on_one_leg_margin_cm:?}");
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

/// Steps as long as the leg, out in two seconds: what the feet cannot carry is told with a time that works.
#[test]
fn what_has_no_course_says_so_and_why() {
    let told: Vec<Explanation> = ["right", "back-right", "forward-right", "forward"]
        .iter()
        .flat_map(|way| [85, 100].map(|cm| explained(&format!("right step {way} {cm} cm"))))
        .collect();
    let without: Vec<(&Explanation, &String)> = told
        .iter()
        .filter_map(|e| match &e.in_time {
            Some(InTime::None { words, .. }) => Some((e, words)),
            _ => None,
        })
        .collect();
    assert!(!without.is_empty(), "every one has a course");
    for (explanation, words) in without {
        assert!(words.len() > 20, "{words}");
        assert!(explanation.text().contains(&format!("Not computed. {words}")), "{}", explanation.text());
    }
}
