//! One trial as it is written: a number, or why there is none.

use measurement::{Instrument, InvalidReason, Trial};

/// What stands in a list of trials.
///
/// A number counts; `"unable"` was not possible, `"capped"` was stopped at the limit of the test, and any
/// other word is the reason why the trial does not count.
pub(super) fn trial(given: &toml::Value, test: &Instrument) -> Result<Trial, String> {
    match given {
        toml::Value::Integer(whole) => {
            i32::try_from(*whole).map(|whole| Trial::Valid(f64::from(whole))).map_err(|_| accepted(test))
        }
        toml::Value::Float(value) if value.is_finite() => Ok(Trial::Valid(*value)),
        toml::Value::String(word) => match word.as_str() {
            "unable" => Ok(Trial::Unable),
            "capped" => Ok(Trial::Capped),
            reason => InvalidReason::find(reason)
                .ok()
                .filter(|reason| test.invalid.contains(reason))
                .map(Trial::Invalid)
                .ok_or_else(|| accepted(test)),
        },
        _ => Err(accepted(test)),
    }
}

/// What this test takes.
fn accepted(test: &Instrument) -> String {
    let mut words = vec![format!("a number in {} from {} to {}", test.unit, test.least, test.most)];
    if test.unable {
        words.push("\"unable\"".to_owned());
    }
    if test.cap.is_some() {
        words.push("\"capped\"".to_owned());
    }
    words.extend(test.invalid.iter().map(|reason| format!("\"{}\"", reason.key())));
    words.join(", ")
}
