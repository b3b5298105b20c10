//! The next step up, the step back and the way to the side of a movement, each permitted by both gates.
//!
//! With `d_m` the estimated demand of joint motion `m` of one leg and `m*` the motion with the
//! largest known demand now: a change is felt when `d_m*` afterwards is more (back: less) by more
//! than the band of the difference. Of each kind of change (`programme::steps`) the smallest that is
//! permitted and felt is told; where none is felt up to the ceiling, the change at the ceiling, and
//! that the estimate cannot tell it from now. First comes what is felt with the least change of
//! `d_m*`. To the side: another direction of the same limb whose `max_m d_m` differs from now by no
//! more than the named points of capacity, the nearest first.

use std::cmp::Ordering;

use anatomy::{JointMotion, Side};
use biomech::{Beside, Demand, Demands};
use jiff::civil::Date;
use movement::{MovementSpec, Support};
use person::CaseFile;
use programme::{
    Candidate, Changed, Exercise, HeldDirection, InPlace, Limits, Way, floor_needed, in_its_place,
    step_ceilings, steps, to_other_sides,
};
use quantity::Length;
use safety::Engine;
use serde::Serialize;

use crate::candidates::{permit, unsteady};
use crate::held;
use crate::survey::on_all_cores;
use crate::{Outcome, PersonToday, Progress, SentenceError, SentenceReader, plan_case};

/// One movement beside the one now. Every figure is an estimate.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Neighbour {
    /// What is changed; absent to the side.
    pub changed: Option<Changed>,
    /// The movement.
    pub movement: MovementSpec,
    /// The movement as a sentence.
    pub sentence: String,
    /// Which joint motion is compared: the hardest-working one now; to the side, that of the neighbour.
    pub compared: Option<String>,
    /// Its demand, per cent of capacity; absent where the capacity is unknown.
    pub percent: Option<f64>,
    /// How it stands beside now.
    pub beside: Beside,
    /// Change of the margin to the edge of the base, centimetres; less is harder to balance.
    pub margin_change_cm: f64,
}

/// A kind of change of which there is none, and why.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct NotFound {
    /// Up or back.
    pub way: Way,
    /// Of what.
    pub changed: Changed,
    /// The first that was tried, as a sentence.
    pub tried: String,
    /// Why not.
    pub because: String,
}

/// One movement with its neighbours.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Around {
    /// The movement now.
    pub movement: MovementSpec,
    /// The movement as a sentence.
    pub sentence: String,
    /// Why it is refused today; absent when it is permitted. Without a permitted movement there is
    /// nothing to step from.
    pub refused: Option<String>,
    /// What can be done in its place, where it is left out because it hurt.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub in_place: Option<InPlace>,
    /// The hardest-working joint motion now; absent where no capacity is known.
    pub hardest: Option<String>,
    /// Its demand, per cent of capacity.
    pub percent: Option<f64>,
    /// One step up, the proposed one first.
    pub up: Vec<Neighbour>,
    /// One step back, the proposed one first.
    pub back: Vec<Neighbour>,
    /// The same demand in other directions, the nearest first.
    pub sideways: Vec<Neighbour>,
    /// Kinds of change of which none is permitted.
    pub none: Vec<NotFound>,
}

/// Movements of one person with their neighbours.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Neighbours {
    /// The person.
    pub person: String,
    /// Whether the person is invented.
    pub invented: bool,
    /// The day.
    pub on: Date,
    /// Directions that are held because they hurt, with what takes the place of each in today's programme.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub in_place: Vec<InPlace>,
    /// Each movement.
    pub movements: Vec<Around>,
}

/// Why there are no neighbours.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum NeighboursError {
    /// A red flag: the alert and nothing else may be shown.
    #[error("{0}")]
    Alert(safety::Alert),
    /// The sentence is not a movement.
    #[error("{0}")]
    Sentence(#[from] SentenceError),
    /// There is no programme today whose movements could have neighbours.
    #[error("{0}")]
    NoProgramme(#[from] programme::NoProgramme),
}

/// Neighbours of the movement of this sentence, or of every movement of today's programme.
///
/// # Errors
/// A red flag is present, the sentence does not read, or there is no programme today.
pub fn neighbours_case(
    case: &CaseFile,
    today: Date,
    sentence: Option<&str>,
    progress: Progress<'_>,
) -> Result<Neighbours, NeighboursError> {
    let person = PersonToday::of(case, today);
    if let Some(alert) = person.allowed.alert() {
        return Err(NeighboursError::Alert(alert.clone()));
    }
    let limits = person.limits();
    let mut in_place = Vec::new();
    let specs = match sentence {
        Some(sentence) => {
            vec![SentenceReader { body: &person.body, supports: &limits.supports }.read(sentence)?]
        }
        None => match plan_case(case, today, progress) {
            Outcome::Programme(plan) => {
                in_place.clone_from(&plan.programme.in_place);
                let all = plan.programme.exercises.iter().flat_map(Exercise::movements);
                all.map(|m| m.spec().clone()).collect()
            }
            Outcome::NoProgramme(none) => return Err(NeighboursError::NoProgramme(none)),
            Outcome::Alert(alert) => return Err(NeighboursError::Alert(alert)),
        },
    };
    Ok(Neighbours {
        person: case.person.name.clone(),
        invented: case.invented,
        on: today,
        in_place,
        movements: on_all_cores(&specs, |spec| neighbours_of(&person, &limits, spec)),
    })
}

/// The neighbours of one movement of a person today. The same input gives the same answer.
#[must_use]
pub fn neighbours_of(person: &PersonToday<'_>, limits: &Limits, spec: &MovementSpec) -> Around {
    let mut around = Around {
        movement: spec.clone(),
        sentence: spec.sentence(),
        refused: None,
        in_place: None,
        hardest: None,
        percent: None,
        up: Vec::new(),
        back: Vec::new(),
        sideways: Vec::new(),
        none: Vec::new(),
    };
    let engine = Engine { body: &person.body, capacity: &person.capacity };
    let now = match permit(person, &engine, spec, None) {
        Ok(now) => now,
        Err(because) => {
            around.refused = Some(because);
            around.in_place = in_place(person, limits, engine, spec, &[]);
            return around;
        }
    };
    let search = Search { person, limits, engine, hardest: hardest(&now.demands, spec.mover), now: &now };
    around.hardest = search.hardest.map(|h| format!("{} {}", h.side, h.motion));
    around.percent = search.hardest.map(|h| h.percent());
    for way in [Way::Up, Way::Back] {
        let mut found = Vec::new();
        for changed in Changed::ALL {
            match search.step(way, changed) {
                Step::Found(neighbour) => found.push(*neighbour),
                Step::None(none) => around.none.push(none),
                Step::DoesNotApply => {}
            }
        }
        search.order(way, &mut found);
        match way {
            Way::Up => around.up = found,
            Way::Back => around.back = found,
        }
    }
    around.sideways = search.sideways();
    around
}

/// The smallest permitted change of one kind that is felt, else the last permitted one; what stands in the way
/// where there is none.
pub(crate) fn one_step(
    person: &PersonToday<'_>,
    limits: &Limits,
    spec: &MovementSpec,
    (way, changed): (Way, Changed),
) -> Result<Neighbour, String> {
    let engine = Engine { body: &person.body, capacity: &person.capacity };
    let now = permit(person, &engine, spec, None)?;
    let search = Search { person, limits, engine, hardest: hardest(&now.demands, spec.mover), now: &now };
    match search.step(way, changed) {
        Step::Found(neighbour) => Ok(*neighbour),
        Step::None(none) => Err(none.because),
        Step::DoesNotApply => Err(NO_SUCH_STEP.to_owned()),
    }
}

/// Said where a movement has no such measure.
pub(crate) const NO_SUCH_STEP: &str = "there is no such step";

/// What can be done in the place of a movement that is left out because it hurt: another direction as
/// far as this one, or as near as a way to the side may be, and none of those that are done already.
pub(crate) fn in_place(
    person: &PersonToday<'_>,
    limits: &Limits,
    engine: Engine<'_>,
    spec: &MovementSpec,
    done: &[MovementSpec],
) -> Option<InPlace> {
    let because = held::because(person, spec)?;
    let case = held::without(person.case, std::slice::from_ref(spec));
    let unhurt = PersonToday::of(&case, person.today);
    let would_be = permit(&unhurt, &engine, spec, None).ok()?;
    let search = Search { person, limits, engine, hardest: None, now: &would_be };
    let nearer = (spec.distance.in_cm() * step_ceilings().sideways_at_least).round();
    let already = |side: &MovementSpec| {
        let way = |s: &MovementSpec| (s.family, s.mover, s.bearing, s.crossing);
        done.iter().any(|one| way(one) == way(side))
    };
    let candidates: Vec<Candidate> = to_other_sides(spec)
        .into_iter()
        .filter(|side| !already(side))
        .filter_map(|side| {
            let as_far = search.permitted(&side, None);
            as_far.or_else(|_| search.permitted(&side.at(Length::cm(nearer)), None)).ok()
        })
        .collect();
    let groups = held::groups(&person.case.wishes.goals);
    let held = HeldDirection { would_be, because };
    Some(in_its_place(&held, &groups, person.allowed.hurt(), &candidates))
}

/// The hardest-working joint motion of a leg.
#[derive(Clone, Copy)]
struct Hardest {
    side: Side,
    motion: JointMotion,
    demand: Demand,
    share: f64,
}

impl Hardest {
    fn percent(self) -> f64 {
        self.share * 100.0
    }
}

/// The largest known demand of the legs; of two as large that of the leg that moves.
fn hardest(demands: &Demands, mover: Side) -> Option<Hardest> {
    [mover, mover.other()]
        .into_iter()
        .flat_map(|side| demands.leg(side).map(move |(motion, demand)| (side, motion, demand)))
        .filter_map(|(side, motion, demand)| {
            demand.share().map(|share| Hardest { side, motion, demand, share: share.in_one() })
        })
        .reduce(|most, next| if next.share > most.share + AS_LARGE { next } else { most })
}

/// Two figures that differ by less are the same figure computed in another order.
const AS_LARGE: f64 = 1e-9;

enum Step {
    Found(Box<Neighbour>),
    None(NotFound),
    DoesNotApply,
}

struct Search<'a> {
    person: &'a PersonToday<'a>,
    limits: &'a Limits,
    engine: Engine<'a>,
    hardest: Option<Hardest>,
    now: &'a Candidate,
}

impl Search<'_> {
    /// Both gates, the home, and a posture that holds a centimetre off.
    fn permitted(&self, spec: &MovementSpec, near: Option<&Candidate>) -> Result<Candidate, String> {
        let limits = self.limits;
        let longest = limits.longest_of_leg.get(&spec.family).copied().unwrap_or(Length::ZERO);
        let longest = if spec.crosses() { longest.min(limits.longest_crossing) } else { longest };
        let longest =
            if spec.support == Support::BothHands { longest.min(limits.longest_held) } else { longest };
        let further = spec.distance > self.now.permitted.spec().distance;
        if further && spec.distance.in_cm() > longest.in_cm() + 1e-6 {
            return Err(format!("no further than {longest} is given for home"));
        }
        let found = permit(self.person, &self.engine, spec, near.map(|c| &c.permitted))?;
        let floor = limits.clear(spec.bearing).length();
        if floor_needed(found.permitted.motion()).in_mm().floor() > floor.in_mm().floor() {
            return Err(format!("it needs more than the {floor} of clear floor at home"));
        }
        match unsteady(self.person, found.permitted.motion()) {
            Some(why) => Err(why),
            None => Ok(found),
        }
    }

    fn beside(&self, then: &Candidate) -> (Option<f64>, Beside) {
        let Some(now) = self.hardest else { return (None, Beside::CannotSay) };
        match then.demands.of(now.side, now.motion) {
            Some(demand) => (demand.share().map(|s| s.in_percent()), demand.beside(now.demand)),
            // The motion does not act any more.
            None => (Some(0.0), Beside::Less),
        }
    }

    fn neighbour(&self, changed: Option<Changed>, then: &Candidate) -> Neighbour {
        let (percent, beside) = self.beside(then);
        let margin = |c: &Candidate| c.permitted.motion().least_balance().in_cm();
        let spec = then.permitted.spec();
        Neighbour {
            changed,
            movement: spec.clone(),
            sentence: spec.sentence(),
            compared: self.hardest.map(|h| format!("{} {}", h.side, h.motion)),
            percent,
            beside,
            margin_change_cm: margin(then) - margin(self.now),
        }
    }

    /// The smallest permitted change of one kind that is felt; else the last permitted one.
    fn step(&self, way: Way, changed: Changed) -> Step {
        let wanted = match way {
            Way::Up => Beside::More,
            Way::Back => Beside::Less,
        };
        let leg = Side::BOTH.map(|side| self.person.body.leg_length(side));
        let leg = leg[0].min(leg[1]);
        let all = steps(self.now.permitted.spec(), way, changed, leg, &self.limits.hand_weights);
        let mut last: Option<Candidate> = None;
        let mut because = None;
        for spec in &all {
            match self.permitted(spec, Some(last.as_ref().unwrap_or(self.now))) {
                Ok(found) => {
                    let felt = self.beside(&found).1 == wanted;
                    last = Some(found);
                    if felt {
                        break;
                    }
                }
                Err(why) => {
                    because = Some((spec.sentence(), why));
                    // A step back may pass what a step down the same way does not: try on.
                    if way == Way::Up {
                        break;
                    }
                }
            }
        }
        match (last, because) {
            (Some(found), _) => Step::Found(Box::new(self.neighbour(Some(changed), &found))),
            (None, Some((tried, because))) => Step::None(NotFound { way, changed, tried, because }),
            (None, None) => Step::DoesNotApply,
        }
    }

    /// What is felt first, the least change of demand first among it; then in the order of the kinds.
    /// What points the wrong way comes last.
    fn order(&self, way: Way, found: &mut [Neighbour]) {
        let now = self.hardest.map_or(0.0, Hardest::percent);
        let (wanted, wrong) = match way {
            Way::Up => (Beside::More, Beside::Less),
            Way::Back => (Beside::Less, Beside::More),
        };
        let rank = |n: &Neighbour| {
            if n.beside == wanted {
                0
            } else if n.beside == wrong {
                2
            } else {
                1
            }
        };
        found.sort_by(|a, b| {
            let change = |n: &Neighbour| n.percent.map_or(0.0, |p| (p - now).abs());
            let felt = rank(a) == 0 && rank(b) == 0;
            let by_change = if felt { change(a).total_cmp(&change(b)) } else { Ordering::Equal };
            rank(a).cmp(&rank(b)).then(by_change).then(a.changed.cmp(&b.changed))
        });
    }

    /// The same demand in other directions.
    fn sideways(&self) -> Vec<Neighbour> {
        let Some(now) = self.hardest else { return Vec::new() };
        let ends = step_ceilings();
        let here = self.now.permitted.spec().distance;
        let of = |spec: &MovementSpec| -> Option<(f64, Hardest, Candidate)> {
            let found = self.permitted(spec, None).ok()?;
            let most = hardest(&found.demands, spec.mover)?;
            Some(((most.percent() - now.percent()).abs(), most, found))
        };
        let mut out: Vec<(f64, Neighbour)> = to_other_sides(self.now.permitted.spec())
            .into_iter()
            .filter_map(|spec| {
                let first = of(&spec);
                // As far as the demand there says, once; where it is refused as far as now, nearer.
                let scale = match &first {
                    Some((off, ..)) if *off <= ends.same_demand_within => 1.0,
                    Some((_, most, _)) => now.share / most.share.max(1e-9),
                    None => ends.sideways_at_least,
                };
                let scale = scale.clamp(ends.sideways_at_least, ends.sideways_at_most);
                let other = Length::cm((here.in_cm() * scale).round());
                let worth = other >= programme::figures().shortest_distance && other != spec.distance;
                let second = worth.then(|| of(&spec.at(other))).flatten();
                let best = match (first, second) {
                    (Some(a), Some(b)) => Some(if b.0 < a.0 { b } else { a }),
                    (a, b) => a.or(b),
                };
                best.filter(|(off, ..)| *off <= ends.same_demand_within)
            })
            .map(|(off, most, found)| {
                let neighbour = Neighbour {
                    compared: Some(format!("{} {}", most.side, most.motion)),
                    percent: Some(most.percent()),
                    beside: Beside::AboutTheSame,
                    ..self.neighbour(None, &found)
                };
                (off, neighbour)
            })
            .collect();
        // As near in demand: the nearest in angle first, as the directions come.
        out.sort_by(|a, b| (a.0 / AS_LARGE).round().total_cmp(&(b.0 / AS_LARGE).round()));
        out.into_iter().map(|(_, neighbour)| neighbour).collect()
    }
}

impl Neighbours {
    /// As text. Every figure is an estimate.
    #[must_use]
    pub fn text(&self) -> String {
        let mut out = String::from(
            "Each neighbour is permitted today by both gates, fits the home and changes one thing.\n",
        );
        for held in &self.in_place {
            out.push_str(&format!("\n{}\n", held.words));
        }
        for around in &self.movements {
            out.push_str(&format!("\n{}\n", around.sentence));
            if let Some(because) = &around.refused {
                out.push_str(&format!("  refused today, so there is nothing to step from: {because}\n"));
                if let Some(held) = &around.in_place {
                    out.push_str(&format!("  {}\n", held.words));
                }
                continue;
            }
            match (&around.hardest, around.percent) {
                (Some(hardest), Some(percent)) => {
                    out.push_str(&format!("  hardest work: {hardest}, about {percent:.0} % of capacity\n"));
                    if percent < programme::figures().smallest_share_named * 100.0 {
                        out.push_str(
                            "  the muscles hardly work here: what grows is the way to go and to balance\n",
                        );
                    }
                }
                _ => out.push_str("  capacity is not known: demands cannot be compared\n"),
            }
            lines(&mut out, "one step up", &around.up, Some(Way::Up));
            lines(&mut out, "one step back", &around.back, Some(Way::Back));
            lines(&mut out, "sideways", &around.sideways, None);
            for none in &around.none {
                let way = if none.way == Way::Up { "up" } else { "back" };
                out.push_str(&format!("  not {way}: {}: {}\n", none.tried, none.because));
            }
        }
        out
    }
}

fn lines(out: &mut String, title: &str, all: &[Neighbour], way: Option<Way>) {
    if all.is_empty() {
        out.push_str(&format!("  {title}: none\n"));
    }
    for (place, one) in all.iter().enumerate() {
        let title = if place == 0 { format!("{title}:") } else { "  or:".to_owned() };
        let demand = match (one.percent, &one.compared) {
            (Some(percent), Some(motion)) => format!("{motion} about {percent:.0} %"),
            _ => "demand not known".to_owned(),
        };
        let felt = match (way, one.beside) {
            (Some(Way::Up), Beside::More) | (Some(Way::Back), Beside::Less) | (None, _) => "",
            (_, Beside::CannotSay) => "; cannot be compared",
            (_, Beside::AboutTheSame) => "; the estimate cannot tell it from now",
            (_, Beside::More) => "; harder for that joint",
            (_, Beside::Less) => "; easier for that joint",
        };
        let margin = if one.margin_change_cm.abs() < 0.1 {
            String::new()
        } else {
            format!("; balance margin {:+.1} cm", one.margin_change_cm)
        };
        out.push_str(&format!("  {title} {} ({demand}{felt}{margin})\n", one.sentence));
    }
}
