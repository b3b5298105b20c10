//! Invented people from a seed: the same seed gives the same clinic, whoever makes it.

use clinic::{
    Desk, Done, LogSource, MeasuresRecord, Newcomer, PersonRecord, PersonState, PracticeItem, PracticeRecord,
    ProgrammeRecord, Role,
};
use jiff::ToSpan;
use jiff::civil::Date;
use movement::{AnatomicalDirection, Bearing, Crossing, Family};

/// The name that created the records.
pub const FIRST: &str = "Imre";
/// The passphrase of every account of the load.
pub const PASSPHRASE: &str = "gravel lantern seven boats";

/// A small generator, so that a run can be repeated.
pub struct Chance(u64);

impl Chance {
    /// Begins with a seed.
    pub fn new(seed: u64) -> Self {
        Self(seed.wrapping_mul(0x9e37_79b9_7f4a_7c15) ^ 0x5851_f42d_4c95_7f2d)
    }

    /// A number below `end`.
    pub fn below(&mut self, end: u64) -> u64 {
        self.0 = self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        (self.0 >> 33) % end
    }
}

/// How large, and from which seed.
#[derive(Clone, Copy)]
pub struct Size {
    /// People.
    pub people: usize,
    /// Practice entries of each.
    pub logs: usize,
    /// Clinicians beside the first.
    pub clinicians: usize,
    /// The last log of somebody is fewer days ago than this.
    pub silent_days: u64,
    /// The seed.
    pub seed: u64,
    /// Whether everybody has the programme that is proposed for their case; working them out takes a while.
    pub programmes: bool,
}

const GIVEN: [&str; 16] = [
    "Abel", "Brisa", "Corin", "Dagny", "Eluned", "Faro", "Gesine", "Hale", "Isolde", "Jorun", "Kester",
    "Linnea", "Marek", "Nerys", "Orla", "Piet",
];
const FAMILY: [&str; 16] = [
    "Ashgrove",
    "Birkdal",
    "Cordwain",
    "Drystone",
    "Elmhirst",
    "Fennick",
    "Gorsedale",
    "Hollin",
    "Ingleby",
    "Jarrow",
    "Kelpman",
    "Larkrise",
    "Mossley",
    "Netherby",
    "Oakum",
    "Pellow",
];

/// What the account with this number signs in with.
pub fn clinician(number: usize) -> String {
    format!("Clinician {number}")
}

/// Where everybody begins: one of the cases that come with the program, with what goes with it.
struct Pattern {
    text: &'static str,
    name: String,
    day: Date,
    mass: &'static str,
    measures: Option<MeasuresRecord>,
    programme: Option<ProgrammeRecord>,
}

fn patterns(programmes: bool) -> Vec<Pattern> {
    let measures = app::demo_measures();
    let all = app::demo_cases().iter().map(|demo| {
        let case = demo.read().expect("a case of ours");
        let day = app::day_of(&case, None, case.visit);
        let name = format!("measures/{}", demo.file);
        let text = measures.iter().find(|one| one.file == name).map(|one| one.text);
        let mass = demo.text.lines().find(|line| line.starts_with("mass = ")).expect("a mass");
        // A measurement that names a recording would need that too.
        let measures = text
            .filter(|text| !text.contains(".csv"))
            .map(|text| MeasuresRecord { text: text.to_owned(), recordings: Vec::new() });
        Pattern {
            text: demo.text,
            name: case.person.name.clone(),
            day,
            mass,
            measures,
            programme: programmes.then(|| programme(&case, day)).flatten(),
        }
    });
    all.collect()
}

/// The programme that is proposed first, as it would be accepted.
fn programme(case: &person::CaseFile, day: Date) -> Option<ProgrammeRecord> {
    let app::Outcome::Programme(plan) = app::plan_case(case, day, &app::silent) else { return None };
    let exercises = plan.programme.exercises.iter();
    Some(ProgrammeRecord {
        for_day: plan.programme.for_day,
        use_until: plan.programme.use_until,
        exercises: exercises
            .map(|one| one.movements().map(|movement| app::sentence_kept(movement.spec())).collect())
            .collect(),
        json: app::programme_json(&plan, case, &app::handout_of_plan(&plan, case, day)),
        why: plan.programme.why.join(" "),
        by_hand: false,
    })
}

fn log(chance: &mut Chance, on: Date) -> PracticeRecord {
    let pain = u8::try_from(chance.below(4)).unwrap_or(0);
    let items = anatomy::Side::BOTH.into_iter().flat_map(|mover| {
        let ways = [AnatomicalDirection::Anterior, AnatomicalDirection::Lateral];
        ways.map(|way| PracticeItem {
            exercise: 1,
            family: Family::Step,
            mover,
            bearing: Bearing::of(way, mover),
            crossing: Crossing::None,
            distance_cm: Some(30.0),
            done: Done::Done,
            pain: Some(pain),
            rung: None,
            settled: None,
        })
    });
    PracticeRecord {
        pain_before: Some(pain),
        items: items.collect(),
        remark: "all of it, as on the sheet".to_owned(),
        ..PracticeRecord::bare(on, LogSource::ALL[chance.below(5) as usize])
    }
}

fn newcomer(number: usize, size: Size, patterns: &[Pattern]) -> Newcomer {
    let mut chance = Chance::new(size.seed ^ (number as u64) << 20);
    let pattern = &patterns[number % patterns.len()];
    let part = |all: &[&str; 16], chance: &mut Chance| all[chance.below(16) as usize].to_owned();
    let name = format!("{} {} {number}", part(&GIVEN, &mut chance), part(&FAMILY, &mut chance));
    // Another mass is another body: what was computed for one is of no use to the next.
    let mass = format!("mass = \"{} kg\"", 50 + chance.below(60));
    let text = pattern.text.replace(pattern.mass, &mass);
    let text = text.replace(&format!("name = \"{}\"", pattern.name), &format!("name = \"{name}\""));
    let last = pattern.day.saturating_sub(i64::try_from(chance.below(size.silent_days)).unwrap_or(0).days());
    let logs = (0..size.logs).rev().map(|ago| {
        let on = last.saturating_sub(i64::try_from(ago).unwrap_or(0).days());
        log(&mut chance, on)
    });
    Newcomer {
        logs: logs.collect(),
        person: PersonRecord { name, born: None, number: format!("N-{number}"), state: PersonState::Open },
        case: Some(text),
        measures: pattern.measures.clone(),
        programme: pattern.programme.clone(),
        once: format!("load-{number}"),
    }
}

/// Fills new records; `say` is told how many people are in after each part.
pub async fn fill(desk: &Desk, size: Size, say: impl Fn(usize)) {
    for number in 1..=size.clinicians {
        let made = desk.create_account(&clinician(number), Role::Clinician, PASSPHRASE).await;
        made.unwrap_or_else(|error| panic!("{}: {error}", clinician(number)));
    }
    let patterns = patterns(size.programmes);
    for start in (0..size.people).step_by(50) {
        let end = size.people.min(start + 50);
        let some: Vec<Newcomer> = (start..end).map(|number| newcomer(number, size, &patterns)).collect();
        desk.bring_in(&some).await.unwrap_or_else(|error| panic!("{start}: {error}"));
        say(end);
    }
}
