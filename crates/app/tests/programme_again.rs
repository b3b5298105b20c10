//! One movement at once beside the long explanation, and an accepted programme permitted again and changed.

use app::{
    AcceptedProgramme, Again, AmendError, Explanation, MotionCache, Outcome, PersonToday, SentenceReader,
    demo_cases, explain_case, one_movement, one_movement_at_once, plan_case, programme_again, sentence_kept,
    silent, with_dose, with_movement, without_movement,
};
use jiff::civil::{Date, date};
use movement::MovementSpec;
use person::CaseFile;
use programme::Days;

fn story(index: usize) -> (CaseFile, Date) {
    let case = demo_cases()[index].read().unwrap_or_else(|e| panic!("{e}"));
    let today = app::day_of(&case, None, date(2000, 1, 1));
    (case, today)
}

fn read(person: &PersonToday<'_>, sentence: &str) -> MovementSpec {
    let supports = person.limits().supports;
    let reader = SentenceReader { body: &person.body, supports: &supports };
    reader.read(sentence).unwrap_or_else(|e| panic!("{sentence}: {e}"))
}

/// Open, refused before and after the posture, out of reach: whatever the cache holds.
#[test]
fn one_movement_says_what_the_long_explanation_says() {
    for (index, sentence) in [
        (0, "right step lateral 25 cm both hands walking frame"),
        (0, "right step medial 25 cm crossing in front both hands walking frame"),
        (2, "right lunge anterior 45 cm depth 12 cm"),
        (2, "left step lateral 149 cm"),
    ] {
        let (case, today) = story(index);
        let person = PersonToday::of(&case, today);
        let spec = read(&person, sentence);
        let long: Explanation = explain_case(&case, sentence, today).unwrap_or_else(|e| panic!("{e}"));
        let cache = MotionCache::of(&person);
        let first = one_movement(&person, &cache, &spec);
        assert_eq!(first.verdict, long.verdict, "{sentence}");
        assert_eq!(first.checks, long.checks, "{sentence}");
        assert_eq!(one_movement(&person, &cache, &spec), first, "from the cache");
        // At once it says the same or nothing.
        let at_once = one_movement_at_once(&person, &cache, &spec);
        assert_eq!(at_once.is_some(), first.computed.is_some(), "{sentence}");
        assert!(at_once.is_none_or(|one| one == first));
        let named = first.written_angles(8);
        assert!(
            named.len() <= 8 && named.iter().all(|one| one.angle.in_deg() > -1e-9 || one.limit.is_some())
        );
    }
}

/// What was accepted today is permitted today: the same movements in the same dose and time.
#[test]
fn a_programme_comes_back_as_it_was_accepted() {
    for index in [0, 2, 9] {
        let (case, today) = story(index);
        let Outcome::Programme(plan) = plan_case(&case, today, &silent) else { panic!("a programme") };
        let sheet = app::handout_of_plan(&plan, &case, today);
        let json = app::programme_json(&plan, &case, &sheet);
        let kept: Vec<Vec<String>> = plan
            .programme
            .exercises
            .iter()
            .map(|one| one.movements().map(|one| sentence_kept(one.spec())).collect())
            .collect();
        let accepted = AcceptedProgramme {
            for_day: today,
            use_until: plan.programme.use_until,
            exercises: &kept,
            json: &json,
        };
        let cache = MotionCache::of(&PersonToday::of(&case, today));
        let Again::Today { programme, no_longer, lowered } = programme_again(&case, today, accepted, &cache)
        else {
            panic!("no red flag")
        };
        assert_eq!((no_longer, lowered), (Vec::new(), Vec::new()));
        assert_eq!(programme.exercises.len(), plan.programme.exercises.len());
        for (again, before) in programme.exercises.iter().zip(&plan.programme.exercises) {
            assert_eq!((again.dose, again.tempo, again.days), (before.dose, before.tempo, before.days));
            assert_eq!(again.minutes.in_s(), before.minutes.in_s().round());
            assert_eq!(again.place, before.place);
            let specs = |one: &programme::Exercise| -> Vec<MovementSpec> {
                one.movements().map(|one| one.spec().clone()).collect()
            };
            assert_eq!(specs(again), specs(before));
        }
    }
}

/// However long it was accepted for, it is used until the last day on which all of it is permitted by what is known
/// today; a last day that is past stays.
#[test]
fn an_accepted_programme_is_used_no_longer_than_it_is_permitted() {
    let (case, today) = story(0);
    let Outcome::Programme(plan) = plan_case(&case, today, &silent) else { panic!("a programme") };
    let (kept, json) = app::programme_kept(&plan.programme);
    let again = |on: Date, use_until: Date| {
        let accepted = AcceptedProgramme { for_day: today, use_until, exercises: &kept, json: &json };
        let cache = MotionCache::of(&PersonToday::of(&case, on));
        match programme_again(&case, on, accepted, &cache) {
            Again::Today { programme, no_longer, .. } => (*programme, no_longer.len()),
            Again::Alert(alert) => panic!("{alert}"),
        }
    };
    let later = |day: Date, days: i64| day.checked_add(jiff::ToSpan::days(days)).unwrap();
    let (long, gone) = again(today, later(today, 100));
    let last = long.use_until;
    assert!(gone == 0 && today <= last && last < later(today, 100));
    assert_eq!((again(last, last).1, again(later(last, 1), last).1 > 0), (0, true), "{last}");
    let said = format!("It may be used until {last};");
    assert_eq!(long.why.iter().filter(|why| why.starts_with("It may be used until")).count(), 1);
    assert!(long.why.iter().any(|why| why.starts_with(&said)), "{:?}", long.why);
    // Some days later, without anything new, it is the same day.
    assert_eq!(again(later(today, 2), later(today, 100)).0.use_until, last);
    let past = later(today, 1);
    assert_eq!(again(later(today, 3), past).0.use_until, past);
}

/// Days that nobody can read are the fewest, never every day.
#[test]
fn an_exercise_whose_days_are_not_known_is_done_on_the_fewest() {
    let (case, today) = story(9);
    let person = PersonToday::of(&case, today);
    let cache = MotionCache::of(&person);
    let kept = vec![vec![sentence_kept(&read(&person, "right step lateral 35 cm"))]];
    let days = |json: serde_json::Value| {
        let json = serde_json::json!({ "exercises": [json] });
        let accepted = AcceptedProgramme { for_day: today, use_until: today, exercises: &kept, json: &json };
        let Again::Today { programme, .. } = programme_again(&case, today, accepted, &cache) else {
            panic!("no red flag")
        };
        programme.exercises[0].days
    };
    assert_eq!(days(serde_json::json!({ "days": "every" })), Days::Every);
    assert_eq!(days(serde_json::json!({ "days": "daily" })), Days::TwoOrThreeApart);
    assert_eq!(days(serde_json::json!({})), Days::TwoOrThreeApart);
    let all = [Days::Every, Days::Alternate, Days::TwoOrThreeApart];
    assert!(all.iter().all(|one| one.most_a_week() >= Days::TwoOrThreeApart.most_a_week()));
}

/// The same exercise takes a further direction and another distance; a fourth exercise finds no room.
#[test]
fn a_movement_goes_where_a_therapist_would_write_it() {
    let (case, today) = story(9);
    let person = PersonToday::of(&case, today);
    let json = serde_json::json!({ "exercises": [{ "seconds": 60.0 }], "sheet": {} });
    let kept = vec![vec![sentence_kept(&read(&person, "right step lateral 35 cm"))]];
    fn of<'a>(day: Date, json: &'a serde_json::Value, exercises: &'a [Vec<String>]) -> AcceptedProgramme<'a> {
        AcceptedProgramme { for_day: day, use_until: day, exercises, json }
    }
    let put = |sentence: &str, exercises: &[Vec<String>]| {
        with_movement(&person, Some(of(today, &json, exercises)), &read(&person, sentence))
    };
    let beside = put("left step lateral 30 cm", &kept).expect("room");
    assert_eq!(beside.exercises.iter().map(Vec::len).collect::<Vec<_>>(), [2]);
    assert!(beside.json["exercises"][0].get("seconds").is_none(), "its time is counted anew");
    let shorter = put("right step lateral 30 cm", &kept).expect("room");
    assert_eq!(shorter.exercises, [[sentence_kept(&read(&person, "right step lateral 30 cm"))]]);
    let mut all = kept.clone();
    for sentence in ["right reach medial 30 cm", "right lunge anterior 45 cm depth 12 cm"] {
        all = put(sentence, &all).expect("room").exercises;
    }
    assert_eq!(put("right step lateral 30 cm one hand bench", &all), Err(AmendError::Full { exercises: 3 }));
    let fewer = without_movement(of(today, &json, &all), &all[1][0]).expect("it is there");
    assert_eq!(fewer.exercises.len(), 2);
    assert!(without_movement(of(today, &json, &fewer.exercises), &all[1][0]).is_err());
}

/// Another dose and pace come back as they were chosen, with their time; what the rules of today do not
/// accept is refused with what they do, and what was accepted under other rules is lowered.
#[test]
fn a_dose_and_a_pace_are_chosen_within_the_rules_and_asked_again() {
    let (case, today) = story(9);
    let person = PersonToday::of(&case, today);
    let cache = MotionCache::of(&person);
    let sentence = sentence_kept(&read(&person, "right step lateral 35 cm"));
    let kept = vec![vec![sentence.clone()]];
    let json = serde_json::json!({ "exercises": [{}] });
    let of = |json: &serde_json::Value| {
        let accepted = AcceptedProgramme { for_day: today, use_until: today, exercises: &kept, json };
        let Again::Today { programme, lowered, .. } = programme_again(&case, today, accepted, &cache) else {
            panic!("no red flag")
        };
        (*programme, lowered)
    };
    let (before, _) = of(&json);
    let accepted = AcceptedProgramme { for_day: today, use_until: today, exercises: &kept, json: &json };
    let one = &before.exercises[0];
    let dose = movement::Dose { repetitions: 4, ..one.dose };
    let tempo = movement::Tempo { out: quantity::Span::s(3.0), ..one.tempo };
    let amended = with_dose(&person, (accepted, &before), &sentence, dose, tempo).expect("within the rules");
    let (after, lowered) = of(&amended.json);
    assert_eq!((after.exercises[0].dose, after.exercises[0].tempo, lowered), (dose, tempo, vec![]));
    assert_eq!(after.exercises[0].movements().next().map(|one| one.tempo()), Some(tempo));
    // Four times 3 s out, hold, back and still beside two times the usual: counted, not believed.
    let rounds = f64::from(dose.rounds);
    let usual = one.tempo.one_movement().in_s();
    let longer = rounds * (4.0 * (usual + 1.0) - f64::from(one.dose.repetitions) * usual);
    assert!((after.minutes.in_s() - before.minutes.in_s() - longer).abs() < 1e-9);
    let quick = movement::Tempo { back: quantity::Span::s(0.5), ..one.tempo };
    let told = with_dose(&person, (accepted, &before), &sentence, dose, quick).expect_err("too quick");
    assert!(told.to_string().contains("the way back cannot be 0.5 s; accepted: 2 s to 10 s"), "{told}");
    let mut much = amended.json.clone();
    much["exercises"][0]["dose"]["rounds"] = 9.into();
    let (lower, lowered) = of(&much);
    assert_eq!((lower.exercises[0].dose.rounds <= 2, lowered), (true, vec![1]));
}
