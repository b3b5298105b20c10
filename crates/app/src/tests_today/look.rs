//! Whether one test may be offered to one person today: the gates, and what a task asks beside its movement.

use std::collections::HashMap;
use std::sync::{Arc, Mutex, PoisonError};

use anatomy::Side;
use measurement::{Instrument, InstrumentKey, Per, StanceDirection};
use movement::{Crossing, Family};
use person::{Aid, Finding, Involved};
use quantity::Length;
use safety::{Blocked, FindingKey, Layer, Looked, Ray, Refusal, SurveyedRay, shelf_life, table_of};

use super::table::{As, Row, Weight, row, table};
use super::{Caution, Nearest, floor};
use crate::PersonToday;

/// What is asked for: a test, with the limb and direction where it has them.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub(super) struct Which {
    pub(super) instrument: InstrumentKey,
    pub(super) limb: Option<Side>,
    pub(super) direction: Option<StanceDirection>,
}

/// What the gates say.
#[derive(Clone, Debug, PartialEq)]
pub(super) enum Look {
    /// It may be done.
    Open { first: Option<Length>, up_to: Option<Length>, cautions: Vec<Caution> },
    /// It may not.
    Shut(Vec<Refusal>),
}

impl Look {
    pub(super) fn open(cautions: Vec<Caution>) -> Self {
        Self::Open { first: None, up_to: None, cautions }
    }

    pub(super) fn is_open(&self) -> bool {
        matches!(self, Self::Open { .. })
    }

    /// With one more caution.
    pub(super) fn beside(mut self, rule: &str, words: &str) -> Self {
        if let Self::Open { cautions, .. } = &mut self {
            cautions.push(Caution { rule: rule.to_owned(), words: words.to_owned() });
        }
        self
    }

    /// Both of two: closed by either, as far as the shorter.
    pub(super) fn and(self, other: Self) -> Self {
        let shorter = |a: Option<Length>, b: Option<Length>| a.into_iter().chain(b).reduce(Length::min);
        match (self, other) {
            (Self::Shut(mut a), Self::Shut(b)) => {
                a.extend(b);
                Self::Shut(a)
            }
            (Self::Shut(by), Self::Open { .. }) | (Self::Open { .. }, Self::Shut(by)) => Self::Shut(by),
            (Self::Open { first: f, up_to: u, cautions: mut c }, Self::Open { first, up_to, cautions }) => {
                c.extend(cautions);
                Self::Open { first: shorter(f, first), up_to: shorter(u, up_to), cautions: c }
            }
        }
    }

    /// Every reason and caution once; what a joint would do before what a rung says.
    fn in_order(mut self) -> Self {
        fn once<T: PartialEq>(all: &mut Vec<T>) {
            let mut kept: Vec<T> = Vec::with_capacity(all.len());
            for one in all.drain(..) {
                if !kept.contains(&one) {
                    kept.push(one);
                }
            }
            *all = kept;
        }
        match &mut self {
            Self::Open { cautions, .. } => once(cautions),
            Self::Shut(reasons) => {
                once(reasons);
                reasons.sort_by_key(telling);
            }
        }
        self
    }
}

/// One person's tests today; what was looked at before is remembered.
pub(super) struct Asker<'a> {
    pub(super) person: &'a PersonToday<'a>,
    rays: Mutex<HashMap<String, Arc<SurveyedRay>>>,
    looks: Mutex<HashMap<Which, Look>>,
}

impl<'a> Asker<'a> {
    pub(super) fn of(person: &'a PersonToday<'a>) -> Self {
        Self { person, rays: Mutex::default(), looks: Mutex::default() }
    }

    /// A ray, surveyed once.
    pub(super) fn surveyed(&self, ray: &Ray) -> Arc<SurveyedRay> {
        let key = format!("{ray:?}");
        if let Some(known) = self.rays.lock().unwrap_or_else(PoisonError::into_inner).get(&key) {
            return Arc::clone(known);
        }
        let found = Arc::new(floor::survey(self.person, ray.clone()));
        let mut rays = self.rays.lock().unwrap_or_else(PoisonError::into_inner);
        Arc::clone(rays.entry(key).or_insert(found))
    }

    /// The gates about one test.
    pub(super) fn look(&self, which: Which) -> Look {
        if let Some(known) = self.looks.lock().unwrap_or_else(PoisonError::into_inner).get(&which) {
            return known.clone();
        }
        let look = self.look_now(which).in_order();
        self.looks.lock().unwrap_or_else(PoisonError::into_inner).insert(which, look.clone());
        look
    }

    fn look_now(&self, which: Which) -> Look {
        let test = which.instrument.instrument();
        let row = row(which.instrument);
        let mut look = match row {
            // A question stands on no leg.
            None => Look::open(Vec::new()),
            Some(row) if !row.parts.is_empty() => self.parts(which, row),
            Some(row) => self.floor(which, row).and(self.asks(which, test, row)),
        };
        if let Some(row) = row {
            if row.movement == Some(As::Hop)
                && let Some(words) = landed_lately(self.person)
            {
                look = look.beside("IMPACT-DAYS", &words);
            }
            if !row.words.is_empty() {
                look = look.beside("TEST", &row.words);
            }
            if let (Some(motion), Some(limb)) = (row.pushes(), which.limb) {
                for limit in self.person.allowed.limits_on(limb, motion.coordinate.joint()) {
                    look = look.beside("LIMIT", &format!("the position stays within {limit}"));
                }
            }
        }
        let decided = row.is_some_and(|row| row.decides_not_for);
        if !test.not_for.is_empty() && !decided {
            look = look.beside("NOT-FOR", &format!("not for {}", test.not_for));
        }
        look
    }

    /// A test that is computed from others is as open as all of them.
    fn parts(&self, which: Which, row: &Row) -> Look {
        row.parts()
            .flat_map(every)
            .filter(|part| which.limb.is_none() || part.limb == which.limb)
            .map(|part| {
                let name = part.direction.map_or_else(
                    || part.instrument.instrument().name.clone(),
                    |direction| direction.to_string(),
                );
                match self.look(part) {
                    Look::Open { up_to: Some(to), .. } => {
                        let words = format!("{name} stops at {to}: the whole is a lower limit");
                        Look::open(Vec::new()).beside("PART", &words)
                    }
                    // How its parts are done is said where they are offered.
                    Look::Open { .. } => Look::open(Vec::new()),
                    shut @ Look::Shut(_) => shut,
                }
            })
            .reduce(Look::and)
            .unwrap_or(Look::Shut(Vec::new()))
    }

    /// The movement that stands for the test.
    fn floor(&self, which: Which, row: &Row) -> Look {
        let person = self.person;
        match (row.movement, which.limb, which.direction) {
            (Some(As::Reach), Some(limb), Some(direction)) => self.reach(limb, direction),
            (Some(As::HandReach), ..) => self.hands(row),
            (Some(As::Stance), Some(limb), _) => stance(person, limb),
            (Some(As::StanceEyesClosed), Some(limb), _) => floor::stance(person, limb, Family::Reach),
            (Some(As::InLine), ..) => floor::in_line(person),
            (Some(As::Steps), ..) => floor::steps(person, &row.ways),
            (Some(As::OwnWalk), ..) => floor::own_walk(person, &which.instrument.instrument().name),
            (Some(As::Walk), ..) => floor::walk(person, false),
            (Some(As::Stairs), ..) => floor::walk(person, true),
            (Some(As::Hop), Some(limb), _) => floor::hop(person, limb, row),
            // No movement: what it asks of weight and joints decides.
            (None, ..) => Look::open(Vec::new()),
            (Some(As::Reach | As::Stance | As::StanceEyesClosed | As::Hop), ..) => Look::Shut(Vec::new()),
        }
    }

    fn reach(&self, limb: Side, direction: StanceDirection) -> Look {
        let ways: Vec<(Crossing, Look)> = floor::reach_rays(limb, direction)
            .iter()
            .map(|ray| (ray.crossing, floor::of_ray(self.person, &self.surveyed(ray))))
            .collect();
        // Without a limit before with one, then the longer.
        let better = |look: &Look| match look {
            Look::Open { up_to: None, .. } => f64::INFINITY,
            Look::Open { up_to: Some(to), .. } => to.in_cm(),
            Look::Shut(_) => f64::NEG_INFINITY,
        };
        let best = ways.iter().reduce(|a, b| if better(&b.1) > better(&a.1) { b } else { a });
        match best {
            Some((crossing, look @ Look::Open { .. })) => match way(*crossing) {
                Some(words) => {
                    look.clone().beside("WAY", &format!("the foot passes {words} the standing leg"))
                }
                None => look.clone(),
            },
            _ => ways.into_iter().map(|(_, look)| look).reduce(Look::and).unwrap_or(Look::Shut(Vec::new())),
        }
    }

    /// Open when one hand may go out in one direction; what is closed or limited is said.
    fn hands(&self, row: &Row) -> Look {
        let looks: Vec<(Ray, Look)> = floor::hand_rays(&row.ways)
            .into_iter()
            .map(|ray| {
                let look = floor::of_ray(self.person, &self.surveyed(&ray));
                (ray, look)
            })
            .collect();
        if looks.iter().all(|(_, look)| !look.is_open()) {
            return looks
                .into_iter()
                .map(|(_, look)| look)
                .reduce(Look::and)
                .unwrap_or(Look::Shut(Vec::new()));
        }
        let mut out = Look::open(Vec::new());
        for (ray, look) in &looks {
            let name = format!("{} hand, {}", ray.mover, ray.direction().0);
            match look {
                Look::Shut(by) => {
                    let because = by.first().map_or_else(String::new, ToString::to_string);
                    out = out.beside("WAY", &format!("not the {name}: {because}"));
                }
                Look::Open { up_to: Some(to), .. } => {
                    out = out
                        .beside("WAY", &format!("the {name}: stop at {to} from the centre between the feet"));
                }
                Look::Open { .. } => {}
            }
        }
        out
    }

    /// What a test asks beside its movement: rung, weight, angles, full effort, a turn, no frame.
    fn asks(&self, which: Which, test: &Instrument, row: &Row) -> Look {
        let (person, allowed) = (self.person, &self.person.allowed);
        let limbs: Vec<Side> = which.limb.map_or_else(|| Side::BOTH.to_vec(), |limb| vec![limb]);
        let mut by = Vec::new();
        if row.movement.is_none() {
            by.extend(allowed.closed_but_for_weight());
        }
        let legs = if row.weight == Some(Weight::Both) { Side::BOTH.to_vec() } else { limbs.clone() };
        if let Some(level) = row.level {
            by.extend(legs.iter().flat_map(|leg| allowed.why_level_shut(*leg, level)));
        }
        if row.weight.is_some() {
            by.extend(legs.iter().filter_map(|leg| allowed.why_weight_shut(*leg, &test.name)));
        }
        for (limb, bend) in limbs.iter().flat_map(|limb| row.bends.iter().map(move |bend| (limb, bend))) {
            by.extend(allowed.why_bend_shut(&test.name, *limb, bend.bend()));
        }
        if row.pushes().is_some() {
            by.extend(limbs.iter().flat_map(|limb| full_effort(person, *limb, test)));
        }
        if row.turns {
            by.extend(limbs.iter().flat_map(|limb| floor::turning(person, *limb)));
        }
        if row.no_frame {
            by.extend(frame(person, test));
        }
        if by.is_empty() { Look::open(Vec::new()) } else { Look::Shut(by) }
    }

    /// What may be offered instead: other directions of the same test, then the row's own list, on the same
    /// limb, the direction next to the one that was asked for first.
    pub(super) fn nearest(&self, which: Which) -> Option<Nearest> {
        let row = row(which.instrument)?;
        std::iter::once(which.instrument).chain(row.nearest()).find_map(|instrument| {
            let test = instrument.instrument();
            let limb = if test.per == Per::Person { None } else { which.limb };
            let mut ways: Vec<Which> = every(instrument).filter(|w| w.limb == limb && *w != which).collect();
            if let Some(asked) = which.direction {
                // Which side stands does not matter for the angle between two directions.
                let off = |way: &Which| {
                    way.direction.map_or(0, |to| to.bearing(Side::Right).angle_to(asked.bearing(Side::Right)))
                };
                ways.sort_by_key(off);
            }
            ways.into_iter().find_map(|way| match self.look(way) {
                Look::Open { up_to, .. } => Some(Nearest {
                    instrument,
                    name: test.name.clone(),
                    limb: way.limb,
                    direction: way.direction,
                    up_to,
                }),
                Look::Shut(_) => None,
            })
        })
    }
}

/// Every limb and direction of a test, in order.
pub(super) fn every(instrument: InstrumentKey) -> impl Iterator<Item = Which> {
    let test = instrument.instrument();
    let limbs: Vec<Option<Side>> =
        if test.per == Per::Person { vec![None] } else { Side::BOTH.map(Some).to_vec() };
    let directions: Vec<Option<StanceDirection>> = if test.directions.is_empty() {
        vec![None]
    } else {
        test.directions.iter().copied().map(Some).collect()
    };
    limbs
        .into_iter()
        .flat_map(move |limb| directions.clone().into_iter().map(move |direction| (limb, direction)))
        .map(move |(limb, direction)| Which { instrument, limb, direction })
}

/// Standing on one leg. What only waits for this very result does not close it: the gates are asked again as
/// if both legs had stood as long as the test lasts.
fn stance(person: &PersonToday<'_>, limb: Side) -> Look {
    let now = floor::stance(person, limb, Family::Step);
    let Look::Shut(by) = &now else { return now };
    let test = InstrumentKey::find("stance_eyes_open").ok().map(InstrumentKey::instrument);
    let Some(longest) = test.and_then(|test| test.cap) else { return now };
    let mut case = person.case.clone();
    for side in Side::BOTH {
        *case.findings.single_leg_stance.get_mut(side) = Finding::Found { value: longest, on: person.today };
    }
    let as_if = floor::stance(&PersonToday::of(&case, person.today), limb, Family::Step);
    if !as_if.is_open() {
        return now;
    }
    let rules: Vec<&str> = by.iter().map(|refusal| refusal.rule.as_str()).collect();
    let words = format!(
        "{} waits for this very result: a hand stays by the support, and nothing else is done without a hand before the result is entered",
        rules.join(", ")
    );
    as_if.beside("ITS-OWN-RESULT", &words)
}

/// Landings of the last days, which a programme would wait for.
fn landed_lately(person: &PersonToday<'_>) -> Option<String> {
    let last = person.case.last_programme.last_jumps?;
    let days = programme::figures().days_between_impacts;
    let since = person.today.since(last).ok()?.get_days();
    (since < i32::from(days)).then(|| {
        format!("leaps, jumps or hops were done on {last}, and {days} days lie from one such day to the next")
    })
}

/// Red flags first, then orders, then what a joint would do, other rules, and last the rungs.
fn telling(refusal: &Refusal) -> u8 {
    match (refusal.layer, &refusal.blocked) {
        (Layer::RedFlag, _) => 0,
        (Layer::SurgeonOrder, _) => 1,
        (_, Blocked::JointAngle { .. }) => 2,
        (_, Blocked::Level { .. } | Blocked::NotAssessed { .. }) => 4,
        _ => 3,
    }
}

fn way(crossing: Crossing) -> Option<&'static str> {
    match crossing {
        Crossing::None => None,
        Crossing::InFront => Some("in front of"),
        Crossing::Behind => Some("behind"),
    }
}

/// After an operation on this limb full effort waits for the surgeon's word.
fn full_effort(person: &PersonToday<'_>, limb: Side, test: &Instrument) -> Vec<Refusal> {
    let rule = &table().full_effort;
    let findings = &person.case.findings;
    findings
        .conditions
        .iter()
        .filter(|condition| {
            let involved = condition.involved();
            let operated = table_of(condition).is_some_and(|key| rule.conditions.iter().any(|c| c == key));
            operated && (involved == Involved::General || involved.includes(limb))
        })
        .filter_map(|condition| match rule.criterion.look(findings, condition.involved(), person.today) {
            Looked::Holds { .. } => None,
            Looked::NotEnough { words, .. } | Looked::NotAssessed { words, .. } => Some(Refusal {
                rule: rule.rule.clone(),
                layer: Layer::DefaultPreset,
                blocked: Blocked::NotAssessed { finding: FindingKey::SurgeonReview.words().to_owned() },
                reason: format!(
                    "{}, {limb} limb, is closed: {} ({words}).",
                    sentence(&test.name),
                    rule.words
                ),
                source: "own".to_owned(),
                until: None,
                opens_when: rule.opens_when.clone(),
            }),
        })
        .collect()
}

/// A test that nobody with a walking frame does.
fn frame(person: &PersonToday<'_>, test: &Instrument) -> Option<Refusal> {
    let aid = person.case.findings.aid.on(person.today, shelf_life(FindingKey::AidsHeld));
    let (blocked, found) = match aid.current() {
        Some(Aid::WalkingFrame) => (Blocked::Support, "a walking frame was recorded"),
        Some(_) => return None,
        None => (
            Blocked::NotAssessed { finding: "walking aid".to_owned() },
            "the walking aid was not assessed, or too long ago",
        ),
    };
    Some(Refusal {
        rule: "NOT-FOR".to_owned(),
        layer: Layer::DefaultPreset,
        blocked,
        reason: format!("{} is not for {}: {found}.", sentence(&test.name), test.not_for),
        source: test.source.clone(),
        until: None,
        opens_when: "the person is seen to step without a frame".to_owned(),
    })
}

fn sentence(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}
