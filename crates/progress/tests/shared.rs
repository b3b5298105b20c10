//! What the painful directions share: planted causes are found, chance is not called one, mirrors mirror.

use anatomy::Side;
use movement::{Bearing, Crossing, Family};
use progress::{Bend, Cell, InCommon, Probe, Quantity, Shared, Tried, shared};

const ANKLE: Quantity = Quantity::Goes { motion: Bend::Ankle, leg: Side::Left };
const KNEE: Quantity = Quantity::Goes { motion: Bend::Knee, leg: Side::Left };
const HIP: Quantity = Quantity::Goes { motion: Bend::Hip, leg: Side::Right };

fn at(quantity: Quantity) -> usize {
    Quantity::all().iter().position(|one| *one == quantity).unwrap()
}

/// A number between 0 and 1 that depends on nothing but its place.
fn noise(seed: usize) -> f64 {
    let mut z = (seed as u64 + 1).wrapping_mul(0x9E37_79B9_7F4A_7C15);
    z = (z ^ (z >> 29)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
    ((z ^ (z >> 32)) % 10_000) as f64 / 10_000.0
}

fn cell(place: usize) -> Cell {
    Cell {
        exercise: 1,
        mover: Side::BOTH[place % 2],
        bearing: Bearing::ALL[place / 2],
        crossing: Crossing::None,
        family: Family::Step,
    }
}

/// Sixteen directions of noise, where the five with the most of one quantity hurt.
fn planted(cause: Quantity, seed: usize) -> Vec<Tried> {
    let values = |place: usize| -> Vec<Option<f64>> {
        (0..Quantity::all().len()).map(|q| Some(100.0 * noise(seed + 40 * place + q))).collect()
    };
    let mut all: Vec<Tried> =
        (0..16).map(|place| Tried { cell: cell(place), done: 6, hurt: 0, values: values(place) }).collect();
    let mut order: Vec<usize> = (0..16).collect();
    order.sort_by(|a, b| {
        let of = |place: &usize| all[*place].values[at(cause)].unwrap() * cause.sign();
        of(b).total_cmp(&of(a))
    });
    order[..5].iter().for_each(|place| all[*place].hurt = 2);
    all
}

fn found(tried: &[Tried], probes: &[Probe]) -> InCommon {
    match shared(tried, probes) {
        Shared::Shares(found) => *found,
        Shared::CannotSay { why, .. } => panic!("{why}"),
    }
}

#[test]
fn a_planted_cause_is_named_with_sample_and_uncertainty() {
    for (seed, cause) in [(1, ANKLE), (900, Quantity::Distance), (1900, Quantity::BalanceMargin), (2900, HIP)]
    {
        let found = found(&planted(cause, seed), &[]);
        assert_eq!(found.best.quantity, cause);
        assert!((found.best.area - 1.0).abs() < 1e-12 && found.best.chance <= 0.05, "{found:?}");
        assert_eq!((found.painful, found.painless), (5, 11));
        assert!(found.best.interval.0 < 0.95, "a small sample leaves room: {:?}", found.best.interval);
        assert!(
            found.words.contains(&cause.words()) && found.words.contains("quantities tried"),
            "{}",
            found.words
        );
        assert!(!found.words.contains("vastus"));
    }
}

/// Labels drawn over noise: no more often than the named 5 of 100, with all quantities tried.
#[test]
fn chance_is_seldom_called_a_cause() {
    let called = (0..100)
        .filter(|seed| {
            let mut tried = planted(ANKLE, 50_000 + 1000 * seed);
            let mut order: Vec<usize> = (0..16).collect();
            order.sort_by(|a, b| noise(7_000 + seed * 100 + a).total_cmp(&noise(7_000 + seed * 100 + b)));
            tried.iter_mut().for_each(|one| one.hurt = 0);
            order[..5].iter().for_each(|place| tried[*place].hurt = 1);
            matches!(shared(&tried, &[]), Shared::Shares(_))
        })
        .count();
    // 5 are expected; 13 would be more than three and a half standard errors away.
    assert!(called <= 12, "{called} of 100");
}

#[test]
fn too_few_directions_are_silence() {
    let silent = |tried: &[Tried]| match shared(tried, &[]) {
        Shared::CannotSay { why, .. } => why,
        Shared::Shares(found) => panic!("{found:?}"),
    };
    let all = planted(ANKLE, 1);
    let painless: Vec<Tried> = all.iter().filter(|one| one.hurt == 0).cloned().collect();
    assert_eq!(silent(&painless), "No direction hurt.");
    let painful: Vec<Tried> = all.iter().filter(|one| one.hurt > 0).cloned().collect();
    assert!(silent(&painful).contains("nothing to compare with"));
    // One painful of six: the best that can be is one in six.
    let few: Vec<Tried> = painful.iter().take(1).chain(painless.iter().take(5)).cloned().collect();
    assert!(silent(&few).contains("none separates them better than chance would"));
    // Done once is not yet painless.
    let once: Vec<Tried> = all.iter().cloned().map(|one| Tried { done: 1.max(one.hurt), ..one }).collect();
    assert!(silent(&once).contains("nothing to compare with"));
}

#[test]
fn what_goes_together_is_named_together() {
    let mut tried = planted(ANKLE, 1);
    for one in &mut tried {
        one.values[at(KNEE)] = one.values[at(ANKLE)].map(|ankle| 2.0 * ankle + 5.0);
    }
    let found = found(&tried, &[]);
    let both: Vec<Quantity> =
        std::iter::once(found.best.quantity).chain(found.alike.iter().map(|one| one.quantity)).collect();
    assert!(both.contains(&ANKLE) && both.contains(&KNEE), "{both:?}");
    assert!(found.words.contains("cannot be told apart here"), "{}", found.words);
}

/// Ankle and hip both separate here and are not the same: the movement with much of one and little of the other.
#[test]
fn one_permitted_movement_would_settle_it() {
    let mut tried = planted(ANKLE, 1);
    for (place, one) in tried.iter_mut().enumerate() {
        let (low, high) = (20.0, 60.0);
        one.values[at(HIP)] = Some(if one.hurt > 0 { high } else { low } + 10.0 * noise(place + 5));
    }
    let probe = |sentence: &str, ankle: f64, hip: f64| {
        let mut values = vec![Some(50.0); Quantity::all().len()];
        (values[at(ANKLE)], values[at(HIP)]) = (Some(ankle), Some(hip));
        Probe { sentence: sentence.to_owned(), values }
    };
    let probes = [
        probe("both", 95.0, 70.0),
        probe("neither", 5.0, 20.0),
        probe("ankle", 95.0, 20.0),
        probe("hip", 5.0, 70.0),
    ];
    let found = found(&tried, &probes);
    let gentle = if found.best.quantity == ANKLE { "hip" } else { "ankle" };
    assert_eq!(found.settle.as_deref(), Some(gentle), "{}", found.words);
    // Without a movement that tells them apart there is none.
    assert_eq!(self::found(&tried, &probes[..2]).settle, None);
}

#[test]
fn the_mirrored_person_gets_the_mirrored_answer_and_the_order_does_not_matter() {
    let tried = planted(ANKLE, 1);
    let mut backwards = tried.clone();
    backwards.reverse();
    assert_eq!(shared(&tried, &[]), shared(&backwards, &[]));
    let mirrored: Vec<Tried> = tried
        .iter()
        .map(|one| {
            let values = Quantity::all().iter().map(|quantity| one.values[at(quantity.mirrored())]).collect();
            let cell =
                Cell { mover: one.cell.mover.other(), bearing: one.cell.bearing.mirrored(), ..one.cell };
            Tried { cell, values, ..one.clone() }
        })
        .collect();
    let (here, there) = (found(&tried, &[]), found(&mirrored, &[]));
    assert_eq!(there.best.quantity, here.best.quantity.mirrored());
    assert!((there.best.area - here.best.area).abs() < 1e-12);
    assert!((there.best.chance - here.best.chance).abs() < 0.01, "drawn in another order");
}
