//! What the therapist may offer again: left out for pain, or halved and not in the programme for want of room.

use anatomy::Side;
use movement::{Family, Load, MovementSpec, Support};
use person::HurtAt;
use programme::{Exercise, ExerciseMovement, LimbPart, Programme, figures};
use progress::{Adaptation, OfferAgain, Rung};
use quantity::Length;
use safety::Engine;

use super::back::{counts_in, fewer};
use super::less::{shorter, times};
use super::movements;
use super::proposal::{Change, Proposal};
use crate::PersonToday;
use crate::again::time;
use crate::amend::same_exercise;
use crate::candidates::permit;

/// What may be offered, half as far and held: it comes back the way it went. Never part of accepting everything.
/// Pain that spread is not offered: the therapist looks first. With it, what has no room today.
pub(super) fn offered_again(
    person: &PersonToday<'_>,
    programme: &Programme,
    adaptation: &Adaptation,
) -> (Vec<Proposal>, Vec<String>) {
    let (mut proposals, mut waiting) = (Vec::new(), Vec::new());
    let mut elsewhere: Vec<(Family, Vec<String>)> = Vec::new();
    for offer in &adaptation.offer_again {
        match offered(person, programme, offer) {
            Offered::Here(proposal) => proposals.push(*proposal),
            Offered::NoRoom(why) => waiting.push(why),
            Offered::NotInThisProgramme(family) => {
                let limb = if family == Family::BendAndReach { "hand" } else { "leg" };
                let way = format!(
                    "{} {limb} going {}",
                    offer.direction.mover,
                    offer.direction.bearing.plain_words()
                );
                match elsewhere.iter_mut().find(|(known, _)| *known == family) {
                    Some((_, ways)) => ways.push(way),
                    None => elsewhere.push((family, vec![way])),
                }
            }
            Offered::NotToday => {}
        }
    }
    waiting.extend(elsewhere.into_iter().map(|(family, ways)| {
        format!(
            "Quiet again, and this programme has no {family}: {}. To offer one again, take a note of it out under Findings, Pain, and plan anew.",
            ways.join("; ")
        )
    }));
    (proposals, waiting)
}

/// What comes of an offer today.
enum Offered {
    /// It may be offered in this programme.
    Here(Box<Proposal>),
    /// It could be, and there is no room; said in whole sentences.
    NoRoom(String),
    /// Nothing in this programme is done so.
    NotInThisProgramme(Family),
    /// It is closed, or too short to be something to do.
    NotToday,
}

fn offered(person: &PersonToday<'_>, programme: &Programme, offer: &OfferAgain) -> Offered {
    let (mover, bearing, family) = (offer.direction.mover, offer.direction.bearing, offer.direction.family);
    let way = (mover, bearing, family);
    let hurt: Vec<&HurtAt> = person.case.findings.hurt.iter().filter(|note| counts_in(note, way)).collect();
    let Some(at) = hurt.iter().map(|one| one.distance).reduce(Length::min) else { return Offered::NotToday };
    if hurt.iter().any(|one| one.spreads) {
        return Offered::NotToday;
    }
    let keep = times(Rung::Supported);
    let mut case = person.case.clone();
    fewer(&mut case, way, keep);
    let after = PersonToday::of(&case, person.today);
    let all = movements(programme);
    // As the exercise of this limb is done, else of the other, in the first in which it is permitted so.
    let alike = |(_, _, like): &&(usize, &Exercise, &MovementSpec)| match family {
        Some(family) => like.family == family,
        None => like.mover == mover,
    };
    let mut likes: Vec<_> = all.iter().filter(alike).collect();
    likes.sort_by_key(|(_, _, like)| like.mover != mover);
    if let (Some(family), true) = (family, likes.is_empty()) {
        let level = safety::level_of(family, Support::BothHands, Load::None);
        let open = Side::BOTH.into_iter().all(|stance| after.allowed.open_level(stance) >= level);
        return if open { Offered::NotInThisProgramme(family) } else { Offered::NotToday };
    }
    let found: Vec<(usize, MovementSpec)> = likes
        .into_iter()
        .filter_map(|(exercise, _, like)| {
            let mut ways = like.family.ways(bearing, mover).iter();
            let is = ways.find_map(|crossing| {
                let is = MovementSpec { mover, bearing, crossing: *crossing, ..(*like).clone() };
                shorter(&after, &is.at(at))
            });
            is.map(|is| (*exercise, is))
        })
        .collect();
    let Some((_, first)) = found.first() else { return Offered::NotToday };
    let words = |is: &MovementSpec| format!("{} It would be {}.", offer.reason.words, is.sentence());
    let Some((exercise, is)) = found.iter().find(|(_, is)| has_room(&after, programme, is)) else {
        let most = most_exercises(&after);
        return Offered::NoRoom(format!(
            "{} There is no room: it needs an exercise of its own, and {most} is the most. Take one out, and it is offered.",
            words(first)
        ));
    };
    let longer = longer_than_wished(&after, programme, *exercise, is).map_or_else(String::new, |by| {
        format!(" The session takes about {by:.0} s more than is wished then.")
    });
    Offered::Here(Box::new(Proposal {
        variable: None,
        cells: Vec::new(),
        words: format!("{}{longer}", words(is)),
        rules: vec![offer.reason.rule],
        only_offered: true,
        changes: vec![
            Change::Fewer { mover, bearing, family, keep },
            Change::In { exercise: *exercise, is: Box::new(is.clone()) },
        ],
    }))
}

fn most_exercises(person: &PersonToday<'_>) -> usize {
    usize::from(figures().exercises_at_most.min(person.case.wishes.exercises))
}

/// Whether a movement has room in a programme: among those of an exercise that is done alike, or as one more.
fn has_room(person: &PersonToday<'_>, programme: &Programme, is: &MovementSpec) -> bool {
    let joins = movements(programme).iter().any(|(_, _, one)| same_exercise(one, is));
    joins || programme.exercises.len() < most_exercises(person)
}

/// The seconds by which the session is longer than wished with a movement more; none where it is not.
fn longer_than_wished(
    after: &PersonToday<'_>,
    programme: &Programme,
    exercise: usize,
    is: &MovementSpec,
) -> Option<f64> {
    let engine = Engine { body: &after.body, capacity: &after.capacity };
    let like = programme.exercises.get(exercise)?;
    let found = permit(after, &engine, is, None).ok()?;
    let one = ExerciseMovement { permitted: found.permitted, chosen: None };
    let longer = time(&[LimbPart { mover: is.mover, movements: vec![one] }], like.dose);
    let over = programme.minutes.in_s() + longer.in_s() - after.case.wishes.minutes.in_s();
    (over > 0.0).then_some(over)
}
