//! Today is kept up to date entry by entry: it is the same as read anew, and as a plain list of what was done.

use std::sync::Arc;
use std::sync::atomic::{AtomicI64, Ordering};

use clinic::{
    AdaptationRecord, Admitted, Attention, Clinic, DEMO_NAME, DEMO_PASSPHRASE, Decision, Desk, LogSource,
    PersonId, PersonRecord, PersonState, PracticeItem, PracticeRecord, ProgrammeRecord, Reason, RecordId,
    Stop,
};
use jiff::ToSpan;
use jiff::civil::{Date, date};
use progress::{Cleared, StopSign, stop_signs};

/// A small generator, so that a history can be repeated.
struct Chance(u64);

impl Chance {
    fn below(&mut self, end: u64) -> u64 {
        self.0 = self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        (self.0 >> 33) % end
    }
}

const FIRST: Date = date(2026, 2, 4);

/// The invented clinic with a clock that the test turns.
async fn at_work(days: &Arc<AtomicI64>) -> (Arc<Clinic>, Desk) {
    let days = days.clone();
    let clock = Arc::new(move || FIRST.saturating_add(days.load(Ordering::Relaxed).days()));
    let clinic = Clinic::demo(clock).await.expect("the invented clinic");
    match clinic.sign_in(DEMO_NAME, DEMO_PASSPHRASE).await.expect("a readable file") {
        Admitted::Welcome(desk) => (clinic, desk),
        Admitted::Refused { .. } | Admitted::Wait { .. } => panic!("the passphrase of the invented clinic"),
    }
}

async fn today(desk: &Desk) -> Vec<Attention> {
    desk.attention(0, usize::MAX).await.expect("Today").some
}

fn log(chance: &mut Chance, today: Date) -> PracticeRecord {
    let item = |pain: u8| PracticeItem {
        exercise: 1,
        family: movement::Family::Step,
        mover: anatomy::Side::Left,
        bearing: movement::Bearing::of(movement::AnatomicalDirection::Anterior, anatomy::Side::Left),
        crossing: movement::Crossing::None,
        distance_cm: Some(30.0),
        done: clinic::Done::Done,
        pain: Some(pain),
        rung: None,
        settled: None,
    };
    let on = today.saturating_sub(i64::try_from(chance.below(20)).unwrap_or(0).days());
    let items = vec![item(u8::try_from(chance.below(8)).unwrap_or(0))];
    let stopped = match chance.below(8) {
        0 => Some(StopSign::SeenToday),
        1 => Some(StopSign::Unsteady),
        _ => None,
    };
    PracticeRecord { items, stopped, ..PracticeRecord::bare(on, LogSource::Told) }
}

/// A clinician looks at every sign that was told.
async fn look_at(desk: &Desk, person: PersonId, once: &str) {
    let signs = stop_signs(&desk.sessions(person).await.expect("readable"));
    let on = desk.today();
    let cleared = Cleared { by: "Tarn".to_owned(), on, why: "nothing was found".to_owned(), signs };
    let adaptation = AdaptationRecord {
        on,
        programme_of: on,
        of: once.to_owned(),
        said: Vec::new(),
        answers: Vec::new(),
        unanswered: Vec::new(),
        became: Vec::new(),
        cleared: Some(cleared),
        asked_about: Vec::new(),
        takes_back: None,
        why: String::new(),
        engine: serde_json::Value::Null,
    };
    desk.decide(person, &Decision { adaptation, after: None }, once).await.expect("stored");
}

/// What the test itself knows of the logs of the people it added: in the order they were entered, each in
/// its last version; none where it was taken back.
struct Plain {
    id: PersonId,
    logs: Vec<(RecordId, Option<PracticeRecord>)>,
    open: bool,
}

impl Plain {
    /// The worst pain before and in the last log by its day, and that day; of two on one day the later entry is
    /// the last.
    fn last_two(&self) -> Option<(Date, u8, u8)> {
        let mut logs: Vec<&PracticeRecord> =
            self.logs.iter().rev().filter_map(|(_, log)| log.as_ref()).collect();
        logs.sort_by_key(|log| std::cmp::Reverse(log.on));
        let [last, before, ..] = logs.as_slice() else { return None };
        Some((last.on, before.worst_pain()?, last.worst_pain()?))
    }
}

/// One random step in the life of a clinic.
async fn step(desk: &Desk, chance: &mut Chance, days: &AtomicI64, people: &mut Vec<Plain>, n: usize) {
    let once = format!("step-{n}");
    let now = desk.today();
    if people.is_empty() || chance.below(12) == 0 {
        let person = PersonRecord::from_typed(&format!("Invented {n}"), "", "", now).expect("a name");
        let id = desk.add_person(&person, &once).await.expect("added");
        if chance.below(4) != 0 {
            let case = &app::demo_cases()[chance.below(12) as usize];
            desk.save_case(id, case.text, &once).await.expect("saved");
        }
        people.push(Plain { id, logs: Vec::new(), open: true });
        return;
    }
    let at = chance.below(people.len() as u64) as usize;
    let person = &mut people[at];
    match chance.below(10) {
        0 => {
            days.fetch_add(i64::try_from(chance.below(4)).unwrap_or(0), Ordering::Relaxed);
        }
        1 => {
            // A case without a day of its own, so that the clinic's day counts.
            let demo = &app::demo_cases()[chance.below(13) as usize];
            let text: Vec<&str> = demo.text.lines().filter(|line| !line.starts_with("planned_for")).collect();
            desk.save_case(person.id, &text.join("\n"), &once).await.expect("saved");
        }
        2 => {
            let record = ProgrammeRecord {
                for_day: now,
                use_until: now.saturating_add(i64::try_from(chance.below(9)).unwrap_or(0).days()),
                exercises: Vec::new(),
                json: serde_json::Value::Null,
                why: String::new(),
                by_hand: false,
            };
            desk.append(person.id, &record, &once).await.expect("accepted");
        }
        3 => {
            let line = desk.person(person.id).await.expect("there");
            let done = match line.person.state {
                PersonState::Open => desk.close_person(&line, "moved away", &once).await,
                PersonState::Closed { .. } => desk.reopen_person(&line, "came back", &once).await,
            };
            done.expect("closed or opened");
            person.open = !person.open;
        }
        4 if chance.below(3) == 0 => {
            let mut settings = desk.settings().await.expect("settings");
            settings.nothing_logged_days = 2 + i32::try_from(chance.below(10)).unwrap_or(0);
            desk.save_settings(&settings, &once).await.expect("saved");
        }
        5 if !person.logs.is_empty() => {
            let which = chance.below(person.logs.len() as u64) as usize;
            let (record, now_is) = &mut person.logs[which];
            if now_is.is_some() {
                let body = log(chance, now);
                *record =
                    desk.correct(person.id, *record, &body, "misheard", &once).await.expect("corrected");
                *now_is = Some(body);
            }
        }
        6 if !person.logs.is_empty() => {
            let which = chance.below(person.logs.len() as u64) as usize;
            let (record, now_is) = &mut person.logs[which];
            if now_is.take().is_some() {
                desk.withdraw(person.id, *record, "of somebody else", &once).await.expect("taken back");
            }
        }
        7 if chance.below(2) == 0 => look_at(desk, person.id, &once).await,
        // So many logs are relied on.
        _ if person.logs.len() < 8 => {
            let body = log(chance, now);
            let record = desk.append(person.id, &body, &once).await.expect("stored");
            person.logs.push((record, Some(body)));
        }
        _ => {}
    }
}

/// Pain that rose by the threshold of the clinic, by hand: 2 of 10 in `reference/workbench.toml`.
fn rises(list: &[Attention], person: &Plain) -> Option<(u8, u8, Date)> {
    let one = list.iter().find(|one| one.person == person.id)?;
    one.reasons.iter().find_map(|reason| match reason {
        Reason::PainRising { from, to, on } => Some((*from, *to, *on)),
        _ => None,
    })
}

/// The stops that Today tells of somebody.
fn stopped(list: &[Attention], person: PersonId) -> Vec<Stop> {
    let of = list.iter().filter(|one| one.person == person).flat_map(|one| &one.reasons);
    let mut out: Vec<Stop> = Vec::new();
    for reason in of {
        if let Reason::Stopped(stop) = reason {
            out.push(stop.clone());
        }
    }
    out
}

#[tokio::test]
async fn today_kept_up_to_date_is_today_read_anew_on_any_history() {
    let (mut pains, mut stops) = (0, 0);
    for seed in 1..=6 {
        let days = Arc::new(AtomicI64::new(0));
        let (clinic, desk) = at_work(&days).await;
        let (mut chance, mut people) = (Chance(seed * 7919), Vec::new());
        for n in 0..60 {
            step(&desk, &mut chance, &days, &mut people, n).await;
            // Not after each, so that several entries, days and settings come together.
            if chance.below(4) != 0 {
                continue;
            }
            let kept = today(&desk).await;
            clinic.forget_all();
            assert_eq!(kept, today(&desk).await, "seed {seed}, step {n}");
            for person in &people {
                let case = desk.standing(person.id).await.expect("a standing").case.is_some();
                let should = person.last_two().filter(|(_, from, to)| *to >= from + 2);
                let should = should.filter(|_| case && person.open).map(|(on, from, to)| (from, to, on));
                assert_eq!(rises(&kept, person), should, "seed {seed}, step {n}");
                pains += usize::from(should.is_some());
                let standing = desk.stops(person.id).await.expect("readable");
                let standing = if person.open { standing } else { Vec::new() };
                assert_eq!(stopped(&kept, person.id), standing, "seed {seed}, step {n}");
                stops += standing.len();
            }
        }
        clinic.close().await.expect("closed");
    }
    assert!(pains >= 12, "the histories show pain that rises: {pains}");
    assert!(stops >= 12, "the histories show stop signs that nobody looked at: {stops}");
}

#[tokio::test]
async fn a_stop_sign_stands_in_today_whatever_was_logged_after_it_until_a_clinician_has_looked() {
    let days = Arc::new(AtomicI64::new(0));
    let (clinic, desk) = at_work(&days).await;
    let person = PersonRecord::from_typed("Invented", "", "", FIRST).expect("a name");
    let id = desk.add_person(&person, "new").await.expect("added");
    let told = PracticeRecord {
        stopped: Some(StopSign::SeenToday),
        ..PracticeRecord::bare(FIRST.saturating_sub(20.days()), LogSource::Paper)
    };
    desk.append(id, &told, "told").await.expect("stored");
    // A page of paper is tapped in after it: two weeks, twice a day.
    for n in 0..28 {
        let log = PracticeRecord::bare(FIRST.saturating_sub((14 - n / 2).days()), LogSource::Paper);
        desk.append(id, &log, &format!("paper-{n}")).await.expect("stored");
    }
    for anew in [false, true] {
        if anew {
            clinic.forget_all();
        }
        let list = today(&desk).await;
        let one = list.iter().find(|one| one.person == id).expect("named");
        let Reason::Stopped(stop) = &one.reasons[0] else { panic!("{:?}", one.reasons) };
        assert_eq!((stop.on, stop.sign), (told.on, Some(StopSign::SeenToday)));
    }
    look_at(&desk, id, "looked").await;
    assert_eq!(stopped(&today(&desk).await, id), []);
}

#[tokio::test]
async fn parts_of_today_put_together_are_the_whole_of_it() {
    let (_clinic, desk) = at_work(&Arc::new(AtomicI64::new(0))).await;
    let whole = desk.attention(0, usize::MAX).await.expect("Today");
    assert!(whole.some.len() >= 3 && whole.needing == whole.some.len() && whole.people == 13);
    let mut together = Vec::new();
    for from in (0..whole.needing).step_by(2) {
        together.extend(desk.attention(from, 2).await.expect("a part").some);
    }
    assert_eq!(together, whole.some);
    assert!(desk.attention(whole.needing, 4).await.expect("beyond the end").some.is_empty());
}

#[tokio::test]
async fn a_large_clinic_is_read_beside_the_pages_and_an_entry_shows_at_once_meanwhile() {
    let (clinic, desk) = at_work(&Arc::new(AtomicI64::new(0))).await;
    let newcomer = |n: usize| clinic::Newcomer {
        person: PersonRecord::from_typed(&format!("Invented {n}"), "", "", FIRST).expect("a name"),
        case: Some(app::demo_cases()[n % 13].text.to_owned()),
        measures: None,
        programme: None,
        logs: Vec::new(),
        once: format!("many-{n}"),
    };
    let many: Vec<clinic::Newcomer> = (0..400).map(newcomer).collect();
    let ids = desk.bring_in(&many).await.expect("brought in");
    clinic.forget_all();
    let first = desk.attention(0, 10).await.expect("Today");
    let (read, of) = first.reading.expect("400 people are not read while a page waits");
    assert!(read < of && of == 413, "{read} of {of}");
    // The first by age, who is read last.
    let flagged = app::demo_cases()[12].text;
    desk.save_case(ids[0], flagged, "flagged").await.expect("saved");
    let list = desk.attention(0, usize::MAX).await.expect("Today").some;
    let one = list.iter().find(|one| one.person == ids[0]).expect("named at once");
    assert_eq!(one.reasons, [Reason::RedFlag]);
    while desk.attention(0, 0).await.expect("Today").reading.is_some() {
        tokio::time::sleep(std::time::Duration::from_millis(5)).await;
    }
    let kept = today(&desk).await;
    assert!(kept.iter().any(|one| one.person == ids[0] && one.reasons == [Reason::RedFlag]));
    let (found, count) = desk.find_people("invented 39", 5).await.expect("found");
    assert_eq!((found.len(), count), (5, 14), "39, 139, 239, 339 and 390 to 399");
}
