//! How trials become one number: mean and best are different scores and carry their count.

use serde::{Deserialize, Serialize};

/// How trials become one number. The count belongs to the form: the best of six lies above the best of three
/// by chance alone, so the two are never compared.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(into = "String", try_from = "String")]
pub enum ScoreForm {
    /// One trial or one answer.
    Single,
    /// The mean of this many valid trials.
    MeanOf(u8),
    /// The best of this many valid trials.
    BestOf(u8),
    /// The mean of all items that were answered.
    MeanOfItems,
}

impl ScoreForm {
    /// Valid trials it needs; none for items, whose number the person chooses.
    #[must_use]
    pub fn needs(self) -> Option<u8> {
        match self {
            Self::Single => Some(1),
            Self::MeanOf(n) | Self::BestOf(n) => Some(n),
            Self::MeanOfItems => None,
        }
    }
}

impl std::fmt::Display for ScoreForm {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Self::Single => f.write_str("single trial"),
            Self::MeanOf(n) => write!(f, "mean of {n}"),
            Self::BestOf(n) => write!(f, "best of {n}"),
            Self::MeanOfItems => f.write_str("mean of the items"),
        }
    }
}

impl From<ScoreForm> for String {
    fn from(form: ScoreForm) -> Self {
        match form {
            ScoreForm::Single => "single".to_owned(),
            ScoreForm::MeanOf(n) => format!("mean_of_{n}"),
            ScoreForm::BestOf(n) => format!("best_of_{n}"),
            ScoreForm::MeanOfItems => "mean_of_items".to_owned(),
        }
    }
}

impl TryFrom<String> for ScoreForm {
    type Error = String;
    fn try_from(text: String) -> Result<Self, Self::Error> {
        let count = |digits: &str| digits.parse::<u8>().ok().filter(|n| *n >= 2);
        match text.as_str() {
            "single" => Some(Self::Single),
            "mean_of_items" => Some(Self::MeanOfItems),
            other => match (other.strip_prefix("mean_of_"), other.strip_prefix("best_of_")) {
                (Some(n), _) => count(n).map(Self::MeanOf),
                (_, Some(n)) => count(n).map(Self::BestOf),
                _ => None,
            },
        }
        .ok_or_else(|| {
            format!(
                "score form `{text}` is not one of single, mean_of_N, best_of_N (N from 2), mean_of_items"
            )
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_form_is_read_as_it_is_written_and_nothing_else_is() {
        for form in [ScoreForm::Single, ScoreForm::MeanOf(3), ScoreForm::BestOf(2), ScoreForm::MeanOfItems] {
            assert_eq!(ScoreForm::try_from(String::from(form)), Ok(form));
        }
        for wrong in ["", "mean", "mean_of_", "mean_of_1", "best_of_0", "best_of_999", "mean_of_-3"] {
            assert!(ScoreForm::try_from(wrong.to_owned()).is_err(), "{wrong}");
        }
    }
}
