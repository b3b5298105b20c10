//! What a therapist may choose as dose and pace of one exercise, and what becomes of a choice that is too much.
//!
//! Repetitions and rounds are counted, the pace is the time of the way out, the hold and the way back.
//! Nothing quicker than the pace of `reference/dose.toml` may be chosen: joint moments are computed for
//! postures that are held, and a quick, braked movement asks more of a joint than they say.

use movement::{Dose, Family, Tempo};
use quantity::Span;

use crate::{Limits, figures};

/// The least and the most of everything that may be chosen for one exercise today.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct DoseRules {
    /// Repetitions of a direction before changing.
    pub repetitions: (u8, u8),
    /// Rounds; fewer at most where pain is easily provoked.
    pub rounds: (u8, u8),
    /// Times a day; once for leaps, jumps and hops.
    pub per_day: (u8, u8),
    /// The way out, and the way back.
    pub way: (Span, Span),
    /// The hold at the far point.
    pub hold: (Span, Span),
}

/// A choice that is not accepted.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum DoseError {
    /// A number that is out of its range.
    #[error("{what} cannot be {given}; accepted: {least} to {most}{because}")]
    Out {
        /// What was chosen, as in `repetitions`.
        what: &'static str,
        /// What was given.
        given: String,
        /// The least.
        least: String,
        /// The most.
        most: String,
        /// Why no more, where a rule of today says so; begins with a comma.
        because: &'static str,
    },
    /// All exercises together take too long.
    #[error(
        "all exercises together would take {minutes:.1} minutes; accepted: {at_most:.0} minutes at most; choose \
         fewer repetitions or rounds, or take a movement out"
    )]
    TooLong {
        /// Of the whole programme.
        minutes: f64,
        /// The most.
        at_most: f64,
    },
}

const EASILY: &str = ", because pain is easily provoked or was not asked for";
const IMPACT: &str = ", because leaps, jumps and hops are done once on their day";

impl DoseRules {
    /// The rules for an exercise of this family under the limits of today. `wished` is how often a day
    /// the person wants to practise.
    #[must_use]
    pub fn of(family: Family, limits: &Limits, wished: u8) -> Self {
        let figures = figures();
        let per_day = if family.is_airborne() { 1 } else { figures.per_day_at_most.max(wished) };
        Self {
            repetitions: (figures.repetitions_at_least, figures.repetitions_at_most),
            rounds: (1, limits.rounds.unwrap_or(figures.rounds_at_most).min(figures.rounds_at_most).max(1)),
            per_day: (1, per_day),
            way: (figures.tempo.out.max(figures.tempo.back), figures.pace_part_at_most),
            hold: (Span::ZERO, figures.pace_part_at_most),
        }
    }

    /// Refuses what is out of range.
    ///
    /// # Errors
    /// The first number that is, with what is accepted.
    pub fn check(&self, dose: Dose, tempo: Tempo) -> Result<(), DoseError> {
        let full_rounds = figures().rounds_at_most;
        let counts = [
            ("the number of repetitions", dose.repetitions, self.repetitions, ""),
            (
                "the number of rounds",
                dose.rounds,
                self.rounds,
                if self.rounds.1 < full_rounds { EASILY } else { "" },
            ),
            ("times a day", dose.per_day, self.per_day, if self.per_day.1 == 1 { IMPACT } else { "" }),
        ];
        for (what, given, (least, most), because) in counts {
            if !(least..=most).contains(&given) {
                let [given, least, most] = [given, least, most].map(|count| count.to_string());
                return Err(DoseError::Out { what, given, least, most, because });
            }
        }
        let times = [
            ("the way out", tempo.out, self.way, ", because nothing quicker is computed"),
            ("the hold", tempo.hold, self.hold, ""),
            ("the way back", tempo.back, self.way, ", because nothing quicker is computed"),
        ];
        for (what, given, (least, most), quicker) in times {
            if !(least.in_s()..=most.in_s()).contains(&given.in_s()) {
                let because = if given.in_s() < least.in_s() { quicker } else { "" };
                let [given, least, most] = [given, least, most].map(|span| format!("{} s", span.in_s()));
                return Err(DoseError::Out { what, given, least, most, because });
            }
        }
        Ok(())
    }

    /// A dose that was accepted, brought within the rules of today, and whether that changed it. Nothing
    /// is ever raised but what lies under the least.
    #[must_use]
    pub fn within(&self, dose: Dose, tempo: Tempo) -> (Dose, Tempo, bool) {
        let span = |given: Span, (least, most): (Span, Span)| given.max(least).min(most);
        let kept = (
            Dose {
                repetitions: dose.repetitions.clamp(self.repetitions.0, self.repetitions.1),
                rounds: dose.rounds.clamp(self.rounds.0, self.rounds.1),
                per_day: dose.per_day.clamp(self.per_day.0, self.per_day.1),
                ..dose
            },
            Tempo {
                out: span(tempo.out, self.way),
                hold: span(tempo.hold, self.hold),
                back: span(tempo.back, self.way),
                ..tempo
            },
        );
        let changed = kept != (dose, tempo);
        (kept.0, kept.1, changed)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::laws::limits;

    fn dose(repetitions: u8, rounds: u8, per_day: u8) -> Dose {
        Dose { repetitions, rounds, rest: figures().rest, per_day }
    }

    #[test]
    fn what_is_too_much_today_is_refused_with_what_is_accepted_and_lowered_when_it_was_accepted_before() {
        let mut limited = limits(5.0);
        limited.rounds = Some(1);
        let rules = DoseRules::of(Family::Step, &limited, 1);
        let usual = figures().tempo;
        assert_eq!(rules.check(dose(3, 1, 2), usual), Ok(()));
        let told = rules.check(dose(3, 2, 1), usual).expect_err("two rounds").to_string();
        assert_eq!(
            told,
            "the number of rounds cannot be 2; accepted: 1 to 1, because pain is easily provoked or was not \
             asked for"
        );
        assert!(rules.check(dose(9, 1, 1), usual).expect_err("nine").to_string().contains("2 to 5"));
        let (lower, same, changed) = rules.within(dose(3, 2, 1), usual);
        assert_eq!((lower, same, changed), (dose(3, 1, 1), usual, true));
        assert!(!rules.within(dose(3, 1, 1), usual).2);
    }

    #[test]
    fn nothing_quicker_than_what_is_computed_may_be_chosen() {
        let rules = DoseRules::of(Family::Step, &limits(5.0), 1);
        let usual = figures().tempo;
        let quick = Tempo { out: Span::s(1.0), ..usual };
        let told = rules.check(dose(2, 1, 1), quick).expect_err("one second").to_string();
        assert!(
            told.contains("the way out cannot be 1 s; accepted: 2 s to 10 s, because nothing quicker"),
            "{told}"
        );
        assert_eq!(rules.within(dose(2, 1, 1), quick).1, usual);
        assert_eq!(
            rules.check(dose(2, 1, 1), Tempo { out: Span::s(4.0), hold: Span::ZERO, ..usual }),
            Ok(())
        );
    }

    #[test]
    fn leaps_jumps_and_hops_are_done_once_a_day_whatever_is_wished() {
        assert_eq!(DoseRules::of(Family::Hop, &limits(5.0), 4).per_day, (1, 1));
        assert_eq!(DoseRules::of(Family::Step, &limits(5.0), 4).per_day, (1, 4));
    }
}
