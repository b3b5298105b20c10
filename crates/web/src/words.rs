//! Days and moments as they are read on a screen.

use clinic::Moment;
use jiff::civil::Date;

/// `4 February 2026`.
pub(crate) fn day(date: Date) -> String {
    safety::day_in_words(date)
}

/// `4 February 2026, 14:03`, by the clock of this machine.
pub(crate) fn moment(at: Moment) -> String {
    let Ok(stamp) = jiff::Timestamp::from_millisecond(at.in_unix_ms()) else {
        return "an unknown time".to_owned();
    };
    let here = stamp.to_zoned_datetime(jiff::tz::TimeZone::system());
    format!("{}, {:02}:{:02}", day(here.date()), here.hour(), here.minute())
}

/// `9,870`: thousands apart.
pub(crate) fn number(of: usize) -> String {
    let digits = of.to_string();
    let mut out = String::new();
    for (place, digit) in digits.chars().enumerate() {
        if place > 0 && (digits.len() - place).is_multiple_of(3) {
            out.push(',');
        }
        out.push(digit);
    }
    out
}

/// `1 session`, `4 sessions`.
pub(crate) fn counted(n: usize, what: &str) -> String {
    if n == 1 { format!("1 {what}") } else { format!("{} {what}s", number(n)) }
}

/// With a capital at its beginning.
pub(crate) fn capital(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}
