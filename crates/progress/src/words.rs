//! A decision about return as a therapist reads it.

use measurement::{Bound, Scale, Unit};
use quantity::reference::{HowRead, short_cite};

use crate::check::{Check, Measured, Standing};
use crate::decide::{Decision, Outcome};

/// What was measured: value with its error, both limbs, the day.
pub(crate) fn found(measured: &Measured, bound: Bound) -> String {
    let unit = measured.unit;
    let at_least = if bound == Bound::AtLeast { "at least " } else { "" };
    let scale =
        if measured.scale == Scale::Raw { String::new() } else { format!(" {}", measured.scale.words()) };
    let mut words = match measured.scale {
        // A difference of shares of the body is not a share of anything.
        Scale::SideDifference if unit == Unit::Percent => {
            format!("{:.1} percentage points between the sides", measured.value)
        }
        _ => format!("{at_least}{}{scale}", unit.say(measured.value)),
    };
    match measured.error {
        Some(error) => words.push_str(&format!(", error {}", unit.say(error))),
        None => words.push_str(", error not known"),
    }
    if let Some((involved, other)) = measured.limbs {
        let said = |value| measured.limb_unit.say(value);
        words.push_str(&format!(" (involved {}, other {})", said(involved), said(other)));
    }
    if let Some((value, scale)) = measured.of_body {
        words.push_str(&format!(", the involved limb {value:.0} % {}", scale.words()));
    }
    if let Some(before) = measured.before_injury {
        words.push_str(&format!(", {before:.1} % of the other limb before the operation"));
    }
    if let Some(chance) = measured.chance_met {
        let percent = (100.0 * chance).clamp(1.0, 99.0);
        words.push_str(&format!(", truly met with a chance of {percent:.0} %"));
    }
    words.push_str(&format!(", on {}", measured.on));
    words
}

impl std::fmt::Display for Standing {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Self::Met { found, .. } => write!(f, "met: {found}"),
            Self::NotMet { found, .. } => write!(f, "not met: {found}"),
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
            Self::NotTested => "nothing is unmet, and not everything was tested",
            Self::CapacityWithoutConfidence => {
                "what the body can do suffices, the person's confidence does not yet"
            }
            Self::ForTheClinicianToConfirm => "every criterion is met; a clinician decides",
        })
    }
}

impl std::fmt::Display for Decision {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        writeln!(f, "Return to {}: {}.", self.activity.words(), self.outcome)?;
        for one in &self.presentations {
            writeln!(f, "- {one}")?;
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
