//! The same findings as if some of them had been made again on a later day: what only age closes.

use anatomy::Side;
use jiff::civil::Date;

use crate::{Finding, Findings};

impl<T> Finding<T> {
    fn found_again(&mut self, before: &[Date], today: Date) {
        if let Self::Found { on, .. } = self
            && before.contains(on)
        {
            *on = today;
        }
    }
}

impl Findings {
    /// The same findings where everything that was found on one of these days was found again today, and the same.
    /// Orders, conditions and what hurt keep their days. It asks what a new look would open, and is never stored.
    ///
    /// ```
    /// use jiff::civil::date;
    /// use person::Finding;
    /// let case = person::case_file::read("the example", &person::case_file::template()).unwrap();
    /// let again = case.findings.found_again(&[case.visit], date(2026, 4, 1));
    /// assert_eq!(again.sit_to_stands, Finding::Found { value: 10, on: date(2026, 4, 1) });
    /// assert_eq!(again.hurt, case.findings.hurt);
    /// ```
    #[must_use]
    pub fn found_again(&self, before: &[Date], today: Date) -> Self {
        let mut f = self.clone();
        macro_rules! plain { ($($name:ident)*) => { $(f.$name.found_again(before, today);)* } }
        macro_rules! sided {
            ($($name:ident)*) => { $(for side in Side::BOTH { f.$name.get_mut(side).found_again(before, today); })* }
        }
        plain!(red_flags other_conditions aid pain_at_rest pain_in_movement consistent_night_pain);
        plain!(stands_and_shifts wound_dry tandem_stance timed_up_and_go sit_to_stands stairs_reciprocal);
        plain!(dizzy_bending clean_step_directions clean_reaches surgeon_review falls_past_year consent);
        sided!(weight_bearing effusion knee_flexion extension_lag ankle_dorsiflexion single_leg_stance);
        sided!(single_leg_stance_fingertip trendelenburg);
        for row in self.answers.rows() {
            let mut found = row.found.clone();
            found.found_again(before, today);
            f.answers.set(row.answer, row.side.unwrap_or(Side::Left), found);
        }
        for strength in &mut f.strength {
            strength.moment.found_again(before, today);
        }
        f
    }
}
