//! Leaps, jumps and hops wished for every day: what the programme makes of it.

use anatomy::Side;
use app::{PersonToday, demo_cases};
use jiff::ToSpan;
use jiff::civil::{Date, date};
use movement::{AnatomicalDirection, Bearing, Family, Landing, MovementSpec};
use person::{Answer, CaseFile, Condition, Finding, Involved, LastProgramme, Presentation, Presented};
use programme::{Candidate, Days, Exercise, Limits, Offer, figures, propose};
use quantity::{Length, Share};

const TODAY: Date = date(2026, 2, 6);

/// The handball player as she would be with a healthy knee and every criterion met: she may hop.
fn athlete() -> CaseFile {
    let mut case = demo_cases()[3].read().unwrap_or_else(|e| panic!("{e}"));
    fn found<T>(value: T) -> Finding<T> {
        Finding::Found { value, on: TODAY }
    }
    case.findings.conditions = vec![Condition::Presented(Presented {
        presentation: Presentation::HealthyAthlete,
        involved: Involved::General,
        pattern: Finding::NotAssessed,
        since: Finding::NotAssessed,
        confirmed: Vec::new(),
    })];
    case.findings.orders.clear();
    for side in Side::BOTH {
        *case.findings.effusion.get_mut(side) = found(0);
        case.findings.answers.set(Answer::HopDistance, side, found(150.0));
        case.findings.answers.set(Answer::JumpsQuiet, side, found(1.0));
        case.findings.answers.set(Answer::SquatShare, side, found(160.0));
        case.findings.answers.set(Answer::SingleLegSquats, side, found(14.0));
        case.findings.answers.set(Answer::RunsWithoutReaction, side, found(40.0));
    }
    case.last_programme = LastProgramme::default();
    // Twice a day, every day.
    case.wishes.per_day = 2;
    case
}

fn going(family: Family, mover: Side, direction: AnatomicalDirection, cm: f64) -> MovementSpec {
    let bearing = Bearing::of(direction, mover);
    let way = family.ways(bearing, mover)[0];
    MovementSpec {
        landing: family.is_airborne().then_some(Landing::Held),
        ..MovementSpec::bare(family, mover, bearing, way, Length::cm(cm))
    }
}

/// What a therapist chose to have weighed: through the air, and on the ground.
fn candidates(person: &PersonToday<'_>) -> Vec<Candidate> {
    use AnatomicalDirection::{Anterior, Lateral};
    let both = |family, direction, cm| Side::BOTH.map(|mover| going(family, mover, direction, cm));
    let wanted = [
        both(Family::Hop, Anterior, 30.0),
        both(Family::Hop, Lateral, 25.0),
        both(Family::Leap, Anterior, 40.0),
        both(Family::Leap, Lateral, 40.0),
        both(Family::Step, Lateral, 45.0),
        both(Family::Step, Anterior, 45.0),
    ]
    .concat();
    wanted
        .into_iter()
        .chain([going(Family::TwoFootJump, Side::Right, Anterior, 40.0)])
        .map(|spec| {
            let told = spec.sentence();
            let screened = person.allowed.screen(spec).unwrap_or_else(|by| panic!("{told}: {by:?}"));
            let motion = biomech::motion(&person.body, &person.capacity, screened.spec());
            let motion = motion.unwrap_or_else(|e| panic!("{told}: {e}"));
            let moments = biomech::moments(&person.body, &motion);
            let demands = biomech::demands(&moments, &person.capacity);
            let permitted = person.allowed.permit(screened, &motion, &moments, &demands, person.today);
            let permitted = permitted.unwrap_or_else(|by| panic!("{told}: {by:?}"));
            Candidate::new(permitted, moments, person.available())
        })
        .collect()
}

/// A landing is a still posture times its peak force, which asks more than the capacity held still of
/// everybody: who lets somebody hop lifts the ceiling of demand for home.
const CEILING_OF_A_THERAPIST: f64 = 200.0;

fn offer(case: &CaseFile) -> Offer {
    let person = PersonToday::of(case, TODAY);
    let demand_at_most = Share::percent(CEILING_OF_A_THERAPIST);
    let limits = Limits { demand_at_most, ..person.limits() };
    propose(&candidates(&person), &case.wishes, &[], &limits, 3).unwrap_or_else(|none| panic!("{none}"))
}

fn exercises(offer: &Offer) -> Vec<&Exercise> {
    offer.programmes.iter().flat_map(|p| &p.programme.exercises).collect()
}

#[test]
fn a_hop_wished_every_day_comes_out_on_alternate_days_and_the_rest_stays_daily() {
    let offer = offer(&athlete());
    let all = exercises(&offer);
    assert!(all.iter().any(|e| e.family.is_airborne()) && all.iter().any(|e| e.days == Days::Every));
    for exercise in all {
        if exercise.family.is_airborne() {
            // Twice on one day would be two sessions within hours.
            assert_eq!((exercise.days, exercise.dose.per_day), (Days::Alternate, 1), "{}", exercise.family);
        } else {
            assert_ne!(exercise.days, Days::Alternate, "{}", exercise.family);
            assert_eq!(exercise.dose.per_day, 2, "{}", exercise.family);
        }
    }
    for programme in offer.programmes.iter().map(|p| &p.programme) {
        let landing: Vec<&Exercise> = programme.exercises.iter().filter(|e| e.family.is_airborne()).collect();
        let told = programme.notes.join(" ");
        assert_eq!(told.contains("Every other day and once on that day"), !landing.is_empty(), "{told}");
        for exercise in landing {
            assert!(told.contains(exercise.family.name()), "{told}");
            assert!(told.contains("not 2 times every day as wished"), "{told}");
            assert!(told.contains("2 days lie from one day of leaps, jumps or hops to the next"), "{told}");
        }
    }
}

#[test]
fn the_day_after_a_hop_none_is_offered_and_the_reason_names_the_first_day_it_may() {
    // Every other day, as the words of the sheet say, is two days from one to the next.
    assert_eq!(figures().days_between_impacts, 2);
    // As the case file says it.
    let hopped = |days_ago: i64| {
        let mut case = athlete();
        case.last_programme.last_jumps = Some(TODAY.checked_sub(days_ago.days()).unwrap());
        case
    };
    let airborne = |offer: &Offer| exercises(offer).iter().any(|e| e.family.is_airborne());
    for (days_ago, first) in [(0, "2026-02-08"), (1, "2026-02-07")] {
        let offer = offer(&hopped(days_ago));
        assert!(!airborne(&offer), "{days_ago} days after a hop");
        assert!(!exercises(&offer).is_empty(), "what stays on the floor is offered");
        let programme = &offer.programmes[0].programme;
        assert!(programme.notes.iter().any(|note| note.contains(&format!("none before {first}"))));
        let dropped = &programme.dropped;
        let waiting: Vec<&str> =
            dropped.iter().filter(|d| d.movement.family.is_airborne()).map(|d| d.reason.as_str()).collect();
        assert_eq!(waiting.len(), 9, "{waiting:?}");
        assert!(waiting.iter().all(|r| r.contains(&format!("waits until {first}"))), "{waiting:?}");
    }
    let again = offer(&hopped(2));
    assert!(airborne(&again), "the second day after a hop");
    assert!(!again.programmes[0].programme.notes.join(" ").contains("none before"));
}
