//! A direction that hurt: a worse history never allows more of it, and no later day brings
//! back what is left out.

mod people;

use anatomy::Side;
use jiff::ToSpan;
use movement::{AnatomicalDirection as D, Bearing, Crossing, Family, MovementSpec, Support};
use people::{TODAY, all_well, average, found, frame, space};
use person::{Condition, Findings, HowKnown, HurtAt, Involved, OrderedLimit, SurgeonOrder};
use quantity::Length;
use safety::{Blocked, NoteKind, allowed_space};

fn hurt(cm: f64, pain: Option<u8>, settled: Option<bool>, spreads: bool, days_ago: i64) -> HurtAt {
    HurtAt {
        mover: Side::Right,
        bearing: Bearing::of(D::Posterior, Side::Right),
        family: None,
        distance: Length::cm(cm),
        pain,
        settled,
        spreads,
        on: TODAY.checked_sub(days_ago.days()).unwrap(),
    }
}

fn osteoarthritis() -> Condition {
    Condition::KneeOsteoarthritis {
        involved: Involved::Right,
        medial_or_varus_thrust: found(false),
        confirmed: Vec::new(),
    }
}

fn held() -> Option<movement::Place> {
    Some(frame(Length::cm(176.0)))
}

fn person(history: &[HurtAt]) -> Findings {
    let mut findings = all_well(vec![osteoarthritis()]);
    findings.hurt = history.to_vec();
    // A clinician accepts pain up to 3 that has settled by the next morning.
    findings.orders.push(SurgeonOrder {
        limit: OrderedLimit::PainUpTo(3),
        side: None,
        by: "M. Quill".to_owned(),
        known: HowKnown::SpokenToTeam,
        from: TODAY,
        until: None,
    });
    findings
}

/// Steps and hands that go that way, free and held, from short to long.
fn that_way() -> Vec<MovementSpec> {
    let bearing = Bearing::of(D::Posterior, Side::Right);
    let mut out = Vec::new();
    for cm in (5..=70).step_by(5) {
        let at = Length::cm(f64::from(cm));
        let free = MovementSpec::bare(Family::Step, Side::Right, bearing, Crossing::None, at);
        let hand = MovementSpec {
            hand_height: Some(movement::HandHeight::Knee),
            ..MovementSpec::bare(Family::BendAndReach, Side::Right, bearing, Crossing::None, at)
        };
        out.push(MovementSpec { support: Support::BothHands, place: held(), ..free.clone() });
        out.extend([free, hand]);
    }
    out
}

/// What may be done that way, and whether it is done slower.
fn open(findings: &Findings) -> Vec<Option<bool>> {
    let space = space(findings);
    let slower = |spec: MovementSpec| {
        let passed = space.screen(spec).ok()?;
        Some(passed.notes().iter().any(|note| note.kind == NoteKind::Slower))
    };
    that_way().into_iter().map(slower).collect()
}

/// Every entry there is, from fine to worst; distances as far and less far.
fn entries() -> Vec<HurtAt> {
    let mut out = Vec::new();
    for (cm, days_ago) in [(40.0, 6), (30.0, 4), (20.0, 2), (60.0, 1)] {
        out.push(hurt(cm, Some(2), Some(true), false, days_ago));
        out.push(hurt(cm, Some(1), None, false, days_ago));
        out.push(hurt(cm, Some(6), Some(false), false, days_ago));
        out.push(hurt(cm, None, None, true, days_ago));
    }
    out
}

#[test]
fn one_entry_more_never_allows_further_or_freer_or_faster() {
    let all = entries();
    let mut histories: Vec<Vec<HurtAt>> = vec![Vec::new()];
    for first in &all {
        histories.push(vec![first.clone()]);
        histories.extend(all.iter().filter(|e| *e != first).map(|e| vec![first.clone(), e.clone()]));
    }
    let mut closed = 0;
    for history in histories {
        let before = open(&person(&history));
        for entry in &all {
            let mut more = history.clone();
            more.push(entry.clone());
            let after = open(&person(&more));
            for ((was, is), spec) in before.iter().zip(&after).zip(that_way()) {
                let fine = match (was, is) {
                    (_, None) => true,
                    (None, Some(_)) => false,
                    (Some(was), Some(is)) => is >= was,
                };
                assert!(
                    fine,
                    "{}: {was:?} became {is:?} when {entry:?} came to {history:?}",
                    spec.sentence()
                );
                closed += usize::from(was.is_some() && is.is_none());
            }
        }
    }
    assert!(closed > 1000, "{closed}: too few to say anything");
}

#[test]
fn pain_1_three_times_shortens_then_slows_with_both_hands_then_leaves_out() {
    let strict = |entries: &[HurtAt]| Findings { orders: Vec::new(), ..person(entries) };
    let pain_1 = |cm, days_ago| hurt(cm, Some(1), None, false, days_ago);
    let at = |findings: &Findings, cm: f64, support: Support| {
        let bearing = Bearing::of(D::Posterior, Side::Right);
        let spec = MovementSpec {
            support,
            place: held().filter(|_| support == Support::BothHands),
            ..MovementSpec::bare(Family::Step, Side::Right, bearing, Crossing::None, Length::cm(cm))
        };
        let passed = space(findings).screen(spec).ok()?;
        Some(passed.notes().iter().any(|note| note.kind == NoteKind::Slower))
    };
    let once = strict(&[pain_1(40.0, 6)]);
    assert_eq!([at(&once, 30.0, Support::None), at(&once, 31.0, Support::None)], [Some(false), None]);
    let twice = strict(&[pain_1(40.0, 6), pain_1(30.0, 4)]);
    assert_eq!(at(&twice, 20.0, Support::BothHands), Some(true), "slower, both hands");
    assert_eq!([at(&twice, 20.0, Support::None), at(&twice, 21.0, Support::BothHands)], [None, None]);
    let thrice = strict(&[pain_1(40.0, 6), pain_1(30.0, 4), pain_1(20.0, 2)]);
    assert_eq!(at(&thrice, 5.0, Support::BothHands), None);
    let refusal = space(&thrice).left_out_for_pain(&that_way()[0]).expect("left out");
    assert_eq!((refusal.rule.as_str(), &refusal.blocked), ("PAIN-3", &Blocked::Direction));
    assert!(refusal.opens_when.contains("the therapist offers it again"), "{}", refusal.opens_when);
    for fewer in [&once, &twice] {
        assert_eq!(space(fewer).left_out_for_pain(&that_way()[0]), None);
    }
}

#[test]
fn what_is_left_out_stays_out_on_every_later_day_until_an_entry_is_taken_out() {
    let entries = [40.0, 30.0, 20.0].map(|cm| hurt(cm, Some(1), None, false, 2));
    let findings = Findings { orders: Vec::new(), ..person(&entries) };
    for days in (0..800).step_by(20) {
        let on = TODAY.checked_add(days.days()).unwrap();
        // Findings made new that day: all well, but for what hurt.
        let mut fresh = findings.clone();
        fresh.red_flags = person::Finding::Found { value: Vec::new(), on };
        for found in [&findings, &fresh] {
            let space = allowed_space(found, &average(), on);
            for spec in that_way() {
                assert!(space.left_out_for_pain(&spec).is_some() && space.screen(spec).is_err(), "{on}");
            }
        }
    }
    // Only taking an entry out brings it back, and then as after two.
    let mut fewer = findings;
    fewer.hurt.pop();
    assert_eq!(space(&fewer).left_out_for_pain(&that_way()[0]), None);
}
