//! A test as movements of the vocabulary, each through both gates.

use anatomy::Side;
use measurement::StanceDirection;
use movement::{
    AnatomicalDirection, Bearing, Crossing, Family, GoalTask, HandHeight, Landing, MovementSpec, Place,
    StanceFoot, Support, SupportKind,
};
use person::Aid;
use quantity::Length;
use safety::{
    Blocked, Engine, FindingKey, Layer, Movements, NoteKind, PermittedMovement, Ray, RayVerdict, Refusal,
    SurveyedRay, grid, shelf_life,
};

use super::table::{Row, table};
use super::{Caution, Look};
use crate::PersonToday;

/// Of the shortest distances every second one is tried, as a survey does: feet that cross need room.
const TRIES: usize = 3;

/// The rule that keeps landings within the hop that was measured: it cannot bound the measuring.
const LANDS_SHORT: &str = "LAND-SHORT";

/// Metres.
const FURTHER_THAN_ANY_HOP_M: f64 = 10.0;

fn engine<'a>(person: &'a PersonToday<'_>) -> Engine<'a> {
    Engine { body: &person.body, capacity: &person.capacity }
}

/// Both gates at exactly this movement.
fn permit(person: &PersonToday<'_>, spec: &MovementSpec) -> Result<PermittedMovement, Vec<Refusal>> {
    let screened = person.allowed.screen(spec.clone())?;
    let engine = engine(person);
    let found = engine.near(spec, None).ok_or_else(|| vec![beyond_the_body(engine, spec)])?;
    person.allowed.permit(screened, &found.motion, &found.moments, &found.demands, person.today)
}

fn beyond_the_body(engine: Engine<'_>, spec: &MovementSpec) -> Refusal {
    let why = engine.why_not(spec).map_or_else(String::new, |error| format!(": {error}"));
    Refusal {
        rule: "BODY".to_owned(),
        layer: Layer::Body,
        blocked: Blocked::OutOfReach { by: Length::ZERO },
        reason: format!("{} is not possible for this body{why}.", spec.sentence()),
        source: "own".to_owned(),
        until: None,
        opens_when: "the body is shown to do it when it is measured again".to_owned(),
    }
}

/// The distances at which a movement is first tried.
fn first_distances(person: &PersonToday<'_>, mover: Side) -> Vec<Length> {
    grid(person.body.leg_length(mover)).into_iter().step_by(2).take(TRIES).collect()
}

/// The shortest of a few distances that passes; a rule's reasons before what the body cannot do.
fn shortest(person: &PersonToday<'_>, spec: &MovementSpec) -> Look {
    let mut why: Option<Vec<Refusal>> = None;
    for at in first_distances(person, spec.mover) {
        match permit(person, &spec.at(at)) {
            Ok(permitted) => return Look::open(told(&permitted)),
            Err(by) if why.as_ref().is_none_or(|so_far| of_body(so_far) && !of_body(&by)) => why = Some(by),
            Err(_) => {}
        }
    }
    Look::Shut(why.unwrap_or_default())
}

fn of_body(by: &[Refusal]) -> bool {
    by.iter().all(|refusal| refusal.layer == Layer::Body)
}

/// What a permitted movement says about itself that goes with the test.
fn told(permitted: &PermittedMovement) -> Vec<Caution> {
    let about_it =
        |kind: &NoteKind| matches!(kind, NoteKind::CloseToLimit { .. } | NoteKind::HandsCarry { .. });
    permitted
        .notes()
        .iter()
        .filter(|note| about_it(&note.kind))
        .map(|note| Caution { rule: note.rule.clone(), words: note.words.clone() })
        .collect()
}

/// The rays of a reach of the foot: standing on this limb, in this direction, in each way of crossing.
pub(super) fn reach_rays(stance: Side, direction: StanceDirection) -> Vec<Ray> {
    let (mover, bearing) = (stance.other(), direction.bearing(stance));
    let ray = |crossing: &Crossing| plain_ray(Family::Reach, mover, bearing, *crossing, None);
    Crossing::ways(bearing, mover).iter().map(ray).collect()
}

/// The rays of a hand, each side, at thigh height.
pub(super) fn hand_rays(ways: &[AnatomicalDirection]) -> Vec<Ray> {
    let ray = |side: Side, way: &AnatomicalDirection| {
        let height = Some(HandHeight::Thigh);
        plain_ray(Family::BendAndReach, side, Bearing::of(*way, side), Crossing::None, height)
    };
    Side::BOTH.into_iter().flat_map(|side| ways.iter().map(move |way| ray(side, way))).collect()
}

fn plain_ray(
    family: Family,
    mover: Side,
    bearing: Bearing,
    crossing: Crossing,
    hand_height: Option<HandHeight>,
) -> Ray {
    Ray {
        family,
        mover,
        bearing,
        crossing,
        stance_foot: StanceFoot::Fixed,
        support: Support::None,
        place: None,
        depth: None,
        hand_height,
    }
}

/// How far one ray is open.
pub(super) fn survey(person: &PersonToday<'_>, ray: Ray) -> SurveyedRay {
    person.allowed.survey_ray_by(person.body.leg_length(ray.mover), &engine(person), ray)
}

/// What a surveyed ray makes of a test that goes as far as it can. Where balance ends it, that is what the
/// test finds out; any other reason is a place to stop.
pub(super) fn of_ray(person: &PersonToday<'_>, surveyed: &SurveyedRay) -> Look {
    let told = surveyed.furthest.as_ref().map(told).unwrap_or_default();
    match &surveyed.verdict {
        RayVerdict::Open { .. } => Look::open(told),
        RayVerdict::Limited { to, by } => {
            let tape = tape(person, &surveyed.ray, *to);
            if by.iter().all(|refusal| matches!(refusal.blocked, Blocked::Balance { .. })) {
                let words = format!("in the model balance ends at about {tape}: somebody stands beside");
                let caution = Caution { rule: "BALANCE".to_owned(), words };
                return Look::open(told.into_iter().chain([caution]).collect());
            }
            let because = by.iter().map(|r| Caution { rule: r.rule.clone(), words: r.reason.clone() });
            let mut cautions: Vec<Caution> = because.chain(told).collect();
            let from_centre = whole_cm(*to);
            if tape < from_centre {
                let words = format!(
                    "{from_centre} from the centre between the feet is {tape} on a tape that begins at the standing foot"
                );
                cautions.push(Caution { rule: "TAPE".to_owned(), words });
            }
            Look::Open { first: None, up_to: Some(tape), cautions }
        }
        RayVerdict::Closed { by } => {
            let mut reasons = Vec::new();
            if person
                .allowed
                .screen(surveyed.ray.at(grid(person.body.leg_length(surveyed.ray.mover))[0]))
                .is_err()
            {
                reasons = angles(person, &surveyed.ray.at(Length::ZERO)).unwrap_or_default();
            }
            reasons.extend(by.iter().cloned());
            Look::Shut(reasons)
        }
    }
}

/// A distance from the centre between the feet as the tape of the test shows it at least, in whole
/// centimetres. The tape begins at the standing foot: toward its own side it shows less.
fn tape(person: &PersonToday<'_>, ray: &Ray, to: Length) -> Length {
    let [ahead, right] = person.body.start_foot_centre(ray.mover.other());
    let (along, aside) = ray.bearing.forward_right();
    let less = if ray.family == Family::Reach { (ahead * along + right * aside).max(0.0) } else { 0.0 };
    Length::cm(((to.in_m() - less).max(0.0) * 100.0 + 1e-6).floor())
}

/// What the angles of a movement break at the shortest distance that has a posture, whatever gate A says;
/// `None` where there is no posture.
pub(super) fn angles(person: &PersonToday<'_>, spec: &MovementSpec) -> Option<Vec<Refusal>> {
    let found = first_distances(person, spec.mover)
        .into_iter()
        .find_map(|at| engine(person).near(&spec.at(at), None))?;
    Some(person.allowed.angle_refusals(&found.motion))
}

/// Heel to toe: what a step across would do to the hips, each foot in front.
pub(super) fn in_line(person: &PersonToday<'_>) -> Look {
    let mut reasons = Vec::new();
    for mover in Side::BOTH {
        let across = across(mover);
        match angles(person, &across) {
            Some(by) => reasons.extend(by),
            None => {
                reasons.push(beyond_the_body(engine(person), &across.at(first_distances(person, mover)[0])))
            }
        }
    }
    if reasons.is_empty() { Look::open(Vec::new()) } else { Look::Shut(reasons) }
}

/// A step ahead and across.
fn across(mover: Side) -> MovementSpec {
    let bearing = Bearing::of(AnatomicalDirection::Anteromedial, mover);
    MovementSpec::bare(Family::Step, mover, bearing, Crossing::InFront, Length::ZERO)
}

/// Whether the foot of this limb may turn on the floor: what closes a turning step and not a fixed one.
pub(super) fn turning(person: &PersonToday<'_>, stance: Side) -> Vec<Refusal> {
    let fixed = across(stance.other()).at(first_distances(person, stance.other())[0]);
    let closes = |spec: MovementSpec| person.allowed.screen(spec).err().unwrap_or_default();
    let without = closes(fixed.clone());
    let pivoting = closes(MovementSpec { stance_foot: StanceFoot::Pivoting, ..fixed });
    pivoting.into_iter().filter(|refusal| !without.contains(refusal)).collect()
}

/// Standing on one leg: the moment of a short step or the shortest reach, ahead, to the side or back. One of
/// them is enough, since each has that moment in it.
pub(super) fn stance(person: &PersonToday<'_>, stance: Side, family: Family) -> Look {
    let mover = stance.other();
    let ways = [AnatomicalDirection::Anterior, AnatomicalDirection::Lateral, AnatomicalDirection::Posterior];
    let mut closed: Option<Look> = None;
    for way in ways {
        let bearing = Bearing::of(way, mover);
        let look =
            shortest(person, &MovementSpec::bare(family, mover, bearing, Crossing::None, Length::ZERO));
        if look.is_open() {
            return look;
        }
        closed.get_or_insert(look);
    }
    closed.unwrap_or(Look::Shut(Vec::new()))
}

/// A short step of each leg in each of these directions, named from the leg that steps.
pub(super) fn steps(person: &PersonToday<'_>, ways: &[AnatomicalDirection]) -> Look {
    let specs = Side::BOTH.into_iter().flat_map(|mover| {
        ways.iter().map(move |way| {
            let bearing = Bearing::of(*way, mover);
            let at = short(person, mover);
            MovementSpec::bare(Family::Step, mover, bearing, Crossing::None, at)
        })
    });
    all(person, specs)
}

fn short(person: &PersonToday<'_>, mover: Side) -> Length {
    person.body.leg_length(mover).times(table().short.step_percent_leg_length / 100.0)
}

/// Every one of these movements.
fn all(person: &PersonToday<'_>, specs: impl Iterator<Item = MovementSpec>) -> Look {
    let (mut cautions, mut reasons) = (Vec::new(), Vec::new());
    for spec in specs {
        match permit(person, &spec) {
            Ok(permitted) => cautions.extend(told(&permitted)),
            Err(by) => reasons.extend(by),
        }
    }
    if reasons.is_empty() { Look::open(cautions) } else { Look::Shut(reasons) }
}

/// Short steps ahead with each leg, free; or with both hands held, where the aid that was found takes both.
pub(super) fn walk(person: &PersonToday<'_>, stairs: bool) -> Look {
    let step = |mover: Side| {
        let ahead =
            MovementSpec::bare(Family::Step, mover, Bearing::ALL[0], Crossing::None, short(person, mover));
        let rise = biomech::goal_movement(&person.body, GoalTask::UpStair, mover).rise;
        if stairs { MovementSpec { rise, ..ahead } } else { ahead }
    };
    let free = all(person, Side::BOTH.into_iter().map(step));
    if matches!(free, Look::Open { .. }) || stairs || !both_hands_on_aid(person) {
        return free;
    }
    let stature = person.case.person.body.stature();
    Place::usual(SupportKind::WalkingFrame, stature)
        .into_iter()
        .map(|place| {
            let held =
                |mover| MovementSpec { support: Support::BothHands, place: Some(place), ..step(mover) };
            all(person, Side::BOTH.into_iter().map(held))
        })
        .find(|look| matches!(look, Look::Open { .. }))
        .map_or(free, |look| look.beside("AID", "with the aid that was found, in both hands"))
}

/// Walking at the person's own pace, as every day: weight on each leg, or hands that were seen to take it;
/// limits that a short step would meet are said.
pub(super) fn own_walk(person: &PersonToday<'_>, name: &str) -> Look {
    let weight: Vec<Refusal> =
        Side::BOTH.into_iter().filter_map(|side| person.allowed.why_weight_shut(side, name)).collect();
    if !weight.is_empty() {
        let held = walk(person, false);
        return if held.is_open() { held } else { Look::Shut(weight) };
    }
    let meets = Side::BOTH.into_iter().flat_map(|mover| {
        let step = MovementSpec::bare(Family::Step, mover, Bearing::ALL[0], Crossing::None, Length::ZERO);
        angles(person, &step).unwrap_or_default()
    });
    let caution = |refusal: Refusal| Caution {
        words: format!("steps stay shorter than one that meets a limit: {}", refusal.reason),
        rule: refusal.rule,
    };
    Look::open(meets.map(caution).collect())
}

fn both_hands_on_aid(person: &PersonToday<'_>) -> bool {
    let aid = person.case.findings.aid.on(person.today, shelf_life(FindingKey::AidsHeld));
    matches!(aid.current(), Some(Aid::WalkingFrame | Aid::TwoCrutches | Aid::TwoSticks))
}

/// A hop of this limb in each of the directions: the first one, no longer than landings begin, and from
/// there outward only as each landing holds.
pub(super) fn hop(person: &PersonToday<'_>, limb: Side, row: &Row) -> Look {
    let mut looks = row.ways.iter().map(|way| {
        let landing = if row.onward { Landing::Rebound } else { Landing::Held };
        let bearing = Bearing::of(*way, limb);
        let spec = MovementSpec {
            landing: Some(landing),
            ..MovementSpec::bare(Family::Hop, limb, bearing, Crossing::None, Length::ZERO)
        };
        match row.distance() {
            Some(at) => all(person, std::iter::once(spec.at(at))),
            None => first_hop(person, &spec),
        }
    });
    let first = looks.next().unwrap_or(Look::Shut(Vec::new()));
    looks.fold(first, Look::and)
}

fn first_hop(person: &PersonToday<'_>, spec: &MovementSpec) -> Look {
    let grid = grid(person.body.leg_length(spec.mover));
    // Every rule that states a distance is asked for it where it must answer.
    let closes = person.allowed.screen(spec.at(Length::m(FURTHER_THAN_ANY_HOP_M))).err().unwrap_or_default();
    let at_any_distance = |refusal: &&Refusal| !matches!(refusal.blocked, Blocked::Distance { .. });
    let at_any: Vec<Refusal> = closes.iter().filter(at_any_distance).cloned().collect();
    if !at_any.is_empty() {
        return Look::Shut(at_any);
    }
    let stated = |of_rule: bool| {
        closes
            .iter()
            .filter(|refusal| (refusal.rule == LANDS_SHORT) == of_rule)
            .filter_map(|refusal| match refusal.blocked {
                Blocked::Distance { at_most } => Some(at_most),
                _ => None,
            })
            .reduce(Length::min)
    };
    let stop = stated(false);
    let begin = stated(true).into_iter().chain(stop).reduce(Length::min);
    let Some(begin) = begin.or(grid.last().copied()) else { return Look::Shut(Vec::new()) };
    let mut so_far: Option<PermittedMovement> = None;
    for at in grid.into_iter().filter(|at| *at < begin).chain([begin]) {
        match permit(person, &spec.at(at)) {
            Ok(permitted) => so_far = Some(permitted),
            Err(by) => {
                let Some(last) = so_far else { return Look::Shut(by) };
                let first = Some(whole_cm(last.spec().distance));
                if of_body(&by) {
                    return Look::Open { first, up_to: None, cautions: told(&last) };
                }
                let because = by.iter().map(|r| Caution { rule: r.rule.clone(), words: r.reason.clone() });
                return Look::Open { first, up_to: first, cautions: because.chain(told(&last)).collect() };
            }
        }
    }
    let words = "each landing is held and painless before the next hop goes further; landings were looked at up to the first hop only";
    let mut cautions = vec![Caution { rule: LANDS_SHORT.to_owned(), words: words.to_owned() }];
    cautions.extend(so_far.as_ref().map(told).unwrap_or_default());
    let stated = closes.iter().filter(|refusal| refusal.rule != LANDS_SHORT);
    cautions.extend(stated.map(|r| Caution { rule: r.rule.clone(), words: r.reason.clone() }));
    Look::Open { first: Some(whole_cm(begin)), up_to: stop.map(whole_cm), cautions }
}

fn whole_cm(length: Length) -> Length {
    Length::cm((length.in_cm() + 1e-6).floor())
}
