//! The practice page as a file: what it carries, what it never says, and that nothing in it becomes markup.

mod common;

use common::{Plan, bench, closed_crossings, person, settings, sheet, three_exercises, with_facts};
use document::{
    Language, PageOrder, PageSettings, PageStore, PracticePage, SheetSettings, Units, page_of, practice_site,
};
use jiff::civil::date;
use movement::{AnatomicalDirection, ArmTask, Family, Support, TurnToward};
use person::{Clinic, Footwear};
use quantity::Span;
use safety::AcceptedPain;
use serde_json::{Value, json};

fn choice(language: Language, store: u8) -> PageSettings {
    PageSettings {
        language,
        units: Units::Metric,
        order: PageOrder::Called { seed: 7 },
        store: PageStore::of([store; 40]),
    }
}

fn page(plans: &[Plan], name: &str, clinic: &Clinic, choice: &PageSettings) -> PracticePage {
    page_by(plans, name, clinic, &settings(closed_crossings(Family::Step)), choice)
}

fn page_by(
    plans: &[Plan],
    name: &str,
    clinic: &Clinic,
    sheet: &SheetSettings,
    choice: &PageSettings,
) -> PracticePage {
    let person = person(name);
    with_facts(plans, &person, |facts| {
        let when = (Span::s(250.0), date(2026, 11, 25), date(2026, 12, 9));
        page_of(facts, when, (&person, clinic), sheet, choice)
    })
}

/// The JSON in the element with this id.
fn data(html: &str, id: &str) -> Value {
    let begin = format!("id=\"{id}\">");
    let text =
        html.split_once(&begin).and_then(|(_, rest)| rest.split_once("</script>")).expect("it is there").0;
    serde_json::from_str(text).expect("it is JSON")
}

#[test]
fn the_same_programme_with_the_same_key_gives_the_same_bytes_and_another_key_another_store() {
    let clinic = Clinic::default();
    let made = |store| page(&three_exercises(), "Tomas Quill", &clinic, &choice(Language::English, store));
    assert_eq!(made(1), made(1));
    let (one, other) = (data(&made(1).html, "store"), data(&made(2).html, "store"));
    assert_ne!(one["name"], other["name"]);
    assert_ne!(one["key"], other["key"]);
    assert_eq!(made(1).programme, made(2).programme);
}

#[test]
fn a_page_of_three_exercises_stays_below_a_megabyte() {
    for language in Language::ALL {
        let made = page(&three_exercises(), "Tomas Quill", &Clinic::default(), &choice(language, 1));
        assert!(made.html.len() < 1_000_000, "{language:?}: {} bytes", made.html.len());
    }
    let site: usize = practice_site(&Clinic::default()).files.iter().map(|(_, content)| content.len()).sum();
    assert!(site < 1_000_000, "{site} bytes");
}

#[test]
fn the_programme_says_who_moves_where_to_and_never_further_than_was_permitted() {
    let mut step = Plan::of(
        Family::Step,
        &[(AnatomicalDirection::Lateral, 35.7), (AnatomicalDirection::Anteromedial, 30.0)],
    );
    step.support = Support::OneHand;
    step.place = Some(bench());
    let made = page(&[step], "Tomas Quill", &Clinic::default(), &choice(Language::French, 1)).programme;
    let exercise = &made["exercises"][0];
    assert_eq!((&made["v"], &made["aDay"], &made["lang"]), (&json!(1), &json!(2), &json!("fr")));
    assert_eq!((&made["from"], &made["until"]), (&json!("2026-11-25"), &json!("2026-12-09")));
    assert_eq!(made["person"], "Tomas");
    assert_eq!(made["mark"].as_str().map(str::len), Some(16));
    assert_eq!(
        (&exercise["family"], &exercise["order"], &exercise["seed"]),
        (&json!("step"), &json!("called"), &json!(7))
    );
    assert_eq!((&exercise["outS"], &exercise["restS"]), (&json!(2.0), &json!(30.0)));
    assert_eq!(exercise["support"], "one_hand");
    assert_eq!(exercise["spot"]["kind"], "bench");
    let [left, right] = [&exercise["limbs"][0], &exercise["limbs"][1]];
    assert_eq!((&left["mover"], &right["mover"]), (&json!("left"), &json!("right")));
    // Lateral is on the own side of each limb: left of the page for the left one.
    assert_eq!((&left["cells"][0]["bearing"], &right["cells"][0]["bearing"]), (&json!(270), &json!(90)));
    assert_eq!(right["cells"][0]["cm"], 35.0);
    assert_eq!(
        (&right["cells"][1]["crossing"], &right["cells"][1]["pivot"]),
        (&json!("in_front"), &json!(false))
    );
    assert!(right["cells"][0].get("pivot").is_none());
}

#[test]
fn a_mark_tells_programmes_apart_and_does_not_know_the_name() {
    let of = |cm: f64, name: &str| {
        let plan = Plan::of(Family::Step, &[(AnatomicalDirection::Lateral, cm)]);
        page(&[plan], name, &Clinic::default(), &choice(Language::English, 1)).programme["mark"].clone()
    };
    assert_eq!(of(35.0, "Tomas Quill"), of(35.0, "Ada Brandt"));
    assert_ne!(of(35.0, "Tomas Quill"), of(36.0, "Tomas Quill"));
}

#[test]
fn what_is_typed_into_a_case_never_becomes_markup() {
    let clinic =
        Clinic { phone: Some("</script><img src=x onerror=alert(1)>".to_owned()), ..Clinic::default() };
    let plan = [Plan::of(Family::Step, &[(AnatomicalDirection::Lateral, 35.0)])];
    let made = page(&plan, "</script><b>{{script}}", &clinic, &choice(Language::English, 1));
    assert!(!made.html.contains("</script><"), "an element was closed from inside");
    assert!(!made.html.contains("<img") && !made.html.contains("<b>"));
    let carried = data(&made.html, "programme");
    assert_eq!(carried["person"], "</script><b>{{script}}");
    assert_eq!(carried["contacts"][2]["value"], "</script><img src=x onerror=alert(1)>");
}

#[test]
fn a_number_that_the_clinic_did_not_tell_is_not_guessed() {
    let made = page(&three_exercises(), "Tomas Quill", &Clinic::default(), &choice(Language::Spanish, 1));
    let carried = data(&made.html, "programme");
    assert!(carried["contacts"].as_array().expect("a list").iter().all(|one| one["value"].is_null()));
    assert!(carried["emergency"].is_null());
}

#[test]
fn the_site_knows_nobody() {
    let clinic = Clinic {
        name: Some("Harbour Lane Clinic".to_owned()),
        phone: Some("555 0142".to_owned()),
        therapist: Some("Ines Calloway".to_owned()),
        ..Clinic::default()
    };
    let site = practice_site(&clinic);
    let names: Vec<&str> = site.files.iter().map(|(name, _)| *name).collect();
    assert_eq!(names, ["index.html", "sw.js", "manifest.webmanifest", "icon.svg"]);
    let index = &site.files[0].1;
    assert!(index.contains("555 0142") && !index.contains("Calloway"));
    let figures = data(index, "drawings")["figures"].as_object().expect("figures").len();
    assert!(figures >= 40, "{figures}");
}

/// What the page says beside the programme: as the sheet says it, and neither mark nor log know of it.
#[test]
fn the_page_closes_what_the_sheet_closes_and_tells_the_arms_as_it_does() {
    let mut turning = Plan::of(Family::Step, &[(AnatomicalDirection::Lateral, 30.0)]);
    turning.arms = ArmTask::Turn { toward: TurnToward::SameSide };
    let plans = [turning];
    let clinic = Clinic::default();
    let made = page(&plans, "Tomas Quill", &clinic, &choice(Language::English, 1));
    let carried = data(&made.html, "programme");
    let own = settings(closed_crossings(Family::Step));
    let paper = sheet(&plans, &person("Tomas Quill"), &clinic, &own);
    for (limb, on_paper) in
        [0, 1].map(|l| (&carried["exercises"][0]["limbs"][l], &paper.exercises[0].limbs[l]))
    {
        let closed: Vec<String> = limb["closed"]
            .as_array()
            .expect("a list")
            .iter()
            .map(|bearing| {
                carried["words"]["directions"][format!("b{bearing}")].as_str().unwrap_or("").to_owned()
            })
            .collect();
        assert_eq!((closed.len(), &closed), (3, &on_paper.closed));
        let [side] = limb["arms"].as_array().expect("a list").as_slice() else { panic!("{limb}") };
        assert!(on_paper.steps.iter().any(|step| step == side), "{side} in {:?}", on_paper.steps);
    }
    assert_eq!(carried["exercises"][0]["limbs"][0]["arms"], json!(["Turn your chest to the LEFT."]));
    let asked = &made.programme["exercises"][0]["limbs"][0];
    assert!(asked.get("closed").is_none() && asked.get("arms").is_none());
    // A page can say what the arms do and an address cannot: the programme says that there is something, beside the mark.
    assert_eq!(made.programme["exercises"][0]["arms"], json!(true));
    let mut still = plans.clone();
    still[0].arms = ArmTask::Free;
    let still = page(&still, "Tomas Quill", &clinic, &choice(Language::English, 1)).programme;
    assert!(still["exercises"][0].get("arms").is_none());
    assert_eq!(still["mark"], made.programme["mark"]);
    let open = page_by(&plans, "Tomas Quill", &clinic, &settings(Vec::new()), &choice(Language::English, 1));
    assert_eq!(open.programme["mark"], made.programme["mark"]);
}

#[test]
fn accepted_pain_is_carried_with_its_last_day_and_said_as_on_the_sheet_and_without_an_order_the_rule_is_strict()
 {
    let plans = [Plan::of(Family::Step, &[(AnatomicalDirection::Lateral, 30.0)])];
    let clinic = Clinic::default();
    let with = |accepted_pain| SheetSettings { accepted_pain, ..settings(Vec::new()) };
    let of = |accepted| {
        let made = page_by(&plans, "Tomas Quill", &clinic, &with(accepted), &choice(Language::English, 1));
        data(&made.html, "programme")["acceptedPain"].clone()
    };
    assert!(of(None).is_null());
    let until_then = Some(AcceptedPain { up_to: 4, until: Some(date(2026, 12, 1)) });
    let carried = of(until_then);
    assert_eq!(
        (&carried["upTo"], &carried["until"], &carried["safe"]),
        (&json!(4), &json!("2026-12-01"), &json!(2))
    );
    // An order without an end holds as long as the programme.
    assert_eq!(of(Some(AcceptedPain { up_to: 4, until: None }))["until"], "2026-12-09");
    let paper = sheet(&plans, &person("Tomas Quill"), &clinic, &with(until_then)).during.sentences;
    for said in carried["rule"].as_array().expect("a list") {
        assert!(paper.iter().any(|sentence| sentence == said), "{said} in {paper:?}");
    }
    assert!(paper.contains(&"Pain up to 4 of 10 is all right for you.".to_owned()));
    assert!(!paper.iter().any(|sentence| sentence.contains("It must not hurt.")), "{paper:?}");
    // On a sheet made after its last day the strict rule stands.
    let over = sheet(
        &plans,
        &person("Tomas Quill"),
        &clinic,
        &with(Some(AcceptedPain { up_to: 4, until: Some(date(2026, 11, 24)) })),
    );
    assert!(over.during.sentences.iter().any(|sentence| sentence.contains("It must not hurt.")));
}

#[test]
fn what_is_worn_at_home_is_said_on_the_page_as_on_the_sheet() {
    let plans = [Plan::of(Family::Step, &[(AnatomicalDirection::Lateral, 30.0)])];
    let own = SheetSettings { footwear: Some(Footwear::Barefoot), numb_feet: true, ..settings(Vec::new()) };
    let made = page_by(&plans, "Tomas Quill", &Clinic::default(), &own, &choice(Language::English, 1));
    let paper = sheet(&plans, &person("Tomas Quill"), &Clinic::default(), &own).before.sentences;
    assert_eq!(data(&made.html, "programme")["words"]["before"]["sentences"], json!(paper));
    assert!(paper.contains(&"Never go barefoot.".to_owned()));
}
