//! The verdict as a therapist reads it.

use super::{Change, NotComparable, Note, Verdict, Way};
use crate::protocol::ProtocolMatch;
use crate::session::NoReading;
use crate::unit::Scale;

impl std::fmt::Display for Verdict {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(match self {
            Self::RealAndLarge => "real and large enough to matter",
            Self::ProbablyReal => "probably real",
            Self::WithinNoise => "within the noise of the test",
            Self::CannotSay => "cannot say",
        })
    }
}

impl std::fmt::Display for Way {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(match self {
            Self::Better => "better",
            Self::Worse => "worse",
            Self::Neither => "no difference",
        })
    }
}

impl std::fmt::Display for NotComparable {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Self::OtherThing { what } => write!(f, "{what} are not the same"),
            Self::OtherForm { baseline, retest, chance } => {
                write!(f, "the first is a {baseline}, the second a {retest}")?;
                match chance {
                    Some(amount) if *amount != 0.0 => {
                        write!(f, "; by chance alone the second lies about {} {} it", short(amount.abs()), {
                            if *amount > 0.0 { "above" } else { "below" }
                        })
                    }
                    _ => Ok(()),
                }
            }
            Self::Protocol { how: ProtocolMatch::Differs { field, one, other } } => {
                write!(f, "the {field} was {one} and then {other}")
            }
            Self::Protocol { how: ProtocolMatch::NotRecorded { field } } => {
                write!(f, "the {field} was not recorded on both days")
            }
            Self::Protocol { how: ProtocolMatch::Same } => f.write_str("the protocol is the same"),
            Self::NotLater => f.write_str("the second result is not from a later day"),
            Self::Capped => f.write_str(
                "the test was stopped at its cap, so a result is only a lower limit and no amount can be said",
            ),
            Self::NoReading { when: "baseline", why: NoReading::NotPossible } => {
                f.write_str("it was not possible at first and is now, so there is no amount; say that it became possible")
            }
            Self::NoReading { why: NoReading::NotPossible, .. } => f.write_str(
                "it was possible at first and is not now, so there is no amount; say that it is no longer possible",
            ),
            Self::NoReading { when, why } => write!(f, "there is no value at {when}: {why}"),
            Self::AnchorOnly => f.write_str("this answer is an anchor for other results and is not compared"),
            Self::NoBetterWay => f.write_str("which way is better is not recorded"),
            Self::NoError { why } | Self::NotComputable { why } => f.write_str(why),
        }
    }
}

impl std::fmt::Display for Note {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Self::SeveralLooks { comparisons, false_alarm } => write!(
                f,
                "{comparisons} were looked at together: with the usual bar at least one would seem real by chance in {:.0} of 100 unchanged people, so the bar is higher",
                100.0 * false_alarm
            ),
            Self::RegressionToTheMean { expected } => write!(
                f,
                "an extreme first value moves toward the middle by itself; about {} of this is expected untreated",
                short(expected.abs())
            ),
            Self::DrawnToUsual { weight } => write!(
                f,
                "how people like this usually change was taken into account; the measurement has {:.0} % of the say",
                100.0 * weight
            ),
            Self::ImportantBelowError => f.write_str(
                "what matters to patients is smaller than the error of the test: one pair of results cannot show a change of just that size",
            ),
            Self::ImportantUnknown => f.write_str("how much matters to patients is not known for this test"),
            Self::PracticeTakenOff { amount } => {
                write!(f, "{} were taken off for doing the test again", short(*amount))
            },
            Self::BestOfSeveral { trials, above_mean: Some(above) } => {
                write!(f, "a best of {trials} lies about {} above the mean of the trials by chance", short(*above))
            }
            Self::BestOfSeveral { trials, above_mean: None } => {
                write!(f, "a best of {trials} lies above the mean of the trials by chance")
            }
            Self::OtherRater => f.write_str(
                "two people measured, and the error was found with one: the true error is probably larger",
            ),
            Self::DaysAveraged { days } => write!(
                f,
                "a result is the mean of {days} days, taken as independent: days that carry over make a change look surer than it is"
            ),
            Self::UpToTheOtherSide => f.write_str(
                "above 100 % of the other side more is not better, so it was judged up to 100 %",
            ),
            Self::AtTheEnd => f.write_str(
                "a value lies at the end of what the test can show, so a change beyond it stays hidden",
            ),
        }
    }
}

impl std::fmt::Display for Change {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        if let Some(because) = &self.because {
            return write!(f, "Cannot say: {because}.");
        }
        let Some(e) = &self.estimate else { return write!(f, "Cannot say.") };
        let unit = self.unit;
        let scale = self.scale.words();
        if self.way == Way::Neither {
            write!(f, "No difference: {}", self.verdict)?;
        } else {
            let way = if self.way == Way::Better { "Better" } else { "Worse" };
            let by = unit.say(e.difference.abs());
            match self.scale {
                // A difference of two shares is not a share of anything.
                Scale::Symmetry => {
                    write!(f, "{way} by {} percentage points of symmetry", by.trim_end_matches(" %"))?;
                }
                Scale::Raw => write!(f, "{way} by {by}")?,
                _ => write!(f, "{way} by {by} {scale}")?,
            }
            write!(f, ": {}", self.verdict)?;
        }
        write!(
            f,
            ". Chance that it is really {}: {}",
            if self.way == Way::Worse { "worse" } else { "better" },
            said(e.direction)
        )?;
        if let (Some(beyond), Some(important)) = (e.beyond_important, e.important) {
            write!(f, "; by more than the {} that matter: {}", unit.say(important), said(beyond))?;
        }
        write!(
            f,
            ". Without any change up to {} are common ({:.0} % level)",
            unit.say(e.detectable),
            100.0 * e.level
        )?;
        if e.detectable_together > e.detectable {
            write!(f, ", up to {} in one of those looked at together", unit.say(e.detectable_together))?;
        }
        if self.verdict == Verdict::WithinNoise {
            f.write_str("; this does not show that nothing changed")?;
        }
        if self.verdict == Verdict::ProbablyReal && e.difference.abs() < e.detectable_together {
            f.write_str("; this one is not larger, so it is likely and not shown")?;
        }
        f.write_str(".")
    }
}

impl Change {
    /// The verdict, where the error comes from, and everything to know beside it, a sentence each.
    #[must_use]
    pub fn in_full(&self) -> Vec<String> {
        let mut lines = vec![self.to_string()];
        lines.extend(self.error_from.iter().map(|from| format!("Error of the test: {from}.")));
        lines.extend(self.notes.iter().map(|note| format!("Note: {note}.")));
        lines
    }
}

/// An amount without its unit, to two digits at most.
fn short(value: f64) -> String {
    let text = format!("{value:.2}");
    text.trim_end_matches('0').trim_end_matches('.').to_owned()
}

/// A probability in words that never reach certainty.
pub(crate) fn said(p: f64) -> String {
    if p > 0.99 {
        "more than 99 %".to_owned()
    } else if p < 0.01 {
        "less than 1 %".to_owned()
    } else {
        format!("{:.0} %", 100.0 * p)
    }
}
