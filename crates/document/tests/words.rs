//! The patient's words: short, plain, whole, and never "the other side".

mod common;

use anatomy::Side;
use common::{Plan, bench, closed_crossings, frame, person, settings, sheet, three_exercises};
use document::{Handout, Language, SheetSettings, Units, Wording, person_rules, readability, text};
use jiff::civil::date;
use movement::{AnatomicalDirection, Family, Support};
use person::{
    Aid, Clinic, Condition, Finding, Findings, Footwear, HipApproach, HowKnown, Involved, KneeSurgery,
    WeightBearing, WeightBearingGrade,
};
use programme::Days;

fn found<T>(value: T) -> Finding<T> {
    Finding::Found { value, on: date(2026, 11, 20) }
}

/// Every sentence a patient reads on this sheet.
fn sentences(handout: &Handout) -> Vec<String> {
    let mut out: Vec<String> = Vec::new();
    for rules in &handout.rules {
        out.push(rules.title.clone());
        out.extend(rules.sentences.clone());
    }
    for section in [
        &handout.before,
        &handout.during,
        &handout.pictures,
        &handout.stop,
        &handout.next_day,
        &handout.seen_today,
        &handout.emergency,
    ] {
        out.extend(section.sentences.clone());
    }
    out.extend(handout.days.clone());
    for exercise in &handout.exercises {
        out.extend(exercise.how.clone());
        out.extend(exercise.days_sentences.clone());
        out.extend(exercise.dose_sentences.clone());
        out.extend(exercise.caption.clone());
        out.extend(exercise.missing_limb.clone());
        for limb in &exercise.limbs {
            out.extend(limb.steps.clone());
            out.extend(limb.do_not_go.clone());
            out.push(limb.figure_in_words.clone());
        }
    }
    out.extend(handout.log.sentences.clone());
    out.extend(handout.whom_to_call.clone());
    out.extend([handout.stopped.clone(), handout.authority.clone(), handout.use_until_sentence.clone()]);
    out
}

/// The settings of the tests in one language, with the rules of every condition there is.
fn settings_in(language: Language) -> SheetSettings {
    let rules = person_rules(&findings(conditions()), date(2026, 11, 25), language);
    let wording = Wording { language, units: Units::Metric };
    SheetSettings { wording, rules, ..settings(closed_crossings(Family::Step)) }
}

fn all_sheets(language: Language) -> Vec<Handout> {
    use AnatomicalDirection::{Anterior, Anteromedial, Lateral, Posterolateral};
    let mut supported = Plan::of(Family::Lunge, &[(Posterolateral, 40.0), (Lateral, 55.0)]);
    supported.support = Support::Fingertip;
    supported.place = Some(bench());
    let mut one = Plan::of(Family::Step, &[(Posterolateral, 28.0)]);
    one.support = Support::BothHands;
    one.place = Some(frame());
    one.limbs = vec![Side::Left];
    let crossing = Plan::of(Family::Step, &[(Anteromedial, 30.0)]);
    let bend = Plan::of(Family::BendAndReach, &[(Lateral, 40.0), (Anterior, 40.0)]);
    let settings = settings_in(language);
    let mut interpreted = person("Nadia Osei");
    interpreted.interpreter = Some("Tagalog".to_owned());
    let mut hop = Plan::of(Family::Step, &[(Lateral, 25.0)]);
    hop.days = Days::Alternate;
    let mut strong = supported.clone();
    strong.days = Days::TwoOrThreeApart;
    let mut of_the_senses = settings.clone();
    (of_the_senses.read_out, of_the_senses.sound) = (true, false);
    let of_the_feet = [Some(Footwear::OpenShoes), Some(Footwear::Socks), Some(Footwear::Barefoot)];
    let feet = of_the_feet.into_iter().flat_map(|worn| [(worn, false), (worn, true)]).map(|(worn, numb)| {
        let settings = SheetSettings { footwear: worn, numb_feet: numb, ..of_the_senses.clone() };
        sheet(std::slice::from_ref(&one), &person("Tomas Quill"), &Clinic::default(), &settings)
    });
    let mut all: Vec<Handout> = feet.collect();
    all.extend(vec![
        sheet(&[strong.clone(), hop, one.clone()], &person("Tomas Quill"), &Clinic::default(), &settings),
        sheet(&[strong], &person("Tomas Quill"), &Clinic::default(), &settings),
        sheet(&three_exercises(), &person("Tomas Quill"), &Clinic::default(), &settings),
        sheet(&[supported, one, crossing], &interpreted, &Clinic::default(), &settings),
        sheet(&[bend], &interpreted, &Clinic::default(), &settings),
    ]);
    all
}

/// What the sheet says about shoes follows what is worn at home; numb feet are never bare.
#[test]
fn what_is_on_the_feet_decides_what_the_sheet_says_about_shoes() {
    let said = |worn, numb_feet| {
        let settings = SheetSettings { footwear: worn, numb_feet, ..settings(Vec::new()) };
        let plan = Plan::of(Family::Step, &[(AnatomicalDirection::Lateral, 28.0)]);
        sheet(&[plan], &person("Tomas Quill"), &Clinic::default(), &settings).before.sentences.join(" ")
    };
    assert!(said(None, false).contains("Wear flat shoes that grip."));
    assert!(said(Some(Footwear::Socks), false).contains("Take off your socks."));
    assert!(said(Some(Footwear::OpenShoes), false).contains("Take off slippers"));
    assert!(said(Some(Footwear::Barefoot), false).contains("Go barefoot."));
    for worn in [None, Some(Footwear::Socks), Some(Footwear::Barefoot)] {
        let said = said(worn, true);
        assert!(said.contains("Never go barefoot.") && !said.contains("Go barefoot"), "{said}");
    }
}

#[test]
fn who_may_not_hear_a_sound_counts_and_who_reads_no_type_is_read_to() {
    let plan = Plan::of(Family::Step, &[(AnatomicalDirection::Lateral, 28.0)]);
    let made = |settings: &SheetSettings| {
        sheet(std::slice::from_ref(&plan), &person("Tomas Quill"), &Clinic::default(), settings)
    };
    let usual = made(&settings(Vec::new()));
    assert!(usual.sound_may_pace && !usual.during.sentences.iter().any(|one| one.contains("sound")));
    let poor = made(&SheetSettings { sound: false, read_out: true, ..settings(Vec::new()) });
    assert!(!poor.sound_may_pace);
    assert!(poor.during.sentences[0].contains("Count for yourself"), "{:?}", poor.during.sentences);
    assert!(poor.before.sentences[0].contains("read this to you"), "{:?}", poor.before.sentences);
}

fn conditions() -> Vec<Condition> {
    let hip = |approach, involved| Condition::HipReplacement {
        involved,
        approach,
        operated_on: found(date(2026, 10, 28)),
        confirmed: Vec::new(),
    };
    vec![
        hip(found(HipApproach::Posterior), Involved::Right),
        hip(found(HipApproach::Anterior), Involved::Left),
        hip(found(HipApproach::Lateral), Involved::Both),
        hip(found(HipApproach::Trochanteric), Involved::Left),
        hip(Finding::NotAssessed, Involved::Right),
        Condition::KneeReplacement {
            involved: Involved::Both,
            surgery: KneeSurgery::TotalReplacement,
            operated_on: found(date(2026, 10, 28)),
            confirmed: Vec::new(),
        },
        Condition::KneeOsteoarthritis {
            involved: Involved::Left,
            medial_or_varus_thrust: Finding::NotAssessed,
            confirmed: Vec::new(),
        },
        Condition::FallsRisk {
            someone_at_home: Finding::NotAssessed,
            programme_began: Finding::NotAssessed,
            alone_waived: Finding::NotAssessed,
        },
    ]
}

fn findings(conditions: Vec<Condition>) -> Findings {
    use anatomy::PerSide;
    fn unknown<T>() -> PerSide<Finding<T>> {
        PerSide::from_fn(|_| Finding::NotAssessed)
    }
    Findings {
        answers: person::Answers::default(),
        other_conditions: Finding::NotAssessed,
        conditions,
        red_flags: found(Vec::new()),
        weight_bearing: unknown(),
        orders: Vec::new(),
        aid: found(Aid::None),
        pain_at_rest: Finding::NotAssessed,
        pain_in_movement: Finding::NotAssessed,
        consistent_night_pain: Finding::NotAssessed,
        stands_and_shifts: Finding::NotAssessed,
        wound_dry: Finding::NotAssessed,
        effusion: unknown(),
        knee_flexion: unknown(),
        extension_lag: unknown(),
        ankle_dorsiflexion: unknown(),
        single_leg_stance: unknown(),
        single_leg_stance_fingertip: unknown(),
        trendelenburg: unknown(),
        tandem_stance: Finding::NotAssessed,
        timed_up_and_go: Finding::NotAssessed,
        sit_to_stands: Finding::NotAssessed,
        stairs_reciprocal: Finding::NotAssessed,
        dizzy_bending: Finding::NotAssessed,
        clean_step_directions: Finding::NotAssessed,
        clean_reaches: Finding::NotAssessed,
        surgeon_review: Finding::NotAssessed,
        falls_past_year: Finding::NotAssessed,
        consent: Finding::NotAssessed,
        strength: Vec::new(),
        hurt: Vec::new(),
    }
}

#[test]
fn every_sheet_reads_easily_in_every_language() {
    for language in Language::ALL {
        for handout in all_sheets(language) {
            let found = readability(&sentences(&handout).join(" "), language);
            assert!(found.is_easy(), "{language}: {:.1}", found.score);
        }
    }
}

#[test]
fn no_sentence_is_longer_than_twelve_words() {
    for language in Language::ALL {
        for text in all_sheets(language).iter().flat_map(sentences) {
            let found = readability(&text, language);
            assert!(found.longest <= 12, "{language}, {} words: {}", found.longest, found.longest_sentence);
        }
    }
}

/// What the sheet says of days: on the first page, then on each exercise with how often on such a day.
fn said_of_days(days: &[Days]) -> (String, String, Vec<(String, String)>) {
    let families = [Family::Step, Family::Reach, Family::Lunge];
    let plans: Vec<Plan> = days
        .iter()
        .zip(families)
        .map(|(days, family)| Plan {
            days: *days,
            ..Plan::of(family, &[(AnatomicalDirection::Lateral, 40.0)])
        })
        .collect();
    let handout =
        sheet(&plans, &person("Tomas Quill"), &Clinic::default(), &settings(closed_crossings(Family::Step)));
    let page = text(&handout);
    for sentence in handout.days.iter().chain(handout.exercises.iter().flat_map(|e| &e.days_sentences)) {
        assert!(page.contains(sentence), "`{sentence}` is missing in the text");
    }
    let glance: Vec<String> =
        handout.at_a_glance.iter().map(|n| format!("{} {}", n.number, n.words)).collect();
    let of = |e: &document::ExerciseSheet| (e.days_sentences.join(" "), e.dose_sentences[0].clone());
    (glance.join(", "), handout.days.join(" "), handout.exercises.iter().map(of).collect())
}

#[test]
fn each_exercise_says_its_own_days_and_the_first_page_does_not_say_otherwise() {
    use Days::{Alternate, Every, TwoOrThreeApart};
    let (glance, first, each) = said_of_days(&[Every, TwoOrThreeApart, Alternate]);
    assert_eq!(glance, "3 exercises, 5 minutes at most, 2 times a day");
    assert_eq!(first, "Not every exercise is for every day. Each page says its days.");
    let days: Vec<&str> = each.iter().map(|(days, _)| days.as_str()).collect();
    assert_eq!(
        days,
        [
            "Do this every day.",
            "Do this 2 or 3 days a week. Never two days in a row.",
            "Do this every other day. Never two days in a row.",
        ]
    );
    assert!(each[0].1.ends_with("2 times a day."), "{}", each[0].1);
    assert!(each[1].1.ends_with("2 times that day.") && each[2].1.ends_with("2 times that day."));
}

#[test]
fn exercises_of_the_same_days_say_so_on_the_first_page_and_daily_ones_need_no_words() {
    use Days::{Alternate, Every, TwoOrThreeApart};
    let (glance, first, each) = said_of_days(&[TwoOrThreeApart, TwoOrThreeApart]);
    assert_eq!(glance, "2 exercises, 5 minutes in all, 2 times that day");
    assert_eq!(first, "Do them 2 or 3 days a week. Never two days in a row.");
    assert!(each.iter().all(|(days, _)| days.starts_with("Do this 2 or 3 days a week.")));
    assert_eq!(said_of_days(&[Alternate]).1, "Do it every other day. Never two days in a row.");
    let (glance, first, each) = said_of_days(&[Every, Every]);
    assert_eq!((glance.as_str(), first.as_str()), ("2 exercises, 5 minutes in all, 2 times a day", ""));
    assert!(each.iter().all(|(days, dose)| days.is_empty() && dose.ends_with("times a day.")));
}

#[test]
fn the_rules_of_each_condition_read_easily() {
    for language in Language::ALL {
        for condition in conditions() {
            let rules = person_rules(&findings(vec![condition.clone()]), date(2026, 11, 25), language);
            let text: Vec<String> =
                rules.into_iter().flat_map(|r| [vec![r.title], r.sentences].concat()).collect();
            let found = readability(&text.join(" "), language);
            assert!(found.is_easy(), "{language}, {condition:?}: {:.1}", found.score);
        }
    }
}

/// The words of a side, in every gender.
fn side_words(language: Language, side: Side) -> &'static [&'static str] {
    match (language, side) {
        (Language::English, Side::Left) => &["LEFT"],
        (Language::English, Side::Right) => &["RIGHT"],
        (Language::French, Side::Left) => &["GAUCHE"],
        (Language::French, Side::Right) => &["DROIT", "DROITE"],
        (Language::Spanish, Side::Left) => &["IZQUIERDO", "IZQUIERDA"],
        (Language::Spanish, Side::Right) => &["DERECHO", "DERECHA"],
    }
}

fn names_side(sentence: &str, language: Language, side: Side) -> bool {
    side_words(language, side)
        .iter()
        .any(|word| sentence.split(|c: char| !c.is_alphabetic()).any(|w| w == *word))
}

#[test]
fn each_side_has_its_own_sentences_and_never_the_other_side() {
    for language in Language::ALL {
        for handout in all_sheets(language) {
            let page = text(&handout).to_lowercase();
            let elsewhere = [
                "other side",
                "other leg",
                "same again",
                "repeat",
                "opposite",
                "l'autre côté",
                "l'autre jambe",
                "répétez",
                "otro lado",
                "otra pierna",
                "repita",
            ];
            for forbidden in elsewhere {
                assert!(!page.contains(forbidden), "`{forbidden}` stands on the sheet");
            }
            for limb in handout.exercises.iter().flat_map(|e| &e.limbs) {
                let own = |s: &String| names_side(s, language, limb.mover);
                assert!(own(&limb.heading), "{}", limb.heading);
                assert!(limb.steps.iter().any(own), "{:?}", limb.steps);
                if limb.movements[0].family != Family::BendAndReach {
                    assert!(names_side(&limb.steps[0], language, limb.mover.other()), "{:?}", limb.steps);
                }
            }
        }
    }
}

#[test]
fn the_hand_that_holds_is_named_for_each_side() {
    let mut bend = Plan::of(Family::BendAndReach, &[(AnatomicalDirection::Lateral, 40.0)]);
    bend.support = Support::OneHand;
    bend.place = Some(bench());
    let settings = settings(closed_crossings(Family::Step));
    let handout = sheet(&[bend], &person("Tomas Quill"), &Clinic::default(), &settings);
    for limb in &handout.exercises[0].limbs {
        let holds = side_words(Language::English, limb.mover.other())[0];
        assert!(limb.steps.contains(&format!("Hold the bench with your {holds} hand.")), "{:?}", limb.steps);
    }
}

#[test]
fn inches_stand_wherever_centimetres_would() {
    for language in Language::ALL {
        let mut inches = settings_in(language);
        inches.wording.units = Units::Imperial;
        let handout = sheet(&three_exercises(), &person("Tomas Quill"), &Clinic::default(), &inches);
        let page = text(&handout);
        let unit = match language {
            Language::English => " in",
            Language::French => " po",
            Language::Spanish => " pulg",
        };
        // 34 cm are 13.39 in, 40 cm are 15.748 in: never written longer than they are.
        assert!(page.contains(&format!("13¼{unit}")) && page.contains(&format!("15½{unit}")), "{page}");
        assert!(!page.contains(" cm"), "{page}");
    }
}

#[test]
fn the_grid_has_two_weeks_with_every_session_limb_and_direction_and_ends_with_the_sheet() {
    let settings = settings(closed_crossings(Family::Step));
    let handout = sheet(&three_exercises(), &person("Tomas Quill"), &Clinic::default(), &settings);
    // Made on 25 November, used until 9 December: fourteen days of the fifteen.
    assert_eq!(handout.log.days.len(), 14);
    assert_eq!(handout.log.days[0].written, "Wed 25 Nov");
    assert!(handout.log.days.iter().all(|day| day.sessions == 2));
    let rings: Vec<usize> = handout.log.floors.iter().map(|floor| floor.bearings.len()).collect();
    assert_eq!(rings, [5, 5, 2, 2, 1, 1]);
}

#[test]
fn a_hip_opened_in_an_unknown_way_keeps_every_rule() {
    let unknown = Condition::HipReplacement {
        involved: Involved::Right,
        approach: Finding::NotAssessed,
        operated_on: Finding::NotAssessed,
        confirmed: Vec::new(),
    };
    let text =
        person_rules(&findings(vec![unknown]), date(2026, 11, 25), Language::English)[0].sentences.join(" ");
    for part in ["right angle", "cross your legs", "toes in", "far back", "toes out", "out to the side"] {
        assert!(text.contains(part), "`{part}` is missing in: {text}");
    }
}

#[test]
fn a_weight_bearing_order_stands_on_the_sheet() {
    let mut findings = findings(Vec::new());
    findings.weight_bearing.left = found(WeightBearing {
        grade: WeightBearingGrade::PartialWeightBearing,
        share: None,
        known: HowKnown::LetterSeen,
        by: "surgical team".to_owned(),
        until: None,
    });
    let rules = person_rules(&findings, date(2026, 11, 25), Language::English);
    assert!(rules[0].sentences[0].contains("part of your weight on your LEFT leg"));
}

#[test]
fn unknown_clinic_lines_stay_blank_and_no_number_is_guessed() {
    let handout = &all_sheets(Language::English)[0];
    assert!(handout.contacts.iter().all(|c| c.value.is_none()));
    assert!(text(handout).contains("Emergency number: ____"));
}

#[test]
fn the_sheet_as_text() {
    let handout = sheet(
        &three_exercises()[..1],
        &person("Tomas Quill"),
        &Clinic::default(),
        &settings(closed_crossings(Family::Step)),
    );
    insta::assert_snapshot!(text(&handout));
}

#[test]
fn a_red_flag_gives_an_alert_with_the_call_first_and_no_exercise() {
    use person::{RedFlag, Urgency};
    use safety::{Alert, AlertLine};
    let line = AlertLine {
        flag: RedFlag::DeepVeinThrombosis,
        rule: "RF-DVT".to_owned(),
        urgency: Urgency::SameDay,
        words: "One calf is newly swollen.".to_owned(),
        call: "Call the surgical team today.".to_owned(),
    };
    let alert = Alert { urgency: Urgency::SameDay, lines: vec![line] };
    let sheet = document::alert(&alert, &person("Ada Brandt"), &Clinic::default(), true, date(2026, 11, 25));
    let text = sheet.text();
    assert!(text.starts_with("STOP: RED FLAG\nAda Brandt, 25 November 2026\nInvented person"));
    assert!(text.contains("Call the surgical team today.") && text.contains("No exercises are offered"));
    assert_eq!(sheet.json()["urgency"], "same_day");
    assert!(sheet.json().get("exercises").is_none());
}
