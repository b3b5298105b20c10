//! A direction that hurt: strict unless a clinician accepts some pain for this person.
//!
//! The first time it is shortened; the second time it is shortened more, done slower, and both hands
//! hold where a hand can; the third time it is left out, as it is at once where pain spreads. It stays
//! out: no date is asked here, so only taking entries out of the case file, which is how a therapist
//! offers it again, brings it back. For which movements a note counts stands in `hurts.rs`.

use jiff::civil::Date;
use movement::{Family, MovementSpec, Support};
use person::{Findings, HurtAt, OrderedLimit, SurgeonOrder};
use quantity::Length;

use crate::hurts::counts_for;
use crate::rules::spec_name;
use crate::tables::margins;
use crate::words;
use crate::{AllowedSpace, Blocked, Layer, Note, NoteKind, Refusal};

/// The orders about pain that hold on a day.
fn about_pain(orders: &[SurgeonOrder], on: Date) -> impl Iterator<Item = (&SurgeonOrder, u8)> {
    orders.iter().filter(move |order| order.holds_on(on)).filter_map(|order| match order.limit {
        OrderedLimit::PainUpTo(pain) => Some((order, pain)),
        _ => None,
    })
}

/// The pain somebody accepted for this person on a day; the smallest of several.
///
/// What is told of pain names the limb that moved, and not the leg that hurt. So an order about one leg accepts
/// nothing: like what only the patient says, it can only make a figure smaller that another order gives.
pub(crate) fn accepted(orders: &[SurgeonOrder], on: Date) -> Option<(&SurgeonOrder, u8)> {
    let accepts = |(order, _): (&SurgeonOrder, u8)| order.known.may_loosen() && order.side.is_none();
    let smallest = about_pain(orders, on).min_by_key(|(_, pain)| *pain);
    smallest.filter(|_| about_pain(orders, on).any(accepts))
}

/// The pain that was accepted on the day of a note and still is today: never more than on that day.
pub(crate) fn accepted_then(orders: &[SurgeonOrder], then: Date, today: Date) -> Option<u8> {
    let most = |on| accepted(orders, on).map(|(_, pain)| pain);
    most(then).zip(most(today)).map(|(then, now)| then.min(now))
}

/// An order that would accept pain today if it were not about one leg.
pub(crate) fn of_one_leg(orders: &[SurgeonOrder], today: Date) -> Option<Note> {
    let (order, _) = about_pain(orders, today).find(|(order, _)| order.known.may_loosen())?;
    let side = order.side.filter(|_| accepted(orders, today).is_none())?;
    Some(Note {
        kind: NoteKind::Arrange,
        rule: "PAIN-ONE-LEG".to_owned(),
        words: format!(
            "{} accepts pain of the {side} leg only. Which leg hurts is not told, so no pain is accepted; ask whether it holds for both.",
            order.by
        ),
        source: "own".to_owned(),
    })
}

/// Whether an entry stays below what was accepted: its number was said, it had settled by the next
/// morning, and it did not spread.
fn is_accepted(hurt: &HurtAt, limit: Option<u8>) -> bool {
    !hurt.spreads
        && hurt.settled == Some(true)
        && hurt.pain.zip(limit).is_some_and(|(pain, most)| pain <= most)
}

/// Several directions that hurt on one day, or pain that was worse the next morning: the whole
/// programme goes back one level, and somebody decides how.
pub(crate) fn back_off(findings: &Findings, today: Date) -> Option<Note> {
    let rule = &margins().pain;
    let limit = |h: &HurtAt| accepted_then(&findings.orders, h.on, today);
    let counted = || findings.hurt.iter().filter(move |h| h.on <= today && !is_accepted(h, limit(h)));
    let last = counted().map(|h| h.on).max()?;
    let mut directions: Vec<_> = counted().filter(|h| h.on == last).map(|h| (h.mover, h.bearing)).collect();
    directions.sort_unstable();
    directions.dedup();
    let unsettled = counted().any(|h| h.on == last && h.settled == Some(false));
    if directions.len() < rule.back_off_from_directions && !unsettled {
        return None;
    }
    let because = if unsettled {
        "it was worse the next morning".to_owned()
    } else {
        format!("{} directions hurt in one session", directions.len())
    };
    Some(Note {
        kind: NoteKind::Hold,
        rule: "PAIN-BACK-OFF".to_owned(),
        words: format!(
            "On {} {because}: the whole programme goes back one level, and no step up.",
            words::day(last)
        ),
        source: rule.source.clone(),
    })
}

/// What hurt, as the subject of a sentence: the movement itself, or the one that was noted the same way.
fn subject(spec: &MovementSpec, notes: &[&HurtAt]) -> String {
    let name = words::sentence(&spec_name(spec));
    let mut others: Vec<Family> = notes.iter().filter_map(|note| note.family).collect();
    if others.is_empty() || others.contains(&spec.family) {
        return name;
    }
    others.sort_unstable();
    others.dedup();
    let others: Vec<String> = others.into_iter().map(|family| format!("a {family}")).collect();
    format!("{name} goes the way in which {}", others.join(" and "))
}

/// How often a direction has hurt when it is done slower, and both hands hold.
const SLOWER_FROM: usize = 2;

impl AllowedSpace {
    /// The notes that count for a movement: of pain that was accepted, and of pain that was not.
    fn hurt_in(&self, spec: &MovementSpec) -> (Vec<&HurtAt>, Vec<&HurtAt>) {
        let here = self.hurt.iter().filter(|note| counts_for(note, spec));
        here.partition(|h| is_accepted(h, self.ordered.pain_up_to(h.on)))
    }

    /// Everything that was noted to hurt, accepted or not.
    #[must_use]
    pub fn hurt(&self) -> &[HurtAt] {
        &self.hurt
    }

    /// How often pain was noted that was not accepted and that counts for this movement, whatever its distance.
    #[must_use]
    pub fn times_hurt(&self, spec: &MovementSpec) -> usize {
        self.hurt_in(spec).1.len()
    }

    /// Why this direction is left out for pain, whatever the distance; `None` while it is not.
    #[must_use]
    pub fn left_out_for_pain(&self, spec: &MovementSpec) -> Option<Refusal> {
        self.pain(spec).filter(|refusal| refusal.blocked == Blocked::Direction)
    }

    /// A direction that hurt twice is done slower.
    pub(crate) fn slower(&self, spec: &MovementSpec) -> Option<Note> {
        let (_, hurt) = self.hurt_in(spec);
        let last = hurt.iter().map(|h| h.on).max().filter(|_| hurt.len() >= SLOWER_FROM)?;
        Some(Note {
            kind: NoteKind::Slower,
            rule: "PAIN-2".to_owned(),
            words: format!(
                "{} hurt twice, last on {}: it is done slower than the rest.",
                subject(spec, &hurt),
                words::day(last)
            ),
            source: margins().pain.source.clone(),
        })
    }

    /// A direction that hurt is shortened, then shortened more and slower with support, then left
    /// out. Pain that spreads leaves it out at once. Accepted pain holds it where it is.
    pub(crate) fn pain(&self, spec: &MovementSpec) -> Option<Refusal> {
        let (held, hurt) = self.hurt_in(spec);
        let name = words::sentence(&spec_name(spec));
        let who = subject(spec, if hurt.is_empty() { &held } else { &hurt });
        let factors = &margins().pain;
        let refusal = |rule: &str, blocked, reason| {
            Some(Refusal {
                rule: rule.to_owned(),
                layer: Layer::DefaultPreset,
                blocked,
                reason,
                source: factors.source.clone(),
                until: None,
                opens_when: "the therapist offers it again after three pain-free sessions".to_owned(),
            })
        };
        if let Some(spread) = hurt.iter().filter(|h| h.spreads).max_by_key(|h| h.on) {
            return refusal(
                "PAIN-SPREADS",
                Blocked::Direction,
                format!(
                    "{name} is left out: on {} the pain went further down the leg, or shot or tingled, at {}.",
                    words::day(spread.on),
                    spread.distance
                ),
            );
        }
        if hurt.is_empty() {
            let furthest = held.iter().map(|h| h.distance).reduce(Length::min)?;
            if spec.distance.in_m() <= furthest.in_m() + 1e-6 {
                return None;
            }
            return refusal(
                "PAIN-HOLD",
                Blocked::Distance { at_most: furthest },
                format!(
                    "{who} hurt within what was accepted at {furthest}: it is held there and goes no further."
                ),
            );
        }
        let last = hurt.iter().map(|h| h.on).max()?;
        let shortest = hurt.iter().chain(&held).map(|h| h.distance).reduce(Length::min)?;
        let longest = hurt.iter().map(|h| h.distance).reduce(Length::max)?;
        let first = shortest.times(factors.first_factor);
        let second = longest.times(factors.second_factor).min(first);
        let rule = format!("PAIN-{}", hurt.len().min(3));
        match hurt.len() {
            1 if spec.distance.in_m() > first.in_m() + 1e-6 => refusal(
                &rule,
                Blocked::Distance { at_most: first },
                format!(
                    "{who} hurt at {shortest} on {}; {first} is the furthest until it is quiet.",
                    words::day(last)
                ),
            ),
            2 if spec.distance.in_m() > second.in_m() + 1e-6 => refusal(
                &rule,
                Blocked::Distance { at_most: second },
                format!(
                    "{who} hurt twice, last on {}; {second} is the furthest, slower and with support.",
                    words::day(last)
                ),
            ),
            2 if spec.family != Family::BendAndReach && spec.support != Support::BothHands => refusal(
                &rule,
                Blocked::Support,
                format!("{who} hurt twice, last on {}; it needs both hands on a support.", words::day(last)),
            ),
            0..=2 => None,
            times => refusal(
                &rule,
                Blocked::Direction,
                format!("{who} hurt {times} times, last on {}; it is left out.", words::day(last)),
            ),
        }
    }
}
