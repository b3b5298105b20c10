//! The sentences of what one limb does, in the order of doing.

use anatomy::Side;
use biomech::Motion;
use movement::{Bearing, Crossing, Family, HandHeight, MovementSpec, Place, StanceFoot, Support};

use super::{ExerciseFacts, arms};
use crate::language::{LimbWords, Wording, fill};

/// The whole sentences of one limb.
pub(super) fn steps(
    mover: Side,
    motions: &[&Motion],
    facts: &ExerciseFacts<'_>,
    wording: Wording,
) -> Vec<String> {
    let words = wording.words();
    let limb = &words.limb;
    let hand = facts.family == Family::BendAndReach;
    let stays = mover.other();
    let to = match motions {
        [one] => words.toward.of(one.spec.bearing),
        _ => &words.toward.out,
    };
    let go = |sentence: &str| fill(sentence, &[("to", to)]);
    let plain = |sentence: &str| sentence.to_owned();
    let back = plain(&limb.back_to_middle);
    let mut out = match facts.family {
        Family::Step => {
            vec![plain(limb.foot_stays.of(stays)), go(limb.step.of(mover)), plain(&limb.weight_on), back]
        }
        Family::Reach => {
            vec![plain(limb.foot_stays.of(stays)), go(limb.touch.of(mover)), plain(&limb.touch_lightly), back]
        }
        Family::Leap => {
            vec![plain(limb.push_off.of(stays)), go(limb.leap.of(mover)), plain(&limb.land), back]
        }
        Family::TwoFootJump => vec![go(&limb.jump), plain(&limb.land_on_both), back],
        Family::Hop => vec![plain(limb.stand_on.of(mover)), go(limb.hop.of(mover)), plain(&limb.land), back],
        Family::Lunge => vec![
            plain(limb.foot_stays.of(stays)),
            go(limb.lunge.of(mover)),
            match facts.depth {
                Some(depth) => fill(&limb.sink, &[("length", &wording.length(depth))]),
                None => plain(&limb.bend_a_little),
            },
            back,
        ],
        Family::BendAndReach => vec![
            plain(&limb.feet_stay),
            go(limb.hand.of(mover)),
            facts.hand_height.map_or_else(|| plain(&limb.bend_as_feels_easy), |h| down_to(h, limb)),
            plain(&limb.stand_tall),
        ],
    };
    if !hand {
        out.splice(2..2, passing(motions, limb));
        if motions.iter().any(|m| m.spec.stance_foot == StanceFoot::Pivoting) {
            out.insert(1, plain(limb.turn_on_toes.of(stays)));
        } else if motions.iter().any(|m| m.spec.crosses()) {
            out[0] = plain(limb.foot_stays_flat.of(stays));
        }
    }
    // Arms work where the foot has come to, before it comes back.
    let back = out.len() - 1;
    out.splice(back..back, arms(facts.arms(), mover, wording));
    out.splice(1..1, one_hand(facts.support, facts.place.as_ref(), hand, stays, wording));
    out
}

pub(super) fn down_to(height: HandHeight, limb: &LimbWords) -> String {
    match height {
        HandHeight::Thigh => &limb.down_to_thigh,
        HandHeight::Knee => &limb.down_to_knee,
        HandHeight::Shin => &limb.down_to_shin,
        HandHeight::Ankle => &limb.down_to_ankle,
    }
    .clone()
}

/// Which way round the standing leg, where every movement goes the same way; where they differ
/// the picture says it at each arrow.
fn passing(motions: &[&Motion], limb: &LimbWords) -> Option<String> {
    let all = |crossing: Crossing| motions.iter().all(|m| m.spec.crossing == crossing);
    if all(Crossing::InFront) {
        Some(limb.cross_in_front.clone())
    } else if all(Crossing::Behind) {
        Some(limb.cross_behind.clone())
    } else {
        None
    }
}

/// What one hand does while the other limb moves; the hand is on the side that stays.
fn one_hand(
    support: Support,
    place: Option<&Place>,
    hand_moves: bool,
    stays: Side,
    wording: Wording,
) -> Option<String> {
    let hands = &wording.words().hands;
    match support {
        Support::OneHand => Some(hands.one.of(place).of(stays).to_owned()),
        Support::BothHands if hand_moves => Some(hands.one.of(place).of(stays).to_owned()),
        Support::Fingertip => Some(hands.fingertip.of(place).of(stays).to_owned()),
        Support::BothHands | Support::None => None,
    }
}

/// One movement that is done slower than the rest of its exercise.
pub(super) fn slower(spec: &MovementSpec, wording: Wording) -> String {
    let words = wording.words();
    let dose = &words.dose;
    let by_side = if spec.family == Family::BendAndReach { &dose.slower_hand } else { &dose.slower_foot };
    fill(by_side.of(spec.mover), &[("to", words.toward.of(spec.bearing))])
}

/// What the floor shows, in words.
pub(super) fn floor_in_words(
    mover: Side,
    hand: bool,
    ways: &[String],
    closed: &[Bearing],
    wording: Wording,
) -> String {
    let words = wording.words();
    let floor = &words.floor;
    let (stand, goes) = if hand {
        (floor.feet_stand.as_str(), &floor.hand_goes)
    } else {
        (floor.foot_stands.of(mover.other()), &floor.foot_goes)
    };
    let mut out = floor.seen.clone();
    out.push(stand.to_owned());
    out.push(fill(goes.of(mover), &[("ways", &ways.join("; "))]));
    if !closed.is_empty() {
        out.push(do_not_go(closed, wording));
    }
    out.join(" ")
}

/// The directions that stay closed, in one sentence.
pub(super) fn do_not_go(closed: &[Bearing], wording: Wording) -> String {
    let words = wording.words();
    let names: Vec<&str> = closed.iter().map(|b| words.directions.of(*b)).collect();
    fill(&words.sheet.do_not_go, &[("directions", &names.join(", "))])
}

/// What the figures show, in words.
pub(super) fn figure_in_words(mover: Side, spec: &MovementSpec, wording: Wording) -> String {
    let words = wording.words();
    let floor = &words.floor;
    let sentence = match spec.family {
        Family::TwoFootJump => &floor.shown_feet,
        Family::Step | Family::Lunge | Family::Leap | Family::Hop => floor.shown_foot.of(mover),
        Family::Reach => floor.shown_toes.of(mover),
        Family::BendAndReach => floor.shown_hand.of(mover),
    };
    fill(sentence, &[("to", words.toward.of(spec.bearing))])
}
