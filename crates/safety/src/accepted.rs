//! Pain that an order accepts for one person, and the last day on which that figure holds.

use jiff::ToSpan;
use jiff::civil::Date;
use person::{OrderedLimit, SurgeonOrder};

use crate::pain;

/// Pain that somebody who may accepted for this person.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct AcceptedPain {
    /// The most of 10; the smallest where several orders hold.
    pub up_to: u8,
    /// The last day of this figure; none where no order says one.
    pub until: Option<Date>,
}

/// The pain accepted on a day by an order that may loosen and is about both legs, with how long the same figure
/// holds; none where the strict rule does. An order that begins later ends it where its figure is another.
#[must_use]
pub fn accepted_pain(orders: &[SurgeonOrder], on: Date) -> Option<AcceptedPain> {
    let figure = |day: Date| pain::accepted(orders, day).map(|(_, most)| most);
    let up_to = figure(on)?;
    let about_pain = orders.iter().filter(|order| matches!(order.limit, OrderedLimit::PainUpTo(_)));
    // The figure changes only after the last day of an order and before the first of one.
    let mut ends: Vec<Date> = about_pain
        .flat_map(|order| [order.until, order.from.checked_sub(1.day()).ok()])
        .flatten()
        .filter(|end| *end >= on)
        .collect();
    ends.sort_unstable();
    let until = ends
        .into_iter()
        .find(|end| end.checked_add(1.day()).map_or(true, |next| figure(next) != Some(up_to)));
    Some(AcceptedPain { up_to, until })
}

#[cfg(test)]
mod tests {
    use super::*;
    use jiff::civil::date;
    use person::HowKnown;

    fn order(pain: u8, known: HowKnown, from: Date, until: Option<Date>) -> SurgeonOrder {
        SurgeonOrder {
            limit: OrderedLimit::PainUpTo(pain),
            side: None,
            by: "Tarn, physiotherapist".to_owned(),
            known,
            from,
            until,
        }
    }

    #[test]
    fn only_an_order_that_may_loosen_accepts_pain_and_only_on_its_days() {
        let (from, until) = (date(2026, 2, 2), date(2026, 2, 15));
        let written = [order(4, HowKnown::LetterSeen, from, Some(until))];
        let said = order(4, HowKnown::PatientSays, from, Some(until));
        assert_eq!(accepted_pain(&[said], from), None);
        let held = Some(AcceptedPain { up_to: 4, until: Some(until) });
        assert_eq!(accepted_pain(&written, from), held);
        assert_eq!(accepted_pain(&written, until), held);
        assert_eq!(accepted_pain(&written, date(2026, 2, 16)), None);
    }

    /// Nobody tells which leg hurts: an order about one accepts nothing, and makes a figure only smaller.
    #[test]
    fn an_order_about_one_leg_or_of_the_patients_word_only_tightens() {
        let from = date(2026, 2, 2);
        let both = order(4, HowKnown::LetterSeen, from, None);
        for side in anatomy::Side::BOTH {
            let of_one =
                |pain| SurgeonOrder { side: Some(side), ..order(pain, HowKnown::LetterSeen, from, None) };
            assert_eq!(accepted_pain(&[of_one(4)], from), None);
            let up_to = |orders: &[SurgeonOrder]| accepted_pain(orders, from).map(|pain| pain.up_to);
            assert_eq!(up_to(&[both.clone(), of_one(2)]), Some(2));
            assert_eq!(up_to(&[both.clone(), of_one(5)]), Some(4));
            assert_eq!(up_to(&[both.clone(), order(1, HowKnown::PatientSays, from, None)]), Some(1));
        }
    }

    #[test]
    fn the_smallest_figure_holds_until_another_does() {
        let long = order(4, HowKnown::LetterSeen, date(2026, 2, 2), None);
        let tighter = order(2, HowKnown::LetterSeen, date(2026, 2, 10), Some(date(2026, 2, 12)));
        let same = order(4, HowKnown::LetterSeen, date(2026, 2, 5), Some(date(2026, 2, 6)));
        let orders = vec![long.clone(), tighter, same];
        let held = |up_to, until| Some(AcceptedPain { up_to, until });
        assert_eq!(accepted_pain(&orders, date(2026, 2, 4)), held(4, Some(date(2026, 2, 9))));
        assert_eq!(accepted_pain(&orders, date(2026, 2, 10)), held(2, Some(date(2026, 2, 12))));
        assert_eq!(accepted_pain(&orders, date(2026, 2, 13)), held(4, None));
        assert_eq!(accepted_pain(&[long], date(2026, 2, 1)), None);
    }
}
