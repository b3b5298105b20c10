//! Dates and small phrases, worded the same way everywhere.

use jiff::civil::Date;

/// A date as a person reads it, such as `12 March 2026`.
#[must_use]
pub fn day(date: Date) -> String {
    date.strftime("%-d %B %Y").to_string()
}

/// The sentence with its first letter in upper case.
pub(crate) fn sentence(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}

/// A title as it stands inside a sentence: its first letter small, unless somebody is named.
pub(crate) fn inside(title: &str) -> String {
    if title.starts_with("Achilles") {
        return title.to_owned();
    }
    let mut letters = title.chars();
    letters.next().map_or_else(String::new, |first| first.to_lowercase().chain(letters).collect())
}

/// Items joined by commas and a last `and`.
pub(crate) fn list(items: &[String]) -> String {
    match items {
        [] => String::new(),
        [only] => only.clone(),
        [all @ .., last] => format!("{} and {last}", all.join(", ")),
    }
}

/// A whole number without a decimal point, others with one decimal.
pub(crate) fn number(value: f64) -> String {
    if (value - value.round()).abs() < 1e-9 { format!("{value:.0}") } else { format!("{value:.1}") }
}
