//! How dates, lengths, masses and directions are written in a language.

use anatomy::Side;
use drawing::{FloorWords, LengthWords};
use jiff::civil::Date;
use movement::{Bearing, Crossing, Family};
use quantity::{Length, Mass};

use super::{Units, Wording, Words, words};

/// Puts values into a sentence: each `{name}` becomes its value.
#[must_use]
pub fn fill(sentence: &str, values: &[(&str, &str)]) -> String {
    let mut out = sentence.to_owned();
    for (name, value) in values {
        out = out.replace(&format!("{{{name}}}"), value);
    }
    out
}

impl Wording {
    /// The sentences of its language.
    #[must_use]
    pub fn words(self) -> &'static Words {
        words(self.language)
    }

    /// A length as the patient reads it.
    #[must_use]
    pub fn length(self, length: Length) -> String {
        self.length_words().write(length)
    }

    /// How drawings write lengths.
    #[must_use]
    pub fn length_words(self) -> LengthWords {
        let names = &self.words().names;
        match self.units {
            Units::Metric => LengthWords::Centimetres { pattern: &names.cm },
            Units::Imperial => LengthWords::QuarterInches { pattern: &names.inches },
        }
    }

    /// A mass as the patient reads it: tenths of a kilogram, halves of a pound. Rounded down, so that nobody is
    /// told to carry more than both gates passed.
    #[must_use]
    pub fn mass(self, mass: Mass) -> String {
        let names = &self.words().names;
        let (value, parts, pattern) = match self.units {
            Units::Metric => (mass.in_kg(), 10.0, &names.kg),
            Units::Imperial => (mass.in_kg() * POUNDS_A_KILOGRAM, 2.0, &names.pounds),
        };
        // A millionth up first: 2.3 kg is not 2.29 because of how numbers are held.
        let down = (value.mul_add(parts, 1e-6)).floor() / parts;
        let number = format!("{down:.1}");
        let number = number.trim_end_matches(".0");
        fill(pattern, &[("number", &number.replace('.', &names.decimal))])
    }

    /// What stands on a drawn floor.
    #[must_use]
    pub fn floor_words(self) -> FloorWords {
        let words = self.words();
        FloorWords {
            directions: words.directions.all(),
            foot_letters: Side::BOTH.map(|side| words.names.foot_letter.of(side)),
            lengths: self.length_words(),
        }
    }
}

/// The international pound is 0.45359237 kg by definition.
const POUNDS_A_KILOGRAM: f64 = 1.0 / 0.453_592_37;

impl Words {
    /// A date with the name of its month.
    #[must_use]
    pub fn date(&self, date: Date) -> String {
        let day = if date.day() == 1 { self.names.first_of_month.clone() } else { date.day().to_string() };
        let month = usize::try_from(date.month() - 1).ok().and_then(|k| self.names.months.get(k));
        fill(
            &self.names.date,
            &[("day", &day), ("month", month.map_or("", String::as_str)), ("year", &date.year().to_string())],
        )
    }

    /// Day and short month with the day of the week, as in `Mon 30 Nov`.
    #[must_use]
    pub fn short_date(&self, date: Date) -> String {
        let at = |names: &[String], k: i8| {
            usize::try_from(k - 1).ok().and_then(|k| names.get(k).cloned()).unwrap_or_default()
        };
        format!(
            "{} {} {}",
            at(&self.names.weekdays_short, date.weekday().to_monday_one_offset()),
            date.day(),
            at(&self.names.months_short, date.month())
        )
    }

    /// `a`, `a and b`, `a, b and c`.
    #[must_use]
    pub fn list(&self, parts: &[String]) -> String {
        match parts {
            [] => String::new(),
            [one] => one.clone(),
            [first @ .., end] => format!("{} {} {end}", first.join(", "), self.names.and),
        }
    }

    /// Where a direction goes, with the way it crosses.
    #[must_use]
    pub fn direction(&self, bearing: Bearing, crossing: Crossing) -> String {
        let direction = self.directions.of(bearing);
        match crossing {
            Crossing::None => direction.to_owned(),
            Crossing::InFront => fill(&self.directions.across_in_front, &[("direction", direction)]),
            Crossing::Behind => fill(&self.directions.across_behind, &[("direction", direction)]),
        }
    }

    /// The plain title of a family.
    #[must_use]
    pub fn family(&self, family: Family) -> &str {
        let families = &self.families;
        match family {
            Family::Reach => &families.reach,
            Family::Step => &families.step,
            Family::Lunge => &families.lunge,
            Family::Leap => &families.leap,
            Family::TwoFootJump => &families.two_foot_jump,
            Family::Hop => &families.hop,
            Family::BendAndReach => &families.bend_and_reach,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::language::Language;

    #[test]
    fn a_mass_is_never_told_heavier_than_it_is() {
        let said = |kg: f64, units: Units| {
            let wording = Wording { units, ..Wording::ENGLISH };
            wording.mass(Mass::kg(kg)).replace(['\u{a0}', '\u{202f}'], " ")
        };
        for (kg, metric, imperial) in [
            (0.5, "0.5 kg", "1"),
            (1.0, "1 kg", "2"),
            (1.25, "1.2 kg", "2.5"),
            (2.3, "2.3 kg", "5"),
            (4.5, "4.5 kg", "9.5"),
            (10.0, "10 kg", "22"),
        ] {
            assert_eq!(said(kg, Units::Metric), metric);
            assert!(
                said(kg, Units::Imperial).starts_with(&format!("{imperial} ")),
                "{kg}: {}",
                said(kg, Units::Imperial)
            );
        }
        let french = Wording { language: Language::French, ..Wording::ENGLISH };
        assert!(french.mass(Mass::kg(1.25)).starts_with("1,2"));
    }
}
