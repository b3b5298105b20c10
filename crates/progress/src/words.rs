//! A decision about return as a therapist reads it.

use measurement::{Bound, Scale, Unit};
use quantity::reference::{HowRead, short_cite};

use crate::check::{Check, Measured, Standing};
use crate::conflict::with_day;
use crate::decide::{BuildsOn, Counts, Decision, Outcome};

/// What was measured: value with its error, both limbs, the day.
pub(crate) fn found(measured: &Measured, bound: Bound) -> String {
    let unit = measured.unit;
    let at_least = if bound == Bound::AtLeast { "at least " } else { "" };
    let scale =
        if measured.scale == Scale::Raw { String::new() } else { format!(" {}", measured.scale.words()) };
    let mut words = match measured.scale {
        // A difference of shares of the body is not a share of anything.
        Scale::SideDifference if unit == Unit::Percent => {
            format!("{} between the sides", said(measured, measured.value))
        }
        _ => format!("{at_least}{}{scale}", unit.say(measured.value)),
    };
    match measured.error {
        Some(error) if measured.scale == Scale::SideDifference => {
            let (bar, error) = (said(measured, -measured.threshold), said(measured, error));
            words.push_str(&format!(", error {error}, told apart only where the limb is worse by {bar}"));
        }
        Some(error) => words.push_str(&format!(", error {}", unit.say(error))),
        None => words.push_str(", error not known"),
    }
    if let Some((involved, other)) = measured.limbs {
        let limb = |value| measured.limb_unit.say(value);
        words.push_str(&format!(" (involved {}, other {})", limb(involved), limb(other)));
    }
    if let Some((value, scale)) = measured.of_body {
        words.push_str(&format!(", the involved limb {value:.0} % {}", scale.words()));
    }
    if let Some(before) = measured.before_injury {
        words.push_str(&format!(", {before:.1} % of the other limb before the operation"));
    }
    if let Some(chance) = measured.chance_met {
        words.push_str(&format!(", truly met with a chance of {}", chance_of(chance)));
    }
    if let Some(side) = measured.side {
        words.push_str(&format!(", {side} leg"));
    }
    words.push_str(&format!(", on {}", measured.on));
    words
}

/// An amount of a measurement; a difference of shares of the body is in percentage points.
fn said(measured: &Measured, amount: f64) -> String {
    if measured.unit == Unit::Percent && measured.scale == Scale::SideDifference {
        format!("{amount:.1} percentage points")
    } else {
        measured.unit.say(amount)
    }
}

/// A chance in whole per cent; nearer to none or all than 1 % no number is worth its digits.
fn chance_of(chance: f64) -> String {
    match 100.0 * chance {
        percent if percent < 1.0 => "less than 1 %".to_owned(),
        percent if percent > 99.0 => "more than 99 %".to_owned(),
        percent => format!("{percent:.0} %"),
    }
}

impl std::fmt::Display for Standing {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Self::Met { found, .. } => write!(f, "met: {found}"),
            Self::NotMet { found, .. } => write!(f, "not met: {found}"),
            Self::CannotTell { found, .. } => {
                write!(f, "cannot be told apart from the other side: {found}")
            }
            Self::NotTested { why } => write!(f, "not tested: {why}"),
        }
    }
}

impl std::fmt::Display for Check {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let source = short_cite(&self.source);
        write!(f, "{}. {} ({source}", self.needed, self.standing)?;
        if matches!(self.read, HowRead::Own | HowRead::Practice) {
            return f.write_str(")");
        }
        write!(f, ", {})", self.read)
    }
}

impl std::fmt::Display for Outcome {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(match self {
            Self::RedFlag => "a red flag stands, and nothing else is asked",
            Self::NotYet => "not yet",
            Self::ConfidenceNotEnoughAndNotTested => {
                "cannot be said yet: confidence is not enough, and not everything is known"
            }
            Self::NotTested => "cannot be said yet: not everything is known",
            Self::CapacityWithoutConfidence => {
                "what the body can do suffices, the person's confidence does not yet"
            }
            Self::ForTheClinicianToConfirm => "every criterion is met; a clinician decides",
        })
    }
}

impl std::fmt::Display for Counts {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "{} of {} met", self.met, self.of)?;
        for (number, what) in [
            (self.not_met, "not met"),
            (self.not_tested, "not tested"),
            (self.cannot_tell, "cannot be told apart from the other side"),
        ] {
            if number > 0 {
                write!(f, ", {number} {what}")?;
            }
        }
        Ok(())
    }
}

impl std::fmt::Display for BuildsOn {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let stands = match self.outcome {
            Outcome::RedFlag | Outcome::NotYet => "not met",
            Outcome::ConfidenceNotEnoughAndNotTested => "confidence is not enough, and not all was tested",
            Outcome::NotTested => "not tested",
            Outcome::CapacityWithoutConfidence => "confidence is not enough",
            Outcome::ForTheClinicianToConfirm => "met",
        };
        write!(f, "builds on {}: {stands} ({}", self.activity.words(), self.counts)?;
        for reason in &self.because {
            write!(f, "; {reason}")?;
        }
        f.write_str(")")
    }
}

impl Decision {
    /// How far somebody is, in one line that begins with what is known.
    #[must_use]
    pub fn headline(&self) -> String {
        let counts = self.counts;
        let mut line = match self.outcome {
            Outcome::RedFlag => return self.outcome.to_string(),
            Outcome::ForTheClinicianToConfirm => {
                return format!(
                    "every criterion is met, {} of {}; a clinician decides",
                    counts.met, counts.of
                );
            }
            Outcome::CapacityWithoutConfidence => return format!("{}; {counts}", self.outcome),
            Outcome::NotYet => format!("not yet: {counts}"),
            Outcome::NotTested => format!("cannot be said yet: {counts}"),
            Outcome::ConfidenceNotEnoughAndNotTested => {
                let open = counts.not_tested + counts.cannot_tell;
                let are = if open == 1 { "is" } else { "are" };
                let and = if open > 0 { format!(", and {open} {are} not tested") } else { String::new() };
                return format!(
                    "cannot be said yet: confidence is not enough{and}; {counts}{}",
                    self.on_what_it_stands()
                );
            }
        };
        if self.confidence_not_enough {
            line.push_str("; confidence is not enough");
        }
        line.push_str(&self.on_what_it_stands());
        line
    }

    /// The nearest easier activity that stands in the way, where its own criteria do not say it all.
    fn on_what_it_stands(&self) -> String {
        let in_the_way = |one: &&BuildsOn| one.outcome == self.outcome;
        match self.builds_on.iter().find(in_the_way) {
            Some(one) if self.counts.not_met == 0 => format!("; it builds on {}", one.activity.words()),
            _ => String::new(),
        }
    }
}

impl std::fmt::Display for Decision {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        writeln!(f, "Return to {}: {}.", self.activity.words(), self.headline())?;
        for one in self.builds_on.iter().filter(|one| one.outcome != Outcome::ForTheClinicianToConfirm) {
            writeln!(f, "- {one}")?;
        }
        for one in &self.presentations {
            let said =
                one.cited.iter().fold(one.to_string(), |said, cited| with_day(&said, &cited.words, cited.on));
            writeln!(f, "- {said}")?;
        }
        for conflict in &self.conflicts {
            writeln!(f, "- {conflict}")?;
        }
        for reason in &self.shut {
            writeln!(f, "- {reason}")?;
        }
        for check in &self.checks {
            writeln!(f, "- {check}")?;
        }
        if let Some(support) = self.external_support {
            writeln!(f, "{support}")?;
        }
        Ok(())
    }
}
