//! Reads texts, flags, dates, bearings, words and numbers from single TOML values.

use jiff::civil::Date;
use movement::Bearing;
use quantity::QuantityError;
use toml_edit::Value;

use super::nearest::nearest;
use super::node::Checked;
use super::shape::{Bounds, Shape, Unit};
use super::source::shorten;

/// The checked value, or what to do about it. `text` is how it stands in the file, `name` the key.
pub(super) fn read(value: &Value, text: &str, shape: &Shape, name: &str) -> Result<Checked, String> {
    match shape {
        Shape::Text(longest) => words(value, *longest).map(Checked::Text),
        Shape::Flag => match value {
            Value::Boolean(flag) => Ok(Checked::Flag(*flag.value())),
            _ => Err("write true or false, or leave it out when nobody looked".to_owned()),
        },
        Shape::Date => {
            date(value).map(Checked::Date).ok_or("write year, month and day: 2026-02-03".to_owned())
        }
        Shape::Bearing => bearing(value)
            .map(Checked::Bearing)
            .ok_or("say where it is on the floor, seen from above, not by anatomy".to_owned()),
        Shape::Word(known) => word(value, known).map(Checked::Text),
        Shape::Number(unit, bounds) => number(value, text, name, *unit, bounds).map(Checked::Number),
        Shape::Finding(_) | Shape::List(_) | Shape::Table(_) | Shape::Kinds(..) => {
            Err("write what is accepted".to_owned())
        }
    }
}

fn words(value: &Value, longest: usize) -> Result<String, String> {
    let Value::String(text) = value else { return Err("put it in quotation marks".to_owned()) };
    let text = text.value().trim();
    if text.is_empty() {
        return Err("write something, or take the line out".to_owned());
    }
    if text.chars().any(char::is_control) {
        return Err("write it on one line, without control characters".to_owned());
    }
    match text.chars().count() {
        count if count > longest => Err(format!("shorten it: it has {count} letters")),
        _ => Ok(text.to_owned()),
    }
}

fn word(value: &Value, known: &[String]) -> Result<String, String> {
    let Value::String(text) = value else {
        return Err("write one of the accepted words in quotation marks".to_owned());
    };
    let text = text.value();
    if known.contains(text) {
        return Ok(text.clone());
    }
    Err(match nearest(text, known.iter().map(String::as_str)) {
        Some(near) => format!("write \"{near}\" if that is meant"),
        None if known.len() == 1 => format!("write \"{}\", or look whether this is the right file", known[0]),
        None => "write one of the accepted words".to_owned(),
    })
}

fn number(value: &Value, text: &str, name: &str, unit: Unit, bounds: &Bounds) -> Result<f64, String> {
    let plain = match value {
        Value::Integer(number) => Some(*number.value() as f64),
        Value::Float(number) => Some(*number.value()),
        _ => None,
    };
    let read = match (unit, plain) {
        (Unit::Whole, Some(number)) if number.is_finite() && number.fract() != 0.0 => {
            return Err("write it without a decimal point".to_owned());
        }
        (Unit::Whole | Unit::Decimal, Some(number)) => number,
        (Unit::Whole | Unit::Decimal, None) => {
            return Err("write the number alone, without quotation marks or unit".to_owned());
        }
        (_, Some(_)) => return Err(unit_is_missing(name, text, unit, bounds)),
        (_, None) => match value {
            Value::String(given) => unit.read(given.value()).map_err(|e| mend(&e, name, unit, bounds))?,
            _ => return Err("write the number and its unit in quotation marks".to_owned()),
        },
    };
    if bounds.hold(read) {
        return Ok(read);
    }
    Err("look for a slipped digit, a wrong unit or the wrong key".to_owned())
}

/// What to do about a number without a unit: the first unit in which it would be accepted.
fn unit_is_missing(name: &str, number: &str, unit: Unit, bounds: &Bounds) -> String {
    let number = shorten(number);
    let fits = unit
        .symbols()
        .iter()
        .map(|symbol| format!("{number} {symbol}"))
        .find(|with_unit| unit.read(with_unit).is_ok_and(|value| bounds.hold(value)));
    match fits {
        // An entry of a list has a number for a name, which nobody writes.
        Some(with_unit) if name.ends_with(']') => {
            format!("write the unit with it: \"{with_unit}\" if that is meant")
        }
        Some(with_unit) => format!("write the unit with it: `{name} = \"{with_unit}\"` if that is meant"),
        None => format!("write the unit with it, in quotation marks ({})", unit.symbols().join(", ")),
    }
}

fn mend(error: &QuantityError, name: &str, unit: Unit, bounds: &Bounds) -> String {
    let symbols = unit.symbols().join(", ");
    match error {
        QuantityError::NoUnit { given, .. } => unit_is_missing(name, given, unit, bounds),
        QuantityError::WrongUnit { unit, .. } if unit.starts_with(',') => {
            format!("write decimals with a point: \"{}\"", bounds.most_text)
        }
        QuantityError::WrongUnit { unit, .. } => {
            format!("`{}` is not a unit that is read here; convert it to one of {symbols}", shorten(unit))
        }
        QuantityError::NoNumber { .. } => {
            format!("begin with the number, with a point for decimals: \"{}\"", bounds.most_text)
        }
        QuantityError::Impossible { must_be, .. } => format!("the number must be {must_be}"),
    }
}

/// A date, written as a TOML date or as text.
fn date(value: &Value) -> Option<Date> {
    match value {
        Value::Datetime(given) => {
            let given = given.value();
            let (date, None, None) = (given.date?, given.time, given.offset) else { return None };
            let (year, month, day) =
                (i16::try_from(date.year), i8::try_from(date.month), i8::try_from(date.day));
            Date::new(year.ok()?, month.ok()?, day.ok()?).ok()
        }
        Value::String(text) => {
            let text = text.value();
            (text.len() == "2026-02-03".len()).then(|| text.parse().ok()).flatten()
        }
        _ => None,
    }
}

/// A bearing, written in floor words or in degrees.
fn bearing(value: &Value) -> Option<Bearing> {
    let degrees = match value {
        Value::Integer(number) => u16::try_from(*number.value()).ok()?,
        Value::String(text) => {
            let text = text.value();
            if let Some(found) = Bearing::ALL.into_iter().find(|bearing| bearing.plain_words() == text) {
                return Some(found);
            }
            let given = quantity::Angle::parse(text).ok()?.in_deg();
            let whole = given.round();
            if (given - whole).abs() > 1e-9 {
                return None;
            }
            u16::try_from(whole as i64).ok()?
        }
        _ => return None,
    };
    Bearing::try_from(degrees).ok()
}
