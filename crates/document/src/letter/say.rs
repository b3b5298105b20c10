//! How a letter says numbers, days, limbs, directions, conditions and orders in its language.

use anatomy::{JointMotion, Side};
use jiff::civil::Date;
use measurement::{InstrumentKey, Scale, StanceDirection, Unit};
use movement::{AnatomicalDirection, Bearing, Family, Support, SupportKind};
use person::{
    Condition, Finding, HowKnown, Involved, OrderedLimit, SurgeonOrder, WeightBearing, WeightBearingGrade,
};
use quantity::Length;
use safety::FindingKey;
use serde::Serialize;

use super::words::{BySides, LetterWords, letter_words};
use crate::language::{Counted, Language, Words, fill, words};

/// No line breaks between a number and its unit.
const NARROW: char = '\u{a0}';

/// The sentences of one language.
#[derive(Clone, Copy)]
pub(super) struct Say {
    pub language: Language,
    pub w: &'static LetterWords,
    shared: &'static Words,
}

/// The key of a plain enum member as records write it.
pub(super) fn key_of(of: &impl Serialize) -> String {
    match serde_json::to_value(of) {
        Ok(serde_json::Value::String(key)) => key,
        _ => String::new(),
    }
}

impl Say {
    pub fn of(language: Language) -> Self {
        Self { language, w: letter_words(language), shared: words(language) }
    }

    pub fn date(self, date: Date) -> String {
        self.shared.date(date)
    }

    pub fn list(self, parts: &[String]) -> String {
        self.shared.list(parts)
    }

    /// The letter of a foot.
    pub fn foot(self, side: Side) -> &'static str {
        self.shared.names.foot_letter.of(side)
    }

    /// A number with so many digits after the point, as the language writes it.
    pub fn number(self, value: f64, digits: usize) -> String {
        let rounded = format!("{value:.digits$}");
        // "-0.0" would puzzle a reader.
        let plain = if rounded.trim_start_matches('-').chars().all(|c| c == '0' || c == '.') {
            rounded.trim_start_matches('-').to_owned()
        } else {
            rounded
        };
        plain.replace('.', &self.shared.names.decimal)
    }

    /// A number with its unit.
    pub fn amount(self, value: f64, unit: Unit, digits: usize) -> String {
        let number = self.number(value, digits);
        match unit {
            Unit::Deg => format!("{number}°"),
            Unit::Points => format!("{number}{NARROW}{}", self.counted(&self.w.names.units.points, &number)),
            Unit::Count => format!("{number}{NARROW}{}", self.counted(&self.w.names.units.times, &number)),
            other => format!("{number}{NARROW}{}", other.symbol()),
        }
    }

    /// The same on its scale: `72 % of limb length`.
    pub fn on_scale(self, value: f64, scale: Scale, unit: Unit, digits: usize) -> String {
        let scales = &self.w.names.scales;
        let pattern = match scale {
            Scale::Raw => return self.amount(value, unit, digits),
            Scale::LimbLength => &scales.limb_length,
            Scale::Height => &scales.height,
            Scale::BodyMass => &scales.body_mass,
            Scale::Symmetry => &scales.symmetry,
            Scale::SideDifference => &scales.side_difference,
        };
        fill(pattern, &[("value", &self.amount(value, unit, digits))])
    }

    /// The words that belong to a number as it is written: one of it, or in French anything below two.
    fn counted<'a>(self, of: &'a Counted, number: &str) -> &'a str {
        let below_two = || {
            let whole = number.trim_start_matches('-').split(',').next();
            matches!(whole, Some("0" | "1"))
        };
        let one = if self.language == Language::French { below_two() } else { number == "1" };
        if one { &of.one } else { &of.many }
    }

    /// A difference of shares, which is not a share of anything.
    pub fn percentage_points(self, value: f64, digits: usize) -> String {
        let number = self.number(value, digits);
        fill(self.counted(&self.w.change.percentage_points, &number), &[("number", &number)])
    }

    /// Parts of one line, as the language sets its semicolon.
    pub fn join(self, parts: &[String]) -> String {
        parts.join(&self.w.names.semicolon)
    }

    /// A chance in whole per cent, never certain.
    pub fn chance(self, chance: f64) -> String {
        match 100.0 * chance {
            percent if percent > 99.0 => self.w.change.more_than.clone(),
            percent if percent < 1.0 => self.w.change.less_than.clone(),
            percent => format!("{percent:.0}{NARROW}%"),
        }
    }

    pub fn length(self, length: Length) -> String {
        // Rounded down: what is said to be open is open.
        format!("{:.0}{NARROW}cm", down(length.in_cm(), 0))
    }

    pub fn test(self, key: InstrumentKey) -> String {
        self.w.tests.get(key.as_str()).cloned().unwrap_or_else(|| key.instrument().name.clone())
    }

    pub fn finding(self, key: FindingKey) -> String {
        self.w.findings.get(&key.key()).cloned().unwrap_or_else(|| key.words().to_owned())
    }

    /// A finding by the key that a list of questions gives.
    pub fn finding_of(self, key: &str) -> String {
        if key.starts_with("confirmation") {
            return self.w.findings.get("confirmation").cloned().unwrap_or_default();
        }
        FindingKey::from_key(key).map_or_else(|| key.to_owned(), |key| self.finding(key))
    }

    fn motion(self, motion: JointMotion) -> String {
        self.w.motions.get(&motion.key()).cloned().unwrap_or_else(|| motion.name().to_owned())
    }

    pub fn leg(self, side: Option<Side>) -> &'static str {
        match side {
            Some(Side::Left) => &self.w.names.leg.left,
            Some(Side::Right) => &self.w.names.leg.right,
            None => &self.w.names.leg.both,
        }
    }

    pub fn direction(self, direction: AnatomicalDirection) -> String {
        self.w.directions.get(direction.name()).cloned().unwrap_or_default()
    }

    /// The limb and direction of a result.
    pub fn limb(self, side: Option<Side>, direction: Option<StanceDirection>) -> String {
        match (side, direction) {
            (Some(side), Some(direction)) => {
                let name = self.w.directions.get(direction.name()).cloned().unwrap_or_default();
                fill(self.w.names.standing_on.of(side), &[("direction", &name)])
            }
            (Some(side), None) => self.leg(Some(side)).to_owned(),
            (None, _) => self.w.names.whole_person.clone(),
        }
    }

    pub fn family(self, family: Family) -> String {
        self.w.families.get(&key_of(&family)).cloned().unwrap_or_default()
    }

    /// Directions of one limb in one family, from straight ahead round; with the limb they are named from where that is the other.
    pub fn ways(self, family: Family, mover: Side, bearings: &[Bearing]) -> String {
        let mut sorted = bearings.to_vec();
        sorted.sort_unstable();
        sorted.dedup();
        let from = family.named_from(mover);
        let mut named: Vec<AnatomicalDirection> = sorted.iter().map(|one| one.named_from(from)).collect();
        // In the order of the trade, so that both limbs read alike.
        named.sort_by_key(|one| AnatomicalDirection::ALL.iter().position(|known| known == one));
        let names: Vec<String> = named.into_iter().map(|one| self.direction(one)).collect();
        let list = self.list(&names);
        if from == mover { list } else { format!("{list} ({})", self.w.names.named_from.of(from)) }
    }

    pub fn support(self, support: Support, held: Option<SupportKind>) -> String {
        let key = match (support, held) {
            (Support::BothHands, Some(kind)) => key_of(&kind),
            _ => key_of(&support),
        };
        self.w.supports.get(&key).cloned().unwrap_or_default()
    }

    /// How long ago a day was.
    pub fn ago(self, day: Date, today: Date) -> String {
        let weeks = usize::try_from((today - day).get_days() / 7).unwrap_or(0);
        if weeks == 0 {
            return self.w.names.less_than_a_week.clone();
        }
        fill(self.w.names.weeks_ago.of(weeks), &[("count", &weeks.to_string())])
    }

    /// A condition with its side, form and day.
    pub fn condition(self, condition: &Condition, today: Date) -> String {
        let forms = |key: &str| self.w.forms.get(key).cloned();
        let (key, mut tail): (&str, Vec<String>) = match condition {
            Condition::HipReplacement { approach, .. } => {
                let form = match approach {
                    Finding::Found { value, .. } => forms(&key_of(value)),
                    Finding::NotAssessed => forms("unknown_approach"),
                };
                ("hip_replacement", form.into_iter().collect())
            }
            Condition::KneeReplacement { .. } => ("knee_replacement", Vec::new()),
            Condition::KneeOsteoarthritis { .. } => ("knee_osteoarthritis", Vec::new()),
            Condition::FallsRisk { .. } => ("falls_risk", Vec::new()),
            Condition::Presented(one) => {
                let form = match &one.pattern {
                    Finding::Found { value, .. } => forms(value.key()),
                    Finding::NotAssessed => None,
                };
                (one.presentation.key(), form.into_iter().collect())
            }
            Condition::Other(_) => ("other", Vec::new()),
        };
        let name = match condition {
            Condition::Other(other) => other.name.as_str(),
            _ => "",
        };
        let operated = match condition {
            Condition::HipReplacement { .. } | Condition::KneeReplacement { .. } => Some(true),
            Condition::Presented(one) => match one.presentation.clock() {
                person::Clock::Operation => Some(true),
                person::Clock::Injury => Some(false),
                person::Clock::None => None,
            },
            _ => None,
        };
        match (condition.since(), operated) {
            (Some(day), Some(operated)) => {
                let pattern = forms(if operated { "operated" } else { "injured" }).unwrap_or_default();
                let values = [("date", self.date(day)), ("ago", self.ago(day, today))];
                tail.push(fill(&pattern, &values.each_ref().map(|(key, value)| (*key, value.as_str()))));
            }
            (None, Some(_)) => tail.extend(forms("day_unknown")),
            _ => {}
        }
        let Some(sides) = self.w.conditions.get(key) else { return key.to_owned() };
        let mut out = vec![fill(by_side(sides, condition.involved()), &[("name", name)])];
        out.append(&mut tail);
        format!("{}.", out.join(", "))
    }

    fn known(self, known: HowKnown) -> &'static str {
        match known {
            HowKnown::LetterSeen => &self.w.weight.letter_seen,
            HowKnown::SpokenToTeam => &self.w.weight.spoken_to_team,
            HowKnown::PatientSays => &self.w.weight.patient_says,
        }
    }

    fn until(self, until: Option<Date>) -> String {
        match until {
            Some(day) => fill(&self.w.weight.until, &[("date", &self.date(day))]),
            None => self.w.weight.no_end.clone(),
        }
    }

    /// A weight-bearing order of one leg.
    pub fn weight(self, side: Side, order: &WeightBearing) -> String {
        let words = &self.w.weight;
        let grade = match order.grade {
            WeightBearingGrade::NonWeightBearing => &words.non_weight_bearing,
            WeightBearingGrade::TouchWeightBearing => &words.touch_weight_bearing,
            WeightBearingGrade::PartialWeightBearing => &words.partial_weight_bearing,
            WeightBearingGrade::AsTolerated => &words.as_tolerated,
            WeightBearingGrade::Full => &words.full,
        };
        let share = order.share.map_or_else(
            || words.share_unknown.clone(),
            |share| format!("{:.0}{NARROW}%", down(share.in_percent(), 0)),
        );
        let grade = fill(grade.of(side), &[("share", &share)]);
        fill(
            &words.order,
            &[
                ("words", &grade),
                ("by", &order.by),
                ("known", self.known(order.known)),
                ("until", &self.until(order.until)),
            ],
        )
    }

    /// What an order says, without who gave it.
    pub fn limit(self, order: &SurgeonOrder) -> String {
        let words = &self.w.orders;
        let leg = self.leg(order.side);
        match &order.limit {
            OrderedLimit::JointAngle { motion, at_most } => fill(
                &words.joint_angle,
                &[
                    ("motion", &capital(&self.motion(*motion))),
                    ("leg", leg),
                    ("angle", &format!("{:.0}°", down(at_most.in_deg(), 0))),
                ],
            ),
            OrderedLimit::NoPrecautions => words.no_precautions.clone(),
            OrderedLimit::NoPivot => fill(&words.no_pivot, &[("leg", leg)]),
            OrderedLimit::LevelAtMost(level) => {
                fill(&words.level_at_most, &[("level", &level.to_string()), ("leg", leg)])
            }
            OrderedLimit::DistanceAtMost(length) => {
                fill(&words.distance_at_most, &[("distance", &self.length(*length)), ("leg", leg)])
            }
            OrderedLimit::LoadAtMost(mass) => {
                let mass = format!("{}{NARROW}kg", self.number(down(mass.in_kg(), 1), 1));
                fill(&words.load_at_most, &[("mass", &mass)])
            }
            OrderedLimit::ImpactAtMost(weights) => {
                fill(&words.impact_at_most, &[("number", &self.number(down(*weights, 1), 1))])
            }
            OrderedLimit::MayOpenLevel(level) => {
                fill(&words.may_open_level, &[("level", &level.to_string())])
            }
            OrderedLimit::PainUpTo(pain) => fill(&words.pain_up_to, &[("number", &pain.to_string())]),
        }
    }

    /// An order with who gave it and how long it holds. What closes is kept after its last day, and says so.
    pub fn order(self, order: &SurgeonOrder, today: Date) -> String {
        let until = match order.until {
            Some(last) if last < today => fill(&self.w.weight.ended, &[("date", &self.date(last))]),
            until => self.until(until),
        };
        fill(
            &self.w.orders.said,
            &[
                ("what", &self.limit(order)),
                ("by", &order.by),
                ("known", self.known(order.known)),
                ("from", &self.date(order.from)),
                ("until", &until),
            ],
        )
    }
}

fn by_side(sides: &BySides, involved: Involved) -> &str {
    match involved {
        Involved::Left => &sides.left,
        Involved::Right => &sides.right,
        Involved::Both => &sides.both,
        Involved::General => &sides.general,
    }
}

/// What is allowed at most, with so many digits, rounded down. A millionth up first: 2.3 is not 2.2 because of how
/// numbers are held.
pub(super) fn down(value: f64, digits: i32) -> f64 {
    let parts = 10_f64.powi(digits);
    value.mul_add(parts, 1e-6).floor() / parts
}

/// The first letter large.
pub(super) fn capital(text: &str) -> String {
    let mut chars = text.chars();
    chars.next().map(|c| c.to_uppercase().chain(chars).collect()).unwrap_or_default()
}

/// The first letter small, for a name that stands inside a sentence; an abbreviation stays as it is.
pub(super) fn small(text: &str) -> String {
    let word = text.split_whitespace().next().unwrap_or_default();
    if word.chars().skip(1).any(char::is_uppercase) {
        return text.to_owned();
    }
    let mut chars = text.chars();
    chars.next().map(|c| c.to_lowercase().chain(chars).collect()).unwrap_or_default()
}

/// How many digits a value deserves: the last one is worth at least a tenth of its error, and never more than the
/// unit is read to. Without an error whole units, where the unit is not itself large.
pub(super) fn digits(error: Option<f64>, unit: Unit, whole: bool) -> usize {
    let read_to: u8 = match unit {
        Unit::MPerS | Unit::S | Unit::NmPerKg | Unit::CmPerS | Unit::MPerS2 => 2,
        Unit::N | Unit::M => 0,
        Unit::Cm | Unit::Deg | Unit::Nm | Unit::Points | Unit::Count | Unit::Percent | Unit::Cm2 => 1,
    };
    if whole {
        return 0;
    }
    match error {
        Some(error) if error > 0.0 && error.is_finite() => {
            let wanted = (1.0 - error.log10()).floor();
            let fits = |digits: &u8| f64::from(*digits) <= wanted;
            (0..=read_to).rev().find(fits).map_or(0, usize::from)
        }
        _ => match unit {
            Unit::MPerS | Unit::NmPerKg | Unit::MPerS2 => 2,
            Unit::S | Unit::Points => 1,
            _ => 0,
        },
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// An error of 0.9 s leaves tenths, one of 3 % whole per cent, one of 20 N·m whole ones.
    #[test]
    fn a_value_has_no_more_digits_than_its_error_leaves() {
        assert_eq!(digits(Some(0.9), Unit::S, false), 1);
        assert_eq!(digits(Some(0.06), Unit::MPerS, false), 2);
        assert_eq!(digits(Some(3.0), Unit::Percent, false), 0);
        assert_eq!(digits(Some(20.0), Unit::Nm, false), 0);
        assert_eq!(digits(Some(0.001), Unit::Cm, false), 1, "never finer than the unit is read to");
        assert_eq!(digits(Some(1.0), Unit::Points, true), 0);
        assert_eq!(digits(None, Unit::Cm, false), 0);
    }

    #[test]
    fn a_name_inside_a_sentence_begins_small_unless_it_is_an_abbreviation() {
        let told = ["Toe reach", "Écart", "IKDC form", "iHOT, 12 items", ""].map(small);
        assert_eq!(told, ["toe reach", "écart", "IKDC form", "iHOT, 12 items", ""]);
    }

    #[test]
    fn what_is_allowed_at_most_is_never_said_to_be_more() {
        let say = Say::of(Language::English);
        let order = |limit| SurgeonOrder {
            limit,
            side: None,
            by: String::new(),
            known: HowKnown::LetterSeen,
            from: jiff::civil::date(2026, 2, 4),
            until: None,
        };
        assert_eq!(say.length(Length::cm(35.7)), "35\u{a0}cm");
        assert_eq!(say.length(Length::cm(0.29 * 100.0)), "29\u{a0}cm");
        let mass = OrderedLimit::LoadAtMost(quantity::Mass::kg(2.27));
        assert_eq!(say.limit(&order(mass)), "Carrying 2.2\u{a0}kg at most");
        assert_eq!(
            say.limit(&order(OrderedLimit::ImpactAtMost(1.58))),
            "Landings of at most 1.5 × body weight"
        );
    }

    #[test]
    fn french_and_spanish_write_a_comma_and_no_chance_is_certain() {
        assert_eq!(Say::of(Language::French).amount(21.7, Unit::S, 1), "21,7\u{a0}s");
        assert_eq!(Say::of(Language::Spanish).number(-0.04, 1), "0,0");
        assert_eq!(Say::of(Language::English).chance(1.0), "more than 99 %");
    }
}
